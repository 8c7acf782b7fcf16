//! Overload protection of a motor at one value for each figure of the case: thermal models over the ranges of their own.
//!
//! The figures of a protector take no part in the corners of a case: like the band of a breaker they are the device's own
//! spread, and every reading is taken over it here.

use super::{LoadFigures, Path};
use crate::figure::Figure;
use crate::numeric::curve::{Curve, Law, Piece};
use crate::protection::thermal::{Heat, Thermal};
use crate::protection::{OverloadFigures, ProtectorFigures, ProtectorKind};
use crate::quantity::{Ampere, Quantity};
use crate::standards::iec_60947_4_1 as relay;
use crate::start::{Row, Trace};

/// An overload device at the corners of its range.
#[derive(Debug, Clone, PartialEq)]
pub struct OverloadDevice {
    /// Its model at the values; of a relay the early edge of its class.
    pub modelled: Thermal,
    /// The models at the corners of its range, the values among them.
    pub corners: Vec<Thermal>,
    /// What its standard promises to hold from cold, amperes; absent where the corners are all there is.
    pub promised: Option<Curve>,
    /// How long it stays open after a trip: low, high \[s\]; absent where it is not known, or closed by hand.
    pub reset_s: Option<[f64; 2]>,
}

/// The overload protection of a load.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Overload {
    /// The motor's own protector.
    pub own: Option<OverloadDevice>,
    /// The relay before it.
    pub relay: Option<OverloadDevice>,
    /// A key below the case without which its own protector is not known.
    pub lack: Option<&'static str>,
}

/// What of a start is enough to see, mostly, what becomes of a protector without a step of its model.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Course {
    /// Largest current of the motor \[A\].
    largest_a: f64,
    /// Integral of its square \[A^2 s\].
    i2t: f64,
    /// The same up to the last moment at half the largest current or more \[A^2 s\].
    hot_i2t: f64,
    /// That moment, from switch-on \[s\].
    hot_s: f64,
    /// The current that goes on for ever, if the motor gets up to speed \[A\].
    settled_a: Option<f64>,
}

impl Course {
    /// Between which two the warmest of a start from `heat` and of the running after it lies.
    fn bounds(&self, thermal: &Thermal, heat: Heat) -> [f64; 2] {
        let running = self.settled_a.map_or(0.0, |a| thermal.steady(a).element);
        let least = thermal.at_least(heat, self.hot_i2t, self.hot_s);
        let most = thermal.at_most(heat, self.largest_a, self.i2t);
        [least.max(running).max(heat.element), most.max(running)]
    }

    /// No more than this does the start alone warm it.
    fn start_at_most(&self, thermal: &Thermal, heat: Heat) -> f64 {
        thermal.at_most(heat, self.largest_a, self.i2t)
    }
}

/// Relative width within which a heat counts as sitting on its limit.
const ROUNDING: f64 = 1e-9;

fn bounds<Q: Quantity>(figure: &Figure<Q>) -> [f64; 3] {
    [figure.get(), figure.low.get(), figure.high.get()]
}

impl Overload {
    /// What `load` has, with its rated-load current and that at locked rotor, both at rated voltage \[A\].
    pub(super) fn of(load: &LoadFigures, rated_a: Option<f64>, locked_a: f64) -> Overload {
        if load.inrush.is_some() {
            return Overload::default();
        }
        let relay = load.overload.as_ref().map(relay_device);
        let Some(figures) = &load.protector else { return Overload { relay, ..Overload::default() } };
        let most = load.nameplate.maximum_continuous_a.as_ref();
        match own(figures, most, rated_a, locked_a) {
            Ok(own) => Overload { own: Some(own), relay, lack: None },
            Err(lack) => Overload { own: None, relay, lack: Some(lack) },
        }
    }

    /// Every device.
    pub fn devices(&self) -> impl Iterator<Item = &OverloadDevice> {
        self.own.iter().chain(&self.relay)
    }
}

