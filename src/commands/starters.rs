//! `startmargin starters`: which starter to put before a load.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Answer, Failure, LevelWord, OwnCatalogue, Which, choose, read};
use crate::report::{self, starters::Comparison};
use crate::site::starters::candidates;

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For reading.
    Text,
    /// For programs (docs/json.md).
    Json,
}

#[derive(Args)]
pub(super) struct Arguments {
    /// Site file; without one the built-in demonstration.
    site: Option<PathBuf>,
    #[command(flatten)]
    own: OwnCatalogue,
    #[command(flatten)]
    which: Which,
    /// Form of the answer.
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
    /// How closely starts are simulated.
    #[arg(long, value_enum, default_value = "auto")]
    level: LevelWord,
}

impl Arguments {
    pub(super) fn json(&self) -> bool {
        self.format == Format::Json
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let (mut site, _) = read(arguments.site.as_deref(), &arguments.own)?;
    site.level = arguments.level.into();
    let case = choose(&site, &arguments.which)?;
    crate::case::Path::new(&direct(&case))
        .map_err(|lack| Failure::CannotRun { load: case.load.name.clone(), lack })?;
    let pressures = match arguments.which.pressure {
        Some(_) => vec![case.pressure],
        None => report::pressures_of(&case.load),
    };
    let comparison = Comparison::new(&case, &pressures, candidates(&arguments.own.read()?));
    let output = match arguments.format {
        Format::Text => comparison.text(),
        Format::Json => comparison.json()?,
    };
    Ok(Answer { output, yes: comparison.serves() })
}

/// The case without its starter.
fn direct(case: &crate::case::Case) -> crate::case::Case {
    crate::advise::starters::with_starter(case, &crate::starter::StarterFigures::default())
}
