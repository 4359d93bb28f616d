//! A field in two dimensions.

pub mod boundary;
pub mod connect;
pub mod coverage;
pub mod figures;
pub mod gaps;
pub mod inset;
pub mod leg;
pub mod lowered;
pub mod pace;
pub mod passes;
pub mod path;
pub mod plan;
pub mod pose;
pub mod round;
pub mod scan;
pub mod steering;
pub mod strip;
pub mod survey;
pub mod track;
pub mod trail;

pub use figures::{FIELD_FIGURES, FieldFigures};
pub use survey::{Field, Survey, Way};
