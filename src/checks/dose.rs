//! The dynamic rule (IEEE C37.112): a device operates when the integral of dt / T(I) reaches 1.

use crate::numeric::curve::Curve;
use crate::protection::hot_share;
use crate::start::{Row, Trace};

/// What a device has carried before the start.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Warm {
    /// For long \[A\].
    pub preload_a: f64,
    /// Above it the device acts by its magnet, which feels no warmth \[A\].
    pub at_once_a: f64,
}

/// The dose of one step between two currents; `warm` is already multiplied by what the currents are.
pub(crate) fn step(curve: &Curve, warm: Option<Warm>, a: f64, b: f64, dt: f64) -> f64 {
    let dose = curve.dose(a, b, dt);
    match warm {
        // the larger current has the smaller share of its time left: that is the safe end of a step
        Some(warm) if dose > 0.0 && a.min(b) <= warm.at_once_a => {
            dose / hot_share(a.max(b).min(warm.at_once_a), warm.preload_a, curve.forever())
        }
        _ => dose,
    }
}

/// Whether a curve carries `k` times the whole start, its settled current for ever after.
pub(super) fn carries(curve: &Curve, trace: &Trace, current: fn(&Row) -> f64, k: f64) -> bool {
    carries_by(curve, None, trace, &current, k)
}

/// The same with a current that hangs on more than the row, and a device that may be warm: what it carried counts `k` times too.
pub(super) fn carries_by(
    curve: &Curve,
    warm: Option<Warm>,
    trace: &Trace,
    current: &dyn Fn(&Row) -> f64,
    k: f64,
) -> bool {
    if trace.starts()
        && let Some(settled) = &trace.settled
        && k * current(settled) > curve.forever() * (1.0 + ROUNDING)
    {
        return false;
    }
    let warm = warm.map(|warm| Warm { preload_a: k * warm.preload_a, ..warm });
    let mut dose = 0.0;
    for pair in trace.rows.windows(2) {
        let dt = pair[1].t_s - pair[0].t_s;
        // a level that sits on a limit counts as within it: rounding must not decide
        let level = |row: &Row| k * current(row) * (1.0 - ROUNDING);
        dose += step(curve, warm, level(&pair[0]), level(&pair[1]), dt);
        if dose >= 1.0 {
            return false;
        }
    }
    true
}

/// The moment at which the dose at `k` reaches 1, or, short of that, of the largest current.
pub(super) fn tightest_s(
    curve: &Curve,
    warm: Option<Warm>,
    trace: &Trace,
    current: fn(&Row) -> f64,
    k: f64,
) -> Option<f64> {
    let warm = warm.map(|warm| Warm { preload_a: k * warm.preload_a, ..warm });
    let mut dose = 0.0;
    for pair in trace.rows.windows(2) {
        let dt = pair[1].t_s - pair[0].t_s;
        dose += step(curve, warm, k * current(&pair[0]), k * current(&pair[1]), dt);
        if dose >= 1.0 {
            return Some(pair[1].t_s);
        }
    }
    let largest = trace.rows.iter().max_by(|a, b| current(a).total_cmp(&current(b)))?;
    Some(largest.t_s)
}

/// What a margin makes of a demand \[A\]; what the curve carries for ever where it leaves the demand unbounded.
pub(super) fn limit(curve: &Curve, margin: f64, demand: f64) -> f64 {
    if margin.is_finite() { (1.0 + margin) * demand } else { curve.forever() }
}

/// Total time the current times `k` spends above a level \[s\].
pub(crate) fn time_above(trace: &Trace, current: fn(&Row) -> f64, k: f64, level: f64) -> f64 {
    trace
        .rows
        .windows(2)
        .map(|pair| {
            let (a, b) = (k * current(&pair[0]), k * current(&pair[1]));
            let dt = pair[1].t_s - pair[0].t_s;
            let (low, high) = (a.min(b), a.max(b));
            if low > level {
                dt
            } else if high > level {
                dt * (high - level) / (high - low)
            } else {
                0.0
            }
        })
        .sum()
}

/// Relative width within which a current counts as sitting on a limit.
pub(super) const ROUNDING: f64 = 1e-9;
