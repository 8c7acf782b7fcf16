//! Main winding on one axis, auxiliary on the other, in the frame of the stator; the auxiliary's quantities on its own side.
//!
//! ```text
//! d psi_m/dt = v - r1 i_m             d psi_rq/dt = -r2 i_rq + w_r psi_rd
//! d psi_a/dt = v - r1a i_a - v_c      d psi_rd/dt = -r2 i_rd - w_r psi_rq
//! v = e - R (i_m + i_a) - L d(i_m + i_a)/dt,   T = (p/2) (psi_rq i_rd - psi_rd i_rq)
//! ```
//!
//! The feed's L is part of both windings' fluxes. Capacitors in parallel each keep their own voltage, with their resistance in
//! series; a resistance below [`NO_RESISTANCE`] of the reactance counts as none where there are others beside it. Source: as the
//! three-phase equations, chapter on unsymmetrical two-phase machines (from memory); checked against independent solutions.

use nalgebra::{Matrix4, SVector};
use num_complex::Complex64;

use super::{Capacitor, TwoWinding};
use crate::motor::Stage;
use crate::motor::instantaneous::{Contact, Feed, WaveModel};

/// Share of a capacitor's reactance below which its resistance is neglected beside other capacitors (assumed): it would only
/// make the equations stiff.
const NO_RESISTANCE: f64 = 0.01;

/// The equations: fluxes of main and auxiliary winding and of the rotor's two axes, voltages of the run capacitor, of the
/// motor's start capacitor, of the starter's.
#[derive(Debug, Clone, Copy)]
pub struct Windings<'a>(pub &'a TwoWinding);

/// What is in series with the auxiliary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Series {
    /// Nothing lets current pass.
    Open,
    /// A closed contact.
    Plain,
    /// Capacitors in parallel.
    Capacitors,
}

/// With feed and stage put in.
#[derive(Debug, Clone, Copy)]
pub struct Circuit {
    feed: Feed,
    /// Main winding, auxiliary winding, rotor.
    r: [f64; 3],
    series: Series,
    /// Per capacitor: one over the reactance (0: not in), one over the resistance (0: without).
    susceptance: [f64; 3],
    conductance: [f64; 3],
    /// Capacitors without resistance: their susceptances together.
    bare: f64,
    /// Inverse of the matrix of reactances: main, auxiliary, rotor q, rotor d; zeros where the auxiliary is open.
    inverse: Matrix4<f64>,
}

impl Circuit {
    #[inline]
    fn currents<const N: usize>(&self, y: &SVector<f64, N>) -> [f64; 4] {
        let g = &self.inverse;
        std::array::from_fn(|i| g[(i, 0)] * y[0] + g[(i, 1)] * y[1] + g[(i, 2)] * y[2] + g[(i, 3)] * y[3])
    }

    /// The voltage that both windings have while the line is open: the one that keeps the line's current from changing. The
    /// slopes of the rotor's fluxes are given per radian.
    fn floating<const N: usize>(&self, im: f64, ia: f64, y: &SVector<f64, N>, rq: f64, rd: f64) -> f64 {
        let g = &self.inverse;
        let line = |j: usize| g[(0, j)] + g[(1, j)];
        let behind = match self.series {
            Series::Open => 0.0,
            Series::Plain => self.r[1] * ia,
            Series::Capacitors => self.r[1] * ia + self.capacitors(ia, y).0,
        };
        let rest = line(2) * rq + line(3) * rd - line(0) * self.r[0] * im - line(1) * behind;
        -rest / (line(0) + line(1))
    }

    /// Voltage across the capacitors, and the current through each.
    #[inline]
    fn capacitors<const N: usize>(&self, ia: f64, y: &SVector<f64, N>) -> (f64, [f64; 3]) {
        let mut currents = [0.0; 3];
        if self.bare > 0.0 {
            let bare = (0..3).find(|&k| self.susceptance[k] > 0.0 && self.conductance[k] == 0.0);
            let v = bare.map_or(0.0, |k| y[4 + k]);
            let mut rest = ia;
            for (k, current) in currents.iter_mut().enumerate() {
                *current = self.conductance[k] * (v - y[4 + k]);
                rest -= *current;
            }
            for (k, current) in currents.iter_mut().enumerate() {
                if self.conductance[k] == 0.0 {
                    *current = rest * self.susceptance[k] / self.bare;
                }
            }
            return (v, currents);
        }
        let g: f64 = self.conductance.iter().sum();
        let fed: f64 = (0..3).map(|k| self.conductance[k] * y[4 + k]).sum();
        let v = (ia + fed) / g;
        (v, std::array::from_fn(|k| self.conductance[k] * (v - y[4 + k])))
    }
}

