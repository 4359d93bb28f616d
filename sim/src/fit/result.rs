//! What a step log tells of a drive, in words, for a drill file, and as data.

use super::dynamics::Dynamics;
use super::hold::Holds;
use crate::scenario::Drive;
use serde::Serialize;
use std::fmt;

/// A number and its scatter.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// The number.
    pub value: f64,
    /// Standard deviation over the repeats (of a map point: over its holds); none with fewer than two.
    pub scatter: Option<f64>,
}

/// A point of the map.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FitPoint {
    /// Command, 0..1.
    pub command: f64,
    /// Shaft speed, turns/s.
    pub turns_per_s: Measured,
}

/// A fitted drive.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fit {
    /// Edges of the encoder per turn of the shaft.
    pub encoder_pulses_per_turn: u32,
    /// Command at which the shaft begins to turn, 0..1.
    pub opening: Measured,
    /// Shaft speed at every command that turns it, up to full command.
    pub map: Vec<FitPoint>,
    /// Mean rise of the map above the opening command, turns/s per unit of command.
    pub gain: Measured,
    /// Lag τ1, s.
    pub lag_s: Measured,
    /// Dead time θ, s.
    pub dead_time_s: Measured,
    /// Steps that were used.
    pub steps: usize,
    /// How often the steps were played.
    pub repeats: usize,
    /// What to be careful about, in words.
    pub cautions: Vec<String>,
}

/// Below this edge rate at full command the accuracy is not promised: of 60 drawn drives all that give more
/// came out within 5 %, 0.01 of command and 10 ms, and a quarter of those that give less did not.
const SLOW_EDGES_PER_S: f64 = 30.0;
/// Most points of a map in a drill file.
const MAP_POINTS: usize = 12;

impl Measured {
    /// A value with the scatter of `each`.
    pub(super) fn over(value: f64, each: &[f64]) -> Self {
        Self { value, scatter: scatter(each) }
    }

    /// Mean and scatter of `each`; none of nothing.
    pub(super) fn mean(each: &[f64]) -> Option<Self> {
        #[expect(clippy::cast_precision_loss, reason = "some hundred holds")]
        let count = each.len() as f64;
        let mean = each.iter().sum::<f64>() / count;
        (!each.is_empty()).then(|| Self::over(mean, each))
    }
}

/// Sample standard deviation; none of fewer than two.
fn scatter(each: &[f64]) -> Option<f64> {
    #[expect(clippy::cast_precision_loss, reason = "some hundred holds")]
    let count = each.len() as f64;
    let mean = each.iter().sum::<f64>() / count;
    let squares: f64 = each.iter().map(|value| (value - mean) * (value - mean)).sum();
    (each.len() >= 2).then(|| (squares / (count - 1.0)).sqrt())
}

impl Fit {
    pub(super) fn new(
        holds: &Holds,
        mut map: Vec<FitPoint>,
        opening: Measured,
        dynamics: &Dynamics,
    ) -> Self {
        map.retain(|point| point.command > opening.value);
        let full = map.last().map_or(Measured { value: 0.0, scatter: None }, |it| it.turns_per_s);
        let room = 1.0 - opening.value;
        let gain = Measured { value: full.value / room, scatter: full.scatter.map(|it| it / room) };
        let mut fit = Self {
            encoder_pulses_per_turn: holds.pulses_per_turn,
            opening,
            map,
            gain,
            lag_s: dynamics.lag_s,
            dead_time_s: dynamics.dead_time_s,
            steps: dynamics.steps,
            repeats: holds.repeats(),
            cautions: Vec::new(),
        };
        fit.caution(dynamics.open_s, holds.row_s);
        fit
    }

    /// The fit of a spin run, whose edges have instants of their own.
    pub(super) fn spun(
        holds: &Holds,
        map: Vec<FitPoint>,
        opening: Measured,
        dynamics: &Dynamics,
    ) -> Self {
        Self::new(&Holds { row_s: 0.0, ..holds.clone() }, map, opening, dynamics)
    }

