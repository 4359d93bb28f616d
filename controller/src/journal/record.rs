//! Records as bytes.
//!
//! ```text
//!  ring:      kind │ sequence │ content          kind: 1 content, 2 a sector is about to be erased, 3 it is erased
//!  snapshot:  layout │ sides │ each: distance, area, shared, mass, by map, outlets open (doubled, odd where they narrow it)
//!             │ each product: filled, metered before, rate, catches of the lot │ if any: mark, each: shaft, mass
//!             │ gaps, way
//!  gap:       number │ side │ cause │ start │ length │ place known │ latitude, longitude
//!  event:     number │ time │ way │ kind │ value │ 0, or side and 1 │ place known │ latitude, longitude
//! ```
//!
//! All but kinds, counts and causes are numbers of variable length: a snapshot of four sides takes some 120 bytes in a season,
//! and never more than [`LARGEST_SNAPSHOT`]. A snapshot of another layout is not read. The first layout had no byte for it
//! and began with the number of sides, so that none is below five.

use super::JournalError;
use super::pack::{Packer, Unpacker};
use crate::MAX_SIDES;
use crate::gap::{Cause, Gap};
use crate::panel::{Event, EventKind};
use crate::quantity::{MicrogramsPerTurn, MilligramsPerSquareMetre, Position, TurnsPerSecond};
use crate::seed::{MeterPoint, Open};
use crate::snapshot::{KeptLot, Snapshot};
use crate::tally::{Hopper, Totals};

/// Bytes of the largest snapshot: 1 + 1 + 4 · (5 · 10 + 3) + 2 · (10 + 10 + 5 + 1 + 5 + 6 · (5 + 10)) + 3 + 5.
pub const LARGEST_SNAPSHOT: usize = 464;

/// Layout of a snapshot.
const LAYOUT: u8 = 7;

/// Bytes of the largest gap: 3 + 1 + 1 + 5 + 5 + 1 + 5 + 5.
pub const LARGEST_GAP: usize = 26;

/// Bytes of the largest event: 5 + 5 + 5 + 1 + 5 + 2 + 1 + 5 + 5.
pub const LARGEST_EVENT: usize = 34;

/// Kind and sequence.
pub(super) const LARGEST_HEAD: usize = 6;

/// What a record of a ring says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Record<'b> {
    /// What the ring is for.
    Content(&'b [u8]),
    /// Something about the ring itself.
    Word(Word),
}

/// What a ring records about itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Word {
    /// This sector of the ring is about to be erased.
    Erasing(u16),
    /// The erase that was announced last is done; or the ring is new.
    Erased,
}

impl Word {
    pub(super) fn pack(self, packer: &mut Packer<'_>, sequence: u32) -> Result<(), JournalError> {
        packer.byte(match self {
            Self::Erasing(_) => 2,
            Self::Erased => 3,
        })?;
        packer.number(sequence)?;
        match self {
            Self::Erasing(sector) => packer.number(sector),
            Self::Erased => Ok(()),
        }
    }
}

impl<'b> Record<'b> {
    /// Begins a record of content, which is to follow.
    pub(super) fn begin(packer: &mut Packer<'_>, sequence: u32) -> Result<(), JournalError> {
        packer.byte(1)?;
        packer.number(sequence)
    }

    /// The sequence number and what it says.
    pub(super) fn unpack(bytes: &'b [u8]) -> Option<(u32, Self)> {
        let mut unpacker = Unpacker::new(bytes);
        let kind = unpacker.byte()?;
        let sequence = unpacker.number()?;
        let record = match kind {
            1 => Self::Content(unpacker.rest()),
            2 => {
                let sector = unpacker.number()?;
                unpacker.end(Self::Word(Word::Erasing(sector)))?
            }
            3 => unpacker.end(Self::Word(Word::Erased))?,
            _ => return None,
        };
        Some((sequence, record))
    }
}

pub(super) fn pack_snapshot(packer: &mut Packer<'_>, kept: &Snapshot) -> Result<(), JournalError> {
    packer.byte(LAYOUT)?;
    let sides = || kept.sides.iter().zip(&kept.open);
    let blank = (&Totals::default(), &Open::default());
    let unused = sides().rev().take_while(|side| *side == blank);
    let used = unused.fold(MAX_SIDES, |used, _| used.saturating_sub(1));
    packer.byte(u8::try_from(used).unwrap_or(u8::MAX))?;
    for (side, open) in sides().take(used) {
        packer.number(side.distance_um)?;
        packer.number(side.area_mm2)?;
        packer.number(side.shared_mm2)?;
        packer.number(side.mass_ug)?;
        packer.number(side.by_map)?;
        packer.number(u32::from(open.count).wrapping_shl(1) | u32::from(open.narrows))?;
    }
    for ((hopper, rate), lot) in kept.hoppers.iter().zip(&kept.rates).zip(&kept.lots) {
        packer.number(hopper.filled_ug)?;
        packer.number(hopper.metered_before_ug)?;
        packer.number(rate.to_bits())?;
        pack_lot(packer, lot.as_ref())?;
    }
    packer.number(kept.gaps)?;
    packer.number(kept.way_mm)
}

