//! Time against current: what breaker and supply allow, what the start asks, and where the two come nearest.

use super::canvas::{Axes, Canvas, Role, Type};
use super::place::{Anchor, Bounds, Spot};
use super::plane::{Allowed, Course, Current, Range, SHOWN, course, plain_course};
use super::runs::{Run, Runs, isolated, line_a, spare, supply_a};
use super::scale::Scale;
use super::{Limiting, Picture, Plot};
use crate::checks::say::{held, number};

pub(super) fn draw(runs: &Runs<'_>) -> Option<Picture> {
    let direct = runs.direct.as_ref()?;
    let path = &direct.path;
    if path.edges.is_none() && path.surge.is_empty() {
        return None;
    }
    let range = Range::of(runs, direct);
    let mut canvas = Canvas::new(Plot::TimeCurrent, 720.0, 560.0);
    let bounds = Bounds { left: 62.0, top: 56.0, right: 704.0, bottom: 512.0 };
    let axes = canvas.add(Axes {
        bounds,
        x: Scale::logarithmic(range.amps[0], range.amps[1], bounds.left, bounds.right),
        y: Scale::logarithmic(range.seconds[0], range.seconds[1], bounds.bottom, bounds.top),
    });
    let [title, head] = runs.title("Time against current");
    canvas.head(&head);
    canvas.text(Type::Tick, "how long", Spot { x: 16.0, y: bounds.top - 9.0, anchor: Anchor::Start });
    let below = Spot { x: bounds.right, y: bounds.bottom + 34.0, anchor: Anchor::End };
    canvas.text(Type::Tick, "A in one line", below);
    let (across, up) = (canvas.axes(axes).x.decades(), canvas.axes(axes).y.times());

    let decided = course(direct, &range);
    let k = decided.nearest.map_or(1.0, |n| 1.0 + n.margin);
    let breaker = breaker(&mut canvas, axes, direct, &range, if decided.by_supply { 1.0 } else { k });
    canvas.ticks_across(axes, &across, true);
    canvas.ticks_up(axes, &up);
    let ratings = Allowed::supply(direct).map(|allowed| allowed.points(&range));
    let supply = ratings.as_ref().and_then(|points| canvas.curve(axes, Role::Limit, "surge ratings", points));
    let scaled = scaled(&mut canvas, axes, &decided);
    let reduced = runs.reduced.as_ref().and_then(|run| {
        let course = course(run, &range);
        canvas.curve(axes, Role::Reduced, &run.told.label, &course.points)
    });
    let whole = other_current(&mut canvas, axes, direct, &decided, &range);
    let line = canvas.curve(axes, Role::Direct, &direct.told.label, &decided.points);
    mark(&mut canvas, axes, &decided, line, supply, breaker.map(|b| b[1]));

    // what matters most is named first
    canvas.name(line, Type::Strong, &isolated(&direct.told.label), 0.45);
    if let (Some(run), Some(reduced)) = (&runs.reduced, reduced) {
        canvas.name(Some(reduced), Type::Strong, &isolated(&run.told.label), 0.6);
    }
    if let Some([promised, fast, slow]) = breaker {
        let amps = path.breaker_a.map_or(String::new(), |a| format!("{} A ", number(a)));
        canvas.name(Some(slow), Type::Label, &format!("{amps}breaker must trip beyond"), 0.3);
        canvas.name(Some(fast), Type::Label, usual(direct), 0.45);
        // inside of what is promised, where there is room
        let right = canvas.axes(axes).x.place(Allowed::cold(&path.edges.as_ref()?.guaranteed).forever());
        let room = Bounds { right: right.clamp(bounds.left, bounds.right), ..bounds.grown(-3.0) };
        canvas.name_within(Some(promised), Type::Label, "promised to hold", 0.12, room);
    }
    canvas.name(supply, Type::Label, &format!("{}: surge", path.supply_words()), 0.75);
    if let (Some(_), Some(amps)) = (supply, path.continuous_a) {
        let words = format!("continuous {} A", number(amps));
        // above the line where it leaves the picture: inside it is the busiest place
        let x = canvas.axes(axes).x.place(amps);
        let spot = Spot { x, y: bounds.top - 9.0, anchor: Anchor::Middle };
        if canvas.is_free(Type::Tick, &words, spot) {
            canvas.text(Type::Tick, &words, spot);
        } else {
            canvas.name(supply, Type::Label, &words, 0.15);
        }
    }
    if let Some(words) = whole.1 {
        canvas.name(whole.0, Type::Label, words, 0.7);
    }
    if let Some((line, words)) = &scaled {
        canvas.name_if_near(*line, Type::Label, words, 0.75);
    }
    let said = description(direct, &decided);
    Some(canvas.finish(title, said))
}

