//! Each kind against algebra and balances.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use startmargin::inrush::Feed;
use startmargin::inrush::ballast::Ballast;
use startmargin::inrush::cycles::{Others, settled};
use startmargin::inrush::filament::Filament;
use startmargin::inrush::heater::Heater;
use startmargin::inrush::rectifier::{DIODES_V, Precharge, Rectifier, Takes};
use startmargin::inrush::transformer::Transformer;
use startmargin::inrush::universal::Universal;

use super::{cycles, integral, near, peak, trace, wave};
use crate::tolerances::{INRUSH_CREST, INRUSH_ODE, INRUSH_SUM};

const GRID: Feed = Feed { volts: 230.0, ohm: 0.0, henry: 0.0, hertz: 50.0 };

fn bare() -> Rectifier {
    Rectifier {
        volts: 230.0,
        farad: 470e-6,
        ohm: 1.0,
        henry: 0.0,
        diodes_v: DIODES_V,
        precharge: None,
        power_w: 0.0,
        ramp_s: 0.0,
        takes: Takes::Pulses,
    }
}

/// Resistance and inductance on a sinusoid: the steady current, and an offset that dies with L/R. At x = 10 R closed where the
/// steady current would have its crest, the peak after half a cycle is 1 + exp(-pi R / x) = 1.7304 of the crest, a little
/// before (the formula 1 + exp(-(pi/2 + phi) R / x) is exact for closing at zero voltage: 1 + exp(-3.0419/10) 0.99504...).
#[test]
fn analytic_resistance_and_inductance() {
    let (r, x) = (1.0, 10.0);
    let feed = Feed { henry: x / GRID.omega(), ..GRID };
    let crest = GRID.crest_v() / f64::hypot(r, x);
    for angle in [0.0, FRAC_PI_4, FRAC_PI_2, 2.0] {
        let lag = angle - f64::atan2(x, r);
        for now in wave(&Heater { ohm: r }, &feed, angle, 0.1) {
            let want = crest
                * ((GRID.omega() * now.t_s + lag).cos()
                    - lag.cos() * (-GRID.omega() * r / x * now.t_s).exp());
            assert!((now.line_a - want).abs() < 1e-9 * crest);
            // the terminals see the resistance alone
            assert!((now.terminal_v - r * now.line_a).abs() < 1e-9 * GRID.crest_v());
        }
    }
    // the same circuit solved as differential equations: a ballast that does not warm up, behind the same source
    let still = Ballast { cold: (r, x / GRID.omega()), warm: (r, x / GRID.omega()), warm_up_s: 1.0 };
    for angle in [0.0, FRAC_PI_4, FRAC_PI_2] {
        near(
            peak(&still, &GRID, angle, 0.1),
            peak(&Heater { ohm: r }, &feed, angle, 0.1),
            INRUSH_CREST,
            "peak",
        );
    }
    // a kettle: nothing but its rated current
    let kettle = trace(&Heater { ohm: 230.0 / 4.3 }, GRID, 0.3);
    near(kettle.largest_rms_a(), 4.3, INRUSH_SUM, "kettle");
    near(kettle.settled.unwrap().line_a, 4.3, INRUSH_SUM, "kettle");
}

/// A series resistance, inductance and capacitor on a steady voltage (a mains of a hundredth of a hertz):
/// `i = E / (wd L) exp(-a t) sin(wd t)`, `a = R / 2L`, `wd = sqrt(1/LC - a2)`, with its crest at `tan(wd t) = wd / a`.
#[test]
fn analytic_capacitor_charged_through_resistance_and_inductance() {
    let slow = Feed { volts: 230.0, ohm: 0.2, henry: 0.4e-3, hertz: 0.01 };
    let unit = Rectifier { ohm: 0.3, henry: 0.6e-3, ..bare() };
    let (r, l, c) = (0.5, 1e-3, 470e-6_f64);
    let e = slow.crest_v() - DIODES_V;
    let a = r / (2.0 * l);
    let wd = f64::sqrt(1.0 / (l * c) - a * a);
    let t = (wd / a).atan() / wd;
    let want = e / (wd * l) * (-a * t).exp() * (wd * t).sin();
    near(peak(&unit, &slow, 0.0, 0.01), want, INRUSH_CREST, "crest");
    // the bridge blocks after half a swing, the capacitor being charged above the source by exp(-a pi / wd)
    let seen = wave(&unit, &slow, 0.0, 0.02);
    let charge = integral(&seen, |now| now.line_a);
    near(charge, c * e * (1.0 + (-a * std::f64::consts::PI / wd).exp()), INRUSH_SUM, "charge");
    assert!(
        seen.iter().filter(|now| now.t_s > 1.02 * std::f64::consts::PI / wd).all(|now| now.line_a == 0.0)
    );
}

