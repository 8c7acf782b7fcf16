//! Starts at the waveform level against reference solutions by scipy (tests/data/reference_starts.json says
//! how they were made).

use num_complex::Complex64;
use serde_json::Value;
use startmargin::start::waveform::{Cycle, Moment};

use super::machines::{Setup, scheme_name};
use super::{Allowed, Evidence, Row, Sheet};

const SOURCE: &str = "scipy DOP853, rtol 1e-9 (tests/data/reference_starts.json)";
const WHY: &str = "same equations, other integrator and frame; 0.1 % is what a report shows";
const WHY_SOURCE: &str = "as above; 0.2 % for what a source's impedance adds";

/// The reference's file.
pub fn reference() -> Value {
    serde_json::from_str(include_str!("../../../tests/data/reference_starts.json")).unwrap_or_default()
}

/// The largest size of what `of` reads in `samples` before `until`, by a parabola through its crest; signed
/// as there.
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

/// A sheet of this file, with a way to add what the reference has and to leave out what it has not.
struct Against {
    sheet: Sheet,
    part: f64,
}

impl Against {
    fn new(part: f64) -> Against {
        let why = if part > 1e-3 { WHY_SOURCE } else { WHY };
        Against { sheet: Sheet::new(Evidence::IndependentProgram, SOURCE, why), part }
    }

    fn add(&mut self, quantity: &str, kind: &str, expected: &Value, ours: f64) {
        if let Some(expected) = expected.as_f64() {
            self.sheet.add_as(quantity, kind, expected, ours, Allowed::Part(self.part));
        }
    }
}

/// Integral of the mean square of the lines up to a time \[A2s\].
pub fn square_until(samples: &[Moment], until: f64) -> f64 {
    samples
        .windows(2)
        .take_while(|w| w[1].t_s <= until)
        .map(|w| 0.5 * (mean_square(&w[0]) + mean_square(&w[1])) * (w[1].t_s - w[0].t_s))
        .sum()
}

fn mean_square(m: &Moment) -> f64 {
    m.line_a.iter().map(|i| i * i).sum::<f64>() / 3.0
}

const TIMES: &str = "times to shares of synchronous speed, s";

fn three_phase(of: &Value, out: &mut Against) {
    let angle = of["closing_angle_deg"].as_f64().unwrap_or(f64::NAN);
    out.sheet.case(format!("3 hp, closed at {angle} degrees")).together("3 hp, four closing angles");
    let setup = Setup::new("krause_3hp", &Value::Null, 1.0, Complex64::ZERO);
    let (_, samples, cycles) = setup.run(angle, 0.8);
    let sync = setup.machine.sync_speed();
    for (key, share) in [("t_50pct", 0.5), ("t_75pct", 0.75), ("t_95pct", 0.95)] {
        let what = format!("time to {share} of synchronous speed, s");
        out.add(&what, TIMES, &of[key], reaches(&samples, sync, share));
    }
    for (i, phase) in ["a", "b", "c"].into_iter().enumerate() {
        let ours = crest(&samples, 2.0 / 60.0, |m| m.line_a[i]);
        let theirs = &of["peak_current_first_2_cycles"][phase]["i"];
        out.add(
            &format!("peak of line {phase} in two cycles, A"),
            "peaks of the lines in two cycles, A",
            theirs,
            ours,
        );
    }
    let most = crest(&samples, f64::INFINITY, |m| m.torque_nm.max(0.0));
    out.add("largest torque, N m", "largest and least torque, N m", &of["torque_max"]["T"], most);
    let least = crest(&samples, f64::INFINITY, |m| m.torque_nm.min(0.0));
    out.add("least torque, N m", "largest and least torque, N m", &of["torque_min"]["T"], least);
    let square = square_until(&samples, reaches(&samples, sync, 0.95));
    let what = "integral of the mean square of the lines to 0.95, A2s";
    out.add(what, what, &of["int_i2_to_t95"], square);
    for k in 0..20 {
        let cycle = cycles.cycle(k).unwrap_or_default();
        let all = Cycle::over_phases(cycle.line_a, 3);
        let what = format!("rms over the lines in cycle {}, A", k + 1);
        out.add(&what, "rms over the lines, cycles 1 to 20, A", &of["rms_3phase_first_20"][k], all);
        let what = format!("rms of line a in cycle {}, A", k + 1);
        out.add(&what, "rms of line a, cycles 1 to 20, A", &of["rms_a_first_20"][k], cycle.line_a[0]);
    }
}

