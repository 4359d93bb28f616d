//! `live`: judges scenarios on a board that runs its controller on the bench's machine.

use super::arguments::Shared;
use super::progress::Progress;
use super::{Exit, Failure, record, say, verify};
use crate::carry::CarryError;
use crate::live::{Board, Compared, LiveError, NoVerdict, Wanted};
use crate::report::{BoardSaid, Judged, Results};
use crate::scenario::Scenario;
use clap::Args;
use std::path::{Path, PathBuf};

/// Below the options: what may not be forgotten.
const CAUTION: &str = "\
The board wants the live build (docs/live.md): it reads no pin and drives none, so its outputs
stay low whatever the bench does. Still unplug the coils and leave the oil uncoupled: the field
image may be in it after all, and that one drives. Load the field image again afterwards.

All scenarios named must have the settings that the board has; write them with
`meterwright settings --scenario SCENARIO -o IMAGE`.";

/// Options of `live`.
#[derive(Debug, Args)]
#[command(after_help = CAUTION)]
pub(super) struct LiveOptions {
    /// The board's serial device, such as /dev/ttyACM0 or COM3, or tcp:HOST:PORT of an emulated board.
    #[arg(long, value_name = "PORT")]
    port: String,
    /// Scenario files.
    #[arg(value_name = "SCENARIO", required = true)]
    scenarios: Vec<PathBuf>,
}

/// Judges the scenarios on the board.
pub(super) fn live(options: &LiveOptions, shared: Shared) -> Result<Exit, Failure> {
    let named = verify::read_all(options.scenarios.clone())?;
    let wanted = named.iter().map(|(file, scenario)| wanted(file, scenario));
    let wanted = wanted.collect::<Result<Vec<_>, _>>()?;
    let failed = |why| Failure::Live { port: options.port.clone(), why };
    let mut board = Board::greet(&options.port).map_err(failed)?;
    wanted.iter().try_for_each(|wanted| wanted.check(&board)).map_err(failed)?;
    let progress = Progress::new(&[1.0]);
    let whole: f64 = wanted.iter().map(Wanted::ticks).sum();
    #[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 ticks")]
    let told = |ticks: u64| progress.tell(0, ticks as f64 / whole);
    let (mut judged, mut compared) = (Vec::new(), Compared::default());
    for (wanted, (file, scenario)) in wanted.iter().zip(&named) {
        let (verdict, one) = wanted.judge(&mut board, &told).map_err(|none| match none {
            NoVerdict::Refused(why) => Failure::Refused { file: file.clone(), why },
            NoVerdict::Live(why) => failed(why),
        })?;
        compared = compared.plus(one);
        let sides = scenario.drill.sides.iter().map(|side| side.name.clone()).collect();
        let tolerances = scenario.tolerances.len();
        judged.push(Judged { file: file.clone(), sides, tolerances, verdict });
    }
    drop(progress);
    let said = BoardSaid {
        port: options.port.clone(),
        build: board.build(),
        fingerprint: board.fingerprint().unwrap_or_default(),
        heard: board.heard(),
        compared,
    };
    let results = Results {
        command: "live",
        judged: &judged,
        record: None,
        files: &[],
        board: Some(&said),
        system: shared.units.into(),
    };
    say::say(&record::shown(&results, shared.json))?;
    Ok(record::exit(&results))
}

/// A scenario with the settings that it wants.
fn wanted<'a>(file: &Path, scenario: &'a Scenario) -> Result<Wanted<'a>, Failure> {
    Wanted::new(say::typed(file), scenario).map_err(|why| match why {
        CarryError::Refused(why) => Failure::Refused { file: file.to_owned(), why },
        why => Failure::Carried { file: file.to_owned(), why },
    })
}

impl LiveError {
    /// How the command ends: a port that cannot be opened is usage, whatever else is wrong with a board is input.
    pub(super) const fn exit(&self) -> Exit {
        match self {
            Self::Port(_) => Exit::Usage,
            Self::Nobody { .. }
            | Self::Version(_)
            | Self::NoSettings { .. }
            | Self::OtherSettings { .. }
            | Self::Line(_)
            | Self::Silent { .. }
            | Self::Lost { .. } => Exit::Input,
        }
    }
}
