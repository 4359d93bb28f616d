//! The demo journal: a small invented field, sown by the controller on the bench, kept as its board would keep it.
//!
//! ```text
//!  scenario ─► bench ─► controller ─► snapshot, gaps ─► journal ─► image of the flash
//! ```
//!
//! The flash is as small as the journal allows, sectors of 1 KiB, so that the image is 16 KiB. To fit into it, a count is kept
//! every half minute and at the end, where a board keeps one every second. The field is begun and ended in the program's
//! name, for nobody presses the panel's buttons.

use super::flash::MemoryFlash;
use crate::bench::{Law, Ours, Senses, run_piece, settings};
use crate::scenario::Scenario;
use controller::SettingsError;
use controller::journal::{Journal, JournalConfig, JournalError};
use controller::panel::{Event, EventKind};
use controller::quantity::{Instant, Position};
use thiserror::Error;

/// Bytes of a sector of the demo flash.
pub const SECTOR: usize = 1024;
/// Bytes of a word of it.
pub const WORD: usize = 4;
/// The regions in it.
pub const CONFIG: JournalConfig =
    JournalConfig { start: 0, settings: 3, gaps: 5, counts: 3, events: 5 };

/// Ticks between two counts that are kept.
const EVERY: u64 = 3_000;

/// Why there is no demo journal.
#[derive(Debug, Error)]
pub enum DemoError {
    /// The controller refuses the settings.
    #[error("the controller refuses the settings: {0}")]
    Settings(#[from] SettingsError),
    /// The journal did not take a record.
    #[error("the journal did not take a record: {0}")]
    Journal(#[from] JournalError),
}

/// The controller, with a board that keeps a journal.
struct Board {
    ours: Ours,
    journal: Journal<MemoryFlash<SECTOR, WORD>>,
    kept_gaps: usize,
    ticks: u64,
    events: u32,
    place: Option<Position>,
    failed: Option<JournalError>,
}

impl Board {
    fn note(&mut self, kept: Result<(), JournalError>) {
        self.failed = self.failed.or(kept.err());
    }

    fn event(&mut self, kind: EventKind, value: u32) {
        self.events += 1;
        let at_ms = u32::try_from(self.ticks.saturating_mul(10)).unwrap_or(u32::MAX);
        let way_mm = self.ours.snapshot().way_mm;
        let position = self.place;
        let event = Event { number: self.events, at_ms, way_mm, kind, value, side: None, position };
        let kept = self.journal.keep_event(&event);
        self.note(kept);
    }

    fn count(&mut self) {
        let now = Instant::from_micros(0);
        let kept = self.journal.keep_now(&self.ours.snapshot(), now);
        self.note(kept);
    }
}

impl Law for Board {
    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        self.ours.tick(senses, commands);
        self.ticks += 1;
        let seen = Ours::place(senses);
        if self.place.is_none() && seen.is_some() {
            self.place = seen;
            self.event(EventKind::FieldBegins, 1);
        }
        self.place = seen.or(self.place);
        let gaps: Vec<_> = self.ours.gaps().iter().skip(self.kept_gaps).copied().collect();
        for gap in gaps {
            self.kept_gaps += 1;
            let kept = self.journal.keep_gap(&gap);
            self.note(kept);
        }
        if self.ticks.is_multiple_of(EVERY) {
            self.count();
        }
    }

    fn supply(&self) -> bool {
        self.ours.supply()
    }
}

/// The image of a board's flash after the first piece of the scenario.
///
/// # Errors
///
/// [`DemoError`].
pub fn image(scenario: &Scenario) -> Result<Vec<u8>, DemoError> {
    let sectors = [CONFIG.settings, CONFIG.gaps, CONFIG.counts, CONFIG.events].map(usize::from);
    let flash = MemoryFlash::erased(sectors.iter().sum());
    let (mut journal, _) = Journal::open(flash, CONFIG)?;
    journal.keep_settings(&settings(scenario), true)?;
    let ours = Ours::new(scenario)?;
    let mut board =
        Board { ours, journal, kept_gaps: 0, ticks: 0, events: 0, place: None, failed: None };
    board.event(EventKind::Begin, u32::try_from(scenario.drill.sides.len()).unwrap_or(u32::MAX));
    if let Some(piece) = scenario.profile.pieces.first() {
        run_piece(scenario, piece, 1, &mut board, &mut |_| {});
    }
    board.count();
    let area: u64 = board.ours.snapshot().sides.iter().map(|side| side.area_mm2).sum();
    board.event(EventKind::FieldEnds, u32::try_from(area / 1_000_000).unwrap_or(u32::MAX));
    match board.failed {
        Some(failed) => Err(failed.into()),
        None => Ok(board.journal.release().bytes().to_vec()),
    }
}
