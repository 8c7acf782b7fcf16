//! Ways out side by side: as the site is, a starter, another breaker, a larger supply, a smaller unit, shore or generator.

use std::sync::Arc;

use serde::Serialize;

use super::in_parallel;
use super::json::rounded;
use super::text::{limits, signed};
use super::words::{self, sentence, set};
use crate::advise::ways::{Ground, Offer, Outcome, Point, Way};
use crate::advise::{Start, Verdict, judge};
use crate::case::{Case, Path, Pressure};
use crate::checks::Status;
use crate::checks::say::number;
use crate::motor::given::MotorFigures;

/// The ways out for one load on one supply.
#[derive(Debug, Clone, PartialEq)]
pub struct WaysOut {
    /// The load's name.
    pub load: String,
    /// The supply's name.
    pub supply: String,
    volts: f64,
    hertz: f64,
    phases: u32,
    /// The pressures, after a rest first.
    pub pressures: Vec<Pressure>,
    /// As it is first, then the best first; of two as good the cheaper one.
    pub rows: Vec<Outcome>,
    /// What is no way here, with why.
    pub not: Vec<(Way, String)>,
    /// The least reduction with which everything passes, as the site is, after a rest.
    pub needed: Option<f64>,
    currency: Option<(String, Option<String>)>,
}

impl WaysOut {
    /// Looks for every way.
    pub fn new(case: &Case, pressures: &[Pressure], offer: Offer) -> WaysOut {
        let mut pressures = pressures.to_vec();
        pressures.sort();
        let cases: Vec<Case> = pressures.iter().map(|p| Case { pressure: *p, ..case.clone() }).collect();
        let as_it_is = in_parallel(&cases, judge);
        WaysOut::of(case, cases, as_it_is, offer)
    }

    /// The same from starts that were judged, with their windows, after a rest first.
    pub fn of(case: &Case, mut cases: Vec<Case>, as_it_is: Vec<Start>, offer: Offer) -> WaysOut {
        cases.iter_mut().for_each(fitted);
        let pressures: Vec<Pressure> = cases.iter().map(|c| c.pressure).collect();
        let needed = as_it_is.first().and_then(|s| s.reduction.as_ref()).and_then(|r| {
            let capacitor = r.with_capacitor.as_ref().and_then(|w| w.needed);
            r.plain.needed.or(capacitor)
        });
        let currency = offer.prices.as_ref().map(|p| (p.currency.clone(), p.valid_until.clone()));
        let ground = Ground { cases, as_it_is, offer };
        let found = in_parallel(&Way::SINGLE, |way| ground.find(*way));
        let (mut rows, mut not): (Vec<Outcome>, Vec<(Way, String)>) = (Vec::new(), Vec::new());
        for (way, found) in Way::SINGLE.into_iter().zip(found) {
            match found {
                Ok(outcome) => rows.push(outcome),
                Err(why) => not.push((way, why)),
            }
        }
        // two changes only where one is not enough
        let one_is_enough = rows.iter().any(|r| r.way.is_on_this_supply() && r.serves_rested());
        if !one_is_enough {
            for (way, single) in Way::DOUBLE.into_iter().zip([Way::Starter, Way::Supply]) {
                let single = ground.find_whatever_the_breaker(single);
                let whole =
                    single.and_then(|single| Ok((single.way, ground.find_with_breaker(way, &single)?)));
                match whole {
                    // two changes that do no more than one of them are one too many
                    Ok((half, outcome)) => {
                        let alone = rows.iter().find(|r| r.way == half);
                        if alone.is_none_or(|alone| outcome.rank() < alone.rank()) {
                            rows.push(outcome);
                        }
                    }
                    Err(why) => not.push((way, why)),
                }
            }
        }
        // what comes out no better than what is there is no way out
        if let Some(as_it_is) = rows.first().cloned() {
            rows.retain(|row| {
                let helps =
                    row.way == Way::AsItIs || row.way == Way::Straight || row.rank() < as_it_is.rank();
                if !helps {
                    not.push((row.way, format!("{}: it comes out no better than as it is", detail(row))));
                }
                helps
            });
        }
        not.retain(|(_, why)| !why.is_empty());
        let price = |o: &Outcome| o.cost.map_or(f64::INFINITY, |c| c.total());
        rows.sort_by(|a, b| {
            (a.way != Way::AsItIs)
                .cmp(&(b.way != Way::AsItIs))
                .then(a.rank().cmp(&b.rank()))
                .then(price(a).total_cmp(&price(b)))
                .then(a.way.cmp(&b.way))
        });
        WaysOut {
            load: case.load.name.clone(),
            supply: case.supply.name.clone(),
            volts: case.supply.voltage_v.get(),
            hertz: case.supply.frequency_hz.get(),
            phases: case.supply.phases,
            pressures,
            rows,
            not,
            needed,
            currency,
        }
    }

