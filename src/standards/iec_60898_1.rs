//! IEC 60898-1, miniature circuit-breakers: time-current operating characteristics (clause 8.6.1, table 7; tests 9.10).
//!
//! Thermal points and instantaneous ranges seen in two or more published copies; upper time limits of test d seen in one;
//! conventional times from component makers' data. Reference ambient 30 C (seen).

/// Ambient temperature of the tests \[C\].
pub const REFERENCE_C: f64 = 30.0;
/// Conventional non-tripping current, multiple of In (test a).
pub const NON_TRIPPING: f64 = 1.13;
/// Conventional tripping current (test b).
pub const TRIPPING: f64 = 1.45;
/// Current of test c.
pub const TEST_C: f64 = 2.55;
/// Time below which test c must not trip \[s\].
pub const TEST_C_LEAST_S: f64 = 1.0;
/// Time within which an instantaneous trip acts \[s\].
pub const INSTANTANEOUS_S: f64 = 0.1;
/// Largest rated current of the standard \[A\].
pub const LARGEST_A: f64 = 125.0;

/// Conventional time \[s\] for a rated current \[A\]: 1 h up to 63 A, 2 h above.
pub fn conventional_time_s(rating_a: f64) -> f64 {
    if rating_a <= 63.0 { 3600.0 } else { 7200.0 }
}

/// Upper time limit of test c \[s\]: 60 s up to 32 A, 120 s above.
pub fn test_c_most_s(rating_a: f64) -> f64 {
    if rating_a <= 32.0 { 60.0 } else { 120.0 }
}

/// A tripping curve: hold and trip multiples, and the upper time limits of test d up to and above 32 A \[s\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instantaneous {
    /// Must not trip within 0.1 s up to this multiple (test d).
    pub hold: f64,
    /// Must trip within 0.1 s from this multiple (test e).
    pub trip: f64,
    /// Upper limit of test d, rated currents up to 32 A.
    pub small_s: f64,
    /// Upper limit of test d, rated currents above 32 A.
    pub large_s: f64,
}

impl Instantaneous {
    /// Upper limit of test d \[s\] for a rated current \[A\].
    pub fn test_d_most_s(&self, rating_a: f64) -> f64 {
        if rating_a <= 32.0 { self.small_s } else { self.large_s }
    }
}

/// Curve B.
pub const B: Instantaneous = Instantaneous { hold: 3.0, trip: 5.0, small_s: 45.0, large_s: 90.0 };
/// Curve C.
pub const C: Instantaneous = Instantaneous { hold: 5.0, trip: 10.0, small_s: 15.0, large_s: 30.0 };
/// Curve D.
pub const D: Instantaneous = Instantaneous { hold: 10.0, trip: 20.0, small_s: 4.0, large_s: 8.0 };

/// Preferred rated currents \[A\].
pub const PREFERRED_A: [f64; 14] =
    [6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0];

/// The least preferred rated current that is not below `a` \[A\]; `None` above 125 A.
pub fn preferred_up(a: f64) -> Option<f64> {
    super::size_up(&PREFERRED_A, a)
}

/// The largest preferred rated current that is not above `a` \[A\]; `None` below 6 A.
pub fn preferred_down(a: f64) -> Option<f64> {
    super::size_down(&PREFERRED_A, a)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_preferred_currents_add_up_and_end() {
        assert_eq!(PREFERRED_A.iter().sum::<f64>(), 588.0);
        assert_eq!((preferred_up(10.1), preferred_down(12.9)), (Some(13.0), Some(10.0)));
        assert_eq!((preferred_up(63.0), preferred_down(63.0)), (Some(63.0), Some(63.0)));
        assert_eq!((preferred_up(125.1), preferred_down(5.9)), (None, None));
    }
}
