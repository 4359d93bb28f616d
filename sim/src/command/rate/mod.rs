//! `rate`: from plants or seeds wanted to the bag rate, and back.

mod options;
mod text;

pub(super) use options::RateOptions;

use super::arguments::Shared;
use super::{Exit, Failure, say};
use crate::rate::{Mix, Rating, Target, rate as rated, read};
use crate::report::document_with;

/// Turns a target into every rate.
pub(super) fn rate(options: &RateOptions, shared: Shared) -> Result<Exit, Failure> {
    let rating = rating(options)?;
    let exit = if rating.fits_seed_file { Exit::Pass } else { Exit::Missed };
    say::say(&if shared.json {
        document_with("rate", exit.code(), "rate", &rating)
    } else {
        text::text(&rating, shared.units.into())
    })?;
    Ok(exit)
}

/// The rating that the options or the mix file ask for.
fn rating(options: &RateOptions) -> Result<Rating, Failure> {
    let wanted = options.target()?;
    let (mix, target): (Mix, Target) = if let Some(file) = &options.mix {
        let (mut mix, target) = read(file, wanted)?;
        mix.row_m = options.row()?.or(mix.row_m);
        (mix, target)
    } else {
        let Some(target) = wanted else {
            let why = "a rate needs a target: --plants, --seeds, --live-seeds, --pls or --bag; or a mix file";
            return Err(Failure::Usage(why.to_owned()));
        };
        (Mix::alone(options.lot()?, options.row()?), target)
    };
    rated(&mix, target).map_err(|lack| options.lack(&lack))
}
