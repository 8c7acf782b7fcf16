//! Continuous: does the settled current stay within the supply's continuous rating and the breaker's rating?

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Path};
use crate::start::Trace;

pub(super) struct Continuous;

/// The tighter of the two: `(k, demand, limit, whose)`.
fn tightest(path: &Path, trace: &Trace) -> Option<(f64, f64, f64, &'static str)> {
    let settled = trace.settled.filter(|_| trace.starts())?;
    let supply = path
        .continuous_a
        .map(|limit| (limit / settled.supply_a, settled.supply_a, limit, "the supply's continuous rating"));
    let lowered = path.ambient.map_or(1.0, |ambient| ambient.promised);
    let whose = if lowered < 1.0 { "the breaker's rating in this heat" } else { "the breaker's rating" };
    let breaker = path
        .breaker_a
        .map(|rating| (lowered * rating / settled.line_a, settled.line_a, lowered * rating, whose));
    [supply, breaker].into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0))
}

impl Check for Continuous {
    fn id(&self) -> &'static str {
        "continuous"
    }

    fn depends_on_start(&self) -> bool {
        false
    }

    fn needs(&self, case: &Case, _path: Option<&Path>) -> Needs {
        if case.supply.continuous.is_none() && case.circuit.breaker.is_none() {
            return Needs::NotGiven;
        }
        Needs::Applies
    }

    fn has_subject(&self, path: &Path, trace: &Trace) -> bool {
        tightest(path, trace).is_some()
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        let margins = self.margins(path, trace);
        k <= 1.0 + if reading == Reading::ToFail { margins.to_fail } else { margins.modelled }
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        let margin = tightest(path, trace).map_or(f64::INFINITY, |(k, ..)| k - 1.0);
        // a breaker above its rating is no pass, but it trips for certain only beyond its slow edge
        let settled = trace.settled.filter(|_| trace.starts());
        let trips = settled.zip(path.edges.as_ref()).map(|(s, e)| e.slow.forever() / s.line_a);
        let supply = settled.zip(path.continuous_a).map(|(s, limit)| limit / s.supply_a);
        let certain = [trips, supply].into_iter().flatten().fold(f64::INFINITY, f64::min) - 1.0;
        Margins { guaranteed: margin, modelled: margin, to_fail: certain.max(margin) }
    }

    fn explain(&self, path: &Path, trace: &Trace, _margins: &Margins) -> Explanation {
        let Some((_, demand, limit, whose)) = tightest(path, trace) else { return Explanation::default() };
        let sentence = format!(
            "running takes {} A against {whose} of {} A: {}",
            say::number(demand),
            say::number(limit),
            say::difference(demand, limit, "A")
        );
        Explanation {
            sentence,
            demand: Some(demand),
            limit: Some(limit),
            unit: "A",
            at_s: None,
            rule: "settled current at most the continuous rating and 1.00 times the breaker's rating, less 0.6 % per K above its reference"
                .into(),
            why: format!("running current against {whose}, {} A", say::number(limit)),
        }
    }
}
