//! A load that is no induction motor on its path: what it is fed by, and its starts.

use std::sync::{Mutex, PoisonError};

use num_complex::Complex64;

use super::{Case, FirstPeak, Lack, Path};
use crate::inrush::cycles::{Cycle, Others, settled};
use crate::inrush::given::feed;
use crate::inrush::{self, Inrush, Instant, Run};
use crate::motor::{Machine, Point, SpeedTorque, Stage};
use crate::start::Trace;
use crate::start::inrush::{Switching, fast_until_s, fill, over_angles};
use crate::start::waveform::{self, Ending, Moment, Piece};

/// The load in place of a machine.
pub(super) struct Loaded {
    load: Box<dyn Inrush>,
    /// Closing angle of the least peak \[rad\]: what is sure to come, comes there too.
    gentlest: f64,
    /// What it settles at, for each way the running loads may behave.
    ends: Vec<Cycle>,
    /// Starts that were run, by variant and angle: checks ask for the same one again and again.
    runs: Mutex<Vec<(usize, f64, Trace)>>,
}

/// What stands where a machine would: it neither draws nor turns.
pub(super) struct Still;

impl Machine for Still {
    fn sync_speed(&self) -> f64 {
        1.0
    }
    fn inertia(&self) -> f64 {
        1.0
    }
    fn phases(&self) -> u32 {
        1
    }
    fn at(&self, _speed: f64, _stage: Stage) -> Point {
        Point { y: Complex64::ZERO, torque_per_v2: 0.0 }
    }
    fn own_cut_out(&self) -> Option<f64> {
        None
    }
}

/// No torque at all.
pub(super) const NO_TORQUE: SpeedTorque = SpeedTorque {
    rated_nm: 0.0,
    rated_speed: 1.0,
    shares: [0.0; 3],
    breakaway: 0.0,
    build_up_s: 0.0,
    pulsation: None,
};

/// The load of a case, if it is no induction motor.
pub(super) fn loaded(case: &Case, rated_v: f64) -> Result<Option<Loaded>, Lack> {
    let Some(figures) = &case.load.inrush else { return Ok(None) };
    if case.load.phases == 3 {
        return Err(Lack::NotModelled("three phases of a load that is no induction motor"));
    }
    let plate = &case.load.nameplate;
    let hertz = plate.rated_frequency_hz.as_ref().map_or(case.supply.frequency_hz.get(), |hz| hz.get());
    let load = figures.load(plate, rated_v, hertz).map_err(Lack::Missing)?;
    Ok(Some(Loaded { load, gentlest: 0.0, ends: Vec::new(), runs: Mutex::default() }))
}

/// Shows what happens between two instants, in a straight line, as a piece of the waveform level.
struct Shown<'a> {
    start: &'a Switching<'a>,
    watch: &'a mut dyn waveform::Watch,
    last: Option<Instant>,
    busy_s: f64,
}

impl inrush::Watch for Shown<'_> {
    fn see(&mut self, now: &Instant) {
        if let Some(from) = self.last {
            self.watch.piece(&Line { start: self.start, from, to: *now });
        }
        self.last = Some(*now);
    }

    // a relay that has yet to close is no settled state
    fn enough(&self) -> bool {
        self.watch.enough() && self.last.is_some_and(|now| now.t_s > self.busy_s)
    }
}

struct Line<'a> {
    start: &'a Switching<'a>,
    from: Instant,
    to: Instant,
}

impl Piece for Line<'_> {
    fn span(&self) -> [f64; 2] {
        [self.from.t_s, self.to.t_s]
    }

    fn at(&self, t: f64) -> Moment {
        let Line { start, from, to } = self;
        let length = to.t_s - from.t_s;
        let share = if length > 0.0 { ((t - from.t_s) / length).clamp(0.0, 1.0) } else { 1.0 };
        let mix = |a: f64, b: f64| a + share * (b - a);
        let line_a = mix(from.line_a, to.line_a);
        Moment {
            t_s: t,
            line_a: [line_a, 0.0, 0.0],
            supply_a: [line_a + start.others.at(&start.feed, t, start.angle), 0.0, 0.0],
            terminal_v: [mix(from.terminal_v, to.terminal_v), 0.0, 0.0],
            ..Moment::default()
        }
    }

    fn currents(&self, t: f64) -> Moment {
        self.at(t)
    }

    fn vectors(&self, _t: f64) -> Option<[Complex64; 2]> {
        None
    }
}

impl Path {
    /// Whether its load is no induction motor.
    pub fn is_inrush(&self) -> bool {
        self.inrush.is_some()
    }

