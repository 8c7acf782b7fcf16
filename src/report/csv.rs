//! Traces as CSV.

use std::fmt::Write as _;

use super::json::rounded;
use crate::quantity::Rpm;
use crate::start::Trace;
use crate::start::waveform::Moment;

/// The columns of a trace.
pub const HEADER: &str = "time_s,line_rms_a,supply_rms_a,terminal_v,speed_rpm,motor_torque_nm,load_torque_nm";

/// A trace as CSV: the moments of the simulation, or one every `step_s` seconds in straight lines between them.
pub fn trace(trace: &Trace, step_s: Option<f64>) -> String {
    let mut out = format!("{HEADER}\n");
    let end = trace.rows.last().map_or(0.0, |r| r.t_s);
    let rows: Vec<_> = match step_s {
        None => trace.rows.clone(),
        Some(step) => {
            let count = (end / step).floor() as usize;
            (0..=count)
                .filter_map(|i| {
                    let t = i as f64 * step;
                    trace.at(t).map(|row| crate::start::Row { t_s: t, ..row })
                })
                .collect()
        }
    };
    for row in rows {
        let numbers = [
            row.t_s,
            row.line_a,
            row.supply_a,
            row.terminal_v,
            Rpm::from_rad_per_s(row.speed).0,
            row.torque_nm,
            row.load_nm,
        ];
        let cells: Vec<String> =
            numbers.iter().map(|&x| rounded(x).map_or(String::new(), |x| x.to_string())).collect();
        // writing into a string does not fail
        let _ = writeln!(out, "{}", cells.join(","));
    }
    out
}

/// The columns of a start at the waveform level.
pub const INSTANTS: &str = "time_s,line_a,line_b_a,line_c_a,terminal_v,speed_rpm,motor_torque_nm";

/// Instants as CSV; the columns of lines b and c are empty for a single phase, the voltage is that between lines a and b for
/// three.
pub fn instants(moments: &[Moment], phases: u32) -> String {
    // some seventy bytes to the row
    let mut out = String::with_capacity(70 * (moments.len() + 1));
    out.push_str(INSTANTS);
    out.push('\n');
    let cell = |x: f64| rounded(x).map_or(String::new(), |x| x.to_string());
    for m in moments {
        let [a, b, c] = m.line_a;
        let others = if phases == 3 { [cell(b), cell(c)] } else { [String::new(), String::new()] };
        let [b, c] = others;
        let rest = [m.terminal_v[0], Rpm::from_rad_per_s(m.speed).0, m.torque_nm].map(cell);
        // times to the nanosecond: six digits of a late one would be coarse against the step
        let t = (m.t_s * 1e9).round() / 1e9;
        // writing into a string does not fail
        let _ = writeln!(out, "{t},{},{b},{c},{},{},{}", cell(a), rest[0], rest[1], rest[2]);
    }
    out
}
