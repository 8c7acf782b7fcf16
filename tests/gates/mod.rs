//! The gates that standards fix on a breaker's time-current plane: must-hold points hold by the guaranteed and the modelled
//! reading, must-trip points trip by the slow edge. The figures are copied here from the standards' tables once more, apart from
//! those in src/standards, so that a mistyped one shows.

mod iec_60898_1;
mod ul_489;

use startmargin::figure::{Figure, Origin};
use startmargin::numeric::curve::Curve;
use startmargin::protection::{BreakerFigures, BreakerStandard};
use startmargin::quantity::Ampere;

/// Relative width of rounding: a current that sits on a gate is the gate's.
const ROUNDING: f64 = 1e-9;

fn breaker(standard: BreakerStandard, rating: f64) -> BreakerFigures {
    BreakerFigures {
        standard,
        rating_a: Figure::exact(Ampere(rating), Origin::Nameplate),
        fast: vec![],
        slow: vec![],
        instantaneous: None,
    }
}

/// Asserts that a constant current is carried for a time: by the curve's time, and by the dose it gives.
#[track_caller]
fn holds(what: &str, curve: &Curve, amps: f64, s: f64) {
    let time = curve.time(amps);
    assert!(time >= s * (1.0 - ROUNDING), "{what}: {amps} A carried {time} s, at least {s} s");
    let dose = curve.dose(amps, amps, s);
    assert!(dose <= 1.0 + ROUNDING, "{what}: {amps} A for {s} s has a dose of {dose}");
}

/// Asserts that a constant current trips within a time. A gate's current itself may count as carried, one just above trips.
#[track_caller]
fn trips(what: &str, curve: &Curve, amps: f64, s: f64) {
    let amps = amps * (1.0 + ROUNDING);
    let time = curve.time(amps);
    assert!(time <= s * (1.0 + ROUNDING), "{what}: {amps} A carried {time} s, at most {s} s");
    let dose = curve.dose(amps, amps, s);
    assert!(dose >= 1.0 - ROUNDING, "{what}: {amps} A for {s} s has a dose of {dose}");
}
