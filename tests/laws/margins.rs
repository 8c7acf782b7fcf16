//! The margin: one number with one meaning, the largest factor the whole start current could be multiplied with.

use proptest::prelude::*;
use startmargin::case::{Case, Path};
use startmargin::checks::{Margins, Needs};
use startmargin::start::Trace;

use super::{any_site, check, tries};
use crate::tolerances::MARGIN_SEARCH;

const CURRENT_LIKE: [&str; 4] = ["surge", "peak-current", "breaker", "continuous"];

fn three(m: Margins) -> [f64; 3] {
    [m.guaranteed, m.modelled, m.to_fail]
}

/// The start with each row's currents multiplied.
fn multiplied(trace: &Trace, mut by: impl FnMut() -> f64) -> Trace {
    let mut out = trace.clone();
    for row in out.rows.iter_mut().chain(out.settled.as_mut()) {
        let k = by();
        row.line_a *= k;
        row.supply_a *= k;
    }
    out
}

/// The checks of currents that apply to a case.
fn made(case: &Case, path: &Path) -> Vec<&'static str> {
    CURRENT_LIKE.into_iter().filter(|id| check(id).needs(case, Some(path)) == Needs::Applies).collect()
}

proptest! {
    #![proptest_config(tries(200))]

    /// Analytic: if the largest factor is 1 + m, that of the start k times as strong is (1 + m) / k.
    #[test]
    fn prop_scaling_the_current_scales_the_margin((name, case) in any_site(), k in (-1.5..1.5f64).prop_map(f64::exp)) {
        let path = Path::new(&case).unwrap();
        let mut trace = Trace::default();
        for variant in 0..path.variants() {
            path.run(variant, &mut trace);
            let scaled = multiplied(&trace, || k);
            for id in made(&case, &path) {
                let (before, after) = (check(id).margins(&path, &trace), check(id).margins(&path, &scaled));
                for (m, n) in three(before).into_iter().zip(three(after)) {
                    let expected = (1.0 + m) / k - 1.0;
                    prop_assert!(
                        n == expected || (n - expected).abs() <= MARGIN_SEARCH * (1.0 + expected.abs()),
                        "{} {}: {} times the current gives {} instead of {}", name, id, k, n, expected
                    );
                }
            }
        }
    }

    /// A start that is stronger at some moments and weaker at none has no larger margin, and no better status.
    #[test]
    fn prop_margins_shrink_as_the_current_grows(
        (name, case) in any_site(),
        growth in proptest::collection::vec(1.0..1.6f64, 40),
    ) {
        let path = Path::new(&case).unwrap();
        let mut trace = Trace::default();
        path.run(0, &mut trace);
        let mut growth = growth.iter().cycle();
        let grown = multiplied(&trace, || *growth.next().unwrap());
        for id in made(&case, &path) {
            let (before, after) = (check(id).margins(&path, &trace), check(id).margins(&path, &grown));
            for (m, n) in three(before).into_iter().zip(three(after)) {
                prop_assert!(n <= m + MARGIN_SEARCH * (1.0 + m.abs()), "{} {}: {} grew to {}", name, id, m, n);
            }
            prop_assert!(check(id).status(&path, &grown, 1.0) >= check(id).status(&path, &trace, 1.0), "{} {}", name, id);
        }
    }

    /// What is promised is no more than what is modelled, that no more than what fails for certain.
    #[test]
    fn prop_the_three_readings_are_in_order((name, case) in any_site()) {
        let path = Path::new(&case).unwrap();
        let mut trace = Trace::default();
        path.run(0, &mut trace);
        for id in made(&case, &path) {
            let m = check(id).margins(&path, &trace);
            let in_order = |a: f64, b: f64| a <= b || a - b <= MARGIN_SEARCH * (1.0 + b.abs());
            prop_assert!(
                in_order(m.guaranteed, m.modelled) && in_order(m.modelled, m.to_fail),
                "{} {}: {:?}", name, id, m
            );
        }
    }
}
