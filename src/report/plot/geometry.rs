//! Lines and areas cut at a frame, and thinned to what can be seen.

use super::place::Bounds;

/// Most points a drawn part of a curve has.
const MOST_POINTS: usize = 400;
/// How far a thinned curve may be from the whole one, in user units: less than a screen shows.
const THIN: f64 = 0.15;

/// A polyline cut at a box: the parts inside.
pub(super) fn cut(points: &[(f64, f64)], bounds: &Bounds) -> Vec<Vec<(f64, f64)>> {
    let mut parts: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut open = false;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let Some([from, to]) = bounds.clip(a, b) else {
            open = false;
            continue;
        };
        let at = |share: f64| {
            let p = (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1));
            // rounding must not leave it outside
            (p.0.clamp(bounds.left, bounds.right), p.1.clamp(bounds.top, bounds.bottom))
        };
        match parts.last_mut().filter(|_| open && from == 0.0) {
            Some(part) => part.push(at(to)),
            None => parts.push(vec![at(from), at(to)]),
        }
        open = to == 1.0;
    }
    parts
}

/// A polygon cut at a box, side by side (Sutherland and Hodgman 1974).
pub(super) fn cut_area(points: &[(f64, f64)], b: &Bounds) -> Vec<(f64, f64)> {
    // of each side: whether x decides, the edge, the direction that is inside
    let sides = [(true, b.left, 1.0), (true, b.right, -1.0), (false, b.top, 1.0), (false, b.bottom, -1.0)];
    let mut kept = points.to_vec();
    for (by_x, edge, sign) in sides {
        let depth = |p: &(f64, f64)| sign * (if by_x { p.0 } else { p.1 } - edge);
        let before = std::mem::take(&mut kept);
        for (i, q) in before.iter().enumerate() {
            let p = &before[(i + before.len() - 1) % before.len()];
            let (dp, dq) = (depth(p), depth(q));
            if (dp < 0.0) != (dq < 0.0) {
                let share = dp / (dp - dq);
                kept.push((p.0 + share * (q.0 - p.0), p.1 + share * (q.1 - p.1)));
            }
            if dq >= 0.0 {
                kept.push(*q);
            }
        }
    }
    kept
}

/// A polyline with no more points than can be seen (Douglas and Peucker 1973).
pub(super) fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut within = THIN;
    loop {
        let kept = thin(points, within);
        if kept.len() <= MOST_POINTS {
            return kept;
        }
        within *= 2.0;
    }
}

fn thin(points: &[(f64, f64)], within: f64) -> Vec<(f64, f64)> {
    if points.len() < 3 {
        return points.to_vec();
    }
    let mut keep = vec![false; points.len()];
    (keep[0], keep[points.len() - 1]) = (true, true);
    let mut todo = vec![(0, points.len() - 1)];
    while let Some((first, last)) = todo.pop() {
        let (a, b) = (points[first], points[last]);
        let farthest =
            (first + 1..last).map(|i| (i, from_segment(points[i], a, b))).max_by(|p, q| p.1.total_cmp(&q.1));
        if let Some((i, far)) = farthest
            && far > within
        {
            keep[i] = true;
            todo.extend([(first, i), (i, last)]);
        }
    }
    points.iter().zip(keep).filter(|(_, keep)| *keep).map(|(p, _)| *p).collect()
}

/// Distance of a point from a straight line between two others.
fn from_segment(p: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let square = dx * dx + dy * dy;
    let share =
        if square > 0.0 { (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / square).clamp(0.0, 1.0) } else { 0.0 };
    (p.0 - a.0 - share * dx).hypot(p.1 - a.1 - share * dy)
}
