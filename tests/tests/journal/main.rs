//! Power cuts: settings image, journal, and what is left after a cut at every write step.

mod bench;
mod cuts;
mod document;
mod events;
mod flash;
mod flips;
mod image;
mod limits;
mod season;
mod settings;
