//! Power cuts: settings image, journal, and what is left after a cut at every write step.

mod cuts;
mod document;
mod image;
mod season;
mod settings;
