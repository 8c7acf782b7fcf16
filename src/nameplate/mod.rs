//! What a nameplate says, as figures; rules that turn one label into another, and labels into ratings of a circuit.

pub mod circuit_rules;
pub mod labels;

use crate::figure::Figure;
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

crate::figures!(Nameplate: rated_voltage_v, rated_frequency_hz, locked_rotor_a, rated_load_a, fan_full_load_a,
    minimum_circuit_ampacity_a, maximum_protection_a, power_w, power_hp, start_w, rated_rpm, power_factor,
    locked_rotor_power_factor, efficiency, breakdown_nm, locked_rotor_nm, run_capacitor_uf, starts_per_hour, least_start_v);
