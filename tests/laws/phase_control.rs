//! Phase control: laws of the envelope's harmonics and of the thyristors at the waveform level.

use proptest::prelude::*;
use startmargin::case::{Case, Path};
use startmargin::start::Trace;
use startmargin::start::waveform::{Cycles, Moment, Sampler};
use startmargin::starter::{Direct, Limiter, PhaseControl, Ramp, phase_control};

use super::{Plant, direct, duration, tries};
use crate::tolerances::SAME_PHYSICS;

/// What a table of straight lines may be off by.
const TABLE: f64 = 2e-3;

proptest! {
    #![proptest_config(tries(80))]

    /// Nothing raises the largest current above that of the direct start, harmonics or not; a limit holds.
    #[test]
    fn prop_chopping_never_raises_the_largest_current(
        (name, case) in direct(),
        [initial, limit] in [0.1..1.0f64, 0.2..1.2f64],
        ramp_s in 0.05..3.0f64,
    ) {
        let plant = Plant::new(&case);
        let three_phase = plant.machine.phases() == 3;
        let most = plant.run(&Direct).largest_rms_a();
        let amps = limit * most;
        let held = plant.run(&PhaseControl { aim: Limiter { amps }, three_phase }).largest_rms_a();
        prop_assert!(held <= amps.min(most) * (1.0 + TABLE), "{name}: {held} A, limit {amps} A, direct {most} A");
        let ramp = plant.run(&PhaseControl { aim: Ramp { initial, ramp_s }, three_phase }).largest_rms_a();
        prop_assert!(ramp <= most * (1.0 + TABLE), "{name}: {ramp} A by a ramp, direct {most} A");
    }

    /// By phase control a start takes no less time than with a sine of the same rms current, and a tighter limit no less than a
    /// looser one.
    #[test]
    fn prop_harmonics_never_shorten_the_start((name, case) in direct(), shares in [0.3..1.0f64, 0.3..1.0f64]) {
        let plant = Plant::new(&case);
        let three_phase = plant.machine.phases() == 3;
        let stalled = plant.machine.at(0.0, startmargin::motor::Stage::START).y.norm() * plant.volts;
        let times = shares.map(|s| {
            let aim = Limiter { amps: s * stalled };
            let chopped = duration(&plant.run(&PhaseControl { aim, three_phase }));
            (s, duration(&plant.run(&aim)), chopped)
        });
        for (share, sine, chopped) in times {
            prop_assert!(chopped >= sine * (1.0 - SAME_PHYSICS), "{name} {share}: {chopped} s, sine {sine} s");
        }
        let (tight, loose) = if shares[0] < shares[1] { (times[0].2, times[1].2) } else { (times[1].2, times[0].2) };
        prop_assert!(tight >= loose * (1.0 - TABLE), "{name}: {tight} s tight, {loose} s loose");
    }

    /// The fundamental is a part of the rms, more of it with three phases, which have no third harmonic; and backwards.
    #[test]
    fn prop_the_fundamental_is_a_part(phi in 0.1..1.5f64, share in 0.15..1.0f64) {
        let [one, three] = [false, true].map(|three| phase_control::fundamental(phi, share, three));
        prop_assert!(one <= three + TABLE && three <= share && one > 0.4 * share, "{one} {three} of {share}");
        for three in [false, true] {
            let back = phase_control::rms(phi, phase_control::fundamental(phi, share, three), three);
            prop_assert!((back - share).abs() < TABLE, "{back} for {share}, three phases {three}");
        }
    }
}

/// A comparison's site with its starter by phase control.
fn chopped(name: &str) -> Case {
    let mut case = super::case(name);
    case.load.starter.phase_control = Some(true);
    case
}

fn waveform(case: &Case, angle_deg: f64) -> (Path, Vec<Moment>, Cycles) {
    let path = Path::new(case).unwrap();
    let mut watch = (
        Sampler::new(1.0 / (192.0 * path.frequency_hz)),
        Cycles::new(path.frequency_hz, path.machine().phases()),
    );
    path.watch(0, angle_deg.to_radians(), &mut Trace::default(), &mut watch).unwrap();
    (path, watch.0.samples, watch.1)
}

