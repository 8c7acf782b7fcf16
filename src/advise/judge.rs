//! One start judged: the trace's facts, a finding per check, the verdict, and the reduction window.

use std::sync::Arc;

use super::reduction::{Reduction, reduction};
use super::spread::{Corners, Doubt, spread};
use super::statuses;
use crate::case::{Case, Lack, Path, Pressure};
use crate::checks::{ALL, Check, Explanation, Finding, Margins, NOT_MODELLED, Needs, Status};
use crate::figure::Origin;
use crate::motor::given::MotorFigures;
use crate::standards::Rules;
use crate::start::{AfterDip, EventKind, Outcome, Trace};

/// Whether it starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Every check passes.
    Starts,
    /// None fails, not all pass.
    Uncertain,
    /// At least one fails.
    Fails,
}

impl Verdict {
    /// The verdict on a set of findings.
    pub fn of(statuses: impl IntoIterator<Item = Status>) -> Verdict {
        match statuses.into_iter().max() {
            None | Some(Status::Pass) => Verdict::Starts,
            Some(Status::Uncertain) => Verdict::Uncertain,
            Some(Status::Fail) => Verdict::Fails,
        }
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Starts => "starts",
            Verdict::Uncertain => "uncertain",
            Verdict::Fails => "fails",
        }
    }
}

/// What the simulation says of a start, at the figures' values.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// Locked-rotor current at rated voltage \[A\].
    pub locked_rotor_a: f64,
    /// Locked-rotor current at the supply's voltage \[A\]: what a reduction is a share of.
    pub locked_rotor_at_supply_a: f64,
    /// Largest line current of the load, rms \[A\].
    pub largest_rms_a: f64,
    /// Largest current of the supply, rms \[A\].
    pub largest_supply_a: f64,
    /// Largest instantaneous current of the load over the closing angles \[A\].
    pub largest_peak_a: f64,
    /// The closing angle that brings it about \[degrees\]; absent where it is only estimated.
    pub largest_peak_closing_deg: Option<f64>,
    /// Time to 95 % of settled speed \[s\].
    pub start_duration_s: Option<f64>,
    /// Time until the current stays within 110 % of settled \[s\].
    pub settling_time_s: Option<f64>,
    /// Settled line current \[A\]; absent where there is no settled state.
    pub settled_a: Option<f64>,
    /// Settled speed \[rpm\].
    pub settled_rpm: Option<f64>,
    /// Lowest voltage at the load's terminals \[V\].
    pub lowest_terminal_v: f64,
    /// Voltage lost in the cable while running \[V\].
    pub cable_drop_v: Option<f64>,
    /// Voltage lost altogether while running, from the supply's open circuit to the load \[V\].
    pub running_drop_v: Option<f64>,
    /// Pull-out torque over full load torque at the settled terminal voltage.
    pub pull_out_ratio: Option<f64>,
    /// How the start ended.
    pub outcome: Outcome,
    /// What a dip of the supply does to it once it runs; absent without a dip, or where it does not reach speed.
    pub after_dip: Option<AfterDip>,
    /// Whether the starter's capacitor never leaves.
    pub assist_stays: bool,
    /// Whether the simulation gave up before the start came to its end.
    pub cut_short: bool,
}

/// A start, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// The load's name.
    pub load: String,
    /// The supply's name.
    pub supply: String,
    /// The starter in words.
    pub starter: String,
    /// Why the starter is none for this motor or supply, if it is not.
    pub unfit: Option<String>,
    /// Why no soft starter whatever is one for it, if that is so: its windows are then of no use.
    pub no_soft_starter: Option<String>,
    /// The pressure.
    pub pressure: Pressure,
    /// The verdict, figures' ranges included.
    pub verdict: Verdict,
    /// What the figures' values alone give.
    pub leaning: Verdict,
    /// Whether the load is no induction motor.
    pub inrush: bool,
    /// What the simulation says; absent where the motor is not known.
    pub facts: Option<Facts>,
    /// A finding per check that applies.
    pub findings: Vec<Finding>,
    /// Checks that were not made for want of data in the site file.
    pub not_checked: Vec<&'static str>,
    /// The reduction windows; absent where the motor is not known.
    pub reduction: Option<Reduction>,
    /// Figures in the order of the doubt they carry.
    pub doubts: Vec<Doubt>,
    /// What else is worth saying.
    pub notes: Vec<String>,
}

