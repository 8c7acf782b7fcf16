//! Three-phase cage motor: the usual circuit per phase of the star equivalent, one cage or two, its leakage constant or
//! falling with the current.

mod stationary;
mod waveform;

pub use stationary::Phases;
pub use waveform::Cages;

use num_complex::Complex64;

use super::instantaneous::Instantaneous;
use super::{AirGap, Machine, Point, Stage};

/// A rotor cage, referred to the stator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cage {
    /// Resistance \[ohm\].
    pub r_ohm: f64,
    /// Leakage reactance \[ohm\].
    pub x_ohm: f64,
}

/// Leakage reactances at one speed, referred to the stator.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leakage {
    /// Stator \[ohm\].
    pub x1_ohm: f64,
    /// Of the first and the second cage \[ohm\].
    pub cages_ohm: [Option<f64>; 2],
}

/// The current at which leakage begins to saturate, and the voltage at which it is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Saturation {
    current_a: f64,
    phase_v: f64,
}

/// A three-phase cage motor. `T = 3 |I2|^2 (r2/s) / ws` per cage, which is three times the stator current squared times
/// the real part of the air-gap impedance, over ws.
///
/// ```
/// use startmargin::motor::{Cage, Machine, Stage, ThreePhase};
/// // 3 hp, 220 V, 60 Hz, 4 poles: 65.739 A and 52.972 N m at standstill
/// let motor = ThreePhase::new(4, 60.0, [0.435, 0.754, 26.13], Cage { r_ohm: 0.816, x_ohm: 0.754 }, 0.089);
/// let v = 220.0 / 3f64.sqrt();
/// let stalled = motor.at(0.0, Stage::RUN);
/// assert!((stalled.y.norm() * v - 65.739).abs() < 1e-3);
/// assert!((stalled.torque_per_v2 * v * v - 52.972).abs() < 1e-3);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct ThreePhase {
    sync_speed: f64,
    per_sync: f64,
    z1: Complex64,
    xm: f64,
    cage: Cage,
    gap: AirGap,
    second: Option<Cage>,
    saturation: Option<Saturation>,
    inertia: f64,
}

impl ThreePhase {
    /// Poles, frequency \[Hz\], `[r1, x1, xm]` \[ohm\] per phase, the cage, inertia \[kg m2\].
    pub fn new(poles: u32, frequency_hz: f64, stator: [f64; 3], cage: Cage, inertia_kgm2: f64) -> Self {
        let [r1, x1, xm] = stator;
        ThreePhase {
            sync_speed: super::sync_speed(poles, frequency_hz),
            per_sync: 1.0 / super::sync_speed(poles, frequency_hz),
            z1: Complex64::new(r1, x1),
            xm,
            cage,
            gap: AirGap::new(1.0, xm, cage.r_ohm, cage.x_ohm),
            second: None,
            saturation: None,
            inertia: inertia_kgm2,
        }
    }

    /// Time constant of the rotor with the stator open \[s\], at a frequency \[Hz\]: `(xm + x2) / (w r2)` of the slower cage.
    pub fn rotor_time_constant(&self, frequency_hz: f64) -> f64 {
        let of = |c: Cage| (self.xm + c.x_ohm) / (std::f64::consts::TAU * frequency_hz * c.r_ohm);
        of(self.cage).max(self.second.map_or(0.0, of))
    }

    /// The same with a second cage in parallel with the first.
    #[must_use]
    pub fn with_second_cage(mut self, second: Cage) -> Self {
        self.second = Some(second);
        self
    }

    /// The same with leakage that saturates from this rms line current on \[A\], at each speed as it is at this voltage of a
    /// phase \[V\]: so the machine stays linear in voltage. Both above 0.
    #[must_use]
    pub fn with_leakage_saturation(mut self, current_a: f64, phase_v: f64) -> Self {
        self.saturation = Some(Saturation { current_a, phase_v });
        self
    }

    /// The same with its leakage, where it saturates, as at this voltage of a phase \[V\].
    #[must_use]
    pub fn at_phase_voltage(mut self, phase_v: f64) -> Self {
        self.saturation = self.saturation.map(|s| Saturation { phase_v, ..s });
        self
    }

    /// The same with another inertia \[kg m2\].
    #[must_use]
    pub fn with_inertia(mut self, inertia_kgm2: f64) -> Self {
        self.inertia = inertia_kgm2;
        self
    }

    /// Stator resistance \[ohm\].
    pub fn r1_ohm(&self) -> f64 {
        self.z1.re
    }

    /// Magnetising reactance \[ohm\].
    pub fn xm_ohm(&self) -> f64 {
        self.xm
    }

    /// The cages, their leakage unsaturated.
    pub fn cages(&self) -> [Option<Cage>; 2] {
        [Some(self.cage), self.second]
    }

    /// Rms line current at which the leakage begins to saturate \[A\], if it does.
    pub fn leakage_saturation_a(&self) -> Option<f64> {
        self.saturation.map(|s| s.current_a)
    }

