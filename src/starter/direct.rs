//! No starter at all.

use super::{Coupling, Starter};

/// Straight on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direct;

impl Starter for Direct {
    fn coupling(&self, _t: f64, _over: bool) -> Coupling {
        Coupling::Series { k: 1.0 }
    }
}
