//! Which breaker: all ratings and curves with why each is out, and the one to take.

use serde::Serialize;

use super::in_parallel;
use super::words::{self, set};
use crate::advise::breakers::{
    Candidate, Objection, Standing, choices, likeliest, peaked, recommended, rule_out_needless, try_breaker,
    unclear, weigh, with_breaker,
};
use crate::advise::{Start, judge};
use crate::case::{Case, Pressure};
use crate::checks::say::number;
use crate::protection::{BreakerFigures, BreakerStandard, Curve};
use crate::site::Site;
use crate::wiring::ConductorSize;

/// The breakers for one load on one supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Selection {
    load: String,
    supply: String,
    cable: Option<String>,
    running_a: Option<f64>,
    largest_a: Option<f64>,
    /// Why no breaker cures the start, if none does.
    pub hopeless: Option<String>,
    /// Whether only a start after a rest is looked at, because the motor is not to be restarted at once whatever the breaker.
    pub after_rest: bool,
    /// Every one that was tried, smallest first.
    pub candidates: Vec<Candidate>,
    /// Where the cable is the reason that none serves: the next size with which one does, and that one.
    pub with_cable: Option<(ConductorSize, Candidate)>,
    /// Where less start current is the cure: a breaker that is allowed, and what serves behind it.
    pub with_less: Option<(Candidate, Less)>,
}

/// How much less start current a breaker asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Less {
    /// Least reduction.
    pub from: f64,
    /// Largest.
    pub to: f64,
    /// Whether with a start capacitor.
    pub capacitor: bool,
}

/// Largest current looked at where the motor is not known \[A\] (assumed).
const UNKNOWN_A: f64 = 100.0;

impl Selection {
    /// Tries every breaker for a load on a supply at each pressure.
    pub fn new(site: &Site, load: usize, supply: usize, pressures: &[Pressure]) -> Selection {
        let mut pressures = pressures.to_vec();
        pressures.sort();
        let mut cases: Vec<Case> = pressures.iter().map(|p| site.case(load, supply, *p)).collect();
        let Some(case) = cases.first().cloned() else { return Selection::nothing(site, load, supply) };
        let bare = |case: &Case| {
            let mut case = case.clone();
            case.circuit.breaker = None;
            case
        };
        let mut without: Vec<Start> =
            in_parallel(&cases, |case| crate::advise::judge_without_windows(&bare(case)));
        // no breaker helps a motor that does not restart against pressure: it is to wait
        let after_rest = cases.len() > 1 && stuck(&without[0]).is_none() && stuck(&without[1]).is_some();
        if after_rest {
            cases.truncate(1);
            without.truncate(1);
            pressures.truncate(1);
        }
        let facts = without.iter().filter_map(|s| s.facts.as_ref());
        let largest_a = facts.map(|f| f.largest_rms_a).reduce(f64::max);
        let hopeless = without.iter().find_map(stuck);
        let candidates = tried(&cases, choices(&case, largest_a.unwrap_or(UNKNOWN_A)));
        let mut selection = Selection {
            load: case.load.name.clone(),
            supply: case.supply.name.clone(),
            cable: case.circuit.conductor.as_ref().and_then(|c| c.size.as_ref()).map(ToString::to_string),
            running_a: without.iter().find_map(|s| s.facts.as_ref()?.settled_a),
            largest_a,
            hopeless,
            after_rest,
            candidates,
            with_cable: None,
            with_less: None,
        };
        if selection.pick().is_none() && selection.hopeless.is_none() {
            selection.with_cable = larger_cable(site, load, supply, &pressures, &case);
            selection.with_less = less_current(&cases, &selection.candidates);
        }
        selection
    }

    fn nothing(site: &Site, load: usize, supply: usize) -> Selection {
        Selection {
            load: site.loads[load].figures.name.clone(),
            supply: site.supplies[supply].name.clone(),
            cable: None,
            running_a: None,
            largest_a: None,
            hopeless: None,
            after_rest: false,
            candidates: Vec::new(),
            with_cable: None,
            with_less: None,
        }
    }

