//! Autotransformer, star-delta, kick, relay by voltage, drive: against algebra, textbook examples and laws.

use num_complex::Complex64;
use proptest::prelude::*;
use startmargin::case::Path;
use startmargin::motor::{Auxiliary, Cage, Capacitor, Machine, SpeedTorque, Stage, ThreePhase, TwoWinding};
use startmargin::start::{Branch, EventKind, Options, Running, Trace, envelope};
use startmargin::starter::{
    Autotransformer, ChangeOver, CutOut, Direct, Drive, Kick, Limiter, Ramp, StarDelta, Starter,
};
use startmargin::supply::Thevenin;

use super::{Plant, any_site, direct, duration, tries};
use crate::tolerances::SAME_PHYSICS;

/// A three-phase motor without stator impedance and magnetising current, as the textbook has it: `ratio` times the full-load
/// current at standstill, slip `slip` at full load.
fn textbook(ratio: f64, slip: f64) -> ThreePhase {
    // (r/s)^2 + x^2 = ratio^2 (r^2 + x^2) with r = 1
    let x2 = (1.0 / (slip * slip) - ratio * ratio) / (ratio * ratio - 1.0);
    ThreePhase::new(4, 50.0, [1e-9, 1e-9, 1e9], Cage { r_ohm: 1.0, x_ohm: x2.sqrt() }, 0.05)
}

fn started(
    machine: &dyn Machine,
    load: &SpeedTorque,
    starter: &dyn Starter,
    assist: Option<CutOut>,
) -> Trace {
    let source = Thevenin { v: 230.0, z: Complex64::ZERO, fold_a: None };
    let branch = Branch { assist_cut_out: assist, ..Branch::plain(machine, load, starter, 20.0) };
    let mut trace = Trace::default();
    assert!(envelope(
        &source,
        Running::default(),
        &[branch],
        Options::default(),
        std::slice::from_mut(&mut trace)
    ));
    trace
}

fn fan(nm: f64, speed: f64) -> SpeedTorque {
    SpeedTorque {
        rated_nm: nm,
        rated_speed: speed,
        shares: [0.0, 0.0, 1.0],
        breakaway: 0.0,
        build_up_s: 0.0,
        pulsation: None,
    }
}

const LATE: ChangeOver = ChangeOver { at_s: 1.5, at_speed: None };

/// A book's example: tap 0.8165 gives half of full-load torque at standstill, with 5 times full-load current and slip 0.03; and
/// 1.5 times full-load torque on the line asks for 7.07 times; a quarter in star with 3.6 times for a slip of 0.0579.
#[test]
fn worked_an_autotransformer_tap_by_simulation() {
    let tap = (0.5f64 / 0.03).sqrt() / 5.0;
    assert!((tap - 0.8165).abs() < 1e-4);
    let auto = Autotransformer { tap, change_over: LATE };
    let star = StarDelta { change_over: LATE };
    for (ratio, slip, starter, torque) in
        [(5.0, 0.03, &auto as &dyn Starter, 0.5), (7.0711, 0.03, &Direct, 1.5), (3.6, 0.0579, &star, 0.25)]
    {
        let machine = textbook(ratio, slip);
        let full = machine.at((1.0 - slip) * machine.sync_speed(), Stage::RUN);
        let trace = started(&machine, &fan(1.0, 150.0), starter, None);
        let first = trace.rows[0];
        let share = first.torque_nm / (full.torque_per_v2 * 230.0f64.powi(2));
        assert!((share / torque - 1.0).abs() < 2e-3, "{share} of full-load torque, expected {torque}");
    }
}

/// Analytic: in star a third of current and torque at the same speed, then the direct start's; and its row at the change-over.
#[test]
fn analytic_star_delta_is_a_third_until_it_changes_over() {
    let machine = textbook(5.0, 0.03);
    let load = fan(20.0, 150.0);
    let trace = started(&machine, &load, &StarDelta { change_over: LATE }, None);
    let over = trace.event_s(EventKind::ChangesOver).unwrap();
    assert!((over - 1.5).abs() < 1e-9, "{over}");
    let mut seen = [0, 0];
    for row in &trace.rows {
        let at = machine.at(row.speed, Stage::START);
        let (direct_a, direct_nm) = (at.y.norm() * 230.0, at.torque_per_v2 * 230.0f64.powi(2));
        let share = if row.t_s < 1.5 - 1e-9 { 1.0 / 3.0 } else { 1.0 };
        if (row.t_s - 1.5).abs() < 1e-9 {
            continue; // both sides of the change have a row there
        }
        seen[usize::from(share == 1.0)] += 1;
        assert!((row.line_a / direct_a / share - 1.0).abs() < 1e-9, "{} s", row.t_s);
        assert!((row.torque_nm / direct_nm / share - 1.0).abs() < 1e-9, "{} s", row.t_s);
    }
    assert!(seen[0] > 3 && seen[1] > 1, "{seen:?}");
}

