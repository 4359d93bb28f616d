//! The live bench with boards that are missing, wrong, silent or different: each is told, with what to do.

use super::bench::{PASSING, code, document, meterwright, printed, said};
use super::peer::{at_socket, changed, honest, station};
use controller::quantity::Command;
use live_link::{Answer, Collector, Header, MAX_FRAME, Station, StationConfig, VERSION, write};

/// What the command says to a board, with exit code 3.
fn refused(port: &str) -> String {
    let live = meterwright(&["live", "--port", port, PASSING]);
    assert_eq!(code(&live), 3, "{}\n{}", printed(&live), said(&live));
    assert!(printed(&live).is_empty(), "no verdict: {}", printed(&live));
    said(&live)
}

#[track_caller]
fn says(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "no {part:?} in\n{text}");
    }
}

#[test]
fn no_such_port_is_usage() {
    for port in ["/dev/there-is-no-such-board", "tcp:127.0.0.1:1", "tcp:nonsense"] {
        let live = meterwright(&["live", "--port", port, PASSING]);
        assert_eq!(code(&live), 2, "{port}");
        says(&said(&live), &[port, "the port cannot be opened", "tcp:HOST:PORT"]);
    }
}

#[test]
fn a_scenario_that_is_wrong_is_told_before_the_port_is_opened() {
    let live = meterwright(&["live", "--port", "/dev/there-is-no-such-board", "no-such.toml"]);
    assert_eq!(code(&live), 3);
    says(&said(&live), &["no-such.toml"]);
}

#[test]
fn nobody_there_is_told_with_what_came_instead() {
    let text = refused(&at_socket(|_| Vec::new()));
    says(&text, &["nobody answers at 921600 bit/s;", "live build", "docs/live.md"]);
    let text = refused(&at_socket(|_| b"state=stop\r\n\0".to_vec()));
    says(&text, &["nobody answers", "pieces of something else came"]);
}

#[test]
fn another_version_is_named() {
    // A board of another version answers in its own, or refuses ours.
    let mut room = [0; MAX_FRAME];
    let header = Header { version: VERSION + 1, kind: 129, number: 0 };
    let frame = write(header, |_| Some(30), &mut room).expect("a frame").to_vec();
    let text = refused(&at_socket(changed(station(PASSING), move |_, _| frame.clone())));
    says(&text, &["it speaks version 2", "this program 1", "same sources"]);
    let header = Header { version: VERSION + 1, kind: 255, number: 0 };
    let body = |room: &mut [u8]| {
        // The reason is the version, its detail the board's own.
        room[..5].copy_from_slice(&[0, VERSION + 1, 0, 0, 0]);
        Some(5)
    };
    let frame = write(header, body, &mut room).expect("a frame").to_vec();
    let text = refused(&at_socket(changed(station(PASSING), move |_, _| frame.clone())));
    says(&text, &["it speaks version 2", "this program 1"]);
}

#[test]
fn other_settings_are_refused_before_a_tick() {
    let port = at_socket(honest(station("demo-data/scenarios/small-seed-ramp.toml")));
    let command = ["meterwright settings --scenario ", PASSING, " -o FILE"].concat();
    says(&refused(&port), &["it has the settings ", " wants ", &command, "docs/live.md"]);
    let bare = Station::new(StationConfig { settings: None, build: "a thread 1" });
    says(&refused(&at_socket(honest(bare))), &["no settings are in force there", &command]);
}

#[test]
fn a_board_that_stops_midway_is_told_with_the_ticks_so_far() {
    let stops = |number, answer| if number < 800 { answer } else { Vec::new() };
    let text = refused(&at_socket(changed(station(PASSING), stops)));
    // Of the answers one is the hello and one the start.
    says(&text, &["it stopped answering after 798 ticks;", "cable"]);
}

#[test]
fn a_board_that_starts_anew_midway_is_told() {
    let mut now = station(PASSING);
    let mut count = 0;
    let port = at_socket(move |byte| {
        let answer = now.take(byte).map_or_else(Vec::new, <[u8]>::to_vec);
        count += usize::from(!answer.is_empty());
        if count == 500 {
            count += 1;
            now = station(PASSING);
        }
        answer
    });
    says(&refused(&port), &["it lost the run after 498 ticks: no run was started", "started anew"]);
}

#[test]
fn a_line_that_breaks_midway_is_told() {
    let mut station = station(PASSING);
    let mut count = 0;
    let port = at_socket(move |byte| {
        let answer = station.take(byte).map_or_else(Vec::new, <[u8]>::to_vec);
        count += usize::from(!answer.is_empty());
        // The thread ends, and the socket with it.
        assert!(count < 500, "the plug is pulled");
        answer
    });
    says(&refused(&port), &["the line broke", "plug"]);
}

/// The answer with one bit of the first command changed, if it is one to a tick that drives.
fn another(answer: &[u8]) -> Option<Vec<u8>> {
    let mut collector = Collector::default();
    let (header, body) = answer
        .iter()
        .find_map(|byte| collector.take(*byte).map(|(header, body)| (header, body.to_vec())))?;
    let Answer::Tick(mut outputs) = Answer::read(header.kind, &body)? else { return None };
    let bits = outputs.sides[0].command.to_bits();
    outputs.sides[0].command = Command::from_bits(bits ^ 1);
    let mut room = [0; MAX_FRAME];
    Answer::Tick(outputs).write(header.number, &mut room).map(<[u8]>::to_vec)
}

/// Changes that bit in one answer.
pub(crate) fn turned_over(place: usize) -> impl FnMut(usize, Vec<u8>) -> Vec<u8> + Send + 'static {
    move |number, answer| {
        if number == place { another(&answer).expect("a tick") } else { answer }
    }
}

#[test]
fn one_bit_in_one_tick_is_found_and_named() {
    // The first two answers are those to the hello and the start.
    let port = at_socket(changed(station(PASSING), turned_over(702)));
    let live = meterwright(&["live", "--port", &port, PASSING, "--json"]);
    assert_eq!(code(&live), 1, "{}", said(&live));
    let live = document(&live);
    let (board, first) = (&live["board"], &live["board"]["first"]);
    assert_eq!((&live["exit_code"], &board["differing_ticks"]), (&1.into(), &1.into()));
    assert_eq!((&first["run"], &first["tick"]), (&0.into(), &700.into()));
    assert_eq!(first["field"], "side 1 command");
    assert_ne!(first["board"], first["bench"]);
    assert!(live["verdicts"][0]["pass"].as_bool().is_some_and(|pass| pass), "the score is kept");

    let port = at_socket(changed(station(PASSING), turned_over(702)));
    let live = meterwright(&["live", "--port", &port, PASSING]);
    assert_eq!(code(&live), 1);
    says(
        &printed(&live),
        &["DIFFERS", "in 1 ticks", "run 0, tick 700: side 1 command is", "same sources"],
    );
}
