//! What phase control makes of a current limit: two thyristors back to back in a line let the rest of each half wave through from
//! a delay on, so that of the rms current a part are harmonics, which heat and load the supply and turn nothing.
//!
//! Closed form of a single phase, for a resistance with an inductance, which a stalled or slow motor is to its line (source: derived; the algebra
//! stands in any book on power electronics). With the impedance's angle `phi`, the delay `alpha` from the voltage's zero, time as
//! an angle and full current as unit (peak of the sine):
//!
//! ```text
//! i(t) = sin(t - phi) - sin(alpha - phi) exp(-(t - alpha) / tan(phi)),  alpha <= t <= beta,  i(beta) = 0
//! ```

use std::f64::consts::PI;
use std::sync::LazyLock;

use num_complex::Complex64;

use super::{ChangeOver, Coupling, Drive, Starter};
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
        Self::at(phi, share, |c| c.rms)
    }

    /// The same for a share of the fundamental.
    pub fn at_fundamental(phi: f64, share: f64) -> Option<(f64, Conduction)> {
        Self::at(phi, share, |c| c.fundamental)
    }

    fn at(phi: f64, share: f64, of: fn(&Conduction) -> f64) -> Option<(f64, Conduction)> {
        if share >= 1.0 {
            return None;
        }
        let off = |alpha: f64| of(&Conduction::new(phi, alpha)) - share.max(0.0);
        let alpha = root::bracketed(off, phi, PI, 1e-10)?;
        Some((alpha, Conduction::new(phi, alpha)))
    }
}

/// Angles and delays at which the closed form is tabulated: within 1e-3 of it between them.
const ANGLES: usize = 33;
const DELAYS: usize = 65;
/// Largest angle of an impedance that is told from a right angle \[rad\].
const STEEPEST: f64 = 1.565;

/// Rms and fundamental of what flows, falling with the delay, for impedances of rising angles.
struct Table(Vec<(f64, Vec<[f64; 2]>)>);

static SINGLE_PHASE: LazyLock<Table> = LazyLock::new(|| {
    let row = |i: usize| {
        let phi = STEEPEST * i as f64 / (ANGLES - 1) as f64;
        let pair = |j: usize| {
            let c = Conduction::new(phi, phi + (PI - phi) * j as f64 / (DELAYS - 1) as f64);
            [c.rms, c.fundamental]
        };
        (phi, (0..DELAYS).map(pair).collect())
    };
    Table((0..ANGLES).map(row).collect())
});

static THREE_PHASE: LazyLock<Table> = LazyLock::new(|| {
    Table(
        THREE_PHASE_ANGLES.into_iter().zip(THREE_PHASE_FLOWS).map(|(phi, row)| (phi, row.to_vec())).collect(),
    )
});

/// Angles of the impedance \[rad\] of the rows below.
const THREE_PHASE_ANGLES: [f64; 7] = [0.05, 0.3, 0.55, 0.8, 1.05, 1.3, 1.5];

/// The same for a three-phase line without neutral, where no third harmonic can flow, at delays from no effect to 150 degrees.
/// Source: tests/data/three_phase_chop.py, solved by small steps.
#[rustfmt::skip]
const THREE_PHASE_FLOWS: [[[f64; 2]; 13]; 7] = [
    [[1.0000, 1.0000], [0.9963, 0.9948], [0.9808, 0.9720], [0.9459, 0.9247], [0.8860, 0.8520], [0.7971, 0.7546], [0.6800, 0.6300], [0.5405, 0.4786], [0.3980, 0.3208], [0.2625, 0.1865], [0.1414, 0.0844], [0.0458, 0.0206], [0.0000, 0.0000]],
    [[1.0000, 1.0000], [0.9761, 0.9747], [0.9335, 0.9276], [0.8704, 0.8586], [0.7846, 0.7670], [0.6790, 0.6569], [0.5540, 0.5289], [0.4170, 0.3895], [0.2736, 0.2408], [0.1652, 0.1311], [0.0764, 0.0519], [0.0186, 0.0095], [0.0000, 0.0000]],
    [[1.0000, 1.0000], [0.9494, 0.9484], [0.8815, 0.8776], [0.7965, 0.7890], [0.6959, 0.6845], [0.5817, 0.5672], [0.4568, 0.4404], [0.3252, 0.3078], [0.1930, 0.1735], [0.1064, 0.0855], [0.0454, 0.0309], [0.0096, 0.0048], [0.0000, 0.0000]],
    [[1.0000, 1.0000], [0.9233, 0.9225], [0.8324, 0.8295], [0.7312, 0.7254], [0.6201, 0.6114], [0.4998, 0.4886], [0.3764, 0.3637], [0.2496, 0.2364], [0.1307, 0.1155], [0.0700, 0.0550], [0.0284, 0.0187], [0.0055, 0.0026], [0.0000, 0.0000]],
    [[1.0000, 1.0000], [0.8983, 0.8976], [0.7878, 0.7851], [0.6706, 0.6654], [0.5488, 0.5410], [0.4244, 0.4145], [0.2998, 0.2889], [0.1781, 0.1669], [0.0900, 0.0767], [0.0467, 0.0352], [0.0180, 0.0113], [0.0034, 0.0015], [0.0000, 0.0000]],
    [[1.0000, 1.0000], [0.8723, 0.8715], [0.7392, 0.7364], [0.6074, 0.6020], [0.4758, 0.4680], [0.3438, 0.3343], [0.2185, 0.2084], [0.1014, 0.0900], [0.0595, 0.0478], [0.0300, 0.0212], [0.0113, 0.0066], [0.0020, 0.0008], [0.0000, 0.0000]],
    [[1.0000, 1.0000], [0.8471, 0.8461], [0.6941, 0.6907], [0.5444, 0.5382], [0.4028, 0.3943], [0.2640, 0.2544], [0.1340, 0.1239], [0.0718, 0.0602], [0.0415, 0.0314], [0.0204, 0.0134], [0.0074, 0.0040], [0.0014, 0.0005], [0.0000, 0.0000]],
];

