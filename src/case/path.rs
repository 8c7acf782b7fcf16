//! A case at one value for each figure: machine, source, limits in amperes per line.

use num_complex::Complex64;

use super::inrush::{Loaded, NO_TORQUE, Still, loaded};
use super::{Behaviour, Cable, Case, Connection, Fault, FirstPeak, Overload, Pressure, RunningFigures};
use crate::figure::Figure;
use crate::motor::fit::{Fit, Winding};
use crate::motor::given::{MotorFigures, PlateMotor};
use crate::motor::{Capacitor, LoadTorque, Machine, SpeedTorque, Stage, ThreePhase, TwoWinding};
use crate::nameplate::Nameplate;
use crate::protection::{Ambient, BreakerFigures, Edges};
use crate::quantity::*;
use crate::standards::Rules;
use crate::standards::nema_mg_1::LEAST_VOLTAGE;
use crate::start::{Dip, Level, Options, Row, Running};
use crate::starter::{CutOut, Direct, Limiter, PhaseControl, Starter};
use crate::supply::{OnOverload, Rating, SupplyFigures, SupplyKind, Thevenin};

/// How the load hangs on the supply, which decides its voltage and what a volt-ampere means in amperes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hookup {
    /// Single-phase load between the two conductors of a single-phase supply (or between the outer legs).
    Single,
    /// On one leg of a three-wire supply.
    Leg,
    /// Single-phase load between one line and neutral of a three-phase supply.
    LineToNeutral,
    /// Single-phase load between two lines of a three-phase supply.
    LineToLine,
    /// Three-phase load.
    ThreePhase,
}

/// Why a path cannot be run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Lack {
    /// A figure is missing: its key below the load.
    #[error("{0} is missing")]
    Missing(&'static str),
    /// A model comes later.
    #[error("{0} is not modelled yet")]
    NotModelled(&'static str),
}

/// A surge rating in amperes per line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surge {
    /// How much \[A\].
    pub amps: f64,
    /// For how long \[s\]; `None`: the maker does not say.
    pub for_s: Option<f64>,
}

/// What machine it is.
enum Motor {
    TwoWinding(Box<TwoWinding>),
    ThreePhase(Box<ThreePhase>),
    /// None: the load is no induction motor.
    Still(Still),
}

/// A case ready to run. Amperes are per line, voltages as the trace gives them (line to line for three phases).
pub struct Path {
    motor: Motor,
    /// The load, if it is no induction motor.
    pub(super) inrush: Option<Loaded>,
    pub(super) load: SpeedTorque,
    pub(super) starter: Box<dyn Starter>,
    pub(super) assist: Option<(Capacitor, CutOut)>,
    pub(super) source: Thevenin,
    pub(super) conductor: Complex64,
    /// Admittance of the load's fan.
    pub(super) fan: Complex64,
    pub(super) fan_through_starter: bool,
    pub(super) runnings: Vec<Running>,
    pub(super) dip: Option<Dip>,
    /// How the simulation is run.
    pub options: Options,
    /// How closely the start is simulated.
    pub level: Level,
    /// Angle of the voltage at switch-on, at the waveform level \[rad\].
    pub closing_angle: f64,
    /// The largest instantaneous currents over the closing angles, once looked for.
    pub first_peak: Option<FirstPeak>,
    /// How the load hangs on the supply.
    pub hookup: Hookup,
    /// Frequency \[Hz\].
    pub frequency_hz: f64,
    /// The supply's voltage at the load's connection, open circuit \[V\].
    pub open_v: f64,
    /// The load's rated voltage \[V\]; the supply's where the load does not say.
    pub rated_v: f64,
    /// Lowest running voltage allowed at the load's terminals \[V\].
    pub least_running_v: f64,
    /// Lowest declared voltage at the load's terminals for starting \[V\].
    pub least_start_v: Option<f64>,
    /// Locked-rotor current at rated voltage \[A\]: the nameplate's where it says, else the circuit's; not a number for what is no
    /// induction motor.
    pub locked_rotor_a: f64,
    /// The circuit's own locked-rotor current at rated voltage \[A\].
    pub circuit_locked_rotor_a: f64,
    /// The attempt is given up after this \[s\].
    pub longest_start_s: f64,
    /// Rated-load current, if the nameplate says \[A\].
    pub rated_load_a: Option<f64>,
    /// Why the starter is none for this motor or supply, if it is not.
    pub unfit: Option<String>,
    /// Continuous rating of the supply \[A\].
    pub continuous_a: Option<f64>,
    /// Surge ratings, currents rising.
    pub surge: Vec<Surge>,
    /// Instantaneous cut-off of the supply \[A\].
    pub peak_current_a: Option<f64>,
    /// Time for which it lets a larger current pass before it cuts off \[s\].
    pub peak_current_for_s: Option<f64>,
    /// What kind of supply it is.
    pub supply_kind: SupplyKind,
    /// What the supply does on overload.
    pub on_overload: OnOverload,
    /// Rated current of the breaker \[A\].
    pub breaker_a: Option<f64>,
    /// The breaker's band.
    pub edges: Option<Edges>,
    /// What the temperature around the breaker does to it; absent where it is not stated.
    pub ambient: Option<Ambient>,
    /// A short circuit at the load; absent where breaker, cable or supply are not known.
    pub fault: Option<Fault>,
    /// Whether the supply shuts itself off on a short circuit; absent: not stated.
    pub shuts_off_on_fault: Option<bool>,
    /// Whose rules apply.
    pub rules: Rules,
    /// Its overload protection.
    pub overload: Overload,
    /// Whether it starts straight after running, so that its protection is warm.
    pub warm: bool,
    /// What there is to know of the cable's ampacity; `None` where it is not known.
    pub cable: Option<Cable>,
    /// Load torque at its rated speed, built up \[N m\].
    pub full_load_nm: f64,
    /// The fit the machine comes from; absent for a motor given outright.
    pub fit: Option<Fit>,
}

