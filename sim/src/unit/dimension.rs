//! A kind of quantity and the units it may be written in.

/// A kind of quantity: length, speed, seeding rate, ...
#[derive(Debug, PartialEq)]
pub struct Dimension {
    /// Name with its article: `a length`.
    pub name: &'static str,
    /// Examples of how it is written, as in a complaint: `"4.0 m" or "13 ft"`.
    pub example: &'static str,
    /// Units it may be written in; the first of each [`System`] is the one it is shown in.
    pub units: &'static [Unit],
    /// A bare number is good too (a share: `0.05` is `5 %`).
    pub bare: bool,
}

/// A unit: one of it is `numerator / denominator` of the bench's own unit, counted from `zero`.
///
/// Two numbers, so that both ways are rounded once: 120 g is 120 × 1 / 1000 kg.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// Spellings; the first is the one that is shown.
    pub spellings: &'static [&'static str],
    /// Exact numerator of its size.
    pub numerator: f64,
    /// Exact denominator of its size.
    pub denominator: f64,
    /// Its number at the zero of the bench's own unit: 32 for °F, else 0.
    pub zero: f64,
    /// The system of units it belongs to.
    pub system: System,
}

/// Systems of units a person may choose.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Metres, kilograms, hectares.
    Metric,
    /// US customary: feet, pounds, acres.
    Us,
    /// Of both: seconds, turns, per cent.
    Both,
}

impl Unit {
    /// Shown spelling.
    pub fn symbol(&self) -> &'static str {
        self.spellings.first().copied().unwrap_or_default()
    }

    /// From a number of this unit to the bench's own.
    pub fn to_own(&self, number: f64) -> f64 {
        (number - self.zero) * self.numerator / self.denominator
    }

    /// From the bench's own unit to a number of this one.
    pub fn from_own(&self, own: f64) -> f64 {
        own * self.denominator / self.numerator + self.zero
    }

    /// Whether people of `system` use it.
    pub fn is_of(&self, system: System) -> bool {
        self.system == System::Both || system == System::Both || self.system == system
    }
}

impl Dimension {
    /// The unit of this spelling. Case counts (`m` is metres, `M` is nothing).
    pub fn unit(&self, spelling: &str) -> Option<&'static Unit> {
        self.units.iter().find(|unit| unit.spellings.contains(&spelling))
    }

    /// The unit in which people of `system` like to see it.
    pub fn preferred(&self, system: System) -> Option<&'static Unit> {
        self.units.iter().find(|unit| unit.is_of(system))
    }
}