impl Table {
    /// The one of the pair that goes with a share of the other, in one row.
    fn row(row: &[[f64; 2]], known: usize, share: f64) -> f64 {
        let j = row.partition_point(|pair| pair[known] > share).clamp(1, row.len() - 1);
        let [a, b] = [row[j - 1], row[j]];
        let part = (a[known] - share) / (a[known] - b[known]).max(f64::MIN_POSITIVE);
        a[1 - known] + part * (b[1 - known] - a[1 - known])
    }

    fn look_up(&self, phi: f64, known: usize, share: f64) -> f64 {
        let rows = &self.0;
        let i = rows.partition_point(|(angle, _)| *angle <= phi).clamp(1, rows.len() - 1);
        let (before, after) = (&rows[i - 1], &rows[i]);
        let part = ((phi - before.0) / (after.0 - before.0)).clamp(0.0, 1.0);
        (1.0 - part) * Self::row(&before.1, known, share) + part * Self::row(&after.1, known, share)
    }

    fn of(three_phase: bool) -> &'static Table {
        if three_phase { &THREE_PHASE } else { &SINGLE_PHASE }
    }
}

/// The fundamental of a current whose rms phase control holds at `share` of the full one, in parts of the full one as well, in
/// a line whose impedance has the angle `phi` \[rad\]; of three phases without neutral, or of one.
pub fn fundamental(phi: f64, share: f64, three_phase: bool) -> f64 {
    if share >= 1.0 { 1.0 } else { Table::of(three_phase).look_up(phi, 0, share.max(0.0)) }
}

/// The rms of a current whose fundamental phase control holds at `share` of the full one: [`fundamental`] backwards.
pub fn rms(phi: f64, share: f64, three_phase: bool) -> f64 {
    if share >= 1.0 { 1.0 } else { Table::of(three_phase).look_up(phi, 1, share.max(0.0)) }
}

/// A starter that does what it does by phase control: the one inside says what is aimed at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhaseControl<S> {
    /// What it aims at.
    pub aim: S,
    /// Whether it stands in a three-phase line.
    pub three_phase: bool,
}

impl<S: Starter> Starter for PhaseControl<S> {
    fn coupling(&self, t: f64, over: bool) -> Coupling {
        match self.aim.coupling(t, over) {
            Coupling::Series { k } => {
                Coupling::Chopped { k, amps: f64::INFINITY, three_phase: self.three_phase }
            }
            Coupling::Limit { amps } => Coupling::Chopped { k: 1.0, amps, three_phase: self.three_phase },
            other => other,
        }
    }

    fn constant_from_s(&self) -> f64 {
        self.aim.constant_from_s()
    }

    fn change_over(&self) -> Option<ChangeOver> {
        self.aim.change_over()
    }

    fn drive(&self) -> Option<Drive> {
        self.aim.drive()
    }
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
                let part = c.fundamental / c.rms;
                assert!(part <= before && part > 0.4, "{phi} {share}: {part}");
                before = part;
            }
            assert_eq!((fundamental(phi, 1.0, false), rms(phi, 1.0, true)), (1.0, 1.0));
        }
    }

    #[test]
    fn the_table_is_the_closed_form() {
        for phi in [0.0, 0.21, 0.55, 0.87, 1.23, 1.5] {
            for share in [0.05, 0.2, 0.33, 0.5, 0.71, 0.9, 0.97] {
                let (_, c) = Conduction::at_share(phi, share).unwrap();
                let table = fundamental(phi, share, false);
                assert!((table - c.fundamental).abs() < 1e-3, "{phi} {share}: {table}, {c:?}");
                let back = rms(phi, table, false);
                assert!((back - share).abs() < 2e-3, "{phi} {share}: {back}");
            }
        }
    }
}