/// A relay by the tests of its class.
fn relay_device(figures: &OverloadFigures) -> OverloadDevice {
    let [early_s, late_s] = figures.class.from_cold_s();
    let [setting, low, high] = bounds(&figures.setting_a);
    let early = |setting: f64| {
        Thermal::one_body_by_stall(relay::NON_TRIPPING * setting, relay::FROM_COLD * setting, early_s)
    };
    // the latest that both of its tests allow, from cold and warm
    let late = |setting: f64| {
        let pickup = relay::TRIPPING * setting;
        let unit = Thermal::one_body(pickup, 1.0);
        let by_cold = late_s / unit.trips_in(Heat::default(), relay::FROM_COLD * setting)?;
        let by_warm = figures.class.warm_s() / unit.trips_in(unit.steady(setting), relay::WARM * setting)?;
        Some(Thermal::one_body(pickup, by_cold.min(by_warm)))
    };
    let mut corners: Vec<Thermal> =
        [early(low), early(high), late(low), late(high)].into_iter().flatten().collect();
    sort(&mut corners);
    let promised = Curve::new(
        [
            Piece { up_to: relay::NON_TRIPPING * low, law: Law::Forever },
            Piece { up_to: relay::FROM_COLD * low, law: Law::For(early_s) },
        ],
        Law::Never,
    );
    // the pickup is below the test current by their constants: there is always a model
    let modelled = early(setting).unwrap_or(Thermal::one_body(setting, early_s));
    OverloadDevice { modelled, corners, promised: Some(promised), reset_s: None }
}

/// The ones that warm the fastest first: mostly they decide what is promised, the last ones what is certain.
fn sort(corners: &mut [Thermal]) {
    let warming = |thermal: &Thermal| thermal.at_most(Heat::default(), f64::INFINITY, 1.0);
    corners.sort_by(|a, b| warming(b).total_cmp(&warming(a)));
}

/// The motor's own protector, or the key that it wants.
fn own(
    figures: &ProtectorFigures,
    most: Option<&Figure<Ampere>>,
    rated_a: Option<f64>,
    locked_a: f64,
) -> Result<OverloadDevice, &'static str> {
    let pickups = match (&figures.pickup, most) {
        (Some(pickup), _) => {
            let rated_a = rated_a.ok_or("load.rated_load_a")?;
            bounds(pickup).map(|times| times * rated_a)
        }
        (None, Some(most)) => bounds(most),
        (None, None) => return Err("load.protector.pickup"),
    };
    let (times, by_stall) = match (&figures.tau_s, &figures.trip_at_locked_rotor_s) {
        (Some(tau), _) => (bounds(tau), false),
        (None, Some(trip)) => (bounds(trip), true),
        (None, None) => return Err("load.protector.trip_at_locked_rotor_s"),
    };
    let (bodies, shares) = match figures.kind {
        ProtectorKind::OneBody => ([0.0; 3], [0.0; 3]),
        ProtectorKind::TwoBody => (
            bounds(figures.body_tau_s.as_ref().ok_or("load.protector.body_tau_s")?),
            bounds(figures.share.as_ref().ok_or("load.protector.share")?),
        ),
    };
    let model = |pickup: f64, s: f64, body_s: f64, share: f64| match (figures.kind, by_stall) {
        (ProtectorKind::OneBody, false) => Some(Thermal::one_body(pickup, s)),
        (ProtectorKind::OneBody, true) => Thermal::one_body_by_stall(pickup, locked_a, s),
        (ProtectorKind::TwoBody, false) => Some(Thermal::two_body(pickup, s, body_s, share)),
        (ProtectorKind::TwoBody, true) => Thermal::two_body_by_stall(pickup, locked_a, s, body_s, share),
    };
    let modelled =
        model(pickups[0], times[0], bodies[0], shares[0]).ok_or("load.protector.trip_at_locked_rotor_s")?;
    // there is no order in them: sorted below
    let mut corners = vec![modelled];
    for pick in 0..16_usize {
        let at = |figure: [f64; 3], bit: usize| figure[1 + (pick >> bit & 1)];
        let corner = model(at(pickups, 0), at(times, 1), at(bodies, 2), at(shares, 3));
        corners.extend(corner.filter(|c| !corners.contains(c)));
    }
    sort(&mut corners);
    let reset_s = figures.reset_s.as_ref().map(|f| [f.low.get(), f.high.get()]);
    Ok(OverloadDevice { modelled, corners, promised: None, reset_s })
}

