//! The gates that standards fix on a breaker's time-current plane: docs/validation.md holds the times, here are the doses of
//! constant currents at the same gates and what lies between them.

mod iec_60898_1;
pub mod iec_60947_4_1;
mod ul_489;

use startmargin::numeric::curve::Curve;

use crate::validation::cases::gates::{Gate, Must, ROUNDING};

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

/// The same of every gate, by every curve that counts for it.
fn doses(gates: &[Gate]) {
    assert!(gates.len() > 300, "{} gates", gates.len());
    for gate in gates {
        let [volts, hz] = gate.supply;
        let edges = gate.breaker.edges(volts, hz).unwrap();
        let what = format!("{}, {:?} {} A", gate.test, gate.breaker.standard, gate.breaker.rating_a.value.0);
        match gate.must {
            Must::Trip => trips(&what, &edges.slow, gate.amps, gate.s),
            must => {
                holds(&what, &edges.guaranteed, gate.amps, gate.s);
                holds(&what, &edges.fast, gate.amps, gate.s);
                if must == Must::HoldByAll {
                    holds(&what, &edges.slow, gate.amps, gate.s);
                }
            }
        }
    }
}
