//! Labels over the plausible range: consistent ones, read off random circuits, are met; others say what they miss.

use startmargin::motor::fit::{Target, Wanted, Winding, fit};
use startmargin::motor::{Auxiliary, Cage, Capacitor, Machine, ThreePhase, TwoWinding};

use super::{Label, label_of};
use crate::tolerances::FITTED;

#[test]
fn prop_plausible_labels_are_met_or_say_what_they_miss() {
    for winding in [
        Winding::CapacitorRun,
        Winding::CapacitorStart,
        Winding::CapacitorStartRun,
        Winding::SplitPhase,
        Winding::ThreePhase,
    ] {
        let torque = match winding {
            Winding::CapacitorRun => [0.2, 0.8],
            Winding::SplitPhase => [1.0, 2.0],
            Winding::ThreePhase => [0.7, 2.5],
            _ => [1.5, 3.0],
        };
        let (mut met, mut missed) = (0, [0; 3]);
        let mut worst = std::collections::BTreeMap::new();
        for i in 0..100u64 {
            let u = quasi_random_point(i);
            let within = |k: usize, low: f64, high: f64| low + (high - low) * u[k];
            let t = |x: f64| Some(Target::given(x));
            let wanted = Wanted {
                locked_rotor_power_factor: t(within(1, 0.5, 0.9)),
                power_factor: if matches!(winding, Winding::CapacitorRun | Winding::CapacitorStartRun) {
                    t(within(2, 0.85, 0.98))
                } else {
                    t(within(2, 0.6, 0.85))
                },
                efficiency: t(within(3, 0.6, 0.88)),
                slip: t(within(4, 0.02, 0.08)),
                locked_rotor_torque: Some(Target { value: within(5, torque[0], torque[1]), sigma: 0.4 }),
                breakdown_torque: Some(Target { value: within(6, 1.6, 3.5), sigma: 0.2 }),
                ..Wanted::new(
                    winding,
                    4,
                    [60.0, 230.0],
                    Target::given(10.0),
                    Target::given(10.0 * within(0, 3.5, 8.0)),
                )
            };
            let fitted = fit(&wanted, None);
            let n = fitted.misses().count();
            met += usize::from(n == 0);
            for m in fitted.misses() {
                *worst.entry(m.what).or_insert(0) += 1;
            }
            missed[n.min(2)] += 1;
            let r = fitted.reached;
            assert!(r.rated_a.is_finite() && r.breakdown_nm.is_finite() && fitted.cost.is_finite());
        }
        println!("{winding:?}: {met} of 100 labels met in full; misses 0/1/2+: {missed:?}; {worst:?}");
    }
}

fn quasi_random_point(i: u64) -> [f64; 12] {
    // Kronecker sequence on the square roots of primes
    const PRIMES: [f64; 12] = [2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0, 23.0, 29.0, 31.0, 37.0];
    PRIMES.map(|p| ((i as f64 + 1.0) * p.sqrt()).fract())
}

/// A random circuit of a kind at 230 V, rated at about 10 A.
fn random(winding: Winding, u: [f64; 12]) -> (Box<dyn Machine>, f64, Option<f64>, Option<f64>) {
    let about = |k: usize, middle: f64, spread: f64| middle * (spread * (2.0 * u[k] - 1.0)).exp();
    let z = 23.0;
    let slip = about(0, 0.04, 0.5);
    let (r1, r2, x1) = (z * about(1, 0.055, 0.5), z * about(2, 0.075, 0.5), z * about(3, 0.065, 0.4));
    let (xm, x2) = (z * about(4, 2.0, 0.3), x1 * about(5, 0.95, 0.3));
    if winding == Winding::ThreePhase {
        return (
            Box::new(ThreePhase::new(4, 60.0, [r1, x1, xm], Cage { r_ohm: r2, x_ohm: x2 }, 0.1)),
            slip,
            None,
            None,
        );
    }
    let a = match winding {
        Winding::SplitPhase => about(6, 1.0, 0.3),
        _ => about(6, 1.4, 0.3),
    };
    let aux = Auxiliary {
        r_ohm: a * a * r1 * about(7, if winding == Winding::CapacitorRun { 1.5 } else { 3.0 }, 0.4),
        x_ohm: a * a * x1 * about(8, 0.8, 0.4),
        turns_ratio: a,
    };
    let uf = |x: f64| 1e6 / (std::f64::consts::TAU * 60.0 * x);
    let run = uf(z * (1.0 + a * a) * about(9, 1.4, 0.3));
    let start = uf(a * a * (r1 + r2).hypot(x1 + x2) * about(10, 2.0, 0.4));
    let c = |uf: f64| Capacitor { farad: uf * 1e-6, ohm: 0.0 };
    let m = TwoWinding::new(4, 60.0, [r1, x1, xm, r2, x2], 0.1).with_auxiliary(aux);
    match winding {
        Winding::CapacitorRun => (Box::new(m.with_run_capacitor(c(run))), slip, Some(run), None),
        Winding::CapacitorStart => {
            (Box::new(m.with_start_switch(Some(c(start)), 0.75)), slip, None, Some(start))
        }
        Winding::CapacitorStartRun => (
            Box::new(m.with_run_capacitor(c(run)).with_start_switch(Some(c(start)), 0.75)),
            slip,
            Some(run),
            Some(start),
        ),
        _ => (Box::new(m.with_start_switch(None, 0.75)), slip, None, None),
    }
}

#[test]
fn prop_labels_of_random_circuits_are_met() {
    for winding in [
        Winding::CapacitorRun,
        Winding::CapacitorStart,
        Winding::CapacitorStartRun,
        Winding::SplitPhase,
        Winding::ThreePhase,
    ] {
        let (mut largest, mut bad) = (0f64, 0);
        for i in 0..100 {
            let u = quasi_random_point(i);
            let (machine, slip, run, start) = random(winding, u);
            let label = Label::read(&*machine, 230.0, slip, 0.08 * (1.6 * u[11] - 0.8).exp());
            if label.locked_rotor_nm <= 0.0 {
                continue;
            }
            let mut wanted = label.wanted(winding, 4, 60.0);
            wanted.run_capacitor_uf = run.map(Target::given);
            wanted.start_capacitor_uf = start.map(Target::given);
            let fitted = fit(&wanted, None);
            let (off, which) = label.off(&label_of(&fitted));
            if off > FITTED {
                bad += 1;
                println!(
                    "{winding:?} {i}: {which} {off:.3} cost {:.1}\n    {label:?}\n   {:?}\n    {:?}",
                    fitted.cost,
                    machine.at(0.0, startmargin::motor::Stage::RUN),
                    fitted.circuit
                );
            }
            largest = largest.max(off);
        }
        println!("{winding:?}: largest {largest:.2e}, bad {bad}");
    }
}
