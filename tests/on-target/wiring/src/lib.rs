//! Machine, sensors, hands, soil and score of the bench, for a board that is wired to them from outside.
//!
//! ```text
//!  file*, load ─► image ─► for every 1 ms:  tick ─► level*, bytes out │ step(commands, supply) ─► edge*
//!                          at the end:      finish, run_own ─► figure*, tolerance*
//! ```
//!
//! Only numbers cross. Bytes go in through [`room`] and come out at [`out`]. Time is in seconds since the piece began.
//! Channels: 0 and 1 the encoders, 2 the ground pulses. An instance plays one scenario.

mod refused;
mod sentence;
mod wired;

use sim::input::Folder;
use sim::score::FIGURES;
use std::cell::RefCell;
use std::path::PathBuf;
use wired::{Wired, limit};

/// What an instance holds.
#[derive(Default)]
struct Held {
    folder: Folder,
    room: Vec<u8>,
    out: Vec<u8>,
    wired: Option<Wired>,
}

thread_local! {
    static HELD: RefCell<Held> = RefCell::default();
}

fn with<T>(act: impl FnOnce(&mut Held) -> T) -> T {
    HELD.with_borrow_mut(act)
}

/// A value of the scenario that is played.
fn of<T>(otherwise: T, value: impl FnOnce(&mut Wired) -> T) -> T {
    with(|held| held.wired.as_mut().map_or(otherwise, value))
}

/// Puts an answer out: 0, or 1 for a complaint in words.
fn answer(held: &mut Held, answer: Result<Vec<u8>, String>) -> u32 {
    let refused = answer.is_err();
    held.out = answer.unwrap_or_else(String::into_bytes);
    u32::from(refused)
}

