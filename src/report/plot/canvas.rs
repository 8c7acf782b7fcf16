//! The drawing layer: frames, curves, areas, marks and texts, as SVG with text kept as text. What is drawn is kept as figures
//! beside, so that it can be looked at without a browser.

use std::fmt::Write as _;

use super::geometry::{cut, cut_area, thinned};
use super::place::{Anchor, BOLD, Bounds, NEAR, Placer, Spot, distance, text_bounds, width_em};
use super::scale::{Scale, Tick};
use super::{Limiting, Picture, Plot};

/// What a line or an area stands for; one style for each (docs/plots.md).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// What is asked at the point that decides, and its distance from what is allowed.
    Asked,
    /// What is allowed.
    Limit,
    /// What standard or maker promise.
    Promised,
    /// What the model takes a device to do.
    Assumed,
    /// What is certain to fail.
    Certain,
    /// The direct start.
    Direct,
    /// The start behind the starter.
    Reduced,
    /// A start or curve to compare with.
    Other,
}

impl Role {
    /// Every role.
    pub const ALL: [Role; 8] = [
        Role::Asked,
        Role::Limit,
        Role::Promised,
        Role::Assumed,
        Role::Certain,
        Role::Direct,
        Role::Reduced,
        Role::Other,
    ];

    /// Its word, which the style sheet's classes have.
    pub fn word(self) -> &'static str {
        match self {
            Role::Asked => "asked",
            Role::Limit => "limit",
            Role::Promised => "promised",
            Role::Assumed => "assumed",
            Role::Certain => "certain",
            Role::Direct => "direct",
            Role::Reduced => "reduced",
            Role::Other => "other",
        }
    }
}

/// A frame with its two scales; y grows downwards, so that an upright scale runs from the lower edge to the upper.
#[derive(Debug, Clone, PartialEq)]
pub struct Axes {
    /// The frame.
    pub bounds: Bounds,
    /// Across.
    pub x: Scale,
    /// Up.
    pub y: Scale,
}

/// A curve as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is.
    pub name: String,
    /// What it stands for.
    pub role: Role,
    /// In which frame, as an index.
    pub axes: usize,
    /// Its points in user units, in parts where the frame cuts it.
    pub parts: Vec<Vec<(f64, f64)>>,
}

/// A text as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The text.
    pub text: String,
    /// The room it takes, on the safe side.
    pub bounds: Bounds,
}

/// Kinds of text, with their size in user units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Type {
    Head,
    Label,
    Strong,
    Tick,
}

impl Type {
    pub(super) fn size(self) -> f64 {
        match self {
            Type::Head => 15.0,
            Type::Label | Type::Strong => 12.0,
            Type::Tick => 11.0,
        }
    }

    fn wide(self) -> bool {
        matches!(self, Type::Head | Type::Strong)
    }

    fn word(self) -> &'static str {
        match self {
            Type::Head => "head",
            Type::Label => "label",
            Type::Strong => "label strong",
            Type::Tick => "tick",
        }
    }
}

/// A picture under construction.
pub(super) struct Canvas {
    plot: Plot,
    width: f64,
    height: f64,
    axes: Vec<Axes>,
    fills: String,
    hairs: String,
    curves: Vec<(usize, String)>,
    over: String,
    texts: String,
    pub lines: Vec<Line>,
    labels: Vec<Label>,
    placer: Placer,
    pub limiting: Option<Limiting>,
}

impl Canvas {
    pub(super) fn new(plot: Plot, width: f64, height: f64) -> Canvas {
        Canvas {
            plot,
            width,
            height,
            axes: Vec::new(),
            fills: String::new(),
            hairs: String::new(),
            curves: Vec::new(),
            over: String::new(),
            texts: String::new(),
            lines: Vec::new(),
            labels: Vec::new(),
            placer: Placer::default(),
            limiting: None,
        }
    }

    pub(super) fn add(&mut self, axes: Axes) -> usize {
        let b = axes.bounds;
        // a label on the frame is as hard to read as one on a curve
        self.placer.lines.push(vec![
            (b.left, b.top),
            (b.right, b.top),
            (b.right, b.bottom),
            (b.left, b.bottom),
            (b.left, b.top),
        ]);
        let _ = write!(
            self.over,
            r#"<rect class="frame" x="{}" y="{}" width="{}" height="{}"/>"#,
            n(b.left),
            n(b.top),
            n(b.right - b.left),
            n(b.bottom - b.top)
        );
        self.axes.push(axes);
        self.axes.len() - 1
    }

