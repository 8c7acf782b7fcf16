//! Advice: judges a start, takes the doubt of its figures into the verdict, and looks for what would make it start.
//! It varies a case over candidates handed to it and never opens the catalogue.

pub mod breakers;
mod declared;
mod judge;
pub mod prices;
pub mod readings;
mod reduction;
mod spread;
pub mod starters;
pub mod supplies;
pub mod ways;

pub use judge::{Facts, Start, Verdict, judge, judge_without_windows};
pub use reduction::{Reduction, Window};
pub use spread::Doubt;

use crate::case::Path;
use crate::checks::{Check, Margins, Status};
use crate::start::Trace;

/// Runs every way the running loads may behave and hands each trace on; beside it, for what is no induction motor, that of the
/// gentlest closing angle: only what fails there too is sure to fail.
fn every_variant(path: &Path, trace: &mut Trace, mut each: impl FnMut(&Trace, &mut Gentle<'_>)) {
    for variant in 0..path.variants() {
        path.run(variant, trace);
        each(trace, &mut Gentle { path, variant, run: None });
    }
}

/// The start at the gentlest closing angle, run when it is first asked for.
struct Gentle<'a> {
    path: &'a Path,
    variant: usize,
    run: Option<Trace>,
}

impl Gentle<'_> {
    /// `None` for an induction motor.
    fn trace(&mut self) -> Option<&Trace> {
        if self.run.is_none() && self.path.is_inrush() {
            let mut trace = Trace::default();
            self.path.run_gently(self.variant, &mut trace);
            self.run = Some(trace);
        }
        self.run.as_ref()
    }
}

/// The status of a check, which fails only if it fails at the gentlest closing angle too.
fn status(check: &dyn Check, trace: &Trace, gentle: &mut Gentle<'_>, stretch: f64) -> Status {
    let path = gentle.path;
    let status = check.status(path, trace, stretch);
    if status != Status::Fail {
        return status;
    }
    match gentle.trace() {
        Some(gentle) if check.status(path, gentle, stretch) != Status::Fail => Status::Uncertain,
        _ => status,
    }
}

/// The margins of a check, that to certain failure at the gentlest closing angle.
fn margins_of(check: &dyn Check, trace: &Trace, gentle: &mut Gentle<'_>) -> Margins {
    let path = gentle.path;
    let mut margins = check.margins(path, trace);
    if let Some(gentle) = gentle.trace() {
        margins.to_fail = margins.to_fail.max(check.margins(path, gentle).to_fail);
    }
    margins
}

/// The status of each check, the worse of the variants deciding.
fn statuses(path: &Path, checks: &[&dyn Check], stretch: f64, trace: &mut Trace) -> Vec<Status> {
    let mut worst = vec![Status::Pass; checks.len()];
    every_variant(path, trace, |trace, gentle| {
        for (worst, check) in worst.iter_mut().zip(checks) {
            *worst = (*worst).max(status(*check, trace, gentle, stretch));
        }
    });
    worst
}

/// The margins of each check at the worst closing angle, the lower of the variants deciding.
fn margins(path: &Path, checks: &[&dyn Check], trace: &mut Trace) -> Vec<Margins> {
    let mut lowest = vec![Margins::all(f64::INFINITY); checks.len()];
    every_variant(path, trace, |trace, _| {
        for (lowest, check) in lowest.iter_mut().zip(checks) {
            *lowest = lowest.min(check.margins(path, trace));
        }
    });
    lowest
}
