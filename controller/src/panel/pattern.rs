//! Lamps and one buzzer: patterns as data, and whether each is on at a time.
//!
//! ```text
//!  spans: on, off, on, off … ms        lamp of the state   ▁▁█▁▁█▁▁▁▁▁▁   their sum is the period
//! ```
//!
//! The table stands in `docs/operator.md`; a test holds it equal to this.

use super::drill_state::DrillState;
use crate::watch::Class;

/// A pattern: spans of on and off in turn, ms, beginning with on; repeated. A lamp that is always on has one span.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Pattern {
    /// Its name.
    pub name: &'static str,
    /// On, off, on, off …, ms.
    pub spans_ms: &'static [u16],
}

/// Dark, or silent.
const NONE: Pattern = Pattern { name: "none", spans_ms: &[0, 1_000] };

impl Pattern {
    /// Lamp of the state. Never dark, so that a dead lamp or board is seen.
    pub const fn of_state(state: DrillState) -> Self {
        match state {
            DrillState::Turning => Self { name: "steady", spans_ms: &[1_000] },
            DrillState::Waiting => Self { name: "slow", spans_ms: &[1_000, 1_000] },
            DrillState::Off => Self { name: "wink", spans_ms: &[100, 2_900] },
            DrillState::Stopped => Self { name: "double wink", spans_ms: &[150, 150, 150, 1_050] },
        }
    }

    /// Lamp of the alarm.
    pub const fn of_alarm(class: Option<Class>) -> Self {
        match class {
            None => NONE,
            Some(Class::Alarm) => Self { name: "blink", spans_ms: &[500, 500] },
            Some(Class::Pause) => Self { name: "long blink", spans_ms: &[1_500, 500] },
            Some(Class::Latch) => Self { name: "quick", spans_ms: &[125, 125] },
        }
    }

    /// Buzzer, until the alarm is noticed.
    pub const fn of_buzzer(class: Option<Class>) -> Self {
        match class {
            None => NONE,
            Some(Class::Alarm) => Self { name: "one beep", spans_ms: &[200, 2_800] },
            Some(Class::Pause) => Self { name: "two beeps", spans_ms: &[200, 200, 200, 1_400] },
            Some(Class::Latch) => Self { name: "siren", spans_ms: &[600, 200] },
        }
    }

    /// Period, ms.
    #[must_use]
    pub fn period_ms(&self) -> u32 {
        self.spans_ms.iter().fold(0, |sum, span| sum.saturating_add(u32::from(*span)))
    }

    /// Whether it is on at a time, ms.
    #[must_use]
    pub fn is_on(&self, at_ms: u32) -> bool {
        let Some(mut left) = at_ms.checked_rem(self.period_ms()) else { return false };
        let mut on = true;
        for span in self.spans_ms {
            let Some(further) = left.checked_sub(u32::from(*span)) else { return on };
            left = further;
            on = !on;
        }
        false
    }
}

/// What is lit and sounds by pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Signals {
    /// Lamp of the state.
    pub state: Pattern,
    /// Lamp of the alarm.
    pub alarm: Pattern,
    /// Buzzer.
    pub buzzer: Pattern,
}

/// What is on now.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Lamps {
    /// Lamp of the state.
    pub state: bool,
    /// Lamp of the alarm.
    pub alarm: bool,
    /// Buzzer.
    pub buzzer: bool,
}

impl Signals {
    /// What is on at a time, ms.
    pub fn at(&self, at_ms: u32) -> Lamps {
        Lamps {
            state: self.state.is_on(at_ms),
            alarm: self.alarm.is_on(at_ms),
            buzzer: self.buzzer.is_on(at_ms),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Pattern;
    use crate::panel::DrillState;
    use crate::watch::Class;

    const CLASSES: [Option<Class>; 4] =
        [None, Some(Class::Alarm), Some(Class::Pause), Some(Class::Latch)];

    /// What an eye or an ear takes in: ms on in a minute, and how often it comes on.
    fn seen(pattern: Pattern) -> (u32, u32) {
        let mut was = pattern.is_on(0);
        (1..60_000).fold((0, 0), |(lit, begun), ms| {
            let on = pattern.is_on(ms);
            let fresh = on && !was;
            was = on;
            (u32::from(on).wrapping_add(lit), u32::from(fresh).wrapping_add(begun))
        })
    }

    #[test]
    fn patterns_of_one_lamp_differ_by_a_half_in_light_or_in_number() {
        let sets = [
            DrillState::ALL.map(Pattern::of_state),
            CLASSES.map(Pattern::of_alarm),
            CLASSES.map(Pattern::of_buzzer),
        ];
        for set in sets {
            for (place, one) in set.iter().enumerate() {
                for other in &set[..place] {
                    let (this, that) = (seen(*one), seen(*other));
                    let apart = |a: u32, b: u32| a.max(b) * 2 >= a.min(b) * 3 && a != b;
                    let told = apart(this.0, that.0) || apart(this.1, that.1);
                    assert!(told, "{one:?} and {other:?}");
                }
            }
        }
    }

    #[test]
    fn a_pattern_is_on_in_its_spans_and_repeats() {
        let double = Pattern::of_state(DrillState::Stopped);
        for (ms, on) in [(0, true), (149, true), (150, false), (300, true), (450, false)] {
            assert_eq!(double.is_on(ms), on, "at {ms} ms");
            assert_eq!(double.is_on(ms + double.period_ms()), on, "a period later than {ms} ms");
        }
    }

    #[test]
    fn a_state_is_never_dark_for_three_seconds() {
        for state in DrillState::ALL {
            let pattern = Pattern::of_state(state);
            assert!((0..3_000).any(|ms| pattern.is_on(ms)), "{state:?}");
            assert!(pattern.period_ms() <= 3_000, "{state:?}");
        }
    }
}
