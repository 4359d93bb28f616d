//! What a run leaves behind for a person to look at: every tick and every soil cell.

/// Record of one run.
#[derive(Clone, Debug, Default)]
pub struct Trace {
    /// Every controller tick, in order of time.
    pub ticks: Vec<Tick>,
    /// Every soil cell of every side, side by side, in order of distance.
    pub cells: Vec<Cell>,
}

/// One controller tick.
#[derive(Clone, Debug)]
pub struct Tick {
    /// Piece of the profile, from 0.
    pub piece: usize,
    /// Instant, s.
    pub t_s: f64,
    /// True travel of the drill's centre since the piece began, m.
    pub travel_m: f64,
    /// True ground speed, m/s.
    pub speed_mps: f64,
    /// Ground speed as the controller believes it, m/s.
    pub believed_mps: f64,
    /// Yaw rate, rad/s, anticlockwise positive.
    pub yaw_rad_per_s: f64,
    /// Implement lowered and operator on.
    pub asked: bool,
    /// Number of the controller's alarm, 0 for none.
    pub alarm: u8,
    /// Supply shut-off energised (oil may flow).
    pub supply: bool,
    /// The sides.
    pub sides: Vec<SideTick>,
}

/// One side at a tick.
#[derive(Clone, Debug)]
pub struct SideTick {
    /// Shaft speed the law wants, turns/s.
    pub wanted_turns_per_s: f64,
    /// Shaft speed measured by the controller, turns/s.
    pub measured_turns_per_s: f64,
    /// True shaft speed, turns/s.
    pub true_turns_per_s: f64,
    /// Valve command, 0..1.
    pub command: f64,
    /// State in a word: `stopped`, `off`, `lifted`, `slow`, `lost`, `sowing`, `catch`.
    pub state: &'static str,
}

/// One soil cell.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Piece of the profile, from 0.
    pub piece: usize,
    /// Side, from 0.
    pub side: usize,
    /// Where it begins, m of the side's own travel since the piece began.
    pub start_m: f64,
    /// Instant at which the side entered it, s.
    pub entered_s: f64,
    /// Instant at which the side left it, s.
    pub left_s: f64,
    /// Rate laid, kg/ha.
    pub laid_kg_per_ha: f64,
    /// Rate asked for, kg/ha.
    pub target_kg_per_ha: f64,
    /// 100 (laid / target − 1), NaN where nothing was asked for.
    pub error_pct: f64,
    /// Asked for throughout: it is among all cells.
    pub counted: bool,
    /// It is among the running cells.
    pub running: bool,
}
