//! Laws that hold for every kind, at figures all over their usual ranges.

use std::f64::consts::{PI, SQRT_2, TAU};

use proptest::prelude::*;
use startmargin::inrush::Feed;
use startmargin::inrush::ballast::Ballast;
use startmargin::inrush::cycles::Others;
use startmargin::inrush::filament::Filament;
use startmargin::inrush::heater::Heater;
use startmargin::inrush::rectifier::{DIODES_V, Precharge, Rectifier, Takes};
use startmargin::inrush::transformer::Transformer;
use startmargin::inrush::universal::Universal;
use startmargin::inrush::{Inrush, Instant};
use startmargin::start::inrush::{Switching, extremes, over_angles};
use startmargin::start::waveform::Crests;

use super::{peak, wave};
use crate::tolerances::{INRUSH_ANGLES, INRUSH_CHARGE, INRUSH_CREST, INRUSH_ENERGY};

const VOLTS: f64 = 230.0;
const HERTZ: f64 = 50.0;

/// A load of a kind at 1 to 16 A, its other figure somewhere in its usual range (`share` of it, 0 to 1).
fn load(kind: usize, amps: f64, share: f64) -> Box<dyn Inrush> {
    let ohm = VOLTS / amps;
    let within = |low: f64, high: f64| low + share * (high - low);
    let unit = Rectifier {
        volts: VOLTS,
        farad: within(50e-6, 200e-6) * amps,
        ohm: 0.5,
        henry: 0.0,
        diodes_v: DIODES_V,
        precharge: None,
        power_w: 0.6 * VOLTS * amps,
        ramp_s: 0.0,
        takes: Takes::Pulses,
    };
    match kind {
        0 => Box::new(Heater { ohm }),
        1 => Box::new(Filament {
            hot_ohm: ohm,
            power_w: VOLTS * amps,
            cold_ratio: within(12.0, 16.0),
            heat_s: 0.06,
        }),
        2 => Box::new(Universal::new(VOLTS, HERTZ, amps, within(5.0, 9.0), 0.65, 0.25)),
        3 => Box::new(Ballast::new(VOLTS, HERTZ, (amps, 0.5), (within(1.2, 2.0), 0.3), 60.0)),
        4 => Box::new(Transformer {
            rated_vs: SQRT_2 * VOLTS / (TAU * HERTZ),
            ohm: 0.03 * ohm,
            magnetising_a: SQRT_2 * 0.05 * amps,
            knee: 1.2,
            saturated_h: within(0.06, 0.3) * ohm / (TAU * HERTZ),
            residual: 0.0,
            load_ohm: ohm,
        }),
        5 => Box::new(unit),
        6 => Box::new(Rectifier { henry: 1e-3, ..unit }),
        _ => Box::new(Rectifier {
            precharge: Some(Precharge { ohm: within(5.0, 47.0), until_s: 0.03, left_ohm: 0.0 }),
            ..unit
        }),
    }
}

fn angles(load: &dyn Inrush, feed: Feed) -> Crests {
    over_angles(&Switching { load, feed, others: Others::default(), angle: 0.0, end: None }).unwrap()
}

