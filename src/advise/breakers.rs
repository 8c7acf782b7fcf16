//! Which breaker: every rating and curve of a standard in the place of the site's own, each judged by all that a breaker has to
//! do with: it holds the start and the running load, it protects the cable, it is no larger than the nameplate allows, it
//! clears a fault.

use super::judge::{Start, judged_like};
use crate::case::{Case, Path, Pressure};
use crate::checks::{Finding, Status};
use crate::figure::{Figure, Origin};
use crate::motor::given::MotorFigures;
use crate::nameplate::circuit_rules as rules;
use crate::protection::{BreakerFigures, BreakerStandard, Curve};
use crate::quantity::Ampere;
use crate::standards::nfpa_70::protection::STANDARD_A;
use crate::standards::{Rules, iec_60898_1};
use crate::start::Trace;

/// The checks that a breaker has to do with, those that say what it must not exceed last.
pub const OF_A_BREAKER: [&str; 5] =
    ["continuous", "breaker", "breaker-instantaneous", "conductor", "disconnection"];

/// Whether a breaker serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// Every rule is met.
    Serves,
    /// None is broken for certain.
    Doubtful,
    /// Some rule is broken.
    Out,
}

/// A check that a breaker does not pass.
#[derive(Debug, Clone, PartialEq)]
pub struct Objection {
    /// Id of the check; "minimum" for a rating below the nameplate's minimum circuit ampacity, "needless" for one that is
    /// allowed only where the motor does not start on less.
    pub id: &'static str,
    /// How it came out.
    pub status: Status,
    /// How it came out at the figures' values.
    pub at_value: Status,
    /// The pressure it is worst at.
    pub pressure: Pressure,
    /// What is asked and what allowed, in a clause.
    pub says: String,
    /// Its margin by the model, where it has one.
    pub margin: Option<f64>,
}

/// A breaker that could stand there.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The breaker.
    pub breaker: BreakerFigures,
    /// Whether it is the site's own.
    pub own: bool,
    /// Whether it serves, the worse pressure deciding.
    pub standing: Standing,
    /// What it does not pass, the worst first.
    pub objections: Vec<Objection>,
    /// The figure for want of which nobody knows whether it clears a fault.
    pub fault_open: Option<String>,
    /// Its margin for the start: the lower of the pressures, by the model.
    pub start_margin: Option<f64>,
}

impl Candidate {
    /// Its rating \[A\].
    pub fn rating_a(&self) -> f64 {
        self.breaker.rating_a.get()
    }

    /// Its curve; none for a standard without.
    pub fn curve(&self) -> Option<Curve> {
        match self.breaker.standard {
            BreakerStandard::Iec60898(curve) => Some(curve),
            BreakerStandard::Ul489 => None,
        }
    }

    /// Whether it is ruled out by what a breaker must not exceed: a larger one is no better.
    pub fn too_large(&self) -> bool {
        self.standing == Standing::Out
            && self
                .objections
                .iter()
                .any(|o| o.status == Status::Fail && matches!(o.id, "conductor" | "needless"))
    }
}

/// Ratings and curves of the standard the site's breaker is of, else of the site's rules, smallest rating first, the quicker
/// curve first; up to the first rating that a start of `largest_a` \[A\] does not exceed. The site's own comes along where it is
/// none of them.
pub fn choices(case: &Case, largest_a: f64) -> Vec<BreakerFigures> {
    let own = case.circuit.breaker.as_ref();
    let ul = match own.map(|b| b.standard) {
        Some(standard) => standard == BreakerStandard::Ul489,
        None => case.rules == Rules::NorthAmerica,
    };
    let (ratings, standards): (&[f64], &[BreakerStandard]) = if ul {
        (&STANDARD_A, &[BreakerStandard::Ul489])
    } else {
        let curves = [Curve::B, Curve::C, Curve::D].map(BreakerStandard::Iec60898);
        (&iec_60898_1::PREFERRED_A, &{ curves })
    };
    let enough = ratings.iter().position(|a| *a >= largest_a).unwrap_or(ratings.len() - 1);
    let mut list: Vec<BreakerFigures> = Vec::new();
    for rating in &ratings[..=enough] {
        for standard in standards {
            list.push(BreakerFigures {
                standard: *standard,
                rating_a: Figure::exact(Ampere(*rating), Origin::Nameplate),
                fast: Vec::new(),
                slow: Vec::new(),
                instantaneous: None,
            });
        }
    }
    if let Some(own) = own {
        let same = |b: &BreakerFigures| b.standard == own.standard && b.rating_a.get() == own.rating_a.get();
        let plain = own.fast.is_empty() && own.slow.is_empty() && own.instantaneous.is_none();
        match list.iter_mut().find(|b| same(b)) {
            // a maker's points say more than the standard
            Some(found) if !plain => *found = own.clone(),
            Some(_) => {}
            None => list.push(own.clone()),
        }
    }
    list.sort_by(|a, b| a.rating_a.get().total_cmp(&b.rating_a.get()));
    list
}

