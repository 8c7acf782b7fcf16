//! The page to put before people: the first sheet for the customer, the second for the engineer, the third for the fitter.
//!
//! Words and layout only: what is said comes from the checks, the ways out and the readings. One file, no network, the same bytes
//! for the same input and day.

mod customer;
mod engineer;
mod fitter;

use askama::Template;

use super::compare::WaysOut;
use super::plot::{self, Plot, Subject, Told};
use super::{CAUTIONS, Report, pressures_of};
use crate::advise::ways::{Offer, Outcome, Way};
use crate::advise::{Start, Verdict};
use crate::case::Case;
use crate::site::Site;

/// What a page is made from.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Which load, by its place.
    pub load: usize,
    /// Which supply, by its place.
    pub supply: usize,
    /// The day printed on it, year-month-day; empty: left open.
    pub date: String,
    /// Whether the site is the built-in demonstration.
    pub demonstration: bool,
}

/// A page, ready to be written.
pub struct Page {
    /// Whether the load starts for certain as the site is.
    pub starts: bool,
    /// The ways out that it shows.
    pub ways: WaysOut,
    /// What its plots are about; absent where the start cannot be run.
    pub subject: Subject,
    report: Report,
    sheet: Sheet,
}

/// The figures of the page, as the template sets them.
#[derive(Template)]
#[template(path = "report.html", config = "src/report/page/askama.toml", escape = "html")]
struct Sheet {
    style: String,
    title: String,
    heading: Vec<(&'static str, String)>,
    date: String,
    load: String,
    supply: String,
    demonstration: bool,
    /// Whether there is so much to say that the customer's sheet is set smaller on paper.
    long: bool,
    customer: customer::Sheet,
    engineer: engineer::Sheet,
    fitter: fitter::Sheet,
    cautions: [&'static str; 5],
    version: &'static str,
    digest: String,
}

const STYLE: &str = include_str!("style.css");

/// More characters than these are set smaller on the first sheet, which would not hold them at its usual size (tried in print on A4
/// and Letter).
const LONG: usize = 2500;

impl Page {
    /// Judges the site and works out the page for one load on one supply. `text` is the site file, for the check number.
    pub fn new(site: &Site, text: &str, asked: &Asked, offer: Offer) -> Page {
        let mut pressures = pressures_of(&site.loads[asked.load].figures);
        pressures.sort();
        let mut report = Report::about(site, text, asked.load, asked.supply);
        report.demonstration = asked.demonstration;
        // the starts of the page are those of the report: nothing is judged twice
        let of_page = |start: &super::Judged| start.load == asked.load && start.supply == asked.supply;
        let mut starts: Vec<Start> =
            report.starts.iter().filter(|s| of_page(s)).map(|s| s.start.clone()).collect();
        starts.sort_by_key(|s| s.pressure);
        let cases: Vec<Case> = pressures.iter().map(|p| site.case(asked.load, asked.supply, *p)).collect();
        let ways = WaysOut::of(&cases[0], cases.clone(), starts.clone(), offer);
        let subject = subject(&cases, &ways);
        let pictures = plot::pictures(&subject);
        let drawn = |plot: Plot| pictures.iter().find(|p| p.plot == plot);
        let open = |value: &Option<String>| value.clone().unwrap_or_default();
        let heading = &site.heading;
        let heading = vec![
            ("Business", open(&heading.business)),
            ("Contact", open(&heading.contact)),
            ("Customer", open(&heading.customer)),
            ("Place", open(&heading.place)),
            ("Job", open(&heading.job)),
        ];
        let customer = customer::sheet(&cases, &ways, drawn(Plot::Current));
        let fields: usize = heading.iter().map(|(_, value)| value.chars().count()).sum();
        let length = report.title.chars().count() + fields + customer.length();
        let sheet = Sheet {
            style: format!("{}{STYLE}", plot::STYLE),
            title: report.title.clone(),
            heading,
            date: asked.date.clone(),
            load: cases[0].load.name.clone(),
            supply: cases[0].supply.name.clone(),
            demonstration: asked.demonstration,
            long: length > LONG,
            customer,
            engineer: engineer::sheet(&report, asked, &ways, &pictures),
            fitter: fitter::sheet(site, &cases, &ways),
            cautions: CAUTIONS,
            version: env!("CARGO_PKG_VERSION"),
            digest: report.digest.clone(),
        };
        let starts = starts.iter().all(|s| s.verdict == Verdict::Starts);
        Page { starts, ways, subject, report, sheet }
    }

    /// The page as one HTML file.
    ///
    /// # Errors
    /// Where the template cannot be filled, which its own types rule out.
    pub fn html(&self) -> Result<String, std::fmt::Error> {
        self.sheet.render().map_err(|_| std::fmt::Error)
    }

    /// The site's report that the page shows.
    pub fn report(&self) -> &Report {
        &self.report
    }
}

/// What the plots are about: the start without a starter, and beside it the one behind the starter that the site has or would
/// need.
fn subject(cases: &[Case], ways: &WaysOut) -> Subject {
    let told = |label: &str, way: Way, place: usize| {
        let row = ways.rows.iter().find(|r| r.way == way)?;
        let (case, start) = (row.change.made(cases.get(place)?), row.starts.get(place)?.clone());
        Some(Told { label: label.to_owned(), case, start })
    };
    let own = ways.rows.iter().any(|r| r.way == Way::Straight);
    let straight = if own { Way::Straight } else { Way::AsItIs };
    let soft = |row: &Outcome| row.change.starter.as_ref().is_none_or(|(_, figures)| figures.kind.soft());
    let (behind, label) = match ways.rows.iter().find(|r| r.way == Way::Starter) {
        _ if own => (Way::AsItIs, "behind its starter"),
        Some(row) if !soft(row) => (Way::Starter, "behind a starter"),
        _ => (Way::Starter, "behind a soft starter"),
    };
    let as_it_is = ways.rows.first().and_then(|r| r.starts.first());
    Subject {
        direct: told("straight on the line", straight, 0).unwrap_or_else(|| Told {
            label: "straight on the line".into(),
            case: cases[0].clone(),
            start: as_it_is.cloned().unwrap_or_else(|| crate::advise::judge_without_windows(&cases[0])),
        }),
        reduced: told(label, behind, 0),
        restart: told("straight after stopping", straight, 1),
    }
}
