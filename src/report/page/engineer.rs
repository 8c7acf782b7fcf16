//! The sheet for the engineer: findings, plots, figures with their origin, what was not checked.

use super::Asked;
use crate::advise::{Start, Verdict};
use crate::checks::Status;
use crate::checks::say::number;
use crate::report::compare::WaysOut;
use crate::report::next_step::window;
use crate::report::plot::{Picture, Plot};
use crate::report::text::{amount, course, decides, margin};
use crate::report::words::{self, sentence};
use crate::report::{Judged, Report};

pub(super) struct Sheet {
    pub(super) starts: Vec<Table>,
    pub(super) others: Vec<Other>,
    pub(super) plots: Vec<String>,
    pub(super) not_here: Vec<(String, String)>,
    pub(super) figures: Vec<Figure>,
    pub(super) not_checked: String,
    pub(super) notes: Vec<String>,
    pub(super) standards: &'static str,
    pub(super) level: &'static str,
    pub(super) answer: String,
}

/// The findings of a start.
pub(super) struct Table {
    pub(super) name: String,
    pub(super) verdict: &'static str,
    pub(super) course: String,
    pub(super) rows: Vec<Row>,
    pub(super) window: String,
    pub(super) notes: Vec<String>,
}

/// A finding.
pub(super) struct Row {
    pub(super) check: &'static str,
    pub(super) result: &'static str,
    pub(super) margin: String,
    pub(super) asked: String,
    pub(super) allowed: String,
    pub(super) why: String,
    pub(super) rule: String,
}

/// Another start of the same file.
pub(super) struct Other {
    pub(super) load: String,
    pub(super) supply: String,
    pub(super) pressure: &'static str,
    pub(super) verdict: &'static str,
}

/// A figure as it is listed.
pub(super) struct Figure {
    pub(super) of: String,
    pub(super) name: String,
    pub(super) value: String,
    pub(super) range: String,
    pub(super) unit: &'static str,
    pub(super) origin: &'static str,
    pub(super) note: String,
}

pub(super) fn sheet(report: &Report, asked: &Asked, ways: &WaysOut, pictures: &[Picture]) -> Sheet {
    let here = |j: &&Judged| j.load == asked.load && j.supply == asked.supply;
    let unchecked: Vec<&str> = report.not_checked().iter().map(|id| words::check(id)).collect();
    let of_page = |of: &str| {
        let other = |room: &str, place: usize| {
            of.strip_prefix(room).is_some_and(|rest| !rest.starts_with(&format!("[{place}]")))
        };
        !(other("load", asked.load) || other("supply", asked.supply))
    };
    Sheet {
        starts: report.starts.iter().filter(here).map(|j| table(&j.start)).collect(),
        others: report.starts.iter().filter(|j| !here(j)).map(|j| other(&j.start)).collect(),
        // the current alone stands on the customer's sheet
        plots: pictures.iter().filter(|p| p.plot != Plot::Current).map(Picture::inline).collect(),
        not_here: ways
            .not
            .iter()
            .map(|(way, why)| (sentence(crate::report::compare::name_of_way(*way)), why.clone()))
            .collect(),
        figures: report.figures.iter().filter(|f| of_page(&f.of)).map(figure).collect(),
        not_checked: unchecked.join(", "),
        notes: report.notes.clone(),
        standards: report.standards,
        level: report.level.word(),
        answer: ways.answer(),
    }
}

fn verdict(start: &Start) -> &'static str {
    match (start.verdict, start.leaning) {
        (Verdict::Uncertain, Verdict::Starts) => "uncertain; by the figures' values it starts",
        (Verdict::Uncertain, Verdict::Fails) => "uncertain; by the figures' values it fails",
        (verdict, _) => verdict.word(),
    }
}

fn pressure(start: &Start) -> &'static str {
    match start.pressure {
        _ if start.inrush => "switched on at the worst moment",
        pressure => pressure.plain(),
    }
}

fn other(start: &Start) -> Other {
    Other {
        load: start.load.clone(),
        supply: start.supply.clone(),
        pressure: pressure(start),
        verdict: verdict(start),
    }
}

fn table(start: &Start) -> Table {
    let rows = start.findings.iter().map(|finding| Row {
        check: words::check_of(start, finding.id),
        result: match finding.status {
            Status::Pass => "pass",
            Status::Uncertain => "uncertain",
            Status::Fail => "fail",
        },
        margin: margin(finding),
        asked: amount(finding.told.demand, finding.told.unit),
        allowed: amount(finding.told.limit, finding.told.unit),
        why: decides(finding),
        rule: finding.told.rule.clone(),
    });
    Table {
        name: format!(
            "{} on {}, {}: {}",
            sentence(&start.load),
            start.supply,
            pressure(start),
            start.starter
        ),
        verdict: verdict(start),
        course: course(start).unwrap_or_default(),
        rows: rows.collect(),
        window: window(start),
        notes: start.notes.clone(),
    }
}

fn figure(f: &crate::report::ListedFigure) -> Figure {
    let range =
        if f.low < f.high { format!("{} to {}", number(f.low), number(f.high)) } else { String::new() };
    Figure {
        of: f.of.clone(),
        name: f.name.clone(),
        value: number(f.value),
        range,
        unit: f.unit,
        origin: f.origin.word(),
        note: f.note.clone(),
    }
}