    pub(super) fn axes(&self, i: usize) -> &Axes {
        &self.axes[i]
    }

    /// Ticks across below a frame; without words, the lines alone.
    pub(super) fn ticks_across(&mut self, axes: usize, ticks: &[Tick], words: bool) {
        let Axes { bounds: b, x, .. } = self.axes[axes].clone();
        for tick in ticks {
            let at = x.place(tick.at);
            if tick.label.is_empty() {
                self.stroke("minor", (at, b.bottom), (at, b.bottom - 3.0));
                continue;
            }
            self.stroke("hair", (at, b.top), (at, b.bottom));
            if words {
                self.text_if_free(
                    Type::Tick,
                    &tick.label,
                    Spot { x: at, y: b.bottom + 15.0, anchor: Anchor::Middle },
                );
            }
        }
    }

    /// Ticks up, left of a frame.
    pub(super) fn ticks_up(&mut self, axes: usize, ticks: &[Tick]) {
        let Axes { bounds: b, y, .. } = self.axes[axes].clone();
        for tick in ticks {
            let at = y.place(tick.at);
            if tick.label.is_empty() {
                self.stroke("minor", (b.left, at), (b.left + 3.0, at));
                continue;
            }
            self.stroke("hair", (b.left, at), (b.right, at));
            self.text_if_free(
                Type::Tick,
                &tick.label,
                Spot { x: b.left - 6.0, y: at + 4.0, anchor: Anchor::End },
            );
        }
    }

    fn stroke(&mut self, class: &str, a: (f64, f64), b: (f64, f64)) {
        let _ = write!(
            self.hairs,
            r#"<line class="{class}" x1="{}" y1="{}" x2="{}" y2="{}"/>"#,
            n(a.0),
            n(a.1),
            n(b.0),
            n(b.1)
        );
    }

    /// A straight line in user units, over the curves.
    pub(super) fn rule(&mut self, class: &str, a: (f64, f64), b: (f64, f64)) {
        let _ = write!(
            self.over,
            r#"<line class="{class}" x1="{}" y1="{}" x2="{}" y2="{}"/>"#,
            n(a.0),
            n(a.1),
            n(b.0),
            n(b.1)
        );
        self.placer.lines.push(vec![a, b]);
    }

    /// A box in user units, filled as the role is.
    pub(super) fn bar(&mut self, role: Role, bounds: Bounds) {
        let b = bounds;
        let _ = write!(
            self.over,
            r#"<rect class="area {0}" {1}x="{2}" y="{3}" width="{4}" height="{5}"/><rect class="edge {0}" x="{2}" y="{3}" width="{4}" height="{5}"/>"#,
            role.word(),
            pattern(role),
            n(b.left),
            n(b.top),
            n(b.right - b.left),
            n(b.bottom - b.top)
        );
    }

