//! Reports: what was judged, as text, JSON and CSV. Words and layout only; nothing is worked out here that a check or the
//! advice has not said already.

pub mod breakers;
pub mod catalogue;
pub mod compare;
pub mod csv;
pub mod json;
mod motor;
mod next_step;
pub mod page;
pub mod plot;
pub mod starters;
pub mod supplies;
mod text;
mod words;

pub use motor::{MotorSheet, SpeedPoint};
pub use text::text;

use crate::advise::{Start, Verdict, judge, judge_without_windows};
use crate::case::{LoadFigures, Pressure};
use crate::figure::Origin;
use crate::site::Site;
use crate::start::Level;

/// The usual cautions, in every report.
pub const CAUTIONS: [&str; 5] = [
    "Mains, battery banks and capacitors kill: isolate, prove dead and discharge capacitors before touching anything.",
    "The figures are estimates. The local electrical code, the makers' instructions and a licensed electrician decide.",
    "Never enlarge a breaker beyond what the conductor and the nameplate's maximum allow, nor so far that it no longer \
     clears a fault.",
    "A starter may void a warranty, and some need a few learning starts with less reduction.",
    "Not modelled: residual-current and arc-fault devices, control contactors, the neutral-earth bond of an inverter.",
];

/// A figure of the site as the report lists it.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedFigure {
    /// What it belongs to, as a site path ("load\[0\]").
    pub of: String,
    /// Its key there.
    pub name: String,
    /// Its value, in the key's unit.
    pub value: f64,
    /// Lower bound.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
    /// Its unit.
    pub unit: &'static str,
    /// Where it came from.
    pub origin: Origin,
    /// Its source or rule in words, empty if there is nothing to say.
    pub note: String,
}

/// A start with its place in the site.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Index of the load.
    pub load: usize,
    /// Index of the supply.
    pub supply: usize,
    /// The start.
    pub start: Start,
}

/// A whole site, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// The site's title.
    pub title: String,
    /// Whose rules apply.
    pub standards: &'static str,
    /// Check number of the inputs.
    pub digest: String,
    /// How closely starts were simulated.
    pub level: Level,
    /// Whether it is the built-in demonstration.
    pub demonstration: bool,
    /// The site file that was written, if it was asked for question by question.
    pub written: Option<String>,
    /// The worst verdict.
    pub verdict: Verdict,
    /// Every load on every supply, each pressure, the worse pressure first.
    pub starts: Vec<Judged>,
    /// Every figure that took part.
    pub figures: Vec<ListedFigure>,
    /// What else there is to say about the inputs.
    pub notes: Vec<String>,
}

impl Report {
    /// Judges every load of a site on every supply. `text` is the site file, for the check number.
    pub fn new(site: &Site, text: &str) -> Report {
        Report::with_windows(site, text, |_, _| true)
    }

    /// The same, with reduction windows, which take long, only for one load on one supply.
    pub fn about(site: &Site, text: &str, load: usize, supply: usize) -> Report {
        Report::with_windows(site, text, |l, s| (l, s) == (load, supply))
    }

    fn with_windows(site: &Site, text: &str, wanted: impl Fn(usize, usize) -> bool + Sync) -> Report {
        let mut jobs = Vec::new();
        let mut figures = Vec::new();
        for load in 0..site.loads.len() {
            for supply in 0..site.supplies.len() {
                for pressure in pressures(site, load) {
                    list_figures(site, load, supply, site.case(load, supply, pressure), &mut figures);
                    jobs.push((load, supply, pressure));
                }
            }
        }
        let mut starts = in_parallel(&jobs, |&(load, supply, pressure)| {
            let case = site.case(load, supply, pressure);
            let mut start = if wanted(load, supply) { judge(&case) } else { judge_without_windows(&case) };
            name_figures(site, load, supply, &mut start);
            let figures = &site.loads[load].figures;
            let builds_up = figures.load_torque.as_ref().is_some_and(|t| t.build_up_s.get() > 0.0);
            if figures.pressure.is_none() && figures.load_torque_unequal.is_none() && builds_up {
                start.notes.push(
                    "a restart straight after stopping was not run: give load_torque_unequal to have it judged".into(),
                );
            }
            Judged { load, supply, start }
        });
        // stable: the order of the file, and for each load on each supply the worse pressure first
        starts.sort_by_key(|j| (j.load, j.supply, std::cmp::Reverse(j.start.verdict)));
        let verdict = starts.iter().map(|j| j.start.verdict).max().unwrap_or(Verdict::Uncertain);
        Report {
            title: site.title.clone(),
            standards: site.standards.word(),
            digest: digest(text),
            level: site.level,
            demonstration: false,
            written: None,
            verdict,
            starts,
            figures,
            notes: site.notes.iter().map(|n| format!("{}: {}", n.path, n.message)).collect(),
        }
    }

