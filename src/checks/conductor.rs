//! Conductor: does the cable carry what the load needs, and does the breaker protect it?
//!
//! Every part compares two currents in closed form, so the margin is limit over demand, minus one: by how much the rated
//! current, or the breaker, could be larger. The start itself does not count.

use super::{Check, Explanation, Margins, Needs, Reading, Status, say};
use crate::case::{Cable, Case, Path};
use crate::nameplate::circuit_rules as rules;
use crate::standards::Rules;
use crate::standards::iec_60364::TRIPPING;
use crate::start::Trace;

pub(super) struct Conductor;

/// One comparison.
struct Part {
    demand: f64,
    /// What is allowed for certain.
    promised: f64,
    /// What the rules allow with something that is not modelled.
    most: f64,
    /// Whether the demand is of the simulation: then it needs the reserve over ranges.
    simulated: bool,
    says: fn(&Part, &Cable) -> (String, String),
    status: Status,
}

impl Part {
    fn new(demand: f64, limit: f64, says: fn(&Part, &Cable) -> (String, String)) -> Part {
        Part { demand, promised: limit, most: limit, simulated: false, says, status: Status::Pass }
            .judged(1.0)
    }

    fn judged(mut self, stretch: f64) -> Part {
        let demand = self.demand * if self.simulated { stretch } else { 1.0 };
        // a limit that is met exactly is met: the two may differ by rounding
        let within = |limit: f64| demand <= limit * (1.0 + 1e-9);
        self.status = if within(self.promised) {
            Status::Pass
        } else if within(self.most) {
            Status::Uncertain
        } else {
            Status::Fail
        };
        self
    }

    fn margins(&self) -> Margins {
        let [guaranteed, to_fail] = [self.promised, self.most].map(|limit| {
            let margin = limit / self.demand - 1.0;
            if margin.abs() < 1e-9 { 0.0 } else { margin }
        });
        Margins { guaranteed, modelled: guaranteed, to_fail }
    }
}

/// The running current without the fan, and whether it is the simulation's: the nameplate's rated current or, if that is
/// larger or alone, what the start settles at. A motor fitted to the nameplate adds nothing to it.
fn running_a(path: &Path, cable: &Cable, trace: &Trace) -> Option<(f64, bool)> {
    let settled = trace.settled.filter(|_| trace.starts()).map(|s| (s.line_a - cable.fan_a).max(0.0));
    let settled = settled.filter(|_| path.fit.is_none() || cable.rated_load_a.is_none());
    match (cable.rated_load_a, settled) {
        (Some(rated), Some(settled)) => Some((rated.max(settled), settled > rated)),
        (Some(rated), None) => Some((rated, false)),
        (None, settled) => settled.map(|a| (a, true)),
    }
    .filter(|(a, _)| *a > 0.0)
}

fn parts(path: &Path, trace: &Trace, stretch: f64) -> Vec<Part> {
    let Some(cable) = &path.cable else { return Vec::new() };
    let running = running_a(path, cable, trace);
    let parts = match cable.rules {
        Rules::Iec => iec(cable, running, path.breaker_a),
        Rules::NorthAmerica => north_america(cable, running, path.breaker_a),
    };
    parts.into_iter().map(|part| part.judged(stretch)).collect()
}

/// IEC 60364-4-43, 433.1.
fn iec(cable: &Cable, running: Option<(f64, bool)>, breaker_a: Option<f64>) -> Vec<Part> {
    let mut parts = Vec::new();
    if let Some((amps, simulated)) = running {
        let part = Part::new(amps + cable.fan_a, cable.ampacity_a, |part, cable| {
            let (asked, carries) = (say::number(part.demand), say::number(part.most));
            let difference = say::difference(part.demand, part.most, "A");
            (
                format!(
                    "the load runs on {asked} A and the {} carries {carries} A: {difference}",
                    cable.words
                ),
                format!("{} for a running current of {asked} A", cable.words),
            )
        });
        parts.push(Part { simulated, ..part });
    }
    if let Some(breaker) = breaker_a {
        parts.push(Part::new(breaker, cable.ampacity_a, protects));
        parts.extend(cable.maximum_protection_a.map(|most| Part::new(breaker, most, nameplate_maximum)));
    }
    if let Some(trips) = cable.breaker_trips_a {
        parts.push(Part::new(trips, TRIPPING * cable.ampacity_a, |part, cable| {
            let difference = say::difference(part.demand, part.most, "A");
            let (trips, limit) = (say::number(part.demand), say::number(part.most));
            (
                format!(
                    "the breaker is certain to trip only from {trips} A and the {} allows {limit} A: {difference}",
                    cable.words
                ),
                format!("the breaker's tripping current against 1.45 times what the {} carries", cable.words),
            )
        }));
    }
    parts
}

