//! Which supply: the site's and the catalogue's side by side, straight on the line and behind starters; the least that would do.

use serde::Serialize;

use super::in_parallel;
use super::words::{self, set};
use crate::advise::starters::{Candidate as Starter, with_starter};
use crate::advise::supplies::{Candidate, Least, least, try_supply, worst};
use crate::advise::{Start, Verdict};
use crate::case::{Case, Path, Pressure};
use crate::checks::say::number;
use crate::starter::StarterFigures;
use crate::supply::SupplyKind;

/// A supply with what became of the load on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The supply.
    pub candidate: Candidate,
    /// Straight on the line, by pressure.
    pub direct: Vec<Start>,
    /// Behind each starter that is one for the motor: its name and the starts by pressure.
    pub behind: Vec<(String, Vec<Start>)>,
}

impl Row {
    /// The starter it does best behind, with the starts.
    pub fn best(&self) -> Option<&(String, Vec<Start>)> {
        let leaning = |tried: &[Start]| tried.iter().filter(|s| s.leaning == Verdict::Starts).count();
        let rank = |tried: &[Start]| {
            (worst(tried) != Verdict::Starts, std::cmp::Reverse(leaning(tried)), worst(tried))
        };
        let hand = |tried: &[Start]| Row::surge_margin(tried).unwrap_or(f64::INFINITY);
        self.behind.iter().min_by(|(_, a), (_, b)| rank(a).cmp(&rank(b)).then(hand(b).total_cmp(&hand(a))))
    }

    /// Margin of the surge at the first pressure: a restart that stalls says nothing of a supply's size.
    fn surge_margin(starts: &[Start]) -> Option<f64> {
        let margins = starts.first()?.finding("surge")?.margins?;
        Some(margins.modelled).filter(|m| m.is_finite())
    }
}

/// Supplies side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Supplies {
    load: String,
    volts: f64,
    hertz: f64,
    phases: u32,
    /// The pressures, after a rest first.
    pub pressures: Vec<Pressure>,
    /// Smallest first.
    pub rows: Vec<Row>,
    /// The least ratings straight on the line, by pressure.
    pub least_direct: Vec<Option<Least>>,
    /// The same behind the starter of that name.
    pub least_behind: Option<(String, Vec<Option<Least>>)>,
}

impl Supplies {
    /// Tries every candidate that could take the place of the case's supply.
    pub fn new(
        case: &Case,
        pressures: &[Pressure],
        candidates: Vec<Candidate>,
        starters: Vec<Starter>,
    ) -> Supplies {
        let mut pressures = pressures.to_vec();
        pressures.sort();
        let cases: Vec<Case> = pressures.iter().map(|p| Case { pressure: *p, ..case.clone() }).collect();
        let none = StarterFigures::default();
        let mut list: Vec<(String, StarterFigures)> = Vec::new();
        if case.load.starter != none {
            list.push(("the site's own starter".into(), case.load.starter.clone()));
        }
        // what is none for this motor is none on any supply of this voltage
        let fits = |s: &Starter| Path::new(&with_starter(case, &s.figures)).is_ok_and(|p| p.unfit.is_none());
        list.extend(starters.into_iter().filter(fits).map(|s| (s.name, s.figures)));
        let mut candidates: Vec<Candidate> =
            candidates.into_iter().filter(|c| c.own || c.replaces(&case.supply)).collect();
        candidates.sort_by(|a, b| a.size_va().total_cmp(&b.size_va()).then(b.own.cmp(&a.own)));
        let ways: Vec<&StarterFigures> = std::iter::once(&none).chain(list.iter().map(|(_, s)| s)).collect();
        let jobs: Vec<(usize, usize, usize)> = (0..candidates.len())
            .flat_map(|s| (0..ways.len()).map(move |w| (s, w)))
            .flat_map(|(s, w)| (0..pressures.len()).map(move |p| (s, w, p)))
            .collect();
        let starts = in_parallel(&jobs, |&(s, w, p)| try_supply(&cases[p], &candidates[s].figures, ways[w]));
        let mut starts = starts.into_iter();
        let mut next = || -> Vec<Start> { starts.by_ref().take(pressures.len()).collect() };
        let rows: Vec<Row> = candidates
            .into_iter()
            .map(|candidate| Row {
                candidate,
                direct: next(),
                behind: list.iter().map(|(name, _)| (name.clone(), next())).collect(),
            })
            .collect();
        let least_direct = in_parallel(&cases, |case| least(case, &none));
        // of the starters the one that does best on the most supplies
        let votes =
            |name: &str| rows.iter().filter(|r| r.best().is_some_and(|(best, _)| best == name)).count();
        let favourite = list.iter().max_by_key(|(name, _)| votes(name));
        let least_behind =
            favourite.map(|(name, figures)| (name.clone(), in_parallel(&cases, |case| least(case, figures))));
        Supplies {
            load: case.load.name.clone(),
            volts: case.supply.voltage_v.get(),
            hertz: case.supply.frequency_hz.get(),
            phases: case.supply.phases,
            pressures,
            rows,
            least_direct,
            least_behind,
        }
    }

