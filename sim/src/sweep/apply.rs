//! How each parameter is put into a case.

use super::Case;
use crate::scenario::{Disturbance, Drive, Gnss, Source};

/// Rise and fall time of a supply dip, s.
const DIP_EDGE_S: f64 = 0.2;

pub(super) const fn gain(case: &mut Case, value: f64) {
    case.truth.drill.truth.gain = value;
}

pub(super) const fn swing(case: &mut Case, value: f64) {
    case.truth.drill.truth.swing = value;
}

pub(super) const fn swing_rate(case: &mut Case, value: f64) {
    case.truth.drill.truth.swing_rad_per_s = value;
}

pub(super) fn opening(case: &mut Case, value: f64) {
    let drive = &mut case.truth.drill.truth.drive;
    let moved = value - drive.opening();
    open_at(drive, value);
    told_opening(case, moved);
}

pub(super) fn lag(case: &mut Case, value: f64) {
    let drive = &mut case.truth.drill.truth.drive;
    case.told.drill.told.lag_s *= value / drive.lag_s;
    drive.lag_s = value;
}

pub(super) fn dead_time(case: &mut Case, value: f64) {
    let drive = &mut case.truth.drill.truth.drive;
    case.told.drill.told.dead_time_s *= value / drive.dead_time_s;
    drive.dead_time_s = value;
}

pub(super) const fn hysteresis(case: &mut Case, value: f64) {
    case.truth.drill.truth.hysteresis = value;
}

pub(super) const fn coil_rise(case: &mut Case, value: f64) {
    case.truth.drill.truth.coil_rise = value;
}

pub(super) fn encoder(case: &mut Case, value: f64) {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number from 1 to 4096"
    )]
    let pulses = value as u32;
    for scenario in [&mut case.truth, &mut case.told] {
        scenario.drill.sides.iter_mut().for_each(|side| side.encoder_pulses_per_turn = pulses);
    }
}

pub(super) const fn jitter(case: &mut Case, value: f64) {
    case.truth.drill.truth.encoder_jitter = value;
}

pub(super) const fn slip(case: &mut Case, value: f64) {
    case.truth.drill.truth.wheel_slip = value;
}

pub(super) const fn delivery_delay(case: &mut Case, value: f64) {
    case.truth.drill.delivery_delay_s = value;
    case.truth.drill.truth.ways.delivery_delay_s = None;
    case.told.drill.delivery_delay_s = value;
}

pub(super) const fn delivery_spread(case: &mut Case, value: f64) {
    case.truth.drill.truth.delivery_spread_s = value;
}

pub(super) const fn lift_bounce(case: &mut Case, value: f64) {
    case.truth.drill.truth.lift_bounce_s = value;
}

pub(super) const fn pulsation(case: &mut Case, value: f64) {
    case.truth.drill.truth.meter.pulsation = value;
}

pub(super) const fn wander(case: &mut Case, value: f64) {
    case.truth.drill.truth.meter.wander = value;
}

pub(super) const fn dip_every(case: &mut Case, value: f64) {
    case.dip_every_s = value;
}

pub(super) const fn dip_length(case: &mut Case, value: f64) {
    case.dip_length_s = value;
}

/// Dips all along the profile, the first after half the time between two.
pub(super) fn dip_depth(case: &mut Case, value: f64) {
    let pieces = case.truth.profile.pieces.iter();
    let end_s = pieces.map(crate::profile::Piece::end_s).fold(0.0, f64::max);
    let mut at_s = case.dip_every_s / 2.0;
    while at_s < end_s {
        case.truth.disturbances.push(Disturbance {
            at_s,
            for_s: case.dip_length_s,
            edge_s: DIP_EDGE_S.min(case.dip_length_s / 2.0),
            gain: 1.0 - value,
            limit_turns_per_s: f64::INFINITY,
        });
        at_s += case.dip_every_s;
    }
}

pub(super) fn gnss_latency(case: &mut Case, value: f64) {
    gnss(case, |gnss| gnss.latency_s = value);
}

pub(super) fn gnss_noise(case: &mut Case, value: f64) {
    gnss(case, |gnss| gnss.noise_mps = value);
}

pub(super) fn told_gain(case: &mut Case, value: f64) {
    let drives = case.told.drill.told_mut();
    drives.flat_map(|drive| &mut drive.map).for_each(|point| point.1 *= value);
}

pub(super) fn told_lag(case: &mut Case, value: f64) {
    case.told.drill.told_mut().for_each(|drive| drive.lag_s *= value);
}

pub(super) fn told_dead(case: &mut Case, value: f64) {
    case.told.drill.told_mut().for_each(|drive| drive.dead_time_s *= value);
}

pub(super) fn told_opening(case: &mut Case, value: f64) {
    for drive in case.told.drill.told_mut() {
        open_at(drive, (drive.opening() + value).clamp(0.0, 0.95));
    }
}

pub(super) fn told_mass(case: &mut Case, value: f64) {
    let lots = core::iter::once(&mut case.told.seed_lot).chain(&mut case.told.second_lot);
    lots.flat_map(|lot| &mut lot.curve).for_each(|point| point.1 *= value);
}

pub(super) fn told_pulses(case: &mut Case, value: f64) {
    case.told.drill.ground_pulses_per_m *= value;
}

pub(super) const fn told_delivery(case: &mut Case, value: f64) {
    let told = case.told.drill.delivery_delay_s + value;
    case.told.drill.delivery_delay_s = told.max(0.0);
}

/// Nobody is told that a sample comes before it was true.
pub(super) fn told_latency(case: &mut Case, value: f64) {
    let receivers = case.truth.sources().filter_map(|source| match source {
        Source::Gnss(gnss) => Some(gnss.latency_s),
        Source::Pulses | Source::Bus(_) => None,
    });
    let latency_s = receivers.reduce(f64::min);
    case.latency_error_s = latency_s.map_or(0.0, |latency_s| value.max(-latency_s));
}

/// Changes the receiver, on the machine and as it is told.
fn gnss(case: &mut Case, change: impl Fn(&mut Gnss)) {
    for scenario in [&mut case.truth, &mut case.told] {
        let sources = core::iter::once(&mut scenario.source).chain(&mut scenario.fitted.also);
        for source in sources {
            if let Source::Gnss(gnss) = source {
                change(gnss);
            }
        }
    }
}

/// Another opening command, with the map drawn together above it.
fn open_at(drive: &mut Drive, opening: f64) {
    let was = drive.opening();
    for point in &mut drive.map {
        point.0 = 1.0 - (1.0 - point.0) * (1.0 - opening) / (1.0 - was);
    }
}
