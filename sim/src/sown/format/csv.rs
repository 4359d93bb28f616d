//! The record as CSV: one figure a row, units in the keys.

use super::super::record::{GapRecord, Record};
use crate::report::escape::cell;
use csv::{Terminator, Writer, WriterBuilder};

/// Columns; the last four are of gaps alone.
const COLUMNS: [&str; 8] =
    ["row", "number", "key", "value", "start_m", "length_m", "latitude_deg", "longitude_deg"];

/// The record as CSV.
pub fn csv(record: &Record) -> String {
    let writer = WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    let mut rows = Rows { writer };
    rows.put(COLUMNS.map(str::to_owned));
    rows.whole(record);
    for lot in &record.lots {
        let number = lot.product;
        rows.text("lot", number, "seed_lot", lot.seed_lot.as_deref());
        rows.text("lot", number, "caught", lot.caught.as_deref());
        rows.figure("lot", number, "asked_kg_per_ha", lot.asked_kg_per_ha);
        rows.figure("lot", number, "area_m2", Some(lot.area_m2));
        rows.figure("lot", number, "mass_kg", Some(lot.mass_kg));
        rows.figure("lot", number, "mass_uncertainty", lot.mass_uncertainty);
        rows.figure("lot", number, "rate_kg_per_ha", lot.rate_kg_per_ha);
        rows.figure("lot", number, "rate_uncertainty", lot.rate_uncertainty);
    }
    for side in &record.sides {
        rows.text("side", side.side, "product", Some(&side.product.to_string()));
        rows.figure("side", side.side, "area_m2", Some(side.area_m2));
        rows.figure("side", side.side, "mass_kg", Some(side.mass_kg));
        rows.figure("side", side.side, "distance_m", side.distance_m);
        rows.figure("side", side.side, "turns_by_map", Some(side.turns_by_map));
    }
    for field in &record.fields {
        let number = usize::try_from(field.number).unwrap_or(usize::MAX);
        rows.figure("field", number, "area_m2", field.area_m2);
    }
    for gap in &record.gaps {
        rows.gap(gap);
    }
    rows.finish()
}

/// The rows so far.
struct Rows {
    writer: Writer<Vec<u8>>,
}

impl Rows {
    fn put(&mut self, row: [String; 8]) {
        // Into memory: nothing can fail.
        let _written = self.writer.write_record(row);
    }

    fn whole(&mut self, record: &Record) {
        self.text("record", 0, "statement", Some(&record.statement));
        self.text("record", 0, "field", Some(&record.field));
        self.text("record", 0, "date", Some(&record.date));
        self.text("record", 0, "operator", record.operator.as_deref());
        self.text("record", 0, "demo", Some(if record.demo { "true" } else { "false" }));
        self.text("record", 0, "certified", Some("false"));
        self.text("record", 0, "source", Some(&record.source));
        self.text("record", 0, "settings_fingerprint", record.settings_fingerprint.as_deref());
        self.figure("record", 0, "area_m2", Some(record.area_m2));
        self.figure("record", 0, "area_uncertainty", Some(record.area_uncertainty));
        self.text("record", 0, "gaps", Some(&record.gaps.len().to_string()));
        self.figure("record", 0, "gaps_m", Some(record.gaps_m));
        for line in &record.damage {
            self.text("record", 0, "missing", Some(line));
        }
        for line in &record.notes {
            self.text("record", 0, "note", Some(line));
        }
    }

    fn text(&mut self, row: &str, number: usize, key: &str, text: Option<&str>) {
        let number = if number == 0 { String::new() } else { number.to_string() };
        let [a, b, c, d] = [(); 4].map(|()| String::new());
        let value = cell(text.unwrap_or_default());
        self.put([row.to_owned(), number, key.to_owned(), value, a, b, c, d]);
    }

    fn figure(&mut self, row: &str, number: usize, key: &str, figure: Option<f64>) {
        // A number that begins with a minus is a number, not a formula.
        let number = if number == 0 { String::new() } else { number.to_string() };
        let [a, b, c, d] = [(); 4].map(|()| String::new());
        let value = figure.map(|figure| figure.to_string()).unwrap_or_default();
        self.put([row.to_owned(), number, key.to_owned(), value, a, b, c, d]);
    }

    fn gap(&mut self, gap: &GapRecord) {
        let degrees =
            |degrees: Option<f64>| degrees.map(|it| format!("{it:.7}")).unwrap_or_default();
        self.put([
            "gap".to_owned(),
            gap.number.to_string(),
            format!("side {}", gap.side),
            cell(&gap.cause),
            gap.start_m.to_string(),
            gap.length_m.to_string(),
            degrees(gap.latitude_deg),
            degrees(gap.longitude_deg),
        ]);
    }

    fn finish(self) -> String {
        let bytes = self.writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }
}
