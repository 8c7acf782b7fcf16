//! IEC 60364, low-voltage installations: current-carrying capacity (part 5-52, tables B.52.2 and B.52.4, edition 2009), its
//! corrections (B.52.14, B.52.17), protection against overload (part 4-43, 433.1).
//!
//! The tables, the factors, the reactance and the recommended drops are from memory. 433.1 was seen in a published copy.

/// Ambient temperature of the tables, in air \[C\].
pub const REFERENCE_C: f64 = 30.0;
/// Temperature of a PVC-insulated conductor in operation \[C\].
pub const PVC_C: f64 = 70.0;

/// Voltage factor of the least fault current: what is left of the nominal voltage (60364-4-41 guidance, IEC 60909; from memory).
pub const LEAST_VOLTAGE_FACTOR: f64 = 0.95;
/// Largest rated current of a final circuit with the short disconnection time \[A\] (4-41, 411.3.2.2, with outlets; from memory).
const FINAL_CIRCUIT_A: f64 = 63.0;
/// Longest disconnection time of a larger circuit \[s\] (411.3.2.3, TN; from memory).
const DISTRIBUTION_S: f64 = 5.0;

/// Longest disconnection time \[s\] of a circuit of a voltage to earth \[V\] and a rated current \[A\]: 4-41, table 41.1, TN
/// systems, alternating current (from memory).
pub fn disconnection_s(to_earth_v: f64, rating_a: f64) -> f64 {
    match to_earth_v {
        _ if rating_a > FINAL_CIRCUIT_A => DISTRIBUTION_S,
        v if v <= 120.0 => 0.8,
        v if v <= 230.0 => 0.4,
        v if v <= 400.0 => 0.2,
        _ => 0.1,
    }
}

/// Ways of laying a cable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Insulated conductors in conduit on a wall.
    B1,
    /// Cable clipped direct.
    C,
}

/// Cross-section \[mm2\]; two loaded conductors by B1 and C, three by B1 and C \[A\]. Copper, PVC.
const COPPER_A: [(f64, [f64; 4]); 8] = [
    (1.5, [17.5, 19.5, 15.5, 17.5]),
    (2.5, [24.0, 27.0, 21.0, 24.0]),
    (4.0, [32.0, 36.0, 28.0, 32.0]),
    (6.0, [41.0, 46.0, 36.0, 41.0]),
    (10.0, [57.0, 63.0, 50.0, 57.0]),
    (16.0, [76.0, 85.0, 68.0, 76.0]),
    (25.0, [101.0, 112.0, 89.0, 96.0]),
    (35.0, [125.0, 138.0, 110.0, 119.0]),
];

/// Current-carrying capacity of PVC-insulated copper \[A\], for two or three loaded conductors; `None` outside the tables.
pub fn capacity_a(area_mm2: f64, loaded: u32, method: Method) -> Option<f64> {
    let columns = COPPER_A.iter().find(|(area, _)| *area == area_mm2)?.1;
    let first = match loaded {
        2 => 0,
        3 => 2,
        _ => return None,
    };
    columns.get(first + usize::from(method == Method::C)).copied()
}

/// Table B.52.14, PVC: factors for an ambient up to so many degrees.
const AMBIENT: [(f64, f64); 7] =
    [(30.0, 1.00), (35.0, 0.94), (40.0, 0.87), (45.0, 0.79), (50.0, 0.71), (55.0, 0.61), (60.0, 0.50)];

/// Factor for ambient temperature \[C\]; none above 1 is given below 30 C. `None` where the table ends.
pub fn ambient_factor(celsius: f64) -> Option<f64> {
    AMBIENT.iter().find(|(up_to, _)| celsius <= *up_to).map(|row| row.1)
}

/// Table B.52.17, item 1 (bunched): factors for up to so many circuits.
const GROUPED: [(f64, f64); 12] = [
    (1.0, 1.00),
    (2.0, 0.80),
    (3.0, 0.70),
    (4.0, 0.65),
    (5.0, 0.60),
    (6.0, 0.57),
    (7.0, 0.54),
    (8.0, 0.52),
    (9.0, 0.50),
    (12.0, 0.45),
    (16.0, 0.41),
    (20.0, 0.38),
];

/// Factor for circuits run together; that of 20 where there are more, which is where the table ends.
pub fn grouping_factor(circuits: f64) -> f64 {
    GROUPED.iter().find(|(up_to, _)| circuits <= *up_to).map_or(0.38, |row| row.1)
}

/// 433.1: the conventional tripping current is at most so many times what the cable carries.
pub const TRIPPING: f64 = 1.45;

/// Conventional tripping current of a gG fuse as a multiple of its rating (IEC 60269-1): 1.9 from above 4 A, 1.6 from 16 A.
/// `None` at 4 A and below.
pub fn gg_tripping(rating_a: f64) -> Option<f64> {
    if rating_a >= 16.0 { Some(1.6) } else { (rating_a > 4.0).then_some(1.9) }
}

/// Reactance per conductor where nothing better is known \[ohm/m\] (part 5-52, annex G).
pub const REACTANCE_OHM_PER_M: f64 = 0.08e-3;

/// Recommended largest voltage drop for other uses than lighting, share of the supply's (part 5-52, annex G).
pub const DROP: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_add_up_and_end() {
        // checksums against a mistyped cell
        let sum = |c: usize| COPPER_A.iter().map(|row| row.1[c]).sum::<f64>();
        assert_eq!([0, 1, 2, 3].map(sum), [473.5, 526.5, 417.5, 462.5]);
        assert_eq!(capacity_a(2.5, 2, Method::B1), Some(24.0));
        assert_eq!(capacity_a(2.5, 3, Method::C), Some(24.0));
        assert_eq!((capacity_a(50.0, 2, Method::C), capacity_a(2.5, 4, Method::C)), (None, None));
        assert_eq!([1.0, 1.5, 3.0, 10.0, 99.0].map(grouping_factor), [1.0, 0.8, 0.7, 0.45, 0.38]);
    }

    /// The factors are the square root of what is left of the temperature rise, rounded to two digits.
    #[test]
    fn ambient_factors_follow_the_rise_that_is_left() {
        for (ambient, factor) in AMBIENT {
            let left = ((PVC_C - ambient) / (PVC_C - REFERENCE_C)).sqrt();
            assert!((left - factor).abs() <= 0.0051, "{ambient} C: {factor}, {left}");
        }
        assert_eq!((ambient_factor(-5.0), ambient_factor(60.1)), (Some(1.0), None));
    }
}
