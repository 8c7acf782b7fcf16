//! How each way out is found.

use super::scale::{LARGER, times};
use super::{Change, Offer, Outcome, Point, Way};
use crate::advise::breakers::{OF_A_BREAKER, Standing, choices, peaked, try_breaker, weigh, with_breaker};
use crate::advise::judge::{Start, Verdict, at_values, judged, judged_like, passes_at_values};
use crate::advise::prices::Cost;
use crate::advise::starters::{self, Candidate as Starter, Order, made_to_order, order, with_starter};
use crate::advise::supplies::Candidate as Supply;
use crate::case::{Case, Path, Pressure};
use crate::checks::Status;
use crate::start::Trace;
use crate::starter::StarterFigures;
use crate::supply::SupplyKind;

/// One load on one supply, and what there is to choose from.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// The case by pressure, after a rest first.
    pub cases: Vec<Case>,
    /// The starts as the site is.
    pub as_it_is: Vec<Start>,
    /// What there is to choose from.
    pub offer: Offer,
}

impl Ground {
    /// A way of one change; or why there is none, in a clause.
    ///
    /// # Errors
    /// Why it is no way here.
    pub fn find(&self, way: Way) -> Result<Outcome, String> {
        let first = self.cases.first().ok_or("there is no case")?;
        match way {
            Way::AsItIs => Ok(self.outcome(way, Change::default(), self.as_it_is.clone())),
            Way::Straight if first.load.starter == StarterFigures::default() => Err(String::new()),
            Way::Straight => {
                let starter = Some(("none".to_owned(), StarterFigures::default()));
                self.best(way, vec![Change { starter, ..Change::default() }], |_| String::new())
            }
            Way::Delay => self.delay(),
            Way::Starter => self.starter(),
            Way::Breaker => self.breaker(way, Change::default()),
            Way::Supply => self.larger_supply(),
            Way::SmallerUnit => self.smaller_unit(),
            Way::Shore => self.only_on(way, SupplyKind::Shore),
            Way::Generator => self.only_on(way, SupplyKind::Generator),
            Way::StarterAndBreaker | Way::SupplyAndBreaker => Err("is two ways".into()),
        }
    }

    /// A starter or a larger supply that starts the load if the breaker is left aside: half of a way of two changes.
    ///
    /// # Errors
    /// Why there is none.
    pub fn find_whatever_the_breaker(&self, way: Way) -> Result<Outcome, String> {
        let mut bare = self.clone();
        for case in &mut bare.cases {
            case.circuit.breaker = None;
        }
        bare.find(way)
    }

    /// Two changes together: another breaker beside what a way of one change puts in place.
    ///
    /// # Errors
    /// Why it is no way here.
    pub fn find_with_breaker(&self, way: Way, single: &Outcome) -> Result<Outcome, String> {
        self.breaker(way, single.change.clone())
    }

    fn outcome(&self, way: Way, change: Change, starts: Vec<Start>) -> Outcome {
        let before = |i: usize, id: &str| self.as_it_is.get(i).and_then(|s| s.finding(id)).map(|f| f.status);
        let not_passed = |of: &[Start]| -> Vec<(&'static str, usize, Status)> {
            let each = of.iter().enumerate();
            each.flat_map(|(i, s)| {
                s.findings.iter().filter(|f| f.status != Status::Pass).map(move |f| (f.id, i, f.status))
            })
            .collect()
        };
        let passes = |i: usize, id: &str| {
            starts.get(i).is_some_and(|s| s.finding(id).is_none_or(|f| f.status == Status::Pass))
        };
        let mut cured = not_passed(&self.as_it_is);
        cured.retain(|(id, i, _)| passes(*i, id));
        let open = not_passed(&starts);
        let cures = self.points(&cured, |_, _| false);
        let open = self.points(&open, |id, i| before(i, id).is_none_or(|status| status == Status::Pass));
        let prices = self.offer.prices.as_ref();
        let cost = way.parts().iter().try_fold(Cost { parts: 0.0, labour: 0.0 }, |sum, part| {
            Some(sum + prices?.of(*part, &change.name_of(*part))?)
        });
        Outcome { way, change, starts, cost, cures, open }
    }