fn single_phase(of: &Value, out: &mut Against) {
    let angle = of["closing_angle_deg"].as_f64().unwrap_or(f64::NAN);
    let scheme = of["scheme"].as_str().unwrap_or_default();
    let load = &of["load"];
    let name = scheme_name(scheme);
    let drives = if load[0] == "none" { "no load".to_owned() } else { format!("{} N m", load[1]) };
    out.sheet.case(format!("{name}, {drives}, closed at {angle} degrees"));
    out.sheet.together("1/4 hp, three connections, several loads and angles");
    let setup = Setup::new(scheme, load, 1.0, Complex64::ZERO);
    let (ending, samples, cycles) = setup.run(angle, 3.0);
    let sync = setup.machine.sync_speed();
    for (key, share) in [("t_75pct", 0.75), ("t_95pct", 0.95)] {
        let what = format!("time to {share} of synchronous speed, s");
        out.add(&what, TIMES, &of[key], reaches(&samples, sync, share));
    }
    let opens = ending.events.first().map_or(f64::NAN, |e| e.t_s);
    let what = "the start switch opens, s";
    out.add(what, what, &of["switch"]["t_switch"], opens);
    let line = |m: &Moment| m.line_a[0];
    let what = "peak of the line in two cycles, A";
    let theirs = &of["line_peak_first_2_cycles"]["i"];
    out.add(what, what, theirs, crest(&samples, 2.0 / 60.0, line));
    // whichever of two equal crests comes first: the size is what counts
    let overall = crest(&samples, f64::INFINITY, line).abs();
    let theirs = Value::from(of["line_peak_overall"]["i"].as_f64().map(f64::abs));
    let what = "largest peak of the line, A";
    out.add(what, what, &theirs, overall);
    let what = "rms of the line in cycle 1, A";
    out.add(what, what, &of["line_rms_first_cycle"], cycles.cycle(0).unwrap_or_default().line_a[0]);
}

fn behind_impedance(of: &Value, out: &mut Against) {
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
    out.sheet.case(format!("{name}, behind {} + j {} ohm", z.re, z.im));
    out.sheet.together("3 and 1/4 hp, behind a source's impedance");
    out.add("time to 0.75 of synchronous speed, s", TIMES, &of["t75"], reaches(&samples, sync, 0.75));
    out.add("time to 0.95 of synchronous speed, s", TIMES, &of["t95"], reaches(&samples, sync, 0.95));
    let what = "the start switch opens, s";
    out.add(what, what, &of["t_switch"], ending.events.first().map_or(f64::NAN, |e| e.t_s));
    let phases = setup.machine.phases();
    let peak =
        (0..phases as usize).map(|i| crest(&samples, 2.0 / 60.0, |m| m.line_a[i]).abs()).fold(0.0, f64::max);
    let what = "largest peak in two cycles, A";
    out.add(what, what, &Value::from(of["peak_2cyc"].as_f64().map(f64::abs)), peak);
    let line = if phases == 3 { 3f64.sqrt() } else { 1.0 };
    for k in 0..6 {
        let cycle = cycles.cycle(k).unwrap_or_default();
        let volts = Cycle::over_phases(cycle.terminal_v, phases) / (line * setup.volts);
        let what = format!("terminal voltage in cycle {}, of the source's", k + 1);
        out.add(&what, "terminal voltage, cycles 1 to 6, of the source's", &of["V_first_6"][k], volts);
        let amps = Cycle::over_phases(cycle.line_a, phases);
        let what = format!("rms of the lines in cycle {}, A", k + 1);
        out.add(&what, "rms of the lines, cycles 1 to 6, A", &of["I_first_6"][k], amps);
    }
}

/// Every figure of the file that a start at full voltage gives.
pub fn rows() -> Vec<Row> {
    let reference = reference();
    let list = |key: &str| reference[key].as_array().cloned().unwrap_or_default();
    let (mut stiff, mut weak) = (Against::new(1e-3), Against::new(2e-3));
    list("three_phase").iter().for_each(|of| three_phase(of, &mut stiff));
    list("single_phase").iter().for_each(|of| single_phase(of, &mut stiff));
    list("source").iter().for_each(|of| behind_impedance(of, &mut weak));
    stiff.sheet.rows.extend(weak.sheet.rows);
    stiff.sheet.rows
}
