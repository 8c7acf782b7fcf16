//! Motors given outright, their load torque, and starters.

use super::document::{Document, join};
use crate::figure::{Figure, Origin};
use crate::motor::fit::Winding;
use crate::motor::given::{
    AuxiliaryFigures, LoadTorqueFigures, MotorFigures, PlateMotor, ThreePhaseFigures, TwoWindingFigures,
};
use crate::motor::{CompressorKind, Pulsation};
use crate::protection::{OverloadFigures, ProtectorFigures, ProtectorKind};
use crate::quantity::*;
use crate::standards::iec_60947_4_1::TripClass;
use crate::starter::{StarterFigures, StarterKind};

const TWO_WINDING_ONLY: [&str; 8] = [
    "r1a_ohm",
    "x1a_ohm",
    "turns_ratio",
    "run_capacitor_uf",
    "run_capacitor_ohm",
    "start_capacitor_uf",
    "start_capacitor_ohm",
    "cut_out_speed",
];
const THREE_PHASE_ONLY: [&str; 3] = ["r3_ohm", "x3_ohm", "leakage_saturation_a"];

/// The motor of the load at `at`, if it is given outright.
pub(super) fn motor(document: &mut Document<'_>, at: &str) -> Option<MotorFigures> {
    let at = document.inner(at, "motor_model")?;
    match document.text(&at, "kind")? {
        "three-phase" => {
            strange(document, &at, &TWO_WINDING_ONLY, "two-winding");
            together(document, &at, &THREE_PHASE_ONLY[..2], "a second cage");
            Some(MotorFigures::ThreePhase(three_phase(document, &at)))
        }
        _ => {
            strange(document, &at, &THREE_PHASE_ONLY, "three-phase");
            together(document, &at, &TWO_WINDING_ONLY[..3], "an auxiliary winding");
            capacitors(document, &at);
            Some(MotorFigures::TwoWinding(two_winding(document, &at)))
        }
    }
}

/// The motor of the load at `at` as its nameplate and class describe it; a circuit is fitted to that.
pub(super) fn plate_motor(
    document: &Document<'_>,
    at: &str,
    phases: u32,
    hertz: Option<f64>,
) -> Option<PlateMotor> {
    let rpm = document.figure::<Rpm>(at, "rated_rpm").map(|f| f.get());
    let by_speed =
        rpm.zip(hertz).filter(|_| !document.stated(at, "poles")).map(|(rpm, hertz)| poles(rpm, hertz));
    let winding = match document.text(at, "windings") {
        Some("run-capacitor") => Winding::CapacitorRun,
        Some("start-capacitor") => Winding::CapacitorStart,
        Some("start-and-run-capacitor") => Winding::CapacitorStartRun,
        Some("split-phase") => Winding::SplitPhase,
        Some(_) => Winding::ThreePhase,
        None => return None,
    };
    if (winding == Winding::ThreePhase) != (phases == 3) {
        return None;
    }
    Some(PlateMotor {
        winding,
        poles: by_speed.or_else(|| document.whole(at, "poles")).unwrap_or(2),
        rated_slip: document.figure(at, "rated_slip"),
        locked_rotor_torque: document.figure(at, "locked_rotor_torque"),
        breakdown_torque: document.figure(at, "breakdown_torque"),
        start_capacitor_uf: capacitor(document, at, "start_capacitor_uf"),
        cut_out_speed: document.figure(at, "cut_out_speed"),
        inertia_s: document.figure(at, "inertia_s"),
        inertia_kgm2: document.figure(at, "inertia_kgm2"),
        seed: None,
    })
}

/// The number of poles whose synchronous speed is next above a rated speed; a plate may round that up a little.
fn poles(rpm: f64, hertz: f64) -> u32 {
    2 * ((60.0 * hertz / rpm + 0.01).floor() as u32).max(1)
}

/// Refuses keys that belong to the other kind of motor.
fn strange(document: &mut Document<'_>, at: &str, keys: &[&str], kind: &str) {
    for key in keys.iter().filter(|k| document.has(at, k)).collect::<Vec<_>>() {
        let message = format!("{key} belongs to kind = \"{kind}\"");
        document.refuse(
            document.name_span(at, key),
            &join(at, key),
            message,
            "leave it out, or check the kind",
        );
    }
}

/// Refuses some of a set of keys without the others.
fn together(document: &mut Document<'_>, at: &str, keys: &[&str], what: &str) {
    if !keys.iter().any(|k| document.has(at, k)) {
        return;
    }
    for key in keys {
        let why = format!("{what} needs {}", keys.join(", "));
        document.demand(at, key, &why);
    }
}

