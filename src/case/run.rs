//! Running the start of a path, at the level it asks for.

use num_complex::Complex64;

use super::{Hookup, Path};
use crate::motor::ThreePhase;
use crate::motor::instantaneous::Instantaneous;
use crate::start::waveform::{self, Closing, Ending, Watch};
use crate::start::{Branch, Level, Running, Trace, drive, envelope, ride_through};
use crate::starter::Direct;
use crate::supply::Thevenin;

/// How far the envelope level comes out too short for a three-phase motor of one cage, in rotor time constants: the most seen
/// in the starts of five published machines (0.10 to 0.266; docs/validation.md), rounded up. An empirical constant, no law.
const TOO_SHORT: f64 = 0.27;
/// The same for two cages, in time constants of the slower one: the most seen in 33 starts of eleven circuits (0.05 to 0.19;
/// tests/fit), rounded up. For a large motor it is far more than is missing.
const TOO_SHORT_TWO_CAGES: f64 = 0.2;

impl Path {
    /// Runs the start with the running loads behaving in way `variant`.
    ///
    /// The trace is left empty for a variant there is not.
    pub fn run(&self, variant: usize, trace: &mut Trace) {
        self.run_for(variant, self.longest_start_s, trace);
    }

    /// The same with another limit to the attempt \[s\].
    pub fn run_for(&self, variant: usize, longest_start_s: f64, trace: &mut Trace) {
        if self.run_inrush(variant, trace) {
            return;
        }
        let Some(&running) = self.runnings.get(variant) else { return };
        let branch = self.branch(longest_start_s);
        envelope(&self.source, running, &[branch], self.options, std::slice::from_mut(trace));
        if let Some(by) = self.starter.drive() {
            return drive(&self.source, running, &branch, by, trace);
        }
        match self.level {
            Level::Envelope => {}
            Level::Waveform => {
                waveform::fill(&self.closing(&branch, running, trace), trace);
            }
            // of a single phase the envelope is enough
            Level::Auto => {
                if let Some(by_s) = self.too_short_s() {
                    trace.delay(by_s, longest_start_s);
                }
            }
        }
        if let (Some(dip), Some(settled), true) = (self.dip, &trace.settled, trace.starts()) {
            trace.after_dip = Some(ride_through(&self.source, running, &branch, settled, dip, self.options));
        }
    }

    /// Runs the start at the waveform level, closed at an angle \[rad\], and shows it to `watch`. `trace` takes the same start
    /// at the envelope level. `None` for a motor without instantaneous equations, or a variant there is not.
    pub fn watch(
        &self,
        variant: usize,
        angle: f64,
        trace: &mut Trace,
        watch: &mut dyn Watch,
    ) -> Option<Ending> {
        let running = *self.runnings.get(variant)?;
        if self.is_inrush() {
            return self.watch_inrush(variant, angle, trace, watch);
        }
        let branch = self.branch(self.longest_start_s);
        envelope(&self.source, running, &[branch], self.options, std::slice::from_mut(trace));
        waveform::waveform(&Closing { angle, ..self.closing(&branch, running, trace) }, watch)
    }

    /// How much too short the envelope level may find a start \[s\]; `None` where it is right.
    fn too_short_s(&self) -> Option<f64> {
        let of = |motor: &ThreePhase, share: f64| Some(share * motor.rotor_time_constant(self.frequency_hz));
        match self.machine().instantaneous()? {
            Instantaneous::OneCage(motor) => of(motor, TOO_SHORT),
            Instantaneous::TwoCages(motor) => of(motor, TOO_SHORT_TWO_CAGES),
            Instantaneous::TwoWinding(_) => None,
        }
    }

    /// What the level leaves to be said of a start: of three phases that it is made longer, or that it is too short.
    pub fn level_note(&self) -> Option<String> {
        if self.starter.drive().is_some() {
            return None;
        }
        let by_ms = 1e3 * self.too_short_s()?;
        match self.level {
            Level::Envelope => Some(format!(
                "three-phase start by the envelope model alone: it comes out too short, by up to {by_ms:.0} ms"
            )),
            Level::Auto => Some(format!(
                "three-phase start: {by_ms:.0} ms are added for what the simple model leaves out, the most it may be"
            )),
            Level::Waveform => None,
        }
    }

    /// Takes the waveform's place by level auto: for starts that are run by the hundred.
    pub fn quicken(&mut self) {
        if self.level == Level::Waveform {
            self.level = Level::Auto;
        }
    }

    pub(super) fn branch(&self, longest_start_s: f64) -> Branch<'_> {
        Branch {
            assist_cut_out: self.assist.map(|(_, cut_out)| cut_out),
            conductor: self.conductor,
            fan: self.fan,
            fan_through_starter: self.fan_through_starter,
            ..Branch::plain(self.machine(), &self.load, &*self.starter, longest_start_s)
        }
    }

    /// The start of a branch at the waveform level, `trace` being that of the envelope level.
    pub(super) fn closing<'a>(
        &'a self,
        branch: &'a Branch<'a>,
        running: Running,
        trace: &Trace,
    ) -> Closing<'a> {
        Closing {
            supply: &self.source,
            running,
            branch,
            frequency_hz: self.frequency_hz,
            angle: self.closing_angle,
            settled_speed: trace.settled.map(|s| s.speed),
            until_s: branch.longest_start_s,
            tolerance: self.options.tolerance,
            most_steps: waveform::MOST_STEPS,
        }
    }

    /// Whether the motor, straight on a supply without impedance, gets up to speed at a share of its rated voltage.
    pub fn starts_at(&self, share: f64, trace: &mut Trace) -> bool {
        let phase = if self.hookup == Hookup::ThreePhase { 3f64.sqrt() } else { 1.0 };
        let source = Thevenin { v: share * self.rated_v / phase, z: Complex64::ZERO, fold_a: None };
        let there = self.three_phase_at(source.v);
        let machine = there.as_ref().map_or(self.machine(), |m| m);
        let branch = Branch::plain(machine, &self.load, &Direct, self.longest_start_s);
        envelope(&source, Running::default(), &[branch], self.options, std::slice::from_mut(trace));
        trace.starts()
    }
}
