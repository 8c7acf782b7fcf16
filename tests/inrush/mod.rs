//! Loads that are not induction motors: closed forms, balances, recordings.

mod laws;
mod physics;
mod recorded;

use startmargin::inrush::cycles::{Cycle, Cycles, Others};
use startmargin::inrush::{Feed, Inrush, Instant, Run};
use startmargin::start::Trace;
use startmargin::start::inrush::{Switching, fill};

/// Every instant of a run.
pub fn wave(load: &dyn Inrush, feed: &Feed, angle: f64, until_s: f64) -> Vec<Instant> {
    let mut seen = Vec::new();
    let mut watch = |now: &Instant| seen.push(*now);
    assert!(load.wave(feed, &Run::closed(angle, until_s), &mut watch));
    seen
}

/// Largest current of a run, either sign.
pub fn peak(load: &dyn Inrush, feed: &Feed, angle: f64, until_s: f64) -> f64 {
    wave(load, feed, angle, until_s).iter().fold(0.0, |most, now| most.max(now.line_a.abs()))
}

/// Root mean squares of every cycle.
pub fn cycles(load: &dyn Inrush, feed: &Feed, angle: f64, until_s: f64) -> Vec<Cycle> {
    let mut cycles = Cycles::new(feed, Others::default(), angle);
    assert!(load.wave(feed, &Run::closed(angle, until_s), &mut cycles));
    cycles.windows().collect()
}

/// Its start as rows.
pub fn trace(load: &dyn Inrush, feed: Feed, angle: f64) -> Trace {
    let mut trace = Trace::default();
    fill(&Switching { load, feed, others: Others::default(), angle, end: None }, &mut trace);
    trace
}

/// The integral of a function of the instants, by the trapezium rule.
pub fn integral(seen: &[Instant], of: impl Fn(&Instant) -> f64) -> f64 {
    seen.windows(2).map(|w| 0.5 * (of(&w[0]) + of(&w[1])) * (w[1].t_s - w[0].t_s)).sum()
}

pub fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got / want - 1.0).abs() <= within, "{what}: {got}, should be {want}");
}
