//! What the doubt of the figures does to a verdict: the status over low..high of every figure, and which figure it hangs on.
//!
//! Corners are run in full up to [`FULL_CORNERS`] figures, beyond that each figure's bounds alone, all together at their
//! individually worse bounds, and low-discrepancy points inside. A pass must hold with [`RESERVE`] in hand at each of them,
//! so that a point between is not worse than what is said.

use super::{margins, statuses};
use crate::case::{Case, FirstPeak, Path, Pressure};
use crate::checks::{Check, Status};
use crate::figure::Figures;
use crate::motor::fit::Fit;
use crate::numeric::quasi_random::halton;
use crate::start::Trace;

/// Figures up to which every corner of their ranges is run.
const FULL_CORNERS: usize = 6;
/// The same for what has no rotor, whose currents go one way with each of its figures.
const FULL_CORNERS_STILL: usize = 4;
/// Points inside the ranges, where four figures or more have one. Half of them miss corners of units that do not start on a long
/// cord.
const INSIDE: u64 = 48;
/// So many for each figure where fewer have a range: a line needs no more than a quarter of what four dimensions do (assumed).
const INSIDE_EACH: u64 = 12;
/// The same for what has no rotor: nothing there hangs between the corners.
const INSIDE_STILL: u64 = 8;
/// How many of those the reduction windows are tried at too, beside the corners.
const INSIDE_FEW: usize = 2;
/// A figure that sways no check by more than this part is left out of the windows (assumed).
const SWAYS: f64 = 0.05;
/// Factor by which a pass over ranges must hold at each point that is run.
const RESERVE: f64 = 1.01;

/// A figure that leaves doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Its key below the case.
    pub key: String,
    /// Lower bound, in its unit.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
    /// Its unit.
    pub unit: &'static str,
    /// How far the margins move between its bounds: the largest difference over the checks, each capped at 1.
    pub moves: f64,
}

/// A ranged figure of a case, by its place in the walk.
#[derive(Debug, Clone)]
struct Ranged {
    place: usize,
    key: String,
    low: f64,
    value: f64,
    high: f64,
    unit: &'static str,
}

/// The figures of a case that have a range.
fn ranged(case: &mut Case) -> Vec<Ranged> {
    let mut found = Vec::new();
    let mut place = 0;
    case.visit(&mut |key, figure| {
        let (value, low, high) = figure.numbers();
        if low < high {
            found.push(Ranged { place, key: key.to_owned(), low, value, high, unit: figure.unit() });
        }
        place += 1;
    });
    found
}

/// The case with ranged figure `i` at `values[i]`.
fn with(case: &Case, ranged: &[Ranged], values: &[f64]) -> Case {
    let mut varied = case.clone();
    let mut place = 0;
    varied.visit(&mut |_, figure| {
        if let Some(i) = ranged.iter().position(|r| r.place == place) {
            figure.set(values[i]);
        }
        place += 1;
    });
    varied
}

/// Figures of a case up to which every corner is run.
fn full_corners(case: &Case) -> usize {
    if case.load.inrush.is_some() { FULL_CORNERS_STILL } else { FULL_CORNERS }
}

/// Points to run: the corners or what stands for them, and points inside.
fn points(ranged: &[Ranged], full: usize, inside: u64) -> Vec<Vec<f64>> {
    let n = ranged.len();
    let mut points = Vec::new();
    if n <= full {
        for corner in 0..(1_u32 << n) {
            points.push(
                ranged
                    .iter()
                    .enumerate()
                    .map(|(i, r)| if corner >> i & 1 == 1 { r.high } else { r.low })
                    .collect(),
            );
        }
    } else {
        for i in 0..n {
            for bound in [ranged[i].low, ranged[i].high] {
                let mut point: Vec<f64> = ranged.iter().map(|r| r.value).collect();
                point[i] = bound;
                points.push(point);
            }
        }
    }
    for index in 1..=inside {
        points.push(
            ranged.iter().enumerate().map(|(d, r)| r.low + (r.high - r.low) * halton(index, d)).collect(),
        );
    }
    points
}

