//! The time-current plane as figures: what breaker and supply allow, what a start is worth on it, where the two come nearest.
//! Shared by the picture and the terminal.

use super::runs::{Run, Runs, line_a, supply_a};
use crate::checks::breaker::warm;
use crate::checks::dose::{Warm, step, time_above};
use crate::checks::surge::ratings;
use crate::numeric::curve::{Curve, Law};
use crate::protection::hot_share;
use crate::start::{Row, Trace};

/// A limit as a curve of time against current, in A and s, from long times to high currents.
pub(super) struct Allowed {
    curve: Curve,
    warm: Option<Warm>,
}

/// What of a start is looked at.
pub(super) type Current = fn(&Row) -> f64;

/// Where start and limit come nearest, as current \[A\] and time \[s\].
#[derive(Debug, Clone, Copy)]
pub(super) struct Nearest {
    pub check: &'static str,
    pub margin: f64,
    pub start: (f64, f64),
    pub limit: (f64, f64),
}

/// A start on the plane.
pub(super) struct Course {
    pub points: Vec<(f64, f64)>,
    /// Whether its current is that of the supply, and not of the load's line.
    pub by_supply: bool,
    pub nearest: Option<Nearest>,
}

/// The plane's ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Range {
    pub amps: [f64; 2],
    pub seconds: [f64; 2],
}

/// Shortest time shown \[s\]: below a half cycle nothing trips.
const SHORTEST_S: f64 = 0.004;
/// Longest time shown with a breaker \[s\]: above its conventional time of up to two hours.
const LONGEST_S: f64 = 10_800.0;
/// Longest without \[s\].
const LONGEST_SURGE_S: f64 = 600.0;
/// The part of a scaled start that would run off the picture is not shown beyond this factor, either way (assumed, by eye).
pub(super) const SHOWN: f64 = 6.0;

impl Range {
    pub(super) fn of(runs: &Runs<'_>, direct: &Run<'_>) -> Range {
        let path = &direct.path;
        let (mut low, mut high) = (f64::INFINITY, 0.0f64);
        let mut take = |a: f64| {
            if a.is_finite() && a > 0.0 {
                (low, high) = (low.min(a), high.max(a));
            }
        };
        for run in runs.all() {
            for trace in &run.traces {
                take(trace.largest_rms_a());
                take(trace.largest_supply_a());
                take(trace.settled.map_or(f64::NAN, |s| s.line_a));
            }
        }
        if let Some(edges) = &path.edges {
            take(edges.guaranteed.forever());
            take(edges.at_once.certain_a);
        }
        if !path.surge.is_empty() {
            path.continuous_a.into_iter().chain(path.surge.iter().map(|s| s.amps)).for_each(&mut take);
        }
        let longest = if path.edges.is_some() { LONGEST_S } else { LONGEST_SURGE_S };
        let surge = path.surge.iter().filter_map(|s| s.for_s).fold(0.0, f64::max);
        Range { amps: [0.6 * low, 1.7 * high], seconds: [SHORTEST_S, longest.max(10.0 * surge)] }
    }

    /// A current and a time well beyond the ends, where curves begin and end.
    fn beyond(&self) -> [f64; 4] {
        [0.5 * self.amps[0], 2.0 * self.amps[1], 0.1 * self.seconds[0], 10.0 * self.seconds[1]]
    }
}

impl Allowed {
    pub(super) fn cold(curve: &Curve) -> Allowed {
        Allowed { curve: curve.clone(), warm: None }
    }

    /// The supply by its surge ratings; `None` where it has none.
    pub(super) fn supply(run: &Run<'_>) -> Option<Allowed> {
        (!run.path.surge.is_empty()).then(|| Allowed::cold(&ratings(&run.path)))
    }

    /// The breaker by its modelled curve, as warm as a start `k` times as large leaves it.
    pub(super) fn breaker(run: &Run<'_>, trace: &Trace, k: f64) -> Option<Allowed> {
        let curve = run.path.edges.as_ref()?.fast.clone();
        let warm = warm(&run.path, trace).map(|w| Warm { preload_a: k * w.preload_a, ..w });
        Some(Allowed { curve, warm })
    }

    pub(super) fn forever(&self) -> f64 {
        self.curve.forever()
    }

    /// How long a current is allowed \[s\].
    pub(super) fn time(&self, amps: f64) -> f64 {
        let cold = self.curve.time(amps);
        match self.warm {
            Some(w) if amps <= w.at_once_a && cold.is_finite() => {
                cold * hot_share(amps, w.preload_a, self.curve.forever())
            }
            _ => cold,
        }
    }

    /// The curve as points, from long times to high currents; it begins and ends beyond the picture.
    pub(super) fn points(&self, range: &Range) -> Vec<(f64, f64)> {
        let [low, high, short, long] = range.beyond();
        let mut points = Vec::new();
        let mut from = 0.0;
        for piece in self.curve.pieces() {
            let (a, b) = (f64::max(from, low), piece.up_to.min(high));
            from = piece.up_to;
            if b <= a {
                continue;
            }
            // a law holds above the end of the piece before
            let (inside, steps) = (a * (1.0 + 1e-12), if self.warm.is_some() { 60 } else { 1 });
            match piece.law {
                Law::Forever => points.push((b, long)),
                Law::Never => points.push((a, short)),
                Law::For(_) | Law::Power { .. } => {
                    for i in 0..=steps {
                        // rounding must not carry it into the next piece
                        let amps = (inside * (b / inside).powf(f64::from(i) / f64::from(steps))).min(b);
                        points.push((amps, self.time(amps).clamp(short, long)));
                    }
                }
            }
        }
        if let Some(&(a, t)) = points.last()
            && a < high
        {
            points.push((high, t));
        }
        points
    }

