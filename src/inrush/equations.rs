//! Equations of a load, solved from event to event, with the instants of every step shown.

use std::cell::Cell;

use nalgebra::SVector;

use super::{Feed, Instant, Run, Watch};
use crate::numeric::{ode::Stepper, root};

/// Error allowed per step, of states that are scaled to the order of one (amperes as they are).
pub const TOLERANCE: f64 = 1e-5;

/// A step is no longer than this part of a cycle: a diode's short conduction must not be stepped over.
const PARTS: f64 = 16.0;

/// Where in a step one looks for an event; instants shown of the longest step, and the fewest of any.
const LOOKS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
const SHOWN: f64 = 12.0;
const FEWEST: f64 = 6.0;

/// Angle around the last one at which it was worked out in full, within which a cosine is that of a sum \[rad\]: the series
/// below are then right to 1e-13.
const NEAR: f64 = 0.4;

/// A cosine that is asked for again and again at moments close together.
#[derive(Debug, Default)]
pub(super) struct Cosine {
    /// Angle with its cosine and sine.
    last: Cell<Option<(f64, f64, f64)>>,
}

impl Cosine {
    /// Voltage behind the impedance of a feed at `t` \[s\] after closing at `angle` \[rad\], as [`Feed::emf`].
    pub(super) fn emf(&self, feed: &Feed, t: f64, angle: f64) -> f64 {
        feed.crest_v() * self.of(feed.omega() * t + angle)
    }

    /// Of `x` \[rad\].
    fn of(&self, x: f64) -> f64 {
        if let Some((at, cos, sin)) = self.last.get() {
            let d = x - at;
            if d.abs() < NEAR {
                let s = d * d;
                let c = 1.0
                    - s * (1.0 / 2.0)
                        * (1.0
                            - s * (1.0 / 12.0)
                                * (1.0
                                    - s * (1.0 / 30.0)
                                        * (1.0 - s * (1.0 / 56.0) * (1.0 - s * (1.0 / 90.0)))));
                let o = d
                    * (1.0
                        - s * (1.0 / 6.0)
                            * (1.0
                                - s * (1.0 / 20.0)
                                    * (1.0
                                        - s * (1.0 / 42.0)
                                            * (1.0 - s * (1.0 / 72.0) * (1.0 - s * (1.0 / 110.0))))));
                return cos * c - sin * o;
            }
        }
        let (sin, cos) = x.sin_cos();
        self.last.set(Some((x, cos, sin)));
        cos
    }
}

/// The equations of a load as the driver sees them.
pub(super) trait Equations<const N: usize> {
    /// Where it begins.
    fn first(&self) -> SVector<f64, N>;
    /// Slopes of the states.
    fn slope(&self, t: f64, y: &SVector<f64, N>) -> SVector<f64, N>;
    /// What is seen from outside.
    fn instant(&self, t: f64, y: &SVector<f64, N>) -> Instant;
    /// Whether what is seen now has no bend in it, so that few instants are enough.
    fn quiet(&self) -> bool {
        false
    }
    /// Above 0: something switches.
    fn guard(&self, _t: f64, _y: &SVector<f64, N>) -> f64 {
        -1.0
    }
    /// The next moment after `t` at which something switches by the clock \[s\].
    fn clock_s(&self, _t: f64) -> f64 {
        f64::INFINITY
    }
    /// What switches, by guard or clock.
    fn switch(&mut self, _t: f64, _y: &mut SVector<f64, N>, _by_clock: bool) {}
}

/// Solves them. `false` where the steps do not suffice.
pub(super) fn solve<const N: usize>(
    equations: &mut impl Equations<N>,
    feed: &Feed,
    run: &Run,
    watch: &mut dyn Watch,
) -> bool {
    let longest = feed.cycle_s() / PARTS;
    let y = equations.first();
    watch.see(&equations.instant(0.0, &y));
    let mut stepper = Stepper::new(0.0, y, equations.slope(0.0, &y), 0.01 * longest, TOLERANCE);
    let mut steps = 0;
    while stepper.t < run.until_s && !watch.enough() {
        steps += 1;
        if steps > run.most_steps {
            return false;
        }
        let clock = equations.clock_s(stepper.t);
        let end = run.until_s.min(stepper.t + longest).min(clock);
        let step = stepper.step(end, &mut |t, y| equations.slope(t, y));
        let time = |theta: f64| step.t0 + theta * step.h;
        let mut event = None;
        let mut before = 0.0;
        for look in LOOKS {
            let guard = |theta: f64| equations.guard(time(theta), &step.at(theta));
            if guard(look) > 0.0 {
                // one that would stand still counts at the look: time goes on in any case
                let exact = root::bracketed(guard, before, look, 1e-9);
                event = Some(exact.filter(|&theta| theta > 1e-6).unwrap_or(look));
                break;
            }
            before = look;
        }
        let last = event.unwrap_or(1.0);
        let most = if equations.quiet() { FEWEST } else { SHOWN };
        let shown = (most * last * step.h / longest).ceil().max(FEWEST) as u32;
        for part in 1..=shown {
            let theta = last * f64::from(part) / f64::from(shown);
            watch.see(&equations.instant(time(theta), &step.at(theta)));
        }
        let by_clock = event.is_none() && stepper.t >= clock;
        if event.is_some() || by_clock {
            let (t, mut y) = (time(last), step.at(last));
            equations.switch(t, &mut y, by_clock);
            let slope = equations.slope(t, &y);
            stepper.restart(t, y, slope, (0.5 * step.h).clamp(1e-6 * longest, 0.05 * longest));
            watch.see(&equations.instant(t, &y));
        }
    }
    true
}
