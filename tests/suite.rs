//! One test binary; modules by kind of evidence (DEVELOPERS.md).

mod compare;
mod experience;
mod gates;
mod laws;
mod published;
mod robust;
mod site;
mod tolerances;
