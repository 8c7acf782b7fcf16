//! The envelope level: phasor circuit at each speed, swing equation integrated with adaptive steps and events.

use nalgebra::SVector;
use num_complex::Complex64;

use super::network::{Bus, Fed, Line, Running, Solved};
use super::trace::{Outcome, Row, Trace};
use crate::motor::{LoadTorque, Machine, Point, Stage};
use crate::numeric::{ode::Step, ode::Stepper, root};
use crate::starter::{Coupling, CutOut, Starter};
use crate::supply::Supply;

/// The most branches that can start on one bus.
pub const MOST_BRANCHES: usize = 6;

/// A motor on the bus, from the board to the shaft.
#[derive(Clone, Copy)]
pub struct Branch<'a> {
    /// The machine.
    pub machine: &'a dyn Machine,
    /// Its load.
    pub load: &'a dyn LoadTorque,
    /// Its starter.
    pub starter: &'a dyn Starter,
    /// When the starter's capacitor leaves, if it has one.
    pub assist_cut_out: Option<CutOut>,
    /// Impedance of the conductor \[ohm\], there and back (per phase for three phases).
    pub conductor: Complex64,
    /// Admittance of a fan at the load's terminals that runs already \[S\].
    pub fan: Complex64,
    /// Whether that fan hangs behind the starter.
    pub fan_through_starter: bool,
    /// When it is switched on \[s\].
    pub closes_at_s: f64,
    /// The attempt is given up this long after that \[s\].
    pub longest_start_s: f64,
}

impl<'a> Branch<'a> {
    /// Straight at the bus: no cable, no fan, switched on at once.
    pub fn plain(
        machine: &'a dyn Machine,
        load: &'a dyn LoadTorque,
        starter: &'a dyn Starter,
        longest_start_s: f64,
    ) -> Branch<'a> {
        Branch {
            machine,
            load,
            starter,
            assist_cut_out: None,
            conductor: Complex64::ZERO,
            fan: Complex64::ZERO,
            fan_through_starter: false,
            closes_at_s: 0.0,
            longest_start_s,
        }
    }

    /// What lies between bus and starter.
    pub(super) fn line(&self) -> Line {
        let fan = if self.fan_through_starter { Complex64::ZERO } else { self.fan };
        Line { conductor: self.conductor, fan }
    }
}

/// How the simulation is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Error allowed per step, in fractions of synchronous speed.
    pub tolerance: f64,
    /// Steps after which a start is left as it is (`Trace::cut_short`).
    pub most_steps: u32,
}

impl Default for Options {
    fn default() -> Self {
        // a start takes some thirty steps, a long one a few hundred
        Options { tolerance: 1e-6, most_steps: 4_000 }
    }
}

