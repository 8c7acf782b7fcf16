//! The numbers do not depend on how they were come by.

use proptest::prelude::*;
use startmargin::advise::judge;
use startmargin::motor::{LoadTorque, Stage};
use startmargin::report::{Report, json};
use startmargin::site;
use startmargin::start::{EventKind, Trace};
use startmargin::starter::{Direct, Limiter, Starter};

use super::{DIRECT, OTHERS, Plant, any_site, case, direct, duration, set, text, tries, varied_case};
use crate::tolerances::{INTEGRATOR, SAME_PHYSICS};

/// Sites whose motor has no start switch.
const WITHOUT_SWITCH: [&str; 4] =
    ["anchor", "source-and-conductor", "three-phase-3hp", "three-phase-400v-fan"];

proptest! {
    #![proptest_config(tries(100))]

    /// The default tolerance against one a thousand times tighter.
    #[test]
    fn prop_results_do_not_depend_on_the_integrators_tolerance(
        (name, case) in direct(),
        limit in proptest::option::of(0.3..1.0f64),
    ) {
        let plant = Plant::new(&case);
        let stalled = plant.machine.at(0.0, startmargin::motor::Stage::START).y.norm() * plant.volts;
        let limiter = limit.map(|share| Limiter { amps: share * stalled });
        let starter: &dyn Starter = limiter.as_ref().map_or(&Direct, |l| l);
        let [[coarse], [fine]] = [1e-6, 1e-9].map(|tolerance| plant.together::<1>(starter, tolerance));
        prop_assert_eq!(coarse.outcome, fine.outcome, "{}", name);
        let off = |a: f64, b: f64| if a == b { 0.0 } else { (a / b - 1.0).abs() };
        let settled = |t: &Trace| t.settled.map_or(0.0, |s| s.line_a);
        for (what, a, b) in [
            ("start duration", duration(&coarse), duration(&fine)),
            ("largest", coarse.largest_rms_a(), fine.largest_rms_a()),
            ("settled", settled(&coarse), settled(&fine)),
        ] {
            prop_assert!(off(a, b) <= INTEGRATOR, "{} {}: {} and {}", name, what, a, b);
        }
    }

    /// Analytic, for motors without a start switch (see the test below for those): on a stiff supply equal motors do not feel each other; behind an impedance they are slower, and both alike.
    #[test]
    fn prop_equal_motors_on_one_bus((name, case) in varied_case(&WITHOUT_SWITCH), ohm in [0.002..0.1f64, 0.0..0.1f64]) {
        let mut plant = Plant::stiff(&case);
        let tolerance = 1e-6;
        let [alone] = plant.together(&Direct, tolerance);
        let pair: [Trace; 2] = plant.together(&Direct, tolerance);
        let three: [Trace; 3] = plant.together(&Direct, tolerance);
        for trace in pair.iter().chain(&three) {
            prop_assert_eq!(trace.outcome, alone.outcome, "{}", name);
            let same = |a: f64, b: f64| a == b || (a / b - 1.0).abs() <= SAME_PHYSICS;
            prop_assert!(same(duration(trace), duration(&alone)), "{}: {} and {} s", name, duration(trace), duration(&alone));
            prop_assert!(same(trace.largest_rms_a(), alone.largest_rms_a()), "{}", name);
            prop_assert!(same(trace.settled.map_or(0.0, |s| s.line_a), alone.settled.map_or(0.0, |s| s.line_a)), "{}", name);
        }
        // the supply carries both
        prop_assert!((pair[0].rows[0].supply_a / alone.rows[0].line_a - 2.0).abs() < 1e-9, "{}", name);
        let stalled = plant.machine.at(0.0, startmargin::motor::Stage::START).y.norm().recip();
        plant.z = stalled * num_complex::Complex64::new(ohm[0], ohm[1]);
        let [alone] = plant.together(&Direct, tolerance);
        let pair: [Trace; 2] = plant.together(&Direct, tolerance);
        // a leading current may raise the voltage at the motor: that is no law then
        prop_assume!(alone.rows.iter().all(|r| r.reactive_var >= 0.0));
        if alone.starts() {
            prop_assert!(duration(&pair[0]) > duration(&alone), "{}: {} and {} s", name, duration(&pair[0]), duration(&alone));
        } else {
            prop_assert!(!pair[0].starts(), "{}", name);
        }
        let alike = duration(&pair[0]) == duration(&pair[1]) || (duration(&pair[0]) / duration(&pair[1]) - 1.0).abs() < 1e-9;
        prop_assert!(alike, "{}", name);
    }

    /// A trace that is used again holds nothing of the run before.
    #[test]
    fn prop_a_trace_used_again_is_as_good_as_new((_, first) in any_site(), (name, second) in any_site()) {
        let path = |case| startmargin::case::Path::new(case).unwrap();
        let (mut used, mut fresh) = (Trace::default(), Trace::default());
        path(&first).run(0, &mut used);
        path(&second).run(0, &mut used);
        path(&second).run(0, &mut fresh);
        prop_assert_eq!(used, fresh, "{}", name);
    }
}

