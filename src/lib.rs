#![doc = include_str!("../README.md")]
#![forbid(unsafe_code)]

pub mod advise;
pub mod case;
pub mod checks;
#[doc(hidden)]
pub mod commands;
pub mod figure;
pub mod inrush;
pub mod motor;
pub mod nameplate;
pub mod numeric;
pub mod protection;
pub mod quantity;
pub mod report;
pub mod site;
pub mod standards;
pub mod start;
pub mod starter;
pub mod supply;
pub mod wiring;
