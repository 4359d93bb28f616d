//! What the journal can take: minutes of work without a standstill, wear in a season, sizes, time.

use crate::season::{counted, fresh};
use controller::gap::{Cause, Gap};
use controller::journal::{
    Journal, JournalConfig, JournalError, LARGEST_GAP, LARGEST_SNAPSHOT, SECTOR,
};
use controller::quantity::{
    Instant, MicrogramsPerTurn, MilligramsPerSquareMetre, Position, TurnsPerSecond,
};
use controller::seed::{MeterPoint, Open};
use controller::snapshot::{KeptLot, Snapshot};
use controller::tally::{Hopper, Totals};
use sim::machine::flash::{Busy, MockFlash};
use std::io::Write as _;

const CONFIG: JournalConfig =
    JournalConfig { start: 0, settings: 4, gaps: 6, counts: 256, events: 0 };

/// Erases that a sector of common serial NOR flash bears; common practice, as its makers guarantee.
const CYCLES: u32 = 100_000;

/// Records of a season: one a second, 10 h on 60 days.
const SEASON: u32 = 60 * 10 * 3_600;

/// A lot that is in force, of so many catches.
fn lot(catches: usize) -> Option<KeptLot> {
    let catch = |index: usize| MeterPoint {
        shaft: TurnsPerSecond::from_bits(i32::try_from(index + 1).expect("few") << 19),
        mass: MicrogramsPerTurn::new(120_000_000),
    };
    let lot = KeptLot { over: 0x8000_0001, meter: (0..catches).map(catch).collect() };
    (catches > 0).then_some(lot)
}

/// Counts late in the season, one gram more with every number; lots of so many catches in both boxes.
fn late(number: u64, catches: usize) -> Snapshot {
    let mut side = counted();
    side.mass_ug += number * 1_000_000;
    if catches > 0 {
        side.shared_mm2 = side.area_mm2 / 2;
    }
    Snapshot {
        sides: [side; 4],
        open: [Open::default(); 4],
        hoppers: [Hopper::filled(1_200_000_000_000, 90_000_000_000_000); 2],
        rates: [MilligramsPerSquareMetre::from_whole(11_000); 2],
        lots: [lot(catches), lot(catches)],
        gaps: 900,
        way_mm: 1_670_000_000,
    }
}

/// Works without a standstill till the journal refuses: snapshots kept, and the longest that a call stood.
fn work(journal: &mut Journal<MockFlash>, catches: usize) -> (u32, Busy) {
    let mut longest = Busy::default();
    for second in 0_u32.. {
        let before = journal.flash().busy();
        let now = Instant::from_micros(second.wrapping_mul(1_000_000));
        let kept = journal.keep(&late(u64::from(second), catches), now);
        let after = journal.flash().busy();
        longest.typical_us = longest.typical_us.max(after.typical_us - before.typical_us);
        longest.most_us = longest.most_us.max(after.most_us - before.most_us);
        match kept {
            Ok(kept) => assert!(kept, "a second has passed and an edge has come"),
            Err(error) => {
                assert_eq!(error, JournalError::NeedsErase);
                return (second, longest);
            }
        }
    }
    unreachable!("the flash has an end");
}

#[test]
fn the_reserve_is_an_hour_of_work_and_a_season_wears_a_sector_little() {
    assert_eq!(JournalConfig::default(), CONFIG, "the regions that are stated");
    for (catches, minutes, erases) in [(0, 60, 600), (6, 40, 900)] {
        let (mut journal, _) = Journal::open(MockFlash::new(266, 1), CONFIG).expect("a flash");
        let erased: u32 = journal.flash().erases().iter().sum();
        let (kept, longest) = work(&mut journal, catches);
        let per_sector = kept / u32::from(CONFIG.counts);
        let season = SEASON / per_sector / u32::from(CONFIG.counts);
        let word = format!(
            "lots of {catches} catches: {kept} snapshots, {} min, {per_sector} a sector, {season} erases of a sector in a \
             season, a call stands {longest:?}\n",
            kept / 60
        );
        std::io::stderr().write_all(word.as_bytes()).expect("a place to say it");
        assert!(kept / 60 >= minutes, "minutes without a standstill, have {word}");
        assert!(season <= erases && season * 20 < CYCLES, "wear, have {word}");
        // Ticks are 10 ms apart and late from 20 ms on.
        assert!(longest.typical_us < 10_000 && longest.most_us < 25_000, "time, have {word}");
        assert_eq!(journal.flash().erases().iter().sum::<u32>(), erased, "erases in work");
        assert_eq!(journal.refused(), 1, "told");
        goes_on(journal, kept, catches);
    }
}

