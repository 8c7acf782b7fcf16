//! The circuit of a motor from what is known about it: least squares on the figures of a label, with what is usual of its
//! kind as weak wishes for what the label leaves open. docs/models.md, "The fit".

mod figures;
mod prior;
mod problem;

pub use figures::Reached;

use super::{Auxiliary, Cage, ThreePhase, TwoWinding};
use figures::{Machines, Supply};

/// A function of the problem at the numbers of unknowns and of rows of a winding and a rotor.
macro_rules! by_winding {
    ($winding:expr, $rotor:expr, $function:ident($($argument:expr),*)) => {
        match ($winding, $rotor) {
            (Winding::ThreePhase, Rotor::OneCage) => problem::$function::<7, 17>($($argument),*),
            (Winding::ThreePhase, Rotor::TwoCages) => problem::$function::<9, 19>($($argument),*),
            (Winding::ThreePhase, Rotor::Saturating) => problem::$function::<10, 20>($($argument),*),
            (Winding::SplitPhase, _) => problem::$function::<10, 21>($($argument),*),
            (Winding::CapacitorRun, _) => problem::$function::<11, 22>($($argument),*),
            (Winding::CapacitorStart, _) => problem::$function::<11, 23>($($argument),*),
            (Winding::CapacitorStartRun, _) => problem::$function::<12, 25>($($argument),*),
        }
    };
}

/// How much of a rotor is fitted; more than one cage only for three phases.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rotor {
    OneCage,
    TwoCages,
    /// Two cages, and leakage that falls with the current.
    Saturating,
}

/// What kind of windings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Winding {
    /// Auxiliary with a run capacitor, for ever in.
    CapacitorRun,
    /// Auxiliary with a start capacitor behind a switch; runs on its main winding.
    CapacitorStart,
    /// Run capacitor, and a start capacitor in parallel behind a switch.
    CapacitorStartRun,
    /// Auxiliary of its own impedance behind a switch; runs on its main winding.
    SplitPhase,
    /// Three-phase, one cage or two.
    ThreePhase,
}

impl Winding {
    /// Has a start switch.
    fn has_switch(self) -> bool {
        matches!(self, Winding::CapacitorStart | Winding::CapacitorStartRun | Winding::SplitPhase)
    }

    fn has_run_capacitor(self) -> bool {
        matches!(self, Winding::CapacitorRun | Winding::CapacitorStartRun)
    }

    fn has_start_capacitor(self) -> bool {
        matches!(self, Winding::CapacitorStart | Winding::CapacitorStartRun)
    }
}

/// A wish: a value, and how hard it binds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// The value, in the figure's unit.
    pub value: f64,
    /// Relative standard deviation.
    pub sigma: f64,
}

impl Target {
    /// How hard a given figure binds: hard enough that priors move it by less than 0.01 % (assumed).
    pub const GIVEN: f64 = 1e-3;

    /// A figure that the label states.
    pub fn given(value: f64) -> Target {
        Target { value, sigma: Target::GIVEN }
    }

    /// A figure that is usual of its kind.
    pub fn typical(value: f64, sigma: f64) -> Target {
        Target { value, sigma }
    }

    /// Whether it binds hard enough to be called given: within 1 %.
    pub fn is_given(&self) -> bool {
        self.sigma <= 10.0 * Target::GIVEN
    }

    /// Usable at all.
    fn sound(self) -> Option<Target> {
        let sigma = if self.sigma.is_finite() { self.sigma.max(Target::GIVEN * 0.01) } else { return None };
        usable(self.value).then_some(Target { sigma, ..self })
    }
}

/// A figure that can be computed with at all: no label comes near these ends.
fn usable(x: f64) -> bool {
    (1e-9..1e12).contains(&x)
}

