//! IEC 60228, conductors of insulated cables: largest direct-current resistance at 20 C, plain copper.
//!
//! Classes 1 and 2 (solid, stranded) and 5 (flexible) from 1.5 mm2 seen in two or more published copies; below from memory.

/// Temperature of the table \[C\].
pub const REFERENCE_C: f64 = 20.0;
/// Temperature coefficient of copper about 20 C \[1/K\] (from memory).
pub const COPPER_PER_K: f64 = 0.003_93;
/// The same of aluminium (from memory).
pub const ALUMINIUM_PER_K: f64 = 0.004_03;

/// Cross-section \[mm2\], classes 1 and 2, class 5 \[ohm/km\].
const TABLE: [(f64, f64, f64); 14] = [
    (0.5, 36.0, 39.0),
    (0.75, 24.5, 26.0),
    (1.0, 18.1, 19.5),
    (1.5, 12.1, 13.3),
    (2.5, 7.41, 7.98),
    (4.0, 4.61, 4.95),
    (6.0, 3.08, 3.30),
    (10.0, 1.83, 1.91),
    (16.0, 1.15, 1.21),
    (25.0, 0.727, 0.780),
    (35.0, 0.524, 0.554),
    (50.0, 0.387, 0.386),
    (70.0, 0.268, 0.272),
    (95.0, 0.193, 0.206),
];

/// The cross-sections of the table \[mm2\].
pub fn areas_mm2() -> impl Iterator<Item = f64> {
    TABLE.iter().map(|row| row.0)
}

/// Largest resistance of plain copper at 20 C, classes 1 and 2, class 5 \[ohm/m\]; `None` for a size that is not listed.
pub fn resistance_ohm_per_m(area_mm2: f64) -> Option<[f64; 2]> {
    let row = TABLE.iter().find(|row| row.0 == area_mm2)?;
    Some([row.1 * 1e-3, row.2 * 1e-3])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_adds_up_and_ends() {
        // checksums against a mistyped cell
        let sum = |of: fn(&(f64, f64, f64)) -> f64| TABLE.iter().map(of).sum::<f64>();
        assert!((sum(|r| r.1) - 110.879).abs() < 1e-9, "{}", sum(|r| r.1));
        assert!((sum(|r| r.2) - 119.348).abs() < 1e-9, "{}", sum(|r| r.2));
        assert_eq!(resistance_ohm_per_m(3.0), None);
        assert_eq!(resistance_ohm_per_m(120.0), None);
    }
}
