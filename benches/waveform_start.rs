//! Time of one start at the waveform level, 0.5 s from rest at a tolerance of 1e-6, nobody looking: the
//! published 3 hp machine on a stiff supply without load. And our integrator against the one of a kept crate
//! (`ode_solvers`, the same Runge-Kutta pair) on the same right-hand sides at the same achieved error, of the
//! waveform and of the envelope level. Results in benches/results/.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::SVector;
use num_complex::Complex64;
use ode_solvers::dop_shared::OutputType;
use ode_solvers::{Dopri5, System};
use startmargin::motor::instantaneous::{Feed, WaveModel};
use startmargin::motor::{Auxiliary, Cage, Cages, Capacitor, LoadTorque, Machine, SpeedTorque, Stage};
use startmargin::motor::{ThreePhase, TwoWinding};
use startmargin::numeric::ode::Stepper;
use startmargin::start::waveform::{Closing, MOST_STEPS, TOLERANCE, waveform};
use startmargin::start::{Branch, Options, Running, Trace, envelope};
use startmargin::starter::Direct;
use startmargin::supply::Thevenin;

const VOLTS: f64 = 127.017_059_221_718_15;

fn three_hp() -> ThreePhase {
    ThreePhase::new(4, 60.0, [0.435, 0.754, 26.13], Cage { r_ohm: 0.816, x_ohm: 0.754 }, 0.089)
}

/// Right-hand side of the waveform level: the machine's own equations, without supply, load and events around
/// them.
fn waveform_slopes(m: &ThreePhase) -> impl Fn(f64, &SVector<f64, 5>) -> SVector<f64, 5> + Copy + '_ {
    let cages = Cages::<1>(m);
    let feed = Feed::stiff(Complex64::ONE);
    let circuit = cages.circuit(&feed, Stage::START, 0.0);
    let omega = std::f64::consts::TAU * 60.0;
    let sync = m.sync_speed();
    // base is the peak of the phase voltage
    let per_momentum = 2.0 * VOLTS * VOLTS / (sync * m.inertia() * sync);
    move |_t, y| {
        let mut slopes = SVector::zeros();
        slopes[4] = Cages::<1>::slopes(&circuit, 0.0, omega, y, &mut slopes) * per_momentum;
        slopes
    }
}

/// The same of the envelope level, in parts of synchronous speed: the motor written out in docs/site-file.md.
fn envelope_slopes<'a>(
    motor: &'a TwoWinding,
    load: &'a SpeedTorque,
) -> impl Fn(f64, &SVector<f64, 1>) -> SVector<f64, 1> + Copy + 'a {
    let sync = motor.sync_speed();
    let per_momentum = 1.0 / (motor.inertia() * sync);
    move |t, x| {
        let speed = x[0] * sync;
        let torque = motor.at(speed, Stage::RUN).torque_per_v2 * 115.0 * 115.0;
        SVector::from([(torque - load.at(speed.max(0.0), t)) * per_momentum])
    }
}

/// Ours, as the two levels use it.
fn ours<const N: usize>(
    slopes: impl Fn(f64, &SVector<f64, N>) -> SVector<f64, N>,
    until: f64,
    first: f64,
    tolerance: f64,
) -> SVector<f64, N> {
    let y = SVector::zeros();
    let mut slopes = slopes;
    let mut stepper = Stepper::new(0.0, y, slopes(0.0, &y), first, tolerance);
    while stepper.t < until {
        stepper.step(until, &mut slopes);
    }
    stepper.y
}

/// Shortest mean of a batch \[us\]: what it takes when nobody else has the processor, as scipy_starts.py
/// measures it.
fn best(name: &str, mut run: impl FnMut()) {
    let batch = |run: &mut dyn FnMut()| {
        let before = std::time::Instant::now();
        (0..10).for_each(|_| run());
        before.elapsed().as_secs_f64() * 1e5
    };
    let shortest = (0..1000).map(|_| batch(&mut run)).fold(f64::INFINITY, f64::min);
    println!("best of 1000 batches: {name},{shortest:.3}");
}

struct Crate<F>(F);

impl<const N: usize, F: Fn(f64, &SVector<f64, N>) -> SVector<f64, N>> System<f64, SVector<f64, N>>
    for Crate<F>
{
    fn system(&self, t: f64, y: &SVector<f64, N>, slopes: &mut SVector<f64, N>) {
        *slopes = self.0(t, y);
    }
}

/// The crate's, with its own defaults, keeping nothing but the ends of its steps.
fn theirs<const N: usize>(
    slopes: impl Fn(f64, &SVector<f64, N>) -> SVector<f64, N>,
    until: f64,
    tolerance: f64,
) -> SVector<f64, N> {
    let y = SVector::zeros();
    let mut stepper = Dopri5::from_param(
        Crate(slopes),
        0.0,
        until,
        until,
        y,
        tolerance,
        tolerance,
        0.9,
        0.04,
        0.2,
        10.0,
        until,
        0.0,
        1_000_000,
        1_000_000,
        OutputType::Sparse,
    );
    let done = stepper.integrate();
    if done.is_err() {
        return SVector::repeat(f64::NAN);
    }
    stepper.y_out().last().copied().unwrap_or(y)
}

