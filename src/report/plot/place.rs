//! Places for labels: beside what they name, inside the picture, over nothing else that is written.

/// A box in user units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Left edge.
    pub left: f64,
    /// Upper edge; y grows downwards.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Bounds {
    /// Whether two boxes have some of their area in common.
    pub fn overlaps(&self, other: &Bounds) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// Whether another box lies within this one.
    pub fn holds(&self, other: &Bounds) -> bool {
        other.left >= self.left
            && other.right <= self.right
            && other.top >= self.top
            && other.bottom <= self.bottom
    }

    /// The box grown by so much on all sides.
    #[must_use]
    pub fn grown(&self, by: f64) -> Bounds {
        Bounds { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    /// The part of a line between two points that lies within the box, as shares of its length.
    pub(super) fn clip(&self, a: (f64, f64), b: (f64, f64)) -> Option<[f64; 2]> {
        let (mut from, mut to) = (0.0f64, 1.0f64);
        let sides = [(a.0, b.0 - a.0, self.left, self.right), (a.1, b.1 - a.1, self.top, self.bottom)];
        for (at, way, low, high) in sides {
            if way == 0.0 {
                if at < low || at > high {
                    return None;
                }
                continue;
            }
            let (p, q) = ((low - at) / way, (high - at) / way);
            from = from.max(p.min(q));
            to = to.min(p.max(q));
        }
        (from <= to).then_some([from, to])
    }
}

/// Which end of a text its point is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// A place for a text: a point on its base line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Where the anchor is.
    pub x: f64,
    /// Where the base line is.
    pub y: f64,
    /// What is at `x`.
    pub anchor: Anchor,
}

/// Width of a text in ems, on the safe side of the sans-serif faces that are found: that of one of the widest, by kinds of letters,
/// as a browser measures it (tests/plots).
pub fn width_em(text: &str) -> f64 {
    text.chars().map(char_em).sum()
}

fn char_em(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' => 0.28,
        'I' | 'J' | ' ' | ',' | '.' => 0.32,
        '/' | ':' | ';' | '\\' | '|' => 0.34,
        'f' | 'r' | 't' | '-' | '(' | ')' | '[' | ']' | '!' => 0.41,
        's' | 'c' | 'z' | 'L' | '?' | '*' | '_' | '`' | '"' => 0.56,
        'w' | '+' | '#' | '=' | '<' | '>' | '~' | '^' | '&' | 'G' | 'O' | 'Q' => 0.84,
        'M' | 'm' | 'W' | '%' | '@' => 1.0,
        'E' | 'F' | 'P' | 'S' | 'T' | 'Y' | 'Z' => 0.69,
        'A'..='Z' => 0.78,
        // isolates take no room
        '\u{2066}'..='\u{2069}' => 0.0,
        c if c.is_ascii() => 0.64,
        '\u{80}'..='\u{24f}' => 0.8,
        // Greek, Cyrillic, Hebrew, Arabic and the like
        '\u{250}'..='\u{fff}' => 0.9,
        // other scripts: up to a whole em
        _ => 1.05,
    }
}

/// The box of a text of this size (user units to the em) at a spot; `wide` for bold.
pub fn text_bounds(text: &str, size: f64, wide: bool, spot: Spot) -> Bounds {
    let width = width_em(text) * size * if wide { BOLD } else { 1.0 };
    let left = match spot.anchor {
        Anchor::Start => spot.x,
        Anchor::Middle => spot.x - 0.5 * width,
        Anchor::End => spot.x - width,
    };
    Bounds { left, top: spot.y - 0.82 * size, right: left + width, bottom: spot.y + 0.26 * size }
}

/// How much wider bold letters are, on the safe side.
pub(super) const BOLD: f64 = 1.14;

/// What is drawn already and labels keep clear of.
#[derive(Debug, Default)]
pub(super) struct Placer {
    /// Boxes no label may touch.
    pub taken: Vec<Bounds>,
    /// Lines that labels avoid where they can.
    pub lines: Vec<Vec<(f64, f64)>>,
}

/// Room between a label and what it names.
const GAP: f64 = 7.0;
/// Between two labels.
const APART: f64 = 2.0;
/// How far a label may be from what it names without a line that leads there.
pub(super) const NEAR: f64 = 22.0;
/// What a user unit of a line under a label costs against one of distance from where the label should be (assumed, by eye).
const CROSSED: f64 = 6.0;

impl Placer {
    /// Length of drawn lines under a box.
    fn crossed(&self, bounds: &Bounds) -> f64 {
        let mut sum = 0.0;
        for line in &self.lines {
            for pair in line.windows(2) {
                let (a, b) = (pair[0], pair[1]);
                // most are far away
                if a.0.max(b.0) < bounds.left
                    || a.0.min(b.0) > bounds.right
                    || a.1.max(b.1) < bounds.top
                    || a.1.min(b.1) > bounds.bottom
                {
                    continue;
                }
                if let Some([from, to]) = bounds.clip(a, b) {
                    sum += (to - from) * (b.0 - a.0).hypot(b.1 - a.1) + 1.0;
                }
            }
        }
        sum
    }

    /// Whether a drawn line runs under a box.
    pub(super) fn covers_line(&self, bounds: &Bounds) -> bool {
        self.crossed(bounds) > 0.0
    }

    /// Whether a box is inside `room` and touches no label.
    pub(super) fn free(&self, bounds: &Bounds, room: &Bounds) -> bool {
        let wide = bounds.grown(APART);
        room.holds(bounds) && !self.taken.iter().any(|t| t.overlaps(&wide))
    }

