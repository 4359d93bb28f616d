//! Field capacity (FC) and speed by the clock (SPD).

use crate::{near, read};
use sim::desk::drill::width_m;
use sim::desk::factor::{FOOT_M, SQUARE_FOOT_M2};
use sim::desk::field::{capacity_ac_per_h, capacity_ha_per_h, capacity_m2_per_s, hours_per_ha};
use sim::desk::speed::{course_s, timed_mps};
use sim::unit::{LENGTH, SPEED};

/// Progressive Forage, "Farm field equipment: efficiency versus capacity" (FC-01 to FC-03):
/// <https://www.progressiveforage.com/forage-production/equipment/farm-field-equipment-efficiency-versus-capacity>
#[test]
fn fc_01_to_03_thirty_feet_at_five_miles_an_hour() {
    let (width, speed) = (read(&LENGTH, "30 ft"), read(&SPEED, "5 mph"));
    let square_feet = capacity_m2_per_s(width, speed, 1.0) * 3600.0 / SQUARE_FOOT_M2;
    near("ft2/h", square_feet, 792_000.0, 1e-6);
    for (efficiency, published) in [(1.0, 18.2), (0.80, 14.5), (0.60, 10.9)] {
        // 14.5455 is printed as 14.5: rounded; half a step of the last digit holds for all three.
        near("ac/h", capacity_ac_per_h(width, speed, efficiency), published, 0.05);
    }
}

/// Iowa State University PM 696, April 2001 (FC-04 to FC-16):
/// <https://studylib.net/doc/18166171/extension-store---iowa-state-university>
#[test]
fn fc_04_to_16_the_table_of_machines() {
    // Rows, width of one (a whole width counts as one row), mph, efficiency, ac/h.
    // FC-16 does not print the spacing of its knives: 30 in is inferred, and fits all three.
    let table = [
        (1, "40 ft", "6 mph", 0.70, 20.4),
        (1, "50 ft", "6 mph", 0.70, 25.5),
        (1, "10 ft", "5 mph", 0.63, 3.8),
        (1, "15 ft", "5 mph", 0.63, 5.7),
        (1, "15 ft", "6 mph", 0.63, 6.9),
        (1, "20 ft", "6 mph", 0.63, 9.2),
        (1, "30 ft", "6 mph", 0.60, 13.1),
        (7, "16 in", "5 mph", 0.85, 4.8),
        (8, "16 in", "5 mph", 0.85, 5.5),
        (8, "18 in", "5 mph", 0.85, 6.2),
        (10, "18 in", "5 mph", 0.83, 7.5),
        (12, "18 in", "5 mph", 0.83, 9.1),
        (9, "30 in", "5 mph", 0.65, 8.9),
        (13, "30 in", "5 mph", 0.65, 12.8),
        (17, "30 in", "5 mph", 0.63, 16.2),
    ];
    for (rows, each, speed, efficiency, published) in table {
        let width = width_m(rows, read(&LENGTH, each));
        let have = capacity_ac_per_h(width, read(&SPEED, speed), efficiency);
        near(&format!("{rows} × {each} at {speed}, ac/h"), have, published, 0.05);
    }
}

/// Sanfoundry, farm machinery questions (FC-17):
/// <https://www.sanfoundry.com/farm-machinery-questions-answers-sowing-equipments-seed-metering-mechanism/>
#[test]
fn fc_17_five_rows_at_three_kilometres_an_hour() {
    let (width, speed) = (width_m(5, read(&LENGTH, "22 cm")), read(&SPEED, "3 km/h"));
    near("ha/h", capacity_ha_per_h(width, speed, 1.0), 0.33, 1e-9);
    near("h/ha", hours_per_ha(width, speed, 1.0), 3.03, 0.005);
}

/// NDSU Extension, `ProCrop` metric card (SPD-01 to SPD-03):
/// <http://www.ag.ndsu.nodak.edu/aginfo/procrop/hrs/metric06.htm>
#[test]
fn spd_01_to_03_one_mile_an_hour() {
    let mph = read(&SPEED, "1 mph");
    near("ft/min", mph * 60.0 / FOOT_M, 88.0, 1e-9);
    near("s per 100 ft", course_s(read(&LENGTH, "100 ft"), mph), 68.0, 0.5);
    near("km/h", mph * 3.6, 1.609, 0.0005);
}

/// "How do I find mph if my time is in seconds" (SPD-04, SPD-05):
/// <https://maintenance.cars.narkive.com/KVHeMxK5/how-do-i-find-mph-if-my-time-is-in-seconds>
#[test]
fn spd_04_and_05_miles_an_hour_by_the_clock() {
    let mph = read(&SPEED, "1 mph");
    near("11 ft in 3 s, mph", timed_mps(read(&LENGTH, "11 ft"), 3.0) / mph, 2.5, 1e-9);
    let grid = [6.818, 3.409, 2.273, 1.705, 1.364, 1.136, 0.974];
    for (seconds, published) in (1_u32..).zip(grid) {
        let have = timed_mps(read(&LENGTH, "10 ft"), f64::from(seconds)) / mph;
        near(&format!("10 ft in {seconds} s, mph"), have, published, 0.0005);
    }
}

/// Seconds for courses of 100, 200 and 300 ft; first principles, both ways.
#[test]
fn courses_take_the_seconds_of_the_timing_table() {
    let table = [(1.0, 68.18), (2.0, 34.09), (3.0, 22.73), (4.0, 17.05), (5.0, 13.64), (8.0, 8.52)];
    for (mph, seconds) in table {
        let speed = mph * read(&SPEED, "1 mph");
        for course in [1.0, 2.0, 3.0] {
            let distance = course * read(&LENGTH, "100 ft");
            near("s", course_s(distance, speed), course * seconds, course * 0.005);
        }
    }
}
