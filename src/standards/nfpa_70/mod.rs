//! NFPA 70, National Electrical Code, articles 240, 430 and 440.
//!
//! The figures were read in published copies whose editions are not all known. An older edition had lower three-phase
//! full-load currents below 2 hp in table 430.250 (2.0, 2.8, 3.6, 5.2 A at 230 V): not those here. 440.22(A) of 2023 was not
//! looked at.

pub mod conductors;
pub mod motors;
pub mod overload;
pub mod protection;