/// Through a resistance alone: `E/R` at once, dying with RC; of the source's `C E2` half stays in the resistance whatever it is.
#[test]
fn analytic_precharge() {
    let slow = Feed { volts: 230.0, ohm: 0.0, henry: 0.0, hertz: 0.01 };
    let precharge = Some(Precharge { ohm: 46.0, until_s: 0.5, left_ohm: 0.0 });
    let unit = Rectifier { precharge, diodes_v: 0.0, ..bare() };
    let (r, c, e) = (47.0, 470e-6, slow.crest_v());
    let seen = wave(&unit, &slow, 0.0, 0.4);
    for now in &seen {
        let want = e / r * (-now.t_s / (r * c)).exp();
        assert!((now.line_a - want).abs() < INRUSH_ODE * e / r, "{} at {}: {want}", now.line_a, now.t_s);
    }
    near(
        integral(&seen, |now| r * now.line_a * now.line_a),
        0.5 * c * e * e,
        INRUSH_SUM,
        "half of the energy",
    );
    // bridged too early, the rest of the charge comes at once through what is left: E exp(-t / RC) / 1 ohm
    let early = Some(Precharge { ohm: 46.0, until_s: 0.02, left_ohm: 0.0 });
    let second = wave(&Rectifier { precharge: early, diodes_v: 0.0, ..bare() }, &slow, 0.0, 0.03);
    let after = second.iter().filter(|now| now.t_s >= 0.02).fold(0.0_f64, |m, now| m.max(now.line_a));
    near(after, e * (-0.02 / (r * c)).exp() / 1.0, INRUSH_CREST, "after the relay");
}

/// A thermistor still hot lets through what a cold one does not: the peaks at the crest are as the resistances.
/// Charging through the precharge resistor from half cycle to half cycle, against small steps.
#[test]
fn analytic_charging() {
    for (ohm, micro, half_cycles) in
        [(47.0, 1000.0, 10), (47.0, 1000.0, 100), (22.0, 470.0, 4), (5.0, 200.0, 3), (100.0, 2200.0, 300)]
    {
        let precharge = Some(Precharge { ohm, until_s: 10.0, left_ohm: 0.0 });
        let unit = Rectifier { farad: micro * 1e-6, precharge, ..bare() };
        let series = ohm + unit.ohm + GRID.ohm;
        let (mut volts, step) = (0.0, std::f64::consts::PI / 4000.0);
        for k in 0..4000 * half_cycles {
            let emf = (GRID.crest_v() * ((f64::from(k) + 0.5) * step).sin()).abs();
            let rise =
                |v: f64| (emf - v - unit.diodes_v).max(0.0) / series / unit.farad * step / GRID.omega();
            volts += rise(volts + 0.5 * rise(volts));
        }
        let got = unit.charged(&GRID, 0.0, f64::from(half_cycles));
        let want = volts / GRID.crest_v();
        assert!((got - want).abs() < INRUSH_ODE, "{ohm} {micro} {half_cycles}: {got}, should be {want}");
    }
}

#[test]
fn prop_hot_thermistor() {
    let with = |ohm| Rectifier { precharge: Some(Precharge { ohm, until_s: 0.5, left_ohm: 0.5 }), ..bare() };
    let (cold, hot) = (peak(&with(9.0), &GRID, 0.0, 0.1), peak(&with(0.5), &GRID, 0.0, 0.1));
    near(hot / cold, 10.0 / 1.5, 1e-3, "hot over cold");
}

/// A pulse shorter than a step is felt as well as seen (once it was seen only: 3.8 W of pulses that charged nothing).
/// What a rectifier settles at: what it takes from the line is what its load takes, the bridge and its resistance.
#[test]
fn prop_rectifier_power() {
    for (henry, takes) in [(0.0, Takes::Pulses), (2e-3, Takes::Pulses), (0.0, Takes::Sine)] {
        let unit = Rectifier { power_w: 300.0, henry, takes, ..bare() };
        let end = settled(&unit, &GRID, Others::default()).unwrap();
        let lost = match takes {
            Takes::Sine => 0.0,
            // the mean of the rectified current is that of the load
            Takes::Pulses => end.line_a * end.line_a + DIODES_V * 300.0 / 315.0,
        };
        near(end.power_w, 300.0 + lost, 5e-3, "power");
        let power_factor = end.power_w / (end.line_a * end.terminal_v);
        let usual = if takes == Takes::Sine { 0.999..1.001 } else { 0.4..0.75 };
        assert!(usual.contains(&power_factor), "power factor {power_factor}");
    }
}

