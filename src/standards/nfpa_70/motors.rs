//! NFPA 70, article 430: code letters, full-load and locked-rotor currents.
//!
//! Tables 430.7(B), 430.248 and 430.250 seen in two or more published copies, 430.251(A) and (B) in one. Misprints go
//! round: code letter B to 3.55, 2.1 A and 3.1 A for 1/2 hp and 3/4 hp at 230 V. 430.248 has no 127 V column. The tables
//! have more columns and larger sizes than are held here.

#![allow(clippy::approx_constant, reason = "code letter A ends at 3.14 kVA/hp, which is not pi")]

use crate::standards::{OutsideTable, row};

/// A row of table 430.7(B): kVA per horsepower with locked rotor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CodeLetter {
    /// Lower end \[kVA/hp\].
    pub low: f64,
    /// Upper end \[kVA/hp\]; `None` for V.
    pub high: Option<f64>,
}

const CODE_LETTERS: [(char, f64, f64); 18] = [
    ('A', 0.0, 3.14),
    ('B', 3.15, 3.54),
    ('C', 3.55, 3.99),
    ('D', 4.0, 4.49),
    ('E', 4.5, 4.99),
    ('F', 5.0, 5.59),
    ('G', 5.6, 6.29),
    ('H', 6.3, 7.09),
    ('J', 7.1, 7.99),
    ('K', 8.0, 8.99),
    ('L', 9.0, 9.99),
    ('M', 10.0, 11.19),
    ('N', 11.2, 12.49),
    ('P', 12.5, 13.99),
    ('R', 14.0, 15.99),
    ('S', 16.0, 17.99),
    ('T', 18.0, 19.99),
    ('U', 20.0, 22.39),
];

/// Lower end of code letter V, which has no upper one.
const V_LOW: f64 = 22.4;

/// kVA per horsepower of a code letter, table 430.7(B). Small letters count as capitals.
///
/// # Errors
/// I, O, Q, W to Z and everything that is no letter.
pub fn code_letter(letter: char) -> Result<CodeLetter, OutsideTable> {
    let capital = letter.to_ascii_uppercase();
    if capital == 'V' {
        return Ok(CodeLetter { low: V_LOW, high: None });
    }
    CODE_LETTERS
        .iter()
        .find(|(name, _, _)| *name == capital)
        .map(|&(_, low, high)| CodeLetter { low, high: Some(high) })
        .ok_or(OutsideTable::CodeLetter(letter))
}

/// Single-phase full-load currents \[A\], table 430.248, at 115, 200, 208, 230 V.
const FULL_LOAD_1: [(f64, [f64; 4]); 12] = [
    (1.0 / 6.0, [4.4, 2.5, 2.4, 2.2]),
    (0.25, [5.8, 3.3, 3.2, 2.9]),
    (1.0 / 3.0, [7.2, 4.1, 4.0, 3.6]),
    (0.5, [9.8, 5.6, 5.4, 4.9]),
    (0.75, [13.8, 7.9, 7.6, 6.9]),
    (1.0, [16.0, 9.2, 8.8, 8.0]),
    (1.5, [20.0, 11.5, 11.0, 10.0]),
    (2.0, [24.0, 13.8, 13.2, 12.0]),
    (3.0, [34.0, 19.6, 18.7, 17.0]),
    (5.0, [56.0, 32.2, 30.8, 28.0]),
    (7.5, [80.0, 46.0, 44.0, 40.0]),
    (10.0, [100.0, 57.5, 55.0, 50.0]),
];

/// Three-phase full-load currents \[A\], cage motors, table 430.250, at 208, 230, 460 V.
const FULL_LOAD_3: [(f64, [f64; 3]); 18] = [
    (0.5, [2.4, 2.2, 1.1]),
    (0.75, [3.5, 3.2, 1.6]),
    (1.0, [4.6, 4.2, 2.1]),
    (1.5, [6.6, 6.0, 3.0]),
    (2.0, [7.5, 6.8, 3.4]),
    (3.0, [10.6, 9.6, 4.8]),
    (5.0, [16.7, 15.2, 7.6]),
    (7.5, [24.2, 22.0, 11.0]),
    (10.0, [30.8, 28.0, 14.0]),
    (15.0, [46.2, 42.0, 21.0]),
    (20.0, [59.4, 54.0, 27.0]),
    (25.0, [74.8, 68.0, 34.0]),
    (30.0, [88.0, 80.0, 40.0]),
    (40.0, [114.0, 104.0, 52.0]),
    (50.0, [143.0, 130.0, 65.0]),
    (60.0, [169.0, 154.0, 77.0]),
    (75.0, [211.0, 192.0, 96.0]),
    (100.0, [273.0, 248.0, 124.0]),
];

