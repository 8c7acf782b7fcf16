//! Fault clearing: what a site has to say for it, and what is made of that.

use super::site;
use startmargin::advise::judge;
use startmargin::case::{Path, Pressure};
use startmargin::checks::{Finding, Status};

/// A drill press on a supply of these lines, behind a C16 and 20 m of 2.5 mm2.
fn text(supply: &str, rest: &str) -> String {
    format!(
        r#"standards = "iec"
[[supply]]
name = "supply"
voltage_v = 230
frequency_hz = 50
{supply}
[circuit]
breaker = {{ standard = "IEC 60898-1", curve = "C", rating_a = 16 }}
conductor = {{ area_mm2 = 2.5, length_m = 20 }}
[[load]]
name = "air conditioner"
class = "hermetic-run-capacitor"
rated_voltage_v = 230
rated_load_a = 4.3
locked_rotor_a = 21
pressure = "equalised"
{rest}"#
    )
}

fn finding(supply: &str) -> Option<Finding> {
    let site = site(&text(supply, ""));
    judge(&site.case(0, 0, Pressure::Equalised)).finding("disconnection").cloned()
}

/// 0.95 x 230 V over 230 / 1000 ohm and 40 m of 2.5 mm2 at 70 C: 7.98 ohm/km x (1 + 0.00393 x 50) x 0.04 km = 0.3819 ohm, and a
/// reactance that adds less than 1e-4 ohm in square: 218.5 / 0.6120 = 357 A. A C16 needs 160 A.
#[test]
fn worked_a_fault_on_shore_power() {
    let found = finding("kind = \"shore\"\nfault_a = 1000").unwrap();
    assert_eq!((found.status, found.told.demand), (Status::Pass, Some(160.0)), "{found:?}");
    assert!((found.told.limit.unwrap() - 357.0).abs() < 1.0, "{:?}", found.told);
    assert!((found.margins.unwrap().modelled - (357.0 / 160.0 - 1.0)).abs() < 0.01);
    assert!(found.margins.unwrap().to_fail.is_infinite());
}

/// 1.2 ohm of source: 218.5 / (1.2 + 0.3819) = 138 A, less than 160 A: open, and no failure.
#[test]
fn worked_a_soft_supply_leaves_it_open() {
    let found = finding("kind = \"shore\"\noutput_ohm = 1.2\noutput_reactance_ohm = 0").unwrap();
    assert_eq!((found.status, found.missing.len()), (Status::Uncertain, 0));
    assert!((found.told.limit.unwrap() - 138.1).abs() < 0.3, "{:?}", found.told);
    assert!(found.told.sentence.ends_with("too little"), "{}", found.told.sentence);
}

#[test]
fn what_is_not_stated_is_named() {
    let found = finding("kind = \"shore\"").unwrap();
    assert_eq!((found.status, found.missing.as_slice()), (Status::Uncertain, &["supply.fault_a"][..]));
    let inverter = "kind = \"inverter\"\ncontinuous_a = 20\nsurge = [{ a = 400, for_s = 2 }]";
    // as inverters usually do, and it says that this is custom
    let found = finding(inverter).unwrap();
    assert_eq!((found.status, found.missing.len()), (Status::Pass, 0), "{found:?}");
    assert!(found.told.why.contains("not stated of this one"), "{}", found.told.why);
    assert!(found.told.rule.contains("common practice, no source"), "{}", found.told.rule);
    let found = finding(&format!("{inverter}\nshuts_off_on_fault = false")).unwrap();
    assert_eq!((found.status, found.missing.as_slice()), (Status::Uncertain, &["supply.fault_a"][..]));
    let generator = "kind = \"generator\"\ncontinuous_a = 20";
    let found = finding(generator).unwrap();
    assert_eq!((found.told.limit, found.missing.as_slice()), (Some(60.0), &["supply.fault_a"][..]));
}

#[test]
fn what_is_stated_counts() {
    let inverter = "kind = \"inverter\"\ncontinuous_a = 20\nsurge = [{ a = 40, for_s = 2 }]";
    let shuts = finding(&format!("{inverter}\nshuts_off_on_fault = true")).unwrap();
    assert_eq!(shuts.status, Status::Pass);
    assert!(shuts.margins.unwrap().modelled.is_infinite());
    assert_eq!(finding(&format!("{inverter}\nfault_a = 170")).unwrap().status, Status::Pass);
    // a limit by control is not raised by a short cable
    assert_eq!(finding(&format!("{inverter}\nfault_a = 150")).unwrap().status, Status::Uncertain);
}

/// Nothing is said of a cable that is not there, and a breaker that is not there clears nothing.
#[test]
fn without_breaker_or_cable_it_is_not_checked() {
    let text = text("kind = \"shore\"\nfault_a = 1000", "");
    for line in ["breaker = ", "conductor = "] {
        let without: String =
            text.lines().filter(|l| !l.starts_with(line)).map(|l| format!("{l}\n")).collect();
        let start = judge(&site(&without).case(0, 0, Pressure::Equalised));
        assert!(start.not_checked.contains(&"disconnection"), "{line}");
    }
}

/// A 240 V supply of North America is 120 V to earth, through half of its impedance; a load of three phases has a way back.
#[test]
fn voltage_to_earth_and_the_way_back() {
    let american = text("kind = \"shore\"\noutput_ohm = 0.2\noutput_reactance_ohm = 0", "")
        .replace("\"iec\"", "\"north-america\"")
        .replace("voltage_v = 230", "voltage_v = 240")
        .replace("{ area_mm2 = 2.5, length_m = 20 }", "{ resistance_ohm = 0.3 }");
    let path = Path::new(&site(&american).case(0, 0, Pressure::Equalised)).unwrap();
    let fault = path.fault.unwrap();
    assert!((fault.to_earth_v - 120.0).abs() < 1e-9);
    assert!((fault.amps - 0.95 * 120.0 / 0.4).abs() < 1e-6, "{fault:?}");
    let workshop = super::WORKSHOP.replace("kind = \"inverter\"", "kind = \"shore\"");
    let case = site(&workshop).case(0, 0, Pressure::Equalised);
    let ohm = |f: &Option<startmargin::figure::Figure<startmargin::quantity::Ohm>>| {
        f.as_ref().map_or(0.0, |f| f.high.0)
    };
    if let (Some(cable), Ok(path)) = (&case.circuit.conductor, Path::new(&case)) {
        let least = 2.0 * ohm(&cable.resistance_ohm);
        let fault = path.fault.unwrap();
        assert!(fault.amps <= 0.95 * fault.to_earth_v / least, "{fault:?}");
    }
}

/// A restart is judged warm: no reservation, and less than from cold.
#[test]
fn regress_a_warm_breaker_is_judged() {
    let site = site(&text("kind = \"shore\"\nfault_a = 1000", "").replace("pressure = \"equalised\"\n", ""));
    let of = |pressure| judge(&site.case(0, 0, pressure)).finding("breaker").cloned().unwrap();
    let warm = of(Pressure::Unequal);
    assert_eq!(warm.reservation, None);
    assert!(warm.told.rule.contains("warm from"), "{}", warm.told.rule);
    assert!(of(Pressure::Equalised).told.rule.contains("cold"));
}