impl Path {
    /// The case at its figures' values.
    ///
    /// # Errors
    /// [`Lack`] says what is missing or not modelled yet.
    pub fn new(case: &Case) -> Result<Path, Lack> {
        let hookup = Hookup::of(case);
        let supply = &case.supply;
        let frequency = supply.frequency_hz.value;
        let open_v = hookup.open_v(supply.voltage_v.get());
        let plate = &case.load.nameplate;
        let rated_v = plate.rated_voltage_v.as_ref().map_or(open_v, Figure::get);
        let phase = |v: f64| if hookup == Hookup::ThreePhase { v / 3f64.sqrt() } else { v };
        let inrush = loaded(case, rated_v)?;
        let (motor, load, fitted) = match inrush {
            Some(_) => (Motor::Still(Still), NO_TORQUE, None),
            None => turning(case, rated_v, hookup)?,
        };
        let stalled = motor.machine().at(0.0, Stage { own_start: true, assist: false });
        let circuit_locked_rotor_a = stalled.y.norm() * phase(rated_v);
        // from here on its leakage is that at the supply's voltage
        let motor = motor.at_phase_voltage(phase(open_v));
        let rated_a = plate.rated_load();
        let (locked_rotor_a, starter): (f64, Box<dyn Starter>) = match inrush {
            // no starter is a cure for it: why not is said, and the start is run without
            Some(_) => (f64::NAN, Box::new(Direct)),
            None => {
                let locked_a = plate.locked_rotor().unwrap_or(circuit_locked_rotor_a);
                let at_supply_a = locked_a * open_v / rated_v;
                let three_phase = motor.machine().phases() == 3;
                let starter = case.load.starter.starter(at_supply_a, rated_a, three_phase);
                (locked_a, starter.map_err(Lack::Missing)?)
            }
        };
        let unfit = super::unfit(case, open_v, locked_rotor_a * open_v / rated_v, motor.machine());
        // a drive takes the time it is set to: the motor does not heat the while
        let ramp_s = starter.drive().map_or(0.0, |drive| DRIVE_TIME * drive.ramp_s);
        let surge = surge_ratings(supply);
        let largest = surge.last().map(|s| s.amps);
        let fold_a = largest.filter(|_| supply.on_overload == OnOverload::Limit);
        let z = Complex64::new(value(&supply.output_ohm), value(&supply.output_reactance_ohm));
        let breaker = case.circuit.breaker.as_ref();
        let ambient = breaker.zip(case.ambient_c.as_ref()).map(|(b, t)| Ambient::of(b.standard, t.get()));
        let conductor = case.circuit.conductor.as_ref();
        let mut path = Path {
            full_load_nm: load.settled(load.rated_speed),
            load,
            starter,
            assist: None,
            source: Thevenin { v: phase(open_v), z: hookup.impedance(z), fold_a },
            conductor: conductor.map_or(Complex64::ZERO, |c| {
                Complex64::new(value(&c.resistance_ohm), value(&c.reactance_ohm))
            }),
            runnings: runnings(case, hookup, phase(open_v)),
            dip: supply.dip.as_ref().map(|d| Dip { to: d.to.get(), for_s: d.for_s.get() }),
            options: Options::default(),
            level: case.level,
            closing_angle: 0.0,
            first_peak: None,
            hookup,
            frequency_hz: frequency.0,
            open_v,
            rated_v,
            least_running_v: plate.voltage_range_v.map_or(LEAST_VOLTAGE * rated_v, |[low, _]| low.0),
            least_start_v: plate.least_start_v.as_ref().map(Figure::get),
            locked_rotor_a,
            circuit_locked_rotor_a,
            longest_start_s: case.load.longest_start_s.get().max(ramp_s),
            rated_load_a: rated_a,
            unfit,
            continuous_a: supply.continuous.as_ref().map(|r| amps(supply, r)),
            surge,
            peak_current_a: supply.peak_current_a.as_ref().map(Figure::get),
            peak_current_for_s: supply.peak_current_for_s.as_ref().map(Figure::get),
            supply_kind: supply.kind,
            on_overload: supply.on_overload,
            breaker_a: breaker.map(|b| b.rating_a.get()),
            edges: breaker.and_then(|b| edges(b, ambient.as_ref(), open_v, frequency)),
            ambient,
            fault: Fault::of(case),
            shuts_off_on_fault: supply.shuts_off_on_fault,
            rules: case.rules,
            fan: fan(plate, rated_v),
            fan_through_starter: case.load.fan_through_starter,
            fit: fitted,
            inrush,
            overload: Overload::of(&case.load, plate.rated_load(), locked_rotor_a),
            warm: case.pressure == Pressure::Unequal,
            cable: Cable::of(case),
            motor,
        };
        let starter = &case.load.starter;
        let cut_out = starter.cut_out().unwrap_or(CutOut::Speed(ASSIST_CUT_OUT));
        path.add_assist(starter.assist_capacitor_uf.as_ref().map(|uf| (uf.get() * 1e-6, cut_out)));
        path.settle_inrush()?;
        Ok(path)
    }

