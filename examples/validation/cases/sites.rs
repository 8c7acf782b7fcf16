//! Whole sites against an independent implementation: tests/data/compare/reference.py (scipy), written from
//! the design alone. Its `expected.json` holds 38 sites with their figures, margins, statuses and reduction
//! windows.

use serde_json::Value;
use startmargin::advise::{Start, Window, judge};
use startmargin::checks::Status;
use startmargin::site;
use startmargin::start::Level;

use super::{Allowed, Evidence, Row, Sheet};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/compare");
const CASE: &str = "38 sites";

/// Relative: both integrate to 1e-6 or better, what is left is the straight line between rows of a trace.
const COMPARE: f64 = 1e-3;

/// The checks of the first peak.
const PEAKS: [&str; 2] = ["breaker-instantaneous", "peak-current"];

/// Judges a site of the folder.
pub fn start_of(name: &str) -> Option<Start> {
    let text = std::fs::read_to_string(format!("{FOLDER}/{name}.toml")).ok()?;
    let site = site::read(name, &text).ok()?;
    let pressure = site.loads.first()?.figures.pressure?;
    let mut case = site.case(0, 0, pressure);
    // the other implementation has the envelope alone
    case.level = Level::Envelope;
    Some(judge(&case))
}

fn status_word(status: Status) -> &'static str {
    match status {
        Status::Pass => "pass",
        Status::Uncertain => "uncertain",
        Status::Fail => "fail",
    }
}

/// A figure that either side may lack: where only one has it, it is off.
fn number(out: &mut Sheet, what: &str, ours: Option<f64>, theirs: &Value, allowed: fn(f64) -> Allowed) {
    match (ours.filter(|x| x.is_finite()), theirs.as_f64()) {
        (None, None) => {}
        (ours, theirs) => {
            let (ours, theirs) = (ours.unwrap_or(f64::NAN), theirs.unwrap_or(f64::NAN));
            out.add(what, theirs, ours, allowed(theirs));
        }
    }
}

fn part(_: f64) -> Allowed {
    Allowed::Part(COMPARE)
}

fn margin(theirs: f64) -> Allowed {
    Allowed::Size(2.0 * COMPARE + COMPARE * theirs.abs())
}

fn share(_: f64) -> Allowed {
    Allowed::Size(COMPARE)
}

fn checks(start: &Start, expected: &Value, out: &mut Sheet) {
    let Some(list) = expected["checks"].as_object() else { return };
    let mut agreeing = 0;
    for (id, check) in list {
        let Some(finding) = start.finding(id) else { continue };
        agreeing += usize::from(status_word(finding.at_value) == check["status"]);
        let Some(margins) = finding.margins else { continue };
        let reached = expected["reaches_speed"] == true;
        // of a start that fails, theirs counts only the speeds it reached
        let key = |key: &str| match (id.as_str(), reached) {
            ("acceleration", false) => &check["margin_with_speeds_not_reached"],
            _ => &check[key],
        };
        let modelled = key("margin");
        let too_slow = id == "acceleration" && !reached && modelled.as_f64().is_none_or(|m| m > 0.0);
        if too_slow {
            // theirs has no margin for it; ours must be below zero
            out.add("margin of a start that is too slow", 0.0, margins.modelled, Allowed::AtMost);
            continue;
        }
        number(out, "margins modelled, all checks", Some(margins.modelled), modelled, margin);
        number(
            out,
            "margins to certain failure, all checks",
            Some(margins.to_fail),
            key("margin_to_fail"),
            margin,
        );
        let guaranteed = key("margin_guaranteed");
        number(out, "margins guaranteed, all checks", Some(margins.guaranteed), guaranteed, margin);
    }
    out.add("statuses that agree, of a site", list.len() as f64, agreeing as f64, Allowed::Size(0.0));
}

fn window(out: &mut Sheet, ours: Option<&Window>, theirs: &Value) {
    let needed = "reduction needed, share";
    number(out, needed, ours.and_then(|w| w.needed), &theirs["needed"], share);
    number(
        out,
        "largest reduction that still starts, share",
        ours.and_then(|w| w.most),
        &theirs["most"],
        share,
    );
    let passes = theirs["passes"].as_array().map_or(&[][..], Vec::as_slice);
    let own = ours.map_or(&[][..], |w| w.passes.as_slice());
    out.add("reduction windows of a site", passes.len() as f64, own.len() as f64, Allowed::Size(0.0));
    for (a, b) in own.iter().zip(passes) {
        for end in 0..2 {
            number(out, "ends of reduction windows, share", Some(a[end]), &b[end], share);
        }
    }
}

fn one(name: &str, expected: &Value, out: &mut Sheet) {
    out.case(name).together(CASE);
    let start = start_of(name);
    let Some((start, facts)) = start.as_ref().and_then(|s| Some((s, s.facts.as_ref()?))) else {
        out.add("judged at all", 1.0, f64::NAN, Allowed::Size(0.0));
        return;
    };
    for (key, what, ours) in [
        ("start_duration_s", "start duration, s", facts.start_duration_s),
        ("settling_time_s", "settling time, s", facts.settling_time_s),
        ("largest_rms_a", "largest line current, A", Some(facts.largest_rms_a)),
        ("settled_a", "settled line current, A", facts.settled_a),
        ("lowest_terminal_v", "lowest terminal voltage, V", Some(facts.lowest_terminal_v)),
    ] {
        number(out, what, ours, &expected[key], part);
    }
    checks(start, expected, out);
    // the other implementation knows no first peak: where that decides the windows there is nothing to compare
    if PEAKS.iter().any(|id| start.finding(id).is_some_and(|f| f.at_value != Status::Pass)) {
        return;
    }
    let reduction = start.reduction.as_ref();
    window(out, reduction.map(|r| &r.plain), &expected["reduction"]);
    let with = &expected["reduction"]["with_capacitor"];
    if with.is_object() {
        window(out, reduction.and_then(|r| r.with_capacitor.as_ref()), with);
    }
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let text = std::fs::read_to_string(format!("{FOLDER}/expected.json")).unwrap_or_default();
    let expected: Value = serde_json::from_str(&text).unwrap_or_default();
    let mut out = Sheet::new(
        Evidence::IndependentProgram,
        "numpy and scipy, written from the design alone (tests/data/compare/reference.py)",
        "both integrate to 1e-6 or better; what is left is the straight line between rows of a trace",
    );
    for (name, case) in expected["cases"].as_object().into_iter().flatten() {
        one(name, case, &mut out);
    }
    out.rows
}
