//! Checks: each asks one question of a start and answers with a margin in three readings (docs/models.md, "Margin").
//!
//! A check is one type in one file and one line in [`ALL`]. It says whether it applies, and whether it holds when the whole
//! start current is multiplied by `k`; the margin, the largest such `k` minus one, is found here once for all, unless the
//! check has it in closed form. Checks read traces; they never change them, and know nothing of reports.

mod acceleration;
pub(crate) mod breaker;
mod breaker_instantaneous;
mod conductor;
mod continuous;
mod disconnection;
pub(crate) mod dose;
mod later;
pub(crate) mod overload_protector;
mod peak_current;
pub mod say;
pub(crate) mod surge;
mod terminal_voltage;

use crate::case::{Case, Path};
use crate::start::Trace;

pub use later::NOT_MODELLED;

/// All checks, in the order of the report.
pub const ALL: [&dyn Check; 16] = [
    &surge::Surge,
    &peak_current::PeakCurrent,
    &breaker::Breaker,
    &breaker_instantaneous::BreakerInstantaneous,
    &terminal_voltage::TerminalVoltage,
    &acceleration::Acceleration,
    &overload_protector::OverloadProtector,
    &later::Battery,
    &later::DcFuse,
    &later::DcCable,
    &later::LowVoltage,
    &conductor::Conductor,
    &continuous::Continuous,
    &disconnection::Disconnection,
    &later::GeneratorDip,
    &later::ShoreOutlet,
];

/// How far a reading can be relied on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// What standard or maker promise.
    Guaranteed,
    /// The model.
    Modelled,
    /// Beyond it the check fails for certain.
    ToFail,
}

/// Whether a check is to be made.
#[derive(Debug, Clone, PartialEq)]
pub enum Needs {
    /// It is.
    Applies,
    /// It has nothing to do with this case.
    Absent,
    /// It would apply, had the site file the part it is about: listed as not checked.
    NotGiven,
    /// It applies, but a figure is missing: its path below the case.
    Missing(&'static str),
    /// It applies, but its model comes later: what of it.
    NotModelled(&'static str),
}

/// How a check came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// It holds.
    Pass,
    /// It may or may not.
    Uncertain,
    /// It does not.
    Fail,
}

/// The three margins; infinite where nothing bounds them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// By what standard or maker promise.
    pub guaranteed: f64,
    /// By the model.
    pub modelled: f64,
    /// To certain failure.
    pub to_fail: f64,
}

impl Margins {
    /// All three the same.
    pub fn all(margin: f64) -> Self {
        Margins { guaranteed: margin, modelled: margin, to_fail: margin }
    }

    /// The lower of each.
    pub fn min(self, other: Margins) -> Self {
        Margins {
            guaranteed: self.guaranteed.min(other.guaranteed),
            modelled: self.modelled.min(other.modelled),
            to_fail: self.to_fail.min(other.to_fail),
        }
    }

    /// The status they amount to. `assumed`: the model rests on an assumed curve, so that it must leave a quarter.
    pub fn status(self, assumed: bool) -> Status {
        if self.guaranteed >= 0.0 || assumed && self.modelled >= MODEL_RESERVE {
            Status::Pass
        } else if self.to_fail < 0.0 {
            Status::Fail
        } else {
            Status::Uncertain
        }
    }
}

/// Margin by the model that counts as a pass where the reading rests on an assumed curve.
pub const MODEL_RESERVE: f64 = 0.25;

/// What a check has to say beside its margins.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Explanation {
    /// What is asked, in `unit`.
    pub demand: Option<f64>,
    /// What is allowed, in `unit`.
    pub limit: Option<f64>,
    /// The unit of both.
    pub unit: &'static str,
    /// When it is tightest \[s\].
    pub at_s: Option<f64>,
    /// The rule applied, with its source.
    pub rule: String,
    /// Who is asked for what and allows what: a sentence without its full stop.
    pub sentence: String,
    /// One clause on what limits it, in shop language, to follow the name of the check.
    pub why: String,
}

