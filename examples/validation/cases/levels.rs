//! The envelope level against our own waveform level: how long a start takes, and how far the largest peak
//! stands above the locked-rotor current.

use std::f64::consts::SQRT_2;

use num_complex::Complex64;
use serde_json::json;
use startmargin::motor::Stage;
use startmargin::start::Trace;
use startmargin::start::waveform::{Cycle, Cycles};

use super::csv::Cells;
use super::machines::{Setup, scheme_name, set, three_phase};
use super::reference::{crest, reaches};
use super::{Allowed, Evidence, Row, Sheet};

const SOURCE: &str =
    "a study of the same machines outside this package (scipy, rtol 1e-9; tables in docs/models.md)";
const WHY: &str = "percentage points; the study prints one decimal and reads its own cycles";

/// Locked-rotor current \[A\].
fn locked_rotor(setup: &Setup) -> f64 {
    setup.machine.at(0.0, Stage::START).y.norm() * setup.volts
}

/// Time at which a row of rms values, straight between the middles of cycles, last comes down through a
/// level.
fn falls(rms: &[f64], hz: f64, level: f64) -> f64 {
    let Some(k) = rms.windows(2).position(|w| w[0] >= level && w[1] < level) else { return f64::NAN };
    (k as f64 + 0.5 + (rms[k] - level) / (rms[k] - rms[k + 1])) / hz
}

/// Rms of every whole cycle of a start at the waveform level, over the phases there are.
fn of_cycles(cycles: &Cycles, phases: u32) -> Vec<f64> {
    (0..cycles.count())
        .filter_map(|k| cycles.cycle(k))
        .map(|c| Cycle::over_phases(c.line_a, phases))
        .collect()
}

/// The same at the envelope level.
fn of_trace(trace: &Trace, hz: f64, until: f64) -> Vec<f64> {
    const PARTS: usize = 48;
    let square = |i: usize| trace.at(i as f64 / (PARTS as f64 * hz)).map_or(f64::NAN, |r| r.line_a.powi(2));
    (0..(until * hz) as usize)
        .map(|k| {
            let inside: f64 = (1..PARTS).map(|i| square(k * PARTS + i)).sum();
            ((0.5 * (square(k * PARTS) + square((k + 1) * PARTS)) + inside) / PARTS as f64).sqrt()
        })
        .collect()
}

/// Times of a start at both levels: through half of the locked-rotor current, to 0.75 and 0.95 of synchronous
/// speed.
struct Both {
    half: [f64; 2],
    t75: [f64; 2],
    t95: [f64; 2],
}

fn both(setup: &Setup, until: f64) -> Both {
    let (_, samples, cycles) = setup.run(0.0, until);
    let trace = setup.envelope(until);
    let (level, phases) = (0.5 * locked_rotor(setup), setup.machine.phases());
    let sync = setup.machine.sync_speed();
    let speed = |share: f64| {
        let reached = trace.rows.windows(2).find(|w| w[0].speed < share * sync && w[1].speed >= share * sync);
        let ours = reached.map_or(f64::NAN, |w| {
            w[0].t_s + (share * sync - w[0].speed) / (w[1].speed - w[0].speed) * (w[1].t_s - w[0].t_s)
        });
        [reaches(&samples, sync, share), ours]
    };
    Both {
        half: [
            falls(&of_cycles(&cycles, phases), setup.hz, level),
            falls(&of_trace(&trace, setup.hz, until), setup.hz, level),
        ],
        t75: speed(0.75),
        t95: speed(0.95),
    }
}

/// In per cent of the waveform level's.
fn error([wave, envelope]: [f64; 2]) -> f64 {
    100.0 * (envelope / wave - 1.0)
}

fn unloaded(set: &Cells, inertia_times: f64, share: f64) -> Setup {
    let volts = share * set.n("volts") / 3f64.sqrt();
    Setup::unloaded(Box::new(three_phase(set, inertia_times)), volts, set.n("hz"))
}

