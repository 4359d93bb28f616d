//! Outlets of a side: so many, of which some may be shut.
//!
//! ```text
//!  shut inside (tramline)     │ │ · │ │ │ · │ │     width as it is, mean rate k/N of what is set
//!  shut at the edge           │ │ │ │ │ │ · · ·     width k/N, rate as it is set
//! ```
//!
//! The meter shaft turns as before: each outlet that is open keeps its rate. One turn delivers k/N of the catch, which
//! is weighed with all outlets open.

/// What is open of a side's outlets; `Default` is all, and the whole width.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Open {
    /// Outlets open; 0 stands for all of them.
    pub count: u16,
    /// Those that are shut lie at an edge: the side sows a narrower strip.
    pub narrows: bool,
}

/// So many outlets of so many: above nothing, up to all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(crate) struct Share {
    open: u16,
    of: u16,
}

impl Open {
    /// Of a side with `outlets`; none where it names more than there are.
    pub(crate) const fn share(self, outlets: u16) -> Option<Share> {
        match self.count {
            0 => Some(Share::WHOLE),
            open if open <= outlets => Some(Share::new(open, outlets)),
            _ => None,
        }
    }
}

impl Share {
    /// All of it.
    pub(crate) const WHOLE: Self = Self { open: 1, of: 1 };

    pub(crate) const fn new(open: u16, of: u16) -> Self {
        Self { open, of }
    }

    /// Outlets open.
    pub(crate) fn open(self) -> u128 {
        u128::from(self.open)
    }

    /// Outlets in all; never zero.
    pub(crate) fn of(self) -> u128 {
        u128::from(self.of.max(1))
    }

    /// The smaller of two.
    pub(crate) fn least(self, other: Self) -> Self {
        let here = self.open().saturating_mul(other.of());
        if here <= other.open().saturating_mul(self.of()) { self } else { other }
    }
}

#[cfg(test)]
mod tests {
    use super::{Open, Share};

    #[test]
    fn a_share_is_of_the_outlets_there_are() {
        assert_eq!(Open::default().share(24), Some(Share::WHOLE));
        assert_eq!(Open { count: 22, narrows: false }.share(24), Some(Share::new(22, 24)));
        assert_eq!(Open { count: 25, narrows: false }.share(24), None);
    }

    #[test]
    fn the_smaller_of_two_shares_is_found_across_outlets() {
        let (more, less) = (Share::new(5, 6), Share::new(19, 24));
        assert_eq!(more.least(less), less);
        assert_eq!(less.least(more), less);
        assert_eq!(Share::WHOLE.least(less), less);
    }
}
