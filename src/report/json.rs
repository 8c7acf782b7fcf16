//! The report as JSON, format 1 (documented in docs/json.md). Numbers have six significant digits; a number is null where
//! it does not exist or nothing bounds it (`unbounded`).

use serde::Serialize;

use super::{CAUTIONS, Report};
use crate::advise::{Facts, Start, Verdict, Window};
use crate::checks::{Finding, Status};
use crate::start::AfterDip;

#[derive(Serialize)]
struct Root<'a> {
    format: u32,
    tool: Tool,
    title: &'a str,
    standards: &'a str,
    input_digest: &'a str,
    level: &'static str,
    verdict: Verdict,
    not_checked: Vec<&'static str>,
    starts: Vec<JsonStart<'a>>,
    figures: Vec<JsonFigure<'a>>,
    notes: &'a [String],
    cautions: [&'static str; 5],
}

#[derive(Serialize)]
struct Tool {
    name: &'static str,
    version: &'static str,
}

#[derive(Serialize)]
struct JsonStart<'a> {
    load: &'a str,
    supply: &'a str,
    starter: &'a str,
    pressure: &'static str,
    verdict: Verdict,
    leaning: Verdict,
    not_checked: &'a [&'static str],
    locked_rotor_a: Option<f64>,
    locked_rotor_at_supply_a: Option<f64>,
    largest_rms_a: Option<f64>,
    largest_supply_a: Option<f64>,
    largest_peak_a: Option<f64>,
    largest_peak_closing_deg: Option<f64>,
    start_duration_s: Option<f64>,
    settling_time_s: Option<f64>,
    settled_a: Option<f64>,
    settled_rpm: Option<f64>,
    lowest_terminal_v: Option<f64>,
    pull_out_ratio: Option<f64>,
    reaches_speed: Option<bool>,
    after_dip: Option<&'static str>,
    checks: Vec<JsonCheck<'a>>,
    reduction: Option<JsonReduction>,
    no_soft_starter: Option<&'a str>,
    check_first: Vec<&'a str>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct JsonCheck<'a> {
    id: &'static str,
    status: Status,
    margin: Option<f64>,
    margin_guaranteed: Option<f64>,
    margin_to_fail: Option<f64>,
    unbounded: bool,
    demand: Option<f64>,
    limit: Option<f64>,
    unit: &'static str,
    at_s: Option<f64>,
    rule: &'a str,
    why: String,
    missing: Vec<String>,
    depends_on: &'a [String],
}

#[derive(Serialize)]
struct JsonWindow {
    passes: Vec<[f64; 2]>,
    passes_over_ranges: Vec<[f64; 2]>,
    needed: Option<f64>,
    most: Option<f64>,
    most_low: Option<f64>,
    most_chopped: Option<f64>,
}

#[derive(Serialize)]
struct JsonReduction {
    #[serde(flatten)]
    plain: JsonWindow,
    with_capacitor: Option<JsonWindow>,
    not_counted: Vec<&'static str>,
    capacitor_uf: Option<f64>,
    capacitor_cut_out_speed: Option<f64>,
    capacitor_origin: Option<crate::figure::Origin>,
}

#[derive(Serialize)]
struct JsonFigure<'a> {
    of: &'a str,
    name: &'a str,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    unit: &'static str,
    origin: crate::figure::Origin,
    note: String,
}

/// The report as JSON text, ending in a newline.
///
/// # Errors
/// Only if the serialiser fails, which its own types rule out.
pub fn json(report: &Report) -> Result<String, serde_json::Error> {
    let root = Root {
        format: 1,
        tool: Tool { name: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION") },
        title: &report.title,
        standards: report.standards,
        input_digest: &report.digest,
        level: report.level.word(),
        verdict: report.verdict,
        not_checked: report.not_checked(),
        starts: report.starts.iter().map(|j| start(&j.start, j.load)).collect(),
        figures: report.figures.iter().map(figure).collect(),
        notes: &report.notes,
        cautions: CAUTIONS,
    };
    Ok(serde_json::to_string_pretty(&root)? + "\n")
}

/// Six significant digits; `None` for what is no number.
pub fn rounded(x: f64) -> Option<f64> {
    if !x.is_finite() {
        return None;
    }
    if x == 0.0 {
        return Some(0.0);
    }
    format!("{x:.5e}").parse().ok()
}

fn figure(f: &super::ListedFigure) -> JsonFigure<'_> {
    let range = if f.low < f.high { "taken over its range" } else { "" };
    let note = [f.note.as_str(), range].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join("; ");
    JsonFigure {
        of: &f.of,
        name: &f.name,
        value: rounded(f.value),
        low: rounded(f.low),
        high: rounded(f.high),
        unit: f.unit,
        origin: f.origin,
        note,
    }
}

