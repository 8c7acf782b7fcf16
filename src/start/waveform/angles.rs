//! The largest instantaneous currents over every angle at which a start may be switched on.

use std::f64::consts::{PI, TAU};

use num_complex::Complex64;

use super::watch::{Crest, Peak, parabola};
use super::{Closing, waveform};

/// A current with the angle that brings it about.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Extreme {
    /// How much \[A\].
    pub a: f64,
    /// When it flows \[s\].
    pub t_s: f64,
    /// Angle of the voltage at switch-on, 0 up to 180 \[degrees\]: half a turn more gives the same with the other sign. Up to 360
    /// for a core with residual flux, where it does not.
    pub closing_deg: f64,
}

/// The largest instantaneous current, at the angle where it is largest and where it is least.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Extremes {
    /// At the worst angle.
    pub largest: Extreme,
    /// At the best.
    pub least: Extreme,
}

/// How the angles are searched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Angles {
    /// Cycles after switch-on that the search looks at: the offset is gone after them.
    pub cycles: usize,
    /// Angles tried in half a turn, for a single phase; three at least.
    pub tried: usize,
}

impl Default for Angles {
    fn default() -> Self {
        Angles { cycles: 3, tried: 8 }
    }
}

/// What a start may ask at an instant.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Crests {
    /// The load's line current.
    pub line: Extremes,
    /// The supply's.
    pub supply: Extremes,
    /// Longest time without a break above so many parts of the supply's largest current \[s\], for `j / (len - 1)` of it.
    pub above: Vec<f64>,
}

/// Levels of [`Crests::above`].
const LEVELS: usize = 33;

/// Finds the crests of a start over all closing angles; `closing.angle` is not looked at. `None` for a machine without
/// instantaneous equations, or where they cannot be solved in `closing.most_steps`.
///
/// Three phases: one run, for in the frame of the source the angle does not appear. Single phase, and behind thyristors: the first cycles are run at
/// angles all around, and where a parabola through the worst and its neighbours, and through the best, has its top; then whole
/// starts at the worst and a quarter turn on, for what comes later.
pub fn over_angles(closing: &Closing<'_>, how: Angles) -> Option<Crests> {
    let turns = closing.branch.machine.phases() == 3 && !closing.chopped();
    if turns { three_phase(closing, how) } else { single_phase(closing, how) }
}

fn degrees(angle: f64) -> f64 {
    angle.rem_euclid(PI).to_degrees()
}

fn three_phase(closing: &Closing<'_>, how: Angles) -> Option<Crests> {
    let mut crest = Crest::new(closing.frequency_hz, how.cycles);
    waveform(closing, &mut crest).filter(|ending| !ending.cut_short)?;
    let omega = TAU * closing.frequency_hz;
    let step = TAU / Crest::parts() as f64;
    let largest = |peak: Peak| Extreme {
        a: peak.a,
        t_s: peak.t_s,
        // there the vector lies along phase a
        closing_deg: degrees(-(peak.angle + omega * peak.t_s)),
    };
    let turned = |which: usize, angle: f64| {
        crest
            .samples
            .iter()
            .enumerate()
            .map(move |(n, both)| both[which] * Complex64::cis(step * n as f64 + angle))
    };
    let third = TAU / 3.0;
    let least = |which: usize| {
        let mut least = Extreme { a: f64::INFINITY, ..Extreme::default() };
        // with three phases and both signs everything repeats after 60 degrees
        for degree in 0..60_u32 {
            let angle = f64::from(degree).to_radians();
            let mut now = Extreme { closing_deg: f64::from(degree), ..Extreme::default() };
            for behind in [0.0, third, -third] {
                let (mut two, mut one) = (0.0, 0.0);
                for (n, vector) in turned(which, angle + behind).enumerate() {
                    let a = vector.re.abs();
                    if n >= 2 && one >= two && one >= a {
                        let (top, shift) = parabola(two, one, a);
                        if top > now.a {
                            (now.a, now.t_s) = (top, (n as f64 - 1.0 + shift) * step / omega);
                        }
                    }
                    (two, one) = (one, a);
                }
            }
            if now.a < least.a {
                least = now;
            }
        }
        least
    };
    let [line, supply] = [0, 1].map(|i| Extremes { largest: largest(crest.largest[i]), least: least(i) });
    let wave: Vec<f64> = turned(1, supply.largest.closing_deg.to_radians()).map(|vector| vector.re).collect();
    Some(Crests { line, supply, above: above(&wave, supply.largest.a, step / omega) })
}

