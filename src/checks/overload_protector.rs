//! Overload protector: does the motor's own protector, or the relay before it, carry the start and the running current?

use super::{Check, Explanation, MODEL_RESERVE, Margins, Needs, Reading, Status, say};
use crate::case::{Case, Ended, OverloadDevice, Path};
use crate::numeric::curve::Curve;
use crate::protection::thermal::{Heat, Thermal};
use crate::standards::{Rules, nfpa_70::overload};
use crate::start::{Row, Trace};

pub(super) struct OverloadProtector;

/// What a standard promises, from cold.
fn promised(path: &Path, curve: &Curve, trace: &Trace, k: f64) -> bool {
    // the tests of a standard begin cold
    !path.warm && super::dose::carries_by(curve, None, trace, &|row: &Row| path.motor_a(row), k)
}

/// The margins of one device. To fail takes every corner of its range, to be promised none.
fn margins_of(path: &Path, device: &OverloadDevice, trace: &Trace) -> Margins {
    let [modelled, least, most] = path.thermal_margins(device, trace);
    let guaranteed = match &device.promised {
        None => least,
        Some(curve) => super::largest_factor(|k| promised(path, curve, trace, k)) - 1.0,
    };
    Margins { guaranteed, modelled, to_fail: most.max(modelled) }
}

/// Whether a device's reading between its promise and its certain trip rests on a curve that is assumed.
fn assumed(device: &OverloadDevice) -> bool {
    device.promised.is_some()
}

/// How a device comes out, what must be held being stretched.
///
/// The reserve of an assumed curve is for the start: what a relay carries while running is promised, and one that is set as it
/// should be leaves no quarter there.
fn status_of(path: &Path, device: &OverloadDevice, trace: &Trace, stretch: f64) -> Status {
    let course = path.course(trace);
    let carries = |thermal: &Thermal, k: f64| path.carries_start(thermal, trace, &course, k);
    let by_promise = || match &device.promised {
        None => device.corners.iter().all(|thermal| carries(thermal, stretch)),
        Some(curve) => promised(path, curve, trace, stretch),
    };
    let reserved = ((1.0 + MODEL_RESERVE) * stretch).powi(-2);
    let by_model = || {
        assumed(device)
            && carries(&device.modelled, stretch)
            && path.starts_within(&device.modelled, trace, &course, reserved)
    };
    if by_promise() || by_model() {
        Status::Pass
    } else if !carries(&device.modelled, 1.0)
        && !device.corners.iter().rev().any(|thermal| carries(thermal, 1.0))
    {
        Status::Fail
    } else {
        Status::Uncertain
    }
}

/// The device that decides, with its margins and status: worst status, then least margin.
fn tightest<'a>(path: &'a Path, trace: &Trace) -> Option<(&'a OverloadDevice, Margins, Status)> {
    let of = |device: &'a OverloadDevice| {
        let margins = margins_of(path, device, trace);
        (device, margins, status_of(path, device, trace, 1.0))
    };
    let worse = |a: &(_, Margins, Status), b: &(_, Margins, Status)| {
        a.2.cmp(&b.2).then(b.1.modelled.total_cmp(&a.1.modelled))
    };
    path.overload.devices().map(of).max_by(worse)
}

/// "3 to 20 s", "8 s", "3 s or more"; two digits, more would not be known.
fn span(times: [f64; 2]) -> String {
    let rough = |s: f64| {
        let unit = 10f64.powf(s.max(1e-6).log10().floor() - 1.0);
        if s.is_finite() { (s / unit).round() * unit } else { s }
    };
    let [low, high] = times.map(rough);
    if high.is_infinite() {
        return format!("{} or more", say::seconds(low));
    }
    let (from, to) = (say::seconds(low), say::seconds(high));
    match (from.split_once(' '), to.split_once(' ')) {
        _ if from == to => to,
        (Some((number, unit)), Some((_, same))) if unit == same => format!("{number} to {to}"),
        _ => format!("{from} to {to}"),
    }
}

/// "after 3 to 20 s"; what may trip at once, since running has warmed it to its limit, has no least time.
fn after(times: [f64; 2]) -> String {
    match times {
        [low, high] if high < 1e-3 && low < 1e-3 => "at once".into(),
        [low, high] if low < 1e-3 && high.is_finite() => format!("at once or within {}", span([high; 2])),
        times => format!("after {}", span(times)),
    }
}

