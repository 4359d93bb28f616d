//! What survives a power cut: counts once a second, events and gaps as they come, the settings that they were counted by.
//!
//! ```text
//!  start: open ─► newest count ─► Controller::restore        in work: programs only, each some milliseconds
//!  settings image other than the journal's ─► kept           all stands, master off: one sector erased ahead
//! ```
//!
//! The journal is the core's; its sectors are [`Flash`]'s. A program of the flash stands while a page is programmed or a
//! sector erased, edges and bytes are counted all the same.

use crate::flash::Flash;
use crate::told::stays;
use controller::gap::Gap;
use controller::journal::{Journal, JournalConfig, JournalError, Recovered};
use controller::panel::Event;
use controller::quantity::{Instant, Micros};
use controller::settings::SettingsConfig;
use controller::snapshot::Snapshot;
use controller::{Controller, Outputs};

/// The sectors: 19 of counts are 12 minutes of work of two sides without a standstill, at the least.
const CONFIG: JournalConfig =
    JournalConfig { start: 0, settings: 3, gaps: 5, counts: 19, events: 5 };

/// The counts are kept so often.
const COUNTS: Micros = Micros::from_millis(1_000);

/// With fewer erased sectors than this ahead of the counts, one is erased at a standstill with the master on too.
const FEW: u16 = 12;

/// What became of the counts at start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Found {
    /// There were none.
    New,
    /// They go on.
    Kept,
    /// They are there and are not taken: nothing is written over them.
    Refused,
    /// The journal does not open.
    Broken,
}

impl Found {
    /// Its word in the start line.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Kept => "kept",
            Self::Refused => "refused",
            Self::Broken => "broken",
        }
    }
}

/// The journal of the board.
pub(crate) struct Keep {
    journal: Journal<Flash>,
    /// What is counted, here and not on the stack.
    seen: Snapshot,
    /// Writes. Off where what is there must stay.
    writes: bool,
    /// When the counts were looked at.
    looked: Option<Instant>,
    /// What went wrong last, and whether that is to be told.
    wrong: Option<JournalError>,
    tell: bool,
}

impl Keep {
    /// Opens the journal. A flash that holds none is erased: a second and a half, at worst 13 s.
    #[inline(never)]
    pub(crate) fn open() -> (Option<&'static mut Self>, &'static Recovered) {
        match Journal::open(Flash::new(), CONFIG) {
            Ok((journal, found)) => {
                let seen = Snapshot::default();
                let keep =
                    Self { journal, seen, writes: false, looked: None, wrong: None, tell: false };
                (Some(stays!(Keep, keep)), stays!(Recovered, found))
            }
            Err(_) => (None, stays!(Recovered, Recovered::default())),
        }
    }

    /// Goes on from what was found. Where the settings are others than those that it was counted by, their rates and
    /// lots are in force: who loaded them wants them.
    pub(crate) fn resume(
        &mut self,
        controller: &mut Controller,
        found: &Recovered,
        config: &SettingsConfig,
    ) -> Found {
        let same = found.settings.as_ref() == Some(config);
        let restored = found.snapshot.as_ref().map(|kept| restore(controller, kept, same));
        if restored == Some(false) {
            return Found::Refused;
        }
        self.writes = true;
        if !same {
            self.settings(config);
        }
        if restored.is_some() { Found::Kept } else { Found::New }
    }

    /// Keeps other settings.
    #[inline(never)]
    fn settings(&mut self, config: &SettingsConfig) {
        let kept = self.journal.keep_settings(config, true);
        self.note(kept);
    }

    /// Whether a second has passed since the counts were looked at.
    pub(crate) fn is_due(&self, now: Instant) -> bool {
        self.writes && self.looked.is_none_or(|at| now.since_or_zero(at) >= COUNTS)
    }

    /// Keeps the counts, if they are others than before.
    pub(crate) fn count(&mut self, controller: &Controller, now: Instant) {
        self.looked = Some(now);
        see(&mut self.seen, controller);
        let kept = write(&mut self.journal, &self.seen, now);
        self.note(kept);
    }

    /// Keeps an event.
    #[inline(never)]
    pub(crate) fn event(&mut self, event: &Event) {
        if self.writes {
            let kept = self.journal.keep_event(event);
            self.note(kept);
        }
    }

    /// Keeps a gap that ended.
    #[inline(never)]
    pub(crate) fn gap(&mut self, gap: &Gap) {
        if self.writes {
            let kept = self.journal.keep_gap(gap);
            self.note(kept);
        }
    }

    /// Erases a sector ahead if one is wanted and all stands; with the master on only if few are left.
    #[inline(never)]
    pub(crate) fn tend(&mut self, outputs: &Outputs, master: bool) {
        let few = self.journal.reserve() < FEW;
        if self.writes && outputs.stands() && (!master || few) {
            let tended = self.journal.tend(true);
            if tended == Ok(true) {
                self.wrong = None;
            }
            self.note(tended.map(|_| ()));
        }
    }

    /// Whether the program stood for an erase since this was asked last.
    pub(crate) fn stood(&mut self) -> bool {
        self.journal.flash().erased()
    }

    /// What went wrong and was not told yet, and how many records were refused for want of an erased sector.
    pub(crate) fn wrong(&mut self) -> Option<(JournalError, u32)> {
        let tell = core::mem::take(&mut self.tell);
        self.wrong.filter(|_| tell).map(|wrong| (wrong, self.journal.refused()))
    }

    /// Another error than the last is to be told.
    fn note(&mut self, kept: Result<(), JournalError>) {
        if let Err(wrong) = kept {
            self.tell |= self.wrong != Some(wrong);
            self.wrong = Some(wrong);
        }
    }
}

/// What is counted by now.
#[inline(never)]
fn see(seen: &mut Snapshot, controller: &Controller) {
    controller.snapshot_into(seen);
}

#[inline(never)]
fn write(journal: &mut Journal<Flash>, seen: &Snapshot, now: Instant) -> Result<(), JournalError> {
    journal.keep(seen, now).map(|_| ())
}

/// Goes on from counts; by other settings than theirs with the rates, lots and outlets of those.
#[inline(never)]
fn restore(controller: &mut Controller, kept: &Snapshot, same: bool) -> bool {
    if same {
        return controller.restore(kept).is_ok();
    }
    let mut kept = kept.clone();
    let fresh = controller.snapshot();
    (kept.rates, kept.lots, kept.open) = (fresh.rates, fresh.lots, fresh.open);
    controller.restore(&kept).is_ok()
}
