//! Starters side by side: a table for reading, the same for programs, and a line to order by.

use serde::Serialize;

use super::in_parallel;
use super::words::{self, sentence, set};
use crate::advise::Verdict;
use crate::advise::starters::{Candidate, Compared, Order, Tried, compared, order, prove, sort, try_starter};
use crate::case::{Case, Pressure};
use crate::checks::Status;
use crate::checks::say::{number, seconds};
use crate::figure::{AnyFigure, Figure};
use crate::starter::{StarterFigures, StarterKind};

/// Starters on one load and supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    load: String,
    supply: String,
    phases: u32,
    volts: f64,
    hertz: f64,
    rated_a: Option<f64>,
    locked_rotor_a: Option<f64>,
    pressures: Vec<Pressure>,
    /// Best first; those that are none for the motor last.
    pub rows: Vec<Compared>,
    /// What to order.
    pub order: Order,
}

/// What the direct start and the site's own starter are called.
const DIRECT: &str = "none: straight on the line";
const OWN: &str = "the site's own";

impl Comparison {
    /// Tries every candidate, the site's own starter and none, at each pressure.
    pub fn new(case: &Case, pressures: &[Pressure], candidates: Vec<Candidate>) -> Comparison {
        let at = |pressure: Pressure| Case { pressure, ..case.clone() };
        let mut pressures = pressures.to_vec();
        pressures.sort();
        let none = Candidate {
            name: DIRECT.into(),
            summary: "no starter".into(),
            figures: StarterFigures::default(),
        };
        let own = (case.load.starter != none.figures).then(|| Candidate {
            name: OWN.into(),
            summary: case.load.starter.words(),
            figures: case.load.starter.clone(),
        });
        // of what is no induction motor none is to be compared: the order says why
        let candidates = if case.load.inrush.is_some() { Vec::new() } else { candidates };
        let all: Vec<Candidate> = std::iter::once(none).chain(own).chain(candidates).collect();
        let jobs: Vec<(usize, Pressure)> =
            (0..all.len()).flat_map(|i| pressures.iter().map(move |p| (i, *p))).collect();
        let mut tried =
            in_parallel(&jobs, |&(i, p)| try_starter(&at(p), &all[i].figures, i == 0)).into_iter();
        let mut groups = all.into_iter().map(|candidate| {
            let tried: Vec<Tried> = tried.by_ref().take(pressures.len()).collect();
            (candidate, tried)
        });
        // the first is the direct start
        let (none, direct) = groups.next().unwrap_or_default();
        let order = prove(case, order(case, &direct));
        let mut comparison = Comparison::direct(case, &pressures, direct.clone(), order);
        let rated_a = comparison.rated_a;
        comparison.rows.push(compared(none, direct.clone(), &direct, rated_a));
        comparison.rows.extend(groups.map(|(candidate, tried)| compared(candidate, tried, &direct, rated_a)));
        sort(&mut comparison.rows);
        comparison
    }

    /// For the line to order by alone, from the direct start at each pressure: nothing is compared.
    pub(super) fn direct(
        case: &Case,
        pressures: &[Pressure],
        direct: Vec<Tried>,
        order: Order,
    ) -> Comparison {
        let facts = direct.iter().find_map(|t| t.start.facts.clone());
        let rated_a = case.load.nameplate.rated_load().or(facts.as_ref().and_then(|f| f.settled_a));
        Comparison {
            load: case.load.name.clone(),
            supply: case.supply.name.clone(),
            phases: case.load.phases,
            volts: direct.first().map_or(0.0, |t| t.open_v),
            hertz: case.supply.frequency_hz.value.0,
            rated_a,
            locked_rotor_a: facts.map(|f| f.locked_rotor_at_supply_a).filter(|a| a.is_finite()),
            pressures: pressures.to_vec(),
            rows: Vec::new(),
            order,
        }
    }

