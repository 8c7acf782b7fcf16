//! Starts of loads that are not induction motors: rows of root mean squares, and crests over the closing angles.

use std::f64::consts::{PI, TAU};

use super::trace::{Outcome, Row, Trace};
use super::waveform::angles::above;
use super::waveform::{Crests, Extreme};
use crate::inrush::crests::Crest;
use crate::inrush::cycles::{Cycle, Cycles, Others, PARTS, settled};
use crate::inrush::{Feed, Inrush, Run, Slow};

/// What a start is made of.
#[derive(Clone, Copy)]
pub struct Switching<'a> {
    /// The load.
    pub load: &'a dyn Inrush,
    /// Source and conductor.
    pub feed: Feed,
    /// What else hangs on the source.
    pub others: Others,
    /// Angle of the voltage at switch-on \[rad\]; 0 at its crest.
    pub angle: f64,
    /// What it settles at, where that is known already.
    pub end: Option<Cycle>,
}

/// A load that has not settled by then is taken as settled \[s\] (assumed).
const LONGEST_S: f64 = 5.0;
/// Cycles after the last relay before the slow way begins (assumed: charging takes a few).
const FAST_CYCLES: f64 = 20.0;
/// Rows on the slow way.
const SLOW_ROWS: u32 = 60;
/// Cycles of which the crests are looked for after switch-on: flux and charge lose what is one-sided from the first one on
/// (derived).
const CYCLES: f64 = 1.0;
/// Cycles of which the time above a level is taken, and that are looked at after a relay.
const LONGER: f64 = 2.0;
/// Closing angles tried in half a turn.
const TRIED: usize = 8;
/// Closing angles tried of a relay, how far apart, and how many of them before it closes at the crest.
const RELAY_TRIED: usize = 6;
const RELAY_APART: f64 = PI / 16.0;
const RELAY_BEFORE: f64 = 4.0;
/// Golden section, and how often: a sixteenth of a turn comes down to a degree and a half.
const GOLDEN: f64 = 0.618_034;
const SECTIONS: usize = 6;
/// Instants to the cycle at which the time above a level is taken.
const FINE: usize = 512;

fn row(cycle: &Cycle) -> Row {
    let apparent = cycle.line_a * cycle.terminal_v;
    Row {
        t_s: cycle.t_s,
        line_a: cycle.line_a,
        supply_a: cycle.supply_a,
        terminal_v: cycle.terminal_v,
        motor_v: cycle.terminal_v,
        power_w: cycle.power_w,
        reactive_var: (apparent * apparent - cycle.power_w * cycle.power_w).max(0.0).sqrt(),
        ..Row::default()
    }
}

/// Time until which the instants of a start are solved at most \[s\]; what comes after it is the slow way of [`Inrush::slow`].
pub fn fast_until_s(load: &dyn Inrush, feed: &Feed) -> f64 {
    let slowly = load.done_s() > load.busy_s();
    load.busy_s() + if slowly { FAST_CYCLES * feed.cycle_s() } else { LONGEST_S }
}

/// Cycles before the relay that are solved again in any case: a window of means, and the half cycle to leave out the rest at; of
/// crests that half cycle alone.
const AGAIN: f64 = 2.5;
const AGAIN_CRESTS: f64 = 0.5;

/// A run of `until_s` \[s\], with what of its waiting from `from_s` \[s\] on, to so many cycles before the relay, can be left out.
fn shortened(load: &dyn Inrush, feed: &Feed, angle: f64, from_s: f64, again: f64, until_s: f64) -> Run {
    let idle = (load.busy_s() - from_s) * feed.hertz - again;
    let skip_s = if idle >= 1.0 { idle.floor() * feed.cycle_s() } else { 0.0 };
    Run { skip_s, skip_at_s: from_s, ..Run::closed(angle, until_s - skip_s) }
}

