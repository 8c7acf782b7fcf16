//! What a starter is declared to do against what the model makes of it.

use super::Facts;
use crate::case::{Case, Path};
use crate::checks::say::{number, seconds};
use crate::figure::{Figure, Origin};
use crate::quantity::Quantity;
use crate::start::Outcome;
use crate::starter::StarterKind;

/// Difference that is worth a word.
const CONFLICT: f64 = 0.10;

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
        _ => {}
    }
    notes
}
