//! What a nameplate says, as figures ([`Nameplate`]); the rules that turn one entry of a label into another ([`labels`]), and
//! those that choose between them ([`rules`]).

pub mod circuit_rules;

pub mod labels;
pub mod rules;

use crate::figure::{Figure, Origin};
use crate::quantity::*;

/// The figures printed on a load, each only if it was given.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Nameplate {
    /// Rated voltage.
    pub rated_voltage_v: Option<Figure<Volt>>,
    /// Rated frequency.
    pub rated_frequency_hz: Option<Figure<Hertz>>,
    /// Locked-rotor current at rated voltage and frequency.
    pub locked_rotor_a: Option<Figure<Ampere>>,
    /// Rated-load current.
    pub rated_load_a: Option<Figure<Ampere>>,
    /// Locked-rotor current over rated-load current: what the one that is absent is derived from the other by. Kept only
    /// where it is used for that, so that its doubt counts once.
    pub locked_rotor_ratio: Option<Figure<Ratio>>,
    /// Maximum continuous current of a hermetic compressor.
    pub maximum_continuous_a: Option<Figure<Ampere>>,
    /// Branch-circuit selection current.
    pub branch_selection_a: Option<Figure<Ampere>>,
    /// Two printed currents that no motor of the class has together, in words.
    pub doubt: Option<String>,
    /// Whether the motor is sealed in with the compressor it turns.
    pub hermetic: bool,
    /// Whether it is a room air conditioner by cord and plug.
    pub cord_and_plug: bool,
    /// Full-load current of the fan beside a compressor.
    pub fan_full_load_a: Option<Figure<Ampere>>,
    /// Minimum circuit ampacity.
    pub minimum_circuit_ampacity_a: Option<Figure<Ampere>>,
    /// Maximum protective device.
    pub maximum_protection_a: Option<Figure<Ampere>>,
    /// Rated power (shaft power of a motor, input of a unit).
    pub power_w: Option<Figure<Watt>>,
    /// Rated shaft power in horsepower.
    pub power_hp: Option<Figure<Horsepower>>,
    /// Start watts as a maker declares them.
    pub start_w: Option<Figure<Watt>>,
    /// Speed at rated load.
    pub rated_rpm: Option<Figure<Rpm>>,
    /// Power factor at rated load.
    pub power_factor: Option<Figure<Ratio>>,
    /// Power factor at standstill.
    pub locked_rotor_power_factor: Option<Figure<Ratio>>,
    /// Efficiency at rated load.
    pub efficiency: Option<Figure<Ratio>>,
    /// Breakdown (pull-out) torque.
    pub breakdown_nm: Option<Figure<NewtonMetre>>,
    /// Locked-rotor torque.
    pub locked_rotor_nm: Option<Figure<NewtonMetre>>,
    /// Run capacitor.
    pub run_capacitor_uf: Option<Figure<Microfarad>>,
    /// Code letter of NFPA 70 table 430.7(B).
    pub code_letter: Option<char>,
    /// Starts per hour.
    pub starts_per_hour: Option<Figure<Ratio>>,
    /// Lowest and highest running voltage the nameplate allows.
    pub voltage_range_v: Option<[Volt; 2]>,
    /// Lowest voltage at the terminals at which the maker declares a start.
    pub least_start_v: Option<Figure<Volt>>,
}

crate::figures!(Nameplate: rated_voltage_v, rated_frequency_hz, locked_rotor_a, rated_load_a, locked_rotor_ratio, branch_selection_a, fan_full_load_a,
    minimum_circuit_ampacity_a, maximum_protection_a, power_w, power_hp, start_w, rated_rpm, power_factor,
    locked_rotor_power_factor, efficiency, breakdown_nm, locked_rotor_nm, run_capacitor_uf, starts_per_hour, least_start_v);

impl Nameplate {
    /// Whether the unit falls under article 440 of NFPA 70: a sealed compressor, by its class or by what its nameplate states.
    pub fn is_compressor_unit(&self) -> bool {
        self.hermetic
            || self.minimum_circuit_ampacity_a.is_some()
            || self.fan_full_load_a.as_ref().is_some_and(|fan| fan.high.0 > 0.0)
    }

    /// Locked-rotor current at the figures' values, by the ratio where it is not stated \[A\].
    pub fn locked_rotor(&self) -> Option<f64> {
        let by_ratio = || Some(self.rated_load_a.as_ref()?.get() * self.locked_rotor_ratio.as_ref()?.get());
        self.locked_rotor_a.as_ref().map(Figure::get).or_else(by_ratio)
    }

    /// Rated-load current likewise \[A\].
    pub fn rated_load(&self) -> Option<f64> {
        let by_ratio = || Some(self.locked_rotor_a.as_ref()?.get() / self.locked_rotor_ratio.as_ref()?.get());
        self.rated_load_a.as_ref().map(Figure::get).or_else(by_ratio)
    }

    /// The current of the two that only the ratio gives, as a figure with its key: for lists, not for varying.
    pub fn by_ratio(&self) -> Option<(&'static str, Figure<Ampere>)> {
        let ratio = self.locked_rotor_ratio.as_ref()?;
        let rule = |from: &str| {
            let source = ratio.note.as_ref().map_or_else(String::new, |n| format!(" ({n})"));
            format!("{from}, ratio {} to {}{source}", ratio.low.0, ratio.high.0)
        };
        let figure = |value: f64, low: f64, high: f64, rule: String| {
            Figure::exact(Ampere(value), Origin::Derived).between(Ampere(low), Ampere(high)).noted(rule)
        };
        match (&self.rated_load_a, &self.locked_rotor_a) {
            (Some(a), None) => {
                let (low, high) = (a.low.0 * ratio.low.0, a.high.0 * ratio.high.0);
                let rule = rule("rated-load current times the ratio usual of the class");
                Some(("locked_rotor_a", figure(a.get() * ratio.get(), low, high, rule)))
            }
            (None, Some(a)) => {
                let (low, high) = (a.low.0 / ratio.high.0, a.high.0 / ratio.low.0);
                let rule = rule("locked-rotor current over the ratio usual of the class");
                Some(("rated_load_a", figure(a.get() / ratio.get(), low, high, rule)))
            }
            _ => None,
        }
    }
}
