//! Single-phase sets: S1 (1/4 hp, 110 V, 60 Hz, 4 poles: Fitzgerald et al., Electric Machinery, Ex 9.2 for main winding and
//! rotor; auxiliary and capacitors after Krause et al. and Ong, from memory) and S2 (Theraja, Ex 36.1).

use startmargin::motor::{Auxiliary, Capacitor, Machine, Stage, TwoWinding};

use super::near;
use crate::tolerances::PHASOR_SINGLE;

pub const VOLTS: f64 = 110.0;

/// A capacitor of this reactance \[ohm\] at 60 Hz with a series resistance \[ohm\].
fn capacitor(ohm: f64, reactance: f64) -> Capacitor {
    Capacitor { farad: 1.0 / (std::f64::consts::TAU * 60.0 * reactance), ohm }
}

/// S1 with the start capacitor of 3 - j14.5 ohm.
pub fn start_capacitor() -> Capacitor {
    capacitor(3.0, 14.5)
}

/// S1 with the run capacitor of 9 - j172 ohm.
pub fn run_capacitor() -> Capacitor {
    capacitor(9.0, 172.0)
}

/// S1, its auxiliary winding open.
pub fn s1() -> TwoWinding {
    TwoWinding::new(4, 60.0, [2.02, 2.79, 66.8, 4.12, 2.12], 0.0146).with_auxiliary(Auxiliary {
        r_ohm: 7.14,
        x_ohm: 3.22,
        turns_ratio: 1.18,
    })
}

/// Line current \[A\], its angle \[degrees\] and torque \[N m\] at a slip.
pub fn at(m: &TwoWinding, slip: f64, stage: Stage) -> [f64; 3] {
    let p = m.at((1.0 - slip) * m.sync_speed(), stage);
    [p.y.norm() * VOLTS, p.y.arg().to_degrees(), p.torque_per_v2 * VOLTS * VOLTS]
}

/// Targets (reference solutions: two-axis circuit in phasors, 4 equations, made apart from the
/// project).
#[test]
fn compare_phasor_targets_of_the_quarter_hp_machine() {
    let assisted = s1().with_start_switch(Some(start_capacitor()), 0.75);
    let run = s1().with_run_capacitor(run_capacitor());
    // name, machine, slip, stage, amperes, newton metres
    for (what, m, slip, stage, amps, nm) in [
        ("stalled, start capacitor", &assisted, 1.0, Stage::START, 17.4878, 3.99802),
        ("start capacitor, s = 0.5", &assisted, 0.5, Stage::START, 16.91135, 4.81412),
        ("start capacitor, s = 0.25", &assisted, 0.25, Stage::START, 15.83603, 4.05576),
        ("stalled, run capacitor", &run, 1.0, Stage::START, 13.8145, 0.37611),
        ("run capacitor, s = 0.05", &run, 0.05, Stage::RUN, 2.87958, 1.22753),
        ("start switch open, s = 0.05", &assisted, 0.05, Stage::RUN, 3.60486, 1.02997),
        ("start switch open, s = 0.25", &assisted, 0.25, Stage::RUN, 8.88901, 2.60635),
        ("start switch open, s = 0.5", &assisted, 0.5, Stage::RUN, 12.34485, 2.04367),
        ("auxiliary open, s = 0.05", &s1(), 0.05, Stage::START, 3.60486, 1.02997),
    ] {
        let [i, _, t] = at(m, slip, stage);
        near(&format!("{what}, A"), i, amps, PHASOR_SINGLE, 0.0);
        near(&format!("{what}, N m"), t, nm, PHASOR_SINGLE, 0.0);
    }
    let [_, angle, _] = at(&assisted, 1.0, Stage::START);
    near("angle", angle, -21.29, PHASOR_SINGLE, 0.005);
}

/// The main winding alone carries 14.1663 A at standstill, with either capacitor: with nothing in the
/// auxiliary that is the line current.
#[test]
fn compare_the_stalled_main_winding() {
    let [i, _, t] = at(&s1(), 1.0, Stage::START);
    near("main, A", i, 14.1663, PHASOR_SINGLE, 0.0);
    // analytic: the two fields cancel at standstill
    assert!(t.abs() < 1e-12, "{t} N m");
}

/// At standstill the windings do not feel each other: what the line carries beside the main winding is the auxiliary's, 6.2869 A
/// with the start capacitor and 0.65873 A with the run capacitor.
#[test]
fn compare_the_stalled_auxiliary_winding() {
    let main = s1().at(0.0, Stage::START).y;
    for (m, amps) in [
        (s1().with_start_switch(Some(start_capacitor()), 0.75), 6.2869),
        (s1().with_run_capacitor(run_capacitor()), 0.65873),
    ] {
        let auxiliary = (m.at(0.0, Stage::START).y - main).norm() * VOLTS;
        near("auxiliary, A", auxiliary, amps, PHASOR_SINGLE, 0.0);
    }
}

/// Theraja, Ex 36.1: 1.86, 2.56, 53.5, 3.56, 2.56 ohm at 5 % slip. The data are seen, the figures exact by the reference
/// solutions: 4.2813 A, power factor 0.5876, input 276.7 W, 1.1258 N m, 201.6 W mechanical.
#[test]
fn compare_a_second_main_winding() {
    let m = TwoWinding::new(4, 60.0, [1.86, 2.56, 53.5, 3.56, 2.56], 0.01);
    let [i, angle, t] = at(&m, 0.05, Stage::RUN);
    let pf = angle.to_radians().cos();
    near("A", i, 4.2813, PHASOR_SINGLE, 0.0);
    near("pf", pf, 0.5876, PHASOR_SINGLE, 5e-5);
    near("W in", VOLTS * i * pf, 276.7, PHASOR_SINGLE, 0.05);
    near("N m", t, 1.1258, PHASOR_SINGLE, 0.0);
    near("W out", t * 0.95 * m.sync_speed(), 201.6, PHASOR_SINGLE, 0.05);
}
