//! The bench of the proof: power cut at every write step of a season, and at every write step of each recovery.
//!
//! ```text
//!  before a call ──► call ✂ at step k ──► power-up ──► open ✂ at step j ──► power-up ──► open ──► what is there?
//! ```
//!
//! Asked of what is there: settings are those confirmed last, or those being written; the snapshot is exactly one that
//! was given, the last confirmed or the one being written, at or above the counts of a second ago and at or below those of now;
//! of the gaps none that was confirmed is missing; a controller takes it all up and stands still.

use crate::season::{Call, Deed, Drill, fresh};
use controller::gap::Gap;
use controller::journal::{Journal, JournalConfig, JournalError, Recovered};
use controller::quantity::Micros;
use controller::snapshot::Snapshot;
use controller::{Controller, Settings, SettingsConfig};
use sim::machine::flash::MockFlash;
use std::collections::VecDeque;

/// A ring of few sectors: the season goes round several times.
pub(crate) const SMALL: JournalConfig =
    JournalConfig { start: 4_096, settings: 3, gaps: 5, counts: 6, events: 0 };

/// Sectors of the flash: one before and one after the journal's.
pub(crate) const SECTORS: usize = 16;

/// Ticks in which at most a second passes, and the one in which it is over.
const SECOND: usize = 101;

/// What the board was told that is kept.
#[derive(Clone, Debug, Default)]
pub(crate) struct Confirmed {
    settings: Option<SettingsConfig>,
    snapshot: Option<Snapshot>,
    pub(crate) gaps: Vec<Gap>,
}

/// What is being written.
#[derive(Clone, Debug, Default)]
struct Written {
    settings: Option<SettingsConfig>,
    snapshot: Option<Snapshot>,
    gap: Option<Gap>,
}

/// Counts of the proof.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Count {
    pub(crate) calls: u64,
    pub(crate) cuts: u64,
    pub(crate) nested: u64,
    pub(crate) old: u64,
}

/// A season under way.
#[derive(Debug)]
pub(crate) struct Bench {
    pub(crate) drill: Drill,
    pub(crate) journal: Journal<MockFlash>,
    pub(crate) confirmed: Confirmed,
    /// Counts of the last second, the oldest first.
    history: VecDeque<Snapshot>,
    pub(crate) count: Count,
}

impl Bench {
    pub(crate) fn start() -> Self {
        let mut flash = MockFlash::new(SECTORS, 1);
        flash.fill_with_garbage();
        let (journal, found) = Journal::open(flash, SMALL).expect("a flash");
        assert_eq!(found, Recovered::default(), "garbage holds nothing");
        let mut bench = Self {
            drill: fresh(),
            journal,
            confirmed: Confirmed::default(),
            history: VecDeque::new(),
            count: Count::default(),
        };
        let config = bench.drill.config.clone();
        bench.call(&Call::Settings(Box::new(config)));
        bench
    }

    pub(crate) fn step(&mut self, deed: Deed, later: Micros) {
        let calls = self.drill.step(deed, later);
        if self.history.len() == SECOND {
            self.history.pop_front();
        }
        self.history.push_back(self.drill.snapshot());
        for call in calls {
            self.call(&call);
        }
        // The power may be cut at any tick, not only while something is written.
        if let (Some(kept), Some(then)) = (&self.confirmed.snapshot, self.history.front()) {
            assert!(kept.follows(then), "older than a second: {kept:?}, {then:?}");
        }
    }

    /// Makes a call, and before it is made for good cuts it at every step.
    pub(crate) fn call(&mut self, call: &Call) {
        let before = self.journal.clone();
        let steps = self.journal.flash().steps();
        let worn: u32 = self.journal.flash().erases().iter().sum();
        let wrote = self.written(call);
        let mut journal = self.journal.clone();
        make(&mut journal, &self.drill, call).expect("there is power and room");
        let taken = journal.flash().steps() - steps;
        let erased = journal.flash().erases().iter().sum::<u32>() - worn;
        assert!(erased == 0 || self.drill.outputs.stands(), "{erased} erases in work, by {call:?}");
        self.journal = journal;
        if taken > 0 {
            self.count.calls += 1;
        }
        for step in 0..taken {
            let mut cut = before.clone();
            cut.flash().cut_after(step);
            let made = make(&mut cut, &self.drill, call);
            assert!(made.is_err(), "{call:?} says that all is well after a cut at step {step}");
            self.count.cuts += 1;
            self.recover(cut.release(), &wrote);
        }
        if taken > 0 {
            self.confirm(wrote);
        }
    }

