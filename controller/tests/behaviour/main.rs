//! The controller as a board meets it: a rig of exact pulse trains, no physics, no float.

mod board;
mod corners;
mod run;
mod ground;
mod inputs_of_the_field;
mod motorised;
mod panel;
mod panel_lcd;
mod panel_rig;
mod panel_signals;
mod pins;
mod products;
mod rig;
#[cfg(feature = "serde")]
mod round_trip;
mod section;
mod settings;
mod tally;
mod watch;
mod working_day;
mod watch_sources;
mod watch_speed;