    /// Whether some supply starts the load for certain, straight on the line or behind a starter.
    pub fn serves(&self) -> bool {
        self.smallest_direct().is_some() || self.smallest_behind().is_some()
    }

    fn smallest_direct(&self) -> Option<&Row> {
        self.rows.iter().find(|r| worst(&r.direct) == Verdict::Starts)
    }

    fn smallest_behind(&self) -> Option<&Row> {
        self.rows.iter().find(|r| r.best().is_some_and(|(_, tried)| worst(tried) == Verdict::Starts))
    }

    /// The smallest that starts it straight on the line after a rest, where a restart is another matter.
    fn smallest_after_rest(&self) -> Option<&Row> {
        let starts = |r: &&Row| r.direct.first().is_some_and(|s| s.verdict == Verdict::Starts);
        self.rows.iter().find(starts).filter(|_| self.pressures.len() > 1)
    }

    /// The comparison in words.
    pub fn text(&self) -> String {
        let three = if self.phases == 3 { " three-phase" } else { "" };
        let mut out = set(
            "",
            "",
            &format!(
                "Supplies of {} V {} Hz{three} for {}, smallest first.",
                number(self.volts),
                number(self.hertz),
                self.load
            ),
        );
        out.push('\n');
        let verdicts: String =
            self.pressures.iter().map(|p| format!(" {:<11}", words::pressure(*p))).collect();
        out.push_str(format!("   {:<40}{:>7} {:>8} {verdicts}", "", "VA", "surge").trim_end());
        out.push('\n');
        for row in &self.rows {
            out.push_str(&self.line(row));
        }
        out.push('\n');
        out.push_str(&set("", "", LEGEND));
        out.push('\n');
        for line in self.least_lines() {
            out.push_str(&set("", "  ", &line));
        }
        out.push('\n');
        out.push_str(&set("", "", &self.answer()));
        out
    }

    fn line(&self, row: &Row) -> String {
        let va = row.candidate.size_va();
        let va = if va.is_finite() { format!("{va:.0}") } else { "-".into() };
        let margin = Row::surge_margin(&row.direct).map_or("-".into(), |m| format!("{:+.0} %", 100.0 * m));
        let direct: String = row.direct.iter().map(|s| format!(" {:<11}", words::verdict(s))).collect();
        let own = if row.candidate.own { " (the site's)" } else { "" };
        let first = format!("   {:<40}{va:>7} {margin:>8} {direct}", format!("{}{own}", row.candidate.name));
        let mut out = format!("{}\n", first.trim_end());
        // behind a starter only where that is any better
        let better = |tried: &[Start]| {
            let rank = |s: &[Start]| s.iter().map(|s| (s.verdict, s.leaning)).max();
            worst(&row.direct) != Verdict::Starts && rank(tried) < rank(&row.direct)
        };
        if let Some((name, tried)) = row.best().filter(|(_, tried)| better(tried)) {
            let words: String = tried.iter().map(|s| format!(" {:<11}", words::verdict(s))).collect();
            let line = format!("      {:<53} {words}", format!("behind {name}"));
            out.push_str(line.trim_end());
            out.push('\n');
        }
        out
    }

    fn least_lines(&self) -> Vec<String> {
        let said = |how: &str, list: &[Option<Least>]| -> Vec<String> {
            let each = self.pressures.iter().zip(list);
            each.map(|(pressure, least)| {
                let when =
                    if self.pressures.len() > 1 { format!(", {}", long(*pressure)) } else { String::new() };
                match least {
                    Some(l) => format!(
                        "Least, {how}{when}: {} A ({}) for ever and {} A ({}) for as long as the start{}.",
                        number(l.continuous_a),
                        self.va(l.continuous_a),
                        number(l.surge_a),
                        self.va(l.surge_a),
                        if l.sure { "" } else { "; by the figures' values, not over their ranges" }
                    ),
                    None => format!("Least, {how}{when}: no rating makes it start."),
                }
            })
            .collect()
        };
        let mut lines = said("straight on the line", &self.least_direct);
        if let Some((name, list)) = &self.least_behind {
            lines.extend(said(&format!("behind {name}"), list));
        }
        lines
    }

    fn va(&self, amps: f64) -> String {
        let root = if self.phases == 3 { 3f64.sqrt() } else { 1.0 };
        format!("{} VA", number(amps * self.volts * root))
    }

