//! The drill file.

use super::super::answers::Answers;
use super::super::strip::strips;
use super::super::worked::{delivery_delay, full_speed, ground_pulses};
use super::sheet::{Sheet, quoted};

/// Keys of `[hydraulics]` that are written as they were answered.
const OIL: [(&str, &str); 11] = [
    ("volumetric", "Share of the fed oil that turns the motor; the rest leaks past."),
    ("mechanical", "Share of the oil's torque that reaches the shaft."),
    (
        "lowest_motor_speed",
        "Lowest speed at which the motor turns smoothly, by its maker, turns of the motor.",
    ),
    ("highest_motor_speed", "Highest speed of the motor, by its maker, turns of the motor."),
    ("relief", "Setting of the relief valve, or the supply's highest pressure."),
    ("tractor_flow", "Flow that the tractor can spare for all sides together."),
    ("valve_flow", "Rated flow of the valve, fully open, at the drop below."),
    ("valve_drop", "Pressure drop at which the valve is rated."),
    ("meter_torque", "Torque that turning the meter takes, at the meter shaft."),
    ("bearable_torque", "Torque that meter, chain or shear pin bears, at the meter shaft."),
    ("oil", "Temperature of the oil these numbers are meant for."),
];

/// Keys of `[limits]`.
const LIMITS: [(&str, &str); 7] = [
    ("start_speed", "A start by hand meters as at this ground speed; 0 for none."),
    ("road_speed", "A ground speed above this for a second disarms: it is the road."),
    ("raised_for", "Lifted for longer than this disarms."),
    (
        "correction_told",
        "A valve that opens further than its map says by more than this share is told.",
    ),
    ("correction_limit", "The map is corrected by no more than this share."),
    ("rate_band", "A rate that is off by more than this share ..."),
    ("rate_way", "... for longer than this way is told."),
];

/// The drill file; `as_built` is the measured file as this one names it.
pub fn drill(answers: &Answers, as_built: Option<&str>) -> String {
    let title = "Drill file, made by `meterwright new`. Values carry their unit; any unit of the kind will do.";
    let mut sheet = Sheet::new(answers, title);
    whole(&mut sheet, answers);
    if let Some(file) = as_built {
        sheet.quoted(
            "as_built",
            file,
            "Measured numbers of the built drive; they take the place of those here.",
        );
    }
    sides(&mut sheet, answers);
    drive(&mut sheet, answers);
    oil(&mut sheet, answers);
    if answers.is("limits", "yes") {
        sheet.section("[limits]", "Where the controller tells, disarms, or goes no further.");
        for (key, comment) in LIMITS {
            sheet.answer(key, comment);
        }
    }
    truth(&mut sheet);
    sheet.done()
}

/// The keys of the whole drill.
fn whole(sheet: &mut Sheet<'_>, answers: &Answers) {
    sheet.answer("name", "What you call it.");
    let demo = answers.is("demo", "yes").to_string();
    sheet.bare("demo", &demo, "true where the numbers are invented: then every page says so.");
    let pulses = match (answers.has("ground_pulses"), answers.has("wheel_pulses")) {
        (true, _) => {
            let mark = sheet.mark("ground_pulses");
            format!(
                "Pulses of the ground sensor per length; the ground run measures it (docs/measuring.md).{mark}"
            )
        }
        (false, true) => format!(
            "Pulses of the ground sensor per length: {} in a turn of {}.{}",
            answers.text("wheel_pulses"),
            answers.text("wheel_way"),
            sheet.mark("wheel_pulses")
        ),
        (false, false) => {
            "Pulses of a ground sensor per length; none is used, but the key must stand here."
                .to_owned()
        }
    };
    sheet.quoted("ground_pulses", &ground_pulses(answers), &pulses);
    sheet.answer("lowest_speed", "Lowest sowing speed: below it no seed is asked for.");
    let delay = if answers.has("delivery_delay") {
        format!(
            "Time from meter to soil; the delivery run measures it.{}",
            sheet.mark("delivery_delay")
        )
    } else {
        format!(
            "Time from meter to soil: {} of tube at {}; the delivery run measures it.{}",
            answers.text("tube_length"),
            answers.text("seed_speed"),
            sheet.mark("seed_speed")
        )
    };
    sheet.quoted("delivery_delay", &delivery_delay(answers), &delay);
    sheet.answer("lift_debounce", "Time the lift switch must be steady before it is believed.");
    sheet.answer(
        "lowering",
        "Way from the switch reading \"in work\" to the openers in the ground.",
    );
    sheet.answer(
        "lifting",
        "Way from the switch reading \"lifted\" to the openers out of the ground.",
    );
    sheet.answer(
        "antenna_to_opener",
        "Way from the antenna back to the openers; negative where it is behind them.",
    );
    sheet.answer("least_gap", "Bare ground longer than this is noted as a gap.");
}

