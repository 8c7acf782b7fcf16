//! `supplies`: the least ratings pass, one per cent less does not; a supply that replaces another has its voltage.

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use startmargin::advise::Verdict;
use startmargin::advise::supplies::{Candidate, Least, large_enough, leans, least, try_supply, worst};
use startmargin::case::{Case, Pressure};
use startmargin::figure::Figures;
use startmargin::report::starters::Comparison;
use startmargin::report::supplies::{Row, Supplies};
use startmargin::site;
use startmargin::site::catalogue::Catalogue;
use startmargin::site::starters;
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
        Config { cases: 200, failure_persistence: None, rng_seed: RngSeed::Fixed(8), ..Config::default() };
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
    assert!(found.get() >= 140, "{} of 200", found.get());
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

/// The camper's roof unit: figures with the ranges of a class, so that some rows start for certain, some do not, some lean.
fn camper(continuous_va: u32, surge_va: u32) -> Case {
    let text = format!(
        "standards = \"north-america\"\n[[supply]]\nname = \"inverter\"\nkind = \"inverter\"\nvoltage_v = 120\nfrequency_hz = 60\n\
         continuous_va = {continuous_va}\nsurge = [ {{ va = {surge_va}, for_s = 5 }} ]\noutput_ohm = 0.05\n[circuit]\n\
         breaker = {{ standard = \"UL 489\", rating_a = 20 }}\nconductor = {{ awg = 12, length_m = 6 }}\n[[load]]\nname = \"roof unit\"\n\
         class = \"hermetic-run-capacitor\"\nrated_voltage_v = 115\nrated_load_a = 13\nlocked_rotor_a = 62\n"
    );
    let site = site::read("camper.toml", &text).unwrap_or_else(|m| panic!("{m:#?}"));
    site.case(0, 0, Pressure::Equalised)
}

fn supplies_of(case: &Case) -> Supplies {
    let catalogue = Catalogue::built_in();
    let own = Candidate { name: case.supply.name.clone(), own: true, figures: case.supply.clone() };
    let all = std::iter::once(own).chain(candidates(&catalogue)).collect();
    Supplies::new(case, &[Pressure::Unequal, Pressure::Equalised], all, starters::candidates(&catalogue))
}

/// Each row that does not start for certain says below which check decides, within the page's width; the margin is the lowest of
/// the start's; the starter of the least ratings is the first of `starters` behind which any rating makes it start.
#[test]
fn rows_say_what_decides_and_how_much_is_in_hand() {
    let case = camper(3000, 6000);
    let supplies = supplies_of(&case);
    let text = supplies.text();
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    let lines: Vec<&str> = text.lines().collect();
    let mut open = 0;
    for row in &supplies.rows {
        let at = lines.iter().position(|l| l.trim_start().starts_with(&row.candidate.name)).expect("a line");
        if worst(&row.direct) != Verdict::Starts {
            open += 1;
            assert!(lines[at + 1].starts_with("        "), "{text}");
            assert!(lines[at + 1].contains("rest"), "{text}");
        }
        let (id, margin) = Row::margin(&row.direct).expect("a margin");
        let finding = row.direct[0].finding(id).unwrap();
        assert_eq!(finding.margins.unwrap().modelled, margin);
        for id in ["surge", "acceleration", "breaker", "peak-current", "breaker-instantaneous"] {
            let other = row.direct[0].finding(id).and_then(|f| f.margins);
            assert!(other.is_none_or(|m| m.modelled >= margin), "{id}: {}", row.candidate.name);
        }
    }
    assert!(open >= 3, "{text}");
    let by_starters =
        Comparison::new(&case, &supplies.pressures, starters::candidates(&Catalogue::built_in()));
    let (name, found) = supplies.least_behind.as_ref().expect("a starter helps");
    assert!(found.iter().any(Option::is_some));
    for row in &by_starters.rows {
        if &row.candidate.name == name {
            break;
        }
        let starts =
            |p: &Pressure| least(&Case { pressure: *p, ..case.clone() }, &row.candidate.figures).is_some();
        let direct = row.candidate.figures == StarterFigures::default();
        assert!(
            direct || !supplies.pressures.iter().any(starts),
            "{} comes before {name}",
            row.candidate.name
        );
    }
}

/// What only looks at the figures' values says what the whole judgement says of them.
#[test]
fn leaning_without_ranges_is_the_leaning_with_them() {
    let case = camper(3000, 6000);
    let catalogue = Catalogue::built_in();
    let starters = starters::candidates(&catalogue);
    let mut seen = [0, 0];
    for supply in candidates(&catalogue).iter().filter(|c| c.replaces(&case.supply)) {
        for starter in starters.iter().step_by(4) {
            let leans = leans(&case, &supply.figures, &starter.figures);
            let start = try_supply(&case, &supply.figures, &starter.figures);
            assert_eq!(leans, start.leaning == Verdict::Starts, "{} {}", supply.name, starter.name);
            seen[usize::from(leans)] += 1;
        }
    }
    assert!(seen[0] >= 3 && seen[1] >= 1, "{seen:?}");
}

/// A supply that is an entry of the catalogue by another name is shown once.
#[test]
fn the_site_s_own_supply_is_not_shown_twice() {
    let catalogue = Catalogue::built_in();
    let entry = candidates(&catalogue).into_iter().find(|c| c.name == "inverter-3000-230").unwrap();
    let mut own = Candidate { name: "mine".into(), own: true, ..entry.clone() };
    assert!(own.is_like(&entry));
    own.figures.shuts_off_on_fault = Some(true);
    assert!(!own.is_like(&entry));
}

/// The same of a unit whose figures range: the least ratings hold over all of them, one per cent less does not.
#[test]
fn the_least_ratings_over_ranges_pass_and_one_per_cent_less_does_not() {
    let case = camper(3000, 6000);
    let found = least(&case, &StarterFigures::default()).expect("ratings");
    assert!(found.sure && large_enough(&case, &found), "{found:?}");
    let less_surge = Least { surge_a: 0.99 * found.surge_a, ..found };
    let less_for_ever =
        Least { continuous_a: 0.99 * found.continuous_a, surge_a: 2.0 * found.surge_a, ..found };
    assert!(!large_enough(&case, &less_surge) && !large_enough(&case, &less_for_ever), "{found:?}");
}