    /// The smallest supply that does, straight on the line and behind a starter.
    pub fn answer(&self) -> String {
        let direct = self.smallest_direct().map(|r| r.candidate.name.clone());
        let behind =
            self.smallest_behind().and_then(|r| Some((r.candidate.name.clone(), r.best()?.0.clone())));
        match (direct, behind) {
            (Some(direct), Some((supply, starter))) if supply != direct => format!(
                "Smallest of these for certain: {direct} straight on the line, {supply} behind {starter}."
            ),
            (Some(direct), _) => format!("Smallest of these for certain: {direct}, straight on the line."),
            (None, Some((supply, starter))) => format!(
                "Smallest of these for certain: {supply} behind {starter}; straight on the line none."
            ),
            (None, None) if self.smallest_after_rest().is_some() => {
                let name = self.smallest_after_rest().map_or("", |r| r.candidate.name.as_str());
                format!(
                    "Smallest of these for certain: {name} straight on the line, after a rest only: wait before a restart (about 3 \
                     minutes, common practice, no source)."
                )
            }
            (None, None) => {
                "None of these starts it for certain over the ranges of all figures: pin them down first \
                             (`check` says which), or go by the least ratings above."
                    .into()
            }
        }
    }

    /// The same for programs (docs/json.md).
    ///
    /// # Errors
    /// Where it cannot be put into JSON.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let least = |list: &[Option<Least>]| -> Vec<JsonLeast> {
            let each = self.pressures.iter().zip(list);
            each.map(|(p, l)| JsonLeast {
                pressure: p.word(),
                continuous_a: l.map(|l| l.continuous_a),
                surge_a: l.map(|l| l.surge_a),
                surge_for_s: l.map(|l| l.for_s),
                sure: l.map(|l| l.sure),
            })
            .collect()
        };
        let root = JsonRoot {
            format: 1,
            load: &self.load,
            supplies: self.rows.iter().map(json_row).collect(),
            least_direct: least(&self.least_direct),
            least_behind: self
                .least_behind
                .as_ref()
                .map(|(name, list)| JsonBehind { starter: name, least: least(list) }),
            answer: self.answer(),
        };
        Ok(serde_json::to_string_pretty(&root)? + "\n")
    }
}

const LEGEND: &str = "VA: continuous rating; surge: margin of the supply's surge straight on the line, in the first column. \
                      Uncertain: over the figures' ranges; + or -: at their values it starts or fails. The catalogue's supplies are classes, no products: go by what a maker \
                      declares in writing, above all for how long the surge lasts. Verdicts are those of the whole site, its \
                      breaker and cable included.";

fn long(pressure: Pressure) -> &'static str {
    match pressure {
        Pressure::Equalised => "after a rest",
        Pressure::Unequal => "straight after stopping",
    }
}

#[derive(Serialize)]
struct JsonRoot<'a> {
    format: u32,
    load: &'a str,
    supplies: Vec<JsonRow<'a>>,
    least_direct: Vec<JsonLeast>,
    least_behind: Option<JsonBehind<'a>>,
    answer: String,
}

#[derive(Serialize)]
struct JsonBehind<'a> {
    starter: &'a str,
    least: Vec<JsonLeast>,
}

#[derive(Serialize)]
struct JsonLeast {
    pressure: &'static str,
    continuous_a: Option<f64>,
    surge_a: Option<f64>,
    surge_for_s: Option<f64>,
    sure: Option<bool>,
}

#[derive(Serialize)]
struct JsonRow<'a> {
    name: &'a str,
    own: bool,
    kind: &'static str,
    continuous_va: Option<f64>,
    surge_margin: Option<f64>,
    direct: Vec<JsonStart>,
    behind: Vec<JsonWay<'a>>,
}

#[derive(Serialize)]
struct JsonWay<'a> {
    starter: &'a str,
    starts: Vec<JsonStart>,
}

#[derive(Serialize)]
struct JsonStart {
    pressure: &'static str,
    verdict: Verdict,
    leaning: Verdict,
    deciding: Option<String>,
}

fn json_start(start: &Start) -> JsonStart {
    JsonStart {
        pressure: start.pressure.word(),
        verdict: start.verdict,
        leaning: start.leaning,
        deciding: start.deciding().map(|f| words::check(f.id).to_owned()),
    }
}

fn json_row(row: &Row) -> JsonRow<'_> {
    JsonRow {
        name: &row.candidate.name,
        own: row.candidate.own,
        kind: match row.candidate.figures.kind {
            SupplyKind::Inverter => "inverter",
            SupplyKind::Generator => "generator",
            SupplyKind::Shore => "shore",
        },
        continuous_va: Some(row.candidate.size_va()).filter(|va| va.is_finite()),
        surge_margin: Row::surge_margin(&row.direct),
        direct: row.direct.iter().map(json_start).collect(),
        behind: row
            .behind
            .iter()
            .map(|(starter, tried)| JsonWay { starter, starts: tried.iter().map(json_start).collect() })
            .collect(),
    }
}
