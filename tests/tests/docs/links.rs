//! Links, headings and the book's summary.

use super::{page, read};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Pages that lead to work on the machine.
const AT_THE_MACHINE: [&str; 8] = [
    "choosing-parts",
    "wiring",
    "hydraulics",
    "commissioning",
    "measuring",
    "operator",
    "field-check",
    "troubleshooting",
];

/// Folders that tools write: their pages are not ours.
const BUILT: [&str; 2] = ["node_modules", "target"];

/// Every Markdown file under a folder of the project.
fn pages(folder: &Path, found: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    for entry in entries {
        let path = entry.expect("an entry of the folder").path();
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
        let name = name.unwrap_or_default();
        if path.is_dir() && !name.starts_with('.') && !BUILT.contains(&name.as_str()) {
            pages(&path, found);
        } else if path.extension().is_some_and(|kind| kind == "md") {
            found.push(path);
        }
    }
}

fn docs() -> Vec<PathBuf> {
    let mut found = Vec::new();
    pages(&tests::project().join("docs"), &mut found);
    assert!(found.len() > 25, "the pages are where they are looked for");
    found
}

/// A page's lines without its blocks of code.
fn prose(text: &str) -> Vec<&str> {
    let mut inside = false;
    let outside = |line: &&str| {
        let fence = line.trim_start().starts_with("```");
        inside ^= fence;
        !inside && !fence && !line.starts_with("    ")
    };
    text.lines().filter(outside).collect()
}

/// Targets of a page's links and pictures; none within code, none to elsewhere on the net.
fn links(text: &str) -> Vec<String> {
    let text = prose(text).join("\n");
    let text: String = text.split('`').step_by(2).collect();
    let targets = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
    targets.filter(|target| !target.contains("://")).map(str::to_owned).collect()
}

/// Anchors of a page's headings: lower case, spaces to hyphens, other signs away.
fn anchors(text: &str) -> BTreeSet<String> {
    let headings = prose(text).into_iter().filter(|line| line.starts_with('#'));
    let kept = |c: char| match c {
        ' ' => Some('-'),
        '-' | '_' => Some(c),
        _ => c.is_alphanumeric().then(|| c.to_ascii_lowercase()),
    };
    headings
        .map(|line| line.trim_start_matches('#').trim().chars().filter_map(kept).collect())
        .collect()
}

/// What is wrong with a link of a page.
fn dead(from: &Path, link: &str) -> Option<String> {
    let (file, anchor) = link.split_once('#').unwrap_or((link, ""));
    let folder = from.parent().unwrap_or(from);
    let target = if file.is_empty() { from.to_path_buf() } else { folder.join(file) };
    if !target.exists() {
        return Some(format!("{}: there is no {link}", from.display()));
    }
    let known = anchor.is_empty() || anchors(&read(&target)).contains(anchor);
    (!known).then(|| format!("{}: {file} has no heading for #{anchor}", from.display()))
}

#[test]
fn every_relative_link_and_anchor_leads_somewhere() {
    let mut all = Vec::new();
    pages(&tests::project(), &mut all);
    let of_page = |file: &PathBuf| {
        links(&read(file)).iter().filter_map(|link| dead(file, link)).collect::<Vec<_>>()
    };
    let wrong: Vec<String> = all.iter().flat_map(of_page).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_dead_link_and_a_dead_anchor_would_be_seen() {
    let here = tests::project().join("docs/wiring.md");
    let seen = links("[a](gone.md) `[b](code.md)` [c](#nowhere)\n```text\n[d](fence.md)\n```\n");
    assert_eq!(seen, ["gone.md", "#nowhere"]);
    assert!(seen.iter().all(|link| dead(&here, link).is_some()));
    assert!(dead(&here, "safety.md#the-hard-wired-stop").is_none());
}

#[test]
fn pages_link_within_the_book() {
    for file in docs() {
        for link in links(&read(&file)) {
            let file = file.strip_prefix(tests::project()).expect("a page of the project");
            let depth = file.components().count() - 2;
            let up = link.matches("../").count();
            assert!(up <= depth, "{}: {link} is outside the book", file.display());
        }
    }
}

#[test]
fn every_page_is_in_the_summary_once() {
    let folder = tests::project().join("docs");
    let mut listed = links(&page("SUMMARY"));
    listed.sort();
    let is_page = |file: &PathBuf| !file.ends_with("SUMMARY.md");
    let short = |file: PathBuf| {
        let file = file.strip_prefix(&folder).expect("a page under docs").to_path_buf();
        file.display().to_string()
    };
    let mut there: Vec<String> = docs().into_iter().filter(is_page).map(short).collect();
    there.sort();
    assert_eq!(listed, there, "docs/SUMMARY.md and the pages under docs");
}

#[test]
fn pages_at_the_machine_lead_to_safety_first() {
    for name in AT_THE_MACHINE {
        let first = links(&page(name)).into_iter().next();
        assert_eq!(first.as_deref(), Some("safety.md"), "docs/{name}.md");
    }
}

#[test]
fn troubleshooting_names_every_item_of_the_watch() {
    let text = page("troubleshooting");
    let safety = page("safety");
    let rows = safety.lines().filter_map(|line| line.strip_prefix("| ")?.split_once(" | "));
    let items = rows.filter_map(|(number, rest)| {
        let name = rest.split(" | ").next()?;
        number.parse::<u8>().ok().map(|number| format!("{number}, *{name}*"))
    });
    let items: Vec<String> = items.collect();
    assert_eq!(items.len(), controller::panel::ITEMS.len(), "the table of the watch");
    for item in items {
        assert!(text.contains(&item), "docs/troubleshooting.md says nothing of {item}");
    }
}
