//! Compressors at the waveform level: torque over a revolution shakes the speed, by kind, and leaves the envelope as it is.

use num_complex::Complex64;
use startmargin::motor::{Cage, CompressorKind, Machine, Pulsation, SpeedTorque, ThreePhase};
use startmargin::start::waveform::{Closing, MOST_STEPS, Sampler, TOLERANCE, waveform};
use startmargin::start::{Branch, Options, Running, Trace, envelope};
use startmargin::starter::Direct;
use startmargin::supply::Thevenin;

fn load(kind: Option<CompressorKind>) -> SpeedTorque {
    SpeedTorque {
        rated_nm: 11.9,
        rated_speed: 179.0,
        shares: [0.1, 0.9, 0.0],
        breakaway: 0.1,
        build_up_s: 0.0,
        pulsation: kind.map(|kind| Pulsation { kind, friction: 0.1 }),
    }
}

/// Speed over the last quarter of a second of 4 s: least, mean and largest, of synchronous speed.
fn speeds(kind: Option<CompressorKind>, inertia: f64) -> [f64; 3] {
    let cage = Cage { r_ohm: 0.816, x_ohm: 0.754 };
    let motor = ThreePhase::new(4, 60.0, [0.435, 0.754, 26.13], cage, inertia);
    let load = load(kind);
    let source = Thevenin { v: 127.0, z: Complex64::ZERO, fold_a: None };
    let branch = Branch::plain(&motor, &load, &Direct, 4.0);
    let closing = Closing {
        supply: &source,
        running: Running::default(),
        branch: &branch,
        frequency_hz: 60.0,
        angle: 0.0,
        settled_speed: None,
        until_s: 4.0,
        tolerance: TOLERANCE,
        most_steps: MOST_STEPS,
    };
    let mut sampler = Sampler::new(1.0 / 6000.0);
    waveform(&closing, &mut sampler).unwrap();
    let last: Vec<f64> =
        sampler.samples.iter().filter(|m| m.t_s > 3.75).map(|m| m.speed / motor.sync_speed()).collect();
    let of = |pick: fn(f64, f64) -> f64, from: f64| last.iter().copied().fold(from, pick);
    [of(f64::min, 2.0), last.iter().sum::<f64>() / last.len() as f64, of(f64::max, 0.0)]
}

#[test]
fn pistons_shake_more_than_rollers_and_those_more_than_scrolls() {
    let kinds = [
        None,
        Some(CompressorKind::Scroll),
        Some(CompressorKind::Rotary),
        Some(CompressorKind::Reciprocating),
    ];
    let all = kinds.map(|kind| speeds(kind, 0.02));
    let swing = all.map(|[least, _, most]| most - least);
    assert!(swing[0] < 1e-4, "{swing:?}");
    for pair in swing.windows(2) {
        assert!(pair[1] > 1.5 * pair[0], "{swing:?}");
    }
    // the mean torque, and with it the mean speed, is the same for all
    for [_, mean, _] in all {
        assert!((mean - all[0][1]).abs() < 2e-3, "{all:?}");
    }
}

/// By hand: a torque that swings by A cos(angle) at speed w swings the speed of a heavy rotor by 2 A / (J w); the motor's own
/// torque, which swings with the speed, is small beside that.
#[test]
fn analytic_the_swing_is_of_the_size_of_torque_over_inertia() {
    let [least, mean, most] = speeds(Some(CompressorKind::Rotary), 0.4);
    let sync = 188.5;
    let shape = CompressorKind::Rotary.shape();
    let (mut cos, mut sin) = (0.0, 0.0);
    for i in 0..720 {
        let angle = f64::from(i).to_radians() / 2.0;
        cos += shape.at(angle) * angle.cos() / 360.0;
        sin += shape.at(angle) * angle.sin() / 360.0;
    }
    let first = cos.hypot(sin) * 0.9 * 11.9 * mean * sync / 179.0;
    let free = 2.0 * first / (0.4 * mean * sync) / sync;
    assert!(((most - least) / free - 1.0).abs() < 0.1, "{} against {free}", most - least);
}

#[test]
fn the_envelope_does_not_feel_the_crank() {
    let motor = ThreePhase::new(4, 60.0, [0.435, 0.754, 26.13], Cage { r_ohm: 0.816, x_ohm: 0.754 }, 0.02);
    let source = Thevenin { v: 127.0, z: Complex64::ZERO, fold_a: None };
    let run = |kind| {
        let load = load(kind);
        let branch = Branch::plain(&motor, &load, &Direct, 1.5);
        let mut traces = [Trace::default()];
        envelope(&source, Running::default(), &[branch], Options::default(), &mut traces);
        traces[0].rows.clone()
    };
    assert_eq!(run(None), run(Some(CompressorKind::Reciprocating)));
}
