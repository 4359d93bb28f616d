//! The drive as built: what all runs of a sheet tell, in words, as a file, as data.

use super::SpinFit;
use super::delivery::DeliveryFit;
use super::flag::FlagFit;
use super::ground::GroundFit;
use super::result::Measured;
use crate::unit::System;
use serde::Serialize;
use std::fmt::{self, Write};
use std::path::PathBuf;

/// What the runs tell of one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BuiltSide {
    /// Name of the side.
    pub name: String,
    /// Its spin run.
    pub spin: Option<SpinFit>,
    /// Its delivery run.
    pub delivery: Option<DeliveryFit>,
}

/// What the runs tell of the drill.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Built {
    /// Day of the runs, as the sheet has it.
    pub date: String,
    /// Name of the drill.
    pub drill: String,
    /// Invented for demonstration.
    pub demo: bool,
    /// Logs that were read.
    pub runs: usize,
    /// Drill file and logs that were read: never to be written over.
    #[serde(skip)]
    pub files: Vec<PathBuf>,
    /// The sides, left to right.
    pub sides: Vec<BuiltSide>,
    /// Ground run.
    pub ground: Option<GroundFit>,
    /// Flag run.
    pub flags: Option<FlagFit>,
}

impl Built {
    /// Nothing is wrong, and everything was told well enough.
    pub fn is_sure(&self) -> bool {
        let side = |side: &BuiltSide| {
            side.spin.as_ref().is_none_or(SpinFit::is_sure)
                && side.delivery.as_ref().is_none_or(|it| it.cautions.is_empty())
        };
        self.sides.iter().all(side)
            && self.ground.as_ref().is_none_or(|it| it.cautions.is_empty())
            && self.flags.as_ref().is_none_or(|it| it.cautions.is_empty())
    }

    /// The as-built file, which a drill file names by `as_built`.
    pub fn to_toml(&self) -> String {
        let mut text = format!(
            "# As built: measured by {} runs. A drill file that names this file by as_built uses these numbers in \
             place\n# of its own. Measure anew after a new valve, motor, pump, hose, wheel or tyre.\ndate = {}\n\
             drill = {}\ndemo = {}\nruns = {}\n",
            self.runs,
            quoted(&self.date),
            quoted(&self.drill),
            self.demo,
            self.runs
        );
        // Writing to a string cannot fail.
        if let Some(ground) = &self.ground {
            let Measured { value, scatter } = ground.pulses_per_m;
            let percent = scatter.map(|it| 100.0 * it / value);
            let _ = write!(
                text,
                "\n[ground]\npulses = \"{value:.4} /m\"\n{}from = \"{} passes\"\n",
                known("scatter", percent, |it| format!("\"{it:.3} %\"")),
                ground.passes.len()
            );
        }
        if let Some(flags) = &self.flags {
            let metres = |it: f64| format!("\"{it:.3} m\"");
            let _ = write!(
                text,
                "\n[openers]\nlowering = {}\n{}lifting = {}\n{}from = \"{} drives\"\n",
                metres(flags.lowering_m.value.max(0.0)),
                known("lowering_scatter", flags.lowering_m.scatter, metres),
                metres(flags.lifting_m.value.max(0.0)),
                known("lifting_scatter", flags.lifting_m.scatter, metres),
                flags.drives.len()
            );
        }
        self.sides.iter().for_each(|side| side.write(&mut text));
        text
    }
}

impl BuiltSide {
    fn write(&self, text: &mut String) {
        if self.spin.is_none() && self.delivery.is_none() {
            return;
        }
        let _ = write!(text, "\n[[side]]\nname = {}\n", quoted(&self.name));
        if let Some(delivery) = &self.delivery {
            let (delay, open) = (delivery.delay_s.value, delivery.open_s);
            let _ = write!(
                text,
                "delivery_delay = \"{delay:.4} s\"\ndelivery_scatter = \"{open:.4} s\" # of the mean\n"
            );
        }
        if let Some(spin) = &self.spin {
            let drive = spin.fit.to_toml().replacen("[drive]", "[side.drive]", 1);
            let fit = &spin.fit;
            let percent = fit.gain.scatter.map(|it| 100.0 * it / fit.gain.value);
            let seconds = |it: f64| format!("\"{it:.4} s\"");
            let _ = write!(
                text,
                "\n{drive}\n[side.scatter]\n{}{}{}{}hysteresis = {:.4} # its width, not told to the controller\n",
                known("opening", fit.opening.scatter, |it| format!("{it:.4}")),
                known("gain", percent, |it| format!("\"{it:.3} %\"")),
                known("lag", fit.lag_s.scatter, seconds),
                known("dead_time", fit.dead_time_s.scatter, seconds),
                spin.hysteresis.value,
            );
        }
    }
}

impl Built {
    /// All in words, in the units of `system`.
    pub fn text(&self, system: System) -> String {
        let mut text = String::new();
        // Nothing fails that is written into a string.
        let _ = self.write(&mut text, system);
        text
    }

    fn write(&self, f: &mut dyn Write, system: System) -> fmt::Result {
        writeln!(f, "{} as built, {}, {} runs", self.drill, self.date, self.runs)?;
        for side in &self.sides {
            writeln!(f, "\nSide {}", side.name)?;
            if let Some(spin) = &side.spin {
                write!(f, "{spin}")?;
            }
            if let Some(delivery) = &side.delivery {
                write!(f, "{delivery}")?;
            }
            if side.spin.is_none() && side.delivery.is_none() {
                writeln!(f, "Not measured.")?;
            }
        }
        writeln!(f)?;
        if let Some(ground) = &self.ground {
            ground.write(f, system)?;
        }
        if let Some(flags) = &self.flags {
            flags.write(f, system)?;
        }
        Ok(())
    }
}

/// The line of a scatter; none where a single run tells none.
fn known(key: &str, scatter: Option<f64>, shown: impl Fn(f64) -> String) -> String {
    scatter.map_or(String::new(), |it| format!("{key} = {}\n", shown(it)))
}

/// A line of text as TOML has it.
fn quoted(text: &str) -> String {
    toml_edit::Value::from(text).to_string()
}
