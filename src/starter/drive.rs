//! Variable-frequency drive: frequency and voltage rise together, the rotor follows at the slip of its load.

use super::{Coupling, Starter};

/// Largest line current of a drive that declares none, over the rated-load current: drives for the motor's size give 1.0 to
/// 1.2 times it while starting (common practice, no source). The upper end: safe for the supply.
pub const DRIVE_LIMIT: f64 = 1.2;

/// A drive, quasi-static (docs/models.md, "Drive").
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Largest current it takes from the line, and gives the motor \[A\].
    pub largest_a: f64,
    /// Time in which it raises the frequency from nothing to the line's \[s\].
    pub ramp_s: f64,
}

impl Starter for Drive {
    fn coupling(&self, _t: f64, _over: bool) -> Coupling {
        // what the motor settles at
        Coupling::Series { k: 1.0 }
    }

    fn drive(&self) -> Option<Drive> {
        Some(*self)
    }
}