    /// Says where the edges leave more open than 5 % of the lag or 10 ms of the dead time, at two deviations.
    fn caution(&mut self, (lag_s, dead_time_s): (f64, f64), row_s: f64) {
        if 2.0 * lag_s > 0.05 * self.lag_s.value {
            let percent = 200.0 * lag_s / self.lag_s.value;
            self.cautions.push(format!("the edges leave the lag open by {percent:.0} %"));
        }
        if 2.0 * dead_time_s > 0.010 {
            let milliseconds = 2000.0 * dead_time_s;
            self.cautions
                .push(format!("the edges leave the dead time open by {milliseconds:.0} ms"));
        }
        let edges_per_s =
            self.gain.value * (1.0 - self.opening.value) * f64::from(self.encoder_pulses_per_turn);
        if edges_per_s < SLOW_EDGES_PER_S {
            self.cautions.push(format!(
                "the edges leave the opening command open: {edges_per_s:.0} a second at full command, \
                 {SLOW_EDGES_PER_S:.0} are wanted"
            ));
        }
        // Edges that fall at the same place in every row tell their instants no better than a row.
        let in_row = edges_per_s * row_s;
        if (0.5..4.5).contains(&in_row) && (in_row - in_row.round()).abs() < 0.01 {
            self.cautions.push(format!(
                "the edges leave the lag open: at full command they fall in step with the rows, {in_row:.2} \
                 in each"
            ));
        }
        if self.repeats < 2 {
            self.cautions
                .push("the steps were played once, so nothing tells the scatter".to_owned());
        }
    }

    /// The edges tell map, gain and lag within 5 %, opening command within 0.01, dead time within 10 ms.
    pub fn is_sure(&self) -> bool {
        !self.cautions.iter().any(|caution| caution.starts_with("the edges leave"))
    }

    /// The drive that a controller is told: from the opening command up, at most 12 points.
    pub fn drive(&self) -> Drive {
        let mut map = vec![(self.opening.value, 0.0)];
        map.extend(self.map.iter().map(|point| (point.command, point.turns_per_s.value)));
        while map.len() > MAP_POINTS {
            map.remove(least_missed(&map));
        }
        Drive { map, lag_s: self.lag_s.value, dead_time_s: self.dead_time_s.value, motor: None }
    }

    /// The `[drive]` section of a drill file.
    pub fn to_toml(&self) -> String {
        let drive = self.drive();
        let point =
            |&(command, speed): &(f64, f64)| format!("[{command:.4}, \"{speed:.5} turns/s\"]");
        let map: Vec<String> = drive.map.iter().map(point).collect();
        format!(
            "[drive]\nmap = [{}]\nlag = \"{:.4} s\"\ndead_time = \"{:.4} s\"\n",
            map.join(", "),
            drive.lag_s,
            drive.dead_time_s
        )
    }
}

/// The inner point that the line between its neighbours comes nearest to.
fn least_missed(map: &[(f64, f64)]) -> usize {
    let miss = |it: &[(f64, f64)]| {
        let share = (it[1].0 - it[0].0) / (it[2].0 - it[0].0);
        (it[0].1 + share * (it[2].1 - it[0].1) - it[1].1).abs()
    };
    let ranked = map.windows(3).map(miss).enumerate();
    ranked.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(1, |(index, _)| index + 1)
}

impl fmt::Display for Fit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = |it: Measured, scale: f64, digits: usize| {
            let scatter = it.scatter.map_or_else(
                || "(scatter not known)".to_owned(),
                |scatter| format!("± {:.digits$}", scatter * scale),
            );
            format!("{:.digits$} {scatter}", it.value * scale)
        };
        writeln!(f, "Opening command  {} of full command", shown(self.opening, 1.0, 3))?;
        writeln!(
            f,
            "Gain             {} turns/s for full command above it",
            shown(self.gain, 1.0, 3)
        )?;
        writeln!(f, "Lag              {} ms", shown(self.lag_s, 1000.0, 0))?;
        writeln!(f, "Dead time        {} ms", shown(self.dead_time_s, 1000.0, 0))?;
        writeln!(f, "Valve map        command   shaft, turns/s")?;
        for point in &self.map {
            writeln!(
                f,
                "                 {:.3}     {}",
                point.command,
                shown(point.turns_per_s, 1.0, 4)
            )?;
        }
        writeln!(f, "From {} steps, played {} times.", self.steps, self.repeats)?;
        self.cautions.iter().try_for_each(|caution| writeln!(f, "Careful: {caution}."))
    }
}
