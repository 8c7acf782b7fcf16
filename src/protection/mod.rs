//! Protective devices: what they promise to hold, when they may operate, when they must.

mod breaker;
pub mod thermal;
mod warmth;

pub use breaker::{AtOnce, EdgeError, Edges};
pub use warmth::{Ambient, hot_share};

use crate::figure::Figure;
use crate::quantity::*;
use crate::standards::iec_60947_4_1::TripClass;

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

impl BreakerFigures {
    /// "16 A, curve C".
    pub fn words(&self) -> String {
        let amps = self.rating_a.get();
        match self.standard {
            BreakerStandard::Iec60898(curve) => format!("{amps} A, curve {curve:?}"),
            BreakerStandard::Ul489 => format!("{amps} A"),
        }
    }
}

/// How a motor's own overload protector is modelled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ProtectorKind {
    /// One body of one time constant.
    #[default]
    OneBody,
    /// An element on the body of the motor.
    TwoBody,
}

/// A motor's own overload protector as the site file and the class state it. Its ranges are those of the device: they are
/// taken into its readings, not into the corners of a case.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ProtectorFigures {
    /// How it is modelled.
    pub kind: ProtectorKind,
    /// Largest current it carries for ever, as a multiple of the rated-load current; absent: the nameplate's maximum
    /// continuous current.
    pub pickup: Option<Figure<Ratio>>,
    /// Time constant of one body, or of the element.
    pub tau_s: Option<Figure<Second>>,
    /// Time constant of the body an element sits on.
    pub body_tau_s: Option<Figure<Second>>,
    /// Share of the element's heat that is against its body.
    pub share: Option<Figure<Ratio>>,
    /// Time to trip from cold at locked rotor and rated voltage, in place of `tau_s`.
    pub trip_at_locked_rotor_s: Option<Figure<Second>>,
    /// How long it stays open.
    pub reset_s: Option<Figure<Second>>,
    /// Whether the figures are a class's, none of them of this unit.
    pub by_class: bool,
}

/// An overload relay before the motor.
#[derive(Debug, Clone, PartialEq)]
pub struct OverloadFigures {
    /// Its trip class, IEC 60947-4-1.
    pub class: TripClass,
    /// The current it is set to.
    pub setting_a: Figure<Ampere>,
}
