//! The desk job of a new user, as `docs/desk-day.md` has it: its files are written into an empty folder, its commands are
//! run there one after the other, and each must print what the page says.
//!
//! `METERWRIGHT_REWRITE=1 cargo test -p sim --test cli transcript` writes the page anew from what the commands print.

use super::bench::root;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::tempdir;

const PAGE: &str = "docs/desk-day.md";

/// A block of the page between fences: its mark (`toml my-drill.toml`, `console`) and its text.
struct Block<'a> {
    mark: &'a str,
    text: &'a str,
}

/// The page cut into prose and blocks, in order.
fn cut(page: &str) -> Vec<Result<&str, Block<'_>>> {
    let mut parts = Vec::new();
    let mut rest = page;
    while let Some(at) = rest.find("\n```") {
        let (prose, fenced) = rest.split_at(at + 1);
        let (mark, body) = fenced[3..].split_once('\n').expect("a fence ends its line");
        let end = body.find("```").expect("a block is closed");
        parts.push(Ok(prose));
        parts.push(Err(Block { mark, text: &body[..end] }));
        rest = &body[end + 3..];
    }
    parts.push(Ok(rest));
    parts
}

/// The commands of a block, each with what it prints.
fn commands(text: &str) -> Vec<(&str, String)> {
    let mut found: Vec<(&str, String)> = Vec::new();
    for line in text.lines() {
        match (line.strip_prefix("$ "), found.last_mut()) {
            (Some(command), _) => found.push((command, String::new())),
            (None, Some((_, printed))) => printed.extend([line, "\n"]),
            (None, None) => panic!("{line:?} stands before a command"),
        }
    }
    found
}

/// Words of a command; quotes hold words together.
fn words(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = None;
    for letter in command.chars() {
        match (letter, quoted) {
            ('"' | '\'', None) => quoted = Some(letter),
            (end, Some(begin)) if end == begin => quoted = None,
            (' ', None) => words.push(String::new()),
            (other, _) => words.last_mut().expect("never empty").push(other),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Runs a command in the folder; what it prints and says, and its exit code if that is not 0.
fn run(folder: &Path, command: &str) -> String {
    let words = words(command);
    assert_eq!(words[0], "meterwright", "{command}");
    let output = Command::new(env!("CARGO_BIN_EXE_meterwright"))
        .args(&words[1..])
        .current_dir(folder)
        .output()
        .expect("the command starts");
    let mut text = String::from_utf8(output.stdout).expect("text");
    text += &String::from_utf8(output.stderr).expect("text");
    let code = output.status.code().expect("it ended by itself");
    if code != 0 {
        text.extend(["(exit code ", &code.to_string(), ")\n"]);
    }
    // No blank stands at the end of a line of the page.
    text.lines().map(|line| line.trim_end().to_owned() + "\n").collect()
}

#[test]
fn the_desk_day_of_the_page_is_what_the_commands_print() {
    let file = root().join(PAGE);
    let page = fs::read_to_string(&file).expect("the page is there");
    let folder = tempdir().unwrap();
    let mut rewritten = String::new();
    let (mut count, mut wrong) = (0, Vec::new());
    for part in cut(&page) {
        let Block { mark, text } = match part {
            Ok(prose) => {
                rewritten += prose;
                continue;
            }
            Err(block) => block,
        };
        let mut body = text.to_owned();
        if mark == "console" {
            body.clear();
            for (command, printed) in commands(text) {
                let have = run(folder.path(), command);
                body.extend(["$ ", command, "\n", &have]);
                count += 1;
                if have != printed {
                    wrong.push(format!("$ {command}\nthe page has\n{printed}\nit prints\n{have}"));
                }
            }
        } else if let Some((_, name)) = mark.split_once(' ') {
            fs::write(folder.path().join(name), text).unwrap();
        }
        rewritten.extend(["```", mark, "\n", &body, "```"]);
    }
    if std::env::var_os("METERWRIGHT_REWRITE").is_some() {
        fs::write(&file, rewritten).unwrap();
        return;
    }
    assert!(count >= 12, "{count} commands");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