    /// The dose of a start whose currents are `k` times as large.
    fn dose(&self, trace: &Trace, current: Current, k: f64) -> f64 {
        let sum = |pair: &[Row]| {
            let (a, b) = (k * current(&pair[0]), k * current(&pair[1]));
            step(&self.curve, self.warm, a, b, pair[1].t_s - pair[0].t_s)
        };
        trace.rows.windows(2).map(sum).sum()
    }
}

/// The start on the plane: for each current the time spent above it, the settled current for ever; at its largest current the
/// time that the whole start is worth there (docs/plots.md), where a limit is near.
pub(super) fn course(run: &Run<'_>, range: &Range) -> Course {
    let decides = run.deciding(&["surge", "breaker"]).map(|f| f.id);
    let by_supply = decides == Some("surge");
    let current: Current = if by_supply { supply_a } else { line_a };
    let known = decides.and_then(|id| Some((id, run.margins(id)?)));
    let (trace, nearest) = match known {
        Some((id, (margins, trace))) => (trace, nearest(run, trace, current, id, margins.modelled, range)),
        None => (run.worst(), None),
    };
    let worth_s = nearest.filter(|n| n.start.0 >= largest(trace, current)).map_or(0.0, |n| n.start.1);
    Course { points: time_at(trace, current, worth_s, range), by_supply, nearest }
}

/// The same start by another current, to show beside.
pub(super) fn plain_course(run: &Run<'_>, current: Current, range: &Range) -> Vec<(f64, f64)> {
    time_at(run.worst(), current, 0.0, range)
}

fn largest(trace: &Trace, current: Current) -> f64 {
    trace.rows.iter().fold(0.0, |most: f64, row| most.max(current(row)))
}

/// The point that decides, for a margin that is bounded.
fn nearest(
    run: &Run<'_>,
    trace: &Trace,
    current: Current,
    check: &'static str,
    margin: f64,
    range: &Range,
) -> Option<Nearest> {
    let k = 1.0 + margin;
    if !k.is_finite() || k <= 0.0 {
        return None;
    }
    let allowed = if check == "surge" { Allowed::supply(run)? } else { Allowed::breaker(run, trace, k)? };
    let (low, high) = (k * (1.0 - NEAR), k * (1.0 + NEAR));
    let most = largest(trace, current);
    let settled = trace.settled.filter(|_| trace.starts()).map(|row| current(&row));
    // the running current meets what is carried for ever
    if let Some(settled) = settled
        && high * settled >= allowed.forever()
    {
        let above = allowed.time(allowed.forever() * (1.0 + NEAR)).max(range.seconds[0]);
        let from = time_above(trace, current, 1.0, settled * (1.0 + NEAR)).max(above);
        let at = (from.min(range.seconds[1]) * range.seconds[1]).sqrt();
        return Some(Nearest { check, margin, start: (settled, at), limit: (k * settled, at) });
    }
    let (longest, shortest) = (allowed.time(low * most), allowed.time(high * most));
    let worth = if longest.is_finite() {
        allowed.dose(trace, current, low).min(1.0) * longest
    } else {
        f64::INFINITY
    };
    // where all of it is carried for ever up to a limit, its own length is as good as any time
    let worth = if worth.is_finite() { worth } else { time_above(trace, current, 1.0, 0.9 * most) };
    let at =
        worth.clamp(shortest, longest.max(shortest)).clamp(2.0 * range.seconds[0], 0.5 * range.seconds[1]);
    Some(Nearest { check, margin, start: (most, at), limit: (k * most, at) })
}

/// Relative width within which a current sits on a limit: that of the margin's search, with room.
const NEAR: f64 = 1e-6;

/// Levels at which the time above is looked at, evenly; as many again at the currents of the trace itself.
const LEVELS: usize = 120;

fn time_at(trace: &Trace, current: Current, worth_s: f64, range: &Range) -> Vec<(f64, f64)> {
    let [low, _, short, long] = range.beyond();
    let most = largest(trace, current);
    let settled = trace.settled.filter(|_| trace.starts()).map(|row| current(&row));
    let least = settled.unwrap_or(low).max(low);
    let mut levels: Vec<f64> = Vec::with_capacity(4 * LEVELS);
    if most > least {
        levels.extend((0..=LEVELS).map(|i| least * (most / least).powf(i as f64 / LEVELS as f64)));
    }
    // a current that is held stands for a step in time
    let every = trace.rows.len().div_ceil(LEVELS).max(1);
    for row in trace.rows.iter().step_by(every) {
        levels.extend([current(row) * (1.0 - 1e-6), current(row) * (1.0 + 1e-6)]);
    }
    levels.retain(|a| *a > least && *a < most);
    levels.sort_by(|a, b| b.total_cmp(a));
    let mut points = vec![(most, short), (most, worth_s.max(short))];
    for level in levels {
        points.push((level, time_above(trace, current, 1.0, level).max(worth_s).max(short)));
    }
    let last = time_above(trace, current, 1.0, least).max(worth_s).max(short);
    points.push((least.min(most), last));
    match settled {
        // more for ever than the start itself asks for: the torque has built up since
        Some(settled) if settled > most => vec![(settled, short), (settled, long)],
        Some(_) => {
            points.push((least.min(most), long));
            points
        }
        None => points,
    }
}
