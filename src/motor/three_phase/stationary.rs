//! The same equations in the frame of the stator, for lines that do not conduct all the time: behind thyristors.
//!
//! ```text
//! d psi_s/dt = v - (r1 + R) i_s          d psi_k/dt = -r_k i_k + j w_r psi_k   for each cage k
//! ```
//!
//! With every line closed `v` is the source's. A line that is open carries nothing, so that along its phase's axis `v` is what
//! keeps the current from changing, `v = r i - sum(m_k dpsi_k/dt) / s`, with `s` and `m_k` the stator's row of the inverse of the
//! matrix of reactances; across that axis it is still the voltage between the two other lines. With one line or none closed that
//! holds for both axes. The neutral is not connected. Source: derived.

use nalgebra::SVector;
use num_complex::Complex64;

use super::waveform::{Cages, Circuit};
use crate::motor::Stage;
use crate::motor::instantaneous::{Feed, WaveModel};

/// The equations for `C` cages, 1 or 2; states as of [`Cages`].
#[derive(Debug, Clone, Copy)]
pub struct Phases<'a, const C: usize>(pub Cages<'a, C>);

/// Axes of the phases a, b and c.
fn axes() -> [Complex64; 3] {
    let (re, im) = (-0.5, 0.75_f64.sqrt());
    [Complex64::ONE, Complex64::new(re, im), Complex64::new(re, -im)]
}

/// Slopes of the rotor's fluxes per radian, the stator's current, and the voltage that would keep that from changing.
struct Inside<const C: usize> {
    rotor: [Complex64; C],
    current: Complex64,
    floating: Complex64,
}

impl<const C: usize> Inside<C> {
    #[inline]
    fn of<const N: usize>(c: &Circuit<C>, y: &SVector<f64, N>) -> Self {
        let s = Circuit::<C>::flux(y, 0);
        let turning = Complex64::new(0.0, y[2 + 2 * C]);
        let current = c.stator_current(y);
        let mut rotor = [Complex64::ZERO; C];
        let mut moves = Complex64::ZERO;
        for (k, slope) in rotor.iter_mut().enumerate() {
            let mut i = c.mutual[k] * s;
            for j in 0..C {
                i += c.cages[k][j] * Circuit::<C>::flux(y, j + 1);
            }
            *slope = turning * Circuit::<C>::flux(y, k + 1) - c.r2[k] * i;
            moves += c.mutual[k] * *slope;
        }
        Inside { rotor, current, floating: c.r1 * current - moves / c.stator }
    }

    /// The voltage of the stator, the feed's impedance included.
    #[inline]
    fn voltage(&self, c: &Circuit<C>, alpha: f64) -> Complex64 {
        let source = c.feed.v * Complex64::cis(alpha);
        match c.feed.lines {
            [true, true, true] => source,
            lines if lines.iter().filter(|on| **on).count() == 2 => {
                let open = lines.iter().position(|on| !on).unwrap_or(0);
                let axis = axes()[open];
                let along = |v: Complex64| v.re * axis.re + v.im * axis.im;
                source + axis * (along(self.floating) - along(source))
            }
            _ => self.floating,
        }
    }
}

impl<const C: usize> WaveModel for Phases<'_, C> {
    const STATES: usize = 2 + 2 * C;
    type Circuit = Circuit<C>;

    fn circuit(&self, feed: &Feed, stage: Stage, speed: f64) -> Circuit<C> {
        self.0.circuit(feed, stage, speed)
    }

    fn moves(&self) -> bool {
        self.0.moves()
    }

    #[inline]
    fn slopes<const N: usize>(
        c: &Circuit<C>,
        alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &mut SVector<f64, N>,
    ) -> f64 {
        let inside = Inside::of(c, y);
        let stator = omega * (inside.voltage(c, alpha) - c.r1 * inside.current);
        (slopes[0], slopes[1]) = (stator.re, stator.im);
        for (k, slope) in inside.rotor.into_iter().enumerate() {
            (slopes[2 * k + 2], slopes[2 * k + 3]) = (omega * slope.re, omega * slope.im);
        }
        Self::torque(c, y)
    }

    fn current<const N: usize>(c: &Circuit<C>, alpha: f64, y: &SVector<f64, N>) -> Complex64 {
        c.stator_current(y) * Complex64::cis(-alpha)
    }

    fn voltage<const N: usize>(
        c: &Circuit<C>,
        alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &SVector<f64, N>,
    ) -> Complex64 {
        let drop = c.feed.r * c.stator_current(y) + c.feed.x * c.stator_current(slopes) / omega;
        c.feed.v - drop * Complex64::cis(-alpha)
    }

    fn across<const N: usize>(c: &Circuit<C>, alpha: f64, _omega: f64, y: &SVector<f64, N>) -> Complex64 {
        c.feed.v * Complex64::cis(alpha) - Inside::of(c, y).voltage(c, alpha)
    }

    fn torque<const N: usize>(c: &Circuit<C>, y: &SVector<f64, N>) -> f64 {
        Cages::<C>::torque(c, y)
    }

    fn hand_over<const N: usize>(from: &Circuit<C>, to: &Circuit<C>, y: &mut SVector<f64, N>) {
        Cages::<C>::hand_over(from, to, y);
    }
}
