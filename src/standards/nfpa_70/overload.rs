//! NFPA 70: limits of overload protection, as multiples of full-load or rated-load current (430.32, 440.52).
//!
//! Seen in published copies unless a constant says "from memory". Continuous duty.

use crate::standards::ul_hermetic::MCC_OVER_RATED_LOAD;

/// Overload device of a motor with a service factor of 1.15 or more or a rise of 40 C or less, 430.32(A)(1).
pub const DEVICE_COOL: f64 = 1.25;
/// Overload device of all other motors, 430.32(A)(1).
pub const DEVICE: f64 = 1.15;
/// The same where the motor will not start or carry its load on [`DEVICE_COOL`], 430.32(C) (from memory).
pub const STEPPED_UP_COOL: f64 = 1.40;
/// The same for all other motors, 430.32(C) (from memory).
pub const STEPPED_UP: f64 = 1.30;
/// Ultimate trip current of a thermal protector inside a motor of up to 9 A, up to 20 A, above, 430.32(A)(2).
pub const THERMAL_PROTECTOR: [(f64, f64); 3] = [(9.0, 1.70), (20.0, 1.56), (f64::INFINITY, 1.40)];
/// Trip current of a hermetic motor's overload relay, 440.52(A)(1).
pub const HERMETIC_RELAY: f64 = 1.40;
/// Fuse or inverse-time breaker that serves as overload protection of a hermetic motor, 440.52(A)(3) (from memory).
pub const HERMETIC_DEVICE: f64 = 1.25;
/// Continuous current that a hermetic motor's protector may let through, 440.52(B), of the larger of rated-load and
/// branch-circuit selection current.
pub const HERMETIC_PROTECTOR: f64 = MCC_OVER_RATED_LOAD;

/// The multiple of [`THERMAL_PROTECTOR`] for a full-load current \[A\].
pub fn thermal_protector(full_load_a: f64) -> f64 {
    THERMAL_PROTECTOR.iter().find(|(most, _)| full_load_a <= *most).map_or(1.40, |(_, times)| *times)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_at_their_edges() {
        assert_eq!([9.0, 9.1, 20.0, 20.1].map(thermal_protector), [1.70, 1.56, 1.56, 1.40]);
        assert_eq!([DEVICE_COOL, DEVICE, STEPPED_UP_COOL, STEPPED_UP], [1.25, 1.15, 1.40, 1.30]);
        assert_eq!([HERMETIC_RELAY, HERMETIC_DEVICE, HERMETIC_PROTECTOR], [1.40, 1.25, 1.56]);
        assert_eq!(thermal_protector(f64::NAN), 1.40);
    }
}
