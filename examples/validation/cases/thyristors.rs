//! Phase control: thyristors at the waveform level against the closed form and against small steps, and what their harmonics
//! take from a current limit, as the envelope has it and as the waveform has it.

use std::f64::consts::TAU;

use num_complex::Complex64;
use serde_json::json;
use startmargin::motor::Stage;
use startmargin::start::Trace;
use startmargin::start::waveform::{Moment, Sampler};
use startmargin::starter::{Limiter, PhaseControl, Starter, phase_control};

use super::machines::{Setup, quarter_hp_of, scheme_name, set, three_phase};
use super::reference::reaches;
use super::{Allowed, Evidence, Row, Sheet};

const SOURCE: &str = "closed form of a resistance with an inductance (docs/models.md, Phase control)";
const SMALL_STEPS: &str =
    "a resistance with an inductance in each of three lines, by small steps (tests/data/three_phase_chop.py)";
const WHY: &str = "a machine at standstill is a little more than a resistance with an inductance: its rotor damps harmonics";
const LEVELS: &str = "our own waveform level, thyristors in every line";
const WHY_LEVELS: &str = "to harmonics the machine is another circuit than to the fundamental; transients";

/// Samples to the cycle.
const PARTS: f64 = 200.0;

/// Locked-rotor current of the setup \[A\] and the angle of its impedance.
fn stalled(setup: &Setup) -> (f64, f64) {
    let y = setup.machine.at(0.0, Stage::START).y;
    let whole = y.inv() + setup.z;
    (setup.volts / whole.norm(), whole.arg())
}

/// Rms, its fundamental's part and the mean torque of the last whole cycles of a run.
struct Flow {
    rms: f64,
    part: f64,
    torque_nm: f64,
}

fn last_cycles(samples: &[Moment], hz: f64, cycles: usize) -> Flow {
    let n = cycles * PARTS as usize;
    let tail = &samples[samples.len().saturating_sub(n + 1)..samples.len().saturating_sub(1)];
    let count = tail.len() as f64;
    let lines = if tail.iter().any(|m| m.line_a[1] != 0.0) { 3 } else { 1 };
    let (mut square, mut first) = (0.0, 0.0);
    for line in 0..lines {
        square += tail.iter().map(|m| m.line_a[line].powi(2)).sum::<f64>() / count;
        let turned: Complex64 =
            tail.iter().map(|m| m.line_a[line] * Complex64::cis(-TAU * hz * m.t_s)).sum::<Complex64>()
                / count;
        first += 2.0 * turned.norm_sqr();
    }
    Flow {
        rms: (square / lines as f64).sqrt(),
        part: (first / square).sqrt(),
        torque_nm: tail.iter().map(|m| m.torque_nm).sum::<f64>() / count,
    }
}

/// A rotor too heavy to move: what the thyristors let through once their control has settled.
fn held(setup: &Setup, share: f64) -> Flow {
    let (full, _) = stalled(setup);
    let three = setup.machine.phases() == 3;
    let starter = PhaseControl { aim: Limiter { amps: share * full }, three_phase: three };
    let mut sampler = Sampler::new(1.0 / (PARTS * setup.hz));
    setup.waveform_behind(&starter, 0.0, 90.0 / setup.hz, &mut sampler);
    last_cycles(&sampler.samples, setup.hz, 6)
}

fn standing(out: &mut Sheet, three: &mut Sheet) {
    let heavy = 1e7;
    let volts = |name: &str| set(name).n("volts") / 3f64.sqrt();
    let setups = [
        ("1/4 hp, auxiliary open", Setup::unloaded(Box::new(quarter_hp_of(heavy, "open")), 110.0, 60.0)),
        ("1/4 hp, run capacitor", Setup::unloaded(Box::new(quarter_hp_of(heavy, "psc")), 110.0, 60.0)),
        (
            "3 hp",
            Setup::unloaded(Box::new(three_phase(&set("3 hp 220 V"), heavy)), volts("3 hp 220 V"), 60.0),
        ),
        (
            "50 hp",
            Setup::unloaded(Box::new(three_phase(&set("50 hp 460 V"), heavy)), volts("50 hp 460 V"), 60.0),
        ),
    ];
    for (name, setup) in &setups {
        let is_three = setup.machine.phases() == 3;
        let sheet = if is_three { &mut *three } else { &mut *out };
        for share in [0.8, 0.6, 0.4] {
            let (full, phi) = stalled(setup);
            let flow = held(setup, share);
            sheet.case(format!("{name}, rotor at rest, held at {share} of its locked-rotor current"));
            sheet.together(format!(
                "{name}, rotor at rest, held at 0.8, 0.6 and 0.4 of its locked-rotor current"
            ));
            sheet.add("rms current, A", share * full, flow.rms, Allowed::Part(5e-3));
            let part = phase_control::fundamental(phi, share, is_three) / share;
            sheet.add("fundamental's part of the rms current", part, flow.part, Allowed::Part(1.5e-2));
            if is_three {
                // two phases' torque pulsates with what the capacitor does between the half waves: no such law
                let sine = setup.machine.at(0.0, Stage::START).torque_per_v2 * (share * setup.volts).powi(2);
                let ratio = flow.torque_nm / sine;
                let what = "torque over that of a sine of the same rms";
                sheet.add(what, part * part, ratio, Allowed::Part(1.5e-2));
            }
        }
    }
}

