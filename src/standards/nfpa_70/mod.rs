//! NFPA 70, the National Electrical Code: tables and rules, a file per subject.

pub mod conductors;
