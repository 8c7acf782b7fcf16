//! What the catalogue fills in: the site before the entry, the entry before its class, key by key.

use std::path::Path;

use super::{edit, marked, refused, site};
use startmargin::advise::judge;
use startmargin::case::{LoadFigures, Pressure};
use startmargin::figure::{AnyFigure, Figures, Origin};
use startmargin::motor::given::{MotorFigures, PlateMotor};
use startmargin::protection::{BreakerStandard, Curve, CurvePoint};
use startmargin::quantity::*;
use startmargin::site::catalogue::{Catalogue, CatalogueEntry, Shelf};
use startmargin::site::{Diagnostic, Site, read_with};
use startmargin::starter::StarterKind;
use startmargin::supply::{Rating, SupplyFigures};

/// A site on the tests' own catalogue, each of its lines in a place of its own.
const OWN: &str = "\
[[supply]]
name = \"box\"
use = \"box\"

[[load]]
name = \"pusher\"
use = \"pusher-115\"
";

fn own_catalogue() -> Catalogue {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/catalogue");
    Catalogue::built_in().with_folder(&folder).expect("the tests' catalogue is right")
}

fn own(text: &str) -> Result<Site, Vec<Diagnostic>> {
    read_with("site.toml", text, &own_catalogue())
}

/// The site's load with these lines below its own.
#[track_caller]
fn load(lines: &str) -> LoadFigures {
    own(&format!("{OWN}{lines}\n")).unwrap_or_else(|m| panic!("{m:#?}")).loads[0].figures.clone()
}

/// The site's supply with these lines below its own.
#[track_caller]
fn supply(lines: &str) -> SupplyFigures {
    let text = edit(OWN, &[("use = \"box\"\n", &format!("use = \"box\"\n{lines}\n"))]);
    own(&text).unwrap_or_else(|m| panic!("{m:#?}")).supplies[0].clone()
}

fn plate(load: &LoadFigures) -> &PlateMotor {
    match &load.motor {
        Some(MotorFigures::Plate(motor)) => motor,
        other => panic!("no motor by nameplate: {other:?}"),
    }
}

fn number<F: AnyFigure>(figure: &Option<F>) -> Option<f64> {
    figure.as_ref().map(|f| f.numbers().0)
}

#[test]
fn the_site_before_the_entry_before_the_class() {
    let site = load("efficiency = 0.8");
    let efficiency = site.nameplate.efficiency.clone().expect("an efficiency");
    assert_eq!((efficiency.get(), efficiency.origin), (0.8, Origin::Nameplate));
    let entry = load("");
    assert_eq!(number(&entry.nameplate.efficiency), Some(0.75));
    let class = entry.nameplate.power_factor.clone().expect("a power factor");
    assert_eq!((class.numbers(), class.origin), ((0.91, 0.8, 0.95), Origin::Typical));
    assert_eq!(class.note.as_deref(), Some("common practice, no source"));
    assert_eq!((entry.based_on.as_deref(), entry.class.as_deref()), (Some("pusher-115"), Some("pusher")));
    // a class of the site's own comes before the entry's
    let other = load("class = \"saw\"");
    assert_eq!((other.class.as_deref(), number(&other.nameplate.efficiency)), (Some("saw"), Some(0.75)));
    assert!(plate(&other).cut_out_speed.is_some() && plate(&entry).cut_out_speed.is_none());
    // the same for a supply
    assert_eq!((supply("").voltage_v.get(), supply("voltage_v = 115").voltage_v.get()), (120.0, 115.0));
}

#[test]
fn what_is_filled_in_stands_where_it_was_asked_for() {
    let load = load("class = \"pusher\"");
    let text = format!("{OWN}class = \"pusher\"\n");
    let at = |f: Option<std::ops::Range<usize>>| text[f.expect("a place")].to_owned();
    assert_eq!(at(load.nameplate.efficiency.and_then(|f| f.at)), "\"pusher-115\"");
    assert_eq!(at(load.nameplate.power_factor.and_then(|f| f.at)), "\"pusher\"");
}

