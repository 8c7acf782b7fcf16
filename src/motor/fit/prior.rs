//! What is usual of a kind of motor: the weak wishes of a fit, in per unit of rated voltage over rated current (of a phase).

use super::Winding;

/// A wish on a logarithm: the value it is about, and the standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Usual {
    pub value: f64,
    pub sigma: f64,
}

const fn usual(value: f64, sigma: f64) -> Usual {
    Usual { value, sigma }
}

/// The wishes of a kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Prior {
    /// Slip at the rated point.
    pub slip: Usual,
    /// Main winding or stator.
    pub r1: Usual,
    /// Its leakage reactance.
    pub x1: Usual,
    /// Magnetising reactance.
    pub xm: Usual,
    /// Rotor resistance.
    pub r2: Usual,
    /// Rotor leakage over that of the main winding.
    pub x2_over_x1: Usual,
    /// Auxiliary resistance over `a^2 r1`.
    pub r1a: Usual,
    /// Auxiliary leakage over `a^2 x1`.
    pub x1a: Usual,
    /// Turns ratio.
    pub turns: Usual,
    /// Reactance of the run capacitor over `1 + a^2`: at 1 the two windings are balanced at the rated point (derived).
    pub run: Usual,
    /// Reactance of the start capacitor over `a^2` times the stalled main winding's impedance.
    pub start: Usual,
}

const CAPACITOR_RUN: Prior = Prior {
    slip: usual(0.045, 0.4),
    r1: usual(0.05, 0.4),
    x1: usual(0.064, 0.4),
    xm: usual(1.9, 0.3),
    r2: usual(0.075, 0.4),
    x2_over_x1: usual(0.9, 0.3),
    r1a: usual(1.5, 0.4),
    x1a: usual(0.8, 0.4),
    turns: usual(1.4, 0.3),
    run: usual(1.4, 0.3),
    start: usual(2.0, 0.5),
};

const MAIN_ONLY: Prior = Prior {
    slip: usual(0.045, 0.4),
    r1: usual(0.06, 0.4),
    x1: usual(0.08, 0.4),
    xm: usual(1.9, 0.3),
    r2: usual(0.12, 0.4),
    r1a: usual(2.5, 0.5),
    turns: usual(1.2, 0.3),
    ..CAPACITOR_RUN
};

const SPLIT_PHASE: Prior = Prior { r1a: usual(3.5, 0.5), turns: usual(0.9, 0.3), ..MAIN_ONLY };

const THREE_PHASE: Prior = Prior {
    slip: usual(0.035, 0.4),
    r1: usual(0.03, 0.5),
    x1: usual(0.08, 0.4),
    xm: usual(2.5, 0.4),
    r2: usual(0.03, 0.5),
    x2_over_x1: usual(1.0, 0.3),
    ..CAPACITOR_RUN
};

impl Winding {
    pub(super) fn prior(self) -> &'static Prior {
        match self {
            Winding::CapacitorRun | Winding::CapacitorStartRun => &CAPACITOR_RUN,
            Winding::CapacitorStart => &MAIN_ONLY,
            Winding::SplitPhase => &SPLIT_PHASE,
            Winding::ThreePhase => &THREE_PHASE,
        }
    }
}
