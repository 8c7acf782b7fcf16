//! Wiring between board and load. Impedance in ohm for now; tables by size and length come with the wiring checks.

use crate::figure::Figure;
use crate::quantity::*;

/// Conductor size, one way or the other.
#[derive(Debug, Clone, PartialEq)]
pub enum ConductorSize {
    /// American wire gauge, as written ("12", "1/0").
    Awg(String),
    /// Cross-section.
    Area(Figure<SquareMillimetre>),
}

/// A conductor run as the site file states it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ConductorFigures {
    /// One-way length.
    pub length_m: Option<Figure<Metre>>,
    /// Size.
    pub size: Option<ConductorSize>,
    /// "copper" or "aluminium".
    pub material: Option<String>,
    /// Temperature rating of the insulation.
    pub insulation_c: Option<Figure<Celsius>>,
    /// Temperature rating of the terminals.
    pub terminal_c: Option<Figure<Celsius>>,
    /// Loaded conductors grouped together.
    pub grouped: Option<Figure<Ratio>>,
    /// Resistance there and back (single-phase) or per phase (three-phase).
    pub resistance_ohm: Option<Figure<Ohm>>,
    /// Reactance likewise.
    pub reactance_ohm: Option<Figure<Ohm>>,
}

crate::figures!(ConductorFigures: resistance_ohm, reactance_ohm);
