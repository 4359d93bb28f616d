//! When a fault is there: as a blip of a stated length, or latched from its tick on.

/// Ticks in a second.
pub const TICKS_PER_S: u32 = 100;

/// How long a fault lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lasting {
    /// For so many milliseconds.
    Blip(u32),
    /// To the end.
    Latched,
}

/// An injection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Injection {
    /// The tick from which on it is there.
    pub at: u32,
    /// How long it lasts.
    pub lasting: Lasting,
}

impl Injection {
    /// Whether the fault is there in a tick.
    #[must_use]
    pub const fn is_active(self, tick: u32) -> bool {
        match self.lasting {
            Lasting::Blip(millis) => {
                tick >= self.at && tick < self.at.saturating_add(millis * TICKS_PER_S / 1_000)
            }
            Lasting::Latched => tick >= self.at,
        }
    }

    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self.lasting {
            Lasting::Blip(_) => "blip",
            Lasting::Latched => "latched",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Injection, Lasting};

    #[test]
    fn a_blip_is_there_for_its_length_and_no_longer() {
        let blip = Injection { at: 100, lasting: Lasting::Blip(300) };
        let there = [99, 100, 129, 130].map(|tick| blip.is_active(tick));
        assert_eq!(there, [false, true, true, false]);
        let latched = Injection { at: 100, lasting: Lasting::Latched };
        assert!(!latched.is_active(99) && latched.is_active(100_000));
    }
}