fn name(path: &Path, device: &OverloadDevice) -> &'static str {
    if path.overload.relay.as_ref() == Some(device) {
        "the overload relay"
    } else {
        "the motor's own protector"
    }
}

/// What ends an attempt that does not get up to speed, as the rest of a sentence; empty where no protector is known.
pub(super) fn ends_it(path: &Path, trace: &Trace) -> String {
    if trace.starts() || path.overload.devices().next().is_none() {
        return String::new();
    }
    let Some(Ended { after_s, reset_s, again_s }) = path.ended(trace) else {
        return "; its current is below what trips the protector: nothing ends the attempt".into();
    };
    let verb = if after_s[1].is_infinite() { "may end" } else { "ends" };
    let mut told = format!("; the protector {verb} the attempt {}", after(after_s));
    if let Some(reset) = reset_s {
        told.push_str(&format!(", stays open for {}", span(reset)));
    }
    match again_s {
        Some(again) => told.push_str(&format!(
            " and finds the motor warm at the next try, which it ends {}: repeated tries heat it",
            after(again)
        )),
        None => told.push_str("; repeated tries heat the motor"),
    }
    told
}

/// An overload device that lets more pass than NFPA 70 allows, in words.
pub(crate) fn beyond_rule(case: &Case, path: &Path) -> Option<String> {
    let plate = &case.load.nameplate;
    let rated = plate.rated_load().filter(|_| case.rules == Rules::NorthAmerica)?;
    let beyond = |amps: f64, times: f64, of: f64, what: &str, rule: &str| {
        (amps > times * of * (1.0 + super::dose::ROUNDING)).then(|| {
            format!(
                "{what} of {} A is above {:.0} % of {} A, the most that NFPA 70 {rule} allows",
                say::number(amps),
                100.0 * times,
                say::number(of)
            )
        })
    };
    let selection = plate.branch_selection_a.as_ref().map_or(rated, |f| f.get().max(rated));
    let relay = case.load.overload.as_ref().and_then(|relay| {
        let amps = relay.setting_a.get();
        match plate.hermetic {
            true => beyond(amps, overload::HERMETIC_RELAY, rated, "the relay's setting", "440.52(A)(1)"),
            false => beyond(amps, overload::STEPPED_UP_COOL, rated, "the relay's setting", "430.32(C)"),
        }
    });
    let own = path.overload.own.as_ref().and_then(|own| {
        let (amps, what) = (own.modelled.pickup_a(), "the protector's pickup");
        match plate.hermetic {
            true => beyond(amps, overload::HERMETIC_PROTECTOR, selection, what, "440.52(B)"),
            false => beyond(amps, overload::thermal_protector(rated), rated, what, "430.32(A)(2)"),
        }
    });
    relay.or(own)
}

