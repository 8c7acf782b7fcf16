//! More of a supply or a breaker never does harm.

use proptest::prelude::*;
use startmargin::case::{Case, Path};
use startmargin::checks::Needs;
use startmargin::start::Trace;
use startmargin::starter::Direct;
use startmargin::supply::OnOverload;

use super::{Plant, any_site, check, direct, get, set, tries};
use crate::tolerances::{LIMITED, MARGIN_SEARCH, SAME_PHYSICS};

/// Asserts that a check of the same start is no worse with the second case's limits.
fn no_worse(name: &str, id: &str, before: &Case, after: &Case) -> Result<(), TestCaseError> {
    let (a, b) = (Path::new(before).unwrap(), Path::new(after).unwrap());
    let check = check(id);
    if check.needs(before, Some(&a)) != Needs::Applies {
        return Ok(());
    }
    let mut trace = Trace::default();
    for variant in 0..a.variants() {
        a.run(variant, &mut trace);
        let (m, n) = (check.margins(&a, &trace), check.margins(&b, &trace));
        for (m, n) in [(m.guaranteed, n.guaranteed), (m.modelled, n.modelled), (m.to_fail, n.to_fail)] {
            prop_assert!(
                n == m || n >= m - MARGIN_SEARCH * (1.0 + m.abs()),
                "{} {}: margin {} fell to {}",
                name,
                id,
                m,
                n
            );
        }
        let (s, t) = (check.status(&a, &trace, 1.0), check.status(&b, &trace, 1.0));
        prop_assert!(t <= s, "{} {}: {:?} became {:?}", name, id, s, t);
    }
    Ok(())
}

/// The unit a supply's ratings are written in.
fn unit(case: &Case) -> &'static str {
    if get(case, "supply.continuous.a").is_some() { "a" } else { "va" }
}

/// A figure of a surge rating.
fn surge(i: usize, what: &str) -> String {
    format!("supply.surge[{i}].{what}")
}

proptest! {
    #![proptest_config(tries(150))]

    /// Any one surge rating raised, up to the next larger one (the site reader wants them in order).
    #[test]
    fn prop_a_larger_surge_rating_is_no_worse((name, case) in any_site(), which in 0..2usize, by in 0.0..1.0f64) {
        let u = unit(&case);
        let now = get(&case, &surge(which, u)).unwrap();
        // sorted by falling current
        let most = which.checked_sub(1).map_or(3.0 * now, |above| get(&case, &surge(above, u)).unwrap());
        let mut raised = case.clone();
        set(&mut raised, &surge(which, u), now + by * (most - now));
        no_worse(name, "surge", &case, &raised)?;
    }

    /// Any one surge time lengthened, up to that of the next smaller rating.
    #[test]
    fn prop_a_longer_surge_time_is_no_worse((name, case) in any_site(), which in 0..2usize, by in 0.0..1.0f64) {
        let now = get(&case, &surge(which, "for_s")).unwrap();
        let most = get(&case, &surge(which + 1, "for_s")).unwrap_or(4.0 * now);
        let mut raised = case.clone();
        set(&mut raised, &surge(which, "for_s"), now + by * (most - now));
        no_worse(name, "surge", &case, &raised)?;
    }

    #[test]
    fn prop_a_larger_continuous_rating_is_no_worse((name, case) in any_site(), by in 1.0..3.0f64) {
        let key = format!("supply.continuous.{}", unit(&case));
        let mut raised = case.clone();
        set(&mut raised, &key, by * get(&case, &key).unwrap());
        for id in ["surge", "continuous"] {
            no_worse(name, id, &case, &raised)?;
        }
    }

    /// From a preferred rating to a larger one; beyond the tables the check cannot be made.
    #[test]
    fn prop_a_larger_breaker_is_no_worse((name, case) in any_site(), from in 0..14usize, up in 1..14usize) {
        const RATINGS: [f64; 14] =
            [6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0];
        let (mut small, mut large) = (case.clone(), case);
        set(&mut small, "circuit.breaker.rating_a", RATINGS[from]);
        set(&mut large, "circuit.breaker.rating_a", RATINGS[(from + up).min(13)]);
        for id in ["breaker", "continuous"] {
            no_worse(name, id, &small, &large)?;
        }
    }

    /// All ratings of the supply together: a pass stays a pass, nothing becomes a fail.
    #[test]
    fn prop_more_supply_never_turns_a_pass_into_a_fail((name, case) in any_site(), by in 1.0..3.0f64) {
        let u = unit(&case);
        let mut more = case.clone();
        for key in [surge(0, u), surge(1, u), format!("supply.continuous.{u}"), "supply.peak_current_a".into()] {
            set(&mut more, &key, by * get(&case, &key).unwrap());
        }
        for id in ["surge", "peak-current", "continuous"] {
            no_worse(name, id, &case, &more)?;
        }
    }

    /// A supply that folds its voltage back never carries more than its largest surge rating, whatever is on; and no start is
    /// shorter for it.
    #[test]
    fn prop_fold_back_keeps_the_largest_rating((name, case) in any_site(), share in 0.3..1.5f64) {
        let mut path = Path::new(&case).unwrap();
        path.go_direct();
        let (mut free, mut folded) = (Trace::default(), Trace::default());
        path.run(0, &mut free);
        let mut limiting = case.clone();
        limiting.supply.on_overload = OnOverload::Limit;
        let largest = surge(0, unit(&case));
        let amps_each = path.surge.last().unwrap().amps / get(&case, &largest).unwrap();
        set(&mut limiting, &largest, share * free.largest_supply_a() / amps_each);
        let mut path = Path::new(&limiting).unwrap();
        path.go_direct();
        let fold = path.surge.last().unwrap().amps;
        for variant in 0..path.variants() {
            path.run(variant, &mut folded);
            for row in &folded.rows {
                prop_assert!(
                    row.supply_a <= fold * (1.0 + LIMITED),
                    "{} variant {}: {} A at {} s, folds at {} A", name, variant, row.supply_a, row.t_s, fold
                );
            }
        }
        path.run(0, &mut folded);
        prop_assert!(super::duration(&folded) >= super::duration(&free) * (1.0 - SAME_PHYSICS), "{}", name);
    }

    /// A motor whose current lags all the way draws less behind more impedance, at every moment and so at its largest. (One
    /// whose current leads, with a large start capacitor, may draw more behind a reactance: it is left out.)
    #[test]
    fn prop_source_impedance_never_raises_the_largest_current(
        (name, case) in direct(),
        ohm in proptest::array::uniform4(0.0..0.05f64),
    ) {
        let mut soft = Plant::new(&case);
        // in shares of the stalled impedance
        let stalled = soft.machine.at(0.0, startmargin::motor::Stage::START).y.norm().recip();
        soft.z += stalled * num_complex::Complex64::new(ohm[0], ohm[1]);
        let before = soft.run(&Direct);
        prop_assume!(before.rows.iter().all(|r| r.reactive_var >= 0.0));
        soft.z += stalled * num_complex::Complex64::new(ohm[2], ohm[3]);
        let after = soft.run(&Direct);
        let [a, b] = [&before, &after].map(Trace::largest_rms_a);
        prop_assert!(b <= a * (1.0 + SAME_PHYSICS), "{}: {} A rose to {} A", name, a, b);
        // and it is no sooner up to speed
        prop_assert!(super::duration(&after) >= super::duration(&before) * (1.0 - SAME_PHYSICS), "{}", name);
    }
}
