//! Tables of standards, one file per standard and edition. Data only: no policy, no judgement.

pub mod iec_60228;
pub mod iec_60364;
pub mod iec_60898_1;
pub mod nfpa_70;
pub mod ul_489;

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
