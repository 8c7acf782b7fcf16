//! Three-phase cage motor: the usual circuit per phase of the star equivalent, one cage or two.

mod waveform;

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
        let gap = match self.second {
            None => self.gap.at(s),
            Some(second) => {
                // rotor admittances s / (r + j s x), written so that zero slip is no division by zero
                let cage = |c: Cage| s / Complex64::new(c.r_ohm, s * c.x_ohm);
                (Complex64::new(0.0, -1.0 / self.xm) + cage(self.cage) + cage(second)).inv()
            }
        };
        let y = (self.z1 + gap).inv();
        Point { y, torque_per_v2: 3.0 * y.norm_sqr() * gap.re * self.per_sync }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn analytic_two_equal_cages_are_one_of_half_the_impedance() {
        let one = ThreePhase::new(4, 50.0, [0.5, 1.0, 30.0], Cage { r_ohm: 0.4, x_ohm: 0.6 }, 0.1);
        let two = ThreePhase::new(4, 50.0, [0.5, 1.0, 30.0], Cage { r_ohm: 0.8, x_ohm: 1.2 }, 0.1)
            .with_second_cage(Cage { r_ohm: 0.8, x_ohm: 1.2 });
        for speed in [0.0, 50.0, 140.0, one.sync_speed()] {
            let (a, b) = (one.at(speed, Stage::RUN), two.at(speed, Stage::RUN));
            assert!((a.y - b.y).norm() < 1e-12 && (a.torque_per_v2 - b.torque_per_v2).abs() < 1e-12);
        }
    }
}