    fn written(&self, call: &Call) -> Written {
        match call {
            Call::Keep | Call::KeepNow => {
                Written { snapshot: Some(self.drill.snapshot()), ..Written::default() }
            }
            Call::Gap(gap) => Written { gap: Some(*gap), ..Written::default() },
            Call::Settings(config) => {
                Written { settings: Some(config.as_ref().clone()), ..Written::default() }
            }
            Call::Tend => Written::default(),
        }
    }

    fn confirm(&mut self, written: Written) {
        self.confirmed.settings = written.settings.or(self.confirmed.settings.take());
        self.confirmed.snapshot = written.snapshot.or(self.confirmed.snapshot.take());
        self.confirmed.gaps.extend(written.gap);
    }

    /// Opens what a cut left, cut at every step of that too.
    fn recover(&mut self, mut flash: MockFlash, wrote: &Written) {
        flash.power_up();
        for step in 0.. {
            let mut again = flash.clone();
            again.cut_after(step);
            if Journal::open(&mut again, SMALL).is_ok() {
                break;
            }
            assert!(again.is_cut(), "opening failed with the power on");
            self.count.nested += 1;
            again.power_up();
            self.check(again, wrote);
        }
        self.check(flash, wrote);
    }

    /// Whether what is there is what must be there.
    fn check(&mut self, flash: MockFlash, wrote: &Written) {
        let (mut journal, found) = Journal::open(flash, SMALL).expect("there is power");
        let known = [&self.confirmed.settings, &wrote.settings];
        assert!(
            known.contains(&&found.settings) && (found.settings.is_some() || known[0].is_none()),
            "settings {:?}",
            found.settings
        );
        let known = [&self.confirmed.snapshot, &wrote.snapshot];
        assert!(
            known.contains(&&found.snapshot) && (found.snapshot.is_some() || known[0].is_none()),
            "snapshot {:?}, have {:?}, being written {:?}",
            found.snapshot,
            known[0],
            known[1]
        );
        if found.snapshot == self.confirmed.snapshot {
            self.count.old += 1;
        }
        self.check_gaps(&mut journal, wrote);
        self.check_loss(&found);
    }

    fn check_gaps(&self, journal: &mut Journal<MockFlash>, wrote: &Written) {
        let mut found = Vec::new();
        journal.gaps(|gap| found.push(gap)).expect("there is power");
        if found.last() == wrote.gap.as_ref() && wrote.gap.is_some() {
            found.pop();
        }
        let confirmed = &self.confirmed.gaps;
        assert!(confirmed.ends_with(&found), "gaps that were confirmed, have {found:?}");
        assert!(found.len() >= confirmed.len().min(200), "{} gaps are kept", found.len());
    }

    /// At most the last second is lost, and a controller takes up the rest.
    fn check_loss(&self, found: &Recovered) {
        let (Some(config), Some(kept)) = (&found.settings, &found.snapshot) else { return };
        let now = self.drill.snapshot();
        assert!(now.follows(kept), "more than there ever was: {kept:?}");
        if let Some(then) = self.history.front() {
            assert!(kept.follows(then), "more than a second lost: {kept:?}, {then:?}");
        }
        let settings = Settings::new(config).expect("they were checked before");
        let mut controller = Controller::new(settings);
        controller.restore(kept).expect("a snapshot of this drill");
        assert_eq!(controller.snapshot(), *kept, "taken up");
        let outputs = controller.tick(&self.drill.inputs);
        assert!(outputs.at_rest(), "power-up is a stop");
    }
}

/// Makes a call of the board.
pub(crate) fn make(
    journal: &mut Journal<MockFlash>,
    drill: &Drill,
    call: &Call,
) -> Result<(), JournalError> {
    let (snapshot, now) = (drill.snapshot(), drill.inputs.now);
    let stands = drill.outputs.stands();
    match call {
        Call::Keep => journal.keep(&snapshot, now).map(|_| ()),
        Call::KeepNow => journal.keep_now(&snapshot, now),
        Call::Gap(gap) => journal.keep_gap(gap),
        // The first settings come before the first tick: power-up is a stop.
        Call::Settings(config) => journal.keep_settings(config, stands || now.micros() == 0),
        Call::Tend => journal.tend(stands).map(|_| ()),
    }
}