/// Flux balance: closed at zero voltage without resistance the flux rises by twice its crest above what was left; what is above
/// the knee flows through the saturated inductance: `i = k im + (r + 2 - k) flux / Ls`. Closed at the crest it is that of steady
/// state: `r + 1`.
#[test]
fn analytic_flux_balance() {
    for residual in [0.0, 0.5, -0.5] {
        let core = Transformer {
            rated_vs: GRID.crest_v() / GRID.omega(),
            ohm: 0.0,
            magnetising_a: 0.4,
            knee: 1.2,
            saturated_h: 0.02,
            residual,
            load_ohm: f64::INFINITY,
        };
        let through = |flux: f64| 1.2 * 0.4 + (flux - 1.2) * core.rated_vs / 0.02;
        // voltage rising from zero: the flux goes up
        near(peak(&core, &GRID, -FRAC_PI_2, 0.02), through(2.0 + residual), INRUSH_CREST, "at zero");
        let least = if 1.0 + residual > 1.2 { through(1.0 + residual) } else { 0.4 * (1.0 + residual) };
        if residual >= 0.0 {
            near(peak(&core, &GRID, 0.0, 0.02), least, INRUSH_CREST, "at the crest");
        }
        // the source's inductance takes its part of the volt-seconds: (2 + r - k) flux = Ls (i - k im) + Lf (i - r im), the
        // model's current at switch-on being r im
        let behind = Feed { henry: 0.005, ..GRID };
        let rest = (0.8 + residual) * core.rated_vs - 0.005 * (1.2 - residual) * 0.4;
        near(peak(&core, &behind, -FRAC_PI_2, 0.02), 1.2 * 0.4 + rest / 0.025, 1e-3, "behind a source");
    }
}

/// The offset decays by what the resistance takes: over each cycle the mean flux falls by the integral of R i.
#[test]
fn prop_flux_is_lost_in_the_resistance() {
    let core = Transformer {
        rated_vs: GRID.crest_v() / GRID.omega(),
        ohm: 2.0,
        magnetising_a: 0.4,
        knee: 1.2,
        saturated_h: 0.02,
        residual: 0.0,
        load_ohm: f64::INFINITY,
    };
    let seen = wave(&core, &GRID, -FRAC_PI_2, 0.1);
    let crest = |k: usize| {
        let of = |now: &&startmargin::inrush::Instant| (now.t_s / 0.02) as usize == k;
        seen.iter().filter(of).max_by(|a, b| a.line_a.total_cmp(&b.line_a)).unwrap()
    };
    let flux = |now: &startmargin::inrush::Instant| {
        (1.2 + (now.line_a - 1.2 * 0.4) * 0.02 / core.rated_vs) * core.rated_vs
    };
    for k in 0..4 {
        let (a, b) = (crest(k), crest(k + 1));
        let part: Vec<_> = seen.iter().filter(|now| now.t_s >= a.t_s && now.t_s <= b.t_s).copied().collect();
        let lost = integral(&part, |now| core.ohm * now.line_a);
        // the source's own volt-seconds from crest to crest, which are not quite a cycle apart
        let given = core.rated_vs * ((GRID.omega() * a.t_s).cos() - (GRID.omega() * b.t_s).cos());
        near(flux(a) - flux(b), lost - given, INRUSH_SUM, "flux lost");
    }
    assert!(crest(4).line_a < 0.7 * crest(0).line_a);
}

