//! The waveform level: the machine's differential equations with electrical transients, supply and conductor inside them,
//! closed at any angle of the voltage.
//!
//! What the phasor circuit decides and no transient of the machine changes is taken from it at each speed: the voltage fraction
//! of a limiter, the source that folds back, running loads and fans (an admittance at rated frequency). One motor at a time.

pub(super) mod angles;
mod events;
mod firing;
mod rms;
mod watch;

pub use angles::{Angles, Crests, Extreme, Extremes, over_angles};
pub use rms::fill;
pub use watch::{Crest, Cycle, Cycles, Peak, Sampler};

use nalgebra::SVector;
use num_complex::Complex64;

use super::envelope::Branch;
use super::network::{Bus, Running};
use super::trace::Event;
use crate::motor::instantaneous::{Feed, Instantaneous, WaveModel};
use crate::motor::{Cages, Phases, Stage, Windings};
use crate::numeric::ode::{Step, Stepper};
use crate::starter::Coupling;
use crate::supply::Supply;
use events::Motion;
use firing::{Aim, Thyristors};

/// A start at the waveform level.
#[derive(Clone, Copy)]
pub struct Closing<'a> {
    /// The source.
    pub supply: &'a dyn Supply,
    /// What is running already.
    pub running: Running,
    /// Motor, load, starter and line. It is switched on at once, whatever its `closes_at_s` says.
    pub branch: &'a Branch<'a>,
    /// Frequency of the source \[Hz\].
    pub frequency_hz: f64,
    /// Angle of the voltage at switch-on \[rad\]: phase a is `sqrt2 V cos(w t + angle)`.
    pub angle: f64,
    /// Speed the motor settles at \[rad/s\], for the start duration; `None` where it has no such state.
    pub settled_speed: Option<f64>,
    /// Where the simulation ends at the latest \[s\].
    pub until_s: f64,
    /// Error allowed per step, in parts of rated flux, speed and voltage.
    pub tolerance: f64,
    /// Steps after which it is left as it is.
    pub most_steps: u32,
}

impl Closing<'_> {
    /// Whether thyristors stand before the machine.
    fn chopped(&self) -> bool {
        matches!(self.branch.starter.coupling(0.0, false), Coupling::Chopped { .. })
    }
}

/// Tolerance per step that keeps peaks and times within 0.01 % (docs/validation.md).
pub const TOLERANCE: f64 = 1e-6;
/// More steps than a minute of a single-phase start takes.
pub const MOST_STEPS: u32 = 400_000;

/// An instant of a start: what an oscilloscope would show.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moment {
    /// Time since switch-on \[s\].
    pub t_s: f64,
    /// Line currents of the load, its fan's included \[A\]; b and c are 0 for a single phase.
    pub line_a: [f64; 3],
    /// Currents of the supply, running loads included \[A\].
    pub supply_a: [f64; 3],
    /// Voltage at the load's terminals, before its starter \[V\]: between lines a and b, b and c, c and a for three phases.
    pub terminal_v: [f64; 3],
    /// Mechanical speed \[rad/s\].
    pub speed: f64,
    /// Torque of the motor \[N m\].
    pub torque_nm: f64,
}

/// A stretch of a start between two moments, to be looked at as closely as one likes.
pub trait Piece {
    /// Where it begins and ends \[s\].
    fn span(&self) -> [f64; 2];
    /// An instant of it.
    fn at(&self, t: f64) -> Moment;
    /// The same without terminal voltage and torque (both 0): cheaper.
    fn currents(&self, t: f64) -> Moment;
    /// Space vectors of line and supply current against the source's voltage \[A\], instantaneous peak values; `None` for a
    /// single phase, and behind thyristors, where they do not turn evenly.
    fn vectors(&self, t: f64) -> Option<[Complex64; 2]>;
}

/// Something that looks at a start as it goes on.
pub trait Watch {
    /// Takes in the next piece.
    fn piece(&mut self, piece: &dyn Piece);
    /// Whether it has seen enough.
    fn enough(&self) -> bool {
        false
    }
}

/// How a start at the waveform level went.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ending {
    /// What happened, in time order.
    pub events: Vec<Event>,
    /// Time to 95 % of the settled speed \[s\].
    pub start_duration_s: Option<f64>,
    /// Where it ended \[s\].
    pub end_s: f64,
    /// Speed there \[rad/s\].
    pub speed: f64,
    /// Whether the integrator gave up.
    pub cut_short: bool,
    /// Steps taken, refused ones included.
    pub steps: u32,
    /// Evaluations of the equations.
    pub evaluations: u32,
}

