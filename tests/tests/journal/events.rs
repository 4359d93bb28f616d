//! The operator's events in the journal: kept in order, and none lost by a power cut.

use controller::journal::{Journal, JournalConfig, JournalError};
use controller::panel::{Event, EventKind};
use controller::quantity::Position;
use sim::machine::flash::MockFlash;

const CONFIG: JournalConfig =
    JournalConfig { start: 4_096, settings: 3, gaps: 5, counts: 3, events: 5 };

/// Sectors of the flash, one before and one behind the journal.
const SECTORS: usize = 18;

/// One of the largest events.
fn event(number: u32) -> Event {
    let kinds = EventKind::ALL;
    let kind = kinds[usize::try_from(number).expect("small") % kinds.len()];
    Event {
        number,
        at_ms: u32::MAX,
        way_mm: u32::MAX,
        kind,
        value: u32::MAX - number,
        side: (!number.is_multiple_of(3)).then_some(u8::MAX),
        position: Position::new(-900_000_000, -1_800_000_000).filter(|_| !number.is_multiple_of(5)),
    }
}

/// The events of a flash after a power-up, and the number told of the newest.
fn kept(mut flash: MockFlash) -> (Vec<Event>, u32) {
    flash.power_up();
    let (mut journal, found) = Journal::open(flash, CONFIG).expect("there is power");
    let mut events = Vec::new();
    journal.events(|event| events.push(event)).expect("there is power");
    (events, found.event)
}

#[test]
fn a_cut_at_any_step_loses_no_event_that_was_kept() {
    let flash = MockFlash::new(SECTORS, 3);
    let (mut journal, found) = Journal::open(flash, CONFIG).expect("a flash");
    assert_eq!(found.event, 0);
    let (mut cuts, mut fewest) = (0, usize::MAX);
    for number in 1..=700 {
        let before = journal.clone();
        let steps = journal.flash().steps();
        journal.keep_event(&event(number)).expect("there is room");
        // Every eleventh call is cut, and every one once the ring goes round.
        let is_cut = number > 420 || number.is_multiple_of(11);
        let taken = if is_cut { journal.flash().steps() - steps } else { 0 };
        for step in 0..taken {
            let mut cut = before.clone();
            cut.flash().cut_after(step);
            assert!(cut.keep_event(&event(number)).is_err(), "cut at step {step}");
            let (events, newest) = kept(cut.release());
            let last = events.last().map_or(0, |event| event.number);
            assert_eq!(newest, last, "the number that the panel goes on after");
            assert!(last == number || last == number - 1, "{last} after {number} was cut");
            cuts += 1;
        }
        while journal.tend(true).expect("at rest") {}
        if number.is_multiple_of(50) {
            let (events, _) = kept(journal.flash().clone());
            let first = number + 1 - u32::try_from(events.len()).expect("few");
            assert_eq!(events, (first..=number).map(event).collect::<Vec<_>>(), "in order");
            if number >= 350 {
                fewest = fewest.min(events.len());
            }
        }
    }
    println!("{cuts} cuts, {fewest} events at the least");
    assert!(cuts > 1_000, "have {cuts}");
    assert!(fewest >= 150, "have {fewest}");
}

#[test]
fn without_sectors_for_them_events_are_refused() {
    let config = JournalConfig { events: 0, ..CONFIG };
    let (mut journal, _) = Journal::open(MockFlash::new(SECTORS, 1), config).expect("a flash");
    assert_eq!(journal.keep_event(&event(1)), Err(JournalError::NoRegion));
    let mut count = 0;
    journal.events(|_| count += 1).expect("there is power");
    assert_eq!((count, journal.refused()), (0, 0));
}