#[test]
fn tables_merge() {
    let torque = |lines: &str| {
        let t = load(lines).load_torque.expect("a load torque");
        [&t.c0, &t.c1, &t.c2, &t.breakaway].map(|f| f.get())
    };
    assert_eq!(torque(""), [0.11, 0.99, 0.33, 0.44]);
    assert_eq!(torque("load_torque = { c0 = 0.5 }"), [0.5, 0.99, 0.33, 0.44]);
    let starter = load("starter = { duration_s = 2 }").starter;
    assert_eq!(
        (starter.kind, number(&starter.duration_s), number(&starter.reduction)),
        (StarterKind::Limiter, Some(2.0), Some(0.5))
    );
    let breaker = |lines: &str| {
        let site = own(&format!("{OWN}{lines}\n")).expect("it is right");
        site.loads[0].circuit.as_ref().and_then(|c| c.breaker.clone()).expect("a breaker")
    };
    assert_eq!(breaker("circuit = { breaker = { rating_a = 16 } }").rating_a.get(), 16.0);
    assert_eq!(breaker("circuit = { breaker = { rating_a = 16 } }").fast.len(), 3);
    // what the entry leaves out of a table that the site does not mention is missing all the same
    let text = OWN.to_string().replace("pusher-115", "pusher-bare");
    let got = own(&text).expect_err("it was accepted");
    assert_eq!(
        (got.len(), got[0].key.as_str(), got[0].line),
        (1, "load[0].circuit.breaker.rating_a", 7),
        "{got:#?}"
    );
    own(&format!("{text}circuit = {{ breaker = {{ rating_a = 16 }} }}\n")).expect("it is right");
}

#[test]
fn lists_replace() {
    assert_eq!(supply("").surge.len(), 3);
    let surge = supply("surge = [ { va = 4000, for_s = 2 } ]").surge;
    assert_eq!((surge.len(), number(&surge[0].for_s)), (1, Some(2.0)));
    // an item without a time does not get the entry's
    assert_eq!(supply("surge = [ { va = 4000 } ]").surge[0].for_s, None);
    // nor does a list below a table of the entry
    let text = format!("{OWN}circuit = {{ breaker = {{ fast = [ {{ multiple = 3, s = 4 }} ] }} }}\n");
    let site = own(&text).expect("it is right");
    let breaker = site.loads[0].circuit.as_ref().and_then(|c| c.breaker.clone()).expect("a breaker");
    assert_eq!(breaker.fast, [CurvePoint { multiple: 3.0, s: 4.0 }]);
}