impl Check for OverloadProtector {
    fn id(&self) -> &'static str {
        "overload-protector"
    }

    fn needs(&self, case: &Case, path: Option<&Path>) -> Needs {
        if case.load.inrush.is_some() {
            // there is no rotor to be locked
            return Needs::Absent;
        }
        if case.load.protector.is_none() && case.load.overload.is_none() {
            return Needs::NotGiven;
        }
        match path.and_then(|path| path.overload.lack) {
            Some(key) => Needs::Missing(key),
            None => Needs::Applies,
        }
    }

    fn rests_on_duration(&self) -> bool {
        true
    }

    fn lacks(&self, case: &Case) -> Option<(&'static str, &'static str)> {
        let by_class = case.load.protector.as_ref().is_some_and(|p| p.by_class);
        by_class.then_some((
            "load.protector.trip_at_locked_rotor_s",
            "the protector is that of the class, not of this unit",
        ))
    }

    // its worst corners are long starts and large running currents, which others look for; where neither is near its range
    // its corner is an arbitrary one, and would narrow the windows for no reason of its own
    fn picks_corners(&self) -> bool {
        false
    }

    // what does not get up to speed is ended by it in any case: the acceleration check says when
    fn has_subject(&self, _path: &Path, trace: &Trace) -> bool {
        trace.starts()
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        let margins = self.margins(path, trace);
        let margin = match reading {
            Reading::Guaranteed => margins.guaranteed,
            Reading::Modelled => margins.modelled,
            Reading::ToFail => margins.to_fail,
        };
        k <= (1.0 + margin) * (1.0 + super::dose::ROUNDING)
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        if !trace.starts() {
            return Margins::all(f64::INFINITY);
        }
        let each = path.overload.devices().map(|device| margins_of(path, device, trace));
        each.fold(Margins::all(f64::INFINITY), Margins::min)
    }

    fn status(&self, path: &Path, trace: &Trace, stretch: f64) -> Status {
        if !trace.starts() {
            return Status::Pass;
        }
        let of = |device: &OverloadDevice| status_of(path, device, trace, stretch);
        path.overload.devices().map(of).max().unwrap_or(Status::Pass)
    }

    fn explain(&self, path: &Path, trace: &Trace, _margins: &Margins) -> Explanation {
        let Some((device, margins, status)) = tightest(path, trace) else { return Explanation::default() };
        let name = name(path, device);
        let locked = device.corners.iter().map(|c| c.trips_in(Heat::default(), path.locked_rotor_a));
        let locked = locked.fold([f64::INFINITY, 0.0_f64], |[low, high], s| {
            let s = s.unwrap_or(f64::INFINITY);
            [low.min(s), high.max(s)]
        });
        let settled = trace.settled.map_or(0.0, |row| path.motor_a(&row));
        let pickups = device.corners.iter().map(|c| c.pickup_a());
        let [least, most] =
            pickups.fold([f64::INFINITY, 0.0_f64], |[low, high], a| [low.min(a), high.max(a)]);
        let carries = match say::number(least) == say::number(most) {
            true => format!("{} A", say::number(most)),
            false => format!("{} to {} A", say::number(least), say::number(most)),
        };
        let in_the_start = path.start_margin(&device.modelled, trace);
        // what decides: the current that goes on for ever, or the start
        let running = match &device.promised {
            // it must leave a quarter in the start, and nothing in running: a pass hangs on the one that has less in hand
            Some(_) => settled > least || status == Status::Pass && margins.modelled < in_the_start,
            None => {
                path.warmest(&device.modelled, Heat::default(), trace)
                    <= device.modelled.steady(settled).element
            }
        };
        let demand =
            if running { settled } else { trace.rows.iter().map(|r| path.motor_a(r)).fold(0.0, f64::max) };
        let margin = if running || !assumed(device) { margins.modelled } else { in_the_start };
        let limit = (1.0 + margin) * demand;
        let share = |thermal| path.warmest(thermal, path.heat_before(thermal, trace), trace);
        let warmest = device.corners.iter().map(share).fold(0.0, f64::max);
        let start = if path.warm { "straight after running the start" } else { "the start" };
        let why = match (status, running) {
            (Status::Pass, true) if device.promised.is_none() => {
                format!("running takes {} A, {name} carries {carries} for ever", say::number(settled))
            }
            (Status::Pass, false) if device.promised.is_none() => {
                format!("{start} warms {name} to {:.0} % of what trips it at the most", 100.0 * warmest)
            }
            (Status::Pass, _) if margins.guaranteed >= 0.0 => {
                format!("{start} is inside what the class of {name} promises to hold")
            }
            (Status::Pass, _) => {
                format!("{start} holds by more than a quarter on the assumed early edge of {name}'s class")
            }
            (_, true) => {
                format!("running takes {} A, {name} carries {carries} for ever", say::number(settled))
            }
            (Status::Uncertain, _) if assumed(device) && in_the_start >= 0.0 => {
                format!("{start} holds by less than a quarter on the assumed early edge of {name}'s class")
            }
            (Status::Uncertain, _) => format!("{start} is inside the range where {name} may trip"),
            (Status::Fail, _) => format!("{name} trips before the motor is up to speed"),
        };
        let ready = path.ready_s(device, trace).map_or(String::new(), |s| {
            format!("; after a trip at locked rotor such a start passes again in {}", span(s))
        });
        let (what, time) = if running { ("running", "for ever") } else { (start, "for a start this long") };
        let sentence = format!(
            "{what} asks {name} for {} A, by its model it carries {} A {time}: {}; it carries {carries} for ever and trips \
             after {} at locked rotor",
            say::number(demand),
            say::number(limit),
            say::difference(demand, limit, "A"),
            span(locked)
        );
        Explanation {
            sentence,
            demand: Some(demand),
            limit: Some(limit),
            unit: "A",
            at_s: None,
            rule: "heat by the square of the current stays below that of a trip, through the start and while running, \
                   over the range of the protector; a relay by its class, IEC 60947-4-1"
                .into(),
            why: why + &ready,
        }
    }
}
