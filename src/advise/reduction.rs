//! The reduction window: which start-current reductions an ideal limiter could be set to so that the start passes.

use crate::case::{Case, FirstPeak, Path};
use crate::checks::{ALL, Check, Needs};
use crate::figure::{Figure, Origin};
use crate::numeric::root;
use crate::quantity::{Microfarad, Ratio};
use crate::start::{Options, Trace};
use crate::starter::StarterKind;

/// Step in r at which the window is looked at; edges between are then found by bisection.
const STEP: f64 = 0.01;
/// Largest reduction looked at.
const MOST: f64 = 0.95;
/// Width to which edges are found.
const WITHIN: f64 = 1e-4;
/// Step in r at which the window over ranges is looked at.
const COARSE: f64 = 0.04;
/// By how much breakaway may be worse than stated, unless it was measured or given a range (common practice, no source).
const BREAKAWAY_DOUBT: f64 = 1.25;

/// Start capacitors of soft starters for compressors, over the capacitor of the largest standstill torque: 80 to 200 uF where
/// that is 230 to 270 uF (common practice, no source). A smaller one keeps its torque up to the speed at which it leaves, and
/// over the range of motors of a class.
const TRADE_SHARE: f64 = 0.6;

/// The most that the trade adds, per ampere of rated-load current at 115 V 60 Hz \[uF/A\]: 200 uF for 13 A (common practice, no
/// source). What the auxiliary winding of a fitted motor asks for is known too poorly to go beyond.
const TRADE_UF_PER_A: f64 = 15.0;

/// The reductions for one way of starting, pressure and capacitor being given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Window {
    /// Intervals of r in which every check that depends on the start passes, at the figures' values.
    pub passes: Vec<[f64; 2]>,
    /// The part that also passes over the figures' ranges.
    pub passes_over_ranges: Vec<[f64; 2]>,
    /// The least r that passes.
    pub needed: Option<f64>,
    /// The largest r at which the motor still reaches speed in time and before its overload protection ends the attempt.
    pub most: Option<f64>,
    /// The same with breakaway and the motor's figures at their worse bounds.
    pub most_low: Option<f64>,
    /// The same as `most` of a starter that holds the current by phase control: its harmonics take a part of it.
    pub most_chopped: Option<f64>,
}

/// The windows without and with a start capacitor.
#[derive(Debug, Clone, PartialEq)]
pub struct Reduction {
    /// With a limiter alone.
    pub plain: Window,
    /// With a start capacitor beside it; absent for a motor that cannot take one or has its own.
    pub with_capacitor: Option<Window>,
    /// The capacitor weighed and the speed at which it leaves.
    pub capacitor: Option<(Figure<Microfarad>, Figure<Ratio>)>,
}

/// Works out the windows of a case that can be run.
pub(super) fn reduction(case: &Case, path: &Path, corners: Vec<Path>) -> Reduction {
    let capacitor = path.takes_assist().then(|| capacitor(case, path)).flatten();
    let assist = capacitor.as_ref().map(|(uf, cut_out)| (uf.get() * 1e-6, cut_out.get()));
    let mut worse = Worse::new(case, corners);
    Reduction {
        plain: window(case, path, None, &mut worse),
        with_capacitor: assist.map(|assist| window(case, path, Some(assist), &mut worse)),
        capacitor,
    }
}