/// What the site says in one way is not said again by the entry or the class in another.
#[test]
fn rivals_of_what_the_site_says_do_not_count() {
    assert!(matches!(&supply("").continuous, Some(Rating::VoltAmperes(f)) if f.get() == 2000.0));
    assert!(matches!(&supply("continuous_a = 20").continuous, Some(Rating::Amperes(f)) if f.get() == 20.0));
    assert!(matches!(&supply("continuous_w = 1500").continuous, Some(Rating::Watts(f)) if f.get() == 1500.0));
    // 5 % of 120 V over 16.7 A
    assert!((supply("").output_ohm.expect("a resistance").get() - 0.36).abs() < 1e-9);
    assert_eq!(number(&supply("output_ohm = 0.2").output_ohm), Some(0.2));
    // 4 % of 7.2 ohm
    let reactance = supply("output_reactance_pu = 0.04").output_reactance_ohm.expect("a reactance").get();
    assert!((reactance - 0.288).abs() < 1e-9, "{reactance}");

    let starter = load("starter = { largest_a = 20 }").starter;
    assert_eq!((number(&starter.largest_a), number(&starter.reduction)), (Some(20.0), None));
    let starter = load("starter = { use = \"holder\", largest_a = 20 }").starter;
    assert_eq!((number(&starter.largest_a), number(&starter.reduction)), (Some(20.0), None));
    assert_eq!(
        (number(&starter.assist_capacitor_uf), starter.based_on.as_deref()),
        (Some(50.0), Some("holder"))
    );

    let nameplate = load("power_w = 400").nameplate;
    assert_eq!((number(&nameplate.power_w), number(&nameplate.power_hp)), (Some(400.0), None));
    // of entry and class: the entry's
    let motor = load("");
    assert_eq!((number(&plate(&motor).inertia_kgm2), number(&plate(&motor).inertia_s)), (Some(0.002), None));
    let motor = load("inertia_s = 0.4");
    assert_eq!((number(&plate(&motor).inertia_kgm2), number(&plate(&motor).inertia_s)), (None, Some(0.4)));
    assert_eq!(number(&plate(&load("")).locked_rotor_torque), Some(1.5));
    let motor = load("locked_rotor_nm = 3");
    assert_eq!(number(&motor.nameplate.locked_rotor_nm), Some(3.0));
    assert_eq!(number(&plate(&motor).locked_rotor_torque), None);
    assert_eq!(number(&plate(&load("")).breakdown_torque), None);
    let motor = load("breakdown_torque = 3");
    assert_eq!(
        (number(&plate(&motor).breakdown_torque), number(&motor.nameplate.breakdown_nm)),
        (Some(3.0), None)
    );
    let motor = load("rated_slip = 0.02");
    assert_eq!((number(&plate(&motor).rated_slip), number(&motor.nameplate.rated_rpm)), (Some(0.02), None));
}

#[test]
fn unknown_is_filled_with_a_note_that_names_the_range() {
    let text = format!(
        "{OWN}power_factor = \"unknown\"\nload_torque = {{ breakaway = \"unknown\" }}\nlocked_rotor_a = \"unknown\"\n"
    );
    let site = own(&text).expect("it is right");
    assert_eq!(number(&site.loads[0].figures.nameplate.power_factor), Some(0.91));
    let note = |path: &str| {
        let of: Vec<&str> =
            site.notes.iter().filter(|n| n.path == path).map(|n| n.message.as_str()).collect();
        assert_eq!(of.len(), 1, "{path}: {:?}", site.notes);
        of[0].to_owned()
    };
    assert_eq!(
        note("load[0].power_factor"),
        "unknown: taken as 0.91, 0.8 to 0.95, from the catalogue's \"pusher\" (common practice, no source)"
    );
    assert!(note("load[0].load_torque.breakaway").contains("0.44, 0.3 to 0.6"));
    assert!(note("load[0].locked_rotor_a").contains("worked out from the rest where a rule allows it"));
    assert_eq!(site.notes.len(), 3);
    // what is unknown in one way may be known in another
    assert_eq!(
        number(&supply("output_ohm = \"unknown\"").output_ohm).map(|r| (100.0 * r).round()),
        Some(36.0)
    );
    assert_eq!(number(&plate(&load("inertia_s = \"unknown\"")).inertia_kgm2), Some(0.002));
}

