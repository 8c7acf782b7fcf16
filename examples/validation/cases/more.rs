//! Larger machines, a double cage and weaker sources against reference_more.json, written and solved apart
//! from the library.

use num_complex::Complex64;
use serde_json::Value;
use startmargin::motor::Cage;
use startmargin::start::waveform::Cycle;

use super::machines::{ReferenceLoad, Setup, set, three_phase, three_phase_with};
use super::reference::{crest, reaches, square_until};
use super::{Allowed, Evidence, Row, Sheet};

const SOURCE: &str =
    "scipy DOP853, rtol 1e-10, currents as states in the standing frame (tests/data/reference_more.py)";
const WHY: &str = "same physics, other states, frame and integrator; 0.1 % is what a report shows";

fn setup(all: &Value, of: &Value) -> (Setup, String) {
    let name = of["machine"].as_str().unwrap_or_default();
    let double = name == "double cage";
    let set = set(if double { "50 hp 460 V" } else { name });
    let machine = if double {
        let cage = |k: usize| {
            let n = |i: usize| all["cages"][k][i].as_f64().unwrap_or(f64::NAN);
            Cage { r_ohm: n(0), x_ohm: n(1) }
        };
        three_phase_with(&set, cage(0), 1.0).with_second_cage(cage(1))
    } else {
        three_phase(&set, 1.0)
    };
    let z = Complex64::new(of["r_ohm"].as_f64().unwrap_or(0.0), of["x_ohm"].as_f64().unwrap_or(0.0));
    let mut setup = Setup::unloaded(Box::new(machine), set.n("volts") / 3f64.sqrt(), set.n("hz"));
    let nm = of["load_nm"].as_f64().unwrap_or(0.0);
    setup.load = ReferenceLoad { nm, ..setup.load };
    setup.z = z;
    (setup, name.to_owned())
}

fn one(all: &Value, of: &Value, out: &mut Sheet) {
    let (setup, name) = setup(all, of);
    let name = if of["load_nm"].is_number() { format!("{name}, fan of {} N m", of["load_nm"]) } else { name };
    match of["share"].as_f64() {
        Some(share) => {
            out.case(format!("{name}, source of {} % of its locked-rotor impedance", 100.0 * share));
            out.together("3, 50 and 500 hp behind 2 to 10 % of their locked-rotor impedance");
        }
        None => {
            out.case(format!("{name}, closed at {} degrees", of["angle_deg"]));
            let double = name.starts_with("double");
            out.together(if double {
                "double cage, two loads"
            } else {
                "50 to 2250 hp and 24 kW, closed at 0 and 90 degrees"
            });
        }
    }
    let mut add = |quantity: &str, kind: &str, expected: &Value, ours: f64| {
        if let Some(expected) = expected.as_f64() {
            out.add_as(quantity, kind, expected, ours, Allowed::Part(1e-3));
        }
    };
    let until = of["t95"].as_f64().unwrap_or(1.0) + 0.02;
    let angle = of["angle_deg"].as_f64().unwrap_or(0.0);
    let (_, samples, cycles) = setup.run(angle, until.max(0.25));
    let sync = setup.machine.sync_speed();
    for (key, share) in [("t50", 0.5), ("t75", 0.75), ("t95", 0.95)] {
        let what = format!("time to {share} of synchronous speed, s");
        let kind = "times to 0.5, 0.75 and 0.95 of synchronous speed, s";
        add(&what, kind, &of[key], reaches(&samples, sync, share));
    }
    for (i, phase) in ["a", "b", "c"].into_iter().enumerate() {
        let ours = crest(&samples, 2.0 / setup.hz, |m| m.line_a[i]).abs();
        let what = format!("peak of line {phase} in two cycles, A");
        add(&what, "peaks of the lines in two cycles, A", &of["peaks"][i], ours);
    }
    let kind = "largest and least torque, N m";
    let most = crest(&samples, f64::INFINITY, |m| m.torque_nm.max(0.0));
    add("largest torque, N m", kind, &of["torque_max"], most);
    let least = crest(&samples, f64::INFINITY, |m| m.torque_nm.min(0.0));
    add("least torque, N m", kind, &of["torque_min"], least);
    let what = "integral of the mean square of the lines to 0.95, A2s";
    add(what, what, &of["i2"], square_until(&samples, reaches(&samples, sync, 0.95)));
    for k in 0..10 {
        let cycle = cycles.cycle(k).unwrap_or_default();
        let all = Cycle::over_phases(cycle.line_a, 3);
        let what = format!("rms over the lines in cycle {}, A", k + 1);
        add(&what, "rms over the lines, first cycles, A", &of["rms"][k], all);
        let what = format!("rms of line a in cycle {}, A", k + 1);
        add(&what, "rms of line a, first cycles, A", &of["rms_a"][k], cycle.line_a[0]);
        let volts = Cycle::over_phases(cycle.terminal_v, 3) / (3f64.sqrt() * setup.volts);
        let what = format!("terminal voltage in cycle {}, of the source's", k + 1);
        add(&what, "terminal voltage, first cycles, of the source's", &of["terminal"][k], volts);
    }
}

/// Every figure of the file.
pub fn rows() -> Vec<Row> {
    let all: Value =
        serde_json::from_str(include_str!("../../../tests/data/reference_more.json")).unwrap_or_default();
    let mut out = Sheet::new(Evidence::IndependentProgram, SOURCE, WHY);
    for key in ["starts", "sources"] {
        all[key].as_array().iter().flat_map(|list| *list).for_each(|of| one(&all, of, &mut out));
    }
    out.rows
}
