//! Seeding rates: pure live seed (PLS-), coated seed (COAT-), thousand-seed weight (TGW-), seed counts (CNT-).

use crate::{near, read};
use sim::desk::rate::{
    bag_rate, establishment, kg_per_ha, live_share, pls_share, pure_share, seeds_for_plants,
    seeds_per_kg, seeds_per_kg_of_sample, seeds_per_m2,
};
use sim::unit::{MASS, PER_AREA, PER_MASS, RATE};

/// A pound an acre, kg/ha.
fn pound_an_acre() -> f64 {
    read(&RATE, "1 lb/ac")
}

/// Purity, germination, published share and step of it, published bulk pounds per pound and step.
///
/// PLS-04 to -06: Penn State, Plant Science, turf fact sheet "Calculating seed price",
/// <http://plantscience.psu.edu/research/centers/turf/extension/factsheets/calculating-seed-price>, whole per cent.
/// PLS-07: <http://www.ernstseed.com/bulk-vs-pure-live-seed-pls/>. PLS-10: <https://www.dkseeds.com/pls>.
#[test]
fn pure_live_seed_and_bulk_pounds_are_the_published_ones() {
    let table = [
        ("PLS-04", 0.92, 0.80, 0.74, 0.005, 1.4, 0.05),
        ("PLS-05", 0.85, 0.60, 0.51, 0.005, 2.0, 0.5),
        ("PLS-06", 0.99, 0.90, 0.89, 0.005, 1.1, 0.05),
        ("PLS-07", 0.96, 0.80, 0.768, 0.0005, 1.3, 0.05),
        ("PLS-10", 0.50, 0.80, 0.40, 1e-12, 2.5, 1e-12),
    ];
    for (row, purity, germination, share, share_step, bulk, bulk_step) in table {
        let have = pls_share(pure_share(purity, 0.0), live_share(germination, 0.0));
        near(&format!("{row}, share"), have, share, share_step);
        near(&format!("{row}, bulk lb a lb"), bag_rate(1.0, have), bulk, bulk_step);
    }
}

/// PLS-01: Texas DOT, <https://www.txdot.gov/about/campaigns-outreach/bluebonnets-wildflowers/pure-live-seed.html>.
/// It rounds the share to 0.64 before it divides: 1.56. The unrounded share, 0.6375, gives 1.57.
#[test]
fn pls_01_rounds_on_the_way() {
    let have = pls_share(pure_share(0.85, 0.0), live_share(0.75, 0.0));
    near("share", have, 0.64, 0.005);
    near("bulk from the printed share", bag_rate(1.0, 0.64), 1.56, 0.005);
    near("bulk from the true share", bag_rate(1.0, have), 1.5686, 5e-5);
}

/// PLS-02 and -03: <http://ec3grp.com/PLS-vs-bulk-seed.htm>: hard seed counts as live.
#[test]
fn hard_seed_counts_in_pure_live_seed() {
    let grass = pls_share(pure_share(0.98, 0.0), live_share(0.92, 0.05));
    near("PLS-02", grass, 0.9506, 5e-5);
    near("PLS-02, lb/ac", bag_rate(3.00, grass), 3.16, 0.005);
    let viable = pls_share(pure_share(0.95, 0.0), live_share(0.85, 0.0));
    near("PLS-03", viable, 0.8075, 5e-5);
    near("PLS-03, lb/ac", bag_rate(0.12, viable), 0.15, 0.005);
}

/// PLS-08: Rangelands Gateway, <https://rangelandsgateway.org/taxonomy/term/24749>. PLS-09: Allamakee SWCD,
/// <http://allamakeeswcd.org/calculate-seeding-rates-in-pure-live-seed/>, digits cut: 91.83 of 91.8375. The same page
/// errs: it makes 45.9 lb of pure live seed of 55 lb, which is what 50 lb hold; 55 lb hold 50.5.
#[test]
fn a_cut_digit_and_an_error_of_the_source_are_told_apart() {
    near("PLS-08", pls_share(pure_share(0.96, 0.0), live_share(0.91, 0.0)), 0.8736, 5e-5);
    let have = pls_share(pure_share(0.9875, 0.0), live_share(0.88, 0.05));
    assert!((0.9183..0.9184).contains(&have), "PLS-09: {have}, published 0.9183, digits cut");
    near("55 lb, pure live", 55.0 * have, 50.5, 0.05);
    near("50 lb, pure live: the printed figure", 50.0 * have, 45.9, 0.05);
}

