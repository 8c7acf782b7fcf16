//! Breaker: does the branch breaker ride through the start, by what it promises, by the model, and until it must trip?

use super::dose::{ROUNDING, Warm, carries, carries_by, limit, tightest_s};
use super::{Check, Explanation, MODEL_RESERVE, Margins, Needs, Reading, say};
use crate::case::{Case, Path};
use crate::protection::Ambient;
use crate::start::{Row, Trace};

pub(super) struct Breaker;

fn line_a(row: &Row) -> f64 {
    row.line_a
}

impl Check for Breaker {
    fn id(&self) -> &'static str {
        "breaker"
    }

    fn needs(&self, case: &Case, path: Option<&Path>) -> Needs {
        match (&case.circuit.breaker, path) {
            (None, _) => Needs::NotGiven,
            (Some(_), Some(path)) if path.edges.is_none() => Needs::Missing("circuit.breaker.slow"),
            _ => Needs::Applies,
        }
    }

    fn rests_on_duration(&self) -> bool {
        true
    }

    fn assumed(&self, path: &Path) -> bool {
        // of a warm breaker the maker's curve says nothing either
        path.edges.as_ref().is_some_and(|e| e.assumed || path.warm)
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        let Some(edges) = &path.edges else { return false };
        let warm = warm(path, trace);
        match reading {
            // the tests of the standards above it begin cold: of a warm breaker only what it carries for ever is promised
            Reading::Guaranteed if warm.is_some() => {
                let settled = trace.settled.filter(|_| trace.starts()).map_or(0.0, |row| row.line_a);
                k * trace.largest_rms_a().max(settled) <= edges.guaranteed.forever() * (1.0 + ROUNDING)
            }
            Reading::Guaranteed => carries(&edges.guaranteed, trace, line_a, k),
            Reading::Modelled => carries_by(&edges.fast, warm, trace, &line_a, k),
            // a warm breaker trips no later than a cold one; how much sooner is not certain
            Reading::ToFail => carries(&edges.slow, trace, line_a, k),
        }
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        let demand = trace.largest_rms_a();
        let Some(edges) = &path.edges else { return Explanation::default() };
        let warm = warm(path, trace);
        let assumed = self.assumed(path);
        // the reading that decides is the one whose limit is quoted
        let promised = margins.guaranteed >= 0.0;
        let (margin, curve, warmth) = if margins.to_fail < 0.0 {
            (margins.to_fail, &edges.slow, None)
        } else if promised || !assumed {
            (margins.guaranteed, &edges.guaranteed, None)
        } else {
            (margins.modelled, &edges.fast, warm)
        };
        let at_s = tightest_s(curve, warmth, trace, line_a, (1.0 + margin) * (1.0 + 1e-6));
        let multiple = path.breaker_a.map_or(0.0, |a| demand / a);
        let start = format!("{} times its rating", say::number(multiple));
        let resting = match (warm, edges.assumed) {
            (Some(_), true) => "the assumed curve between the standard's points, shortened by the run before",
            (Some(_), false) => "the maker's curve, shortened by the run before",
            (None, _) => "the assumed curve between the standard's points",
        };
        let mut why = if margins.to_fail < 0.0 {
            format!("{start} for longer than it can hold: it must trip")
        } else if promised && edges.assumed {
            format!("{start}: inside what its standard guarantees to hold")
        } else if promised {
            format!("{start}: inside the maker's curve")
        } else if !assumed {
            format!("{start}: inside the maker's band, where it may trip")
        } else if margins.modelled >= MODEL_RESERVE && warm.is_some() {
            format!("{start}: warm from the run before, of which nothing is guaranteed; rests on {resting}")
        } else if margins.modelled >= MODEL_RESERVE {
            format!("{start}: more than its standard guarantees; rests on {resting}")
        } else if margins.modelled >= 0.0 {
            format!("{start}: holds by less than a quarter on {resting}")
        } else if warm.is_some() {
            format!("{start}: warm from the run before, inside the band where it may trip")
        } else {
            format!("{start}: inside the band where it may trip")
        };
        let allowed = limit(curve, margin, demand);
        why.extend(path.ambient.as_ref().and_then(moved));
        let verb = if margins.to_fail < 0.0 {
            "must trip beyond"
        } else if promised || !assumed {
            "holds for certain"
        } else {
            "by its usual curve holds"
        };
        let sentence = format!(
            "the {} A breaker is asked for {} A and {verb} {} A for a start this long: {}",
            path.breaker_a.map_or(String::new(), say::number),
            say::number(demand),
            say::number(allowed),
            say::difference(demand, allowed, "A")
        );
        Explanation {
            sentence,
            demand: Some(demand),
            limit: Some(limit(&edges.fast, margins.modelled, demand)),
            unit: "A",
            at_s,
            rule: match warm {
                Some(warm) => format!(
                    "sum of time over trip time stays below 1 (IEEE C37.112), breaker warm from {} A (IEC 60255-149)",
                    say::number(warm.preload_a)
                ),
                None => "sum of time over trip time stays below 1 (IEEE C37.112), cold breaker".into(),
            },
            why,
        }
    }
}

/// What the breaker has carried before: straight after stopping the settled current, or the label's where there is none.
pub(crate) fn warm(path: &Path, trace: &Trace) -> Option<Warm> {
    let edges = path.edges.as_ref().filter(|_| path.warm)?;
    let settled = trace.settled.map(|row| row.line_a);
    let preload_a = settled.or(path.rated_load_a).or(path.breaker_a)?;
    Some(Warm { preload_a, at_once_a: edges.at_once.assumed_a })
}

/// What the ambient does to a breaker, in words that go on.
fn moved(ambient: &Ambient) -> Option<String> {
    (ambient.promised < 1.0).then(|| {
        let lower = |factor: f64| say::number(100.0 * (1.0 - factor));
        let (least, most) = (lower(ambient.modelled), lower(ambient.promised));
        format!("; at {} C it trips at {least} to {most} % less current", say::number(ambient.celsius))
    })
}