/// NFPA 70: 430.22, 440.32 and 440.35 for the conductor; 440.35, else 240.4 with 430.52 or 440.22, for the breaker; 440.62 by cord
/// and plug.
fn north_america(cable: &Cable, running: Option<(f64, bool)>, breaker_a: Option<f64>) -> Vec<Part> {
    let mut parts = Vec::new();
    if let Some(minimum) = cable.minimum_circuit_a {
        parts.push(Part::new(minimum, cable.ampacity_a, |part, cable| {
            carries(part, cable, "the nameplate asks for")
        }));
    } else if let Some((amps, simulated)) = running {
        let needed = match cable.compressor {
            true => rules::hermetic_conductor_a(amps, cable.selection_a) + cable.fan_a,
            false => rules::motor_conductor_a(amps),
        };
        let part = Part::new(needed, cable.ampacity_a, |part, cable| {
            carries(part, cable, "with a quarter on top of its running current the load needs")
        });
        parts.push(Part { simulated, ..part });
    }
    let Some(breaker) = breaker_a else { return parts };
    if let Some((amps, simulated)) = running.filter(|_| cable.cord_and_plug) {
        let unit = amps + cable.fan_a;
        let part = Part::new(unit, rules::ROOM_UNIT_SHARE * breaker, by_cord);
        parts.extend((unit <= rules::ROOM_UNIT_A).then_some(Part { simulated, ..part }));
    }
    if let Some(most) = cable.maximum_protection_a {
        parts.push(Part::new(breaker, most, nameplate_maximum));
        return parts;
    }
    let carries = cable.small_a.map_or(cable.ampacity_a, |small| small.min(cable.ampacity_a));
    // what is plugged in somewhere takes the branch as it is
    if !cable.motor || cable.cord_and_plug {
        parts.push(Part::new(breaker, carries, protects));
        return parts;
    }
    let largest = running.and_then(|(amps, _)| match cable.compressor {
        true => rules::unit_device(amps, cable.selection_a, cable.fan_a),
        false => rules::motor_breaker(amps),
    });
    let ceiling = largest.map_or(f64::INFINITY, |device| device.ceiling_a);
    let promised = carries.min(ceiling.max(rules::GENERAL_PURPOSE_A));
    let says = if promised < carries { suits_the_motor } else { protects };
    let part = Part::new(breaker, promised, says);
    parts.push(Part { most: ceiling.max(promised), ..part });
    parts
}

/// The breaker against the largest one the nameplate allows.
fn nameplate_maximum(part: &Part, _: &Cable) -> (String, String) {
    let difference = say::difference(part.demand, part.most, "A");
    let (asked, most) = (say::number(part.demand), say::number(part.most));
    (
        format!("the breaker is {asked} A and the nameplate allows at most {most} A: {difference}"),
        format!("breaker of {asked} A, the nameplate allows at most {most} A"),
    )
}

fn carries(part: &Part, cable: &Cable, whose: &str) -> (String, String) {
    let difference = say::difference(part.demand, part.most, "A");
    let (asked, carries) = (say::number(part.demand), say::number(part.most));
    (
        format!("{whose} a cable for {asked} A and the {} carries {carries} A: {difference}", cable.words),
        format!("{whose} {asked} A; the {} carries {carries} A", cable.words),
    )
}

/// A room air conditioner by cord and plug.
fn by_cord(part: &Part, _: &Cable) -> (String, String) {
    let difference = say::difference(part.demand, part.most, "A");
    let (takes, most) = (say::number(part.demand), say::number(part.most));
    let why = format!("by cord and plug the unit may take 80 % of the breaker, {most} A (NFPA 70 440.62)");
    (format!("the unit takes {takes} A and {}: {difference}", why), why)
}

/// The breaker against the largest one of the motor, whatever the cable carries.
fn suits_the_motor(part: &Part, cable: &Cable) -> (String, String) {
    let difference = say::difference(part.demand, part.most, "A");
    let (asked, most) = (say::number(part.demand), say::number(part.most));
    let section = if cable.compressor { "440.22" } else { "430.52" };
    (
        format!(
            "the breaker is {asked} A and this motor may have at most {most} A (NFPA 70 {section}): {difference}"
        ),
        format!("breaker of {asked} A, NFPA 70 {section} allows this motor at most {most} A"),
    )
}

