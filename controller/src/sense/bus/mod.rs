//! Messages of the tractor's bus: ISO 11783-7, SAE J1939 and NMEA 2000 parameter groups in CAN frames.
//!
//! ```text
//!  frame ──► Identifier, 8 bytes ──► Message::read ──► Keeper (which sender counts) ──► Message ──► BusInputs
//!    │ standard id, remote, short, not ours                 │ passed over                             │ each tick
//!    └────────────► counted ◄───────────────────────────────┘                                         ▼
//!                                                                                                   Inputs
//! ```
//!
//! | group | | what is read |
//! |---|---|---|
//! | 65096 | wheel-based speed and distance | [`WheelSpeed`] |
//! | 65097 | ground-based speed and distance | [`GroundSpeed`] |
//! | 61474 | machine selected speed | [`SelectedSpeed`] |
//! | 65265 | wheel-based vehicle speed | stands in for 65096 |
//! | 65256 | navigation-based vehicle speed | stands in for 65097 |
//! | 129026 | course and speed over ground | [`CourseAndSpeed`]; stands in for 65097 |
//! | 65093, 65094 | rear and front hitch | [`HitchStatus`] |
//! | 61449 | yaw rate | [`YawRate`] |
//!
//! Not available, error and out of range are three answers ([`Reading`]), and none of them is zero. Multi-byte words
//! have their lowest byte first; bytes count from 1 in the docs and from 0 in the code. Instants are arrival less
//! [`BusConfig::latency`].

mod identifier;
mod reading;
mod distance;
mod speed;
mod hitch;
mod yaw;
mod course;
mod message;
mod keeper;
mod config;
mod reader;
mod collected;

pub use collected::BusInputs;
pub use config::{BusConfig, Hitch, Senders};
pub use course::CourseAndSpeed;
pub use distance::Distance;
pub use hitch::HitchStatus;
pub use identifier::Identifier;
pub use keeper::Channel;
pub use message::Message;
pub use reader::{Bus, BusCounts, BusState};
pub use reading::Reading;
pub use speed::{GroundSpeed, SelectedSpeed, VehicleSpeed, WheelSpeed};
pub use yaw::YawRate;
