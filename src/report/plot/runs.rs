//! The starts of a subject, run once for all plots.

use std::sync::Arc;

use super::canvas::{Type, shortened};
use super::{Subject, Told};
use crate::case::Path;
use crate::checks::{ALL, Finding, Margins};
use crate::motor::given::MotorFigures;
use crate::start::{Level, Row, Trace};

/// A start that was run.
pub(super) struct Run<'a> {
    pub told: &'a Told,
    pub path: Path,
    /// One for each way the running loads may behave.
    pub traces: Vec<Trace>,
}

/// The starts of a subject; absent where they cannot be run.
pub(super) struct Runs<'a> {
    pub subject: &'a Subject,
    pub direct: Option<Run<'a>>,
    pub reduced: Option<Run<'a>>,
    pub restart: Option<Run<'a>>,
}

impl<'a> Runs<'a> {
    pub(super) fn new(subject: &'a Subject) -> Runs<'a> {
        let direct = run(&subject.direct, None);
        let fitted = direct.as_ref().and_then(|r| r.path.fit);
        let seed = fitted.map(Arc::new);
        Runs {
            subject,
            reduced: subject.reduced.as_ref().and_then(|told| run(told, seed.clone())),
            restart: subject.restart.as_ref().and_then(|told| run(told, seed)),
            direct,
        }
    }

    /// The starts there are.
    pub(super) fn all(&self) -> impl Iterator<Item = &Run<'a>> {
        [&self.direct, &self.reduced, &self.restart].into_iter().flatten()
    }

    /// A title: what the plot shows, of which load on which supply; whole, and short enough for a heading.
    pub(super) fn title(&self, shows: &str) -> [String; 2] {
        let start = &self.subject.direct.start;
        let whole = format!("{shows}: {} on {}", isolated(&start.load), isolated(&start.supply));
        let short = |name: &str, width: f64| shortened(&isolated(name), Type::Head, width);
        [whole, format!("{shows}: {} on {}", short(&start.load, 260.0), short(&start.supply, 170.0))]
    }
}

/// A name from outside, so that the direction it is written in stays its own.
pub(super) fn isolated(name: &str) -> String {
    format!("\u{2068}{}\u{2069}", name.replace(['\u{2066}', '\u{2067}', '\u{2068}', '\u{2069}'], ""))
}

fn run(told: &Told, seed: Option<Arc<crate::motor::fit::Fit>>) -> Option<Run<'_>> {
    let mut case = told.case.clone();
    case.settle_pressure();
    if let Some(MotorFigures::Plate(motor)) = &mut case.load.motor {
        // one of the same nameplate needs no fit of its own
        motor.seed = motor.seed.take().or(seed);
    }
    let mut path = Path::new(&case).ok()?;
    // where instants count, so does the moment of switching on: that of the judgement, the worst
    if path.is_inrush() || path.level == Level::Waveform {
        path.find_first_peak(&mut Trace::default());
    }
    let traces: Vec<Trace> = (0..path.variants())
        .map(|variant| {
            let mut trace = Trace::default();
            path.run(variant, &mut trace);
            trace
        })
        .filter(|trace| trace.rows.len() > 1)
        .collect();
    (!traces.is_empty()).then_some(Run { told, path, traces })
}

impl Run<'_> {
    /// The trace that asks most of the supply.
    pub(super) fn worst(&self) -> &Trace {
        let worst = self.traces.iter().max_by(|a, b| a.largest_supply_a().total_cmp(&b.largest_supply_a()));
        // there is at least one
        worst.unwrap_or(&self.traces[0])
    }

    /// The margins of a check, with the trace that has the lowest modelled one.
    pub(super) fn margins(&self, id: &str) -> Option<(Margins, &Trace)> {
        let check = ALL.iter().find(|c| c.id() == id)?;
        self.traces
            .iter()
            .map(|trace| (check.margins(&self.path, trace), trace))
            .min_by(|a, b| a.0.modelled.total_cmp(&b.0.modelled))
    }

    /// The finding among these that is worst, and of those the one with the lowest margin that is bounded.
    pub(super) fn deciding(&self, ids: &[&str]) -> Option<&Finding> {
        let margin = |f: &Finding| f.margins.map_or(f64::INFINITY, |m| m.modelled);
        let found = self.told.start.findings.iter().filter(|f| ids.contains(&f.id) && margin(f).is_finite());
        found.max_by(|a, b| a.status.cmp(&b.status).then(margin(b).total_cmp(&margin(a))))
    }

    /// Until when there is something to see of a start \[s\]: some time beyond its settling, or to the end of the attempt; and
    /// whether it settles.
    pub(super) fn end_s(&self) -> (f64, bool) {
        let trace = self.worst();
        let last = trace.rows.last().map_or(0.0, |r| r.t_s);
        let settled = trace.settling_time_s().map(|s| s.max(trace.start_duration_s.unwrap_or(0.0)));
        match settled {
            // what has no rotor settles within cycles: some more show that it has
            Some(s) if s > 0.0 => (if self.path.is_inrush() { 3.0 * s } else { 1.3 * s }, true),
            _ => (last, false),
        }
    }
}

/// Line current of the load.
pub(super) fn line_a(row: &Row) -> f64 {
    row.line_a
}

/// Line current of the supply.
pub(super) fn supply_a(row: &Row) -> f64 {
    row.supply_a
}

/// A margin in words: "14 % to spare", "must come down by 20 %".
pub(super) fn spare(margin: f64) -> String {
    let per_cent = 100.0 * margin.abs();
    let amount = if per_cent >= 999.5 { "over 999".into() } else { format!("{per_cent:.0}") };
    if margin < 0.0 && amount != "0" {
        format!("must come down by {amount} %")
    } else {
        format!("{amount} % to spare")
    }
}
