//! Invariants: what must hold in every tick after an injection, whatever the controller believes.
//!
//! They are judged by what stands at the board's pins and by the bench's own memory of it, not by the controller's
//! states. One thing alone is taken from the controller: that it told a latched fault. From then on it must stay at
//! rest.

use super::power::Power;
use super::rig::{Look, SIDES};
use super::setup::DEBOUNCE;
use controller::Outputs;
use controller::quantity::{Command, Instant};
use controller::tally::Account;
use controller::watch::Class;

/// What is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// The valve is driven although the master is off.
    StopWins,
    /// A side's valve is driven although its switch is off.
    SideOff,
    /// The valve is driven although the lift has read "lifted" for its debounce time.
    Lifted,
    /// The valve is driven although no speed source has said for a while that the drill moves, nor the hold button
    /// was pressed within three seconds.
    NotMoving,
    /// Output came back after a stop without a fresh off→on of the master.
    Restart,
    /// The tally fell.
    TallyFell,
}

impl Rule {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::StopWins => "output although the master is off",
            Self::SideOff => "output although the side is off",
            Self::Lifted => "output although the implement is lifted",
            Self::NotMoving => "output although nothing says that the drill moves",
            Self::Restart => "restarted by itself",
            Self::TallyFell => "the tally fell",
        }
    }
}

/// Longest that any source of speed is believed without news: two silences of the pulse meter, µs.
const NEWS_FOR: u32 = 1_100_000;

/// A start by hand lasts no longer, µs.
const BY_HAND_FOR: u32 = 3_000_000;

/// More than this between two ticks is a stop, µs.
const STALE: u32 = 250_000;

/// What the invariants remember.
#[expect(clippy::struct_excessive_bools, reason = "each is something that was seen")]
#[derive(Clone, Copy, Debug)]
pub struct Invariants {
    stopped: bool,
    master: bool,
    off_seen: bool,
    lifted_since: Option<Instant>,
    last: Option<Instant>,
    edges: u32,
    moved_at: Option<Instant>,
    account: Account,
    latching: bool,
    held: bool,
    pressed_at: Option<Instant>,
}

impl Default for Invariants {
    fn default() -> Self {
        // Power-up is a stop.
        Self {
            stopped: true,
            master: true,
            off_seen: false,
            lifted_since: None,
            last: None,
            edges: 0,
            moved_at: None,
            account: Account::default(),
            latching: false,
            held: true,
            pressed_at: None,
        }
    }
}

impl Invariants {
    /// Judges a tick.
    pub fn judge(&mut self, look: &Look, account: Account) -> Option<Rule> {
        self.power(look.power);
        if !look.ticked {
            return None;
        }
        self.read(look);
        let broken = self.broken(look, account);
        self.account = account;
        let latches = look.outputs.alarm.is_some_and(|item| item.class() == Class::Latch);
        // A latch is shown until the operator has answered it: only a new one is a stop.
        if latches && !self.latching {
            self.stop();
        }
        self.latching = latches;
        broken
    }

    const fn stop(&mut self) {
        self.stopped = true;
        self.off_seen = false;
    }

    fn power(&mut self, power: Power) {
        match power {
            Power::On => {}
            // What was counted is gone with the memory: the journal is another test's matter.
            Power::Off | Power::Back => *self = Self { edges: self.edges, ..Self::default() },
        }
    }

    /// Takes what stands at the pins.
    fn read(&mut self, look: &Look) {
        let inputs = &look.inputs;
        let now = inputs.now;
        if self.last.is_some_and(|last| now.since(last).get() > STALE) {
            self.stop();
        }
        self.last = Some(now);
        if !inputs.master {
            self.off_seen = true;
        } else if self.off_seen {
            self.stopped = false;
        }
        self.master = inputs.master;
        if inputs.lift {
            self.lifted_since = None;
        } else {
            self.lifted_since.get_or_insert(now);
        }
        let speeds = inputs.speeds;
        let said = [speeds.receiver, speeds.bus_ground].into_iter().flatten().any(moves);
        if inputs.ground.count != self.edges || said {
            self.moved_at = Some(now);
        }
        self.edges = inputs.ground.count;
        if inputs.hold && !self.held {
            self.pressed_at = Some(now);
        } else if !inputs.hold {
            self.pressed_at = None;
        }
        self.held = inputs.hold;
    }

    fn broken(&self, look: &Look, account: Account) -> Option<Rule> {
        let now = look.inputs.now;
        let driven = is_driven(&look.outputs);
        let lifted = self.lifted_since.is_some_and(|since| now.since(since) > DEBOUNCE);
        let still = self.moved_at.is_none_or(|at| now.since(at).get() > NEWS_FOR);
        let by_hand = self.pressed_at.is_some_and(|at| now.since(at).get() <= BY_HAND_FOR);
        let side_off = (0..SIDES).any(|side| {
            let on = look.inputs.sides[side].switch;
            !on && look.outputs.sides[side].command > Command::ZERO
        });
        let fell =
            account.area_mm2 < self.account.area_mm2 || account.mass_ug < self.account.mass_ug;
        [
            (driven && !self.master, Rule::StopWins),
            (side_off, Rule::SideOff),
            (driven && lifted, Rule::Lifted),
            (driven && still && !by_hand, Rule::NotMoving),
            ((driven || look.outputs.supply) && self.stopped, Rule::Restart),
            (fell, Rule::TallyFell),
        ]
        .into_iter()
        .find_map(|(broken, rule)| broken.then_some(rule))
    }
}

fn is_driven(outputs: &Outputs) -> bool {
    outputs.sides.iter().any(|side| side.command > Command::ZERO)
}

/// Whether a report says that the drill moves at all.
const fn moves(report: controller::sense::SpeedReport) -> bool {
    use controller::sense::SpeedReport;
    match report {
        SpeedReport::Speed(sample) => sample.speed.to_bits() > 0,
        SpeedReport::NotAvailable | SpeedReport::Error | SpeedReport::OutOfRange => false,
    }
}