impl Start {
    /// The finding that decides: the worst, and among those the one with the lowest margin.
    ///
    /// A motor that does not get up to speed comes first: what else fails then follows from it.
    pub fn deciding(&self) -> Option<&Finding> {
        // the wrong voltage comes before everything
        let voltage =
            self.finding("terminal-voltage").filter(|f| f.status == Status::Fail && !self.reaches_speed());
        if voltage.is_some() {
            return voltage;
        }
        if let Some(stuck) = self.finding("acceleration").filter(|f| f.status == Status::Fail) {
            return Some(stuck);
        }
        let margin = |f: &Finding| f.margins.map_or(f64::INFINITY, |m| m.modelled);
        // what is not modelled yet decides nothing while something that is was judged
        let judged = |f: &&Finding| f.margins.is_some() || !f.missing.is_empty() || self.facts.is_none();
        // nor does what can never be sure to fail, while something that can is as open
        let open_end =
            |f: &Finding| f.status != Status::Pass && f.margins.is_some_and(|m| m.to_fail.is_infinite());
        self.findings.iter().filter(judged).max_by(|a, b| {
            a.status.cmp(&b.status).then(open_end(b).cmp(&open_end(a))).then(margin(b).total_cmp(&margin(a)))
        })
    }

    /// Whether the motor gets up to speed, at the figures' values.
    pub fn reaches_speed(&self) -> bool {
        self.facts.as_ref().is_some_and(|f| f.outcome == Outcome::Starts)
    }

    /// Whether a dip of the supply stops it once it runs, at the figures' values.
    pub fn lost_in_dip(&self) -> bool {
        let after = self.facts.as_ref().and_then(|f| f.after_dip);
        after.is_some_and(|after| after != AfterDip::Runs)
    }

    /// Findings that the reduction window leaves out: those with a reservation.
    pub fn not_in_window(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| {
            let starts = ALL.iter().any(|c| c.id() == f.id && c.depends_on_start());
            starts && f.margins.is_some() && f.reservation.is_some()
        })
    }

    /// The finding of a check.
    pub fn finding(&self, id: &str) -> Option<&Finding> {
        self.findings.iter().find(|f| f.id == id)
    }
}

/// Judges one start.
pub fn judge(case: &Case) -> Start {
    judged(case, true)
}

/// Judges one start without its reduction windows, which take most of the time.
pub fn judge_without_windows(case: &Case) -> Start {
    judged(case, false)
}

/// Judges one start, looking for the reduction windows only if asked to: they take most of the time.
pub(super) fn judged(case: &Case, windows: bool) -> Start {
    judged_like(case, windows, None)
}

/// The same for a case whose start is that of another whose path, with its first peak, is known.
pub(super) fn judged_like(case: &Case, windows: bool, known: Option<&Path>) -> Start {
    let mut case = case.clone();
    case.settle_pressure();
    let mut path = Path::new(&case);
    match (&mut path, known) {
        (Ok(path), Some(known)) => {
            path.take_first_peak(known.first_peak.as_ref());
            path.closing_angle = known.closing_angle;
        }
        (Ok(path), None) => path.find_first_peak(&mut Trace::default()),
        (Err(_), _) => {}
    }
    let (checks, mut findings, not_checked) = sort_checks(&case, path.as_ref().ok());
    let mut start = Start {
        load: case.load.name.clone(),
        supply: case.supply.name.clone(),
        starter: case.load.starter.words(),
        unfit: path.as_ref().ok().and_then(|p| p.unfit.clone()),
        no_soft_starter: path.as_ref().ok().and_then(|p| p.no_soft_starter(&case)),
        pressure: case.pressure,
        verdict: Verdict::Uncertain,
        leaning: Verdict::Uncertain,
        inrush: case.load.inrush.is_some(),
        facts: None,
        findings: Vec::new(),
        not_checked,
        reduction: None,
        doubts: Vec::new(),
        notes: Vec::new(),
    };
    match &path {
        Ok(path) => {
            if let Some(MotorFigures::Plate(motor)) = &mut case.load.motor {
                motor.seed = path.fit.map(Arc::new);
            }
            let mut trace = Trace::default();
            let at_value = statuses(path, &checks, 1.0, &mut trace);
            let mut corners = Corners::new(&case, path);
            let spread = spread(&mut corners, &checks, &at_value);
            let told = margins_and_words(path, &checks, &mut trace);
            for (i, (check, told)) in checks.iter().zip(told).enumerate() {
                let Some((margins, mut told)) = told else { continue };
                if check.rests_on_duration() && by_class(&case) {
                    told.why.push_str("; duration by class, not of this unit");
                }
                let lacks = check.lacks(&case).filter(|_| at_value[i] == Status::Uncertain);
                if let Some((_, open)) = lacks {
                    told.why.push_str(&format!("; {open}"));
                }
                let reservation = check.reservation(&case, path, &told);
                let capped = if reservation.is_some() { Status::Uncertain } else { Status::Pass };
                findings.push(Finding {
                    id: check.id(),
                    status: spread.worst[i].max(capped),
                    at_value: at_value[i],
                    margins: Some(margins),
                    told,
                    reservation,
                    missing: lacks.map(|(key, _)| key).into_iter().collect(),
                    depends_on: spread.depends_on[i].clone(),
                });
            }
            start.facts = facts(path, &mut trace);
            start.doubts = spread.doubts.clone();
            start.leaning = Verdict::of(at_value);
            start.notes = notes(&case, path, start.facts.as_ref());
            // nothing is started gently that has no rotor; nothing may stand before a unit's own electronics
            let windows = windows && !path.is_inrush() && !case.load.electronic;
            start.reduction = windows.then(|| reduction(&case, path, corners.into_few(&spread)));
        }
        Err(lack) => findings.extend(checks.iter().map(|c| unknown(c.id(), *lack))),
    }
    let order = |f: &Finding| ALL.iter().position(|c| c.id() == f.id);
    findings.sort_by_key(order);
    start.verdict = Verdict::of(findings.iter().map(|f| f.status));
    start.findings = findings;
    start
}