    /// What the trade calls this kind of supply.
    pub fn supply_words(&self) -> &'static str {
        match self.supply_kind {
            SupplyKind::Inverter => "inverter",
            SupplyKind::Generator => "generator",
            SupplyKind::Shore => "shore supply",
        }
    }

    /// The machine.
    pub fn machine(&self) -> &dyn Machine {
        self.motor.machine()
    }

    /// Line current from which the motor's leakage saturates \[A\], if it does.
    pub fn leakage_saturation_a(&self) -> Option<f64> {
        match &self.motor {
            Motor::ThreePhase(m) => m.leakage_saturation_a(),
            Motor::TwoWinding(_) | Motor::Still(_) => None,
        }
    }

    /// The three-phase machine with its leakage as at this voltage of a phase \[V\].
    pub(super) fn three_phase_at(&self, phase_v: f64) -> Option<ThreePhase> {
        match &self.motor {
            Motor::ThreePhase(m) => Some((**m).clone().at_phase_voltage(phase_v)),
            Motor::TwoWinding(_) | Motor::Still(_) => None,
        }
    }

    /// Locked-rotor current at the supply's voltage \[A\]: what a start-current reduction is a share of.
    pub fn locked_rotor_at_supply_a(&self) -> f64 {
        self.locked_rotor_a * self.open_v / self.rated_v
    }

    /// Puts an ideal limiter in place of the starter, whose own misfit no longer counts.
    pub fn limit_to(&mut self, amps: f64) {
        self.unfit = None;
        self.starter = Box::new(Limiter { amps });
    }

    /// The same by phase control: `amps` is then the rms with harmonics.
    pub fn limit_by_phase_control(&mut self, amps: f64) {
        let three_phase = self.machine().phases() == 3;
        self.put(PhaseControl { aim: Limiter { amps }, three_phase });
    }

    /// Puts another starter in place of the one there is; a start capacitor stays.
    pub fn put(&mut self, starter: impl Starter + 'static) {
        self.unfit = None;
        self.starter = Box::new(starter);
    }

    /// Takes the starter out.
    pub fn go_direct(&mut self) {
        self.unfit = None;
        self.starter = Box::new(Direct);
        self.set_assist(None);
    }

    /// Puts a start capacitor (farad, cut-out as a fraction of synchronous speed) in parallel with the run capacitor, or
    /// takes it out. Without effect on a motor that has no auxiliary winding.
    pub fn set_assist(&mut self, assist: Option<(f64, f64)>) {
        self.add_assist(assist.map(|(farad, cut_out)| (farad, CutOut::Speed(cut_out))));
    }

    /// The same with a capacitor that leaves by speed or by relay.
    pub fn add_assist(&mut self, assist: Option<(f64, CutOut)>) {
        self.assist = assist.map(|(farad, cut_out)| (Capacitor { farad, ohm: 0.0 }, cut_out));
        if let Motor::TwoWinding(m) = &mut self.motor {
            **m = (**m).clone().with_assist(self.assist.map(|(c, _)| c));
        }
    }

    /// Multiplies the breakaway torque.
    pub fn scale_breakaway(&mut self, by: f64) {
        self.load.breakaway = self.load.breakaway.max(self.load.shares[0]) * by;
    }

    /// Whether the starter has a capacitor that the motor can use.
    pub fn has_assist(&self) -> bool {
        self.assist.is_some() && self.takes_assist()
    }

    /// Whether a start capacitor could be added.
    pub fn takes_assist(&self) -> bool {
        matches!(&self.motor, Motor::TwoWinding(m) if m.has_auxiliary())
    }

    /// Ways in which the running loads may behave: one, or two where the site does not say.
    pub fn variants(&self) -> usize {
        self.runnings.len()
    }

    /// The dip that the running motor is to survive, if the supply has one.
    pub fn dip(&self) -> Option<Dip> {
        self.dip
    }

    /// Voltage lost in the cable at a moment of a start \[V\], line to line for three phases: at the supply's end less at the
    /// load's. The load's power factor is taken as the motor's, which is right once nothing stands between.
    pub fn cable_drop_v(&self, row: &Row) -> f64 {
        let power = Complex64::new(row.power_w, row.reactive_var);
        if row.terminal_v <= 0.0 || power.norm() <= 0.0 {
            return 0.0;
        }
        let current = row.line_a * power.conj() / power.norm();
        let by_phases = if self.hookup == Hookup::ThreePhase { 3f64.sqrt() } else { 1.0 };
        (row.terminal_v + by_phases * current * self.conductor).norm() - row.terminal_v
    }

    /// Largest torque of the machine from 0.05 of synchronous speed up, in the running stage, at a voltage at its
    /// terminals \[V\]; in N m.
    pub fn pull_out_nm(&self, terminal_v: f64) -> f64 {
        let v = if self.hookup == Hookup::ThreePhase { terminal_v / 3f64.sqrt() } else { terminal_v };
        let ws = self.machine().sync_speed();
        let torque = |x: f64| self.machine().at(x * ws, Stage::RUN).torque_per_v2 * v * v;
        let best = (20..400).map(|i| f64::from(i) / 400.0).max_by(|a, b| torque(*a).total_cmp(&torque(*b)));
        let best = best.unwrap_or(0.8);
        // the grid is within 1/800 of the top, where the curve is flat: refine by three thirds
        let (mut a, mut b) = (best - 1.0 / 400.0, best + 1.0 / 400.0);
        for _ in 0..40 {
            let (p, q) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
            if torque(p) < torque(q) {
                a = p;
            } else {
                b = q;
            }
        }
        torque(0.5 * (a + b))
    }

    /// The start capacitor with the largest torque at standstill \[uF\], to a per cent; 0 for a motor that cannot take one.
    pub fn strongest_assist_uf(&self) -> f64 {
        let Motor::TwoWinding(m) = &self.motor else { return 0.0 };
        let torque = |uf: f64| {
            let c = Capacitor { farad: uf * 1e-6, ohm: 0.0 };
            (**m).clone().with_assist(Some(c)).at(0.0, Stage::START).torque_per_v2
        };
        let sizes = (0..926).map(|i| 1.01f64.powi(i));
        sizes.max_by(|a, b| torque(*a).total_cmp(&torque(*b))).unwrap_or(0.0)
    }

    /// Ratio of reactance to resistance seen by the load's line at standstill, supply included.
    pub fn stalled_x_over_r(&self) -> f64 {
        let stalled = self.machine().at(0.0, Stage::START).y.inv() + self.source.z + self.conductor;
        (stalled.im / stalled.re).max(0.0)
    }
}