/// Open-circuit time constant of the rotor \[s\].
fn rotor_time(set: &Cells) -> f64 {
    (set.n("x2") + set.n("xm")) / (std::f64::consts::TAU * set.n("hz") * set.n("r2"))
}

const TOO_SHORT: &str = "the envelope level finds the start too short: the unsafe side";
const POINTS: Allowed = Allowed::Size(0.3);
const HALF: &str = "error of the envelope's time to half of the locked-rotor current, %";

/// An error in per cent, named among the losses where it is large.
fn percent(out: &mut Sheet, quantity: &str, expected: f64, ours: f64) {
    let row = out.add(quantity, expected, ours, POINTS);
    if ours < -2.0 {
        row.loss = Some(TOO_SHORT);
    } else if ours > 2.0 {
        row.loss = Some("the envelope level finds it too long: the safe side");
    }
}

fn three_phase_durations(out: &mut Sheet) {
    for (name, until, runs) in [
        ("3 hp 220 V", 0.6, &[(1.0, -7.0), (2.0, -3.5), (5.0, -1.2)][..]),
        ("50 hp 460 V", 0.8, &[(1.0, -9.4), (2.0, -5.2), (5.0, -2.0), (10.0, -0.8)]),
        ("500 hp 2300 V", 2.0, &[(1.0, -9.1)]),
        ("2250 hp 2300 V", 3.2, &[(1.0, -14.8)]),
    ] {
        let set = set(name);
        for &(times, expected) in runs {
            let ours = error(both(&unloaded(&set, times, 1.0), until * times).half);
            out.case(format!("{name}, no load, inertia x {times}"));
            percent(out, HALF, expected, ours);
        }
    }
}

fn single_phase_durations(out: &mut Sheet) {
    let [t75, t95] =
        [75, 95].map(|s| format!("error of the envelope's time to 0.{s} of synchronous speed, %"));
    for (scheme, drives, load, half, to_75, to_95) in [
        ("cap_start", "no load", json!(["none", 0.0]), Some(-2.5), Some(-0.5), Some(-0.8)),
        ("cap_start", "0.5 N m", json!(["const", 0.5]), Some(-4.4), Some(-0.5), Some(0.0)),
        ("cap_start", "fan of 1 N m", json!(["quad", 1.0]), None, None, Some(1.7)),
        ("start_cap_permanent", "no load", json!(["none", 0.0]), None, None, Some(5.1)),
        ("psc", "no load", json!(["none", 0.0]), Some(-0.6), None, None),
    ] {
        let b = both(&Setup::new(scheme, &load, 1.0, Complex64::ZERO), 2.5);
        out.case(format!("{}, {drives}", scheme_name(scheme)));
        for (quantity, expected, ours) in [(HALF, half, b.half), (&t75, to_75, b.t75), (&t95, to_95, b.t95)] {
            if let Some(expected) = expected {
                percent(out, quantity, expected, error(ours));
            }
        }
    }
}

fn peaks(out: &mut Sheet) {
    let what = "largest peak in two cycles over sqrt2 times locked-rotor current, closing angles in steps \
        of 6 degrees";
    out.why = "the study prints three decimals";
    for (name, expected) in
        [("3 hp 220 V", 1.129), ("50 hp 460 V", 1.246), ("500 hp 2300 V", 1.575), ("2250 hp 2300 V", 1.711)]
    {
        let setup = unloaded(&set(name), 1.0, 1.0);
        // three lines, either sign: the rest of the circle says the same
        let most = (0..10).map(|k| peak(&setup, 6.0 * f64::from(k), 2.0)).fold(0.0, f64::max);
        out.case(format!("{name}, no load"));
        out.add(what, expected, most, Allowed::Size(1e-3));
    }
    for (scheme, expected) in [("cap_start", 1.036), ("psc", 1.089)] {
        let setup = Setup::new(scheme, &json!(["none", 0.0]), 1.0, Complex64::ZERO);
        let most = (0..30).map(|k| peak(&setup, 6.0 * f64::from(k), 2.0)).fold(0.0, f64::max);
        out.case(format!("{}, no load", scheme_name(scheme)));
        out.add(what, expected, most, Allowed::Size(1e-3));
        if scheme == "cap_start" {
            let later = peak(&setup, 90.0, 60.0);
            out.add("the same in any cycle, closed at 90 degrees", 1.053, later, Allowed::Size(1e-3));
        }
    }
}

