//! The margin of each check as a bar: from what is promised to what fails for certain, with what the model says as a mark.

use super::canvas::{Axes, Canvas, Type};
use super::place::{Anchor, Bounds, Spot};
use super::runs::{Runs, isolated};
use super::scale::Scale;
use super::{Picture, Plot};
use crate::checks::{Finding, Status};
use crate::report::words;

/// Height of a row.
const ROW: f64 = 30.0;
/// The ends of the scale \[%\]: nothing can come down by more than all; more than twice to spare is far enough (by eye).
const LEAST: f64 = -100.0;
const MOST: f64 = 200.0;

pub(super) fn draw(runs: &Runs<'_>) -> Option<Picture> {
    let told = &runs.subject.direct;
    let rows: Vec<&Finding> = told.start.findings.iter().filter(|f| f.margins.is_some()).collect();
    if rows.is_empty() {
        return None;
    }
    let reduced = runs.subject.reduced.as_ref();
    let of_reduced = |id: &str| {
        let found = reduced?.start.finding(id)?.margins?;
        Some(100.0 * found.modelled)
    };
    let (low, high) = ends(rows.iter().copied(), rows.iter().filter_map(|f| of_reduced(f.id)));
    let (left, right, top) = (172.0, 560.0, 84.0);
    let bottom = top + ROW * rows.len() as f64;
    let mut canvas = Canvas::new(Plot::Margins, 720.0, bottom + 46.0);
    let [title, head] = runs.title("Margins");
    canvas.head(&head);
    key(&mut canvas, &told.label, reduced.map(|t| t.label.as_str()));
    let bounds = Bounds { left, top, right, bottom };
    let axes = canvas.add(Axes {
        bounds,
        x: Scale::linear(low, high, left, right),
        y: Scale::linear(0.0, rows.len() as f64, top, bottom),
    });
    let mut ticks = canvas.axes(axes).x.steps(7.0);
    for tick in &mut ticks {
        if tick.at > 0.0 {
            tick.label.insert(0, '+');
        }
        tick.label = format!("{} %", tick.label).replace('-', "\u{2212}");
    }
    canvas.ticks_across(axes, &ticks, true);
    let x = canvas.axes(axes).x.clone();
    let zero = x.place(0.0);
    canvas.rule("zero", (zero, top), (zero, bottom));
    let below = bottom + 34.0;
    canvas.text(
        Type::Tick,
        "start current could be larger \u{2192}",
        Spot { x: right, y: below, anchor: Anchor::End },
    );
    canvas.text(Type::Tick, "\u{2190} must come down", Spot { x: left, y: below, anchor: Anchor::Start });
    for (i, finding) in rows.iter().enumerate() {
        let y = top + ROW * (i as f64 + 0.5);
        row(&mut canvas, &x, y, finding, of_reduced(finding.id), words::check_of(&told.start, finding.id));
    }
    let said = description(runs, &rows);
    Some(canvas.finish(title, said))
}

/// The ends of the scale \[%\].
fn ends<'a>(rows: impl Iterator<Item = &'a Finding>, more: impl Iterator<Item = f64>) -> (f64, f64) {
    let all = rows.filter_map(|f| f.margins).flat_map(|m| [m.guaranteed, m.modelled, m.to_fail]);
    let (mut low, mut high) = (-20.0, 40.0);
    for at in all.map(|m| 100.0 * m).chain(more).filter(|m| m.is_finite()) {
        low = f64::min(low, 1.1 * at);
        high = f64::max(high, 1.1 * at);
    }
    (low.max(LEAST), high.min(MOST))
}

/// What the marks are.
fn key(canvas: &mut Canvas, direct: &str, reduced: Option<&str>) {
    let y = 52.0;
    let mut x = 178.0;
    canvas.diamond("mark", (x, y - 4.0));
    let shown = super::canvas::shortened(&isolated(direct), Type::Tick, 150.0);
    canvas.text(Type::Tick, &shown, Spot { x: x + 10.0, y, anchor: Anchor::Start });
    x += 26.0 + super::width_em(&shown) * Type::Tick.size();
    if let Some(reduced) = reduced {
        canvas.diamond("hollow", (x, y - 4.0));
        let shown = super::canvas::shortened(&isolated(reduced), Type::Tick, 200.0);
        canvas.text(Type::Tick, &shown, Spot { x: x + 10.0, y, anchor: Anchor::Start });
    }
    let y = 70.0;
    canvas.rule("range", (172.0, y - 4.0), (190.0, y - 4.0));
    ends_of(canvas, "range", [172.0, 190.0], y - 4.0, 4.0);
    canvas.text(
        Type::Tick,
        "from what is promised to where it is certain to fail",
        Spot { x: 198.0, y, anchor: Anchor::Start },
    );
}

