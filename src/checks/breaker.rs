//! Breaker: does the branch breaker ride through the start, by what it promises, by the model, and until it must trip?

use super::dose::{carries, limit, tightest_s};
use super::{Check, Explanation, MODEL_RESERVE, Margins, Needs, Reading, say};
use crate::case::{Case, Path, Pressure};
use crate::protection::BreakerStandard;
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

    fn reservation(&self, case: &Case, path: &Path, told: &Explanation) -> Option<String> {
        // asked for no more than its rating it is not near its edge, warm or cold
        let easy = told.demand.zip(path.breaker_a).is_some_and(|(asked, rating)| asked <= rating);
        if case.pressure == Pressure::Unequal && !easy {
            return Some(
                "the breaker is still warm from the run before; its warm curve is not modelled yet".into(),
            );
        }
        too_warm(case)
    }

    fn assumed(&self, path: &Path) -> bool {
        path.edges.as_ref().is_some_and(|e| e.assumed)
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        let Some(edges) = &path.edges else { return false };
        let edge = match reading {
            Reading::Guaranteed => &edges.guaranteed,
            Reading::Modelled => &edges.fast,
            Reading::ToFail => &edges.slow,
        };
        carries(edge, trace, line_a, k)
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        let demand = trace.largest_rms_a();
        let Some(edges) = &path.edges else { return Explanation::default() };
        // the reading that decides is the one whose limit is quoted
        let promised = margins.guaranteed >= 0.0;
        let (margin, curve) = if margins.to_fail < 0.0 {
            (margins.to_fail, &edges.slow)
        } else if promised || !edges.assumed {
            (margins.guaranteed, &edges.guaranteed)
        } else {
            (margins.modelled, &edges.fast)
        };
        let at_s = tightest_s(curve, trace, line_a, (1.0 + margin) * (1.0 + 1e-6));
        let multiple = path.breaker_a.map_or(0.0, |a| demand / a);
        let start = format!("{} times its rating", say::number(multiple));
        let why = if margins.to_fail < 0.0 {
            format!("{start} for longer than it can hold: it must trip")
        } else if promised && edges.assumed {
            format!("{start}: inside what its standard guarantees to hold")
        } else if promised {
            format!("{start}: inside the maker's curve")
        } else if !edges.assumed {
            format!("{start}: inside the maker's band, where it may trip")
        } else if margins.modelled >= MODEL_RESERVE {
            format!(
                "{start}: more than its standard guarantees; rests on the assumed curve between the standard's points"
            )
        } else if margins.modelled >= 0.0 {
            format!(
                "{start}: holds by less than a quarter on the assumed curve between the standard's points"
            )
        } else {
            format!("{start}: inside the band where it may trip")
        };
        let allowed = limit(curve, margin, demand);
        let verb = if margins.to_fail < 0.0 {
            "must trip beyond"
        } else if promised || !edges.assumed {
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
            rule:
                "sum of time over trip time stays below 1 (IEEE C37.112), cold breaker at reference ambient"
                    .into(),
            why,
        }
    }
}

/// An ambient above the breaker's reference: 30 C for IEC 60898-1, 40 C (the hotter of its two calibrations) for UL 489.
pub(super) fn too_warm(case: &Case) -> Option<String> {
    let ambient = case.ambient_c.as_ref()?.high.0;
    let reference = match case.circuit.breaker.as_ref()?.standard {
        BreakerStandard::Iec60898(_) => 30.0,
        BreakerStandard::Ul489 => 40.0,
    };
    (ambient > reference).then(|| {
        format!(
            "at {} C the breaker trips earlier than at its reference of {} C; not modelled yet",
            say::number(ambient),
            say::number(reference)
        )
    })
}
