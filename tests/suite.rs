//! One test binary; modules by kind of evidence (DEVELOPERS.md).

mod compare;
mod gates;
mod laws;
mod published;
mod site;
mod tolerances;
