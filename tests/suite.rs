//! One test binary; modules by kind of evidence (DEVELOPERS.md).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod catalogue;
mod choose;
mod cli;
mod compare;
mod experience;
mod fit;
mod gates;
mod inrush;
mod laws;
mod layers;
mod measured;
mod page;
mod plots;
mod published;
mod regress;
mod robust;
mod site;
mod tolerances;
mod validation;
mod waveform;
