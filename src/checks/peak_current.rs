//! Peak current: does the first peak stay below the supply's instantaneous cut-off? At the envelope level by bounds: no
//! less than the steady peak at standstill, no more than a fully offset one.

use std::f64::consts::SQRT_2;

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Hookup, Path};
use crate::start::Trace;

pub(super) struct PeakCurrent;

/// Largest first peak over sqrt2 times the rms current at standstill, kappa = 1.02 + 0.98 exp(-3 R/X) (docs/models.md).
///
/// Within 2 % for three-phase cage motors. For a single-phase motor no less than 1.1, which covers the two published cases at
/// hand and is no proof for others.
pub(crate) fn offset_factor(path: &Path) -> f64 {
    let x_over_r = path.stalled_x_over_r();
    let kappa = if x_over_r > 0.0 { 1.02 + 0.98 * (-3.0 / x_over_r).exp() } else { 1.0 };
    if path.hookup == Hookup::ThreePhase { kappa } else { kappa.max(1.1) }
}

fn factor(path: &Path, reading: Reading) -> f64 {
    match reading {
        Reading::Guaranteed => 2.0,
        Reading::Modelled => offset_factor(path),
        Reading::ToFail => 1.0,
    }
}

impl Check for PeakCurrent {
    fn id(&self) -> &'static str {
        "peak-current"
    }

    fn needs(&self, case: &Case, _path: Option<&Path>) -> Needs {
        match (case.supply.kind, &case.supply.peak_current_a) {
            (_, Some(_)) => Needs::Applies,
            (crate::supply::SupplyKind::Inverter, None) => Needs::NotGiven,
            _ => Needs::Absent,
        }
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        let Some(limit) = path.peak_current_a else { return false };
        k * SQRT_2 * factor(path, reading) * trace.largest_supply_a() <= limit
    }

    fn holds_start(&self, path: &Path, trace: &Trace) -> bool {
        // the peak itself is not modelled yet: only certain failure counts against a reduction
        self.holds(path, trace, Reading::ToFail, 1.0)
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        let limit = path.peak_current_a.unwrap_or(0.0);
        let margin = |reading| limit / (SQRT_2 * factor(path, reading) * trace.largest_supply_a()) - 1.0;
        Margins {
            guaranteed: margin(Reading::Guaranteed),
            modelled: margin(Reading::Modelled),
            to_fail: margin(Reading::ToFail),
        }
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        let steady = SQRT_2 * trace.largest_supply_a();
        let limit = path.peak_current_a.unwrap_or(0.0);
        let (demand, why) = if margins.guaranteed >= 0.0 {
            (2.0 * steady, "even a fully offset first peak stays below the cut-off".to_owned())
        } else if margins.to_fail < 0.0 {
            (steady, "the peaks of the locked-rotor current exceed the cut-off".to_owned())
        } else {
            let worst = offset_factor(path) * steady;
            (
                worst,
                format!(
                    "first peak between {} and {} A, depending on the moment of switching; its waveform is not modelled yet",
                    say::number(steady),
                    say::number(2.0 * steady)
                ),
            )
        };
        let sentence = format!(
            "the {} may be asked for a peak of {} A and cuts off at {} A: {}",
            path.supply_words(),
            say::number(demand),
            say::number(limit),
            say::difference(demand, limit, "A")
        );
        Explanation {
            sentence,
            demand: Some(demand),
            limit: Some(limit),
            unit: "A",
            at_s: Some(0.0),
            rule: "first peak, instantaneous, against the supply's stated cut-off; bounds sqrt2 and 2 sqrt2 times the rms current"
                .into(),
            why,
        }
    }
}
