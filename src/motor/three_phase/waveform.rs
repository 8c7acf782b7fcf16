//! Space vectors in the frame that turns with the source: with balanced voltage closed at any angle the equations are the same,
//! so that one run serves every angle, and steps are long once the first transients have died away.
//!
//! ```text
//! d psi_s/dt = v - (r1 + R) i_s - j w psi_s          d psi_k/dt = -r_k i_k - j (w - w_r) psi_k   for each cage k
//! psi = L i,  T = 3/2 (p/2) Im(conj(psi_s) i_s)
//! ```
//!
//! R and L of the feed are in series with the stator, in its flux too. Leakage that saturates is that of the phasor circuit at
//! the speed of the moment. Source: P. C. Krause et al., "Analysis of Electric
//! Machinery", chapter on symmetrical induction machines (from memory); checked against independent solutions.

use nalgebra::{Matrix3, SVector};
use num_complex::Complex64;

use super::ThreePhase;
use crate::motor::Stage;
use crate::motor::instantaneous::{Feed, WaveModel};

/// The equations for `C` cages, 1 or 2: real and imaginary part of the stator's flux, then of each cage's.
#[derive(Debug, Clone, Copy)]
pub struct Cages<'a, const C: usize>(pub &'a ThreePhase);

/// With the feed put in.
#[derive(Debug, Clone, Copy)]
pub struct Circuit<const C: usize> {
    pub(super) feed: Feed,
    /// Stator and feed.
    pub(super) r1: f64,
    pub(super) r2: [f64; C],
    /// Inverse of the matrix of reactances, stator first; symmetric.
    pub(super) stator: f64,
    pub(super) mutual: [f64; C],
    pub(super) cages: [[f64; C]; C],
}

impl<const C: usize> Circuit<C> {
    #[inline]
    pub(super) fn flux<const N: usize>(y: &SVector<f64, N>, winding: usize) -> Complex64 {
        Complex64::new(y[2 * winding], y[2 * winding + 1])
    }

    #[inline]
    pub(super) fn stator_current<const N: usize>(&self, y: &SVector<f64, N>) -> Complex64 {
        let mut i = self.stator * Self::flux(y, 0);
        for k in 0..C {
            i += self.mutual[k] * Self::flux(y, k + 1);
        }
        i
    }
}

impl<const C: usize> WaveModel for Cages<'_, C> {
    const STATES: usize = 2 + 2 * C;
    type Circuit = Circuit<C>;

    fn circuit(&self, feed: &Feed, _stage: Stage, speed: f64) -> Circuit<C> {
        let m = self.0;
        let leakage = m.leakage_at(speed * m.sync_speed);
        let cages: [super::Cage; C] =
            std::array::from_fn(|k| if k == 0 { m.cage } else { m.second.unwrap_or(m.cage) });
        // unused rows of the matrix stay those of the unit matrix
        let mut x = Matrix3::identity();
        x[(0, 0)] = leakage.x1_ohm + feed.x + m.xm;
        for i in 0..C {
            for j in 0..C {
                x[(i + 1, j + 1)] = m.xm + if i == j { leakage.cages_ohm[i].unwrap_or(0.0) } else { 0.0 };
            }
            (x[(0, i + 1)], x[(i + 1, 0)]) = (m.xm, m.xm);
        }
        let inverse = x.try_inverse().unwrap_or_else(Matrix3::zeros);
        Circuit {
            feed: *feed,
            r1: m.z1.re + feed.r,
            r2: cages.map(|c| c.r_ohm),
            stator: inverse[(0, 0)],
            mutual: std::array::from_fn(|k| inverse[(0, k + 1)]),
            cages: std::array::from_fn(|i| std::array::from_fn(|j| inverse[(i + 1, j + 1)])),
        }
    }

    fn moves(&self) -> bool {
        self.0.saturation.is_some()
    }

    #[inline]
    fn slopes<const N: usize>(
        c: &Circuit<C>,
        _alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &mut SVector<f64, N>,
    ) -> f64 {
        let s = Circuit::<C>::flux(y, 0);
        let slip = 1.0 - y[Self::STATES];
        let i = c.stator_current(y);
        slopes[0] = omega * (c.feed.v.re - c.r1 * i.re + s.im);
        slopes[1] = omega * (c.feed.v.im - c.r1 * i.im - s.re);
        for k in 0..C {
            let flux = Circuit::<C>::flux(y, k + 1);
            let mut current = c.mutual[k] * s;
            for j in 0..C {
                current += c.cages[k][j] * Circuit::<C>::flux(y, j + 1);
            }
            slopes[2 * k + 2] = omega * (slip * flux.im - c.r2[k] * current.re);
            slopes[2 * k + 3] = omega * (-slip * flux.re - c.r2[k] * current.im);
        }
        1.5 * (s.re * i.im - s.im * i.re)
    }

    fn current<const N: usize>(c: &Circuit<C>, _alpha: f64, y: &SVector<f64, N>) -> Complex64 {
        c.stator_current(y)
    }

    fn voltage<const N: usize>(
        c: &Circuit<C>,
        _alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &SVector<f64, N>,
    ) -> Complex64 {
        // the current's slope is the same combination of the fluxes' slopes
        let rate = c.stator_current(slopes) / omega;
        c.feed.v - Complex64::new(c.feed.r, c.feed.x) * c.stator_current(y) - c.feed.x * rate
    }

    fn torque<const N: usize>(c: &Circuit<C>, y: &SVector<f64, N>) -> f64 {
        let (s, i) = (Circuit::<C>::flux(y, 0), c.stator_current(y));
        1.5 * (s.re * i.im - s.im * i.re)
    }

    fn hand_over<const N: usize>(from: &Circuit<C>, to: &Circuit<C>, y: &mut SVector<f64, N>) {
        let more = (to.feed.x - from.feed.x) * from.stator_current(y);
        y[0] += more.re;
        y[1] += more.im;
    }
}
