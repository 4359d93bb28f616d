//! What belongs to the board and not to the drill: numbers that no settings image carries.

use controller::panel::{BOXES, BoxConfig, PanelConfig, RateSteps, Size, Units};
use controller::quantity::{Micros, MilligramsPerSquareMetre};

/// The crystal.
pub(crate) const CRYSTAL_HZ: u32 = 12_000_000;
/// The processor, as the HAL sets it from this crystal.
pub(crate) const SYSTEM_HZ: u32 = 125_000_000;
/// PWM of the valves: the data sheet of the valve says, often 100 to 300 Hz (common practice).
pub(crate) const VALVE_HZ: u32 = 150;
/// Edges per second that a channel takes. Settings that need more are refused, naming the sensor.
pub(crate) const CAPTURE_RATE: u32 = 10_000;
/// A tick.
pub(crate) const TICK: Micros = Micros::from_millis(10);
/// The processor wakes at least so often; a tenth of a tick.
pub(crate) const BEAT_US: u32 = 1_000;
/// The panel looks at the drill so often.
pub(crate) const PANEL: Micros = Micros::from_millis(100);
/// What takes longer is begun only when the next tick is so far away: a record of the journal takes 3 ms.
pub(crate) const FREE: Micros = Micros::from_millis(4);
/// A status line comes so often.
pub(crate) const STATUS: Micros = Micros::from_millis(1_000);
/// Without a whole tick for so long the chip resets itself.
pub(crate) const WATCHDOG_US: u32 = 500_000;
/// The receiver's serial line.
pub(crate) const NMEA_BAUD: u32 = 38_400;
/// Age of a fix when its first byte arrives.
pub(crate) const NMEA_LATENCY: Micros = Micros::from_millis(100);
/// The status line.
pub(crate) const STATUS_BAUD: u32 = 115_200;

/// The panel's numbers: it has neither display nor buttons here, so only its states, alarms and patterns matter.
pub(crate) const PANEL_CONFIG: PanelConfig = PanelConfig {
    units: Units::Metric,
    size: Size::Four20,
    rates: [RateSteps {
        step: MilligramsPerSquareMetre::from_whole(100),
        low: MilligramsPerSquareMetre::from_whole(50),
        high: MilligramsPerSquareMetre::from_whole(50_000),
    }; BOXES],
    boxes: [BoxConfig { full_ug: 1_000_000_000_000, bag_ug: 25_000_000_000, low_ug: 0 }; BOXES],
};
