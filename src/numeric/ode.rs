//! Explicit Runge-Kutta stepper of order 5(4) with a fourth-order dense output.
//!
//! J. R. Dormand, P. J. Prince, "A family of embedded Runge-Kutta formulae", J. Comp. Appl. Math. 6 (1980)
//! 19-26; dense output and step control as in E. Hairer, S. P. Norsett, G. Wanner, "Solving Ordinary
//! Differential Equations I", 2nd ed. (1993), sections II.4 to II.6 (coefficients from memory; the order
//! tests below guard them).

use nalgebra::SVector;

const A21: f64 = 1.0 / 5.0;
const A31: f64 = 3.0 / 40.0;
const A32: f64 = 9.0 / 40.0;
const A41: f64 = 44.0 / 45.0;
const A42: f64 = -56.0 / 15.0;
const A43: f64 = 32.0 / 9.0;
const A51: f64 = 19372.0 / 6561.0;
const A52: f64 = -25360.0 / 2187.0;
const A53: f64 = 64448.0 / 6561.0;
const A54: f64 = -212.0 / 729.0;
const A61: f64 = 9017.0 / 3168.0;
const A62: f64 = -355.0 / 33.0;
const A63: f64 = 46732.0 / 5247.0;
const A64: f64 = 49.0 / 176.0;
const A65: f64 = -5103.0 / 18656.0;
const A71: f64 = 35.0 / 384.0;
const A73: f64 = 500.0 / 1113.0;
const A74: f64 = 125.0 / 192.0;
const A75: f64 = -2187.0 / 6784.0;
const A76: f64 = 11.0 / 84.0;
const E1: f64 = 71.0 / 57600.0;
const E3: f64 = -71.0 / 16695.0;
const E4: f64 = 71.0 / 1920.0;
const E5: f64 = -17253.0 / 339200.0;
const E6: f64 = 22.0 / 525.0;
const E7: f64 = -1.0 / 40.0;
const D1: f64 = -12715105075.0 / 11282082432.0;
const D3: f64 = 87487479700.0 / 32700410799.0;
const D4: f64 = -10690763975.0 / 1880347072.0;
const D5: f64 = 701980252875.0 / 199316789632.0;
const D6: f64 = -1453857185.0 / 822651844.0;
const D7: f64 = 69997945.0 / 29380423.0;

/// Logarithm of the smallest error of a step that the next one's length remembers, 1e-4 of what is allowed.
const LEAST_LOG_ERROR: f64 = -9.210_340_371_976_182;

/// An accepted step, with what its dense output needs.
#[derive(Debug, Clone, Copy)]
pub struct Step<const N: usize> {
    /// Where the step began.
    pub t0: f64,
    /// Its length.
    pub h: f64,
    /// State at its beginning.
    pub y0: SVector<f64, N>,
    /// State at its end.
    pub y1: SVector<f64, N>,
    rcont: [SVector<f64, N>; 3],
}

impl<const N: usize> Step<N> {
    /// One component of the state at `t0 + theta h`, `theta` from 0 to 1: what an event looks at, without the
    /// rest.
    #[inline]
    pub fn component(&self, i: usize, theta: f64) -> f64 {
        let rest = 1.0 - theta;
        let [a, b, c] = [self.rcont[0][i], self.rcont[1][i], self.rcont[2][i]];
        self.y0[i] + theta * ((self.y1[i] - self.y0[i]) + rest * (a + theta * (b + rest * c)))
    }

    /// The state at `t0 + theta h`, `theta` from 0 to 1.
    pub fn at(&self, theta: f64) -> SVector<f64, N> {
        let rest = 1.0 - theta;
        self.y0
            + theta
                * ((self.y1 - self.y0)
                    + rest * (self.rcont[0] + theta * (self.rcont[1] + rest * self.rcont[2])))
    }
}

