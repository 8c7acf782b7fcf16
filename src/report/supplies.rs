//! Which supply: the site's and the catalogue's side by side, straight on the line and behind starters; the least that would do.

use serde::Serialize;

use super::in_parallel;
use super::words::{self, set};
use crate::advise::starters::{Candidate as Starter, Rank, with_starter};
use crate::advise::supplies::{Candidate, Least, leans, least, try_supply, worst};
use crate::advise::{Start, Verdict};
use crate::case::{Case, Path, Pressure};
use crate::checks::say::number;
use crate::checks::{ALL, Status};
use crate::starter::StarterFigures;
use crate::supply::SupplyKind;

/// A supply with what became of the load on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The supply.
    pub candidate: Candidate,
    /// Straight on the line, by pressure.
    pub direct: Vec<Start>,
    /// Behind starters: name and starts by pressure. On the case's own supply each that is one for the motor; on others none where it
    /// starts without, else those with which it starts by the figures' values at the most pressures.
    pub behind: Vec<(String, Vec<Start>)>,
}

impl Row {
    /// The starter it does best behind, with the starts: the one that `starters` would put first.
    pub fn best(&self) -> Option<&(String, Vec<Start>)> {
        self.behind.iter().min_by_key(|(_, starts)| Rank::of(starts.iter()))
    }

    /// The lowest margin of the start at the first pressure, with its check: a restart that stalls says nothing of a supply's size.
    pub fn margin(starts: &[Start]) -> Option<(&'static str, f64)> {
        let of_start = |id: &str| ALL.iter().any(|c| c.id() == id && c.depends_on_start());
        let findings = starts.first()?.findings.iter().filter(|f| of_start(f.id));
        let each = findings.filter_map(|f| Some((f.id, f.margins?.modelled)));
        each.filter(|(_, m)| m.is_finite()).min_by(|a, b| a.1.total_cmp(&b.1))
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
        // the site's own may be an entry of the catalogue
        let (own, others): (Vec<_>, Vec<_>) = candidates.into_iter().partition(|c| c.own);
        let new = others.into_iter().filter(|c| !own.iter().any(|o| o.is_like(c))).collect::<Vec<_>>();
        candidates = own.into_iter().chain(new).collect();
        candidates.sort_by(|a, b| a.size_va().total_cmp(&b.size_va()).then(b.own.cmp(&a.own)));
        let runs = |supply: &Candidate, way: &StarterFigures| {
            cases.iter().map(|case| try_supply(case, &supply.figures, way)).collect::<Vec<Start>>()
        };
        let direct = in_parallel(&candidates, |supply| runs(supply, &none));
        // behind a starter only where it does not start without, and of the starters those that could be the best: with which it
        // starts by the figures' values at the most pressures; on the case's own supply all of them
        let own = |s: usize| candidates[s].figures == case.supply;
        let mut jobs: Vec<(usize, usize)> = (0..candidates.len())
            .filter(|&s| own(s) || worst(&direct[s]) != Verdict::Starts)
            .flat_map(|s| (0..list.len()).map(move |w| (s, w)))
            .collect();
        let leaning = in_parallel(&jobs, |&(s, w)| {
            let leans = |case: &&Case| !own(s) && leans(case, &candidates[s].figures, &list[w].1);
            cases.iter().filter(leans).count()
        });
        let mut most = vec![1; candidates.len()];
        for (&(s, _), &count) in jobs.iter().zip(&leaning) {
            most[s] = most[s].max(count);
        }
        let mut leaning = leaning.into_iter();
        jobs.retain(|&(s, _)| leaning.next() == Some(most[s]) || own(s));
        let behind = in_parallel(&jobs, |&(s, w)| runs(&candidates[s], &list[w].1));
        let mut rows: Vec<Row> = candidates
            .into_iter()
            .zip(direct)
            .map(|(candidate, direct)| Row { candidate, direct, behind: Vec::new() })
            .collect();
        for ((s, w), starts) in jobs.into_iter().zip(behind) {
            rows[s].behind.push((list[w].0.clone(), starts));
        }
        let least_direct = in_parallel(&cases, |case| least(case, &none));
        // of the starters the first in the order of `starters` that any rating makes it start behind
        let mut best: Vec<&(String, Vec<Start>)> =
            rows.iter().filter(|r| r.candidate.figures == case.supply).flat_map(|r| &r.behind).collect();
        best.sort_by_cached_key(|(_, starts)| Rank::of(starts.iter()));
        let least_behind = best.iter().find_map(|(name, _)| {
            let (_, figures) = list.iter().find(|(other, _)| other == name)?;
            let found = in_parallel(&cases, |case| least(case, figures));
            found.iter().any(Option::is_some).then(|| (name.clone(), found))
        });
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
        let gives = words::volts_and_hertz(self.volts, self.hertz, self.phases);
        let mut out = set("", "", &format!("Supplies of {gives} for {}, smallest first.", self.load));
        out.push('\n');
        let verdicts: String =
            self.pressures.iter().map(|p| format!(" {:<11}", words::pressure(*p))).collect();
        out.push_str(format!("   {:<35}{:>7}  {:<27}{verdicts}", "", "VA", "least margin").trim_end());
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
        let own = if row.candidate.own { " (the site's)" } else { "" };
        let name = format!("{}{own}", row.candidate.name);
        let mut out = String::new();
        // a long name has a line of its own
        let name = if name.chars().count() > 35 {
            out.push_str(&set("   ", "   ", &name));
            String::new()
        } else {
            name
        };
        out.push_str(&self.columns(&format!("   {name:<35}{va:>7}"), &row.direct));
        // behind a starter only where that is any better
        let better = |tried: &[Start]| {
            let rank = |s: &[Start]| s.iter().map(|s| (s.verdict, s.leaning)).max();
            worst(&row.direct) != Verdict::Starts && rank(tried) < rank(&row.direct)
        };
        if let Some((name, tried)) = row.best().filter(|(_, tried)| better(tried)) {
            out.push_str(&self.columns(&format!("      behind {name}"), tried));
        }
        out
    }

