//! What phase control makes of a current limit: two thyristors back to back in a line let the rest of each half wave through from
//! a delay on, so that of the rms current a part are harmonics, which heat and load the supply and turn nothing.
//!
//! Closed form for a resistance with an inductance, which a stalled or slow motor is to its line (source: derived; the algebra
//! stands in any book on power electronics). With the impedance's angle `phi`, the delay `alpha` from the voltage's zero, time as
//! an angle and full current as unit (peak of the sine):
//!
//! ```text
//! i(t) = sin(t - phi) - sin(alpha - phi) exp(-(t - alpha) / tan(phi)),  alpha <= t <= beta,  i(beta) = 0
//! ```

use std::f64::consts::PI;

use num_complex::Complex64;

use crate::numeric::root;

/// A half wave let through from a delay on, in parts of the full sine current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conduction {
    /// Rms of all of it.
    pub rms: f64,
    /// Rms of its fundamental.
    pub fundamental: f64,
    /// Angle for which current flows in each half wave \[rad\], pi at most.
    pub flows: f64,
}

impl Conduction {
    /// Of a line whose impedance has the angle `phi` \[rad\], 0 to just below a right angle, with the thyristors let through
    /// from `alpha` \[rad\] after the voltage's zero on. From `phi` down the current is the full sine; from pi up there is none.
    ///
    /// ```
    /// use startmargin::starter::phase_control::Conduction;
    /// // a resistance switched on at the crest has half of the heat
    /// let half = Conduction::new(0.0, std::f64::consts::FRAC_PI_2);
    /// assert!((half.rms * half.rms - 0.5).abs() < 1e-9);
    /// ```
    pub fn new(phi: f64, alpha: f64) -> Conduction {
        if alpha <= phi {
            return Conduction { rms: 1.0, fundamental: 1.0, flows: PI };
        }
        if alpha >= PI {
            return Conduction { rms: 0.0, fundamental: 0.0, flows: 0.0 };
        }
        let decay = 1.0 / phi.tan().max(1e-9);
        let (sin, shift) = ((alpha - phi).sin(), alpha - phi);
        let current = |x: f64| (shift + x).sin() - sin * (-x * decay).exp();
        // current stops between the voltage's zero and half a turn after it began
        let flows = root::bracketed(current, (PI - alpha).max(1e-9), PI, 1e-12).unwrap_or(PI - alpha);
        // integrals over the half wave of the square, and against the fundamental
        let (end, j) = ((-flows * decay).exp(), Complex64::I);
        let u = shift + flows;
        let sines = 0.5 * flows - 0.25 * ((2.0 * u).sin() - (2.0 * shift).sin());
        let decays = (1.0 - end * end) / (2.0 * decay);
        let mixed =
            (decay * shift.sin() + shift.cos() - end * (decay * u.sin() + u.cos())) / (1.0 + decay * decay);
        let square = sines - 2.0 * sin * mixed + sin * sin * decays;
        let turning = (Complex64::cis(shift - alpha) * flows
            - Complex64::cis(-(shift + alpha)) * (1.0 - Complex64::cis(-2.0 * flows)) / (2.0 * j))
            / (2.0 * j);
        let fading = Complex64::cis(-alpha) * (1.0 - end * Complex64::cis(-flows)) / (decay + j);
        let first = turning - sin * fading;
        Conduction { rms: (2.0 * square.max(0.0) / PI).sqrt(), fundamental: (2.0 / PI) * first.norm(), flows }
    }

    /// The delay \[rad\] at which the rms current is `share` of the full one, with what then flows; none for a share of 1 or
    /// more, where the thyristors are open all the time.
    pub fn at_share(phi: f64, share: f64) -> Option<(f64, Conduction)> {
        if share >= 1.0 {
            return None;
        }
        let off = |alpha: f64| Conduction::new(phi, alpha).rms - share.max(0.0);
        let alpha = root::bracketed(off, phi, PI, 1e-10)?;
        Some((alpha, Conduction::new(phi, alpha)))
    }
}

/// The fundamental's part of an rms current that phase control holds at `share` of the full one, in a line whose impedance has
/// the angle `phi` \[rad\]: 1 where nothing is held back.
pub fn fundamental_part(phi: f64, share: f64) -> f64 {
    Conduction::at_share(phi, share)
        .map_or(1.0, |(_, c)| if c.rms > 0.0 { c.fundamental / c.rms } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, for a resistance: square of the rms `(pi - alpha + sin(2 alpha)/2) / pi`; fundamental
    /// `sqrt(((cos 2a - 1)/(2 pi))^2 + ((pi - a + sin(2a)/2)/pi)^2)`.
    #[test]
    fn analytic_a_resistance() {
        for alpha in [0.3, 1.0, PI / 2.0, 2.2, 2.9] {
            let c = Conduction::new(0.0, alpha);
            let whole = (PI - alpha + 0.5 * (2.0 * alpha).sin()) / PI;
            let across = ((2.0 * alpha).cos() - 1.0) / (2.0 * PI);
            assert!((c.rms - whole.sqrt()).abs() < 1e-6, "{alpha}: {c:?}");
            assert!((c.fundamental - whole.hypot(across)).abs() < 1e-6, "{alpha}: {c:?}");
            assert!((c.flows - (PI - alpha)).abs() < 1e-6);
        }
    }

    /// By hand, for an inductance alone: current flows for 2 (pi - alpha), i = cos alpha - cos t; fundamental
    /// `(2 (pi - a) + sin 2a) / pi`.
    #[test]
    fn analytic_an_inductance() {
        let phi = 0.5 * PI - 1e-7;
        for alpha in [1.7, 2.0, 2.5, 3.0] {
            let c = Conduction::new(phi, alpha);
            assert!((c.flows - 2.0 * (PI - alpha)).abs() < 1e-4, "{alpha}: {c:?}");
            assert!(
                (c.fundamental - (2.0 * (PI - alpha) + (2.0 * alpha).sin()) / PI).abs() < 1e-4,
                "{alpha}: {c:?}"
            );
        }
    }

    #[test]
    fn the_fundamental_is_a_part_that_falls_as_more_is_held_back() {
        for phi in [0.2, 0.7, 1.1, 1.4] {
            let mut before = 1.0 + 1e-9;
            for step in 1..20 {
                let share = 1.0 - 0.05 * f64::from(step);
                let (alpha, c) = Conduction::at_share(phi, share).unwrap();
                assert!((c.rms - share).abs() < 1e-8 && alpha > phi && c.flows <= PI);
                let part = fundamental_part(phi, share);
                assert!(part <= before && part > 0.4, "{phi} {share}: {part}");
                before = part;
            }
            assert_eq!(fundamental_part(phi, 1.0), 1.0);
        }
    }
}
