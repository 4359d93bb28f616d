//! Made-up results on which the formats are tested.

use super::{Judged, Record};
use crate::score::Score;
use crate::trace::{Cell, SideTick, Tick, Trace};
use crate::verdict::{Miss, Place, Rivals, Verdict, Words};

/// A run of 1 to 3 m/s on `sides` sides for `seconds`, with a lift at the end.
pub(super) fn record(sides: usize, seconds: u32) -> Record {
    let ticks = (0..seconds * 100).map(|k| tick(sides, k, seconds)).collect();
    let mut cells = Vec::new();
    for side in 0..sides {
        cells.extend((0..seconds * 4).map(|k| cell(side, k, seconds * 4)));
    }
    Record { noise_seed: None, trace: Trace { ticks, cells } }
}

fn tick(sides: usize, k: u32, seconds: u32) -> Tick {
    let t_s = f64::from(k) * 0.01;
    let speed_mps = 2.0 + libm::sin(t_s / 8.0);
    let asked = t_s < f64::from(seconds) * 0.9;
    let turns = if asked { 0.366_67 * speed_mps } else { 0.0 };
    let side = |lag: f64| SideTick {
        wanted_turns_per_s: turns,
        measured_turns_per_s: turns * 0.99,
        true_turns_per_s: turns * (1.0 + lag * libm::cos(t_s)),
        command: if asked { 0.2 + 0.8 * turns / 1.65 } else { 0.0 },
        state: if t_s < 1.0 {
            "ready"
        } else if asked {
            "sowing"
        } else {
            "lifted"
        },
    };
    Tick {
        piece: 0,
        t_s,
        travel_m: 2.0 * t_s,
        speed_mps,
        believed_mps: speed_mps + 0.03 * libm::sin(3.0 * t_s),
        yaw_rad_per_s: 0.0,
        asked,
        alarm: 0,
        supply: asked,
        sides: (0..sides)
            .map(|index| side(0.03 + 0.01 * f64::from(u8::try_from(index).unwrap())))
            .collect(),
    }
}

fn cell(side: usize, k: u32, count: u32) -> Cell {
    let start_m = f64::from(k) * 0.5;
    let counted = k * 10 < count * 9;
    let running = counted && k > 6;
    let error_pct = match (counted, running) {
        (true, true) => 6.0 * libm::sin(start_m / 9.0),
        (true, false) => -100.0 + 12.0 * f64::from(k),
        (false, _) => f64::NAN,
    };
    Cell {
        piece: 0,
        side,
        start_m,
        entered_s: start_m / 2.0,
        left_s: start_m / 2.0 + 0.25,
        laid_kg_per_ha: if counted { 110.0 * (1.0 + error_pct / 100.0) } else { 0.0 },
        target_kg_per_ha: if counted { 110.0 } else { 0.0 },
        error_pct,
        counted,
        running,
    }
}

/// A score with figures one can recognise.
pub(super) fn score(rms_pct: f64) -> Score {
    Score {
        within_3_pct: 97.7,
        within_5_pct: 99.4,
        within_10_pct: 100.0,
        rms_pct,
        mean_pct: -0.08,
        worst_pct: -6.31,
        all_within_10_pct: 98.2,
        mass_pct: -0.081,
        missed_pct: 0.9,
        doubled_pct: 0.8,
        start_error_m: 0.6,
        stop_error_m: -0.2,
        start_excess_m: -0.3,
        stop_excess_m: -0.4,
        tally_area_pct: 0.02,
        tally_mass_pct: -0.001,
        floor_ratio: 72.0,
        control_within_5_pct: 99.4,
        control_within_10_pct: 100.0,
        control_rms_pct: rms_pct,
        meter_rms_pct: 0.0,
        running_cells: 180,
        all_cells: 188,
    }
}

/// A verdict that passes.
pub(super) fn passing(scenario: &str) -> Judged {
    let rival = |rms_pct| Score {
        tally_area_pct: f64::NAN,
        tally_mass_pct: f64::NAN,
        floor_ratio: f64::NAN,
        ..score(rms_pct)
    };
    let verdict = Verdict {
        scenario: scenario.to_owned(),
        title: "1 to 3 m/s and back at 0.5 m/s²".to_owned(),
        drill: "Reference drill".to_owned(),
        numbers: "nominal".to_owned(),
        seed_lot: "Demo lot 110".to_owned(),
        demo: true,
        source: "pulses, 130 per metre".to_owned(),
        fingerprint: "29A4-KX37".to_owned(),
        pass: true,
        runs: 1,
        score: score(1.03),
        rivals: Rivals { chain: rival(3.9), plain: rival(4.35), limit: rival(0.014) },
        field: None,
        misses: Vec::new(),
        us: Words::default(),
        gaps: Vec::new(),
        notes: vec![
            "with no preview a step of 0.5 m/s² from 1 m/s leaves 17 % at first".to_owned(),
        ],
    };
    let file = format!("demo-data/scenarios/{scenario}.toml").into();
    Judged { file, sides: vec!["whole".to_owned()], tolerances: 1, verdict }
}

/// A verdict that missed one tolerance.
pub(super) fn missing(scenario: &str) -> Judged {
    let mut judged = passing(scenario);
    judged.verdict.pass = false;
    judged.verdict.source = "GNSS 10 Hz, 0.1 s late, 0.02 m/s noise".to_owned();
    judged.verdict.runs = 20;
    judged.verdict.score.tally_area_pct = f64::NAN;
    judged.verdict.misses = vec![Miss {
        figure: "within_5_pct".to_owned(),
        bound: "at least 99.9".to_owned(),
        have: 99.4,
        place: Some(Place {
            seed: Some(7),
            piece: 0,
            side: 0,
            start_m: 23.5,
            entered_s: 14.2,
            laid_kg_per_ha: 103.06,
            target_kg_per_ha: 110.0,
            error_pct: -6.31,
        }),
    }];
    judged
}