    /// Whether something starts the load after a rest for certain.
    pub fn serves(&self) -> bool {
        self.rows.iter().any(Outcome::serves_rested)
    }

    /// The one to take: of those that start the load after a rest for certain on this supply the one that ranks best, of two as
    /// good the cheaper; a smaller unit, which is another thing to own, only where there is no other. `None` where the site does
    /// as it is, or nothing starts it.
    pub fn pick(&self) -> Option<&Outcome> {
        let as_it_is = self.rows.first()?;
        if as_it_is.worst() == Verdict::Starts {
            return None;
        }
        let mut good = self
            .rows
            .iter()
            .skip(1)
            .filter(|r| r.serves_rested() && r.way.is_on_this_supply() && r.rank() < as_it_is.rank());
        let first = good.next()?;
        if first.way != Way::SmallerUnit {
            return Some(first);
        }
        good.next().or(Some(first))
    }

    /// The cheapest of the ways that start the load for certain as often as the best does; `None` where one of them is not priced.
    pub fn cheapest(&self) -> Option<&Outcome> {
        let best = self.rows.iter().skip(1).filter(|r| r.serves_rested()).map(sure_at).max()?;
        let good = || self.rows.iter().skip(1).filter(|r| r.serves_rested() && sure_at(r) == best);
        if good().any(|r| r.cost.is_none()) {
            return None;
        }
        good().min_by(|a, b| price(a).total_cmp(&price(b)))
    }

    /// The currency of the prices.
    pub fn currency(&self) -> &str {
        self.currency.as_ref().map_or("", |(c, _)| c)
    }

    /// The last day the prices hold.
    pub fn valid_until(&self) -> Option<&str> {
        self.currency.as_ref()?.1.as_deref()
    }

    /// The comparison in words.
    pub fn text(&self) -> String {
        let gives = words::volts_and_hertz(self.volts, self.hertz, self.phases);
        let mut out = set("", "", &format!("Ways out for {} on {}, {gives}.", self.load, self.supply));
        out.push('\n');
        let verdicts: String =
            self.pressures.iter().map(|p| format!(" {:<11}", words::pressure(*p))).collect();
        let head = format!(
            "   {:<w$}{verdicts} {:>8} {:>6}  {}",
            "",
            "margin",
            "less",
            self.currency(),
            w = self.column()
        );
        out.push_str(&format!("{}\n", head.trim_end()));
        for row in &self.rows {
            out.push_str(&self.line(row));
        }
        if !self.not.is_empty() {
            out.push_str("\nNot here:\n");
            for (way, why) in &self.not {
                out.push_str(&set("- ", "  ", &format!("{}: {why}.", name_of_way(*way))));
            }
        }
        out.push('\n');
        out.push_str(&set("", "", &self.legend()));
        out.push('\n');
        out.push_str(&set("", "", &self.answer()));
        out
    }

    /// Columns for the names of the ways.
    fn column(&self) -> usize {
        if self.pressures.len() > 1 { 46 } else { 56 }
    }

