//! Rows of a run log: one a tick, as text; fixed point only.
//!
//! | column | unit | |
//! |---|---|---|
//! | `t_s` | s | since the start of the run |
//! | `command` | 0..1 | valve command in force from this instant on |
//! | `edges` | whole | edges of the side's encoder since the start, both ways |
//! | `edge_s` | s | instant of the last of them, since the start |
//! | `back` | whole | of these, backwards; 0 without a second channel |
//! | `edges_N` | whole | edges of side N's encoder since the start |
//! | `ground`, `ground_s` | whole, s | ground pulses since the start, instant of the last |
//! | `speed_mps` | m/s | newest speed of the receiver; empty without one |
//! | `lift` | 0, 1 | the switch reads "in work" |
//! | `lamp` | 0, 1 | the lamp shines |
//! | `marks` | whole | presses of the mark button since the start |
//! | `seen` | 0, 1 | the tube sensor sees seed; empty without one |

use crate::MAX_SIDES;
use crate::quantity::{Command, MetresPerSecond, Micros};
use core::fmt;

/// A row of a spin run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SpinRow {
    /// Valve command from now on.
    pub command: Command,
    /// Edges of every side's encoder since the start.
    pub edges: [u32; MAX_SIDES],
    /// Instant of the last edge of the side that is watched, since the start.
    pub edge_at: Micros,
    /// Of its edges, those backwards.
    pub back: u32,
}

/// A row of a ground run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct GroundRow {
    /// Ground pulses since the start.
    pub ground: u32,
    /// Instant of the last, since the start.
    pub ground_at: Micros,
    /// Newest speed of the receiver.
    pub speed: Option<MetresPerSecond>,
    /// Presses of the mark button.
    pub marks: u16,
}

/// A row of a delivery run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DeliveryRow {
    /// Valve command from now on.
    pub command: Command,
    /// Edges of the side's encoder since the start.
    pub edges: u32,
    /// The lamp shines.
    pub lamp: bool,
    /// Presses of the mark button.
    pub marks: u16,
    /// The tube sensor sees seed, where there is one.
    pub seen: Option<bool>,
}

/// A row of a flag run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct FlagRow {
    /// Ground pulses since the start.
    pub ground: u32,
    /// Instant of the last, since the start.
    pub ground_at: Micros,
    /// The lift switch reads "in work".
    pub lift: bool,
    /// Edges of the side's encoder since the start.
    pub edges: u32,
    /// Presses of the mark button.
    pub marks: u16,
}

/// A row: its instant since the start, and what was true then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum RunRow {
    /// Of a spin run; side watched and number of sides as in its head.
    Spin(Micros, SpinRow, u8, u8),
    /// Of a ground run.
    Ground(Micros, GroundRow),
    /// Of a delivery run.
    Delivery(Micros, DeliveryRow),
    /// Of a flag run.
    Flag(Micros, FlagRow),
}

impl fmt::Display for RunRow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Spin(at, row, side, sides) => spin(f, at, row, (side, sides)),
            Self::Ground(at, GroundRow { ground, ground_at, speed, marks }) => {
                write!(f, "{},{ground},{},", Seconds(at), Seconds(ground_at))?;
                if let Some(speed) = speed {
                    write!(f, "{}", Speed(speed))?;
                }
                writeln!(f, ",{marks}")
            }
            Self::Delivery(at, DeliveryRow { command, edges, lamp, marks, seen }) => {
                let (at, command, lamp) = (Seconds(at), Share(command), u8::from(lamp));
                write!(f, "{at},{command},{edges},{lamp},{marks},")?;
                if let Some(seen) = seen {
                    write!(f, "{}", u8::from(seen))?;
                }
                writeln!(f)
            }
            Self::Flag(at, FlagRow { ground, ground_at, lift, edges, marks }) => {
                let (at, ground_at, lift) = (Seconds(at), Seconds(ground_at), u8::from(lift));
                writeln!(f, "{at},{ground},{ground_at},{lift},{edges},{marks}")
            }
        }
    }
}

fn spin(
    f: &mut fmt::Formatter<'_>,
    at: Micros,
    row: SpinRow,
    (side, sides): (u8, u8),
) -> fmt::Result {
    let own = row.edges.get(usize::from(side)).copied().unwrap_or(0);
    let (at, command, edge_at) = (Seconds(at), Share(row.command), Seconds(row.edge_at));
    write!(f, "{at},{command},{own},{edge_at},{}", row.back)?;
    for (number, edges) in (0..sides).zip(row.edges) {
        if number != side {
            write!(f, ",{edges}")?;
        }
    }
    writeln!(f)
}

