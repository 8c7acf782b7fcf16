//! Largest instantaneous currents of a run.

use super::cycles::Others;
use super::{Feed, Instant, Watch};

/// A current and when it flows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Peak {
    /// How much \[A\].
    pub a: f64,
    /// When \[s\].
    pub t_s: f64,
}

/// The largest currents of load and supply, and the supply's wave.
pub struct Crest<'a> {
    feed: &'a Feed,
    others: Others,
    angle: f64,
    /// Of the load.
    pub line: Peak,
    /// Of the supply.
    pub supply: Peak,
    /// The supply's current, as pairs of time \[s\] and current \[A\].
    pub wave: Vec<(f64, f64)>,
    keep_s: f64,
}

impl<'a> Crest<'a> {
    /// Of a run closed at `angle` \[rad\], keeping the wave for a time \[s\].
    pub fn new(feed: &'a Feed, others: Others, angle: f64, keep_s: f64) -> Self {
        Crest {
            feed,
            others,
            angle,
            line: Peak::default(),
            supply: Peak::default(),
            wave: Vec::new(),
            keep_s,
        }
    }
}

impl Watch for Crest<'_> {
    fn see(&mut self, now: &Instant) {
        let supply = now.line_a + self.others.at(self.feed, now.t_s, self.angle);
        for (peak, amps) in [(&mut self.line, now.line_a), (&mut self.supply, supply)] {
            if amps.abs() > peak.a {
                *peak = Peak { a: amps.abs(), t_s: now.t_s };
            }
        }
        if now.t_s <= self.keep_s {
            self.wave.push((now.t_s, supply));
        }
    }
}