    /// Whether something starts the load at every pressure.
    pub fn serves(&self) -> bool {
        self.rows.iter().any(|r| r.unfit.is_none() && r.worst == Verdict::Starts)
    }

    /// The comparison in words.
    pub fn text(&self) -> String {
        let mut out = set("", "", &self.head());
        out.push('\n');
        out.push_str(&self.table_head());
        let (fit, unfit): (Vec<&Compared>, Vec<&Compared>) =
            self.rows.iter().partition(|r| r.unfit.is_none());
        for row in &fit {
            out.push_str(&self.line(row));
            if let Some(why) = why_not(row) {
                out.push_str(&set("      ", "      ", &why));
            }
        }
        out.push('\n');
        out.push_str(&set("", "", &self.legend()));
        let declared: String =
            fit.iter().filter_map(|row| self.declared(row)).map(|d| set("- ", "  ", &d)).collect();
        if !declared.is_empty() {
            out.push_str("\nDeclared, and modelled at the middle of what is declared:\n");
            out.push_str(&declared);
        }
        if !unfit.is_empty() {
            out.push_str("\nNot for this motor and supply:\n");
            out.push_str(&misfits(&unfit));
        }
        let notes = self.notes();
        if !notes.is_empty() {
            out.push('\n');
        }
        for note in notes {
            out.push_str(&set("Note: ", "      ", &format!("{note}.")));
        }
        out.push('\n');
        out.push_str(&set("", "", &self.order_line()));
        out
    }

    /// What a starter is declared to do beside what the model makes of it.
    fn declared(&self, row: &Compared) -> Option<String> {
        let figures = &row.candidate.figures;
        let held = match (&figures.largest_a, &figures.reduction) {
            (Some(a), _) => Some(format!("at most {} A", range(a.numbers(), 1.0))),
            (None, Some(r)) => Some(format!("{} % less", range(r.numbers(), 100.0))),
            (None, None) => None,
        };
        let lasts = figures.duration_s.as_ref().map(|s| format!("done in {} s", range(s.numbers(), 1.0)));
        let said: Vec<String> = held.into_iter().chain(lasts).collect();
        if said.is_empty() {
            return None;
        }
        let less = match (&figures.largest_a, row.largest_a, row.reduction) {
            (Some(_), Some(a), _) => format!("{} A", number(a)),
            (None, _, Some(r)) => format!("{:.0} % less", 100.0 * r),
            _ => return None,
        };
        let up =
            row.duration_s.map_or("does not get up to speed".into(), |s| format!("up after {}", seconds(s)));
        Some(format!("{}: declared {}; modelled {less}, {up}.", row.candidate.name, said.join(", ")))
    }

    fn head(&self) -> String {
        let rated = self.rated_a.map_or(String::new(), |a| format!("{} A running", number(a)));
        let locked = self.locked_rotor_a.map_or(String::new(), |a| format!(", {} A locked rotor", number(a)));
        format!(
            "Starters for {} on {}: {rated}{locked} at {}.",
            self.load,
            self.supply,
            self.volts_and_hertz()
        )
    }

    fn volts_and_hertz(&self) -> String {
        words::volts_and_hertz(self.volts, self.hertz, self.phases)
    }

    fn table_head(&self) -> String {
        let verdicts: String =
            self.pressures.iter().map(|p| format!(" {:<11}", words::pressure(*p))).collect();
        format!(
            "   {:<28}{:>8}{:>6}{:>9}{:>8}{:>8}{:>9} {verdicts}",
            "", "draws", "less", "up after", "torque", "heat", "as run"
        )
        .trim_end()
        .to_owned()
            + "\n"
    }

