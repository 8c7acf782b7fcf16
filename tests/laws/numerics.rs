//! The numbers do not depend on how they were come by.

use proptest::prelude::*;
use startmargin::advise::judge;
use startmargin::report::{Report, json};
use startmargin::site;
use startmargin::start::Trace;
use startmargin::starter::{Direct, Limiter, Starter};

use super::{DIRECT, OTHERS, Plant, any_site, direct, duration, text, tries};
use crate::tolerances::{INTEGRATOR, SAME_PHYSICS};

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

    /// Analytic: on a stiff supply equal motors do not feel each other; behind an impedance they are slower, and both alike.
    #[test]
    fn prop_equal_motors_on_one_bus((name, case) in direct(), ohm in [0.002..0.1f64, 0.0..0.1f64]) {
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