/// The case at the corners of its figures' ranges and at points inside, each ready to run: worked out once for the verdict
/// and the reduction windows. Corners that no motor can be at are left out.
pub(super) struct Corners {
    /// The figures that range.
    ranged: Vec<Ranged>,
    /// The case they belong to.
    case: Case,
    /// A path for each point; `None` where there is none.
    paths: Vec<Option<Path>>,
    /// Paths with all figures at their individually worse or better bounds.
    together: Vec<Path>,
    /// How many of the points are not inside.
    outer: usize,
    /// Whether the case's own figures go together.
    sound: bool,
    /// Whether the unit is known to start at [`SOLD_TO_START_AT`].
    sold: bool,
    /// The first peak at the figures' values.
    first_peak: Option<FirstPeak>,
    /// The closing angle that starts are run at.
    closing_angle: f64,
}

impl Corners {
    /// `own` is the case at its figures' values: its first peak serves the corners.
    pub(super) fn new(case: &Case, own: &Path) -> Corners {
        let mut case = case.clone();
        let ranged = ranged(&mut case);
        let sound = !impossible(own);
        let sold = case.pressure == Pressure::Equalised && own.fit.is_some() && sold_to_start(own);
        let first_peak = own.first_peak.clone();
        let closing_angle = own.closing_angle;
        let (paths, together) = (Vec::new(), Vec::new());
        let mut corners =
            Corners { ranged, case, paths, together, outer: 0, sound, sold, first_peak, closing_angle };
        if !corners.ranged.is_empty() {
            let each = INSIDE_EACH * corners.ranged.len() as u64;
            let inside = if own.is_inrush() { INSIDE_STILL } else { INSIDE.min(each) };
            let points = points(&corners.ranged, full_corners(&corners.case), inside);
            corners.outer = points.len() - inside as usize;
            corners.paths = points.iter().map(|values| corners.path(values)).collect();
        }
        corners
    }

    /// The paths at every point that some motor can be at.
    pub(super) fn paths(&self) -> impl Iterator<Item = &Path> {
        self.paths.iter().flatten()
    }

    fn path(&self, values: &[f64]) -> Option<Path> {
        let mut path = Path::new(&with(&self.case, &self.ranged, values)).ok()?;
        path.take_first_peak(self.first_peak.as_ref());
        if !path.is_inrush() {
            path.closing_angle = self.closing_angle;
        }
        path.quicken();
        let exists = !(self.sound && impossible(&path) || self.sold && !sold_to_start(&path));
        exists.then_some(path)
    }

    /// The case at its values with a soft starter of which nothing is said taken to work by phase control.
    fn chopped(&self) -> Option<Path> {
        let starter = &self.case.load.starter;
        // a load that is no induction motor is run without its starter: there is nothing to chop
        if self.case.load.inrush.is_some() || !starter.kind.soft() || starter.phase_control.is_some() {
            return None;
        }
        let mut case = self.case.clone();
        case.load.starter.phase_control = Some(true);
        let mut path = Path::new(&case).ok()?;
        path.take_first_peak(self.first_peak.as_ref());
        path.closing_angle = self.closing_angle;
        path.quicken();
        Some(path)
    }

    /// The paths that the windows are tried at: all corners, or else the bounds of the figures that matter, all figures at
    /// their individually worse and better bounds, and a few points inside.
    pub(super) fn into_few(self, spread: &Spread) -> Vec<Path> {
        let many = self.ranged.len() > full_corners(&self.case);
        let matters = |place: usize| !many || place >= self.outer || spread.sways[place / 2] > SWAYS;
        let paths = self.paths.into_iter().take(self.outer + INSIDE_FEW).enumerate();
        paths.filter(|(place, _)| matters(*place)).filter_map(|(_, path)| path).chain(self.together).collect()
    }

