//! Dips of the supply's voltage.

use proptest::prelude::*;
use startmargin::case::{Case, Path};
use startmargin::figure::{Figure, Origin};
use startmargin::quantity::{Ratio, Second};
use startmargin::start::{AfterDip, RideThrough, Trace};
use startmargin::supply::DipFigures;

use super::{any_site, tries};

/// What a dip does to the start of a case, for each way the running loads may behave; `None` where it does
/// not start.
fn after(case: &Case, to: f64, for_s: f64) -> Vec<Option<RideThrough>> {
    let mut case = case.clone();
    case.supply.dip = Some(DipFigures {
        to: Figure::exact(Ratio(to), Origin::Given),
        for_s: Figure::exact(Second(for_s), Origin::Given),
    });
    let path = Path::new(&case).unwrap();
    let mut trace = Trace::default();
    let run = |variant| {
        path.run(variant, &mut trace);
        trace.after_dip
    };
    (0..path.variants()).map(run).collect()
}

proptest! {
    #![proptest_config(tries(150))]

    /// A shallower or shorter dip never stops what a deeper and longer one does not, nor takes it further
    /// down.
    #[test]
    fn prop_a_smaller_dip_is_never_worse(
        (name, case) in any_site(),
        to in [0.0..1.0f64, 0.0..1.0f64],
        for_s in [0.01..3.0f64, 0.01..3.0f64],
    ) {
        let deep = after(&case, to[0].min(to[1]), for_s[0].max(for_s[1]));
        let small = after(&case, to[0].max(to[1]), for_s[0].min(for_s[1]));
        for (deep, small) in deep.iter().zip(&small) {
            let (Some(deep), Some(small)) = (deep, small) else { continue };
            prop_assert!(small.after <= deep.after, "{}: {:?} after the smaller, {:?}", name, small, deep);
            prop_assert!(small.lowest >= deep.lowest - 1e-3, "{}: {:?} after the smaller, {:?}", name, small, deep);
            prop_assert!(small.ratio >= deep.ratio * (1.0 - 1e-3), "{}: {:?} after the smaller, {:?}", name, small, deep);
        }
    }

    /// No dip, no change; and what comes out is what the numbers say.
    #[test]
    fn prop_a_dip_says_what_it_does((name, case) in any_site(), to in 0.0..1.0f64, for_s in 0.01..3.0f64) {
        for out in after(&case, 1.0, for_s).into_iter().flatten() {
            prop_assert_eq!((out.after, out.back_s), (AfterDip::Runs, Some(0.0)), "{}: {:?}", name, out);
        }
        for out in after(&case, to, for_s).into_iter().flatten() {
            prop_assert_eq!(out.after == AfterDip::Runs, out.ratio >= 1.0, "{}: {:?}", name, out);
            prop_assert_eq!(out.after == AfterDip::Runs, out.back_s.is_some(), "{}: {:?}", name, out);
            prop_assert!(out.line_a.is_finite() && out.lowest >= 0.0 && out.speed >= 0.0, "{}: {:?}", name, out);
        }
    }

    /// Whatever a site file may say of a dip is answered, and soon.
    #[test]
    fn prop_dips_without_measure_are_answered((name, case) in any_site()) {
        let begun = std::time::Instant::now();
        for to in [0.0, 1e-9, 0.5, 1.0] {
            for for_s in [1e-9, 1e9] {
                for out in after(&case, to, for_s).into_iter().flatten() {
                    prop_assert!(out.lowest.is_finite() && out.speed.is_finite(), "{}: {:?}", name, out);
                    prop_assert!(!out.ratio.is_nan(), "{}: {:?}", name, out);
                    prop_assert!(for_s > 1.0 || out.after == AfterDip::Runs, "{}: {:?}", name, out);
                    // without voltage for ever it stands
                    prop_assert!(to > 0.0 || for_s < 1.0 || out.lowest < 1e-2, "{}: {:?}", name, out);
                }
            }
        }
        prop_assert!(begun.elapsed().as_secs() < 5, "{}: {:?}", name, begun.elapsed());
    }
}