    /// The one to take; none where none serves for certain, or no breaker cures the start.
    pub fn pick(&self) -> Option<&Candidate> {
        recommended(&self.candidates).filter(|_| self.hopeless.is_none())
    }

    /// The selection in words.
    pub fn text(&self) -> String {
        let mut out = set("", "", &self.head());
        out.push('\n');
        for group in self.groups() {
            out.push_str(&group.line(self.pick()));
        }
        out.push('\n');
        out.push_str(&set("", "", &self.answer()));
        out.push('\n');
        out.push_str(&set("", "", CAUTION));
        out
    }

    fn head(&self) -> String {
        let amps =
            |a: Option<f64>, words: &str| a.map_or(String::new(), |a| format!("; {} A {words}", number(a)));
        let cable = self.cable.as_ref().map_or(String::new(), |c| format!("; cable {c}"));
        format!(
            "Breakers for {} on {}: {}{}{}{cable}.",
            self.load,
            self.supply,
            self.candidates.first().map_or("none", |c| standard(&c.breaker)),
            amps(self.running_a, "running"),
            amps(self.largest_a, "at most while starting")
        )
    }

    /// What to take, or why there is nothing to take and what would help.
    pub fn answer(&self) -> String {
        if let Some(why) = &self.hopeless {
            return format!("Take: none yet. {}: no breaker cures that.", words::sentence(why));
        }
        if let Some(pick) = self.pick() {
            let hand = pick.start_margin.filter(|m| m.is_finite()).map_or(String::new(), |m| {
                format!(": it holds the start with {} % in hand", number(100.0 * m))
            });
            let own = if pick.own { ", as fitted" } else { "" };
            // one that serves is left where it is
            let fitted =
                self.candidates.iter().find(|c| c.own && !pick.own && c.standing == Standing::Serves);
            let fitted = fitted.map_or(String::new(), |c| {
                format!(" The one fitted, {}, serves too: leave it.", name(&c.breaker))
            });
            let open = pick.fault_open.as_ref().map_or(String::new(), |key| {
                format!(
                    " Whether it clears a fault is open: {} is not given.",
                    key.rsplit('.').next().unwrap_or(key)
                )
            });
            return format!(
                "Take: {}{own}{hand}, and none smaller does.{fitted}{open}{}",
                name(&pick.breaker),
                self.wait()
            );
        }
        let mut said = String::from("Take: none; no breaker of this standard meets every rule for certain.");
        if let Some(smallest) = unclear(&self.candidates) {
            let clears = |c: &Candidate| c.objections.iter().all(|o| o.id != "disconnection");
            said = format!(
                "Take: none. This supply does not surely open a breaker that holds the start. The smallest of those is {}: {}. After a \
                 fault the cable could go on carrying that current. A larger breaker makes it worse{}.",
                name(&smallest.breaker),
                smallest.objections.first().map_or("", |o| o.says.as_str()),
                if self.candidates.iter().any(clears) {
                    "; a smaller or quicker one would open, but does not surely hold the start"
                } else {
                    ""
                }
            );
        } else if let Some(open) = likeliest(&self.candidates) {
            let what: Vec<String> = open.objections.iter().map(|o| words::check(o.id).to_owned()).collect();
            said.push_str(&format!(
                " The nearest is {}, with an open question as to: {}.",
                name(&open.breaker),
                what.join(", ")
            ));
        } else {
            said.push_str(" What holds the start is more than cable, nameplate or fault clearing allow.");
        }
        if let Some((size, with)) = &self.with_cable {
            said.push_str(&format!(" With a cable of {size}: {}.", name(&with.breaker)));
        }
        match &self.with_less {
            Some((behind, less)) => said.push_str(&format!(
                " The cure is less start current, not more breaker: {} {} to {:.0} % less, and {} serves.",
                if less.capacitor { "a soft starter with a start capacitor," } else { "a soft starter," },
                (100.0 * less.from - 1e-9).ceil().max(0.0),
                (100.0 * less.to).floor(),
                name(&behind.breaker)
            )),
            None => said.push_str(" The cure is less start current, not more breaker."),
        }
        if unclear(&self.candidates).is_some() {
            said.push_str(
                " Otherwise a supply that feeds more into a short circuit, or one that shuts itself off on one (its maker in writing).",
            );
        }
        said + self.wait()
    }

