//! One piece of a profile under one law.

use super::given::Given;
use super::outcome::Outcome;
use super::senses::{Law, Look, Shown};
use super::world::{MAX_SIDES, World};
use crate::profile::Piece;
use crate::scenario::Scenario;

/// Runs `law` over one piece; `noise_seed` seeds the sensors.
pub fn run_piece(
    scenario: &Scenario,
    piece: &Piece,
    noise_seed: u64,
    law: &mut dyn Law,
    look: &mut dyn FnMut(&Look<'_>),
) -> Outcome {
    let mut world = World::new(scenario, piece, noise_seed);
    let mut commands = vec![0.0; world.sides()];
    while !world.is_over() {
        if world.is_tick() {
            world.tick();
            tick(&world, law, &mut commands, look);
        }
        let wheel = |side, travel_m| law.wheel_turns_per_m(side, travel_m);
        world.step(&Given { commands: &commands, supply: law.supply(), wheel: &wheel });
    }
    world.outcome()
}

/// One tick of the law.
fn tick(
    world: &World<'_>,
    law: &mut dyn Law,
    commands: &mut [f64],
    look: &mut dyn FnMut(&Look<'_>),
) {
    let senses = world.senses();
    law.tick(&senses, commands);
    let count = world.sides().min(MAX_SIDES);
    let shown: [Shown; MAX_SIDES] = core::array::from_fn(|side| law.show(side));
    look(&Look {
        senses: &senses,
        shown: &shown[..count],
        speed_mps: world.speed_mps(),
        travel_m: world.travel_m(),
        commands,
        shafts_turns_per_s: &world.shafts_turns_per_s()[..count],
        asked: world.asked(),
    });
}