/// Runs a start from rest, without flux or charge, and shows every piece of it to `watch`.
///
/// `None` for a machine without instantaneous equations.
pub fn waveform(closing: &Closing<'_>, watch: &mut dyn Watch) -> Option<Ending> {
    let machine = closing.branch.machine.instantaneous()?;
    let turns = closing.branch.load.pulsates();
    let chopped = closing.chopped();
    Some(match (machine, turns) {
        (Instantaneous::OneCage(m), false) if chopped => {
            Run::<_, 5>::new(closing, Phases(Cages::<1>(m))).run(watch)
        }
        (Instantaneous::OneCage(m), true) if chopped => {
            Run::<_, 6>::new(closing, Phases(Cages::<1>(m))).run(watch)
        }
        (Instantaneous::TwoCages(m), false) if chopped => {
            Run::<_, 7>::new(closing, Phases(Cages::<2>(m))).run(watch)
        }
        (Instantaneous::TwoCages(m), true) if chopped => {
            Run::<_, 8>::new(closing, Phases(Cages::<2>(m))).run(watch)
        }
        (Instantaneous::OneCage(m), false) => Run::<_, 5>::new(closing, Cages::<1>(m)).run(watch),
        (Instantaneous::OneCage(m), true) => Run::<_, 6>::new(closing, Cages::<1>(m)).run(watch),
        (Instantaneous::TwoCages(m), false) => Run::<_, 7>::new(closing, Cages::<2>(m)).run(watch),
        (Instantaneous::TwoCages(m), true) => Run::<_, 8>::new(closing, Cages::<2>(m)).run(watch),
        (Instantaneous::TwoWinding(m), false) => Run::<_, 8>::new(closing, Windings(m)).run(watch),
        (Instantaneous::TwoWinding(m), true) => Run::<_, 9>::new(closing, Windings(m)).run(watch),
    })
}

struct Run<'a, M: WaveModel, const N: usize> {
    closing: &'a Closing<'a>,
    branch: &'a Branch<'a>,
    model: M,
    omega: f64,
    /// Base voltage, the peak of the source's at switch-on \[V\].
    base: f64,
    sync: f64,
    /// Newton metres of a torque of 1.
    newton_metres: f64,
    /// One over inertia times synchronous speed.
    per_momentum: f64,
    stage: Stage,
    /// Whether the starter has changed over.
    over: bool,
    /// What a relay across the auxiliary winding sees \[V\], by the phasor circuit, per volt of the machine's.
    machine_v: f64,
    motion: Motion,
    /// Contacts whose speed is reached and that wait for their current's zero: own start, assist.
    due: [bool; 2],
    circuit: M::Circuit,
    /// What the load's line and the supply carry beside the machine, phasors in peak values \[A\].
    beside: [Complex64; 2],
    /// Line current over the machine's, and voltage fraction, of the starter.
    ratio: f64,
    k: f64,
    /// Whether the circuit stays as it is until the next event, and whether nothing flows beside the machine.
    steady: bool,
    alone: bool,
    /// Whether thyristors are before the machine, and what they do.
    chopped: bool,
    firing: Thyristors,
    ending: Ending,
}

impl<'a, M: WaveModel, const N: usize> Run<'a, M, N> {
    const SPEED: usize = M::STATES;

    fn new(closing: &'a Closing<'a>, model: M) -> Self {
        let branch = closing.branch;
        let source = closing.supply.source(0.0);
        let sync = branch.machine.sync_speed();
        let base = std::f64::consts::SQRT_2 * source.v.max(f64::MIN_POSITIVE);
        let idle = Feed::stiff(Complex64::ZERO);
        let circuit = model.circuit(&idle, Stage::START, 0.0);
        let mut run = Run {
            closing,
            branch,
            model,
            omega: std::f64::consts::TAU * closing.frequency_hz,
            base,
            sync,
            newton_metres: base * base / sync,
            per_momentum: 1.0 / (branch.machine.inertia() * sync),
            stage: Stage {
                own_start: branch.machine.own_cut_out().is_some(),
                assist: branch.assist_cut_out.is_some(),
            },
            over: false,
            machine_v: 0.0,
            motion: if branch.load.breakaway() > 0.0 { Motion::Held } else { Motion::Free },
            due: [false; 2],
            circuit,
            beside: [Complex64::ZERO; 2],
            ratio: 1.0,
            k: 1.0,
            steady: false,
            alone: branch.fan == Complex64::ZERO
                && closing.running == Running { least_v: closing.running.least_v, ..Running::default() },
            chopped: closing.chopped(),
            firing: Thyristors::default(),
            ending: Ending::default(),
        };
        run.look_around(0.0, 0.0);
        run.steady = run.is_steady(0.0);
        run
    }