/// A capacitor; 0 reads as none.
fn capacitor(document: &Document<'_>, at: &str, key: &str) -> Option<Figure<Microfarad>> {
    document.figure::<Microfarad>(at, key).filter(|f| f.high.get() > 0.0)
}

/// What capacitors ask for: an auxiliary winding, and a speed at which the start switch opens.
fn capacitors(document: &mut Document<'_>, at: &str) {
    let auxiliary = TWO_WINDING_ONLY[..3].iter().any(|k| document.has(at, k));
    let given = |key: &str| capacitor(document, at, key).is_some();
    // A refused capacitor may be one: nothing is concluded from it.
    let perhaps = |key: &str| {
        document.has(at, key)
            && !document.unknown(at, key)
            && document.figure::<Microfarad>(at, key).is_none()
    };
    let (run, start) = (given("run_capacitor_uf"), given("start_capacitor_uf"));
    let doubt = perhaps("run_capacitor_uf") || perhaps("start_capacitor_uf");
    if start {
        document.demand(at, "cut_out_speed", "a start capacitor leaves at a speed, often 0.75");
    } else if auxiliary && !run && !doubt {
        let why = "a split-phase motor's auxiliary winding leaves at a speed, often 0.75";
        document.demand(at, "cut_out_speed", why);
    }
    for (key, given) in [("run_capacitor_uf", run), ("start_capacitor_uf", start)] {
        if given && !auxiliary {
            let help = "give r1a_ohm, x1a_ohm and turns_ratio, or leave the capacitor out";
            let message = "a capacitor needs an auxiliary winding to stand in";
            document.refuse(document.name_span(at, key), &join(at, key), message, help);
        }
    }
}

fn two_winding(document: &Document<'_>, at: &str) -> TwoWindingFigures {
    let auxiliary = TWO_WINDING_ONLY[..3].iter().all(|k| document.has(at, k)).then(|| AuxiliaryFigures {
        r1a_ohm: document.need(at, "r1a_ohm"),
        x1a_ohm: document.need(at, "x1a_ohm"),
        turns_ratio: document.need(at, "turns_ratio"),
    });
    TwoWindingFigures {
        poles: document.whole(at, "poles").unwrap_or(2),
        r1_ohm: document.need(at, "r1_ohm"),
        x1_ohm: document.need(at, "x1_ohm"),
        xm_ohm: document.need(at, "xm_ohm"),
        r2_ohm: document.need(at, "r2_ohm"),
        x2_ohm: document.need(at, "x2_ohm"),
        auxiliary,
        run_capacitor_uf: capacitor(document, at, "run_capacitor_uf"),
        run_capacitor_ohm: document.figure(at, "run_capacitor_ohm"),
        start_capacitor_uf: capacitor(document, at, "start_capacitor_uf"),
        start_capacitor_ohm: document.figure(at, "start_capacitor_ohm"),
        cut_out_speed: document.figure(at, "cut_out_speed"),
        inertia_kgm2: document.need(at, "inertia_kgm2"),
    }
}

fn three_phase(document: &Document<'_>, at: &str) -> ThreePhaseFigures {
    ThreePhaseFigures {
        poles: document.whole(at, "poles").unwrap_or(2),
        r1_ohm: document.need(at, "r1_ohm"),
        x1_ohm: document.need(at, "x1_ohm"),
        xm_ohm: document.need(at, "xm_ohm"),
        r2_ohm: document.need(at, "r2_ohm"),
        x2_ohm: document.need(at, "x2_ohm"),
        r3_ohm: document.figure(at, "r3_ohm"),
        x3_ohm: document.figure(at, "x3_ohm"),
        leakage_saturation_a: document.figure(at, "leakage_saturation_a"),
        inertia_kgm2: document.need(at, "inertia_kgm2"),
    }
}