/// The start capacitor to weigh: the starter's, else the load's, else by the one with the largest standstill torque.
///
/// `None` for a motor that has a start switch of its own, unless the site names a capacitor to add.
fn capacitor(case: &Case, path: &Path) -> Option<(Figure<Microfarad>, Figure<Ratio>)> {
    let load = &case.load;
    let cut_out = |stated: &Option<Figure<Ratio>>| {
        stated.clone().unwrap_or_else(|| Figure::exact(Ratio(crate::case::ASSIST_CUT_OUT), Origin::Typical))
    };
    if let Some(uf) = &load.starter.assist_capacitor_uf {
        return Some((uf.clone(), cut_out(&load.starter.cut_out_speed)));
    }
    if let Some(uf) = &load.assist_capacitor_uf {
        return Some((uf.clone(), cut_out(&load.assist_cut_out_speed)));
    }
    if path.machine().own_cut_out().is_some() {
        return None;
    }
    // a motor that is known by its class is judged with a capacitor of the size the trade adds to it
    let share = if path.fit.is_some() { TRADE_SHARE } else { 1.0 };
    let most = load.nameplate.rated_load().filter(|_| path.fit.is_some()).map_or(f64::INFINITY, |rated_a| {
        TRADE_UF_PER_A * rated_a * (115.0 / path.rated_v) * (60.0 / path.frequency_hz)
    });
    let uf = Microfarad((share * path.strongest_assist_uf()).min(most));
    Some((Figure::exact(uf, Origin::Derived), cut_out(&None)))
}

/// Something that can be tried at a reduction.
struct Trial {
    path: Path,
    /// Whether the current is held by phase control.
    chopped: bool,
    checks: Vec<&'static dyn Check>,
    trace: Trace,
}

impl Trial {
    fn new(case: &Case, mut path: Path, assist: Option<(f64, f64)>) -> Trial {
        path.go_direct();
        path.quicken();
        // edges are wanted to 1e-4, and there are hundreds of starts to run
        path.options = Options { tolerance: 4e-5, most_steps: 1_000 };
        path.set_assist(assist);
        let checks = ALL
            .iter()
            .copied()
            .filter(|c| c.depends_on_start() && c.needs(case, Some(&path)) == Needs::Applies)
            .collect();
        Trial { path, chopped: false, checks, trace: Trace::default() }
    }

    /// Whether every check passes at `r`, and whether the motor reaches speed before anything ends the attempt.
    fn at(&mut self, r: f64) -> (bool, bool) {
        let amps = (1.0 - r) * self.path.locked_rotor_at_supply_a();
        if self.chopped {
            self.path.limit_by_phase_control(amps)
        } else {
            self.path.limit_to(amps)
        }
        let (mut passes, mut starts) = (true, true);
        let (path, trace) = (&self.path, &mut self.trace);
        for variant in 0..path.variants() {
            path.run(variant, trace);
            // an attempt that the overload protection ends reaches no speed
            starts &= trace.starts() && path.overload_carries(trace);
            passes = passes && starts && self.checks.iter().all(|c| c.holds_start(path, trace));
            if !starts {
                break;
            }
        }
        (passes, starts)
    }

    /// The largest r up to `most` at which the motor reaches speed, given that it does so at every lower one.
    fn most_up_to(&mut self, most: f64) -> Option<f64> {
        if self.at(most).1 {
            return Some(most);
        }
        self.at(0.0).1.then(|| root::edge(|r| self.at(r).1, 0.0, most, 10.0 * WITHIN))
    }
}

fn grid() -> impl Iterator<Item = f64> {
    (0..=(MOST / STEP).round() as u32).map(|i| f64::from(i) * STEP)
}

fn window(case: &Case, own: &Path, assist: Option<(f64, f64)>, worse: &mut Worse) -> Window {
    let Ok(path) = Path::new(case) else { return Window::default() };
    let mut trial = Trial::new(case, path, assist);
    // what a start capacitor does to the first peak its own waveform says; limits scale it
    match own
        .first_peak
        .as_ref()
        .filter(|_| assist.is_none() && case.load.starter.kind == StarterKind::Direct)
    {
        Some(found) => trial.path.take_first_peak(Some(found)),
        None => trial.path.find_first_peak(&mut trial.trace),
    }
    worse.set_assist(assist, trial.path.first_peak.as_ref());
    let tried: Vec<(bool, bool)> = grid().map(|r| trial.at(r)).collect();
    let passing: Vec<bool> = tried.iter().map(|t| t.0).collect();
    let passes = intervals(&passing, |i| STEP * i as f64, |r| trial.at(r).0);
    let most = tried.iter().rposition(|t| t.1).map(|last| {
        let good = STEP * last as f64;
        if last + 1 < tried.len() { root::edge(|r| trial.at(r).1, good, good + STEP, WITHIN) } else { good }
    });
    let passes_over_ranges = worse.passes(&passes);
    let most_low = most.and_then(|most| worse.most_low(case, assist, most));
    trial.chopped = true;
    let most_chopped = most.and_then(|most| trial.most_up_to(most));
    Window { needed: passes.first().map(|i| i[0]), passes, passes_over_ranges, most, most_low, most_chopped }
}

