//! `supplies`: the least ratings pass, one per cent less does not; a supply that replaces another has its voltage.

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use startmargin::advise::supplies::{Least, large_enough, least};
use startmargin::case::Case;
use startmargin::figure::Figures;
use startmargin::site;
use startmargin::site::catalogue::Catalogue;
use startmargin::site::supplies::candidates;
use startmargin::starter::StarterFigures;

fn case(name: &str) -> Case {
    let path = format!("{}/tests/data/compare/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let site = site::read(name, &std::fs::read_to_string(path).unwrap()).unwrap();
    site.case(0, 0, site.loads[0].figures.pressure.unwrap())
}

/// The motor's figures varied, each by up to a fifth.
fn varied(name: &str, factors: &[f64]) -> Case {
    let mut case = case(name);
    let mut place = 0;
    case.visit(&mut |key, figure| {
        if key.contains("motor") {
            let (value, ..) = figure.numbers();
            figure.set(value * factors[place % factors.len()]);
            place += 1;
        }
    });
    case
}

#[test]
fn prop_the_least_ratings_pass_and_one_per_cent_less_does_not() {
    let config =
        Config { cases: 60, failure_persistence: None, rng_seed: RngSeed::Fixed(8), ..Config::default() };
    let names = ["anchor", "start-capacitor", "three-phase-3hp", "running-both", "single-phase-230v"];
    let strategy = (0..names.len(), proptest::collection::vec(0.8..1.2f64, 7));
    let found = std::cell::Cell::new(0);
    let result = TestRunner::new(config).run(&strategy, |(which, factors)| {
        let case = varied(names[which], &factors);
        let Some(least) = least(&case, &StarterFigures::default()) else { return Ok(()) };
        found.set(found.get() + 1);
        prop_assert!(large_enough(&case, &least), "{}: {least:?}", names[which]);
        let smaller = Least { surge_a: 0.99 * least.surge_a, ..least };
        prop_assert!(
            smaller.surge_a < least.continuous_a || !large_enough(&case, &smaller),
            "{}: less surge than {least:?}",
            names[which]
        );
        let smaller =
            Least { continuous_a: 0.99 * least.continuous_a, surge_a: 2.0 * least.surge_a, ..least };
        prop_assert!(!large_enough(&case, &smaller), "{}: less for ever than {least:?}", names[which]);
        let larger = Least { continuous_a: 1.5 * least.continuous_a, surge_a: 1.5 * least.surge_a, ..least };
        prop_assert!(large_enough(&case, &larger), "{}: half as much again as {least:?}", names[which]);
        Ok(())
    });
    result.unwrap();
    assert!(found.get() >= 40, "{} of 60", found.get());
}

#[test]
fn candidates_have_the_voltage_they_replace() {
    let all = candidates(&Catalogue::built_in());
    assert!(all.len() >= 15, "{}", all.len());
    let supply = case("single-phase-230v").supply;
    let fit: Vec<_> = all.iter().filter(|c| c.replaces(&supply)).collect();
    assert!(fit.len() >= 3 && fit.len() < all.len(), "{}", fit.len());
    for candidate in fit {
        assert_eq!(candidate.figures.frequency_hz.get(), supply.frequency_hz.get(), "{}", candidate.name);
        assert!((candidate.figures.voltage_v.get() / supply.voltage_v.get() - 1.0).abs() < 0.06);
    }
}
