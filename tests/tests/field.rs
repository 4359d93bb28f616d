//! Ground in two dimensions: what was sown once, twice, not at all, against areas worked out by hand, against
//! scan lines, and on whole fields.

use core::f64::consts::PI;
use geo::{Area, LineString, Polygon};
use sim::bench::{judge, run};
use sim::field::boundary::Boundary;
use sim::field::coverage::{Areas, Coverage};
use sim::field::gaps::{Cause, gaps};
use sim::field::pose::Pose;
use sim::field::scan::scan;
use sim::field::strip::{Fate, Lane, Strip, parts};
use sim::field::track::trails;
use sim::field::trail::Trail;
use sim::field::{Field, FieldFigures, Way};
use sim::scenario::{Scenario, Source};

/// Poses of a made-up pass, but for the first.
const STEPS: u32 = 1000;

/// A pass of a side `width_m` wide from `start` over `length_m` at a curvature.
fn pass(number: usize, start: Pose, length_m: f64, curvature_per_m: f64, width_m: f64) -> Strip {
    let poses: Vec<Pose> = (0..=STEPS)
        .map(|k| start.along(length_m * f64::from(k) / f64::from(STEPS), curvature_per_m))
        .collect();
    let lane = Lane { piece: 0, side: 0, offset_m: 0.0, straight_m: 0.000_5 };
    Strip {
        piece: 0,
        side: 0,
        pass: number,
        fate: Fate::Sown,
        travel_m: (0.0, length_m),
        start: start.at(),
        length_m,
        asked_around: (false, false),
        parts: parts(&poses, width_m, lane),
    }
}

fn rectangle(x: f64, y: f64) -> Polygon<f64> {
    Polygon::new(LineString::from(vec![(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)]), Vec::new())
}

/// Areas by scan lines 0.1 m apart.
fn scanned(strips: &[Strip], coverage: &Coverage) -> Areas {
    let sown: Vec<_> =
        strips.iter().filter(|it| it.fate == Fate::Sown).flat_map(|it| &it.parts).collect();
    scan(&sown, &coverage.field.iter().collect::<Vec<_>>(), 0.1)
}

fn near(name: &str, have: f64, want: f64, within: f64) {
    assert!((have - want).abs() <= within, "{name}: have {have}, want {want} within {within}");
}

/// Holds every area to `want` within `exact`, and the scan lines to it within `lines`.
fn hold(strips: &[Strip], field: &Polygon<f64>, want: Areas, exact: f64, lines: f64) {
    let coverage = Coverage::of(strips, Some(field));
    for (areas, within) in [(coverage.areas(), exact), (scanned(strips, &coverage), lines)] {
        near("field", areas.field_m2, want.field_m2, within);
        near("once", areas.once_m2, want.once_m2, within);
        near("twice", areas.twice_m2, want.twice_m2, within);
        near("not", areas.not_m2, want.not_m2, within);
        near("outside", areas.outside_m2, want.outside_m2, within);
    }
}

#[test]
fn two_passes_with_an_overlap_a_gap_and_an_overrun_have_the_areas_worked_out_by_hand() {
    // 100 m × 10 m. Pass 1: 4 m wide, y 0..4, x 0..100. Pass 2: y 3.5..7.5, x 10..103.
    let onward = |x_m, y_m| Pose { x_m, y_m, heading_rad: 0.0 };
    let strips =
        [pass(1, onward(0.0, 2.0), 100.0, 0.0, 4.0), pass(2, onward(10.0, 5.5), 93.0, 0.0, 4.0)];
    let twice = 0.5 * 90.0;
    let want = Areas {
        field_m2: 1000.0,
        once_m2: 400.0 + 360.0 - 2.0 * twice,
        twice_m2: twice,
        not_m2: 1000.0 - 400.0 - 360.0 + twice,
        outside_m2: 3.0 * 4.0,
    };
    hold(&strips, &rectangle(100.0, 10.0), want, 1e-3, 0.1);
}

#[test]
fn the_exact_areas_are_exact_to_a_millionth() {
    let onward = |y_m| Pose { x_m: 0.0, y_m, heading_rad: 0.0 };
    let strips = [pass(1, onward(2.0), 100.0, 0.0, 4.0), pass(2, onward(5.5), 100.0, 0.0, 4.0)];
    let areas = Coverage::of(&strips, Some(&rectangle(100.0, 10.0))).areas();
    for (name, have, want) in [
        ("once", areas.once_m2, 700.0),
        ("twice", areas.twice_m2, 50.0),
        ("not", areas.not_m2, 250.0),
    ] {
        assert!((have / want - 1.0).abs() < 1e-6, "{name}: have {have}, want {want}");
    }
}

