//! Three-phase sets (tests/data/three_phase.csv) and textbook examples worked on them.

use num_complex::Complex64;
use startmargin::motor::{Cage, LoadTorque, Machine, Stage, ThreePhase};
use startmargin::start::{Branch, Options, Running, Trace, envelope};
use startmargin::starter::Direct;
use startmargin::supply::Thevenin;

use super::csv::{Row, rows};
use super::near;
use crate::tolerances::{PHASOR, QUASI_STATIC};

fn machine(row: &Row) -> ThreePhase {
    let n = |column| row.number(column).unwrap();
    let cage = Cage { r_ohm: n("r2"), x_ohm: n("x2") };
    ThreePhase::new(4, n("hz"), [n("r1"), n("x1"), n("xm")], cage, row.number("inertia_kgm2").unwrap_or(1.0))
}

pub fn set(name: &str) -> (ThreePhase, f64) {
    let row = rows("three_phase.csv").into_iter().find(|r| r.text("name") == name).unwrap();
    (machine(&row), row.number("volts").unwrap() / 3f64.sqrt())
}

/// Torque at a slip \[N m\].
pub fn torque(m: &ThreePhase, v: f64, slip: f64) -> f64 {
    m.at((1.0 - slip) * m.sync_speed(), Stage::RUN).torque_per_v2 * v * v
}

/// The slip of the largest torque, by golden section between standstill and synchronous speed, to the accuracy of the torque.
pub fn breakdown_slip(m: &ThreePhase, v: f64) -> f64 {
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    let (mut a, mut b) = (1e-4, 1.0);
    while b - a > 1e-9 {
        let (p, q) = (b - golden * (b - a), a + golden * (b - a));
        if torque(m, v, p) > torque(m, v, q) {
            b = q;
        } else {
            a = p;
        }
    }
    0.5 * (a + b)
}

#[test]
fn compare_locked_rotor_and_breakdown_of_the_three_phase_sets() {
    let rows = rows("three_phase.csv");
    assert_eq!(rows.len(), 10);
    for row in &rows {
        let (m, v) = (machine(row), row.number("volts").unwrap() / 3f64.sqrt());
        let stalled = m.at(0.0, Stage::RUN);
        let slip = breakdown_slip(&m, v);
        for (column, ours) in [
            ("locked_rotor_a", stalled.y.norm() * v),
            ("locked_rotor_pf", stalled.y.re / stalled.y.norm()),
            ("locked_rotor_nm", torque(&m, v, 1.0)),
            ("breakdown_nm", torque(&m, v, slip)),
            ("breakdown_slip", slip),
        ] {
            let what = format!("{} {column}", row.text("name"));
            near(&what, ours, row.number(column).unwrap(), PHASOR, row.half_digit(column));
        }
    }
}

/// Nothing to turn but itself.
struct NoLoad;

impl LoadTorque for NoLoad {
    fn at(&self, _speed: f64, _t: f64) -> f64 {
        0.0
    }
    fn settled(&self, _speed: f64) -> f64 {
        0.0
    }
    fn breakaway(&self) -> f64 {
        0.0
    }
    fn build_up_s(&self) -> f64 {
        0.0
    }
}

/// Time from standstill to 95 % of settled speed and the settled speed, nothing on the shaft.
pub fn no_load_start(m: &ThreePhase, v: f64) -> (f64, f64) {
    let branch = Branch::plain(m, &NoLoad, &Direct, 10.0);
    let source = Thevenin { v, z: Complex64::ZERO, fold_a: None };
    let mut trace = [Trace::default()];
    assert!(envelope(&source, Running::default(), &[branch], Options::default(), &mut trace));
    (trace[0].start_duration_s.unwrap(), trace[0].settled.unwrap().speed)
}

/// No-load run-up of the bare machines, quasi-static. Without load the settled speed is the synchronous one, so that our start
/// duration is their time to 0.95 of it.
#[test]
fn compare_no_load_times_of_the_three_phase_sets() {
    let mut times = 0;
    for row in rows("three_phase.csv") {
        let Some(seconds) = row.number("no_load_s") else { continue };
        let (m, v) = (machine(&row), row.number("volts").unwrap() / 3f64.sqrt());
        let (ours, settled) = no_load_start(&m, v);
        near(row.text("name"), ours, seconds, QUASI_STATIC, row.half_digit("no_load_s"));
        near(row.text("name"), settled, m.sync_speed(), 1e-9, 0.0);
        times += 1;
    }
    assert_eq!(times, 9);
}

/// At the listed speeds the circuits give these currents and torques, not the listed base values (the tables of tests/data/three_phase.csv, below
/// the table; computed by the reference solutions).
#[test]
fn compare_the_sets_at_their_listed_speed() {
    for (name, rpm, amps, nm) in [
        ("3 hp 220 V", 1710.0, 8.84, 14.03),
        ("50 hp 460 V", 1705.0, 62.8, 234.6),
        ("500 hp 2300 V", 1773.0, 105.2, 1999.0),
        ("2250 hp 2300 V", 1786.0, 469.6, 9174.0),
    ] {
        let (m, v) = set(name);
        let slip = 1.0 - rpm / 1800.0;
        near(name, m.at(rpm / 1800.0 * m.sync_speed(), Stage::RUN).y.norm() * v, amps, PHASOR, 0.05);
        near(name, torque(&m, v, slip), nm, PHASOR, 0.5);
    }
}
