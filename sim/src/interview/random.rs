//! Whatever may be answered makes files that read, with the very numbers, and settings that the controller takes.

use super::answers::Answers;
use super::compose::files;
use super::file::to_toml;
use super::kind::Kind;
use super::question::Question;
use super::strip::strips;
use super::worked::{delivery_delay, full_speed, ground_pulses};
use crate::bench::settings;
use crate::scenario::{Drill, Scenario, Source, read};
use crate::unit::{LENGTH, PULSES_PER_LENGTH, SHAFT_SPEED, System, TIME};
use controller::Settings;
use proptest::prelude::*;

/// Names that a careless writer of files would break on.
const NAMES: [&str; 4] = ["plain", r#"the "old" \ one"#, "drill = ] # '", "Säschar 3½ µ"];

/// An answer at a draw: any word, any number of the range, in any of its units.
fn drawn(question: &Question, draw: u64) -> String {
    #[expect(clippy::cast_precision_loss, reason = "a share of 2^32")]
    let share = (draw >> 32) as f64 / 4_294_967_296.0;
    let index = |count: usize| usize::try_from(draw).unwrap_or(0) % count;
    match &question.kind {
        Kind::Line => NAMES[index(NAMES.len())].to_owned(),
        Kind::Whole(range) => {
            (range.start() + (draw >> 8) % (range.end() - range.start() + 1)).to_string()
        }
        Kind::Number(range) => {
            let (low, high) = (range.start(), range.end());
            format!("{:.3}", low * (high / low).powf(share))
        }
        Kind::Quantity(wanted) => {
            let [low, high] = wanted.ends();
            let own =
                if low > 0.0 { low * (high / low).powf(share) } else { low + (high - low) * share };
            let units = wanted.kind.units;
            units[index(units.len())].show(own, 4)
        }
        Kind::Word(words) => words[index(words.len())].0.to_owned(),
        Kind::YesNo => if draw.is_multiple_of(2) { "yes" } else { "no" }.to_owned(),
    }
}

/// Answers at draws: one in three is left at its default, one that does not go with the others is drawn again.
fn answered(draws: &[u64]) -> Option<Answers> {
    let system = if draws[0].is_multiple_of(2) { System::Metric } else { System::Us };
    let mut answers = Answers::new(system);
    let mut draws = draws.iter().copied().cycle();
    let mut tries = 0;
    while let Some(question) = answers.next() {
        let draw = draws.next()?.rotate_left(tries);
        let usual = draw.is_multiple_of(3) || question.key == "as_built" || tries > 40;
        let given = if usual {
            answers.take_usual(question)
        } else {
            answers.give(question, &drawn(question, draw))
        };
        tries = if given.is_ok() { 0 } else { tries + 1 };
        // Four sides of 18 m: no width of the last one is possible, and a person would go back.
        if tries > 60 {
            return None;
        }
    }
    Some(answers)
}

/// Reads the scenarios back.
fn read_back(answers: &Answers) -> [Scenario; 2] {
    let folder = tempfile::tempdir().unwrap();
    for (name, content) in files(answers, None) {
        std::fs::write(folder.path().join(name), content).unwrap();
    }
    super::compose::SCENARIOS.map(|name| {
        let read = read::scenario(&folder.path().join(name));
        read.unwrap_or_else(|error| panic!("{error}\n{}", to_toml(answers)))
    })
}

/// Numbers to the last bit.
fn bits<const N: usize>(numbers: [f64; N]) -> [u64; N] {
    numbers.map(f64::to_bits)
}

/// Every number of the drill is the one that was answered or worked out, to the last bit.
fn assert_same(answers: &Answers, drill: &Drill) {
    let number = |key| answers.number(key);
    let length = |text: &str| LENGTH.parse(text).unwrap().value;
    assert_eq!(drill.name, answers.text("name"));
    for (side, strip) in drill.sides.iter().zip(strips(answers)) {
        assert_eq!(
            bits([side.width_m, side.offset_m]),
            bits([strip.width_m, length(&strip.offset)])
        );
        assert_eq!(u64::from(side.outlets), strip.outlets);
    }
    assert_eq!(drill.sides.len() as u64, answers.sides());
    let pulses = PULSES_PER_LENGTH.parse(&ground_pulses(answers)).unwrap().value;
    let delay = TIME.parse(&delivery_delay(answers)).unwrap().value;
    assert_eq!(bits([drill.ground_pulses_per_m, drill.delivery_delay_s]), bits([pulses, delay]));
    let full = SHAFT_SPEED.parse(&full_speed(answers)).unwrap().value;
    assert_eq!(drill.told.map, [(number("opening"), 0.0), (1.0, full)]);
    let told = [drill.told.lag_s, drill.told.dead_time_s, drill.lift_debounce_s, drill.lowering_m];
    assert_eq!(bits(told), bits(["lag", "dead_time", "lift_debounce", "lowering"].map(number)));
    if let Some(oil) = &drill.hydraulics {
        let have = [oil.displacement_m3, oil.ratio, oil.relief_pa, oil.oil_c.unwrap()];
        assert_eq!(bits(have), bits(["displacement", "ratio", "relief", "oil"].map(number)));
    }
    assert_eq!(drill.hydraulics.is_some(), answers.is("hydraulics", "yes"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_answered_reads_back_the_same_and_the_controller_takes_it(
        draws in proptest::collection::vec(any::<u64>(), 97)
    ) {
        let Some(answers) = answered(&draws) else { return Err(TestCaseError::reject("too wide")) };
        for scenario in read_back(&answers) {
            assert_same(&answers, &scenario.drill);
            prop_assert_eq!(&scenario.seed_lot.name, answers.text("seed_name"));
            let lot = [scenario.seed_lot.rate_kg_per_ha, scenario.seed_lot.kg_per_turn(1.0)];
            prop_assert_eq!(bits(lot), bits(["rate", "mass_per_turn"].map(|key| answers.number(key))));
            prop_assert!(!scenario.tolerances.is_empty());
            if let Source::Gnss(gnss) = &scenario.source {
                prop_assert_eq!(bits([gnss.noise_mps]), bits([answers.number("gnss_noise")]));
            }
            let taken = Settings::new(&settings(&scenario));
            prop_assert!(taken.is_ok(), "{:?}\n{}", taken.err(), to_toml(&answers));
        }
    }

    #[test]
    fn answers_given_again_make_the_same_bytes(draws in proptest::collection::vec(any::<u64>(), 97)) {
        let Some(answers) = answered(&draws) else { return Err(TestCaseError::reject("too wide")) };
        let text = to_toml(&answers);
        let path = std::path::Path::new("answers.toml");
        let file = crate::input::InputFile::from_bytes(path, text.clone().into_bytes()).unwrap();
        let again = super::file::from_file(&file, System::Metric).unwrap();
        prop_assert_eq!(to_toml(&again), text);
        prop_assert_eq!(files(&again, None), files(&answers, None));
    }
}

#[test]
fn every_key_of_every_file_has_a_comment_above_it() {
    let mut answers = Answers::new(System::Us);
    while let Some(question) = answers.next() {
        if ["hydraulics", "limits"].contains(&question.key) {
            answers.give(question, "yes").unwrap();
        } else {
            answers.take_usual(question).unwrap();
        }
    }
    for (name, text) in files(&answers, None) {
        let lines: Vec<&str> = text.lines().collect();
        for pair in lines.windows(2) {
            let key = pair[1].split(" = ").next().unwrap_or_default();
            let is_key = pair[1].contains(" = ")
                && key.chars().all(|it| it.is_ascii_lowercase() || it == '_');
            assert!(!is_key || pair[0].starts_with("# "), "{name}: {}", pair[1]);
        }
        assert!(lines.iter().all(|line| line.chars().count() <= 140), "{name}");
    }
}
