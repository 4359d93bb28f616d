//! Power cut at every write step of a season, and of rings that go round.

use crate::bench::{Bench, Count, SECTORS, SMALL, make};
use crate::season::{Call, Deed, fresh, season};
use controller::gap::{Cause, Gap};
use controller::journal::{Journal, JournalError, Recovered};
use controller::quantity::{Micros, Position};
use sim::machine::flash::MockFlash;
use std::io::Write as _;

#[test]
fn a_cut_at_any_write_step_loses_a_second_of_tally_at_most_and_never_settings() {
    let mut bench = Bench::start();
    let mut later = Micros::ZERO;
    for deed in season() {
        let busy = bench.journal.flash().busy().typical_us;
        bench.step(deed, later);
        let stood = bench.journal.flash().busy().typical_us - busy;
        // The board's program stands while the flash works; what is longer than a tick makes the next one late.
        later = Micros::new(u32::try_from(stood.saturating_sub(10_000)).expect("short"));
    }
    let Count { calls, cuts, nested, old } = bench.count;
    let erases = bench.journal.flash().erases().to_vec();
    let word = format!(
        "{calls} calls that write, {cuts} cuts, {nested} more during recovery; {} gaps; erases by sector {erases:?}\n",
        bench.confirmed.gaps.len()
    );
    std::io::stderr().write_all(word.as_bytes()).expect("a place to say it");
    assert!(cuts > 15_000 && nested > 500, "have {word}");
    assert!(old > cuts / 2, "a cut record is not there, have {old} of {cuts}");
    assert_eq!(erases[0] + erases[SECTORS - 1], 0, "sectors that are not the journal's");
    assert!(erases[9..15].iter().all(|erases| *erases >= 3), "several rounds, have {erases:?}");
    assert!(bench.confirmed.gaps.len() >= 10, "gaps of the last side");
    assert_eq!(bench.journal.refused(), 0, "the reserve was enough");
}

#[test]
fn a_cut_loses_no_settings_and_no_gap_when_their_rings_go_round() {
    let mut bench = Bench::start();
    bench.step(Deed::Stand, Micros::ZERO);
    assert!(bench.drill.outputs.stands(), "have {:?}", bench.drill.outputs);
    for number in 1..=1_100_u16 {
        if number % 10 == 0 {
            bench.drill.config.capture_rate += 1;
            bench.call(&Call::Settings(Box::new(bench.drill.config.clone())));
        }
        bench.call(&Call::Gap(gap(number)));
        bench.call(&Call::Tend);
    }
    let Count { cuts, nested, .. } = bench.count;
    let erases = bench.journal.flash().erases().to_vec();
    let word = format!("rings: {cuts} cuts, {nested} more; erases by sector {erases:?}\n");
    std::io::stderr().write_all(word.as_bytes()).expect("a place to say it");
    assert!(erases[1..9].iter().all(|erases| *erases >= 2), "every ring, have {word}");
}

fn gap(number: u16) -> Gap {
    let position = Position::new(481_234_567, 112_345_678 + i32::from(number));
    let start_mm = u32::from(number) * 1_234_567;
    Gap { number, side: 2, cause: Cause::Shaft, start_mm, length_mm: 1_500, position }
}

#[test]
fn a_sector_that_only_looks_erased_is_not_trusted() {
    let mut journal = worn();
    let before = journal.clone();
    let steps = journal.flash().steps();
    assert_eq!(journal.tend(true), Ok(true), "a sector is to be erased");
    let taken = journal.flash().steps() - steps;
    let mut drill = fresh();
    for step in 0..taken {
        let mut cut = before.clone();
        cut.flash().cut_after(step);
        assert!(cut.tend(true).is_err(), "cut at step {step}");
        let mut flash = cut.release();
        flash.power_up();
        let (mut journal, _) = Journal::open(flash, SMALL).expect("there is power");
        let mut last = None;
        loop {
            drill.step(Deed::Sow { last_side: true }, Micros::ZERO);
            match make(&mut journal, &drill, &Call::KeepNow) {
                Ok(()) => last = Some(drill.snapshot()),
                Err(error) => break assert_eq!(error, JournalError::NeedsErase),
            }
        }
        // A weak sector loses bits by now.
        let mut flash = journal.release();
        flash.power_up();
        let (_, found) = Journal::open(flash, SMALL).expect("there is power");
        assert_eq!(found.snapshot, last, "the last one kept, after a cut at step {step}");
    }
}

/// A journal that has used up its reserve, and got back one sector of it.
fn worn() -> Journal<MockFlash> {
    let (mut journal, _) = Journal::open(MockFlash::new(SECTORS, 5), SMALL).expect("a flash");
    let mut drill = fresh();
    drill.step(Deed::Sow { last_side: true }, Micros::ZERO);
    while make(&mut journal, &drill, &Call::KeepNow).is_ok() {}
    assert_eq!(journal.tend(true), Ok(true), "settings, gaps or counts");
    assert_eq!(journal.reserve(), 1, "of the counts");
    journal
}

#[test]
fn a_cut_in_the_first_power_up_leaves_a_flash_that_can_be_opened() {
    let mut flash = MockFlash::new(SECTORS, 2);
    flash.fill_with_garbage();
    let mut cuts = 0;
    for step in 0.. {
        let mut again = flash.clone();
        again.cut_after(step);
        if Journal::open(&mut again, SMALL).is_ok() {
            break;
        }
        again.power_up();
        let (mut journal, found) = Journal::open(again, SMALL).expect("there is power");
        assert_eq!(found, Recovered::default(), "after step {step}");
        let drill = fresh();
        make(&mut journal, &drill, &Call::KeepNow).expect("room");
        cuts += 1;
    }
    assert!(cuts >= 4 * 14, "four steps a sector, have {cuts}");
}