#[test]
fn an_entry_or_class_that_is_not_there() {
    let help = |text: &str| own(&marked(text).0).expect_err("it was accepted")[0].help.clone();
    let wrong = |text: &str, key: &str, message: &str| {
        refused(text, &[(key, message)]);
        help(text)
    };
    const SITE: &str = "[[supply]]\nname = \"s\"\nuse = \"shore-30-120\"\n[circuit]\nbreaker = { use = \"ul-489\", rating_a = 20 }\n\
                        [[load]]\nname = \"l\"\nuse = \"roof-ac\"\nclass = \"saw\"\nstarter = { use = \"ramp-plain\" }\n";
    site(SITE);
    for (from, to, key, message, near) in [
        ("\"roof-ac\"", "§\"rof-ac\"", "load[0].use", "the catalogue has no load \"rof-ac\"", "\"roof-ac\""),
        ("\"saw\"", "§\"sawe\"", "load[0].class", "the catalogue has no class \"sawe\"", "\"saw\""),
        (
            "\"ramp-plain\"",
            "§\"ramp-plan\"",
            "load[0].starter.use",
            "no starter \"ramp-plan\"",
            "\"ramp-plain\"",
        ),
    ] {
        let said = wrong(&edit(SITE, &[(from, to)]), key, message);
        assert!(said.starts_with(&format!("did you mean {near}?")), "{said}");
    }
    // what an entry would have brought is then missing too
    let got = own(&edit(SITE, &[("shore-30-120", "shore-30-12")])).expect_err("it was accepted");
    let keys: Vec<&str> = got.iter().map(|m| m.key.as_str()).collect();
    assert!(keys.contains(&"supply[0].use") && keys.contains(&"supply[0].voltage_v"), "{keys:?}");
    assert!(got.iter().any(|m| m.help.contains("\"shore-30-120\"")), "{got:#?}");
    let got = own(&edit(SITE, &[("ul-489", "ul489")])).expect_err("it was accepted");
    assert!(got.iter().any(|m| m.help.contains("\"ul-489\"")), "{got:#?}");
    // nothing near: the list, and how to see it
    assert!(
        wrong(&edit(SITE, &[("\"saw\"", "§\"rooftop\"")]), "load[0].class", "rooftop")
            .contains("washing-machine")
    );
    let said = wrong(&edit(SITE, &[("\"roof-ac\"", "§\"something else\"")]), "load[0].use", "no load");
    assert!(said.contains("`startmargin catalogue`"), "{said}");
}

#[test]
fn a_class_of_the_wrong_phases() {
    let single =
        "[[supply]]\nname = \"s\"\nuse = \"shore-30-120\"\n[[load]]\nname = \"l\"\nrated_load_a = 5\n";
    let three =
        "[[supply]]\nname = \"s\"\nuse = \"shore-32-400\"\n[[load]]\nname = \"l\"\nrated_load_a = 5\n";
    refused(
        &format!("{single}phases = 1\nclass = §\"three-phase-pump\"\n"),
        &[("load[0].class", "this class of motor is three-phase, the load is not")],
    );
    refused(
        &format!("{three}phases = 3\nclass = §\"saw\"\n"),
        &[("load[0].class", "this class of motor is single-phase, the load is three-phase")],
    );
    refused(
        &format!("{three}phases = 3\nclass = \"three-phase-pump\"\nwindings = §\"split-phase\"\n"),
        &[("load[0].windings", "single-phase")],
    );
    // the class brings its phases along, which the supply then has not
    refused(
        &format!("{single}class = §\"three-phase-pump\"\n"),
        &[("load[0].phases", "a three-phase load cannot run on \"s\"")],
    );
    let site = site(&format!("{three}class = \"three-phase-pump\"\n"));
    assert_eq!(site.loads[0].figures.phases, 3);
    // phases that were refused draw no second refusal
    refused(
        &format!("{single}phases = §6\nclass = \"three-phase-pump\"\n"),
        &[("load[0].phases", "6 is out of range")],
    );
}