/// What is known of a motor. Currents in A rms per line, torques in N m, volts line to line for three phases, all at rated
/// voltage and frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Kind of windings.
    pub winding: Winding,
    /// Poles.
    pub poles: u32,
    /// Rated frequency \[Hz\].
    pub frequency_hz: f64,
    /// Rated voltage \[V\].
    pub voltage_v: f64,
    /// Line current at the rated point \[A\].
    pub rated_a: Target,
    /// Line current at standstill with the start parts in \[A\].
    pub locked_rotor_a: Target,
    /// Power factor at standstill.
    pub locked_rotor_power_factor: Option<Target>,
    /// Power factor at the rated point.
    pub power_factor: Option<Target>,
    /// Power at the shaft at the rated point \[W\].
    pub shaft_w: Option<Target>,
    /// Shaft power over input at the rated point.
    pub efficiency: Option<Target>,
    /// Slip at the rated point.
    pub slip: Option<Target>,
    /// Torque at standstill \[N m\].
    pub locked_rotor_nm: Option<Target>,
    /// The same as a share of the rated torque at the shaft.
    pub locked_rotor_torque: Option<Target>,
    /// Largest torque at the shaft, start parts out \[N m\].
    pub breakdown_nm: Option<Target>,
    /// The same as a share of the rated torque at the shaft.
    pub breakdown_torque: Option<Target>,
    /// Run capacitor \[uF\].
    pub run_capacitor_uf: Option<Target>,
    /// Start capacitor \[uF\].
    pub start_capacitor_uf: Option<Target>,
    /// Speed at which a start switch opens, of synchronous speed.
    pub cut_out_speed: f64,
}

impl Wanted {
    /// Nothing known but the two currents.
    pub fn new(
        winding: Winding,
        poles: u32,
        [frequency_hz, voltage_v]: [f64; 2],
        rated_a: Target,
        locked_rotor_a: Target,
    ) -> Wanted {
        Wanted {
            winding,
            poles,
            frequency_hz,
            voltage_v,
            rated_a,
            locked_rotor_a,
            locked_rotor_power_factor: None,
            power_factor: None,
            shaft_w: None,
            efficiency: None,
            slip: None,
            locked_rotor_nm: None,
            locked_rotor_torque: None,
            breakdown_nm: None,
            breakdown_torque: None,
            run_capacitor_uf: None,
            start_capacitor_uf: None,
            // usual for a start switch: common practice, no source
            cut_out_speed: 0.75,
        }
    }

    /// Whether it says enough of the torques at large slip to tell two cages from one.
    fn tells_cages(&self) -> bool {
        let torques =
            [self.locked_rotor_nm, self.locked_rotor_torque, self.breakdown_nm, self.breakdown_torque];
        self.winding == Winding::ThreePhase && torques.into_iter().flatten().any(|t| t.is_given())
    }

    fn supply(&self) -> Supply {
        let sound = |x: f64, or: f64| if usable(x) { x } else { or };
        Supply {
            winding: self.winding,
            poles: self.poles.max(2),
            frequency_hz: sound(self.frequency_hz, 50.0),
            voltage_v: sound(self.voltage_v, 230.0),
            cut_out_speed: self.cut_out_speed,
        }
    }
}

/// A circuit, at rated frequency; per phase of the star equivalent for three phases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circuit {
    /// Main winding or stator resistance.
    pub r1_ohm: f64,
    /// Its leakage reactance.
    pub x1_ohm: f64,
    /// Magnetising reactance.
    pub xm_ohm: f64,
    /// Rotor resistance.
    pub r2_ohm: f64,
    /// Rotor leakage reactance.
    pub x2_ohm: f64,
    /// The outer cage of a three-phase motor with two; `r2_ohm` and `x2_ohm` are then the inner one.
    pub second_cage: Option<Cage>,
    /// Line current from which the leakage saturates \[A rms\]; absent: it does not.
    pub leakage_saturation_a: Option<f64>,
    /// Auxiliary winding; none for three phases.
    pub auxiliary: Option<Auxiliary>,
    /// Run capacitor \[uF\].
    pub run_capacitor_uf: Option<f64>,
    /// Start capacitor \[uF\].
    pub start_capacitor_uf: Option<f64>,
}

/// A given figure that the circuit misses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// The site file's key.
    pub what: &'static str,
    /// What was given.
    pub given: f64,
    /// What the circuit has instead.
    pub reached: f64,
}