    fn line(&self, row: &Outcome) -> String {
        let verdicts: String = row.starts.iter().map(|s| format!(" {:<11}", words::verdict(s))).collect();
        let margin = row.margin().map_or("-".into(), |(_, m)| signed(m));
        let less = row.reduction().map_or("-".into(), |r| format!("{:.0} %", 100.0 * r + 0.0));
        let cost = match (row.cost, &self.currency) {
            (Some(cost), Some(_)) if row.way != Way::AsItIs => format!("{:.0}", cost.total()),
            _ => String::new(),
        };
        let name = name(row);
        let mut out = String::new();
        let cells = format!("{verdicts} {margin:>8} {less:>6}  {cost}");
        let width = self.column();
        if name.chars().count() < width {
            out.push_str(&format!("{}\n", format!("   {name:<width$}{cells}").trim_end()));
        } else {
            out.push_str(&set("   ", "     ", &name));
            out.push_str(&format!("{}\n", format!("   {:<width$}{cells}", "").trim_end()));
        }
        let decides = if self.restarts() { row.deciding() } else { row.starts.first() };
        let tightest =
            decides.filter(|s| s.verdict == Verdict::Starts).and_then(|s| s.finding(row.margin()?.0));
        if let Some(finding) = tightest.filter(|f| !f.told.sentence.is_empty()) {
            out.push_str(&set("      ", "      ", &format!("Tightest: {}.", finding.told.sentence)));
        } else if let Some(start) = decides {
            out.push_str(&set(
                "      ",
                "      ",
                &format!("{}{}.", self.when(start), sentence(&limits(start))),
            ));
        }
        let cures = self.list(&row.cures);
        if !cures.is_empty() {
            out.push_str(&set("      ", "      ", &format!("Cures: {cures}.")));
        }
        let fails: Vec<Point> = row.open.iter().copied().filter(|p| p.status == Status::Fail).collect();
        let part = |new: bool| -> Vec<Point> {
            row.open.iter().copied().filter(|p| p.new == new && p.status != Status::Fail).collect()
        };
        let said = |what: &str, points: &[Point]| match self.list(points) {
            list if list.is_empty() => String::new(),
            list => format!("{what}: {list}. "),
        };
        let open =
            said("Fails", &fails) + &said("Still open", &part(false)) + &said("Newly open", &part(true));
        if row.way != Way::AsItIs {
            out.push_str(&set(
                "      ",
                "      ",
                &format!("{}.", sentence(&format!("{open}Leaves: {}", row.way.leaves()))),
            ));
        }
        out
    }

    /// Whether some way starts the load straight after stopping for certain; where none does, that is said once, not with each.
    pub fn restarts(&self) -> bool {
        let starts = |r: &Outcome| {
            let restart = r.starts.iter().find(|s| s.pressure == Pressure::Unequal);
            restart.is_some_and(|s| s.verdict == Verdict::Starts)
        };
        self.pressures.len() < 2 || self.rows.iter().any(starts)
    }