/// Thyristors hold the rms of every later cycle of the start at what is set, whatever the machine does; lines carry nothing for
/// a part of each cycle; of three the currents add up to none.
#[test]
fn thyristors_hold_the_set_current() {
    for (name, from, to, lines) in
        [("limiter-amps-capacitor", 6, 10, 1), ("three-phase-3hp-limiter", 10, 25, 3)]
    {
        let case = chopped(name);
        let (path, samples, cycles) = waveform(&case, 90.0);
        let set = case.load.starter.held_a(path.locked_rotor_at_supply_a()).unwrap();
        for k in from..to {
            let cycle = cycles.cycle(k).unwrap();
            for line in 0..lines {
                let rms = cycle.line_a[line];
                assert!(
                    (rms / set - 1.0).abs() < 0.03,
                    "{name}, cycle {k}, line {line}: {rms} A, set {set} A"
                );
            }
        }
        let start = &samples[from * 192..to * 192];
        let still = start.iter().filter(|m| m.line_a[0].abs() < 1e-6 * set).count();
        assert!(still > start.len() / 20, "{name}: without current for {still} of {} instants", start.len());
        let sum = start.iter().map(|m| m.line_a.iter().sum::<f64>().abs()).fold(0.0, f64::max);
        assert!(lines == 1 || sum < 1e-6 * set, "{name}: {sum} A in a neutral that is not there");
    }
}

/// Which moment the contactor closes at is nothing to thyristors, which wait for theirs: the same start but for half a cycle.
#[test]
fn thyristors_do_not_mind_the_closing_angle() {
    for name in ["limiter-amps-capacitor", "three-phase-3hp-limiter"] {
        let case = chopped(name);
        let end = |deg: f64| {
            let (path, samples, _) = waveform(&case, deg);
            let level = 0.75 * path.machine().sync_speed();
            samples.iter().find(|m| m.speed > level).map(|m| m.t_s).expect("it starts")
        };
        let times = [0.0, 50.0, 100.0, 150.0].map(end);
        let (low, high) = times.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), t| (a.min(*t), b.max(*t)));
        assert!(high - low < 0.04, "{name}: {times:?}");
    }
}

/// Where nothing is said of a soft starter both are run: what passes only as a sine hangs on that.
#[test]
fn what_passes_only_as_a_sine_is_uncertain() {
    use startmargin::advise::judge;
    use startmargin::checks::Status;
    let mut case = super::case("limiter-amps-capacitor");
    let path = Path::new(&case).unwrap();
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    let sine = trace.start_duration_s.unwrap();
    let mut by_thyristors = Path::new(&chopped("limiter-amps-capacitor")).unwrap();
    by_thyristors.quicken();
    by_thyristors.run(0, &mut trace);
    let wave = trace.start_duration_s.unwrap();
    assert!(wave > 1.1 * sine, "{wave} s, sine {sine} s");
    // time enough for the sine alone
    super::set(&mut case, "load.longest_start_s", 0.5 * (sine + wave));
    let finding = |case: &Case| judge(case).finding("acceleration").cloned().unwrap();
    let unsaid = finding(&case);
    assert_eq!((unsaid.at_value, unsaid.status), (Status::Pass, Status::Uncertain));
    assert!(
        unsaid.depends_on.iter().any(|key| key == "load.starter.phase_control"),
        "{:?}",
        unsaid.depends_on
    );
    case.load.starter.phase_control = Some(false);
    assert_eq!(finding(&case).at_value, Status::Pass);
    assert!(!finding(&case).depends_on.iter().any(|key| key.contains("phase_control")));
    case.load.starter.phase_control = Some(true);
    assert_eq!(finding(&case).at_value, Status::Fail);
}