/// A fitted motor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    wanted: Wanted,
    /// Logarithms of the unknowns, in per unit; those beyond the kind's number are 0.
    ln: [f64; problem::MOST],
    /// The circuit at rated frequency.
    pub circuit: Circuit,
    /// What it says of itself at rated voltage and frequency.
    pub reached: Reached,
    /// Half the sum of squared residuals, priors included.
    pub cost: f64,
}

/// A given figure counts as missed beyond this, relative.
const MISSED: f64 = 0.01;
/// A given speed counts as missed beyond this share of synchronous speed: labels round to 5 or 10 rpm (assumed).
const MISSED_SPEED: f64 = 0.0025;

impl Fit {
    /// The machine on a supply of a frequency; reactances go with it. `None` for a three-phase motor.
    pub fn two_winding(&self, frequency_hz: f64, inertia_kgm2: f64) -> Option<TwoWinding> {
        match self.machine(frequency_hz, inertia_kgm2)? {
            Machines::Two(m) => Some(m),
            Machines::Three(_) => None,
        }
    }

    /// The machine on a supply of a frequency; reactances go with it. `None` for a single-phase motor.
    pub fn three_phase(&self, frequency_hz: f64, inertia_kgm2: f64) -> Option<ThreePhase> {
        match self.machine(frequency_hz, inertia_kgm2)? {
            Machines::Two(_) => None,
            Machines::Three(m) => Some(m),
        }
    }

    fn machine(&self, frequency_hz: f64, inertia_kgm2: f64) -> Option<Machines> {
        usable(frequency_hz).then(|| self.wanted.supply().machine(&self.circuit, frequency_hz, inertia_kgm2))
    }

    /// Whether no motor has the given figures together. What one cage alone misses is no proof of that: it may stand for a corner
    /// of a range in whose middle it met them.
    pub fn is_contradicted(&self) -> bool {
        let plain = self.rotor() == Rotor::OneCage && self.wanted.tells_cages();
        !plain && self.misses().next().is_some()
    }

    fn rotor(&self) -> Rotor {
        match (self.circuit.second_cage, self.circuit.leakage_saturation_a) {
            (None, _) => Rotor::OneCage,
            (_, None) => Rotor::TwoCages,
            _ => Rotor::Saturating,
        }
    }

    /// What was asked.
    pub fn wanted(&self) -> &Wanted {
        &self.wanted
    }

    /// Torque that the machine gives at the rated point \[N m\]: shaft and drag. A load of this torque draws the rated current.
    pub fn rated_nm(&self) -> f64 {
        self.reached.shaft_nm + self.reached.drag_nm
    }

    /// Speed at the rated point \[rpm\].
    pub fn rated_rpm(&self) -> f64 {
        (1.0 - self.reached.slip) * self.sync_rpm()
    }

    fn sync_rpm(&self) -> f64 {
        self.wanted.supply().sync_speed() * 60.0 / std::f64::consts::TAU
    }

    /// Relative standard errors of the unknowns and of the figures, by their keys in a site file: what the wishes, hard and weak
    /// together, leave open, in first order. Empty if the problem is singular there.
    pub fn standard_errors(&self) -> Vec<(&'static str, f64)> {
        by_winding!(self.wanted.winding, self.rotor(), standard_errors(self))
    }

    /// Given figures that it misses by more than 1 % (a speed: by more than 0.25 % of synchronous speed).
    pub fn misses(&self) -> impl Iterator<Item = Miss> {
        self.compared().into_iter().filter_map(|c| {
            let target = c.target.filter(Target::is_given)?;
            // not "greater than": a figure that is no number is missed
            let met = c.off(target) <= 1.0;
            (!met).then_some(Miss { what: c.what, given: target.value, reached: c.reached })
        })
    }

    /// The largest difference from a given figure, over what counts as missed. A printed speed, whose slip binds loosely for
    /// its rounding, counts too: one cage would buy its torques with it.
    fn worst_miss(&self) -> f64 {
        let printed = |c: &Compared, t: &Target| t.is_given() || c.what == SPEED && t.sigma <= ROUNDED_SLIP;
        let offs = self.compared().into_iter().filter_map(|c| {
            let target = c.target.filter(|t| printed(&c, t))?;
            let off = c.off(target);
            Some(if off.is_nan() { f64::INFINITY } else { off })
        });
        offs.fold(0.0, f64::max)
    }

