//! One test binary; modules by kind of evidence (DEVELOPERS.md).

mod cli;
mod compare;
mod experience;
mod gates;
mod laws;
mod published;
mod robust;
mod layers;
mod regress;
mod site;
mod tolerances;