impl WaveModel for Windings<'_> {
    const STATES: usize = 7;
    type Circuit = Circuit;

    fn circuit(&self, feed: &Feed, stage: Stage, _speed: f64) -> Circuit {
        let m = self.0;
        let w = std::f64::consts::TAU * m.frequency_hz;
        let [xm, x2, r2] = m.rotor;
        let mut parallel: [Option<Capacitor>; 3] = [m.run, None, None];
        let mut plain = false;
        if let (true, Some((start, _))) = (stage.own_start, m.start) {
            parallel[1] = start;
            plain = start.is_none();
        }
        if stage.assist {
            parallel[2] = m.assist;
        }
        let several = parallel.iter().flatten().count() > 1;
        let susceptance = parallel.map(|c| c.map_or(0.0, |c| w * c.farad));
        let conductance = parallel.map(|c| match c {
            Some(c) if c.ohm > 0.0 && !(several && c.ohm * w * c.farad < NO_RESISTANCE) => 1.0 / c.ohm,
            _ => 0.0,
        });
        let bare = (0..3).map(|k| if conductance[k] == 0.0 { susceptance[k] } else { 0.0 }).sum();
        let series = match (m.auxiliary, plain, parallel.iter().any(Option::is_some)) {
            (Some(_), true, _) => Series::Plain,
            (Some(_), false, true) => Series::Capacitors,
            _ => Series::Open,
        };
        let (ra, xa, n) = m.auxiliary.map_or((0.0, 0.0, 0.0), |a| (a.r_ohm, a.x_ohm, a.turns_ratio));
        let main = m.z1.im + xm + feed.x;
        let mut x = Matrix4::zeros();
        (x[(0, 0)], x[(2, 2)], x[(3, 3)]) = (main, x2 + xm, x2 + xm);
        (x[(0, 2)], x[(2, 0)]) = (xm, xm);
        x[(1, 1)] = 1.0;
        if series != Series::Open {
            x[(1, 1)] = xa + n * n * xm + feed.x;
            (x[(0, 1)], x[(1, 0)]) = (feed.x, feed.x);
            (x[(1, 3)], x[(3, 1)]) = (n * xm, n * xm);
        }
        let mut inverse = x.try_inverse().unwrap_or_else(Matrix4::zeros);
        if series == Series::Open {
            inverse[(1, 1)] = 0.0;
        }
        Circuit { feed: *feed, r: [m.z1.re, ra, r2], series, susceptance, conductance, bare, inverse }
    }

    #[inline]
    fn slopes<const N: usize>(
        c: &Circuit,
        alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &mut SVector<f64, N>,
    ) -> f64 {
        let [im, ia, iq, id] = c.currents(y);
        let x = y[Self::STATES];
        let (sin, cos) = alpha.sin_cos();
        let mut v = c.feed.v.re * cos - c.feed.v.im * sin - c.feed.r * (im + ia);
        slopes[2] = omega * (x * y[3] - c.r[2] * iq);
        slopes[3] = omega * (-x * y[2] - c.r[2] * id);
        if !c.feed.lines[0] {
            v = c.floating(im, ia, y, slopes[2] / omega, slopes[3] / omega);
        }
        slopes[0] = omega * (v - c.r[0] * im);
        (slopes[1], slopes[4], slopes[5], slopes[6]) = (0.0, 0.0, 0.0, 0.0);
        match c.series {
            Series::Open => {}
            Series::Plain => slopes[1] = omega * (v - c.r[1] * ia),
            Series::Capacitors => {
                let (vc, each) = c.capacitors(ia, y);
                slopes[1] = omega * (v - c.r[1] * ia - vc);
                for k in 0..3 {
                    if c.susceptance[k] > 0.0 {
                        slopes[4 + k] = omega * each[k] / c.susceptance[k];
                    }
                }
            }
        }
        y[2] * id - y[3] * iq
    }

    fn current<const N: usize>(c: &Circuit, _alpha: f64, y: &SVector<f64, N>) -> Complex64 {
        let [im, ia, ..] = c.currents(y);
        Complex64::new(im + ia, 0.0)
    }

    fn across<const N: usize>(c: &Circuit, alpha: f64, omega: f64, y: &SVector<f64, N>) -> Complex64 {
        let mut slopes = SVector::<f64, N>::zeros();
        Self::slopes(c, alpha, omega, y, &mut slopes);
        let motor = slopes[0] / omega + c.r[0] * c.currents(y)[0];
        let (sin, cos) = alpha.sin_cos();
        Complex64::new(c.feed.v.re * cos - c.feed.v.im * sin - motor, 0.0)
    }

    fn voltage<const N: usize>(
        c: &Circuit,
        alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &SVector<f64, N>,
    ) -> Complex64 {
        let line = Self::current(c, alpha, y).re;
        let rate = Self::current(c, alpha, slopes).re / omega;
        let (sin, cos) = alpha.sin_cos();
        Complex64::new(c.feed.v.re * cos - c.feed.v.im * sin - c.feed.r * line - c.feed.x * rate, 0.0)
    }

    fn torque<const N: usize>(c: &Circuit, y: &SVector<f64, N>) -> f64 {
        let [_, _, iq, id] = c.currents(y);
        y[2] * id - y[3] * iq
    }

    fn through<const N: usize>(c: &Circuit, contact: Contact, y: &SVector<f64, N>) -> f64 {
        let [_, ia, ..] = c.currents(y);
        match (c.series, contact) {
            (Series::Open, _) | (Series::Plain, Contact::Assist) => 0.0,
            (Series::Plain, Contact::OwnStart) => ia,
            (Series::Capacitors, Contact::OwnStart) => c.capacitors(ia, y).1[1],
            (Series::Capacitors, Contact::Assist) => c.capacitors(ia, y).1[2],
        }
    }

    fn hand_over<const N: usize>(from: &Circuit, to: &Circuit, y: &mut SVector<f64, N>) {
        let [im, ia, ..] = from.currents(y);
        let more = (to.feed.x - from.feed.x) * (im + ia);
        y[0] += more;
        y[1] += more;
        if to.series == Series::Open {
            // what little current a contact not quite at zero still carries goes out with it
            y[1] = 0.0;
        }
    }
}
