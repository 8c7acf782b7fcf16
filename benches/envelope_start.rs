//! Time of one start at the envelope level, switch-on to settled, at a tolerance of 1e-6: the motor written out in
//! docs/site-file.md on a stiff 115 V supply. Results in benches/results/.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use num_complex::Complex64;
use startmargin::motor::{Auxiliary, Capacitor, SpeedTorque, TwoWinding};
use startmargin::start::{Branch, Options, Running, Trace, envelope};
use startmargin::starter::{Direct, Limiter, Starter};
use startmargin::supply::Thevenin;

fn benches(criterion: &mut Criterion) {
    let motor = TwoWinding::new(2, 60.0, [0.624, 0.601, 16.249, 0.76, 0.628], 0.0016)
        .with_auxiliary(Auxiliary { r_ohm: 2.351, x_ohm: 1.217, turns_ratio: 1.967 })
        .with_run_capacitor(Capacitor { farad: 45e-6, ohm: 0.0 });
    let load = SpeedTorque {
        rated_nm: 3.23,
        rated_speed: 3450.0 * std::f64::consts::TAU / 60.0,
        shares: [0.10, 0.65, 0.0],
        breakaway: 0.12,
        build_up_s: 8.0,
        pulsation: None,
    };
    let mut start = |name: &str, starter: &dyn Starter, z: Complex64| {
        let source = Thevenin { v: 115.0, z, fold_a: None };
        let branch = Branch::plain(&motor, &load, starter, 3.0);
        let mut traces = [Trace::default()];
        criterion.bench_function(name, |b| {
            b.iter(|| {
                envelope(&source, Running::default(), black_box(&[branch]), Options::default(), &mut traces);
                black_box(traces[0].start_duration_s)
            });
        });
    };
    start("envelope_start", &Direct, Complex64::ZERO);
    start("envelope_start_limited_behind_impedance", &Limiter { amps: 46.0 }, Complex64::new(0.05, 0.02));
}

criterion_group!(group, benches);
criterion_main!(group);
