//! `breakers`: what it recommends, `check` passes; nothing smaller does; where nothing serves it says so.

use std::fmt::Write as _;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use startmargin::advise::breakers::{
    Candidate, OF_A_BREAKER, Standing, choices, peaked, recommended, try_breaker, weigh,
};
use startmargin::advise::{Start, judge_without_windows};
use startmargin::case::{Case, Pressure};
use startmargin::checks::Status;
use startmargin::protection::{BreakerStandard, Curve};
use startmargin::report::breakers::Selection;
use startmargin::report::pressures_of;
use startmargin::site::{self, Site};
use startmargin::standards::iec_60898_1::PREFERRED_A;
use startmargin::standards::nfpa_70::protection::STANDARD_A;
use startmargin::start::Trace;

fn read(text: &str) -> Site {
    site::read("site.toml", text).unwrap_or_else(|m| panic!("{m:#?}\n{text}"))
}

fn select(site: &Site) -> Selection {
    Selection::new(site, 0, 0, &pressures_of(&site.loads[0].figures))
}

/// A random site: North American or European, cable and load of any size that goes together or not.
#[derive(Debug, Clone)]
struct Random {
    iec: bool,
    rated_a: f64,
    ratio: f64,
    cable: usize,
    length_m: f64,
    inertia: f64,
    most: Option<f64>,
}

fn random() -> impl Strategy<Value = Random> {
    (
        any::<bool>(),
        2.0..30.0f64,
        3.0..8.0f64,
        0..5usize,
        1.0..30.0f64,
        0.3..8.0f64,
        proptest::option::of(1.2..3.0f64),
    )
        .prop_map(|(iec, rated_a, ratio, cable, length_m, inertia, most)| Random {
            iec,
            rated_a,
            ratio,
            cable,
            length_m,
            inertia,
            most,
        })
}

impl Random {
    /// The site file, with this breaker if any.
    fn text(&self, breaker: Option<(BreakerStandard, f64)>) -> String {
        let (volts, hertz, size) = if self.iec {
            (230, 50, format!("area_mm2 = {}", [1.5, 2.5, 4.0, 6.0, 10.0][self.cable]))
        } else {
            (120, 60, format!("awg = {}", [14, 12, 10, 8, 6][self.cable]))
        };
        let rules = if self.iec { "iec" } else { "north-america" };
        let mut text = format!(
            "standards = \"{rules}\"\n[[supply]]\nname = \"grid\"\nkind = \"shore\"\nvoltage_v = {volts}\nfrequency_hz = {hertz}\n\
             [circuit]\nconductor = {{ length_m = {:.1}, {size} }}\n",
            self.length_m
        );
        if let Some((standard, amps)) = breaker {
            let standard = match standard {
                BreakerStandard::Ul489 => "standard = \"UL 489\"".to_owned(),
                BreakerStandard::Iec60898(curve) => {
                    format!("standard = \"IEC 60898-1\", curve = \"{curve:?}\"")
                }
            };
            writeln!(text, "breaker = {{ {standard}, rating_a = {amps} }}").unwrap();
        }
        // a motor given outright, its impedances those of one of 62 A at 115 V: no ranges, so that hundreds can be tried
        let lra = self.rated_a * self.ratio;
        let z = f64::from(volts) / 115.0 * 62.0 / lra;
        let scale = f64::from(volts) * lra / (115.0 * 62.0);
        writeln!(
            text,
            "[[load]]\nname = \"unit\"\nrated_load_a = {:.2}\nlocked_rotor_a = {lra:.2}\npressure = \"equalised\"",
            self.rated_a
        )
        .unwrap();
        if let Some(most) = self.most {
            writeln!(text, "maximum_protection_a = {:.0}", (self.rated_a * most).max(15.0)).unwrap();
        }
        writeln!(
            text,
            "[load.motor_model]\nkind = \"two-winding\"\npoles = 2\nr1_ohm = {}\nx1_ohm = {}\nxm_ohm = {}\nr2_ohm = {}\n\
             x2_ohm = {}\nr1a_ohm = {}\nx1a_ohm = {}\nturns_ratio = 1.967\nrun_capacitor_uf = {}\ninertia_kgm2 = {}\n\
             [load.load_torque]\nrated_nm = {}\nrated_rpm = {}\nc0 = 0.1\nc1 = 0.65\nc2 = 0.0\nbreakaway = 0.12\n\
             build_up_s = 8",
            0.624 * z,
            0.601 * z,
            16.249 * z,
            0.76 * z,
            0.628 * z,
            2.351 * z,
            1.217 * z,
            45.0 / z * 60.0 / f64::from(hertz),
            0.0016 * scale * self.inertia,
            3.23 * scale * 0.8,
            57.5 * f64::from(hertz),
        )
        .unwrap();
        text
    }
}

/// The case of the site file with that breaker.
fn with(random: &Random, standard: BreakerStandard, rating_a: f64) -> Case {
    let site = read(&random.text(Some((standard, rating_a))));
    site.case(0, 0, site.loads[0].figures.pressure.unwrap())
}