/// A drive's start may take this many times its ramp.
const DRIVE_TIME: f64 = 2.0;

/// Cut-out of an assisting start capacitor where none is given, as a fraction of synchronous speed: typical, common
/// practice, no source.
pub(crate) const ASSIST_CUT_OUT: f64 = 0.75;

impl Motor {
    fn machine(&self) -> &dyn Machine {
        match self {
            Motor::TwoWinding(m) => &**m,
            Motor::ThreePhase(m) => &**m,
            Motor::Still(none) => none,
        }
    }

    /// The same with leakage that saturates as at this voltage of a phase \[V\].
    fn at_phase_voltage(self, phase_v: f64) -> Motor {
        match self {
            Motor::ThreePhase(m) => Motor::ThreePhase(Box::new(m.at_phase_voltage(phase_v))),
            other => other,
        }
    }
}

impl Hookup {
    fn of(case: &Case) -> Hookup {
        let supply = &case.supply;
        match (supply.phases, case.load.phases, case.load.connection) {
            (3, 3, _) => Hookup::ThreePhase,
            (3, _, connection) => {
                let line = supply.voltage_v.get();
                let neutral = line / 3f64.sqrt();
                let rated = case.load.nameplate.rated_voltage_v.as_ref().map_or(neutral, Figure::get);
                match connection {
                    Some(Connection::L1L2) => Hookup::LineToLine,
                    Some(Connection::L1 | Connection::L2) => Hookup::LineToNeutral,
                    None if (rated - line).abs() < (rated - neutral).abs() => Hookup::LineToLine,
                    None => Hookup::LineToNeutral,
                }
            }
            (_, _, Some(Connection::L1 | Connection::L2)) => Hookup::Leg,
            _ => Hookup::Single,
        }
    }