/// What the figures' values alone give, ranges and reservations left aside: for looking through many candidates.
/// `None` where the case cannot be run.
pub(super) fn at_values(case: &Case, known: Option<&Path>) -> Option<Vec<(&'static str, Status)>> {
    let mut case = case.clone();
    case.settle_pressure();
    let mut path = Path::new(&case).ok()?;
    let mut trace = Trace::default();
    match known {
        Some(known) => {
            path.take_first_peak(known.first_peak.as_ref());
            path.closing_angle = known.closing_angle;
        }
        None => path.find_first_peak(&mut trace),
    }
    let (checks, ..) = sort_checks(&case, Some(&path));
    let statuses = statuses(&path, &checks, 1.0, &mut trace);
    Some(checks.iter().map(|c| c.id()).zip(statuses).collect())
}

/// The path, with its first peak, of a case that fails nothing by the figures' values alone, and whether it passes everything,
/// an open question as to faults aside.
/// The peak is looked for only where all else passes, since that takes most of the time.
pub(super) fn passes_at_values(case: &Case) -> Option<(Path, bool)> {
    let mut case = case.clone();
    case.settle_pressure();
    let mut path = Path::new(&case).ok()?;
    let mut trace = Trace::default();
    let (checks, ..) = sort_checks(&case, Some(&path));
    let by_peak = |c: &&dyn Check| matches!(c.id(), "peak-current" | "breaker-instantaneous");
    let (peaks, others): (Vec<&dyn Check>, Vec<&dyn Check>) = checks.into_iter().partition(by_peak);
    let worst = |path: &Path, checks: &[&dyn Check], trace: &mut Trace| {
        let each = checks.iter().map(|c| c.id()).zip(statuses(path, checks, 1.0, trace));
        // what nobody knows of a fault tells no candidate from another
        let told = each.filter(|(id, status)| *id != "disconnection" || *status == Status::Fail);
        told.map(|(_, status)| status).max().unwrap_or(Status::Pass)
    };
    // what has no rotor is run by the angle that the search finds
    let mut status = Status::Pass;
    if !path.is_inrush() {
        status = worst(&path, &others, &mut trace);
    }
    if status == Status::Pass {
        path.find_first_peak(&mut trace);
        status = worst(&path, &peaks, &mut trace);
        if path.is_inrush() {
            status = status.max(worst(&path, &others, &mut trace));
        }
    }
    (status != Status::Fail).then_some((path, status == Status::Pass))
}

/// Whether the inertia, and with it the duration of the start, is that of a class.
fn by_class(case: &Case) -> bool {
    let Some(MotorFigures::Plate(motor)) = &case.load.motor else { return false };
    let typical = |origin: Option<Origin>| origin == Some(Origin::Typical);
    motor.inertia_kgm2.is_none() && typical(motor.inertia_s.as_ref().map(|f| f.origin))
}

