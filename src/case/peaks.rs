//! The largest instantaneous currents of a start over the moments at which it may be switched on.

use std::f64::consts::SQRT_2;
use std::sync::Arc;

use super::{Hookup, Path};
use crate::start::waveform::{Angles, Closing, Crests, Extremes, over_angles};
use crate::start::{Level, Trace};

/// Time beyond the start that is looked at \[s\]: a dying swing has its crest before (assumed).
const BEYOND_S: f64 = 0.1;
/// Time that is looked at of a start that does not come about \[s\] (assumed).
const WITHOUT_START_S: f64 = 0.3;

/// Longest part of a start that is looked at \[s\] (assumed): what is left of a longer one is its slow middle, whose crests are
/// those of the root mean square.
const LONGEST_LOOK_S: f64 = 1.0;

/// Steps a cycle may take on the average: some twenty are usual. More only where a resistance of thousands of ohms makes the
/// equations stiff; then the peak stays between its bounds.
const STEPS_A_CYCLE: f64 = 300.0;

/// The largest instantaneous currents of a start, as factors on sqrt2 times its largest rms currents, so that they serve starts
/// that differ little too: with other figures, behind a limiter.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstPeak {
    /// What was found, in amperes, at the figures it was looked for at.
    pub found: Arc<Crests>,
    /// Of the load's line: at the best closing angle, at the worst.
    line: [f64; 2],
    /// Of the supply.
    supply: [f64; 2],
    /// [`Path::offset_factor`] of the path it was found on.
    offset: f64,
}

impl FirstPeak {
    /// Of a load whose crests are its own, at these figures alone.
    pub(super) fn outright(crests: Crests) -> FirstPeak {
        FirstPeak { found: Arc::new(crests), line: [1.0; 2], supply: [1.0; 2], offset: 1.0 }
    }
}

impl Path {
    /// Looks for the largest instantaneous currents over all closing angles and all ways the running loads may behave, and
    /// keeps them. Without effect for a motor without instantaneous equations.
    pub fn find_first_peak(&mut self, trace: &mut Trace) {
        self.first_peak = None;
        if self.is_inrush() {
            return self.find_inrush_peak();
        }
        // a rectifier's crest has nothing to do with the motor's
        if self.starter.drive().is_some() {
            return;
        }
        let mut worst: Option<FirstPeak> = None;
        // the factors are on root mean squares without offset
        let level = std::mem::replace(&mut self.level, Level::Auto);
        for variant in 0..self.variants() {
            let Some(&running) = self.runnings.get(variant) else { continue };
            self.run(variant, trace);
            let branch = self.branch(self.longest_start_s);
            let until_s = trace.start_duration_s.map_or(WITHOUT_START_S, |s| s + BEYOND_S);
            let until_s = until_s.min(self.longest_start_s).min(LONGEST_LOOK_S);
            let closing = Closing {
                until_s,
                most_steps: (STEPS_A_CYCLE * (4.0 + until_s * self.frequency_hz)) as u32,
                ..self.closing(&branch, running, trace)
            };
            let Some(crests) = over_angles(&closing, Angles::default()) else { break };
            let (line_a, supply_a) = (SQRT_2 * trace.largest_rms_a(), SQRT_2 * trace.largest_supply_a());
            let now = FirstPeak {
                line: [crests.line.least.a / line_a, crests.line.largest.a / line_a],
                supply: [crests.supply.least.a / supply_a, crests.supply.largest.a / supply_a],
                found: Arc::new(crests),
                offset: self.offset_factor(),
            };
            worst = Some(match worst {
                Some(before) if before.supply[1] >= now.supply[1] => before,
                _ => now,
            });
        }
        self.level = level;
        if let Some(worst) = &worst {
            self.closing_angle = worst.found.supply.largest.closing_deg.to_radians();
        }
        self.first_peak = worst;
    }

    /// Takes what was found on a path like this one.
    pub fn take_first_peak(&mut self, found: Option<&FirstPeak>) {
        // such a load's peak does not go with its rms current: each path looks for its own
        if self.is_inrush() {
            return self.find_inrush_peak();
        }
        self.first_peak = found.cloned();
    }

    /// Largest instantaneous current of the supply \[A\] at the best and at the worst closing angle, of a start that this
    /// trace is of; by the waveform level where it was run, else between no offset and a whole one.
    pub fn supply_peak_a(&self, trace: &Trace) -> [f64; 2] {
        self.peak_a(self.first_peak.as_ref().map(|p| (p, p.supply, p.found.supply)), trace.largest_supply_a())
    }

    /// The same of the load's line.
    pub fn line_peak_a(&self, trace: &Trace) -> [f64; 2] {
        self.peak_a(self.first_peak.as_ref().map(|p| (p, p.line, p.found.line)), trace.largest_rms_a())
    }

    fn peak_a(&self, known: Option<(&FirstPeak, [f64; 2], Extremes)>, rms_a: f64) -> [f64; 2] {
        let steady = SQRT_2 * rms_a;
        match known {
            None if self.is_inrush() => [steady, f64::INFINITY],
            None => [steady, 2.0 * steady],
            // the root mean squares of a waveform have the offset in them already
            Some((_, _, found)) if self.level == Level::Waveform || self.is_inrush() => {
                [found.least.a, found.largest.a]
            }
            // another path of like figures: in proportion to what its impedance alone makes of the offset
            Some((peak, [least, largest], _)) => {
                let share = self.offset_factor() / peak.offset;
                [least * steady, (largest * share).clamp(least, 2.0_f64.max(largest)) * steady]
            }
        }
    }

    /// Largest first peak over sqrt2 times the rms current at standstill, by the impedance at standstill alone:
    /// kappa = 1.02 + 0.98 exp(-3 R/X) (docs/models.md).
    ///
    /// Within 2 % for three-phase cage motors. For a single-phase motor no less than 1.1, which covers the two published cases
    /// at hand and is no proof for others.
    pub fn offset_factor(&self) -> f64 {
        if self.is_inrush() {
            return 1.0;
        }
        let x_over_r = self.stalled_x_over_r();
        let kappa = if x_over_r > 0.0 { 1.02 + 0.98 * (-3.0 / x_over_r).exp() } else { 1.0 };
        if self.hookup == Hookup::ThreePhase { kappa } else { kappa.max(1.1) }
    }
}
