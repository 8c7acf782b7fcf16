//! Single-phase motor with a main and an auxiliary winding, by the double-revolving-field theory.

mod waveform;

pub use waveform::Windings;

use num_complex::Complex64;

use super::instantaneous::Instantaneous;
use super::{AirGap, Machine, Point, Stage};

/// A capacitor with its series resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacitor {
    /// Capacitance \[F\].
    pub farad: f64,
    /// Series resistance \[ohm\].
    pub ohm: f64,
}

/// The auxiliary winding, on its own side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Auxiliary {
    /// Resistance \[ohm\].
    pub r_ohm: f64,
    /// Leakage reactance \[ohm\].
    pub x_ohm: f64,
    /// Turns over those of the main winding.
    pub turns_ratio: f64,
}

/// A two-winding motor: capacitor-run, capacitor-start, split-phase, or on its main winding alone.
///
/// With Zf = 0.5 (j xm || (r2/s + j x2)), Zb the same at slip 2 - s, a the turns ratio and Zc what is in series with the
/// auxiliary:
///
/// ```text
/// V = (r1 + j x1 + Zf + Zb) Im - j a (Zf - Zb) Ia
/// V = j a (Zf - Zb) Im + (Zc + r1a + j x1a + a^2 (Zf + Zb)) Ia
/// I = Im + Ia,  T = (|Im - j a Ia|^2 Re Zf - |Im + j a Ia|^2 Re Zb) / ws
/// ```
///
/// Source: double-revolving-field theory, A. E. Fitzgerald et al., "Electric Machinery", chapter 9 (from memory); checked
/// against an independent two-axis formulation (tests/published, 1/4 hp machine, within 0.01 %). Average torque only: the
/// 2f pulsation is left out.
///
/// ```
/// use startmargin::motor::{Auxiliary, Capacitor, Machine, Stage, TwoWinding};
/// // 1/4 hp, 110 V, 60 Hz, 4 poles, start capacitor in: 17.488 A and 3.998 N m at standstill
/// let motor = TwoWinding::new(4, 60.0, [2.02, 2.79, 66.8, 4.12, 2.12], 0.0146)
///     .with_auxiliary(Auxiliary { r_ohm: 7.14, x_ohm: 3.22, turns_ratio: 1.18 })
///     .with_start_switch(Some(Capacitor { farad: 182.937e-6, ohm: 3.0 }), 0.75);
/// let stalled = motor.at(0.0, Stage::START);
/// assert!((stalled.y.norm() * 110.0 - 17.4878).abs() < 2e-3);
/// assert!((stalled.torque_per_v2 * 110.0f64.powi(2) - 3.99802).abs() < 4e-4);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct TwoWinding {
    sync_speed: f64,
    /// One over it: a division in the chain of a simulation costs as much as ten products.
    per_sync: f64,
    frequency_hz: f64,
    z1: Complex64,
    gap: AirGap,
    /// Magnetising reactance, the rotor's leakage reactance and resistance.
    rotor: [f64; 3],
    inertia: f64,
    auxiliary: Option<Auxiliary>,
    run: Option<Capacitor>,
    /// Start branch (a capacitor, or `None` for a plain connection) and the speed it leaves at.
    start: Option<(Option<Capacitor>, f64)>,
    assist: Option<Capacitor>,
    /// Impedance of the auxiliary branch but for the air gap, for `[own_start][assist]`; `None`: open.
    branch: [[Option<Complex64>; 2]; 2],
    /// Turns ratio, and its square.
    turns: [f64; 2],
}

impl TwoWinding {
    /// On its main winding alone: poles, frequency \[Hz\], `[r1, x1, xm, r2, x2]` \[ohm\], inertia \[kg m2\].
    pub fn new(poles: u32, frequency_hz: f64, circuit: [f64; 5], inertia_kgm2: f64) -> Self {
        let [r1, x1, xm, r2, x2] = circuit;
        TwoWinding {
            sync_speed: super::sync_speed(poles, frequency_hz),
            per_sync: 1.0 / super::sync_speed(poles, frequency_hz),
            frequency_hz,
            z1: Complex64::new(r1, x1),
            gap: AirGap::new(0.5, xm, r2, x2),
            rotor: [xm, x2, r2],
            inertia: inertia_kgm2,
            auxiliary: None,
            run: None,
            start: None,
            assist: None,
            branch: [[None; 2]; 2],
            turns: [0.0; 2],
        }
    }

    /// The same with an auxiliary winding (open until a capacitor or a start switch is added).
    #[must_use]
    pub fn with_auxiliary(mut self, auxiliary: Auxiliary) -> Self {
        self.auxiliary = Some(auxiliary);
        self.settle()
    }

    /// The same with a run capacitor.
    #[must_use]
    pub fn with_run_capacitor(mut self, run: Capacitor) -> Self {
        self.run = Some(run);
        self.settle()
    }