/// Sorts the checks: to be made, uncertain for want of a figure or a model, not checked.
pub(super) fn sort_checks(
    case: &Case,
    path: Option<&Path>,
) -> (Vec<&'static dyn Check>, Vec<Finding>, Vec<&'static str>) {
    let (mut made, mut findings, mut not_checked) = (Vec::new(), Vec::new(), Vec::new());
    for check in ALL {
        match check.needs(case, path) {
            Needs::Applies => made.push(check),
            Needs::Absent => {}
            Needs::NotGiven => not_checked.push(check.id()),
            Needs::Missing(key) => findings.push(unknown(check.id(), Lack::Missing(key))),
            Needs::NotModelled(what) => findings.push(unknown(check.id(), Lack::NotModelled(what))),
        }
    }
    (made, findings, not_checked)
}

fn unknown(id: &'static str, lack: Lack) -> Finding {
    let (why, missing) = match lack {
        Lack::Missing(key) => (format!("needs {}", key.trim_start_matches("load.")), vec![key]),
        Lack::NotModelled(what) => (format!("{what}: {NOT_MODELLED}"), Vec::new()),
    };
    Finding {
        id,
        status: Status::Uncertain,
        at_value: Status::Uncertain,
        margins: None,
        told: Explanation { why, rule: String::new(), ..Explanation::default() },
        reservation: None,
        missing,
        depends_on: Vec::new(),
    }
}

/// The lowest margins over the variants, with the words of the variant that has the lowest modelled one.
///
/// `None` for a check without a subject in this start.
fn margins_and_words(
    path: &Path,
    checks: &[&dyn Check],
    trace: &mut Trace,
) -> Vec<Option<(Margins, Explanation)>> {
    let mut told: Vec<Option<(Margins, Explanation)>> = vec![None; checks.len()];
    super::every_variant(path, trace, |trace, gentle| {
        for (told, check) in told.iter_mut().zip(checks).filter(|(_, c)| c.has_subject(path, trace)) {
            let now = super::margins_of(*check, trace, gentle);
            *told = Some(match told.take() {
                Some((lowest, words)) if lowest.modelled <= now.modelled => (lowest.min(now), words),
                before => {
                    let lowest = before.map_or(now, |(lowest, _)| lowest.min(now));
                    (lowest, check.explain(path, trace, &now))
                }
            });
        }
    });
    told
}

/// The facts, each the worse of the variants.
fn facts(path: &Path, trace: &mut Trace) -> Option<Facts> {
    let later = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a.max(b));
    let mut sum: Option<Facts> = None;
    super::every_variant(path, trace, |trace, _| {
        let largest_supply_a = trace.largest_supply_a();
        let pull_out_ratio =
            trace.settled.filter(|s| s.load_nm > 0.0).map(|s| path.pull_out_nm(s.motor_v) / s.load_nm);
        let now = Facts {
            locked_rotor_a: path.locked_rotor_a,
            locked_rotor_at_supply_a: path.locked_rotor_at_supply_a(),
            largest_rms_a: trace.largest_rms_a(),
            largest_supply_a,
            largest_peak_a: match &path.first_peak {
                Some(_) => path.line_peak_a(trace)[1],
                None => std::f64::consts::SQRT_2 * path.offset_factor() * trace.largest_rms_a(),
            },
            largest_peak_closing_deg: path.first_peak.as_ref().map(|p| p.found.line.largest.closing_deg),
            start_duration_s: trace.start_duration_s,
            settling_time_s: trace.settling_time_s(),
            settled_a: trace.settled.map(|s| s.line_a),
            settled_rpm: trace
                .settled
                .filter(|_| !path.is_inrush())
                .map(|s| crate::quantity::Rpm::from_rad_per_s(s.speed).0),
            lowest_terminal_v: trace.lowest_terminal_v(),
            cable_drop_v: trace.settled.map(|s| path.cable_drop_v(&s)),
            running_drop_v: trace.settled.map(|s| path.open_v - s.terminal_v),
            pull_out_ratio,
            outcome: trace.outcome,
            after_dip: trace.after_dip.map(|dip| dip.after),
            assist_stays: path.has_assist() && trace.event_s(EventKind::AssistLeaves).is_none(),
            cut_short: trace.cut_short,
        };
        sum = Some(match sum.take() {
            None => now,
            Some(before) => Facts {
                largest_rms_a: before.largest_rms_a.max(now.largest_rms_a),
                largest_supply_a: before.largest_supply_a.max(now.largest_supply_a),
                largest_peak_a: before.largest_peak_a.max(now.largest_peak_a),
                start_duration_s: later(before.start_duration_s, now.start_duration_s),
                settling_time_s: later(before.settling_time_s, now.settling_time_s),
                settled_a: later(before.settled_a, now.settled_a),
                lowest_terminal_v: before.lowest_terminal_v.min(now.lowest_terminal_v),
                cable_drop_v: later(before.cable_drop_v, now.cable_drop_v),
                running_drop_v: later(before.running_drop_v, now.running_drop_v),
                after_dip: before.after_dip.max(now.after_dip),
                assist_stays: before.assist_stays || now.assist_stays,
                cut_short: before.cut_short || now.cut_short,
                outcome: if before.outcome == Outcome::Starts { now.outcome } else { before.outcome },
                ..now
            },
        });
    });
    sum
}

