//! Tables of standards, one file per standard and edition. Data only: no policy, no judgement.

pub mod iec_60034;
pub mod iec_60228;
pub mod iec_60364;
pub mod iec_60898_1;
pub mod iec_60947_4_1;
pub mod nema_mg_1;
pub mod nfpa_70;
pub mod ul_489;
pub mod ul_hermetic;

/// Whose rules apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rules {
    /// NFPA 70 and the UL standards.
    NorthAmerica,
    /// IEC standards.
    Iec,
}

impl Rules {
    /// The word the site file uses.
    pub fn word(self) -> &'static str {
        match self {
            Rules::NorthAmerica => "north-america",
            Rules::Iec => "iec",
        }
    }
}

/// Two currents nearer than this, of themselves, are the same: 1.75 x 40 A must meet the 70 A device.
const SAME: f64 = 1e-9;
/// Two sizes in horsepower nearer than this are the same: a label prints two decimals (0.33 for 1/3).
const SAME_HP: f64 = 0.005;

/// The least of `sizes` (rising) that is not below `a`; `None` above the last.
fn size_up(sizes: &[f64], a: f64) -> Option<f64> {
    sizes.iter().copied().find(|&size| size >= a * (1.0 - SAME))
}

/// The largest of `sizes` (rising) that is not above `a`; `None` below the first.
fn size_down(sizes: &[f64], a: f64) -> Option<f64> {
    sizes.iter().copied().rev().find(|&size| size <= a * (1.0 + SAME))
}

/// The row of a table by its size in horsepower; sizes between rows have none.
fn row<T: Copy>(rows: &[(f64, T)], hp: f64) -> Option<T> {
    rows.iter().find(|(size, _)| (size - hp).abs() <= SAME_HP).map(|&(_, cells)| cells)
}

/// What a table has no cell for. Between rows and beyond the ends nothing is made up.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OutsideTable {
    /// No such size.
    #[error("{table} has no row for {hp} hp")]
    Size {
        /// The standard and table.
        table: &'static str,
        /// The size asked for \[hp\].
        hp: f64,
    },
    /// No such voltage.
    #[error("{table} has no column for {volts} V")]
    Voltage {
        /// The standard and table.
        table: &'static str,
        /// The voltage asked for \[V\].
        volts: f64,
    },
    /// Not a code letter.
    #[error("{0:?} is no code letter of NFPA 70 table 430.7(B): A to V without I, O and Q")]
    CodeLetter(char),
    /// A code letter without an upper end.
    #[error("code letter {0} has no upper end in NFPA 70 table 430.7(B)")]
    OpenEnded(char),
    /// Neither one phase nor three.
    #[error("tables of NFPA 70 are for 1 or 3 phases, not {0}")]
    Phases(u32),
}