    fn wait(&self) -> &'static str {
        if self.after_rest {
            " For a start after a rest only: straight after stopping the motor does not turn whatever the breaker, so wait (about 3 \
             minutes, common practice, no source)."
        } else {
            ""
        }
    }

    /// Candidates that stand together: neighbours with the same answer for the same reason.
    fn groups(&self) -> Vec<Group<'_>> {
        let mut groups: Vec<Group<'_>> = Vec::new();
        let mut at = 0;
        while at < self.candidates.len() {
            let rating = self.candidates[at].rating_a();
            let end = at + self.candidates[at..].iter().take_while(|c| c.rating_a() == rating).count();
            let mut here: Vec<Group<'_>> = Vec::new();
            for candidate in &self.candidates[at..end] {
                let key = Key::of(candidate);
                let alike = |g: &&mut Group<'_>| {
                    g.key == key && !candidate.own && !g.own && told(g.nearest) == told(candidate)
                };
                match here.iter_mut().find(alike) {
                    Some(group) => group.curves.extend(candidate.curve()),
                    None => here.push(Group::new(key, candidate)),
                }
            }
            for group in here {
                let joins = |g: &&mut Group<'_>| {
                    g.key == group.key
                        && g.curves == group.curves
                        && g.last_index + 1 == at
                        && g.key.1.is_some()
                        && !g.own
                        && !group.own
                };
                match groups.iter_mut().find(joins) {
                    Some(before) => before.join(group, end - 1),
                    None => groups.push(Group { last_index: end - 1, ..group }),
                }
            }
            at = end;
        }
        groups
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
            running_a: self.running_a,
            largest_rms_a: self.largest_a,
            pick: self.pick().map(|c| name(&c.breaker)),
            answer: self.answer(),
            breakers: self.candidates.iter().map(json_row).collect(),
        };
        Ok(serde_json::to_string_pretty(&root)? + "\n")
    }
}

const CAUTION: &str = "Rules as of the standards named by `check`; the local code and a licensed electrician decide. Never a larger \
                       breaker than cable, nameplate or fault clearing allow.";

/// Why a start is lost whatever the breaker.
fn stuck(start: &Start) -> Option<String> {
    let fails = |id: &str| start.finding(id).filter(|f| f.at_value == crate::checks::Status::Fail);
    let found = fails("terminal-voltage").or_else(|| fails("acceleration"))?;
    let said = if found.told.sentence.is_empty() { &found.told.why } else { &found.told.sentence };
    Some(said.clone())
}

fn tried(cases: &[Case], breakers: Vec<BreakerFigures>) -> Vec<Candidate> {
    let jobs: Vec<(usize, usize)> =
        (0..breakers.len()).flat_map(|b| (0..cases.len()).map(move |c| (b, c))).collect();
    let known = in_parallel(cases, peaked);
    let starts = in_parallel(&jobs, |&(b, c)| try_breaker(&cases[c], known[c].as_ref(), &breakers[b]));
    let mut starts = starts.into_iter();
    let mut settled_a = None;
    let each = breakers.into_iter().map(|breaker| {
        let tried: Vec<Start> = starts.by_ref().take(cases.len()).collect();
        settled_a = settled_a.or_else(|| tried.first()?.facts.as_ref()?.settled_a);
        weigh(&cases[0], breaker, &tried)
    });
    let mut candidates: Vec<Candidate> = each.collect();
    rule_out_needless(&cases[0], settled_a, &mut candidates);
    candidates
}