/// Whether `check` has nothing against the breaker.
fn passes(start: &Start) -> bool {
    // of the fault nothing is known here, whichever the breaker
    let counts = OF_A_BREAKER.iter().filter(|id| **id != "disconnection");
    assert_eq!(counts.clone().count(), 4);
    counts.clone().all(|id| start.finding(id).is_none_or(|f| f.status == Status::Pass))
}

/// Every rating and curve of the standard, smallest first, of one rating the quickest first.
fn all(iec: bool) -> Vec<(BreakerStandard, f64)> {
    if !iec {
        return STANDARD_A.iter().map(|a| (BreakerStandard::Ul489, *a)).collect();
    }
    let curves = [Curve::B, Curve::C, Curve::D].map(BreakerStandard::Iec60898);
    PREFERRED_A.iter().flat_map(|a| curves.map(|curve| (curve, *a))).collect()
}

/// 200 random sites: what is recommended passes every rule when it is checked alone, of all that are smaller, or as large and quicker,
/// none does. No breaker changes a start: its first peak, which takes nearly all of the time, is looked for once for the smaller ones;
/// for the recommended one, and for the next smaller one, it is looked for anew.
#[test]
fn prop_the_recommended_breaker_is_the_least_that_check_passes() {
    let config =
        Config { cases: 200, failure_persistence: None, rng_seed: RngSeed::Fixed(6), ..Config::default() };
    let (served, refused) = (std::cell::Cell::new(0), std::cell::Cell::new(0));
    let result = TestRunner::new(config).run(&random(), |random| {
        let site = read(&random.text(None));
        let case = site.case(0, 0, Pressure::Equalised);
        let known = peaked(&case).expect("a path");
        let mut trace = Trace::default();
        known.run(0, &mut trace);
        if !trace.starts() {
            return Ok(());
        }
        let choices = choices(&case, trace.largest_rms_a());
        let mut candidates: Vec<Candidate> = Vec::new();
        let mut before = None;
        for (standard, rating_a) in all(random.iec) {
            let Some(choice) = choices.get(candidates.len()) else { break };
            prop_assert_eq!((choice.standard, choice.rating_a.get()), (standard, rating_a));
            let case = with(&random, standard, rating_a);
            let breaker = case.circuit.breaker.clone().unwrap();
            let start = try_breaker(&case, Some(&known), &breaker);
            let alone = passes(&start);
            candidates.push(weigh(&case, choice.clone(), &[start]));
            let last = candidates.last().unwrap();
            let pick = recommended(&candidates);
            prop_assert_eq!(alone, pick.is_some(), "{:#?}", last);
            if pick.is_some() {
                prop_assert!(passes(&judge_without_windows(&case)), "{:#?}", last);
                served.set(served.get() + 1);
                break;
            }
            before = Some(case);
        }
        if let Some(before) = before.filter(|_| recommended(&candidates).is_some()) {
            prop_assert!(!passes(&judge_without_windows(&before)), "{:#?}", before.circuit.breaker);
            refused.set(refused.get() + 1);
        }
        Ok(())
    });
    result.unwrap();
    assert!((50..200).contains(&served.get()), "{} of 200 sites have a breaker", served.get());
    assert!(refused.get() >= 50, "{} of them have a smaller one", refused.get());
}

const TOO_MUCH: &str = r#"
standards = "iec"
[[supply]]
name = "grid"
kind = "shore"
voltage_v = 230
frequency_hz = 50
[circuit]
conductor = { length_m = 10, area_mm2 = 1.5 }
[[load]]
name = "compressor"
class = "hermetic-run-capacitor"
rated_load_a = 11
locked_rotor_a = { value = 70, low = 69, high = 71 }
inertia_s = 0.3
pressure = "equalised"
"#;

/// The breaker would have to be larger for the start and smaller for the cable: none, the cure is less current or more cable.
#[test]
fn where_cable_and_start_disagree_there_is_none() {
    let selection = select(&read(TOO_MUCH));
    assert!(selection.pick().is_none());
    let too_small = selection.candidates.iter().filter(|c| c.objections.iter().any(|o| o.id == "breaker"));
    let too_large: Vec<_> = selection.candidates.iter().filter(|c| c.too_large()).collect();
    assert!(too_small.count() > 0 && !too_large.is_empty());
    for candidate in &too_large {
        assert_eq!(candidate.standing, Standing::Out);
    }
    let answer = selection.answer();
    assert!(answer.starts_with("Take: none"), "{answer}");
    assert!(answer.contains("less start current, not more breaker"), "{answer}");
    let (size, with) = selection.with_cable.clone().expect("a larger cable");
    assert!(answer.contains(&size.to_string()), "{answer}");
    // what it says of the larger cable holds
    let text =
        TOO_MUCH.replace("area_mm2 = 1.5", &format!("area_mm2 = {}", size.to_string().replace(" mm2", "")));
    let next = select(&read(&text));
    assert_eq!(next.pick().map(|c| c.breaker.clone()), Some(with.breaker));
}

