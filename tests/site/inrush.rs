//! Loads that are not induction motors: keys land, what cannot be is refused, judged from end to end.

use startmargin::checks::Status;
use startmargin::inrush::given::{InrushKind, Limiter};
use startmargin::report::{Report, json, text};
use startmargin::site::keys::{Kind, Table};

use super::{KITCHEN, edit, mistakes, site};

#[test]
fn the_words_are_those_of_the_kinds() {
    let Kind::Word(words) = Table::at("load[].inrush").unwrap().key("kind").unwrap().kind else {
        panic!("no words")
    };
    assert_eq!(words, InrushKind::ALL.map(|(word, _)| word));
}

#[test]
fn the_kitchen_lands() {
    let site = site(KITCHEN);
    let of = |i: usize| site.loads[i].figures.inrush.clone().unwrap();
    let value = |f: Option<f64>| f.unwrap();
    let lamp = of(0);
    assert_eq!(lamp.kind, InrushKind::Filament);
    assert_eq!(value(lamp.cold_ratio.map(|f| f.value.0)), 14.4);
    assert_eq!(value(lamp.heat_s.map(|f| f.value.0)), 0.06);
    let amps = site.loads[0].figures.nameplate.rated_load_a.as_ref().unwrap().value.0;
    assert!((amps - 105.0 / 230.0).abs() < 1e-12);
    let saw = of(1);
    assert_eq!(value(saw.start_ratio.map(|f| f.value.0)), 7.0);
    assert_eq!(value(saw.start_power_factor.map(|f| f.value.0)), 0.65);
    assert_eq!(value(saw.inertia_s.map(|f| f.value.0)), 0.3);
    assert_eq!(value(of(2).warm_up_s.map(|f| f.value.0)), 90.0);
    let charger = of(3);
    assert_eq!((charger.limiter, charger.hot, charger.sine), (Limiter::Thermistor, true, true));
    let ohms = [charger.series_ohm, charger.choke_ohm, charger.limiter_ohm, charger.limiter_hot_ohm];
    assert_eq!(ohms.map(|f| f.unwrap().value.0), [0.5, 0.1, 5.0, 0.4]);
    assert_eq!(value(charger.capacitor_uf.map(|f| f.value.0)), 470.0);
    let drive = of(4);
    assert_eq!((drive.limiter, drive.hot, drive.sine), (Limiter::Relay, false, false));
    assert_eq!(value(drive.relay_s.map(|f| f.value.0)), 0.8);
    assert_eq!(value(drive.ramp_s.map(|f| f.value.0)), 20.0);
    let oven = of(5);
    let shares = [oven.magnetising_pu, oven.knee, oven.saturated_pu, oven.winding_pu, oven.residual];
    assert_eq!(shares.map(|f| f.unwrap().value.0), [0.3, 1.0, 0.2, 0.07, 0.2]);
}

#[test]
fn what_cannot_be_is_refused() {
    for (from, to, said) in [
        ("heat_s = 0.06", "knee = 1", "needs cold_ratio, heat_s"),
        ("cold_ratio = 14.4", "cold_ratio = 14.4, knee = 1.2", "knee does not belong to kind = \"filament\""),
        ("limiter_hot_ohm = 0.4\n", "", "limiter_hot_ohm"),
        ("relay_s = 0.8\n", "", "relay_s"),
        ("rated_load_a = 6\n", "", "rated_load_a"),
        ("rated_load_a = 6\n", "rated_load_a = 6\nphases = 3\n", "is single-phase"),
    ] {
        let told = mistakes(&edit(KITCHEN, &[(from, to)]));
        assert!(told.iter().any(|m| format!("{} {}", m.message, m.help).contains(said)), "{said}: {told:#?}");
    }
}