    /// Ids of the checks that some start went without.
    pub fn not_checked(&self) -> Vec<&'static str> {
        let mut ids: Vec<&'static str> = Vec::new();
        for id in self.starts.iter().flat_map(|j| &j.start.not_checked) {
            if !ids.contains(id) {
                ids.push(id);
            }
        }
        ids
    }
}

/// Runs `job` over `jobs` on as many threads as there are cores; the results are in the order of the jobs whatever their
/// number, and each is worked out by one thread alone.
fn in_parallel<J: Sync, R: Send>(jobs: &[J], job: impl Fn(&J) -> R + Sync) -> Vec<R> {
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(jobs.len());
    if threads <= 1 {
        return jobs.iter().map(job).collect();
    }
    let next = std::sync::atomic::AtomicUsize::new(0);
    let done = std::sync::Mutex::new(Vec::with_capacity(jobs.len()));
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let i = next.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                    let Some(one) = jobs.get(i) else { return };
                    let result = job(one);
                    done.lock().unwrap_or_else(std::sync::PoisonError::into_inner).push((i, result));
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, result)| result).collect()
}

/// After this long head pressure counts as equalised \[s\] (from memory; the trade waits about three minutes).
const PRESSURE_GONE_S: f64 = 180.0;

/// The pressures to run: the load's own, else both where a torque straight after stopping is known.
fn pressures(site: &Site, load: usize) -> Vec<Pressure> {
    pressures_of(&site.loads[load].figures)
}

/// The same of a load.
pub fn pressures_of(figures: &LoadFigures) -> Vec<Pressure> {
    match figures.pressure {
        Some(pressure) => vec![pressure],
        // a unit that waits by itself is not started against pressure
        None if figures.restart_hold_off_s.as_ref().is_some_and(|s| s.low.0 >= PRESSURE_GONE_S) => {
            vec![Pressure::Equalised]
        }
        None if figures.load_torque_unequal.is_some() => vec![Pressure::Unequal, Pressure::Equalised],
        None => vec![Pressure::Equalised],
    }
}

fn list_figures(
    site: &Site,
    load: usize,
    supply: usize,
    mut case: crate::case::Case,
    figures: &mut Vec<ListedFigure>,
) {
    use crate::figure::{AnyFigure, Figures};
    case.settle_pressure();
    let by_ratio = case.load.nameplate.by_ratio();
    let mut list = |key: &str, figure: &mut dyn AnyFigure| {
        let path = site.case_path(load, supply, key);
        let (of, name) = path.split_once('.').unwrap_or(("site", &path));
        let (value, low, high) = figure.numbers();
        // a circuit that loads share has figures of its own for each number of phases
        if figures.iter().any(|f| f.of == of && f.name == name && f.value == value) {
            return;
        }
        let (of, name) = (of.to_owned(), name.to_owned());
        figures.push(ListedFigure {
            of,
            name,
            value,
            low,
            high,
            unit: figure.unit(),
            origin: figure.origin(),
            note: figure.note().map_or_else(String::new, |n| n.to_string()),
        });
    };
    case.visit(&mut list);
    if let Some((key, mut figure)) = by_ratio {
        list(&format!("load.nameplate.{key}"), &mut figure);
    }
}

/// Turns keys of the case into paths of the site file.
fn name_figures(site: &Site, load: usize, supply: usize, start: &mut Start) {
    for doubt in &mut start.doubts {
        doubt.key = site.case_path(load, supply, &doubt.key);
    }
    for finding in &mut start.findings {
        for key in &mut finding.depends_on {
            *key = site.case_path(load, supply, key);
        }
    }
}

/// Check number of a text: FNV-1a, 64 bits (public domain, G. Fowler, L. C. Noll, P. Vo).
fn digest(text: &str) -> String {
    format!("{:016x}", hash(text))
}

fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}
