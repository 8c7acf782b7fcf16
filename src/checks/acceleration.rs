//! Acceleration: does the motor overcome its load all the way, and reach speed in the time it has?

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Lack, Path};
use crate::start::{AfterDip, EventKind, Outcome, RideThrough, Trace};

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

/// What opened on the way up and does not close again, in words, with the speed it opened at.
fn start_parts_out(trace: &Trace) -> Option<String> {
    let parts = [
        (EventKind::StartSwitchOpens, "its start switch opened at", "does not close again"),
        (EventKind::AssistLeaves, "its start capacitor left at", "does not come back"),
    ];
    parts.into_iter().find_map(|(kind, what, never)| {
        let row = trace.at(trace.event_s(kind)?)?;
        Some(format!(
            "{what} {} % of full speed and {never}",
            say::number(100.0 * row.speed / trace.sync_speed)
        ))
    })
}

/// What a failed start owes to start parts that are out: empty where they are still in.
fn on_the_running_winding(trace: &Trace) -> String {
    let (Some(out), Some(end)) = (start_parts_out(trace), trace.rows.last()) else { return String::new() };
    let switch = trace.event_s(EventKind::StartSwitchOpens).is_some();
    let left = if switch { "on the running winding" } else { "without it" };
    let gains = trace.ratio_ahead.is_some_and(|r| r > 1.0);
    let course = match trace.outcome {
        Outcome::Hangs if !gains => "hangs",
        Outcome::Stalls => "stands",
        _ => "is",
    };
    format!(
        "; {out}: {left} it {course} at {} %, drawing {} A",
        say::number(100.0 * end.speed / trace.sync_speed),
        say::number(end.line_a)
    )
}

/// Whether the motor is lost in the dip it is to survive.
fn lost(trace: &Trace) -> Option<RideThrough> {
    trace.after_dip.filter(|dip| dip.after != AfterDip::Runs)
}

/// What becomes of the running motor in a dip; empty without one.
fn through_the_dip(path: &Path, trace: &Trace) -> String {
    let (Some(dip), Some(out)) = (path.dip(), trace.after_dip) else { return String::new() };
    let speed = |w: f64| say::number(100.0 * w / trace.sync_speed);
    let dip =
        format!("a dip to {} % of the voltage for {}", say::number(100.0 * dip.to), say::seconds(dip.for_s));
    let down = format!("{dip} takes it down to {} % of full speed", speed(out.lowest));
    let parts = match start_parts_out(trace) {
        Some(out) => format!("{out}, and "),
        None => String::new(),
    };
    match out.after {
        AfterDip::Runs => match out.back_s {
            Some(s) if s > 0.0 => format!("; {down}, and it is back {} later", say::seconds(s)),
            _ => format!("; {down}, and it runs on"),
        },
        AfterDip::Hangs => format!(
            ", but {down} and it does not come back: {parts}it hangs at {} %, drawing {} A",
            speed(out.speed),
            say::number(out.line_a)
        ),
        AfterDip::Stalls => format!(
            ", but {down} and it does not come back: {parts}it comes to a standstill, drawing {} A",
            say::number(out.line_a)
        ),
    }
}

