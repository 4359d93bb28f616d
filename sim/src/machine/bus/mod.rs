//! A tractor on its bus: speeds, way, direction, hitch and yaw rate every 100 ms.
//!
//! ```text
//!  what is true ──► words (1 mm/s, 1 mm, 1/8192 rad/s) ──► 8 bytes a group ──► frames
//! ```
//!
//! | group | identifier, address 0 | |
//! |---|---|---|
//! | 65096 | 0CFE4800 | wheel-based speed and distance |
//! | 65097 | 0CFE4900 | ground-based speed and distance |
//! | 61474 | 0CF02200 | machine selected speed and distance |
//! | 65093 | 0CFE4500 | rear hitch |
//! | 61449 | 18F00900 | yaw rate (group and scale from memory) |

mod demo;
mod sender;
mod words;

pub use demo::demo_log;
pub use sender::{BusMoment, BusSender, BusSenderConfig, Said, Sends};