fn start(s: &Start, load: usize) -> JsonStart<'_> {
    let number = |of: fn(&Facts) -> f64| s.facts.as_ref().and_then(|f| rounded(of(f)));
    let optional = |of: fn(&Facts) -> Option<f64>| s.facts.as_ref().and_then(of).and_then(rounded);
    JsonStart {
        load: &s.load,
        supply: &s.supply,
        starter: &s.starter,
        pressure: s.pressure.word(),
        verdict: s.verdict,
        leaning: s.leaning,
        not_checked: &s.not_checked,
        locked_rotor_a: number(|f| f.locked_rotor_a),
        locked_rotor_at_supply_a: number(|f| f.locked_rotor_at_supply_a),
        largest_rms_a: number(|f| f.largest_rms_a),
        largest_supply_a: number(|f| f.largest_supply_a),
        largest_peak_a: number(|f| f.largest_peak_a),
        largest_peak_closing_deg: optional(|f| f.largest_peak_closing_deg),
        start_duration_s: optional(|f| f.start_duration_s),
        settling_time_s: optional(|f| f.settling_time_s),
        settled_a: optional(|f| f.settled_a),
        settled_rpm: optional(|f| f.settled_rpm),
        lowest_terminal_v: number(|f| f.lowest_terminal_v),
        pull_out_ratio: optional(|f| f.pull_out_ratio),
        reaches_speed: s.facts.as_ref().filter(|_| !s.inrush).map(|f| f.start_duration_s.is_some()),
        after_dip: s.facts.as_ref().and_then(|f| f.after_dip).map(AfterDip::word),
        checks: s.findings.iter().map(|f| check(f, load)).collect(),
        no_soft_starter: s.no_soft_starter.as_deref(),
        reduction: s.reduction.as_ref().map(|r| JsonReduction {
            plain: window(&r.plain),
            with_capacitor: r.with_capacitor.as_ref().map(window),
            not_counted: s.not_in_window().map(|f| f.id).collect(),
            capacitor_uf: r.capacitor.as_ref().and_then(|(uf, _)| rounded(uf.get())),
            capacitor_cut_out_speed: r.capacitor.as_ref().and_then(|(_, x)| rounded(x.get())),
            capacitor_origin: r.capacitor.as_ref().map(|(uf, _)| uf.origin),
        }),
        check_first: s.doubts.iter().map(|d| d.key.as_str()).collect(),
        notes: &s.notes,
    }
}

fn check(f: &Finding, load: usize) -> JsonCheck<'_> {
    let margin = |of: fn(&crate::checks::Margins) -> f64| f.margins.as_ref().and_then(|m| rounded(of(m)));
    let mut why = f.told.why.clone();
    for more in f.reservation.iter() {
        why.push_str("; ");
        why.push_str(more);
    }
    if !f.depends_on.is_empty() {
        why.push_str("; depends on ");
        why.push_str(&f.depends_on.join(", "));
    }
    JsonCheck {
        id: f.id,
        status: f.status,
        margin: margin(|m| m.modelled),
        margin_guaranteed: margin(|m| m.guaranteed),
        margin_to_fail: margin(|m| m.to_fail),
        unbounded: f.margins.is_some_and(|m| m.modelled.is_infinite()),
        demand: f.told.demand.and_then(rounded),
        limit: f.told.limit.and_then(rounded),
        unit: f.told.unit,
        at_s: f.told.at_s.and_then(rounded),
        rule: &f.told.rule,
        why,
        missing: f.missing.iter().map(|key| key.replacen("load.", &format!("load[{load}]."), 1)).collect(),
        depends_on: &f.depends_on,
    }
}

fn window(w: &Window) -> JsonWindow {
    let ends = |list: &[[f64; 2]]| {
        list.iter().map(|[a, b]| [rounded(*a).unwrap_or(0.0), rounded(*b).unwrap_or(0.0)]).collect()
    };
    JsonWindow {
        passes: ends(&w.passes),
        passes_over_ranges: ends(&w.passes_over_ranges),
        needed: w.needed.and_then(rounded),
        most: w.most.and_then(rounded),
        most_low: w.most_low.and_then(rounded),
        most_chopped: w.most_chopped.and_then(rounded),
    }
}
