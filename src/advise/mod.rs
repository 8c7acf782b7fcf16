//! Advice: judges a start, takes the doubt of its figures into the verdict, and looks for what would make it start.
//! It varies a case over candidates handed to it and never opens the catalogue.

mod judge;
mod reduction;
mod spread;

pub use judge::{Facts, Start, Verdict, judge};
pub use reduction::{Reduction, Window};
pub use spread::Doubt;

use crate::case::Path;
use crate::checks::{Check, Margins, Status};
use crate::start::Trace;

/// Runs every way the running loads may behave and hands each trace on; beside it, for what is no induction motor, that of the
/// gentlest closing angle: only what fails there too is sure to fail.
fn every_variant(path: &Path, trace: &mut Trace, mut each: impl FnMut(&Trace, Option<&Trace>)) {
    let mut gentle = Trace::default();
    for variant in 0..path.variants() {
        path.run(variant, trace);
        let gentle = path.run_gently(variant, &mut gentle).then_some(&gentle);
        each(trace, gentle);
    }
}

/// The status of a check, which fails only if it fails at the gentlest closing angle too.
fn status(check: &dyn Check, path: &Path, both: (&Trace, Option<&Trace>), stretch: f64) -> Status {
    let status = check.status(path, both.0, stretch);
    match both.1 {
        Some(gentle) if status == Status::Fail && check.status(path, gentle, stretch) != Status::Fail => {
            Status::Uncertain
        }
        _ => status,
    }
}

/// The margins of a check, that to certain failure at the gentlest closing angle.
fn margins_of(check: &dyn Check, path: &Path, (trace, gentle): (&Trace, Option<&Trace>)) -> Margins {
    let mut margins = check.margins(path, trace);
    if let Some(gentle) = gentle {
        margins.to_fail = margins.to_fail.max(check.margins(path, gentle).to_fail);
    }
    margins
}

/// The status of each check, the worse of the variants deciding.
fn statuses(path: &Path, checks: &[&dyn Check], stretch: f64, trace: &mut Trace) -> Vec<Status> {
    let mut worst = vec![Status::Pass; checks.len()];
    every_variant(path, trace, |trace, gentle| {
        for (worst, check) in worst.iter_mut().zip(checks) {
            *worst = (*worst).max(status(*check, path, (trace, gentle), stretch));
        }
    });
    worst
}

/// The margins of each check, the lower of the variants deciding.
fn margins(path: &Path, checks: &[&dyn Check], trace: &mut Trace) -> Vec<Margins> {
    let mut lowest = vec![Margins::all(f64::INFINITY); checks.len()];
    every_variant(path, trace, |trace, gentle| {
        for (lowest, check) in lowest.iter_mut().zip(checks) {
            *lowest = lowest.min(margins_of(*check, path, (trace, gentle)));
        }
    });
    lowest
}
