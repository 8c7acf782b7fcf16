//! `startmargin check`: the main job.

use std::io::IsTerminal;
use std::path::PathBuf;

use clap::Args;

use super::flags::{Flags, site_of};
use super::{Answer, Failure, Form, LevelWord, OwnCatalogue, read};
use crate::advise::Verdict;
use crate::report::plot::{self, Subject, Told};
use crate::report::{self, Report};
use crate::site::Site;

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
    /// Draws breaker, supply and start on the time-current plane below the text.
    #[arg(long)]
    plot: bool,
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
    if arguments.plot && arguments.json() {
        return Err(Failure::Usage(
            "--plot goes with text; startmargin report SITE -o FILE.svg --plot trip draws a picture".into(),
        ));
    }
    site.level = arguments.level.into();
    let mut report = Report::new(&site, &text);
    report.demonstration = arguments.site.is_none() && arguments.flags.first().is_none();
    let output = match arguments.format {
        Form::Json => report::json::json(&report)?,
        Form::Text => {
            let planes = if arguments.plot { planes(&site, &report) } else { String::new() };
            report::text(&report, std::io::stdout().is_terminal() && colour_wanted()) + &planes
        }
    };
    Ok(Answer { output, yes: report.verdict == Verdict::Starts })
}

/// The time-current plane of every load on every supply, after a rest where that was judged.
fn planes(site: &Site, report: &Report) -> String {
    let mut out = String::new();
    let mut drawn: Vec<(usize, usize)> = Vec::new();
    for judged in &report.starts {
        let place = (judged.load, judged.supply);
        if drawn.contains(&place) {
            continue;
        }
        drawn.push(place);
        let here = report.starts.iter().filter(|s| (s.load, s.supply) == place);
        let mut told: Vec<Told> = here
            .map(|s| Told {
                label: if s.start.inrush { "switched on" } else { s.start.pressure.plain() }.to_owned(),
                case: site.case(s.load, s.supply, s.start.pressure),
                start: s.start.clone(),
            })
            .collect();
        told.sort_by_key(|t| t.start.pressure);
        let mut told = told.into_iter();
        let Some(direct) = told.next() else { continue };
        let subject = Subject { direct, reduced: None, restart: told.next() };
        if let Some(plane) = plot::terminal(&subject) {
            out.push('\n');
            out.push_str(&plane);
        }
    }
    out
}

/// Colour unless NO_COLOR says otherwise (the convention many programs share).
fn colour_wanted() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
        && std::env::var_os("TERM").is_none_or(|t| t != "dumb")
}
