//! What a journal tells: read out of the image of a flash by the journal's own code.
//!
//! The journal is opened as the board opens it at power-up, on a copy: what a power cut left is mended there, and the
//! image itself stays as it is. A flipped byte takes the record it is in, for each has its check sum; that a gap or an event
//! is missing then shows in the numbers. The newest count may be lost in the same way, as by a power cut: then the one
//! before it counts, a second older.

use super::flash::MemoryFlash;
use super::image::Layout;
use super::missing::missing;
use crate::carry::Image;
use controller::gap::Gap;
use controller::journal::{Journal, JournalError, Recovered};
use controller::panel::{Event, EventKind};
use controller::quantity::Position;
use controller::seed::{MAX_PRODUCTS, MeterPoint};
use controller::settings::SettingsConfig;
use controller::snapshot::Snapshot;

/// A side by the counts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SideSown {
    /// Number, from 1.
    pub number: usize,
    /// Its product, from 0.
    pub product: usize,
    /// Ground that it sowed, m².
    pub area_m2: f64,
    /// Seed that it metered, kg.
    pub mass_kg: f64,
    /// Way that it sowed, m; none where it was not logged.
    pub distance_m: Option<f64>,
    /// Turns that were taken from the valve map because the encoder was lost.
    pub turns_by_map: f64,
}

/// A gap.
#[derive(Clone, Debug, PartialEq)]
pub struct GapSown {
    /// Running number.
    pub number: u32,
    /// Side, from 1.
    pub side: usize,
    /// Why, in words.
    pub cause: String,
    /// Way in work at which it began, m.
    pub start_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Where the opener was when it began, 10^-7 degrees, `[latitude, longitude]`.
    pub place: Option<[i32; 2]>,
}

/// An event.
#[derive(Clone, Debug, PartialEq)]
pub struct EventSown {
    /// Running number.
    pub number: u32,
    /// Kind, in its word.
    pub kind: String,
    /// Its value.
    pub value: u32,
    /// Way in work, m.
    pub way_m: f64,
    /// Where the antenna was, 10^-7 degrees, `[latitude, longitude]`.
    pub place: Option<[i32; 2]>,
}

/// What was sown, as a board or a log has it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sown {
    /// The sides.
    pub sides: Vec<SideSown>,
    /// Ground that both products were sown on at the same time, m².
    pub shared_m2: f64,
    /// The gaps, the oldest first.
    pub gaps: Vec<GapSown>,
    /// The events, the oldest first.
    pub events: Vec<EventSown>,
    /// Fingerprint of the settings, spelt.
    pub fingerprint: Option<String>,
    /// Rates asked for, by product, kg/ha.
    pub rates_kg_per_ha: [Option<f64>; MAX_PRODUCTS],
    /// Mass per turn that was counted by, by product: `[point](turns/s, kg)`.
    pub curves: [Vec<(f64, f64)>; MAX_PRODUCTS],
    /// What is missing, each a sentence.
    pub damage: Vec<String>,
    /// What else must be known, each a sentence.
    pub notes: Vec<String>,
}

/// What was found in a flash.
struct Found {
    recovered: Recovered,
    gaps: Vec<Gap>,
    events: Vec<Event>,
}

/// Reads the image of a flash.
///
/// # Errors
///
/// Why it tells nothing, as the end of a sentence.
pub fn journal(bytes: &[u8], layout: &Layout) -> Result<Sown, String> {
    if bytes.len() < layout.bytes() {
        return Err(format!(
            "it has {} bytes, and a journal of that layout reaches to {}: it is cut short, or its layout is another",
            bytes.len(),
            layout.bytes()
        ));
    }
    let found = opened(bytes, layout).map_err(|error| error.to_string())?;
    let Recovered { settings, snapshot, .. } = found.recovered;
    let settings =
        settings.ok_or("it holds no whole settings: it is no journal, or damaged there")?;
    let snapshot = snapshot.ok_or("it holds no whole count of what was sown")?;
    let image = Image::of(&settings).map_err(|error| error.to_string())?;
    let mut sown = counted(&settings, &snapshot)?;
    sown.fingerprint = Some(image.fingerprint());
    sown.damage = missing(&found.gaps, &found.events, &snapshot);
    sown.gaps = found.gaps.iter().map(gap).collect();
    sown.events = found.events.iter().map(event).collect();
    Ok(sown)
}

