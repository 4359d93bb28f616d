//! Settings: what a person writes → checked → immutable.
//!
//! ```text
//!  SettingsConfig ──► Settings::new ──► Settings (demand lines, gains, thresholds worked out)
//!       │ breaks a rule
//!       └──► SettingsError { rule, side, value, low, high }
//! ```

mod checked;
mod config;
mod error;
mod limits;
mod ground;
pub mod image;
mod in_force;

pub use checked::{Settings, SideSettings};
pub use config::{LiftConfig, LiftSource, PlacesConfig, SettingsConfig, SideConfig};
pub use error::{Rule, SettingsError};
pub use limits::LimitsConfig;
