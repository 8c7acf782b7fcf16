//! The start behind a variable-frequency drive, quasi-static (docs/models.md, "Drive").

use num_complex::Complex64;

use super::envelope::{AT_SPEED, Branch};
use super::network::{Bus, Running};
use super::trace::{Event, EventKind, Outcome, Row, Trace};
use crate::motor::Point;
use crate::starter::{Coupling, Drive};
use crate::supply::Supply;

/// Least line current, in parts of the largest: the network is not solved for none at all. A drive at rest takes some
/// hundredths (assumed).
const IDLE: f64 = 0.02;

/// Steps in speed.
const STEPS: u32 = 40;

/// Puts the start behind a drive in place of the one `trace` holds, that of the motor straight on the line, whose settled
/// state stays: there the current is the motor's own, which is on the safe side of what a drive takes.
pub fn drive(supply: &dyn Supply, running: Running, branch: &Branch<'_>, by: Drive, trace: &mut Trace) {
    let sync = branch.machine.sync_speed();
    let settled = trace.settled;
    trace.clear();
    trace.sync_speed = sync;
    let Some(settled) = settled else { return };
    // torque in proportion to the motor's current, at the flux of its rated point
    let has_nm = settled.torque_nm * by.largest_a / settled.line_a.max(f64::MIN_POSITIVE);
    let by_phases = if branch.machine.phases() == 3 { 3f64.sqrt() } else { 1.0 };
    let (mut t, mut before) = (0.0, 0.0);
    let pace = settled.speed / by.ramp_s.max(1e-3);
    trace.settled = Some(settled);
    for j in 0..=STEPS {
        let share = f64::from(j) / f64::from(STEPS);
        let speed = share * settled.speed;
        let load = if j == 0 { branch.load.breakaway() } else { branch.load.at(speed, t) };
        let spare = (has_nm - load) / branch.machine.inertia();
        if j > 0 && spare > 0.0 {
            t += (speed - before) / pace.min(spare);
        }
        let fed = line(supply, running, branch, by.largest_a * share.max(IDLE), t);
        let motor_v = share * fed.terminal_v;
        let apparent = by_phases * motor_v * by.largest_a;
        let pf = settled.power_w / settled.power_w.hypot(settled.reactive_var).max(f64::MIN_POSITIVE);
        let (power_w, reactive_var) = (apparent * pf, apparent * (1.0 - pf * pf).max(0.0).sqrt());
        trace.rows.push(Row {
            t_s: t,
            motor_v,
            power_w,
            reactive_var,
            speed,
            torque_nm: has_nm,
            load_nm: load,
            ..fed
        });
        if spare <= 0.0 {
            // the drive holds it there, at its limit
            trace.outcome = if share < 0.05 { Outcome::Stalls } else { Outcome::Hangs };
            let held = trace.rows.last().copied().unwrap_or_default();
            trace.rows.push(Row { t_s: branch.longest_start_s, ..held });
            return;
        }
        if trace.start_duration_s.is_none() && share >= AT_SPEED {
            trace.start_duration_s = Some(t);
            trace.events.push(Event { t_s: t, kind: EventKind::ReachesSpeed });
        }
        before = speed;
    }
    let late = trace.start_duration_s.is_some_and(|s| s > branch.longest_start_s);
    trace.outcome = if late { Outcome::TooSlow } else { Outcome::Starts };
    if late {
        trace.start_duration_s = None;
        return;
    }
    let end_s = t + 0.1 * by.ramp_s;
    trace.rows.push(Row { t_s: end_s, ..settled });
    trace.settled = Some(Row { t_s: end_s, ..settled });
}

/// The line while the drive takes this current at unity power factor.
fn line(supply: &dyn Supply, running: Running, branch: &Branch<'_>, amps: f64, t: f64) -> Row {
    let bus = Bus { source: supply.source(branch.closes_at_s + t), running };
    let way = branch.line();
    let mut v = bus.source.v;
    let mut row = Row::default();
    for _ in 0..60 {
        let y = Complex64::new(amps / v.max(f64::MIN_POSITIVE), 0.0);
        let points = [Point { y, torque_per_v2: 0.0 }];
        let solved = bus.solve(&points, &[way], &[Some(Coupling::Series { k: 1.0 })]);
        let [fed] = solved.fed;
        let to_line = if branch.machine.phases() == 3 { 3f64.sqrt() } else { 1.0 };
        let now = fed.terminal.norm();
        row = Row {
            line_a: fed.line.norm(),
            supply_a: solved.supply.norm(),
            terminal_v: now * to_line,
            ..Row::default()
        };
        if (now - v).abs() < 1e-9 * bus.source.v {
            break;
        }
        v = now;
    }
    row
}
