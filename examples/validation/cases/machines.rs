//! Published machines, and starts of them at both levels.

use std::f64::consts::TAU;

use num_complex::Complex64;
use serde_json::Value;
use startmargin::motor::{Auxiliary, Cage, Capacitor, LoadTorque, Machine, ThreePhase, TwoWinding};
use startmargin::start::waveform::{Closing, Cycles, Ending, Moment, Sampler, TOLERANCE, Watch, waveform};
use startmargin::start::{Branch, Options, Running, Trace, envelope};
use startmargin::starter::{Direct, Starter};
use startmargin::supply::Thevenin;

use super::csv::{self, Cells};

/// The reference solutions' loads: `const` is smooth through standstill, `quad` goes with the square of
/// speed.
#[derive(Debug, Clone, Copy)]
pub struct ReferenceLoad {
    /// Whether the torque is constant; else it goes with the square of speed.
    pub constant: bool,
    /// Torque, of the second kind at synchronous speed \[N m\].
    pub nm: f64,
    /// Synchronous speed \[rad/s\].
    pub sync: f64,
}

impl LoadTorque for ReferenceLoad {
    fn at(&self, speed: f64, _t: f64) -> f64 {
        self.settled(speed)
    }
    fn settled(&self, speed: f64) -> f64 {
        let x = speed / self.sync;
        self.nm * if self.constant { (x / 0.005).tanh() } else { x * x.abs() }
    }
    fn breakaway(&self) -> f64 {
        0.0
    }
    fn build_up_s(&self) -> f64 {
        0.0
    }
}

/// A start: machine, what it drives, voltage and impedance per phase.
pub struct Setup {
    /// The machine.
    pub machine: Box<dyn Machine>,
    /// What it drives.
    pub load: ReferenceLoad,
    /// Voltage per phase \[V\].
    pub volts: f64,
    /// Impedance of the source per phase \[ohm\].
    pub z: Complex64,
    /// Frequency \[Hz\].
    pub hz: f64,
}

impl Setup {
    /// A machine without load on a stiff supply.
    pub fn unloaded(machine: Box<dyn Machine>, volts: f64, hz: f64) -> Setup {
        let load = ReferenceLoad { constant: false, nm: 0.0, sync: machine.sync_speed() };
        Setup { machine, load, volts, z: Complex64::ZERO, hz }
    }

    /// `machine` is one of the names the reference uses; `load` as it writes it.
    pub fn new(machine: &str, load: &Value, share: f64, z: Complex64) -> Setup {
        let machine: Box<dyn Machine> = match machine {
            "krause_3hp" | "three_hp" => Box::new(three_hp()),
            scheme => Box::new(quarter_hp(scheme)),
        };
        let volts = share * if machine.phases() == 3 { 220.0 / 3f64.sqrt() } else { VOLTS };
        let nm = load[1].as_f64().unwrap_or(0.0);
        let load = ReferenceLoad { constant: load[0] == "const", nm, sync: machine.sync_speed() };
        Setup { machine, load, volts, z, hz: 60.0 }
    }

    /// Runs it at the waveform level, closed at an angle \[degrees\], until `until_s`.
    pub fn waveform(&self, angle_deg: f64, until_s: f64, watch: &mut dyn Watch) -> Ending {
        self.waveform_behind(&Direct, angle_deg, until_s, watch)
    }

    /// The same behind a starter.
    pub fn waveform_behind(
        &self,
        starter: &dyn Starter,
        angle_deg: f64,
        until_s: f64,
        watch: &mut dyn Watch,
    ) -> Ending {
        let source = Thevenin { v: self.volts, z: self.z, fold_a: None };
        let branch = Branch::plain(&*self.machine, &self.load, starter, until_s);
        let closing = Closing {
            supply: &source,
            running: Running::default(),
            branch: &branch,
            frequency_hz: self.hz,
            angle: angle_deg.to_radians(),
            settled_speed: Some(self.machine.sync_speed()),
            until_s,
            tolerance: TOLERANCE,
            most_steps: 1_000_000,
        };
        waveform(&closing, watch).unwrap_or_default()
    }

    /// The same: how it went, instants at 1/200 of a cycle, cycles.
    pub fn run(&self, angle_deg: f64, until_s: f64) -> (Ending, Vec<Moment>, Cycles) {
        let mut watch = (Sampler::new(1.0 / (200.0 * self.hz)), Cycles::new(self.hz, self.machine.phases()));
        let ending = self.waveform(angle_deg, until_s, &mut watch);
        (ending, watch.0.samples, watch.1)
    }