/// Analytic: by speed it changes over just there; by both, whichever comes first.
#[test]
fn analytic_a_change_over_by_speed_comes_at_that_speed() {
    let machine = textbook(5.0, 0.03);
    let load = fan(20.0, 150.0);
    let at = |at_s: f64, at_speed: f64| {
        let change_over = ChangeOver { at_s, at_speed: Some(at_speed) };
        let trace = started(&machine, &load, &Autotransformer { tap: 0.65, change_over }, None);
        let t = trace.event_s(EventKind::ChangesOver).unwrap();
        (t, trace.at(t).unwrap().speed / trace.sync_speed)
    };
    let (_, speed) = at(f64::INFINITY, 0.8);
    assert!((speed - 0.8).abs() < 1e-6, "{speed}");
    let (t, speed) = at(0.05, 0.8);
    assert!((t - 0.05).abs() < 1e-9 && speed < 0.8, "{t} s, {speed}");
}

/// Analytic: what is left of the terminal voltage by the capacitors, worked out from both windings' currents apart.
#[test]
fn analytic_the_relay_sees_the_voltage_across_the_auxiliary() {
    let (r1, x1, xm, r2, x2) = (2.02, 2.79, 66.8, 4.12, 2.12);
    let (r1a, x1a, a) = (7.14, 3.22, 1.18);
    let farad = 182.937e-6;
    let motor = TwoWinding::new(4, 60.0, [r1, x1, xm, r2, x2], 0.0146)
        .with_auxiliary(Auxiliary { r_ohm: r1a, x_ohm: x1a, turns_ratio: a })
        .with_run_capacitor(Capacitor { farad, ohm: 3.0 });
    let j = Complex64::I;
    let mut before = 0.0;
    for x in [0.0, 0.3, 0.6, 0.8, 0.95] {
        let s = 1.0 - x;
        let z = |s: f64| 0.5 * (j * xm * (r2 / s + j * x2)) / (r2 / s + j * (x2 + xm));
        let (zf, zb) = (z(s), z(2.0 - s));
        let zc = Complex64::new(3.0, -1.0 / (std::f64::consts::TAU * 60.0 * farad));
        // two equations by Cramer's rule, then the voltage that the winding itself takes
        let (m11, m12) = (r1 + j * x1 + zf + zb, -j * a * (zf - zb));
        let (m21, m22) = (j * a * (zf - zb), zc + r1a + j * x1a + a * a * (zf + zb));
        let det = m11 * m22 - m12 * m21;
        let (im, ia) = ((m22 - m12) / det, (m11 - m21) / det);
        let across = j * a * (zf - zb) * im + (r1a + j * x1a + a * a * (zf + zb)) * ia;
        let ours = motor.auxiliary_per_v(x * motor.sync_speed(), Stage::RUN);
        assert!((ours / across.norm() - 1.0).abs() < 1e-9, "{x}: {ours} against {}", across.norm());
        assert!(ours > before, "it rises with the speed: {ours} after {before}");
        before = ours;
    }
}

/// Analytic: the capacitor leaves just where the relay's voltage is; one set too high never lets go.
#[test]
fn analytic_a_relay_lets_go_at_its_voltage() {
    let motor = TwoWinding::new(4, 60.0, [2.02, 2.79, 66.8, 4.12, 2.12], 0.0146)
        .with_auxiliary(Auxiliary { r_ohm: 7.14, x_ohm: 3.22, turns_ratio: 1.18 })
        .with_run_capacitor(Capacitor { farad: 15e-6, ohm: 0.0 })
        .with_assist(Some(Capacitor { farad: 150e-6, ohm: 0.0 }));
    let ws = motor.sync_speed();
    let volts = 230.0 * motor.auxiliary_per_v(0.7 * ws, Stage::START);
    let load = fan(1.0, ws);
    let trace = started(&motor, &load, &Direct, Some(CutOut::Voltage(volts)));
    let at = trace.event_s(EventKind::AssistLeaves).unwrap();
    let speed = trace.at(at).unwrap().speed / ws;
    assert!((speed - 0.7).abs() < 1e-4, "{speed}");
    assert!(trace.starts());
    // by speed it is the same start
    let by_speed = started(&motor, &load, &Direct, Some(CutOut::Speed(0.7)));
    assert!((duration(&trace) / duration(&by_speed) - 1.0).abs() < 1e-4);
    let never = started(&motor, &load, &Direct, Some(CutOut::Voltage(5.0 * volts)));
    assert_eq!(never.event_s(EventKind::AssistLeaves), None);
    // and the settled state has the capacitor in
    let (end, settled) = (never.rows.last().unwrap().line_a, never.settled.unwrap().line_a);
    assert!((end / settled - 1.0).abs() < 1e-3, "{end} A at the end, {settled} A settled");
}