/// One check.
pub trait Check: Sync {
    /// Its name in JSON and documents.
    fn id(&self) -> &'static str;
    /// Whether it is to be made.
    fn needs(&self, case: &Case, path: Option<&Path>) -> Needs;
    /// Whether it depends on how the motor is started, so that it counts in the reduction window.
    fn depends_on_start(&self) -> bool {
        true
    }
    /// Whether its model rests on an assumed curve.
    fn assumed(&self, _path: &Path) -> bool {
        false
    }
    /// What keeps it from being more than `uncertain` although it passes: a model that comes later.
    fn reservation(&self, _case: &Case, _path: &Path, _told: &Explanation) -> Option<String> {
        None
    }
    /// A figure without which it stays `uncertain`: its path below the case, and what is open, in words.
    fn lacks(&self, _case: &Case) -> Option<(&'static str, &'static str)> {
        None
    }
    /// Whether it hangs on how long the start lasts.
    fn rests_on_duration(&self) -> bool {
        false
    }
    /// Whether figures are put together at their worse bounds for its sake, where there are too many for all corners: there
    /// every check is looked at, and the reduction windows are tried.
    fn picks_corners(&self) -> bool {
        true
    }
    /// Whether there is anything to judge in this start: running needs one that reaches speed.
    fn has_subject(&self, _path: &Path, _trace: &Trace) -> bool {
        true
    }
    /// Whether it holds with the whole start current multiplied by `k`.
    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool;
    /// Whether its part that depends on the start passes, at the figures' values: what counts in the reduction window.
    fn holds_start(&self, path: &Path, trace: &Trace) -> bool {
        self.status(path, trace, 1.0) == Status::Pass
    }
    /// The margins, by search unless the check knows better.
    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        let search = |reading| largest_factor(|k| self.holds(path, trace, reading, k)) - 1.0;
        Margins {
            guaranteed: search(Reading::Guaranteed),
            modelled: search(Reading::Modelled),
            to_fail: search(Reading::ToFail),
        }
    }
    /// The status alone, cheaper than by the margins. `stretch` multiplies what must be held, 1 for the plain status.
    fn status(&self, path: &Path, trace: &Trace, stretch: f64) -> Status {
        if self.holds(path, trace, Reading::Guaranteed, stretch)
            || self.assumed(path)
                && self.holds(path, trace, Reading::Modelled, (1.0 + MODEL_RESERVE) * stretch)
        {
            Status::Pass
        } else if !self.holds(path, trace, Reading::ToFail, 1.0) {
            Status::Fail
        } else {
            Status::Uncertain
        }
    }
    /// What there is to say.
    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation;
}

/// The largest factor for which `holds`, between 1e-4 and 1e4; infinite where it holds at 1e4, 0 where not at 1e-4.
pub fn largest_factor(holds: impl Fn(f64) -> bool) -> f64 {
    const FAR: f64 = 9.210_340_371_976_184;
    if holds(FAR.exp()) {
        return f64::INFINITY;
    }
    // most factors lie within a decade of one: bracket from there
    let (mut good, mut bad) = if holds(1.0) {
        let mut good = 0.0;
        let mut bad = 0.25;
        while bad < FAR && holds(f64::exp(bad)) {
            good = bad;
            bad *= 2.0;
        }
        (good, bad.min(FAR))
    } else {
        let mut bad = 0.0;
        let mut good = -0.25;
        while !holds(f64::exp(good)) {
            bad = good;
            good *= 2.0;
            if good < -FAR {
                return 0.0;
            }
        }
        (good, bad)
    };
    while bad - good > 1e-7 {
        let middle = 0.5 * (good + bad);
        if holds(f64::exp(middle)) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good.exp()
}

/// A finding: one check on one start.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which check.
    pub id: &'static str,
    /// How it came out.
    pub status: Status,
    /// How it comes out at the figures' values alone.
    pub at_value: Status,
    /// The margins, absent where nothing could be computed.
    pub margins: Option<Margins>,
    /// What there is to say.
    pub told: Explanation,
    /// What keeps it at `uncertain` though the figures pass.
    pub reservation: Option<String>,
    /// Figures that are missing (paths below the case).
    pub missing: Vec<&'static str>,
    /// Keys of the figures that passing depends on.
    pub depends_on: Vec<String>,
}
