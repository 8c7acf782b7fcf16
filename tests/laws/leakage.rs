//! Leakage that saturates, from site to start.

use startmargin::advise::{Start, judge};
use startmargin::case::{Case, Path, Pressure};
use startmargin::checks::Status;
use startmargin::report::MotorSheet;
use startmargin::site;

const OUTRIGHT: &str = include_str!("../data/compare/three-phase-400v-fan.toml");

/// The site with leakage that saturates from a current on, at a supply of some voltage.
fn outright(amps: Option<f64>, volts: f64) -> Case {
    let key = amps.map_or(String::new(), |a| format!("leakage_saturation_a = {a}\n"));
    let text = OUTRIGHT.replace("x2_ohm = 0.957\n", &format!("x2_ohm = 0.957\n{key}"));
    let text = text.replacen("voltage_v = 400.0", &format!("voltage_v = {volts}"), 1);
    site::read("site", &text).unwrap().case(0, 0, Pressure::Equalised)
}

fn says_so(start: &Start) -> bool {
    start.notes.iter().any(|n| n.contains("leakage falls with the current"))
}

#[test]
fn prop_the_sooner_leakage_saturates_the_larger_the_start_current() {
    let plain = judge(&outright(None, 400.0));
    assert!(!says_so(&plain));
    let mut last = plain.facts.as_ref().unwrap().largest_rms_a;
    // far above the locked-rotor current nothing changes but the note
    let far = judge(&outright(Some(500.0), 400.0));
    assert!(says_so(&far) && (far.facts.as_ref().unwrap().largest_rms_a / last - 1.0).abs() < 1e-9);
    for amps in [80.0, 60.0, 40.0, 20.0] {
        let largest = judge(&outright(Some(amps), 400.0)).facts.unwrap().largest_rms_a;
        assert!(largest > last, "{amps} A: {largest} after {last}");
        last = largest;
    }
}

/// The locked-rotor current is that at the motor's rated voltage whatever it is fed with; below it the true current falls by
/// more than the voltage.
#[test]
fn analytic_locked_rotor_current_is_that_at_rated_voltage() {
    let [full, low] = [400.0, 360.0].map(|v| Path::new(&outright(Some(40.0), v)).unwrap());
    assert_eq!(full.circuit_locked_rotor_a, low.circuit_locked_rotor_a);
    let stalled = |path: &Path| {
        path.machine().at(0.0, startmargin::motor::Stage::START).y.norm() * path.open_v / 3f64.sqrt()
    };
    assert!((stalled(&full) - full.circuit_locked_rotor_a).abs() < 1e-9);
    assert!(stalled(&low) < 0.9 * stalled(&full));
}

/// A motor of 11 kW by its sheet (typical, from memory): the report shows both cages and the saturation, nothing contradicts.
#[test]
fn prop_a_sheet_shows_its_cages() {
    let text = r#"
[[supply]]
name = "grid"
kind = "shore"
voltage_v = 400
frequency_hz = 50
phases = 3

[circuit]
breaker = { standard = "IEC 60898-1", curve = "D", rating_a = 50 }

[[load]]
name = "pump"
class = "three-phase-general"
rated_voltage_v = 400
rated_frequency_hz = 50
phases = 3
power_w = 11000
rated_load_a = 20.93
power_factor = 0.83
rated_rpm = 1470
locked_rotor_a = 157.0
locked_rotor_torque = { value = 2.5, origin = "nameplate" }
breakdown_torque = { value = 3.1, origin = "nameplate" }
"#;
    let site = site::read("site", text).unwrap_or_else(|e| panic!("{e:#?}"));
    let case = site.case(0, 0, Pressure::Equalised);
    let sheet = MotorSheet::new(&case).unwrap().text();
    for key in ["r3_ohm", "x3_ohm", "leakage_saturation_a"] {
        assert!(sheet.contains(key), "{key} is not in\n{sheet}");
    }
    let start = judge(&case);
    assert!(says_so(&start));
    let speed = start.finding("acceleration").unwrap();
    assert_eq!(speed.status, Status::Pass, "{speed:?}");
}