    /// Every path that was run, with how far a pass must hold on it.
    pub(super) fn into_paths(self) -> Vec<(Path, f64)> {
        let chopped = self.chopped().map(|path| (path, 1.0));
        let points = self.paths.into_iter().flatten().chain(self.together).map(|path| (path, RESERVE));
        points.chain(chopped).collect()
    }

    /// A figure's bounds alone: the modelled margins at each.
    fn one_at_a_time(&self, checks: &[&dyn Check], trace: &mut Trace) -> Vec<Single> {
        let mut told = |path: Option<&Path>| {
            path.map(|path| {
                margins(path, checks, trace).into_iter().map(|m| m.modelled).collect::<Vec<f64>>()
            })
        };
        let value = || self.ranged.iter().map(|r| r.value).collect::<Vec<f64>>();
        let middle = told(self.path(&value()).as_ref()).unwrap_or_else(|| vec![0.0; checks.len()]);
        let many = self.ranged.len() > full_corners(&self.case);
        let mut at = |i: usize, high: bool| {
            let known =
                if many { self.paths.get(2 * i + usize::from(high)).map(Option::as_ref) } else { None };
            let fresh = || {
                let mut values = value();
                values[i] = if high { self.ranged[i].high } else { self.ranged[i].low };
                self.path(&values)
            };
            match known {
                Some(path) => told(path),
                None => told(fresh().as_ref()),
            }
            .unwrap_or_else(|| middle.clone())
        };
        (0..self.ranged.len()).map(|i| Single { low: at(i, false), high: at(i, true) }).collect()
    }
}

/// Share of its rated voltage at which a unit on the market still starts after a rest: units certified by the trade's
/// institute are tested at +-10 % of rated voltage (from memory).
const SOLD_TO_START_AT: f64 = 0.9;

/// Whether the unit would start where it is sold to: a corner of a class's ranges where it does not is no unit on the market.
fn sold_to_start(path: &Path) -> bool {
    path.starts_at(SOLD_TO_START_AT, &mut Trace::default())
}

/// Whether no motor has these figures together: such a corner of the ranges does not exist.
fn impossible(path: &Path) -> bool {
    path.fit.as_ref().is_some_and(Fit::is_contradicted)
}

/// What the ranges do to each check.
pub(super) struct Spread {
    /// The worst status met.
    pub worst: Vec<Status>,
    /// Keys of the figures each check's passing depends on.
    pub depends_on: Vec<Vec<String>>,
    /// Figures in the order of the doubt they carry.
    pub doubts: Vec<Doubt>,
    /// How far each figure sways what the checks allow: the largest logarithm of the ratio between its bounds.
    sways: Vec<f64>,
}

