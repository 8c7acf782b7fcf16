//! A unit or a supply of the same kind in another size.

use super::{Change, Supply};
use crate::case::Case;
use crate::figure::{AnyFigure, Figures};
use crate::quantity::Ampere;
use crate::supply::{Rating, SupplyFigures};

/// Where the catalogue has no larger supply that will do, one of the site's kind so many times as large is looked at (assumed).
pub(super) const LARGER: [f64; 6] = [1.25, 1.5, 2.0, 3.0, 4.0, 6.0];

/// A supply of the site's kind, `by` times as large: its ratings that many times, its impedance that many times less.
pub(super) fn times(own: &SupplyFigures, by: f64) -> Change {
    let mut figures = own.clone();
    figures.visit(&mut |_, figure| scale(figure, by));
    let supply = Supply { name: String::new(), own: false, figures };
    let surge = supply.figures.surge.first().and_then(|s| {
        let volts =
            supply.figures.voltage_v.get() * if supply.figures.phases == 3 { 3f64.sqrt() } else { 1.0 };
        let va = match &s.rating {
            Rating::Amperes(a) => a.get() * volts,
            Rating::VoltAmperes(va) => va.get(),
            Rating::Watts(w) => w.get(),
        };
        Some(format!(", surge {va:.0} VA for {} s", s.for_s.as_ref()?.get()))
    });
    let name = format!("{by} times as large, {:.0} VA{}", supply.size_va(), surge.unwrap_or_default());
    Change { supply: Some(Supply { name, ..supply }), ..Change::default() }
}

/// Multiplies what grows with the size of a thing, and divides its impedances; voltages, speeds, ratios and times stay.
fn scale(figure: &mut dyn AnyFigure, by: f64) {
    match figure.unit() {
        "A" | "W" | "VA" | "hp" | "N m" | "kg m2" | "uF" => figure.scale(by),
        "ohm" => figure.scale(1.0 / by),
        _ => {}
    }
}

/// The case with a unit of the same kind, `share` times as large: its currents, powers, torques, inertia and capacitors that
/// many times, its impedances that many times less. Voltages, speeds, ratios and times stay.
pub fn scaled(case: &Case, share: f64) -> Case {
    let mut case = case.clone();
    let load = &mut case.load;
    let mut by_unit = |_: &str, figure: &mut dyn AnyFigure| scale(figure, share);
    load.nameplate.visit(&mut by_unit);
    load.motor.visit(&mut by_unit);
    load.load_torque.visit(&mut by_unit);
    load.load_torque_unequal.visit(&mut by_unit);
    load.assist_capacitor_uf.visit(&mut by_unit);
    if let Some(current) = &mut load.nameplate.maximum_continuous_a {
        let at = |q: Ampere| Ampere(q.0 * share);
        (current.value, current.low, current.high) = (at(current.value), at(current.low), at(current.high));
    }
    if let Some(overload) = &mut load.overload {
        overload.setting_a.value.0 *= share;
    }
    case
}
