//! NFPA 70 on conductors: ampacity (table 310.16, edition 2011 and later), its corrections, small conductors (240.4(D)),
//! resistance (chapter 9, table 8), sizes for motors (430.22, 430.52, 440.22, 440.32, 440.35).
//!
//! Seen in two or more published copies: the copper columns of 310.16, 240.4(D), the percentages of 430.52 and 440.22. Seen in one:
//! chapter 9 table 8, 430.22, 440.35. From memory: the aluminium columns, the factors for ambient and grouping, 110.14(C),
//! 18 and 16 AWG of table 8, the temperature coefficients, the recommended voltage drops.

/// A gauge with three figures: at 60, 75 and 90 C.
type Columns = (&'static str, [f64; 3]);

/// Temperatures of the columns of table 310.16 \[C\].
pub const COLUMNS_C: [f64; 3] = [60.0, 75.0, 90.0];

/// Ambient temperature of table 310.16 \[C\].
pub const REFERENCE_C: f64 = 30.0;

/// Table 310.16, copper, not more than three loaded conductors, 30 C ambient \[A\].
const COPPER_A: [Columns; 13] = [
    ("14", [15.0, 20.0, 25.0]),
    ("12", [20.0, 25.0, 30.0]),
    ("10", [30.0, 35.0, 40.0]),
    ("8", [40.0, 50.0, 55.0]),
    ("6", [55.0, 65.0, 75.0]),
    ("4", [70.0, 85.0, 95.0]),
    ("3", [85.0, 100.0, 110.0]),
    ("2", [95.0, 115.0, 130.0]),
    ("1", [110.0, 130.0, 145.0]),
    ("1/0", [125.0, 150.0, 170.0]),
    ("2/0", [145.0, 175.0, 195.0]),
    ("3/0", [165.0, 200.0, 225.0]),
    ("4/0", [195.0, 230.0, 260.0]),
];

/// The same of aluminium (from memory).
const ALUMINIUM_A: [Columns; 12] = [
    ("12", [15.0, 20.0, 25.0]),
    ("10", [25.0, 30.0, 35.0]),
    ("8", [35.0, 40.0, 45.0]),
    ("6", [40.0, 50.0, 55.0]),
    ("4", [55.0, 65.0, 75.0]),
    ("3", [65.0, 75.0, 85.0]),
    ("2", [75.0, 90.0, 100.0]),
    ("1", [85.0, 100.0, 115.0]),
    ("1/0", [100.0, 120.0, 135.0]),
    ("2/0", [115.0, 135.0, 150.0]),
    ("3/0", [130.0, 155.0, 175.0]),
    ("4/0", [150.0, 180.0, 205.0]),
];

/// The column for a temperature \[C\]: the hottest one that is not above it.
pub fn column(celsius: f64) -> Option<usize> {
    COLUMNS_C.iter().rposition(|c| *c <= celsius)
}

/// Table 310.16 \[A\]: `None` for a gauge it does not list.
pub fn ampacity_a(awg: &str, aluminium: bool, column: usize) -> Option<f64> {
    let table: &[Columns] = if aluminium { &ALUMINIUM_A } else { &COPPER_A };
    table.iter().find(|(gauge, _)| *gauge == awg)?.1.get(column).copied()
}

/// Factors for an ambient up to so many degrees, by column; 0 where the table has none (from memory).
const AMBIENT: [(f64, [f64; 3]); 12] = [
    (30.0, [1.00, 1.00, 1.00]),
    (35.0, [0.91, 0.94, 0.96]),
    (40.0, [0.82, 0.88, 0.91]),
    (45.0, [0.71, 0.82, 0.87]),
    (50.0, [0.58, 0.75, 0.82]),
    (55.0, [0.41, 0.67, 0.76]),
    (60.0, [0.0, 0.58, 0.71]),
    (65.0, [0.0, 0.47, 0.65]),
    (70.0, [0.0, 0.33, 0.58]),
    (75.0, [0.0, 0.0, 0.50]),
    (80.0, [0.0, 0.0, 0.41]),
    (85.0, [0.0, 0.0, 0.29]),
];

/// Factor for ambient temperature \[C\]; none above 1 is given below 30 C. `None` where the table ends.
pub fn ambient_factor(celsius: f64, column: usize) -> Option<f64> {
    let row = AMBIENT.iter().find(|(up_to, _)| celsius <= *up_to)?;
    row.1.get(column).copied().filter(|factor| *factor > 0.0)
}

/// Factor for loaded conductors run together, table 310.15(C)(1) (from memory).
pub fn grouping_factor(conductors: f64) -> f64 {
    match conductors {
        n if n <= 3.0 => 1.0,
        n if n <= 6.0 => 0.80,
        n if n <= 9.0 => 0.70,
        n if n <= 20.0 => 0.50,
        n if n <= 30.0 => 0.45,
        n if n <= 40.0 => 0.40,
        _ => 0.35,
    }
}

/// Temperature of terminals that are not marked \[C\], 110.14(C)(1): 60 C for 14 to 1 AWG, else 75 C (from memory).
pub fn unmarked_terminal_c(awg: &str) -> f64 {
    if awg.contains('/') { 75.0 } else { 60.0 }
}

/// 240.4(D): the largest overcurrent device of a small conductor \[A\]; `None` for sizes it does not limit.
pub fn small_conductor_a(awg: &str, aluminium: bool) -> Option<f64> {
    match (awg, aluminium) {
        ("18", false) => Some(7.0),
        ("16", false) => Some(10.0),
        ("14", false) | ("12", true) => Some(15.0),
        ("12", false) => Some(20.0),
        ("10", true) => Some(25.0),
        ("10", false) => Some(30.0),
        _ => None,
    }
}

/// Temperature of chapter 9 table 8 \[C\].
pub const TABLE_8_C: f64 = 75.0;
/// Temperature coefficient of copper in table 8 \[1/K\], about 75 C.
pub const COPPER_PER_K: f64 = 0.003_23;
/// The same of aluminium.
pub const ALUMINIUM_PER_K: f64 = 0.003_30;

/// Chapter 9 table 8: uncoated copper at 75 C, solid and stranded \[ohm per 1000 ft\]; larger sizes have one figure.
#[allow(clippy::approx_constant)] // 3.14 ohm is what the table says of 14 AWG
const TABLE_8: [(&str, f64, f64); 15] = [
    ("18", 7.77, 7.95),
    ("16", 4.89, 4.99),
    ("14", 3.07, 3.14),
    ("12", 1.93, 1.98),
    ("10", 1.21, 1.24),
    ("8", 0.764, 0.778),
    ("6", 0.491, 0.491),
    ("4", 0.308, 0.308),
    ("3", 0.245, 0.245),
    ("2", 0.194, 0.194),
    ("1", 0.154, 0.154),
    ("1/0", 0.122, 0.122),
    ("2/0", 0.0967, 0.0967),
    ("3/0", 0.0766, 0.0766),
    ("4/0", 0.0608, 0.0608),
];

/// Metres in 1000 ft.
pub const M_PER_KFT: f64 = 304.8;

/// The gauges of table 8.
pub fn gauges() -> impl Iterator<Item = &'static str> {
    TABLE_8.iter().map(|row| row.0)
}

