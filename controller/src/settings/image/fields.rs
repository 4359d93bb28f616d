//! The one list of the image's fields, in the order of their bytes.
//!
//! A field more or less makes a new [`VERSION`](super::VERSION) and a new row in `docs/settings-image.md`.

use super::ImageError;
use super::cursor::{Visit, Word, field, list};
use crate::drive::{MapPoint, MotorisedConfig, ValveKind};
use crate::quantity::{
    Command, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros, MilligramsPerSquareMetre,
    PerMille, PulsesPerMetre, TurnsPerSecond,
};
use crate::seed::{MeterPoint, Product};
use crate::sense::{Sampled, SpeedSource};
use crate::settings::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SettingsConfig, SideConfig,
};
use heapless::Vec;

type Visited = Result<(), ImageError>;

const LENGTH: Micrometres = Micrometres::new(0);
const TIME: Micros = Micros::ZERO;

/// Settings in which nothing is set: what a reader fills.
pub(super) const BLANK: SettingsConfig = SettingsConfig {
    sides: Vec::new(),
    sources: Vec::new(),
    correct_slip: false,
    rate: MilligramsPerSquareMetre::from_bits(0),
    second_rate: None,
    lowest_speed: MetresPerSecond::ZERO,
    top_speed: MetresPerSecond::ZERO,
    delivery_delay: TIME,
    lift: LiftConfig { from: LiftSource::Switch, lowered_level: false, debounce: TIME },
    places: PlacesConfig { antenna_to_opener: LENGTH, lowering: LENGTH, lifting: LENGTH },
    least_gap: LENGTH,
    limits: LimitsConfig {
        start_speed: MetresPerSecond::ZERO,
        road_speed: MetresPerSecond::ZERO,
        raised_for: TIME,
        correction_told: PerMille::new(0),
        correction_limit: PerMille::new(0),
        rate_band: PerMille::new(0),
        rate_way: LENGTH,
    },
    capture_rate: 0,
};

const BLANK_SIDE: SideConfig = SideConfig {
    product: Product::First,
    outlets: 0,
    width: LENGTH,
    offset: LENGTH,
    edges_per_turn: 0,
    two_channel: false,
    meter: Vec::new(),
    map: Vec::new(),
    lag: TIME,
    dead_time: TIME,
    valve: ValveKind::Proportional,
};

const BLANK_SOURCE: SpeedSource = SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(0) };

/// All settings.
pub(super) fn settings<V: Visit>(visit: &mut V, config: &mut SettingsConfig) -> Visited {
    field(visit, "rate", &mut config.rate)?;
    second_rate(visit, &mut config.second_rate)?;
    field(visit, "lowest_speed", &mut config.lowest_speed)?;
    field(visit, "top_speed", &mut config.top_speed)?;
    field(visit, "delivery_delay", &mut config.delivery_delay)?;
    field(visit, "capture_rate", &mut config.capture_rate)?;
    lift(visit, &mut config.lift)?;
    places(visit, &mut config.places)?;
    field(visit, "least_gap", &mut config.least_gap)?;
    limits(visit, &mut config.limits)?;
    field(visit, "correct_slip", &mut config.correct_slip)?;
    list(visit, "sources", &mut config.sources, BLANK_SOURCE, source)?;
    list(visit, "sides", &mut config.sides, BLANK_SIDE, side)
}

/// A rate of nothing is none.
fn second_rate<V: Visit>(visit: &mut V, rate: &mut Option<MilligramsPerSquareMetre>) -> Visited {
    let mut word = rate.unwrap_or_default();
    field(visit, "second_rate", &mut word)?;
    *rate = Some(word).filter(|word| word.to_bits() > 0);
    Ok(())
}

fn lift<V: Visit>(visit: &mut V, lift: &mut LiftConfig) -> Visited {
    field(visit, "lift.lowered_level", &mut lift.lowered_level)?;
    field(visit, "lift.debounce", &mut lift.debounce)?;
    let (mut hitch, mut limit) = match lift.from {
        LiftSource::Switch => (false, TIME),
        LiftSource::Hitch { limit } => (true, limit),
    };
    field(visit, "lift.from", &mut hitch)?;
    field(visit, "lift.limit", &mut limit)?;
    lift.from = match (hitch, limit) {
        (true, limit) => LiftSource::Hitch { limit },
        (false, TIME) => LiftSource::Switch,
        // One image for one meaning: a switch has no limit.
        (false, _) => return Err(ImageError::Field("lift.limit")),
    };
    Ok(())
}

fn places<V: Visit>(visit: &mut V, places: &mut PlacesConfig) -> Visited {
    field(visit, "places.antenna_to_opener", &mut places.antenna_to_opener)?;
    field(visit, "places.lowering", &mut places.lowering)?;
    field(visit, "places.lifting", &mut places.lifting)
}

fn limits<V: Visit>(visit: &mut V, limits: &mut LimitsConfig) -> Visited {
    field(visit, "limits.start_speed", &mut limits.start_speed)?;
    field(visit, "limits.road_speed", &mut limits.road_speed)?;
    field(visit, "limits.raised_for", &mut limits.raised_for)?;
    field(visit, "limits.correction_told", &mut limits.correction_told)?;
    field(visit, "limits.correction_limit", &mut limits.correction_limit)?;
    field(visit, "limits.rate_band", &mut limits.rate_band)?;
    field(visit, "limits.rate_way", &mut limits.rate_way)
}

