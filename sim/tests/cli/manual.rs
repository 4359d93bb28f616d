//! Man pages and completions come from the definitions of the arguments: each names every command.

use super::bench::{code, meterwright, printed, said};
use super::documents::COMMANDS;
use std::fs;
use tempfile::tempdir;

#[test]
fn every_command_has_a_man_page_that_names_its_options() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("man").to_str().unwrap().to_owned();
    let output = meterwright(&["manual", "--out", &out]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let first = fs::read_to_string(folder.path().join("man/meterwright.1")).unwrap();
    for command in COMMANDS {
        // A dash is written with a stroke before it in a man page.
        assert!(first.contains(&format!("meterwright\\-{command}(1)")), "{command}");
        let page = folder.path().join(format!("man/meterwright-{command}.1"));
        let page = fs::read_to_string(&page).unwrap_or_else(|why| panic!("{command}: {why}"));
        assert!(page.contains(".SH NAME") && page.contains("\\-\\-units"), "{command}");
    }
    let again = meterwright(&["manual", "--out", &out]);
    assert_eq!(code(&again), 2, "pages are not written over");
}

#[test]
fn every_shell_completes_every_command() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let output = meterwright(&["completions", shell]);
        assert_eq!(code(&output), 0, "{}", said(&output));
        let script = printed(&output);
        for command in COMMANDS {
            assert!(script.contains(command), "{shell} does not know {command}");
        }
    }
    assert_eq!(code(&meterwright(&["completions", "abacus"])), 2);
}
