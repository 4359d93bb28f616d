//! The seed file.

use super::super::answers::Answers;
use super::sheet::Sheet;

/// The seed file.
pub fn seed(answers: &Answers) -> String {
    let title = "Seed file, made by `meterwright new`: rate asked for, and what one turn of the meter delivers.";
    let mut sheet = Sheet::new(answers, title);
    sheet.answer_as("name", "seed_name", "What you call the lot.");
    let demo = answers.is("demo", "yes").to_string();
    sheet.bare("demo", &demo, "true where the numbers are invented: then every page says so.");
    sheet.answer("rate", "Seeding rate of what is in the bag (bag rate).");
    let caught = answers.is("mass_by", "caught");
    if !caught {
        sheet.caution("NOT CAUGHT YET: a guess. Catch and weigh before you sow (treated seed is poison: gloves and mask).");
    }
    let comment = "Mass that one turn of a side's meter shaft delivers through all its outlets.";
    sheet.answer("mass_per_turn", comment);
    if caught && !answers.is("catch_date", "not noted") {
        sheet.section("[caught]", "Where the mass per turn comes from.");
        sheet.answer_as("date", "catch_date", "Day of the catch.");
        sheet.number("catches", "catches", "Number of catches that it is the mean of.");
    }
    sheet.done()
}
