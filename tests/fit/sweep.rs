//! Labels over the plausible range: consistent ones, read off random circuits, are met; others say what they miss.

use startmargin::motor::fit::{Fit, Target, Wanted, Winding, fit};
use startmargin::motor::{Auxiliary, Cage, Capacitor, Machine, ThreePhase, TwoWinding};

use super::{Label, label_of};
use crate::tolerances::FITTED;

const KINDS: [Winding; 5] = [
    Winding::CapacitorRun,
    Winding::CapacitorStart,
    Winding::CapacitorStartRun,
    Winding::SplitPhase,
    Winding::ThreePhase,
];
const LABELS: u32 = 20;

/// Point `i` of a Kronecker sequence on the square roots of primes, each in 0 to 1.
fn point(i: u32) -> [f64; 12] {
    [2.0f64, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0, 23.0, 29.0, 31.0, 37.0]
        .map(|p| (f64::from(i + 1) * p.sqrt()).fract())
}

/// A random circuit of a kind at 230 V 60 Hz with its capacitors, and its label, rated at about 10 A.
fn random(winding: Winding, u: [f64; 12]) -> (Label, [Option<f64>; 2]) {
    let about = |k: usize, middle: f64, spread: f64| middle * (spread * (2.0 * u[k] - 1.0)).exp();
    let z = 23.0;
    let slip = about(0, 0.04, 0.5);
    let drag = about(11, 0.08, 0.8);
    let (r1, r2, x1) = (z * about(1, 0.055, 0.5), z * about(2, 0.075, 0.5), z * about(3, 0.065, 0.4));
    let (xm, x2) = (z * about(4, 2.0, 0.3), x1 * about(5, 0.95, 0.3));
    let read = |m: &dyn Machine| Label::read(m, 230.0, slip, drag);
    if winding == Winding::ThreePhase {
        let m = ThreePhase::new(4, 60.0, [r1, x1, xm], Cage { r_ohm: r2, x_ohm: x2 }, 0.1);
        return (read(&m), [None; 2]);
    }
    let a = about(6, if winding == Winding::SplitPhase { 1.0 } else { 1.4 }, 0.3);
    let copper = if winding == Winding::CapacitorRun { 1.5 } else { 3.0 };
    let auxiliary = Auxiliary {
        r_ohm: a * a * r1 * about(7, copper, 0.4),
        x_ohm: a * a * x1 * about(8, 0.8, 0.4),
        turns_ratio: a,
    };
    let uf = |x: f64| 1e6 / (std::f64::consts::TAU * 60.0 * x);
    let run = uf(z * (1.0 + a * a) * about(9, 1.4, 0.3));
    let start = uf(a * a * (r1 + r2).hypot(x1 + x2) * about(10, 2.0, 0.4));
    let c = |uf: f64| Capacitor { farad: uf * 1e-6, ohm: 0.0 };
    let m = TwoWinding::new(4, 60.0, [r1, x1, xm, r2, x2], 0.1).with_auxiliary(auxiliary);
    match winding {
        Winding::CapacitorRun => (read(&m.with_run_capacitor(c(run))), [Some(run), None]),
        Winding::CapacitorStart => (read(&m.with_start_switch(Some(c(start)), 0.75)), [None, Some(start)]),
        Winding::CapacitorStartRun => {
            let m = m.with_run_capacitor(c(run)).with_start_switch(Some(c(start)), 0.75);
            (read(&m), [Some(run), Some(start)])
        }
        _ => (read(&m.with_start_switch(None, 0.75)), [None; 2]),
    }
}

#[test]
fn prop_labels_of_random_circuits_are_met() {
    for winding in KINDS {
        let (mut largest, mut count) = (0f64, 0);
        for i in 0..LABELS {
            let (label, [run, start]) = random(winding, point(i));
            if label.locked_rotor_nm <= 0.0 {
                continue;
            }
            let mut wanted = label.wanted(winding, 4, 60.0);
            wanted.run_capacitor_uf = run.map(Target::given);
            wanted.start_capacitor_uf = start.map(Target::given);
            let fitted = fit(&wanted, None);
            let (off, which) = label.off(&label_of(&fitted));
            assert!(off < FITTED, "{winding:?} {i}: {which} off by {off}, {label:?}");
            assert_eq!(fitted.misses().count(), 0);
            largest = largest.max(off);
            count += 1;
        }
        println!("{winding:?}: {count} labels, largest error {largest:.1e}");
        assert!(count > LABELS / 2);
    }
}

