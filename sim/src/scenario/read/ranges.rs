//! What a quantity of a file may be, by its kind and range: one place for the readers and for who asks a person.

pub(crate) use super::drill::{
    ANTENNA, DELIVERY_DELAY, GROUND_PULSES, LEAST_GAP, LIFT_DEBOUNCE, LOWEST_SPEED, OPENER_WAY,
    WIDTH,
};
pub(crate) use super::drive::{DEAD_TIME, LAG, OPENING, PLAY, STROKE};
pub(crate) use super::hydraulics::{
    AT_SHAFT, DROP, EFFICIENCY, MOTOR_SPEED, OIL, OIL_FLOW, VOLUME,
};
pub(crate) use super::limits::{BAND, CORRECTION, RAISED, ROAD, START, WAY};
pub(crate) use super::run::TURNS_PER_METRE;
pub(crate) use super::seed_lot::{SEEDING_RATE, TURN};
pub(crate) use super::source::{LATENCY, NOISE, SAMPLE_RATE};
