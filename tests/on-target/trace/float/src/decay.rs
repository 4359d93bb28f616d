//! `e^-x` by the table of the core: steps of 1/32 up to 12, a parabola within a step.

const STEPS: usize = 32;
const LARGEST: usize = 12;
/// e^-(1/32).
const STEP: f64 = 0.969_233_234_476_344;
const TABLE: [f32; STEPS * LARGEST + 1] = table();

const fn table() -> [f32; STEPS * LARGEST + 1] {
    let mut table = [0.0; STEPS * LARGEST + 1];
    let mut value = 1.0;
    let mut index = 0;
    while index < table.len() {
        #[expect(clippy::cast_possible_truncation, reason = "the nearest f32 is meant")]
        let word = value as f32;
        table[index] = word;
        value *= STEP;
        index += 1;
    }
    table
}

/// `e^-x` for x from 0 on.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "the index is small and not negative"
)]
pub(crate) fn decay(x: f32) -> f32 {
    let index = (x * 32.0) as usize;
    let Some(at) = TABLE.get(index) else { return 0.0 };
    let rest = x - index as f32 * (1.0 / 32.0);
    at * (1.0 - rest + rest * rest * 0.5)
}
