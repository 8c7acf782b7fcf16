//! NFPA 70, National Electrical Code, articles 240, 430 and 440.
//!
//! No edition stands beside the figures: they were read in published copies of several editions, from 2011 on as far as
//! those say. The tables here did not change between them as far as is known; 440.22(A) of 2023 was not looked at.

pub mod conductors;
pub mod motors;
pub mod protection;