/// Single-phase locked-rotor currents \[A\], table 430.251(A), at 115, 208, 230 V.
const LOCKED_ROTOR_1: [(f64, [f64; 3]); 9] = [
    (0.5, [58.8, 32.5, 29.4]),
    (0.75, [82.8, 45.8, 41.4]),
    (1.0, [96.0, 53.0, 48.0]),
    (1.5, [120.0, 66.0, 60.0]),
    (2.0, [144.0, 80.0, 72.0]),
    (3.0, [204.0, 113.0, 102.0]),
    (5.0, [336.0, 186.0, 168.0]),
    (7.5, [480.0, 265.0, 240.0]),
    (10.0, [600.0, 332.0, 300.0]),
];

/// Polyphase locked-rotor currents \[A\], designs B, C and D, table 430.251(B), at 200, 208, 230, 460 V.
const LOCKED_ROTOR_3: [(f64, [f64; 4]); 18] = [
    (0.5, [23.0, 22.1, 20.0, 10.0]),
    (0.75, [28.8, 27.6, 25.0, 12.5]),
    (1.0, [34.5, 33.0, 30.0, 15.0]),
    (1.5, [46.0, 44.0, 40.0, 20.0]),
    (2.0, [57.5, 55.0, 50.0, 25.0]),
    (3.0, [73.6, 71.0, 64.0, 32.0]),
    (5.0, [105.8, 102.0, 92.0, 46.0]),
    (7.5, [146.0, 140.0, 127.0, 63.5]),
    (10.0, [186.3, 179.0, 162.0, 81.0]),
    (15.0, [267.0, 257.0, 232.0, 116.0]),
    (20.0, [334.0, 321.0, 290.0, 145.0]),
    (25.0, [420.0, 404.0, 365.0, 183.0]),
    (30.0, [500.0, 481.0, 435.0, 218.0]),
    (40.0, [667.0, 641.0, 580.0, 290.0]),
    (50.0, [834.0, 802.0, 725.0, 363.0]),
    (60.0, [1001.0, 962.0, 870.0, 435.0]),
    (75.0, [1248.0, 1200.0, 1085.0, 543.0]),
    (100.0, [1668.0, 1603.0, 1450.0, 725.0]),
];

/// The rated voltage of the column that serves a voltage: 110 to 120 V are 115 V, 220 to 240 V are 230 V (note to
/// 430.248, seen), 440 to 480 V are 460 V (note to 430.250, from memory); 200 V and 208 V are themselves only. The
/// locked-rotor tables name rated voltages; that the same ranges serve there is assumed.
fn column_v(volts: f64) -> Option<f64> {
    match volts {
        v if (110.0..=120.0).contains(&v) => Some(115.0),
        v if (220.0..=240.0).contains(&v) => Some(230.0),
        v if (440.0..=480.0).contains(&v) => Some(460.0),
        200.0 | 208.0 => Some(volts),
        _ => None,
    }
}

fn cell<const N: usize>(
    table: &'static str,
    columns: [f64; N],
    rows: &[(f64, [f64; N])],
    hp: f64,
    volts: f64,
) -> Result<f64, OutsideTable> {
    let column = column_v(volts).and_then(|v| columns.iter().position(|&c| c == v));
    let column = column.ok_or(OutsideTable::Voltage { table, volts })?;
    let cells = row(rows, hp).ok_or(OutsideTable::Size { table, hp })?;
    Ok(cells[column])
}

/// The table of full-load currents for a number of phases.
///
/// # Errors
/// Neither 1 nor 3 phases.
pub fn full_load_table(phases: u32) -> Result<&'static str, OutsideTable> {
    match phases {
        1 => Ok("NFPA 70 table 430.248"),
        3 => Ok("NFPA 70 table 430.250"),
        _ => Err(OutsideTable::Phases(phases)),
    }
}

/// The table of locked-rotor currents for a number of phases.
///
/// # Errors
/// Neither 1 nor 3 phases.
pub fn locked_rotor_table(phases: u32) -> Result<&'static str, OutsideTable> {
    match phases {
        1 => Ok("NFPA 70 table 430.251(A)"),
        3 => Ok("NFPA 70 table 430.251(B)"),
        _ => Err(OutsideTable::Phases(phases)),
    }
}

/// Full-load current \[A\] of a motor by size and voltage: table 430.248 for one phase, 430.250 for three.
///
/// ```
/// use startmargin::standards::nfpa_70::motors::full_load_a;
/// assert_eq!(full_load_a(1.0, 115.0, 1), Ok(16.0));
/// assert!(full_load_a(1.0, 127.0, 1).is_err());
/// ```
///
/// # Errors
/// A size between rows, a voltage without column.
pub fn full_load_a(hp: f64, volts: f64, phases: u32) -> Result<f64, OutsideTable> {
    let table = full_load_table(phases)?;
    if phases == 1 {
        cell(table, [115.0, 200.0, 208.0, 230.0], &FULL_LOAD_1, hp, volts)
    } else {
        cell(table, [208.0, 230.0, 460.0], &FULL_LOAD_3, hp, volts)
    }
}

