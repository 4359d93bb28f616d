//! A catch as it was weighed, checked.

use crate::desk::catch::kg_per_turn_of_total;
use crate::input::Clash;
use crate::scenario::read::{SEEDING_RATE, Wanted};
use crate::unit::{MASS, RATIO, System};

/// A mass that was caught, with its container.
pub(crate) const MASS_CAUGHT: Wanted = Wanted::new(&MASS, 0.0, 2000.0);
/// Step of the scale.
pub(crate) const SCALE: Wanted = Wanted::new(&MASS, 1e-6, 10.0);
/// Error of the mean that is wished for.
pub(crate) const WISHED: Wanted = Wanted::new(&RATIO, 0.001, 0.2);
/// Rate of the seed file.
pub(crate) const RATE_WANTED: Wanted = SEEDING_RATE;

/// A catch as a person tells it; quantities are in their range.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Raw {
    /// Turns of the shaft.
    pub turns: f64,
    /// Outlets of the shaft.
    pub outlets: u32,
    /// Outlets caught, if it is said.
    pub caught: Option<u32>,
    /// Each outlet with its container, kg.
    pub masses_kg: Option<Vec<f64>>,
    /// All of them together with what they were weighed in, kg.
    pub total_kg: Option<f64>,
    /// What was weighed without seed, kg: one container with masses, the whole vessel with a total.
    pub tare_kg: f64,
    /// Shaft speed, turns/s.
    pub shaft_turns_per_s: Option<f64>,
}

/// A catch that can be used.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// Turns of the shaft.
    pub turns: f64,
    /// Outlets caught.
    pub caught: u32,
    /// Seed caught, kg.
    pub net_kg: f64,
    /// The same outlet by outlet, where each was weighed, kg.
    pub each_kg: Vec<f64>,
    /// Shaft speed, turns/s.
    pub shaft_turns_per_s: Option<f64>,
}

/// All that was told of a catch test.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Test {
    /// Name of the seed lot.
    pub name: Option<String>,
    /// Invented for demonstration.
    pub demo: bool,
    /// Day of the catches.
    pub date: Option<String>,
    /// Outlets of the shaft.
    pub outlets: u32,
    /// Each catch.
    pub catches: Vec<Weighing>,
    /// Step of the scale, kg.
    pub scale_kg: Option<f64>,
    /// Rate for the seed file, kg/ha.
    pub rate_kg_per_ha: Option<f64>,
    /// Error of the mean that is wished for, share of it.
    pub wished: f64,
    /// The ground wheel that drives the shaft so far.
    pub ground: Option<GroundDrive>,
}

/// A shaft that the ground wheel drives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundDrive {
    /// Working width that the shaft sows, m.
    pub width_m: f64,
    /// Travel in one turn of the shaft, m.
    pub travel_per_turn_m: f64,
}

/// Whether a number of turns can be caught.
pub(crate) fn turns_are_good(turns: f64) -> Result<(), Clash> {
    if (0.1..=100_000.0).contains(&turns) {
        return Ok(());
    }
    let remedy = "write the turns of the meter shaft during the catch, 0.1 to 100000";
    Err(Clash::new("turns", format!("{turns} turns are no catch"), remedy))
}

impl Raw {
    /// Checks it.
    ///
    /// # Errors
    ///
    /// [`Clash`] names the first value that cannot be.
    pub fn weighing(&self) -> Result<Weighing, Clash> {
        turns_are_good(self.turns)?;
        let listed = self.masses_kg.as_ref().map(|it| u32::try_from(it.len()).unwrap_or(u32::MAX));
        let caught = self.caught.or(listed).unwrap_or(self.outlets);
        let key = if listed.is_some() && self.caught.is_none() { "masses" } else { "caught" };
        if caught == 0 || caught > self.outlets {
            let what = format!("{caught} outlets were caught of {}", self.outlets);
            let remedy = "outlets are all that the shaft feeds, caught those that were weighed: 1 up to outlets";
            return Err(Clash::new(key, what, remedy));
        }
        if listed.is_some_and(|listed| listed != caught) {
            let what = format!("{} masses for {caught} outlets caught", listed.unwrap_or_default());
            let remedy = "list one mass for each outlet that was caught";
            return Err(Clash::new("masses", what, remedy));
        }
        let (net_kg, each_kg) = self.net()?;
        if net_kg <= 0.0 {
            let key = if listed.is_some() { "masses" } else { "total" };
            return Err(Clash::new(key, "nothing was caught", "catch again with seed in the box"));
        }
        let shaft_turns_per_s = self.shaft_turns_per_s;
        Ok(Weighing { turns: self.turns, caught, net_kg, each_kg, shaft_turns_per_s })
    }

    /// Seed without containers: in all, and outlet by outlet.
    fn net(&self) -> Result<(f64, Vec<f64>), Clash> {
        let one = |gross: f64| {
            if gross >= self.tare_kg {
                return Ok(gross - self.tare_kg);
            }
            let shown = |kg| {
                let [metric, us] = [System::Metric, System::Us].map(|it| MASS.show(kg, it, 4));
                format!("{metric} ({us})")
            };
            let what = format!(
                "the tare of {} is above the {} weighed",
                shown(self.tare_kg),
                shown(gross)
            );
            let remedy =
                "tare is the empty container: of each mass, or what the total was weighed in";
            Err(Clash::new("tare", what, remedy))
        };
        match (&self.masses_kg, self.total_kg) {
            (Some(masses), None) => {
                let each = masses.iter().map(|&it| one(it)).collect::<Result<Vec<_>, _>>()?;
                Ok((each.iter().sum(), each))
            }
            (None, Some(total)) => Ok((one(total)?, Vec::new())),
            (Some(_), Some(_)) => {
                let remedy = "keep masses (each outlet) or total (all caught together)";
                Err(Clash::new("total", "masses and total are both given", remedy))
            }
            (None, None) => {
                let remedy = "add masses (each outlet) or total (all caught together)";
                Err(Clash::new("turns", "a catch without a mass", remedy))
            }
        }
    }
}

impl Weighing {
    /// Mass per turn of a shaft with `outlets`, kg.
    pub fn kg_per_turn(&self, outlets: u32) -> f64 {
        kg_per_turn_of_total(self.net_kg, self.caught, outlets, self.turns)
    }

    /// The lightest that stood on the scale, without its container, kg.
    pub fn lightest_kg(&self) -> f64 {
        let seed = self.each_kg.iter().copied().filter(|&it| it > 0.0);
        seed.reduce(f64::min).unwrap_or(self.net_kg)
    }
}