fn pack_lot(packer: &mut Packer<'_>, lot: Option<&KeptLot>) -> Result<(), JournalError> {
    let Some(KeptLot { over, meter }) = lot else { return packer.byte(0) };
    // A lot has a catch at the least, or it would not be in force.
    packer.byte(u8::try_from(meter.len()).unwrap_or(u8::MAX))?;
    packer.number(*over)?;
    for catch in meter {
        packer.number(catch.shaft.to_bits().cast_unsigned())?;
        packer.number(catch.mass.get())?;
    }
    Ok(())
}

pub(super) fn unpack_snapshot(bytes: &[u8]) -> Option<Snapshot> {
    let mut unpacker = Unpacker::new(bytes);
    let mut kept = Snapshot::default();
    if unpacker.byte()? != LAYOUT {
        return None;
    }
    let used = usize::from(unpacker.byte()?);
    let open = kept.open.get_mut(..used)?;
    for (side, open) in kept.sides.get_mut(..used)?.iter_mut().zip(open) {
        side.distance_um = unpacker.number()?;
        side.area_mm2 = unpacker.number()?;
        side.shared_mm2 = unpacker.number()?;
        side.mass_ug = unpacker.number()?;
        side.by_map = unpacker.number()?;
        let word = unpacker.number::<u32>()?;
        *open = Open { count: u16::try_from(word.wrapping_shr(1)).ok()?, narrows: word & 1 == 1 };
    }
    for ((hopper, rate), lot) in kept.hoppers.iter_mut().zip(&mut kept.rates).zip(&mut kept.lots) {
        *hopper = Hopper { filled_ug: unpacker.number()?, metered_before_ug: unpacker.number()? };
        *rate = MilligramsPerSquareMetre::from_bits(unpacker.number()?);
        unpack_lot(&mut unpacker, lot)?;
    }
    kept.gaps = unpacker.number()?;
    kept.way_mm = unpacker.number()?;
    unpacker.end(kept)
}

fn unpack_lot(unpacker: &mut Unpacker<'_>, kept: &mut Option<KeptLot>) -> Option<()> {
    let catches = unpacker.byte()?;
    if catches == 0 {
        return Some(());
    }
    let mut lot = KeptLot { over: unpacker.number()?, ..KeptLot::default() };
    for _ in 0..catches {
        let shaft = TurnsPerSecond::from_bits(unpacker.number::<u32>()?.cast_signed());
        let mass = MicrogramsPerTurn::new(unpacker.number()?);
        lot.meter.push(MeterPoint { shaft, mass }).ok()?;
    }
    *kept = Some(lot);
    Some(())
}

pub(super) fn pack_gap(packer: &mut Packer<'_>, gap: &Gap) -> Result<(), JournalError> {
    packer.number(gap.number)?;
    packer.byte(gap.side)?;
    packer.byte(gap.cause.number())?;
    packer.number(gap.start_mm)?;
    packer.number(gap.length_mm)?;
    pack_place(packer, gap.position)
}

fn pack_place(packer: &mut Packer<'_>, place: Option<Position>) -> Result<(), JournalError> {
    packer.byte(u8::from(place.is_some()))?;
    if let Some(position) = place {
        packer.signed(position.latitude())?;
        packer.signed(position.longitude())?;
    }
    Ok(())
}

/// A record that says neither that there is a place nor that there is none.
struct NoPlace;

fn unpack_place(unpacker: &mut Unpacker<'_>) -> Result<Option<Position>, NoPlace> {
    match unpacker.byte() {
        Some(0) => Ok(None),
        Some(1) => {
            let degrees = unpacker.signed().zip(unpacker.signed());
            let place = degrees.and_then(|(north, east)| Position::new(north, east));
            place.map(Some).ok_or(NoPlace)
        }
        _ => Err(NoPlace),
    }
}

pub(super) fn unpack_gap(bytes: &[u8]) -> Option<Gap> {
    let mut unpacker = Unpacker::new(bytes);
    let gap = Gap {
        number: unpacker.number()?,
        side: unpacker.byte()?,
        cause: Cause::of_number(unpacker.byte()?)?,
        start_mm: unpacker.number()?,
        length_mm: unpacker.number()?,
        position: unpack_place(&mut unpacker).ok()?,
    };
    unpacker.end(gap)
}

pub(super) fn pack_event(packer: &mut Packer<'_>, event: &Event) -> Result<(), JournalError> {
    packer.number(event.number)?;
    packer.number(event.at_ms)?;
    packer.number(event.way_mm)?;
    packer.byte(event.kind.number())?;
    packer.number(event.value)?;
    packer.number(event.side.map_or(0, |side| u16::from(side).saturating_add(1)))?;
    pack_place(packer, event.position)
}

pub(super) fn unpack_event(bytes: &[u8]) -> Option<Event> {
    let mut unpacker = Unpacker::new(bytes);
    let event = Event {
        number: unpacker.number()?,
        at_ms: unpacker.number()?,
        way_mm: unpacker.number()?,
        kind: EventKind::of_number(unpacker.byte()?)?,
        value: unpacker.number()?,
        side: match unpacker.number::<u16>()? {
            0 => None,
            side => Some(u8::try_from(side.saturating_sub(1)).ok()?),
        },
        position: unpack_place(&mut unpacker).ok()?,
    };
    unpacker.end(event)
}
