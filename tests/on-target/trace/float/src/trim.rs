//! Gain and offset by which the map is wrong, and the limit of what they may add: `controller::drive::correction` and the
//! trim of `controller::drive::pi` in f32.

use crate::Bounded;
use controller::settings::LimitsConfig;

/// Bounds of the gain.
const GAIN: (f32, f32) = (-0.6, 1.5);

/// The law of the trim.
pub(crate) struct Trim {
    pub(crate) full: f32,
    knee: f32,
    told: f32,
    limit: f32,
    allowed: f32,
}

/// What has been learnt.
#[derive(Clone, Copy, Default)]
pub(crate) struct Learnt {
    gain: f32,
    offset: f32,
}

/// A correction, held at its limit.
#[derive(Clone, Copy, Default)]
pub(crate) struct Corrected {
    pub(crate) by: f32,
    pub(crate) too_far: bool,
    pub(crate) limited: bool,
}

impl Trim {
    pub(crate) fn new(full: f32, limits: &LimitsConfig) -> Self {
        let share = |thousandths: u16| f32::from(thousandths) * 1e-3;
        let (told, limit) =
            (share(limits.correction_told.get()), share(limits.correction_limit.get()));
        let tenth = full * 0.1;
        Self { full, knee: tenth * tenth, told, limit, allowed: tenth }
    }

    pub(crate) fn learn(&self, learnt: &mut Learnt, wanted: f32, step: f32) {
        let n = wanted.at_least(0.0).at_most(15.0);
        let weight = 1.0 / (n * n + self.knee);
        let most = self.full * 0.3;
        let offset = learnt.offset + step * (self.knee * weight);
        learnt.offset = offset.at_most(most).at_least(-most);
        learnt.gain = (learnt.gain + step * (n * weight)).at_least(GAIN.0).at_most(GAIN.1);
    }

    #[inline(never)]
    pub(crate) fn held(&self, learnt: Learnt, shaft: f32) -> Corrected {
        let most = shaft * self.limit + self.allowed;
        let told = shaft * self.told + self.allowed;
        let by = learnt.of(shaft) - shaft;
        let held = by.at_most(most).at_least(-most);
        #[expect(clippy::float_cmp, reason = "the same number where nothing held it")]
        let limited = by != held;
        Corrected { by: held, too_far: by > told, limited }
    }
}

impl Learnt {
    /// A shaft speed with the trim on it.
    pub(crate) fn of(self, shaft: f32) -> f32 {
        shaft * self.gain + self.offset + shaft
    }
}
