//! Starts at the waveform level against reference solutions by scipy (tests/data/reference_starts.json says how they were made).

use std::f64::consts::TAU;

use num_complex::Complex64;
use serde_json::Value;
use startmargin::motor::{Auxiliary, Cage, Capacitor, LoadTorque, Machine, ThreePhase, TwoWinding};
use startmargin::start::waveform::{Closing, Cycle, Cycles, Ending, Moment, Sampler, TOLERANCE, waveform};
use startmargin::start::{Branch, Running};
use startmargin::starter::Direct;
use startmargin::supply::Thevenin;

use super::{Evidence, Row};

const SOURCE: &str = "scipy DOP853, rtol 1e-9 (tests/data/reference_starts.json)";
const WHY: &str = "same equations, other integrator and frame; 0.1 % is what a report shows";
const WHY_SOURCE: &str = "as above; 0.2 % for what a source's impedance adds";

/// The reference solutions' loads: `const` is smooth through standstill, `quad` goes with the square of speed.
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

/// A case of the reference: machine, what it drives, voltage and impedance per phase.
pub struct Setup {
    /// The machine.
    pub machine: Box<dyn Machine>,
    /// What it drives.
    pub load: ReferenceLoad,
    /// Voltage per phase \[V\].
    pub volts: f64,
    /// Impedance of the source per phase \[ohm\].
    pub z: Complex64,
}

impl Setup {
    /// `machine` is one of the names the reference uses; `load` as it writes it.
    pub fn new(machine: &str, load: &Value, share: f64, z: Complex64) -> Setup {
        let machine: Box<dyn Machine> = match machine {
            "krause_3hp" => Box::new(three_hp()),
            scheme => Box::new(quarter_hp(scheme)),
        };
        let volts = share * if machine.phases() == 3 { 220.0 / 3f64.sqrt() } else { 110.0 };
        let nm = load[1].as_f64().unwrap_or(0.0);
        let load = ReferenceLoad { constant: load[0] == "const", nm, sync: machine.sync_speed() };
        Setup { machine, load, volts, z }
    }

    /// Runs it, closed at an angle \[degrees\], until `until_s`: how it went, instants at 1/200 of a cycle, cycles.
    pub fn run(&self, angle_deg: f64, until_s: f64) -> (Ending, Vec<Moment>, Cycles) {
        let source = Thevenin { v: self.volts, z: self.z, fold_a: None };
        let branch = Branch::plain(&*self.machine, &self.load, &Direct, until_s);
        let closing = Closing {
            supply: &source,
            running: Running::default(),
            branch: &branch,
            frequency_hz: 60.0,
            angle: angle_deg.to_radians(),
            settled_speed: Some(self.machine.sync_speed()),
            until_s,
            tolerance: TOLERANCE,
            most_steps: 1_000_000,
        };
        let mut watch = (Sampler::new(1.0 / 12_000.0), Cycles::new(60.0, self.machine.phases()));
        let ending = waveform(&closing, &mut watch).unwrap_or_default();
        (ending, watch.0.samples, watch.1)
    }
}

/// 3 hp, 220 V, 60 Hz, 4 poles: P. C. Krause et al., Analysis of Electric Machinery (seen in public code).
pub fn three_hp() -> ThreePhase {
    ThreePhase::new(4, 60.0, [0.435, 0.754, 26.13], Cage { r_ohm: 0.816, x_ohm: 0.754 }, 0.089)
}

/// 1/4 hp, 110 V, 60 Hz, 4 poles: main winding and rotor after A. E. Fitzgerald et al., Ex 9.2; auxiliary and capacitors from memory.
pub fn quarter_hp(scheme: &str) -> TwoWinding {
    let capacitor = |ohm: f64, x: f64| Capacitor { farad: 1.0 / (TAU * 60.0 * x), ohm };
    let motor = TwoWinding::new(4, 60.0, [2.02, 2.79, 66.8, 4.12, 2.12], 0.0146).with_auxiliary(Auxiliary {
        r_ohm: 7.14,
        x_ohm: 3.22,
        turns_ratio: 1.18,
    });
    match scheme {
        "psc" => motor.with_run_capacitor(capacitor(9.0, 172.0)),
        "start_cap_permanent" => motor.with_run_capacitor(capacitor(3.0, 14.5)),
        _ => motor.with_start_switch(Some(capacitor(3.0, 14.5)), 0.75),
    }
}

/// The reference's file.
pub fn reference() -> Value {
    serde_json::from_str(include_str!("../../../tests/data/reference_starts.json")).unwrap_or_default()
}

