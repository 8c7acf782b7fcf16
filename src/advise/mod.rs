//! Advice: judges a start, takes the doubt of its figures into the verdict, and looks for what would make it start.
//! It varies a case over candidates handed to it and never opens the catalogue.

pub mod breakers;
mod declared;
mod judge;
mod reduction;
mod spread;
pub mod starters;

pub use judge::{Facts, Start, Verdict, judge, judge_without_windows};
pub use reduction::{Reduction, Window};
pub use spread::Doubt;

use crate::case::Path;
use crate::checks::{Check, Margins, Status};
use crate::start::Trace;

/// Runs every way the running loads may behave and hands each trace on.
fn every_variant(path: &Path, trace: &mut Trace, mut each: impl FnMut(&Trace)) {
    for variant in 0..path.variants() {
        path.run(variant, trace);
        each(trace);
    }
}

/// The status of each check, the worse of the variants deciding.
fn statuses(path: &Path, checks: &[&dyn Check], stretch: f64, trace: &mut Trace) -> Vec<Status> {
    let mut worst = vec![Status::Pass; checks.len()];
    every_variant(path, trace, |trace| {
        for (worst, check) in worst.iter_mut().zip(checks) {
            *worst = (*worst).max(check.status(path, trace, stretch));
        }
    });
    worst
}

/// The margins of each check, the lower of the variants deciding.
fn margins(path: &Path, checks: &[&dyn Check], trace: &mut Trace) -> Vec<Margins> {
    let mut lowest = vec![Margins::all(f64::INFINITY); checks.len()];
    every_variant(path, trace, |trace| {
        for (lowest, check) in lowest.iter_mut().zip(checks) {
            *lowest = lowest.min(check.margins(path, trace));
        }
    });
    lowest
}
