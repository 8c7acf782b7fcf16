//! The report as text for a terminal: three lines per start first, then the tables, all within 100 columns.

use anstyle::{AnsiColor, Style};

use super::next_step::{next_step, window};
use super::words::{self, sentence, set};
use super::{CAUTIONS, Judged, Report};
use crate::advise::{Facts, Start, Verdict};
use crate::case::Pressure;
use crate::checks::say::{number, seconds};
use crate::checks::{Finding, Status};
use crate::figure::Origin;
use crate::start::Outcome;

/// The report in words. Colour, where wanted, only repeats what the words say.
pub fn text(report: &Report, colour: bool) -> String {
    let mut out = String::new();
    let many = report.starts.len() > 1;
    for (i, judged) in report.starts.iter().enumerate() {
        out.push_str(&head(i, many, &judged.start, colour));
    }
    if report.demonstration {
        out.push('\n');
        out.push_str(&set("", "", "No site file was named: this is the built-in demonstration. Name one to judge your own: startmargin check SITE.toml"));
    }
    if let Some(file) = &report.written {
        out.push('\n');
        out.push_str(&set(
            "",
            "",
            &format!("Your answers are in {file}: change it and run startmargin check {file}."),
        ));
    }
    for (i, judged) in report.starts.iter().enumerate() {
        out.push('\n');
        out.push_str(&body(i, many, judged, colour));
    }
    out.push_str(&tail(report));
    out
}

fn painted(text: &str, style: Style, colour: bool) -> String {
    if colour { format!("{style}{text}{style:#}") } else { text.to_owned() }
}

fn verdict_style(verdict: Verdict) -> Style {
    let colour = match verdict {
        Verdict::Starts => AnsiColor::Cyan,
        Verdict::Uncertain => AnsiColor::Yellow,
        Verdict::Fails => AnsiColor::Magenta,
    };
    Style::new().bold().fg_color(Some(colour.into()))
}

/// Verdict, what limits it, what to do next.
fn head(i: usize, many: bool, start: &Start, colour: bool) -> String {
    let number = if many { format!("{}. ", i + 1) } else { String::new() };
    let indent = " ".repeat(number.len());
    let word = start.verdict.word().to_uppercase();
    let pressure = match start.pressure {
        Pressure::Equalised => "",
        Pressure::Unequal => ", straight after stopping",
    };
    let unchecked = match start.not_checked.as_slice() {
        [] => String::new(),
        ids => format!("; not checked: {}", words::not_checked(ids)),
    };
    let rest = format!("{word}: {} on {}{pressure}{unchecked}", start.load, start.supply);
    let mut first = set(&number, &indent, &rest);
    if colour {
        first = first.replacen(&word, &painted(&word, verdict_style(start.verdict), true), 1);
    }
    let limit = set(&indent, &indent, &format!("{}.", sentence(&limits(start))));
    let next = set(&indent, &indent, &format!("Next: {}", next_step(start)));
    format!("{first}{limit}{next}")
}

/// What limits it, as asked, allowed and difference.
pub(super) fn limits(start: &Start) -> String {
    let Some(finding) = start.deciding() else { return "nothing was judged".into() };
    if start.facts.is_none() {
        let acceleration = start.finding("acceleration").unwrap_or(finding);
        if acceleration.missing.contains(&"load.motor_model") {
            return "the start cannot be run: neither the motor's circuit (motor_model) nor a class of load says what \
                    turns"
                .into();
        }
        return format!("the start cannot be run: {}", acceleration.told.why);
    }
    if finding.margins.is_none() {
        return format!("{}: {}", words::check_of(start, finding.id), finding.told.why);
    }
    let said = &finding.told.sentence;
    let said = if said.is_empty() { &finding.told.why } else { said };
    match finding.status {
        Status::Pass => format!("tightest: {said}"),
        Status::Uncertain if finding.at_value == Status::Pass => match &finding.reservation {
            Some(reservation) => format!("{said}, but {reservation}"),
            None => format!(
                "{said}, but not over the whole range of the {}",
                finding.depends_on.first().map_or(String::new(), |key| words::figure(key))
            ),
        },
        Status::Uncertain if finding.at_value == Status::Fail && !finding.depends_on.is_empty() => format!(
            "{said}; within the range of the {} it may pass",
            finding.depends_on.first().map_or(String::new(), |key| words::figure(key))
        ),
        Status::Uncertain => match &finding.reservation {
            Some(reservation) => format!("{said}; {reservation}"),
            None => said.clone(),
        },
        Status::Fail => said.clone(),
    }
}

