//! Conservation of energy at the motor's terminals, the losses worked out here from the circuits' phasors, apart from the
//! machines of the crate: what goes in is copper loss, kinetic energy and the load's work.

use num_complex::Complex64;
use proptest::prelude::*;
use startmargin::case::Case;
use startmargin::figure::Figure;
use startmargin::motor::given::{MotorFigures, ThreePhaseFigures, TwoWindingFigures};
use startmargin::quantity::{Microfarad, Ohm};
use startmargin::start::{EventKind, Row, Trace};
use startmargin::starter::{Direct, Limiter};

use super::{Plant, direct, tries};
use crate::tolerances::{ENERGY, POWER};

const J: Complex64 = Complex64::I;

/// Copper losses of a three-phase motor \[W\]: stator 3 I1^2 r1, rotor 3 I2^2 r2 with the rotor's current by the current divider
/// (single cage).
fn three_phase(m: &ThreePhaseFigures, slip: f64, volts: f64) -> f64 {
    let [r1, x1, xm, r2, x2] = [&m.r1_ohm, &m.x1_ohm, &m.xm_ohm, &m.r2_ohm, &m.x2_ohm].map(Figure::get);
    // slip times the rotor's impedance, so that zero slip is no division by zero
    let rotor = Complex64::new(r2, slip * x2);
    let gap = J * xm * rotor / (rotor + slip * J * xm);
    let stator = volts / 3f64.sqrt() / (Complex64::new(r1, x1) + gap);
    let cage = stator * (slip * J * xm) / (rotor + slip * J * xm);
    3.0 * (stator.norm_sqr() * r1 + cage.norm_sqr() * r2)
}

/// What is in series with the auxiliary winding; `None`: it is open.
fn series(m: &TwoWindingFigures, hertz: f64, own_start: bool) -> Option<Complex64> {
    let w = std::f64::consts::TAU * hertz;
    let branch = |uf: &Option<Figure<Microfarad>>, ohm: &Option<Figure<Ohm>>| {
        let farad = uf.as_ref().map(|f| f.get() * 1e-6).filter(|&f| f > 0.0)?;
        Some(Complex64::new(ohm.as_ref().map_or(0.0, Figure::get), -1.0 / (w * farad)))
    };
    let run = branch(&m.run_capacitor_uf, &m.run_capacitor_ohm);
    let start = branch(&m.start_capacitor_uf, &m.start_capacitor_ohm)
        .filter(|_| own_start && m.cut_out_speed.is_some());
    match (run, start) {
        (Some(a), Some(b)) => Some(a * b / (a + b)),
        (None, None) if own_start && m.start_capacitor_uf.is_none() && m.cut_out_speed.is_some() => {
            Some(Complex64::ZERO)
        }
        (a, b) => a.or(b),
    }
}

/// Copper losses of a two-winding motor \[W\], capacitors' included. In the double-revolving-field picture the forward and
/// backward rotor circuits of half impedance carry the fields' currents Im -+ j a Ia divided with the magnetising branch.
fn two_winding(m: &TwoWindingFigures, hertz: f64, slip: f64, volts: f64, own_start: bool) -> f64 {
    let [r1, x1, xm, r2, x2] = [&m.r1_ohm, &m.x1_ohm, &m.xm_ohm, &m.r2_ohm, &m.x2_ohm].map(Figure::get);
    let half = |s: f64| {
        let rotor = Complex64::new(r2, s * x2);
        let over = rotor + s * J * xm;
        // impedance of the parallel pair, share of its current in the rotor
        (0.5 * J * xm * rotor / over, s * J * xm / over)
    };
    let ((zf, share_f), (zb, share_b)) = (half(slip), half(2.0 - slip));
    let main = Complex64::new(r1, x1) + zf + zb;
    let auxiliary = m.auxiliary.as_ref().zip(series(m, hertz, own_start));
    let Some((aux, zc)) = auxiliary else {
        let im = volts / main;
        return im.norm_sqr() * r1 + 0.5 * r2 * ((im * share_f).norm_sqr() + (im * share_b).norm_sqr());
    };
    let [r1a, x1a] = [aux.r1a_ohm.get(), aux.x1a_ohm.get()];
    let a = aux.turns_ratio.get();
    let own = zc + Complex64::new(r1a, x1a) + a * a * (zf + zb);
    let cross = J * a * (zf - zb);
    // [main, -cross; cross, own] [im; ia] = [v; v]
    let determinant = main * own + cross * cross;
    let (im, ia) = (volts * (own + cross) / determinant, volts * (main - cross) / determinant);
    let (forward, backward) = ((im - J * a * ia) * share_f, (im + J * a * ia) * share_b);
    im.norm_sqr() * r1 + ia.norm_sqr() * (r1a + zc.re) + 0.5 * r2 * (forward.norm_sqr() + backward.norm_sqr())
}