    fn line(&self, row: &Compared) -> String {
        let dash = || "-".to_owned();
        let share = |x: Option<f64>| x.map_or_else(dash, |x| format!("{:.0} %", 100.0 * x + 0.0));
        let signed = |x: Option<f64>| match x {
            Some(x) if x > 9.99 => ">999 %".to_owned(),
            Some(x) if x.is_finite() => format!("{:+.0} %", 100.0 * x),
            Some(_) => "free".to_owned(),
            None => dash(),
        };
        let starts = row.tried.first().is_some_and(|t| t.start.reaches_speed());
        let verdicts: String =
            row.tried.iter().map(|t| format!(" {:<11}", words::verdict(&t.start))).collect();
        let line = format!(
            "   {:<28}{:>8}{:>6}{:>9}{:>8}{:>8}{:>9} {verdicts}",
            row.candidate.name,
            row.largest_a.map_or_else(dash, |a| format!("{} A", number(a))),
            share(row.reduction),
            row.duration_s.map_or_else(dash, seconds),
            if starts { signed(row.torque_reserve) } else { dash() },
            row.heat_of_direct.map_or_else(dash, |x| format!("{} x", number(x))),
            row.heat_at_rated_s.map_or_else(dash, seconds),
        );
        line.trim_end().to_owned() + "\n"
    }

    fn legend(&self) -> String {
        let first = match self.pressures.first() {
            Some(Pressure::Unequal) => "Figures of a restart straight after stopping.",
            _ if self.pressures.len() > 1 => "Figures of a start after a rest.",
            _ => "",
        };
        let restart = if self.pressures.contains(&Pressure::Unequal) {
            "; rested, restart: after a rest, straight after stopping"
        } else {
            ""
        };
        format!(
            "{first} Draws: largest start current (rms); less: below locked-rotor current, which a sagging supply brings \
             down too; up after: time to speed; torque: what the motor has beyond its load where it is tightest; heat: \
             heating of the motor, direct start = 1; as run: the time at running current that heats it as much{restart}. \
             Uncertain: over the figures' ranges; + or -: at their values it starts or fails."
        )
    }

    /// Notes of the starts, each once, with the starters that it is about.
    fn notes(&self) -> Vec<String> {
        let mut said: Vec<(String, Vec<&str>)> = Vec::new();
        let fit = self.rows.iter().filter(|r| r.unfit.is_none());
        let of_all: Vec<&String> = self
            .rows
            .iter()
            .filter(|r| r.candidate.name == DIRECT)
            .flat_map(|r| r.tried.iter().flat_map(|t| &t.start.notes))
            .collect();
        for row in fit {
            for note in row.tried.iter().flat_map(|t| &t.start.notes).filter(|n| !of_all.contains(n)) {
                match said.iter_mut().find(|(n, _)| n == note) {
                    Some((_, names)) if !names.contains(&row.candidate.name.as_str()) => {
                        names.push(&row.candidate.name);
                    }
                    Some(_) => {}
                    None => said.push((note.clone(), vec![&row.candidate.name])),
                }
            }
        }
        let mut notes: Vec<String> =
            said.into_iter().map(|(note, names)| format!("{}: {note}", names.join(", "))).collect();
        notes.push(
            "the catalogue's starters are classes, no products: go by what a maker declares in writing"
                .into(),
        );
        notes
    }