fn body(i: usize, many: bool, judged: &Judged, colour: bool) -> String {
    let start = &judged.start;
    let number_ = if many { format!("{}. ", i + 1) } else { String::new() };
    let pressure = match start.pressure {
        _ if start.inrush => "switched on at the worst moment",
        Pressure::Equalised => "pressure equalised",
        Pressure::Unequal => "pressure unequal",
    };
    let mut out = set(
        &number_,
        "   ",
        &format!("{} on {}: {}, {pressure}", sentence(&start.load), start.supply, start.starter),
    );
    out.push_str(&facts(start));
    out.push_str(&table(start, colour));
    let window = window(start);
    if !window.trim().is_empty() {
        out.push_str(&set("   ", "   ", &window));
    }
    if start.doubts.iter().any(words::matters) {
        out.push_str("   Worth checking first:\n");
        for (place, d) in start.doubts.iter().filter(|d| words::matters(d)).take(4).enumerate() {
            let source = words::source_of(&d.key);
            let source = if source.is_empty() { String::new() } else { format!(": {source}") };
            let range = format!("{} to {} {}", number(d.low), number(d.high), d.unit);
            let text = format!("{}, {} ({}){source}.", words::figure(&d.key), d.key, range.trim_end());
            out.push_str(&set(&format!("   {}. ", place + 1), "      ", &text));
        }
    }
    if start.leaning != start.verdict {
        let leaning = match start.leaning {
            Verdict::Starts => "it starts",
            Verdict::Uncertain => "it stays uncertain",
            Verdict::Fails => "it fails",
        };
        out.push_str(&set("   ", "   ", &format!("At the figures' values alone {leaning}.")));
    }
    for note in &start.notes {
        out.push_str(&set("   Note: ", "   ", &format!("{note}.")));
    }
    out
}

/// The start in a sentence.
fn facts(start: &Start) -> String {
    course(start).map_or(String::new(), |text| set("   ", "   ", &text))
}

/// The same, not set in lines; `None` where it cannot be run.
pub(super) fn course(start: &Start) -> Option<String> {
    let f = start.facts.as_ref()?;
    if start.inrush {
        return Some(settles(f));
    }
    let settled = f.settled_a.map_or(String::new(), |a| format!(", settles at {} A", number(a)));
    let course = match (f.outcome, f.start_duration_s) {
        (Outcome::Starts, Some(s)) => format!("up to speed in {}{settled}", seconds(s)),
        (Outcome::Stalls, _) => "does not get going".into(),
        (Outcome::Hangs, _) => "hangs below speed".into(),
        _ => "not up to speed in the time it has".into(),
    };
    Some(format!(
        "Locked rotor {} A on this supply; largest current {} A; {course}; lowest voltage at the load {} V.",
        number(f.locked_rotor_at_supply_a),
        number(f.largest_rms_a),
        number(f.lowest_terminal_v)
    ))
}

/// The start of what has no rotor.
fn settles(f: &Facts) -> String {
    let course = match (f.settled_a, f.settling_time_s) {
        (Some(a), Some(s)) if s > 0.0 => format!("settles at {} A within {}", number(a), seconds(s)),
        (Some(a), _) => format!("settles at {} A", number(a)),
        (None, _) => "does not settle".into(),
    };
    format!(
        "Largest instant {} A, by the moment of switching on; largest cycle {} A; {course}; lowest voltage at the load {} V.",
        number(f.largest_peak_a),
        number(f.largest_rms_a),
        number(f.lowest_terminal_v)
    )
}

const HEADER: &str = "   check                result     margin    asked   allowed  what decides\n";

fn table(start: &Start, colour: bool) -> String {
    let mut out = String::from(HEADER);
    for finding in &start.findings {
        out.push_str(&row(start, finding, colour));
    }
    out
}