/// Largest locked-rotor current \[A\] of a motor by size and voltage: table 430.251(A) for one phase, 430.251(B), designs
/// B, C and D, for three.
///
/// # Errors
/// A size between rows, a voltage without column.
pub fn locked_rotor_a(hp: f64, volts: f64, phases: u32) -> Result<f64, OutsideTable> {
    let table = locked_rotor_table(phases)?;
    if phases == 1 {
        cell(table, [115.0, 208.0, 230.0], &LOCKED_ROTOR_1, hp, volts)
    } else {
        cell(table, [200.0, 208.0, 230.0, 460.0], &LOCKED_ROTOR_3, hp, volts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums of the columns, in tenths, against a mistyped cell.
    fn tenths<const N: usize>(rows: &[(f64, [f64; N])]) -> Vec<i64> {
        (0..N).map(|i| rows.iter().map(|(_, c)| (c[i] * 10.0).round() as i64).sum()).collect()
    }

    #[test]
    fn the_tables_add_up() {
        assert_eq!(tenths(&FULL_LOAD_1), [3710, 2132, 2041, 1855]);
        assert_eq!(tenths(&FULL_LOAD_3), [12853, 11692, 5846]);
        assert_eq!(tenths(&LOCKED_ROTOR_1), [21216, 11733, 10608]);
        assert_eq!(tenths(&LOCKED_ROTOR_3), [76405, 73447, 66420, 33230]);
        let hundredths = |of: fn(&(char, f64, f64)) -> f64| {
            CODE_LETTERS.iter().map(|l| (of(l) * 100.0).round() as i64).sum::<i64>()
        };
        assert_eq!((hundredths(|l| l.1), hundredths(|l| l.2)), (15790, 18012));
    }

    #[test]
    fn code_letters_leave_no_gap_and_end() {
        for pair in CODE_LETTERS.windows(2) {
            assert!((pair[1].1 - pair[0].2 - 0.01).abs() < 1e-9, "{pair:?}");
        }
        assert_eq!(code_letter('a').unwrap(), CodeLetter { low: 0.0, high: Some(3.14) });
        assert_eq!(code_letter('V').unwrap(), CodeLetter { low: 22.4, high: None });
        for letter in ['I', 'O', 'Q', 'W', '1', 'ä'] {
            assert_eq!(code_letter(letter), Err(OutsideTable::CodeLetter(letter)));
        }
    }

    #[test]
    fn a_size_matches_its_row_or_none() {
        assert_eq!(full_load_a(0.17, 115.0, 1), Ok(4.4));
        assert_eq!(full_load_a(0.33, 230.0, 1), Ok(3.6));
        assert_eq!(full_load_a(10.0, 208.0, 1), Ok(55.0));
        for hp in [0.1, 0.2, 0.6, 4.0, 12.0, f64::NAN] {
            assert!(matches!(full_load_a(hp, 115.0, 1), Err(OutsideTable::Size { .. })));
        }
        assert!(locked_rotor_a(1.0 / 3.0, 115.0, 1).is_err());
        assert!(full_load_a(125.0, 460.0, 3).is_err() && full_load_a(100.0, 460.0, 3).is_ok());
        assert_eq!(full_load_a(1.0, 230.0, 2), Err(OutsideTable::Phases(2)));
    }

    #[test]
    fn a_column_serves_its_range_and_no_more() {
        for (volts, amps) in
            [(110.0, 16.0), (120.0, 16.0), (200.0, 9.2), (208.0, 8.8), (220.0, 8.0), (240.0, 8.0)]
        {
            assert_eq!(full_load_a(1.0, volts, 1), Ok(amps), "{volts} V");
        }
        for volts in [0.0, 100.0, 109.9, 120.1, 127.0, 199.0, 210.0, 219.9, 240.1, 277.0, 460.0, f64::NAN] {
            assert!(matches!(full_load_a(1.0, volts, 1), Err(OutsideTable::Voltage { .. })), "{volts} V");
        }
        assert_eq!(full_load_a(1.0, 440.0, 3), Ok(2.1));
        assert_eq!(full_load_a(1.0, 480.0, 3), Ok(2.1));
        assert!(full_load_a(1.0, 400.0, 3).is_err() && full_load_a(1.0, 115.0, 3).is_err());
        assert!(locked_rotor_a(1.0, 200.0, 1).is_err() && locked_rotor_a(1.0, 200.0, 3) == Ok(34.5));
    }
}