/// `h` times a weighted sum of slopes, component by component: one pass, nothing in between is stored.
#[inline(always)]
fn weighted<const N: usize, const M: usize>(
    h: f64,
    weights: [f64; M],
    slopes: [&SVector<f64, N>; M],
) -> SVector<f64, N> {
    SVector::from_fn(|i, _| {
        let mut sum = weights[0] * slopes[0][i];
        for m in 1..M {
            sum += weights[m] * slopes[m][i];
        }
        h * sum
    })
}

/// The stepper: holds time, state, slope and the next step length.
#[derive(Debug, Clone)]
pub struct Stepper<const N: usize> {
    /// Time reached.
    pub t: f64,
    /// State there.
    pub y: SVector<f64, N>,
    /// Slope there.
    pub slope: SVector<f64, N>,
    /// Length to try next.
    pub h: f64,
    /// Error allowed per step, relative to `max(|y|, 1)`.
    pub tolerance: f64,
    last_log_error: f64,
    /// Steps accepted so far.
    pub accepted: u32,
    /// Steps refused so far.
    pub refused: u32,
}

impl<const N: usize> Stepper<N> {
    /// Starts at `(t, y)` with the slope already known there and a first step length to try.
    pub fn new(t: f64, y: SVector<f64, N>, slope: SVector<f64, N>, h: f64, tolerance: f64) -> Self {
        Stepper { t, y, slope, h, tolerance, last_log_error: LEAST_LOG_ERROR, accepted: 0, refused: 0 }
    }

    /// Goes on from `(t, y)` after something changed there (an event): slope anew, memory of errors dropped.
    pub fn restart(&mut self, t: f64, y: SVector<f64, N>, slope: SVector<f64, N>, h: f64) {
        (self.t, self.y, self.slope, self.h) = (t, y, slope, h);
        self.last_log_error = LEAST_LOG_ERROR;
    }

