//! A start at the waveform level as a trace of root mean squares, for everything that judges by those.

use super::{Closing, Cycle, Cycles, waveform};
use crate::start::envelope::LEAST_RUNNING;
use crate::start::trace::{Event, EventKind, Outcome, Row, Trace};
use crate::starter::Coupling;

/// Rows to the cycle: breakers and ratings act over cycles, not parts of them.
const ROWS: usize = 4;

/// Puts the start at the waveform level in place of the one `trace` holds, that of the envelope level, whose settled state stays.
///
/// A row holds the root mean squares of the cycle before it, the line with the largest current for three phases; the first
/// cycle's stand from switch-on. Once the start is over and only the load's slow course is left, the envelope's rows go on. `false`,
/// with the trace untouched, for a machine without instantaneous equations.
pub fn fill(closing: &Closing<'_>, trace: &mut Trace) -> bool {
    let phases = closing.branch.machine.phases();
    let mut cycles = Cycles::new(closing.frequency_hz, phases);
    if let Some(speed) = closing.settled_speed {
        cycles = cycles.until_calm(speed);
    }
    let Some(ending) = waveform(closing, &mut cycles) else { return false };
    let over_s = |events: &[Event]| events.iter().find(|e| e.kind == EventKind::ChangesOver).map(|e| e.t_s);
    let slow: Vec<Row> = trace.rows.iter().filter(|r| r.t_s > ending.end_s).copied().collect();
    trace.rows.clear();
    let step = Cycles::parts() / ROWS;
    for point in (0..cycles.points()).step_by(step) {
        let Some(cycle) = cycles.window(point) else { break };
        let t_s = cycles.time(point);
        let over = over_s(&ending.events).is_some_and(|at| t_s >= at);
        trace.rows.push(row(closing, t_s, over, point == 0, &cycle));
    }
    let later: Vec<Event> = trace.events.iter().filter(|e| e.t_s > ending.end_s).copied().collect();
    trace.events = ending.events;
    trace.events.extend(later.into_iter().filter(|e| e.kind == EventKind::ChangesOver));
    trace.start_duration_s = ending.start_duration_s;
    trace.cut_short = ending.cut_short;
    (trace.steps, trace.evaluations) = (ending.steps, ending.evaluations);
    let fastest = trace.rows.last().map_or(0.0, |r| r.speed) / trace.sync_speed;
    trace.outcome = match trace.start_duration_s {
        Some(_) => Outcome::Starts,
        None if fastest < 0.05 => Outcome::Stalls,
        None if fastest < LEAST_RUNNING => Outcome::Hangs,
        None => Outcome::TooSlow,
    };
    if trace.starts() {
        trace.ratio_ahead = None;
        trace.rows.extend(slow);
    }
    let end = trace.rows.last().map_or(0.0, |r| r.t_s);
    if let Some(settled) = &mut trace.settled {
        settled.t_s = end;
    }
    true
}

fn row(closing: &Closing<'_>, t_s: f64, over: bool, standing: bool, cycle: &Cycle) -> Row {
    let branch = closing.branch;
    let three = branch.machine.phases() == 3;
    let largest = |lines: [f64; 3]| lines.into_iter().fold(0.0, f64::max);
    let terminal_v = if three { Cycle::over_phases(cycle.terminal_v, 3) } else { cycle.terminal_v[0] };
    let k = match branch.starter.coupling(t_s, over) {
        Coupling::Series { k } | Coupling::Transformer { k } => k,
        Coupling::Limit { .. } | Coupling::Chopped { .. } => 1.0,
    };
    let line_a = largest(cycle.line_a);
    let apparent = terminal_v
        * Cycle::over_phases(cycle.line_a, if three { 3 } else { 1 })
        * if three { 3f64.sqrt() } else { 1.0 };
    let speed = if standing { 0.0 } else { cycle.speed };
    Row {
        t_s,
        line_a,
        supply_a: largest(cycle.supply_a),
        terminal_v,
        motor_v: k * terminal_v,
        power_w: cycle.power_w,
        reactive_var: (apparent * apparent - cycle.power_w * cycle.power_w).max(0.0).sqrt(),
        speed,
        torque_nm: cycle.torque_nm,
        load_nm: if standing { branch.load.breakaway() } else { branch.load.at(speed, t_s) },
    }
}
