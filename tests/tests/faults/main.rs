//! Faults: the sweep at a coarser step, the pairs, the invariants' own proof, determinism.

mod determinism;
mod pairs;
mod planted;
mod verdicts;
