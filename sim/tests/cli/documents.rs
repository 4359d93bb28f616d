//! `docs/cli.md` says what the command does.

use super::bench::{meterwright, printed, root};
use sim::command::Exit;
use std::collections::BTreeSet;
use std::fs;

/// The commands there are.
pub(crate) const COMMANDS: [&str; 17] = [
    "new",
    "size",
    "rate",
    "catch",
    "verify",
    "run",
    "replay",
    "faults",
    "sweep",
    "settings",
    "sheet",
    "live",
    "fit",
    "reconcile",
    "record",
    "manual",
    "completions",
];

fn cli() -> String {
    fs::read_to_string(root().join("docs/cli.md")).expect("docs/cli.md is there")
}

/// Every `--option` in a text.
fn options(text: &str) -> BTreeSet<String> {
    let letter = |c: char| c.is_ascii_lowercase() || c == '-';
    text.split("--")
        .skip(1)
        .map(|rest| rest.chars().take_while(|&c| letter(c)).collect::<String>())
        .filter(|name| name.starts_with(|c: char| c.is_ascii_lowercase()))
        .collect()
}

#[test]
fn the_help_and_the_page_name_every_command() {
    let help = printed(&meterwright(&["--help"]));
    let page = cli();
    for command in COMMANDS {
        assert!(help.lines().any(|line| line.trim_start().starts_with(command)), "{command}");
        assert!(page.contains(&format!("## `meterwright {command}")), "{command}");
    }
    let listed = help.lines().skip_while(|line| !line.starts_with("Commands:")).skip(1);
    let listed: Vec<&str> = listed
        .take_while(|line| !line.trim().is_empty())
        .filter_map(|line| line.split_whitespace().next())
        .filter(|&command| command != "help")
        .collect();
    assert_eq!(listed, COMMANDS);
}

#[test]
fn the_page_names_every_option_and_no_other() {
    let mut help = options(&printed(&meterwright(&["--help"])));
    for command in COMMANDS {
        help.extend(options(&printed(&meterwright(&[command, "--help"]))));
    }
    for part in ["merge", "repeat"] {
        help.extend(options(&printed(&meterwright(&["sweep", part, "--help"]))));
    }
    assert_eq!(options(&cli()), help);
}

#[test]
fn the_page_lists_the_exit_codes() {
    let exits = [Exit::Pass, Exit::Missed, Exit::Usage, Exit::Input, Exit::Broken];
    let page = cli();
    let rows: Vec<&str> = page
        .lines()
        .filter_map(|line| line.strip_prefix("| "))
        .filter_map(|row| row.split(" |").next())
        .filter(|cell| cell.chars().all(|c| c.is_ascii_digit()))
        .collect();
    let codes: Vec<String> = exits.iter().map(|exit| exit.code().to_string()).collect();
    assert_eq!(rows, codes);
}