#[test]
fn a_surge_as_a_multiple() {
    const SITE: &str = "[[supply]]\nname = \"s\"\nkind = \"shore\"\nvoltage_v = 120\nfrequency_hz = 60\n[[load]]\nname = \"l\"\n";
    let with = |lines: &str| edit(SITE, &[("frequency_hz = 60\n", &format!("frequency_hz = 60\n{lines}\n"))]);
    let twice = "surge = [ { times_continuous = { value = 2, low = 1.5, high = 3 }, for_s = 1 }, { times_continuous = 1.2 } ]";
    let supply = |lines: &str| site(&with(lines)).supplies[0].clone();
    let of_va = supply(&format!("continuous_va = 3000\n{twice}"));
    assert!(
        matches!(&of_va.surge[0].rating, Rating::VoltAmperes(f) if f.numbers() == (6000.0, 4500.0, 9000.0)),
        "{:?}",
        of_va.surge
    );
    let of_a = supply(&format!("continuous_a = 20\n{twice}"));
    assert!(matches!(&of_a.surge[1].rating, Rating::Amperes(f) if f.get() == 24.0), "{:?}", of_a.surge);
    // without a continuous rating it says nothing; told once, however many there are
    let lacks = |text: &str| refused(text, &[("supply[0].continuous_va", "continuous_va is missing")]);
    lacks(&with(twice).replace("[[supply]]", "§[[supply]]"));
    lacks(&with(twice).replace("[[supply]]", "§[[supply]]").replace("\"shore\"", "\"inverter\""));
    // a rating that was refused draws no second refusal
    refused(&with(&format!("continuous_va = §0\n{twice}")), &[("supply[0].continuous_va", "out of range")]);
    refused(
        &with("continuous_va = 3000\nsurge = [ { va = 6000, §times_continuous = 2 } ]"),
        &[("supply[0].surge[0].times_continuous", "given twice")],
    );
    refused(
        &with("surge = [ { times_continuous = §0.5 } ]\ncontinuous_va = 3000"),
        &[("supply[0].surge[0].times_continuous", "1 to 100")],
    );
}

#[test]
fn a_breaker_of_the_catalogue() {
    const SITE: &str = "[[supply]]\nname = \"s\"\nuse = \"shore-30-120\"\n[circuit]\nbreaker = { use = \"ul-489\", rating_a = 20 }\n[[load]]\nname = \"l\"\n";
    let breaker = |text: &str| own(text).expect("it is right").circuit.breaker.expect("a breaker");
    let ul = breaker(SITE);
    assert_eq!((ul.standard, ul.rating_a.get()), (BreakerStandard::Ul489, 20.0));
    let b = breaker(&edit(SITE, &[("ul-489", "fast")]));
    assert_eq!((b.standard, b.instantaneous), (BreakerStandard::Iec60898(Curve::B), Some([3.0, 4.0])));
    let d = breaker(&edit(SITE, &[("\"ul-489\"", "\"fast\", curve = \"D\", instantaneous = [10, 12]")]));
    assert_eq!((d.standard, d.instantaneous), (BreakerStandard::Iec60898(Curve::D), Some([10.0, 12.0])));
    refused(
        &edit(SITE, &[("{ use = \"ul-489\", rating_a = 20 }", "§{ use = \"ul-489\" }")]),
        &[("circuit.breaker.rating_a", "rating_a is missing")],
    );
}

#[test]
fn a_load_torque_of_which_only_a_part_is_given() {
    let t = load("load_torque = { c0 = 0.2 }").load_torque.expect("a load torque");
    assert_eq!(([t.c0.origin, t.c2.origin], t.build_up_s.get()), ([Origin::Given, Origin::Typical], 5.0));
    // the rated point is the fitted motor's
    assert_eq!((t.rated_nm, t.rated_rpm), (None, None));
    let built_in = site(
        "[[supply]]\nname = \"s\"\nuse = \"shore-30-120\"\n[[load]]\nname = \"l\"\nuse = \"roof-ac\"\nload_torque = { c0 = 0.2 }\n",
    );
    let load = &built_in.loads[0].figures;
    let t = load.load_torque.as_ref().expect("a load torque");
    assert_eq!((t.c0.get(), t.c1.origin, t.breakaway.origin), (0.2, Origin::Typical, Origin::Typical));
    assert!(load.load_torque_unequal.as_ref().is_some_and(|t| t.c0.origin == Origin::Typical));
    assert!(judge(&built_in.case(0, 0, Pressure::Equalised)).facts.is_some());
}

