//! The fields' places, as the page lists them.

use live_link::{MAX_PAYLOAD, describe};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

#[test]
fn every_body_fits_its_frame() {
    let mut ends: BTreeMap<u8, usize> = BTreeMap::new();
    describe(|field| {
        let end = ends.entry(field.kind).or_default();
        assert_eq!(field.offset, *end, "{field:?} follows the one before");
        *end = field.offset + field.size;
    });
    // Header and check sum are eight bytes.
    let bodies =
        [(2, 4), (3, 11), (4, 141), (129, 23), (130, 4), (131, 1), (132, 56), (133, 52), (255, 5)];
    assert_eq!(ends.into_iter().collect::<Vec<_>>(), bodies);
    assert!(bodies.iter().all(|(_, length)| length + 8 <= MAX_PAYLOAD));
}

/// Bytes that follow one another with one name stand as one field; fields of one name, as each side has them, in one row.
#[test]
fn the_page_lists_every_field() {
    let mut fields = Vec::new();
    describe(|field| fields.push(field));
    let mut rows: Vec<(u8, &str, usize, Vec<String>)> = Vec::new();
    for run in fields.chunk_by(|one, other| (one.kind, one.name) == (other.kind, other.name)) {
        let size = run.iter().map(|field| field.size).sum();
        let (kind, name, offset) = (run[0].kind, run[0].name, run[0].offset.to_string());
        match rows.iter_mut().find(|row| (row.0, row.1) == (kind, name)) {
            Some((_, _, of, offsets)) if *of == size => offsets.push(offset),
            _ => rows.push((kind, name, size, vec![offset])),
        }
    }
    let mut table = String::from("| kind | offset | bytes | field |\n|---:|---:|---:|---|\n");
    for (kind, name, size, offsets) in rows {
        writeln!(table, "| {kind} | {} | {size} | `{name}` |", offsets.join(", "))
            .expect("a string");
    }
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/live.md");
    let text = std::fs::read_to_string(page).expect("the page is there");
    let has = text.split_once("<!-- fields begin -->\n");
    let has = has.and_then(|(_, rest)| rest.split_once("<!-- fields end -->"));
    assert_eq!(has.map(|(table, _)| table), Some(&*table), "docs/live.md must have:\n{table}");
}