/// The same site twice gives the same bytes, judged and as JSON.
#[test]
fn analytic_the_same_site_twice_gives_the_same_bytes() {
    for name in DIRECT.iter().chain(&OTHERS) {
        let text = text(name);
        let once = || {
            let site = site::read(name, &text).unwrap();
            let start = judge(&site.case(0, 0, site.loads[0].figures.pressure.unwrap()));
            (format!("{start:?}"), json::json(&Report::new(&site, &text)).unwrap())
        };
        assert_eq!(once(), once(), "{name}");
    }
}

/// The swing equation by the classical Runge-Kutta rule at a fixed short step, the start switch found by a straight line within
/// a step: nothing of the crate's own integrator, events or tail. Hands each of the trace's moments `(t, speed, own start)` on.
fn plainly(plant: &Plant, times: &[f64], mut each: impl FnMut(usize, f64, Stage)) {
    const STEP_S: f64 = 2e-5;
    let machine = &*plant.machine;
    let mut stage = Stage { own_start: true, assist: false };
    let cut = machine.own_cut_out().map(|x| x * machine.sync_speed());
    let slope = |w: f64, t: f64, stage| {
        (machine.at(w, stage).torque_per_v2 * plant.volts * plant.volts - plant.load.at(w, t))
            / machine.inertia()
    };
    let step = |w: f64, t: f64, h: f64, stage| {
        let a = slope(w, t, stage);
        let b = slope(w + 0.5 * h * a, t + 0.5 * h, stage);
        let c = slope(w + 0.5 * h * b, t + 0.5 * h, stage);
        let d = slope(w + h * c, t + h, stage);
        w + h / 6.0 * (a + 2.0 * b + 2.0 * c + d)
    };
    let (mut t, mut w) = (0.0, 0.0);
    for (i, &until) in times.iter().enumerate() {
        while t < until {
            let mut h = STEP_S.min(until - t);
            let mut next = step(w, t, h, stage);
            if let (true, Some(cut)) = (stage.own_start, cut)
                && next >= cut
            {
                h *= (cut - w) / (next - w);
                next = step(w, t, h, stage);
                stage.own_start = false;
            }
            // the last sliver lands on the moment itself
            t = if until - t <= h { until } else { t + h };
            w = next;
        }
        each(i, w, stage);
    }
}

/// Largest relative difference of the line current at the rows of the trace that `among` picks, against plain integration.
fn off_from_plain(name: &str, among: impl Fn(&Trace, f64) -> bool) -> f64 {
    let plant = Plant::stiff(&case(name));
    let trace = plant.run(&Direct);
    // the moments of a switch have two rows, one for each side: left out
    let rows: Vec<_> = (0..trace.rows.len())
        .filter(|&i| {
            let same = |j: usize| trace.rows.get(j).is_some_and(|r| r.t_s == trace.rows[i].t_s);
            !(same(i + 1) || i > 0 && same(i - 1))
                && trace.rows[i].t_s < 12.0
                && among(&trace, trace.rows[i].t_s)
        })
        .map(|i| trace.rows[i])
        .collect();
    let times: Vec<f64> = rows.iter().map(|r| r.t_s).collect();
    let mut worst: f64 = 0.0;
    plainly(&plant, &times, |i, w, stage| {
        let amps = plant.machine.at(w, stage).y.norm() * plant.volts;
        worst = worst.max((rows[i].line_a / amps - 1.0).abs());
    });
    worst
}

/// The run-up, to 95 % of settled speed.
#[test]
fn compare_the_run_up_with_plain_integration() {
    for name in DIRECT {
        let off = off_from_plain(name, |trace, t| t <= duration(trace));
        assert!(off <= INTEGRATOR, "{name}: current {off:e} off");
    }
}

