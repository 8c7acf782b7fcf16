//! Which start-current reductions pass: a strip for each way, with the torque limit.

use super::canvas::{Axes, Canvas, Role, Type};
use super::place::{Anchor, Bounds, Spot};
use super::runs::Runs;
use super::scale::Scale;
use super::{Picture, Plot};
use crate::advise::Window;
use crate::checks::say::number;
use crate::report::next_step::span;

/// Height of a row and of the strip in it.
const ROW: f64 = 108.0;
const STRIP: f64 = 24.0;

pub(super) fn draw(runs: &Runs<'_>) -> Option<Picture> {
    let start = &runs.subject.direct.start;
    let reduction = start.reduction.as_ref().filter(|_| start.no_soft_starter.is_none())?;
    let capacitor = reduction.capacitor.as_ref().map(|(uf, _)| number(uf.get()));
    let mut rows = vec![("soft starter alone".to_owned(), &reduction.plain)];
    if let Some(window) = &reduction.with_capacitor {
        let size = capacitor.map_or(String::new(), |uf| format!(" ({uf} uF)"));
        rows.push((format!("with a start capacitor{size}"), window));
    }
    let (left, right, top) = (24.0, 696.0, 48.0);
    let bottom = top + ROW * rows.len() as f64;
    let mut canvas = Canvas::new(Plot::Reduction, 720.0, bottom + 46.0);
    let [title, head] = runs.title("How much less start current passes");
    canvas.head(&head);
    let bounds = Bounds { left, top, right, bottom };
    let axes = canvas.add(Axes {
        bounds,
        x: Scale::linear(0.0, 100.0, left, right),
        y: Scale::linear(0.0, 1.0, bottom, top),
    });
    let mut ticks = canvas.axes(axes).x.steps(10.0);
    ticks.iter_mut().for_each(|t| t.label.push_str(" %"));
    canvas.ticks_across(axes, &ticks, true);
    let below = Spot { x: right, y: bottom + 34.0, anchor: Anchor::End };
    canvas.text(Type::Tick, "less start current than locked rotor on this supply", below);
    let mut said = vec!["The start-current reductions at which every check passes.".to_owned()];
    for (i, (name, window)) in rows.iter().enumerate() {
        let upper = top + ROW * i as f64;
        strip(&mut canvas, axes, upper, name, window);
        said.push(format!("{}: {}.", crate::report::words::sentence(name), words(window)));
    }
    Some(canvas.finish(title, said.join(" ")))
}

/// The windows in words.
fn words(window: &Window) -> String {
    let list = |of: &[[f64; 2]]| -> String {
        let each: Vec<String> = of.iter().map(|part| span(*part)).collect();
        each.join(" and ")
    };
    let limit = window.most.map_or(String::new(), |m| format!("; torque limit {:.0} %", 100.0 * m));
    match (window.passes.as_slice(), window.passes_over_ranges.as_slice()) {
        ([], _) => format!("no reduction passes{limit}"),
        (passes, []) => {
            format!("{} passes by the figures' values, none over their ranges{limit}", list(passes))
        }
        (passes, sure) if passes == sure => format!("{} passes{limit}", list(passes)),
        (passes, sure) => {
            format!("{} passes over the figures' ranges, {} by their values{limit}", list(sure), list(passes))
        }
    }
}

fn strip(canvas: &mut Canvas, axes: usize, upper: f64, name: &str, window: &Window) {
    let x = canvas.axes(axes).x.clone();
    let place = |r: f64| x.place((100.0 * r).clamp(0.0, 100.0));
    canvas.text(Type::Strong, name, Spot { x: x.from + 8.0, y: upper + 18.0, anchor: Anchor::Start });
    let (top, bottom) = (upper + 46.0, upper + 46.0 + STRIP);
    canvas.bar(Role::Promised, Bounds { left: x.from, top, right: x.to, bottom });
    let bounds =
        |[a, b]: [f64; 2]| Bounds { left: place(a), top, right: place(b).max(place(a) + 1.5), bottom };
    for part in &window.passes {
        canvas.bar(Role::Assumed, bounds(*part));
    }
    for part in &window.passes_over_ranges {
        canvas.bar(Role::Direct, bounds(*part));
    }
    let widest = |of: &[[f64; 2]]| of.iter().copied().max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    let said_at = bottom + 15.0;
    match (widest(&window.passes), widest(&window.passes_over_ranges)) {
        (None, _) => {
            let at = Spot { x: x.from + 8.0, y: said_at, anchor: Anchor::Start };
            canvas.text(Type::Label, "no setting passes", at);
        }
        (Some(widest), sure) => {
            let [a, b] = sure.unwrap_or(widest);
            let words = match sure {
                Some(_) => format!("{} passes", span([a, b])),
                None => format!("{} by the figures' values", span([a, b])),
            };
            let room = 0.5 * super::width_em(&words) * Type::Label.size() + 4.0;
            let middle = (0.5 * (place(a) + place(b))).clamp(x.from + room, x.to - room);
            canvas.text(Type::Label, &words, Spot { x: middle, y: said_at, anchor: Anchor::Middle });
        }
    }
    // the torque limit, at the figures' values and at their worse bounds
    for (at, words, heavy) in
        [(window.most, "torque limit", true), (window.most_low, "torque limit at worst", false)]
    {
        let Some(at) = at.map(place) else { continue };
        canvas.rule(if heavy { "zero" } else { "range" }, (at, top - 6.0), (at, bottom + 3.0));
        let room = super::width_em(words) * Type::Tick.size() + 5.0;
        let spots = [
            Spot { x: at + 4.0, y: top - 6.0, anchor: Anchor::Start },
            Spot { x: at - 4.0, y: top - 6.0, anchor: Anchor::End },
            Spot { x: at + 4.0, y: bottom + 14.0, anchor: Anchor::Start },
            Spot { x: at - 4.0, y: bottom + 14.0, anchor: Anchor::End },
        ];
        let fits = |s: &&Spot| match s.anchor {
            Anchor::Start => s.x + room < x.to,
            _ => s.x - room > x.from,
        };
        // the one at worst lies left of the other: its words go left, too
        let mut spots: Vec<&Spot> = spots.iter().filter(fits).collect();
        if !heavy {
            spots.sort_by_key(|s| s.anchor == Anchor::Start);
        }
        if let Some(spot) = spots.into_iter().find(|s| canvas.is_free(Type::Tick, words, **s)) {
            canvas.text(Type::Tick, words, *spot);
        }
    }
}
