//! Extreme but legal sites.

use startmargin::advise::{Start, Verdict};
use startmargin::case::Pressure;
use startmargin::checks::Status;
use startmargin::site;
use startmargin::start::Outcome;

use super::judged;

/// A single-phase site: supply, motor and load as lines, the rest ordinary.
fn single(edits: &[(&str, &str)]) -> String {
    let path = format!("{}/tests/data/compare/anchor.toml", env!("CARGO_MANIFEST_DIR"));
    edit(std::fs::read_to_string(path).unwrap(), edits)
}

fn three(edits: &[(&str, &str)]) -> String {
    let path = format!("{}/tests/data/compare/three-phase-400v-fan.toml", env!("CARGO_MANIFEST_DIR"));
    edit(std::fs::read_to_string(path).unwrap(), edits)
}

/// Sets keys that stand once in the text, or adds them before the first `[load.motor_model]`, or below `[[supply]]`.
fn edit(text: String, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text, |text, (key, value)| {
        let (table, key) = key.split_once('.').unwrap_or(("", key));
        let found =
            text.lines().find(|l| l.split('=').next().is_some_and(|k| k.trim() == key)).map(str::to_owned);
        match (found, table) {
            (Some(line), _) => text.replace(&line, &format!("{key} = {value}")),
            (None, "supply") => text.replacen("[[supply]]\n", &format!("[[supply]]\n{key} = {value}\n"), 1),
            (None, _) => text.replacen("[[load]]\n", &format!("[[load]]\n{key} = {value}\n"), 1),
        }
    })
}

fn start(what: &str, text: &str) -> Start {
    let site = site::read("extreme.toml", text).unwrap_or_else(|e| panic!("{what}: {e:#?}\n{text}"));
    judged(what, &site.case(0, 0, site.loads[0].figures.pressure.unwrap()))
}

fn outcome(start: &Start) -> Outcome {
    start.facts.as_ref().unwrap().outcome
}

/// A 20 W fan on its capacitor: hundreds of ohms, a tenth of an ampere. Starts with everything to spare.
#[test]
fn prop_a_tiny_fan_starts() {
    let z = 400.0;
    let ohm = |x: f64| format!("{:?}", x * z);
    let text = single(&[
        ("locked_rotor_a", "0.155"),
        ("r1_ohm", &ohm(0.624)),
        ("x1_ohm", &ohm(0.601)),
        ("xm_ohm", &ohm(16.249)),
        ("r2_ohm", &ohm(0.76)),
        ("x2_ohm", &ohm(0.628)),
        ("r1a_ohm", &ohm(2.351)),
        ("x1a_ohm", &ohm(1.217)),
        ("run_capacitor_uf", &format!("{:?}", 45.0 / z)),
        ("inertia_kgm2", "4e-6"),
        ("rated_nm", "0.006"),
        ("c1", "0.0"),
        ("c2", "0.9"),
        ("build_up_s", "0.0"),
    ]);
    let start = start("fan", &text);
    assert_eq!(outcome(&start), Outcome::Starts);
    assert!(
        start.findings.iter().filter(|f| f.margins.is_some()).all(|f| f.status == Status::Pass),
        "{:#?}",
        start.findings
    );
    let facts = start.facts.unwrap();
    assert!((facts.largest_rms_a - 62.135 / z).abs() < 1e-3 * 62.135 / z);
}