    fn open_v(self, supply_v: f64) -> f64 {
        match self {
            Hookup::Single | Hookup::LineToLine | Hookup::ThreePhase => supply_v,
            Hookup::Leg => 0.5 * supply_v,
            Hookup::LineToNeutral => supply_v / 3f64.sqrt(),
        }
    }

    /// The source impedance the load sees, of that stated per phase (or between the legs).
    fn impedance(self, z: Complex64) -> Complex64 {
        match self {
            Hookup::Leg => 0.5 * z,
            Hookup::LineToLine => 2.0 * z,
            _ => z,
        }
    }

    /// What a running load's total power amounts to in the circuit that is solved.
    fn running_share(self, load: Option<Connection>, running: Option<Connection>) -> f64 {
        match self {
            Hookup::ThreePhase | Hookup::LineToNeutral => 1.0 / 3.0,
            Hookup::LineToLine => 1.0 / 3f64.sqrt(),
            Hookup::Single => match running {
                // one leg's current is what counts against the rating: as if both legs carried it
                Some(Connection::L1 | Connection::L2) => 2.0,
                _ => 1.0,
            },
            Hookup::Leg => match (load, running) {
                (_, Some(Connection::L1L2)) => 0.5,
                (Some(a), Some(b)) if a != b => 0.0,
                _ => 1.0,
            },
        }
    }
}

/// Power factor of a fan beside a compressor (assumed; a small motor with run capacitor).
const FAN_POWER_FACTOR: f64 = 0.85;

/// Admittance of the fan, per phase at rated voltage \[V\].
fn fan(plate: &Nameplate, rated_v: f64) -> Complex64 {
    let Some(amps) = plate.fan_full_load_a.as_ref().map(Figure::get) else { return Complex64::ZERO };
    let reactive = (1.0 - FAN_POWER_FACTOR * FAN_POWER_FACTOR).sqrt();
    Complex64::new(FAN_POWER_FACTOR, -reactive) * (amps / rated_v)
}

/// Motor, load torque and fit of a load that turns.
fn turning(case: &Case, rated_v: f64, hookup: Hookup) -> Result<(Motor, SpeedTorque, Option<Fit>), Lack> {
    let motor = case.load.motor.as_ref().ok_or(Lack::Missing("motor_model"))?;
    let torque = case.torque().ok_or(Lack::Missing(match case.pressure {
        Pressure::Equalised => "load_torque",
        Pressure::Unequal => "load_torque_unequal",
    }))?;
    let (plate, frequency) = (&case.load.nameplate, case.supply.frequency_hz.value);
    let phase = |v: f64| if hookup == Hookup::ThreePhase { v / 3f64.sqrt() } else { v };
    let mut fitted = None;
    let motor = match motor {
        MotorFigures::TwoWinding(m) => Motor::TwoWinding(Box::new(m.machine(frequency))),
        MotorFigures::ThreePhase(m) => Motor::ThreePhase(Box::new(m.machine(frequency, phase(rated_v)))),
        MotorFigures::Plate(m) => {
            let rated_hz = plate.rated_frequency_hz.as_ref().map_or(frequency.0, Figure::get);
            let fit = m.fit(plate, rated_v, rated_hz).map_err(Lack::Missing)?;
            let motor = machine(m, plate, &fit, rated_v, frequency)?;
            fitted = Some(fit);
            motor
        }
    };
    let rated_point =
        fitted.as_ref().map_or((f64::NAN, Rpm(f64::NAN)), |f| (f.rated_nm(), Rpm(f.rated_rpm())));
    Ok((motor, torque.load(rated_point), fitted))
}