/// A drive never draws more than it declares, in every row a number, and reaches speed in its ramp; with less torque than the
/// load asks for it does not.
#[test]
fn analytic_a_drive_stays_within_its_current() {
    let mut path = Path::new(&super::case("three-phase-3hp")).unwrap();
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    let settled = trace.settled.unwrap().line_a;
    path.put(Drive { largest_a: 1.2 * settled, ramp_s: 1.0 });
    path.run(0, &mut trace);
    assert!(trace.starts(), "{:?}", trace.outcome);
    assert!(trace.rows.iter().all(|r| r.line_a.is_finite() && r.line_a <= 1.2 * settled * (1.0 + 1e-6)));
    let took = duration(&trace);
    // no sooner than its ramp, no later than with the fifth of the full-load torque that it has to spare all the way up
    let end = trace.settled.unwrap();
    let momentum = path.machine().inertia() * 0.95 * end.speed;
    let latest = momentum / (0.2 * end.load_nm);
    assert!((0.95 - 1e-9..latest).contains(&took), "{took} s, {latest} s");
    path.put(Drive { largest_a: 0.5 * settled, ramp_s: 1.0 });
    path.run(0, &mut trace);
    assert!(!trace.starts());
}

proptest! {
    #![proptest_config(tries(80))]

    /// No starter in series raises the largest current above that of the direct start with the same capacitors.
    #[test]
    fn prop_no_series_starter_raises_the_largest_current(
        (name, case) in direct(),
        [initial, kick, limit] in [0.1..1.0f64, 0.1..1.0f64, 0.2..1.2f64],
        ramp_s in 0.05..3.0f64,
    ) {
        let plant = Plant::new(&case);
        let most = plant.run(&Direct).largest_rms_a();
        let ramp = Ramp { initial, ramp_s };
        let starters: [(&str, &dyn Starter); 3] = [
            ("ramp", &ramp),
            ("kick", &Kick { fraction: kick, for_s: 0.1, then: ramp }),
            ("limiter", &Limiter { amps: limit * most }),
        ];
        for (what, starter) in starters {
            let largest = plant.run(starter).largest_rms_a();
            prop_assert!(largest <= most * (1.0 + SAME_PHYSICS), "{name} {what}: {largest} A, direct {most} A");
        }
    }

    /// A kick never makes a start longer than the ramp alone, nor shorter than the direct start.
    #[test]
    fn prop_a_kick_lies_between_ramp_and_direct(
        (name, case) in direct(),
        [initial, kick] in [0.1..1.0f64, 0.1..1.0f64],
        [ramp_s, for_s] in [0.05..3.0f64, 0.02..0.5f64],
    ) {
        let plant = Plant::new(&case);
        let ramp = Ramp { initial, ramp_s };
        let kicked = duration(&plant.run(&Kick { fraction: kick.max(initial), for_s, then: ramp }));
        // the ramp as it goes on after the kick, begun as late
        let waited = duration(&plant.run(&Kick { fraction: initial, for_s, then: ramp }));
        let direct = duration(&plant.run(&Direct));
        prop_assert!(kicked <= waited * (1.0 + SAME_PHYSICS), "{name}: {kicked} s with kick, {waited} s without");
        prop_assert!(kicked >= direct * (1.0 - SAME_PHYSICS), "{name}: {kicked} s, direct {direct} s");
    }

    /// Every starter of every kind leaves a trace of numbers in time order, on any site.
    #[test]
    fn prop_traces_are_numbers_in_time_order((name, case) in any_site(), tap in 0.3..0.95f64, at_s in 0.05..2.0f64) {
        let mut path = Path::new(&case).unwrap();
        let mut trace = Trace::default();
        path.put(Autotransformer { tap, change_over: ChangeOver { at_s, at_speed: Some(0.85) } });
        path.run(0, &mut trace);
        prop_assert!(!trace.cut_short, "{name}");
        for pair in trace.rows.windows(2) {
            prop_assert!(pair[0].t_s <= pair[1].t_s, "{name}: {} then {}", pair[0].t_s, pair[1].t_s);
            prop_assert!(pair.iter().all(|r| r.line_a.is_finite() && r.torque_nm.is_finite()), "{name}");
        }
    }
}
