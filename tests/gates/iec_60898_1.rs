//! IEC 60898-1, table 7 (time-current operating characteristics, clause 8.6.1; tests of 9.10): thermal points and instantaneous
//! ranges seen in two published copies, upper times of test d in one, conventional times from component makers' data.

use startmargin::protection::{BreakerStandard, Curve};

use super::{ROUNDING, breaker, holds, trips};

/// Preferred rated currents \[A\] (seen; a copy omits 8 A).
const PREFERRED: [f64; 14] =
    [6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0];

/// Curve, multiple of test d, its upper times up to and above 32 A \[s\], multiple of test e.
const CURVES: [(Curve, f64, [f64; 2], f64); 3] = [
    (Curve::B, 3.0, [45.0, 90.0], 5.0),
    (Curve::C, 5.0, [15.0, 30.0], 10.0),
    (Curve::D, 10.0, [4.0, 8.0], 20.0),
];

/// Every preferred rating with every curve, at both frequencies.
fn each(mut check: impl FnMut(&str, f64, [f64; 2], [f64; 2], &startmargin::protection::Edges)) {
    for rating in PREFERRED {
        for (curve, hold, most, trip) in CURVES {
            for hz in [50.0, 60.0] {
                let edges = breaker(BreakerStandard::Iec60898(curve), rating).edges(230.0, hz).unwrap();
                let small = rating <= 32.0;
                let most_d = if small { most[0] } else { most[1] };
                let most_c = if small { 60.0 } else { 120.0 };
                let what = format!("{curve:?}{rating} {hz} Hz");
                check(&what, rating, [hold, trip], [most_c, most_d], &edges);
            }
        }
    }
}

/// Test a: 1.13 In from cold is carried for the conventional time, 1 h up to 63 A and 2 h above.
#[test]
fn worked_test_a_conventional_non_tripping_current() {
    each(|what, rating, _, _, edges| {
        let conventional = if rating <= 63.0 { 3600.0 } else { 7200.0 };
        for curve in [&edges.guaranteed, &edges.fast, &edges.slow] {
            for multiple in [0.5, 1.0, 1.13] {
                holds(what, curve, multiple * rating, conventional);
            }
        }
    });
}

/// Test b: 1.45 In trips within the conventional time.
#[test]
fn worked_test_b_conventional_tripping_current() {
    each(|what, rating, _, _, edges| {
        let conventional = if rating <= 63.0 { 3600.0 } else { 7200.0 };
        trips(what, &edges.slow, 1.45 * rating, conventional);
    });
}

/// Test c: 2.55 In trips in more than 1 s and less than 60 s (120 s above 32 A).
#[test]
fn worked_test_c_overload() {
    each(|what, rating, _, [most_c, _], edges| {
        holds(what, &edges.guaranteed, 2.55 * rating, 1.0);
        holds(what, &edges.fast, 2.55 * rating, 1.0);
        trips(what, &edges.slow, 2.55 * rating, most_c);
    });
}

/// Test d: 3, 5, 10 In trips in more than 0.1 s and less than 45/90, 15/30, 4/8 s.
#[test]
fn worked_test_d_edge_of_the_instantaneous_trip() {
    each(|what, rating, [hold, _], [_, most_d], edges| {
        holds(what, &edges.guaranteed, hold * rating, 0.1);
        holds(what, &edges.fast, hold * rating, 0.1);
        trips(what, &edges.slow, hold * rating, most_d);
    });
}

/// Test e: 5, 10, 20 In trips in less than 0.1 s; so does everything above.
#[test]
fn worked_test_e_instantaneous_trip() {
    each(|what, rating, [_, trip], _, edges| {
        for above in [1.0, 1.01, 1.5, 3.0, 50.0] {
            trips(what, &edges.slow, above * trip * rating, 0.1);
        }
    });
}

/// Within the instantaneous range (above 3 up to 5 In and so on) nothing is promised, a half-cycle is modelled.
#[test]
fn worked_within_the_instantaneous_range_nothing_is_promised() {
    each(|what, rating, [hold, trip], _, edges| {
        for multiple in [hold * (1.0 + 1e-6), 0.5 * (hold + trip), trip] {
            assert_eq!(edges.guaranteed.time(multiple * rating), 0.0, "{what}");
            let half_cycle = if what.contains("50 Hz") { 0.01 } else { 1.0 / 120.0 };
            assert!((edges.fast.time(multiple * rating) - half_cycle).abs() < ROUNDING, "{what}");
        }
    });
}

/// What is promised is not more than the gates: between two of them only the time of the next one.
#[test]
fn worked_between_gates_only_the_next_gate_is_promised() {
    each(|what, rating, [hold, _], _, edges| {
        for (multiple, s) in
            [(1.1301, 1.0), (1.8, 1.0), (2.55, 1.0), (2.5501, 0.1), (0.5 * (2.55 + hold), 0.1), (hold, 0.1)]
        {
            let time = edges.guaranteed.time(multiple * rating);
            assert!((time / s - 1.0).abs() < ROUNDING, "{what}: {multiple} In promised {time} s");
        }
    });
}

/// Installation testers' table (seen): B16 trips at once at 80 A, C16 at 160 A, D16 at 319 A (printed from 0.576 ohm; 320 A),
/// B32 160 A, C32 320 A.
#[test]
fn worked_instantaneous_currents_of_an_installation_table() {
    for (curve, rating, amps) in [
        (Curve::B, 16.0, 80.0),
        (Curve::C, 16.0, 160.0),
        (Curve::D, 16.0, 320.0),
        (Curve::B, 32.0, 160.0),
        (Curve::C, 32.0, 320.0),
    ] {
        let edges = breaker(BreakerStandard::Iec60898(curve), rating).edges(230.0, 50.0).unwrap();
        trips("at once", &edges.slow, amps, 0.1);
        assert!(edges.slow.time(0.99 * amps) > 0.1);
    }
}
