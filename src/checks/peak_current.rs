//! Peak current: does the largest instantaneous current stay below the supply's cut-off, at whatever moment of the voltage the
//! load is switched on?

use std::f64::consts::SQRT_2;

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Path};
use crate::start::Trace;
use crate::supply::SupplyKind;

pub(super) struct PeakCurrent;

/// The instantaneous current that is certain to pass \[A\]: the stated cut-off, or, without one, the crest of the largest surge
/// rating.
fn limit(path: &Path) -> Option<f64> {
    path.peak_current_a.or_else(|| path.surge.last().map(|s| SQRT_2 * s.amps))
}

/// The crest a reading counts with: that of the worst closing angle, and for certain failure that of the best.
fn crest(path: &Path, trace: &Trace, reading: Reading) -> f64 {
    let [least, largest] = path.supply_peak_a(trace);
    match reading {
        Reading::Modelled if path.first_peak.is_none() => {
            path.offset_factor() * SQRT_2 * trace.largest_supply_a()
        }
        Reading::Guaranteed | Reading::Modelled => largest,
        Reading::ToFail => least,
    }
}

/// Time that the cut-off waits, where that is known and the wave too.
fn blanking(path: &Path) -> Option<f64> {
    path.peak_current_for_s.filter(|s| *s > 0.0 && path.first_peak.is_some())
}

impl Check for PeakCurrent {
    fn id(&self) -> &'static str {
        "peak-current"
    }

    fn needs(&self, case: &Case, _path: Option<&Path>) -> Needs {
        let supply = &case.supply;
        match (supply.kind, &supply.peak_current_a) {
            (_, Some(_)) => Needs::Applies,
            (SupplyKind::Inverter, None) if supply.surge.is_empty() => Needs::NotGiven,
            (SupplyKind::Inverter, None) => Needs::Applies,
            _ => Needs::Absent,
        }
    }

    fn reservation(&self, _case: &Case, path: &Path, told: &Explanation) -> Option<String> {
        let above = told.demand.zip(told.limit).is_some_and(|(asked, allowed)| asked > allowed);
        (path.peak_current_a.is_none() && above)
            .then(|| "its instantaneous cut-off is not stated, and may be higher".into())
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        let Some(limit) = limit(path) else { return false };
        // what is not stated is never sure to be passed
        if reading == Reading::ToFail && path.peak_current_a.is_none() {
            return true;
        }
        let crest = k * crest(path, trace, reading);
        let waits = blanking(path).zip(path.first_peak.as_ref());
        crest <= limit || waits.is_some_and(|(s, peak)| peak.found.time_above(limit / crest) <= s)
    }

    fn holds_start(&self, path: &Path, trace: &Trace) -> bool {
        // without a stated cut-off nothing is sure either way: that is said beside the window
        path.peak_current_a.is_none() || self.holds(path, trace, Reading::Guaranteed, 1.0)
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        let search = |reading| super::largest_factor(|k| self.holds(path, trace, reading, k)) - 1.0;
        let margin = |reading| match limit(path) {
            Some(_) if reading == Reading::ToFail && path.peak_current_a.is_none() => f64::INFINITY,
            Some(limit) if blanking(path).is_none() => limit / crest(path, trace, reading) - 1.0,
            _ => search(reading),
        };
        Margins {
            guaranteed: margin(Reading::Guaranteed),
            modelled: margin(Reading::Modelled),
            to_fail: margin(Reading::ToFail),
        }
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        let limit = limit(path).unwrap_or(0.0);
        let fails = margins.to_fail < 0.0;
        let demand = crest(path, trace, if fails { Reading::ToFail } else { Reading::Guaranteed });
        let [least, largest] = path.supply_peak_a(trace);
        let range = if say::number(least) == say::number(largest) {
            format!("crest {} A", say::number(largest))
        } else {
            format!(
                "crest between {} and {} A, by the moment of switching on",
                say::number(least),
                say::number(largest)
            )
        };
        let why = match (path.peak_current_a.is_some(), blanking(path)) {
            (true, None) => range,
            (true, Some(s)) => format!("{range}; the cut-off waits {}", say::seconds(s)),
            (false, _) => format!("{range}, against that of the largest surge rating"),
        };
        let verb = if path.peak_current_a.is_some() { "cuts off at" } else { "is sure to give" };
        let sentence = format!(
            "the {} may be asked for a crest of {} A and {verb} {} A: {}",
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
            at_s: path.first_peak.as_ref().map(|p| p.found.supply.largest.t_s),
            rule: "largest instantaneous current over all closing angles against the supply's cut-off; without one, \
                   against sqrt2 times its largest surge rating"
                .into(),
            why,
        }
    }
}
