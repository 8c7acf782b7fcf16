//! Starters: what stands between the board and the motor.

use crate::figure::Figure;
use crate::quantity::*;

/// The kinds of starter the site file knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StarterKind {
    /// Straight on the line.
    #[default]
    Direct,
    /// Straight on the line with a start capacitor added.
    Assist,
    /// Holds the line current at or below a set value.
    Limiter,
    /// Raises the voltage from an initial fraction to full in a set time.
    Ramp,
    /// Autotransformer.
    Autotransformer,
    /// Star-delta.
    StarDelta,
    /// Variable-frequency drive.
    Drive,
}

/// A starter as the site file states it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StarterFigures {
    /// What it is.
    pub kind: StarterKind,
    /// Largest line current it lets through.
    pub largest_a: Option<Figure<Ampere>>,
    /// Start-current reduction r: the current is held at (1 - r) x LRA.
    pub reduction: Option<Figure<Ratio>>,
    /// Declared duration of the reduced start.
    pub duration_s: Option<Figure<Second>>,
    /// Voltage fraction a ramp begins with.
    pub initial_fraction: Option<Figure<Ratio>>,
    /// Time a ramp takes to full voltage.
    pub ramp_s: Option<Figure<Second>>,
    /// Start capacitor it switches in parallel with the run capacitor.
    pub assist_capacitor_uf: Option<Figure<Microfarad>>,
    /// Speed, as a fraction of synchronous speed, at which that capacitor leaves.
    pub cut_out_speed: Option<Figure<Ratio>>,
    /// Catalogue entry it was based on.
    pub based_on: Option<String>,
}

crate::figures!(StarterFigures: largest_a, reduction, duration_s, initial_fraction, ramp_s, assist_capacitor_uf, cut_out_speed);