/// COAT-01, -02: Progressive Forage, "What's in your alfalfa seed bag?",
/// <https://www.progressiveforage.com/forage-types/alfalfa/whats-in-your-alfalfa-seed-bag>: the coating counts against
/// purity; its 90 % holds the light coat of 9 % and 1 % of other matter. COAT-03, -04: Hay & Forage Grower,
/// <http://hayandforage.com/hay/alfalfa/live-seed-bag>; the bag of 50 lb is implied, and 7.15 stands for 7.14.
#[test]
fn a_coating_counts_against_purity() {
    near("COAT-01, from the tag", pls_share(pure_share(0.90, 0.0), 0.90), 0.81, 1e-12);
    near("COAT-01, from its parts", pls_share(pure_share(0.99, 0.09), 0.90), 0.81, 0.005);
    let heavy = pls_share(pure_share(1.0, 0.34), 0.90);
    near("COAT-02, 66 % pure", heavy, 0.66 * 0.90, 1e-12);
    near("COAT-02, bag rate against the light coat", 0.81 / heavy, 1.3636, 5e-5);
    let coated = pls_share(pure_share(1.0, 0.30), 0.80);
    near("COAT-03", coated, 0.56, 1e-12);
    near("COAT-04, dollars a live pound", bag_rate(200.0 / 50.0, coated), 7.15, 0.01);
}

/// Teagasc (TGW-01), <https://www.teagasc.ie/crops/crops/cereal-crops/spring-cereals/sowing/>, takes 10 from 95 and has
/// 85 %; a share of 10 % of the 95 would be 85.5 %. Agriland (TGW-02, -03),
/// <https://www.agriland.ie/farming-news/tillage-management-what-factors-affect-seeding-rate/> and
/// <https://www.agriland.co.uk/farming-news/getting-the-right-seed-rate-in-your-spring-cereals/>. Whole kg/ha.
#[test]
fn thousand_grain_weight_gives_the_published_rates() {
    let table = [
        ("TGW-01", 280.0, "50.9 g", 0.85, 168.0),
        ("TGW-02", 300.0, "51.9 g", 0.85, 183.0),
        ("TGW-03", 300.0, "50 g", 0.85, 176.0),
    ];
    for (row, plants, thousand, share, published) in table {
        let have = kg_per_ha(seeds_for_plants(plants, share), seeds_per_kg(read(&MASS, thousand)));
        // 176.47 is printed 176, 183.18 is 183, 167.67 is 168.
        near(row, have, published, 0.5);
    }
    near("losses multiply", establishment(0.95, 0.10), 0.855, 1e-12);
}

/// TGW-04: Birchip Cropping Group, canola note. TGW-05: Canola Council of Canada, Canola Watch, 2010-05-17, with the
/// factor 9.6 for 9.6033.
#[test]
fn small_seed_gives_the_published_rates() {
    let count = read(&PER_MASS, "211400 seeds/kg");
    near("TGW-04", kg_per_ha(seeds_for_plants(40.0, 0.85), count), 2.23, 0.005);
    let seeds = seeds_for_plants(read(&PER_AREA, "10 /ft2"), 0.50);
    let have = kg_per_ha(seeds, seeds_per_kg(read(&MASS, "4 g"))) / pound_an_acre();
    near("TGW-05, lb/ac", have, 7.7, 0.05);
    near("TGW-05, exact", have, 7.6827, 5e-5);
}