    fn when(&self, start: &Start) -> &'static str {
        match start.pressure {
            Pressure::Unequal if self.pressures.len() > 1 => "Restart: ",
            _ => "",
        }
    }

    /// Checks in words, each with the pressure it goes for where that makes a difference.
    fn list(&self, points: &[Point]) -> String {
        let restarts = self.restarts();
        let said = points.iter().filter(|p| restarts || p.pressure != Some(Pressure::Unequal)).map(|p| {
            let word = words::check(p.id).to_owned();
            match p.pressure {
                Some(Pressure::Unequal) => format!("{word} (restart)"),
                Some(Pressure::Equalised) if restarts && self.pressures.len() > 1 => {
                    format!("{word} (rested)")
                }
                _ => word,
            }
        });
        said.collect::<Vec<_>>().join("; ")
    }

    fn legend(&self) -> String {
        let restart = if self.pressures.len() > 1 {
            " Rested, restart: after a rest, straight after stopping; margin and less are those of the first."
        } else {
            ""
        };
        let until = self
            .valid_until()
            .map_or(String::new(), |day| format!(" Prices as the site file has them, valid until {day}."));
        format!(
            "Margin: the least of all that a start asks; by so much it could be larger (minus: must come down). Less: largest \
             current below locked rotor, a sagging supply included. Uncertain: over the figures' ranges; + or -: at their values \
             it starts or fails.{restart}{until} The catalogue's entries are classes, no products."
        )
    }

    /// What to take, in a sentence or two.
    pub fn answer(&self) -> String {
        let Some(as_it_is) = self.rows.first() else { return "Nothing was judged.".into() };
        if as_it_is.worst() == Verdict::Starts {
            return "Answer: leave it as it is; it starts.".into();
        }
        let needed = self.needed.filter(|n| *n > 0.0).map_or(String::new(), |n| {
            format!(" As it is the start current would have to come down by {:.0} %.", (100.0 * n).ceil())
        });
        let Some(pick) = self.pick() else {
            let elsewhere = self.rows.iter().skip(1).find(|r| r.serves_rested());
            let open = self
                .rows
                .iter()
                .skip(1)
                .find(|r| r.starts.first().is_some_and(|s| s.leaning == Verdict::Starts));
            return match (elsewhere, open) {
                (Some(row), _) => format!(
                    "Answer: on this supply nothing starts it for certain; {} does.{}{needed}",
                    name(row),
                    self.peak_question()
                ),
                (None, Some(row)) => format!(
                    "Answer: nothing starts it for certain. By the figures' values it starts with: {}. Pin down the figures \
                     that `check` names, then ask again.{}{needed}",
                    name(row),
                    self.peak_question()
                ),
                (None, None) => {
                    let nearest = self.rows.get(1).map_or(String::new(), |row| {
                        format!(
                            " The nearest is {}, with an open question as to: {}.",
                            name(row),
                            self.list(&row.open)
                        )
                    });
                    let none = match as_it_is.starts.first().map(|s| s.leaning) {
                        _ if self.rows.len() > 1 => "nothing starts it for certain",
                        Some(Verdict::Uncertain) => "it is open whether it starts, and no way makes it surer",
                        _ => "no way was found that starts it",
                    };
                    format!("Answer: {none}.{nearest}{needed}")
                }
            };
        };
        let wait = pick.worst() != Verdict::Starts && self.pressures.len() > 1;
        let wait = if wait {
            " A restart straight after stopping is not certain with it: have it wait about 3 minutes (common practice, no source)."
        } else {
            ""
        };
        let others: Vec<&str> = self
            .rows
            .iter()
            .skip(1)
            .filter(|r| r.serves_rested() && r.way != pick.way)
            .map(|r| name_of_way(r.way))
            .collect();
        let rest = if self.pressures.len() > 1 { " after a rest" } else { "" };
        let others = match others.as_slice() {
            [] => String::new(),
            list => format!(" Also certain{rest}: {}.", list.join(", ")),
        };
        let cheapest =
            self.cheapest().and_then(|c| Some((c, c.cost?))).map_or(String::new(), |(row, cost)| {
                format!(" Least cost: {}, {:.0} {}.", name(row), cost.total(), self.currency())
            });
        // what is likely, and what would make it sure
        let likely: Vec<String> = self
            .rows
            .iter()
            .skip(1)
            .filter(|r| {
                r.starts
                    .first()
                    .is_some_and(|s| s.verdict == Verdict::Uncertain && s.leaning == Verdict::Starts)
            })
            .map(name)
            .collect();
        let likely = if likely.is_empty() {
            String::new()
        } else {
            format!(" By the figures' values, not for certain: {}.", likely.join(", "))
        };
        let peak = self.peak_question();
        format!(
            "Answer: {}; it starts for certain{rest}.{wait}{others}{likely}{peak}{cheapest}{needed}",
            name(pick)
        )
    }

    /// What only the first peak stands in the way of, with the question that settles it; empty where that is nothing.
    pub(super) fn peak_question(&self) -> String {
        let row = self.rows.iter().skip(1).find(|r| r.hangs_on_the_peak());
        row.map_or(String::new(), |row| {
            format!(
                " Ask the maker of the supply at which instantaneous current it cuts off (peak_current_a): nothing else is open \
                 with {}.",
                name(row)
            )
        })
    }

    /// The same for programs (docs/json.md).
    ///
    /// # Errors
    /// Where it cannot be put into JSON.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let root = JsonRoot {
            format: 1,
            load: &self.load,
            supply: &self.supply,
            needed: self.needed.and_then(rounded),
            currency: self.currency.as_ref().map(|(c, _)| c.as_str()),
            valid_until: self.valid_until(),
            pick: self.pick().map(|r| r.way.word()),
            cheapest: self.cheapest().map(|r| r.way.word()),
            answer: self.answer(),
            ways: self.rows.iter().map(|row| self.json_row(row)).collect(),
            not: self.not.iter().map(|(way, why)| JsonNot { way: way.word(), why }).collect(),
        };
        Ok(serde_json::to_string_pretty(&root)? + "\n")
    }

    fn json_row<'a>(&self, row: &'a Outcome) -> JsonRow<'a> {
        let point = |p: &Point| JsonPoint {
            id: p.id,
            pressure: p.pressure.map(Pressure::word),
            status: p.status,
            new: p.new,
        };
        JsonRow {
            way: row.way.word(),
            name: name(row),
            starter: row.change.starter.as_ref().map(|(name, _)| name.as_str()),
            breaker: row.change.breaker.as_ref().map(|b| b.words()),
            supply: row.change.supply.as_ref().map(|s| s.name.as_str()),
            unit_locked_rotor_a: row.change.unit.and_then(|(_, a)| rounded(a)),
            verdict: row.worst(),
            starts: row.starts.iter().map(json_start).collect(),
            margin: row.margin().and_then(|(_, m)| rounded(m)),
            margin_of: row.margin().map(|(id, _)| id),
            reduction: row.reduction().and_then(rounded),
            parts: row.cost.map(|c| c.parts).filter(|_| self.currency.is_some()),
            labour: row.cost.map(|c| c.labour).filter(|_| self.currency.is_some()),
            cures: row.cures.iter().map(point).collect(),
            open: row.open.iter().map(point).collect(),
            leaves: row.way.leaves(),
        }
    }
}

