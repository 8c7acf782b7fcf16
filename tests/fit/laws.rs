//! Laws of the fit.

use approx::assert_relative_eq;
use proptest::prelude::*;
use startmargin::motor::fit::{Fit, Target, Wanted, Winding, fit};
use startmargin::motor::{Auxiliary, Capacitor, Machine, Stage, TwoWinding};

use super::label_of;

fn given(value: f64) -> Option<Target> {
    Some(Target::given(value))
}

/// A capacitor-run motor of which all is given but the auxiliary winding.
fn wanted() -> Wanted {
    Wanted {
        locked_rotor_power_factor: given(0.75),
        power_factor: given(0.95),
        efficiency: given(0.75),
        slip: given(0.0417),
        breakdown_torque: given(2.5),
        run_capacitor_uf: given(45.0),
        ..Wanted::new(Winding::CapacitorRun, 2, [60.0, 115.0], Target::given(12.5), Target::given(62.0))
    }
}

#[test]
fn prop_fit_is_deterministic() {
    let (a, b) = (fit(&wanted(), None), fit(&wanted(), None));
    assert_eq!(a, b);
    assert_eq!(fit(&wanted(), Some(&a)), fit(&wanted(), Some(&b)));
}

/// Twice the voltage at half the current is a winding of twice the turns: four times the impedance, a quarter of the capacitor.
#[test]
fn prop_rewinding_scales_impedances() {
    let one = fit(&wanted(), None);
    let w = Wanted { voltage_v: 230.0, run_capacitor_uf: given(45.0 / 4.0), ..wanted() };
    let w = Wanted { rated_a: Target::given(6.25), locked_rotor_a: Target::given(31.0), ..w };
    let two = fit(&w, None);
    for (a, b) in [
        (one.circuit.r1_ohm, two.circuit.r1_ohm),
        (one.circuit.xm_ohm, two.circuit.xm_ohm),
        (one.circuit.r2_ohm, two.circuit.r2_ohm),
        (one.circuit.auxiliary.unwrap().r_ohm, two.circuit.auxiliary.unwrap().r_ohm),
    ] {
        assert_relative_eq!(4.0 * a, b, max_relative = 1e-6);
    }
    let turns = |f: &Fit| f.circuit.auxiliary.unwrap().turns_ratio;
    assert_relative_eq!(turns(&one), turns(&two), max_relative = 1e-6);
    assert_relative_eq!(one.rated_nm(), two.rated_nm(), max_relative = 1e-6);
}

/// A warm start from a motor 10 % away ends where a cold one does.
#[test]
fn prop_warm_and_cold_agree() {
    let far = Wanted {
        locked_rotor_a: Target::given(56.0),
        breakdown_torque: given(2.3),
        run_capacitor_uf: given(41.0),
        ..wanted()
    };
    let warm = label_of(&fit(&wanted(), Some(&fit(&far, None))));
    let cold = label_of(&fit(&wanted(), None));
    let (off, which) = cold.off(&warm);
    println!("{which}: {off:.1e}");
    for (a, b) in [
        (warm.rated_a, cold.rated_a),
        (warm.locked_rotor_a, cold.locked_rotor_a),
        (warm.power_factor, cold.power_factor),
        (warm.locked_rotor_power_factor, cold.locked_rotor_power_factor),
        (warm.breakdown_nm / warm.shaft_nm, cold.breakdown_nm / cold.shaft_nm),
    ] {
        assert_relative_eq!(a, b, max_relative = 1e-6);
    }
    // a fit of another kind is no start
    let other = Wanted { winding: Winding::SplitPhase, ..wanted() };
    assert_eq!(fit(&wanted(), Some(&fit(&other, None))), fit(&wanted(), None));
}

