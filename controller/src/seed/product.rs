//! Products: what a box holds. A drill has one, or two that are metered by sides of their own.

/// A product.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Product {
    /// That of the first box; every drill has it.
    #[default]
    First,
    /// That of the second box.
    Second,
}

/// Most products of a drill.
pub const MAX_PRODUCTS: usize = 2;

impl Product {
    /// Both, in the order of lists by product.
    pub const ALL: [Self; MAX_PRODUCTS] = [Self::First, Self::Second];

    /// Its place in lists by product.
    #[must_use]
    pub const fn index(self) -> usize {
        match self {
            Self::First => 0,
            Self::Second => 1,
        }
    }

    /// Its own of a list by product.
    pub const fn of<T: Copy>(self, [first, second]: [T; MAX_PRODUCTS]) -> T {
        match self {
            Self::First => first,
            Self::Second => second,
        }
    }

    /// Its own of a list by product, to be changed.
    pub const fn of_mut<T>(self, [first, second]: &mut [T; MAX_PRODUCTS]) -> &mut T {
        match self {
            Self::First => first,
            Self::Second => second,
        }
    }
}
