//! The record as `GeoJSON` (RFC 7946): the field and each gap a feature.
//!
//! A gap is a point: where it began. Its length is known and its way is not, so no line is drawn. A feature whose place is
//! not known has the geometry `null` (RFC 7946, 3.2). Positions are longitude, latitude in degrees, WGS 84, with the
//! seven digits that the receiver's message has: 11 mm.

use super::super::record::{GapRecord, Record};
use serde_json::{Value, json};

/// The record as `GeoJSON`.
pub fn geojson(record: &Record) -> String {
    let mut features = vec![field(record)];
    features.extend(record.gaps.iter().map(gap));
    let document = json!({ "type": "FeatureCollection", "features": features });
    format!("{document:#}\n")
}

/// The field: all but gaps and sides.
fn field(record: &Record) -> Value {
    json!({
        "type": "Feature",
        "geometry": point(record.place),
        "properties": {
            "kind": "field",
            "statement": record.statement,
            "certified": record.certified,
            "field": record.field,
            "date": record.date,
            "operator": record.operator,
            "demo": record.demo,
            "area_m2": record.area_m2,
            "area_uncertainty": record.area_uncertainty,
            "lots": record.lots,
            "gaps": record.gaps.len(),
            "gaps_m": record.gaps_m,
            "settings_fingerprint": record.settings_fingerprint,
            "missing": record.damage,
            "notes": record.notes,
        },
    })
}

fn gap(gap: &GapRecord) -> Value {
    json!({
        "type": "Feature",
        "geometry": point(gap.place),
        "properties": {
            "kind": "gap",
            "certified": false,
            "number": gap.number,
            "side": gap.side,
            "cause": gap.cause,
            "start_m": gap.start_m,
            "length_m": gap.length_m,
        },
    })
}

/// A point of 10^-7 degrees, `[latitude, longitude]`, or no geometry.
fn point(place: Option<[i32; 2]>) -> Value {
    let degrees = |steps: i32| f64::from(steps) / 1e7;
    place.map_or(Value::Null, |[latitude, longitude]| {
        json!({ "type": "Point", "coordinates": [degrees(longitude), degrees(latitude)] })
    })
}