/// Analytic: a motor and its load scaled in power by z (impedances over z, capacitor, torques, inertia and every rating times
/// z) start alike; the same margins from 20 W to 75 kW.
#[test]
fn analytic_a_scaled_site_has_the_same_margins() {
    let of = |scale: f64| {
        let z = |x: f64| format!("{:?}", x / scale);
        let s = |x: f64| format!("{:?}", x * scale);
        let surge = format!(
            "[{{ a = {:?}, for_s = 0.5 }}, {{ a = {:?}, for_s = 10.0 }}]",
            50.0 * scale,
            37.5 * scale
        );
        // without the breaker, whose ratings end before
        let breaker = "breaker = { standard = \"IEC 60898-1\", curve = \"C\", rating_a = 20.0 }\n";
        let text = single(&[
            ("locked_rotor_a", &s(62.0)),
            ("surge", &surge),
            ("continuous_a", &s(25.0)),
            ("peak_current_a", &s(250.0)),
            ("r1_ohm", &z(0.624)),
            ("x1_ohm", &z(0.601)),
            ("xm_ohm", &z(16.249)),
            ("r2_ohm", &z(0.76)),
            ("x2_ohm", &z(0.628)),
            ("r1a_ohm", &z(2.351)),
            ("x1a_ohm", &z(1.217)),
            ("run_capacitor_uf", &s(45.0)),
            ("assist_capacitor_uf", &s(160.0)),
            ("inertia_kgm2", &s(0.0016)),
            ("rated_nm", &s(3.23)),
        ]);
        assert!(text.contains(breaker));
        start("scaled", &text.replace(breaker, ""))
    };
    let one = of(1.0);
    for scale in [0.02, 64.0] {
        let other = of(scale);
        for id in ["surge", "peak-current", "acceleration"] {
            let margin = |s: &Start| s.finding(id).unwrap().margins.unwrap().modelled;
            assert!(
                (margin(&one) - margin(&other)).abs() < 1e-5,
                "{id} at {scale}: {} {}",
                margin(&one),
                margin(&other)
            );
        }
        let time = |s: &Start| s.facts.as_ref().unwrap().start_duration_s.unwrap();
        assert!((time(&one) / time(&other) - 1.0).abs() < 1e-6);
        let needed = |s: &Start| s.reduction.as_ref().unwrap().plain.needed.unwrap();
        assert!((needed(&one) - needed(&other)).abs() < 2e-4);
    }
}

/// 75 kW at 400 V on a strong supply.
#[test]
fn prop_a_large_three_phase_motor_is_judged() {
    let text = three(&[
        ("locked_rotor_a", "1000.0"),
        ("r1_ohm", "0.04"),
        ("x1_ohm", "0.11"),
        ("xm_ohm", "4.0"),
        ("r2_ohm", "0.03"),
        ("x2_ohm", "0.11"),
        ("inertia_kgm2", "5.0"),
        ("rated_nm", "480.0"),
        ("output_ohm", "0.004"),
        ("output_reactance_ohm", "0.008"),
        ("conductor", "{ resistance_ohm = 0.002 }"),
        ("longest_start_s", "30.0"),
    ]);
    let start = start("75 kW", &text);
    assert_eq!(outcome(&start), Outcome::Starts);
    assert!((700.0..1100.0).contains(&start.facts.unwrap().largest_rms_a));
}

/// Inertia from a millionth to ten thousand: done at once, or given up in time; the current is the same.
#[test]
fn prop_any_inertia_is_judged() {
    let mut last = 0.0;
    for (inertia, expected) in [
        ("1e-6", Outcome::Starts),
        ("1e-4", Outcome::Starts),
        ("0.0016", Outcome::Starts),
        ("0.005", Outcome::Starts),
        ("10.0", Outcome::Stalls),
        ("1e4", Outcome::Stalls),
    ] {
        let start = start(&format!("inertia {inertia}"), &single(&[("inertia_kgm2", inertia)]));
        assert_eq!(outcome(&start), expected, "{inertia}");
        let facts = start.facts.as_ref().unwrap();
        assert!((facts.largest_rms_a / 62.135 - 1.0).abs() < 1e-3, "{inertia}: {}", facts.largest_rms_a);
        if let Some(s) = facts.start_duration_s {
            assert!(s > last, "{inertia}: {s} s");
            last = s;
        } else {
            assert_eq!(start.verdict, Verdict::Fails);
        }
    }
}

