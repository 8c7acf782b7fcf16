//! What is usual of a kind of motor: the weak wishes of a fit. Resistances and leakage are shares of the stalled impedance
//! (rated voltage over locked-rotor current, of a phase), which holds over sizes as a share of the rated one does not.
//!
//! Sets behind them. A: residential compressor motor of 3.5 kVA (B. Lesieutre, D. Kosterev, J. Undrill, IEEE PES General
//! Meeting 2008, as published in open grid-simulation code) at a torque of 1.0448. B: 1/4 hp machine (main winding and rotor
//! seen in A. E. Fitzgerald et al., Electric Machinery, Ex 9.2; auxiliary and capacitors from memory) with its run capacitor,
//! B' with its start capacitor, B" split phase. C: the motor written out in docs/site-file.md, an invented example
//! (assumed). D: Fitzgerald Ex 9.1, 1/3 hp (seen), half of its resistance taken as the rotor's (assumed). T: the ten
//! three-phase sets of tests/data/three_phase.csv. The middles are rounded means of logarithms, the spreads wider than
//! these few sets show (assumed).

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

impl Usual {
    /// The row of a logarithm: ln of the value, and one over the deviation.
    pub(super) fn row(self) -> Row {
        Row { ln: self.value.ln(), per_sigma: 1.0 / self.sigma }
    }
}

/// A wish made ready.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    pub ln: f64,
    pub per_sigma: f64,
}

impl Row {
    #[inline]
    pub(super) fn at(self, ln: f64) -> f64 {
        (ln - self.ln) * self.per_sigma
    }
}

/// The wishes of a kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Prior {
    /// Slip at the rated point.
    pub slip: Usual,
    /// Iron loss and friction, of the input at the rated point.
    pub drag: Usual,
    /// Main winding or stator resistance, of the stalled impedance.
    pub r1: Usual,
    /// Its leakage reactance, of the stalled impedance.
    pub x1: Usual,
    /// Magnetising reactance, of rated voltage over rated current.
    pub xm: Usual,
    /// Rotor resistance, of the stalled impedance.
    pub r2: Usual,
    /// Rotor leakage over that of the main winding.
    pub x2_over_x1: Usual,
    /// Resistance of the outer cage over that of the inner, of a motor with two.
    pub r3_over_r2: Usual,
    /// Leakage of the outer cage over that of the inner.
    pub x3_over_x2: Usual,
    /// Current from which the leakage saturates, over the locked-rotor current.
    pub saturation: Usual,
    /// Auxiliary resistance over `a^2 r1`.
    pub r1a: Usual,
    /// Auxiliary leakage over `a^2 x1`.
    pub x1a: Usual,
    /// Turns ratio.
    pub turns: Usual,
    /// Reactance of the run capacitor over `(1 + a^2)` rated voltage over rated current: at 1 the two windings are balanced
    /// at the rated point (derived).
    pub run: Usual,
    /// Reactance of the start capacitor over `a^2` times the stalled main winding's impedance.
    pub start: Usual,
}

const CAPACITOR_RUN: Prior = Prior {
    // A 0.028, B 0.05, C 0.042
    slip: usual(0.042, 0.4),
    // Fitzgerald Ex 9.2 0.15 (24 W and 13 W), Chapman Ex 6-3 0.09 (1100 W, 25 hp; from memory); less in larger motors
    drag: usual(0.08, 0.8),
    // A 0.27, B 0.25, C 0.34
    r1: usual(0.28, 0.35),
    // A 0.39, B 0.35, C 0.33
    x1: usual(0.35, 0.35),
    // A 2.5, B 1.75, C 1.8
    xm: usual(2.0, 0.3),
    // A 0.35, B 0.52, C 0.42
    r2: usual(0.42, 0.35),
    // A 0.92, B 0.76, C 1.04
    x2_over_x1: usual(0.95, 0.25),
    // not read: neither two cages nor saturation in a single-phase motor here
    r3_over_r2: usual(1.0, 1.0),
    x3_over_x2: usual(1.0, 1.0),
    saturation: usual(1.0, 1.0),
    // A 1.34, B 2.5, C 0.97
    r1a: usual(1.5, 0.4),
    // A 0.94, B 0.83, C 0.52
    x1a: usual(0.8, 0.35),
    // A 1.22, B 1.18, C 1.97
    turns: usual(1.4, 0.3),
    // A 1.22, B 1.88, C 1.31
    run: usual(1.4, 0.3),
    // B' 1.3, A 3.5 (a start device's), D 2.7
    start: usual(2.2, 0.5),
};

