//! `startmargin motor`: circuit and speed table.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Answer, Failure, OwnCatalogue, Which, choose, read};
use crate::report::MotorSheet;

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For reading.
    Text,
    /// Comma-separated values: the speed table.
    Csv,
    /// For programs.
    Json,
}

#[derive(Args)]
pub(super) struct Arguments {
    /// Site file; the built-in demonstration if not given.
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
    let case = choose(&site, &arguments.which)?;
    let sheet =
        MotorSheet::new(&case).map_err(|lack| Failure::CannotRun { load: case.load.name.clone(), lack })?;
    let output = match arguments.format {
        Format::Text => sheet.text(),
        Format::Csv => sheet.csv(),
        Format::Json => sheet.json()?,
    };
    Ok(Answer { output, yes: true })
}