#[test]
fn a_circle_is_an_annulus_and_one_turn_too_many_is_sown_twice() {
    // Middle of a side of 3 m on a radius of 20 m: one turn, then a quarter more.
    let start = Pose { x_m: 40.0, y_m: 20.0, heading_rad: 0.0 };
    let strips = [pass(1, start, 2.5 * PI * 20.0, 1.0 / 20.0, 3.0)];
    let ring = PI * (21.5_f64.powi(2) - 18.5_f64.powi(2));
    let want = Areas {
        field_m2: 6400.0,
        once_m2: 0.75 * ring,
        twice_m2: 0.25 * ring,
        not_m2: 6400.0 - ring,
        outside_m2: 0.0,
    };
    // Straightened by up to 0.5 mm over 40 m of ring edges.
    hold(&strips, &rectangle(80.0, 80.0), want, 0.15, 0.6);
}

#[test]
fn a_late_start_is_listed_with_its_side_its_place_and_its_area() {
    let start = Pose { x_m: 0.0, y_m: 2.0, heading_rad: 0.0 };
    let late = Strip {
        fate: Fate::Owed,
        asked_around: (false, true),
        side: 1,
        ..pass(1, start, 0.8, 0.0, 4.0)
    };
    let rest = pass(1, start.along(0.8, 0.0), 99.2, 0.0, 4.0);
    let strips = [late, rest];
    let coverage = Coverage::of(&strips, Some(&rectangle(100.0, 4.0)));
    let gaps = gaps(&coverage, &strips, &[]);
    assert_eq!(gaps.len(), 1, "{gaps:?}");
    assert_eq!((gaps[0].cause, gaps[0].side), (Cause::LateStart, Some(1)));
    near("area", gaps[0].area_m2, 3.2, 1e-3);
    near("length", gaps[0].length_m, 0.8, 1e-9);
    near("begins", gaps[0].x_m, 0.0, 1e-9);
}

fn demo(name: &str) -> (Scenario, FieldFigures) {
    let scenario = tests::demo_scenario(name);
    let figures = run(&scenario, 1).expect("demo settings are right").field.expect("a field");
    (scenario, figures)
}

/// The boundary of a demo field, and its area by the shoelace formula.
fn boundary(scenario: &Scenario) -> (&Boundary, f64) {
    let field = scenario.field.as_ref().expect("a field");
    let boundary = field.boundary.as_ref().expect("a boundary");
    let lines = boundary.polygon().exterior().lines();
    let twice: f64 = lines.map(|it| it.start.x * it.end.y - it.end.x * it.start.y).sum();
    (boundary, twice / 2.0)
}

#[test]
fn what_was_sown_once_twice_and_not_adds_up_to_each_demo_field() {
    for (name, area_m2) in [("field-rectangle", 13_440.0), ("field-slanting", 18_700.0)] {
        let (scenario, figures) = demo(name);
        near(name, boundary(&scenario).1, area_m2, 1e-6);
        let sum = figures.sown_once_m2 + figures.sown_twice_m2 + figures.not_sown_m2;
        assert!((sum / area_m2 - 1.0).abs() < 1e-3, "{name}: {sum} of {area_m2}");
        let gaps: f64 = figures.gaps.iter().map(|gap| gap.area_m2).sum();
        println!(
            "{name}: sum off by {:e}, gaps list {gaps} of {}",
            sum / area_m2 - 1.0,
            figures.not_sown_m2
        );
        assert!(gaps <= figures.not_sown_m2 + 0.1 && gaps > 0.95 * figures.not_sown_m2, "{name}");
    }
}

#[test]
fn exact_geometry_and_scan_lines_agree_on_a_whole_field() {
    for name in ["field-rectangle", "field-slanting"] {
        let scenario = tests::demo_scenario(name);
        let survey = sim::field::survey::driven(&scenario, 1).expect("a field");
        let (exact, lines) = (survey.coverage.areas(), scanned(&survey.strips, &survey.coverage));
        println!("{name}: {exact:?}\n  by lines {lines:?}");
        let within = 0.000_5 * exact.field_m2;
        near("once", lines.once_m2, exact.once_m2, within);
        near("twice", lines.twice_m2, exact.twice_m2, within);
        near("not", lines.not_m2, exact.not_m2, within);
        near("outside", lines.outside_m2, exact.outside_m2, within);
    }
}

