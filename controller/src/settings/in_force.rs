//! What of the settings an operator may put in force between two ticks: rate, lot, outlets open.
//!
//! Each gives new settings, checked as those at power-up are, or says why not and leaves the old ones in force.

use super::checked::{SideSettings, check_meter, check_rate, work_out};
use super::{Settings, SettingsError};
use crate::quantity::MilligramsPerSquareMetre;
use crate::seed::{Lot, MAX_POINTS, MeterPoint, Open, Product, Share};
use crate::settings::image::crc32;
use crate::tally::Conversion;
use heapless::Vec;

impl Settings {
    /// Seeding rate of a product; nothing where no side meters it.
    pub const fn rate(&self, product: Product) -> MilligramsPerSquareMetre {
        product.of(self.rates)
    }

    /// These settings, if a side meters a product.
    pub(crate) fn metering(&self, product: Product) -> Option<&Self> {
        self.sides.iter().any(|side| side.product == product).then_some(self)
    }

    /// The same settings with another seeding rate of a product.
    ///
    /// # Errors
    ///
    /// [`SettingsError`] when the rate or a side's turns per metre leave their range.
    pub fn with_rate(
        &self,
        product: Product,
        rate: MilligramsPerSquareMetre,
    ) -> Result<Self, SettingsError> {
        check_rate(rate)?;
        let mut settings = self.clone();
        *product.of_mut(&mut settings.rates) = rate;
        for (number, side) in (0_u8..4).zip(&mut settings.sides) {
            if side.product == product {
                side.demand = work_out(side.width, rate, &side.meter, number)?;
            }
        }
        Ok(settings)
    }

    /// The same settings with another lot in the box of a product.
    ///
    /// # Errors
    ///
    /// [`SettingsError`] when the curve breaks a rule, or the rate or a side's turns per metre leave their range.
    pub fn with_lot(&self, lot: &Lot) -> Result<Self, SettingsError> {
        let mut settings = self.clone();
        let mark = lot.product.of(self.lots).unwrap_or_else(|| self.mark(lot.product));
        *lot.product.of_mut(&mut settings.lots) = Some(mark);
        for (number, side) in (0_u8..4).zip(&mut settings.sides) {
            if side.product == lot.product {
                side.meter = check_meter(&lot.meter, number)?;
            }
        }
        settings.with_rate(lot.product, lot.rate)
    }

    /// The curve of a product's first side.
    pub(crate) fn meter(&self, product: Product) -> Vec<MeterPoint, MAX_POINTS> {
        let side = self.sides.iter().find(|side| side.product == product);
        side.map_or_else(Vec::new, |side| side.meter.catches().clone())
    }

    /// A mark by which the curves of a product are known again: a check sum over all their catches.
    pub(crate) fn mark(&self, product: Product) -> u32 {
        let sides = self.sides.iter().filter(|side| side.product == product);
        let catches = sides.flat_map(|side| side.meter.points());
        catches.fold(0, |mark, catch| {
            let [m0, m1, m2, m3] = u32::to_le_bytes(mark);
            let [s0, s1, s2, s3] = catch.shaft.to_bits().to_le_bytes();
            let [q0, q1, q2, q3, q4, q5, q6, q7] = catch.mass.get().to_le_bytes();
            crc32(&[m0, m1, m2, m3, s0, s1, s2, s3, q0, q1, q2, q3, q4, q5, q6, q7])
        })
    }

    /// What is open of a side, if it has so many outlets.
    pub(crate) fn opened(&self, index: usize, open: Open) -> Option<Open> {
        let outlets = self.sides.get(index)?.outlets;
        open.share(outlets)?;
        // All of them are all of them, however that is said.
        Some(if open.count == outlets || open.count == 0 { Open::default() } else { open })
    }

    /// What the counts of a side convert by.
    pub(crate) fn conversion(&self, index: usize) -> Option<Conversion<'_>> {
        let side = self.sides.get(index)?;
        let (delivered, sown) = side.shares();
        let twin = side.twin.and_then(|twin| self.sides.get(usize::from(twin)));
        Some(Conversion {
            per_metre: self.ground.pulses_per_metre(),
            offset: side.offset,
            width: side.width,
            sown,
            shared: twin.map_or(sown, |twin| sown.least(twin.shares().1)),
            curve: &side.meter,
            edges_per_turn: side.edges_per_turn,
            delivered,
        })
    }
}

impl SideSettings {
    /// How much of the catch a turn delivers, and how much of the width is sown.
    fn shares(&self) -> (Share, Share) {
        // Settings hold no more open than there are.
        let delivered = self.open.share(self.outlets).unwrap_or(Share::WHOLE);
        (delivered, if self.open.narrows { delivered } else { Share::WHOLE })
    }
}
