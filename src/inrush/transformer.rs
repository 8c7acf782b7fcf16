//! Iron transformer: the flux of the first cycles is offset by the closing angle and by what was left in the core; beyond the
//! knee the winding has hardly more inductance than without iron.

use nalgebra::{SVector, Vector1};

use super::equations::{Cosine, Equations, solve};
use super::{Begin, Feed, Inrush, Instant, Run, Watch};

/// A transformer, seen from its primary; flux as a share of its crest at rated voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transformer {
    /// Crest of the flux linkage at rated voltage and frequency \[V s\].
    pub rated_vs: f64,
    /// Resistance of the primary \[ohm\].
    pub ohm: f64,
    /// Crest of the magnetising current at rated flux, knee above it \[A\].
    pub magnetising_a: f64,
    /// Flux at the knee, as a share of rated flux.
    pub knee: f64,
    /// Inductance beyond the knee \[H\].
    pub saturated_h: f64,
    /// Flux left in the core at switch-on, as a share of rated flux, with sign.
    pub residual: f64,
    /// Resistance of the load, referred to the primary; infinite without load \[ohm\].
    pub load_ohm: f64,
}

impl Transformer {
    /// Magnetising current \[A\] and its slope over flux linkage \[1/H\] at a share of rated flux.
    pub fn magnetising(&self, flux: f64) -> (f64, f64) {
        self.on_slope(flux, flux.abs() > self.knee)
    }

    /// The same on one of its two slopes, also where the flux is not on it.
    fn on_slope(&self, flux: f64, beyond: bool) -> (f64, f64) {
        if beyond {
            let over = flux.abs() - self.knee;
            let amps = self.knee * self.magnetising_a + over * self.rated_vs / self.saturated_h;
            (amps * flux.signum(), 1.0 / self.saturated_h)
        } else {
            (flux * self.magnetising_a, self.magnetising_a / self.rated_vs)
        }
    }
}

struct Solved<'a> {
    core: &'a Transformer,
    feed: &'a Feed,
    run: &'a Run,
    /// Whether the flux is beyond the knee: a step keeps to one slope, and ends where the flux passes the knee.
    beyond: bool,
    cosine: Cosine,
}

impl Solved<'_> {
    /// Voltage behind the primary's resistance, and the magnetising current. What the load's part drops in the feed's
    /// inductance is left out: a right angle to the rest, in hundredths.
    fn inner(&self, t: f64, flux: f64) -> (f64, f64, f64) {
        let (amps, rate) = self.core.on_slope(flux, self.beyond);
        let ohm = self.core.ohm + self.feed.ohm;
        let volts = (self.cosine.emf(self.feed, t, self.run.angle) - ohm * amps)
            / (1.0 + self.feed.henry * rate + ohm / self.core.load_ohm);
        (volts, amps, rate)
    }
}

impl Equations<1> for Solved<'_> {
    fn first(&self) -> SVector<f64, 1> {
        // settled: the flux lags the voltage by a quarter turn, without offset
        let settled = self.run.angle.sin() * self.feed.crest_v() / (self.feed.omega() * self.core.rated_vs);
        Vector1::new(if self.run.begin == Begin::Settled { settled } else { self.core.residual })
    }

    fn slope(&self, t: f64, y: &SVector<f64, 1>) -> SVector<f64, 1> {
        Vector1::new(self.inner(t, y[0]).0 / self.core.rated_vs)
    }

    fn instant(&self, t: f64, y: &SVector<f64, 1>) -> Instant {
        let (volts, amps, rate) = self.inner(t, y[0]);
        let line_a = amps + volts / self.core.load_ohm;
        let drop = self.feed.ohm * line_a + self.feed.henry * rate * volts;
        Instant { t_s: t, line_a, terminal_v: self.cosine.emf(self.feed, t, self.run.angle) - drop }
    }

    fn guard(&self, _t: f64, y: &SVector<f64, 1>) -> f64 {
        let over = y[0].abs() - self.core.knee;
        if self.beyond { -over } else { over }
    }

    fn switch(&mut self, _t: f64, _y: &mut SVector<f64, 1>, _by_clock: bool) {
        self.beyond = !self.beyond;
    }
}

impl Inrush for Transformer {
    fn wave(&self, feed: &Feed, run: &Run, watch: &mut dyn Watch) -> bool {
        let mut solved = Solved { core: self, feed, run, beyond: false, cosine: Cosine::default() };
        solved.beyond = solved.first()[0].abs() > self.knee;
        solve(&mut solved, feed, run, watch)
    }

    fn lopsided(&self) -> bool {
        self.residual != 0.0
    }
}
