//! Motors: what a machine asks of the line and gives at the shaft at one speed, and the torque its load asks of it.
//!
//! A machine at a fixed speed is linear in voltage: an admittance, and a torque per volt squared ([`Point`]). That is all
//! the network needs, so a new kind of machine is one file here, one arm in
//! [`given::MotorFigures`] and one in `case::Path::new`.
//! Left out: saturation of the main path, deep-bar effect beyond two cages, iron loss, electrical transients (the waveform level).

mod capacitor;
mod crank;
pub mod fit;
pub mod given;
pub mod instantaneous;
mod load_torque;
mod plate;
mod three_phase;
mod two_winding;

pub use capacitor::{equal_current_capacitor_farad, right_angle_capacitor_farad};
pub use crank::{CompressorKind, Shape};
pub use load_torque::{LoadTorque, Pulsation, SpeedTorque};
pub use three_phase::{Cage, Cages, Leakage, Phases, ThreePhase};
pub use two_winding::{Auxiliary, Capacitor, TwoWinding, Windings};

use num_complex::Complex64;

/// Which start-only parts are still in the circuit. Once out they stay out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stage {
    /// The motor's own start switch is closed.
    pub own_start: bool,
    /// The starter's start capacitor is in.
    pub assist: bool,
}

impl Stage {
    /// At switch-on everything is in.
    pub const START: Stage = Stage { own_start: true, assist: true };
    /// Running: everything is out.
    pub const RUN: Stage = Stage { own_start: false, assist: false };
}

/// A machine at one speed, per volt at its terminals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Admittance of a phase \[S\]: line current over terminal voltage (line to neutral for three phases).
    pub y: Complex64,
    /// Torque over the square of that voltage \[N m/V2\], all phases together.
    pub torque_per_v2: f64,
}

/// A machine as the network sees it.
pub trait Machine: Send + Sync {
    /// Mechanical synchronous speed \[rad/s\].
    fn sync_speed(&self) -> f64;
    /// Moment of inertia of everything that turns \[kg m2\].
    fn inertia(&self) -> f64;
    /// 1 or 3.
    fn phases(&self) -> u32;
    /// Admittance and torque at a mechanical speed \[rad/s\].
    fn at(&self, speed: f64, stage: Stage) -> Point;
    /// Fraction of synchronous speed at which the motor's own start switch opens, if it has one.
    fn own_cut_out(&self) -> Option<f64>;
    /// Voltage across the auxiliary winding per volt at the terminals, at a mechanical speed \[rad/s\]: what a start relay's
    /// coil sees. 0 where there is no such winding, or it is open.
    fn auxiliary_per_v(&self, _speed: f64, _stage: Stage) -> f64 {
        0.0
    }
    /// The machine as differential equations, for the waveform level; `None` where there are none.
    fn instantaneous(&self) -> Option<instantaneous::Instantaneous<'_>> {
        None
    }
}

/// Mechanical synchronous speed \[rad/s\]: 4 pi f / poles.
fn sync_speed(poles: u32, frequency_hz: f64) -> f64 {
    2.0 * std::f64::consts::TAU * frequency_hz / f64::from(poles)
}

/// Magnetising branch in parallel with a rotor of one cage, seen from the stator: `j xm || (r2/s + j x2)`, times a share.
///
/// Written over `s` so that it holds at zero slip, `j xm (r2 + j s x2) / (r2 + j s (x2 + xm))`, with all that does not
/// depend on the slip worked out beforehand: real part `a s / d`, imaginary part `(b + c s^2) / d`, `d = r2^2 + (s xr)^2`.
#[derive(Debug, Clone, Copy, PartialEq)]
struct AirGap {
    a: f64,
    b: f64,
    c: f64,
    r2_squared: f64,
    xr_squared: f64,
}

impl AirGap {
    fn new(share: f64, xm: f64, r2: f64, x2: f64) -> Self {
        let xr = x2 + xm;
        AirGap {
            a: share * xm * xm * r2,
            b: share * xm * r2 * r2,
            c: share * xm * x2 * xr,
            r2_squared: r2 * r2,
            xr_squared: xr * xr,
        }
    }

    /// The impedance at slip `s`.
    #[inline]
    fn at(&self, s: f64) -> Complex64 {
        let s2 = s * s;
        let over = 1.0 / (self.r2_squared + self.xr_squared * s2);
        Complex64::new(self.a * s * over, (self.b + self.c * s2) * over)
    }
}
