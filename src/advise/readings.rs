//! What a meter shows at a start: the reading a fitter expects beforehand, over the ranges of the figures.

use super::spread::Corners;
use crate::case::{Case, Path};
use crate::start::{Row, Trace};

/// A clamp meter's inrush range averages over about this long \[s\] (common practice, no source; the meter's manual says).
pub const METER_S: f64 = 0.1;

/// A reading with its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// At the figures' values.
    pub value: f64,
    /// Least over their ranges.
    pub low: f64,
    /// Largest.
    pub high: f64,
}

impl Reading {
    fn exact(value: f64) -> Reading {
        Reading { value, low: value, high: value }
    }

    fn widen(&mut self, other: f64) {
        self.low = self.low.min(other);
        self.high = self.high.max(other);
    }
}

/// What a meter shows at one start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// Largest line current, averaged over [`METER_S`], rms \[A\].
    pub inrush_a: Reading,
    /// Lowest voltage at the load, averaged alike \[V\].
    pub lowest_v: Reading,
    /// Line current once it runs at full load \[A\]; absent where it does not get there.
    pub running_a: Option<Reading>,
    /// Time until it is up to speed \[s\]; absent where it does not get there.
    pub up_s: Option<Reading>,
    /// Whether it comes up to speed over all the ranges.
    pub always_up: bool,
}

/// What one trace shows.
struct Shown {
    inrush_a: f64,
    lowest_v: f64,
    running_a: Option<f64>,
    up_s: Option<f64>,
}

/// Extreme of a column's mean over [`METER_S`], the mean of the squares under the root: the largest, or, by `lowest`, the least.
fn averaged(trace: &Trace, column: impl Fn(&Row) -> f64, lowest: bool) -> f64 {
    let rows = &trace.rows;
    let Some((first, last)) = rows.first().zip(rows.last()) else { return 0.0 };
    // the integral of the square up to each row, straight between rows
    let mut sum = 0.0;
    let mut sums = vec![0.0];
    for pair in rows.windows(2) {
        let [a, b] = [column(&pair[0]), column(&pair[1])];
        sum += (pair[1].t_s - pair[0].t_s) * (a * a + a * b + b * b) / 3.0;
        sums.push(sum);
    }
    let integral = |t: f64| -> f64 {
        let after = rows.partition_point(|r| r.t_s <= t).clamp(1, rows.len() - 1);
        let (a, b) = (&rows[after - 1], &rows[after]);
        let span = b.t_s - a.t_s;
        let share = if span > 0.0 { ((t - a.t_s) / span).clamp(0.0, 1.0) } else { 0.0 };
        sums[after - 1] + share * (sums[after] - sums[after - 1])
    };
    if last.t_s - first.t_s <= METER_S || rows.len() < 2 {
        let values = rows.iter().map(column);
        return if lowest { values.fold(f64::INFINITY, f64::min) } else { values.fold(0.0, f64::max) };
    }
    let ends = rows.iter().map(|r| r.t_s).chain(rows.iter().map(|r| r.t_s + METER_S));
    let ends = ends.filter(|t| *t >= first.t_s + METER_S && *t <= last.t_s);
    let means = ends.map(|t| ((integral(t) - integral(t - METER_S)) / METER_S).max(0.0).sqrt());
    if lowest { means.fold(f64::INFINITY, f64::min) } else { means.fold(0.0, f64::max) }
}

fn shown(path: &Path, trace: &mut Trace) -> Option<Shown> {
    let mut worst: Option<Shown> = None;
    super::every_variant(path, trace, |trace, _| {
        let now = Shown {
            inrush_a: averaged(trace, |row| row.line_a, false),
            lowest_v: averaged(trace, |row| row.terminal_v, true),
            running_a: trace.settled.map(|s| s.line_a),
            up_s: trace.start_duration_s,
        };
        worst = Some(match worst.take() {
            Some(before) if before.inrush_a >= now.inrush_a => before,
            _ => now,
        });
    });
    worst
}

/// What a meter shows at the start of a case; `None` where it cannot be run.
pub fn readings(case: &Case) -> Option<Readings> {
    let mut case = case.clone();
    case.settle_pressure();
    let mut path = Path::new(&case).ok()?;
    let mut trace = Trace::default();
    // what has no rotor is run by the angle that the search finds
    if path.is_inrush() {
        path.find_first_peak(&mut trace);
    }
    let own = shown(&path, &mut trace)?;
    let mut readings = Readings {
        inrush_a: Reading::exact(own.inrush_a),
        lowest_v: Reading::exact(own.lowest_v),
        running_a: own.running_a.map(Reading::exact),
        up_s: own.up_s.map(Reading::exact),
        always_up: own.up_s.is_some() || path.is_inrush(),
    };
    let corners = Corners::new(&case, &path);
    for corner in corners.paths() {
        let Some(at) = shown(corner, &mut trace) else { continue };
        readings.inrush_a.widen(at.inrush_a);
        readings.lowest_v.widen(at.lowest_v);
        if let (Some(running), Some(a)) = (&mut readings.running_a, at.running_a) {
            running.widen(a);
        }
        match (&mut readings.up_s, at.up_s) {
            (Some(up), Some(s)) => up.widen(s),
            _ => readings.always_up &= path.is_inrush(),
        }
    }
    Some(readings)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_over_the_meter_s_time_is_the_root_of_that_of_the_squares() {
        let row = |t_s: f64, line_a: f64| Row { t_s, line_a, ..Row::default() };
        // 40 A for 50 ms, then 10 A: sqrt((0.05 x 1600 + 0.05 x 100) / 0.1)
        let rows = vec![row(0.0, 40.0), row(0.05, 40.0), row(0.05, 10.0), row(1.0, 10.0)];
        let trace = Trace { rows, ..Trace::default() };
        let mean = averaged(&trace, |r| r.line_a, false);
        assert!((mean - 850f64.sqrt()).abs() < 1e-9, "{mean}");
        assert!((averaged(&trace, |r| r.line_a, true) - 10.0).abs() < 1e-9);
        // a ramp from 0 to 30 A over 0.3 s: the last 0.1 s of it, sqrt((30^3 - 20^3) / 30), straight between the rows
        let trace = Trace { rows: vec![row(0.0, 0.0), row(0.2, 20.0), row(0.3, 30.0)], ..Trace::default() };
        let mean = averaged(&trace, |r| r.line_a, false);
        assert!((mean - (19000.0f64 / 30.0).sqrt()).abs() < 1e-9, "{mean}");
    }
}