/// What a label may say of a kind: the figures that stand on one given, the rest usual.
fn plausible(winding: Winding, u: [f64; 12], all_given: bool) -> Wanted {
    let within = |k: usize, [low, high]: [f64; 2]| low + (high - low) * u[k];
    let torque = match winding {
        Winding::CapacitorRun => [0.25, 0.8],
        Winding::SplitPhase => [1.0, 2.0],
        Winding::ThreePhase => [0.7, 2.5],
        _ => [1.5, 3.0],
    };
    let power_factor = match winding {
        Winding::CapacitorRun | Winding::CapacitorStartRun => [0.85, 0.98],
        _ => [0.6, 0.85],
    };
    let usual = |value: f64, sigma: f64| {
        Some(if all_given { Target::given(value) } else { Target::typical(value, sigma) })
    };
    Wanted {
        locked_rotor_power_factor: usual(within(1, [0.5, 0.9]), 0.1),
        power_factor: Some(Target::given(within(2, power_factor))),
        efficiency: usual(within(3, [0.6, 0.88]), 0.1),
        slip: usual(within(4, [0.02, 0.08]), 0.3),
        locked_rotor_torque: Some(Target::typical(within(5, torque), 0.4)),
        breakdown_torque: Some(Target::typical(within(6, [1.6, 3.5]), 0.2)),
        ..Wanted::new(
            winding,
            4,
            [60.0, 230.0],
            Target::given(10.0),
            Target::given(10.0 * within(0, [3.5, 8.0])),
        )
    }
}

/// What a fit misses by its own account is what an independent reading of its machine finds.
#[track_caller]
fn honest(fitted: &Fit) {
    let (w, label) = (fitted.wanted(), label_of(fitted));
    let missed: Vec<_> = fitted.misses().map(|m| m.what).collect();
    for (what, target, read) in [
        ("rated_load_a", Some(w.rated_a), label.rated_a),
        ("locked_rotor_a", Some(w.locked_rotor_a), label.locked_rotor_a),
        ("power_factor", w.power_factor, label.power_factor),
        ("efficiency", w.efficiency, label.efficiency),
        ("locked_rotor_power_factor", w.locked_rotor_power_factor, label.locked_rotor_power_factor),
    ] {
        let Some(target) = target.filter(Target::is_given) else { continue };
        let off = (read / target.value - 1.0).abs();
        if (off - 0.01).abs() > 1e-6 {
            assert_eq!(off > 0.01, missed.contains(&what), "{what}: {read} for {}", target.value);
        }
    }
}

#[test]
fn prop_plausible_labels_are_met_or_say_what_they_miss() {
    for winding in KINDS {
        for all_given in [false, true] {
            let (mut met, mut misses) = (0, std::collections::BTreeMap::new());
            let mut current = 0f64;
            for i in 0..LABELS {
                let fitted = fit(&plausible(winding, point(i), all_given), None);
                honest(&fitted);
                met += u32::from(fitted.misses().count() == 0);
                for miss in fitted.misses() {
                    *misses.entry(miss.what).or_insert(0) += 1;
                }
                let r = fitted.reached;
                let locked = r.locked_rotor_a / fitted.wanted().locked_rotor_a.value;
                current = current.max((locked - 1.0).abs()).max((r.rated_a / 10.0 - 1.0).abs());
            }
            println!(
                "{winding:?}, {}: {met} of {LABELS} met in full, worst current {current:.1e}, missed {misses:?}",
                if all_given { "all given" } else { "currents and power factor given" }
            );
            // the currents are what every check rests on
            assert!(
                current < if all_given { 0.05 } else { FITTED },
                "{winding:?}: currents off by {current}"
            );
            assert!(all_given || met == LABELS, "{winding:?}: {met}");
        }
    }
}