    /// The line to order by.
    pub fn order_line(&self) -> String {
        let rated = self.rated_a.map_or(String::new(), |a| format!(" for {} A running,", number(a)));
        match &self.order {
            Order::None => "Order: nothing; the direct start passes.".into(),
            Order::NoUse(why) => match self.other() {
                Some(row) => format!(
                    "Order: no soft starter ({why}), but: {},{rated} {}; {}.",
                    row.candidate.figures.kind.words(),
                    self.volts_and_hertz(),
                    if row.worst == Verdict::Starts {
                        "it starts over the ranges of all figures".to_owned()
                    } else {
                        let drawn = row.largest_a.map_or(String::new(), |a| format!(" with {} A", number(a)));
                        format!(
                            "by the figures' values it starts{drawn}, over their ranges it is not certain"
                        )
                    }
                ),
                None => format!("Order: no soft starter; {why}."),
            },
            Order::Pin(key) => format!(
                "Order: nothing yet; at the figures' values the direct start passes: pin down the {} first.",
                words::figure(key)
            ),
            Order::Soft { capacitor_uf, least, most, most_chopped, sure, hold_off, open } => {
                let up = |r: f64| (100.0 * r - 1e-9).ceil().max(0.0);
                let down = |r: f64| (100.0 * r + 1e-9).floor();
                let capacitor = capacitor_uf.map_or(String::new(), |uf| {
                    format!(" with its own start capacitor (about {} uF)", number(uf))
                });
                let amps = |r: f64| {
                    self.locked_rotor_a
                        .map_or(String::new(), |a| format!(" ({} A)", number((1.0 - r / 100.0) * a)))
                };
                let least = up(*least);
                let most = down(*most).max(least);
                let chopped = down(*most_chopped).max(least);
                let chopped =
                    if chopped < most { format!(", {chopped:.0} % with thyristors") } else { String::new() };
                let at_least = if least > 0.0 {
                    format!("reduction at least {least:.0} %{}, ", amps(least))
                } else {
                    String::new()
                };
                let wait = if *hold_off { "; with 3 minutes of delay before a restart" } else { "" };
                let names =
                    |ids: &[&str]| ids.iter().map(|id| words::check(id)).collect::<Vec<_>>().join("; ");
                let sure = match (*sure, open.as_slice()) {
                    (true, []) => String::new(),
                    (true, _) => "; open even so is the first peak: ask the maker of the supply at which instantaneous current it \
                                  cuts off"
                        .into(),
                    (false, []) => "; not certain over the ranges of the figures: pin them down first".into(),
                    (false, open) => format!("; not certain, open even so: {}", names(open)),
                };
                format!(
                    "Order: soft starter{capacitor},{rated} {}, {at_least}not set beyond {most:.0} %{}{chopped}{wait}{sure}.",
                    self.volts_and_hertz(),
                    amps(most)
                )
            }
        }
    }

    /// The best of the three-phase starters that are no soft starters, if it serves by the figures' values.
    fn other(&self) -> Option<&Compared> {
        let serves = |r: &&Compared| {
            let kind = r.candidate.figures.kind;
            let other =
                matches!(kind, StarterKind::Autotransformer | StarterKind::StarDelta | StarterKind::Drive);
            other && r.unfit.is_none() && r.tried.iter().all(|t| t.start.leaning == Verdict::Starts)
        };
        self.rows.iter().find(serves)
    }

    /// The comparison as JSON, format 1.
    ///
    /// # Errors
    /// Only if the serialiser fails, which its own types rule out.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let root = JsonRoot {
            format: 1,
            load: &self.load,
            supply: &self.supply,
            rated_load_a: self.rated_a.and_then(six),
            locked_rotor_at_supply_a: self.locked_rotor_a.and_then(six),
            starters: self.rows.iter().map(json_row).collect(),
            order: self.order_line(),
        };
        Ok(serde_json::to_string_pretty(&root)? + "\n")
    }
}

/// A figure with its range, times a factor.
fn range((value, low, high): (f64, f64, f64), times: f64) -> String {
    if low < high {
        format!("{} ({} to {})", number(times * value), number(times * low), number(times * high))
    } else {
        number(times * value)
    }
}

