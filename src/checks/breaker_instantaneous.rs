//! Breaker at the first peak: does its instantaneous trip let the half-cycle peaks pass, at whatever moment the load is
//! switched on? A peak counts as the rms current it is the crest of.

use std::f64::consts::SQRT_2;

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Path};
use crate::protection::AtOnce;
use crate::start::Trace;

pub(super) struct BreakerInstantaneous;

/// Time within which an instantaneous trip is certain above its threshold \[s\]: test e of IEC 60898-1, and by it the others.
const CERTAIN_WITHIN_S: f64 = crate::standards::iec_60898_1::INSTANTANEOUS_S;

/// The threshold a reading counts with, and the current it is compared with \[A rms\].
fn pair(path: &Path, trace: &Trace, reading: Reading) -> Option<(f64, f64)> {
    let AtOnce { promised_a, assumed_a, certain_a } = path.edges.as_ref()?.at_once;
    let [_, largest] = path.line_peak_a(trace);
    Some(match reading {
        Reading::Guaranteed => (promised_a, largest / SQRT_2),
        Reading::Modelled => (assumed_a, largest / SQRT_2),
        Reading::ToFail => (certain_a, sustained_a(trace)),
    })
}

/// The rms current that is flowing or exceeded for [`CERTAIN_WITHIN_S`] without a break.
fn sustained_a(trace: &Trace) -> f64 {
    let mut best: f64 = 0.0;
    for (i, first) in trace.rows.iter().enumerate() {
        let mut least = f64::INFINITY;
        for row in &trace.rows[i..] {
            least = least.min(row.line_a);
            if least <= best {
                break;
            }
            if row.t_s - first.t_s >= CERTAIN_WITHIN_S {
                best = least;
                break;
            }
        }
    }
    best
}

impl Check for BreakerInstantaneous {
    fn id(&self) -> &'static str {
        "breaker-instantaneous"
    }

    fn needs(&self, case: &Case, path: Option<&Path>) -> Needs {
        match (&case.circuit.breaker, path) {
            (None, _) => Needs::NotGiven,
            (Some(_), Some(path)) if path.edges.is_none() => Needs::Missing("circuit.breaker.slow"),
            _ => Needs::Applies,
        }
    }

    fn assumed(&self, path: &Path) -> bool {
        path.edges.as_ref().is_some_and(|e| e.at_once.assumed_a > e.at_once.promised_a)
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        pair(path, trace, reading).is_some_and(|(limit, current)| k * current <= limit)
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        let margin = |reading| {
            pair(path, trace, reading).map_or(f64::INFINITY, |(limit, current)| limit / current - 1.0)
        };
        Margins {
            guaranteed: margin(Reading::Guaranteed),
            modelled: margin(Reading::Modelled),
            to_fail: margin(Reading::ToFail),
        }
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        let fails = margins.to_fail < 0.0;
        let reading = if fails { Reading::ToFail } else { Reading::Modelled };
        let Some((limit, demand)) = pair(path, trace, reading) else { return Explanation::default() };
        let multiple = path.breaker_a.map_or(0.0, |a| demand / a);
        let times = format!("{} times its rating", say::number(multiple));
        let why = if fails {
            format!("{times} for a tenth of a second: it must trip at once")
        } else if margins.guaranteed >= 0.0 {
            format!("peaks of {times}: below its instantaneous trip at any moment of switching on")
        } else if self.assumed(path) && margins.modelled >= 0.0 {
            format!("peaks of {times}: its standard sets no instantaneous threshold; rests on the usual one")
        } else {
            format!("peaks of {times}: inside the band where it may trip at once")
        };
        let sentence = format!(
            "the {} A breaker sees peaks worth {} A and {} {} A at once: {}",
            path.breaker_a.map_or(String::new(), say::number),
            say::number(demand),
            if fails { "must trip beyond" } else { "is taken to hold" },
            say::number(limit),
            say::difference(demand, limit, "A")
        );
        Explanation {
            sentence,
            demand: Some(demand),
            limit: Some(limit),
            unit: "A",
            at_s: path.first_peak.as_ref().map(|p| p.found.line.largest.t_s),
            rule: "largest half-cycle peak over all closing angles, divided by sqrt2, against the instantaneous trip".into(),
            why,
        }
    }
}