/// Load torque after a rest and straight after stopping, if stated.
pub(super) fn torques(
    document: &mut Document<'_>,
    at: &str,
) -> (Option<LoadTorqueFigures>, Option<LoadTorqueFigures>) {
    if document.inner(at, "motor_model").is_some() || document.inner(at, "load_torque_unequal").is_some() {
        document.demand(at, "load_torque", "a motor is judged by what it has to turn");
    }
    let Some(rested) = document.inner(at, "load_torque") else { return (None, None) };
    // a fitted motor brings its own rated point
    if document.inner(at, "motor_model").is_some() {
        for key in ["rated_nm", "rated_rpm"] {
            document.demand(&rested, key, "the load's torque is stated at a speed");
        }
    }
    let share = |key: &str| document.figure(&rested, key).unwrap_or_else(|| nothing(Ratio(0.0)));
    let c0: Figure<Ratio> = share("c0");
    let equalised = LoadTorqueFigures {
        rated_nm: document.figure(&rested, "rated_nm"),
        rated_rpm: document.figure(&rested, "rated_rpm"),
        breakaway: document.figure(&rested, "breakaway").unwrap_or_else(|| derived(&c0)),
        c0,
        c1: share("c1"),
        c2: share("c2"),
        build_up_s: document.figure(&rested, "build_up_s").unwrap_or_else(|| nothing(Second(0.0))),
        // after a rest there is no pressure to swing: what does not depend on speed is friction
        pulsation: compressor(document, &rested).map(|kind| Pulsation { kind, friction: f64::INFINITY }),
    };
    let unequal = document.inner(at, "load_torque_unequal").map(|at| unequal(document, &at, &equalised));
    (Some(equalised), unequal)
}

/// Load torque straight after stopping: what it leaves out is as after a rest, without build-up. Its own c0
/// may raise the breakaway, never lower it unsaid.
fn unequal(document: &Document<'_>, at: &str, rested: &LoadTorqueFigures) -> LoadTorqueFigures {
    let c0 = document.figure(at, "c0").unwrap_or_else(|| rested.c0.clone());
    let kind = compressor(document, at).or_else(|| rested.pulsation.map(|p| p.kind));
    let larger = if c0.get() > rested.breakaway.get() { derived(&c0) } else { rested.breakaway.clone() };
    LoadTorqueFigures {
        rated_nm: document.figure(at, "rated_nm").or_else(|| rested.rated_nm.clone()),
        rated_rpm: document.figure(at, "rated_rpm").or_else(|| rested.rated_rpm.clone()),
        c0,
        c1: document.figure(at, "c1").unwrap_or_else(|| rested.c1.clone()),
        c2: document.figure(at, "c2").unwrap_or_else(|| rested.c2.clone()),
        breakaway: document.figure(at, "breakaway").unwrap_or(larger),
        build_up_s: document.figure(at, "build_up_s").unwrap_or_else(|| nothing(Second(0.0))),
        // what the pressure adds swings, the friction of a start after a rest does not
        pulsation: kind.map(|kind| Pulsation { kind, friction: rested.c0.get() }),
    }
}

/// The kind of compressor whose torque it is, if it says.
fn compressor(document: &Document<'_>, at: &str) -> Option<CompressorKind> {
    let word = document.text(at, "pulsation")?;
    CompressorKind::ALL.iter().find(|(w, _)| *w == word).map(|(_, kind)| *kind)
}

fn nothing<Q: Quantity>(none: Q) -> Figure<Q> {
    Figure::exact(none, Origin::Assumed)
}

fn derived<Q: Quantity>(from: &Figure<Q>) -> Figure<Q> {
    Figure { origin: Origin::Derived, ..from.clone() }
}

/// The starter of the load at `at`; direct if there is none.
pub(super) fn starter(document: &mut Document<'_>, at: &str) -> StarterFigures {
    let Some(at) = document.inner(at, "starter") else { return StarterFigures::default() };
    let at = at.as_str();
    let any = |keys: &[&str]| keys.iter().any(|k| document.has(at, k));
    let word = document.text(at, "kind").and_then(|w| StarterKind::ALL.iter().find(|(word, _)| *word == w));
    let kind = match word {
        Some((_, kind)) => *kind,
        _ if any(&["largest_a", "reduction"]) => StarterKind::Limiter,
        _ if any(&["initial_fraction", "ramp_s"]) => StarterKind::Ramp,
        _ if any(&["assist_capacitor_uf"]) => StarterKind::Assist,
        _ => StarterKind::Direct,
    };
    starter_rules(document, at, kind);
    StarterFigures {
        kind,
        largest_a: document.figure(at, "largest_a"),
        reduction: document.figure(at, "reduction"),
        duration_s: document.figure(at, "duration_s"),
        initial_fraction: document.figure(at, "initial_fraction"),
        ramp_s: document.figure(at, "ramp_s"),
        assist_capacitor_uf: capacitor(document, at, "assist_capacitor_uf"),
        cut_out_speed: document.figure(at, "cut_out_speed"),
        kick_fraction: document.figure(at, "kick_fraction"),
        kick_s: document.figure(at, "kick_s"),
        changeover_s: document.figure(at, "changeover_s"),
        changeover_speed: document.figure(at, "changeover_speed"),
        cut_out_v: document.figure(at, "cut_out_v"),
        phase_control: document.switch_if_stated(at, "phase_control"),
        learning_starts: document.figure::<Ratio>(at, "learning_starts").map(|f| f.get()),
        phases: document.has(at, "phases").then(|| document.phases(at, 1)),
        voltage_v: document.pair(at, "voltage_v"),
        frequency_hz: document.pair(at, "frequency_hz"),
        for_rla_a: document.pair(at, "for_rla_a"),
        based_on: document.based_on(at),
    }
}

