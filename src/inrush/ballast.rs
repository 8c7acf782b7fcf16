//! Discharge lamp behind an inductive ballast: an inductance and a resistance that move from cold to warm.

use nalgebra::{SVector, Vector1};

use super::equations::{Cosine, Equations, solve};
use super::{Begin, Feed, Inrush, Instant, Run, Slow, Watch};

/// Resistance \[ohm\] and inductance \[H\] of ballast and lamp together, cold and warm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ballast {
    /// At switch-on.
    pub cold: (f64, f64),
    /// Settled.
    pub warm: (f64, f64),
    /// Time constant between the two \[s\].
    pub warm_up_s: f64,
}

impl Ballast {
    /// Of rated voltage \[V\], frequency \[Hz\], running current \[A\] and its power factor; the current at first over that,
    /// its power factor, and the time constant between \[s\].
    pub fn new(volts: f64, hertz: f64, rated: (f64, f64), first: (f64, f64), warm_up_s: f64) -> Ballast {
        let split = |amps: f64, pf: f64| {
            let z = volts / amps;
            (z * pf, z * (1.0 - pf * pf).max(1e-6).sqrt() / (std::f64::consts::TAU * hertz))
        };
        Ballast { cold: split(rated.0 * first.0, first.1), warm: split(rated.0, rated.1), warm_up_s }
    }

    fn at(&self, t: f64, begin: Begin) -> (f64, f64) {
        if begin == Begin::Settled {
            return self.warm;
        }
        let left = (-t / self.warm_up_s).exp();
        let mix = |cold: f64, warm: f64| warm + left * (cold - warm);
        (mix(self.cold.0, self.warm.0), mix(self.cold.1, self.warm.1))
    }
}

struct Solved<'a> {
    lamp: &'a Ballast,
    feed: &'a Feed,
    run: &'a Run,
    cosine: Cosine,
}

impl Equations<1> for Solved<'_> {
    fn first(&self) -> SVector<f64, 1> {
        if self.run.begin == Begin::SwitchOn {
            return Vector1::new(0.0);
        }
        // without offset
        let (ohm, henry) = self.lamp.warm;
        let (ohm, henry) = (ohm + self.feed.ohm, henry + self.feed.henry);
        let x = self.feed.omega() * henry;
        Vector1::new(henry * self.feed.crest_v() / ohm.hypot(x) * (self.run.angle - x.atan2(ohm)).cos())
    }

    // the state is the flux linkage, so that the inductance may move
    fn slope(&self, t: f64, y: &SVector<f64, 1>) -> SVector<f64, 1> {
        let (ohm, henry) = self.lamp.at(t, self.run.begin);
        let amps = y[0] / (henry + self.feed.henry);
        Vector1::new(self.cosine.emf(self.feed, t, self.run.angle) - (ohm + self.feed.ohm) * amps)
    }

    fn instant(&self, t: f64, y: &SVector<f64, 1>) -> Instant {
        let henry = self.lamp.at(t, self.run.begin).1 + self.feed.henry;
        let line_a = y[0] / henry;
        let rise = self.slope(t, y)[0] / henry;
        let terminal_v =
            self.cosine.emf(self.feed, t, self.run.angle) - self.feed.ohm * line_a - self.feed.henry * rise;
        Instant { t_s: t, line_a, terminal_v }
    }
}

impl Inrush for Ballast {
    fn wave(&self, feed: &Feed, run: &Run, watch: &mut dyn Watch) -> bool {
        solve(&mut Solved { lamp: self, feed, run, cosine: Cosine::default() }, feed, run, watch)
    }

    fn done_s(&self) -> f64 {
        // 1 % of the way is left
        4.6 * self.warm_up_s
    }

    fn slow(&self, feed: &Feed, t: f64) -> Option<Slow> {
        let (ohm, henry) = self.at(t, Begin::SwitchOn);
        let x = feed.omega() * henry;
        let line_a = feed.volts / (ohm + feed.ohm).hypot(x + feed.omega() * feed.henry);
        Some(Slow { line_a, terminal_v: line_a * ohm.hypot(x), power_w: line_a * line_a * ohm })
    }
}