    /// Checks with the pressures they go for, each once, with the worst status; `new` says whether one passed before.
    fn points(
        &self,
        found: &[(&'static str, usize, Status)],
        new: impl Fn(&str, usize) -> bool,
    ) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for (id, i, _) in found {
            if points.iter().any(|p| p.id == *id) {
                continue;
            }
            let same = || found.iter().filter(|(other, ..)| other == id);
            let all = same().count() == self.cases.len();
            points.push(Point {
                id,
                pressure: Some(self.cases[*i].pressure).filter(|_| !all),
                status: same().map(|(_, _, status)| *status).max().unwrap_or(Status::Uncertain),
                new: same().all(|(id, i, _)| new(id, *i)),
            });
        }
        points
    }

    /// A change with the path, by pressure, of each start that passes by the figures' values.
    fn tried(&self, change: Change) -> Tried {
        let found: Vec<Option<(Path, bool)>> =
            self.cases.iter().map(|case| passes_at_values(&change.made(case))).collect();
        let open = found.iter().flatten().count();
        let paths =
            found.into_iter().map(|found| found.filter(|(_, pass)| *pass).map(|(path, _)| path)).collect();
        Tried { change, paths, open }
    }

    /// The best of several changes that have no order: see the head of the folder. `nothing` says why none is of use, by whether
    /// there was any.
    fn best(
        &self,
        way: Way,
        changes: Vec<Change>,
        nothing: impl Fn(bool) -> String,
    ) -> Result<Outcome, String> {
        let mut tried: Vec<Tried> = changes.into_iter().map(|change| self.tried(change)).collect();
        let most = tried.iter().map(Tried::starts).max().ok_or_else(|| nothing(false))?;
        // what fails nowhere may still be better than what is there
        let open = tried.iter().map(|t| t.open).max().unwrap_or(0);
        if most == 0 && open == 0 && way != Way::Straight {
            return Err(nothing(true));
        }
        tried.retain(|t| t.starts() == most && (most > 0 || t.open == open));
        let mut best: Option<Outcome> = None;
        for one in tried.into_iter().take(MOST_JUDGED) {
            let outcome = self.judged_outcome(way, one);
            let sure = outcome.starts.iter().filter(|s| s.verdict == Verdict::Starts).count() >= most;
            if best.as_ref().is_none_or(|b| outcome.rank() < b.rank()) {
                best = Some(outcome);
            }
            if sure {
                break;
            }
        }
        best.ok_or_else(|| nothing(true))
    }

    /// The least of changes that grow, each taken to do what those before it do: the first that comes out as the last does, found
    /// by halving.
    fn least(
        &self,
        way: Way,
        mut changes: Vec<Change>,
        nothing: impl Fn(bool) -> String,
    ) -> Result<Outcome, String> {
        let last = changes.pop().ok_or_else(|| nothing(false))?;
        let last = self.tried(last);
        let most = last.starts();
        if most == 0 {
            // the largest may be too much of a good thing
            changes.push(last.change);
            return self.best(way, changes, nothing);
        }
        let mut best = self.judged_outcome(way, last);
        let (mut low, mut high) = (0, changes.len());
        while low < high {
            let middle = (low + high) / 2;
            let one = self.tried(changes[middle].clone());
            let as_good = (one.starts() >= most)
                .then(|| self.judged_outcome(way, one))
                .filter(|outcome| outcome.rank() <= best.rank());
            match as_good {
                Some(outcome) => (best, high) = (outcome, middle),
                None => low = middle + 1,
            }
        }
        Ok(best)
    }

    fn judged_outcome(&self, way: Way, tried: Tried) -> Outcome {
        let made = self.cases.iter().map(|case| tried.change.made(case));
        let starts =
            made.zip(&tried.paths).map(|(case, path)| judged_like(&case, false, path.as_ref())).collect();
        self.outcome(way, tried.change, starts)
    }

    fn judged(&self, change: &Change) -> Vec<Start> {
        self.cases.iter().map(|case| judged(&change.made(case), false)).collect()
    }

    fn as_it_is_starts(&self) -> bool {
        self.as_it_is.iter().all(|s| s.verdict == Verdict::Starts)
    }

    /// A delay helps where a restart straight after stopping comes out worse than a start after a rest.
    fn delay(&self) -> Result<Outcome, String> {
        let [rested, restart] = self.as_it_is.as_slice() else { return Err(String::new()) };
        if restart.verdict <= rested.verdict {
            return Err(if rested.verdict == Verdict::Starts {
                "it starts straight after stopping too".into()
            } else {
                "alone it does not do: the start after a rest does not pass either".into()
            });
        }
        let mut outcome = self.outcome(Way::Delay, Change::default(), vec![rested.clone(), rested.clone()]);
        // what is cured is the restart's
        outcome.cures.retain(|p| p.pressure == Some(Pressure::Unequal));
        Ok(outcome)
    }

    fn starter(&self) -> Result<Outcome, String> {
        let first = &self.cases[0];
        if self.as_it_is_starts() {
            return Err("it starts as it is".into());
        }
        if let Some(inrush) = &first.load.inrush {
            return Err(inrush.kind.no_starter().into());
        }
        if first.load.electronic {
            return Err("electronics of the unit's own start its motor: nothing may stand before them".into());
        }
        let change = |(name, figures): (String, StarterFigures)| Change {
            starter: Some((name, figures)),
            ..Change::default()
        };
        // one made to order comes before what the catalogue knows of classes with their wide ranges
        let ordered: Vec<Change> = self.starters_to_order().into_iter().map(change).collect();
        let deepest = ordered.last().cloned();
        let ordered = self.best(Way::Starter, ordered, |_| String::new());
        if ordered.as_ref().is_ok_and(Outcome::serves_rested) {
            return ordered;
        }
        // a question to the maker of the supply is a smaller one than all that a class leaves open
        if let Some(deepest) = deepest {
            let outcome = self.judged_outcome(Way::Starter, self.tried(deepest));
            if outcome.hangs_on_the_peak() {
                return Ok(outcome);
            }
        }
        let fits =
            |s: &&Starter| Path::new(&with_starter(first, &s.figures)).is_ok_and(|path| path.unfit.is_none());
        let named = |s: &Starter| change((s.name.clone(), s.figures.clone()));
        let changes: Vec<Change> = self.offer.starters.iter().filter(fits).map(named).collect();
        let of_catalogue = self.best(Way::Starter, changes, |any| {
            if any { "none of the catalogue starts it" } else { "none of the catalogue is for this motor" }
                .into()
        });
        better(ordered, of_catalogue)
    }

    /// Soft starters set within what `starters` says to order, working by phase control, with their names: in the middle first,
    /// then nearer to the motor's limit, which brings the first crest down too.
    fn starters_to_order(&self) -> Vec<(String, StarterFigures)> {
        let none = StarterFigures::default();
        let Some(first) = self.cases.first() else { return Vec::new() };
        let direct: Vec<Start> = if first.load.starter == none {
            self.as_it_is.clone()
        } else {
            self.cases.iter().map(|case| judged(&with_starter(case, &none), true)).collect()
        };
        let tried =
            |start: Start| starters::Tried { pressure: start.pressure, start, open_v: 0.0, heat_a2s: None };
        let direct: Vec<starters::Tried> = direct.into_iter().map(tried).collect();
        let order = order(first, &direct);
        let capacitor = match &order {
            Order::Soft { capacitor_uf: Some(uf), .. } => format!(", {uf:.0} uF start capacitor"),
            _ => String::new(),
        };
        let named = |(share, figures): (f64, StarterFigures)| {
            (format!("{:.0} % less{capacitor}", 100.0 * share), figures)
        };
        made_to_order(first, &order).into_iter().map(named).collect()
    }

    /// The smallest breaker that serves, with what else is changed in place.
    fn breaker(&self, way: Way, with: Change) -> Result<Outcome, String> {
        let cases: Vec<Case> = self.cases.iter().map(|case| with.made(case)).collect();
        let first = &cases[0];
        if way == Way::Breaker {
            let fine = |s: &Start| {
                OF_A_BREAKER.iter().all(|id| s.finding(id).is_none_or(|f| f.status == Status::Pass))
            };
            if first.circuit.breaker.is_some() && self.as_it_is.iter().all(fine) {
                return Err("the one fitted serves".into());
            }
        }
        let known: Vec<Option<Path>> = cases.iter().map(peaked).collect();
        let mut trace = Trace::default();
        let largest_a = known.iter().flatten().map(|path| {
            path.run(0, &mut trace);
            trace.largest_rms_a()
        });
        let Some(largest_a) = largest_a.reduce(f64::max) else {
            return Err("the start cannot be run".into());
        };
        // a motor that does not restart against pressure does so behind no breaker: it is the start after a rest that counts
        let stuck = |id: &str, statuses: &[(&'static str, Status)]| {
            statuses.iter().any(|(i, s)| *i == id && *s == Status::Fail)
        };
        let mut counted: Vec<usize> = Vec::new();
        for (i, case) in cases.iter().enumerate() {
            let statuses = at_values(case, known[i].as_ref()).unwrap_or_default();
            if !stuck("acceleration", &statuses) && !stuck("terminal-voltage", &statuses) {
                counted.push(i);
            }
        }
        if counted.is_empty() {
            return Err("no breaker cures a motor that does not get up to speed".into());
        }
        for breaker in choices(first, largest_a) {
            let may = |i: &usize| {
                let statuses = at_values(&with_breaker(&cases[*i], &breaker), known[*i].as_ref());
                let mine = |(id, status): &(&str, Status)| {
                    OF_A_BREAKER.contains(id) && *id != "disconnection" && *status != Status::Pass
                };
                statuses.is_some_and(|list| !list.iter().any(mine))
            };
            if !counted.iter().all(may) {
                continue;
            }
            let tried: Vec<Start> =
                counted.iter().map(|i| try_breaker(&cases[*i], known[*i].as_ref(), &breaker)).collect();
            let weighed = weigh(&cases[counted[0]], breaker.clone(), &tried);
            if weighed.standing == Standing::Serves {
                if weighed.own {
                    return Err("the one fitted serves".into());
                }
                let change = Change { breaker: Some(breaker), ..with };
                let starts = self.judged(&change);
                return Ok(self.outcome(way, change, starts));
            }
        }
        Err("none meets every rule for certain: what holds the start is more than cable, nameplate or fault clearing \
             allow"
            .into())
    }

    fn larger_supply(&self) -> Result<Outcome, String> {
        if self.as_it_is_starts() {
            return Err("it starts as it is".into());
        }
        let own = &self.cases[0].supply;
        let size = Supply { name: String::new(), own: true, figures: own.clone() }.size_va();
        let larger = |s: &&Supply| s.figures.kind == own.kind && s.replaces(own) && s.size_va() > size;
        let mut supplies: Vec<&Supply> = self.offer.supplies.iter().filter(larger).collect();
        supplies.sort_by(|a, b| a.size_va().total_cmp(&b.size_va()));
        let of_catalogue = self.least(Way::Supply, on(&supplies), |_| String::new());
        if of_catalogue.as_ref().is_ok_and(Outcome::serves_rested) || own.kind == SupplyKind::Shore {
            return of_catalogue.map_err(|_| "the catalogue has none that starts it alone".into());
        }
        let made = self.least(Way::Supply, LARGER.iter().map(|by| times(own, *by)).collect(), |_| {
            format!("one {} times as large does not start it alone either", LARGER[LARGER.len() - 1])
        });
        better(of_catalogue, made)
    }

    fn only_on(&self, way: Way, kind: SupplyKind) -> Result<Outcome, String> {
        let own = &self.cases[0].supply;
        if own.kind == kind {
            return Err(String::new());
        }
        let fits = |s: &&Supply| s.figures.kind == kind && s.replaces(own);
        let mut supplies: Vec<&Supply> = self.offer.supplies.iter().filter(fits).collect();
        // what the site has comes before what it would have to get
        if supplies.iter().any(|s| s.own) {
            supplies.retain(|s| s.own);
        }
        supplies.sort_by(|a, b| a.size_va().total_cmp(&b.size_va()));
        self.least(way, on(&supplies), |any| {
            if any { "none of this voltage starts it alone" } else { "there is none of this voltage" }.into()
        })
    }

    fn smaller_unit(&self) -> Result<Outcome, String> {
        if self.as_it_is_starts() {
            return Err("it starts as it is".into());
        }
        let first = &self.cases[0];
        if first.load.inrush.is_some() || first.load.electronic {
            return Err("what a smaller one of this kind asks for is another model's question".into());
        }
        let Some(locked_a) = Path::new(first).ok().map(|p| p.locked_rotor_a) else {
            return Err("the start cannot be run".into());
        };
        let straight = (first.load.starter != StarterFigures::default())
            .then(|| ("none".to_owned(), StarterFigures::default()));
        let change = |step: u32| {
            let share = f64::from(step) * UNIT_STEP;
            Change { unit: Some((share, share * locked_a)), starter: straight.clone(), ..Change::default() }
        };
        let changes = (SMALLEST_UNIT..LARGEST_UNIT).rev().map(change).collect();
        self.least(Way::SmallerUnit, changes, |_| {
            let least = 100.0 * f64::from(SMALLEST_UNIT) * UNIT_STEP;
            format!("one of {least:.0} % of the size does not start either")
        })
    }
}

/// A change, tried by the figures' values.
struct Tried {
    change: Change,
    /// By pressure, of those that pass.
    paths: Vec<Option<Path>>,
    /// At how many pressures nothing fails.
    open: usize,
}

impl Tried {
    /// At how many pressures the load starts.
    fn starts(&self) -> usize {
        self.paths.iter().flatten().count()
    }
}

/// The better of two ways, of two alike the first; where there is none, why the second is none.
fn better(a: Result<Outcome, String>, b: Result<Outcome, String>) -> Result<Outcome, String> {
    match (a, b) {
        (Ok(a), Ok(b)) if b.rank() < a.rank() => Ok(b),
        (Ok(a), _) => Ok(a),
        (Err(_), b) => b,
    }
}

/// Smaller units are looked at in steps of this share (assumed)...
const UNIT_STEP: f64 = 0.05;
/// ...from this many steps...
const SMALLEST_UNIT: u32 = 6;
/// ...to one step less than the whole.
const LARGEST_UNIT: u32 = 20;

/// Of candidates without an order at most so many are judged over the figures' ranges, which takes most of the time (assumed).
const MOST_JUDGED: usize = 3;

fn on(supplies: &[&Supply]) -> Vec<Change> {
    supplies.iter().map(|s| Change { supply: Some((*s).clone()), ..Change::default() }).collect()
}