/// A breaker in front of a cable.
fn protects(part: &Part, cable: &Cable) -> (String, String) {
    let breaker = say::number(part.demand);
    let allowed = say::number(part.promised);
    match part.status {
        Status::Pass => (
            format!(
                "the breaker is {breaker} A and the {} may stand behind {allowed} A: {}",
                cable.words,
                say::difference(part.demand, part.promised, "A")
            ),
            format!("breaker of {breaker} A in front of {}, good for {allowed} A", cable.words),
        ),
        Status::Uncertain => {
            let why = format!(
                "the {breaker} A breaker alone does not protect the {}, good for {allowed} A: it relies on the motor's own \
                 overload protector, whose protection of the cable is not modelled",
                cable.words
            );
            (why.clone(), why)
        }
        Status::Fail => (
            format!(
                "the breaker is {breaker} A and the {} with this load may stand behind {} A: {}",
                cable.words,
                say::number(part.most),
                say::difference(part.demand, part.most, "A")
            ),
            format!("breaker of {breaker} A does not protect {}, good for {allowed} A", cable.words),
        ),
    }
}

/// The part that decides: the worst, and among those the tightest.
fn deciding(parts: Vec<Part>) -> Option<Part> {
    let tight = |part: &Part| part.margins().guaranteed;
    parts.into_iter().max_by(|a, b| a.status.cmp(&b.status).then(tight(b).total_cmp(&tight(a))))
}

impl Check for Conductor {
    fn id(&self) -> &'static str {
        "conductor"
    }

    fn depends_on_start(&self) -> bool {
        false
    }

    fn needs(&self, case: &Case, _path: Option<&Path>) -> Needs {
        if case.over_maximum() {
            return Needs::Applies;
        }
        let Some(conductor) = &case.circuit.conductor else { return Needs::NotGiven };
        match (&conductor.ampacity_a, &conductor.size, &conductor.length_m) {
            (Some(_), ..) => Needs::Applies,
            (None, Some(_), _) => Needs::Missing("circuit.conductor.ampacity_a"),
            (None, None, Some(_)) => Needs::Missing("circuit.conductor.awg"),
            (None, None, None) => Needs::NotGiven,
        }
    }

    fn has_subject(&self, path: &Path, trace: &Trace) -> bool {
        !parts(path, trace, 1.0).is_empty()
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        let margins = self.margins(path, trace);
        k <= 1.0 + if reading == Reading::ToFail { margins.to_fail } else { margins.guaranteed }
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        let unbounded = Margins::all(f64::INFINITY);
        parts(path, trace, 1.0).iter().fold(unbounded, |least, part| least.min(part.margins()))
    }

    /// Nothing but a simulated current needs a reserve over ranges: the rest is in closed form, and worst at a bound.
    fn status(&self, path: &Path, trace: &Trace, stretch: f64) -> Status {
        parts(path, trace, stretch).iter().map(|part| part.status).max().unwrap_or(Status::Pass)
    }

    fn explain(&self, path: &Path, trace: &Trace, _margins: &Margins) -> Explanation {
        let (Some(part), Some(cable)) = (deciding(parts(path, trace, 1.0)), &path.cable) else {
            return Explanation::default();
        };
        let (sentence, mut why) = (part.says)(&part, cable);
        if path.breaker_a.is_none() {
            why.push_str("; no breaker is stated to protect it");
        }
        let rules = match cable.rules {
            Rules::Iec => {
                "running current and breaker rating at most what the cable carries, the breaker's tripping current at most \
                 1.45 times that (IEC 60364-4-43 433.1)"
            }
            Rules::NorthAmerica => {
                "cable for 1.25 times the rated current (NFPA 70 430.22, 440.32) or the nameplate's minimum; breaker at most \
                 the nameplate's maximum (440.35), without one what 430.52 or 440.22 allow, and what the cable carries and \
                 240.4(D) allows unless the motor's own overload protector protects it (240.4(G)); by cord and plug 80 % of the \
                 breaker (440.62)"
            }
        };
        Explanation {
            demand: Some(part.demand),
            limit: Some(part.promised),
            unit: "A",
            at_s: None,
            rule: format!("{rules}; ampacity: {}", cable.ampacity_rule),
            sentence,
            why,
        }
    }
}