/// What each kind of starter needs.
fn starter_rules(document: &mut Document<'_>, at: &str, kind: StarterKind) {
    let limits = ["largest_a", "reduction"].into_iter().filter(|k| document.has(at, k)).count();
    match kind {
        StarterKind::Limiter if limits == 0 => {
            document.demand(at, "largest_a", "a limiter holds the current at largest_a, or by its reduction");
        }
        StarterKind::Ramp => {
            document.demand(at, "initial_fraction", "a ramp begins at a share of the voltage");
            document.demand(at, "ramp_s", "a ramp takes a time to full voltage");
            if document.has(at, "kick_s") || document.has(at, "kick_fraction") {
                document.demand(at, "kick_fraction", "a kick has a share of the voltage");
                document.demand(at, "kick_s", "a kick lasts a time");
            }
        }
        StarterKind::Assist => {
            document.demand(at, "assist_capacitor_uf", "an assist is a start capacitor");
            let none =
                document.figure::<Microfarad>(at, "assist_capacitor_uf").is_some_and(|f| f.high.get() == 0.0);
            if none {
                let key = join(at, "assist_capacitor_uf");
                let help = "give the capacitor, or leave the starter out";
                document.refuse(
                    document.span(at, "assist_capacitor_uf"),
                    &key,
                    "an assist without capacitor",
                    help,
                );
            }
        }
        _ => {}
    }
    if limits == 2 {
        let late = |k: &&str| document.name_span(at, k).start;
        let key = ["largest_a", "reduction"].into_iter().max_by_key(late).unwrap_or("reduction");
        let message = "the limit is given twice, as largest_a and as reduction";
        document.refuse(
            document.name_span(at, key),
            &join(at, key),
            message,
            "keep the one the maker promises",
        );
    }
}

/// The overload protector of the motor of the load at `at`, if it has one.
pub(super) fn protector(document: &mut Document<'_>, at: &str) -> Option<ProtectorFigures> {
    let most_stated = document.stated(at, "maximum_continuous_a");
    let at = document.inner(at, "protector")?;
    let kind = match document.text(&at, "kind") {
        Some("two-body") => ProtectorKind::TwoBody,
        _ => ProtectorKind::OneBody,
    };
    let both = ["tau_s", "trip_at_locked_rotor_s"];
    match kind {
        ProtectorKind::TwoBody => {
            for key in ["body_tau_s", "share"] {
                document.demand(&at, key, "an element sits on a body of its own time constant");
            }
        }
        ProtectorKind::OneBody => strange(document, &at, &["body_tau_s", "share"], "two-body"),
    }
    if both.iter().all(|key| document.stated(&at, key)) {
        let late = |k: &&str| document.name_span(&at, k).start;
        let key = both.into_iter().max_by_key(late).unwrap_or("tau_s");
        let message = "its time is given twice, as tau_s and as trip_at_locked_rotor_s";
        document.refuse(
            document.name_span(&at, key),
            &join(&at, key),
            message,
            "keep the one that was measured",
        );
    }
    let keys = ["pickup", "tau_s", "body_tau_s", "share", "trip_at_locked_rotor_s", "reset_s"];
    let by_class = !keys.iter().any(|key| document.stated(&at, key));
    // a printed maximum is this unit's, a pickup of a class is not
    let pickup = document.figure(&at, "pickup").filter(|_| !most_stated || document.stated(&at, "pickup"));
    Some(ProtectorFigures {
        kind,
        pickup,
        tau_s: document.figure(&at, "tau_s"),
        body_tau_s: document.figure(&at, "body_tau_s"),
        share: document.figure(&at, "share"),
        trip_at_locked_rotor_s: document.figure(&at, "trip_at_locked_rotor_s"),
        reset_s: document.figure(&at, "reset_s"),
        by_class,
    })
}

/// The overload relay before the motor of the load at `at`, if there is one.
pub(super) fn overload(document: &Document<'_>, at: &str) -> Option<OverloadFigures> {
    let at = document.inner(at, "overload")?;
    let word = document.text(&at, "class")?;
    let class = TripClass::ALL.iter().find(|(w, _)| *w == word).map(|(_, class)| *class)?;
    Some(OverloadFigures { class, setting_a: document.need(&at, "setting_a") })
}
