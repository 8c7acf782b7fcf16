//! The waveform level against algebra: power in and out, a standing rotor in closed form, the settled state
//! of the phasor circuit.

use std::f64::consts::{SQRT_2, TAU};

use nalgebra::SVector;
use num_complex::Complex64;
use serde_json::json;
use startmargin::motor::instantaneous::{Feed, WaveModel};
use startmargin::motor::{Cage, Cages, Stage, ThreePhase};
use startmargin::numeric::ode::Stepper;
use startmargin::start::waveform::Cycle;

use super::csv::Cells;
use super::machines::{Setup, quarter_hp_of, scheme_name, set, three_phase, three_phase_with};
use super::{Allowed, Evidence, Row, Sheet};

/// What went where in a start, in parts of base power times seconds.
#[derive(Default)]
struct Energies {
    input: f64,
    copper: f64,
    shaft: f64,
    stored: f64,
}

/// Reactances of stator and `C` cages, and their resistances \[ohm\].
struct Plain {
    x: nalgebra::DMatrix<f64>,
    r: Vec<f64>,
}

impl Plain {
    fn new(set: &Cells, cages: &[Cage]) -> Plain {
        let n = cages.len() + 1;
        let mut x = nalgebra::DMatrix::from_element(n, n, set.n("xm"));
        x[(0, 0)] += set.n("x1");
        for (k, cage) in cages.iter().enumerate() {
            x[(k + 1, k + 1)] += cage.x_ohm;
        }
        let r = std::iter::once(set.n("r1")).chain(cages.iter().map(|c| c.r_ohm)).collect();
        Plain { x, r }
    }
}

/// Integrates power over a start of `C` cages, the currents found anew from the fluxes by elimination.
fn energies<const C: usize, const N: usize>(machine: &ThreePhase, plain: &Plain, until: f64) -> Energies {
    let omega = TAU * 60.0;
    let cages = Cages::<C>(machine);
    let circuit = cages.circuit(&Feed::stiff(Complex64::ONE), Stage::START, 0.0);
    // rated speed of a machine at rated flux in about 0.1 s: what counts is that it turns
    let per_momentum = 40.0;
    let speed = 2 + 2 * C;
    let mut slopes = |_t: f64, y: &SVector<f64, N>| {
        let mut s = SVector::<f64, N>::zeros();
        s[speed] = Cages::<C>::slopes(&circuit, 0.0, omega, y, &mut s) * per_momentum;
        s
    };
    let lu = plain.x.clone().lu();
    let currents = |y: &SVector<f64, N>| -> Vec<Complex64> {
        let part = |p: usize| {
            let psi = nalgebra::DVector::from_fn(C + 1, |i, _| y[2 * i + p]);
            lu.solve(&psi).unwrap_or_else(|| nalgebra::DVector::from_element(C + 1, f64::NAN))
        };
        let (re, im) = (part(0), part(1));
        re.iter().zip(im.iter()).map(|(&a, &b)| Complex64::new(a, b)).collect()
    };
    let powers = |y: &SVector<f64, N>| {
        let i = currents(y);
        let copper: f64 = i.iter().zip(&plain.r).map(|(i, r)| 1.5 * r * i.norm_sqr()).sum();
        // torque from the rotor's side
        let rotor: Complex64 = i[1..].iter().sum();
        let torque = 1.5 * plain.x[(0, 1)] * (rotor.conj() * i[0]).im;
        [1.5 * i[0].re, copper, torque * y[speed]]
    };
    let stored = |y: &SVector<f64, N>| {
        let i = currents(y);
        let psi = |k: usize| Complex64::new(y[2 * k], y[2 * k + 1]);
        i.iter().enumerate().map(|(k, i)| 0.75 / omega * (psi(k).conj() * i).re).sum::<f64>()
    };
    let y = SVector::zeros();
    let mut stepper = Stepper::new(0.0, y, slopes(0.0, &y), 5e-5, 1e-8);
    let mut out = Energies::default();
    while stepper.t < until {
        let step = stepper.step(until, &mut slopes);
        // four-point Gauss over the step
        for (at, weight) in [
            (0.069_431_844_202_973_7, 0.173_927_422_568_727),
            (0.330_009_478_207_572, 0.326_072_577_431_273),
            (0.669_990_521_792_428, 0.326_072_577_431_273),
            (0.930_568_155_797_026, 0.173_927_422_568_727),
        ] {
            let [input, copper, shaft] = powers(&step.at(at));
            out.input += step.h * weight * input;
            out.copper += step.h * weight * copper;
            out.shaft += step.h * weight * shaft;
        }
    }
    out.stored = stored(&stepper.y);
    out
}

fn balance(out: &mut Sheet) {
    out.source = "first law; currents found anew from the fluxes, torque from the rotor's side".to_owned();
    out.why = "dense output between the steps";
    let set = set("3 hp 220 V");
    let one = [Cage { r_ohm: set.n("r2"), x_ohm: set.n("x2") }];
    let two = [Cage { r_ohm: 2.4, x_ohm: 0.3 }, Cage { r_ohm: 0.4, x_ohm: 1.8 }];
    let of_one = energies::<1, 5>(&three_phase(&set, 1.0), &Plain::new(&set, &one), 0.4);
    let double = three_phase_with(&set, two[0], 1.0).with_second_cage(two[1]);
    let of_two = energies::<2, 7>(&double, &Plain::new(&set, &two), 0.4);
    for (case, e) in [("3 hp, a start of 0.4 s", of_one), ("two cages (invented), a start of 0.4 s", of_two)]
    {
        out.case(case);
        let gone = e.copper + e.shaft + e.stored;
        out.add(
            "copper loss, shaft and field over energy taken in",
            1.0,
            gone / e.input,
            Allowed::Part(1e-4),
        );
    }
}