/// Least and most of some times; `None` for one that never comes.
fn range(times: impl Iterator<Item = Option<f64>>) -> Option<[f64; 2]> {
    let span = times.fold([f64::INFINITY, 0.0_f64], |[low, high], t| {
        let t = t.unwrap_or(f64::INFINITY);
        [low.min(t), high.max(t)]
    });
    (span[0] < f64::INFINITY).then_some(span)
}

/// What a motor that does not get up to speed does to its protector.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ended {
    /// When the attempt is ended, from switch-on: least, most \[s\]; infinite where it may never be.
    pub after_s: [f64; 2],
    /// How long the protector then stays open: least, most \[s\].
    pub reset_s: Option<[f64; 2]>,
    /// When a second attempt is ended that begins as soon as it has closed again: least, most \[s\].
    pub again_s: Option<[f64; 2]>,
}

/// The factor, less one, by which all currents could be larger until such a heat were 1.
fn margin_of(warmest: f64) -> f64 {
    if warmest > 0.0 { warmest.powf(-0.5) - 1.0 } else { f64::INFINITY }
}

impl Path {
    /// Current of the motor itself, without the fan beside it \[A\].
    pub fn motor_a(&self, row: &Row) -> f64 {
        if self.fan == num_complex::Complex64::ZERO || row.motor_v <= 0.0 {
            return row.line_a;
        }
        let phases = if self.hookup == super::Hookup::ThreePhase { 3f64.sqrt() } else { 1.0 };
        // not `hypot`: its guard against overflow costs more than all the rest
        (row.power_w * row.power_w + row.reactive_var * row.reactive_var).sqrt() / (phases * row.motor_v)
    }

    /// How warm a protector is at switch-on: cold after a rest, straight after stopping as the running current leaves it.
    pub fn heat_before(&self, thermal: &Thermal, trace: &Trace) -> Heat {
        match trace.settled.filter(|_| self.warm) {
            Some(settled) => thermal.steady(self.motor_a(&settled)),
            None => Heat::default(),
        }
    }

    /// What of a start is enough to see, mostly, what becomes of a protector.
    pub fn course(&self, trace: &Trace) -> Course {
        let settled = trace.settled.filter(|_| trace.starts());
        let mut course = Course { settled_a: settled.map(|row| self.motor_a(&row)), ..Course::default() };
        let Some(first) = trace.rows.first() else { return course };
        let mut from = self.motor_a(first);
        course.largest_a = from;
        for pair in trace.rows.windows(2) {
            let to = self.motor_a(&pair[1]);
            course.largest_a = course.largest_a.max(to);
            course.i2t += (from * from + from * to + to * to) / 3.0 * (pair[1].t_s - pair[0].t_s);
            if to >= 0.5 * course.largest_a {
                (course.hot_i2t, course.hot_s) = (course.i2t, pair[1].t_s - first.t_s);
            }
            from = to;
        }
        course
    }

    /// The warmest a protector gets in a start from `heat` and the running that follows.
    pub fn warmest(&self, thermal: &Thermal, heat: Heat, trace: &Trace) -> f64 {
        self.warmest_on(thermal, heat, trace, &self.course(trace))
    }

    /// The same with the course of that trace, worked out once.
    fn warmest_on(&self, thermal: &Thermal, heat: Heat, trace: &Trace, course: &Course) -> f64 {
        // mostly what runs for ever is the warmest: that is seen without a single step
        let [least, most] = course.bounds(thermal, heat);
        if most <= least {
            return least;
        }
        let running = course.settled_a.map_or(0.0, |a| thermal.steady(a).element);
        self.warmest_until(thermal, heat, trace, f64::INFINITY).max(running)
    }

