//! Laws that must hold whatever the figures: conservation, monotonicity, scaling, determinism. Each is tried on random sites:
//! those of tests/data/compare with motor and load figures varied by up to a quarter. Seeds are fixed, so that a run is the
//! same every time; PROPTEST_RNG_SEED and PROPTEST_CASES widen the search.

mod dips;
mod energy;
mod labels;
mod leakage;
mod margins;
mod numerics;
mod phase_control;
mod protectors;
mod ranges;
mod starter_kinds;
mod starters;
mod supplies;
mod warmth;
mod wiring;

use num_complex::Complex64;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use startmargin::case::Case;
use startmargin::checks::{ALL, Check};
use startmargin::figure::Figures;
use startmargin::motor::given::MotorFigures;
use startmargin::motor::{Machine, SpeedTorque};
use startmargin::site;
use startmargin::start::{Branch, Options, Running, Trace, envelope};
use startmargin::starter::Starter;
use startmargin::supply::Thevenin;

/// Settings for `cases` tries, the same ones every time.
fn tries(cases: u32) -> ProptestConfig {
    let wanted = |name: &str| std::env::var(name).ok()?.parse::<u64>().ok();
    ProptestConfig {
        cases: wanted("PROPTEST_CASES").map_or(cases, |n| n as u32),
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(wanted("PROPTEST_RNG_SEED").unwrap_or(20_001)),
        ..ProptestConfig::default()
    }
}

/// Sites that start straight on the line, without starter.
const DIRECT: [&str; 15] = [
    "anchor",
    "start-capacitor",
    "start-capacitor-unequal",
    "source-and-conductor",
    "running-impedance",
    "iec-b-25",
    "iec-d-16",
    "iec-c-40",
    "ul489-20",
    "maker-points",
    "three-phase-3hp",
    "three-phase-400v-fan",
    "single-phase-230v",
    "capacitor-start",
    "split-phase",
];

/// Sites with starters, running loads of unknown behaviour, starts that fail.
const OTHERS: [&str; 12] = [
    "running-both",
    "running-power",
    "limiter-reduction",
    "limiter-source",
    "ramp",
    "ramp-capacitor",
    "three-phase-3hp-limiter",
    "three-phase-400v-ramp",
    "stalls",
    "hangs",
    "too-slow",
    "iec-c-10-trips",
];

/// The text of a site of the comparison.
fn text(name: &str) -> String {
    let path = format!("{}/tests/data/compare/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"))
}

fn case(name: &str) -> Case {
    let site = site::read(name, &text(name)).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
    let mut case = site.case(0, 0, site.loads[0].figures.pressure.unwrap());
    case.settle_pressure();
    case
}

/// Multiplies the motor's and the load torque's figures, in the order of the walk. What a switch is set to stays.
fn varied(mut case: Case, factors: &[f64]) -> Case {
    let mut factors = factors.iter().cycle();
    case.visit(&mut |key, figure| {
        let ours = key.starts_with("load.motor.") || key.starts_with("load.load_torque");
        if ours && !key.ends_with("cut_out_speed") && !key.ends_with("rated_rpm") {
            figure.set(figure.numbers().0 * factors.next().unwrap());
        }
    });
    case
}

fn varied_case(names: &'static [&'static str]) -> impl Strategy<Value = (&'static str, Case)> {
    (proptest::sample::select(names), proptest::collection::vec(0.8..1.25f64, 20))
        .prop_map(|(name, factors)| (name, varied(case(name), &factors)))
}

/// A random site that starts straight on the line.
fn direct() -> impl Strategy<Value = (&'static str, Case)> {
    varied_case(&DIRECT)
}

/// A random site of any kind.
fn any_site() -> impl Strategy<Value = (&'static str, Case)> {
    prop_oneof![varied_case(&DIRECT), varied_case(&OTHERS)]
}

/// Sets a figure of a case.
fn set(case: &mut Case, key: &str, value: f64) {
    let mut found = 0;
    case.visit(&mut |k, figure| {
        if k == key {
            figure.set(value);
            found += 1;
        }
    });
    assert_eq!(found, 1, "{key}");
}

/// A figure of a case.
fn get(case: &Case, key: &str) -> Option<f64> {
    let mut value = None;
    case.clone().visit(&mut |k, figure| {
        if k == key {
            value = Some(figure.numbers().0);
        }
    });
    value
}

/// The check of a name.
fn check(id: &str) -> &'static dyn Check {
    *ALL.iter().find(|c| c.id() == id).unwrap()
}

/// A motor with its load on a bus of its own making, apart from `case::Path`.
struct Plant {
    machine: Box<dyn Machine>,
    load: SpeedTorque,
    /// Volts per phase.
    volts: f64,
    z: Complex64,
    conductor: Complex64,
    longest_start_s: f64,
}

impl Plant {
    fn new(case: &Case) -> Plant {
        let hertz = case.supply.frequency_hz.value;
        let open_v = case.supply.voltage_v.get();
        let machine: Box<dyn Machine> = match case.load.motor.as_ref().unwrap() {
            MotorFigures::TwoWinding(m) => Box::new(m.machine(hertz)),
            MotorFigures::Plate(_) => unreachable!("these sites give their motor outright"),
            MotorFigures::ThreePhase(m) => Box::new(m.machine(hertz, open_v / 3f64.sqrt())),
        };
        let volts = case.supply.voltage_v.get() / if machine.phases() == 3 { 3f64.sqrt() } else { 1.0 };
        let ohm = |key: &str| get(case, key).unwrap_or(0.0);
        Plant {
            machine,
            load: case.torque().unwrap().load((0.0, startmargin::quantity::Rpm(0.0))),
            volts,
            z: Complex64::new(ohm("supply.output_ohm"), ohm("supply.output_reactance_ohm")),
            conductor: Complex64::new(
                ohm("circuit.conductor.resistance_ohm"),
                ohm("circuit.conductor.reactance_ohm"),
            ),
            longest_start_s: case.load.longest_start_s.get(),
        }
    }

    /// The same on a supply without impedance, behind a conductor without any.
    fn stiff(case: &Case) -> Plant {
        Plant { z: Complex64::ZERO, conductor: Complex64::ZERO, ..Plant::new(case) }
    }

    /// `N` such motors on the one bus, all at once.
    fn together<const N: usize>(&self, starter: &dyn Starter, tolerance: f64) -> [Trace; N] {
        let branch = Branch {
            conductor: self.conductor,
            ..Branch::plain(&*self.machine, &self.load, starter, self.longest_start_s)
        };
        let source = Thevenin { v: self.volts, z: self.z, fold_a: None };
        let mut traces: [Trace; N] = std::array::from_fn(|_| Trace::default());
        assert!(envelope(
            &source,
            Running::default(),
            &[branch; N],
            Options { tolerance, ..Options::default() },
            &mut traces
        ));
        traces
    }

    fn run(&self, starter: &dyn Starter) -> Trace {
        let [trace] = self.together(starter, Options::default().tolerance);
        trace
    }
}

/// Start duration, infinite for a start that fails.
fn duration(trace: &Trace) -> f64 {
    trace.start_duration_s.unwrap_or(f64::INFINITY)
}