/// The names below are this crate's own, and no other item of the module has them: that is what `no_mangle` asks for.
macro_rules! exported {
    ($($(#[$doc:meta])* fn $name:ident($($argument:ident: $kind:ty),*) $(-> $back:ty)? $body:block)*) => {
        $($(#[$doc])*
        // SAFETY: see `exported`.
        #[unsafe(no_mangle)]
        pub extern "C" fn $name($($argument: $kind),*) $(-> $back)? $body)*
    };
}

exported! {
    /// Room for so many bytes that come in; where it lies.
    fn room(length: usize) -> *mut u8 {
        with(|held| {
            held.room = vec![0; length];
            held.room.as_mut_ptr()
        })
    }

    /// Where the bytes lie that were put out last.
    fn out() -> *const u8 {
        with(|held| held.out.as_ptr())
    }

    /// How many they are.
    fn out_length() -> usize {
        with(|held| held.out.len())
    }

    /// A file comes in: of the room so many bytes are its name, the rest is what it says.
    fn file(name: usize) {
        with(|held| {
            let content = held.room.split_off(name.min(held.room.len()));
            let name = String::from_utf8_lossy(&held.room).into_owned();
            held.folder.insert(PathBuf::from(name), content);
        });
    }

    /// Reads the scenario whose name is in the room; `seed` seeds the sensors.
    fn load(seed: u32) -> u32 {
        with(|held| {
            let name = String::from_utf8_lossy(&held.room).into_owned();
            let folder = core::mem::take(&mut held.folder);
            let loaded = Wired::load(folder, &name, u64::from(seed));
            let loaded = loaded.map(|wired| held.wired = Some(wired));
            answer(held, loaded.map(|()| Vec::new()))
        })
    }

    /// Puts the settings image out.
    fn image() -> u32 {
        with(|held| {
            let image = held.wired.as_ref().ok_or_else(|| "no scenario".to_owned());
            let image = image.and_then(Wired::image);
            answer(held, image)
        })
    }

    /// Sides of the drill.
    fn sides() -> usize {
        of(0, |wired| wired.world().map_or(0, sim::bench::World::sides))
    }

    /// The piece is driven to its end.
    fn is_over() -> u32 {
        of(1, |wired| u32::from(wired.is_over()))
    }

    /// Time of the next step.
    fn now_s() -> f64 {
        of(f64::NAN, |wired| wired.now_s())
    }

    /// A tick of the hands and the receiver if one is due; puts the sentence out whose first byte is received now.
    fn tick() {
        with(|held| {
            held.out = held.wired.as_mut().map(Wired::tick).unwrap_or_default().into_bytes();
        });
    }

    /// A level as it reads: 0 the lift lowered, 1 the master on, 2 and 3 the sides on.
    fn level(which: usize) -> u32 {
        of(0, |wired| {
            let Some(world) = wired.world() else { return 0 };
            let senses = world.senses();
            u32::from(match which {
                0 => senses.lowered,
                1 => senses.master,
                side => senses.switches.get(side.wrapping_sub(2)).copied().unwrap_or(false),
            })
        })
    }

    /// A step of 1 ms under the command of each side (0 to 1; −1 to 1 of a motorised valve) and the shut-off.
    fn step(first: f64, second: f64, supply: u32) {
        of((), |wired| wired.step([first, second], supply != 0));
    }

    /// Edges of a channel in the last step.
    fn edges(channel: usize) -> usize {
        of(0, |wired| passed(wired, channel).len())
    }

    /// The instant of one of them.
    fn edge(channel: usize, index: usize) -> f64 {
        of(f64::NAN, |wired| {
            let instant = passed(wired, channel).get(index).copied();
            instant.map_or(f64::NAN, |instant| wired.since_s(instant))
        })
    }

    /// The truth: 0 ground speed (m/s), 1 travel (m), 2 and 3 the shafts (turns/s), 4 seed metered (kg), 5 area asked for (m²).
    fn truth(what: usize) -> f64 {
        of(f64::NAN, |wired| {
            let Some(world) = wired.world() else { return f64::NAN };
            let shafts = world.shafts_turns_per_s();
            match what {
                0 => world.speed_mps(),
                1 => world.travel_m(),
                2 => shafts[0],
                3 => shafts[1],
                4 => world.metered_kg(),
                5 => world.asked_m2(),
                _ => f64::NAN,
            }
        })
    }

    /// The board's run is over: its score is made.
    fn finish() {
        of((), Wired::finish);
    }

    /// The bench's own run of the same scenario.
    fn run_own() -> u32 {
        with(|held| {
            let ran = held.wired.as_mut().ok_or_else(|| "no scenario".to_owned());
            let ran = ran.and_then(Wired::run_own);
            answer(held, ran.map(|()| Vec::new()))
        })
    }

    /// Puts the names of the figures out, one a line.
    fn figures() {
        with(|held| held.out = FIGURES.join("\n").into_bytes());
    }

    /// A figure by its place among the names: 0 of the board's run, 1 of the bench's own.
    fn figure(whose: usize, place: usize) -> f64 {
        of(f64::NAN, |wired| wired.figure(whose, place))
    }

    /// Figure of a tolerance of the scenario, by its place among the names; as many as there are names where there is none.
    fn tolerance_figure(index: usize) -> usize {
        let place = |key: &str| FIGURES.iter().position(|name| *name == key);
        of(FIGURES.len(), |wired| {
            wired.tolerance(index).and_then(|it| place(&it.figure)).unwrap_or(FIGURES.len())
        })
    }

    /// Its limit.
    fn tolerance_limit(index: usize) -> f64 {
        of(f64::NAN, |wired| wired.tolerance(index).map_or(f64::NAN, |it| limit(it.bound).0))
    }

    /// Its kind: 1 at least, 2 at most, 3 within; 0 where there is none.
    fn tolerance_kind(index: usize) -> u32 {
        of(0, |wired| wired.tolerance(index).map_or(0, |it| limit(it.bound).1))
    }

    /// Whether a value keeps it.
    fn tolerance_holds(index: usize, value: f64) -> u32 {
        of(0, |wired| wired.tolerance(index).map_or(0, |it| u32::from(it.bound.holds(value))))
    }
}

/// The instants of a channel's edges in the last step.
fn passed(wired: &Wired, channel: usize) -> &[f64] {
    let Some(world) = wired.world() else { return &[] };
    if channel == 2 { world.ground_edges() } else { world.shaft_edges(channel) }
}