/// Label's locked-rotor current with the start winding in, which shares it: the shares are larger.
const CAPACITOR_START: Prior = Prior {
    slip: usual(0.045, 0.4),
    // B' 0.32, 0.44, 0.66; xm 2.2
    r1: usual(0.35, 0.4),
    x1: usual(0.45, 0.4),
    xm: usual(2.1, 0.3),
    r2: usual(0.6, 0.4),
    // B' 2.5, with the capacitor's resistance 3.6; D 3.2
    r1a: usual(3.0, 0.5),
    turns: usual(1.2, 0.3),
    ..CAPACITOR_RUN
};

/// Start parts of the one, run parts of the other.
const CAPACITOR_START_RUN: Prior =
    Prior { r1: CAPACITOR_START.r1, x1: CAPACITOR_START.x1, r2: CAPACITOR_START.r2, ..CAPACITOR_RUN };

const SPLIT_PHASE: Prior = Prior {
    // B" 0.40, 0.55, 0.82; D about 0.6, 0.5, 0.6
    r1: usual(0.5, 0.4),
    x1: usual(0.5, 0.4),
    r2: usual(0.65, 0.4),
    // D about 0.97
    turns: usual(1.0, 0.3),
    ..CAPACITOR_START
};

const THREE_PHASE: Prior = Prior {
    // T 0.008 to 0.05
    slip: usual(0.035, 0.5),
    // T 0.064 to 0.35
    r1: usual(0.2, 0.5),
    // T 0.39 to 0.60
    x1: usual(0.45, 0.25),
    // T 1.7 to 4.6
    xm: usual(2.6, 0.35),
    // T 0.05 to 0.42
    r2: usual(0.2, 0.6),
    // T 0.42 to 1
    x2_over_x1: usual(1.0, 0.3),
    ..CAPACITOR_RUN
};

/// Two cages in parallel, what a deep-bar rotor looks like too. The inner cage takes the place of the one.
pub(super) const DOUBLE_CAGE: Prior = Prior {
    r2: usual(0.25, 0.6),
    // leakage of the inner cage, deep in the iron (assumed)
    x1: usual(0.45, 0.35),
    x2_over_x1: usual(2.0, 0.6),
    // S. J. Chapman, Electric Machinery Fundamentals, example of a double cage (from memory): 8; textbook exercise (from
    // memory): 5
    r3_over_r2: usual(5.0, 0.7),
    // the same: 0.15, 0.2; deep bars more (assumed)
    x3_over_x2: usual(0.4, 0.7),
    ..THREE_PHASE
};

/// Two cages, and leakage that saturates.
pub(super) const SATURATING: Prior = Prior {
    // unsaturated
    x1: usual(0.45 / STALLED_SHARE, 0.25),
    saturation: usual(0.6, 0.25),
    ..DOUBLE_CAGE
};

/// What is left of the leakage at the locked-rotor current where it saturates from 0.6 of that (assumed; the describing
/// function at 0.6).
pub(super) const STALLED_SHARE: f64 = 0.715;

impl Winding {
    pub(super) fn prior(self) -> &'static Prior {
        match self {
            Winding::CapacitorRun => &CAPACITOR_RUN,
            Winding::CapacitorStartRun => &CAPACITOR_START_RUN,
            Winding::CapacitorStart => &CAPACITOR_START,
            Winding::SplitPhase => &SPLIT_PHASE,
            Winding::ThreePhase => &THREE_PHASE,
        }
    }
}

/// Torque with the start parts in over that without them, where the start switch opens: motors are made so that it opens near
/// the crossing of the two curves, and that the rotor does not hang below it (common practice, no source).
pub(super) const AT_CUT_OUT: Usual = usual(1.15, 0.15);
