//! Protective devices: what they promise to hold, when they may operate, when they must.

mod breaker;
pub mod thermal;

pub use breaker::{AtOnce, EdgeError, Edges};

use crate::figure::Figure;
use crate::quantity::*;

/// The standard a breaker is built to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BreakerStandard {
    /// IEC 60898-1, with the curve B, C or D.
    Iec60898(Curve),
    /// UL 489, residential thermal-magnetic.
    Ul489,
}

/// Tripping curve of IEC 60898-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Curve {
    /// Instantaneous between 3 and 5 In.
    B,
    /// Instantaneous between 5 and 10 In.
    C,
    /// Instantaneous between 10 and 20 In.
    D,
}

/// A point of a maker's time-current curve: multiple of the rated current, time in s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Multiple of the rated current.
    pub multiple: f64,
    /// Time.
    pub s: f64,
}

/// A breaker as the site file states it.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakerFigures {
    /// The standard, with its curve.
    pub standard: BreakerStandard,
    /// Rated current.
    pub rating_a: Figure<Ampere>,
    /// Maker's fast edge, multiples rising, times falling; empty: the standard's.
    pub fast: Vec<CurvePoint>,
    /// Maker's slow edge.
    pub slow: Vec<CurvePoint>,
    /// Maker's instantaneous band, multiples of the rated current.
    pub instantaneous: Option<[f64; 2]>,
}

crate::figures!(BreakerFigures: rating_a);