    /// The same with a start branch, in parallel with the run capacitor, that leaves at a fraction of synchronous speed:
    /// a capacitor, or `None` where the winding itself is made for starting (split phase).
    #[must_use]
    pub fn with_start_switch(mut self, capacitor: Option<Capacitor>, cut_out: f64) -> Self {
        self.start = Some((capacitor, cut_out));
        self.settle()
    }

    /// The same with a starter's capacitor in parallel; the starter says when it leaves. Without effect on a motor that
    /// has no auxiliary winding.
    #[must_use]
    pub fn with_assist(mut self, assist: Option<Capacitor>) -> Self {
        self.assist = assist;
        self.settle()
    }

    /// All of it at once: a fit makes one machine after the other.
    pub(super) fn assembled(
        mut self,
        auxiliary: Option<Auxiliary>,
        run: Option<Capacitor>,
        start: Option<(Option<Capacitor>, f64)>,
    ) -> Self {
        self.auxiliary = auxiliary;
        self.run = run;
        self.start = start;
        self.settle()
    }

    /// Whether a start capacitor could help: there is an auxiliary winding to put it in.
    pub fn has_auxiliary(&self) -> bool {
        self.auxiliary.is_some()
    }

    /// Works out the series impedance of the auxiliary for every stage.
    fn settle(mut self) -> Self {
        let w = std::f64::consts::TAU * self.frequency_hz;
        let ratio = self.auxiliary.map_or(0.0, |aux| aux.turns_ratio);
        self.turns = [ratio, ratio * ratio];
        let admittance = |c: Capacitor| Complex64::new(c.ohm, -1.0 / (w * c.farad)).inv();
        for own in [false, true] {
            for assist in [false, true] {
                if assist && self.assist.is_none() {
                    self.branch[own as usize][1] = self.branch[own as usize][0];
                    continue;
                }
                let mut y = Complex64::ZERO;
                let mut plain = false;
                if let Some(c) = self.run {
                    y += admittance(c);
                }
                if let (true, Some((branch, _))) = (own, self.start) {
                    match branch {
                        Some(c) => y += admittance(c),
                        None => plain = true,
                    }
                }
                if let (true, Some(c)) = (assist, self.assist) {
                    y += admittance(c);
                }
                let series =
                    if plain { Some(Complex64::ZERO) } else { (y != Complex64::ZERO).then(|| y.inv()) };
                self.branch[own as usize][assist as usize] =
                    self.auxiliary.zip(series).map(|(aux, z)| z + Complex64::new(aux.r_ohm, aux.x_ohm));
            }
        }
        self
    }
}

impl Machine for TwoWinding {
    fn sync_speed(&self) -> f64 {
        self.sync_speed
    }

    fn inertia(&self) -> f64 {
        self.inertia
    }

    fn phases(&self) -> u32 {
        1
    }

    fn own_cut_out(&self) -> Option<f64> {
        self.start.map(|(_, speed)| speed)
    }

    fn auxiliary_per_v(&self, speed: f64, stage: Stage) -> f64 {
        let Some(auxiliary) = self.auxiliary else { return 0.0 };
        let Some(branch) = self.branch[stage.own_start as usize][stage.assist as usize] else { return 0.0 };
        let s = 1.0 - speed * self.per_sync;
        let (zf, zb) = (self.gap.at(s), self.gap.at(2.0 - s));
        let main = self.z1 + (zf + zb);
        let [a, a2] = self.turns;
        let cross = Complex64::new(0.0, a) * (zf - zb);
        let determinant = main * (branch + a2 * (zf + zb)) + cross * cross;
        // what the capacitors leave of the terminal voltage: V - Zc Ia
        let capacitors = branch - Complex64::new(auxiliary.r_ohm, auxiliary.x_ohm);
        (1.0 - capacitors * (main - cross) / determinant).norm()
    }

    fn instantaneous(&self) -> Option<Instantaneous<'_>> {
        Some(Instantaneous::TwoWinding(self))
    }

    #[inline]
    fn at(&self, speed: f64, stage: Stage) -> Point {
        let s = 1.0 - speed * self.per_sync;
        let zf = self.gap.at(s);
        let zb = self.gap.at(2.0 - s);
        let main = self.z1 + (zf + zb);
        let Some(branch) = self.branch[stage.own_start as usize][stage.assist as usize] else {
            let y = main.inv();
            return Point { y, torque_per_v2: y.norm_sqr() * (zf.re - zb.re) * self.per_sync };
        };
        // both currents over the determinant; y and T then need one division between them
        let [a, a2] = self.turns;
        let difference = zf - zb;
        let cross = Complex64::new(-a * difference.im, a * difference.re);
        let auxiliary = branch + a2 * (zf + zb);
        let determinant = main * auxiliary + cross * cross;
        let over = 1.0 / determinant.norm_sqr();
        let (im, ia) = (auxiliary + cross, main - cross);
        let turned = Complex64::new(-a * ia.im, a * ia.re);
        let (forward, backward) = ((im - turned).norm_sqr(), (im + turned).norm_sqr());
        Point {
            y: (im + ia) * determinant.conj() * over,
            torque_per_v2: (forward * zf.re - backward * zb.re) * (over * self.per_sync),
        }
    }
}