/// The case with that breaker, and without what the supply carries for ever, which is none of a breaker's business.
pub fn with_breaker(case: &Case, breaker: &BreakerFigures) -> Case {
    let mut case = case.clone();
    case.circuit.breaker = Some(breaker.clone());
    case.supply.continuous = None;
    case
}

/// The path of a case with the first peak of its start, which no breaker changes; `None` where it cannot be run.
pub fn peaked(case: &Case) -> Option<Path> {
    let mut case = case.clone();
    case.settle_pressure();
    let mut path = Path::new(&case).ok()?;
    path.find_first_peak(&mut Trace::default());
    Some(path)
}

/// The start with a breaker in place, judged; `known` is the case's own path with its first peak.
pub fn try_breaker(case: &Case, known: Option<&Path>, breaker: &BreakerFigures) -> Start {
    judged_like(&with_breaker(case, breaker), false, known)
}

/// What a breaker comes to over the pressures it was tried at.
pub fn weigh(case: &Case, breaker: BreakerFigures, tried: &[Start]) -> Candidate {
    let own = case.circuit.breaker.as_ref() == Some(&breaker)
        || case.circuit.breaker.as_ref().is_some_and(|own| {
            own.standard == breaker.standard && own.rating_a.get() == breaker.rating_a.get()
        });
    let mut objections: Vec<Objection> = Vec::new();
    let below = |minimum: &Figure<Ampere>| breaker.rating_a.get() < minimum.get() * (1.0 - 1e-9);
    let minimum = case.load.nameplate.minimum_circuit_ampacity_a.as_ref();
    if let Some(minimum) = minimum.filter(|m| case.rules == Rules::NorthAmerica && below(m)) {
        objections.push(Objection {
            id: "minimum",
            status: Status::Fail,
            at_value: Status::Fail,
            pressure: tried.first().map_or(Pressure::Equalised, |s| s.pressure),
            says: format!("the nameplate asks for a circuit of at least {} A", minimum.get()),
            margin: Some(breaker.rating_a.get() / minimum.get() - 1.0),
        });
    }
    let fault = tried.iter().filter_map(|s| s.finding("disconnection"));
    let fault_open =
        fault.filter(|f| f.status != Status::Pass).find_map(|f| f.missing.first().map(|m| (*m).to_owned()));
    for id in OF_A_BREAKER {
        // what nobody knows of any breaker chooses none
        if id == "disconnection" && fault_open.is_some() {
            continue;
        }
        let found = tried.iter().filter_map(|s| s.finding(id).map(|f| (s.pressure, f)));
        let worst =
            found.max_by(|(_, a), (_, b)| a.status.cmp(&b.status).then(modelled(b).total_cmp(&modelled(a))));
        if let Some((pressure, finding)) = worst.filter(|(_, f)| f.status != Status::Pass) {
            objections.push(objection(pressure, finding));
        }
    }
    let start = |id: &str| {
        let margins = tried.iter().filter_map(|s| s.finding(id)).filter_map(|f| f.margins);
        margins.map(|m| m.modelled).min_by(f64::total_cmp)
    };
    let start_margin = [start("breaker"), start("breaker-instantaneous")].into_iter().flatten();
    let start_margin = start_margin.min_by(f64::total_cmp);
    // stable: of two that fail the one that limits from below comes first
    objections.sort_by_key(|o| std::cmp::Reverse(o.status));
    let standing = match objections.first().map(|o| o.status) {
        None | Some(Status::Pass) => Standing::Serves,
        Some(Status::Uncertain) => Standing::Doubtful,
        Some(Status::Fail) => Standing::Out,
    };
    Candidate { breaker, own, standing, objections, fault_open, start_margin }
}

fn modelled(finding: &Finding) -> f64 {
    finding.margins.map_or(f64::INFINITY, |m| m.modelled)
}

