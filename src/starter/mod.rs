//! Starters: what stands between the board and the motor.
//!
//! A starter never sees the motor: it answers with a [`Coupling`] and the network solves it. A new kind is one file here
//! and one arm in [`StarterFigures::starter`]. Ideal devices: no loss, no harmonics.

pub mod autotransformer;
mod direct;
mod drive;
mod figures;
mod limiter;
pub mod phase_control;
mod ramp;
mod star_delta;

pub use autotransformer::Autotransformer;
pub use direct::Direct;
pub use drive::{DRIVE_LIMIT, Drive};
pub use figures::{StarterFigures, StarterKind};
pub use limiter::Limiter;
pub use phase_control::PhaseControl;
pub use ramp::{Kick, Ramp};
pub use star_delta::StarDelta;

/// How a starter couples the motor to the line at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coupling {
    /// In series: the motor gets `k` times the voltage at equal current.
    Series {
        /// Voltage fraction, 0 to 1.
        k: f64,
    },
    /// Through a transformer: `k` times the voltage, and the line carries `k` times the motor's current.
    Transformer {
        /// Voltage fraction, 0 to 1.
        k: f64,
    },
    /// In series, with the largest `k` up to 1 that keeps the line current within `amps`.
    Limit {
        /// The current it holds \[A\].
        amps: f64,
    },
    /// In series, by thyristors that let a part of each half wave through: at most `k` times the voltage, with the rms line
    /// current, harmonics included, within `amps`.
    Chopped {
        /// Voltage fraction, 0 to 1, by fundamentals.
        k: f64,
        /// The current it holds \[A\]; infinite for none.
        amps: f64,
        /// Whether in a three-phase line.
        three_phase: bool,
    },
}

/// When a starter changes over from its first way of coupling to its last: at a time or at a speed, whichever comes first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChangeOver {
    /// Time after switch-on \[s\]; infinite where only the speed decides.
    pub at_s: f64,
    /// Fraction of synchronous speed.
    pub at_speed: Option<f64>,
}

/// When a starter's capacitor leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CutOut {
    /// At this fraction of synchronous speed.
    Speed(f64),
    /// When a relay across the auxiliary winding sees this voltage \[V\].
    Voltage(f64),
}

/// A starter as the network sees it.
pub trait Starter: Send + Sync {
    /// The coupling `t` \[s\] after switch-on; `over`: once it has changed over.
    fn coupling(&self, t: f64, over: bool) -> Coupling;
    /// The time after switch-on from which the coupling no longer changes by itself, but for its change-over; 0 if it never
    /// does.
    fn constant_from_s(&self) -> f64 {
        0.0
    }
    /// Its change-over, if it has one.
    fn change_over(&self) -> Option<ChangeOver> {
        None
    }
    /// The drive it is, which feeds the motor with another frequency than the line's: no coupling says that.
    fn drive(&self) -> Option<Drive> {
        None
    }
}
