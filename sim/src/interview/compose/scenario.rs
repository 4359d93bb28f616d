//! The scenario files: a ramp, and rows with headland turns.

use super::super::answers::Answers;
use super::super::worked::turn_s;
use super::sheet::{Sheet, quoted};
use super::tolerance::bounds;

/// Time at a steady speed of the ramp, s.
const STEADY_S: f64 = 12.0;

/// Points of instant and speed, in the making: the speed is the answer's own text.
struct Course<'a> {
    answers: &'a Answers,
    at_s: f64,
    points: Vec<(f64, &'a str)>,
}

impl<'a> Course<'a> {
    /// At rest.
    fn new(answers: &'a Answers) -> Self {
        let rest = if answers.system() == crate::unit::System::Us { "0 mph" } else { "0 m/s" };
        Self { answers, at_s: 0.0, points: vec![(0.0, rest)] }
    }

    /// Speeds up or slows down to an answer, in whole tenths of a second.
    fn to(&mut self, key: &str, from_mps: f64) {
        let change = (self.answers.number(key) - from_mps).abs();
        let tenths = (10.0 * change / self.answers.number("acceleration")).ceil().max(1.0);
        self.at_s += tenths / 10.0;
        self.points.push((self.at_s, self.answers.text(key)));
    }

    /// Stays at that speed.
    fn stay(&mut self, key: &str, seconds: f64) {
        self.at_s += (10.0 * seconds).ceil() / 10.0;
        self.points.push((self.at_s, self.answers.text(key)));
    }

    /// As it stands in the file.
    fn toml(&self) -> String {
        let point = |(at_s, speed): &(f64, &str)| {
            format!("    [\"{}\", {}],\n", seconds(*at_s), quoted(speed))
        };
        format!("[\n{}]", self.points.iter().map(point).collect::<String>())
    }
}

/// An instant of tenths of a second.
fn seconds(at_s: f64) -> String {
    format!("{at_s:.1} s")
}

/// From the headland's speed up to the fastest and back.
pub fn ramp(answers: &Answers) -> String {
    let mut course = Course::new(answers);
    let [slow, fast] = ["slow_speed", "fast_speed"].map(|key| answers.number(key));
    course.to("slow_speed", 0.0);
    course.stay("slow_speed", STEADY_S);
    course.to("fast_speed", slow);
    course.stay("fast_speed", STEADY_S);
    course.to("slow_speed", fast);
    course.stay("slow_speed", STEADY_S);
    let title = format!(
        "{} to {} and back at {}",
        answers.text("slow_speed"),
        answers.text("fast_speed"),
        answers.text("acceleration")
    );
    let mut sheet = begun(answers, &title, &course);
    tolerances(&mut sheet, answers, false);
    sheet.done()
}

/// Three rows with two turns: slow down, lift, turn, lower, speed up.
pub fn headland(answers: &Answers) -> String {
    let mut course = Course::new(answers);
    let [slow, work] = ["slow_speed", "work_speed"].map(|key| answers.number(key));
    let row_s = answers.number("row_length") / work;
    let mut acts = Vec::new();
    let mut from = 0.0;
    for hand in ["left", "right"] {
        course.to("work_speed", from);
        course.stay("work_speed", row_s);
        course.to("slow_speed", work);
        let lifted = course.at_s + 1.0;
        let straight = lifted + 1.0 + turn_s(answers);
        course.stay("slow_speed", 5.0 + turn_s(answers));
        acts.push((hand, lifted, straight));
        from = slow;
    }
    course.to("work_speed", slow);
    course.stay("work_speed", row_s);
    let title = format!(
        "Three rows of {} at {} with headland turns",
        answers.text("row_length"),
        answers.text("work_speed")
    );
    let mut sheet = begun(answers, &title, &course);
    for (hand, lifted, straight) in acts {
        turn(&mut sheet, answers, hand, [lifted, straight]);
    }
    tolerances(&mut sheet, answers, true);
    sheet.done()
}

/// A turn: lift, turn, straight on, lower.
fn turn(sheet: &mut Sheet<'_>, answers: &Answers, hand: &str, [lifted, straight]: [f64; 2]) {
    const AT: &str = "Instant, from the start of the run.";
    sheet.section("[[act]]", "The drill is lifted at the row's end.");
    sheet.quoted("at", &seconds(lifted), AT);
    sheet.quoted("implement", "lifted", "lifted or lowered.");
    sheet.section("[[turn]]", "The tractor turns round.");
    sheet.quoted("at", &seconds(lifted + 1.0), AT);
    sheet.quoted("to", hand, "left, right or straight.");
    let radius = answers.text("turn_radius");
    sheet.quoted("radius", radius, "Radius of the way of the drill's middle.");
    sheet.section("[[turn]]", "Straight on again.");
    sheet.quoted("at", &seconds(straight), AT);
    sheet.quoted("to", "straight", "left, right or straight.");
    sheet.section("[[act]]", "The drill is lowered for the next row.");
    sheet.quoted("at", &seconds(straight + 1.0), AT);
    sheet.quoted("implement", "lowered", "lifted or lowered.");
}

/// Title, files, speed and source.
fn begun<'a>(answers: &'a Answers, title: &str, course: &Course<'_>) -> Sheet<'a> {
    let heading =
        "Scenario file, made by `meterwright new`: what is driven, and what must hold for a pass.";
    let mut sheet = Sheet::new(answers, heading);
    sheet.quoted("title", title, "What is tried, in a line.");
    sheet.quoted("drill", "drill.toml", "The drill file, beside this one.");
    sheet.quoted("seed", "seed.toml", "The seed file, beside this one.");
    sheet.section("[speed]", "Ground speed over time.");
    sheet.bare(
        "points",
        &course.toml(),
        "[instant, ground speed], in a straight line from point to point.",
    );
    sheet.section("[source]", "Where the controller's ground speed comes from.");
    sheet.answer_as("kind", "source", "pulses, gnss, bus-wheel, bus-ground or bus-selected.");
    sheet.answer_as("rate", "gnss_rate", "Speed samples of the receiver in a second.");
    sheet.answer("latency", "Age of a speed when it arrives.");
    sheet.answer_as("noise", "gnss_noise", "Noise of a speed sample, rms.");
    if answers.is("source", "gnss") {
        sheet.quoted(
            "seeds",
            "1..5",
            "The run is repeated with so many draws of that noise; the worst counts.",
        );
    }
    sheet
}

/// What must hold.
fn tolerances(sheet: &mut Sheet<'_>, answers: &Answers, stops: bool) {
    sheet.section(
        "[tolerance]",
        "What must hold for a pass: write it before you look at the result.",
    );
    for (figure, bound, comment) in bounds(answers, stops) {
        sheet.bare(figure, bound, comment);
    }
}
