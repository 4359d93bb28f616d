//! The journal itself.

use super::config::Regions;
use super::pack::Packer;
use super::record::{
    LARGEST_EVENT, LARGEST_GAP, LARGEST_HEAD, LARGEST_SNAPSHOT, pack_event, pack_gap,
    pack_snapshot, unpack_event, unpack_gap, unpack_snapshot,
};
use super::ring::Ring;
use super::{JournalConfig, JournalError, SECTOR};
use crate::gap::Gap;
use crate::panel::Event;
use crate::quantity::{Instant, Micros};
use crate::settings::SettingsConfig;
use crate::settings::image::{self, MAX_IMAGE};
use crate::snapshot::Snapshot;
use embedded_storage::nor_flash::NorFlash;

/// A snapshot is kept so often, while something changed.
const EVERY: Micros = Micros::from_millis(1_000);

/// What the flash held at power-up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Recovered {
    /// The settings written last; to be checked by [`Settings::new`](crate::Settings::new).
    pub settings: Option<SettingsConfig>,
    /// The newest snapshot.
    pub snapshot: Option<Snapshot>,
    /// Number of the newest event, 0 for none: the panel goes on after it.
    pub event: u32,
}

/// The journal on a flash.
#[derive(Clone, Debug)]
pub struct Journal<F> {
    flash: F,
    settings: Ring,
    gaps: Ring,
    counts: Ring,
    events: Option<Ring>,
    /// When the last snapshot was kept, and which it is.
    last: Option<Instant>,
    kept: Snapshot,
    refused: u32,
    /// Room for a sector: reading needs it, records are packed in it, and it would be too much for a stack.
    scratch: [u8; SECTOR],
}

impl<F: NorFlash> Journal<F> {
    /// Opens the journal at power-up, when all is at rest: what a power cut left behind is mended, and a flash that holds
    /// no journal is erased and made one.
    ///
    /// # Errors
    ///
    /// [`JournalError::Geometry`], or the flash's own.
    pub fn open(mut flash: F, config: JournalConfig) -> Result<(Self, Recovered), JournalError> {
        let regions = Regions::new(config, &flash)?;
        let mut scratch = [0; SECTOR];
        let (mut settings, mut snapshot) = (None, None);
        let own = Ring::open(&mut flash, regions.settings, &mut scratch, |sequence, content| {
            take_newer(&mut settings, sequence, image::read(content).ok());
        })?;
        let gaps = Ring::open(&mut flash, regions.gaps, &mut scratch, |_, _| {})?;
        let counts = Ring::open(&mut flash, regions.counts, &mut scratch, |sequence, content| {
            take_newer(&mut snapshot, sequence, unpack_snapshot(content));
        })?;
        let mut event = None;
        let events = regions.events.map(|region| {
            Ring::open(&mut flash, region, &mut scratch, |sequence, content| {
                take_newer(&mut event, sequence, unpack_event(content));
            })
        });
        let events = events.transpose()?;
        let (last, kept, refused) = (None, Snapshot::default(), 0);
        let journal =
            Self { flash, settings: own, gaps, counts, events, last, kept, refused, scratch };
        let recovered = Recovered {
            settings: settings.map(|(_, settings)| settings),
            snapshot: snapshot.map(|(_, snapshot)| snapshot),
            event: event.map_or(0, |(_, event)| event.number),
        };
        Ok((journal, recovered))
    }

    /// Keeps settings: only at rest. Until they are whole in the flash those before them count.
    ///
    /// # Errors
    ///
    /// [`JournalError::NotAtRest`], or the flash's own.
    pub fn keep_settings(
        &mut self,
        config: &SettingsConfig,
        at_rest: bool,
    ) -> Result<(), JournalError> {
        if !at_rest {
            return Err(JournalError::NotAtRest);
        }
        if self.settings.ready == 0 {
            self.settings.tend(&mut self.flash)?;
        }
        let room = room(&mut self.scratch, MAX_IMAGE)?;
        self.settings.append(&mut self.flash, room, |packer| {
            packer.all(|image| image::write(config, image).ok())
        })
    }

    /// Whether a second has passed since the last snapshot that was kept: only then one need be made for [`Self::keep`].
    #[must_use]
    pub fn is_due(&self, now: Instant) -> bool {
        self.last.is_none_or(|at| now.since(at) >= EVERY)
    }

    /// To be called on every tick, or when it is due: keeps the snapshot if the last is a second old and differs. Whether it did.
    ///
    /// # Errors
    ///
    /// [`JournalError::NeedsErase`] when work went on without a standstill for too long; the one kept last still counts.
    pub fn keep(&mut self, snapshot: &Snapshot, now: Instant) -> Result<bool, JournalError> {
        let due = self.is_due(now) && (self.last.is_none() || self.kept != *snapshot);
        if due {
            self.keep_now(snapshot, now)?;
        }
        Ok(due)
    }