    /// The best place for a text that names a line: along it, near the share `wanted` of its length; else anywhere in `room`,
    /// as near as can be. With the point it names. `None` where there is no room at all.
    pub(super) fn along(
        &self,
        line: &[(f64, f64)],
        wanted: f64,
        (text, size, wide): (&str, f64, bool),
        room: &Bounds,
    ) -> Option<(Spot, (f64, f64))> {
        const PLACES: usize = 40;
        let length = |pair: &[(f64, f64)]| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
        let whole: f64 = line.windows(2).map(length).sum();
        let mut best: Option<(f64, Spot, (f64, f64))> = None;
        let mut consider = |cost: f64, spot: Spot, of: (f64, f64)| {
            if best.as_ref().is_some_and(|b| b.0 <= cost) {
                return;
            }
            let bounds = text_bounds(text, size, wide, spot);
            if self.free(&bounds, room) {
                let cost = cost + CROSSED * self.crossed(&bounds.grown(1.5));
                if best.as_ref().is_none_or(|b| cost < b.0) {
                    best = Some((cost, spot, of));
                }
            }
        };
        for i in 0..=PLACES {
            let share = i as f64 / PLACES as f64;
            let at = point_along(line, share * whole);
            let off = 150.0 * (share - wanted).abs();
            for (more, spot) in around(at, size, GAP) {
                consider(off + more, spot, at);
            }
        }
        let target = point_along(line, wanted * whole);
        self.anywhere(target, (text, size, wide), room, best)
    }

    /// The best place for a text that names any of these points, rather the first.
    pub(super) fn beside(
        &self,
        points: &[(f64, f64)],
        (text, size, wide): (&str, f64, bool),
        room: &Bounds,
    ) -> Option<(Spot, (f64, f64))> {
        let mut best: Option<(f64, Spot, (f64, f64))> = None;
        let rings = [(0.0, GAP), (8.0, 2.8 * GAP)];
        let each = points.iter().enumerate().flat_map(|(i, at)| {
            rings.iter().flat_map(move |(far, gap)| {
                around(*at, size, *gap).map(|(more, spot)| (3.0 * i as f64 + far + more, spot, *at))
            })
        });
        for (more, spot, at) in each {
            let bounds = text_bounds(text, size, wide, spot);
            if self.free(&bounds, room) {
                let cost = more + CROSSED * self.crossed(&bounds.grown(1.5));
                if best.as_ref().is_none_or(|b| cost < b.0) {
                    best = Some((cost, spot, at));
                }
            }
        }
        let target = points.first().copied()?;
        self.anywhere(target, (text, size, wide), room, best)
    }

    /// `best`, or some other place in `room` that is better although it needs a line that leads there.
    fn anywhere(
        &self,
        target: (f64, f64),
        (text, size, wide): (&str, f64, bool),
        room: &Bounds,
        best: Option<(f64, Spot, (f64, f64))>,
    ) -> Option<(Spot, (f64, f64))> {
        // a place that crosses nothing much is as good as any
        let mut best = best;
        if best.as_ref().is_none_or(|b| b.0 > 80.0) {
            let width = width_em(text) * size * if wide { BOLD } else { 1.0 };
            let (across, down) = (10.0, 7.0);
            let columns = ((room.right - room.left - width) / across).floor();
            let rows = ((room.bottom - room.top) / down).floor();
            if columns >= 0.0 && rows >= 0.0 {
                for (i, j) in (0..=columns as usize).flat_map(|i| (0..=rows as usize).map(move |j| (i, j))) {
                    let spot = Spot {
                        x: room.left + 1.0 + across * i as f64,
                        y: room.top + size + down * j as f64,
                        anchor: Anchor::Start,
                    };
                    let bounds = text_bounds(text, size, wide, spot);
                    let cost = 60.0 + 1.5 * distance(&bounds, target);
                    if best.as_ref().is_some_and(|b| b.0 <= cost) || !self.free(&bounds, room) {
                        continue;
                    }
                    let cost = cost + CROSSED * self.crossed(&bounds.grown(1.5));
                    if best.as_ref().is_none_or(|b| cost < b.0) {
                        best = Some((cost, spot, target));
                    }
                }
            }
        }
        best.map(|(_, spot, of)| (spot, of))
    }
}

/// The places beside a point, with what they cost: right, left, above, below, and the corners.
fn around(at: (f64, f64), size: f64, gap: f64) -> [(f64, Spot); 8] {
    let (x, y) = at;
    let (middle, above, below) = (y + 0.32 * size, y - gap, y + gap + 0.7 * size);
    let spot = |x: f64, y: f64, anchor| Spot { x, y, anchor };
    [
        (0.0, spot(x + gap, middle, Anchor::Start)),
        (1.0, spot(x - gap, middle, Anchor::End)),
        (0.5, spot(x, above, Anchor::Middle)),
        (2.0, spot(x, below, Anchor::Middle)),
        (1.5, spot(x + gap, above, Anchor::Start)),
        (2.5, spot(x - gap, above, Anchor::End)),
        (2.5, spot(x + gap, below, Anchor::Start)),
        (3.0, spot(x - gap, below, Anchor::End)),
    ]
}

/// Distance of a point from a box.
pub(super) fn distance(bounds: &Bounds, at: (f64, f64)) -> f64 {
    let dx = (bounds.left - at.0).max(at.0 - bounds.right).max(0.0);
    let dy = (bounds.top - at.1).max(at.1 - bounds.bottom).max(0.0);
    dx.hypot(dy)
}

/// The point so far along a line.
fn point_along(line: &[(f64, f64)], mut far: f64) -> (f64, f64) {
    for pair in line.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        if far <= length && length > 0.0 {
            let share = far / length;
            return (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1));
        }
        far -= length;
    }
    line.last().copied().unwrap_or_default()
}