/// The kind of compressor is the class's unless the site says another, and counts against pressure too.
#[test]
fn what_kind_of_compressor_it_is() {
    use startmargin::motor::CompressorKind::{Reciprocating, Rotary, Scroll};
    let kinds = |entry: &str, lines: &str| {
        let text = format!(
            "[[supply]]\nname = \"s\"\nuse = \"shore-30-120\"\n[[load]]\nname = \"l\"\nuse = \"{entry}\"\n{lines}\n"
        );
        let load = site(&text).loads[0].figures.clone();
        [load.load_torque, load.load_torque_unequal].map(|t| t.and_then(|t| t.pulsation).map(|p| p.kind))
    };
    assert_eq!(kinds("roof-ac", ""), [Some(Rotary); 2]);
    assert_eq!(kinds("roof-ac", "load_torque.pulsation = \"reciprocating\""), [Some(Reciprocating); 2]);
    assert_eq!(kinds("roof-ac", "load_torque_unequal.pulsation = \"scroll\""), [Some(Rotary), Some(Scroll)]);
    assert_eq!(kinds("refrigerator-120", ""), [Some(Reciprocating); 2]);
    assert_eq!(kinds("sump-pump-120", ""), [None; 2]);
    let catalogue = Catalogue::built_in();
    let told = catalogue.described(catalogue.find("roof-ac").unwrap()).unwrap();
    let item = told.items.iter().find(|i| i.key == "load_torque.pulsation").expect("it is listed");
    assert_eq!((item.value.as_str(), item.class.as_deref()), ("\"rotary\"", Some("hermetic-run-capacitor")));
}

#[test]
fn a_load_of_which_nothing_is_known() {
    for (supply, phases, class) in [
        ("shore-30-120", "", "single-phase-general"),
        ("shore-32-400", "phases = 3\n", "three-phase-general"),
        ("shore-32-400", "", "single-phase-general"),
    ] {
        let text = format!("[[supply]]\nname = \"s\"\nuse = \"{supply}\"\n[[load]]\nname = \"l\"\n{phases}");
        let site = site(&text);
        let catalogue = Catalogue::built_in();
        let entry = catalogue.entry(Shelf::Class, class).expect("a class");
        let low =
            |key: &str| items(&catalogue, entry).into_iter().find(|(k, ..)| k == key).map(|(_, low, _)| low);
        let ratio = site.loads[0].figures.nameplate.locked_rotor_ratio.clone().expect("a ratio");
        assert_eq!(Some(ratio.low.get()), low("locked_rotor_ratio"), "{class}");
        assert_eq!(site.notes.len(), 1, "{:?}", site.notes);
        assert_eq!(site.notes[0].path, "load[0]");
        assert!(
            site.notes[0].message.contains("neither `use` nor `class`")
                && site.notes[0].message.contains("widest")
        );
    }
}

/// A motor given outright needs no class, and gets none unless the site asks for one.
#[test]
fn a_motor_given_outright_gets_no_class_unasked() {
    let design = include_str!("design.toml");
    let plain = site(design);
    assert!(plain.notes.is_empty());
    assert_eq!(
        (plain.loads[0].figures.class.as_deref(), &plain.loads[0].figures.nameplate.efficiency),
        (None, &None)
    );
    assert_eq!(plain.loads[0].figures.load_torque_unequal, None);
    let asked = site(&edit(
        design,
        &[("rated_load_a = 12.5\n", "rated_load_a = 12.5\nclass = \"hermetic-scroll\"\n")],
    ));
    let load = &asked.loads[0].figures;
    assert!(load.load_torque_unequal.is_some() && load.nameplate.efficiency.is_some());
    assert!(matches!(load.motor, Some(MotorFigures::TwoWinding(_))));
    // neither a tolerance nor a rule is laid upon what is given with it
    assert_eq!(
        plain.loads[0].figures.nameplate.locked_rotor_a.as_ref().map(AnyFigure::numbers),
        Some((62.0, 62.0, 62.0))
    );
}

