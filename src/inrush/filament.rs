//! Tungsten filament: cold it has a small part of its hot resistance; how fast it heats decides the first peak.

use nalgebra::{SVector, Vector1};

use super::equations::{Cosine, Equations, solve};
use super::{Begin, Feed, Inrush, Instant, Run, Watch};

/// Resistance goes with this power of the absolute temperature: tungsten, 300 to 3000 K (from memory; within 3 %).
pub const RESISTANCE_POWER: f64 = 1.2;
/// Radiated power likewise (from memory: the fourth power and an emissivity that rises about in proportion).
pub const RADIATION_POWER: f64 = 5.0;

/// A filament lamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filament {
    /// Resistance at rated voltage, hot \[ohm\].
    pub hot_ohm: f64,
    /// Rated power \[W\].
    pub power_w: f64,
    /// Hot over cold resistance.
    pub cold_ratio: f64,
    /// Energy that heats it from cold to hot, over rated power \[s\].
    pub heat_s: f64,
}

struct Solved<'a> {
    lamp: &'a Filament,
    feed: &'a Feed,
    run: &'a Run,
    cold: f64,
    cosine: Cosine,
}

impl Filament {
    /// Cold temperature over hot.
    pub fn cold_share(&self) -> f64 {
        self.cold_ratio.powf(-1.0 / RESISTANCE_POWER)
    }

    /// Resistance \[ohm\] at a share of the hot temperature.
    pub fn ohm(&self, share: f64) -> f64 {
        self.hot_ohm * share.max(0.0).powf(RESISTANCE_POWER)
    }
}

impl Equations<1> for Solved<'_> {
    fn first(&self) -> SVector<f64, 1> {
        Vector1::new(if self.run.begin == Begin::Settled { 1.0 } else { self.cold })
    }

    fn slope(&self, t: f64, y: &SVector<f64, 1>) -> SVector<f64, 1> {
        let ohm = self.lamp.ohm(y[0]);
        let amps = self.cosine.emf(self.feed, t, self.run.angle) / (ohm + self.feed.ohm);
        let gain = amps * amps * ohm / self.lamp.power_w;
        let loss = y[0].max(0.0).powf(RADIATION_POWER) - self.cold.powf(RADIATION_POWER);
        Vector1::new((1.0 - self.cold) / self.lamp.heat_s * (gain - loss))
    }

    fn instant(&self, t: f64, y: &SVector<f64, 1>) -> Instant {
        let ohm = self.lamp.ohm(y[0]);
        let line_a = self.cosine.emf(self.feed, t, self.run.angle) / (ohm + self.feed.ohm);
        Instant { t_s: t, line_a, terminal_v: ohm * line_a }
    }
}

impl Inrush for Filament {
    // the feed's inductance is left out: beside tens of ohms its time constant is some microseconds, and the peak is on the safe side
    fn wave(&self, feed: &Feed, run: &Run, watch: &mut dyn Watch) -> bool {
        solve(
            &mut Solved { lamp: self, feed, run, cold: self.cold_share(), cosine: Cosine::default() },
            feed,
            run,
            watch,
        )
    }
}
