//! What an autotransformer does to a start, by the textbook: at a tap `x` the motor gets `x` of the voltage, torque and line
//! current are `x^2` of those straight on the line. Star-delta is the same with `x = 1/sqrt3`.
//!
//! With slip `s` at full load, and the torque at small slip in proportion to rotor current squared over slip,
//! `Tst/Tfl = x^2 (Isc/Ifl)^2 s`: `Isc` current at standstill and full voltage, `Ifl` at full load. Neglects magnetising
//! current and the change of rotor resistance with slip; an estimate. The simulation solves the circuit behind an ideal
//! transformer instead ([`Autotransformer`]).
//!
//! Source: chapter "Starting, control and testing" of a textbook seen in a public copy without its title, examples 8.1 to 8.3.

use super::{ChangeOver, Coupling, Starter};

/// An ideal autotransformer: no magnetising current, no leakage, changed over without a gap (closed transition).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Autotransformer {
    /// Share of the voltage the motor gets.
    pub tap: f64,
    /// When it changes to the full voltage.
    pub change_over: ChangeOver,
}

impl Starter for Autotransformer {
    fn coupling(&self, _t: f64, over: bool) -> Coupling {
        if over { Coupling::Series { k: 1.0 } } else { Coupling::Transformer { k: self.tap } }
    }

    fn change_over(&self) -> Option<ChangeOver> {
        Some(self.change_over)
    }
}

/// Torque at standstill over full-load torque: `x^2 (Isc/Ifl)^2 s`.
pub fn starting_torque_ratio(tap: f64, current_ratio: f64, full_load_slip: f64) -> f64 {
    (tap * current_ratio).powi(2) * full_load_slip
}

/// Tap that gives a torque at standstill, in full-load torques: `sqrt(ratio / s) / (Isc/Ifl)`. Above 1 no tap does.
///
/// ```
/// use startmargin::starter::autotransformer::tap_for_torque;
/// assert!((tap_for_torque(0.5, 5.0, 0.03) - 0.8165).abs() < 5e-5);
/// ```
pub fn tap_for_torque(torque_ratio: f64, current_ratio: f64, full_load_slip: f64) -> f64 {
    current_ratio_for_torque(torque_ratio, 1.0, full_load_slip) / current_ratio
}

/// Current at standstill and full voltage, in full-load currents, of a motor that gives a torque at a tap:
/// `sqrt(ratio / s) / x`.
pub fn current_ratio_for_torque(torque_ratio: f64, tap: f64, full_load_slip: f64) -> f64 {
    (torque_ratio / full_load_slip).sqrt() / tap
}

/// Slip at full load of a motor that gives a torque at a tap: `ratio / (x Isc/Ifl)^2`.
pub fn full_load_slip_for_torque(torque_ratio: f64, tap: f64, current_ratio: f64) -> f64 {
    torque_ratio / (tap * current_ratio).powi(2)
}

/// Line current over that straight on the line: `x^2`.
pub fn line_current_share(tap: f64) -> f64 {
    tap * tap
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn analytic_the_forms_invert_each_other() {
        let (tap, current, slip) = (0.65, 6.0, 0.04);
        let torque = starting_torque_ratio(tap, current, slip);
        assert!((tap_for_torque(torque, current, slip) - tap).abs() < 1e-12);
        assert!((current_ratio_for_torque(torque, tap, slip) - current).abs() < 1e-12);
        assert!((full_load_slip_for_torque(torque, tap, current) - slip).abs() < 1e-12);
        // common practice: 42 % of the line current on the 65 % tap
        assert!((line_current_share(tap) - 0.4225).abs() < 1e-12);
    }
}
