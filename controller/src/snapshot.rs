//! Snapshot: what the controller has counted, in one piece.
//!
//! ```text
//!  Controller ──► snapshot ──► journal, once a second ──► power cut ──► newest ──► restore ──► Controller, stopped
//! ```
//!
//! It holds what was sown, as it reads, and not the raw counts: those say nothing without the settings by which they
//! convert, and after a power cut other settings may be in force. Going on from it costs no more than a fold does
//! ([`tally`](crate::tally)). With it are the rates, lots and outlets in force, and the boxes; nothing that moves: whoever
//! restores it has a controller at power-up, which is a stop. What was sown only grows, so a snapshot with less is refused.
//!
//! A lot that was put in force over the settings' own catches comes back with its curve, so that it is known. Where the
//! settings have other catches by then than those it replaced, neither is surely in the box: the snapshot is refused, and
//! nothing is metered, until a lot is chosen.

use crate::MAX_SIDES;
use crate::controller::{Controller, Refusal};
use crate::quantity::MilligramsPerSquareMetre;
use crate::seed::{Lot, MAX_POINTS, MAX_PRODUCTS, MeterPoint, Open, Product};
use crate::settings::Settings;
use crate::tally::{Hopper, SideTally, Totals};
use heapless::Vec;

/// What has been counted by one instant.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Snapshot {
    /// What was sown, `[side]`.
    pub sides: [Totals; MAX_SIDES],
    /// Outlets open, `[side]`.
    pub open: [Open; MAX_SIDES],
    /// The boxes, by product.
    pub hoppers: [Hopper; MAX_PRODUCTS],
    /// The seeding rates in force, by product; zero where none is metered.
    pub rates: [MilligramsPerSquareMetre; MAX_PRODUCTS],
    /// The lots in force over the settings' own catches, by product.
    pub lots: [Option<KeptLot>; MAX_PRODUCTS],
    /// Number of the last gap.
    pub gaps: u16,
    /// Way in work, mm.
    pub way_mm: u32,
}

/// A lot that is in force over the settings' own catches.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct KeptLot {
    /// Mark of the catches that it has replaced.
    pub over: u32,
    /// Its curve.
    pub meter: Vec<MeterPoint, MAX_POINTS>,
}

impl Snapshot {
    /// Whether no count of it is below that of `earlier`.
    #[must_use]
    pub fn follows(&self, earlier: &Self) -> bool {
        let sides = self.sides.iter().zip(&earlier.sides);
        self.way_mm >= earlier.way_mm && sides.into_iter().all(|(now, then)| now.follows(then))
    }

    /// Becomes the same as another, where it lies: a clone of it would be on the stack first.
    #[cfg(feature = "journal")]
    pub(crate) fn copy_from(&mut self, other: &Self) {
        let Self { sides, open, hoppers, rates, lots, gaps, way_mm } = other;
        self.sides = *sides;
        self.open = *open;
        self.hoppers = *hoppers;
        self.rates = *rates;
        self.lots.clone_from(lots);
        self.gaps = *gaps;
        self.way_mm = *way_mm;
    }
}

impl Controller {
    /// What has been counted by now, in one piece. It divides wide: once a second is enough.
    pub fn snapshot(&self) -> Snapshot {
        let mut snapshot = Snapshot::default();
        self.snapshot_into(&mut snapshot);
        snapshot
    }

    /// As [`Controller::snapshot`], where it is to lie, whatever was there: it is never on the stack.
    pub fn snapshot_into(&self, snapshot: &mut Snapshot) {
        let settings = self.settings.as_ref();
        (snapshot.gaps, snapshot.way_mm) = self.gap_counts();
        snapshot.hoppers = self.state.hoppers;
        snapshot.rates = settings.map(|settings| settings.rates).unwrap_or_default();
        for (index, kept) in snapshot.sides.iter_mut().enumerate() {
            *kept = self.totals(index);
        }
        for (index, kept) in snapshot.open.iter_mut().enumerate() {
            let side = settings.and_then(|settings| settings.sides.get(index));
            *kept = side.map(|side| side.open).unwrap_or_default();
        }
        for product in Product::ALL {
            let lot = settings.and_then(|settings| kept_lot(settings, product));
            *product.of_mut(&mut snapshot.lots) = lot;
        }
    }

    /// Goes on from a snapshot that was kept through a power cut. What moves stays as it is: stopped. A lot that was
    /// chosen since power-up stays in force; outlets are all open where the settings have fewer by now than the
    /// snapshot says are open.
    ///
    /// # Errors
    ///
    /// [`Refusal`] says why nothing was changed; no count ever falls. After [`Refusal::Lot`] nothing is metered either.
    pub fn restore(&mut self, kept: &Snapshot) -> Result<(), Refusal> {
        let settings = self.settings.as_ref().ok_or(Refusal::Unconfigured)?;
        if !self.state.at_rest || !kept.follows(&self.snapshot()) {
            return Err(Refusal::Snapshot);
        }
        let mut settings = settings.clone();
        for product in Product::ALL {
            if settings.metering(product).is_none() {
                continue;
            }
            settings = match resumed(settings, kept, product) {
                Err(Refusal::Lot(product)) => {
                    self.unknown = Some(product);
                    return Err(Refusal::Lot(product));
                }
                settings => settings?,
            };
        }
        for (index, open) in kept.open.iter().enumerate() {
            let open = settings.opened(index, *open).unwrap_or_default();
            if let Some(side) = settings.sides.get_mut(index) {
                side.open = open;
            }
        }
        self.settings = Some(settings);
        self.state.hoppers = kept.hoppers;
        self.resume_gap_counts(kept.gaps, kept.way_mm);
        for (side, kept) in self.state.sides.iter_mut().zip(&kept.sides) {
            side.tally = SideTally::of(*kept);
        }
        Ok(())
    }
}

/// The lot of a product that is in force over the settings' own catches.
fn kept_lot(settings: &Settings, product: Product) -> Option<KeptLot> {
    let over = product.of(settings.lots)?;
    Some(KeptLot { over, meter: settings.meter(product) })
}

/// The settings with a product's rate and lot as a snapshot has them.
fn resumed(settings: Settings, kept: &Snapshot, product: Product) -> Result<Settings, Refusal> {
    let rate = product.of(kept.rates);
    let [first, second] = &kept.lots;
    let lot = match product {
        Product::First => first,
        Product::Second => second,
    };
    let resumed = match (product.of(settings.lots), lot) {
        // Chosen since power-up.
        (Some(_), _) => return Ok(settings),
        // A product that was not there when it was kept.
        (None, None) if rate == MilligramsPerSquareMetre::default() => return Ok(settings),
        (None, None) => settings.with_rate(product, rate),
        (None, Some(lot)) if lot.over == settings.mark(product) => {
            settings.with_lot(&Lot { product, rate, meter: lot.meter.clone() })
        }
        (None, Some(_)) => return Err(Refusal::Lot(product)),
    };
    resumed.map_err(Refusal::Settings)
}