    /// Whether nothing but an event changes what feeds the machine from `t` on.
    fn is_steady(&self, t: f64) -> bool {
        let source = self.closing.supply.constant();
        let stiff = source.is_some_and(|s| s.z == Complex64::ZERO && s.fold_a.is_none());
        let linear = source.is_some_and(|s| s.fold_a.is_none()) && self.closing.running.s == Complex64::ZERO;
        let fixed =
            !self.chopped && !matches!(self.branch.starter.coupling(t, self.over), Coupling::Limit { .. });
        fixed && (stiff || linear) && t >= self.branch.starter.constant_from_s() && !self.model.moves()
    }

    /// Takes from the phasor circuit of a moment what feeds the machine and what flows beside it.
    fn look_around(&mut self, t: f64, speed: f64) {
        let source = self.closing.supply.source(t);
        let bus = Bus { source, running: self.closing.running };
        let branch = self.branch;
        let behind = if branch.fan_through_starter { branch.fan } else { Complex64::ZERO };
        let machine = branch.machine.at(speed * self.sync, self.stage).y;
        let (fed, supply, seen) =
            bus.seen(machine + behind, branch.line(), branch.starter.coupling(t, self.over));
        self.machine_v = fed.motor.norm();
        // thyristors let all or nothing through
        self.k = if self.chopped { 1.0 } else { seen.k };
        self.ratio = if seen.transformer { seen.k } else { 1.0 };
        let own = fed.motor * machine * self.ratio;
        self.beside = [fed.line - own, supply - own].map(|i| i * std::f64::consts::SQRT_2);
        let mut v = seen.e * self.k;
        let mut z = seen.z * self.k * self.ratio;
        if behind != Complex64::ZERO {
            let over = (1.0 + z * behind).inv();
            (v, z) = (v * over, z * over);
        }
        let mut lines = [true; 3];
        if let Coupling::Chopped { k, amps, .. } = branch.starter.coupling(t, self.over) {
            let whole = machine.inv() + z;
            let full_a = v.norm() / whole.norm();
            self.firing.aim = Aim { k, share: amps / full_a, full_a, phi: whole.arg(), lead: v.arg() };
            lines = self.firing.on;
        }
        let feed = Feed { v: v * std::f64::consts::SQRT_2 / self.base, r: z.re, x: z.im, lines };
        self.circuit = self.model.circuit(&feed, self.stage, speed);
    }

    /// Electrical angle of the source.
    fn alpha(&self, t: f64) -> f64 {
        self.omega * t + self.closing.angle
    }

    fn load(&self, t: f64, y: &SVector<f64, N>) -> f64 {
        let speed = y[Self::SPEED] * self.sync;
        if N > M::STATES + 1 {
            self.branch.load.at_angle(speed, t, y[M::STATES + 1])
        } else {
            self.branch.load.at(speed, t)
        }
    }

    #[inline(always)]
    fn slopes(&mut self, t: f64, y: &SVector<f64, N>) -> SVector<f64, N> {
        self.ending.evaluations += 1;
        let mut slopes = SVector::zeros();
        let torque = M::slopes(&self.circuit, self.alpha(t), self.omega, y, &mut slopes) * self.newton_metres;
        if self.motion != Motion::Held {
            slopes[Self::SPEED] = (torque - self.load(t, y)) * self.per_momentum;
        }
        if N > M::STATES + 1 {
            slopes[M::STATES + 1] = y[Self::SPEED] * self.sync;
        }
        slopes
    }

    fn run(mut self, watch: &mut dyn Watch) -> Ending {
        let mut y = SVector::<f64, N>::zeros();
        let mut t = 0.0;
        let until = self.closing.until_s;
        let first = 0.02 / self.omega;
        let slope = self.slopes(t, &y);
        let mut stepper = Stepper::new(t, y, slope, first, self.closing.tolerance);
        let kink = self.branch.starter.constant_from_s();
        let over_s = self.branch.starter.change_over().map_or(0.0, |c| c.at_s);
        while t < until && !watch.enough() {
            if stepper.accepted + stepper.refused > self.closing.most_steps {
                self.ending.cut_short = true;
                break;
            }
            let mut stop = if t < kink { until.min(kink) } else { until };
            if t < over_s {
                stop = stop.min(over_s);
            }
            if !self.steady || !self.alone {
                // what the phasor circuit decides is kept for a step, which is short against how fast it changes
                self.follow(t, &mut y);
                (stepper.y, stepper.slope) = (y, self.slopes(t, &y));
                stop = stop.min(t + QUARTER_CYCLE * std::f64::consts::TAU / self.omega);
            }
            if self.chopped {
                self.set_delay(t);
                let cycle = std::f64::consts::TAU / self.omega;
                stop = stop.min(t + firing::LONGEST_STEP * cycle).min(self.next_firing(t));
            }
            let step = stepper.step(stop, &mut |t, y| self.slopes(t, y));
            let change = self.earliest(&step);
            let end = change.as_ref().map_or(1.0, |(theta, _)| *theta);
            self.note_speed(&step, end);
            if self.chopped {
                self.meter(&step, end);
            }
            if end > 0.0 {
                watch.piece(&Seeing { run: &self, step: &step, until: step.t0 + end * step.h });
            }
            (t, y) = (stepper.t, stepper.y);
            if let Some((theta, what)) = change {
                (t, y) = (step.t0 + theta * step.h, step.at(theta));
                self.apply(what, t, &mut y);
            }
            let over = change.is_none() && !self.over && over_s > 0.0 && t >= over_s;
            if over {
                self.apply(events::Change::ChangesOver, t, &mut y);
            }
            if change.is_some() || over || (!self.steady && self.is_steady(t)) {
                self.follow(t, &mut y);
                let slope = self.slopes(t, &y);
                stepper.restart(t, y, slope, first.min(step.h));
            }
        }
        (self.ending.end_s, self.ending.speed) = (t, y[Self::SPEED] * self.sync);
        self.ending.steps = stepper.accepted + stepper.refused;
        self.ending
    }

