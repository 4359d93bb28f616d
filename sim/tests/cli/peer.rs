//! A board for the live bench without a board: the board's own side of the line on a thread, at a socket or a terminal.

use super::bench::root;
use controller::Settings;
use controller::settings::image;
use live_link::{Station, StationConfig};
use sim::bench::settings;
use sim::carry::Image;
use sim::scenario::read;
use std::io::{Read, Write};
use std::net::TcpListener;

/// A board with the settings of a scenario.
pub(crate) fn station(scenario: &str) -> Station {
    let scenario = read::scenario(&root().join(scenario)).expect("a scenario");
    let image = Image::of(&settings(&scenario)).expect("an image");
    let config = image::read(image.bytes()).expect("the image is whole");
    let settings = Settings::new(&config).expect("the controller takes them");
    let settings = Some((settings, image::fingerprint(image.bytes())));
    Station::new(StationConfig { settings, build: "a thread 1" })
}

/// What a peer does with a byte: what it sends for it.
pub(crate) trait Peer: FnMut(u8) -> Vec<u8> + Send + 'static {}

impl<F: FnMut(u8) -> Vec<u8> + Send + 'static> Peer for F {}

/// A peer that answers as a board does.
pub(crate) fn honest(mut station: Station) -> impl Peer {
    move |byte| station.take(byte).map_or_else(Vec::new, <[u8]>::to_vec)
}

/// A peer whose every answer, numbered from 0, is changed on its way.
pub(crate) fn changed(
    mut station: Station,
    mut change: impl FnMut(usize, Vec<u8>) -> Vec<u8> + Send + 'static,
) -> impl Peer {
    let mut count = 0;
    move |byte| {
        let Some(answer) = station.take(byte).map(<[u8]>::to_vec) else { return Vec::new() };
        count += 1;
        change(count - 1, answer)
    }
}

/// Puts a peer at a socket; gives the port's name. It ends when the other end goes.
pub(crate) fn at_socket(mut peer: impl Peer) -> String {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a socket");
    let name = format!("tcp:{}", listener.local_addr().expect("an address"));
    std::thread::spawn(move || {
        let Ok((mut stream, _)) = listener.accept() else { return };
        let mut room = [0; 256];
        while let Ok(length @ 1..) = stream.read(&mut room) {
            let answers: Vec<u8> = room[..length].iter().flat_map(|&byte| peer(byte)).collect();
            if stream.write_all(&answers).is_err() {
                return;
            }
        }
    });
    name
}
