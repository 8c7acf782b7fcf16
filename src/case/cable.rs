//! The cable of a path: what it may carry, and what is asked of it by nameplate and rules.

use super::Case;
use crate::figure::Figure;
use crate::nameplate::circuit_rules::ROOM_UNIT_V;
use crate::protection::BreakerStandard;
use crate::quantity::*;
use crate::standards::nfpa_70::conductors as nfpa;
use crate::standards::{Rules, iec_60898_1, ul_489};
use crate::wiring::{ConductorFigures, ConductorSize, Material};

/// A cable at the figures' values.
#[derive(Debug, Clone, PartialEq)]
pub struct Cable {
    /// Whose rules apply.
    pub rules: Rules,
    /// What it may carry \[A\].
    pub ampacity_a: f64,
    /// Where that comes from.
    pub ampacity_rule: String,
    /// What it is, in words: "12 AWG copper cable".
    pub words: String,
    /// Largest device of a small conductor that is no motor circuit (NFPA 70 240.4(D)) \[A\].
    pub small_a: Option<f64>,
    /// Current from which its breaker must trip within the conventional time \[A\].
    pub breaker_trips_a: Option<f64>,
    /// The nameplate's rated-load current \[A\].
    pub rated_load_a: Option<f64>,
    /// The nameplate's branch-circuit selection current \[A\]; 0 without.
    pub selection_a: f64,
    /// Whether the unit falls under article 440 of NFPA 70.
    pub compressor: bool,
    /// Whether it is a room air conditioner by cord and plug, of one phase and up to 250 V (NFPA 70 440.62).
    pub cord_and_plug: bool,
    /// Whether a motor is on it: another load's breaker may not be larger than the cable for the start's sake (NFPA 70 430.52
    /// is for motors; from memory).
    pub motor: bool,
    /// Current of a fan beside the motor \[A\]; 0 without.
    pub fan_a: f64,
    /// The nameplate's minimum circuit ampacity \[A\].
    pub minimum_circuit_a: Option<f64>,
    /// The nameplate's maximum protection \[A\].
    pub maximum_protection_a: Option<f64>,
}

impl Cable {
    /// The cable of a case; `None` where what it may carry is not known, unless the breaker is too large for the nameplate
    /// whatever the cable is.
    pub(super) fn of(case: &Case) -> Option<Cable> {
        let unknown = ConductorFigures::default();
        let conductor = case.circuit.conductor.as_ref().unwrap_or(&unknown);
        let stated = conductor.ampacity_a.as_ref().map(Figure::get);
        let ampacity_a = stated.or_else(|| case.over_maximum().then_some(f64::INFINITY))?;
        let aluminium = conductor.material == Material::Aluminium;
        let (words, small_a) = match &conductor.size {
            None => ("cable".to_owned(), None),
            Some(size) => {
                let small_a = match size {
                    ConductorSize::Awg(gauge) => nfpa::small_conductor_a(gauge, aluminium),
                    ConductorSize::Area(_) => None,
                };
                (format!("{size} {} cable", conductor.material.word()), small_a)
            }
        };
        let plate = &case.load.nameplate;
        let amps = |figure: &Option<Figure<Ampere>>| figure.as_ref().map(Figure::get);
        Some(Cable {
            rules: case.rules,
            ampacity_a,
            ampacity_rule: conductor.ampacity_rule.clone().unwrap_or_else(|| "as stated".into()),
            words,
            small_a,
            breaker_trips_a: case.circuit.breaker.as_ref().map(|b| {
                let multiple = match b.standard {
                    BreakerStandard::Iec60898(_) => iec_60898_1::TRIPPING,
                    BreakerStandard::Ul489 => ul_489::TRIPPING,
                };
                multiple * b.rating_a.get()
            }),
            rated_load_a: plate.rated_load(),
            selection_a: amps(&plate.branch_selection_a).unwrap_or(0.0),
            compressor: plate.is_compressor_unit(),
            cord_and_plug: plate.cord_and_plug
                && case.load.phases == 1
                && case.supply.voltage_v.get() <= ROOM_UNIT_V,
            motor: case.load.inrush.is_none(),
            fan_a: amps(&plate.fan_full_load_a).unwrap_or(0.0),
            minimum_circuit_a: amps(&plate.minimum_circuit_ampacity_a),
            maximum_protection_a: amps(&plate.maximum_protection_a),
        })
    }
}