/// The machine of a fitted circuit on a supply of this frequency.
fn machine(
    plate_motor: &PlateMotor,
    plate: &Nameplate,
    fit: &Fit,
    rated_v: f64,
    frequency: Hertz,
) -> Result<Motor, Lack> {
    let phases = if plate_motor.winding == Winding::ThreePhase { 3f64.sqrt() } else { 1.0 };
    let rated_a = plate.rated_load().unwrap_or(0.0);
    let sync_speed = 2.0 * std::f64::consts::TAU * fit.wanted().frequency_hz / f64::from(plate_motor.poles);
    let inertia =
        plate_motor.inertia(phases * rated_v * rated_a, sync_speed).ok_or(Lack::Missing("inertia_s"))?;
    let two = fit.two_winding(frequency.0, inertia).map(|m| Motor::TwoWinding(Box::new(m)));
    let three = || fit.three_phase(frequency.0, inertia).map(|m| Motor::ThreePhase(Box::new(m)));
    two.or_else(three).ok_or(Lack::NotModelled("a motor of such windings"))
}

/// The breaker's band in this ambient, or at its reference where none is stated.
fn edges(
    breaker: &BreakerFigures,
    ambient: Option<&Ambient>,
    open_v: f64,
    frequency: Hertz,
) -> Option<Edges> {
    let edges = breaker.edges(open_v, frequency.0).ok()?;
    Some(ambient.map_or_else(|| edges.clone(), |ambient| edges.at_ambient(ambient)))
}

fn value(ohm: &Option<Figure<Ohm>>) -> f64 {
    ohm.as_ref().map_or(0.0, Figure::get)
}

/// A rating in amperes per line, at the supply's rated voltage. Each leg of a three-wire supply carries half of the VA at
/// half of the voltage, so the amperes are the same.
pub(super) fn amps(supply: &SupplyFigures, rating: &Rating) -> f64 {
    let by_phases = if supply.phases == 3 { 3f64.sqrt() } else { 1.0 };
    let over = 1.0 / (supply.voltage_v.get() * by_phases);
    match rating {
        Rating::Amperes(a) => a.get(),
        Rating::VoltAmperes(va) => va.get() * over,
        Rating::Watts(w) => w.get() * over,
    }
}

fn surge_ratings(supply: &SupplyFigures) -> Vec<Surge> {
    let mut surge: Vec<Surge> = supply
        .surge
        .iter()
        .map(|s| Surge { amps: amps(supply, &s.rating), for_s: s.for_s.as_ref().map(Figure::get) })
        .collect();
    surge.sort_by(|a, b| a.amps.total_cmp(&b.amps));
    surge
}

/// The running loads per phase: constant impedance, constant power, or both ways where a load does not say.
fn runnings(case: &Case, hookup: Hookup, phase_v: f64) -> Vec<Running> {
    let build = |unsaid: Behaviour| {
        let mut sum = Running { least_v: 0.7 * phase_v, ..Running::default() };
        for r in &case.running {
            let s = power(r) * hookup.running_share(case.load.connection, r.connection);
            match r.behaviour.unwrap_or(unsaid) {
                Behaviour::Impedance => sum.y += s.conj() / (phase_v * phase_v),
                Behaviour::Power => sum.s += s,
            }
        }
        sum
    };
    if case.running.iter().all(|r| r.behaviour.is_some()) {
        vec![build(Behaviour::Power)]
    } else {
        vec![build(Behaviour::Impedance), build(Behaviour::Power)]
    }
}

fn power(r: &RunningFigures) -> Complex64 {
    let pf = r.power_factor.get().clamp(0.0, 1.0);
    r.va.get() * Complex64::new(pf, (1.0 - pf * pf).sqrt())
}