#[test]
fn what_was_driven_is_the_plan_within_a_millimetre() {
    let scenario = tests::demo_scenario("field-rectangle");
    let Some(Field { way: Way::Planned(path), .. }) = &scenario.field else { panic!("a plan") };
    let trail = Trail::driven(&scenario, &scenario.profile.pieces[0]);
    let mut s = 0.0;
    let mut worst: f64 = 0.0;
    for pair in trail.poses.windows(2) {
        s += (pair[1].x_m - pair[0].x_m).hypot(pair[1].y_m - pair[0].y_m);
        let planned = path.pose(s);
        worst = worst.max((planned.x_m - pair[1].x_m).hypot(planned.y_m - pair[1].y_m));
    }
    println!("{worst} m off the plan at most over {s} m");
    assert!(worst < 0.001, "{worst} m off the plan");
}

#[test]
fn a_side_narrower_than_planned_turns_the_field_red() {
    let mut scenario = tests::demo_scenario("field-rectangle");
    let keys = ["not_sown_pct", "sown_twice_pct", "sown_outside_pct"];
    scenario.tolerances.retain(|it| keys.contains(&it.figure.as_str()));
    let right = judge(&scenario, &|_| {}).expect("settings are right");
    assert!(right.pass, "{:?}", right.misses);
    // A side that is truly half a metre narrower than planned leaves strips between the passes.
    let mut narrow = scenario.clone();
    narrow.drill.sides[0].width_m -= 0.5;
    let narrow = judge(&narrow, &|_| {}).expect("settings are right");
    assert!(narrow.misses.iter().any(|miss| miss.figure == "not_sown_pct"), "{:?}", narrow.misses);
}

/// A recorded track on two sides of 3 m, its ground where its positions were.
fn recorded(name: &str) -> Option<Scenario> {
    let file = tests::track(name)?;
    let (drill, lot) = (tests::demo("drills/two-sides.toml"), tests::demo("seeds/demo-110.toml"));
    let scenario = sim::scenario::read::replay(&file, &drill, &lot, Source::Pulses);
    let mut scenario = scenario.unwrap_or_else(|error| panic!("{error}"));
    let trails = trails(&file).unwrap_or_else(|error| panic!("{error}")).expect("positions");
    scenario.field = Some(Field { boundary: None, way: Way::Recorded(trails) });
    Some(scenario)
}

#[test]
fn recorded_tracks_sow_width_times_way_and_their_overlaps_are_listed() {
    for name in ["field-a", "field-b"] {
        let Some(scenario) = recorded(name) else { return };
        let survey = sim::field::survey::driven(&scenario, 1).expect("a field");
        let sown = || survey.strips.iter().filter(|it| it.fate == Fate::Sown);
        let way_m2: f64 = sown().map(|it| 3.0 * it.length_m).sum();
        let parts_m2: f64 = sown().flat_map(|it| &it.parts).map(Area::unsigned_area).sum();
        let areas = survey.coverage.areas();
        let figures = survey.figures(false);
        println!("{name}: width x way {way_m2:.1} m², parts {parts_m2:.1} m², {areas:?}");
        println!("  {} gaps, {} overlaps", figures.gaps.len(), figures.overlaps.len());
        assert!(way_m2 > 10_000.0, "{name}: {way_m2} m² is no day's work");
        assert!((parts_m2 / way_m2 - 1.0).abs() < 0.01, "{name}: {parts_m2} of {way_m2}");
        let covered = areas.once_m2 + areas.twice_m2 + areas.outside_m2;
        let shared = parts_m2 - covered;
        // What was sown twice counts twice among the parts, three times thrice.
        assert!(shared >= 0.99 * areas.twice_m2, "{name}: {shared} m² shared, {areas:?}");
        assert!(!figures.overlaps.is_empty(), "{name}: passes that never meet");
        let lines = scanned(&survey.strips, &survey.coverage);
        near(name, lines.twice_m2, areas.twice_m2, 0.001 * areas.field_m2);
        near(name, lines.once_m2, areas.once_m2, 0.001 * areas.field_m2);
    }
}
