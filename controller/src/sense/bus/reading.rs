//! What a parameter says: a value, or one of three answers that are not a value.
//!
//! | | 8 bits | 16 bits | 32 bits | 2 bits |
//! |---|---|---|---|---|
//! | value | 0…250 | 0…0xFAFF | 0…0xFAFF FFFF | 00, 01 |
//! | out of range: reserved | 251…253 | 0xFB00…0xFDFF | 0xFB00 0000…0xFDFF FFFF | |
//! | error | 254 | 0xFE00…0xFEFF | 0xFE00 0000…0xFEFF FFFF | 10 |
//! | not available | 255 | 0xFF00…0xFFFF | 0xFF00 0000…0xFFFF FFFF | 11 |
//!
//! The largest values of 16 and 32 bits follow from the published ranges (64.255 m/s and 4 211 081.215 m, SPN 1859
//! and 1860), the codes of two bits are published (SPN 4309, 1876, 5244: isobus.net). The other limits are those of
//! SAE J1939-71 from memory; the recorded logs have 0xFE00 and 0xFFFF. NMEA 2000 words have other limits
//! ([`Reading::of_marine_word`]).

/// A value, or why there is none. None of the three answers is zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Reading<T> {
    /// A value.
    Value(T),
    /// The sender lives and does not know.
    NotAvailable,
    /// The sender says that its sensor is broken.
    Error,
    /// A code that the standard reserves.
    OutOfRange,
}

impl<T> Reading<T> {
    /// The value, where there is one.
    pub fn value(self) -> Option<T> {
        match self {
            Self::Value(value) => Some(value),
            Self::NotAvailable | Self::Error | Self::OutOfRange => None,
        }
    }

    /// Another quantity of the same answer.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Reading<U> {
        match self {
            Self::Value(value) => Reading::Value(change(value)),
            Self::NotAvailable => Reading::NotAvailable,
            Self::Error => Reading::Error,
            Self::OutOfRange => Reading::OutOfRange,
        }
    }
}

impl<T: Copy> Reading<T> {
    /// What the top byte of a parameter says of `value`: the limits of all widths begin there.
    const fn by_top_byte(top: u8, value: T) -> Self {
        match top {
            0..=0xFA => Self::Value(value),
            0xFB..=0xFD => Self::OutOfRange,
            0xFE => Self::Error,
            0xFF => Self::NotAvailable,
        }
    }
}

impl Reading<u8> {
    /// A parameter of 8 bits.
    pub const fn of_byte(raw: u8) -> Self {
        Self::by_top_byte(raw, raw)
    }

    /// A parameter of 6 bits, such as an exit or reason code: 62 error, 63 not available. Higher bits are dropped.
    pub const fn of_six(raw: u8) -> Self {
        match raw & 0x3F {
            62 => Self::Error,
            63 => Self::NotAvailable,
            value => Self::Value(value),
        }
    }

    /// A parameter of 3 bits: 7 not available, 6 error, 5 reserved (from memory). Higher bits are dropped.
    pub const fn of_three(raw: u8) -> Self {
        match raw & 7 {
            7 => Self::NotAvailable,
            6 => Self::Error,
            5 => Self::OutOfRange,
            value => Self::Value(value),
        }
    }
}

impl Reading<u16> {
    /// A parameter of 16 bits.
    pub const fn of_word(raw: u16) -> Self {
        let [_, top] = raw.to_le_bytes();
        Self::by_top_byte(top, raw)
    }

    /// An NMEA 2000 parameter of 16 bits: 0xFFFF not available, 0xFFFE and 0xFFFD no value (canboat.json); these
    /// words have no code for an error.
    pub const fn of_marine_word(raw: u16) -> Self {
        match raw {
            0xFFFF => Self::NotAvailable,
            0xFFFD | 0xFFFE => Self::OutOfRange,
            value => Self::Value(value),
        }
    }
}

impl Reading<u32> {
    /// A parameter of 32 bits.
    pub const fn of_long(raw: u32) -> Self {
        let [_, _, _, top] = raw.to_le_bytes();
        Self::by_top_byte(top, raw)
    }
}

impl Reading<bool> {
    /// A parameter of 2 bits; higher bits are dropped.
    pub const fn of_pair(raw: u8) -> Self {
        match raw & 3 {
            0 => Self::Value(false),
            1 => Self::Value(true),
            2 => Self::Error,
            _ => Self::NotAvailable,
        }
    }
}