    /// The warmest on the way, of the rows up to a moment \[s\].
    fn warmest_until(&self, thermal: &Thermal, heat: Heat, trace: &Trace, until_s: f64) -> f64 {
        let (mut heat, mut most) = (heat, heat.element);
        let mut from = trace.rows.first().map_or(0.0, |row| self.motor_a(row));
        for pair in trace.rows.windows(2).take_while(|pair| pair[0].t_s < until_s) {
            let to = self.motor_a(&pair[1]);
            let (top, end) = thermal.passes(heat, from, to, pair[1].t_s - pair[0].t_s);
            most = most.max(top);
            (heat, from) = (end, to);
        }
        most
    }

    /// The margin of a protector in a start alone, until its current stays within 110 % of settled.
    pub fn start_margin(&self, thermal: &Thermal, trace: &Trace) -> f64 {
        let until_s = trace.settling_time_s().unwrap_or(f64::INFINITY);
        margin_of(self.warmest_until(thermal, self.heat_before(thermal, trace), trace, until_s))
    }

    /// Whether a start, until its current stays within 110 % of settled, warms a protector to `limit` or less.
    pub fn starts_within(&self, thermal: &Thermal, trace: &Trace, course: &Course, limit: f64) -> bool {
        let heat = self.heat_before(thermal, trace);
        let until = || trace.settling_time_s().unwrap_or(f64::INFINITY);
        course.start_at_most(thermal, heat) <= limit
            || self.warmest_until(thermal, heat, trace, until()) <= limit
    }

    /// The margin of a protector in the whole start current: its heat goes with the square of that, what it starts with too.
    pub fn thermal_margin(&self, thermal: &Thermal, trace: &Trace) -> f64 {
        margin_of(self.warmest(thermal, self.heat_before(thermal, trace), trace))
    }

    /// That margin at the values of a device's figures, and the least and most of it over the corners of its range.
    pub fn thermal_margins(&self, device: &OverloadDevice, trace: &Trace) -> [f64; 3] {
        let course = self.course(trace);
        let warmest = |thermal: &Thermal, heat: Heat| self.warmest_on(thermal, heat, trace, &course);
        let modelled = warmest(&device.modelled, self.heat_before(&device.modelled, trace));
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        // from both ends, since they are sorted: what lies between is then mostly seen to do so
        let (early, late) = device.corners.split_at(device.corners.len() / 2);
        for thermal in late.iter().rev().chain(early) {
            let heat = self.heat_before(thermal, trace);
            let [least, most] = course.bounds(thermal, heat);
            if least < low || most > high {
                let found = warmest(thermal, heat);
                (low, high) = (low.min(found), high.max(found));
            }
        }
        [modelled, high, low].map(margin_of)
    }

    /// Whether a protector carries a start from `heat` and the running that follows, all currents (and that heat) times `k`.
    pub fn carries(&self, thermal: &Thermal, heat: Heat, trace: &Trace, course: &Course, k: f64) -> bool {
        // a level that sits on a limit counts as within it
        let limit = (1.0 + ROUNDING) / (k * k);
        // most starts are far too short, or running is too much: that is seen without a single step
        let [least, most] = course.bounds(thermal, heat);
        most <= limit || least <= limit && self.warmest_on(thermal, heat, trace, course) <= limit
    }

    /// Whether a protector carries the start and what follows, with all currents times `k`.
    pub fn carries_start(&self, thermal: &Thermal, trace: &Trace, course: &Course, k: f64) -> bool {
        self.carries(thermal, self.heat_before(thermal, trace), trace, course, k)
    }