impl Check for Acceleration {
    fn id(&self) -> &'static str {
        "acceleration"
    }

    fn needs(&self, case: &Case, path: Option<&Path>) -> Needs {
        if case.load.inrush.is_some() {
            // nothing has to get up to speed against a load, but a starter is none for it, and a path that cannot be run says why
            match path {
                Some(path) if path.unfit.is_some() => Needs::Applies,
                Some(_) => Needs::Absent,
                None => match Path::new(case) {
                    Err(Lack::Missing(key)) => Needs::Missing(key),
                    Err(Lack::NotModelled(what)) => Needs::NotModelled(what),
                    Ok(_) => Needs::Absent,
                },
            }
        } else if path.is_some() {
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
                Err(Lack::Missing("starter.initial_fraction")) => {
                    Needs::Missing("load.starter.initial_fraction")
                }
                Err(Lack::Missing("starter.changeover_s")) => Needs::Missing("load.starter.changeover_s"),
                Err(Lack::Missing("starter.ramp_s")) => Needs::Missing("load.starter.ramp_s"),
                Err(Lack::Missing("starter.largest_a")) => Needs::Missing("load.starter.largest_a"),
                _ => Needs::NotModelled("this kind of starter"),
            }
        }
    }

    fn reservation(&self, case: &Case, path: &Path, _told: &Explanation) -> Option<String> {
        other_frequency(case).or_else(|| contradiction(case, path))
    }

    fn holds(&self, path: &Path, trace: &Trace, _reading: Reading, k: f64) -> bool {
        if path.unfit.is_some() {
            return false;
        }
        let enough = k * (1.0 - super::dose::ROUNDING);
        let rides = lost(trace).is_none() && trace.after_dip.is_none_or(|dip| dip.ratio >= enough);
        trace.starts() && trace.least_torque_ratio() >= enough && rides
    }

    // no start current, small or large, helps a running motor through a dip
    fn holds_start(&self, _path: &Path, trace: &Trace) -> bool {
        trace.starts()
    }

    fn status(&self, path: &Path, trace: &Trace, stretch: f64) -> super::Status {
        if path.unfit.is_some() {
            return super::Status::Fail;
        }
        // a start that reaches speed has overcome its load; a ramp that waited at standstill did so with nothing to spare
        let runs = trace.starts() && lost(trace).is_none();
        if self.holds(path, trace, Reading::Modelled, stretch) || stretch == 1.0 && runs {
            super::Status::Pass
        } else if runs {
            super::Status::Uncertain
        } else {
            super::Status::Fail
        }
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        if path.unfit.is_some() {
            return Margins::all(-1.0);
        }
        let torque = trace.least_torque_ratio() - 1.0;
        if let Some(lost) = lost(trace) {
            return Margins::all(lost.ratio - 1.0);
        }
        let back = trace.after_dip.map_or(f64::INFINITY, |dip| dip.ratio - 1.0);
        if trace.starts() {
            return Margins::all(torque.min(back).max(0.0));
        }
        if torque < 0.0 {
            return Margins::all(torque);
        }
        // enough torque, not enough time: how much longer it would take
        let time = self.duration_given_time(path).map_or(-1.0, |s| path.longest_start_s / s - 1.0);
        Margins::all(time.min(-1e-6))
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        // a starter that is none for this motor: what the simulation makes of it does not matter
        if let Some(reason) = &path.unfit {
            return Explanation {
                sentence: reason.clone(),
                why: reason.clone(),
                unit: "N m",
                rule: "a starter has to be one for this motor and supply (docs/models.md, \"Wrong cures\")"
                    .into(),
                ..Explanation::default()
            };
        }
        let speed = |w: f64| say::number(100.0 * w / trace.sync_speed);
        let end = trace.rows.last().map_or(0.0, |r| r.speed);
        let parts = on_the_running_winding(trace);
        let ended = super::overload_protector::ends_it(path, trace);
        let (why, demand, limit, unit) = match trace.outcome {
            Outcome::Starts if lost(trace).is_some() => {
                let s = trace.start_duration_s.unwrap_or(0.0);
                let why = format!("reaches speed in {}{}", say::seconds(s), through_the_dip(path, trace));
                (why, None, None, "N m")
            }
            Outcome::Starts => {
                let s = trace.start_duration_s.unwrap_or(0.0);
                let pull_out = trace.settled.map(|settled| {
                    let k = settled.motor_v / settled.terminal_v.max(1e-9);
                    path.pull_out_nm(settled.terminal_v * k) / settled.load_nm.max(1e-9)
                });
                // a motor without a load worth the name could pull any number of it
                let pull_out = pull_out.filter(|p| *p < 100.0).map_or(String::new(), |p| {
                    format!("; running, it could pull {} times its load", say::number(p))
                });
                (
                    format!("reaches speed in {}{pull_out}{}", say::seconds(s), through_the_dip(path, trace)),
                    Some(s),
                    Some(path.longest_start_s),
                    "s",
                )
            }
            Outcome::TooSlow => (
                format!("not up to speed after {}{parts}{ended}", say::seconds(path.longest_start_s)),
                self.duration_given_time(path),
                Some(path.longest_start_s),
                "s",
            ),
            Outcome::Hangs if margins.modelled > -1e-5 || trace.ratio_ahead.is_some_and(|r| r > 1.0) => (
                format!(
                    "only at {} % of full speed after {}{parts}{ended}",
                    speed(end),
                    say::seconds(path.longest_start_s)
                ),
                self.duration_given_time(path),
                Some(path.longest_start_s),
                "s",
            ),
            Outcome::Hangs => (
                format!(
                    "hangs at {} % of full speed: too little torque to get past it{parts}{ended}",
                    speed(end)
                ),
                None,
                None,
                "N m",
            ),
            Outcome::Stalls => {
                let row = trace.rows.first();
                let stuck = trace.rows.iter().all(|r| r.speed == 0.0);
                if stuck {
                    let why = format!("does not move: too little torque at standstill{ended}");
                    (why, row.map(|r| r.load_nm), row.map(|r| r.torque_nm), "N m")
                } else {
                    // what it had at first was enough
                    (format!("comes back to a standstill{parts}{ended}"), None, None, "N m")
                }
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
                "the motor needs {} to reach speed and has {}: {} {}{}",
                say::seconds(takes),
                say::seconds(has),
                say::seconds((takes - has).abs()),
                if takes > has { "too long" } else { "to spare" },
                through_the_dip(path, trace)
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
                   the longest start; where the supply dips, back to settled speed after it"
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
