//! Warmth never helps a breaker to hold: what it carried before, the temperature around it. Nor does a longer way to a fault help
//! it to open.

use proptest::prelude::*;
use startmargin::case::{Case, Path};
use startmargin::checks::{Margins, Needs};
use startmargin::figure::{Figure, Origin};
use startmargin::protection::{Ambient, BreakerStandard, Curve, hot_share};
use startmargin::quantity::{Ampere, Celsius, Ohm};
use startmargin::start::Trace;
use startmargin::wiring::ConductorFigures;

use super::{any_site, check, tries};
use crate::tolerances::MARGIN_SEARCH;

fn three(m: Margins) -> [f64; 3] {
    [m.guaranteed, m.modelled, m.to_fail]
}

fn at(case: &Case, celsius: f64) -> Path {
    let mut case = case.clone();
    case.ambient_c = Some(Figure::exact(Celsius(celsius), Origin::Given));
    Path::new(&case).unwrap()
}

/// Holds where `n` is no larger than `m`, either of them found by search.
fn no_larger(n: f64, m: f64) -> bool {
    n <= m || n - m <= MARGIN_SEARCH * (1.0 + m.abs())
}

/// A cable and a shore supply whose short-circuit current is stated.
fn faulty(case: &Case, fault_a: f64, ohm: f64) -> Case {
    let mut case = case.clone();
    case.supply.kind = startmargin::supply::SupplyKind::Shore;
    case.supply.fault_a = Some(Figure::exact(Ampere(fault_a), Origin::Given));
    let resistance_ohm = Some(Figure::exact(Ohm(ohm), Origin::Given));
    case.circuit.conductor = Some(ConductorFigures { resistance_ohm, ..ConductorFigures::default() });
    case
}

