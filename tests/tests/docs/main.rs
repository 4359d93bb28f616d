//! The pages under `docs/`: links hold, every page is in the book, tables and sums are those of code and demo data.

mod board;
mod links;
mod sums;

#[expect(unreachable_pub, reason = "it is a file of the board's own program")]
#[path = "../../../controller/boards/pico/src/pins.rs"]
mod pins;

use std::path::Path;

/// A page under `docs/`, by its name.
fn page(name: &str) -> String {
    read(&tests::project().join("docs").join(name).with_extension("md"))
}

fn read(file: &Path) -> String {
    std::fs::read_to_string(file).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

/// A page must hold this table between two marks, and nothing else there.
fn holds(name: &str, mark: &str, table: &str) {
    let text = page(name);
    let (from, to) = (format!("<!-- {mark} begin -->\n"), format!("<!-- {mark} end -->"));
    let has = text.split_once(&from).and_then(|(_, rest)| rest.split_once(&to));
    let has = has.map(|(table, _)| table).unwrap_or_default();
    assert_eq!(has, table, "docs/{name}.md must have between the marks of {mark}:\n{table}");
}