fn ends_of(canvas: &mut Canvas, class: &str, at: [f64; 2], y: f64, half: f64) {
    for x in at {
        canvas.rule(class, (x, y - half), (x, y + half));
    }
}

/// A head that says: it goes on; `back` is the direction its barbs point to.
fn arrow(canvas: &mut Canvas, class: &str, x: f64, y: f64, back: f64) {
    for up in [-4.0, 4.0] {
        canvas.rule(class, (x + 6.0 * back, y + up), (x, y));
    }
}

fn row(canvas: &mut Canvas, x: &Scale, y: f64, finding: &Finding, reduced: Option<f64>, name: &str) {
    let Some(margins) = finding.margins else { return };
    let [promised, modelled, certain] =
        [margins.guaranteed, margins.modelled, margins.to_fail].map(|m| 100.0 * m);
    let inside = |per_cent: f64| x.place(per_cent.clamp(x.low, x.high));
    canvas.text(Type::Label, name, Spot { x: 162.0, y: y + 4.0, anchor: Anchor::End });
    if promised.is_finite() || modelled.is_finite() {
        let (from, to) = (inside(promised.min(modelled)), inside(certain.max(modelled)));
        if to - from > 1.0 {
            canvas.rule("range", (from, y), (to, y));
        }
        for (per_cent, at) in [(promised.min(modelled), from), (certain.max(modelled), to)] {
            if per_cent > x.high {
                arrow(canvas, "range", at, y, -1.0);
            } else if per_cent < x.low {
                arrow(canvas, "range", at, y, 1.0);
            } else {
                canvas.rule("range", (at, y - 4.0), (at, y + 4.0));
            }
        }
    }
    for (class, per_cent) in [("hollow", reduced.unwrap_or(f64::INFINITY)), ("mark", modelled)] {
        if per_cent > x.high && per_cent.is_finite() {
            arrow(canvas, "join", x.to, y, -1.0);
        } else if per_cent < x.low {
            arrow(canvas, "join", x.from, y, 1.0);
        } else if per_cent.is_finite() {
            canvas.diamond(class, (x.place(per_cent), y));
        }
    }
    let amount = match modelled {
        m if m.is_infinite() => "no limit in reach".to_owned(),
        m if m >= 999.5 => "over +999 %".to_owned(),
        m => format!("{m:+.0} %").replace('-', "\u{2212}").replace("\u{2212}0 ", "0 ").replace("+0 ", "0 "),
    };
    let kind = if modelled.is_infinite() { Type::Tick } else { Type::Label };
    canvas.text(kind, &amount, Spot { x: 570.0, y: y + 4.0, anchor: Anchor::Start });
    let status = match finding.status {
        Status::Pass => "pass",
        Status::Uncertain => "uncertain",
        Status::Fail => "FAIL",
    };
    let kind = if finding.status == Status::Fail { Type::Strong } else { Type::Label };
    // the words for an unbounded margin are long
    canvas.text(kind, status, Spot { x: 708.0, y: y + 4.0, anchor: Anchor::End });
}

/// The picture in sentences.
fn description(runs: &Runs<'_>, rows: &[&Finding]) -> String {
    let start = &runs.subject.direct.start;
    let mut said = vec!["The margin of each check.".to_owned()];
    for finding in rows {
        let margin = finding.margins.map_or(f64::INFINITY, |m| m.modelled);
        let words = if margin.is_finite() { super::runs::spare(margin) } else { "no limit in reach".into() };
        let status = match finding.status {
            Status::Pass => "pass",
            Status::Uncertain => "uncertain",
            Status::Fail => "fail",
        };
        said.push(format!("{}: {words}, {status}.", words::sentence(words::check_of(start, finding.id))));
    }
    said.join(" ")
}