fn single_phase(closing: &Closing<'_>, how: Angles) -> Option<Crests> {
    let short = closing.until_s.min(how.cycles as f64 / closing.frequency_hz);
    let run = |degree: f64, until_s: f64| {
        let mut crest = Crest::new(closing.frequency_hz, how.cycles);
        // a part of the start gets its part of the steps, so that what is stiff is given up at once
        let part = until_s / closing.until_s;
        let most_steps = (f64::from(closing.most_steps) * part.min(1.0)) as u32;
        let now = Closing { angle: degree.to_radians(), until_s, most_steps, ..*closing };
        waveform(&now, &mut crest).filter(|ending| !ending.cut_short).map(|_| crest)
    };
    let mut crests = Crests::default();
    let mut take = |degree: f64, crest: &Crest, least: bool| {
        for (extremes, peak) in [&mut crests.line, &mut crests.supply].into_iter().zip(crest.largest) {
            let now = Extreme { a: peak.a, t_s: peak.t_s, closing_deg: degree.rem_euclid(180.0) };
            if now.a > extremes.largest.a {
                extremes.largest = now;
            }
            if least && (extremes.least.a == 0.0 || now.a < extremes.least.a) {
                extremes.least = now;
            }
        }
        crest.largest[1].a
    };
    let count = how.tried.max(3);
    let apart = 180.0 / count as f64;
    let mut tried = Vec::with_capacity(count);
    for i in 0..count {
        let degree = apart * i as f64;
        tried.push(take(degree, &run(degree, short)?, true));
    }
    for sign in [1.0, -1.0] {
        let top = (0..count).max_by(|&a, &b| (sign * tried[a]).total_cmp(&(sign * tried[b]))).unwrap_or(0);
        let [a, b, c] = [top + count - 1, top, top + 1].map(|i| sign * tried[i % count]);
        let bend = a - 2.0 * b + c;
        if bend < 0.0 {
            let degree = apart * (top as f64 + 0.5 * (a - c) / bend);
            take(degree, &run(degree, short)?, true);
        }
    }
    let worst = crests.supply.largest.closing_deg;
    let mut wave = Vec::new();
    for off in [0.0, 90.0] {
        let crest = run(worst + off, closing.until_s)?;
        for (extremes, peak) in [&mut crests.line, &mut crests.supply].into_iter().zip(crest.largest) {
            if peak.a > extremes.largest.a {
                extremes.largest =
                    Extreme { a: peak.a, t_s: peak.t_s, closing_deg: (worst + off).rem_euclid(180.0) };
            }
        }
        if off == 0.0 {
            wave = crest.samples.iter().map(|both| both[1].re).collect();
        }
    }
    let h = 1.0 / (closing.frequency_hz * Crest::parts() as f64);
    crests.above = above(&wave, crests.supply.largest.a, h);
    Some(crests)
}

/// Longest time without a break above each level of a wave sampled every `h` \[s\], straight between samples.
pub(in crate::start) fn above(wave: &[f64], largest: f64, h: f64) -> Vec<f64> {
    (0..LEVELS)
        .map(|j| {
            let level = largest * j as f64 / (LEVELS - 1) as f64;
            let (mut longest, mut now) = (0.0_f64, 0.0);
            for pair in wave.windows(2) {
                // a half wave of either sign counts, not both together
                let [a, b] = [pair[0].abs(), pair[1].abs()];
                if pair[0] * pair[1] < 0.0 {
                    now = 0.0;
                } else if a > level && b > level {
                    now += h;
                } else if a > level {
                    longest = longest.max(now + h * (a - level) / (a - b));
                    now = 0.0;
                } else if b > level {
                    now = h * (b - level) / (b - a);
                }
                longest = longest.max(now);
            }
            longest
        })
        .collect()
}

impl Crests {
    /// Longest time without a break above a share of the supply's largest current \[s\]; 0 from all of it on.
    pub fn time_above(&self, share: f64) -> f64 {
        let last = self.above.len().saturating_sub(1);
        if share >= 1.0 || last == 0 {
            return 0.0;
        }
        let place = share.max(0.0) * last as f64;
        let below = (place.floor() as usize).min(last - 1);
        let part = place - below as f64;
        self.above[below] * (1.0 - part) + self.above[below + 1] * part
    }
}
