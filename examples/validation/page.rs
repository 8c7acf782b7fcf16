//! The page as text.

use std::fmt::Write as _;

use super::cases::{Allowed, Evidence, Row, Section};

const HEAD: &str = "\
# Validation

What the program computes against what stands outside it. `cargo run --release --example validation` reruns
every comparison and writes this page; `-- --check` says whether the page is what a fresh run gives (`.ci/run`
does). The test suite holds every figure to what it may differ by, those included that are shown together as
one line: there the one that uses up most of what is allowed is shown.

*Expected* is the figure of the source, *ours* that of this program, *difference* ours less expected: in per
cent of the expected figure, or in the figure's own unit where the column *allowed* says so. Sources say
*seen* where a published copy was read and *from memory* where not. Figures that come from memory guard
against edits, no more.
";

/// A figure with five digits that count.
pub fn figure(x: f64) -> String {
    if x == 0.0 {
        return "0".to_owned();
    }
    let digits = (4 - x.abs().log10().floor() as i32).clamp(0, 9) as usize;
    let text = format!("{x:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

fn difference(row: &Row) -> String {
    let off = row.difference();
    match row.allowed {
        Allowed::Size(_) => signed(off, 3, ""),
        Allowed::Within(_) => "in range".to_owned(),
        _ if row.expected == 0.0 => signed(off, 3, ""),
        _ => signed(100.0 * off, 3, " %"),
    }
}

/// With its sign, unless it is nothing.
fn signed(x: f64, digits: usize, unit: &str) -> String {
    let text = format!("{x:+.digits$}");
    let zero = text.bytes().all(|b| !(b'1'..=b'9').contains(&b));
    format!("{}{unit}", if zero { text.trim_start_matches(['+', '-']) } else { &text })
}

fn allowed(row: &Row) -> String {
    match row.allowed {
        Allowed::Part(part) if part < 1e-6 => "rounding".to_owned(),
        Allowed::Part(part) => format!("{} %", figure(100.0 * part)),
        Allowed::Size(size) => format!("{} absolute", figure(size)),
        Allowed::AtLeast => "not less".to_owned(),
        Allowed::AtMost => "not more".to_owned(),
        Allowed::Within([low, high]) => format!("{} to {}", figure(low), figure(high)),
    }
}

/// A row of the page: the one shown, and how many it stands for.
struct Line<'a> {
    shown: &'a Row,
    count: usize,
    holding: usize,
}

fn lines(rows: &[Row]) -> Vec<Line<'_>> {
    let mut lines: Vec<Line<'_>> = Vec::new();
    for row in rows {
        let same = |l: &&mut Line<'_>| {
            row.line.is_some() && l.shown.line == row.line && l.shown.source == row.source
        };
        match lines.iter_mut().find(same) {
            Some(line) => {
                line.count += 1;
                line.holding += usize::from(row.holds());
                // two that are equal but for rounding must not take turns
                if row.strain() > line.shown.strain() + 1e-3 {
                    line.shown = row;
                }
            }
            None => lines.push(Line { shown: row, count: 1, holding: usize::from(row.holds()) }),
        }
    }
    lines
}

fn table(out: &mut String, section: &Section) {
    let _ = writeln!(out, "\n## {}\n\n{}\n", section.title, section.about);
    let lines = lines(&section.rows);
    // sources and reasons below the table: they repeat
    let mut sources: Vec<&str> = Vec::new();
    let mut reasons: Vec<&str> = Vec::new();
    let _ = writeln!(
        out,
        "| case | evidence | quantity | expected | ours | difference | allowed | source, why |"
    );
    let _ = writeln!(out, "|---|---|---|---|---|---|---|---|");
    for line in &lines {
        let row = line.shown;
        let source = match sources.iter().position(|s| *s == row.source) {
            Some(at) => at,
            None => {
                sources.push(&row.source);
                sources.len() - 1
            }
        };
        let why = position(&mut reasons, row.why);
        let (case, quantity) = match (&row.line, line.count) {
            (Some([case, quantity]), 2..) => (case, format!("{quantity}: {} figures, worst", line.count)),
            _ => (&row.case, row.quantity.clone()),
        };
        let missed = line.count - line.holding;
        let flag = if missed == 0 { String::new() } else { format!(" **{missed} outside**") };
        let _ = writeln!(
            out,
            "| {case} | {} | {quantity} | {} | {} | {}{flag} | {} | {}, {} |",
            row.evidence.name(),
            figure(row.expected),
            figure(row.ours),
            difference(row),
            allowed(row),
            letter(source),
            why + 1,
        );
    }
    let _ = writeln!(out, "\nSources:\n");
    for (i, source) in sources.iter().enumerate() {
        let _ = writeln!(out, "- {}: {source}", letter(i));
    }
    let _ = writeln!(out, "\nWhy so much is allowed:\n");
    for (i, why) in reasons.iter().enumerate() {
        let _ = writeln!(out, "- {}: {why}", i + 1);
    }
}

fn position<'a>(list: &mut Vec<&'a str>, text: &'a str) -> usize {
    list.iter().position(|t| *t == text).unwrap_or_else(|| {
        list.push(text);
        list.len() - 1
    })
}

/// a, b, ..., z, aa, ab, ...
fn letter(i: usize) -> String {
    let last = char::from(b'a' + (i % 26) as u8);
    if i < 26 { last.to_string() } else { format!("{}{last}", letter(i / 26 - 1)) }
}

fn summary(out: &mut String, sections: &[Section]) {
    let rows: Vec<&Row> = sections.iter().flat_map(|s| &s.rows).collect();
    let _ = writeln!(out, "\n| evidence | figures | within what is allowed |\n|---|---|---|");
    for kind in Evidence::ALL {
        let of: Vec<_> = rows.iter().filter(|r| r.evidence == kind).collect();
        let within = of.iter().filter(|r| r.holds()).count();
        let _ = writeln!(out, "| {} | {} | {within} |", kind.name(), of.len());
    }
    let within = rows.iter().filter(|r| r.holds()).count();
    let _ = writeln!(out, "| all | {} | {within} |", rows.len());
}

fn losses(out: &mut String, sections: &[Section]) {
    let _ = writeln!(out, "\n## Where it differs more than one would like\n");
    let _ = writeln!(out, "Within what is allowed, since it is known, but not good:\n");
    let mut said: Vec<String> = Vec::new();
    for section in sections {
        for line in lines(&section.rows) {
            let row = line.shown;
            let Some(loss) = row.loss else { continue };
            let case = match (&row.line, line.count) {
                (Some([case, _]), 2..) => case,
                _ => &row.case,
            };
            said.push(format!("- {case}: {} {}; {loss}", row.quantity, figure(row.ours)));
        }
    }
    for row in sections.iter().flat_map(|s| &s.rows).filter(|r| !r.holds()) {
        let all = [figure(row.expected), figure(row.ours)];
        said.push(format!(
            "- **{}: {}: expected {}, ours {}: outside**",
            row.case, row.quantity, all[0], all[1]
        ));
    }
    let _ = writeln!(out, "{}", said.join("\n"));
}

/// The whole page.
pub fn page(sections: &[Section], speed: &str) -> String {
    let mut out = HEAD.to_owned();
    summary(&mut out, sections);
    losses(&mut out, sections);
    for section in sections {
        table(&mut out, section);
    }
    out.push_str(speed);
    out
}
