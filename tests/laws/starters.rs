//! What starters may and may not do.

use proptest::prelude::*;
use startmargin::case::Path;
use startmargin::start::{EventKind, Trace};
use startmargin::starter::{Direct, Limiter, Ramp};

use super::{Plant, any_site, direct, duration, tries};
use crate::tolerances::{LIMITED, SAME_PHYSICS};

proptest! {
    #![proptest_config(tries(150))]

    /// Never above its setting, with running loads, source impedance and conductor as they come; never shorter than direct.
    #[test]
    fn prop_a_limiter_keeps_its_setting_and_never_shortens_the_start((name, case) in any_site(), share in 0.15..1.2f64) {
        let mut path = Path::new(&case).unwrap();
        path.go_direct();
        let (mut plain, mut limited) = (Trace::default(), Trace::default());
        for variant in 0..path.variants() {
            path.go_direct();
            path.run(variant, &mut plain);
            let amps = share * path.locked_rotor_at_supply_a();
            path.limit_to(amps);
            path.run(variant, &mut limited);
            for row in limited.rows.iter().chain(limited.settled.as_ref()) {
                prop_assert!(
                    row.line_a <= amps * (1.0 + LIMITED),
                    "{}: {} A at {} s with a limit of {} A", name, row.line_a, row.t_s, amps
                );
            }
            prop_assert!(
                duration(&limited) >= duration(&plain) * (1.0 - SAME_PHYSICS),
                "{}: {} s direct, {} s at {} A", name, duration(&plain), duration(&limited), amps
            );
        }
    }

    /// A tighter limiter is no sooner done.
    #[test]
    fn prop_a_tighter_limiter_never_shortens_the_start((name, case) in direct(), shares in [0.2..1.2f64, 0.2..1.2f64]) {
        let plant = Plant::new(&case);
        let stalled = plant.machine.at(0.0, startmargin::motor::Stage::START).y.norm() * plant.volts;
        let [a, b] = shares.map(|s| duration(&plant.run(&Limiter { amps: s * stalled })));
        let (tight, loose) = if shares[0] < shares[1] { (a, b) } else { (b, a) };
        prop_assert!(tight >= loose * (1.0 - SAME_PHYSICS), "{}: {} s tight, {} s loose", name, tight, loose);
    }

    /// A ramp that begins higher is no later done, and none beats full voltage at once.
    #[test]
    fn prop_a_higher_initial_voltage_never_lengthens_the_start(
        (name, case) in direct(),
        initial in [0.1..1.0f64, 0.1..1.0f64],
        ramp_s in 0.05..3.0f64,
    ) {
        let plant = Plant::new(&case);
        let [a, b] = initial.map(|initial| duration(&plant.run(&Ramp { initial, ramp_s })));
        let (low, high) = if initial[0] < initial[1] { (a, b) } else { (b, a) };
        prop_assert!(high <= low * (1.0 + SAME_PHYSICS), "{}: {} s from low, {} s from high", name, low, high);
        let direct = duration(&plant.run(&Direct));
        prop_assert!(high >= direct * (1.0 - SAME_PHYSICS), "{}: {} s, direct {} s", name, high, direct);
    }

    /// Analytic: a ramp of no length, or from full voltage, and a limiter that never limits are direct starts.
    #[test]
    fn prop_a_starter_with_nothing_to_do_is_direct((name, case) in direct(), initial in 0.1..1.0f64) {
        let plant = Plant::new(&case);
        let plain = plant.run(&Direct);
        for (what, trace) in [
            ("ramp of no length", plant.run(&Ramp { initial, ramp_s: 0.0 })),
            ("ramp from full voltage", plant.run(&Ramp { initial: 1.0, ramp_s: 0.3 })),
            ("wide limiter", plant.run(&Limiter { amps: 1e6 })),
        ] {
            prop_assert_eq!(trace.outcome, plain.outcome, "{} {}", name, what);
            if plain.starts() {
                let off = duration(&trace) / duration(&plain) - 1.0;
                prop_assert!(off.abs() <= SAME_PHYSICS, "{} {}: {} off", name, what, off);
            }
        }
    }
}

/// Analytic: a motor's own start capacitor and the starter's, set to leave at the same speed, both leave there.
#[test]
fn analytic_two_capacitors_set_to_one_speed_both_leave() {
    for (name, own, assist) in [
        ("start-capacitor", 0.75, 0.75),
        ("start-capacitor", 0.75, 0.7500001),
        ("single-phase-230v", 0.75, 0.75),
    ] {
        let case = super::case(name);
        assert_eq!(super::get(&case, "load.motor.cut_out_speed"), Some(own));
        let mut path = Path::new(&case).unwrap();
        path.set_assist(Some((20e-6, assist)));
        let mut trace = Trace::default();
        path.run(0, &mut trace);
        assert!(trace.starts());
        let left = [EventKind::StartSwitchOpens, EventKind::AssistLeaves].map(|kind| trace.event_s(kind));
        assert!(left.iter().all(Option::is_some), "{name} {assist}: {:?}", trace.events);
        // and the motor runs on its run capacitor alone, as the settled state has it
        let (end, settled) = (trace.rows.last().unwrap().line_a, trace.settled.unwrap().line_a);
        assert!(
            (end / settled - 1.0).abs() < 1e-3,
            "{name} {assist}: {end} A at the end, {settled} A settled"
        );
    }
}