/// Resistance of uncoated copper at 75 C, solid and stranded \[ohm/m\]; `None` for a gauge that is not listed.
pub fn resistance_ohm_per_m(awg: &str) -> Option<[f64; 2]> {
    let row = TABLE_8.iter().find(|row| row.0 == awg)?;
    Some([row.1 / M_PER_KFT, row.2 / M_PER_KFT])
}

/// Recommended largest voltage drop in the branch circuit, share of the supply's (210.19, informational note; from memory).
pub const DROP_BRANCH: f64 = 0.03;
/// The same over feeder and branch circuit together.
pub const DROP_TOTAL: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_add_up_and_end() {
        // checksums against a mistyped cell, added up by hand from the printed columns
        let sum = |table: &[Columns], c: usize| table.iter().map(|row| row.1[c]).sum::<f64>();
        assert_eq!([0, 1, 2].map(|c| sum(&COPPER_A, c)), [1150.0, 1380.0, 1555.0]);
        assert_eq!([0, 1, 2].map(|c| sum(&ALUMINIUM_A, c)), [890.0, 1060.0, 1200.0]);
        let stranded: f64 = TABLE_8.iter().map(|row| row.2).sum();
        assert!((stranded - 21.8261).abs() < 1e-9, "{stranded}");
        assert_eq!(ampacity_a("16", false, 0), None);
        assert_eq!(ampacity_a("14", true, 0), None);
        assert_eq!(ampacity_a("12", false, 3), None);
        assert_eq!(resistance_ohm_per_m("13"), None);
        assert_eq!(small_conductor_a("8", false), None);
    }

    /// The factors are the square root of what is left of the temperature rise, rounded to two digits.
    #[test]
    fn ambient_factors_follow_the_rise_that_is_left() {
        for (ambient, factors) in AMBIENT {
            for (limit, factor) in COLUMNS_C.into_iter().zip(factors) {
                let left = ((limit - ambient) / (limit - REFERENCE_C)).max(0.0).sqrt();
                assert!(
                    (left - factor).abs() <= 0.0051,
                    "{ambient} C in the {limit} C column: {factor}, {left}"
                );
            }
        }
        assert_eq!(ambient_factor(20.0, 0), Some(1.0));
        assert_eq!(ambient_factor(30.1, 1), Some(0.94));
        assert_eq!((ambient_factor(58.0, 0), ambient_factor(86.0, 2)), (None, None));
    }

    #[test]
    fn columns_and_steps() {
        assert_eq!([59.0, 60.0, 74.9, 75.0, 105.0].map(column), [None, Some(0), Some(0), Some(1), Some(2)]);
        assert_eq!([3.0, 4.0, 7.0, 10.0, 21.0, 50.0].map(grouping_factor), [1.0, 0.8, 0.7, 0.5, 0.45, 0.35]);
    }
}
