//! One test binary; modules by kind of evidence (DEVELOPERS.md).

mod compare;
mod published;
mod site;
mod tolerances;
