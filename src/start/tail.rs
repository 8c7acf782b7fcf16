//! The end of a start: the settled state, and the way there once the rotor follows its load without lag.
//!
//! Near the settled speed the swing equation is stiff against a slow build-up of load torque. There the speed is taken as
//! the equilibrium of the moment, less the lag of a rotor that follows it (first order), plus what is left of the run-up,
//! dying away by the swing equation expanded to second order. What that neglects is at the most 2e-4 of the current, against
//! plain integration on the sites of tests/laws.

use super::envelope::{LEAST_RUNNING, Life, Simulation, Speeds};
use super::trace::Row;
use crate::motor::Stage;
use crate::numeric::root;
use crate::starter::CutOut;

/// Deviation from equilibrium, in fractions of synchronous speed, below which the tail begins.
const NEAR: f64 = 2e-3;
/// Step for slopes by difference, same unit.
const NUDGE: f64 = 1e-5;
/// What the first-order lag may leave out: the square of the rotor's time constant over the build-up's, times what of the
/// build-up is still to come.
const UNFOLLOWED: f64 = 2e-5;
/// Share of the build-up time over which its exponential passes for a straight line.
const STRAIGHT: f64 = 0.02;
/// Rows of the build-up.
const BUILD_UP_ROWS: u32 = 10;
/// Rows of the dying run-up, at these ages in time constants: closer where it dies faster.
const RELAX_AGES: [f64; 9] = [0.15, 0.4, 0.75, 1.2, 1.8, 2.6, 3.8, 5.5, 8.0];

/// How far the rotor is behind an equilibrium that moves, to first order: J dw/dt = T - TL is not zero while it follows.
fn lag<const N: usize>(moving: Speeds<N>, rates: &Speeds<N>) -> Speeds<N> {
    Speeds::from_fn(|i, _| if rates[i] > 0.0 { moving[i] / rates[i] } else { 0.0 })
}