/// Keys of an entry with their bounds, numbers only.
fn items(catalogue: &Catalogue, entry: &CatalogueEntry) -> Vec<(String, f64, f64)> {
    let items = catalogue.described(entry).unwrap_or_else(|m| panic!("{}: {m:#?}", entry.file)).items;
    let mut numbers = Vec::new();
    for item in items {
        let Ok(value) = item.value.parse::<f64>() else { continue };
        let [low, high] = item.range.unwrap_or([value; 2]);
        assert!(low <= value && value <= high, "{}: {}", entry.file, item.key);
        if item.origin == Some(Origin::Typical) {
            assert!(!item.source.is_empty(), "{}: {} has no source", entry.file, item.key);
        }
        numbers.push((item.key, low, high));
    }
    numbers
}

#[test]
fn every_built_in_entry_is_right() {
    let catalogue = Catalogue::built_in();
    for (shelf, least) in Shelf::ALL.into_iter().zip([50, 20, 10, 4, 15]) {
        let entries: Vec<_> = catalogue.shelf(shelf).collect();
        assert!(entries.len() >= least, "{shelf:?}: {}", entries.len());
        for entry in entries {
            items(&catalogue, entry);
            let about = catalogue.about(entry);
            assert!(!about.summary.is_empty() && !about.note.is_empty() && !entry.own, "{}", entry.file);
        }
    }
}

#[test]
fn every_class_has_what_a_fit_and_a_start_need() {
    let catalogue = Catalogue::built_in();
    for entry in catalogue.shelf(Shelf::Class) {
        let keys: Vec<String> = items(&catalogue, entry).into_iter().map(|(key, ..)| key).collect();
        for key in [
            "locked_rotor_ratio",
            "locked_rotor_power_factor",
            "power_factor",
            "efficiency",
            "rated_slip",
            "locked_rotor_torque",
            "breakdown_torque",
            "inertia_s",
            "longest_start_s",
            "load_torque.c0",
            "load_torque.breakaway",
        ] {
            assert!(keys.iter().any(|k| k == key), "{} has no {key}", entry.file);
        }
        let words: Vec<String> =
            catalogue.described(entry).expect("it is right").items.into_iter().map(|i| i.key).collect();
        assert!(
            words.iter().any(|k| k == "windings") && words.iter().any(|k| k == "poles"),
            "{}",
            entry.file
        );
    }
}