    /// A curve through points given as figures. It is cut at the frame and thinned; `None` where nothing of it is inside.
    pub(super) fn curve(
        &mut self,
        axes: usize,
        role: Role,
        name: &str,
        points: &[(f64, f64)],
    ) -> Option<usize> {
        let frame = &self.axes[axes];
        let placed: Vec<(f64, f64)> =
            points.iter().map(|p| (frame.x.place(p.0), frame.y.place(p.1))).collect();
        let mut parts = cut(&placed, &frame.bounds);
        for part in &mut parts {
            *part = thinned(part);
        }
        parts.retain(|p| p.len() > 1);
        if parts.is_empty() {
            return None;
        }
        let mut d = String::new();
        for part in &parts {
            for (i, p) in part.iter().enumerate() {
                let _ = write!(d, "{}{} {}", if i == 0 { 'M' } else { 'L' }, n(p.0), n(p.1));
            }
        }
        self.curves.push((axes, format!(r#"<path class="line {}" d="{d}"/>"#, role.word())));
        self.placer.lines.extend(parts.iter().cloned());
        self.lines.push(Line { name: name.to_owned(), role, axes, parts });
        Some(self.lines.len() - 1)
    }

    /// An area within points given as figures, cut at the frame.
    pub(super) fn area(&mut self, axes: usize, role: Role, points: &[(f64, f64)]) {
        let frame = &self.axes[axes];
        let placed: Vec<(f64, f64)> =
            points.iter().map(|p| (frame.x.place(p.0), frame.y.place(p.1))).collect();
        let inside = thinned(&cut_area(&placed, &frame.bounds));
        if inside.len() < 3 {
            return;
        }
        let list: Vec<String> = inside.iter().map(|p| format!("{},{}", n(p.0), n(p.1))).collect();
        let _ = write!(
            self.fills,
            r#"<polygon class="area {}" {}points="{}"/>"#,
            role.word(),
            pattern(role),
            list.join(" ")
        );
    }

    /// A dot.
    pub(super) fn dot(&mut self, class: &str, at: (f64, f64)) {
        let _ = write!(self.over, r#"<circle class="{class}" cx="{}" cy="{}" r="4"/>"#, n(at.0), n(at.1));
        self.placer.taken.push(Bounds { left: at.0, top: at.1, right: at.0, bottom: at.1 }.grown(4.5));
    }

    /// A diamond, full or hollow.
    pub(super) fn diamond(&mut self, class: &str, at: (f64, f64)) {
        let (x, y) = at;
        let _ = write!(
            self.over,
            r#"<path class="{class}" d="M{} {}L{} {}L{} {}L{} {}Z"/>"#,
            n(x - 5.5),
            n(y),
            n(x),
            n(y - 5.5),
            n(x + 5.5),
            n(y),
            n(x),
            n(y + 5.5)
        );
    }

    /// A text where it is said.
    pub(super) fn text(&mut self, kind: Type, text: &str, spot: Spot) {
        let bounds = text_bounds(text, kind.size(), kind.wide(), spot);
        let anchor = match spot.anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let _ = write!(
            self.texts,
            r#"<text class="{}" x="{}" y="{}"{anchor}>{}</text>"#,
            kind.word(),
            n(spot.x),
            n(spot.y),
            escaped(text)
        );
        self.placer.taken.push(bounds);
        self.labels.push(Label { text: text.to_owned(), bounds });
    }

    /// Whether nothing is written where a text would be, inside the picture.
    pub(super) fn is_free(&self, kind: Type, text: &str, spot: Spot) -> bool {
        self.placer.free(&text_bounds(text, kind.size(), kind.wide(), spot), &self.page())
    }

    /// A text where it is said, unless something is written there or it would leave the picture.
    pub(super) fn text_if_free(&mut self, kind: Type, text: &str, spot: Spot) {
        if self.is_free(kind, text, spot) {
            self.text(kind, text, spot);
        }
    }

    /// The heading.
    pub(super) fn head(&mut self, text: &str) {
        let text = shortened(text, Type::Head, self.width - 32.0);
        self.text(Type::Head, &text, Spot { x: 16.0, y: 24.0, anchor: Anchor::Start });
    }

    /// The whole picture less a margin.
    pub(super) fn page(&self) -> Bounds {
        Bounds { left: 2.0, top: 2.0, right: self.width - 2.0, bottom: self.height - 2.0 }
    }

    /// Names a curve beside it, near the share `wanted` of its longest part.
    pub(super) fn name(&mut self, line: Option<usize>, kind: Type, text: &str, wanted: f64) {
        let Some(axes) = line.and_then(|i| self.lines.get(i)).map(|l| l.axes) else { return };
        let room = self.axes[axes].bounds.grown(-3.0);
        self.name_within(line, kind, text, wanted, room);
    }

    /// The same where there is room close by, else not at all: for what can be told without.
    pub(super) fn name_if_near(&mut self, line: usize, kind: Type, text: &str, wanted: f64) {
        let Some(line) = self.lines.get(line) else { return };
        let room = self.axes[line.axes].bounds.grown(-3.0);
        let named = (text, kind.size(), kind.wide());
        let found = line.parts.first().and_then(|part| self.placer.along(part, wanted, named, &room));
        let near = |(spot, of): &(Spot, (f64, f64))| {
            let bounds = text_bounds(text, kind.size(), kind.wide(), *spot);
            distance(&bounds, *of) <= NEAR && !self.placer.covers_line(&bounds)
        };
        let found = found.filter(near);
        self.place(kind, text, found);
    }

    /// The same within a part of the frame, rather than anywhere.
    pub(super) fn name_within(
        &mut self,
        line: Option<usize>,
        kind: Type,
        text: &str,
        wanted: f64,
        room: Bounds,
    ) {
        let Some(line) = line.and_then(|i| self.lines.get(i)) else { return };
        let length = |part: &Vec<(f64, f64)>| -> f64 {
            part.windows(2).map(|p| (p[1].0 - p[0].0).hypot(p[1].1 - p[0].1)).sum()
        };
        let Some(part) = line.parts.iter().max_by(|a, b| length(a).total_cmp(&length(b))) else { return };
        let whole = self.axes[line.axes].bounds.grown(-3.0);
        let text = shortened(text, kind, 0.5 * (whole.right - whole.left));
        let named = (text.as_str(), kind.size(), kind.wide());
        let found = self
            .placer
            .along(part, wanted, named, &room)
            .or_else(|| self.placer.along(part, wanted, named, &whole));
        self.place(kind, &text, found);
    }

    /// Names a point of a frame, or any of several that go together.
    pub(super) fn name_point(&mut self, axes: usize, kind: Type, text: &str, at: &[(f64, f64)]) {
        let room = self.axes[axes].bounds.grown(-3.0);
        let text = shortened(text, kind, 0.6 * (room.right - room.left));
        let found = self.placer.beside(at, (&text, kind.size(), kind.wide()), &room);
        self.place(kind, &text, found);
    }

    fn place(&mut self, kind: Type, text: &str, found: Option<(Spot, (f64, f64))>) {
        let Some((spot, of)) = found else { return };
        let bounds = text_bounds(text, kind.size(), kind.wide(), spot);
        if distance(&bounds, of) > NEAR {
            let x = of.0.clamp(bounds.left, bounds.right);
            let y = if of.1 < bounds.top { bounds.top } else { of.1.min(bounds.bottom) };
            self.rule("leader", (x, y), of);
        }
        self.text(kind, text, spot);
    }

    /// The picture.
    pub(super) fn finish(self, title: String, description: String) -> Picture {
        let mut body =
            format!(r#"<rect class="paper" width="{}" height="{}"/>"#, n(self.width), n(self.height));
        // clips for what is drawn in each frame: strokes are wider than their points
        let mut clips = String::new();
        for (i, axes) in self.axes.iter().enumerate() {
            let b = axes.bounds;
            let _ = write!(
                clips,
                r#"<clipPath id="@-frame-{i}"><rect x="{}" y="{}" width="{}" height="{}"/></clipPath>"#,
                n(b.left),
                n(b.top),
                n(b.right - b.left),
                n(b.bottom - b.top)
            );
        }
        let _ = write!(body, "<defs>{PATTERNS}{clips}</defs>{}{}", self.fills, self.hairs);
        for (axes, curve) in &self.curves {
            let _ = write!(body, r#"<g clip-path="url(#@-frame-{axes})">{curve}</g>"#);
        }
        body.push_str(&self.over);
        Picture {
            plot: self.plot,
            title,
            description,
            width: self.width,
            height: self.height,
            drawn: body,
            texts: self.texts,
            axes: self.axes,
            lines: self.lines,
            labels: self.labels,
            limiting: self.limiting,
        }
    }
}

/// Fill patterns, one for each role that has one: told apart in grey.
const PATTERNS: &str = concat!(
    r#"<pattern id="@-assumed" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">"#,
    r#"<line class="hatch" x1="0" y1="0" x2="0" y2="7"/></pattern>"#,
    r#"<pattern id="@-certain" width="6" height="6" patternUnits="userSpaceOnUse">"#,
    r#"<path class="hatch dense" d="M0 0L6 6M6 0L0 6"/></pattern>"#,
);

fn pattern(role: Role) -> &'static str {
    match role {
        Role::Assumed => r#"fill="url(#@-assumed)" "#,
        Role::Certain => r#"fill="url(#@-certain)" "#,
        _ => "",
    }
}

/// A length to a tenth of a user unit.
fn n(x: f64) -> String {
    let x = (10.0 * x).round() / 10.0;
    // minus nothing is nothing
    if x == 0.0 { "0".into() } else { x.to_string() }
}

/// A text for XML. Characters that XML does not know are left out.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}

/// A text cut to a width in user units, with an ellipsis.
pub(super) fn shortened(text: &str, kind: Type, width: f64) -> String {
    let em = width / kind.size() / if kind.wide() { BOLD } else { 1.0 };
    if width_em(text) <= em {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        if width_em(&kept) + width_em(&c.to_string()) + 1.1 > em {
            break;
        }
        kept.push(c);
    }
    let kept = kept.trim_end();
    // an isolate that was opened is closed
    let close = if kept.contains('\u{2068}') && !kept.contains('\u{2069}') { "\u{2069}" } else { "" };
    format!("{kept}\u{2026}{close}")
}