    /// Puts the circuit of this moment in.
    fn follow(&mut self, t: f64, y: &mut SVector<f64, N>) {
        let before = self.circuit.clone();
        self.look_around(t, y[Self::SPEED]);
        M::hand_over(&before, &self.circuit, y);
        self.steady = self.is_steady(t);
    }
}

/// Longest step where the phasor circuit decides something, in cycles.
const QUARTER_CYCLE: f64 = 0.25;

/// A step of a run, open to be looked at.
struct Seeing<'s, 'a, M: WaveModel, const N: usize> {
    run: &'s Run<'a, M, N>,
    step: &'s Step<N>,
    until: f64,
}

impl<M: WaveModel, const N: usize> Seeing<'_, '_, M, N> {
    fn state(&self, t: f64) -> SVector<f64, N> {
        self.step.at(((t - self.step.t0) / self.step.h).clamp(0.0, 1.0))
    }

    /// Line and supply current, instantaneous peak values in the form of [`WaveModel::current`].
    fn flows(&self, t: f64, y: &SVector<f64, N>) -> [Complex64; 2] {
        let run = self.run;
        let motor = M::current(&run.circuit, run.alpha(t), y) * (run.base * run.ratio);
        if run.alone {
            return [motor; 2];
        }
        let mut beside = run.beside;
        if run.branch.machine.phases() == 1 {
            let turn = Complex64::cis(run.alpha(t));
            beside = beside.map(|i| Complex64::new((i * turn).re, 0.0));
        }
        beside.map(|i| motor + i)
    }

    /// Phase values of a vector, or the one value there is.
    fn phases(&self, t: f64, vector: Complex64) -> [f64; 3] {
        if self.run.branch.machine.phases() == 1 {
            return [vector.re, 0.0, 0.0];
        }
        let third = std::f64::consts::TAU / 3.0;
        let alpha = self.run.alpha(t);
        [0.0, third, -third].map(|behind| (vector * Complex64::cis(alpha - behind)).re)
    }
}

impl<M: WaveModel, const N: usize> Piece for Seeing<'_, '_, M, N> {
    fn span(&self) -> [f64; 2] {
        [self.step.t0, self.until]
    }

    fn at(&self, t: f64) -> Moment {
        let run = self.run;
        let y = self.state(t);
        let flows = self.flows(t, &y);
        let alpha = run.alpha(t);
        let mut slopes = SVector::zeros();
        let torque = M::slopes(&run.circuit, alpha, run.omega, &y, &mut slopes);
        // behind a starter that lets nothing through the terminals have the voltage of the open line
        let motor = M::voltage(&run.circuit, alpha, run.omega, &y, &slopes);
        let terminal = if run.k > 1e-9 { motor / run.k } else { Complex64::ONE };
        let [a, b, c] = self.phases(t, terminal * run.base);
        let three = run.branch.machine.phases() == 3;
        Moment {
            t_s: t,
            line_a: self.phases(t, flows[0]),
            supply_a: self.phases(t, flows[1]),
            terminal_v: if three { [a - b, b - c, c - a] } else { [a, 0.0, 0.0] },
            speed: y[M::STATES] * run.sync,
            torque_nm: torque * run.newton_metres,
        }
    }

    fn currents(&self, t: f64) -> Moment {
        let y = self.state(t);
        let flows = self.flows(t, &y);
        Moment {
            t_s: t,
            line_a: self.phases(t, flows[0]),
            supply_a: self.phases(t, flows[1]),
            speed: y[M::STATES] * self.run.sync,
            ..Moment::default()
        }
    }

    fn vectors(&self, t: f64) -> Option<[Complex64; 2]> {
        if self.run.branch.machine.phases() == 1 || self.run.chopped {
            return None;
        }
        let y = self.state(t);
        Some(self.flows(t, &y))
    }
}
