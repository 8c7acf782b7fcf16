//! Universal (commutator, series) motor: flux in proportion to the current, its fan or tool as the load.

use nalgebra::{SVector, Vector2};

use super::equations::{Cosine, Equations, solve};
use super::{Begin, Feed, Inrush, Instant, Run, Watch};

/// A series motor with brushes on alternating voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Universal {
    /// Resistance of field, armature and brushes \[ohm\].
    pub ohm: f64,
    /// Inductance of field and armature \[H\].
    pub henry: f64,
    /// Counter-voltage per ampere at the settled speed \[ohm\].
    pub counter_ohm: f64,
    /// Settled current, rms \[A\].
    pub rated_a: f64,
    /// Twice the kinetic energy at the settled speed \[J\].
    pub twice_energy_j: f64,
}

impl Universal {
    /// Of rated voltage \[V\], frequency \[Hz\] and running current \[A\]; the current at standstill over that, its power
    /// factor, and kinetic energy over rated volt-amperes \[s\].
    pub fn new(
        volts: f64,
        hertz: f64,
        rated_a: f64,
        ratio: f64,
        power_factor: f64,
        inertia_s: f64,
    ) -> Universal {
        let stalled = volts / (ratio * rated_a);
        let (ohm, x) =
            (stalled * power_factor, stalled * (1.0 - power_factor * power_factor).max(0.0).sqrt());
        let running = volts / rated_a;
        let counter_ohm = ((running * running - x * x).max(0.0).sqrt() - ohm).max(0.0);
        Universal {
            ohm,
            henry: x / (std::f64::consts::TAU * hertz),
            counter_ohm,
            rated_a,
            twice_energy_j: 2.0 * inertia_s * volts * rated_a,
        }
    }
}

struct Solved<'a> {
    motor: &'a Universal,
    feed: &'a Feed,
    run: &'a Run,
    cosine: Cosine,
}

impl Solved<'_> {
    fn rise(&self, t: f64, amps: f64, speed: f64) -> f64 {
        let ohm = self.motor.ohm + self.motor.counter_ohm * speed + self.feed.ohm;
        (self.cosine.emf(self.feed, t, self.run.angle) - ohm * amps) / (self.motor.henry + self.feed.henry)
    }
}

impl Equations<2> for Solved<'_> {
    fn first(&self) -> SVector<f64, 2> {
        Vector2::new(0.0, if self.run.begin == Begin::Settled { 1.0 } else { 0.0 })
    }

    fn slope(&self, t: f64, y: &SVector<f64, 2>) -> SVector<f64, 2> {
        let motor = self.motor;
        let load = motor.rated_a * motor.rated_a * y[1] * y[1].abs();
        let gain = motor.counter_ohm * (y[0] * y[0] - load) / motor.twice_energy_j;
        Vector2::new(self.rise(t, y[0], y[1]), gain)
    }

    fn instant(&self, t: f64, y: &SVector<f64, 2>) -> Instant {
        let drop = self.feed.ohm * y[0] + self.feed.henry * self.rise(t, y[0], y[1]);
        Instant { t_s: t, line_a: y[0], terminal_v: self.cosine.emf(self.feed, t, self.run.angle) - drop }
    }
}

impl Inrush for Universal {
    fn wave(&self, feed: &Feed, run: &Run, watch: &mut dyn Watch) -> bool {
        solve(&mut Solved { motor: self, feed, run, cosine: Cosine::default() }, feed, run, watch)
    }
}