#[test]
fn the_kitchen_is_judged() {
    let site = site(KITCHEN);
    let report = Report::new(&site, KITCHEN);
    let told = text(&report, false);
    assert!(
        !told.contains("NaN") && !told.contains("Locked rotor") && !told.contains("soft starter"),
        "{told}"
    );
    let value: serde_json::Value = serde_json::from_str(&json::json(&report).unwrap()).unwrap();
    for (judged, start) in report.starts.iter().zip(value["starts"].as_array().unwrap()) {
        let judged = &judged.start;
        assert!(judged.facts.is_some() && judged.reduction.is_none(), "{}", judged.load);
        assert!(judged.finding("acceleration").is_none() && judged.finding("peak-current").is_some());
        for null in ["locked_rotor_a", "start_duration_s", "settled_rpm", "reaches_speed", "reduction"] {
            assert!(start[null].is_null(), "{null} of {}: {}", judged.load, start[null]);
        }
        assert!(start["largest_peak_a"].as_f64().unwrap() >= start["settled_a"].as_f64().unwrap());
    }
    // the hot thermistor lets a crest through that the supply cuts off at; not at every moment of switching on
    let charger = report.starts.iter().find(|j| j.start.load == "charger").unwrap();
    let peak = charger.start.finding("peak-current").unwrap();
    assert_eq!(peak.status, Status::Uncertain, "{peak:#?}");
    // cold, it passes
    let cold = edit(KITCHEN, &[("hot = true\n", "")]);
    let report = Report::new(&super::site(&cold), &cold);
    let charger = report.starts.iter().find(|j| j.start.load == "charger").unwrap();
    assert_eq!(charger.start.finding("peak-current").unwrap().status, Status::Pass);
    assert!(charger.start.notes.iter().any(|n| n.contains("thermistor")), "{:?}", charger.start.notes);
}

/// A motor starter is no cure for any of them; the reason is the kind's, and nothing else is made of it.
#[test]
fn a_starter_before_them_fails_with_the_reason() {
    let starter = "starter = { kind = \"ramp\", initial_fraction = 0.4, ramp_s = 2 }\n";
    let with = KITCHEN.replace("[[load]]\n", &format!("[[load]]\n{starter}"));
    let report = Report::new(&site(&with), &with);
    let said = ["made for lamps", "brushes", "discharge lamp", "crest", "destroy them", "half waves"];
    assert_eq!(report.starts.len(), said.len());
    for (judged, word) in report.starts.iter().zip(said) {
        let start = &judged.start;
        let finding = start.finding("acceleration").unwrap();
        assert_eq!(finding.status, Status::Fail, "{}", start.load);
        assert!(finding.told.why.contains(word), "{}: {}", start.load, finding.told.why);
        assert!(finding.told.why.starts_with("no soft starter"), "{}", finding.told.why);
        assert!(start.reduction.is_none() && start.facts.is_some());
    }
    let told = text(&report, false);
    assert!(told.contains("take this starter out.") && !told.contains("NaN"), "{told}");
    // a lamp does not get up to speed
    assert!(!told.contains("gets up to speed"), "{told}");
}

/// A supply below what the diodes of a charger drop: no current flows, and the breaker was told to hold "NaN A".
#[test]
fn what_takes_no_current_is_judged() {
    let none = site(
        "[[supply]]\nname = \"supply\"\nkind = \"inverter\"\nvoltage_v = 0.23\nfrequency_hz = 50\ncontinuous_va = 5000\n\
         surge = [{ va = 9000, for_s = 5.0 }]\noutput_ohm = 0.05\n\n\
         [circuit]\nbreaker = { use = \"ul-489\", rating_a = 20 }\n\n[[load]]\nname = \"load\"\nuse = \"tool-charger-230\"\n",
    );
    let start = startmargin::advise::judge(&none.case(0, 0, startmargin::case::Pressure::Equalised));
    for id in ["breaker", "surge"] {
        let told = &start.finding(id).unwrap().told;
        assert_eq!(told.demand, Some(0.0), "{told:?}");
        assert!(told.limit.unwrap().is_finite() && !told.sentence.contains("NaN"), "{told:?}");
    }
}
