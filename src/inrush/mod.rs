//! Loads that are not induction motors: what each draws at every instant after switch-on, from a source behind a resistance
//! and an inductance, closed at any angle of its voltage (docs/models.md, "Loads that are not induction motors").
//!
//! One file per kind; each shows its instants to a [`Watch`], and knows nothing of checks or of rows of a trace.

pub mod ballast;
pub mod crests;
pub mod cycles;
mod equations;
pub mod filament;
pub mod given;
pub mod heater;
pub mod rectifier;
pub mod transformer;
pub mod universal;

use std::f64::consts::{SQRT_2, TAU};

pub use equations::TOLERANCE;

/// What stands before the load: a sinusoid behind a resistance and an inductance, conductor included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Open-circuit voltage, rms \[V\].
    pub volts: f64,
    /// Resistance \[ohm\].
    pub ohm: f64,
    /// Inductance \[H\].
    pub henry: f64,
    /// Frequency \[Hz\].
    pub hertz: f64,
}

impl Feed {
    /// A source without impedance.
    pub fn stiff(volts: f64, hertz: f64) -> Feed {
        Feed { volts, ohm: 0.0, henry: 0.0, hertz }
    }

    /// Angular frequency \[rad/s\].
    pub fn omega(&self) -> f64 {
        TAU * self.hertz
    }

    /// Crest of the open-circuit voltage \[V\].
    pub fn crest_v(&self) -> f64 {
        SQRT_2 * self.volts
    }

    /// Voltage behind the impedance at `t` \[s\] after closing at `angle` \[rad\]: 0 is the crest, a quarter turn is zero.
    pub fn emf(&self, t: f64, angle: f64) -> f64 {
        self.crest_v() * (self.omega() * t + angle).cos()
    }

    /// Length of a cycle \[s\].
    pub fn cycle_s(&self) -> f64 {
        1.0 / self.hertz
    }
}

/// How a run begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Begin {
    /// It is switched on, cold and discharged.
    #[default]
    SwitchOn,
    /// It has been on for long: what it settles at.
    Settled,
}

/// A run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Angle of the voltage at the beginning \[rad\]; 0 at its crest.
    pub angle: f64,
    /// How it begins.
    pub begin: Begin,
    /// It ends here at the latest \[s\].
    pub until_s: f64,
    /// Steps after which the integrator gives up.
    pub most_steps: u32,
    /// Part of its waiting that is left out \[s\], whole cycles: what a load does by its own clock comes so much earlier.
    pub skip_s: f64,
    /// When that is left out: within half a cycle from here \[s\].
    pub skip_at_s: f64,
}

/// Steps after which a run is given up: some thirty a cycle are usual, a hundred or two where a time constant is short.
pub const MOST_STEPS: u32 = 20_000;

impl Run {
    /// From switch-on.
    pub fn closed(angle: f64, until_s: f64) -> Run {
        Run { angle, begin: Begin::SwitchOn, until_s, most_steps: MOST_STEPS, skip_s: 0.0, skip_at_s: 0.0 }
    }

    /// Long after it.
    pub fn settled(until_s: f64) -> Run {
        Run { begin: Begin::Settled, ..Run::closed(TAU / 4.0, until_s) }
    }
}

/// An instant of a run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Instant {
    /// Time from switch-on \[s\].
    pub t_s: f64,
    /// Line current \[A\].
    pub line_a: f64,
    /// Voltage at the load's terminals \[V\].
    pub terminal_v: f64,
}

/// Root mean squares and power of a state that hardly moves.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Slow {
    /// Line current \[A\].
    pub line_a: f64,
    /// Voltage at the terminals \[V\].
    pub terminal_v: f64,
    /// Power \[W\].
    pub power_w: f64,
}

/// Looks at the instants of a run, in the order of time, as close together as the current needs.
pub trait Watch {
    /// Takes the next one.
    fn see(&mut self, now: &Instant);
    /// Whether the run may end.
    fn enough(&self) -> bool {
        false
    }
}

impl<F: FnMut(&Instant)> Watch for F {
    fn see(&mut self, now: &Instant) {
        self(now);
    }
}

/// A load that is no induction motor.
pub trait Inrush: Send + Sync {
    /// Shows a run to `watch`. `false`: the integrator gave up before the end.
    fn wave(&self, feed: &Feed, run: &Run, watch: &mut dyn Watch) -> bool;

    /// Time until which its instants have to be solved in any case: a relay closes \[s\].
    fn busy_s(&self) -> f64 {
        0.0
    }

    /// When it begins to do no more than wait for that \[s\], its capacitor nearly charged; infinite: it never waits.
    ///
    /// Whole cycles from the first one on can be left out of a run ([`Run::skip_s`]): what changes in them is put in.
    fn waits_from_s(&self, _feed: &Feed) -> f64 {
        f64::INFINITY
    }

    /// Time after which nothing of its own doing happens any more: a ramp is over, a lamp is warm \[s\].
    fn done_s(&self) -> f64 {
        self.busy_s()
    }

    /// What it draws on the slow way between the two, cycle by cycle; `None`: in a straight line to the settled state.
    fn slow(&self, _feed: &Feed, _t: f64) -> Option<Slow> {
        None
    }

    /// Whether half a turn of the closing angle is more than a change of sign: with residual flux.
    fn lopsided(&self) -> bool {
        false
    }
}