    /// Looks what the load settles at. A start that cannot be solved must not be judged.
    pub(super) fn settle_inrush(&mut self) -> Result<(), Lack> {
        let mut ends = Vec::new();
        for variant in 0..self.variants() {
            let Some(start) = self.switching(variant, 0.0) else { return Ok(()) };
            let end = settled(start.load, &start.feed, start.others);
            ends.push(end.ok_or(Lack::NotModelled("a load with so short a time constant"))?);
        }
        if let Some(inrush) = &mut self.inrush {
            inrush.ends = ends;
        }
        Ok(())
    }

    fn switching(&self, variant: usize, angle: f64) -> Option<Switching<'_>> {
        let inrush = self.inrush.as_ref()?;
        let (load, end) = (&*inrush.load, inrush.ends.get(variant).copied());
        let running = *self.runnings.get(variant)?;
        // what else is on lowers the voltage before the load is there; four rounds bring it within 1e-4 of any that is allowed
        let mut board = Complex64::from(self.source.v);
        let mut amps = Complex64::ZERO;
        for _ in 0..4 {
            let held = board.norm().max(running.least_v);
            amps = running.y * board + (running.s / held).conj() * board / board.norm().max(1e-9);
            board = self.source.v - self.source.z * amps;
        }
        let others = Others { amps: amps.norm(), angle: amps.arg() - board.arg() };
        let z = self.source.z + self.conductor;
        Some(Switching { load, feed: feed(board.norm(), z.re, z.im, self.frequency_hz), others, angle, end })
    }

    /// Runs the start of such a load, closed at the worst angle. `false` for a motor.
    pub(super) fn run_inrush(&self, variant: usize, trace: &mut Trace) -> bool {
        self.run_at(variant, self.closing_angle, trace)
    }

    fn run_at(&self, variant: usize, angle: f64, trace: &mut Trace) -> bool {
        let Some(inrush) = &self.inrush else { return false };
        let mut runs = inrush.runs.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((.., run)) = runs.iter().find(|(v, a, _)| (*v, *a) == (variant, angle)) {
            trace.clone_from(run);
            return true;
        }
        let Some(start) = self.switching(variant, angle) else { return false };
        fill(&start, trace);
        runs.push((variant, angle, trace.clone()));
        true
    }

    /// The same closed at the angle of the least peak: what fails there fails whenever it is switched on. `false` for a motor.
    pub fn run_gently(&self, variant: usize, trace: &mut Trace) -> bool {
        self.inrush.as_ref().is_some_and(|inrush| self.run_at(variant, inrush.gentlest, trace))
    }

    /// Shows the instants of such a start, closed at an angle, to a watch of the waveform level: of its fast part, until it is
    /// settled or goes on slowly. `trace` takes the rows of the same start. `None` where it cannot be solved.
    pub(super) fn watch_inrush(
        &self,
        variant: usize,
        angle: f64,
        trace: &mut Trace,
        watch: &mut dyn waveform::Watch,
    ) -> Option<Ending> {
        let start = self.switching(variant, angle)?;
        fill(&start, trace);
        let until_s = fast_until_s(start.load, &start.feed);
        let mut shown = Shown { start: &start, watch, last: None, busy_s: start.load.busy_s() };
        let solved = start.load.wave(&start.feed, &Run::closed(angle, until_s), &mut shown);
        let end_s = shown.last.map_or(0.0, |now| now.t_s);
        Some(Ending {
            end_s,
            cut_short: !solved,
            start_duration_s: trace.start_duration_s,
            ..Ending::default()
        })
    }

    /// Takes an angle of the voltage at switch-on \[rad\] for its rows; `None`: the one with the largest crest, as it is judged.
    pub fn close_inrush_at(&mut self, angle: Option<f64>) {
        match angle {
            _ if !self.is_inrush() => {}
            Some(angle) => self.closing_angle = angle,
            None => self.find_inrush_peak(),
        }
    }

    /// Looks for its largest instantaneous currents over the closing angles and the ways the running loads behave.
    pub(super) fn find_inrush_peak(&mut self) {
        let mut worst = None;
        for variant in 0..self.variants() {
            let Some(start) = self.switching(variant, 0.0) else { continue };
            let Some(crests) = over_angles(&start) else { continue };
            let larger =
                |before: &crate::start::waveform::Crests| before.supply.largest.a >= crests.supply.largest.a;
            if !worst.as_ref().is_some_and(larger) {
                worst = Some(crests);
            }
        }
        if let Some(crests) = &worst {
            self.closing_angle = crests.supply.largest.closing_deg.to_radians();
            if let Some(inrush) = &mut self.inrush {
                inrush.gentlest = crests.supply.least.closing_deg.to_radians();
            }
        }
        self.first_peak = worst.map(FirstPeak::outright);
    }
}