/// Opens the flash with the sizes that the layout says.
fn opened(bytes: &[u8], layout: &Layout) -> Result<Found, JournalError> {
    macro_rules! by {
        ($($sector:literal $word:literal),+) => {
            match (layout.sector, layout.word) {
                $(($sector, $word) => open::<$sector, $word>(bytes, layout),)+
                _ => Err(JournalError::Geometry),
            }
        };
    }
    by!(1024 1, 1024 4, 1024 8, 1024 32, 2048 1, 2048 4, 2048 8, 2048 32, 4096 1, 4096 4, 4096 8, 4096 32)
}

fn open<const SECTOR: usize, const WORD: usize>(
    bytes: &[u8],
    layout: &Layout,
) -> Result<Found, JournalError> {
    let flash = MemoryFlash::<SECTOR, WORD>::new(bytes.to_vec());
    let (mut journal, recovered) = Journal::open(flash, layout.config)?;
    let (mut gaps, mut events) = (Vec::new(), Vec::new());
    journal.gaps(|gap| gaps.push(gap))?;
    journal.events(|event| events.push(event))?;
    Ok(Found { recovered, gaps, events })
}

/// The counts, by the settings that they were counted by.
fn counted(settings: &SettingsConfig, snapshot: &Snapshot) -> Result<Sown, String> {
    let mut sown = Sown::default();
    for (index, totals) in snapshot.sides.iter().enumerate() {
        let Some(side) = settings.sides.get(index) else {
            if totals.area_mm2 > 0 || totals.mass_ug > 0 {
                return Err("it holds counts of a side that its settings do not have".to_owned());
            }
            continue;
        };
        let edges = real(totals.by_map);
        sown.sides.push(SideSown {
            number: index + 1,
            product: side.product.index(),
            area_m2: real(totals.area_mm2) * 1e-6,
            mass_kg: real(totals.mass_ug) * 1e-9,
            distance_m: Some(real(totals.distance_um) * 1e-6),
            turns_by_map: edges / f64::from(side.edges_per_turn.max(1)),
        });
        sown.shared_m2 += real(totals.shared_mm2) * 1e-6;
        let curve = &mut sown.curves[side.product.index()];
        if curve.is_empty() {
            curve.extend(side.meter.iter().map(point));
        }
    }
    for (product, (rate, lot)) in snapshot.rates.iter().zip(&snapshot.lots).enumerate() {
        // Rates of products that no side meters are zero; 1 mg/m² is 0.01 kg/ha.
        let kg_per_ha = f64::from(rate.to_bits()) / 65_536.0 / 100.0;
        sown.rates_kg_per_ha[product] = (kg_per_ha > 0.0).then_some(kg_per_ha);
        if let Some(lot) = lot {
            sown.curves[product] = lot.meter.iter().map(point).collect();
        }
    }
    if snapshot.sides.iter().all(|side| side.area_mm2 == 0) {
        sown.notes.push("No ground was sown by these counts.".to_owned());
    }
    sown.notes.push(
        "Counts, gaps and fields are all since the board's counts began, unless its journal was begun for this field; \
         the newest count is at most one second older than the work."
            .to_owned(),
    );
    Ok(sown)
}

fn point(point: &MeterPoint) -> (f64, f64) {
    let turns_per_s = f64::from(point.shaft.to_bits()) / f64::from(1 << 21);
    (turns_per_s, real(point.mass.get()) * 1e-9)
}

fn gap(gap: &Gap) -> GapSown {
    GapSown {
        number: gap.number.into(),
        side: usize::from(gap.side) + 1,
        cause: crate::bench::cause(gap.cause).to_owned(),
        start_m: f64::from(gap.start_mm) / 1e3,
        length_m: f64::from(gap.length_mm) / 1e3,
        place: gap.position.map(degrees),
    }
}

fn event(event: &Event) -> EventSown {
    let Event { number, kind, value, way_mm, position, .. } = *event;
    let kind = EventKind::word(kind).to_owned();
    EventSown { number, kind, value, way_m: f64::from(way_mm) / 1e3, place: position.map(degrees) }
}

const fn degrees(place: Position) -> [i32; 2] {
    [place.latitude(), place.longitude()]
}

#[expect(clippy::cast_precision_loss, reason = "a share of 2^-52 of a count is nothing")]
const fn real(count: u64) -> f64 {
    count as f64
}