/// Intervals of a condition known at rising places, their ends found between one place and the next.
fn intervals(
    known: &[bool],
    place: impl Fn(usize) -> f64,
    mut holds: impl FnMut(f64) -> bool,
) -> Vec<[f64; 2]> {
    let mut found: Vec<[f64; 2]> = Vec::new();
    let mut open: Option<f64> = None;
    for (i, &good) in known.iter().enumerate() {
        match (open, good) {
            (None, true) if i == 0 => open = Some(place(0)),
            (None, true) => open = Some(root::edge(&mut holds, place(i), place(i - 1), WITHIN)),
            (Some(start), false) => {
                found.push([start, root::edge(&mut holds, place(i - 1), place(i), WITHIN)]);
                open = None;
            }
            _ => {}
        }
    }
    found.extend(open.map(|start| [start, place(known.len() - 1)]));
    found
}

/// The case at the corners of its figures' ranges.
struct Worse {
    trials: Vec<Trial>,
}

impl Worse {
    fn new(case: &Case, corners: Vec<Path>) -> Worse {
        Worse { trials: corners.into_iter().map(|path| Trial::new(case, path, None)).collect() }
    }

    fn set_assist(&mut self, assist: Option<(f64, f64)>, first_peak: Option<&FirstPeak>) {
        for trial in &mut self.trials {
            trial.path.set_assist(assist);
            trial.path.take_first_peak(first_peak);
        }
    }

    /// The part of `passes` that every trial passes too.
    fn passes(&mut self, passes: &[[f64; 2]]) -> Vec<[f64; 2]> {
        if self.trials.is_empty() {
            return passes.to_vec();
        }
        let trials = &mut self.trials;
        // the one that failed last is the likeliest to fail next
        let mut all = |r: f64| match trials.iter_mut().position(|t| !t.at(r).0) {
            Some(bad) => {
                trials.swap(0, bad);
                false
            }
            None => true,
        };
        let mut kept = Vec::new();
        for &[a, b] in passes {
            let pieces = ((b - a) / COARSE).ceil().max(1.0) as usize;
            let place = |i: usize| a + (b - a) * i as f64 / pieces as f64;
            let on: Vec<bool> = (0..=pieces).map(|i| all(place(i))).collect();
            kept.extend(intervals(&on, place, &mut all));
        }
        kept
    }

    /// The torque limit with breakaway and the motor's figures at their worse bounds; `None` where it does not start at all.
    fn most_low(&mut self, case: &Case, assist: Option<(f64, f64)>, most: f64) -> Option<f64> {
        let by = match case.torque() {
            Some(t) if t.breakaway.ranges() || t.breakaway.origin == Origin::Measured => 1.0,
            _ => BREAKAWAY_DOUBT,
        };
        let mut own = Trial::new(case, Path::new(case).ok()?, assist);
        own.path.scale_breakaway(by);
        let mut low = own.most_up_to(most);
        for trial in &mut self.trials {
            trial.path.scale_breakaway(by);
            low = low.and_then(|low| trial.most_up_to(low));
            trial.path.scale_breakaway(1.0 / by);
        }
        low
    }
}