/// A standing rotor is a pair of coupled R-L circuits: two exponentials and the steady current.
fn standing(out: &mut Sheet) {
    out.source = "closed form: two coupled R-L circuits, eigenvalues of a matrix of two rows".to_owned();
    out.why = "instants, at a tolerance of 1e-6 per step, against the steady peak";
    for name in ["3 hp 220 V", "500 hp 2300 V"] {
        let set = set(name);
        // what does not turn: inertia without end
        let setup =
            Setup::unloaded(Box::new(three_phase(&set, 1e9)), set.n("volts") / 3f64.sqrt(), set.n("hz"));
        let omega = TAU * set.n("hz");
        let [r1, r2] = ["r1", "r2"].map(|k| set.n(k));
        let [l1, l2, m] =
            [set.n("x1") + set.n("xm"), set.n("x2") + set.n("xm"), set.n("xm")].map(|x| x / omega);
        let d = l1 * l2 - m * m;
        // di/dt = -L^-1 R i + L^-1 v
        let (trace, det) = (-(l2 * r1 + l1 * r2) / d, r1 * r2 / d);
        let root = (trace * trace / 4.0 - det).sqrt();
        let lambda = [trace / 2.0 + root, trace / 2.0 - root];
        let v = SQRT_2 * setup.volts;
        let turning = Complex64::new(0.0, omega);
        let z2 = r2 + turning * l2;
        let steady = v / (r1 + turning * l1 - (turning * m).powi(2) / z2);
        // c0 + c1 = -steady, and the first slope
        let slope = Complex64::from(v * l2 / d) - turning * steady;
        let c1 = (slope + lambda[0] * steady) / (lambda[1] - lambda[0]);
        let c0 = -steady - c1;
        let (_, samples, _) = setup.run(0.0, 0.11);
        let peak = steady.norm();
        out.case(format!("{name}, rotor held")).together(format!("{name}, rotor held"));
        for k in [10, 50, 100, 333, 400, 1000] {
            let Some(moment) = samples.get(k) else { continue };
            let t = moment.t_s;
            let i =
                steady * Complex64::cis(omega * t) + c0 * (lambda[0] * t).exp() + c1 * (lambda[1] * t).exp();
            let what = format!("current of line a at {:.4} s, of the steady peak", t);
            let kind = "current of line a at six instants, of the steady peak";
            out.add_as(&what, kind, i.re / peak, moment.line_a[0] / peak, Allowed::Size(1e-4));
        }
    }
}

/// The last cycle of a settled start against the phasor circuit at the speed it has.
fn settled(out: &mut Sheet) {
    out.source =
        "the phasor circuit of the same machine at the same speed (checked by the published sets below)"
            .to_owned();
    out.why =
        "the waveform's own cycle sums, 3e-5; speed ripples at twice the frequency where there is one phase";
    let fan = |nm: f64| json!(["quad", nm]);
    for (machine, load, until) in
        [("krause_3hp", fan(11.9), 2.0), ("cap_start", fan(1.0), 3.0), ("psc", fan(0.8), 4.0)]
    {
        let setup = Setup::new(machine, &load, 1.0, Complex64::ZERO);
        out.case(format!("{}, settled with a fan of {} N m", scheme_name(machine), load[1]))
            .together("3 and 1/4 hp, settled with a fan");
        last_cycle(out, &setup, until, Stage::RUN);
    }
    for (machine, until) in [("krause_3hp", 1.0), ("cap_start", 1.0), ("psc", 1.0)] {
        let mut setup = Setup::new(machine, &fan(0.0), 1.0, Complex64::ZERO);
        if machine == "krause_3hp" {
            setup.machine = Box::new(three_phase(&set("3 hp 220 V"), 1e9));
        } else {
            setup.machine = Box::new(quarter_hp_of(1e9, machine));
        }
        out.case(format!("{}, rotor held", scheme_name(machine))).together("3 and 1/4 hp, rotor held");
        last_cycle(out, &setup, until, Stage::START);
    }
}

fn last_cycle(out: &mut Sheet, setup: &Setup, until: f64, stage: Stage) {
    let (_, _, cycles) = setup.run(0.0, until);
    let last = cycles.cycle(cycles.count().saturating_sub(1)).unwrap_or_default();
    let point = setup.machine.at(last.speed, stage);
    let amps = Cycle::over_phases(last.line_a, setup.machine.phases());
    out.add("rms of the lines, A", point.y.norm() * setup.volts, amps, Allowed::Part(5e-4));
    let nm = point.torque_per_v2 * setup.volts * setup.volts;
    out.add("mean torque, N m", nm, last.torque_nm, Allowed::Part(5e-4));
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let mut out = Sheet::new(Evidence::Analytic, "", "");
    balance(&mut out);
    standing(&mut out);
    settled(&mut out);
    out.rows
}
