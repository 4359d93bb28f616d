//! What drives the machine: a law, or a board at its pins.

/// What drives the machine in a step.
pub struct Given<'a> {
    /// Valve command of each side, 0 to 1; of a motorised valve its motor's run, −1 to 1.
    pub commands: &'a [f64],
    /// The shut-off lets oil through.
    pub supply: bool,
    /// Turns per metre of a law without a valve, by side and travel.
    pub wheel: &'a dyn Fn(usize, f64) -> Option<f64>,
}

impl core::fmt::Debug for Given<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let Self { commands, supply, .. } = self;
        f.debug_struct("Given").field("commands", commands).field("supply", supply).finish()
    }
}