/// What the modelled edge of a breaker is.
fn usual(run: &Run<'_>) -> &'static str {
    let maker = run.path.edges.as_ref().is_some_and(|e| !e.assumed);
    match (maker, run.path.warm) {
        (false, false) => "its usual curve",
        (false, true) => "its usual curve, warm",
        (true, false) => "its maker's curve",
        (true, true) => "its maker's curve, warm",
    }
}

/// The three edges, with what lies between them: promised, fast, slow.
fn breaker(canvas: &mut Canvas, axes: usize, run: &Run<'_>, range: &Range, k: f64) -> Option<[usize; 3]> {
    let edges = run.path.edges.as_ref()?;
    let fast = Allowed::breaker(run, run.margins("breaker")?.1, k)?.points(range);
    let slow = Allowed::cold(&edges.slow).points(range);
    let mut promised = Allowed::cold(&edges.guaranteed).points(range);
    let [low, high, short, long] =
        [0.5 * range.amps[0], 2.0 * range.amps[1], 0.1 * range.seconds[0], 10.0 * range.seconds[1]];
    if run.path.warm {
        // of a warm breaker nothing is promised beyond what it carries for ever
        let forever = edges.guaranteed.forever();
        promised = vec![(forever, long), (forever, short)];
    }
    let mut certain = slow.clone();
    certain.extend([(high, long)]);
    canvas.area(axes, Role::Certain, &certain);
    let mut band = fast.clone();
    band.extend(slow.iter().rev());
    canvas.area(axes, Role::Assumed, &band);
    let mut safe = promised.clone();
    safe.extend([(high, short), (low, short), (low, long)]);
    canvas.area(axes, Role::Promised, &safe);
    let promised = canvas.curve(axes, Role::Promised, "promised", &promised)?;
    let fast = canvas.curve(axes, Role::Assumed, "usual", &fast)?;
    let slow = canvas.curve(axes, Role::Certain, "certain", &slow)?;
    Some([promised, fast, slow])
}

/// The start as much larger or smaller as its margin says: it touches what decides.
fn scaled(canvas: &mut Canvas, axes: usize, course: &Course) -> Option<(usize, String)> {
    let margin = course.nearest?.margin;
    let k = 1.0 + margin;
    if !(1.0 / SHOWN..=SHOWN).contains(&k) || margin.abs() < 0.02 {
        return None;
    }
    let points: Vec<(f64, f64)> = course.points.iter().map(|&(a, t)| (k * a, t)).collect();
    let words = format!("{:.0} % {}", 100.0 * margin.abs(), if margin < 0.0 { "smaller" } else { "larger" });
    Some((canvas.curve(axes, Role::Asked, "scaled", &points)?, words))
}

/// The direct start by the current that does not decide, where it is another: the supply carries what runs already, too.
fn other_current(
    canvas: &mut Canvas,
    axes: usize,
    run: &Run<'_>,
    course: &Course,
    range: &Range,
) -> (Option<usize>, Option<&'static str>) {
    let trace = run.worst();
    if trace.largest_supply_a() < 1.03 * trace.largest_rms_a() || run.path.surge.is_empty() {
        return (None, None);
    }
    let (current, words): (Current, _) = match course.by_supply {
        true if run.path.edges.is_none() => return (None, None),
        true => (line_a, "in the load's line alone"),
        false => (supply_a, "with all that is on"),
    };
    let points = plain_course(run, current, range);
    (canvas.curve(axes, Role::Other, "other current", &points), Some(words))
}

/// The two points and what lies between.
fn mark(
    canvas: &mut Canvas,
    axes: usize,
    course: &Course,
    start_line: Option<usize>,
    supply: Option<usize>,
    fast: Option<usize>,
) {
    let Some(nearest) = course.nearest else { return };
    let limit_line = if nearest.check == "surge" { supply } else { fast };
    let (Some(start_line), Some(limit_line)) = (start_line, limit_line) else { return };
    let frame = canvas.axes(axes).clone();
    let place = |p: (f64, f64)| (frame.x.place(p.0), frame.y.place(p.1));
    let (start, limit) = (place(nearest.start), place(nearest.limit));
    let inside = |p: (f64, f64)| frame.bounds.holds(&Bounds { left: p.0, right: p.0, top: p.1, bottom: p.1 });
    if !inside(start) || !inside(limit) {
        return;
    }
    canvas.rule("join", start, limit);
    canvas.dot("mark", start);
    canvas.dot("hollow", limit);
    let what = if nearest.check == "surge" { "supply" } else { "breaker" };
    let middle = (0.5 * (start.0 + limit.0), start.1);
    let (inner, outer) = if limit.0 > start.0 { (start, limit) } else { (limit, start) };
    canvas.name_point(
        axes,
        Type::Strong,
        &format!("{what}: {}", spare(nearest.margin)),
        &[outer, middle, inner],
    );
    canvas.limiting =
        Some(Limiting { check: nearest.check, margin: nearest.margin, start, limit, start_line, limit_line });
}

/// The picture in sentences.
fn description(run: &Run<'_>, course: &Course) -> String {
    let path = &run.path;
    let mut said = vec!["Current across, time up, both by factors.".to_owned()];
    if let Some(amps) = path.breaker_a.filter(|_| path.edges.is_some()) {
        said.push(format!(
            "What the {} A breaker is promised to hold, the band in which it may trip, and where it must.",
            number(amps)
        ));
    }
    if !path.surge.is_empty() {
        let ratings: Vec<String> = path.surge.iter().rev().map(|s| held(s.amps, s.for_s)).collect();
        said.push(format!("The {} allows {}.", path.supply_words(), ratings.join(", ")));
    }
    said.push("For each current the time that the start spends above it.".into());
    if let Some(nearest) = course.nearest {
        said.push(format!(
            "Nearest to the {}: {} A asked, {} A allowed for a start this long, {}.",
            if nearest.check == "surge" { path.supply_words() } else { "breaker's usual curve" },
            number(nearest.start.0),
            number(nearest.limit.0),
            spare(nearest.margin)
        ));
    } else {
        said.push("No limit in reach.".into());
    }
    said.join(" ")
}
