//! The start against time: current, voltage at the load, speed, one above the other.

use super::canvas::{Axes, Canvas, Role, Type};
use super::place::{Anchor, Bounds, Spot};
use super::runs::{Run, Runs, isolated};
use super::scale::{Scale, round_up, step};
use super::{Picture, Plot};
use crate::checks::Status;
use crate::checks::say::{held, number, seconds};
use crate::start::{Row, Trace};

/// A limit that lies higher than this over the largest current is said, not drawn: the picture is the start's (by eye).
const IN_SIGHT: f64 = 1.6;

/// A start that does not settle is shown for up to this many times as long as one that does (by eye).
const BESIDE: f64 = 2.0;

/// What one panel shows.
struct Panel {
    axes: usize,
    figure: fn(&Row, &Trace) -> f64,
}

pub(super) fn draw(runs: &Runs<'_>) -> Option<Picture> {
    drawn(runs, Plot::Start)
}

/// The current alone, lower: for a page that has little room.
pub(super) fn draw_current(runs: &Runs<'_>) -> Option<Picture> {
    drawn(runs, Plot::Current)
}

fn drawn(runs: &Runs<'_>, plot: Plot) -> Option<Picture> {
    let direct = runs.direct.as_ref()?;
    let alone = plot == Plot::Current;
    let turns = !direct.path.is_inrush() && !alone;
    let shown: Vec<(Role, &Run<'_>)> = std::iter::once((Role::Direct, direct))
        .chain(runs.reduced.iter().map(|r| (Role::Reduced, r)))
        .collect();
    let ends: Vec<(f64, bool)> = shown.iter().map(|(_, run)| run.end_s()).collect();
    let longest = |settled: bool| ends.iter().filter(|e| e.1 == settled).fold(0.0, |m: f64, e| m.max(e.0));
    // a start that comes to nothing says the same thing all the time: it does not squeeze the other
    let end = match longest(true) {
        0.0 => longest(false),
        settled => settled.max(longest(false).min(BESIDE * settled)),
    };
    if end <= 0.0 {
        return None;
    }
    let heights: &[f64] = match (alone, turns) {
        (true, _) => &[140.0],
        (false, true) => &[190.0, 110.0, 110.0],
        (false, false) => &[220.0, 130.0],
    };
    // alone it stands in half a page: narrower, so that its words stay as large as those around it
    let (width, left) = if alone { (430.0, 40.0) } else { (720.0, 62.0) };
    let (right, gap, top) = (width - 16.0, 34.0, 58.0);
    let height = top + heights.iter().sum::<f64>() + gap * (heights.len() as f64 - 1.0) + 46.0;
    let mut canvas = Canvas::new(plot, width, height);
    let [title, head] = runs.title(if alone { "The current at the start" } else { "The start" });
    // alone it stands beside words that say whose it is
    canvas.head(if alone { "The current at the start" } else { &head });
    let x = Scale::linear(0.0, end, left, right);
    let (unit_s, unit) = time_unit(end);
    let mut upper = top;
    let mut frame = |canvas: &mut Canvas, i: usize, low: f64, high: f64, words: &str| {
        let bounds = Bounds { left, top: upper, right, bottom: upper + heights[i] };
        upper += heights[i] + gap;
        canvas.text(Type::Tick, words, Spot { x: 16.0, y: bounds.top - 9.0, anchor: Anchor::Start });
        let y = Scale::linear(low, high, bounds.bottom, bounds.top);
        let axes = canvas.add(Axes { bounds, x: x.clone(), y });
        let up = canvas.axes(axes).y.steps(heights[i] / 40.0);
        canvas.ticks_up(axes, &up);
        // the times in the unit they are written in
        let mut across = Scale { high: end / unit_s, ..x.clone() }.steps(6.0);
        across.iter_mut().for_each(|t| t.at *= unit_s);
        canvas.ticks_across(axes, &across, i + 1 == heights.len());
        axes
    };

    let most = shown.iter().map(|(_, r)| r.worst().largest_rms_a()).fold(0.0, f64::max);
    let limits = limits(direct, alone);
    let seen = limits.iter().map(|l| l.0).filter(|a| *a <= IN_SIGHT * most).fold(most, f64::max);
    let current = frame(&mut canvas, 0, 0.0, round_up(1.08 * seen, 4.0), "A, rms, in the load's line");
    let mut panels = vec![Panel { axes: current, figure: |row, _| row.line_a }];
    // the voltage that the unit needs while it runs, where it is in sight
    let mut needed = None;
    if !alone {
        let (open, least) = voltages(direct, &shown, end);
        let low = {
            let step = step(open - least, 3.0);
            ((least - 0.15 * (open - least)) / step).floor().max(0.0) * step
        };
        let voltage = frame(&mut canvas, 1, low, open + 0.12 * (open - low), "V at the load");
        panels.push(Panel { axes: voltage, figure: |row, _| row.terminal_v });
        let least_running = direct.path.least_running_v;
        needed =
            Some((voltage, least_running)).filter(|_| turns && least_running > low && least_running < open);
    }
    if turns {
        let speed = frame(&mut canvas, 2, 0.0, 112.0, "speed, % of full speed");
        panels.push(Panel { axes: speed, figure: |row, trace| 100.0 * row.speed / trace.sync_speed });
    }

    let mut named = Vec::new();
    let mut far = Vec::new();
    for (amps, words) in &limits {
        if *amps <= IN_SIGHT * most {
            let line = canvas.curve(current, Role::Limit, words, &[(0.0, *amps), (end, *amps)]);
            named.push((line, words.clone(), 0.8));
        } else {
            far.push(words.clone());
        }
    }
    if let Some((voltage, least_running)) = needed {
        let line = canvas.curve(voltage, Role::Limit, "least", &[(0.0, least_running), (end, least_running)]);
        named.push((line, format!("needs {} V to run", number(least_running)), 0.85));
    }
    for (role, run) in shown.iter().rev() {
        let trace = run.worst();
        for (i, panel) in panels.iter().enumerate() {
            let mut points: Vec<(f64, f64)> = trace
                .rows
                .iter()
                .take_while(|r| r.t_s <= end)
                .map(|r| (r.t_s, (panel.figure)(r, trace)))
                .collect();
            // to the end of the picture, or of the attempt
            let goes_on = trace.starts() || trace.rows.last().is_some_and(|r| r.t_s >= end);
            if let Some(row) = trace.at(end).filter(|_| goes_on) {
                points.push((end, (panel.figure)(&row, trace)));
            }
            let line = canvas.curve(panel.axes, *role, &run.told.label, &points);
            if i == 0 {
                named.insert(0, (line, isolated(&run.told.label), 0.35));
            }
        }
    }
    for (i, (line, words, share)) in named.iter().enumerate() {
        canvas.name(*line, if i < shown.len() { Type::Strong } else { Type::Label }, words, *share);
    }
    if !far.is_empty() {
        let b = canvas.axes(current).bounds;
        let words = format!("above the picture: {}", far.join(", "));
        let words = super::canvas::shortened(&words, Type::Tick, 0.7 * (right - left));
        canvas.text_if_free(Type::Tick, &words, Spot { x: right, y: b.top - 9.0, anchor: Anchor::End });
    }
    let b = canvas.axes(panels.last()?.axes).bounds;
    let at = Spot { x: right, y: b.bottom + 32.0, anchor: Anchor::End };
    canvas.text(Type::Tick, &format!("{unit} from switching on"), at);
    let said = description(&shown, alone);
    Some(canvas.finish(title, said))
}

/// The unit times are written in, with its length \[s\].
fn time_unit(end: f64) -> (f64, &'static str) {
    match end {
        s if s < 1.0 => (1e-3, "ms"),
        s if s < 300.0 => (1.0, "s"),
        _ => (60.0, "min"),
    }
}

/// Largest surge rating and rating of the breaker \[A\], with their words.
fn limits(run: &Run<'_>, alone: bool) -> Vec<(f64, String)> {
    let path = &run.path;
    // alone: what this start is allowed by the rating that decides
    let decides = run
        .told
        .start
        .finding("surge")
        .filter(|f| alone && f.status != Status::Pass)
        .and_then(|f| f.told.limit);
    let surge = path.surge.last().map(|s| {
        let amps = decides.unwrap_or(s.amps);
        let most = if alone {
            format!("at most {} A", number(amps))
        } else {
            format!("surge {}", held(amps, s.for_s))
        };
        (amps, format!("{}: {most}", path.supply_words()))
    });
    // a breaker carries more than its rating for the time of a start: beside the words of a page that would mislead
    let breaker = path.breaker_a.filter(|_| !alone);
    let breaker = breaker.map(|a| (a, format!("breaker's rating {} A", number(a))));
    surge.into_iter().chain(breaker).collect()
}

/// Open-circuit voltage and the lowest at the load \[V\].
fn voltages(direct: &Run<'_>, shown: &[(Role, &Run<'_>)], end: f64) -> (f64, f64) {
    let open = direct.path.open_v;
    let lowest = |run: &Run<'_>| {
        let rows = run.worst().rows.iter().take_while(|r| r.t_s <= end);
        rows.map(|r| r.terminal_v).fold(open, f64::min)
    };
    let least = shown.iter().map(|(_, run)| lowest(run)).fold(open, f64::min);
    // a supply that gives way by less than a fiftieth is shown as steady
    (open, least.min(0.98 * open))
}

/// The picture in sentences.
fn description(shown: &[(Role, &Run<'_>)], alone: bool) -> String {
    let what = if alone { "Current" } else { "Current, voltage at the load and speed" };
    let mut said = vec![format!("{what} against time from switching on.")];
    for (_, run) in shown {
        let trace = run.worst();
        let course = match (trace.start_duration_s, run.path.is_inrush(), trace.starts()) {
            (Some(s), false, true) => format!("up to speed in {}", seconds(s)),
            (_, true, true) => "settles".into(),
            _ => "not up to speed".into(),
        };
        said.push(format!(
            "{}: at most {} A, lowest voltage {} V, {course}.",
            run.told.label,
            number(trace.largest_rms_a()),
            number(trace.lowest_terminal_v())
        ));
    }
    said.join(" ")
}