/// A motor that does not get up to speed: no breaker cures it, whatever else they meet.
#[test]
fn no_breaker_cures_a_motor_that_stalls() {
    let text = TOO_MUCH
        .replace("pressure = \"equalised\"", "pressure = \"equalised\"\nstarter = { largest_a = 15 }");
    let selection = select(&read(&text));
    assert!(selection.hopeless.is_some() && selection.pick().is_none());
    assert!(selection.answer().contains("no breaker cures that"), "{}", selection.answer());
}

/// The nameplate's limits: 18 A rated, conductor of 22.5 A, maximum 40 A: no larger one is ever allowed, none below its minimum
/// circuit (NFPA 70 440.22, 440.32, 440.35; worked case in published copies).
#[test]
fn worked_the_nameplate_s_limits_are_kept() {
    let text = r#"
standards = "north-america"
[[supply]]
name = "grid"
kind = "shore"
voltage_v = 240
frequency_hz = 60
[circuit]
conductor = { length_m = 8, awg = 8 }
[[load]]
name = "condensing unit"
class = "hermetic-run-capacitor"
rated_load_a = 18
locked_rotor_a = { value = 90, low = 88, high = 92 }
minimum_circuit_ampacity_a = 22.5
maximum_protection_a = 40
pressure = "equalised"
"#;
    let selection = select(&read(text));
    for candidate in &selection.candidates {
        let amps = candidate.rating_a();
        if amps > 40.0 {
            assert!(candidate.too_large(), "{amps} A: {:?}", candidate.objections);
        } else if amps < 22.5 {
            assert_eq!(candidate.standing, Standing::Out, "{amps} A");
            assert!(candidate.objections.iter().any(|o| o.id == "minimum"), "{amps} A");
        } else {
            assert_ne!(candidate.standing, Standing::Out, "{amps} A: {:?}", candidate.objections);
        }
    }
    let pick = selection.pick().expect("25, 30, 35 or 40 A");
    assert!((25.0..=40.0).contains(&pick.rating_a()), "{pick:?}");
}

/// Curves are tried from the quickest: of two that serve at one rating the quicker one is taken.
#[test]
fn of_one_rating_the_quicker_curve_is_taken() {
    let text =
        TOO_MUCH.replace("area_mm2 = 1.5", "area_mm2 = 6").replace("inertia_s = 0.3", "inertia_s = 0.05");
    let selection = select(&read(&text));
    let pick = selection.pick().expect("one serves");
    let same = selection.candidates.iter().filter(|c| c.rating_a() == pick.rating_a());
    let serving: Vec<Curve> =
        same.filter(|c| c.standing == Standing::Serves).filter_map(|c| c.curve()).collect();
    assert_eq!(serving.first().copied(), pick.curve());
    let smaller = selection.candidates.iter().filter(|c| c.rating_a() < pick.rating_a());
    assert!(smaller.clone().count() > 0);
    for candidate in smaller {
        assert_ne!(candidate.standing, Standing::Serves);
    }
}

/// Curves that are out for different figures are told apart, and one that serves as fitted is left where it is.
#[test]
fn each_curve_has_its_own_reason() {
    let read_example = |name: &str| {
        let path = format!("{}/docs/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        select(&read(&std::fs::read_to_string(path).unwrap()))
    };
    let text = read_example("workshop-400").text();
    for curve in ["B", "C", "D"] {
        let row = text.lines().find(|l| l.contains("16 A ") && l.contains(&format!(" {curve} ")));
        assert!(row.is_some(), "curve {curve}\n{text}");
    }
    // of those that serve too: what one has in hand is not what another has
    let small =
        TOO_MUCH.replace("area_mm2 = 1.5", "area_mm2 = 6").replace("inertia_s = 0.3", "inertia_s = 0.05");
    let selection = select(&read(&small));
    let text = selection.text();
    for candidate in selection.candidates.iter().filter(|c| c.standing == Standing::Serves) {
        let (amps, margin) = (candidate.rating_a(), candidate.start_margin.unwrap());
        let said = format!("{} % in hand", startmargin::checks::say::number(100.0 * margin));
        let curve = format!("{:?}", candidate.curve().unwrap());
        let own = |l: &&str| l.contains(&format!("{amps} A ")) && l.contains("serves") && l.contains(&said);
        let curves = |l: &str| l.split("serves").next().unwrap().split_whitespace().any(|w| w == curve);
        assert!(text.lines().filter(own).any(curves), "{amps} A {curve}: {said}\n{text}");
    }
    let cabin = read_example("cabin-well-pump");
    assert_eq!(cabin.pick().map(Candidate::rating_a), Some(15.0));
    assert!(cabin.answer().contains("The one fitted, 20 A, serves too: leave it."), "{}", cabin.answer());
}