/// At another frequency the reactances go with it, resistances and capacitors stay.
#[test]
fn prop_reactances_go_with_the_frequency() {
    let fitted = fit(&wanted(), None);
    let (c, k) = (fitted.circuit, 50.0 / 60.0);
    let aux = c.auxiliary.unwrap();
    let by_hand =
        TwoWinding::new(2, 50.0, [c.r1_ohm, c.x1_ohm * k, c.xm_ohm * k, c.r2_ohm, c.x2_ohm * k], 0.001)
            .with_auxiliary(Auxiliary { x_ohm: aux.x_ohm * k, ..aux })
            .with_run_capacitor(Capacitor { farad: c.run_capacitor_uf.unwrap() * 1e-6, ohm: 0.0 });
    let m = fitted.two_winding(50.0, 0.001).unwrap();
    for speed in [0.0, 100.0, 300.0] {
        assert_eq!(m.at(speed, Stage::RUN), by_hand.at(speed, Stage::RUN));
    }
    assert!(fitted.three_phase(50.0, 0.001).is_none() && fitted.two_winding(f64::NAN, 0.001).is_none());
}

/// A given figure leaves its own standard error; what is not given is left open, and the fit says how far.
#[test]
fn prop_standard_errors_tell_given_from_open() {
    let little = Wanted { slip: None, breakdown_torque: None, run_capacitor_uf: None, ..wanted() };
    let errors = fit(&little, None).standard_errors();
    println!("{errors:.3?}");
    let of = |name: &str| errors.iter().find(|(n, _)| *n == name).unwrap().1;
    assert!(of("rated_load_a") < 2e-3 && of("locked_rotor_a") < 2e-3);
    assert!(of("locked_rotor_nm") > 0.2 && of("turns_ratio") > 0.1);
    let told = Wanted { locked_rotor_torque: given(0.3), ..wanted() };
    let told = fit(&told, None).standard_errors();
    assert!(told.iter().find(|(n, _)| *n == "locked_rotor_nm").unwrap().1 < 0.02);
}

/// A figure is anything a site file can hold, sound or not.
fn anything() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => 1e-3..1e3f64,
        1 => prop::sample::select(vec![0.0, -1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, 1e-300, 1.0]),
    ]
}

fn target() -> impl Strategy<Value = Option<Target>> {
    prop::option::of((anything(), prop_oneof![Just(Target::GIVEN), anything()]))
        .prop_map(|t| t.map(|(value, sigma)| Target { value, sigma }))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn prop_any_label_is_answered_in_numbers(
        kind in 0..5usize,
        poles in 0..9u32,
        [frequency_hz, voltage_v, cut_out_speed, rated, locked] in prop::array::uniform5(anything()),
        targets in prop::collection::vec(target(), 11),
    ) {
        use Winding::*;
        let winding = [CapacitorRun, CapacitorStart, CapacitorStartRun, SplitPhase, ThreePhase][kind];
        let w = Wanted {
            winding, poles, frequency_hz, voltage_v, cut_out_speed,
            rated_a: Target::given(rated), locked_rotor_a: Target::given(locked),
            locked_rotor_power_factor: targets[0], power_factor: targets[1], shaft_w: targets[2], efficiency: targets[3],
            slip: targets[4], locked_rotor_nm: targets[5], locked_rotor_torque: targets[6], breakdown_nm: targets[7],
            breakdown_torque: targets[8], run_capacitor_uf: targets[9], start_capacitor_uf: targets[10],
        };
        let f = fit(&w, None);
        let (r, c) = (f.reached, f.circuit);
        for x in [r.rated_a, r.power_factor, r.shaft_w, r.efficiency, r.slip, r.locked_rotor_a, r.locked_rotor_nm,
            r.breakdown_nm, c.r1_ohm, c.x1_ohm, c.xm_ohm, c.r2_ohm, c.x2_ohm, f.cost, f.rated_nm(), f.rated_rpm()]
        {
            prop_assert!(x.is_finite(), "{w:?} {f:?}");
        }
        for miss in f.misses() {
            prop_assert!(miss.reached.is_finite());
        }
        let _ = (f.standard_errors(), fit(&w, Some(&f)));
    }
}
