//! Records as bytes.
//!
//! ```text
//!  ring:      kind │ sequence │ content          kind: 1 content, 2 a sector is about to be erased, 3 it is erased
//!  snapshot:  sides │ each: pulses, beyond, rest, angle, 7 × (edges, µs) │ filled, metered before │ rate │ gaps, way
//!  gap:       number │ side │ cause │ start │ length │ place known │ latitude, longitude
//!  event:     number │ time │ way │ kind │ value │ 0, or side and 1 │ place known │ latitude, longitude
//! ```
//!
//! All but kinds, counts and causes are numbers of variable length: a snapshot of four sides takes some 200 bytes in a season,
//! and never more than [`LARGEST_SNAPSHOT`].

use super::JournalError;
use super::pack::{Packer, Unpacker};
use crate::MAX_SIDES;
use crate::gap::{Cause, Gap};
use crate::panel::{Event, EventKind};
use crate::quantity::{MilligramsPerSquareMetre, Position};
use crate::snapshot::Snapshot;
use crate::tally::{Hopper, SideTally};

/// Bytes of the largest snapshot: 1 + 4 · (10 + 10 + 10 + 10 + 7 · 20) + 10 + 10 + 5 + 3 + 5.
pub const LARGEST_SNAPSHOT: usize = 754;

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
    /// This sector of the ring is about to be erased.
    Erasing(u16),
    /// The erase that was announced last is done; or the ring is new.
    Erased,
}

impl<'b> Record<'b> {
    pub(super) fn pack<const N: usize>(self, sequence: u32) -> Result<Packer<N>, JournalError> {
        let mut packer = Packer::default();
        packer.byte(match self {
            Self::Content(_) => 1,
            Self::Erasing(_) => 2,
            Self::Erased => 3,
        })?;
        packer.number(sequence)?;
        match self {
            Self::Content(content) => packer.all(content)?,
            Self::Erasing(sector) => packer.number(sector)?,
            Self::Erased => {}
        }
        Ok(packer)
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
                unpacker.end(Self::Erasing(sector))?
            }
            3 => unpacker.end(Self::Erased)?,
            _ => return None,
        };
        Some((sequence, record))
    }
}

pub(super) fn pack_snapshot(kept: &Snapshot) -> Result<Packer<LARGEST_SNAPSHOT>, JournalError> {
    let mut packer = Packer::default();
    let unused = kept.sides.iter().rev().take_while(|side| **side == SideTally::default());
    let used = unused.fold(MAX_SIDES, |used, _| used.saturating_sub(1));
    packer.byte(u8::try_from(used).unwrap_or(u8::MAX))?;
    for side in kept.sides.iter().take(used) {
        packer.number(side.pulses)?;
        packer.signed(side.beyond)?;
        packer.signed(side.rest)?;
        packer.signed(side.angle)?;
        for turned in &side.turned {
            packer.number(turned.edges)?;
            packer.number(turned.micros)?;
        }
    }
    packer.number(kept.hopper.filled_ug)?;
    packer.number(kept.hopper.metered_before_ug)?;
    packer.number(kept.rate.to_bits())?;
    packer.number(kept.gaps)?;
    packer.number(kept.way_mm)?;
    Ok(packer)
}

pub(super) fn unpack_snapshot(bytes: &[u8]) -> Option<Snapshot> {
    let mut unpacker = Unpacker::new(bytes);
    let mut kept = Snapshot::default();
    let used = usize::from(unpacker.byte()?);
    for side in kept.sides.get_mut(..used)? {
        *side = unpack_side(&mut unpacker)?;
    }
    kept.hopper = Hopper { filled_ug: unpacker.number()?, metered_before_ug: unpacker.number()? };
    kept.rate = MilligramsPerSquareMetre::from_bits(unpacker.number()?);
    kept.gaps = unpacker.number()?;
    kept.way_mm = unpacker.number()?;
    unpacker.end(kept)
}

fn unpack_side(unpacker: &mut Unpacker<'_>) -> Option<SideTally> {
    let mut side = SideTally::default();
    side.pulses = unpacker.number()?;
    side.beyond = unpacker.signed()?;
    side.rest = unpacker.signed()?;
    side.angle = unpacker.signed()?;
    for turned in &mut side.turned {
        turned.edges = unpacker.number()?;
        turned.micros = unpacker.number()?;
    }
    Some(side)
}

pub(super) fn pack_gap(gap: &Gap) -> Result<Packer<LARGEST_GAP>, JournalError> {
    let mut packer = Packer::default();
    packer.number(gap.number)?;
    packer.byte(gap.side)?;
    packer.byte(gap.cause.number())?;
    packer.number(gap.start_mm)?;
    packer.number(gap.length_mm)?;
    pack_place(&mut packer, gap.position)?;
    Ok(packer)
}

fn pack_place<const N: usize>(
    packer: &mut Packer<N>,
    place: Option<Position>,
) -> Result<(), JournalError> {
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

pub(super) fn pack_event(event: &Event) -> Result<Packer<LARGEST_EVENT>, JournalError> {
    let mut packer = Packer::default();
    packer.number(event.number)?;
    packer.number(event.at_ms)?;
    packer.number(event.way_mm)?;
    packer.byte(event.kind.number())?;
    packer.number(event.value)?;
    packer.number(event.side.map_or(0, |side| u16::from(side).saturating_add(1)))?;
    pack_place(&mut packer, event.position)?;
    Ok(packer)
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