    /// Keeps the snapshot now: a fill of the hopper or a new rate need not wait.
    ///
    /// # Errors
    ///
    /// As [`Journal::keep`].
    pub fn keep_now(&mut self, snapshot: &Snapshot, now: Instant) -> Result<(), JournalError> {
        let room = room(&mut self.scratch, LARGEST_SNAPSHOT)?;
        let pack = |packer: &mut Packer<'_>| pack_snapshot(packer, snapshot);
        let kept = self.counts.append(&mut self.flash, room, pack);
        self.note(kept)?;
        self.last = Some(now);
        self.kept.copy_from(snapshot);
        Ok(())
    }

    /// Keeps a gap that ended.
    ///
    /// # Errors
    ///
    /// As [`Journal::keep`].
    pub fn keep_gap(&mut self, gap: &Gap) -> Result<(), JournalError> {
        let room = room(&mut self.scratch, LARGEST_GAP)?;
        let kept = self.gaps.append(&mut self.flash, room, |packer| pack_gap(packer, gap));
        self.note(kept)
    }

    /// Calls `each` with every gap that is kept, the oldest first: the last 200 at the least.
    ///
    /// # Errors
    ///
    /// The flash's own.
    pub fn gaps(&mut self, mut each: impl FnMut(Gap)) -> Result<(), JournalError> {
        self.gaps.contents(&mut self.flash, &mut self.scratch, |content| {
            if let Some(gap) = unpack_gap(content) {
                each(gap);
            }
        })
    }

    /// Keeps an event of the operator's panel.
    ///
    /// # Errors
    ///
    /// [`JournalError::NoRegion`] where no sectors are set for them, or as [`Journal::keep`].
    pub fn keep_event(&mut self, event: &Event) -> Result<(), JournalError> {
        let room = room(&mut self.scratch, LARGEST_EVENT)?;
        let ring = self.events.as_mut().ok_or(JournalError::NoRegion)?;
        let kept = ring.append(&mut self.flash, room, |packer| pack_event(packer, event));
        self.note(kept)
    }

    /// Calls `each` with every event that is kept, the oldest first: the last 150 at the least.
    ///
    /// # Errors
    ///
    /// The flash's own.
    pub fn events(&mut self, mut each: impl FnMut(Event)) -> Result<(), JournalError> {
        let Some(ring) = &self.events else { return Ok(()) };
        ring.contents(&mut self.flash, &mut self.scratch, |content| {
            if let Some(event) = unpack_event(content) {
                each(event);
            }
        })
    }

    /// Erases one sector ahead, if one is wanted and `at_rest` says that all stands, as
    /// [`Outputs::stands`](crate::Outputs::stands) does. Whether it did; to be called again until it did not.
    ///
    /// # Errors
    ///
    /// The flash's own.
    pub fn tend(&mut self, at_rest: bool) -> Result<bool, JournalError> {
        if !at_rest {
            return Ok(false);
        }
        let rings = [&mut self.settings, &mut self.gaps, &mut self.counts];
        for ring in rings.into_iter().chain(self.events.as_mut()) {
            if ring.tend(&mut self.flash)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Erased sectors ahead of the counts: what is left of the reserve.
    #[must_use]
    pub const fn reserve(&self) -> u16 {
        self.counts.ready
    }

    /// Records that were refused because no erased sector was left.
    #[must_use]
    pub const fn refused(&self) -> u32 {
        self.refused
    }

    /// The flash.
    pub const fn flash(&mut self) -> &mut F {
        &mut self.flash
    }

    /// Gives the flash back.
    pub fn release(self) -> F {
        self.flash
    }

    fn note(&mut self, kept: Result<(), JournalError>) -> Result<(), JournalError> {
        if kept == Err(JournalError::NeedsErase) {
            self.refused = self.refused.saturating_add(1);
        }
        kept
    }
}

/// Room for a record with so much content.
fn room(scratch: &mut [u8], content: usize) -> Result<&mut [u8], JournalError> {
    let most = content.saturating_add(LARGEST_HEAD);
    scratch.get_mut(..most).ok_or(JournalError::TooBig)
}

/// Takes what is there if it is newer.
fn take_newer<T>(kept: &mut Option<(u32, T)>, sequence: u32, found: Option<T>) {
    if let Some(found) = found
        && kept.as_ref().is_none_or(|(newest, _)| *newest < sequence)
    {
        *kept = Some((sequence, found));
    }
}
