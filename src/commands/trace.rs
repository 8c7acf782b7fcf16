//! `startmargin trace`: a start against time.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Answer, Failure, Level, OwnCatalogue, Which, choose, read};
use crate::case::Path;
use crate::report::csv;
use crate::start::Trace;

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    /// Comma-separated values.
    Csv,
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
    #[arg(long, value_enum, default_value = "csv")]
    format: Format,
    /// How closely the start is simulated.
    #[arg(long, value_enum, default_value = "envelope")]
    level: Level,
    /// A row every so many seconds, instead of at the moments of the simulation.
    #[arg(long, value_name = "SECONDS")]
    step_s: Option<f64>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let (Format::Csv, Level::Envelope) = (arguments.format, arguments.level);
    if arguments.step_s.is_some_and(|s| !(1e-5..=3600.0).contains(&s)) {
        return Err(Failure::Usage("--step-s: from 0.00001 to 3600 seconds".into()));
    }
    let (site, _) = read(arguments.site.as_deref(), &arguments.own)?;
    let case = choose(&site, &arguments.which)?;
    let path = Path::new(&case).map_err(|lack| Failure::CannotRun { load: case.load.name.clone(), lack })?;
    // where the running loads may behave in two ways, the one that draws more
    let mut worse = Trace::default();
    for variant in 0..path.variants() {
        let mut trace = Trace::default();
        path.run(variant, &mut trace);
        if trace.largest_supply_a() > worse.largest_supply_a() || worse.rows.is_empty() {
            worse = trace;
        }
    }
    Ok(Answer { output: csv::trace(&worse, arguments.step_s), yes: true })
}