/// Puts the start into `trace`: a row holds the means of the cycle before it, those of the first stand from switch-on. Such
/// a load always starts; whether supply and breaker bear it is the checks' business.
pub fn fill(start: &Switching<'_>, trace: &mut Trace) {
    trace.clear();
    let Switching { load, feed, others, angle, end } = *start;
    let Some(end) = end.or_else(|| settled(load, &feed, others)) else {
        trace.cut_short = true;
        return;
    };
    let slowly = load.done_s() > load.busy_s();
    let until_s = fast_until_s(load, &feed);
    let run = shortened(load, &feed, angle, load.waits_from_s(&feed), AGAIN, until_s);
    let Run { skip_s, skip_at_s, .. } = run;
    let mut cycles = Cycles::new(&feed, others, angle);
    if !slowly {
        cycles = cycles.until_near(end.line_a, load.busy_s() - skip_s);
    }
    trace.cut_short = !load.wave(&feed, &run, &mut cycles);
    for cycle in cycles.windows() {
        let now = row(&cycle);
        if skip_s == 0.0 || now.t_s <= skip_at_s {
            trace.rows.push(now);
        } else if now.t_s >= skip_at_s + 1.5 * feed.cycle_s() {
            // a window that holds no part of what was left out
            trace.rows.push(Row { t_s: now.t_s + skip_s, ..now });
        }
    }
    if let Some(first) = trace.rows.first().copied() {
        trace.rows.insert(0, Row { t_s: 0.0, ..first });
    }
    let mut last = trace.rows.last().map_or(0.0, |r| r.t_s);
    if slowly && load.done_s() > last {
        let from = trace.rows.last().copied().unwrap_or_default();
        for part in 1..=SLOW_ROWS {
            let share = f64::from(part) / f64::from(SLOW_ROWS);
            let t = last + share * (load.done_s() - last);
            let mix = |a: f64, b: f64| a + share * (b - a);
            let slow = load.slow(&feed, t).unwrap_or(Slow {
                line_a: mix(from.line_a, end.line_a),
                terminal_v: mix(from.terminal_v, end.terminal_v),
                power_w: mix(from.power_w, end.power_w),
            });
            // what else is on stays: the supply's current moves with the load's
            let supply_a = (end.supply_a + slow.line_a - end.line_a).max(others.amps);
            let Slow { line_a, terminal_v, power_w } = slow;
            trace.rows.push(row(&Cycle { t_s: t, line_a, supply_a, terminal_v, power_w }));
        }
        last = load.done_s();
    }
    let settled = Row { t_s: last + feed.cycle_s() / PARTS as f64, ..row(&end) };
    trace.rows.push(settled);
    trace.settled = Some(settled);
    trace.outcome = Outcome::Starts;
}

