//! Overload protectors: what heats them more never lets them hold longer.

use proptest::prelude::*;
use startmargin::protection::thermal::{Heat, Thermal};

use super::tries;

/// Times are found to rounding; what a step leaves of a small difference of two modes is a little more.
const ROUNDING: f64 = 1e-9;

/// Any protector with a pickup of 1.
fn any_thermal() -> impl Strategy<Value = Thermal> {
    let element = (0.0..6.0f64).prop_map(|x| 0.1 * x.exp());
    (element, 1.0..500.0f64, 0.02..0.98f64, any::<bool>()).prop_map(|(element, times, share, two)| {
        if two {
            Thermal::two_body(1.0, element, element * times, share)
        } else {
            Thermal::one_body(1.0, element)
        }
    })
}

/// A course of currents: each with how long it takes to get there from the one before.
fn any_course() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((0.01..20.0f64, 0.0..4.0f64), 1..12)
}

/// When it trips on a course with every current times `k`; infinite if it does not.
fn trips(thermal: &Thermal, mut heat: Heat, course: &[(f64, f64)], k: f64) -> f64 {
    let (mut t, mut before) = (0.0, 0.0);
    for &(s, amps) in course {
        if let Some(at) = thermal.trips_on_the_way(heat, before, k * amps, s) {
            return t + at;
        }
        heat = thermal.step(heat, before, k * amps, s);
        (t, before) = (t + s, k * amps);
    }
    f64::INFINITY
}

fn no_later(earlier: f64, later: f64) -> bool {
    earlier <= later * (1.0 + ROUNDING) + ROUNDING
}

/// What running steadily at a share of the pickup leaves, and a rest after it.
fn warm(thermal: &Thermal, share: f64, rest_s: f64) -> Heat {
    thermal.rest(thermal.steady(share), rest_s)
}

proptest! {
    #![proptest_config(tries(400))]

    #[test]
    fn prop_more_current_never_lengthens_the_time_to_trip(
        thermal in any_thermal(),
        course in any_course(),
        more in 1.0..2.0f64,
        amps in 0.5..9.0f64,
        share in 0.0..0.99f64,
    ) {
        let heat = warm(&thermal, share, 1.0);
        let (less_s, more_s) = (trips(&thermal, heat, &course, 1.0), trips(&thermal, heat, &course, more));
        prop_assert!(no_later(more_s, less_s), "{more_s} against {less_s}");
        let held = |amps| thermal.trips_in(heat, amps).unwrap_or(f64::INFINITY);
        prop_assert!(no_later(held(more * amps), held(amps)), "{} against {}", held(more * amps), held(amps));
        prop_assert_eq!(held(amps).is_finite(), amps > 1.0 && held(amps) <= 86_400.0);
    }

    #[test]
    fn prop_a_longer_pause_never_shortens_the_time_to_trip(
        thermal in any_thermal(),
        course in any_course(),
        share in 0.0..0.99f64,
        pause in [0.0..900.0f64, 0.0..900.0f64],
    ) {
        let after = |s| trips(&thermal, warm(&thermal, share, s), &course, 1.0);
        let (short, long) = (after(pause[0].min(pause[1])), after(pause[0].max(pause[1])));
        prop_assert!(no_later(short, long), "{short} against {long}");
    }

    #[test]
    fn prop_preload_never_lengthens_the_time_to_trip(
        thermal in any_thermal(),
        course in any_course(),
        share in [0.0..0.999f64, 0.0..0.999f64],
    ) {
        let after = |share| trips(&thermal, thermal.steady(share), &course, 1.0);
        let (warmer, cooler) = (after(share[0].max(share[1])), after(share[0].min(share[1])));
        prop_assert!(no_later(warmer, cooler), "{warmer} against {cooler}");
    }

    /// What spares a start its steps is a bound: the warmest of any course lies between.
    #[test]
    fn prop_what_is_seen_without_a_step_holds(
        thermal in any_thermal(),
        course in any_course(),
        share in 0.0..0.99f64,
        rest_s in 0.0..300.0f64,
    ) {
        let heat = warm(&thermal, share, rest_s);
        let (mut now, mut warmest) = (heat, heat.element);
        let (mut before, mut largest, mut i2t, mut t) = (0.0, 0.0_f64, 0.0, 0.0);
        for &(s, amps) in &course {
            let (top, end) = thermal.passes(now, before, amps, s);
            prop_assert_eq!(end, thermal.step(now, before, amps, s));
            (now, warmest) = (end, warmest.max(top));
            largest = largest.max(amps);
            i2t += (before * before + before * amps + amps * amps) / 3.0 * s;
            (before, t) = (amps, t + s);
            let least = thermal.at_least(heat, i2t, t);
            prop_assert!(least <= end.element * (1.0 + ROUNDING) + ROUNDING, "{least} {end:?}");
        }
        let most = thermal.at_most(heat, largest, i2t);
        prop_assert!(warmest <= most * (1.0 + ROUNDING) + ROUNDING, "{warmest} {most}");
    }

    /// Sound at all: a course without losses comes close to its bound, from both sides.
    #[test]
    fn prop_a_short_start_is_known_without_a_step(tau in 50.0..500.0f64, amps in 3.0..8.0f64) {
        for thermal in [Thermal::one_body(1.0, tau), Thermal::two_body(1.0, tau, 10.0 * tau, 0.4)] {
            let i2t = amps * amps * 0.5;
            let (least, most) = (thermal.at_least(Heat::default(), i2t, 0.5), thermal.at_most(Heat::default(), amps, i2t));
            prop_assert!(least < most && most < 1.011 * least, "{least} {most}");
        }
    }

    /// A step is the same in two pieces, whatever the model and however short.
    #[test]
    fn prop_steps_add_up(
        thermal in any_thermal(),
        ends in [0.0..8.0f64, 0.0..8.0f64],
        s in (-12.0..6.0f64).prop_map(f64::exp),
        at in 0.01..0.99f64,
        share in 0.0..0.99f64,
    ) {
        let heat = warm(&thermal, share, 0.5);
        let whole = thermal.step(heat, ends[0], ends[1], s);
        let middle = ends[0] + at * (ends[1] - ends[0]);
        let pieces = thermal.step(thermal.step(heat, ends[0], middle, at * s), middle, ends[1], (1.0 - at) * s);
        let size = whole.element.abs().max(1e-3);
        prop_assert!((whole.element - pieces.element).abs() <= 1e-9 * size, "{whole:?} {pieces:?}");
        prop_assert!((whole.body - pieces.body).abs() <= 1e-9 * size, "{whole:?} {pieces:?}");
    }

    /// Two bodies of one kind: with next to no share against the body, or a body that does not warm, it is one body.
    #[test]
    fn prop_an_element_alone_is_one_body(tau in 0.5..50.0f64, k in 1.1..8.0f64) {
        let alone = Thermal::one_body(1.0, tau).trips_in(Heat::default(), k).unwrap();
        let two = Thermal::two_body(1.0, tau, 1e-3 * tau, 1.0 - 1e-9).trips_in(Heat::default(), k).unwrap();
        prop_assert!((two / alone - 1.0).abs() < 1e-6, "{two} {alone}");
    }
}