impl<const N: usize> Simulation<'_, N> {
    /// Finds each branch's steady state at full load torque, all branches on and run up, before the start begins.
    pub(super) fn find_settled(&mut self) {
        let (stage, life) = (self.stage, self.life);
        self.life = [Life::On; N];
        self.over = [true; N];
        let end = (0..N).fold(0.0, |m: f64, i| {
            let starter = self.branches[i].starter;
            let over_s = starter.change_over().map_or(0.0, |c| c.at_s);
            let over_s = if over_s.is_finite() { over_s } else { 0.0 };
            m.max(self.branches[i].closes_at_s + starter.constant_from_s().max(over_s))
        });
        let mut x = Speeds::repeat(0.97);
        let sweeps = if N == 1 { 1 } else { 4 };
        for _ in 0..sweeps {
            for i in 0..N {
                self.settle_stage(i, end, &mut x);
                self.settled[i] = self.settled_speed(i, end, &mut x);
            }
        }
        let (solved, torques) = self.network(end, &x);
        for (i, (fed, torque)) in solved.fed.iter().zip(torques).enumerate() {
            if let Some(xs) = self.settled[i] {
                let load = self.branches[i].load.settled(xs * self.sync[i]);
                let row: Row = self.row(i, end, xs, fed, solved.supply_a(), torque, load);
                self.out[i].settled = Some(row);
            }
        }
        self.ends = self.stage;
        (self.stage, self.life, self.over) = (stage, life, [false; N]);
    }

    /// Sets the stage branch `i` ends in: start parts are out, unless the motor settles with them below their cut-out.
    fn settle_stage(&mut self, i: usize, t: f64, x: &mut Speeds<N>) {
        let own = self.branches[i].machine.own_cut_out();
        let assist = self.branches[i].assist_cut_out;
        self.stage[i] = Stage::RUN;
        // below the least running speed no part could keep a settled motor
        let by_speed = match assist {
            Some(CutOut::Speed(cut)) => Some(cut),
            // a relay may stay in whatever the speed
            Some(CutOut::Voltage(_)) => Some(1.0),
            None => None,
        };
        if [own, by_speed].into_iter().flatten().all(|cut| cut < LEAST_RUNNING) {
            return;
        }
        self.stage[i] = Stage::START;
        let with = self.settled_speed(i, t, x);
        let stays = |cut: Option<f64>| cut.zip(with).is_some_and(|(cut, with)| with < cut);
        let relay_stays = assist.is_some() && with.is_some() && !self.assist_due(i, t, x);
        self.stage[i] = Stage { own_start: stays(own), assist: relay_stays };
    }

    /// The highest speed at which motor and full load torque balance, from synchronous speed down to the least running
    /// speed; `x[i]` is left there.
    fn settled_speed(&mut self, i: usize, t: f64, x: &mut Speeds<N>) -> Option<f64> {
        let mut excess = |xi: f64, x: &mut Speeds<N>| {
            x[i] = xi;
            let torque = self.torque(i, t, x);
            torque - self.branches[i].load.settled(xi * self.sync[i])
        };
        let mut above = 1.0;
        let mut slip = 4e-3;
        while slip < 1.0 - LEAST_RUNNING {
            let below = 1.0 - slip;
            if excess(below, x) >= 0.0 {
                let found = root::bracketed(|xi| excess(xi, x), below, above, 1e-11).unwrap_or(below);
                x[i] = found;
                return Some(found);
            }
            above = below;
            slip = (slip * 1.5).min(slip + 0.01);
        }
        x[i] = 0.0;
        None
    }

    /// Whether every branch that is on has reached speed and follows its load.
    pub(super) fn in_tail(&mut self, t: f64, x: &Speeds<N>, slope: &Speeds<N>) -> bool {
        for i in 0..N {
            match self.life[i] {
                Life::Waiting => return false,
                Life::GivenUp => continue,
                Life::On => {}
            }
            let settled = self.settled[i].is_none_or(|s| x[i] < 0.95 * s);
            if settled
                || self.out[i].start_duration_s.is_none()
                || self.coupling_moves(i, t)
                || self.pending_cut_out(i, x[i])
            {
                return false;
            }
        }
        (0..N).all(|i| {
            self.life[i] != Life::On || {
                let rate = self.rate(i, t, x, slope[i]);
                let age = t - self.branches[i].closes_at_s;
                let build_up = self.branches[i].load.build_up_s();
                // a build-up as fast as the rotor itself is not followed: integrate it to its end
                let left = (-age / build_up).exp() / (rate * build_up).powi(2);
                let followed = build_up <= 0.0 || left < UNFOLLOWED;
                rate > 0.0 && (slope[i] / rate).abs() < NEAR && followed
            }
        })
    }

    /// Whether nothing will move any more until something is due by the clock: every branch that is on stands at a stable
    /// equilibrium, with its load built up and its coupling constant.
    pub(super) fn stuck(&mut self, t: f64, x: &Speeds<N>, slope: &Speeds<N>) -> bool {
        // most moments are told apart by their slope alone
        if slope.amax() > 1e-4 {
            return false;
        }
        (0..N).all(|i| {
            let age = t - self.branches[i].closes_at_s;
            match self.life[i] {
                Life::GivenUp => true,
                Life::Waiting => false,
                Life::On if self.coupling_moves(i, t) || age < 10.0 * self.branches[i].load.build_up_s() => {
                    false
                }
                Life::On if self.held[i] => true,
                Life::On => {
                    let rate = self.rate(i, t, x, slope[i]);
                    rate > 0.0 && (slope[i] / rate).abs() < 1e-7
                }
            }
        })
    }

    fn slope_of(&mut self, i: usize, t: f64, x: &Speeds<N>) -> f64 {
        let torque = self.torque(i, t, x);
        (torque - self.load_at(i, t, x[i])) * self.per_momentum[i]
    }

    /// How fast a deviation of branch `i` dies away \[1/s\]: minus the slope of the swing equation.
    fn rate(&mut self, i: usize, t: f64, x: &Speeds<N>, slope: f64) -> f64 {
        let mut nudged = *x;
        nudged[i] -= NUDGE;
        (self.slope_of(i, t, &nudged) - slope) / NUDGE
    }

    /// Moves `x` to the equilibrium of time `t`, with the rates of a nearby moment as the slope of each sweep.
    fn balance(&mut self, t: f64, x: &mut Speeds<N>, rates: &Speeds<N>) {
        for _ in 0..12 {
            let mut moved: f64 = 0.0;
            for i in 0..N {
                if self.life[i] == Life::On && rates[i] > 0.0 {
                    let by = (self.slope_of(i, t, x) / rates[i]).clamp(-NEAR, NEAR);
                    x[i] += by;
                    moved = moved.max(by.abs());
                }
            }
            if moved < 1e-6 {
                break;
            }
        }
    }

    /// The rates of all branches at `t` and speeds `x`.
    fn rates(&mut self, t: f64, x: &Speeds<N>) -> Speeds<N> {
        let mut rates = Speeds::zeros();
        for i in 0..N {
            if self.life[i] == Life::On {
                let slope = self.slope_of(i, t, x);
                rates[i] = self.rate(i, t, x, slope);
            }
        }
        rates
    }

    /// Records the rest of the start, from `t` at speeds `x`, to the settled state.
    pub(super) fn tail(&mut self, t: f64, x: Speeds<N>) {
        let mut level = x;
        let entry = self.rates(t, &level);
        self.balance(t, &mut level, &entry);
        let mut rates = self.rates(t, &level);
        let slowest_rate = (0..N).filter(|&i| rates[i] > 0.0).fold(f64::INFINITY, |m, i| m.min(rates[i]));
        let [.., longest] = RELAX_AGES;
        let span = if slowest_rate.is_finite() { longest / slowest_rate } else { 0.0 };
        let from = t + span;
        let mut next = level;
        let build_up = (0..N).fold(0.0, |m: f64, i| m.max(self.branches[i].load.build_up_s()));
        if build_up > 0.0 {
            self.balance(from, &mut next, &rates);
        }
        // over a span that is short against the build-up the equilibrium moves in a straight line
        let straight = span <= STRAIGHT * build_up;
        let mut moving = (next - level) / span.max(f64::MIN_POSITIVE);
        if !straight && build_up > 0.0 {
            let near = 0.05 * span;
            let mut soon = level;
            self.balance(t + near, &mut soon, &rates);
            moving = (soon - level) / near;
        }
        let left = x - (level - lag(moving, &rates));
        // how the rate changes with the deviation: the decay is that of d' = -r d - q d^2
        let bend: Speeds<N> = Speeds::from_fn(|i, _| {
            let off = x[i] - level[i];
            if off.abs() > 1e-6 && rates[i] > 0.0 {
                0.5 * (entry[i] - rates[i]) / off / rates[i]
            } else {
                0.0
            }
        });
        let (mut before, mut at) = (level, t);
        for age in RELAX_AGES {
            let now = t + age / longest * span;
            let mut here = level + (next - level) * (age / longest);
            if !straight && build_up > 0.0 {
                self.balance(now, &mut here, &rates);
                moving = (here - before) / (now - at);
                (before, at) = (here, now);
            }
            let dying: Speeds<N> = Speeds::from_fn(|i, _| {
                let faded = (-age * rates[i] / slowest_rate).exp();
                left[i] * faded / (1.0 + bend[i] * left[i] * (1.0 - faded))
            });
            self.record(now, &(here - lag(moving, &rates) + dying));
        }
        if build_up > 0.0 {
            self.build_up(from, next, build_up, &mut rates);
        }
    }

    /// Rows at equal shares of the build-up that is still to come at `from`.
    fn build_up(&mut self, from: f64, start: Speeds<N>, build_up_s: f64, rates: &mut Speeds<N>) {
        let begun = (0..N).fold(0.0, |m: f64, i| m.max(self.branches[i].closes_at_s));
        let done = -(-(from - begun) / build_up_s).exp_m1();
        let (mut earlier, mut before, mut level) = (start, start, start);
        let step = (0.9999 - done) / f64::from(BUILD_UP_ROWS);
        for j in 1..=BUILD_UP_ROWS {
            let b = done + step * f64::from(j);
            let at = begun - build_up_s * (-b).ln_1p();
            if b <= done || at <= from {
                continue;
            }
            // the equilibria of equal shares lie on a smooth curve: the next one by its second differences, once there are any
            let ahead = if j > 3 { 3.0 * (level - before) + earlier } else { 2.0 * level - before };
            (earlier, before, level) = (before, level, ahead);
            self.balance(at, &mut level, rates);
            let moving = (level - before) / step * (1.0 - b) / build_up_s;
            self.record(at, &(level - lag(moving, rates)));
            if j % 4 == 0 {
                *rates = self.rates(at, &level);
            }
        }
    }
}