fn row(start: &Start, finding: &Finding, colour: bool) -> String {
    let (result, style) = match finding.status {
        Status::Pass => ("pass", AnsiColor::Cyan),
        Status::Uncertain => ("uncertain", AnsiColor::Yellow),
        Status::Fail => ("FAIL", AnsiColor::Magenta),
    };
    let margin = margin(finding);
    let unit = finding.told.unit;
    let amount = |x: Option<f64>| amount(x, unit);
    let why = decides(finding);
    let first = format!(
        "   {:<20} {result:<9} {margin:>7} {:>8} {:>9}  ",
        words::check_of(start, finding.id),
        amount(finding.told.demand),
        amount(finding.told.limit)
    );
    let line = set(&first, &" ".repeat(HEADER.find("what").unwrap_or(0)), &why);
    if colour {
        let style = Style::new().fg_color(Some(style.into()));
        return line.replacen(result, &painted(result, style, true), 1);
    }
    line
}

/// The margin of a finding by the model; a dash where there is none.
pub(super) fn margin(finding: &Finding) -> String {
    finding.margins.map_or("-".into(), |m| signed(m.modelled))
}

/// What is asked or allowed, with its unit; a dash where there is nothing.
pub(super) fn amount(x: Option<f64>, unit: &str) -> String {
    match (x, unit) {
        (None, _) => "-".into(),
        (Some(s), "s") => seconds(s),
        (Some(x), unit) => format!("{} {unit}", number(x)),
    }
}

/// What decides a finding, its other readings, and what it hangs on: a clause.
pub(super) fn decides(finding: &Finding) -> String {
    let mut why = finding.told.why.clone();
    if let Some(m) = finding.margins.map(|m| [m.guaranteed, m.modelled, m.to_fail].map(signed))
        && (m[0] != m[1] || m[2] != m[1])
    {
        why.push_str(&format!("; promised {}", m[0]));
        if m[2] == signed(f64::INFINITY) {
            why.push_str(", never sure to fail");
        } else {
            why.push_str(&format!(", fails from {}", m[2]));
        }
    }
    if !finding.depends_on.is_empty() {
        let mut words: Vec<String> = finding.depends_on.iter().map(|key| words::figure(key)).collect();
        words.dedup();
        why.push_str(&format!("; turns within the range of: {}", words.join("; ")));
    }
    if let Some(reservation) = &finding.reservation {
        why.push_str(&format!("; {reservation}"));
    }
    why
}

/// A margin in per cent with its sign; "free" where nothing bounds it.
pub(super) fn signed(margin: f64) -> String {
    if margin.is_infinite() {
        return "free".into();
    }
    let per_cent = 100.0 * margin;
    if per_cent.abs() >= 1000.0 { ">+999 %".into() } else { format!("{per_cent:+.0} %") }
}

fn tail(report: &Report) -> String {
    let mut out = String::from("\n");
    let unchecked = report.not_checked();
    if !unchecked.is_empty() {
        let list: Vec<&str> = unchecked.iter().map(|id| words::check(id)).collect();
        out.push_str(&set(
            "",
            "",
            &format!("Not checked, for want of data or of a model: {}.", list.join(", ")),
        ));
    }
    for f in report.figures.iter().filter(|f| f.origin == Origin::Derived && !f.note.is_empty()) {
        let range = if f.low < f.high {
            format!(" ({} to {})", number(f.low), number(f.high))
        } else {
            String::new()
        };
        let said = format!("{}.{}, {} {}{range}: {}.", f.of, f.name, number(f.value), f.unit, f.note);
        out.push_str(&set("Worked out: ", "", &said));
    }
    for note in &report.notes {
        out.push_str(&set("Note: ", "", &format!("{note}.").replace("..", ".")));
    }
    out.push_str(&set(
        "",
        "",
        "Margin: the whole start current could be that much larger (minus: must come down by so much) before the check \
         fails; of voltage, its drop; of torque, motor over load; free: nothing bounds it.",
    ));
    out.push_str("\nCautions\n");
    for caution in CAUTIONS {
        out.push_str(&set("- ", "  ", caution));
    }
    out
}