    /// Leakage reactances at a mechanical speed \[rad/s\], at the voltage they are looked at.
    pub fn leakage_at(&self, speed: f64) -> Leakage {
        self.leakage(self.leakage_share(1.0 - speed * self.per_sync))
    }

    /// Leakage reactances at an rms line current \[A\].
    pub fn leakage_at_current(&self, current_a: f64) -> Leakage {
        self.leakage(self.saturation.map_or(1.0, |s| saturating(s.current_a / current_a)))
    }

    fn leakage(&self, share: f64) -> Leakage {
        Leakage {
            x1_ohm: share * self.z1.im,
            cages_ohm: self.cages().map(|cage| cage.map(|c| share * c.x_ohm)),
        }
    }

    /// Air-gap impedance and admittance of a phase with this share of the leakage left.
    #[inline]
    fn phase(&self, s: f64, share: f64) -> (Complex64, Complex64) {
        // rotor admittances s / (r + j s x), written so that zero slip is no division by zero
        let rotor = |c: Cage| s / Complex64::new(c.r_ohm, s * share * c.x_ohm);
        let first = Complex64::new(0.0, -1.0 / self.xm) + rotor(self.cage);
        let gap = match self.second {
            None => first.inv(),
            Some(second) => (first + rotor(second)).inv(),
        };
        (gap, (Complex64::new(self.z1.re, share * self.z1.im) + gap).inv())
    }

    /// The share of the leakage that is left at slip `s`: the one whose current leaves just that share. Between leakage and
    /// current, both as logarithms, the slopes are below 1, so there is one, and stepping to and fro finds it; the secant only
    /// makes it quick.
    fn leakage_share(&self, s: f64) -> f64 {
        let Some(Saturation { current_a, phase_v }) = self.saturation else { return 1.0 };
        let over = |share: f64| phase_v * self.phase(s, share).1.norm_sqr().sqrt() / current_a;
        let (least, most) = (over(1.0), over(0.0));
        if !(least > 1.0 && most.is_finite()) {
            return 1.0;
        }
        let most = most.max(least).ln();
        let step = |u: f64| over(saturating((-u).exp())).ln() - u;
        let mut u = least.ln();
        let mut h = step(u);
        let mut slope = -0.5;
        for _ in 0..60 {
            let next = (u - h / slope).clamp(0.0, most);
            let moved = next - u;
            if moved.abs() < 1e-13 {
                break;
            }
            let there = step(next);
            slope = ((there - h) / moved).clamp(-1.0, -1e-3);
            (u, h) = (next, there);
        }
        saturating((-u).exp())
    }
}

/// Reactance of a saturating path over its unsaturated one, by its describing function; `beta`: current at which it saturates
/// over the current. G. J. Rogers, D. Shirmohammadi, IEEE Trans. Energy Conversion, 1987 (from memory).
fn saturating(beta: f64) -> f64 {
    if beta >= 1.0 {
        return 1.0;
    }
    std::f64::consts::FRAC_2_PI * (beta.asin() + beta * (1.0 - beta * beta).sqrt())
}

impl Machine for ThreePhase {
    fn sync_speed(&self) -> f64 {
        self.sync_speed
    }

    fn inertia(&self) -> f64 {
        self.inertia
    }

    fn phases(&self) -> u32 {
        3
    }

    fn own_cut_out(&self) -> Option<f64> {
        None
    }