/// The next sizes of cable, until a breaker serves.
fn larger_cable(
    site: &Site,
    load: usize,
    supply: usize,
    pressures: &[Pressure],
    case: &Case,
) -> Option<(ConductorSize, Candidate)> {
    let size = case.circuit.conductor.as_ref()?.size.clone()?;
    for next in size.larger() {
        let site = site.with_cable(load, &next)?;
        let cases: Vec<Case> = pressures.iter().map(|p| site.case(load, supply, *p)).collect();
        let largest = UNKNOWN_A.max(case.load.nameplate.rated_load().unwrap_or(0.0) * 8.0);
        let candidates = tried(&cases, choices(&cases[0], largest));
        if let Some(serves) = recommended(&candidates) {
            return Some((next, serves.clone()));
        }
        // what cable does not cure, a still larger one does not either
        let cable = |c: &Candidate| c.objections.iter().any(|o| o.id == "conductor");
        if !candidates.iter().any(|c| c.standing != Standing::Serves && cable(c)) {
            return None;
        }
    }
    None
}

/// What a soft starter would have to do behind the largest breaker that is allowed.
fn less_current(cases: &[Case], candidates: &[Candidate]) -> Option<(Candidate, Less)> {
    let start = |o: &Objection| matches!(o.id, "breaker" | "breaker-instantaneous");
    let allowed = candidates.iter().rev().find(|c| {
        c.standing != Standing::Serves && !c.objections.is_empty() && c.objections.iter().all(start)
    })?;
    let starts = in_parallel(cases, |case| judge(&with_breaker(case, &allowed.breaker)));
    let spans = |capacitor: bool| -> Option<Less> {
        let mut span = [0.0_f64, 1.0_f64];
        for start in &starts {
            let reduction = start.reduction.as_ref()?;
            let window = if capacitor { reduction.with_capacitor.as_ref()? } else { &reduction.plain };
            let [from, to] = *window.passes_over_ranges.first().or(window.passes.first())?;
            span = [span[0].max(from), span[1].min(to)];
        }
        // no reduction at all is no cure: half of what the window is looked at in steps of
        (0.005 < span[0] && span[0] < span[1]).then_some(Less { from: span[0], to: span[1], capacitor })
    };
    spans(false).or_else(|| spans(true)).map(|less| (allowed.clone(), less))
}

fn standard(breaker: &BreakerFigures) -> &'static str {
    match breaker.standard {
        BreakerStandard::Iec60898(_) => "IEC 60898-1",
        BreakerStandard::Ul489 => "UL 489",
    }
}

fn letter(curve: Curve) -> &'static str {
    match curve {
        Curve::B => "B",
        Curve::C => "C",
        Curve::D => "D",
    }
}

/// "16 A, curve C".
fn name(breaker: &BreakerFigures) -> String {
    let amps = number(breaker.rating_a.get());
    match breaker.standard {
        BreakerStandard::Iec60898(curve) => format!("{amps} A, curve {}", letter(curve)),
        BreakerStandard::Ul489 => format!("{amps} A"),
    }
}

/// Why a candidate stands as it does: standing and first objection.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Key(Standing, Option<&'static str>);

impl Key {
    fn of(candidate: &Candidate) -> Key {
        Key(candidate.standing, candidate.objections.first().map(|o| o.id))
    }
}

/// What is told of a candidate: what it is out for, or what it has in hand.
fn told(candidate: &Candidate) -> (Option<&str>, Option<f64>) {
    let first = candidate.objections.first().map(|o| o.says.as_str());
    (first, candidate.start_margin.filter(|_| first.is_none()))
}

/// Candidates told in one line.
struct Group<'a> {
    key: Key,
    ratings: [f64; 2],
    curves: Vec<Curve>,
    /// The one of them that is nearest to serving.
    nearest: &'a Candidate,
    own: bool,
    last_index: usize,
}

