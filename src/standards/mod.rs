//! Tables of standards, one file per standard and edition. Data only: no policy, no judgement.

pub mod iec_60898_1;
pub mod ul_489;
