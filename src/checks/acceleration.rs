//! Acceleration: does the motor overcome its load all the way, and reach speed in the time it has?

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Lack, Path};
use crate::start::{Outcome, Trace};

pub(super) struct Acceleration;

/// Fed with another frequency than it is rated for.
fn other_frequency(case: &Case) -> Option<String> {
    let rated = case.load.nameplate.rated_frequency_hz.as_ref()?.get();
    let supply = case.supply.frequency_hz.get();
    ((rated / supply - 1.0).abs() > 0.01).then(|| {
        format!(
            "rated for {} Hz, fed with {} Hz: reactances and load torque at another frequency are not modelled yet",
            say::number(rated),
            say::number(supply)
        )
    })
}

/// What the nameplate prints and no motor has together.
fn contradiction(case: &Case, path: &Path) -> Option<String> {
    if let Some(doubt) = &case.load.nameplate.doubt {
        return Some(doubt.clone());
    }
    let misses = path.fit.as_ref()?.misses().map(|m| {
        format!("{} {} is printed, {} is the nearest", m.what, say::number(m.given), say::number(m.reached))
    });
    let misses: Vec<String> = misses.collect();
    (!misses.is_empty())
        .then(|| format!("no motor has all the figures of this nameplate together: {}", misses.join("; ")))
}

impl Check for Acceleration {
    fn id(&self) -> &'static str {
        "acceleration"
    }

    fn needs(&self, case: &Case, path: Option<&Path>) -> Needs {
        if path.is_some() {
            Needs::Applies
        } else if case.load.motor.is_none() {
            Needs::Missing("load.motor_model")
        } else if case.torque().is_none() {
            Needs::Missing("load.load_torque_unequal")
        } else {
            match Path::new(case) {
                Err(Lack::Missing("locked_rotor_a")) => Needs::Missing("load.locked_rotor_a"),
                Err(Lack::Missing("rated_load_a")) => Needs::Missing("load.rated_load_a"),
                Err(Lack::Missing("inertia_s")) => Needs::Missing("load.inertia_s"),
                _ => Needs::NotModelled("this kind of starter"),
            }
        }
    }

    fn reservation(&self, case: &Case, path: &Path, _told: &Explanation) -> Option<String> {
        other_frequency(case).or_else(|| contradiction(case, path))
    }

    fn holds(&self, _path: &Path, trace: &Trace, _reading: Reading, k: f64) -> bool {
        trace.starts() && trace.least_torque_ratio() >= k * (1.0 - super::dose::ROUNDING)
    }

    fn status(&self, path: &Path, trace: &Trace, stretch: f64) -> super::Status {
        // a start that reaches speed has overcome its load; a ramp that waited at standstill did so with nothing to spare
        if self.holds(path, trace, Reading::Modelled, stretch) || stretch == 1.0 && trace.starts() {
            super::Status::Pass
        } else if trace.starts() {
            super::Status::Uncertain
        } else {
            super::Status::Fail
        }
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        let torque = trace.least_torque_ratio() - 1.0;
        if trace.starts() {
            return Margins::all(torque.max(0.0));
        }
        if torque < 0.0 {
            return Margins::all(torque);
        }
        // enough torque, not enough time: how much longer it would take
        let time = self.duration_given_time(path).map_or(-1.0, |s| path.longest_start_s / s - 1.0);
        Margins::all(time.min(-1e-6))
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        let speed = |w: f64| say::number(100.0 * w / trace.sync_speed);
        let end = trace.rows.last().map_or(0.0, |r| r.speed);
        let (why, demand, limit, unit) = match trace.outcome {
            Outcome::Starts => {
                let s = trace.start_duration_s.unwrap_or(0.0);
                let pull_out = trace.settled.map(|settled| {
                    let k = settled.motor_v / settled.terminal_v.max(1e-9);
                    path.pull_out_nm(settled.terminal_v * k) / settled.load_nm.max(1e-9)
                });
                let pull_out = pull_out.map_or(String::new(), |p| {
                    format!("; running, it could pull {} times its load", say::number(p))
                });
                (
                    format!("reaches speed in {}{pull_out}", say::seconds(s)),
                    Some(s),
                    Some(path.longest_start_s),
                    "s",
                )
            }
            Outcome::TooSlow => (
                format!("not up to speed after {}", say::seconds(path.longest_start_s)),
                self.duration_given_time(path),
                Some(path.longest_start_s),
                "s",
            ),
            Outcome::Hangs if margins.modelled > -1e-5 || trace.ratio_ahead.is_some_and(|r| r > 1.0) => (
                format!(
                    "only at {} % of full speed after {}",
                    speed(end),
                    say::seconds(path.longest_start_s)
                ),
                self.duration_given_time(path),
                Some(path.longest_start_s),
                "s",
            ),
            Outcome::Hangs => (
                format!("hangs at {} % of full speed: too little torque to get past it", speed(end)),
                None,
                None,
                "N m",
            ),
            Outcome::Stalls => {
                let row = trace.rows.first();
                let stuck = trace.rows.iter().all(|r| r.speed == 0.0);
                let why = if stuck {
                    "does not move: too little torque at standstill"
                } else {
                    "comes back to a standstill"
                };
                (why.into(), row.map(|r| r.load_nm), row.map(|r| r.torque_nm), "N m")
            }
        };
        let sentence = match (unit, demand, limit) {
            ("N m", Some(needed), Some(has)) => format!(
                "the motor needs {} N m to move its load and has {} N m: {} N m too little",
                say::number(needed),
                say::number(has),
                say::number((needed - has).abs())
            ),
            ("s", Some(takes), Some(has)) => format!(
                "the motor needs {} to reach speed and has {}: {} {}",
                say::seconds(takes),
                say::seconds(has),
                say::seconds((takes - has).abs()),
                if takes > has { "too long" } else { "to spare" }
            ),
            _ => format!("the motor {why}"),
        };
        Explanation {
            sentence,
            demand,
            limit,
            unit,
            at_s: None,
            rule: "motor torque above load torque from standstill to 0.9 of settled speed, and 95 % of settled speed within \
                   the longest start"
                .into(),
            why,
        }
    }
}

impl Acceleration {
    /// Start duration if the attempt were given twenty times as long \[s\].
    fn duration_given_time(&self, path: &Path) -> Option<f64> {
        let mut trace = Trace::default();
        let mut longest: Option<f64> = Some(0.0);
        for variant in 0..path.variants() {
            path.run_for(variant, 20.0 * path.longest_start_s, &mut trace);
            longest = longest.zip(trace.start_duration_s).map(|(a, b)| a.max(b));
        }
        longest
    }
}
