//! Which supply: each candidate in the place of the site's, the load straight on it and behind starters; and the least ratings
//! with which it starts.

use std::sync::Arc;

use super::judge::{Start, Verdict, at_values, judged, sort_checks};
use super::spread::{Corners, spread};
use super::starters::with_starter;
use super::statuses;
use crate::case::{Case, Path};
use crate::checks::{Check, Finding, Status};
use crate::figure::{Figure, Figures, Origin};
use crate::motor::given::MotorFigures;
use crate::quantity::*;
use crate::start::Trace;
use crate::starter::StarterFigures;
use crate::supply::{OnOverload, Rating, SupplyFigures, SupplyKind, SurgeRating};

/// A supply that could feed the load.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Its name: the site's, or that of the catalogue's entry.
    pub name: String,
    /// Whether it is the site's own.
    pub own: bool,
    /// Its figures.
    pub figures: SupplyFigures,
}

impl Candidate {
    /// Its continuous rating \[VA\], by which candidates are sorted; infinite where none is stated.
    pub fn size_va(&self) -> f64 {
        let (volts, phases) = (self.figures.voltage_v.get(), self.figures.phases);
        self.figures.continuous.as_ref().map_or(f64::INFINITY, |rating| rating.volt_amperes(volts, phases))
    }

    /// Whether it is another by name alone.
    pub fn is_like(&self, other: &Candidate) -> bool {
        let kinds = |f: &SupplyFigures| (f.kind, f.phases, f.on_overload, f.shuts_off_on_fault);
        let numbers = |c: &Candidate| {
            let mut list = Vec::new();
            c.figures.clone().visit(&mut |key, figure| list.push((key.to_owned(), figure.numbers())));
            list
        };
        kinds(&self.figures) == kinds(&other.figures) && numbers(self) == numbers(other)
    }

    /// Whether it has the voltage, frequency and phases of the supply it would replace.
    pub fn replaces(&self, supply: &SupplyFigures) -> bool {
        let near = |a: f64, b: f64| (a / b - 1.0).abs() <= SAME_VOLTAGE;
        near(self.figures.voltage_v.get(), supply.voltage_v.get())
            && self.figures.frequency_hz.get() == supply.frequency_hz.get()
            && self.figures.phases == supply.phases
    }
}

/// Voltages this near each other are one: 230 and 240 V, 115 and 120 V (assumed).
const SAME_VOLTAGE: f64 = 0.06;

/// The case on another supply.
pub fn with_supply(case: &Case, supply: &SupplyFigures) -> Case {
    let mut case = case.clone();
    case.supply = supply.clone();
    case
}

/// The start of a case on a supply behind a starter, judged.
pub fn try_supply(case: &Case, supply: &SupplyFigures, starter: &StarterFigures) -> Start {
    judged(&with_starter(&with_supply(case, supply), starter), false)
}

/// Whether every check passes at the figures' values: what `try_supply` calls its leaning, without the ranges, which take most of
/// the time.
pub fn leans(case: &Case, supply: &SupplyFigures, starter: &StarterFigures) -> bool {
    let statuses = at_values(&with_starter(&with_supply(case, supply), starter), None);
    statuses.is_some_and(|list| list.iter().all(|(_, status)| *status == Status::Pass))
}

/// The least ratings of a supply without impedance at which a start passes everything that has to do with the supply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Least {
    /// Continuous rating \[A\].
    pub continuous_a: f64,
    /// Surge rating \[A\], for as long as `for_s`.
    pub surge_a: f64,
    /// How long that must last \[s\]: as long as the attempt may.
    pub for_s: f64,
    /// Whether it passes over the ranges of the figures; else by their values alone.
    pub sure: bool,
}

/// Checks that say whether a supply is large enough.
const OF_A_SUPPLY: [&str; 4] = ["surge", "acceleration", "continuous", "terminal-voltage"];

/// A supply of these ratings \[A\], without impedance.
pub fn sized(supply: &SupplyFigures, continuous_a: f64, surge_a: f64, for_s: f64) -> SupplyFigures {
    let exact = |a: f64| Rating::Amperes(Figure::exact(Ampere(a), Origin::Assumed));
    SupplyFigures {
        kind: SupplyKind::Inverter,
        continuous: Some(exact(continuous_a)),
        surge: vec![SurgeRating {
            rating: exact(surge_a),
            for_s: Some(Figure::exact(Second(for_s), Origin::Assumed)),
        }],
        peak_current_a: None,
        peak_current_for_s: None,
        output_ohm: None,
        output_reactance_ohm: None,
        on_overload: OnOverload::Trip,
        dip: None,
        based_on: None,
        ..supply.clone()
    }
}

/// Whether a start on such a supply passes what has to do with it, the breaker being no question of its.
pub fn large_enough(case: &Case, least: &Least) -> bool {
    let passes = |f: &Finding| if least.sure { f.status } else { f.at_value } == Status::Pass;
    let mut case = with_supply(case, &sized(&case.supply, least.continuous_a, least.surge_a, least.for_s));
    case.circuit.breaker = None;
    let start = judged(&case, false);
    OF_A_SUPPLY.iter().all(|id| start.finding(id).is_none_or(passes))
}