/// The largest size of what `of` reads in `samples` before `until`, by a parabola through its crest; signed as there.
pub fn crest(samples: &[Moment], until: f64, of: impl Fn(&Moment) -> f64) -> f64 {
    let mut best: f64 = 0.0;
    for three in samples.windows(3) {
        if three[2].t_s > until {
            break;
        }
        let [a, b, c] = [0, 1, 2].map(|i| of(&three[i]));
        if b.abs() >= a.abs() && b.abs() >= c.abs() {
            let bend = a - 2.0 * b + c;
            let top = if bend == 0.0 { b } else { b - (a - c).powi(2) / (8.0 * bend) };
            if top.abs() > best.abs() {
                best = top;
            }
        }
    }
    best
}

/// First time at which the speed reaches a share of synchronous speed, straight between samples.
pub fn reaches(samples: &[Moment], sync: f64, share: f64) -> f64 {
    let level = share * sync;
    let at = samples.windows(2).find(|w| w[0].speed < level && w[1].speed >= level);
    at.map_or(f64::NAN, |w| {
        w[0].t_s + (level - w[0].speed) / (w[1].speed - w[0].speed) * (w[1].t_s - w[0].t_s)
    })
}

fn row(case: &str, quantity: &str, expected: &Value, ours: f64, allowed: f64) -> Row {
    Row {
        case: case.to_owned(),
        evidence: Evidence::IndependentProgram,
        source: SOURCE,
        quantity: quantity.to_owned(),
        expected: expected.as_f64().unwrap_or(f64::NAN),
        ours,
        allowed,
        why: if allowed > 1e-3 { WHY_SOURCE } else { WHY },
    }
}

fn mean_square(m: &Moment) -> f64 {
    m.line_a.iter().map(|i| i * i).sum::<f64>() / 3.0
}

fn three_phase(of: &Value) -> Vec<Row> {
    let angle = of["closing_angle_deg"].as_f64().unwrap_or(f64::NAN);
    let case = format!("3 hp, closed at {angle} degrees");
    let setup = Setup::new("krause_3hp", &Value::Null, 1.0, Complex64::ZERO);
    let (_, samples, cycles) = setup.run(angle, 0.8);
    let sync = setup.machine.sync_speed();
    let mut rows = Vec::new();
    let mut add = |quantity: &str, expected: &Value, ours: f64| {
        if expected.is_number() {
            rows.push(row(&case, quantity, expected, ours, 1e-3));
        }
    };
    for (key, share) in [("t_50pct", 0.5), ("t_75pct", 0.75), ("t_95pct", 0.95)] {
        add(&format!("time to {share} of synchronous speed, s"), &of[key], reaches(&samples, sync, share));
    }
    let two = 2.0 / 60.0;
    for (i, phase) in ["a", "b", "c"].into_iter().enumerate() {
        let ours = crest(&samples, two, |m| m.line_a[i]);
        add(
            &format!("peak of line {phase} in two cycles, A"),
            &of["peak_current_first_2_cycles"][phase]["i"],
            ours,
        );
    }
    let most = crest(&samples, f64::INFINITY, |m| m.torque_nm.max(0.0));
    add("largest torque, N m", &of["torque_max"]["T"], most);
    let least = crest(&samples, f64::INFINITY, |m| m.torque_nm.min(0.0));
    add("least torque, N m", &of["torque_min"]["T"], least);
    let t95 = reaches(&samples, sync, 0.95);
    let square: f64 = samples
        .windows(2)
        .take_while(|w| w[1].t_s <= t95)
        .map(|w| 0.5 * (mean_square(&w[0]) + mean_square(&w[1])) * (w[1].t_s - w[0].t_s))
        .sum();
    add("integral of the mean square of the lines to 0.95, A2s", &of["int_i2_to_t95"], square);
    for k in 0..20 {
        let cycle = cycles.cycle(k).unwrap_or_default();
        let all = Cycle::over_phases(cycle.line_a, 3);
        add(&format!("rms over the lines in cycle {}, A", k + 1), &of["rms_3phase_first_20"][k], all);
        add(&format!("rms of line a in cycle {}, A", k + 1), &of["rms_a_first_20"][k], cycle.line_a[0]);
    }
    rows
}

