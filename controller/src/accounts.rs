//! Accounts: ground, seed and distance of a side, of a product and of the whole drill; seed left in each box.
//!
//! ```text
//!  sides of the first product  ─► account of it ─┐
//!                                               ├─► in all: areas added, less what both sowed at the same time
//!  sides of the second product ─► account of it ─┘
//! ```

use crate::MAX_SIDES;
use crate::controller::Controller;
use crate::seed::Product;
use crate::side::Side;
use crate::tally::{Account, Totals};

impl Controller {
    /// Bytes that the controller remembers for one side.
    pub const STATE_OF_A_SIDE: usize = size_of::<Side>();

    /// What a side has sown by now.
    pub(crate) fn totals(&self, index: usize) -> Totals {
        let memory = self.state.sides.get(index);
        let by = self.settings.as_ref().and_then(|settings| settings.conversion(index));
        memory.zip(by).map_or_else(Totals::default, |(memory, by)| memory.tally.read(&by))
    }

    /// Folds what was counted into totals, before what it converts by changes.
    pub(crate) fn fold(&mut self) {
        let Some(settings) = &self.settings else { return };
        for (index, memory) in self.state.sides.iter_mut().enumerate() {
            if let Some(by) = settings.conversion(index) {
                memory.tally.fold(&by);
            }
        }
    }

    /// Area, mass and distance of one side.
    pub fn side_account(&self, index: usize) -> Account {
        let Totals { distance_um, area_mm2, mass_ug, .. } = self.totals(index);
        Account { distance_um, area_mm2, mass_ug }
    }

    /// Area, mass and distance of the sides that meter a product.
    pub fn account_of(&self, product: Product) -> Account {
        let Some(settings) = &self.settings else { return Account::default() };
        let sides = (0..MAX_SIDES).zip(&settings.sides);
        let own = sides.filter(|(_, side)| side.product == product);
        own.fold(Account::default(), |sum, (index, _)| sum.plus(self.side_account(index)))
    }

    /// Area, mass and distance in all: ground that both products were sown on counts once.
    pub fn account(&self) -> Account {
        let [first, second] = Product::ALL.map(|product| self.account_of(product));
        let shared = (0..MAX_SIDES)
            .fold(0_u64, |sum, side| sum.saturating_add(self.totals(side).shared_mm2))
            // Rounded apart from the areas: never less in all than of each.
            .min(first.area_mm2)
            .min(second.area_mm2);
        let both = first.plus(second);
        Account { area_mm2: both.area_mm2.saturating_sub(shared), ..both }
    }

    /// Seed left in the box of a product, µg.
    #[must_use]
    pub fn hopper_left(&self, product: Product) -> u64 {
        product.of(self.state.hoppers).left(self.account_of(product).mass_ug)
    }
}