    /// Whether every overload device carries the start, by its model at the values.
    pub fn overload_carries(&self, trace: &Trace) -> bool {
        let mut devices = self.overload.devices().peekable();
        if devices.peek().is_none() {
            return true;
        }
        let course = self.course(trace);
        devices.all(|d| self.carries_start(&d.modelled, trace, &course, 1.0))
    }

    /// When a protector ends an attempt that does not get up to speed, the last current going on \[s\]; with its heat then.
    pub fn trips(&self, thermal: &Thermal, heat: Heat, trace: &Trace) -> Option<(f64, Heat)> {
        let mut heat = heat;
        for pair in trace.rows.windows(2) {
            let (from, to) = (self.motor_a(&pair[0]), self.motor_a(&pair[1]));
            let s = pair[1].t_s - pair[0].t_s;
            if let Some(at) = thermal.trips_on_the_way(heat, from, to, s) {
                let amps = if s > 0.0 { from + (to - from) * at / s } else { from };
                return Some((pair[0].t_s + at, thermal.step(heat, from, amps, at)));
            }
            heat = thermal.step(heat, from, to, s);
        }
        let last = trace.rows.last()?;
        let amps = self.motor_a(last);
        let s = thermal.trips_in(heat, amps)?;
        Some((last.t_s + s, thermal.step(heat, amps, amps, s)))
    }

    /// What a motor that does not get up to speed does to its overload protection; `None` where nothing ends the attempt.
    pub fn ended(&self, trace: &Trace) -> Option<Ended> {
        if trace.starts() {
            return None;
        }
        let one = |device: &OverloadDevice| {
            // a running current above the pickup would have opened it: it is no warmer than that
            let before = |c: &Thermal| match self.heat_before(c, trace) {
                heat if heat.element > 1.0 => c.steady(c.pickup_a()),
                heat => heat,
            };
            let first = |c: &Thermal| self.trips(c, before(c), trace);
            let after_s = range(device.corners.iter().map(|c| first(c).map(|(s, _)| s)))?;
            let again_s = device.reset_s.and_then(|resets| {
                let again = |c: &Thermal, reset: f64| {
                    let (_, heat) = first(c)?;
                    self.trips(c, c.rest(heat, reset), trace).map(|(s, _)| s)
                };
                range(device.corners.iter().flat_map(|c| resets.map(|reset| again(c, reset))))
            });
            Some(Ended { after_s, reset_s: device.reset_s, again_s })
        };
        // of two devices the one that is surely open first
        self.overload.devices().filter_map(one).min_by(|a, b| a.after_s[1].total_cmp(&b.after_s[1]))
    }

    /// How long after a trip at locked rotor a start like this one passes: least, most \[s\]. `None` where it never does, or
    /// where nothing trips at locked rotor.
    pub fn ready_s(&self, device: &OverloadDevice, trace: &Trace) -> Option<[f64; 2]> {
        let course = self.course(trace);
        let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
        // from both ends, since they are sorted: what lies between is then mostly seen to do so
        let (early, late) = device.corners.split_at(device.corners.len() / 2);
        for thermal in late.iter().rev().chain(early) {
            let tripped = thermal.trips_in(Heat::default(), self.locked_rotor_a);
            let Some(tripped) = tripped else {
                high = f64::INFINITY;
                continue;
            };
            let heat = thermal.step(Heat::default(), self.locked_rotor_a, self.locked_rotor_a, tripped);
            let passes = |s: f64| self.carries(thermal, thermal.rest(heat, s), trace, &course, 1.0);
            if low < high && passes(high) && !passes(low) {
                continue;
            }
            let warmest = |heat: Heat| self.warmest_on(thermal, heat, trace, &course);
            let rest = thermal.rest_until(heat, ROUNDING, warmest).unwrap_or(f64::INFINITY);
            (low, high) = (low.min(rest), high.max(rest));
        }
        if low == f64::INFINITY {
            return None;
        }
        let [least, most] = device.reset_s.unwrap_or([0.0; 2]);
        Some([low.max(least), high.max(most)])
    }
}
