//! Wrong cures: starters that are none for this motor or supply, whatever the simulation says.

use super::{Case, Path};
use crate::motor::Machine;
use crate::starter::{StarterFigures, StarterKind};

impl Path {
    /// Why no soft starter whatever is one for the load of a case, if that is so.
    pub fn no_soft_starter(&self, case: &Case) -> Option<String> {
        let mut case = case.clone();
        case.load.starter = StarterFigures { kind: StarterKind::Limiter, ..StarterFigures::default() };
        unfit(&case, self.open_v, self.locked_rotor_at_supply_a(), self.machine())
    }
}

/// A range that a maker states is met within this (assumed: 115 and 120 V are one).
const VOLTAGE_WITHIN: f64 = 0.1;
/// The same of a frequency, and of a current (rounding).
const WITHIN: f64 = 0.01;

fn outside([low, high]: [f64; 2], value: f64, within: f64) -> bool {
    value < low * (1.0 - within) || value > high * (1.0 + within)
}

/// "8 to 16 A", "230 V".
fn span([low, high]: [f64; 2], unit: &str) -> String {
    if low == high { format!("{low} {unit}") } else { format!("{low} to {high} {unit}") }
}

/// Why the starter of a case is none for it: the first reason there is. `open_v` is the supply's voltage at the load,
/// `locked_rotor_a` the locked-rotor current there.
pub(super) fn unfit(case: &Case, open_v: f64, locked_rotor_a: f64, machine: &dyn Machine) -> Option<String> {
    let starter = &case.load.starter;
    let kind = starter.kind;
    let (words, phases) = (kind.words(), case.load.phases);
    if kind == StarterKind::Direct {
        return None;
    }
    if let Some(inrush) = &case.load.inrush {
        return Some(format!("no {words} before this load: {}", inrush.kind.no_starter()));
    }
    if case.load.electronic {
        return Some(format!(
            "electronics of the unit's own feed its motor: a {words} before them does no good and may destroy them"
        ));
    }
    if let Some(made) = starter.phases.filter(|made| *made != phases) {
        let many = |n: u32| if n == 3 { "three phases" } else { "a single phase" };
        return Some(format!("the starter is made for {}, the motor has {}", many(made), many(phases)));
    }
    if let Some(made) = starter.voltage_v.filter(|made| outside(*made, open_v, VOLTAGE_WITHIN)) {
        return Some(format!("the starter is made for {}, the supply gives {open_v:.0} V", span(made, "V")));
    }
    let hertz = case.supply.frequency_hz.get();
    if let Some(made) = starter.frequency_hz.filter(|made| outside(*made, hertz, WITHIN)) {
        return Some(format!("the starter is made for {}, the supply gives {hertz} Hz", span(made, "Hz")));
    }
    if machine.own_cut_out().is_some() && kind != StarterKind::Assist && phases == 1 {
        return Some(match kind {
            StarterKind::Drive => "a drive cannot feed a motor with a start switch: at low frequency the switch stays \
                                   closed and the start winding burns"
                .into(),
            _ => "the motor has a start switch or relay of its own, which chatters or stays closed at reduced voltage until \
                  the start winding burns: have relay and start capacitor taken out first, or start it direct"
                .into(),
        });
    }
    if kind == StarterKind::Drive && phases == 1 {
        return Some(
            "a drive does not suit a single-phase motor with a capacitor, which is right for one frequency only".into(),
        );
    }
    let rated = case.load.nameplate.rated_load()?;
    if let Some(made) = starter.for_rla_a.filter(|made| outside(*made, rated, WITHIN)) {
        return Some(format!(
            "the starter is made for motors of {} running current, this one draws {} A",
            span(made, "A"),
            (100.0 * rated).round() / 100.0
        ));
    }
    let held = starter.held_a(locked_rotor_a).filter(|_| kind != StarterKind::Drive)?;
    (held < rated * (1.0 - WITHIN)).then(|| {
        format!("the starter is set to {held:.1} A, below the {rated:.1} A that the motor runs at: it would throttle it for good")
    })
}