/// Losses at row `i`, whose start switch is open from the last row of its event's moment on.
fn losses(case: &Case, plant: &Plant, trace: &Trace, i: usize) -> f64 {
    let row = &trace.rows[i];
    let slip = 1.0 - row.speed / plant.machine.sync_speed();
    match case.load.motor.as_ref().unwrap() {
        MotorFigures::ThreePhase(m) => three_phase(m, slip, row.motor_v),
        MotorFigures::Plate(_) => unreachable!("the sites of this law give their motor outright"),
        MotorFigures::TwoWinding(m) => {
            let opens = trace.event_s(EventKind::StartSwitchOpens);
            let moment = 1e-12;
            let last_of_it = trace.rows.get(i + 1).is_none_or(|next| next.t_s > row.t_s + moment);
            let open = opens.is_some_and(|t| row.t_s > t + moment || row.t_s >= t - moment && last_of_it);
            two_winding(m, case.supply.frequency_hz.get(), slip, row.motor_v, !open)
        }
    }
}

/// The integral over the trace by the trapezoid rule, up to and including row `last`.
fn integral(trace: &Trace, last: usize, of: impl Fn(usize, &Row) -> f64) -> f64 {
    let rows = &trace.rows[..=last];
    let at = |i: usize| of(i, &rows[i]);
    (1..rows.len()).map(|i| 0.5 * (rows[i].t_s - rows[i - 1].t_s) * (at(i - 1) + at(i))).sum()
}

/// Energy in less copper losses, work on the load and kinetic energy, up to row `last`; energy in \[J\].
fn unaccounted(case: &Case, plant: &Plant, trace: &Trace, last: usize) -> [f64; 2] {
    let energy_in = integral(trace, last, |_, r| r.power_w);
    let lost = integral(trace, last, |i, _| losses(case, plant, trace, i));
    let work = integral(trace, last, |_, r| r.load_nm * r.speed);
    let kinetic = 0.5 * plant.machine.inertia() * trace.rows[last].speed.powi(2);
    [energy_in - lost - work - kinetic, energy_in]
}

proptest! {
    #![proptest_config(tries(120))]

    /// Moment by moment: power in = copper losses + torque times speed. Analytic, so to rounding.
    #[test]
    fn prop_power_is_conserved_at_every_moment((name, case) in direct(), limit in proptest::option::of(0.3..1.0f64)) {
        let plant = Plant::new(&case);
        let stalled = plant.machine.at(0.0, startmargin::motor::Stage::START).y.norm() * plant.volts;
        let trace = match limit {
            Some(share) => plant.run(&Limiter { amps: share * stalled }),
            None => plant.run(&Direct),
        };
        for (i, row) in trace.rows.iter().enumerate() {
            let out = losses(&case, &plant, &trace, i) + row.torque_nm * row.speed;
            prop_assert!(
                (row.power_w - out).abs() <= POWER * row.power_w.abs().max(1.0),
                "{} row {} at {} s: {} W in, {} W out", name, i, row.t_s, row.power_w, out
            );
        }
    }

    /// Over the run-up on a stiff supply, to 95 % of settled speed or to where the attempt ends: energy in = copper losses +
    /// kinetic energy + work on the load.
    #[test]
    fn prop_energy_is_conserved_over_the_run_up((name, case) in direct()) {
        let plant = Plant::stiff(&case);
        let trace = plant.run(&Direct);
        let at_speed = trace.start_duration_s.map_or(usize::MAX, |t| trace.rows.partition_point(|r| r.t_s <= t));
        let [off, of] = unaccounted(&case, &plant, &trace, at_speed.min(trace.rows.len() - 1));
        prop_assert!(off.abs() <= ENERGY * of, "{}: {} of {} J", name, off, of);
    }

    /// The same to the end of the trace, build-up of the load included.
    #[test]
    fn prop_energy_is_conserved_over_the_whole_trace((name, case) in direct()) {
        let plant = Plant::stiff(&case);
        let trace = plant.run(&Direct);
        let [off, of] = unaccounted(&case, &plant, &trace, trace.rows.len() - 1);
        prop_assert!(off.abs() <= ENERGY * of, "{}: {} of {} J", name, off, of);
    }
}
