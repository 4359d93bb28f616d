//! What the controller lets be seen of itself, for the panel.

use crate::controller::Controller;
use crate::quantity::Position;
use crate::seed::Product;
use crate::settings::Settings;

impl Controller {
    /// The settings in force; none where they are missing or wrong.
    #[must_use]
    pub const fn settings(&self) -> Option<&Settings> {
        self.settings.as_ref()
    }

    /// The antenna's last place, while one is known that is not older than two seconds.
    #[must_use]
    pub fn position(&self) -> Option<Position> {
        self.state.antenna.map(|antenna| antenna.position)
    }

    /// Whether the implement is in work, as believed.
    #[must_use]
    pub const fn in_work(&self) -> bool {
        self.state.lowered
    }

    /// The first side whose encoder fell silent in work and that does not run by its map.
    #[must_use]
    pub fn lost_encoder(&self) -> Option<usize> {
        self.state.sides.iter().position(|side| side.blind.is_lost() && !side.blind.by_map())
    }

    /// Whether a fill of a product's box was ever told: only then is its countdown worth showing.
    #[must_use]
    pub const fn hopper_is_counted(&self, product: Product) -> bool {
        product.of(self.state.hoppers).filled_ug > 0
    }
}