    /// Runs it at the envelope level.
    pub fn envelope(&self, longest_s: f64) -> Trace {
        self.envelope_behind(&Direct, longest_s)
    }

    /// The same behind a starter.
    pub fn envelope_behind(&self, starter: &dyn Starter, longest_s: f64) -> Trace {
        let source = Thevenin { v: self.volts, z: self.z, fold_a: None };
        let branch = Branch::plain(&*self.machine, &self.load, starter, longest_s);
        let mut trace = Trace::default();
        envelope(
            &source,
            Running::default(),
            &[branch],
            Options::default(),
            std::slice::from_mut(&mut trace),
        );
        trace
    }
}

/// Voltage of the 1/4 hp machine \[V\].
pub const VOLTS: f64 = 110.0;

/// Its start capacitor, resistance and reactance at 60 Hz \[ohm\] (from memory).
pub const START_CAPACITOR: [f64; 2] = [3.0, 14.5];
/// Its run capacitor (from memory).
pub const RUN_CAPACITOR: [f64; 2] = [9.0, 172.0];

/// A capacitor of a resistance and a reactance at 60 Hz \[ohm\].
pub fn capacitor([ohm, x]: [f64; 2]) -> Capacitor {
    Capacitor { farad: 1.0 / (TAU * 60.0 * x), ohm }
}

/// 1/4 hp, 110 V, 60 Hz, 4 poles, its auxiliary winding open: main winding and rotor after A. E. Fitzgerald
/// et al., Electric Machinery, Ex 9.2; auxiliary and capacitors after Krause et al. and Ong, from memory.
pub fn quarter_hp_open() -> TwoWinding {
    open(0.0146)
}

fn open(inertia: f64) -> TwoWinding {
    TwoWinding::new(4, 60.0, [2.02, 2.79, 66.8, 4.12, 2.12], inertia).with_auxiliary(Auxiliary {
        r_ohm: 7.14,
        x_ohm: 3.22,
        turns_ratio: 1.18,
    })
}

/// The same with its auxiliary winding connected in one of the ways the reference names.
pub fn quarter_hp(scheme: &str) -> TwoWinding {
    quarter_hp_of(0.0146, scheme)
}

/// The same with another inertia \[kg m2\].
pub fn quarter_hp_of(inertia: f64, scheme: &str) -> TwoWinding {
    let motor = open(inertia);
    match scheme {
        "psc" => motor.with_run_capacitor(capacitor(RUN_CAPACITOR)),
        "start_cap_permanent" => motor.with_run_capacitor(capacitor(START_CAPACITOR)),
        _ => motor.with_start_switch(Some(capacitor(START_CAPACITOR)), 0.75),
    }
}

/// What the page calls these ways.
pub fn scheme_name(scheme: &str) -> &'static str {
    match scheme {
        "psc" => "1/4 hp, run capacitor",
        "start_cap_permanent" => "1/4 hp, start capacitor left in",
        "krause_3hp" | "three_hp" => "3 hp",
        _ => "1/4 hp, start capacitor and switch",
    }
}

/// The published three-phase sets.
pub fn three_phase_sets() -> Vec<Cells> {
    csv::rows(include_str!("../../../tests/data/three_phase.csv"))
}

/// The machine of a set, its inertia times a factor.
pub fn three_phase(set: &Cells, inertia_times: f64) -> ThreePhase {
    three_phase_with(set, Cage { r_ohm: set.n("r2"), x_ohm: set.n("x2") }, inertia_times)
}

/// The same with another cage.
pub fn three_phase_with(set: &Cells, cage: Cage, inertia_times: f64) -> ThreePhase {
    let inertia = set.number("inertia_kgm2").unwrap_or(1.0) * inertia_times;
    ThreePhase::new(4, set.n("hz"), [set.n("r1"), set.n("x1"), set.n("xm")], cage, inertia)
}

/// The set of that name; one without figures if there is none.
pub fn set(name: &str) -> Cells {
    three_phase_sets().into_iter().find(|s| s.text("name") == name).unwrap_or_default()
}

/// 3 hp, 220 V, 60 Hz, 4 poles.
pub fn three_hp() -> ThreePhase {
    three_phase(&set("3 hp 220 V"), 1.0)
}
