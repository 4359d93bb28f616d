//! Head of a run log: which run, which side, what the sensors are, and the names of the columns.
//!
//! ```text
//! # run = spin
//! # side = 2
//! # sides = 2
//! # encoder_pulses_per_turn = 180
//! t_s,command,edges,edge_s,back,edges_1
//! ```

use core::fmt;

/// A measuring run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum RunKind {
    /// Valve commands at standstill.
    Spin,
    /// A taped way.
    Ground,
    /// From shaft to soil.
    Delivery,
    /// Lowering and lifting at flags.
    Flag,
}

impl RunKind {
    /// Its name in a log.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Spin => "spin",
            Self::Ground => "ground",
            Self::Delivery => "delivery",
            Self::Flag => "flag",
        }
    }
}

/// The lines before the first row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct RunHead {
    /// Which run.
    pub kind: RunKind,
    /// The side whose shaft is watched, from 0.
    pub side: u8,
    /// Sides of the drill.
    pub sides: u8,
    /// Encoder edges per turn of that side's meter shaft.
    pub edges_per_turn: u32,
}

impl fmt::Display for RunHead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "# run = {}", self.kind.word())?;
        writeln!(f, "# side = {}", self.side.saturating_add(1))?;
        writeln!(f, "# sides = {}", self.sides)?;
        writeln!(f, "# encoder_pulses_per_turn = {}", self.edges_per_turn)?;
        match self.kind {
            RunKind::Spin => {
                write!(f, "t_s,command,edges,edge_s,back")?;
                for other in (0..self.sides).filter(|&other| other != self.side) {
                    write!(f, ",edges_{}", other.saturating_add(1))?;
                }
                writeln!(f)
            }
            RunKind::Ground => writeln!(f, "t_s,ground,ground_s,speed_mps,marks"),
            RunKind::Delivery => writeln!(f, "t_s,command,edges,lamp,marks,seen"),
            RunKind::Flag => writeln!(f, "t_s,ground,ground_s,lift,edges,marks"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{RunHead, RunKind};
    use core::fmt::Write;
    use heapless::String;

    #[test]
    fn a_head_names_the_other_sides() {
        let head = RunHead { kind: RunKind::Spin, side: 1, sides: 3, edges_per_turn: 180 };
        let mut text = String::<128>::new();
        write!(text, "{head}").unwrap();
        assert!(text.starts_with("# run = spin\n# side = 2\n"), "{text}");
        assert!(text.ends_with("t_s,command,edges,edge_s,back,edges_1,edges_3\n"), "{text}");
    }
}
