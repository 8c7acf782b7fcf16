//! Starters: what stands between the board and the motor.
//!
//! A starter never sees the motor: it answers with a [`Coupling`] and the network solves it. A new kind is one type here
//! and one arm in [`StarterFigures::starter`]. Ideal devices: no loss, no harmonics, no learning starts.

pub mod autotransformer;

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

/// How a starter couples the motor to the line at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coupling {
    /// In series: the motor gets `k` times the voltage at equal current.
    Series {
        /// Voltage fraction, 0 to 1.
        k: f64,
    },
    /// Through a transformer: `k` times the voltage, and the line carries `k` times the motor's current.
    Transformer {
        /// Voltage fraction, 0 to 1.
        k: f64,
    },
    /// In series, with the largest `k` up to 1 that keeps the line current within `amps`.
    Limit {
        /// The current it holds \[A\].
        amps: f64,
    },
}

/// A starter as the network sees it.
pub trait Starter: Send + Sync {
    /// The coupling `t` \[s\] after switch-on.
    fn coupling(&self, t: f64) -> Coupling;
    /// The time after switch-on from which the coupling no longer changes by itself; 0 if it never does.
    fn constant_from_s(&self) -> f64 {
        0.0
    }
}

/// Straight on the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direct;

impl Starter for Direct {
    fn coupling(&self, _t: f64) -> Coupling {
        Coupling::Series { k: 1.0 }
    }
}

/// An ideal current limiter. Optimistic for phase control, whose harmonics add current without torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limiter {
    /// The line current it holds \[A\].
    pub amps: f64,
}

impl Starter for Limiter {
    fn coupling(&self, _t: f64) -> Coupling {
        Coupling::Limit { amps: self.amps }
    }
}

/// An ideal voltage ramp: from `initial` to full voltage in a straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ramp {
    /// Voltage fraction at switch-on.
    pub initial: f64,
    /// Time to full voltage \[s\].
    pub ramp_s: f64,
}

impl Starter for Ramp {
    fn coupling(&self, t: f64) -> Coupling {
        let done = if self.ramp_s > 0.0 { (t / self.ramp_s).clamp(0.0, 1.0) } else { 1.0 };
        Coupling::Series { k: self.initial + (1.0 - self.initial) * done }
    }

    fn constant_from_s(&self) -> f64 {
        self.ramp_s
    }
}

impl StarterFigures {
    /// The starter at the figures' values, or the name of what is not modelled yet. `locked_rotor_a` is the locked-rotor
    /// current at the supply's voltage, which a reduction is a share of.
    ///
    /// # Errors
    /// The kind, in words, where its model comes later; the missing key where a figure is absent.
    pub fn starter(&self, locked_rotor_a: f64) -> Result<Box<dyn Starter>, &'static str> {
        match self.kind {
            StarterKind::Direct | StarterKind::Assist => Ok(Box::new(Direct)),
            StarterKind::Limiter => {
                let declared = self.largest_a.as_ref().map(Figure::get);
                let reduced = self.reduction.as_ref().map(|r| (1.0 - r.get()) * locked_rotor_a);
                let amps = declared.or(reduced).ok_or("starter.largest_a or starter.reduction")?;
                Ok(Box::new(Limiter { amps }))
            }
            StarterKind::Ramp => {
                let initial = self.initial_fraction.as_ref().ok_or("starter.initial_fraction")?.get();
                let ramp_s = self.ramp_s.as_ref().or(self.duration_s.as_ref()).ok_or("starter.ramp_s")?.get();
                Ok(Box::new(Ramp { initial, ramp_s }))
            }
            StarterKind::Autotransformer => Err("an autotransformer starter"),
            StarterKind::StarDelta => Err("a star-delta starter"),
            StarterKind::Drive => Err("a drive"),
        }
    }
}

impl StarterKind {
    /// What the trade calls it.
    pub fn words(self) -> &'static str {
        match self {
            StarterKind::Direct => "direct",
            StarterKind::Assist => "direct with a start capacitor",
            StarterKind::Limiter => "soft starter (current limit)",
            StarterKind::Ramp => "soft starter (voltage ramp)",
            StarterKind::Autotransformer => "autotransformer",
            StarterKind::StarDelta => "star-delta",
            StarterKind::Drive => "drive",
        }
    }
}