impl<'a> Group<'a> {
    fn new(key: Key, candidate: &'a Candidate) -> Group<'a> {
        Group {
            key,
            ratings: [candidate.rating_a(); 2],
            curves: candidate.curve().into_iter().collect(),
            nearest: candidate,
            own: candidate.own,
            last_index: 0,
        }
    }

    fn join(&mut self, later: Group<'a>, last_index: usize) {
        let margin = |c: &Candidate| c.objections.first().and_then(|o| o.margin).unwrap_or(f64::NEG_INFINITY);
        if margin(later.nearest) > margin(self.nearest) {
            self.nearest = later.nearest;
        }
        self.ratings[1] = later.ratings[1];
        self.last_index = last_index;
    }

    fn line(&self, pick: Option<&Candidate>) -> String {
        let [low, high] = self.ratings;
        let amps = if low < high {
            format!("{} to {} A", number(low), number(high))
        } else {
            format!("{} A", number(low))
        };
        let curves: Vec<&str> = self.curves.iter().map(|c| letter(*c)).collect();
        let word = match self.key.0 {
            Standing::Serves => "serves",
            Standing::Doubtful => "perhaps",
            Standing::Out => "out",
        };
        let hand = self
            .nearest
            .start_margin
            .filter(|m| m.is_finite())
            .map_or(String::new(), |m| format!("{} % in hand for the start", number(100.0 * m)));
        let mut said = match self.nearest.objections.first() {
            None => hand,
            Some(first) => {
                let restart = if first.pressure == Pressure::Unequal && first.id != "conductor" {
                    "restart: "
                } else {
                    ""
                };
                // of several ratings the reason is that of the one that comes nearest
                let which = if low < high
                    && first.margin.is_some()
                    && !matches!(first.id, "needless" | "conductor")
                {
                    format!("at best, {} A, ", number(self.nearest.rating_a()))
                } else {
                    String::new()
                };
                format!("{}: {restart}{which}{}", words::check(first.id), first.says)
            }
        };
        if self.own {
            said.push_str(" (as fitted)");
        }
        let mark = if pick.is_some_and(|p| std::ptr::eq(p, self.nearest)) { ">" } else { " " };
        let first = format!(" {mark} {amps:<12}{:<8}{word:<9}", curves.join(" "));
        set(&first, &" ".repeat(32), &said)
    }
}

#[derive(Serialize)]
struct JsonRoot<'a> {
    format: u32,
    load: &'a str,
    supply: &'a str,
    running_a: Option<f64>,
    largest_rms_a: Option<f64>,
    pick: Option<String>,
    answer: String,
    breakers: Vec<JsonRow<'a>>,
}

#[derive(Serialize)]
struct JsonRow<'a> {
    standard: &'static str,
    curve: Option<&'static str>,
    rating_a: f64,
    own: bool,
    standing: &'static str,
    start_margin: Option<f64>,
    objections: Vec<JsonObjection<'a>>,
}

#[derive(Serialize)]
struct JsonObjection<'a> {
    id: &'static str,
    status: crate::checks::Status,
    pressure: &'static str,
    says: &'a str,
    margin: Option<f64>,
}

fn json_row(candidate: &Candidate) -> JsonRow<'_> {
    let finite = |m: Option<f64>| m.filter(|m| m.is_finite());
    JsonRow {
        standard: standard(&candidate.breaker),
        curve: candidate.curve().map(letter),
        rating_a: candidate.rating_a(),
        own: candidate.own,
        standing: match candidate.standing {
            Standing::Serves => "serves",
            Standing::Doubtful => "perhaps",
            Standing::Out => "out",
        },
        start_margin: finite(candidate.start_margin),
        objections: candidate
            .objections
            .iter()
            .map(|o| JsonObjection {
                id: o.id,
                status: o.status,
                pressure: o.pressure.word(),
                says: &o.says,
                margin: finite(o.margin),
            })
            .collect(),
    }
}
