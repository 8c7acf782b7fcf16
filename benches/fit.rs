//! Time of a fit: a two-winding motor of ten unknowns whose breakdown torque is moved by 10 % to and fro, from the fit before;
//! and the same from nothing. Then three-phase sheets that take two cages, and two with leakage that saturates. Results in benches/results/.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use startmargin::motor::fit::{Target, Wanted, Winding, fit};

fn benches(criterion: &mut Criterion) {
    let given = |x| Some(Target::given(x));
    // the motor written out in docs/site-file.md, as its own label would read
    let wanted = Wanted {
        locked_rotor_power_factor: given(0.75),
        power_factor: given(0.95),
        efficiency: Some(Target::typical(0.75, 0.1)),
        slip: given(0.0417),
        breakdown_torque: Some(Target::typical(2.5, 0.1)),
        locked_rotor_torque: Some(Target::typical(0.3, 0.4)),
        run_capacitor_uf: given(45.0),
        ..Wanted::new(Winding::CapacitorRun, 2, [60.0, 115.0], Target::given(12.5), Target::given(62.0))
    };
    let moved = Wanted { breakdown_torque: Some(Target::typical(2.75, 0.1)), ..wanted };
    let from = fit(&wanted, None);
    criterion.bench_function("fit_warm_start", |b| b.iter(|| fit(black_box(&moved), Some(black_box(&from)))));
    let hard = Wanted { locked_rotor_a: Target::given(62.0 * 1.1), ..wanted };
    criterion.bench_function("fit_warm_start_locked_rotor_a", |b| {
        b.iter(|| fit(black_box(&hard), Some(black_box(&from))))
    });
    criterion.bench_function("fit_cold", |b| b.iter(|| fit(black_box(&wanted), None)));

    // sheets of 37 kW and 11 kW from tests/data/three_phase_sheets.csv (typical, from memory)
    for (name, sheet) in [
        ("fit_double_cage", [37e3, 66.91, 0.85, 0.0133, 7.0, 2.5, 2.9]),
        ("fit_double_cage_saturating", [11e3, 20.93, 0.83, 0.02, 7.5, 2.5, 3.1]),
    ] {
        let [shaft_w, amps, power_factor, slip, ratio, locked, breakdown] = sheet;
        let wanted = Wanted {
            shaft_w: given(shaft_w),
            power_factor: given(power_factor),
            slip: Some(Target::typical(slip, 0.05)),
            locked_rotor_torque: given(locked),
            breakdown_torque: given(breakdown),
            ..Wanted::new(
                Winding::ThreePhase,
                4,
                [50.0, 400.0],
                Target::given(amps),
                Target::given(amps * ratio),
            )
        };
        let moved = Wanted { breakdown_torque: given(1.03 * breakdown), ..wanted };
        let from = fit(&wanted, None);
        criterion.bench_function(&format!("{name}_warm"), |b| {
            b.iter(|| fit(black_box(&moved), Some(black_box(&from))))
        });
        criterion.bench_function(&format!("{name}_cold"), |b| b.iter(|| fit(black_box(&wanted), None)));
    }
}

criterion_group!(group, benches);
criterion_main!(group);