/// The rest, build-up of the load included. The tail is taken as quasi-steady; its error is to be stated, and start/tail.rs
/// states some 1e-5 of the current.
#[test]
fn compare_the_tail_with_plain_integration() {
    let off: Vec<_> =
        DIRECT.iter().map(|name| (name, off_from_plain(name, |trace, t| t > duration(trace)))).collect();
    assert!(off.iter().all(|o| o.1 <= 2.0 * INTEGRATOR), "{off:#?}");
}

/// Analytic: two equal motors do the same thing at the same moment, their start switches included.
#[test]
fn analytic_equal_start_switches_open_together() {
    for name in ["start-capacitor", "capacitor-start", "split-phase", "single-phase-230v"] {
        let plant = Plant::stiff(&case(name));
        let [alone] = plant.together(&Direct, 1e-6);
        let pair: [Trace; 2] = plant.together(&Direct, 1e-6);
        for (i, trace) in pair.iter().enumerate() {
            let opens = |t: &Trace| t.event_s(EventKind::StartSwitchOpens);
            assert!(
                opens(trace).is_some(),
                "{name}: the switch of motor {i} never opens: {:?}",
                trace.events
            );
            assert!((opens(trace).unwrap() / opens(&alone).unwrap() - 1.0).abs() <= SAME_PHYSICS, "{name}");
            assert!((duration(trace) / duration(&alone) - 1.0).abs() <= SAME_PHYSICS, "{name}");
        }
    }
}

proptest! {
    #![proptest_config(tries(150))]

    /// The rows of a trace stand in time order, and what switches has two rows at its very moment.
    #[test]
    fn prop_rows_stand_in_time_order((name, case) in any_site()) {
        let path = startmargin::case::Path::new(&case).unwrap();
        let mut trace = Trace::default();
        path.run(0, &mut trace);
        for pair in trace.rows.windows(2) {
            prop_assert!(pair[0].t_s <= pair[1].t_s, "{}: {:e} s back at {} s", name, pair[1].t_s - pair[0].t_s, pair[0].t_s);
        }
        for event in trace.events.iter().filter(|e| e.kind != EventKind::ReachesSpeed) {
            let rows = trace.rows.iter().filter(|r| r.t_s == event.t_s).count();
            prop_assert!(rows >= 2, "{}: {} rows at {:?}", name, rows, event);
        }
    }
}

/// One of the starts whose rows did not: the row before the switch one rounding later than the switch itself.
#[test]
fn regress_rows_at_a_switch_stand_in_time_order() {
    let mut case = case("single-phase-230v");
    for (key, value) in [
        ("motor.r1_ohm", 10.40474188226505),
        ("motor.x1_ohm", 10.973038555538709),
        ("motor.xm_ohm", 269.48076686719446),
        ("motor.r2_ohm", 15.172969853298065),
        ("motor.x2_ohm", 8.074456945604382),
        ("motor.auxiliary.r1a_ohm", 25.72461261301014),
        ("motor.auxiliary.x1a_ohm", 13.122809712234934),
        ("motor.auxiliary.turns_ratio", 1.0107429010099231),
        ("motor.run_capacitor_uf", 4.677132180638523),
        ("motor.run_capacitor_ohm", 41.191275142361185),
        ("motor.start_capacitor_uf", 56.556192048889734),
        ("motor.start_capacitor_ohm", 15.648559139906263),
        ("motor.inertia_kgm2", 0.016556287203471614),
        ("load_torque.rated_nm", 1.2135172839385344),
        ("load_torque.c0", 0.3667221510091219),
        ("load_torque.c1", 0.2974689934549508),
        ("load_torque.c2", 0.39022125427200594),
        ("load_torque.breakaway", 0.32000000000000006),
        ("load_torque.build_up_s", 2.124574464177248),
    ] {
        set(&mut case, &format!("load.{key}"), value);
    }
    let trace = Plant::new(&case).run(&Direct);
    assert!(trace.rows.is_sorted_by_key(|r| r.t_s.to_bits()));
}

/// The envelope level runs on the mean torque: the kind of compressor changes nothing there.
#[test]
fn prop_a_pulsating_load_starts_as_its_mean() {
    use startmargin::motor::{CompressorKind, Pulsation};
    for name in super::DIRECT {
        let mut plant = Plant::new(&super::case(name));
        plant.load.pulsation = None;
        let steady = plant.run(&Direct);
        for (word, kind) in CompressorKind::ALL {
            plant.load.pulsation = Some(Pulsation { kind, friction: 0.1 });
            assert_eq!(plant.run(&Direct), steady, "{name}, {word}");
        }
    }
}