fn single_phase(of: &Value) -> Vec<Row> {
    let angle = of["closing_angle_deg"].as_f64().unwrap_or(f64::NAN);
    let scheme = of["scheme"].as_str().unwrap_or_default();
    let load = &of["load"];
    let name = match scheme {
        "psc" => "run capacitor",
        "start_cap_permanent" => "start capacitor left in",
        _ => "start capacitor and switch",
    };
    let drives = if load[0] == "none" { "no load".to_owned() } else { format!("{} N m", load[1]) };
    let case = format!("1/4 hp, {name}, {drives}, closed at {angle} degrees");
    let setup = Setup::new(scheme, load, 1.0, Complex64::ZERO);
    let (ending, samples, cycles) = setup.run(angle, 3.0);
    let sync = setup.machine.sync_speed();
    let mut rows = Vec::new();
    let mut add = |quantity: &str, expected: &Value, ours: f64| {
        if expected.is_number() {
            rows.push(row(&case, quantity, expected, ours, 1e-3));
        }
    };
    for (key, share) in [("t_75pct", 0.75), ("t_95pct", 0.95)] {
        add(&format!("time to {share} of synchronous speed, s"), &of[key], reaches(&samples, sync, share));
    }
    let opens = ending.events.first().map_or(f64::NAN, |e| e.t_s);
    add("the start switch opens, s", &of["switch"]["t_switch"], opens);
    let line = |m: &Moment| m.line_a[0];
    add(
        "peak of the line in two cycles, A",
        &of["line_peak_first_2_cycles"]["i"],
        crest(&samples, 2.0 / 60.0, line),
    );
    // whichever of two equal crests comes first: the size is what counts
    let overall = crest(&samples, f64::INFINITY, line).abs();
    add(
        "largest peak of the line, A",
        &Value::from(of["line_peak_overall"]["i"].as_f64().map(f64::abs)),
        overall,
    );
    add(
        "rms of the line in cycle 1, A",
        &of["line_rms_first_cycle"],
        cycles.cycle(0).unwrap_or_default().line_a[0],
    );
    rows
}

fn behind_impedance(of: &Value) -> Vec<Row> {
    let case = of["case"].as_str().unwrap_or_default();
    let z = Complex64::new(of["Rs"].as_f64().unwrap_or(0.0), of["Xs"].as_f64().unwrap_or(0.0));
    let (machine, name) = if case.starts_with("krause") {
        (case, "3 hp")
    } else {
        ("cap_start", "1/4 hp, start capacitor, 0.5 N m")
    };
    let setup = Setup::new(machine, &of["load"], 1.0, z);
    let (ending, samples, cycles) = setup.run(0.0, 1.5);
    let sync = setup.machine.sync_speed();
    let case = format!("{name}, behind {} + j {} ohm", z.re, z.im);
    let mut rows = Vec::new();
    let mut add = |quantity: &str, expected: &Value, ours: f64| {
        if expected.is_number() {
            rows.push(row(&case, quantity, expected, ours, 2e-3));
        }
    };
    add("time to 0.75 of synchronous speed, s", &of["t75"], reaches(&samples, sync, 0.75));
    add("time to 0.95 of synchronous speed, s", &of["t95"], reaches(&samples, sync, 0.95));
    add("the start switch opens, s", &of["t_switch"], ending.events.first().map_or(f64::NAN, |e| e.t_s));
    let phases = setup.machine.phases();
    let two = 2.0 / 60.0;
    let peak = (0..phases as usize).map(|i| crest(&samples, two, |m| m.line_a[i]).abs()).fold(0.0, f64::max);
    add("largest peak in two cycles, A", &Value::from(of["peak_2cyc"].as_f64().map(f64::abs)), peak);
    let line = if phases == 3 { 3f64.sqrt() } else { 1.0 };
    for k in 0..6 {
        let cycle = cycles.cycle(k).unwrap_or_default();
        let volts = Cycle::over_phases(cycle.terminal_v, phases) / (line * setup.volts);
        add(&format!("terminal voltage in cycle {}, of the source's", k + 1), &of["V_first_6"][k], volts);
        add(
            &format!("rms of the lines in cycle {}, A", k + 1),
            &of["I_first_6"][k],
            Cycle::over_phases(cycle.line_a, phases),
        );
    }
    rows
}

/// Every figure of the file that a start at full voltage gives.
pub fn rows() -> Vec<Row> {
    let reference = reference();
    let list = |key: &str| reference[key].as_array().cloned().unwrap_or_default();
    let mut rows: Vec<Row> = list("three_phase").iter().flat_map(three_phase).collect();
    rows.extend(list("single_phase").iter().flat_map(single_phase));
    rows.extend(list("source").iter().flat_map(behind_impedance));
    rows
}
