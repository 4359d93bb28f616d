//! The boxes of the drill, as the panel is told of them.

/// Most boxes; a box holds one product.
pub const BOXES: usize = 2;

/// What is set of a box.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct BoxConfig {
    /// What it holds when full, µg: up to 20 t.
    pub full_ug: u64,
    /// What a press of up or down adds or takes when a fill is told, µg: a bag.
    pub bag_ug: u64,
    /// Below so much it is low, µg; zero for never.
    pub low_ug: u64,
}

/// 20 t.
const MOST: u64 = 20_000_000_000_000;

impl BoxConfig {
    /// Whether it is possible.
    pub(super) const fn is_valid(&self) -> bool {
        self.full_ug > 0
            && self.full_ug <= MOST
            && self.bag_ug > 0
            && self.bag_ug <= self.full_ug
            && self.low_ug < self.full_ug
    }

    /// Another content, a bag up or down.
    pub(super) fn step(&self, content_ug: u64, up: bool) -> u64 {
        if up {
            content_ug.saturating_add(self.bag_ug).min(self.full_ug)
        } else {
            // No box was filled with nothing: a bag is the least.
            content_ug.saturating_sub(self.bag_ug).max(self.bag_ug)
        }
    }
}