/// Seconds with six places.
struct Seconds(Micros);

/// A share of full command with six places, rounded; full command is 1.
struct Share(Command);

/// Metres per second with three places, rounded.
struct Speed(MetresPerSecond);

impl fmt::Display for Seconds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let micros = self.0.get();
        write!(f, "{}.{:06}", micros / 1_000_000, micros % 1_000_000)
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A word of 16 bits times a million needs 36 bits; 1000000/65535 = 200000/13107.
        let bits = u32::from(self.0.to_bits());
        let whole = bits.saturating_mul(15);
        let rest = bits.saturating_mul(3_395).saturating_add(6_553) / 13_107;
        let millionths = whole.saturating_add(rest);
        write!(f, "{}.{:06}", millionths / 1_000_000, millionths % 1_000_000)
    }
}

impl fmt::Display for Speed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bits = self.0.to_bits();
        let sign = if bits < 0 { "-" } else { "" };
        let bits = bits.unsigned_abs();
        // Q20: whole metres, and the rest in thousandths.
        let rest = (bits & 0xF_FFFF).wrapping_shr(5).saturating_mul(1_000).saturating_add(1 << 14);
        let thousandths = bits.wrapping_shr(20).saturating_mul(1_000);
        let thousandths = thousandths.saturating_add(rest.wrapping_shr(15));
        write!(f, "{sign}{}.{:03}", thousandths / 1_000, thousandths % 1_000)
    }
}

#[cfg(test)]
mod tests {
    use super::{DeliveryRow, FlagRow, GroundRow, RunRow, Share, SpinRow};
    use crate::quantity::{Command, MetresPerSecond, Micros};
    use core::fmt::{Display, Write};
    use heapless::String;

    fn text(of: impl Display) -> String<64> {
        let mut text = String::new();
        write!(text, "{of}").unwrap();
        text
    }

    #[test]
    fn a_command_is_written_to_the_nearest_millionth() {
        for bits in 0..=u16::MAX {
            let exact = (u64::from(bits) * 1_000_000 + 32_767) / 65_535;
            let want = format_args!("{}.{:06}", exact / 1_000_000, exact % 1_000_000);
            assert_eq!(text(Share(Command::from_bits(bits))), text(want), "{bits}");
        }
    }

    #[test]
    fn a_spin_row_gives_its_own_side_first() {
        let row = SpinRow {
            command: Command::MAX,
            edges: [7, 9, 2, 0],
            edge_at: Micros::new(1_234_567),
            back: 1,
        };
        let row = RunRow::Spin(Micros::from_millis(1_240), row, 1, 3);
        assert_eq!(text(row), "1.240000,1.000000,9,1.234567,1,7,2\n");
    }

    #[test]
    fn what_is_not_fitted_is_left_empty() {
        let at = Micros::from_millis(10);
        let ground = GroundRow { ground: 3, ground_at: Micros::new(9_000), speed: None, marks: 0 };
        assert_eq!(text(RunRow::Ground(at, ground)), "0.010000,3,0.009000,,0\n");
        let delivery = DeliveryRow { marks: 2, ..DeliveryRow::default() };
        assert_eq!(text(RunRow::Delivery(at, delivery)), "0.010000,0.000000,0,0,2,\n");
    }

    #[test]
    fn what_is_fitted_is_written() {
        let at = Micros::from_millis(10);
        let speed = Some(MetresPerSecond::from_millimetres(2_777));
        let ground = GroundRow { speed, ..GroundRow::default() };
        assert_eq!(text(RunRow::Ground(at, ground)), "0.010000,0,0.000000,2.777,0\n");
        let flag = FlagRow { lift: true, edges: 5, ..FlagRow::default() };
        assert_eq!(text(RunRow::Flag(at, flag)), "0.010000,0,0.000000,1,5,0\n");
        let delivery = DeliveryRow { seen: Some(true), lamp: true, ..DeliveryRow::default() };
        assert_eq!(text(RunRow::Delivery(at, delivery)), "0.010000,0.000000,0,1,0,1\n");
    }
}
