//! Reads where the controller's ground speed comes from.

use super::entry::Entry;
use super::section::Section;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::{BusGroup, BusSpeed, Gnss, Source};
use crate::unit::{FREQUENCY, SPEED, TIME};

/// Keys of `[source]`.
pub(super) const KEYS: [&str; 6] = ["kind", "interval", "rate", "latency", "noise", "seeds"];

const INTERVAL: Wanted = Wanted::new(&TIME, 0.02, 2.0);
pub(crate) const SAMPLE_RATE: Wanted = Wanted::new(&FREQUENCY, 0.5, 50.0);
pub(crate) const LATENCY: Wanted = Wanted::new(&TIME, 0.0, 2.0);
pub(crate) const NOISE: Wanted = Wanted::new(&SPEED, 0.0, 1.0);

/// Largest seed and most seeds.
const SEEDS: u64 = 1000;

/// Reads the source; pulses where none is named.
pub(super) fn source(section: Option<Section<'_>>) -> Result<Source, InputError> {
    let Some(section) = section else { return Ok(Source::Pulses) };
    let kinds = [
        ("pulses", Kind::Pulses),
        ("gnss", Kind::Gnss),
        ("bus-wheel", Kind::Bus(BusGroup::Wheel)),
        ("bus-ground", Kind::Bus(BusGroup::Ground)),
        ("bus-selected", Kind::Bus(BusGroup::Selected)),
    ];
    match section.need("kind")?.choice(&kinds)? {
        Kind::Gnss => gnss(&section).map(Source::Gnss),
        Kind::Pulses => {
            refuse(&section, "pulses", &KEYS[1..])?;
            Ok(Source::Pulses)
        }
        Kind::Bus(group) => {
            refuse(&section, group.kind(), &["interval", "rate", "noise", "seeds"])?;
            let latency_s = section.quantity_or("latency", LATENCY, BUS_LATENCY_S)?;
            Ok(Source::Bus(BusSpeed { group, latency_s }))
        }
    }
}

/// A kind of source.
#[derive(Clone, Copy)]
enum Kind {
    Pulses,
    Gnss,
    Bus(BusGroup),
}

/// Age of a bus message's speed where none is named: half its interval of 100 ms, s.
const BUS_LATENCY_S: f64 = 0.05;

/// Refuses keys that mean nothing with a kind of source.
fn refuse(section: &Section<'_>, kind: &str, keys: &[&'static str]) -> Result<(), InputError> {
    for key in keys {
        if let Some(entry) = section.find(key)? {
            let what = format!("{key} means nothing with {kind}");
            let remedy = "drop the line, or write kind = \"gnss\"".to_owned();
            return Err(entry.complain(Trouble::WrongForm, what, remedy));
        }
    }
    Ok(())
}

/// Reads a receiver of speed samples.
fn gnss(section: &Section<'_>) -> Result<Gnss, InputError> {
    let interval_s = match (section.find("interval")?, section.find("rate")?) {
        (Some(interval), None) => interval.quantity(INTERVAL)?,
        (None, Some(rate)) => 1.0 / rate.quantity(SAMPLE_RATE)?,
        (None, None) => return Err(section.missing("rate")),
        (Some(_), Some(rate)) => {
            let what = "interval and rate say the same twice".to_owned();
            return Err(rate.complain(Trouble::WrongForm, what, "keep one of them".to_owned()));
        }
    };
    Ok(Gnss {
        interval_s,
        latency_s: section.quantity_or("latency", LATENCY, 0.0)?,
        noise_mps: section.quantity_or("noise", NOISE, 0.0)?,
        seeds: section.find("seeds")?.map_or_else(|| Ok(vec![1]), |entry| seeds(&entry))?,
    })
}

/// Reads noise seeds: a list, or `"1..20"` with both ends.
fn seeds(entry: &Entry<'_>) -> Result<Vec<u64>, InputError> {
    let Some(text) = entry.value.as_str() else {
        let list = entry.list(1..=1000)?;
        return list.iter().map(|entry| entry.whole(0..=u64::MAX >> 1)).collect();
    };
    let ends = text.split_once("..").and_then(|(from, to)| {
        Some((from.trim().parse::<u64>().ok()?, to.trim().parse::<u64>().ok()?))
    });
    let ends = ends.filter(|&(from, to)| from <= to && to <= SEEDS);
    let (from, to) = ends.ok_or_else(|| {
        entry.wants(Trouble::WrongForm, "a list such as [1, 2, 3], or \"1..20\" up to 1000")
    })?;
    Ok((from..=to).collect())
}