/// After the refusal the last snapshot counts, and a rest makes room.
fn goes_on(mut journal: Journal<MockFlash>, kept: u32, catches: usize) {
    let (_, found) = Journal::open(journal.flash().clone(), CONFIG).expect("a flash");
    assert_eq!(found.snapshot, Some(late(u64::from(kept) - 1, catches)), "the last one kept");
    assert_eq!(journal.reserve(), 0);
    assert_eq!(journal.tend(false), Ok(false), "in work nothing is erased");
    let mut sectors = 0;
    while journal.tend(true).expect("at rest") {
        sectors += 1;
    }
    assert_eq!(journal.reserve(), 254, "all but the two that are kept");
    // Two words for each erase take some sectors themselves.
    assert!((254..260).contains(&sectors), "one a call, have {sectors}");
    let next = late(u64::from(kept), catches);
    journal.keep_now(&next, Instant::from_micros(0)).expect("there is room");
    let (_, found) = Journal::open(journal.release(), CONFIG).expect("a flash");
    assert_eq!(found.snapshot, Some(next));
}

#[test]
fn every_snapshot_comes_back_the_largest_too() {
    let most = u64::MAX;
    let side =
        Totals { distance_um: most, area_mm2: most, shared_mm2: most, mass_ug: most, by_map: most };
    let catch =
        MeterPoint { shaft: TurnsPerSecond::from_bits(-1), mass: MicrogramsPerTurn::new(most) };
    let lot = KeptLot { over: u32::MAX, meter: [catch; 6].into_iter().collect() };
    let largest = Snapshot {
        sides: [side; 4],
        open: [Open { count: u16::MAX, narrows: true }; 4],
        hoppers: [Hopper::filled(most, most); 2],
        rates: [MilligramsPerSquareMetre::from_bits(u32::MAX); 2],
        lots: [Some(lot.clone()), Some(lot)],
        gaps: u16::MAX,
        way_mm: u32::MAX,
    };
    for snapshot in [largest, Snapshot::default(), late(7, 2)] {
        let (mut journal, _) = Journal::open(MockFlash::new(266, 1), CONFIG).expect("a flash");
        journal.keep_now(&snapshot, Instant::default()).expect("there is room");
        let (_, found) = Journal::open(journal.release(), CONFIG).expect("a flash");
        assert_eq!(found.snapshot, Some(snapshot));
    }
}

/// Eight of the largest snapshots go into a sector, each with its head, its CRC and its padding; a gap has 32 bytes at most.
const _: () = assert!(8 * (LARGEST_SNAPSHOT + 6 + 8 + 3) < SECTOR && LARGEST_GAP <= 32);

#[test]
fn the_last_two_hundred_gaps_are_kept_and_more() {
    let (mut journal, _) = Journal::open(MockFlash::new(266, 1), CONFIG).expect("a flash");
    let gap = |number: u16| Gap {
        number,
        side: 3,
        cause: Cause::NoSeed,
        start_mm: u32::MAX,
        length_mm: u32::MAX,
        position: Position::new(-900_000_000, -1_800_000_000),
    };
    for number in 1..=u16::MAX / 32 {
        journal.keep_gap(&gap(number)).expect("there is room");
        while journal.tend(true).expect("at rest") {}
        if number % 97 != 0 {
            continue;
        }
        let mut kept = Vec::new();
        journal.gaps(|gap| kept.push(gap.number)).expect("there is power");
        assert!(kept.len() >= usize::from(number.min(200)), "{} of {number}", kept.len());
        let first = number + 1 - u16::try_from(kept.len()).expect("few");
        assert_eq!(kept, (first..=number).collect::<Vec<_>>(), "the last ones, in order");
    }
}

#[test]
fn settings_are_written_at_rest_only_and_what_does_not_fit_is_refused() {
    let (mut journal, _) = Journal::open(MockFlash::new(266, 1), CONFIG).expect("a flash");
    let config = fresh().config;
    assert_eq!(journal.keep_settings(&config, false), Err(JournalError::NotAtRest));
    let steps = journal.flash().steps();
    assert_eq!(journal.keep_settings(&config, true), Ok(()));
    assert!(journal.flash().steps() > steps, "written");
    for wrong in [
        JournalConfig { start: 100, ..CONFIG },
        JournalConfig { start: 4_096, ..CONFIG },
        JournalConfig { settings: 2, ..CONFIG },
        JournalConfig { gaps: 4, ..CONFIG },
        JournalConfig { counts: 2, ..CONFIG },
        JournalConfig { counts: 200, events: 4, ..CONFIG },
        JournalConfig { events: 5, ..CONFIG },
    ] {
        let opened = Journal::open(MockFlash::new(266, 1), wrong).map(|_| ());
        assert_eq!(opened, Err(JournalError::Geometry), "{wrong:?}");
    }
}