fn source<V: Visit>(visit: &mut V, source: &mut SpeedSource) -> Visited {
    let (mut kind, mut value) = match *source {
        SpeedSource::Pulses { per_metre } => (1, per_metre.to_bits()),
        SpeedSource::Samples { from, limit } => (number(from), limit.get()),
    };
    field::<V, u8>(visit, "source.kind", &mut kind)?;
    field::<V, u32>(visit, "source.value", &mut value)?;
    *source = match (kind, sampled(kind)) {
        (_, Some(from)) => SpeedSource::Samples { from, limit: Micros::new(value) },
        (1, None) => SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(value) },
        (_, None) => return Err(ImageError::Field("source.kind")),
    };
    Ok(())
}

const fn number(from: Sampled) -> u8 {
    match from {
        Sampled::Receiver => 2,
        Sampled::BusWheel => 3,
        Sampled::BusGround => 4,
        Sampled::BusSelected => 5,
    }
}

const fn sampled(kind: u8) -> Option<Sampled> {
    match kind {
        2 => Some(Sampled::Receiver),
        3 => Some(Sampled::BusWheel),
        4 => Some(Sampled::BusGround),
        5 => Some(Sampled::BusSelected),
        _ => None,
    }
}

fn side<V: Visit>(visit: &mut V, side: &mut SideConfig) -> Visited {
    field(visit, "side.product", &mut side.product)?;
    field(visit, "side.outlets", &mut side.outlets)?;
    field(visit, "side.width", &mut side.width)?;
    field(visit, "side.offset", &mut side.offset)?;
    field(visit, "side.edges_per_turn", &mut side.edges_per_turn)?;
    field(visit, "side.two_channel", &mut side.two_channel)?;
    field(visit, "side.lag", &mut side.lag)?;
    field(visit, "side.dead_time", &mut side.dead_time)?;
    valve(visit, &mut side.valve)?;
    list(visit, "side.meter", &mut side.meter, MeterPoint::default(), catch)?;
    list(visit, "side.map", &mut side.map, MapPoint::default(), point)
}

fn valve<V: Visit>(visit: &mut V, valve: &mut ValveKind) -> Visited {
    let (mut motorised, mut config) = match *valve {
        ValveKind::Proportional => (false, MotorisedConfig::default()),
        ValveKind::Motorised(config) => (true, config),
    };
    field(visit, "side.motorised", &mut motorised)?;
    field(visit, "side.stroke", &mut config.stroke)?;
    field(visit, "side.play", &mut config.play)?;
    *valve = match (motorised, config) {
        (true, config) => ValveKind::Motorised(config),
        (false, MotorisedConfig { stroke: TIME, play: TIME }) => ValveKind::Proportional,
        // One image for one meaning: a proportional valve has no motor.
        (false, _) => return Err(ImageError::Field("side.stroke")),
    };
    Ok(())
}

fn catch<V: Visit>(visit: &mut V, catch: &mut MeterPoint) -> Visited {
    field(visit, "catch.shaft", &mut catch.shaft)?;
    field(visit, "catch.mass", &mut catch.mass)
}

fn point<V: Visit>(visit: &mut V, point: &mut MapPoint) -> Visited {
    field(visit, "point.command", &mut point.command)?;
    field(visit, "point.shaft", &mut point.shaft)
}

/// A number, or a quantity by its raw word.
macro_rules! words {
    ($($size:literal $raw:ty: $($word:ty = $to:expr, $from:expr;)+)+) => {$($(
        impl Word for $word {
            const SIZE: usize = $size;

            fn raw(self) -> u64 {
                let to: fn(Self) -> $raw = $to;
                u64::from(to(self))
            }

            fn from_raw(raw: u64) -> Option<Self> {
                let from: fn($raw) -> Self = $from;
                <$raw>::try_from(raw).ok().map(from)
            }
        }
    )+)+};
}

words! {
    1 u8:
    u8 = |it| it, |raw| raw;
    2 u16:
    u16 = |it| it, |raw| raw;
    Command = Self::to_bits, Self::from_bits;
    PerMille = Self::get, Self::new;
    4 u32:
    u32 = |it| it, |raw| raw;
    Micros = Self::get, Self::new;
    MilligramsPerSquareMetre = Self::to_bits, Self::from_bits;
    Micrometres = |it| it.get().cast_unsigned(), |raw| Self::new(raw.cast_signed());
    MetresPerSecond = |it| it.to_bits().cast_unsigned(), |raw| Self::from_bits(raw.cast_signed());
    TurnsPerSecond = |it| it.to_bits().cast_unsigned(), |raw| Self::from_bits(raw.cast_signed());
    8 u64:
    MicrogramsPerTurn = Self::get, Self::new;
}

impl Word for bool {
    const SIZE: usize = 1;

    fn raw(self) -> u64 {
        u64::from(self)
    }

    fn from_raw(raw: u64) -> Option<Self> {
        match raw {
            0 => Some(false),
            1 => Some(true),
            _ => None,
        }
    }
}

impl Word for Product {
    const SIZE: usize = 1;

    fn raw(self) -> u64 {
        match self {
            Self::First => 1,
            Self::Second => 2,
        }
    }

    fn from_raw(raw: u64) -> Option<Self> {
        match raw {
            1 => Some(Self::First),
            2 => Some(Self::Second),
            _ => None,
        }
    }
}