/// Every entry in a site that gives only what its note asks for.
#[test]
fn every_built_in_entry_makes_a_site() {
    let catalogue = Catalogue::built_in();
    let single = "[[supply]]\nname = \"s\"\nuse = \"shore-30-120\"\n";
    let three = "[[supply]]\nname = \"s\"\nuse = \"shore-32-400\"\n";
    let load = "[[load]]\nname = \"l\"\nuse = \"roof-ac\"\n";
    let three_load = "[[load]]\nname = \"l\"\nuse = \"pump-2k2-400\"\n";
    let sound = |file: &str, text: &str| {
        let site = read_with("site.toml", text, &catalogue).unwrap_or_else(|m| panic!("{file}: {m:#?}"));
        let mut case = site.case(0, 0, Pressure::Equalised);
        case.visit(&mut |key, f| {
            let (value, low, high) = f.numbers();
            assert!(low <= value && value <= high && value.is_finite(), "{file}: {key}");
        });
        site
    };
    for entry in catalogue.shelf(Shelf::Load) {
        let three_phase = items(&catalogue, entry).iter().any(|(key, low, _)| key == "phases" && *low == 3.0)
            || entry.id.contains("400")
            || entry.id.contains("-hp-") && !entry.id.contains("pump");
        let supply = if three_phase { three } else { single };
        let site = sound(&entry.file, &format!("{supply}[[load]]\nname = \"l\"\nuse = \"{}\"\n", entry.id));
        let plate = &site.loads[0].figures.nameplate;
        if site.loads[0].figures.inrush.is_some() {
            // no motor: its size is all the label says
            assert!(
                plate.rated_load_a.is_some() && site.notes.is_empty(),
                "{}: {:?}",
                entry.file,
                site.notes
            );
            continue;
        }
        let (locked, rated) =
            (plate.locked_rotor().expect(&entry.file), plate.rated_load().expect(&entry.file));
        assert!(locked > 1.5 * rated && locked < 15.0 * rated, "{}: {locked} {rated}", entry.file);
        assert!(
            plate.rated_frequency_hz.is_some() && site.notes.is_empty(),
            "{}: {:?}",
            entry.file,
            site.notes
        );
    }
    for entry in catalogue.shelf(Shelf::Supply) {
        let sized = items(&catalogue, entry).iter().any(|(key, ..)| key == "voltage_v");
        let size = if sized { "" } else { "voltage_v = 120\nfrequency_hz = 60\ncontinuous_va = 3000\n" };
        let supply = format!("[[supply]]\nname = \"s\"\nuse = \"{}\"\n{size}", entry.id);
        let site = sound(&entry.file, &format!("{supply}{load}"));
        assert!(site.supplies[0].continuous.is_some(), "{}", entry.file);
    }
    for entry in catalogue.shelf(Shelf::Starter) {
        let both = entry.id.contains("three-phase")
            || ["autotransformer", "star-delta", "drive"].contains(&entry.id.as_str());
        let (supply, load) = if both { (three, three_load) } else { (single, load) };
        sound(&entry.file, &format!("{supply}{load}starter = {{ use = \"{}\" }}\n", entry.id));
    }
    for entry in catalogue.shelf(Shelf::Breaker) {
        let circuit = format!("[circuit]\nbreaker = {{ use = \"{}\", rating_a = 20 }}\n", entry.id);
        sound(&entry.file, &format!("{single}{circuit}{load}"));
    }
    for entry in catalogue.shelf(Shelf::Class) {
        let supply = if entry.id.contains("three-phase") { three } else { single };
        let load = format!("[[load]]\nname = \"l\"\nrated_load_a = 6\nclass = \"{}\"\n", entry.id);
        sound(&entry.file, &format!("{supply}{load}"));
    }
}

/// The file of every key that a fitted motor takes.
#[test]
fn the_cabin_lands() {
    let site = site(super::CABIN);
    let supply = &site.supplies[0];
    assert!((supply.output_ohm.clone().expect("a resistance").get() - 0.192).abs() < 1e-9);
    assert!((supply.output_reactance_ohm.clone().expect("a reactance").get() - 0.096).abs() < 1e-9);
    let cold = &site.loads[0].figures;
    let motor = plate(cold);
    assert_eq!((motor.winding, motor.poles), (startmargin::motor::fit::Winding::CapacitorStartRun, 2));
    assert_eq!(number(&cold.nameplate.branch_selection_a), Some(7.5));
    assert_eq!(number(&cold.nameplate.maximum_continuous_a), Some(10.9));
    assert_eq!(cold.nameplate.locked_rotor_ratio.as_ref().map(AnyFigure::numbers), Some((6.0, 5.0, 7.0)));
    let figures = [
        number(&motor.rated_slip),
        number(&motor.breakdown_torque),
        number(&motor.locked_rotor_torque),
        number(&motor.cut_out_speed),
        number(&motor.inertia_s),
    ];
    assert_eq!(figures, [0.05, 2.4, 2.2, 0.78, 0.06].map(Some));
    assert_eq!(motor.start_capacitor_uf.as_ref().map(AnyFigure::numbers), Some((190.0, 160.0, 220.0)));
    assert_eq!(number(&cold.nameplate.run_capacitor_uf), Some(15.0));
    assert!(cold.nameplate.hermetic && !site.loads[1].figures.nameplate.hermetic);
    assert!(cold.nameplate.cord_and_plug && !site.loads[1].figures.nameplate.cord_and_plug);
    let saw = &site.loads[1].figures;
    assert_eq!(
        (saw.starter.kind, saw.starter.based_on.as_deref()),
        (StarterKind::Assist, Some("start-capacitor-relay"))
    );
    assert_eq!(saw.nameplate.rated_load_a.as_ref().map(|f| f.value), Some(Ampere(14.2)));
}
