//! Loads that are not induction motors: `[load.inrush]`.

use super::document::{Document, join};
use crate::figure::{Figure, Origin};
use crate::inrush::given::{InrushFigures, InrushKind, Limiter};
use crate::nameplate::Nameplate;
use crate::quantity::*;

/// Keys of a load that are about a rotor.
const ROTOR: [&str; 3] = ["motor_model", "load_torque", "load_torque_unequal"];

/// The load at `at`, if it is no induction motor.
pub(super) fn inrush(document: &mut Document<'_>, at: &str) -> Option<InrushFigures> {
    let below = document.inner(at, "inrush")?;
    for key in ROTOR {
        if !document.has(at, key) {
            continue;
        }
        let message = format!("{key} is for motors, and this load is none: it has an inrush table");
        let help = "leave one of the two out";
        document.refuse(document.name_span(at, key), &join(at, key), message, help);
    }
    if document.phases(at, 1) == 3 {
        let help = "leave phases out, or judge one of its phases as a single-phase load";
        let span = document.span(at, "phases");
        document.refuse(span, &join(at, "phases"), "a load with an inrush table is single-phase", help);
    }
    let kind = InrushKind::of(document.text(&below, "kind")?)?;
    for key in kind.needs() {
        let why = format!("kind = \"{}\" needs {}", kind.word(), kind.needs().join(", "));
        document.demand(&below, key, &why);
    }
    let own = |key: &&str| kind.needs().contains(key) || kind.may().contains(key);
    let strange: Vec<&str> =
        KEYS.iter().copied().filter(|key| document.has(&below, key) && !own(key)).collect();
    for key in strange {
        let message = format!("{key} does not belong to kind = \"{}\"", kind.word());
        let help = "leave it out, or check the kind";
        document.refuse(document.name_span(&below, key), &join(&below, key), message, help);
    }
    let limiter = match document.text(&below, "limiter") {
        Some("thermistor") => Limiter::Thermistor,
        Some("relay") => Limiter::Relay,
        _ => Limiter::None,
    };
    let asks: &[&str] = match limiter {
        Limiter::None => &[],
        Limiter::Thermistor => &["limiter_ohm", "limiter_hot_ohm"],
        Limiter::Relay => &["limiter_ohm", "relay_s"],
    };
    for key in asks {
        document.demand(&below, key, "what holds the charging current down is known by it");
    }
    if !["rated_load_a", "power_w"].iter().any(|key| document.has(at, key)) {
        document.demand(at, "rated_load_a", "its size is known by rated_load_a or power_w");
    }
    let current = document.text(&below, "current").map(|word| word == "sine");
    let ratio = |key: &str| document.figure::<Ratio>(&below, key);
    let time = |key: &str| document.figure::<Second>(&below, key);
    let ohm = |key: &str| document.figure::<Ohm>(&below, key);
    Some(InrushFigures {
        cold_ratio: ratio("cold_ratio"),
        heat_s: time("heat_s"),
        start_ratio: ratio("start_ratio"),
        start_power_factor: ratio("start_power_factor"),
        inertia_s: time("inertia_s"),
        warm_up_s: time("warm_up_s"),
        capacitor_uf: document.figure::<Microfarad>(&below, "capacitor_uf"),
        series_ohm: ohm("series_ohm"),
        choke_ohm: ohm("choke_ohm"),
        limiter,
        limiter_ohm: ohm("limiter_ohm"),
        limiter_hot_ohm: ohm("limiter_hot_ohm"),
        relay_s: time("relay_s"),
        hot: document.switch(&below, "hot"),
        ramp_s: time("ramp_s"),
        sine: current.unwrap_or(kind == InrushKind::InductionHob),
        magnetising_pu: ratio("magnetising_pu"),
        knee: ratio("knee"),
        saturated_pu: ratio("saturated_pu"),
        winding_pu: ratio("winding_pu"),
        residual: ratio("residual"),
        ..InrushFigures::of(kind)
    })
}

/// Every key of the table but its kind.
const KEYS: [&str; 21] = [
    "cold_ratio",
    "heat_s",
    "start_ratio",
    "start_power_factor",
    "inertia_s",
    "warm_up_s",
    "capacitor_uf",
    "series_ohm",
    "choke_ohm",
    "limiter",
    "limiter_ohm",
    "limiter_hot_ohm",
    "relay_s",
    "hot",
    "ramp_s",
    "current",
    "magnetising_pu",
    "knee",
    "saturated_pu",
    "winding_pu",
    "residual",
];

/// The running current where the label gives the power alone: for the cable and the breaker.
pub(super) fn complete(inrush: &InrushFigures, plate: &mut Nameplate) {
    let Some(volts) = plate.rated_voltage_v.as_ref().map(Figure::get) else { return };
    let Some(watts) = plate.power_w.clone().filter(|_| plate.rated_load_a.is_none()) else { return };
    let Some(amps) = inrush.rated_a(plate, volts) else { return };
    let share = amps / watts.get();
    let bound = |q: Watt| Ampere(q.get() * share);
    let figure = Figure::exact(Ampere(amps), Origin::Derived).between(bound(watts.low), bound(watts.high));
    // the power takes no part beside it: one doubt, not two
    plate.rated_load_a = Some(figure.noted("power over rated voltage and power factor"));
    plate.power_w = None;
}
