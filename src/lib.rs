//! startmargin
#![deny(unsafe_code)]

pub mod advise;
pub mod case;
pub mod checks;
pub mod figure;
pub mod motor;
pub mod numeric;
pub mod standards;
pub mod start;
pub mod nameplate;
pub mod protection;
pub mod quantity;
pub mod site;
pub mod starter;
pub mod supply;
pub mod wiring;