/// The driven sides.
fn sides(sheet: &mut Sheet<'_>, answers: &Answers) {
    let strips = strips(answers);
    let number = strips.len();
    for (index, strip) in (1..).zip(strips) {
        let comment = format!("Driven side {index} of {number}, from the left.");
        sheet.section("[[side]]", &comment);
        let suffix = if index == 1 { String::new() } else { format!("_{index}") };
        sheet.quoted("name", strip.name, "What it is called in tables.");
        let width = if answers.has("spacing") {
            format!(
                "Working width: {} rows of {}.{}",
                answers.text(&format!("rows{suffix}")),
                answers.text("spacing"),
                sheet.mark(&format!("rows{suffix}"))
            )
        } else {
            format!("Working width.{}", sheet.mark(&format!("width{suffix}")))
        };
        sheet.quoted("width", &strip.width, &width);
        sheet.quoted(
            "offset",
            &strip.offset,
            "Where its middle lies, positive to the left of the tractor's middle.",
        );
        let outlets = format!("outlets{suffix}");
        sheet.number("outlets", &outlets, "Outlets that its meter shaft feeds.");
        let pulses = "Pulses of the shaft sensor in one turn of the meter shaft.";
        sheet.number("encoder_pulses", "encoder_pulses", pulses);
        let channels = "Channels of that sensor: 2 where it tells the direction.";
        sheet.number("encoder_channels", "encoder_channels", channels);
    }
}

/// What the controller is told of the drive.
fn drive(sheet: &mut Sheet<'_>, answers: &Answers) {
    sheet.section("[drive]", "What the controller is told of valve and motor; the spin run measures it (docs/measuring.md).");
    sheet.answer_as("kind", "drive_kind", "Kind of valve: proportional or motorised.");
    sheet.answer("stroke", "Time of its full travel with the motor running.");
    sheet.answer("play", "Running time that is lost when its motor turns round.");
    let full = if answers.is("full_by", "flow") {
        format!(
            "Valve map, [command, meter shaft speed]: where it begins to turn, and full command: {} through {}, ratio {}.{}",
            answers.text("full_flow"),
            answers.text("displacement"),
            answers.text("ratio"),
            sheet.mark("full_flow")
        )
    } else {
        let mark = sheet.mark("full_speed");
        format!(
            "Valve map, [command, meter shaft speed]: where it begins to turn, and full command.{mark}"
        )
    };
    let map = format!(
        "[[{}, \"0 turns/s\"], [1.00, {}]]",
        quoted(answers.text("opening")),
        quoted(&full_speed(answers))
    );
    sheet.bare("map", &map, &full);
    sheet.answer("lag", "Time to 63 % of a step of the command, dead time apart.");
    sheet.answer("dead_time", "Time from command to first movement.");
}

/// What is known of the oil side.
fn oil(sheet: &mut Sheet<'_>, answers: &Answers) {
    if !answers.is("hydraulics", "yes") {
        sheet.remark("The oil side is not told. A section [hydraulics] (demo-data/drills/README.md) lets `size` reckon with it.");
        return;
    }
    let comment = "Motor, gearing and supply: for sizing; the control does without. Oil under pressure injures: by qualified people.";
    sheet.section("[hydraulics]", comment);
    sheet.answer("displacement", "Displacement of the motor in one turn.");
    sheet.number("ratio", "ratio", "Turns of the motor for one turn of the meter shaft.");
    for (key, comment) in OIL {
        sheet.answer(key, comment);
    }
}

/// A machine that is not quite what the controller is told: a proof against a perfect one would prove little.
fn truth(sheet: &mut Sheet<'_>) {
    let comment = "What the bench's machine truly is; the controller is not told. Change it to see what your drill would forgive.";
    sheet.section("[truth]", comment);
    sheet.bare(
        "gain",
        "0.9",
        "The shaft turns at this share of what the map says, as in oil that is colder.",
    );
    sheet.bare("swing", "0.03", "That share swings by so much, as with the load ...");
    sheet.quoted("swing_rate", "0.9 rad/s", "... at this rate.");
    sheet.quoted(
        "encoder_jitter",
        "0.4 %",
        "Teeth of the shaft sensor are uneven by this share of a pulse.",
    );
}
