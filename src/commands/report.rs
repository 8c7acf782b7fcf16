//! `startmargin report`: the page for customer, engineer and fitter, or one plot of it.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::compare::offer;
use super::{Answer, Failure, OwnCatalogue, place, read};
use crate::report::page::{Asked, Page};
use crate::report::plot::Plot;
use crate::site::{day_after_1970, is_day};

#[derive(Args)]
pub(super) struct Arguments {
    /// Site file; without one the built-in demonstration.
    site: Option<PathBuf>,
    #[command(flatten)]
    own: OwnCatalogue,
    /// File to write: .html for the page, .svg for one plot; without it the page goes to standard output.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Name of the load, or its place from 1; the first if not given.
    #[arg(long)]
    load: Option<String>,
    /// Name of the supply, or its place from 1; the first if not given.
    #[arg(long)]
    supply: Option<String>,
    /// The plot to write as .svg.
    #[arg(long, value_enum)]
    plot: Option<PlotWord>,
    /// Day printed on the page, year-month-day; "open" leaves it to be written in; today (UTC) if not given.
    #[arg(long)]
    date: Option<String>,
}

/// The plots by their words.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PlotWord {
    /// Time against current: breaker, supply and start.
    Trip,
    /// Current, voltage and speed against time.
    Start,
    /// Current alone against time.
    Current,
    /// Torque against speed.
    Torque,
    /// The margin of each check.
    Margins,
    /// The start-current reductions that pass.
    Reduction,
}

impl From<PlotWord> for Plot {
    fn from(word: PlotWord) -> Plot {
        match word {
            PlotWord::Trip => Plot::TimeCurrent,
            PlotWord::Start => Plot::Start,
            PlotWord::Current => Plot::Current,
            PlotWord::Torque => Plot::Torque,
            PlotWord::Margins => Plot::Margins,
            PlotWord::Reduction => Plot::Reduction,
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let date = match arguments.date.as_deref() {
        None => today(),
        Some("open") => String::new(),
        Some(day) if is_day(day) => day.to_owned(),
        Some(day) => {
            return Err(Failure::Usage(format!("--date {day} is no day: write year-month-day, or open")));
        }
    };
    let svg =
        arguments.output.as_deref().and_then(Path::extension).is_some_and(|e| e.eq_ignore_ascii_case("svg"));
    let words: Vec<&str> = Plot::ALL.iter().map(|p| p.word()).collect();
    match (svg, arguments.plot) {
        (true, None) => {
            return Err(Failure::Usage(format!(
                "an .svg holds one plot: add --plot with one of {}",
                words.join(", ")
            )));
        }
        (false, Some(_)) => {
            return Err(Failure::Usage("--plot goes with -o FILE.svg: the page has all plots".into()));
        }
        _ => {}
    }
    let (site, text) = read(arguments.site.as_deref(), &arguments.own)?;
    let loads: Vec<&str> = site.loads.iter().map(|l| l.figures.name.as_str()).collect();
    let supplies: Vec<&str> = site.supplies.iter().map(|s| s.name.as_str()).collect();
    let asked = Asked {
        load: place("load", arguments.load.as_deref(), &loads)?,
        supply: place("supply", arguments.supply.as_deref(), &supplies)?,
        date,
        demonstration: arguments.site.is_none(),
    };
    super::runs_direct(&site.case(asked.load, asked.supply, crate::case::Pressure::Equalised))?;
    let page = Page::new(&site, &text, &asked, offer(&site, &arguments.own)?);
    let written = match arguments.plot {
        Some(word) => {
            let plot = Plot::from(word);
            let Some(picture) = plot.draw(&page.subject) else {
                let load = loads[asked.load];
                return Err(Failure::Usage(format!(
                    "there is nothing to draw as {} for {load}",
                    plot.word()
                )));
            };
            picture.file()
        }
        None => page.html().map_err(|_| Failure::Usage("the page could not be set".into()))?,
    };
    let output = match &arguments.output {
        None => written,
        Some(path) => {
            super::write(path, &written)?;
            format!("{}: {} on {}\n", path.display(), loads[asked.load], supplies[asked.supply])
        }
    };
    Ok(Answer { output, yes: page.starts })
}

/// Today in UTC, year-month-day.
fn today() -> String {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    let days = now.map_or(0, |since| since.as_secs() / 86_400);
    day_after_1970(u32::try_from(days).unwrap_or(0))
}
