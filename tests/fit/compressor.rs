//! Residential compressors: what parameter sets published with a performance model say of running current and stall voltage.

use startmargin::motor::fit::{Fit, Target, Wanted, Winding, fit};
use startmargin::motor::{Machine, Stage};

/// Line current at the rated torque, per unit of the rated current, at a share of the rated voltage; `None`: it stalls.
fn current_at(fitted: &Fit, share: f64) -> Option<f64> {
    let w = fitted.wanted();
    let m = fitted.two_winding(w.frequency_hz, 0.001).unwrap();
    let v = share * w.voltage_v;
    let at = |slip: f64| m.at((1.0 - slip) * m.sync_speed(), Stage::RUN);
    let torque = |slip: f64| at(slip).torque_per_v2 * v * v - fitted.rated_nm();
    if torque(fitted.reached.breakdown_slip) < 0.0 {
        return None;
    }
    let slip =
        startmargin::numeric::root::bracketed(torque, 1e-4, fitted.reached.breakdown_slip, 1e-9).unwrap();
    Some(at(slip).y.norm() * v / fitted.reached.rated_a)
}

#[test]
fn compare_running_current_and_stall_voltage_of_compressors() {
    for (ratio, pf) in [(5.9, 0.74), (7.1, 0.71)] {
        for breakdown in
            [None, Some(2.0), Some(2.25), Some(2.5), Some(2.75), Some(3.0), Some(3.25), Some(3.5), Some(4.0)]
        {
            let wanted = Wanted {
                locked_rotor_power_factor: Some(Target::given(pf)),
                power_factor: Some(Target::typical(0.97, 0.02)),
                efficiency: Some(Target::typical(0.85, 0.05)),
                slip: Some(Target::typical(0.04, 0.3)),
                breakdown_torque: breakdown.map(Target::given),
                ..Wanted::new(
                    Winding::CapacitorRun,
                    2,
                    [60.0, 230.0],
                    Target::given(15.0),
                    Target::given(15.0 * ratio),
                )
            };
            let fitted = fit(&wanted, None);
            let r = fitted.reached;
            println!(
                "LRA {ratio} x, Tbd {breakdown:?}: reached {:.2}, cost {:.2}, 0.90 V {:.3?}, 0.86 V {:.3?}, 0.7 V {:.3?}, stall {:.3} V, T_LR {:.3}, slip {:.4}, eff {:.3}, pf {:.3}, a {:.2}, {:.1} uF, misses {}",
                r.breakdown_nm / r.shaft_nm,
                fitted.cost,
                current_at(&fitted, 0.90),
                current_at(&fitted, 0.86),
                current_at(&fitted, 0.7),
                (fitted.rated_nm() / (r.breakdown_nm + r.drag_nm)).sqrt(),
                r.locked_rotor_nm / r.shaft_nm,
                r.slip,
                r.efficiency,
                r.power_factor,
                fitted.circuit.auxiliary.unwrap().turns_ratio,
                fitted.circuit.run_capacitor_uf.unwrap(),
                fitted.misses().count(),
            );
            if breakdown.is_none() {
                println!("   {:?}", fitted.standard_errors());
            }
        }
    }
}
