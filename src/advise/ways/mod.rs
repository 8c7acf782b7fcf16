//! Ways out side by side: what could be done about a start, what each comes to, what it cures and what it leaves.
//!
//! Each way is found among the candidates handed in: first by the figures' values alone, which is quick, then those that
//! start so are judged over the ranges of the figures until one starts for certain.

mod ground;
mod scale;

pub use ground::Ground;
pub use scale::scaled;

use super::judge::{Start, Verdict};
use super::prices::{Cost, Part, Prices};
use super::starters::{Candidate as Starter, with_starter};
use super::supplies::{Candidate as Supply, with_supply};
use crate::case::{Case, Pressure};
use crate::checks::{ALL, Finding, Status};
use crate::protection::BreakerFigures;
use crate::starter::StarterFigures;

/// What could be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Nothing: the site as it is.
    AsItIs,
    /// Straight on the line, without the starter that the site has.
    Straight,
    /// A delay before the motor restarts.
    Delay,
    /// A starter, or another one.
    Starter,
    /// Another breaker.
    Breaker,
    /// Both.
    StarterAndBreaker,
    /// A larger supply of the same kind.
    Supply,
    /// A larger supply and another breaker.
    SupplyAndBreaker,
    /// A smaller unit of the same kind.
    SmallerUnit,
    /// Only on shore power.
    Shore,
    /// Only on a generator.
    Generator,
}

impl Way {
    /// Every way that is one change.
    pub const SINGLE: [Way; 9] = [
        Way::AsItIs,
        Way::Straight,
        Way::Delay,
        Way::Starter,
        Way::Breaker,
        Way::Supply,
        Way::SmallerUnit,
        Way::Shore,
        Way::Generator,
    ];

    /// Those of two, looked at where none of one starts the load.
    pub const DOUBLE: [Way; 2] = [Way::StarterAndBreaker, Way::SupplyAndBreaker];

    /// Its word in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Way::AsItIs => "as-it-is",
            Way::Straight => "straight",
            Way::Delay => "delay",
            Way::Starter => "starter",
            Way::Breaker => "breaker",
            Way::StarterAndBreaker => "starter-and-breaker",
            Way::Supply => "supply",
            Way::SupplyAndBreaker => "supply-and-breaker",
            Way::SmallerUnit => "smaller-unit",
            Way::Shore => "shore",
            Way::Generator => "generator",
        }
    }

    /// What has to be priced for it.
    fn parts(self) -> &'static [Part] {
        match self {
            Way::AsItIs | Way::Straight => &[],
            Way::Delay => &[Part::Delay],
            Way::Starter => &[Part::Starter],
            Way::Breaker => &[Part::Breaker],
            Way::StarterAndBreaker => &[Part::Starter, Part::Breaker],
            Way::Supply => &[Part::Supply],
            Way::SupplyAndBreaker => &[Part::Supply, Part::Breaker],
            Way::SmallerUnit => &[Part::Unit],
            Way::Shore => &[Part::Shore],
            Way::Generator => &[Part::Generator],
        }
    }

    /// Whether it keeps the supply, or puts a larger one of its kind there.
    pub fn is_on_this_supply(self) -> bool {
        !matches!(self, Way::Shore | Way::Generator)
    }

    /// What it leaves as it was, whatever the figures: a clause.
    pub fn leaves(self) -> &'static str {
        match self {
            Way::AsItIs => "everything",
            Way::Straight => "the whole start current, now without anything that holds it down",
            Way::Delay => "the start after a rest, and a restart by hand that gets round the delay",
            Way::Starter => "the running current, and what it asks of supply, battery and cable",
            Way::Breaker => "the start current: supply, voltage and motor are asked for as much as before",
            Way::StarterAndBreaker => "the running current",
            Way::Supply => {
                "the start current: cable and breaker carry it as before, and what stands behind the supply has to bring it"
            }
            Way::SupplyAndBreaker => {
                "the start current: the cable carries it as before, and what stands behind the supply has to bring it"
            }
            Way::SmallerUnit => "less output: whether that is enough is another question",
            Way::Shore => "away from shore power it does not run",
            Way::Generator => "it runs only while the generator does, with its noise, fuel and exhaust",
        }
    }
}

/// What a way puts in the place of what is there.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Change {
    /// A starter, by its name.
    pub starter: Option<(String, StarterFigures)>,
    /// A breaker.
    pub breaker: Option<BreakerFigures>,
    /// A supply.
    pub supply: Option<Supply>,
    /// A unit this many times as large as the site's, with this locked-rotor current \[A\].
    pub unit: Option<(f64, f64)>,
}