/// No load torque at all: nothing bounds the acceleration margin, it starts.
#[test]
fn prop_no_load_torque_is_judged() {
    for (what, text) in [
        ("no torque", single(&[("c0", "0.0"), ("c1", "0.0"), ("breakaway", "0.0"), ("build_up_s", "0.0")])),
        ("build-up of nothing", single(&[("c0", "0.0"), ("c1", "0.0"), ("breakaway", "0.0")])),
        ("three-phase", three(&[("c0", "0.0"), ("c2", "0.0"), ("breakaway", "0.0")])),
    ] {
        let start = start(what, &text);
        assert_eq!(outcome(&start), Outcome::Starts, "{what}");
        assert_eq!(start.finding("acceleration").unwrap().status, Status::Pass, "{what}");
        let margin = start.finding("acceleration").unwrap().margins.unwrap().modelled;
        assert_eq!(margin, f64::INFINITY, "{what}");
    }
}

/// A source of a thousand ohm: nothing moves, the voltage is gone, the current is what the impedance lets through.
#[test]
fn prop_a_huge_source_impedance_is_judged() {
    for ohm in ["1000.0", "1e6"] {
        let text = single(&[("supply.output_ohm", ohm), ("supply.output_reactance_ohm", "10.0")]);
        let start = start("weak", &text);
        assert_eq!(outcome(&start), Outcome::Stalls);
        assert_eq!(start.verdict, Verdict::Fails);
        let facts = start.facts.unwrap();
        assert!(facts.largest_rms_a < 0.2 && facts.lowest_terminal_v < 1.0, "{facts:?}");
        assert_eq!(start.reduction.unwrap().plain.most, None);
    }
}

/// An attempt of ten minutes: one that stalls, one that starts, one that takes minutes.
#[test]
fn prop_a_ten_minute_attempt_is_judged() {
    for (inertia, breakaway, expected) in [
        ("0.0016", "0.12", Outcome::Starts),
        ("0.0016", "0.5", Outcome::Stalls),
        ("0.2", "0.12", Outcome::Starts),
    ] {
        let text = single(&[
            ("longest_start_s", "600.0"),
            ("inertia_kgm2", inertia),
            ("breakaway", breakaway),
            ("build_up_s", "0.0"),
            ("c1", "0.0"),
        ]);
        let start = start(&format!("{inertia} {breakaway}"), &text);
        assert_eq!(outcome(&start), expected, "{inertia} {breakaway}");
    }
}

/// Fold-back supplies: the current is held at the largest surge rating, whatever the motor asks.
#[test]
fn prop_a_supply_that_limits_is_judged() {
    let text = single(&[("supply.on_overload", "\"limit\"")]);
    let start = start("limit", &text);
    assert!(start.facts.unwrap().largest_supply_a <= 50.0 * (1.0 + 1e-6));
}

/// A load whose torque is stated at a snail's speed: so steep that the rotor creeps. Legal to the reader.
#[test]
fn prop_a_torque_stated_at_a_thousandth_of_a_turn_is_judged() {
    let start = start("creeps", &single(&[("rated_rpm", "1e-3"), ("build_up_s", "0.6")]));
    assert_eq!(start.verdict, Verdict::Fails);
}

/// A motor for 60 Hz on a supply of 1 Hz, fitted to a label: it hangs at a crawl, which takes seconds to work out. Legal to the
/// reader.
#[test]
fn prop_a_fitted_motor_on_a_supply_of_one_hertz_is_judged() {
    let text = "[[supply]]\nname = \"inverter\"\nkind = \"inverter\"\nvoltage_v = 115\nfrequency_hz = 1\ncontinuous_va = 5000\n\
                [[load]]\nname = \"load\"\nuse = \"wine-cooler-120\"\nstart_w = 3500\n";
    let site = site::read("extreme.toml", text).unwrap();
    let start = startmargin::advise::judge(&site.case(0, 0, Pressure::Equalised));
    super::sound("one hertz", &start);
    assert_eq!(start.verdict, Verdict::Fails);
}