    fn instantaneous(&self) -> Option<Instantaneous<'_>> {
        Some(match self.second {
            None => Instantaneous::OneCage(self),
            Some(_) => Instantaneous::TwoCages(self),
        })
    }

    #[inline]
    fn at(&self, speed: f64, _stage: Stage) -> Point {
        let s = 1.0 - speed * self.per_sync;
        let (gap, y) = match (self.second, self.saturation) {
            (None, None) => {
                let gap = self.gap.at(s);
                (gap, (self.z1 + gap).inv())
            }
            _ => self.phase(s, self.leakage_share(s)),
        };
        Point { y, torque_per_v2: 3.0 * y.norm_sqr() * gap.re * self.per_sync }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STATOR: [f64; 3] = [0.5, 1.0, 30.0];
    const CAGE: Cage = Cage { r_ohm: 0.4, x_ohm: 0.6 };
    const V: f64 = 230.0;

    fn one() -> ThreePhase {
        ThreePhase::new(4, 50.0, STATOR, CAGE, 0.1)
    }

    #[test]
    fn analytic_two_equal_cages_are_one_of_half_the_impedance() {
        let half = Cage { r_ohm: 0.8, x_ohm: 1.2 };
        let two = ThreePhase::new(4, 50.0, STATOR, half, 0.1).with_second_cage(half);
        for speed in [0.0, 50.0, 140.0, one().sync_speed()] {
            let (a, b) = (one().at(speed, Stage::RUN), two.at(speed, Stage::RUN));
            assert!((a.y - b.y).norm() < 1e-12 && (a.torque_per_v2 - b.torque_per_v2).abs() < 1e-12);
        }
    }

    /// Limits: all of it at the edge, `4 beta / pi` far beyond (the flux of a square wave), and the value at half by hand.
    #[test]
    fn analytic_describing_function() {
        assert_eq!((saturating(1.0), saturating(f64::INFINITY)), (1.0, 1.0));
        assert!((saturating(1e-4) / (1e-4 * 4.0 / std::f64::consts::PI) - 1.0).abs() < 1e-8);
        // asin 1/2 = pi/6: 1/3 + sqrt 3 / (2 pi)
        assert!((saturating(0.5) - (1.0 / 3.0 + 3f64.sqrt() / std::f64::consts::TAU)).abs() < 1e-15);
        assert!((1..100).all(|i| saturating(f64::from(i) / 100.0) < saturating(f64::from(i + 1) / 100.0)));
    }

    #[test]
    fn analytic_below_its_current_nothing_saturates() {
        let second = Cage { r_ohm: 2.0, x_ohm: 0.2 };
        for plain in [one(), one().with_second_cage(second)] {
            let stalled = plain.at(0.0, Stage::RUN).y.norm() * V;
            let high = plain.clone().with_leakage_saturation(1.001 * stalled, V);
            let low = plain.clone().with_leakage_saturation(0.999 * stalled, V);
            for speed in [0.0, 30.0, 100.0, 150.0, 157.0] {
                let (a, b) = (plain.at(speed, Stage::RUN), high.at(speed, Stage::RUN));
                assert!((a.y - b.y).norm() < 1e-12 && (a.torque_per_v2 - b.torque_per_v2).abs() < 1e-12);
            }
            assert!(low.at(0.0, Stage::RUN).y.norm() * V > stalled);
        }
    }

    /// The leakage it works with is the one that its own current leaves.
    #[test]
    fn analytic_leakage_and_current_agree() {
        for current_a in [1e-3, 1.0, 20.0, 50.0, 90.0] {
            for second in [None, Some(Cage { r_ohm: 2.0, x_ohm: 0.2 })] {
                let mut m = one().with_leakage_saturation(current_a, V);
                m.second = second;
                for speed in [0.0, 60.0, 120.0, 150.0, 156.0, 157.0] {
                    let current = m.at(speed, Stage::RUN).y.norm() * V;
                    let (at, by) = (m.leakage_at(speed).x1_ohm, m.leakage_at_current(current).x1_ohm);
                    assert!((at - by).abs() < 1e-9, "{current_a} A, {speed} rad/s: {at} and {by}");
                }
            }
        }
    }

    /// 10 hp 400 V with a second cage and a saturation that are assumed; current, torque and x1 by an independent program (scipy,
    /// brentq on the current).
    #[test]
    fn compare_saturated_points() {
        let v = 400.0 / 3f64.sqrt();
        let m = ThreePhase::new(4, 50.0, [0.7384, 0.957, 38.99], Cage { r_ohm: 0.7402, x_ohm: 1.6 }, 0.1)
            .with_second_cage(Cage { r_ohm: 2.5, x_ohm: 0.3 })
            .with_leakage_saturation(40.0, v);
        for (slip, amps, torque_nm, x1_ohm) in [
            (1.0, 156.23052012339932, 281.37593771527844, 0.30852965111327846),
            (0.5, 110.16650177142718, 268.2920901223177, 0.43249498745712467),
            (0.2, 59.01753691070929, 185.09282908731328, 0.7573308417900274),
            (0.05, 19.538116956358675, 73.41530645443682, 0.957),
        ] {
            let speed = (1.0 - slip) * m.sync_speed();
            let at = m.at(speed, Stage::RUN);
            let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-9, "{slip}: {a} and {b}");
            near(at.y.norm() * v, amps);
            near(at.torque_per_v2 * v * v, torque_nm);
            near(m.leakage_at(speed).x1_ohm, x1_ohm);
        }
    }

    #[test]
    fn analytic_the_sooner_it_saturates_the_larger_the_locked_rotor_current() {
        let stalled = |amps: f64| one().with_leakage_saturation(amps, V).at(0.0, Stage::RUN);
        let amps: Vec<f64> = (1..40).map(|i| 3.0 * f64::from(i)).collect();
        for pair in amps.windows(2) {
            let (low, high) = (stalled(pair[0]), stalled(pair[1]));
            assert!(low.y.norm() >= high.y.norm() && low.torque_per_v2 >= high.torque_per_v2);
        }
        // with no leakage left there are the resistances
        let bare = ThreePhase::new(4, 50.0, [0.5, 0.0, 30.0], Cage { x_ohm: 0.0, ..CAGE }, 0.1);
        let limit = bare.at(0.0, Stage::RUN).y.norm();
        assert!((stalled(1e-6).y.norm() / limit - 1.0).abs() < 1e-6);
    }

    /// The same at half the voltage: less current, more leakage left, less torque per volt squared.
    #[test]
    fn analytic_at_a_lower_voltage_more_leakage_is_left() {
        let full = one().with_leakage_saturation(60.0, V);
        let half = full.clone().at_phase_voltage(0.5 * V);
        assert!(half.leakage_at(0.0).x1_ohm > full.leakage_at(0.0).x1_ohm);
        assert!(half.at(0.0, Stage::RUN).torque_per_v2 < full.at(0.0, Stage::RUN).torque_per_v2);
    }
}
