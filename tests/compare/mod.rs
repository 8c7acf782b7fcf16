//! Against an independent implementation: tests/data/compare/reference.py (scipy), written from the design alone. Its
//! `expected.json` holds 38 sites with their figures, margins, statuses and reduction windows.

use std::path::PathBuf;

use serde_json::Value;
use startmargin::advise::{Start, judge};
use startmargin::checks::Status;
use startmargin::site;

use crate::tolerances::{COMPARE, COMPARE_R};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/compare")
}

fn start_of(name: &str) -> Start {
    let text = std::fs::read_to_string(folder().join(format!("{name}.toml"))).unwrap();
    let site = site::read(name, &text).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
    let pressure = site.loads[0].figures.pressure.unwrap();
    judge(&site.case(0, 0, pressure))
}

struct Differences(Vec<String>);

impl Differences {
    fn number(&mut self, what: &str, ours: Option<f64>, theirs: &Value, absolute: f64, relative: f64) {
        let ours = ours.filter(|x| x.is_finite());
        let close = match (ours, theirs.as_f64()) {
            (None, None) => true,
            (Some(a), Some(b)) => (a - b).abs() <= absolute + relative * b.abs(),
            _ => false,
        };
        if !close {
            self.0.push(format!("{what}: ours {ours:?}, theirs {theirs}"));
        }
    }
}

fn status_word(status: Status) -> &'static str {
    match status {
        Status::Pass => "pass",
        Status::Uncertain => "uncertain",
        Status::Fail => "fail",
    }
}

fn compare(name: &str, expected: &Value, out: &mut Differences) {
    let start = start_of(name);
    let facts = start.facts.as_ref().unwrap();
    let mut number = |key: &str, ours: Option<f64>| {
        out.number(&format!("{name} {key}"), ours, &expected[key], 1e-6, COMPARE);
    };
    number("start_duration_s", facts.start_duration_s);
    number("settling_time_s", facts.settling_time_s);
    number("largest_rms_a", Some(facts.largest_rms_a));
    number("settled_a", facts.settled_a);
    number("lowest_terminal_v", Some(facts.lowest_terminal_v));
    for (id, check) in expected["checks"].as_object().unwrap() {
        let Some(finding) = start.finding(id) else {
            out.0.push(format!("{name} {id}: no finding"));
            continue;
        };
        let reached = expected["reaches_speed"] == true;
        let margins = finding.margins.unwrap();
        // of a start that fails, theirs counts only the speeds it reached
        let key = |k: &str| match (id.as_str(), reached) {
            ("acceleration", false) => check["margin_with_speeds_not_reached"].clone(),
            _ => check[k].clone(),
        };
        let too_slow = id == "acceleration" && !reached && key("margin").as_f64().is_none_or(|m| m > 0.0);
        if !too_slow {
            let absolute = 2.0 * COMPARE;
            out.number(&format!("{name} {id}"), Some(margins.modelled), &key("margin"), absolute, COMPARE);
            let guaranteed = key("margin_guaranteed");
            out.number(
                &format!("{name} {id} to fail"),
                Some(margins.to_fail),
                &key("margin_to_fail"),
                absolute,
                COMPARE,
            );
            out.number(
                &format!("{name} {id} guaranteed"),
                Some(margins.guaranteed),
                &guaranteed,
                absolute,
                COMPARE,
            );
        } else if margins.modelled >= 0.0 {
            out.0.push(format!("{name} {id}: fails with margin {}", margins.modelled));
        }
        if status_word(finding.at_value) != check["status"] {
            out.0.push(format!("{name} {id}: ours {:?}, theirs {}", finding.at_value, check["status"]));
        }
    }
    let reduction = start.reduction.as_ref().unwrap();
    window(name, &reduction.plain, &expected["reduction"], out);
    let with = &expected["reduction"]["with_capacitor"];
    if with.is_object() {
        window(&format!("{name} with capacitor"), reduction.with_capacitor.as_ref().unwrap(), with, out);
    }
}

fn window(name: &str, ours: &startmargin::advise::Window, theirs: &Value, out: &mut Differences) {
    out.number(&format!("{name} needed"), ours.needed, &theirs["needed"], COMPARE_R, 0.0);
    out.number(&format!("{name} most"), ours.most, &theirs["most"], COMPARE_R, 0.0);
    let passes = theirs["passes"].as_array().unwrap();
    if passes.len() != ours.passes.len() {
        out.0.push(format!("{name} passes: ours {:?}, theirs {passes:?}", ours.passes));
        return;
    }
    for (a, b) in ours.passes.iter().zip(passes) {
        for end in 0..2 {
            out.number(&format!("{name} passes"), Some(a[end]), &b[end], COMPARE_R, 0.0);
        }
    }
}

#[test]
fn compare_all_sites_with_the_independent_implementation() {
    let text = std::fs::read_to_string(folder().join("expected.json")).unwrap();
    let expected: Value = serde_json::from_str(&text).unwrap();
    let cases = expected["cases"].as_object().unwrap();
    assert!(cases.len() >= 38);
    let mut differences = Differences(Vec::new());
    for (name, case) in cases {
        compare(name, case, &mut differences);
    }
    assert!(differences.0.is_empty(), "{} differences:\n{}", differences.0.len(), differences.0.join("\n"));
}

/// The figures the main job was specified with: the motor on a stiff 115 V supply of 25 A, 50 A for 0.5 s, 37.5 A for 10 s,
/// behind a C20.
#[test]
fn compare_the_anchor() {
    let start = start_of("anchor");
    let facts = start.facts.as_ref().unwrap();
    let near = |ours: f64, theirs: f64| (ours - theirs).abs() <= 0.01 * theirs.abs();
    assert!(near(facts.start_duration_s.unwrap(), 0.223));
    assert!(near(facts.settling_time_s.unwrap(), 0.230));
    assert!(near(facts.largest_rms_a, 62.14));
    assert!(near(facts.settled_a.unwrap(), 9.73));
    assert!(near(start.finding("surge").unwrap().margins.unwrap().modelled, -0.195));
    let breaker = start.finding("breaker").unwrap().margins.unwrap();
    assert!(
        near(breaker.modelled, 0.34)
            && (breaker.guaranteed + 0.18).abs() < 0.01
            && near(breaker.to_fail, 1.98)
    );
    let reduction = start.reduction.as_ref().unwrap();
    let [a, b] = reduction.plain.passes[0];
    assert!((a - 0.20).abs() <= 0.01 && (b - 0.26).abs() <= 0.01);
    assert!((reduction.plain.most.unwrap() - 0.28).abs() <= 0.01);
    let with = reduction.with_capacitor.as_ref().unwrap();
    let [a, b] = with.passes[0];
    assert!((a - 0.20).abs() <= 0.01 && (b - 0.71).abs() <= 0.01);
    assert!((with.most.unwrap() - 0.71).abs() <= 0.01);
}