/// Runs the ranges. `at_value` are the statuses at the figures' values.
pub(super) fn spread(corners: &mut Corners, checks: &[&dyn Check], at_value: &[Status]) -> Spread {
    let mut together = Vec::new();
    let ranged = &corners.ranged;
    let mut worst = at_value.to_vec();
    let mut best = at_value.to_vec();
    let mut trace = Trace::default();
    let chopped = corners.chopped();
    if ranged.is_empty() {
        let mut depends_on = vec![Vec::new(); checks.len()];
        weigh_phase_control(chopped.as_ref(), checks, &mut worst, &mut depends_on);
        return Spread { worst, depends_on, doubts: Vec::new(), sways: Vec::new() };
    }
    let mut run = |path: &Path, trace: &mut Trace| {
        for (i, status) in statuses(path, checks, RESERVE, trace).into_iter().enumerate() {
            worst[i] = worst[i].max(status);
            best[i] = best[i].min(status);
        }
    };
    for path in corners.paths.iter().flatten() {
        run(path, &mut trace);
    }
    let single = corners.one_at_a_time(checks, &mut trace);
    // what a check that picks no corners says of its own
    let mut alone = Vec::new();
    // checks often share their worst corner: it is run once
    let mut seen: Vec<Vec<f64>> = Vec::new();
    if ranged.len() > full_corners(&corners.case) {
        for c in 0..checks.len() {
            for good in [true, false] {
                let bound = |(r, s): (&Ranged, &Single)| {
                    if (s.low[c] > s.high[c]) == good { r.low } else { r.high }
                };
                let values: Vec<f64> = ranged.iter().zip(&single).map(bound).collect();
                let picks = checks[c].picks_corners();
                if picks && seen.contains(&values) {
                    continue;
                }
                let Some(path) = corners.path(&values) else { continue };
                if picks {
                    seen.push(values);
                    run(&path, &mut trace);
                    together.push(path);
                } else if let Some(status) = statuses(&path, &checks[c..=c], RESERVE, &mut trace).pop() {
                    alone.push((c, status));
                }
            }
        }
    }
    for (c, status) in alone {
        worst[c] = worst[c].max(status);
        best[c] = best[c].min(status);
    }
    let mut depends_on: Vec<Vec<String>> =
        (0..checks.len()).map(|c| hinges(c, worst[c] != best[c], ranged, &single)).collect();
    // over ranges a check fails only if it fails everywhere
    for (c, worst) in worst.iter_mut().enumerate() {
        if *worst == Status::Fail && best[c] != Status::Fail {
            *worst = Status::Uncertain;
        }
    }
    weigh_phase_control(chopped.as_ref(), checks, &mut worst, &mut depends_on);
    let mut doubts: Vec<Doubt> = ranged
        .iter()
        .zip(&single)
        .map(|(r, s)| Doubt {
            key: r.key.clone(),
            low: r.low,
            high: r.high,
            unit: r.unit,
            moves: (0..checks.len()).fold(0.0, |m: f64, c| m.max(s.moves(c))),
        })
        .collect();
    doubts.sort_by(|a, b| b.moves.total_cmp(&a.moves));
    let picks = || (0..checks.len()).filter(|&c| checks[c].picks_corners());
    let sways = single.iter().map(|s| picks().fold(0.0, |most: f64, c| most.max(s.sway(c)))).collect();
    corners.together = together;
    Spread { worst, depends_on, doubts, sways }
}

/// What phase control, of which nothing is said, does to checks that pass without it.
fn weigh_phase_control(
    chopped: Option<&Path>,
    checks: &[&dyn Check],
    worst: &mut [Status],
    depends_on: &mut [Vec<String>],
) {
    let Some(chopped) = chopped else { return };
    for (i, status) in statuses(chopped, checks, 1.0, &mut Trace::default()).into_iter().enumerate() {
        if worst[i] == Status::Pass && status != Status::Pass {
            worst[i] = Status::Uncertain;
            depends_on[i].push("load.starter.phase_control".into());
        }
    }
}

/// A figure's bounds alone: the modelled margins at each.
struct Single {
    low: Vec<f64>,
    high: Vec<f64>,
}

impl Single {
    fn moves(&self, c: usize) -> f64 {
        (self.low[c].min(1.0) - self.high[c].min(1.0)).abs()
    }

    /// The logarithm of the ratio between what the check allows at both bounds; 0 where it is unbounded at both.
    fn sway(&self, c: usize) -> f64 {
        let allowed = |margin: f64| (1.0 + margin).clamp(1e-3, 1e3).ln();
        (allowed(self.low[c]) - allowed(self.high[c])).abs()
    }
}

/// The figures a check hinges on: those that move its margin at least a quarter as far as the one that moves it most.
fn hinges(c: usize, differs: bool, ranged: &[Ranged], single: &[Single]) -> Vec<String> {
    if !differs {
        return Vec::new();
    }
    let most = single.iter().fold(0.0, |m: f64, s| m.max(s.moves(c)));
    let mut named: Vec<(f64, &str)> = ranged
        .iter()
        .zip(single)
        .map(|(r, s)| (s.moves(c), r.key.as_str()))
        .filter(|(moves, _)| *moves > 0.0 && *moves >= 0.25 * most)
        .collect();
    named.sort_by(|a, b| b.0.total_cmp(&a.0));
    if named.is_empty() {
        return ranged.iter().map(|r| r.key.clone()).collect();
    }
    named.into_iter().map(|(_, key)| key.to_owned()).collect()
}