/// TGW-06: PGG Wrightson Grain, <https://www.pggwrightsongrain.co.nz/cereal-research/cereal-seed-sowing-rates>:
/// germination 95 %, establishment 90 % of that. Whole kg/ha. One cell errs: 100 plants of 50 g are 58.48, printed 59.
#[test]
fn the_grid_of_cereal_rates_is_met_but_for_the_cell_that_errs() {
    let grid = [
        (100.0, [53.0, 59.0, 64.0]),
        (125.0, [66.0, 73.0, 80.0]),
        (175.0, [92.0, 102.0, 113.0]),
        (200.0, [105.0, 117.0, 129.0]),
        (250.0, [132.0, 146.0, 161.0]),
        (300.0, [158.0, 175.0, 193.0]),
    ];
    for (plants, cells) in grid {
        for (thousand, published) in [0.045, 0.050, 0.055].into_iter().zip(cells) {
            let seeds = seeds_for_plants(plants, establishment(0.95, 0.10));
            let have = kg_per_ha(seeds, seeds_per_kg(thousand));
            if (published - 59.0_f64).abs() < 0.5 {
                near("the cell that errs", have, 58.48, 0.005);
                assert!(have.round() < published, "printed one too high");
            } else {
                near(&format!("{plants} plants, {thousand} kg"), have, published, 0.5);
            }
        }
    }
}

/// CNT-01 to -03: Montana State University and Divide County Extension,
/// <http://msuextension.org/roosevelt/calcseedrates.html>. It takes 453.6 g a pound.
#[test]
fn a_counted_sample_gives_the_published_count() {
    let pound = read(&MASS, "1 lb");
    let count = |mass| seeds_per_kg_of_sample(100.0, read(&MASS, mass)) * pound;
    near("CNT-01, seeds/lb", count("0.0457 lb"), 2188.0, 0.5);
    near("CNT-02, seeds/lb", count("0.73 oz"), 2192.0, 0.5);
    near("CNT-03, g/lb", 1000.0 * pound, 453.6, 0.05);
    near("CNT-03, oz/lb", pound / read(&MASS, "1 oz"), 16.0, 1e-12);
}

/// CNT-04: NDSU Extension, Burke County, 2013-01-21, in millions. Its other figure, 26 plants/ft² as 1.2 million, is
/// 6 % high (1.13) and is not asserted (CNT-05). CNT-06: <https://curiousfarmer.com/2010/01/20/forage-seeding-rates-seeds-per-square-foot/>
/// rounds to 5 seeds a square foot for each pound before it multiplies: 50 for 52.1.
#[test]
fn seeds_on_an_area_are_the_published_ones() {
    let acre = read(&PER_AREA, "1 /ac");
    near("CNT-04, million/ac", read(&PER_AREA, "34 plants/ft2") / acre / 1e6, 1.48, 0.005);
    let foot = read(&PER_AREA, "1 /ft2");
    let count = read(&PER_MASS, "227000 seeds/lb");
    let per_pound = seeds_per_m2(pound_an_acre(), count) / foot;
    near("CNT-06, seeds/ft2 a pound", per_pound, 5.0, 0.5);
    near("CNT-06, by the rounded five", 10.0 * per_pound.round(), 50.0, 1e-9);
    near("CNT-06, exact", seeds_per_m2(10.0 * pound_an_acre(), count) / foot, 52.11, 0.005);
}

/// University of Kentucky, Bitzer and Herbek, <http://www.uky.edu/Ag/Wheat/seedrate.html>: lb/ac for 35 and for 30
/// seeds/ft². Whole pounds; the first cell is printed 150 for 152.46.
#[test]
fn the_wheat_grid_is_met_but_for_the_cell_in_round_tens() {
    let grid = [
        (10_000.0, 150.0, 131.0),
        (12_000.0, 127.0, 109.0),
        (14_000.0, 109.0, 93.0),
        (16_000.0, 95.0, 82.0),
        (18_000.0, 85.0, 73.0),
        (20_000.0, 76.0, 65.0),
    ];
    let foot = read(&PER_AREA, "1 /ft2");
    let pound = read(&PER_MASS, "1 seeds/lb");
    for (count, at_35, at_30) in grid {
        let have = |seeds| kg_per_ha(seeds * foot, count * pound) / pound_an_acre();
        if count < 11_000.0 {
            near("the cell in tens", have(35.0), 152.46, 0.005);
            near("the cell in tens, as printed", (have(35.0) / 10.0).round() * 10.0, at_35, 1e-9);
        } else {
            near(&format!("35, {count} seeds/lb"), have(35.0), at_35, 0.5);
        }
        near(&format!("30, {count} seeds/lb"), have(30.0), at_30, 0.5);
    }
}