/// All rows.
pub fn rows() -> Vec<Row> {
    let mut out = Sheet::new(Evidence::Analytic, SOURCE, WHY);
    let mut three = Sheet::new(Evidence::IndependentProgram, SMALL_STEPS, WHY);
    standing(&mut out, &mut three);
    let mut levels = Sheet::new(Evidence::IndependentProgram, LEVELS, WHY_LEVELS);
    starts(&mut levels);
    out.rows.into_iter().chain(three.rows).chain(levels.rows).collect()
}

fn starts(out: &mut Sheet) {
    let three = |name: &str, times: f64| {
        let set = set(name);
        Setup::unloaded(Box::new(three_phase(&set, times)), set.n("volts") / 3f64.sqrt(), set.n("hz"))
    };
    let single = |scheme: &str, load| Setup::new(scheme, &load, 1.0, Complex64::ZERO);
    for (name, drives, setup, until) in [
        ("3 hp, five times its inertia", "no load", three("3 hp 220 V", 5.0), 12.0),
        ("50 hp, five times its inertia", "no load", three("50 hp 460 V", 5.0), 25.0),
        (scheme_name("psc"), "no load", single("psc", json!(["none", 0.0])), 20.0),
        (
            scheme_name("start_cap_permanent"),
            "0.5 N m",
            single("start_cap_permanent", json!(["const", 0.5])),
            8.0,
        ),
    ] {
        let is_three = setup.machine.phases() == 3;
        for share in [0.8, 0.65, 0.5] {
            let aim = Limiter { amps: share * stalled(&setup).0 };
            let chopped = PhaseControl { aim, three_phase: is_three };
            let envelope = |starter: &dyn Starter| passes(&setup.envelope_behind(starter, until), REACHED);
            let wave = |starter: &dyn Starter| {
                let mut sampler = Sampler::new(1.0 / (PARTS * setup.hz));
                setup.waveform_behind(starter, 0.0, until, &mut sampler);
                reaches(&sampler.samples, setup.machine.sync_speed(), REACHED)
            };
            let [ours, theirs] = [envelope(&chopped), wave(&chopped)];
            out.case(format!("{name}, {drives}, held at {share} of its locked-rotor current"));
            let allowed = if is_three {
                Allowed::Part(1e-2)
            } else {
                Allowed::Within([theirs * 0.995, theirs * LONGER])
            };
            let row = out.add("time to 0.75 of synchronous speed by phase control, s", theirs, ours, allowed);
            if ours > 1.02 * theirs {
                row.loss = Some(
                    "the envelope level takes more from the torque of a motor with a capacitor than chopping does: the safe side",
                );
            }
            let what = "time by phase control over time with a sine of the same rms";
            let longer = [envelope(&chopped) / envelope(&aim), theirs / wave(&aim)];
            let allowed = if is_three {
                Allowed::Part(1.5e-2)
            } else {
                Allowed::Within([longer[1] * 0.99, longer[1] * LONGER])
            };
            out.add(what, longer[1], longer[0], allowed);
        }
    }
}

/// Speed, in parts of synchronous speed, that starts are timed to.
const REACHED: f64 = 0.75;
/// By how much the envelope's time of a motor with a capacitor may be longer than the waveform's.
const LONGER: f64 = 1.21;

/// When a trace passes a share of synchronous speed.
fn passes(trace: &Trace, share: f64) -> f64 {
    let level = share * trace.sync_speed;
    let step = trace.rows.windows(2).find(|w| w[0].speed < level && w[1].speed >= level);
    step.map_or(f64::NAN, |w| {
        w[0].t_s + (level - w[0].speed) / (w[1].speed - w[0].speed) * (w[1].t_s - w[0].t_s)
    })
}