/// A running drop beyond what is recommended: no rule, so no check.
fn recommended_drop(rules: Rules, open_v: f64, facts: &Facts) -> Option<String> {
    use crate::standards::{iec_60364, nfpa_70::conductors as nfpa};
    let (cable, all) = (facts.cable_drop_v? / open_v, facts.running_drop_v? / open_v);
    let (share, most, what, source) = match rules {
        Rules::NorthAmerica if cable > nfpa::DROP_BRANCH => {
            (cable, nfpa::DROP_BRANCH, "the cable loses", "NFPA 70 210.19, a recommendation")
        }
        Rules::NorthAmerica => {
            (all, nfpa::DROP_TOTAL, "supply and cable lose", "NFPA 70 210.19, a recommendation")
        }
        Rules::Iec => (all, iec_60364::DROP, "supply and cable lose", "IEC 60364-5-52, a recommendation"),
    };
    (share > most).then(|| {
        format!(
            "while running {what} {:.1} % of the voltage, more than the usual {:.0} % ({source}, no rule)",
            100.0 * share,
            100.0 * most
        )
    })
}

/// Conflicts and simplifications that bear on this start.
fn notes(case: &Case, path: &Path, facts: Option<&Facts>) -> Vec<String> {
    use crate::checks::say::number;
    let mut notes = Vec::new();
    let plate = &case.load.nameplate;
    let off = path.locked_rotor_a / path.circuit_locked_rotor_a - 1.0;
    let outright = path.fit.is_none() && !path.is_inrush();
    if outright && plate.locked_rotor_a.is_some() && off.abs() > 0.10 {
        notes.push(format!(
            "the nameplate's locked-rotor current, {} A, and the given circuit's, {} A, differ by {:.0} %; the start \
             is that of the circuit, reductions are shares of the nameplate's",
            number(path.locked_rotor_a),
            number(path.circuit_locked_rotor_a),
            100.0 * off.abs()
        ));
    }
    let settled = facts.and_then(|f| f.settled_a);
    if let (Some(rated), Some(settled)) = (&plate.rated_load_a, settled)
        && outright
        && (settled / rated.get() - 1.0).abs() > 0.10
    {
        notes.push(format!(
            "the nameplate's rated-load current, {} A, and the given circuit's settled current, {} A, differ by more \
             than 10 %",
            number(rated.get()),
            number(settled)
        ));
    }
    if facts.is_some_and(|f| f.cut_short) {
        notes.push("the simulation gave up on a motor that creeps: check its load torque and inertia".into());
    }
    notes.extend(super::declared::declared(case, path, facts));
    let starter = &case.load.starter;
    if starter.assist_capacitor_uf.is_some() && !path.takes_assist() {
        notes.push("the starter's capacitor has no auxiliary winding to work on: left out".into());
    }
    let runs = facts.filter(|f| f.outcome == Outcome::Starts);
    notes.extend(runs.and_then(|f| recommended_drop(case.rules, path.open_v, f)));
    if let Some(inrush) = &case.load.inrush {
        notes.extend(inrush.note().map(str::to_owned));
        if case.supply.on_overload == crate::supply::OnOverload::Limit {
            notes.push("a supply that holds the current back is not modelled for this kind of load: the start is that of one that does not".into());
        }
        return notes;
    }
    notes.extend(crate::checks::overload_protector::beyond_rule(case, path));
    notes.extend(path.level_note());
    if let Some(amps) = path.leakage_saturation_a() {
        notes.push(format!(
            "the motor's leakage falls with the current, from {} A on: at each speed it is that at the supply's \
             open-circuit voltage, so where the voltage drops the torque at low speed comes out too large",
            number(amps)
        ));
    }
    notes
}