/// Points in time at which errors are looked at: fewer, and luck at one of them decides.
const LOOKS: usize = 20;

/// Root mean square over [`LOOKS`] points in time of the largest difference of any state from `exact`.
fn achieved<const N: usize>(
    until: f64,
    exact: &[SVector<f64, N>; LOOKS],
    run: impl Fn(f64) -> SVector<f64, N>,
) -> f64 {
    let off = |i: usize| (run(until * (i + 1) as f64 / LOOKS as f64) - exact[i]).amax();
    ((0..LOOKS).map(|i| off(i).powi(2)).sum::<f64>() / LOOKS as f64).sqrt()
}

/// Times both on one problem, the crate at the loosest of its tolerances that is no less exact than ours.
fn against<const N: usize>(
    criterion: &mut Criterion,
    name: &str,
    slopes: impl Fn(f64, &SVector<f64, N>) -> SVector<f64, N> + Copy,
    until: f64,
    first: f64,
) {
    let exact = std::array::from_fn(|i| ours(slopes, until * (i + 1) as f64 / LOOKS as f64, 1e-6, 1e-12));
    let own = achieved(until, &exact, |end| ours(slopes, end, first, TOLERANCE));
    // in steps of a twentieth of a decade
    let loosest = (0..160)
        .map(|i| 10f64.powf(-3.0 - 0.05 * f64::from(i)))
        .find(|&tolerance| achieved(until, &exact, |end| theirs(slopes, end, tolerance)) <= own)
        .unwrap_or(1e-11);
    let error = achieved(until, &exact, |end| theirs(slopes, end, loosest));
    let count = std::cell::Cell::new(0);
    let counting = |t: f64, y: &SVector<f64, N>| {
        count.set(count.get() + 1);
        slopes(t, y)
    };
    ours(counting, until, first, TOLERANCE);
    println!("{name}: ours at 1e-6 is off by {own:.2e} in {} evaluations", count.replace(0));
    theirs(counting, until, loosest);
    println!("{name}: the crate at {loosest:.1e} is off by {error:.2e} in {} evaluations", count.get());
    best(&format!("{name}_ours"), || {
        black_box(ours(black_box(slopes), until, first, TOLERANCE));
    });
    best(&format!("{name}_crate"), || {
        black_box(theirs(black_box(slopes), until, loosest));
    });
    criterion.bench_function(&format!("{name}_ours"), |b| {
        b.iter(|| ours(black_box(slopes), until, first, TOLERANCE))
    });
    criterion
        .bench_function(&format!("{name}_crate"), |b| b.iter(|| theirs(black_box(slopes), until, loosest)));
}

fn benches(criterion: &mut Criterion) {
    let motor = three_hp();
    let load = SpeedTorque {
        rated_nm: 0.0,
        rated_speed: 180.0,
        shares: [0.0; 3],
        breakaway: 0.0,
        build_up_s: 0.0,
        pulsation: None,
    };
    let source = Thevenin { v: VOLTS, z: Complex64::ZERO, fold_a: None };
    let branch = Branch::plain(&motor, &load, &Direct, 0.5);
    let closing = Closing {
        supply: &source,
        running: Running::default(),
        branch: &branch,
        frequency_hz: 60.0,
        angle: 0.0,
        settled_speed: Some(motor.sync_speed()),
        until_s: 0.5,
        tolerance: TOLERANCE,
        most_steps: MOST_STEPS,
    };
    if let Some(ending) = waveform(&closing, &mut ()) {
        println!("waveform_start: {} steps, {} evaluations", ending.steps, ending.evaluations);
    }
    best("waveform_start", || {
        black_box(waveform(black_box(&closing), &mut ()));
    });
    criterion.bench_function("waveform_start", |b| b.iter(|| waveform(black_box(&closing), &mut ())));

    against(
        criterion,
        "waveform_equations",
        waveform_slopes(&motor),
        0.5,
        0.02 / (std::f64::consts::TAU * 60.0),
    );
    let two = TwoWinding::new(2, 60.0, [0.624, 0.601, 16.249, 0.76, 0.628], 0.0016)
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
    let slopes = envelope_slopes(&two, &load);
    // the first step as the envelope level chooses it
    let first = 0.05 / slopes(0.0, &SVector::zeros())[0];
    against(criterion, "envelope_equation", slopes, 0.35, first);

    let source = Thevenin { v: 115.0, z: Complex64::ZERO, fold_a: None };
    let branch = Branch::plain(&two, &load, &Direct, 3.0);
    let mut traces = [Trace::default()];
    let mut run = || {
        envelope(&source, Running::default(), black_box(&[branch]), Options::default(), &mut traces);
        traces[0].rows.last().map_or(0.0, |r| r.t_s)
    };
    println!("envelope_start: the trace ends at {} s", run());
    best("envelope_start", || {
        black_box(run());
    });
}

criterion_group!(group, benches);
criterion_main!(group);
