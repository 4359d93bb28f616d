//! The live bench on a board that is a thread: what a sound line gives.

use super::bench::{PASSING, code, document, meterwright, printed, root, said};
use super::peer::{at_socket, changed, honest, station};

#[test]
fn a_board_with_the_same_core_gives_the_verdict_of_verify() {
    let port = at_socket(honest(station(PASSING)));
    let live = meterwright(&["live", "--port", &port, PASSING, "--json"]);
    assert_eq!(code(&live), 0, "{}", said(&live));
    let verify = document(&meterwright(&["verify", PASSING, "--json"]));
    let live = document(&live);
    assert_eq!(live["verdicts"], verify["verdicts"]);
    let board = &live["board"];
    assert!(board["ticks"].as_u64().is_some_and(|ticks| ticks > 1_000), "{board}");
    for none in ["differing_ticks", "differing_acts", "differing_counts", "asked_again", "garbage"]
    {
        assert_eq!(board[none], 0, "{none}");
    }
    assert_eq!(board["build"], "a thread 1");
    assert_eq!(board["fingerprint"], live["verdicts"][0]["fingerprint"]);
    assert!(board["first"].is_null());
}

#[test]
fn scenarios_of_one_set_of_settings_run_one_after_the_other() {
    let files = ["ramp-0.5-pulses", "start-stop-restart-pulses"];
    let files = files.map(|name| format!("demo-data/scenarios/{name}.toml"));
    let port = at_socket(honest(station(&files[0])));
    let live = meterwright(&["live", "--port", &port, &files[0], &files[1]]);
    assert_eq!(code(&live), 0, "{}\n{}", printed(&live), said(&live));
    let text = printed(&live);
    for part in
        ["2 scenarios: 2 pass", "bit for bit", "0 asked again", "Next: load the field image"]
    {
        assert!(text.contains(part), "no {part:?} in\n{text}");
    }
}

#[test]
fn the_page_shows_what_the_command_prints() {
    let file = "demo-data/scenarios/ramp-0.5-pulses.toml";
    let port = at_socket(honest(station(file)));
    let printed = printed(&meterwright(&["live", "--port", &port, file]));
    let printed = printed.replace(&port, "PORT").replace("a thread 1", "pico 0.1.0");
    let page = std::fs::read_to_string(root().join("docs/live.md")).expect("docs/live.md is there");
    let shown = page.split_once(&format!("$ meterwright live --port PORT {file}\n"));
    let shown = shown.and_then(|(_, rest)| rest.split_once("```")).expect("the session").0;
    // What is left out stands as dots.
    let mut rest = printed.as_str();
    for part in shown.split("…\n") {
        let place = rest.find(part);
        let place =
            place.unwrap_or_else(|| panic!("the page shows\n{part}\nprinted is\n{printed}"));
        rest = &rest[place + part.len()..];
    }
}

#[test]
fn acts_motorised_valves_and_products_go_over_the_line() {
    for (name, acts) in [
        ("rate-steps", true),
        ("outlets-shut", true),
        ("speed-by-hand", true),
        ("two-products", true),
        ("motorised-ramp-1.0-pulses", false),
    ] {
        let file = format!("demo-data/scenarios/{name}.toml");
        let port = at_socket(honest(station(&file)));
        let live = meterwright(&["live", "--port", &port, &file, "--json"]);
        assert_eq!(code(&live), 0, "{name}: {}\n{}", printed(&live), said(&live));
        let board = &document(&live)["board"];
        assert_eq!(board["acts"].as_u64().map(|acts| acts > 0), Some(acts), "{name}: {board}");
        for none in ["differing_ticks", "differing_acts", "differing_counts"] {
            assert_eq!(board[none], 0, "{name}: {board}");
        }
    }
}

#[test]
fn lost_spoilt_doubled_and_strange_bytes_change_nothing() {
    let spoil = |number: usize, mut answer: Vec<u8>| match number {
        300 => Vec::new(),
        400 => {
            answer[5] ^= 0x10;
            answer
        }
        500 => answer[..9].to_vec(),
        600 => [answer.clone(), answer].concat(),
        700 => [b"state=stop sides=0,0\r\n".to_vec(), answer].concat(),
        800 => [vec![0xA5; 3_000], answer].concat(),
        _ => answer,
    };
    let port = at_socket(changed(station(PASSING), spoil));
    let live = meterwright(&["live", "--port", &port, PASSING, "--json"]);
    assert_eq!(code(&live), 0, "{}", said(&live));
    let live = document(&live);
    assert_eq!(live["board"]["asked_again"], 3, "lost, spoilt, cut");
    assert!(live["board"]["garbage"].as_u64().is_some_and(|pieces| pieces >= 4), "{live}");
    assert_eq!(live["board"]["differing_ticks"], 0);
}

/// A pair of terminals stands for a serial device: raw bytes, with all that a terminal would take for itself.
#[cfg(target_os = "linux")]
#[test]
fn a_serial_device_carries_every_byte() {
    use serial2::SerialPort;
    use std::os::fd::AsRawFd;

    let (device, board) = SerialPort::pair().expect("a pair of terminals");
    let fd = board.as_raw_fd();
    let name = std::fs::read_link(format!("/proc/self/fd/{fd}")).expect("it has a name");
    let mut peer = honest(station(PASSING));
    std::thread::spawn(move || {
        let mut room = [0; 256];
        loop {
            let length = device.read(&mut room).unwrap_or(0);
            let answers: Vec<u8> = room[..length].iter().flat_map(|&byte| peer(byte)).collect();
            if device.write_all(&answers).is_err() {
                return;
            }
        }
    });
    let name = name.to_str().expect("a plain name");
    let live = meterwright(&["live", "--port", name, PASSING, "--json"]);
    assert_eq!(code(&live), 0, "{}", said(&live));
    let live = document(&live);
    assert_eq!(
        (&live["board"]["differing_ticks"], &live["board"]["garbage"]),
        (&0.into(), &0.into())
    );
    drop(board);
}