    /// Takes one accepted step that ends at `end` at the latest. A step that falls below the spacing of
    /// floating-point numbers around `t` is accepted as it is, so that this always returns.
    pub fn step(
        &mut self,
        end: f64,
        rhs: &mut impl FnMut(f64, &SVector<f64, N>) -> SVector<f64, N>,
    ) -> Step<N> {
        let refused = self.refused;
        loop {
            let mut h = self.h;
            // a sliver left over would force a tiny step later: take it along
            if self.t + 1.01 * h >= end {
                h = end - self.t;
            }
            let (t, y, k1) = (self.t, self.y, self.slope);
            let k2 = rhs(t + h * 0.2, &(y + weighted(h, [A21], [&k1])));
            let k3 = rhs(t + h * 0.3, &(y + weighted(h, [A31, A32], [&k1, &k2])));
            let k4 = rhs(t + h * 0.8, &(y + weighted(h, [A41, A42, A43], [&k1, &k2, &k3])));
            let k5 = rhs(t + h * (8.0 / 9.0), &(y + weighted(h, [A51, A52, A53, A54], [&k1, &k2, &k3, &k4])));
            let k6 = rhs(t + h, &(y + weighted(h, [A61, A62, A63, A64, A65], [&k1, &k2, &k3, &k4, &k5])));
            let moved = weighted(h, [A71, A73, A74, A75, A76], [&k1, &k3, &k4, &k5, &k6]);
            let y1 = y + moved;
            let k7 = rhs(t + h, &y1);
            let e = weighted(h, [E1, E3, E4, E5, E6, E7], [&k1, &k3, &k4, &k5, &k6, &k7]);
            let mut error: f64 = 0.0;
            for i in 0..N {
                let own = e[i].abs() / (self.tolerance * y[i].abs().max(y1[i].abs()).max(1.0));
                // not `max`, which would pass over what is no number
                error = if own > error || own.is_nan() { own } else { error };
            }
            let smallest = 16.0 * f64::EPSILON * t.abs().max(1e-9);
            if h > smallest && (error > 1.0 || error.is_nan()) {
                self.refused += 1;
                // 0.8 rather than the usual 0.9: where one step was refused the next ones are often too (runs
                // of both levels)
                let factor = if error.is_finite() { (0.8 * error.powf(-0.2)).clamp(0.1, 0.9) } else { 0.1 };
                self.h = h * factor;
                continue;
            }
            // 0.95 e^-0.17 e_before^0.04, by logarithms: half the cost of two powers
            let log_error = error.max(1e-10).ln();
            let proportional = 0.95 * (0.04 * self.last_log_error - 0.17 * log_error).exp();
            // what was just too long is not made longer at once
            let most = if self.refused > refused { 1.0 } else { 6.0 };
            self.h = h * proportional.clamp(0.2, most);
            self.last_log_error = log_error.max(LEAST_LOG_ERROR);
            self.accepted += 1;
            let bspl = h * k1 - (y1 - y);
            let rcont = [
                bspl,
                (y1 - y) - h * k7 - bspl,
                weighted(h, [D1, D3, D4, D5, D6, D7], [&k1, &k3, &k4, &k5, &k6, &k7]),
            ];
            (self.t, self.y, self.slope) = (t + h, y1, k7);
            return Step { t0: t, h, y0: y, y1, rcont };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{Vector1, Vector2};

    fn oscillator(tolerance: f64) -> (f64, f64) {
        let mut rhs = |_t: f64, y: &Vector2<f64>| Vector2::new(y[1], -y[0]);
        let y0 = Vector2::new(1.0, 0.0);
        let mut stepper = Stepper::new(0.0, y0, rhs(0.0, &y0), 1e-2, tolerance);
        let mut dense: f64 = 0.0;
        while stepper.t < 10.0 {
            let step = stepper.step(10.0, &mut rhs);
            for theta in [0.2, 0.5, 0.9] {
                dense = dense.max((step.at(theta)[0] - (step.t0 + theta * step.h).cos()).abs());
            }
        }
        ((stepper.y[0] - 10f64.cos()).abs(), dense)
    }

    #[test]
    fn analytic_oscillator_and_its_dense_output() {
        let (end, dense) = oscillator(1e-8);
        assert!(end < 1e-7 && dense < 1e-6, "end {end:e}, dense {dense:e}");
        let (finer, _) = oscillator(1e-10);
        assert!(finer < end / 20.0, "{finer:e} against {end:e}");
    }

    #[test]
    fn a_component_is_that_of_the_state() {
        let mut rhs = |t: f64, y: &Vector2<f64>| Vector2::new(y[1], -y[0] + t);
        let y0 = Vector2::new(1.0, 0.5);
        let step = Stepper::new(0.0, y0, rhs(0.0, &y0), 0.1, 1e-6).step(1.0, &mut rhs);
        for theta in [0.0, 0.3, 1.0] {
            for i in 0..2 {
                assert!((step.component(i, theta) - step.at(theta)[i]).abs() < 1e-15);
            }
        }
    }

    #[test]
    fn a_refused_step_is_not_followed_by_a_longer_one() {
        // the first step looks beyond where there is nothing; a tenth of it is easy
        let mut rhs = |t: f64, y: &Vector1<f64>| if t > 5.0 { Vector1::new(f64::NAN) } else { -0.01 * y };
        let mut stepper = Stepper::new(0.0, Vector1::new(1.0), Vector1::new(-0.01), 20.0, 1e-6);
        let first = stepper.step(100.0, &mut rhs);
        assert_eq!(stepper.refused, 1);
        assert!(stepper.h <= first.h, "{} after {}", stepper.h, first.h);
    }

    #[test]
    fn a_step_never_passes_the_end() {
        let mut rhs = |_t: f64, y: &Vector1<f64>| -1.0 * y;
        let mut stepper = Stepper::new(0.0, Vector1::new(1.0), Vector1::new(-1.0), 5.0, 1e-6);
        while stepper.t < 1.0 {
            stepper.step(1.0, &mut rhs);
        }
        assert_eq!(stepper.t, 1.0);
        assert!((stepper.y[0] - (-1f64).exp()).abs() < 1e-6);
    }
}
