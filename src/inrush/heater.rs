//! Heating element: a resistance, closed form.

use super::{Begin, Feed, Inrush, Instant, Run, Watch};

/// A resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heater {
    /// Its resistance \[ohm\].
    pub ohm: f64,
}

/// Instants to the cycle: a crest is missed by 3e-4 at the most.
const PARTS: f64 = 128.0;
/// Instants to the time constant of the offset, and for how many of them.
const FINE: f64 = 32.0;

/// Current and its slope of a resistance and an inductance closed on a sinusoid, and of the steady state alone.
#[derive(Debug, Clone, Copy)]
struct Step {
    crest_a: f64,
    omega: f64,
    /// Angle of the current's cosine at switch-on.
    lag: f64,
    decay: f64,
    /// Offset at switch-on.
    offset: f64,
}

impl Step {
    fn at(&self, t: f64) -> (f64, f64) {
        let offset = if self.offset == 0.0 { 0.0 } else { self.offset * (-self.decay * t).exp() };
        let angle = self.omega * t + self.lag;
        let slope =
            -self.crest_a * self.omega * angle.sin() - if offset == 0.0 { 0.0 } else { self.decay * offset };
        (self.crest_a * angle.cos() + offset, slope)
    }
}

impl Inrush for Heater {
    fn wave(&self, feed: &Feed, run: &Run, watch: &mut dyn Watch) -> bool {
        let (ohm, x) = (self.ohm + feed.ohm, feed.omega() * feed.henry);
        let lag = run.angle - x.atan2(ohm);
        let crest_a = feed.crest_v() / ohm.hypot(x);
        let begins = run.begin == Begin::SwitchOn && feed.henry > 0.0;
        let decay = if begins { ohm / feed.henry } else { 0.0 };
        let offset = if begins { -crest_a * lag.cos() } else { 0.0 };
        let step = Step { crest_a, omega: feed.omega(), lag, decay, offset };
        let coarse = feed.cycle_s() / PARTS;
        let mut t = 0.0;
        while t < run.until_s && !watch.enough() {
            let (line_a, slope) = step.at(t);
            let terminal_v = feed.emf(t, run.angle) - feed.ohm * line_a - feed.henry * slope;
            watch.see(&Instant { t_s: t, line_a, terminal_v });
            let dying = begins && decay * t < 20.0;
            t += if dying { coarse.min(1.0 / (FINE * decay)) } else { coarse };
        }
        true
    }
}