/// Why a starter does not serve for certain, at the pressure where it is worst.
fn why_not(row: &Compared) -> Option<String> {
    if row.worst == Verdict::Starts {
        return None;
    }
    // what fails after a rest already comes first
    let fails = |t: &&Tried| t.start.leaning == Verdict::Fails;
    let worst = row.tried.first().filter(fails);
    let worst = worst.or_else(|| row.tried.iter().max_by_key(|t| (t.start.verdict, t.start.leaning)))?;
    let finding = worst.start.deciding()?;
    let said = if finding.told.sentence.is_empty() { &finding.told.why } else { &finding.told.sentence };
    let when = if row.tried.len() > 1 && worst.pressure == Pressure::Unequal { "restart: " } else { "" };
    let over = match finding.status {
        Status::Uncertain if finding.at_value == Status::Pass => {
            match (&finding.reservation, finding.depends_on.first()) {
                (Some(reservation), _) => format!("; but {reservation}"),
                (None, Some(key)) => {
                    format!("; not over the whole range of the {}", words::figure(key))
                }
                (None, None) => String::new(),
            }
        }
        _ => String::new(),
    };
    Some(format!("{when}{said}{over}"))
}

/// Starters that are none for the motor, by reason.
fn misfits(rows: &[&Compared]) -> String {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for row in rows {
        let Some(reason) = row.unfit.as_deref() else { continue };
        match reasons.iter_mut().find(|(r, _)| *r == reason) {
            Some((_, names)) => names.push(&row.candidate.name),
            None => reasons.push((reason, vec![&row.candidate.name])),
        }
    }
    reasons
        .iter()
        .map(|(reason, names)| set("- ", "  ", &format!("{}: {}.", names.join(", "), sentence(reason))))
        .collect()
}

#[derive(Serialize)]
struct JsonRoot<'a> {
    format: u32,
    load: &'a str,
    supply: &'a str,
    rated_load_a: Option<f64>,
    locked_rotor_at_supply_a: Option<f64>,
    starters: Vec<JsonRow<'a>>,
    order: String,
}

#[derive(Serialize)]
struct JsonRow<'a> {
    name: &'a str,
    summary: &'a str,
    kind: &'static str,
    unfit: Option<&'a str>,
    declared_largest_a: Option<f64>,
    declared_reduction: Option<f64>,
    declared_duration_s: Option<f64>,
    verdict: Verdict,
    largest_rms_a: Option<f64>,
    reduction: Option<f64>,
    start_duration_s: Option<f64>,
    torque_reserve: Option<f64>,
    heat_of_direct: Option<f64>,
    heat_at_rated_s: Option<f64>,
    starts: Vec<JsonStart<'a>>,
}

#[derive(Serialize)]
struct JsonStart<'a> {
    pressure: &'static str,
    verdict: Verdict,
    leaning: Verdict,
    deciding: Option<&'static str>,
    notes: &'a [String],
}

/// Six significant digits; nothing for what is not finite.
fn six(x: f64) -> Option<f64> {
    x.is_finite().then(|| format!("{x:.5e}").parse().unwrap_or(x))
}

fn json_row(row: &Compared) -> JsonRow<'_> {
    let start = |t: &'_ Tried| {
        (t.pressure.word(), t.start.verdict, t.start.leaning, t.start.deciding().map(|f| f.id))
    };
    JsonRow {
        name: &row.candidate.name,
        summary: &row.candidate.summary,
        kind: row.candidate.figures.kind.word(),
        unfit: row.unfit.as_deref(),
        declared_largest_a: row.candidate.figures.largest_a.as_ref().map(Figure::get),
        declared_reduction: row.candidate.figures.reduction.as_ref().map(Figure::get),
        declared_duration_s: row.candidate.figures.duration_s.as_ref().map(Figure::get),
        verdict: row.worst,
        largest_rms_a: row.largest_a.and_then(six),
        reduction: row.reduction.and_then(six),
        start_duration_s: row.duration_s.and_then(six),
        torque_reserve: row.torque_reserve.and_then(six),
        heat_of_direct: row.heat_of_direct.and_then(six),
        heat_at_rated_s: row.heat_at_rated_s.and_then(six),
        starts: row
            .tried
            .iter()
            .map(|t| {
                let (pressure, verdict, leaning, deciding) = start(t);
                JsonStart { pressure, verdict, leaning, deciding, notes: &t.start.notes }
            })
            .collect(),
    }
}
