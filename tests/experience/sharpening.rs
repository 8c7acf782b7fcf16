//! Three figures give an answer, and each further one sharpens it.

use startmargin::advise::{Start, judge};
use startmargin::case::Pressure;
use startmargin::checks::Status;

/// The start of a roof unit after a rest, with these lines for the supply and for the load.
fn start(supply: &str, load: &str) -> Start {
    let text = format!(
        "[[supply]]\nname = 'inverter'\nkind = 'inverter'\nuse = 'inverter-generic'\nvoltage_v = 120\nfrequency_hz = 60\n\
         continuous_va = 3000\n{supply}\n[circuit]\nbreaker = {{ standard = 'UL 489', rating_a = 20 }}\n\
         [[load]]\nname = 'unit'\nuse = 'roof-ac'\nrated_load_a = 12.5\n{load}\n"
    );
    judge(&startmargin::site::read("sharpening.toml", &text).unwrap().case(0, 0, Pressure::Equalised))
}

/// How much of the reductions passes over the figures' ranges, with a start capacitor.
fn sure(start: &Start) -> f64 {
    let window = start.reduction.as_ref().unwrap().with_capacitor.as_ref().unwrap();
    window.passes_over_ranges.iter().map(|[a, b]| b - a).sum()
}

#[test]
fn each_further_figure_leaves_less_doubt() {
    let surge = "surge = [{ va = 6000, for_s = 3.0 }, { va = 4500, for_s = 20.0 }]\noutput_ohm = 0.06\noutput_reactance_ohm = 0.05";
    let steps = [
        start("", ""),
        start("", "locked_rotor_a = 61\nfan_full_load_a = 2.1"),
        start(surge, "locked_rotor_a = 61\nfan_full_load_a = 2.1"),
        start(
            surge,
            "locked_rotor_a = 61\nfan_full_load_a = 2.1\nrun_capacitor_uf = 45\nlocked_rotor_power_factor = 0.73\n\
             power_factor = 0.95\nefficiency = 0.8\nrated_rpm = 3450\nlocked_rotor_torque = 0.36\nbreakdown_torque = 2.6",
        ),
    ];
    for pair in steps.windows(2) {
        assert!(pair[1].doubts.len() < pair[0].doubts.len());
        assert!(sure(&pair[1]) >= sure(&pair[0]) - 1e-3, "{} then {}", sure(&pair[0]), sure(&pair[1]));
    }
    // from one running current alone: an answer with a margin, a window, and what to find out first
    let first = &steps[0];
    assert!(first.finding("surge").unwrap().margins.is_some() && first.reduction.is_some());
    assert!(first.doubts[0].moves > 0.1);
    // with the labels read and the supply's sheet at hand: the direct start fails for certain, and a setting is certain
    let last = &steps[3];
    assert_eq!(last.finding("surge").unwrap().status, Status::Fail);
    assert!(sure(last) > 0.1, "{}", sure(last));
}