proptest! {
    #![proptest_config(tries(120))]

    #[test]
    fn prop_a_preload_shortens_and_more_of_it_more(
        (pickup, over) in (1.0..100.0f64, 1.0001..1000.0f64),
        (preload, more) in (0.0..1.0f64, 0.0..1.0f64),
    ) {
        let share = |p: f64| hot_share(over * pickup, p * pickup, pickup);
        let (less, larger) = (share(preload), share(preload + more * (1.0 - preload)));
        prop_assert!((0.0..=1.0).contains(&less) && larger <= less + 1e-12, "{less} {larger}");
        prop_assert_eq!(share(0.0), 1.0);
        // never less than what the preload has not used up, and at the pickup all of the time
        prop_assert!(less >= 1.0 - preload * preload - 1e-9);
        prop_assert!(hot_share(pickup, preload * pickup, pickup) == 1.0);
    }

    #[test]
    fn prop_a_warm_breaker_holds_no_longer_than_a_cold_one((name, case) in any_site()) {
        let mut path = Path::new(&case).unwrap();
        let breaker = check("breaker");
        let mut trace = Trace::default();
        path.run(0, &mut trace);
        if breaker.needs(&case, Some(&path)) != Needs::Applies {
            return Ok(());
        }
        path.warm = false;
        let cold = breaker.margins(&path, &trace);
        path.warm = true;
        let hot = breaker.margins(&path, &trace);
        for (n, m) in three(hot).into_iter().zip(three(cold)) {
            prop_assert!(no_larger(n, m), "{name}: {m} cold, {n} warm");
        }
        prop_assert_eq!(hot.to_fail, cold.to_fail);
        // one that ran on next to nothing is cold
        if let Some(settled) = &mut trace.settled {
            settled.line_a *= 1e-6;
            path.warm = false;
            let cold = breaker.margins(&path, &trace).modelled;
            path.warm = true;
            let hot = breaker.margins(&path, &trace).modelled;
            prop_assert!((hot - cold).abs() <= 1e-4 * (1.0 + cold.abs()), "{name}: {hot} {cold}");
        }
    }

    #[test]
    fn prop_heat_takes_from_what_holds_and_cold_adds_nothing(
        (name, case) in any_site(),
        (celsius, hotter) in (-40.0..60.0f64, 0.0..30.0f64),
    ) {
        let mut trace = Trace::default();
        let (cool, hot, stated) = (at(&case, celsius), at(&case, celsius + hotter), at(&case, 25.0));
        cool.run(0, &mut trace);
        for id in ["breaker", "continuous", "breaker-instantaneous"] {
            let check = check(id);
            if check.needs(&case, Some(&cool)) != Needs::Applies || !check.has_subject(&cool, &trace) {
                continue;
            }
            let [m, n, reference] = [&cool, &hot, &stated].map(|path| check.margins(path, &trace));
            for (n, m) in three(n).into_iter().zip(three(m)) {
                prop_assert!(no_larger(n, m), "{name} {id}: {m} at {celsius} C, {n} hotter");
            }
            prop_assert!(check.status(&hot, &trace, 1.0) >= check.status(&cool, &trace, 1.0));
            prop_assert!(no_larger(m.guaranteed, reference.guaranteed) && no_larger(m.modelled, reference.modelled));
        }
    }

    #[test]
    fn prop_cold_a_longer_way_and_less_behind_it_clear_no_fault_better(
        (_, case) in any_site(),
        (fault_a, ohm) in (20.0..5000.0f64, 0.0..2.0f64),
        (celsius, colder) in (-30.0..60.0f64, 0.0..60.0f64),
        (longer, less) in (0.0..2.0f64, 0.1..1.0f64),
    ) {
        let margin = |case: &Case, celsius: f64| {
            let path = at(case, celsius);
            check("disconnection").margins(&path, &Trace::default()).modelled
        };
        let near = margin(&faulty(&case, fault_a, ohm), celsius);
        prop_assert!(near.is_finite());
        prop_assert!(margin(&faulty(&case, fault_a, ohm), celsius - colder) <= near);
        prop_assert!(margin(&faulty(&case, fault_a, ohm + longer), celsius) <= near);
        prop_assert!(margin(&faulty(&case, less * fault_a, ohm), celsius) <= near);
        // a larger instantaneous trip wants more
        let mut slower = faulty(&case, fault_a, ohm);
        if let Some(breaker) = &mut slower.circuit.breaker
            && let BreakerStandard::Iec60898(curve) = &mut breaker.standard
            && *curve != Curve::D
        {
            *curve = Curve::D;
            prop_assert!(margin(&slower, celsius) <= near);
        }
    }
}

/// At the reference nothing moves; 20 K above it 10 to 12 % (0.5 to 0.6 % per K), 20 K below it only what must trip.
#[test]
fn worked_factors_of_the_ambient() {
    let of = |celsius: f64| Ambient::of(BreakerStandard::Iec60898(Curve::C), celsius);
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
    for (celsius, [promised, modelled, certain]) in
        [(30.0, [1.0; 3]), (50.0, [0.88, 0.9, 1.0]), (10.0, [1.0, 1.0, 1.12])]
    {
        let ambient = of(celsius);
        near(ambient.promised, promised);
        near(ambient.modelled, modelled);
        near(ambient.certain, certain);
    }
    let american = Ambient::of(BreakerStandard::Ul489, 40.0);
    near(american.promised, 0.91);
    near(american.modelled, 1.0);
}

/// The heating of one body from the preload on, against the formula: h' = (I/Ik)^2 - h in time constants, from h = (Ip/Ik)^2 to 1.
#[test]
fn worked_a_warm_body_by_small_steps() {
    let trips = |amps: f64, preload: f64| {
        let (mut heat, mut steps) = (preload * preload, 0_u32);
        while heat < 1.0 {
            heat += 1e-6 * (amps * amps - heat);
            steps += 1;
        }
        f64::from(steps)
    };
    for (amps, preload) in [(1.5, 0.6), (3.0, 0.9), (6.0, 0.3)] {
        let (ours, theirs) = (hot_share(amps, preload, 1.0), trips(amps, preload) / trips(amps, 0.0));
        assert!((ours - theirs).abs() < 1e-3 * theirs, "{amps} {preload}: {ours} {theirs}");
    }
}