    /// What was wanted beside what is reached.
    fn compared(&self) -> [Compared; 11] {
        let (w, r, c) = (&self.wanted, &self.reached, &self.circuit);
        let sync = self.sync_rpm();
        let times = |t: Option<Target>| t.map(|t| Target { value: t.value * r.shaft_nm, ..t });
        let speed = w.slip.map(|t| Target { value: (1.0 - t.value) * sync, ..t });
        let figure = |what, target: Option<Target>, reached| {
            let allowed = target.map_or(0.0, |t| MISSED * t.value.abs());
            Compared { what, target, reached, allowed }
        };
        let capacitor = |what, target: Option<Target>, has: Option<f64>| {
            figure(what, target.filter(|_| has.is_some()), has.unwrap_or(0.0))
        };
        [
            figure("rated_load_a", Some(w.rated_a), r.rated_a),
            figure("locked_rotor_a", Some(w.locked_rotor_a), r.locked_rotor_a),
            figure("locked_rotor_power_factor", w.locked_rotor_power_factor, r.locked_rotor_power_factor),
            figure("power_factor", w.power_factor, r.power_factor),
            figure("power_w", w.shaft_w, r.shaft_w),
            figure("efficiency", w.efficiency, r.efficiency),
            Compared { allowed: MISSED_SPEED * sync, ..figure(SPEED, speed, (1.0 - r.slip) * sync) },
            figure("locked_rotor_nm", w.locked_rotor_nm.or(times(w.locked_rotor_torque)), r.locked_rotor_nm),
            figure("breakdown_nm", w.breakdown_nm.or(times(w.breakdown_torque)), r.breakdown_nm),
            capacitor("run_capacitor_uf", w.run_capacitor_uf, c.run_capacitor_uf),
            capacitor("start_capacitor_uf", w.start_capacitor_uf, c.start_capacitor_uf),
        ]
    }
}

/// The key of the speed.
const SPEED: &str = "rated_rpm";
/// A slip that binds at least so hard is one printed as a speed.
const ROUNDED_SLIP: f64 = 0.05;

/// A figure wanted and reached.
struct Compared {
    what: &'static str,
    target: Option<Target>,
    reached: f64,
    /// A larger difference counts as missed.
    allowed: f64,
}

impl Compared {
    /// The difference over what is allowed.
    fn off(&self, target: Target) -> f64 {
        (self.reached - target.value).abs() / self.allowed
    }
}

/// Fits a circuit. `from`: a fit of the same kind to start from, then it is looked no further than there; without, several
/// starts are tried and the best is kept. Always answers: what cannot be met shows in [`Fit::misses`].
///
/// A three-phase motor whose label gives locked-rotor or breakdown torque gets a second cage if one cage misses something or
/// strains what is usual, and then leakage that saturates if two do. A warm start keeps what the fit has that it starts
/// from: within a range of figures the model never changes.
pub fn fit(wanted: &Wanted, from: Option<&Fit>) -> Fit {
    let from = from.filter(|f| f.wanted.winding == wanted.winding);
    let solve = |rotor: Rotor| {
        let start = from.map(|f| &f.ln);
        by_winding!(wanted.winding, rotor, solve(wanted, rotor, start))
    };
    if let Some(from) = from {
        return solve(from.rotor());
    }
    let mut best = solve(Rotor::OneCage);
    for rotor in [Rotor::TwoCages, Rotor::Saturating] {
        let met = best.worst_miss() <= 1.0;
        if !wanted.tells_cages() || met && best.cost <= STRAINED {
            break;
        }
        let next = solve(rotor);
        let meets = next.worst_miss() <= 1.0;
        let better = if met {
            meets && next.cost + STRAINED < best.cost
        } else {
            meets || next.worst_miss() < best.worst_miss()
        };
        if better {
            best = next;
        }
    }
    best
}

/// A circuit with more in it has to be cheaper by this, where the plainer one meets the label: by three standard deviations
/// of one wish (assumed).
const STRAINED: f64 = 4.5;
