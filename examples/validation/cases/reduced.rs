//! Starts at reduced voltage: whether the motor starts, hangs or stalls, and the figures of those that start.

use num_complex::Complex64;
use serde_json::Value;
use startmargin::start::Outcome;
use startmargin::start::waveform::Cycle;

use super::machines::{Setup, scheme_name};
use super::reference::{crest, reference};
use super::{Allowed, Evidence, Row, Sheet};

const SOURCE: &str = "scipy, rtol 1e-9, 40 to 100 % of rated voltage (tests/data/reference_starts.json)";
const WHY: &str = "same equations, other integrator and frame; samples of a two hundredth of a cycle";
const WHY_VERDICT: &str =
    "a verdict is right or wrong: at least 0.8 of synchronous speed in the end starts, below 0.05 stalls";

fn verdict(text: &str) -> Outcome {
    match text {
        "starts" => Outcome::Starts,
        "stalls" => Outcome::Stalls,
        _ => Outcome::Hangs,
    }
}

fn of_speed(share: f64) -> Outcome {
    match share {
        s if s >= 0.8 => Outcome::Starts,
        s if s >= 0.05 => Outcome::Hangs,
        _ => Outcome::Stalls,
    }
}

fn one(machine: &str, of: &Value, out: &mut Sheet) -> [bool; 2] {
    let number = |key: &str| of[key].as_f64();
    let (share, end) = (number("V").unwrap_or(f64::NAN), number("t_end").unwrap_or(f64::NAN));
    let load = &of["load_spec"];
    let setup = Setup::new(machine, load, share, Complex64::ZERO);
    let name = scheme_name(machine);
    out.case(format!("{name}, {share} of the voltage, {} {} N m", load[0], load[1]));
    out.together("3 and 1/4 hp, 40 to 100 % of the voltage");
    let ending = setup.waveform(0.0, end, &mut ());
    let (_, samples, cycles) = setup.run(0.0, 0.04);
    let mut add = |quantity: &str, expected: Option<f64>, ours: f64| {
        if let Some(expected) = expected {
            out.add(quantity, expected.abs(), ours, Allowed::Part(2e-3));
        }
    };
    add("time to 0.95 of synchronous speed, s", number("t95"), ending.start_duration_s.unwrap_or(f64::NAN));
    let phases = setup.machine.phases();
    let rms = Cycle::over_phases(cycles.cycle(0).unwrap_or_default().line_a, phases);
    add("rms of the lines in cycle 1, A", number("rms_first_cycle"), rms);
    let peak =
        (0..phases as usize).map(|i| crest(&samples, 2.0 / 60.0, |m| m.line_a[i]).abs()).fold(0.0, f64::max);
    add("largest peak in two cycles, A", number("peak_2cyc_phi0"), peak);
    let expected = verdict(of["outcome"].as_str().unwrap_or_default());
    let at_end = of_speed(ending.speed / setup.machine.sync_speed());
    // in the quasi-static runs of the reference 20 s were allowed
    [at_end == expected, setup.envelope(20.0).outcome == expected]
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let reference = reference();
    let mut out = Sheet::new(Evidence::IndependentProgram, SOURCE, WHY);
    for machine in ["krause_3hp", "cap_start", "psc"] {
        let list = reference["reduced_voltage"][machine].as_array().cloned().unwrap_or_default();
        let right: Vec<[bool; 2]> = list.iter().map(|of| one(machine, of, &mut out)).collect();
        out.case(format!("{}, 40 to 100 % of the voltage", scheme_name(machine)));
        let why = std::mem::replace(&mut out.why, WHY_VERDICT);
        for (i, level) in ["waveform", "envelope"].into_iter().enumerate() {
            let what = format!("verdicts that agree, {level} level, of {}", list.len());
            let agreeing = right.iter().filter(|r| r[i]).count();
            out.add(&what, list.len() as f64, agreeing as f64, Allowed::Size(0.0));
        }
        out.why = why;
    }
    out.rows
}