/// Largest peak of any line within so many cycles, over sqrt2 times locked-rotor current.
fn peak(setup: &Setup, angle_deg: f64, cycles: f64) -> f64 {
    let until = cycles / setup.hz;
    let (_, samples, _) = setup.run(angle_deg, until + 0.1 / setup.hz);
    let most = (0..setup.machine.phases() as usize)
        .map(|i| crest(&samples, until, |m| m.line_a[i]).abs())
        .fold(0.0, f64::max);
    most / (SQRT_2 * locked_rotor(setup))
}

fn delays(out: &mut Sheet) {
    out.why = "the study's range, printed with two decimals; 0.2 is what it takes for usual";
    for (name, until) in [
        ("3 hp 220 V", 0.6),
        ("50 hp 460 V", 0.8),
        ("500 hp 2300 V", 2.0),
        ("2250 hp 2300 V", 3.2),
        ("24 kW 173 V", 0.3),
    ] {
        let set = set(name);
        let tau = rotor_time(&set);
        let delay = |times: f64, share: f64| {
            let [wave, envelope] = both(&unloaded(&set, times, share), until * times / (share * share)).half;
            (wave - envelope) / tau
        };
        let range = Allowed::Within([0.145, 0.265]);
        let what = "delay of the waveform level behind the envelope, in rotor time constants";
        let large = ["500 hp 2300 V", "2250 hp 2300 V"].contains(&name);
        for (times, share) in [(1.0, 1.0), (1.0, 0.8), (1.0, 0.65), (2.0, 1.0), (5.0, 1.0)] {
            // the study's table has the large ones with their own inertia only
            if large && times > 1.0 {
                continue;
            }
            out.case(format!("{name}, inertia x {times}, {share} of the voltage"));
            out.together(format!("{name}, own and more inertia, 1 to 0.65 of the voltage"));
            out.add(what, 0.2, delay(times, share), range);
        }
    }
    // seen here, not in the study: the delay shrinks in starts of more than ten time constants
    out.why = "own finding: in starts of more than ten time constants less";
    let set = set("3 hp 220 V");
    let [wave, envelope] = both(&unloaded(&set, 5.0, 0.65), 7.0).half;
    out.case("3 hp 220 V, inertia x 5 at 0.65 of the voltage");
    let what = "delay of the waveform level behind the envelope, in rotor time constants";
    out.add(what, 0.2, (wave - envelope) / rotor_time(&set), Allowed::AtMost);
    out.why = "own finding: just above the study's range; whether this run is among its 35 it does not say";
    let set = super::machines::set("2250 hp 2300 V");
    let [wave, envelope] = both(&unloaded(&set, 5.0, 1.0), 14.0).half;
    out.case("2250 hp 2300 V, inertia x 5");
    out.add(what, 0.26, (wave - envelope) / rotor_time(&set), Allowed::Part(0.03)).loss =
        Some("the largest delay seen, above the 0.15 to 0.26 of the study");
}

/// Every comparison of the two levels.
pub fn rows() -> Vec<Row> {
    let mut out = Sheet::new(Evidence::IndependentProgram, SOURCE, WHY);
    three_phase_durations(&mut out);
    single_phase_durations(&mut out);
    peaks(&mut out);
    delays(&mut out);
    out.rows
}