/// Starts up to [`MOST_BRANCHES`] motors on one bus and fills a trace for each. Without allocation once the traces have
/// grown to size.
///
/// Returns `false`, leaving the traces empty, where the numbers of branches and traces differ, there are none or too many.
pub fn envelope(
    supply: &dyn Supply,
    running: Running,
    branches: &[Branch<'_>],
    options: Options,
    out: &mut [Trace],
) -> bool {
    for trace in out.iter_mut() {
        trace.clear();
    }
    if branches.len() != out.len() {
        return false;
    }
    match branches.len() {
        1 => run::<1>(supply, running, branches, options, out),
        2 => run::<2>(supply, running, branches, options, out),
        3 => run::<3>(supply, running, branches, options, out),
        4 => run::<4>(supply, running, branches, options, out),
        5 => run::<5>(supply, running, branches, options, out),
        6 => run::<6>(supply, running, branches, options, out),
        _ => false,
    }
}

fn run<const N: usize>(
    supply: &dyn Supply,
    running: Running,
    branches: &[Branch<'_>],
    options: Options,
    out: &mut [Trace],
) -> bool {
    let Ok(branches) = <&[Branch<'_>; N]>::try_from(branches) else { return false };
    Simulation::new(supply, running, branches, options, out).run();
    true
}

/// The squares of the machines' voltages, if they are the same whatever happens.
fn lean<const N: usize>(supply: &dyn Supply, branches: &[Branch<'_>; N]) -> Option<[f64; N]> {
    let source = supply.constant().filter(|s| s.z == Complex64::ZERO && s.fold_a.is_none())?;
    let mut squares = [0.0; N];
    for (square, branch) in squares.iter_mut().zip(branches) {
        let steps = branch.starter.constant_from_s() > 0.0 || branch.starter.change_over().is_some();
        let changes = steps || branch.conductor != Complex64::ZERO;
        *square = match branch.starter.coupling(0.0, false) {
            Coupling::Series { k } | Coupling::Transformer { k } if !changes => (k * source.v).powi(2),
            _ => return None,
        };
    }
    Some(squares)
}

/// Where a branch is in its life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Life {
    /// Not switched on yet.
    Waiting,
    /// On, and turning or trying to.
    On,
    /// Given up.
    GivenUp,
}

pub(super) struct Simulation<'a, const N: usize> {
    pub(super) supply: &'a dyn Supply,
    running: Running,
    pub(super) branches: &'a [Branch<'a>; N],
    options: Options,
    pub(super) out: &'a mut [Trace],
    pub(super) sync: [f64; N],
    /// One over inertia times synchronous speed: what turns a torque into a slope.
    pub(super) per_momentum: [f64; N],
    lines: [Line; N],
    pub(super) stage: [Stage; N],
    pub(super) life: [Life; N],
    /// Standing still because the motor does not overcome breakaway.
    pub(super) held: [bool; N],
    pub(super) limiting: [bool; N],
    /// Whether the starter has changed over.
    pub(super) over: [bool; N],
    /// The stage that each branch settles in.
    pub(super) ends: [Stage; N],
    pub(super) settled: [Option<f64>; N],
    /// The network as the last slope found it, with the torques: for an accepted step that is its end.
    last: Option<(Solved<N>, [f64; N])>,
    /// Squares of the machines' voltages where nothing but the speed changes: behind a stiff source of constant voltage, with
    /// couplings that neither limit nor change. The torques then follow without solving the network.
    lean: Option<[f64; N]>,
    evaluations: u32,
}

/// Fractions of synchronous speed per branch.
pub(super) type Speeds<const N: usize> = SVector<f64, N>;

/// Settled speed below which a motor counts as hanging, as a fraction of synchronous speed (assumed).
pub(super) const LEAST_RUNNING: f64 = 0.8;
/// Share of the settled speed that ends the start.
pub(super) const AT_SPEED: f64 = 0.95;

impl<'a, const N: usize> Simulation<'a, N> {
    fn new(
        supply: &'a dyn Supply,
        running: Running,
        branches: &'a [Branch<'a>; N],
        options: Options,
        out: &'a mut [Trace],
    ) -> Self {
        let sync = std::array::from_fn(|i| branches[i].machine.sync_speed());
        Simulation {
            supply,
            running,
            branches,
            options,
            out,
            sync,
            per_momentum: std::array::from_fn(|i| 1.0 / (branches[i].machine.inertia() * sync[i])),
            lines: std::array::from_fn(|i| branches[i].line()),
            stage: [Stage::START; N],
            life: [Life::Waiting; N],
            held: [false; N],
            limiting: [false; N],
            over: [false; N],
            ends: [Stage::RUN; N],
            settled: [None; N],
            last: None,
            lean: lean(supply, branches),
            evaluations: 0,
        }
    }

    /// The network at a moment, with the machines' torques.
    #[inline]
    pub(super) fn network(&mut self, t: f64, x: &Speeds<N>) -> (Solved<N>, [f64; N]) {
        self.evaluations += 1;
        let mut couplings = [None; N];
        let mut points = [Point { y: Complex64::ZERO, torque_per_v2: 0.0 }; N];
        for i in 0..N {
            if self.life[i] == Life::On {
                let branch = &self.branches[i];
                couplings[i] = Some(branch.starter.coupling(t - branch.closes_at_s, self.over[i]));
                points[i] = branch.machine.at(x[i] * self.sync[i], self.stage[i]);
                if branch.fan_through_starter {
                    points[i].y += branch.fan;
                }
            }
        }
        let bus = Bus { source: self.supply.source(t), running: self.running };
        let solved = bus.solve(&points, &self.lines, &couplings);
        let torques = std::array::from_fn(|i| points[i].torque_per_v2 * solved.fed[i].motor.norm_sqr());
        (solved, torques)
    }

    /// Torque of branch `i` at a moment, by the shortest way.
    #[inline]
    pub(super) fn torque(&mut self, i: usize, t: f64, x: &Speeds<N>) -> f64 {
        match &self.lean {
            Some(squares) if self.life[i] == Life::On => {
                self.evaluations += 1;
                self.branches[i].machine.at(x[i] * self.sync[i], self.stage[i]).torque_per_v2 * squares[i]
            }
            _ => self.network(t, x).1[i],
        }
    }

    /// The network at the end of an accepted step, where the last slope was taken.
    pub(super) fn last(&mut self, t: f64, x: &Speeds<N>) -> (Solved<N>, [f64; N]) {
        if let Some(last) = self.last {
            return last;
        }
        let last = self.network(t, x);
        self.last = Some(last);
        last
    }

    #[inline]
    pub(super) fn load_at(&self, i: usize, t: f64, x: f64) -> f64 {
        let branch = &self.branches[i];
        // a step's trial points may lie below standstill, where the torque would turn over: no bend for the stepper
        branch.load.at((x * self.sync[i]).max(0.0), t - branch.closes_at_s)
    }

    #[inline]
    fn slopes(&mut self, t: f64, x: &Speeds<N>) -> Speeds<N> {
        let mut torques = [0.0; N];
        if let Some(squares) = &self.lean {
            self.evaluations += 1;
            for i in 0..N {
                if self.life[i] == Life::On {
                    let at = self.branches[i].machine.at(x[i] * self.sync[i], self.stage[i]);
                    torques[i] = at.torque_per_v2 * squares[i];
                }
            }
            self.last = None;
        } else {
            let (solved, now) = self.network(t, x);
            torques = now;
            self.last = Some((solved, now));
        }
        Speeds::from_fn(|i, _| {
            if self.life[i] != Life::On || self.held[i] {
                return 0.0;
            }
            (torques[i] - self.load_at(i, t, x[i])) * self.per_momentum[i]
        })
    }

    /// Adds a row per branch that is on.
    pub(super) fn record(&mut self, t: f64, x: &Speeds<N>) {
        let (solved, torques) = self.network(t, x);
        self.record_as(t, x, &solved, &torques);
    }

    /// Adds a row per branch that is on, the network being solved already.
    fn record_as(&mut self, t: f64, x: &Speeds<N>, solved: &Solved<N>, torques: &[f64; N]) {
        let supply_a = solved.supply_a();
        for i in 0..N {
            if self.life[i] == Life::On {
                let load =
                    if x[i] == 0.0 { self.branches[i].load.breakaway() } else { self.load_at(i, t, x[i]) };
                let row = self.row(i, t, x[i], &solved.fed[i], supply_a, torques[i], load);
                self.out[i].rows.push(row);
            }
        }
    }

    #[expect(clippy::too_many_arguments, reason = "a row is just these")]
    pub(super) fn row(
        &self,
        i: usize,
        t: f64,
        x: f64,
        fed: &Fed,
        supply_a: f64,
        torque: f64,
        load: f64,
    ) -> Row {
        let phases = f64::from(self.branches[i].machine.phases());
        let to_line = if phases == 3.0 { 3f64.sqrt() } else { 1.0 };
        let power = fed.motor * fed.through.conj() * phases;
        // not `norm()`: its guard against overflow costs more than the whole row
        let size = |z: Complex64| if z.im == 0.0 { z.re.abs() } else { z.norm_sqr().sqrt() };
        let terminal_v = size(fed.terminal) * to_line;
        let motor_v = if fed.motor == fed.terminal { terminal_v } else { size(fed.motor) * to_line };
        Row {
            t_s: t - self.branches[i].closes_at_s,
            line_a: if fed.harmonics_a == 0.0 { size(fed.line) } else { fed.line_a() },
            supply_a,
            terminal_v,
            motor_v,
            power_w: power.re,
            reactive_var: power.im,
            speed: x * self.sync[i],
            torque_nm: torque,
            load_nm: load,
        }
    }

    fn run(&mut self) {
        self.find_settled();
        let mut x = Speeds::zeros();
        let mut t = 0.0;
        self.switch(t, &x);
        self.record(t, &x);
        let mut slope = self.slopes(t, &x);
        // a limiter's release is a bend that a step may straddle before it is found: a tighter rein keeps what that costs small
        let limits = |b: &Branch<'_>| {
            matches!(b.starter.coupling(0.0, false), Coupling::Limit { .. } | Coupling::Chopped { .. })
        };
        let rein = if self.branches.iter().any(limits) { 0.1 } else { 1.0 };
        let tolerance = rein * self.options.tolerance;
        let mut stepper = Stepper::new(t, x, slope, self.first_step(t, &slope), tolerance);
        while let Some(stop) = self.next_stop(t) {
            if self.in_tail(t, &x, &slope) {
                self.tail(t, x);
                break;
            }
            if stop < t + 600.0 && self.stuck(t, &x, &slope) {
                (t, slope) = (stop, Speeds::zeros());
                self.record(t, &x);
                self.switch(t, &x);
                stepper.restart(t, x, slope, 1e-3);
                continue;
            }
            // a motor that neither settles nor gives up (a limiter that chatters, say) must not run for ever
            if stepper.accepted + stepper.refused > self.options.most_steps {
                self.out.iter_mut().for_each(|trace| trace.cut_short = true);
                break;
            }
            let step = stepper.step(stop, &mut |t, x| self.slopes(t, x));
            let change = self.earliest(&step);
            let end = change.map_or(1.0, |(theta, ..)| theta);
            self.note_speed(&step, end);
            self.record_step(&step, end);
            if let Some((theta, i, what)) = change {
                (t, x) = (step.t0 + theta * step.h, step.at(theta));
                self.apply(t, &mut x, i, what);
            } else {
                (t, x) = (stepper.t, stepper.y);
            }
            if change.is_some() | self.switch(t, &x) {
                self.record(t, &x);
                slope = self.slopes(t, &x);
                let h = self.first_step(t, &slope).min(2.0 * step.h);
                stepper.restart(t, x, slope, h);
            }
            slope = stepper.slope;
        }
        self.finish(&x, stepper.accepted + stepper.refused);
    }

    /// Switches on what is due and gives up what has had its time; says whether anything changed.
    fn switch(&mut self, t: f64, x: &Speeds<N>) -> bool {
        let mut changed = false;
        for i in 0..N {
            let branch = &self.branches[i];
            if self.life[i] == Life::Waiting && t >= branch.closes_at_s {
                self.life[i] = Life::On;
                changed = true;
            }
            if self.life[i] == Life::On && self.is_due_over(i, t) {
                self.change_over(i, t);
                changed = true;
            }
            if self.life[i] == Life::On
                && self.out[i].start_duration_s.is_none()
                && t >= branch.closes_at_s + branch.longest_start_s
            {
                self.life[i] = Life::GivenUp;
                changed = true;
            }
        }
        if changed {
            let (solved, torques) = self.network(t, x);
            for i in 0..N {
                if self.life[i] == Life::On {
                    self.limiting[i] = solved.fed[i].over_limit > 1.0;
                    if x[i] == 0.0 {
                        self.held[i] = torques[i] <= self.branches[i].load.breakaway();
                    }
                }
            }
        }
        changed
    }

    /// The next moment at which something is due by the clock; `None` when nothing is left to simulate.
    fn next_stop(&self, t: f64) -> Option<f64> {
        let mut stop = f64::INFINITY;
        let mut busy = false;
        for i in 0..N {
            let branch = &self.branches[i];
            let mut due = |at: f64| {
                if at > t {
                    stop = stop.min(at);
                }
            };
            match self.life[i] {
                Life::Waiting => {
                    busy = true;
                    due(branch.closes_at_s);
                }
                Life::On => {
                    busy = true;
                    due(branch.closes_at_s + branch.starter.constant_from_s());
                    if let Some(change) = branch.starter.change_over() {
                        due(branch.closes_at_s + change.at_s);
                    }
                    if self.out[i].start_duration_s.is_none() {
                        due(branch.closes_at_s + branch.longest_start_s);
                    }
                }
                Life::GivenUp => {}
            }
        }
        if !busy {
            return None;
        }
        // all have reached speed but one hangs in a slow drift: the tail takes over long before this
        Some(if stop.is_finite() { stop } else { t + 600.0 })
    }

    fn first_step(&self, t: f64, slope: &Speeds<N>) -> f64 {
        let steepest = slope.amax();
        let by_clock = (0..N).fold(f64::INFINITY, |m: f64, i| {
            let kink = self.branches[i].closes_at_s + self.branches[i].starter.constant_from_s() - t;
            if kink > 0.0 { m.min(kink / 20.0) } else { m }
        });
        let by_speed = if steepest > 0.0 { 0.05 / steepest } else { 0.05 };
        by_speed.min(by_clock).min(1.0)
    }

    /// Adds rows along a step, closer where current or speed change much.
    fn record_step(&mut self, step: &Step<N>, end: f64) {
        let x_end = if end < 1.0 { step.at(end) } else { step.y1 };
        let moved = (x_end - step.y0).amax();
        let (solved, torques) = self.last(step.t0 + step.h, &step.y1);
        let mut change: f64 = 0.0;
        for i in 0..N {
            if let Some(row) = self.out[i].rows.last() {
                let now = solved.fed[i].line_a();
                change = change.max((now - row.line_a).abs() / now.max(row.line_a).max(1e-12));
            }
        }
        // close to the settled speed what is left of the run-up dies away: rows by its share, not by speed
        let left = (0..N).fold(f64::INFINITY, |m: f64, i| {
            self.settled[i].map_or(m, |settled| m.min((settled - x_end[i]).abs()))
        });
        let dying = (moved / (left + moved + 1e-4) / 0.2).min(4.0) * f64::from(moved < 0.05);
        let pieces = 1.0 + (moved / 0.08).min(3.0) + (change / 0.08).min(5.0).max(dying);
        let pieces = pieces as u32;
        let mut extra = self.nine_tenths(step, end, &x_end);
        for j in 1..=pieces {
            // end times a fraction that is one need not be end
            let theta = if j == pieces { end } else { end * f64::from(j) / f64::from(pieces) };
            if let Some(at) = extra
                && at <= theta
            {
                extra = None;
                if at < theta {
                    self.record(step.t0 + at * step.h, &step.at(at));
                }
            }
            if j < pieces {
                self.record(step.t0 + theta * step.h, &step.at(theta));
            } else if end < 1.0 {
                self.record(step.t0 + theta * step.h, &x_end);
            } else {
                self.record_as(step.t0 + step.h, &x_end, &solved, &torques);
            }
        }
    }

    /// Where within a step a branch passes 0.9 of its settled speed: the torque ratio is judged up to just there.
    fn nine_tenths(&self, step: &Step<N>, end: f64, x_end: &Speeds<N>) -> Option<f64> {
        (0..N).find_map(|i| {
            let level = 0.9 * self.settled[i]?;
            if step.y0[i] >= level || x_end[i] < level {
                return None;
            }
            root::bracketed(|th| step.at(th)[i] - level * (1.0 - 1e-12), 0.0, end, 1e-10)
        })
    }

    fn finish(&mut self, x: &Speeds<N>, steps: u32) {
        for i in 0..N {
            let trace = &mut self.out[i];
            trace.steps = steps;
            trace.evaluations = self.evaluations;
            trace.sync_speed = self.sync[i];
            let end = trace.rows.last().map_or(0.0, |r| r.t_s);
            if let Some(settled) = &mut trace.settled {
                settled.t_s = end;
            }
            let fastest = trace.rows.last().map_or(x[i], |r| r.speed / self.sync[i]);
            trace.outcome = match trace.start_duration_s {
                Some(_) => Outcome::Starts,
                None if fastest < 0.05 => Outcome::Stalls,
                None if fastest < LEAST_RUNNING => Outcome::Hangs,
                None => Outcome::TooSlow,
            };
            if trace.start_duration_s.is_none() {
                let t = self.branches[i].closes_at_s + end;
                let ratio = self.ratio_ahead(i, t, x);
                self.out[i].ratio_ahead = Some(ratio);
            }
        }
    }
}
