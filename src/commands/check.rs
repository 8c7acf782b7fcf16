//! `startmargin check`: the main job.

use std::io::IsTerminal;
use std::path::PathBuf;

use clap::Args;

use super::flags::{Flags, site_of};
use super::{Answer, Failure, Form, LevelWord, OwnCatalogue, read};
use crate::advise::Verdict;
use crate::report::{self, Report};

#[derive(Args)]
pub(super) struct Arguments {
    /// Site file; without one the flags below, without any the built-in demonstration.
    site: Option<PathBuf>,
    #[command(flatten)]
    own: OwnCatalogue,
    /// Form of the answer.
    #[arg(long, value_enum, default_value = "text")]
    format: Form,
    /// How closely the start is simulated.
    #[arg(long, value_enum, default_value = "auto")]
    level: LevelWord,
    #[command(flatten)]
    flags: Flags,
}

impl Arguments {
    pub(super) fn json(&self) -> bool {
        self.format == Form::Json
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let (mut site, text) = match (arguments.flags.first(), &arguments.site) {
        (None, site) => read(site.as_deref(), &arguments.own)?,
        (Some(flag), Some(_)) => {
            return Err(Failure::Usage(format!(
                "--{flag} goes without a site file: write the figure into the file"
            )));
        }
        (Some(_), None) => {
            let (site, written) = site_of(&arguments.flags.answers()?, &arguments.own.read()?, false)?;
            (site, written.text)
        }
    };
    site.level = arguments.level.into();
    let mut report = Report::new(&site, &text);
    report.demonstration = arguments.site.is_none() && arguments.flags.first().is_none();
    let output = match arguments.format {
        Form::Json => report::json::json(&report)?,
        Form::Text => report::text(&report, std::io::stdout().is_terminal() && colour_wanted()),
    };
    Ok(Answer { output, yes: report.verdict == Verdict::Starts })
}

/// Colour unless NO_COLOR says otherwise (the convention many programs share).
fn colour_wanted() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
        && std::env::var_os("TERM").is_none_or(|t| t != "dumb")
}