fn feed(ohm: f64, henry: f64) -> Feed {
    Feed { volts: VOLTS, hertz: HERTZ, ohm, henry }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Switched on from rest a load has nothing stored: it never gives back more than it took. What the source gives is what
    /// reaches the terminals and what is lost in the source's resistance.
    #[test]
    fn prop_energy(kind in 0usize..8, amps in 1.0..16.0, share in 0.0..1.0, angle in 0.0..PI, ohm in 0.05..1.0) {
        let (load, feed) = (load(kind, amps, share), feed(ohm, 0.0));
        let seen = wave(&*load, &feed, angle, 0.1);
        let (mut taken, mut lost, mut given) = (0.0, 0.0, 0.0);
        for pair in seen.windows(2) {
            let h = pair[1].t_s - pair[0].t_s;
            let mean = |of: &dyn Fn(&Instant) -> f64| 0.5 * h * (of(&pair[0]) + of(&pair[1]));
            taken += mean(&|now| now.line_a * now.terminal_v);
            lost += mean(&|now| ohm * now.line_a * now.line_a);
            given += mean(&|now| now.line_a * feed.emf(now.t_s, angle));
            prop_assert!(taken >= -INRUSH_ENERGY * VOLTS * amps * feed.cycle_s(), "{} J at {}", taken, pair[1].t_s);
        }
        prop_assert!((given - taken - lost).abs() <= INRUSH_ENERGY * given, "{} {} {}", given, taken, lost);
    }

    /// More impedance before it never makes the largest peak larger.
    #[test]
    fn prop_source_impedance(kind in 0usize..8, amps in 1.0..16.0, share in 0.0..1.0, ohm in 0.05..0.5,
                             more in 0.05..1.0, henry in 0.0..2e-3) {
        let load = load(kind, amps, share);
        let before = angles(&*load, feed(ohm, 0.0)).line.largest.a;
        for behind in [feed(ohm + more, 0.0), feed(ohm, henry), feed(ohm + more, henry)] {
            let after = angles(&*load, behind).line.largest.a;
            prop_assert!(after <= before * (1.0 + INRUSH_CREST), "kind {}: {} -> {}", kind, before, after);
        }
    }

    /// The range over the closing angles holds the peak of every angle.
    #[test]
    fn prop_closing_angles(kind in 0usize..8, amps in 1.0..16.0, share in 0.0..1.0, angle in 0.0..TAU, ohm in 0.05..0.5) {
        let (load, feed) = (load(kind, amps, share), feed(ohm, 0.2e-3));
        let all = angles(&*load, feed).line;
        let start = Switching { load: &*load, feed, others: Others::default(), angle, end: None };
        let [own, _] = extremes(&start, load.busy_s() + 2.0 * feed.cycle_s());
        prop_assert!(own.a <= all.largest.a * (1.0 + INRUSH_ANGLES), "kind {}: {} > {}", kind, own.a, all.largest.a);
        prop_assert!(own.a >= all.least.a * (1.0 - INRUSH_ANGLES), "kind {}: {} < {}", kind, own.a, all.least.a);
    }

    /// A thermistor that is still hot never lets less through.
    #[test]
    fn prop_hot_restart(cold in 2.0..20.0, hot in 0.1..2.0, micro in 47.0..1000.0, angle in 0.0..PI, ohm in 0.05..0.5) {
        let with = |first: f64| Rectifier {
            volts: VOLTS,
            farad: micro * 1e-6,
            ohm: 0.5,
            henry: 0.0,
            diodes_v: DIODES_V,
            precharge: Some(Precharge { ohm: first, until_s: 0.3, left_ohm: hot }),
            power_w: 100.0,
            ramp_s: 0.0,
            takes: Takes::Pulses,
        };
        let [cold, hot] = [cold, hot].map(|first| peak(&with(first), &feed(ohm, 0.0), angle, 0.1));
        prop_assert!(hot >= cold * (1.0 - INRUSH_CREST), "{} {}", hot, cold);
    }
}

/// Waiting for a relay is left out of what is solved, and nothing of what is seen changes: the largest peak is that of the
/// whole run closed at the same angle, with the capacitor as far charged as it is by then.
#[test]
fn prop_waiting_changes_nothing() {
    for (ohm, micro, until_s, henry) in [
        (47.0, 1000.0, 1.0, 0.0),
        (47.0, 1000.0, 0.6, 0.0),
        (22.0, 1000.0, 0.45, 0.2e-3),
        (100.0, 2200.0, 2.0, 0.0),
        (47.0, 470.0, 3.0, 0.5e-3),
    ] {
        let unit = Rectifier {
            volts: VOLTS,
            farad: micro * 1e-6,
            ohm: 0.5,
            henry,
            diodes_v: DIODES_V,
            precharge: Some(Precharge { ohm, until_s, left_ohm: 0.0 }),
            power_w: 950.0,
            ramp_s: 0.0,
            takes: Takes::Sine,
        };
        let source = feed(0.3, 0.0);
        let found = angles(&unit, source).line.largest;
        let start = Switching {
            load: &unit,
            feed: source,
            others: Others::default(),
            angle: found.closing_deg.to_radians(),
            end: None,
        };
        let [whole, _] = extremes(&start, until_s + 2.0 * source.cycle_s());
        let what = format!("{ohm} ohm, {micro} uF, {until_s} s");
        let off_v = (found.a - whole.a) * (unit.ohm + source.ohm);
        assert!(off_v.abs() < INRUSH_CHARGE * source.crest_v(), "{what}: {found:?} {whole:?}");
        assert!((found.t_s - whole.t_s).abs() < 1e-3, "{what}: {found:?} {whole:?}");
        let rows = super::trace(&unit, source, 0.0).rows;
        assert!(rows.windows(2).all(|w| w[1].t_s >= w[0].t_s), "{what}");
        let at = |t: f64| rows.iter().rev().find(|r| r.t_s <= t).unwrap().line_a;
        let (before, after) = (at(until_s), at(until_s + 0.1));
        assert!(before < 0.5 && after > 3.0, "{what}: {before} {after}");
    }
}
