//! JSON: one document, keys as in `docs/schema.md`, numbers with every digit.
//!
//! A figure that does not exist (NaN) is `null`. Keys are only ever added within a schema version.

use super::{BoardSaid, Judged, Report, Results};
use crate::verdict::Verdict;
use serde::Serialize;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Version of the documents' schema.
pub const SCHEMA_VERSION: u32 = 1;

/// The verdicts as a JSON document.
#[derive(Clone, Copy, Debug)]
pub struct Json;

/// Top of the document of `verify`, `run`, `replay` and `live`.
#[derive(Serialize)]
struct Document<'a> {
    schema_version: u32,
    command: &'a str,
    exit_code: u8,
    scenarios: usize,
    passed: usize,
    missed: usize,
    verdicts: Vec<Entry<'a>>,
    noise_seed: Option<u64>,
    files: &'a [PathBuf],
    #[serde(skip_serializing_if = "Option::is_none")]
    board: Option<&'a BoardSaid>,
}

/// A verdict with the file it belongs to.
#[derive(Serialize)]
struct Entry<'a> {
    file: String,
    sides: &'a [String],
    tolerances: usize,
    #[serde(flatten)]
    verdict: &'a Verdict,
}

impl<'a> Entry<'a> {
    fn of(judged: &'a Judged) -> Self {
        let Judged { sides, tolerances, verdict, .. } = judged;
        Self { file: judged.shown_file(), sides, tolerances: *tolerances, verdict }
    }
}

impl Report for Json {
    fn render(&self, results: &Results<'_>) -> String {
        let missed = results.judged.len() - results.passed();
        let document = Document {
            schema_version: SCHEMA_VERSION,
            command: results.command,
            exit_code: u8::from(!results.pass()),
            scenarios: results.judged.len(),
            passed: results.passed(),
            missed,
            verdicts: results.judged.iter().map(Entry::of).collect(),
            noise_seed: results.record.and_then(|record| record.noise_seed),
            files: results.files,
            board: results.board,
        };
        pretty(&json!(document))
    }
}

/// What is wrong, as a program reads it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Complaint {
    /// The whole sentence.
    pub message: String,
    /// The file, if one is wrong.
    pub file: Option<String>,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Column in characters, from 1.
    pub column: Option<usize>,
    /// What is wrong there.
    pub what: Option<String>,
    /// What would be right.
    pub remedy: Option<String>,
}

/// The document of a command that came to no result.
pub fn complaints(command: &str, exit_code: u8, errors: &[Complaint]) -> String {
    pretty(&json!({
        "schema_version": SCHEMA_VERSION,
        "command": command,
        "exit_code": exit_code,
        "errors": errors,
    }))
}

/// The document of a command whose one result stands under `key`.
pub fn document(command: &str, key: &str, result: &impl Serialize) -> String {
    document_with(command, 0, key, result)
}

/// The same of a command that ends with `exit_code`.
pub fn document_with(command: &str, exit_code: u8, key: &str, result: &impl Serialize) -> String {
    pretty(&json!({
        "schema_version": SCHEMA_VERSION,
        "command": command,
        "exit_code": exit_code,
        key: result,
    }))
}

/// Indented, with a line end.
fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}

#[cfg(test)]
mod tests {
    use super::super::sample::{missing, passing};
    use super::*;
    use crate::unit::System;

    fn rendered(judged: &[Judged]) -> Value {
        let results = Results {
            command: "verify",
            judged,
            record: None,
            files: &[],
            board: None,
            system: System::Us,
        };
        serde_json::from_str(&Json.render(&results)).expect("it is JSON")
    }

    #[test]
    fn the_document_counts_passes_and_misses_and_keeps_their_order() {
        let document = rendered(&[missing("b"), passing("a")]);
        assert_eq!(document["schema_version"], SCHEMA_VERSION);
        assert_eq!((&document["passed"], &document["missed"]), (&json!(1), &json!(1)));
        assert_eq!(document["exit_code"], 1);
        assert_eq!(document["verdicts"][0]["scenario"], "b");
        assert_eq!(document["verdicts"][1]["scenario"], "a");
    }

    #[test]
    fn figures_keep_their_keys_and_units_whatever_the_reader_likes() {
        let document = rendered(&[missing("a")]);
        let verdict = &document["verdicts"][0];
        assert_eq!(verdict["score"]["start_error_m"], 0.6);
        assert_eq!(verdict["misses"][0]["place"]["laid_kg_per_ha"], 103.06);
        assert_eq!(verdict["rivals"]["plain"]["rms_pct"], 4.35);
    }

    #[test]
    fn a_figure_that_does_not_exist_is_null() {
        let document = rendered(&[missing("a")]);
        assert!(document["verdicts"][0]["score"]["tally_area_pct"].is_null());
    }

    #[test]
    fn a_complaint_names_its_place() {
        let error = Complaint { message: "m".to_owned(), line: Some(4), ..Complaint::default() };
        let document: Value = serde_json::from_str(&complaints("verify", 3, &[error])).unwrap();
        assert_eq!(document["exit_code"], 3);
        assert_eq!(document["errors"][0]["line"], 4);
        assert!(document["errors"][0]["file"].is_null());
    }
}
