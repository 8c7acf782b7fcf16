//! One resolved path, from source to rotor, without TOML, files or catalogue: everything a start needs, as figures
//! ([`Case`]), and the same at one value for each figure, ready to run ([`Path`]).

mod cable;
mod fault;
mod inrush;
mod path;
mod peaks;
mod protector;
mod run;
mod starter_fit;

pub use cable::Cable;
pub use fault::Fault;
pub(crate) use path::ASSIST_CUT_OUT;
pub use path::{Hookup, Lack, Path, Surge};
pub use peaks::FirstPeak;
pub use protector::{Ended, Overload, OverloadDevice};
use starter_fit::unfit;

use crate::figure::Figure;
use crate::inrush::given::InrushFigures;
use crate::motor::given::{LoadTorqueFigures, MotorFigures};
use crate::nameplate::Nameplate;
use crate::protection::{BreakerFigures, OverloadFigures, ProtectorFigures};
use crate::quantity::*;
use crate::standards::Rules;
use crate::start::Level;
use crate::starter::StarterFigures;
use crate::supply::SupplyFigures;
use crate::wiring::ConductorFigures;

/// How a running load behaves when the voltage sags.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Behaviour {
    /// Constant impedance.
    Impedance,
    /// Constant power.
    Power,
}

/// Which legs of a three-wire supply a load hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Connection {
    /// First leg to neutral.
    L1,
    /// Second leg to neutral.
    L2,
    /// Between the legs.
    L1L2,
}

/// A load that is already on when the start happens.
#[derive(Debug, Clone, PartialEq)]
pub struct RunningFigures {
    /// What the site calls it.
    pub name: String,
    /// Apparent power at rated voltage.
    pub va: Figure<VoltAmpere>,
    /// Power factor, lagging.
    pub power_factor: Figure<Ratio>,
    /// How it behaves; absent: both are run and the worse decides.
    pub behaviour: Option<Behaviour>,
    /// Which legs; absent: those of the starting load.
    pub connection: Option<Connection>,
}

crate::figures!(RunningFigures: va, power_factor);

/// Breaker and conductor of a circuit.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CircuitFigures {
    /// The breaker.
    pub breaker: Option<BreakerFigures>,
    /// The conductor.
    pub conductor: Option<ConductorFigures>,
}

crate::figures!(CircuitFigures: breaker, conductor);

/// Head pressure at the moment of the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pressure {
    /// After a rest.
    Equalised,
    /// Straight after stopping.
    Unequal,
}

/// A load as the site file states it.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadFigures {
    /// What the site calls it.
    pub name: String,
    /// The class of load, if given.
    pub class: Option<String>,
    /// 1 or 3.
    pub phases: u32,
    /// Legs of a three-wire supply.
    pub connection: Option<Connection>,
    /// What the nameplate says.
    pub nameplate: Nameplate,
    /// The circuit of the motor, if given outright.
    pub motor: Option<MotorFigures>,
    /// What it is instead, if it is no induction motor.
    pub inrush: Option<InrushFigures>,
    /// Load torque after a rest.
    pub load_torque: Option<LoadTorqueFigures>,
    /// Load torque straight after stopping.
    pub load_torque_unequal: Option<LoadTorqueFigures>,
    /// The pressure to run; absent: both, the worse first.
    pub pressure: Option<Pressure>,
    /// The unit's own delay before it restarts.
    pub restart_hold_off_s: Option<Figure<Second>>,
    /// The attempt is given up after this.
    pub longest_start_s: Figure<Second>,
    /// The motor's own overload protector, if there is one.
    pub protector: Option<ProtectorFigures>,
    /// An overload relay before the motor.
    pub overload: Option<OverloadFigures>,
    /// Whether electronics of its own feed its motor.
    pub electronic: bool,
    /// The starter.
    pub starter: StarterFigures,
    /// Whether the fan runs through the starter.
    pub fan_through_starter: bool,
    /// Start capacitor to weigh in the reduction window, and its cut-out speed.
    pub assist_capacitor_uf: Option<Figure<Microfarad>>,
    /// Speed, as a fraction of synchronous speed, at which that capacitor leaves.
    pub assist_cut_out_speed: Option<Figure<Ratio>>,
    /// Catalogue entry it was based on.
    pub based_on: Option<String>,
}

crate::figures!(LoadFigures: nameplate, motor, inrush, load_torque, load_torque_unequal, restart_hold_off_s, longest_start_s,
    starter, assist_capacitor_uf, assist_cut_out_speed);

/// One load on one supply with one pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Whose rules apply.
    pub rules: Rules,
    /// The supply.
    pub supply: SupplyFigures,
    /// What is running already.
    pub running: Vec<RunningFigures>,
    /// Breaker and conductor on the way.
    pub circuit: CircuitFigures,
    /// The load.
    pub load: LoadFigures,
    /// The pressure.
    pub pressure: Pressure,
    /// Ambient temperature.
    pub ambient_c: Option<Figure<Celsius>>,
    /// Whether the site describes a battery.
    pub battery: bool,
    /// How closely its start is simulated.
    pub level: Level,
}

crate::figures!(Case: supply, running, circuit, load, ambient_c);

impl Case {
    /// The load torque of this pressure.
    pub fn torque(&self) -> Option<&LoadTorqueFigures> {
        match self.pressure {
            Pressure::Equalised => self.load.load_torque.as_ref(),
            Pressure::Unequal => self.load.load_torque_unequal.as_ref(),
        }
    }

    /// Whether the breaker is above the nameplate's maximum protection.
    pub fn over_maximum(&self) -> bool {
        let (breaker, most) = (&self.circuit.breaker, &self.load.nameplate.maximum_protection_a);
        breaker.as_ref().zip(most.as_ref()).is_some_and(|(b, most)| b.rating_a.get() > most.get())
    }

    /// Drops the load torque of the other pressure, so that its figures take no part.
    pub fn settle_pressure(&mut self) {
        match self.pressure {
            Pressure::Equalised => self.load.load_torque_unequal = None,
            Pressure::Unequal => self.load.load_torque = None,
        }
    }
}

impl Pressure {
    /// The word the site file uses.
    pub fn word(self) -> &'static str {
        match self {
            Pressure::Equalised => "equalised",
            Pressure::Unequal => "unequal",
        }
    }

    /// The same as the shop says it.
    pub fn plain(self) -> &'static str {
        match self {
            Pressure::Equalised => "after a rest",
            Pressure::Unequal => "straight after stopping",
        }
    }
}
