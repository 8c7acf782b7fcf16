//! How far the envelope level is short of the waveform level for machines with two cages, fitted from the typical sheets.

use num_complex::Complex64;
use startmargin::motor::{Machine, SpeedTorque, ThreePhase};
use startmargin::start::waveform::{Closing, Cycle, Cycles, TOLERANCE, waveform};
use startmargin::start::{Branch, Options, Running, Trace, envelope};
use startmargin::starter::Direct;
use startmargin::supply::Thevenin;

/// How much later the waveform's current falls through half of what it is at standstill, in time constants of the slower cage.
pub fn delay(machine: &ThreePhase, volts: f64, hertz: f64) -> f64 {
    let load = SpeedTorque {
        rated_nm: 0.0,
        rated_speed: 1.0,
        shares: [0.0; 3],
        breakaway: 0.0,
        build_up_s: 0.0,
        pulsation: None,
    };
    let source = Thevenin { v: volts / 3f64.sqrt(), z: Complex64::ZERO, fold_a: None };
    let branch = Branch::plain(machine, &load, &Direct, 20.0);
    let mut traces = [Trace::default()];
    envelope(&source, Running::default(), &[branch], Options::default(), &mut traces);
    let trace = &traces[0];
    let half = 0.5 * trace.rows[0].line_a;
    let bare = trace.rows.windows(2).find(|w| w[1].line_a < half).unwrap();
    let t = bare[0].t_s
        + (bare[0].line_a - half) / (bare[0].line_a - bare[1].line_a) * (bare[1].t_s - bare[0].t_s);
    let closing = Closing {
        supply: &source,
        running: Running::default(),
        branch: &branch,
        frequency_hz: hertz,
        angle: 0.0,
        settled_speed: Some(machine.sync_speed()),
        until_s: 2.0 * t + 0.5,
        tolerance: TOLERANCE,
        most_steps: 1_000_000,
    };
    let mut cycles = Cycles::new(hertz, 3);
    waveform(&closing, &mut cycles).unwrap();
    let rms = |k: usize| Cycle::over_phases(cycles.cycle(k).unwrap().line_a, 3);
    // between the middles of cycles
    let k = (1..cycles.count()).find(|&k| rms(k) < half).unwrap();
    let w = (k as f64 - 0.5 + (rms(k - 1) - half) / (rms(k - 1) - rms(k))) / hertz;
    (w - t) / machine.rotor_time_constant(hertz)
}
