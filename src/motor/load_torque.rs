//! The torque a load asks of its motor.

use super::crank::CompressorKind;

/// What the shaft must carry, at a speed and a time after switch-on.
pub trait LoadTorque: Send + Sync {
    /// Torque \[N m\] at a mechanical speed \[rad/s\], `t` \[s\] after switch-on: the mean over a revolution.
    /// Backwards it has the sign of the speed, for a load only ever brakes.
    fn at(&self, speed: f64, t: f64) -> f64;
    /// The same at a moment of the revolution: `angle` is the shaft's since switch-on \[rad\], any real
    /// number.
    fn at_angle(&self, speed: f64, t: f64, angle: f64) -> f64 {
        let _ = angle;
        self.at(speed, t)
    }
    /// Whether the torque depends on the angle.
    fn pulsates(&self) -> bool {
        false
    }
    /// Torque \[N m\] at a speed once built up.
    fn settled(&self, speed: f64) -> f64;
    /// Torque \[N m\] that must be exceeded at standstill.
    fn breakaway(&self) -> f64;
    /// Time constant \[s\] of the build-up, 0 where there is none.
    fn build_up_s(&self) -> f64;
}

/// What of a compressor's torque swings with the shaft's angle, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulsation {
    /// The kind of compressor.
    pub kind: CompressorKind,
    /// Share of rated torque, out of the constant share, that is friction and does not swing; infinite: all
    /// of that.
    pub friction: f64,
}

/// TL = Tr (c0 + (c1 x + c2 x^2) b), x = speed over rated speed, b = 1 - exp(-t / build_up) (1 without
/// build-up); for a negative speed minus that of the positive one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedTorque {
    /// Rated torque Tr \[N m\].
    pub rated_nm: f64,
    /// The speed it is stated at \[rad/s\].
    pub rated_speed: f64,
    /// Shares: constant, with speed, with its square.
    pub shares: [f64; 3],
    /// Share to be exceeded at standstill.
    pub breakaway: f64,
    /// Time constant of the build-up \[s\], 0 for none.
    pub build_up_s: f64,
    /// How it swings with the angle; `None`: not at all.
    pub pulsation: Option<Pulsation>,
}

impl SpeedTorque {
    #[inline]
    fn torque(&self, speed: f64, built_up: f64) -> f64 {
        let x = speed.abs() / self.rated_speed;
        let [c0, c1, c2] = self.shares;
        let size = self.rated_nm * (c0 + (c1 + c2 * x) * x * built_up);
        if speed < 0.0 { -size } else { size }
    }
}

/// 1 - exp(-u). A start is short against its build-up, so that the series does (to 3e-9 of itself below 0.05)
/// where the exponential would be a tenth of the simulation's time.
#[inline]
fn built_up(u: f64) -> f64 {
    if u < 0.05 {
        u * (1.0 - u * (0.5 - u * (1.0 / 6.0 - u * (1.0 / 24.0 - u / 120.0))))
    } else {
        1.0 - (-u).exp()
    }
}

impl LoadTorque for SpeedTorque {
    #[inline]
    fn at(&self, speed: f64, t: f64) -> f64 {
        let b = if self.build_up_s > 0.0 { built_up(t / self.build_up_s) } else { 1.0 };
        self.torque(speed, b)
    }

    /// Backwards a compressor runs through the mirror image of its revolution: right for a piston, assumed
    /// for the rest.
    #[inline]
    fn at_angle(&self, speed: f64, t: f64, angle: f64) -> f64 {
        let mean = self.at(speed, t);
        let Some(pulsation) = self.pulsation else { return mean };
        let (forwards, angle) = if speed < 0.0 { (-1.0, -angle) } else { (1.0, angle) };
        let friction = forwards * self.rated_nm * pulsation.friction.min(self.shares[0]);
        friction + (mean - friction) * pulsation.kind.shape().at(angle)
    }

    fn pulsates(&self) -> bool {
        self.pulsation.is_some()
    }

    fn settled(&self, speed: f64) -> f64 {
        self.torque(speed, 1.0)
    }

    fn breakaway(&self) -> f64 {
        self.rated_nm * self.breakaway.max(self.shares[0])
    }

    fn build_up_s(&self) -> f64 {
        self.build_up_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOAD: SpeedTorque = SpeedTorque {
        rated_nm: 2.0,
        rated_speed: 180.0,
        shares: [0.3, 0.2, 0.5],
        breakaway: 0.4,
        build_up_s: 3.0,
        pulsation: None,
    };

    #[test]
    fn regress_a_load_brakes_whichever_way_it_turns() {
        for (speed, t) in [(1.0, 0.1), (90.0, 2.0), (200.0, 30.0)] {
            assert!(LOAD.at(speed, t) > 0.0);
            assert_eq!(LOAD.at(-speed, t), -LOAD.at(speed, t));
            assert_eq!(LOAD.settled(-speed), -LOAD.settled(speed));
        }
        assert_eq!(LOAD.at(0.0, 1.0), 0.6);
        assert_eq!(LOAD.at(-0.0, 1.0), 0.6);
    }

    #[test]
    fn analytic_the_mean_over_a_revolution_is_the_torque_without_angle() {
        assert!(!LOAD.pulsates());
        assert_eq!(LOAD.at_angle(90.0, 2.0, 1.0), LOAD.at(90.0, 2.0));
        for (word, kind) in CompressorKind::ALL {
            for friction in [0.0, 0.1, f64::INFINITY] {
                let load = SpeedTorque { pulsation: Some(Pulsation { kind, friction }), ..LOAD };
                assert!(load.pulsates());
                for speed in [-150.0, 30.0, 180.0] {
                    let at =
                        |i: u32| load.at_angle(speed, 2.0, f64::from(i) * std::f64::consts::TAU / 4096.0);
                    let mean = (0..4096).map(at).sum::<f64>() / 4096.0;
                    let expected = load.at(speed, 2.0);
                    assert!((mean / expected - 1.0).abs() < 1e-6, "{word}: {mean} against {expected}");
                    let largest = (0..4096).map(at).fold(0.0, |m: f64, x| m.max(x.abs()));
                    let steady = 2.0 * friction.min(0.3);
                    let by_hand = steady + (expected.abs() - steady) * kind.shape().peak();
                    assert!((largest / by_hand - 1.0).abs() < 1e-9, "{word}: {largest} against {by_hand}");
                }
            }
        }
    }

    /// To and fro within one stroke, gas that is let out pushes, but never gives more than it took.
    #[test]
    fn prop_rocking_to_and_fro_costs_work() {
        for (word, kind) in CompressorKind::ALL {
            let load = SpeedTorque { pulsation: Some(Pulsation { kind, friction: f64::INFINITY }), ..LOAD };
            for i in 0..48 {
                let (from, width) = (f64::from(i) * 0.131, 0.05 + f64::from(i % 5) * 0.4);
                let at = |j: u32| from + width * (f64::from(j) + 0.5) / 400.0;
                let there: f64 = (0..400).map(|j| load.at_angle(90.0, 9.0, at(j))).sum();
                let back: f64 = (0..400).map(|j| -load.at_angle(-90.0, 9.0, at(j))).sum();
                assert!(there + back > 0.0, "{word} from {from} over {width}: {there}, {back}");
            }
        }
    }
}
