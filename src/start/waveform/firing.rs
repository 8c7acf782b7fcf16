//! Thyristors before the machine, back to back in every line: when they fire, when they let go.
//!
//! A pair is let through from a delay after the zero of its phase's voltage on; it lets go where its current comes to zero. The
//! delay is set anew at every zero of phase a: by the closed form for the circuit of the moment, and for a current limit by what
//! the last half cycle's rms came to. Ideal switches: no voltage across them, no current while open, fired as long as they are
//! let through.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::SVector;
use num_complex::Complex64;

use super::Run;
use crate::motor::instantaneous::WaveModel;
use crate::numeric::ode::Step;
use crate::starter::phase_control::Conduction;

/// How long the thyristors of a three-phase line are let through \[rad\]: long enough for the next phase to join (common
/// practice, no source: double pulses or trains of pulses). Those of a single phase are up to the voltage's next zero.
const THREE_PHASE_PULSE: f64 = TAU / 3.0;
/// Largest delay of a three-phase line \[rad\]: from there on no line voltage drives a current.
const THREE_PHASE_LATEST: f64 = 5.0 / 6.0 * PI;
/// How far the current limit corrects its aim at once, as a power of what it is off by (assumed: a slow controller).
const GAIN: f64 = 0.4;
/// Furthest that the aim is corrected (assumed).
const FURTHEST: [f64; 2] = [0.3, 3.0];
/// Currents this small against the full one are none: the rounding of a zero that was searched for.
const NO_CURRENT: f64 = 1e-9;
/// Longest step, in cycles: what flows changes within parts of a half wave.
pub(super) const LONGEST_STEP: f64 = 1.0 / 32.0;
/// Points within a step at which a pair is looked at for whether it takes over.
const LOOKS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// What phase control aims at, by the phasor circuit of the moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Aim {
    /// Voltage fraction.
    pub k: f64,
    /// Rms current to be held, in parts of the full one; 1 and more for none.
    pub share: f64,
    /// Full current, rms \[A\].
    pub full_a: f64,
    /// Angle of the circuit's impedance \[rad\].
    pub phi: f64,
    /// Angle of the voltage that feeds it \[rad\].
    pub lead: f64,
}

/// The thyristors of a run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Thyristors {
    /// Lines that conduct.
    pub on: [bool; 3],
    pub aim: Aim,
    /// Delay after the voltage's zero \[rad\].
    delay: f64,
    /// Correction of the share aimed at.
    trim: f64,
    /// Sum of the squares of the machine's currents over the time since the last zero \[A2 s\].
    square: f64,
    since: f64,
    /// Half cycles of phase a so far; none before the first.
    half: Option<i64>,
}

