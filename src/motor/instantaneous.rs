//! Machines as differential equations: instantaneous voltages and currents, fluxes as states.
//!
//! Fluxes, voltages and capacitor voltages are in parts of a base voltage, the peak of the source's phase voltage; fluxes as
//! flux times angular frequency. Currents are then in amperes per volt of the base, and a torque of 1 stands for the square of
//! the base over synchronous speed. A new kind of machine is one type here and one arm in `start::waveform`.

use nalgebra::SVector;
use num_complex::Complex64;

use super::Stage;
use super::three_phase::ThreePhase;
use super::two_winding::TwoWinding;

/// What feeds a machine, seen from its terminals: a source behind a resistance and an inductance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Voltage, phasor in parts of the base.
    pub v: Complex64,
    /// Resistance \[ohm\].
    pub r: f64,
    /// Reactance at rated frequency \[ohm\].
    pub x: f64,
    /// Which lines conduct: all, but behind thyristors.
    pub lines: [bool; 3],
}

impl Feed {
    /// A source of that voltage without impedance.
    pub fn stiff(v: Complex64) -> Feed {
        Feed { v, r: 0.0, x: 0.0, lines: [true; 3] }
    }
}

/// Which equations hold for a machine.
#[derive(Debug, Clone, Copy)]
pub enum Instantaneous<'a> {
    /// Three phases, one cage.
    OneCage(&'a ThreePhase),
    /// Three phases, two cages.
    TwoCages(&'a ThreePhase),
    /// Single phase, main and auxiliary winding.
    TwoWinding(&'a TwoWinding),
}

/// A contact that opens in the middle of a start, at a zero of its own current.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contact {
    /// The motor's own start switch.
    OwnStart,
    /// The starter's capacitor.
    Assist,
}

/// The equations of one kind of machine. `N` states: the machine's own first, then the speed in parts of synchronous speed,
/// then, where the load asks for it, the shaft's angle.
pub trait WaveModel {
    /// States of the machine itself.
    const STATES: usize;
    /// The equations with the feed and the stage put in.
    type Circuit: Clone;

    /// Puts feed and stage in. `speed` in parts of synchronous speed, for what depends on it.
    fn circuit(&self, feed: &Feed, stage: Stage, speed: f64) -> Self::Circuit;

    /// Whether [`WaveModel::circuit`] depends on the speed.
    fn moves(&self) -> bool {
        false
    }

    /// Slopes of the machine's states \[1/s\] into `slopes`; returns the torque. `alpha` is the source's electrical angle now,
    /// `omega` its angular frequency \[rad/s\].
    fn slopes<const N: usize>(
        circuit: &Self::Circuit,
        alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &mut SVector<f64, N>,
    ) -> f64;

    /// Current into the machine per volt of the base: of three phases the space vector against the source's, of one phase the
    /// instantaneous current as real part.
    fn current<const N: usize>(circuit: &Self::Circuit, alpha: f64, y: &SVector<f64, N>) -> Complex64;

    /// Voltage at the machine's terminals in parts of the base, in the same form, from the slopes of its states.
    fn voltage<const N: usize>(
        circuit: &Self::Circuit,
        alpha: f64,
        omega: f64,
        y: &SVector<f64, N>,
        slopes: &SVector<f64, N>,
    ) -> Complex64;

    /// What an open line has across its gap, in parts of the base: for three phases the source's space vector less the
    /// machine's, both at standstill; of lines that conduct, zero or without meaning.
    fn across<const N: usize>(
        _circuit: &Self::Circuit,
        _alpha: f64,
        _omega: f64,
        _y: &SVector<f64, N>,
    ) -> Complex64 {
        Complex64::ZERO
    }

    /// Torque, as [`WaveModel::slopes`] returns it.
    fn torque<const N: usize>(circuit: &Self::Circuit, y: &SVector<f64, N>) -> f64;

    /// Current through a contact per volt of the base; zero where there is none.
    fn through<const N: usize>(_circuit: &Self::Circuit, _contact: Contact, _y: &SVector<f64, N>) -> f64 {
        0.0
    }

    /// Moves the states from one circuit to another with currents and the machine's fluxes kept: the flux in the feed's
    /// inductance is part of the first states.
    fn hand_over<const N: usize>(from: &Self::Circuit, to: &Self::Circuit, y: &mut SVector<f64, N>);
}