/// How near the least ratings are found, as a part of them.
const WITHIN: f64 = 1e-3;

/// The least continuous rating, then with it the least surge rating, at which the start passes: over the figures' ranges, or,
/// where no rating does that, by their values. `None` where no rating makes it start, or where the motor is not known.
pub fn least(case: &Case, starter: &StarterFigures) -> Option<Least> {
    let mut case = with_starter(case, starter);
    case.settle_pressure();
    case.circuit.breaker = None;
    let path = Path::new(&case).ok()?;
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    let for_s = path.longest_start_s.max(1.0);
    let ample = 4.0 * path.locked_rotor_at_supply_a().max(trace.largest_supply_a()).max(1.0);
    let most = Least { continuous_a: ample, surge_a: 2.0 * ample, for_s, sure: false };
    // no rating changes a start, only what is allowed: each is run once
    let case = with_supply(&case, &sized(&case.supply, ample, 2.0 * ample, for_s));
    let mut path = Path::new(&case).ok()?;
    path.find_first_peak(&mut Trace::default());
    let (checks, ..) = sort_checks(&case, Some(&path));
    let mut runs = Runs::new(&checks, vec![(path, 1.0)]);
    let by_values = smallest_of(most, |least| runs.pass(least))?;
    let mut runs = Runs::over_ranges(case.clone(), runs.runs.pop()?.0, &checks);
    let sure = smallest_of(Least { sure: true, ..most }, |least| runs.pass(least));
    match sure {
        None => Some(by_values),
        Some(found) if large_enough(&case, &found) => Some(found),
        // something beside the starts speaks against it
        Some(_) => {
            let slowly = smallest_of(Least { sure: true, ..most }, |least| large_enough(&case, least));
            slowly.or(Some(by_values))
        }
    }
}

fn smallest_of(most: Least, mut holds: impl FnMut(&Least) -> bool) -> Option<Least> {
    holds(&most).then_some(())?;
    let continuous_a = smallest(most.continuous_a, |a| holds(&Least { continuous_a: a, ..most }));
    // a surge rating is never below the continuous one
    let surge_a =
        smallest(most.surge_a, |a| a >= continuous_a && holds(&Least { continuous_a, surge_a: a, ..most }));
    Some(Least { continuous_a, surge_a, ..most })
}

/// Starts that were run, with the checks that say whether a supply is large enough.
struct Runs {
    checks: Vec<&'static dyn Check>,
    /// The path, how far a pass must hold on it, a trace for each way the running loads may behave.
    runs: Vec<(Path, f64, Vec<Trace>)>,
}

impl Runs {
    /// At the figures' values, which `path` is at, and at all points of their ranges that `judged` looks at.
    fn over_ranges(mut case: Case, path: Path, checks: &[&'static dyn Check]) -> Runs {
        if let Some(MotorFigures::Plate(motor)) = &mut case.load.motor {
            motor.seed = path.fit.map(Arc::new);
        }
        let at_value = statuses(&path, checks, 1.0, &mut Trace::default());
        let mut corners = Corners::new(&case, &path);
        spread(&mut corners, checks, &at_value);
        let mut paths = corners.into_paths();
        paths.push((path, 1.0));
        Runs::new(checks, paths)
    }

    fn new(checks: &[&'static dyn Check], paths: Vec<(Path, f64)>) -> Runs {
        let checks = checks.iter().copied().filter(|check| OF_A_SUPPLY.contains(&check.id())).collect();
        let run = |(path, stretch): (Path, f64)| {
            let traces = (0..path.variants()).map(|variant| {
                let mut trace = Trace::default();
                path.run(variant, &mut trace);
                trace
            });
            let traces = traces.collect();
            (path, stretch, traces)
        };
        Runs { checks, runs: paths.into_iter().map(run).collect() }
    }

    /// Whether every start passes on a supply of these ratings.
    fn pass(&mut self, least: &Least) -> bool {
        let checks = &self.checks;
        self.runs.iter_mut().all(|(path, stretch, traces)| {
            path.continuous_a = Some(least.continuous_a);
            for surge in &mut path.surge {
                surge.amps = least.surge_a;
            }
            let passes = |trace: &Trace| {
                checks.iter().all(|check| check.status(path, trace, *stretch) == Status::Pass)
            };
            traces.iter().all(passes)
        })
    }
}

/// The smallest value up to `enough`, which is, at which a condition holds that holds for all above it.
fn smallest(enough: f64, mut holds: impl FnMut(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, enough);
    while high - low > WITHIN * high {
        let middle = if low == 0.0 { 0.5 * high } else { 0.5 * (low + high) };
        if middle < 1e-3 {
            break;
        }
        if holds(middle) { high = middle } else { low = middle }
    }
    high
}

/// What a supply comes to over the pressures tried.
pub fn worst(tried: &[Start]) -> Verdict {
    tried.iter().map(|t| t.verdict).max().unwrap_or(Verdict::Uncertain)
}
