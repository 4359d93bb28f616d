//! A season in small: a drill that is driven, and what its board does with the journal.
//!
//! ```text
//!  power-up, settings │ pass │ headland │ pass, a side off │ … │ new rate │ refill │ new settings │ …
//!                       work   stands: erases                     work       stands   stands
//! ```

use crate::settings::drill;
use controller::gap::Gap;
use controller::quantity::{Instant, Micros, MilligramsPerSquareMetre, Position};
use controller::seed::Product;
use controller::sense::PositionSample;
use controller::snapshot::Snapshot;
use controller::tally::Totals;
use controller::{Act, Controller, Inputs, Outputs, Settings, SettingsConfig};

/// One call of the board to the journal.
#[derive(Clone, Debug)]
pub(crate) enum Call {
    /// Once on every tick.
    Keep,
    /// A fill or a new rate.
    KeepNow,
    /// A gap that ended.
    Gap(Gap),
    /// New settings.
    Settings(Box<SettingsConfig>),
    /// Erases ahead.
    Tend,
}

/// What the operator does in a tick.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Deed {
    /// Stands with the implement lifted.
    Stand,
    /// Sows; the last side may be switched off.
    Sow { last_side: bool },
    /// Sets another rate, mg/m².
    Rate(u16),
    /// Fills the hopper, kg.
    Fill(u64),
    /// Writes other settings: the width of the first side, mm.
    Width(i32),
}

/// A drill with its controller.
#[derive(Clone, Debug)]
pub(crate) struct Drill {
    pub(crate) config: SettingsConfig,
    pub(crate) controller: Controller,
    pub(crate) inputs: Inputs,
    pub(crate) outputs: Outputs,
    /// Ground speed, mm/s.
    speed: u32,
    /// Of the ground pulses, 10^-5.
    ground: u32,
    /// 2^-21 edges, of each shaft.
    phase: [u64; 4],
    degrees: i32,
}

/// Working speed, mm/s, and what it changes by in a tick: 2 m/s².
const SPEED: u32 = 2_300;
const CHANGE: u32 = 20;

impl Drill {
    pub(crate) fn new(config: SettingsConfig) -> Self {
        let settings = Settings::new(&config).expect("the settings are valid");
        let mut inputs = Inputs::default();
        inputs.sides.iter_mut().for_each(|side| side.switch = true);
        Self {
            config,
            controller: Controller::new(settings),
            inputs,
            outputs: Outputs::default(),
            speed: 0,
            ground: 0,
            phase: [0; 4],
            degrees: 480_000_000,
        }
    }

    /// One tick, `later` than 10 ms after the last; what the board then tells the journal.
    pub(crate) fn step(&mut self, deed: Deed, later: Micros) -> Vec<Call> {
        let mut calls = vec![Call::Keep];
        let sows = !matches!(deed, Deed::Stand | Deed::Fill(_) | Deed::Width(_));
        self.drive(deed, sows, later);
        self.outputs = self.controller.tick(&self.inputs);
        match deed {
            Deed::Stand | Deed::Sow { .. } => {}
            Deed::Rate(rate) => {
                self.act(Act::Rate {
                    product: Product::First,
                    rate: MilligramsPerSquareMetre::from_whole(rate),
                });
                calls.push(Call::KeepNow);
            }
            Deed::Fill(kilograms) => {
                let micrograms = kilograms * 1_000_000_000;
                self.act(Act::Filled { product: Product::First, micrograms });
                calls.push(Call::KeepNow);
            }
            Deed::Width(width) => {
                self.config.sides[0].width =
                    controller::quantity::Micrometres::from_millimetres(width);
                calls.push(Call::Settings(Box::new(self.config.clone())));
            }
        }
        while let Some(gap) = self.controller.take_gap() {
            calls.push(Call::Gap(gap));
        }
        if self.outputs.stands() {
            calls.push(Call::Tend);
        }
        calls
    }

    fn act(&mut self, act: Act) {
        self.controller.act(act, self.inputs.now).expect("possible");
    }