impl Change {
    /// The case with the change made.
    pub fn made(&self, case: &Case) -> Case {
        let mut case = case.clone();
        if let Some((_, figures)) = &self.starter {
            case = with_starter(&case, figures);
        }
        if let Some(breaker) = &self.breaker {
            case.circuit.breaker = Some(breaker.clone());
        }
        if let Some(supply) = &self.supply {
            case = with_supply(&case, &supply.figures);
        }
        if let Some((share, _)) = self.unit {
            case = scaled(&case, share);
        }
        case
    }

    /// The name that a part is priced by.
    fn name_of(&self, part: Part) -> String {
        match part {
            Part::Starter => self.starter.as_ref().map(|(name, _)| name.clone()),
            Part::Breaker => self.breaker.as_ref().map(BreakerFigures::words),
            Part::Supply | Part::Shore | Part::Generator => self.supply.as_ref().map(|s| s.name.clone()),
            Part::Unit | Part::Delay => None,
        }
        .unwrap_or_default()
    }
}

/// A check that a way passes or does not, at a pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Point {
    /// Id of the check.
    pub id: &'static str,
    /// The pressure; absent where it goes for all that were tried.
    pub pressure: Option<Pressure>,
    /// How it comes out there; of what is cured, how it came out before.
    pub status: Status,
    /// Whether it passed before.
    pub new: bool,
}

/// A way with what it comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The way.
    pub way: Way,
    /// What it puts in place.
    pub change: Change,
    /// The starts by pressure, after a rest first.
    pub starts: Vec<Start>,
    /// What it costs; absent where nobody priced it. Nothing, for what needs nothing.
    pub cost: Option<Cost>,
    /// What did not pass before and does now.
    pub cures: Vec<Point>,
    /// What does not pass.
    pub open: Vec<Point>,
}

impl Outcome {
    /// The worse verdict of the pressures.
    pub fn worst(&self) -> Verdict {
        self.starts.iter().map(|s| s.verdict).max().unwrap_or(Verdict::Uncertain)
    }

    /// How it ranks: what surely starts at every pressure, then by the pressures it surely starts at, then by those it starts at
    /// by the figures' values, then by those at which nothing fails by them, then by verdict, then by how many checks are open after a rest. Smaller is
    /// better.
    pub fn rank(&self) -> impl Ord + use<> {
        let open = |s: &Start| s.findings.iter().filter(|f| f.status != Status::Pass).count();
        let count =
            |starts: fn(&Start) -> bool| std::cmp::Reverse(self.starts.iter().filter(|s| starts(s)).count());
        (
            self.worst() != Verdict::Starts,
            count(|s| s.verdict == Verdict::Starts),
            count(|s| s.leaning == Verdict::Starts),
            count(|s| s.leaning != Verdict::Fails),
            self.worst(),
            self.starts.first().map_or(0, open),
        )
    }

    /// Whether it starts the load after a rest for certain.
    pub fn serves_rested(&self) -> bool {
        self.starts.first().is_some_and(|s| s.verdict == Verdict::Starts)
    }

    /// Whether, after a rest, nothing is open but the first peak, and that only because the supply's cut-off is not stated.
    pub fn hangs_on_the_peak(&self) -> bool {
        let Some(start) = self.starts.first() else { return false };
        let mut open = start.findings.iter().filter(|f| f.status != Status::Pass).peekable();
        let by_peak =
            |f: &Finding| f.id == "peak-current" && f.margins.is_some_and(|m| m.to_fail.is_infinite());
        open.peek().is_some() && open.all(by_peak)
    }

    /// The start that decides: the worst, of two alike the first.
    pub fn deciding(&self) -> Option<&Start> {
        self.starts.iter().rev().max_by_key(|s| s.verdict)
    }

    /// Least margin of the checks that depend on the start at the first pressure, by the model, with the check's id; absent
    /// where nothing bounds it.
    pub fn margin(&self) -> Option<(&'static str, f64)> {
        let of_start = |id: &str| ALL.iter().any(|check| check.id() == id && check.depends_on_start());
        let findings = self.starts.first()?.findings.iter().filter(|f| of_start(f.id));
        let margins = findings.filter_map(|f| Some((f.id, f.margins?.modelled)));
        margins.filter(|(_, m)| m.is_finite()).min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// By how much the largest current lies below locked rotor at the first pressure: a reduction.
    pub fn reduction(&self) -> Option<f64> {
        let facts = self.starts.first()?.facts.as_ref()?;
        let share = 1.0 - facts.largest_rms_a / facts.locked_rotor_at_supply_a;
        Some(share).filter(|s| s.is_finite())
    }
}

/// What there is to choose from.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Offer {
    /// Starters.
    pub starters: Vec<Starter>,
    /// Supplies: the site's others first, then the catalogue's.
    pub supplies: Vec<Supply>,
    /// Prices, if any.
    pub prices: Option<Prices>,
}
