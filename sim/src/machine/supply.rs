//! The oil supply: a pressure, held until more flow is asked for than the pump has left.

/// What the tractor gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SupplyConfig {
    /// Pressure above that of the return line, Pa.
    pub pressure_pa: f64,
    /// Most flow, m³/s; less while another consumer draws.
    pub flow_limit_m3_per_s: f64,
}

impl SupplyConfig {
    /// Flow that is delivered when `wanted` would pass at full pressure. Beyond the limit the pressure gives
    /// way until just the limit passes, so the flow is the limit whatever the pressure.
    pub const fn delivered(&self, wanted_m3_per_s: f64) -> f64 {
        wanted_m3_per_s.min(self.flow_limit_m3_per_s).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flow_is_what_is_wanted_up_to_the_limit_and_never_back() {
        let supply = SupplyConfig { pressure_pa: 1.5e7, flow_limit_m3_per_s: 5e-4 };
        for (wanted, delivered) in [(1e-4, 1e-4), (9e-4, 5e-4), (-1e-4, 0.0)] {
            assert!((supply.delivered(wanted) - delivered).abs() < 1e-15, "{wanted}");
        }
    }
}