    /// Inputs of the next tick.
    fn drive(&mut self, deed: Deed, sows: bool, later: Micros) {
        let before = self.inputs.now;
        let now = before.plus(Micros::from_millis(10)).plus(later);
        self.inputs.now = now;
        self.inputs.lift = sows;
        // A stop since power-up, or by a long erase: the operator puts the master off and on again.
        self.inputs.master = sows;
        self.inputs.sides[3].switch = !matches!(deed, Deed::Sow { last_side: false });
        self.roll(sows, now);
        let place = Position::new(self.degrees, 110_000_000).expect("on the globe");
        self.inputs.position = Some(PositionSample { position: place, at: now });
        for side in 0..4 {
            self.turn(side, now);
        }
    }

    /// The drill gains speed or brakes.
    fn roll(&mut self, sows: bool, now: Instant) {
        let faster = (self.speed + CHANGE).min(SPEED);
        self.speed = if sows { faster } else { self.speed.saturating_sub(CHANGE) };
        // 130 pulses per metre, in 10 ms.
        let rate = self.speed * 130;
        self.ground += rate;
        let pulses = self.ground / 100_000;
        self.ground %= 100_000;
        if pulses > 0 {
            let ground = &mut self.inputs.ground;
            ground.count = ground.count.wrapping_add(pulses);
            ground.edge_at = now.minus(Micros::new(self.ground * 1_000 / rate.div_ceil(10)));
            self.degrees += 2;
        }
    }

    /// Every shaft turns as is wanted.
    fn turn(&mut self, side: usize, now: Instant) {
        let wanted = u64::try_from(self.outputs.sides[side].wanted.to_bits()).unwrap_or(0);
        // 180 edges per turn, 100 ticks per second.
        let rate = wanted * 180;
        self.phase[side] += rate / 100;
        let edges = u32::try_from(self.phase[side] >> 21).expect("few");
        self.phase[side] &= (1 << 21) - 1;
        if edges > 0 {
            let shaft = &mut self.inputs.sides[side].shaft;
            shaft.count = shaft.count.wrapping_add(edges);
            let since = self.phase[side] * 1_000_000 / rate.max(1);
            shaft.edge_at = now.minus(Micros::new(u32::try_from(since).expect("short")));
        }
    }

    pub(crate) fn snapshot(&self) -> Snapshot {
        self.controller.snapshot()
    }
}

/// The deeds of the season, tick by tick.
pub(crate) fn season() -> Vec<Deed> {
    let mut deeds = Vec::new();
    let mut during = |seconds: usize, deed| deeds.extend(vec![deed; seconds * 100]);
    during(2, Deed::Stand);
    for _pass in 0..24 {
        during(1, Deed::Stand);
        during(8, Deed::Sow { last_side: true });
        during(2, Deed::Sow { last_side: false });
        during(8, Deed::Sow { last_side: true });
        during(4, Deed::Stand);
    }
    // Single ticks: refills and settings while the drill stands, rates while it sows.
    for (index, deed) in [
        (150, Deed::Width(3_010)),
        (900, Deed::Rate(9_000)),
        (2_490, Deed::Fill(600)),
        (4_790, Deed::Width(2_990)),
        (5_500, Deed::Rate(12_000)),
        (13_940, Deed::Fill(1_200)),
        (13_950, Deed::Width(3_000)),
        (20_000, Deed::Rate(11_000)),
    ] {
        deeds[index] = deed;
    }
    deeds
}

/// What a side has sown late in the season: 1 670 km and 500 ha in 200 h.
pub(crate) const fn counted() -> Totals {
    Totals {
        distance_um: 1_670_000_000_000,
        area_mm2: 5_010_000_000_000,
        shared_mm2: 0,
        mass_ug: 55_110_000_000_000,
        by_map: 0,
    }
}

/// The drill of the season, at power-up.
pub(crate) fn fresh() -> Drill {
    let mut drill = Drill::new(drill());
    let kept = Snapshot { sides: [counted(); 4], way_mm: 1_670_000_000, ..drill.snapshot() };
    drill.controller.restore(&kept).expect("at rest");
    drill
}
