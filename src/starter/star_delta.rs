//! Star-delta: the windings in star first, each at 1/sqrt3 of its voltage, then in delta.
//!
//! In star line current and torque are a third of those in delta at the same speed: to the line it is an autotransformer at
//! the tap 1/sqrt3 (exact for a balanced linear machine, derived).

use super::{ChangeOver, Coupling, Starter};

/// An ideal star-delta starter. The peak of an open transition is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StarDelta {
    /// When it changes to delta.
    pub change_over: ChangeOver,
}

impl Starter for StarDelta {
    fn coupling(&self, _t: f64, over: bool) -> Coupling {
        if over { Coupling::Series { k: 1.0 } } else { Coupling::Transformer { k: 1.0 / 3f64.sqrt() } }
    }

    fn change_over(&self) -> Option<ChangeOver> {
        Some(self.change_over)
    }
}
