//! No state is reached without its operator act: an independent record of what the operator did.

use crate::rig::{Deed, Feed, Step, drills, sequence};
use controller::Outputs;
use controller::section::SideState;
use controller::watch::{Class, Item};
use proptest::prelude::*;

/// What the operator did since the last stop, kept apart from the controller.
#[expect(clippy::struct_excessive_bools, reason = "each is an act of its own")]
#[derive(Debug, Default)]
struct Record {
    /// The master was read off since the last stop.
    off: bool,
    /// ... and on after that.
    started: bool,
    /// A run was armed and nothing broke it.
    armed: bool,
    /// The button was let go since.
    released: bool,
    /// ... and is pressed since.
    pressed: bool,
    catching: bool,
    /// What the last tick gave.
    stopped: bool,
    latched: Option<Item>,
}

impl Record {
    const fn before(&mut self, step: &Step, accepted: bool) {
        if accepted {
            (self.armed, self.released, self.pressed) = (true, false, false);
        }
        if step.master {
            self.started |= self.off;
            self.armed = false;
        } else {
            self.off = true;
        }
        self.pressed = step.hold && (self.released || self.pressed);
        self.released |= !step.hold;
    }

    fn check(&mut self, step: &Step, out: &Outputs) -> Result<(), TestCaseError> {
        let catching = out.sides.iter().any(|side| side.state == SideState::Run);
        for side in &out.sides {
            let on = step.master && self.started;
            match side.state {
                SideState::Stopped => {}
                SideState::Off => prop_assert!(self.started, "off without a start"),
                SideState::Lifted
                | SideState::Outside
                | SideState::Slow
                | SideState::Lost
                | SideState::Sowing => {
                    prop_assert!(on, "{:?} without a fresh off to on", side.state);
                }
                SideState::ByHand => {
                    prop_assert!(on && step.hold, "by hand without master or button");
                }
                SideState::Run => {
                    prop_assert!(self.armed && self.pressed, "a catch without its two acts");
                    prop_assert!(!step.master && step.hold, "master on or button let go");
                }
            }
        }
        if self.catching && !catching {
            // A run that has ended needs both acts again.
            self.armed = false;
        }
        self.catching = catching;
        let latched = out.alarm.filter(|item| item.class() == Class::Latch);
        let stopped = out.sides[0].state == SideState::Stopped;
        if (stopped && !self.stopped) || (latched.is_some() && latched != self.latched) {
            (self.off, self.started) = (!step.master, false);
        }
        // A run says nothing of the stop that it began under.
        if !catching {
            self.stopped = stopped;
        }
        self.latched = latched;
        Ok(())
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_state_is_reached_without_its_operator_act(settings in drills(), steps in sequence()) {
        let mut feed = Feed::new(settings, 0);
        let mut record = Record::default();
        for step in &steps {
            let out = feed.step(step);
            let armed = matches!(
                step.act,
                Some(Deed::Arm { .. } | Deed::Fill { .. } | Deed::Spin(_))
            );
            record.before(step, armed && feed.accepted);
            record.check(step, &out)?;
        }
    }

    #[test]
    fn nothing_starts_while_the_master_stays_on_or_off_from_power_up(
        settings in drills(),
        steps in sequence(),
        master in any::<bool>(),
    ) {
        let mut feed = Feed::new(settings, 0);
        for step in steps {
            let out = feed.step(&Step { master, hold: false, ..step });
            prop_assert!(out.at_rest(), "{out:?}");
        }
    }
}
