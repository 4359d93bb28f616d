//! Shaft speed by ground speed: `controller::demand` in f32.

use crate::{Bounded, real};
use controller::quantity::MilligramsPerSquareMetre;
use controller::seed::MAX_POINTS;
use controller::settings::SideConfig;

#[derive(Clone, Copy, Default)]
struct Line {
    from: f32,
    slope: f32,
    offset: f32,
}

/// The lines of a side.
pub(crate) struct Demand {
    lines: [Line; MAX_POINTS + 1],
    count: usize,
}

impl Demand {
    pub(crate) fn new(side: &SideConfig, rate: MilligramsPerSquareMetre) -> Self {
        // kg a metre.
        let wanted = real(side.width.get(), 0) * 1e-6 * real(rate.to_bits(), 16) * 1e-6;
        let mut lines = [Line::default(); MAX_POINTS + 1];
        let mut count = 0;
        let mut before: Option<(f32, f32)> = None;
        for point in &side.meter {
            let shaft = real(point.shaft.to_bits(), 21);
            #[expect(clippy::cast_precision_loss, reason = "a mass of a turn")]
            let flow = shaft * (point.mass.get() as f32 * 1e-9);
            lines[count] = match before {
                None => Line { from: 0.0, slope: wanted * shaft / flow, offset: 0.0 },
                Some((n, f)) => {
                    let slope = wanted * (shaft - n) / (flow - f);
                    Line { from: f / wanted, slope, offset: n - slope * (f / wanted) }
                }
            };
            count += 1;
            before = Some((shaft, flow));
        }
        if let (Some((n, f)), true) = (before, count > 1) {
            lines[count] = Line { from: f / wanted, slope: wanted * n / f, offset: 0.0 };
            count += 1;
        }
        Self { lines, count }
    }

    fn line(&self, speed: f32) -> Line {
        let mut held = Line::default();
        for (index, line) in self.lines.iter().take(self.count).enumerate() {
            if index == 0 || speed >= line.from {
                held = *line;
            }
        }
        held
    }

    pub(crate) fn shaft(&self, speed: f32) -> f32 {
        if speed <= 0.0 {
            return 0.0;
        }
        let line = self.line(speed);
        (line.slope * speed + line.offset).at_least(0.0)
    }

    pub(crate) fn slope(&self, speed: f32) -> f32 {
        self.line(speed).slope
    }
}
