//! Soft starter that holds the current.

use super::{Coupling, Starter};

/// An ideal current limiter. Optimistic for phase control, whose harmonics add current without torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limiter {
    /// The line current it holds \[A\].
    pub amps: f64,
}

impl Starter for Limiter {
    fn coupling(&self, _t: f64, _over: bool) -> Coupling {
        Coupling::Limit { amps: self.amps }
    }
}
