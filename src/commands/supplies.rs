//! `startmargin supplies`: which supply starts a load.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Answer, Failure, OwnCatalogue, Which, places, read};
use crate::advise::supplies::Candidate;
use crate::report::{self, supplies::Supplies};

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
}

impl Arguments {
    pub(super) fn json(&self) -> bool {
        self.format == Format::Json
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let (site, _) = read(arguments.site.as_deref(), &arguments.own)?;
    let (load, supply) = places(&site, &arguments.which)?;
    let pressures = match arguments.which.pressure {
        Some(pressure) => vec![pressure.into()],
        None => report::pressures_of(&site.loads[load].figures),
    };
    let catalogue = arguments.own.read()?;
    let case = site.case(load, supply, pressures[0]);
    crate::case::Path::new(&crate::advise::starters::with_starter(
        &case,
        &crate::starter::StarterFigures::default(),
    ))
    .map_err(|lack| Failure::CannotRun { load: case.load.name.clone(), lack })?;
    let own = site.supplies.iter().map(|figures| Candidate {
        name: figures.name.clone(),
        own: true,
        figures: figures.clone(),
    });
    let candidates = own.chain(crate::site::supplies::candidates(&catalogue)).collect();
    let selection =
        Supplies::new(&case, &pressures, candidates, crate::site::starters::candidates(&catalogue));
    let output = match arguments.format {
        Format::Text => selection.text(),
        Format::Json => selection.json()?,
    };
    Ok(Answer { output, yes: selection.serves() })
}