fn objection(pressure: Pressure, finding: &Finding) -> Objection {
    let told = &finding.told;
    let mut says = if told.sentence.is_empty() { told.why.clone() } else { told.sentence.clone() };
    if finding.at_value == Status::Pass {
        let open = match (&finding.reservation, finding.depends_on.first()) {
            (Some(reservation), _) => format!("; but {reservation}"),
            (None, Some(_)) => "; not over the figures' ranges".into(),
            (None, None) => String::new(),
        };
        says.push_str(&open);
    }
    if let Some(missing) = finding.missing.first() {
        says = format!("{missing} is not given");
    }
    Objection {
        id: finding.id,
        status: finding.status,
        at_value: finding.at_value,
        pressure,
        says,
        margin: finding.margins.map(|m| m.modelled),
    }
}

/// Rules out what NFPA 70 (430.52, 440.22) allows only where the motor does not start on the usual size, if it starts on that or
/// less. `settled_a` is what it settles at, its fan included \[A\].
pub fn rule_out_needless(case: &Case, settled_a: Option<f64>, candidates: &mut [Candidate]) {
    let plate = &case.load.nameplate;
    let by_rule = case.rules == Rules::NorthAmerica && case.load.inrush.is_none();
    if !by_rule || plate.maximum_protection_a.is_some() || plate.cord_and_plug {
        return;
    }
    let amps = |figure: &Option<Figure<Ampere>>| figure.as_ref().map_or(0.0, Figure::get);
    let fan_a = amps(&plate.fan_full_load_a);
    // a motor fitted to its nameplate adds nothing to it
    let fitted = matches!(case.load.motor, Some(MotorFigures::Plate(_)));
    let settled = settled_a.map(|a| a - fan_a).filter(|_| !fitted || plate.rated_load().is_none());
    let Some(running_a) = [plate.rated_load(), settled].into_iter().flatten().reduce(f64::max) else {
        return;
    };
    let (largest, section) = if plate.is_compressor_unit() {
        (rules::unit_device(running_a, amps(&plate.branch_selection_a), fan_a), "440.22")
    } else {
        (rules::motor_breaker(running_a), "430.52")
    };
    let Some(usual_a) = largest.map(|device| device.usual_a.max(rules::GENERAL_PURPOSE_A)) else { return };
    let enough = candidates.iter().filter(|c| c.standing == Standing::Serves && c.rating_a() <= usual_a);
    let Some(enough_a) = enough.map(Candidate::rating_a).reduce(f64::min) else { return };
    for candidate in candidates.iter_mut().filter(|c| c.rating_a() > usual_a) {
        candidate.standing = Standing::Out;
        let needless = Objection {
            id: "needless",
            status: Status::Fail,
            at_value: Status::Fail,
            pressure: case.pressure,
            says: format!(
                "above {usual_a} A only where the motor does not start on that, and it does on {enough_a} A (NFPA 70 {section})"
            ),
            margin: Some(usual_a / candidate.rating_a() - 1.0),
        };
        // what fails whatever the start comes first
        let at = candidate.objections.iter().take_while(|o| o.status == Status::Fail).count();
        candidate.objections.insert(at, needless);
    }
}

/// The smallest that holds start and running load and is allowed, where each such breaker fails to clear a fault for certain: then the
/// supply, not the breaker, is what is wrong. `None` where some such breaker clears it, or none holds the start.
pub fn unclear(candidates: &[Candidate]) -> Option<&Candidate> {
    let clears = |c: &Candidate| c.objections.iter().all(|o| o.id != "disconnection");
    let mut holding =
        candidates.iter().filter(|c| c.objections.iter().all(|o| o.id == "disconnection")).peekable();
    let first = holding.peek().copied()?;
    holding.all(|c| !clears(c)).then_some(first)
}

/// The one to take: the smallest rating that serves, of one rating the quickest curve; `None` if none serves for certain.
pub fn recommended(candidates: &[Candidate]) -> Option<&Candidate> {
    candidates.iter().find(|c| c.standing == Standing::Serves)
}

/// The one to look into where none serves for certain: one that serves by the figures' values before others, then that with the
/// fewest open questions, of those the smallest.
pub fn likeliest(candidates: &[Candidate]) -> Option<&Candidate> {
    let open = candidates.iter().filter(|c| c.standing == Standing::Doubtful);
    open.min_by(|a, b| {
        let by_value = |c: &Candidate| c.objections.iter().any(|o| o.at_value != Status::Pass);
        by_value(a)
            .cmp(&by_value(b))
            .then(a.objections.len().cmp(&b.objections.len()))
            .then(a.rating_a().total_cmp(&b.rating_a()))
    })
}
