//! What a starter is declared to do against what the model makes of it.

use super::Facts;
use crate::case::{Case, Path};
use crate::checks::say::{number, seconds};
use crate::figure::{Figure, Origin};
use crate::quantity::Quantity;
use crate::start::{Outcome, Trace};
use crate::starter::StarterKind;

/// Difference that is worth a word.
const CONFLICT: f64 = 0.10;
/// Per cent of torque or current that harmonics must change to be worth a word (assumed).
const WORTH_A_WORD: f64 = 1.0;

/// Lower and upper bound of a figure.
fn bounds<Q: Quantity>(figure: &Figure<Q>) -> [f64; 2] {
    [figure.low.get(), figure.high.get()]
}

/// Declared performance and the model in conflict by more than a tenth, and what a starter's kind leaves to be said.
pub(super) fn declared(case: &Case, path: &Path, facts: Option<&Facts>) -> Vec<String> {
    let mut notes = Vec::new();
    let starter = &case.load.starter;
    let Some(facts) = facts else { return notes };
    let starts = facts.outcome == Outcome::Starts;
    if let (Some(declared), Some(modelled)) = (&starter.duration_s, facts.start_duration_s) {
        let [low, high] = bounds(declared);
        let typical = declared.origin == Origin::Typical;
        if modelled > (1.0 + CONFLICT) * high {
            notes.push(format!(
                "the starter is declared to be done in {}; by the model the motor needs {} to reach speed",
                seconds(high),
                seconds(modelled)
            ));
        } else if modelled < (1.0 - CONFLICT) * low && !typical && starter.kind != StarterKind::Assist {
            notes.push(format!(
                "the starter is declared to take {}; by the model the motor is at speed after {}",
                seconds(low),
                seconds(modelled)
            ));
        }
    }
    let lra = path.locked_rotor_at_supply_a();
    let held = match (&starter.largest_a, &starter.reduction) {
        (Some(amps), _) => Some(bounds(amps)),
        (None, Some(r)) => Some([(1.0 - r.high.get()) * lra, (1.0 - r.low.get()) * lra]),
        (None, None) => None,
    };
    if let (Some([low, high]), true) = (held, starts) {
        let largest = facts.largest_rms_a;
        if largest > (1.0 + CONFLICT) * high {
            notes.push(format!(
                "the starter is declared to keep the start at {} A; by the model it comes to {} A",
                number(high),
                number(largest)
            ));
        } else if largest < (1.0 - CONFLICT) * low {
            notes.push(format!(
                "the starter is set to {} A and the start draws {} A at the most: it has little to do",
                number(low),
                number(largest)
            ));
        }
    }
    if let Some(n) = starter.learning_starts {
        notes.push(format!(
            "the starter learns: its first {} starts draw more than what is judged here, up to a direct start's current",
            number(n)
        ));
    }
    if facts.assist_stays && starts {
        notes.push(
            "the start capacitor never leaves: its relay or switch does not see what it is set to, and a start capacitor \
             that stays in burns within seconds"
                .into(),
        );
    }
    match starter.kind {
        StarterKind::StarDelta => notes.push(
            "a star-delta starter is only for a motor with six leads whose windings bear the full voltage in delta; the peak of its \
             change-over is not modelled"
                .into(),
        ),
        StarterKind::Drive => notes.push(
            "the drive is taken as drawing no more than its largest current, at unity power factor; harmonics, charging of its \
             capacitors, losses and the motor's heat at low speed are not modelled"
                .into(),
        ),
        kind if kind.soft() && starter.phase_control.is_none() => {
            let mut chopped = case.clone();
            chopped.load.starter.phase_control = Some(true);
            notes.extend(Path::new(&chopped).ok().and_then(|chopped| by_phase_control(path, &chopped)));
        }
        _ => {}
    }
    notes
}

/// What phase control would make of a start that is judged as a sine.
fn by_phase_control(path: &Path, chopped: &Path) -> Option<String> {
    let run = |path: &Path| {
        let mut trace = Trace::default();
        path.run(0, &mut trace);
        let torque = trace.rows.first().map_or(0.0, |row| row.torque_nm);
        (torque, trace.start_duration_s, trace.largest_rms_a())
    };
    let (sine, wave) = (run(path), run(chopped));
    let less = 100.0 * (1.0 - wave.0 / sine.0);
    let more = 100.0 * (wave.2 / sine.2 - 1.0);
    if !less.is_finite() || less < WORTH_A_WORD && more < WORTH_A_WORD && wave.1.is_some() == sine.1.is_some()
    {
        return None;
    }
    let takes = match (sine.1, wave.1) {
        (Some(_), Some(s)) => format!(", at speed after {}", seconds(s)),
        (Some(_), None) => ", and the motor does not reach speed".into(),
        _ => String::new(),
    };
    let current =
        if more < WORTH_A_WORD { String::new() } else { format!("{} % more current, ", number(more)) };
    Some(format!(
        "the soft starter is judged as letting a sine through; by phase control (thyristors), as most do, harmonics make it \
         {current}{} % less torque at standstill{takes}",
        number(less.max(0.0))
    ))
}