impl<M: WaveModel, const N: usize> Run<'_, M, N> {
    pub(super) fn lines(&self) -> usize {
        self.branch.machine.phases() as usize
    }

    /// Angle of a line's voltage, from its zero upwards.
    fn voltage_angle(&self, line: usize, t: f64) -> f64 {
        let behind = [0.0, TAU / 3.0, -TAU / 3.0][line];
        self.alpha(t) + self.firing.aim.lead - behind + FRAC_PI_2
    }

    /// The direction that a line's thyristors are let through in.
    fn gate(&self, line: usize, t: f64) -> f64 {
        let past = (self.voltage_angle(line, t) - self.firing.delay + 1e-9).rem_euclid(TAU);
        let pulse = if self.lines() == 3 { THREE_PHASE_PULSE } else { (PI - self.firing.delay).max(0.0) };
        if past < pulse {
            1.0
        } else if past >= PI && past - PI < pulse {
            -1.0
        } else {
            0.0
        }
    }

    /// The next moment at which something of theirs is set: a pair is let through, or phase a's voltage is zero.
    pub(super) fn next_firing(&self, t: f64) -> f64 {
        let mut angle = PI;
        let mut offer = |ahead: f64| {
            let ahead = ahead.rem_euclid(PI);
            angle = angle.min(if ahead < 1e-7 { PI } else { ahead });
        };
        for line in 0..self.lines() {
            offer(self.firing.delay - self.voltage_angle(line, t));
        }
        offer(-self.voltage_angle(0, t));
        t + angle / self.omega
    }

    /// A line's current in the machine \[A\]; what is nearly none is none.
    fn line_current(&self, line: usize, t: f64, y: &SVector<f64, N>) -> f64 {
        let alpha = self.alpha(t);
        let vector = M::current(&self.circuit, alpha, y);
        let now = if self.lines() == 1 { vector.re } else { on_axis(vector * Complex64::cis(alpha), line) };
        let amps = now * self.base;
        if amps.abs() < NO_CURRENT * self.firing.aim.full_a { 0.0 } else { amps }
    }

    /// Where within a step a line's current comes to zero.
    pub(super) fn lets_go(&self, line: usize, step: &Step<N>) -> Option<f64> {
        if !self.firing.on[line] {
            return None;
        }
        super::events::crossing(0.0, false, |th| self.line_current(line, step.t0 + th * step.h, &step.at(th)))
    }

    /// The lines that conduct from now on, if others than before join in.
    fn joined(&self, t: f64, y: &SVector<f64, N>) -> Option<[bool; 3]> {
        let on = self.firing.on;
        let across = M::across(&self.circuit, self.alpha(t), self.omega, y);
        if self.lines() == 1 {
            return (!on[0] && self.gate(0, t) * across.re > 0.0).then_some([true; 3]);
        }
        if on.iter().any(|on| *on) {
            let open = on.iter().position(|on| !on)?;
            return (self.gate(open, t) * on_axis(across, open) > 0.0).then_some([true; 3]);
        }
        let gates: [f64; 3] = std::array::from_fn(|line| self.gate(line, t));
        let drives = |to: usize, from: usize| {
            gates[to] > 0.0 && gates[from] < 0.0 && on_axis(across, to) > on_axis(across, from)
        };
        let pairs = [(0, 1), (1, 2), (2, 0), (1, 0), (2, 1), (0, 2)];
        let (to, from) = pairs.into_iter().find(|&(to, from)| drives(to, from))?;
        Some(std::array::from_fn(|line| line == to || line == from))
    }

    /// Where within a step further lines take part, and which conduct then.
    pub(super) fn takes_over(&self, step: &Step<N>) -> Option<(f64, [bool; 3])> {
        if self.firing.on == [true; 3] {
            return None;
        }
        let at = |th: f64| self.joined(step.t0 + th * step.h, &step.at(th));
        if let Some(lines) = at(0.0) {
            return Some((0.0, lines));
        }
        let mut before = 0.0;
        for look in LOOKS {
            if at(look).is_some() {
                let mut after = look;
                for _ in 0..30 {
                    let middle = 0.5 * (before + after);
                    if at(middle).is_some() { after = middle } else { before = middle }
                }
                return at(after).map(|lines| (after, lines));
            }
            before = look;
        }
        None
    }

    /// A line's current has come to zero: it goes on in the other direction if it is let through there, else it is open. Of two
    /// lines neither goes on alone.
    pub(super) fn let_go(&mut self, line: usize, t: f64, y: &SVector<f64, N>) {
        let next = self.rising(line, t, y).signum();
        if self.firing.on == [true; 3] && self.gate(line, t) == next {
            return;
        }
        self.firing.on[line] = false;
        if self.lines() == 1 || self.firing.on.iter().filter(|on| **on).count() < 2 {
            self.firing.on = [false; 3];
        }
    }

    /// The rate at which a line's current changes, for its sign.
    fn rising(&self, line: usize, t: f64, y: &SVector<f64, N>) -> f64 {
        let alpha = self.alpha(t);
        let mut slopes = SVector::<f64, N>::zeros();
        M::slopes(&self.circuit, alpha, self.omega, y, &mut slopes);
        let rate = M::current(&self.circuit, alpha, &slopes);
        if self.lines() == 1 { rate.re } else { on_axis(rate * Complex64::cis(alpha), line) }
    }

    /// Adds up what flowed in a part of a step.
    pub(super) fn meter(&mut self, step: &Step<N>, end: f64) {
        // Simpson's rule over a thirty-second of a cycle at most
        let square = |th: f64| -> f64 {
            let (t, y) = (step.t0 + th * step.h, step.at(th));
            (0..self.lines()).map(|line| self.line_current(line, t, &y).powi(2)).sum()
        };
        let sum = (square(0.0) + 4.0 * square(0.5 * end) + square(end)) / 6.0;
        self.firing.square += sum * end * step.h;
        self.firing.since += end * step.h;
    }

    /// Sets the delay anew where a half cycle of phase a begins.
    pub(super) fn set_delay(&mut self, t: f64) {
        let half = ((self.voltage_angle(0, t) + 1e-6) / PI).floor() as i64;
        if self.firing.half == Some(half) {
            return;
        }
        let aim = self.firing.aim;
        let first = self.firing.half.is_none();
        self.firing.half = Some(half);
        let held = aim.share < 1.0;
        if first || !held {
            self.firing.trim = 1.0;
        } else if self.firing.since > 0.9 * PI / self.omega && self.firing.square > 0.0 {
            let rms = (self.firing.square / self.firing.since / self.lines() as f64).sqrt();
            let off = aim.share * aim.full_a / rms;
            self.firing.trim = (self.firing.trim * off.powf(GAIN)).clamp(FURTHEST[0], FURTHEST[1]);
        }
        (self.firing.square, self.firing.since) = (0.0, 0.0);
        let by_current =
            if held { Conduction::at_share(aim.phi, aim.share * self.firing.trim) } else { None };
        let by_voltage = Conduction::at_fundamental(aim.phi, aim.k);
        let delay =
            [by_current, by_voltage].into_iter().flatten().map(|(delay, _)| delay).fold(0.0, f64::max);
        self.firing.delay = if self.lines() == 3 && delay > aim.phi {
            // the same part of what a three-phase line has between full current and none
            aim.phi + (delay - aim.phi) * (THREE_PHASE_LATEST - aim.phi).max(0.0) / (PI - aim.phi)
        } else {
            delay
        };
    }
}

/// A phase's part of a space vector at standstill.
fn on_axis(vector: Complex64, line: usize) -> f64 {
    let behind = [0.0, TAU / 3.0, -TAU / 3.0][line];
    (vector * Complex64::cis(-behind)).re
}
