//! `startmargin report`: the page for customer, engineer and fitter, or one plot of it.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::compare::offer;
use super::{Answer, Failure, OwnCatalogue, place, read};
use crate::report::page::{Asked, Page};
use crate::report::plot::Plot;
use crate::site::is_day;

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
            write_whole(path, &written)?;
            format!("{}: {} on {}\n", path.display(), loads[asked.load], supplies[asked.supply])
        }
    };
    Ok(Answer { output, yes: page.starts })
}

/// Writes a file as a whole or not at all: beside its place first, then moved there.
fn write_whole(path: &Path, text: &str) -> Result<(), Failure> {
    let failed = |source| Failure::CannotWrite { path: path.to_owned(), source };
    let mut beside = path.as_os_str().to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let beside = PathBuf::from(beside);
    let written = std::fs::File::create(&beside).and_then(|mut file| {
        file.write_all(text.as_bytes())?;
        file.sync_all()
    });
    written.and_then(|()| std::fs::rename(&beside, path)).map_err(|source| {
        // what could not be moved is of no use to anyone
        let _ = std::fs::remove_file(&beside);
        failed(source)
    })
}

/// Today in UTC, year-month-day.
fn today() -> String {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    day_of(now.map_or(0, |since| since.as_secs() / 86_400))
}

/// The day of the (Gregorian) calendar so many days after 1970-01-01.
fn day_of(days: u64) -> String {
    let mut left = days;
    let leap = |year: u64| year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let mut year = 1970;
    loop {
        let length = if leap(year) { 366 } else { 365 };
        if left < length {
            break;
        }
        left -= length;
        year += 1;
    }
    let february = if leap(year) { 29 } else { 28 };
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if left < length {
            break;
        }
        left -= length;
        month += 1;
    }
    format!("{year:04}-{month:02}-{:02}", left + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_by_the_calendar() {
        for (days, day) in [
            (0, "1970-01-01"),
            (58, "1970-02-28"),
            (59, "1970-03-01"),
            (11_016, "2000-02-29"),
            (19_782, "2024-02-29"),
            (20_786, "2026-11-29"),
        ] {
            assert_eq!(day_of(days), day);
        }
    }
}