    /// A line of the table, and below it what decides where it does not start for certain.
    fn columns(&self, head: &str, starts: &[Start]) -> String {
        let margin = Row::margin(starts)
            .map_or("-".into(), |(id, m)| format!("{:>5} {}", percent(m), words::check_of(&starts[0], id)));
        let verdicts: String = starts.iter().map(|s| format!(" {:<11}", words::verdict(s))).collect();
        let line = format!("{head:<45}  {margin:<27}{verdicts}");
        let mut out = format!("{}\n", line.trim_end());
        let open = || starts.iter().filter(|s| s.verdict != Verdict::Starts);
        let mut said: Vec<(String, Vec<&str>)> = Vec::new();
        for (why, when) in open().map(|s| (decides(s), words::pressure(s.pressure))) {
            match said.iter_mut().find(|(before, _)| *before == why) {
                Some((_, both)) => both.push(when),
                None => said.push((why, vec![when])),
            }
        }
        let several = self.pressures.len() > 1;
        let parts: Vec<String> = said
            .into_iter()
            .map(|(why, when)| if several { format!("{}: {why}", when.join(" and ")) } else { why })
            .collect();
        if !parts.is_empty() {
            out.push_str(&set("        ", "        ", &parts.join("; ")));
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
        if self.least_direct.iter().flatten().next().is_some() {
            lines.push(
                "The first crest is not in these figures: it can be up to twice as high, for a cycle, and the supply must not cut \
                 off on it; ask its maker for the instantaneous current at which it does."
                    .into(),
            );
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

const LEGEND: &str = "VA: continuous rating; least margin: the lowest of all that a start asks, in the first column of verdicts, and whose it \
                      is. Below a row is what decides where it does not start for certain. Uncertain: over the figures' ranges; + or -: at their values it starts or fails, else it is open at them too. Rested: after a rest; restart: straight after stopping. The catalogue's supplies are classes, no products: go by what a maker \
                      declares in writing, above all for how long the surge lasts. Verdicts are those of the whole site, its \
                      breaker and cable included.";

/// What decides a start that does not start for certain, in a few words.
fn decides(start: &Start) -> String {
    let Some(finding) = start.deciding() else { return "nothing was checked".into() };
    let check = words::check_of(start, finding.id);
    let last = |key: &str| key.rsplit('.').next().unwrap_or(key).to_owned();
    match (finding.missing.first(), finding.depends_on.first()) {
        (Some(key), _) => format!("{check} ({} is not given)", last(key)),
        (None, Some(key)) if finding.at_value == Status::Pass && finding.reservation.is_none() => {
            format!("{check}, not over the range of the {}", words::figure(key))
        }
        _ => check.to_owned(),
    }
}

/// A margin, kept short where it is large.
fn percent(margin: f64) -> String {
    if margin > 9.99 { ">999 %".into() } else { format!("{:+.0} %", 100.0 * margin) }
}

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
    margin: Option<f64>,
    margin_of: Option<&'static str>,
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
        margin: Row::margin(&row.direct).map(|(_, m)| m),
        margin_of: Row::margin(&row.direct).map(|(id, _)| id),
        surge_margin: Row::surge_margin(&row.direct),
        direct: row.direct.iter().map(json_start).collect(),
        behind: row
            .behind
            .iter()
            .map(|(starter, tried)| JsonWay { starter, starts: tried.iter().map(json_start).collect() })
            .collect(),
    }
}
