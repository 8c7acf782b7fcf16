//! Plots of one load on one supply, as SVG: drawn here, text kept as text (docs/plots.md).
//!
//! A plot is a file and an arm of [`Plot::draw`]. It draws on a canvas that knows scales, frames and labels and nothing of
//! motors; what is drawn stays at hand as figures in the [`Picture`], for tests.

mod canvas;
mod geometry;
mod margins;
mod place;
mod plane;
mod reduction;
mod runs;
mod scale;
mod start;
mod style;
mod terminal;
mod torque;
mod trip;

pub use canvas::{Axes, Label, Line, Role};
pub use place::{Anchor, Bounds, Spot, text_bounds, width_em};
pub use scale::{Scale, Tick};
pub use style::STYLE;
pub use terminal::terminal;

use crate::advise::Start;
use crate::case::Case;
use canvas::escaped;
use runs::Runs;

/// A start with the case it is of.
#[derive(Debug, Clone)]
pub struct Told {
    /// What it is called: "direct", "behind the soft starter".
    pub label: String,
    /// The case.
    pub case: Case,
    /// The case, judged.
    pub start: Start,
}

/// What plots are about: one load on one supply.
#[derive(Debug, Clone)]
pub struct Subject {
    /// The direct start.
    pub direct: Told,
    /// The same behind a starter.
    pub reduced: Option<Told>,
    /// The direct start at the other pressure.
    pub restart: Option<Told>,
}

/// The plots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plot {
    /// Time against current: breaker, supply and start.
    TimeCurrent,
    /// Current, voltage and speed against time.
    Start,
    /// Current alone against time.
    Current,
    /// Torque against speed.
    Torque,
    /// The margin of each check.
    Margins,
    /// The start-current reductions that pass.
    Reduction,
}

impl Plot {
    /// Every plot, in the order they are read.
    pub const ALL: [Plot; 6] =
        [Plot::TimeCurrent, Plot::Start, Plot::Current, Plot::Torque, Plot::Margins, Plot::Reduction];

    /// Its word on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Plot::TimeCurrent => "trip",
            Plot::Start => "start",
            Plot::Current => "current",
            Plot::Torque => "torque",
            Plot::Margins => "margins",
            Plot::Reduction => "reduction",
        }
    }

    /// Draws it; `None` where it has no subject: torque of what does not turn, a start that cannot be run.
    pub fn draw(self, subject: &Subject) -> Option<Picture> {
        self.draw_of(&Runs::new(subject))
    }

    fn draw_of(self, runs: &Runs<'_>) -> Option<Picture> {
        match self {
            Plot::TimeCurrent => trip::draw(runs),
            Plot::Start => start::draw(runs),
            Plot::Current => start::draw_current(runs),
            Plot::Torque => torque::draw(runs),
            Plot::Margins => margins::draw(runs),
            Plot::Reduction => reduction::draw(runs),
        }
    }
}

/// All plots of a subject that have one to show, in the order of [`Plot::ALL`]: quicker than one by one.
pub fn pictures(subject: &Subject) -> Vec<Picture> {
    let runs = Runs::new(subject);
    Plot::ALL.into_iter().filter_map(|plot| plot.draw_of(&runs)).collect()
}

/// The point at which the start comes nearest to what decides (docs/plots.md), in user units.
#[derive(Debug, Clone, PartialEq)]
pub struct Limiting {
    /// Which check it is of.
    pub check: &'static str,
    /// The margin: how much larger the whole start current could be.
    pub margin: f64,
    /// On the start's curve.
    pub start: (f64, f64),
    /// On the limit's curve, at the same time.
    pub limit: (f64, f64),
    /// The start's curve, as an index into [`Picture::lines`].
    pub start_line: usize,
    /// The limit's curve, likewise.
    pub limit_line: usize,
}

/// A plot, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Which plot.
    pub plot: Plot,
    /// Its title.
    pub title: String,
    /// What it shows, in sentences.
    pub description: String,
    /// Width in user units.
    pub width: f64,
    /// Height in user units.
    pub height: f64,
    /// Its frames.
    pub axes: Vec<Axes>,
    /// Its curves.
    pub lines: Vec<Line>,
    /// Its texts.
    pub labels: Vec<Label>,
    /// The point that decides, on the time-current plane.
    pub limiting: Option<Limiting>,
    /// What is drawn, `@` standing for the prefix of ids.
    drawn: String,
    /// What is written.
    texts: String,
}

impl Picture {
    /// As an element of an HTML page, which carries [`STYLE`] once: ids begin with the plot's word and do not meet those of
    /// other pictures.
    pub fn inline(&self) -> String {
        self.element("", "")
    }

    /// As a file of its own, with the style sheet inside.
    pub fn file(&self) -> String {
        let space = r#" xmlns="http://www.w3.org/2000/svg""#;
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
            self.element(space, &format!("<style>{STYLE}</style>"))
        )
    }

    fn element(&self, attributes: &str, style: &str) -> String {
        let word = self.plot.word();
        let id = format!("{word}-{:08x}", super::hash(&format!("{}{}", self.drawn, self.texts)) as u32);
        format!(
            "<svg{attributes} class=\"plot plot-{word}\" viewBox=\"0 0 {} {}\" role=\"img\" direction=\"ltr\" \
             aria-labelledby=\"{id}-title {id}-desc\"><title id=\"{id}-title\">{}</title><desc id=\"{id}-desc\">{}</desc>\
             {style}{}{}</svg>",
            self.width,
            self.height,
            escaped(&self.title),
            escaped(&self.description),
            self.drawn.replace('@', &id),
            self.texts
        )
    }
}
