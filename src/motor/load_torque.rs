//! The torque a load asks of its motor.

/// What the shaft must carry, at a speed and a time after switch-on.
pub trait LoadTorque: Send + Sync {
    /// Torque \[N m\] at a mechanical speed \[rad/s\], `t` \[s\] after switch-on: the mean over a revolution. Backwards it
    /// has the sign of the speed, for a load only ever brakes.
    fn at(&self, speed: f64, t: f64) -> f64;
    /// The same at a moment of the revolution: `angle` is the shaft's since switch-on \[rad\], any real number.
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

/// TL = Tr (c0 + (c1 x + c2 x^2) b), x = speed over rated speed, b = 1 - exp(-t / build_up) (1 without build-up);
/// for a negative speed minus that of the positive one.
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

/// 1 - exp(-u). A start is short against its build-up, so that the series does (to 3e-9 of itself below 0.05) where the
/// exponential would be a tenth of the simulation's time.
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

    #[test]
    fn regress_a_load_brakes_whichever_way_it_turns() {
        let load = SpeedTorque {
            rated_nm: 2.0,
            rated_speed: 180.0,
            shares: [0.3, 0.2, 0.5],
            breakaway: 0.4,
            build_up_s: 3.0,
        };
        for (speed, t) in [(1.0, 0.1), (90.0, 2.0), (200.0, 30.0)] {
            assert!(load.at(speed, t) > 0.0);
            assert_eq!(load.at(-speed, t), -load.at(speed, t));
            assert_eq!(load.settled(-speed), -load.settled(speed));
        }
        assert_eq!(load.at(0.0, 1.0), 0.6);
        assert_eq!(load.at(-0.0, 1.0), 0.6);
    }
}
