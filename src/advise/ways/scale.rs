//! A unit or a supply of the same kind in another size.

use super::{Change, Supply};
use crate::case::Case;
use crate::figure::{AnyFigure, Figures};
use crate::supply::SupplyFigures;

/// Where the catalogue has no larger supply that will do, one of the site's kind so many times as large is looked at (assumed).
pub(super) const LARGER: [f64; 6] = [1.25, 1.5, 2.0, 3.0, 4.0, 6.0];

/// A supply of the site's kind, `by` times as large: its ratings that many times, its impedance that many times less.
pub(super) fn times(own: &SupplyFigures, by: f64) -> Change {
    let mut figures = own.clone();
    figures.visit(&mut |_, figure| scale(figure, by));
    let supply = Supply { name: String::new(), own: false, figures };
    // all that it has to carry: by the largest alone nobody could order one
    let (volts, phases) = (supply.figures.voltage_v.get(), supply.figures.phases);
    let surge: Vec<String> = supply
        .figures
        .surge
        .iter()
        .map(|s| {
            let lasts = s.for_s.as_ref().map_or(String::new(), |for_s| format!(" for {} s", for_s.get()));
            format!("{:.0} VA{lasts}", s.rating.volt_amperes(volts, phases))
        })
        .collect();
    let surge = if surge.is_empty() { String::new() } else { format!(", surge {}", surge.join(" and ")) };
    let name = format!("{by} times as large, {:.0} VA{surge}", supply.size_va());
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
    // these two are in no walk over the figures
    if let Some(current) = &mut load.nameplate.maximum_continuous_a {
        scale(current, share);
    }
    if let Some(overload) = &mut load.overload {
        scale(&mut overload.setting_a, share);
    }
    case
}
