//! A load that is no induction motor on its path: what it is fed by, and its starts.

use std::sync::{Mutex, PoisonError};

use num_complex::Complex64;

use super::{Case, FirstPeak, Lack, Path};
use crate::inrush::Inrush;
use crate::inrush::cycles::{Cycle, Others, settled};
use crate::inrush::given::feed;
use crate::motor::{Machine, Point, SpeedTorque, Stage};
use crate::start::Trace;
use crate::start::inrush::{Switching, fill, over_angles};

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