/// Fits the motor of a case once, for all ways: none but another unit changes it.
fn fitted(case: &mut Case) {
    let fit = Path::new(case).ok().and_then(|path| path.fit);
    if let (Some(fit), Some(MotorFigures::Plate(motor))) = (fit, &mut case.load.motor) {
        motor.seed = motor.seed.take().or(Some(Arc::new(fit)));
    }
}

fn price(outcome: &Outcome) -> f64 {
    outcome.cost.map_or(f64::INFINITY, |c| c.total())
}

/// At how many pressures a way starts the load for certain.
fn sure_at(outcome: &Outcome) -> usize {
    outcome.starts.iter().filter(|s| s.verdict == Verdict::Starts).count()
}

/// A way in plain words.
pub(super) fn name_of_way(way: Way) -> &'static str {
    match way {
        Way::AsItIs => "as it is",
        Way::Straight => "without the starter",
        Way::Delay => "a delay before it restarts",
        Way::Starter => "a soft starter",
        Way::Breaker => "another breaker",
        Way::StarterAndBreaker => "a soft starter and another breaker",
        Way::Supply => "a larger supply",
        Way::SupplyAndBreaker => "a larger supply and another breaker",
        Way::SmallerUnit => "a smaller unit",
        Way::Shore => "only on shore power",
        Way::Generator => "only on a generator",
    }
}

/// What a way puts in place; empty where it is nothing.
fn detail(row: &Outcome) -> String {
    let change = &row.change;
    match row.way {
        Way::AsItIs | Way::Straight => String::new(),
        Way::Delay => "about 3 minutes".into(),
        Way::SmallerUnit => change.unit.map_or(String::new(), |(share, a)| {
            format!("at most {} A LRA, {:.0} % of this one", number(a), 100.0 * share)
        }),
        _ => {
            let starter = change.starter.as_ref().map(|(name, _)| name.clone());
            let breaker = change.breaker.as_ref().map(|b| format!("breaker {}", b.words()));
            let supply = change.supply.as_ref().map(|s| s.name.clone());
            [starter, supply, breaker].into_iter().flatten().collect::<Vec<_>>().join("; ")
        }
    }
}

/// A way with what it puts in place.
pub(super) fn name(row: &Outcome) -> String {
    let what = detail(row);
    let way = match (row.way, &row.change.starter) {
        // what needs no electronics is no soft starter
        (Way::Starter, Some((_, figures))) if !figures.kind.soft() => "a starter",
        (way, _) => name_of_way(way),
    };
    if what.is_empty() { way.to_owned() } else { format!("{way}: {what}") }
}

#[derive(Serialize)]
struct JsonRoot<'a> {
    format: u32,
    load: &'a str,
    supply: &'a str,
    needed: Option<f64>,
    currency: Option<&'a str>,
    valid_until: Option<&'a str>,
    pick: Option<&'static str>,
    cheapest: Option<&'static str>,
    answer: String,
    ways: Vec<JsonRow<'a>>,
    not: Vec<JsonNot<'a>>,
}

#[derive(Serialize)]
struct JsonNot<'a> {
    way: &'static str,
    why: &'a str,
}

#[derive(Serialize)]
struct JsonRow<'a> {
    way: &'static str,
    name: String,
    starter: Option<&'a str>,
    breaker: Option<String>,
    supply: Option<&'a str>,
    unit_locked_rotor_a: Option<f64>,
    verdict: Verdict,
    starts: Vec<JsonStart>,
    margin: Option<f64>,
    margin_of: Option<&'static str>,
    reduction: Option<f64>,
    parts: Option<f64>,
    labour: Option<f64>,
    cures: Vec<JsonPoint>,
    open: Vec<JsonPoint>,
    leaves: &'static str,
}

#[derive(Serialize)]
struct JsonPoint {
    id: &'static str,
    pressure: Option<&'static str>,
    status: Status,
    new: bool,
}

#[derive(Serialize)]
struct JsonStart {
    pressure: &'static str,
    verdict: Verdict,
    leaning: Verdict,
    deciding: Option<&'static str>,
    limits: String,
}

fn json_start(start: &Start) -> JsonStart {
    JsonStart {
        pressure: start.pressure.word(),
        verdict: start.verdict,
        leaning: start.leaning,
        deciding: start.deciding().map(|f| f.id),
        limits: limits(start),
    }
}