/// Largest instantaneous currents over all closing angles. `None` where they cannot be solved.
///
/// The first cycle at angles all around, once more where a parabola through the worst and its neighbours has its top, and
/// through the best; where a relay closes later, starts in which that is about the crest. Where half a turn is more than a change of
/// sign (residual flux) the angles go all the way round, up to 360 degrees.
pub fn over_angles(start: &Switching<'_>) -> Option<Crests> {
    let Switching { load, feed, others, .. } = *start;
    let (short_s, longer_s) = (CYCLES * feed.cycle_s(), LONGER * feed.cycle_s());
    let turn = if load.lopsided() { TAU } else { PI };
    let count = if load.lopsided() { 2 * TRIED } else { TRIED };
    let run = |angle: f64, until_s: f64| {
        let mut crest = Crest::new(&feed, others, angle, longer_s);
        // the first cycles are looked at by themselves: of what follows only the relay is
        let waits = until_s > longer_s.max(load.busy_s()) && load.waits_from_s(&feed) < f64::INFINITY;
        let from_s = if waits { 0.5 * feed.cycle_s() } else { f64::INFINITY };
        let run = shortened(load, &feed, angle, from_s, AGAIN_CRESTS, until_s);
        let solved = load.wave(&feed, &run, &mut crest);
        let mut peaks = [crest.line, crest.supply];
        for peak in peaks.iter_mut().filter(|peak| peak.t_s > run.skip_at_s + 0.5 * feed.cycle_s()) {
            peak.t_s += run.skip_s;
        }
        solved.then_some((peaks, crest.wave))
    };
    let mut crests = Crests::default();
    let mut worst = 0.0;
    let mut take = |angle: f64, crest: &[crate::inrush::crests::Peak; 2], least: bool| {
        for (extremes, peak) in [&mut crests.line, &mut crests.supply].into_iter().zip(crest) {
            let now = Extreme { a: peak.a, t_s: peak.t_s, closing_deg: angle.rem_euclid(turn).to_degrees() };
            if now.a > extremes.largest.a {
                extremes.largest = now;
            }
            if least && (extremes.least.a == 0.0 || now.a < extremes.least.a) {
                extremes.least = now;
            }
        }
        crest[1].a
    };
    let apart = turn / count as f64;
    let mut tried = Vec::with_capacity(count);
    for i in 0..count {
        let angle = apart * i as f64;
        tried.push(take(angle, &run(angle, short_s)?.0, true));
    }
    for sign in [1.0, -1.0] {
        let top = (0..count).max_by(|&a, &b| (sign * tried[a]).total_cmp(&(sign * tried[b]))).unwrap_or(0);
        let [a, b, c] = [top + count - 1, top, top + 1].map(|i| sign * tried[i % count]);
        let bend = a - 2.0 * b + c;
        let shift = if bend < 0.0 { 0.5 * (a - c) / bend } else { 0.0 };
        let angle = apart * (top as f64 + shift);
        let there = take(angle, &run(angle, short_s)?.0, true);
        if sign < 0.0 {
            // behind a choke the least is a sharp corner, which no parabola meets: golden section between the neighbours
            let (mut low, mut high) = (apart * (top as f64 - 1.0), apart * (top as f64 + 1.0));
            let mut at = |angle: f64| Some(take(angle, &run(angle, short_s)?.0, true));
            let (mut p, mut q) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
            let (mut left, mut right) = (at(p)?, at(q)?);
            for _ in 0..SECTIONS {
                if left < right {
                    (high, q, right) = (q, p, left);
                    p = high - GOLDEN * (high - low);
                    left = at(p)?;
                } else {
                    (low, p, left) = (p, q, right);
                    q = low + GOLDEN * (high - low);
                    right = at(q)?;
                }
            }
        }
        if sign > 0.0 {
            worst = if there >= tried[top] { angle } else { apart * top as f64 };
        }
    }
    if load.busy_s() > 0.0 {
        // the relay's worst moment is the crest, or a little before it
        let at_crest = -feed.omega() * load.busy_s();
        let mut at = |part: f64| {
            let angle = at_crest + part * RELAY_APART;
            Some(take(angle, &run(angle, load.busy_s() + short_s)?.0, false))
        };
        let mut tried = [0.0; RELAY_TRIED];
        for (i, peak) in tried.iter_mut().enumerate() {
            *peak = at(i as f64 - RELAY_BEFORE)?;
        }
        let top = (0..RELAY_TRIED).max_by(|&a, &b| tried[a].total_cmp(&tried[b])).unwrap_or(0);
        if let [a, b, c] = tried[top.saturating_sub(1)..(top + 2).min(RELAY_TRIED)] {
            let bend = a - 2.0 * b + c;
            if bend < 0.0 {
                at(top as f64 - RELAY_BEFORE + 0.5 * (a - c) / bend)?;
            }
        }
    }
    let (_, wave) = run(worst, longer_s)?;
    let h = feed.cycle_s() / FINE as f64;
    crests.above = above(&resample(&wave, h), crests.supply.largest.a, h);
    Some(crests)
}

/// A wave at equal steps `h` \[s\], straight between its instants.
fn resample(wave: &[(f64, f64)], h: f64) -> Vec<f64> {
    let mut even = Vec::new();
    for pair in wave.windows(2) {
        let ([t, a], [u, b]) = ([pair[0].0, pair[0].1], [pair[1].0, pair[1].1]);
        while even.len() as f64 * h <= u && u > t {
            even.push(a + (b - a) * (even.len() as f64 * h - t) / (u - t));
        }
    }
    even
}

/// The largest currents of a start closed at one angle: of the load's line, of the supply.
pub fn extremes(start: &Switching<'_>, until_s: f64) -> [Extreme; 2] {
    let mut crest = Crest::new(&start.feed, start.others, start.angle, 0.0);
    start.load.wave(&start.feed, &Run::closed(start.angle, until_s), &mut crest);
    [crest.line, crest.supply].map(|peak| Extreme {
        a: peak.a,
        t_s: peak.t_s,
        closing_deg: start.angle.rem_euclid(PI).to_degrees(),
    })
}