/// Energy of a filament: what it takes less what it radiates is what heats it, `heat_s` times rated power from cold to hot.
/// At first it radiates nothing, and `y^1.2 dy = (1 - c) V2/Vr2 dt / heat_s` has a closed form.
#[test]
fn analytic_filament() {
    let lamp = Filament { hot_ohm: 529.0, power_w: 100.0, cold_ratio: 14.0, heat_s: 0.07 };
    let seen = wave(&lamp, &GRID, 0.0, 1.0);
    near(seen[0].line_a, GRID.crest_v() / 529.0 * 14.0, 1e-9, "cold");
    let share = |now: &startmargin::inrush::Instant| (now.terminal_v / now.line_a / 529.0).powf(1.0 / 1.2);
    let c = lamp.cold_share();
    let early = seen.iter().find(|now| now.t_s > 0.003).unwrap();
    let wt = GRID.omega() * early.t_s;
    // integral of 2 cos2
    let dose = early.t_s + wt.sin() * wt.cos() / GRID.omega();
    let want = (c.powf(2.2) + 2.2 * (1.0 - c) / 0.07 * dose).powf(1.0 / 2.2);
    near(share(early), want, 2e-3, "temperature after 3 ms");
    let taken = integral(&seen, |now| now.line_a * now.terminal_v);
    let radiated = integral(&seen, |now| {
        if now.line_a.abs() < 1e-3 { 100.0 } else { 100.0 * (share(now).powi(5) - c.powi(5)) }
    });
    near(taken - radiated, 0.07 * 100.0, 0.03, "energy that heats");
    near(settled(&lamp, &GRID, Others::default()).unwrap().line_a, 100.0 / 230.0, 5e-3, "rated current");
}

/// A series motor held still is a resistance and an inductance; running it takes its rated current, and the torque's work is what
/// the rotor gains and its load takes.
#[test]
fn analytic_universal_motor() {
    let motor = Universal::new(230.0, 50.0, 5.0, 6.0, 0.6, 0.25);
    let held = Universal { twice_energy_j: 1e9, ..motor };
    near(cycles(&held, &GRID, 0.0, 0.5).last().unwrap().line_a, 30.0, 1e-3, "at standstill");
    let power_factor = |c: &startmargin::inrush::cycles::Cycle| c.power_w / (c.line_a * c.terminal_v);
    near(power_factor(cycles(&held, &GRID, 0.0, 0.5).last().unwrap()), 0.6, 1e-3, "its power factor");
    near(settled(&motor, &GRID, Others::default()).unwrap().line_a, 5.0, 5e-3, "running");
    // without load torque all that is not lost in the resistance is in the rotor: 1/2 J w2 = H V I x2
    let free = Universal { rated_a: 1e-6, ..motor };
    let seen = wave(&free, &GRID, 0.0, 0.1);
    let given = integral(&seen, |now| now.line_a * now.terminal_v - motor.ohm * now.line_a * now.line_a);
    let end = seen.last().unwrap();
    let before = &seen[seen.len() - 2];
    let slope = (end.line_a - before.line_a) / (end.t_s - before.t_s);
    let speed = ((end.terminal_v - motor.henry * slope) / end.line_a - motor.ohm) / motor.counter_ohm;
    let stored = 0.5 * motor.twice_energy_j * speed * speed + 0.5 * motor.henry * end.line_a * end.line_a;
    near(stored, given, 0.02, "kinetic energy");
}

/// A discharge lamp: twice the current at first, its own when warm, on the exponential way between.
#[test]
fn analytic_ballast() {
    let lamp = Ballast::new(230.0, 50.0, (2.0, 0.5), (1.8, 0.3), 60.0);
    let start = trace(&lamp, GRID, FRAC_PI_2);
    near(start.at(0.3).unwrap().line_a, 3.6, 0.02, "at first");
    near(start.settled.unwrap().line_a, 2.0, 1e-3, "warm");
    // a quarter of an hour's course is rows, not instants
    assert!(start.rows.len() < 300);
    let one = start.at(60.0).unwrap().line_a;
    assert!(one > 2.2 && one < 2.8, "{one}");
}

/// The rms of a cycle, the trapezium rule on instants, against the closed form of a sinusoid with an offset that dies away.
#[test]
fn analytic_cycles() {
    let feed = Feed { henry: 0.02, ..GRID };
    let first = cycles(&Heater { ohm: 5.0 }, &feed, 0.0, 0.05)[0];
    let x = GRID.omega() * 0.02;
    let crest = GRID.crest_v() / f64::hypot(5.0, x);
    let lag = -f64::atan2(x, 5.0);
    let n = 200_000;
    let square = |k: i32| {
        let t = 0.02 * (f64::from(k) + 0.5) / f64::from(n);
        (crest * ((GRID.omega() * t + lag).cos() - lag.cos() * (-5.0 / 0.02 * t).exp())).powi(2)
    };
    let want = f64::sqrt((0..n).map(square).sum::<f64>() / f64::from(n));
    near(first.line_a, want, INRUSH_SUM, "first cycle");
    near(first.terminal_v, 5.0 * want, INRUSH_SUM, "its voltage");
}
