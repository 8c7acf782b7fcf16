//! IEC 60947-4-1 overload relays: the tests of each class against the models at its early and late edge. Times at 7.2 times the
//! setting seen in one copy, the rest from memory: a guard against edits.

use startmargin::case::{Case, OverloadDevice, Path, Pressure};
use startmargin::protection::thermal::{Heat, Thermal};
use startmargin::site;

/// A motor of 9.8 A with a relay of a class set to 10 A.
pub fn case(class: &str) -> Case {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/compare/three-phase-3hp.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let relay = format!("overload = {{ standard = \"IEC 60947-4-1\", class = \"{class}\", setting_a = 10 }}");
    let text = text.replacen("[[load]]\n", &format!("[[load]]\n{relay}\n"), 1);
    site::read("relay", &text).unwrap().case(0, 0, Pressure::Equalised)
}

fn relay(class: &str) -> OverloadDevice {
    Path::new(&case(class)).unwrap().overload.relay.unwrap()
}

/// Least and most time over the edges; infinite where it holds.
fn over(device: &OverloadDevice, time: impl Fn(&Thermal) -> Option<f64>) -> [f64; 2] {
    let times = device.corners.iter().map(|c| time(c).unwrap_or(f64::INFINITY));
    times.fold([f64::INFINITY, 0.0], |[low, high], t| [low.min(t), high.max(t)])
}

#[test]
fn worked_every_test_of_every_class() {
    let tests = [
        ("10A", 2.0, 10.0, 120.0),
        ("10", 4.0, 10.0, 240.0),
        ("20", 6.0, 20.0, 480.0),
        ("30", 9.0, 30.0, 720.0),
    ];
    for (class, least, most, warm_s) in tests {
        let device = relay(class);
        let [early, late] = over(&device, |c| c.trips_in(Heat::default(), 72.0));
        assert!((early / least - 1.0).abs() < 1e-9, "{class}: {early}");
        assert!(late <= most * (1.0 + 1e-9) && late > 0.7 * most, "{class}: {late}");
        let [early, _] = over(&device, |c| c.trips_in(Heat::default(), 10.5));
        assert!(early.is_infinite(), "{class}");
        let [_, late] = over(&device, |c| c.trips_in(c.steady(10.5), 12.01));
        assert!(late < 7200.0, "{class}: {late}");
        let [_, late] = over(&device, |c| c.trips_in(c.steady(10.0), 15.0));
        assert!(late <= warm_s * (1.0 + 1e-9), "{class}: {late}");
        let promised = device.promised.unwrap();
        assert_eq!([10.5, 10.51, 72.0, 72.1].map(|a| promised.time(a)), [f64::INFINITY, least, least, 0.0]);
    }
}
