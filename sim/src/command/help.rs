//! What stands below the list of commands in `meterwright --help`.

/// What it is, below the line that names it.
pub(super) const ABOUT: &str = "\
Sizes, proves and accounts for a seed meter that is turned by a hydraulic motor.

Meterwright is for the shop that takes chain and ground wheel off a drill and puts a hydraulic
motor on its meter shaft. It reckons what the drive must do, runs the very controller that will
be flashed over ramps, headlands and recorded fields before a hose is cut, and settles the
accounts of the seed afterwards.";

/// The short form, for `-h`.
pub(super) const SHORT: &str = "Without a command every demo scenario is verified. `meterwright --help` says more, \
`meterwright COMMAND --help` all of a command.";

/// The page.
pub(super) const LONG: &str = "\
THE JOB, IN ITS ORDER
  new         Answer questions; get drill, seed and scenario files that pass.
  size        Will motor, valve, ratio and sensors do for this drill, seed and speed?
  rate        So many plants per area: how much from the bag is that?
  catch       So many turns gave so much seed: what is one turn, and how sure?
  verify      Does the control hold the rate on the ground? Then faults, sweep, replay.
  settings    Carry to the board what was proved, and know it by its fingerprint.
  live        Prove the board itself on the desk: its controller, this bench's machine.
  sheet       Print the page for the cab: speeds, checklist, alarms, cautions.
  fit         Measure the built drive by its runs; verify again with its numbers.
  reconcile   So much loaded, so much left: how far off was it, and what is one turn?
  record      What was sown, for the owner, a landlord or an agency.

UNITS AND HABITS
  A quantity has its unit: \"4.0 m\", \"13 ft\", \"13'6\\\"\", \"7 1/2 in\", \"110 kg/ha\", \"98 lb/ac\",
  \"3 lb 4 oz\", \"5 mph\", \"12 L/min\", \"3 gpm\", \"160 bar\", \"2300 psi\", \"40 °C\", \"104 °F\". Each may be
  in any unit of its kind, whatever --units shows. A comma is refused: write 1200 or 1.2.

FILES
  TOML, one thing a file: a drill, a seed lot, a scenario that names both. A mistake is answered
  with file, line, column and what would be right. Nothing is written before everything is
  known, and no file is written over without --replace.

EXIT CODES
  0  everything within its tolerance
  1  a tolerance was missed, or an answer is no
  2  usage: the command line is wrong, or names a place that cannot be written
  3  a value or an input file is wrong
  4  internal

EXAMPLES
  meterwright
      Every demo scenario, as one table.
  meterwright size demo-data/drills/reference.toml demo-data/seeds/demo-110.toml --units us
      What the reference drill can do, in pounds, feet and acres.
  meterwright settings my-drill.toml my-seed.toml -o board.image
      The settings for the board, with their fingerprint.

SAFETY
  A driven seed meter starts without warning. Oil under pressure goes through skin and needs a
  surgeon at once. Treated seed is poison. The controller is not a safety function and is not
  certified: the machine's manual, local rules and qualified people come first (docs/safety.md).

  docs/ has all of it: as a book by `mdbook build docs`.";
