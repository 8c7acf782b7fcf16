//! Root mean squares of a run over sliding windows of one cycle.

use super::{Begin, Feed, Inrush, Instant, Run, Watch};

/// Parts of a cycle at which the sums are kept.
pub const PARTS: usize = 4;

/// Means over the cycle that ends at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cycle {
    /// Its end \[s\].
    pub t_s: f64,
    /// Line current, rms \[A\].
    pub line_a: f64,
    /// Current of the supply, rms, what else is on included \[A\].
    pub supply_a: f64,
    /// Voltage at the terminals, rms \[V\].
    pub terminal_v: f64,
    /// Power into the load \[W\].
    pub power_w: f64,
}

/// A sinusoid that other loads draw, `sqrt2 a cos(w t + angle)`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Others {
    /// Rms \[A\].
    pub amps: f64,
    /// Angle against the voltage of the feed \[rad\].
    pub angle: f64,
}

impl Others {
    /// Their current at `t` \[s\] after closing at `angle` \[rad\].
    pub fn at(&self, feed: &Feed, t: f64, angle: f64) -> f64 {
        std::f64::consts::SQRT_2 * self.amps * (feed.omega() * t + angle + self.angle).cos()
    }
}

/// Integrals of squares and of power from switch-on: line, supply, terminals, power.
type Sums = [f64; 4];

/// Sums up squares between instants, by the trapezium rule, and keeps them at every [`PARTS`]th of a cycle.
pub struct Cycles<'a> {
    feed: &'a Feed,
    others: Others,
    angle: f64,
    last: Option<(f64, Sums)>,
    sum: Sums,
    kept: Vec<Sums>,
    stop_below: Option<(f64, f64)>,
    calm: usize,
    until_steady: bool,
}

/// Cycles in a row within the bounds after which a run ends (assumed).
const IN_ROW: usize = 3 * PARTS;

impl<'a> Cycles<'a> {
    /// For a run closed at `angle` \[rad\].
    pub fn new(feed: &'a Feed, others: Others, angle: f64) -> Self {
        Cycles {
            feed,
            others,
            angle,
            last: None,
            sum: [0.0; 4],
            kept: vec![[0.0; 4]],
            stop_below: None,
            calm: 0,
            until_steady: false,
        }
    }

    /// The same, ending the run once cycles in a row lie within a twentieth of a current \[A\], not before a time \[s\].
    #[must_use]
    pub fn until_near(mut self, line_a: f64, from_s: f64) -> Self {
        self.stop_below = Some((line_a, from_s));
        self
    }

    /// The same, ending the run once a cycle is like the one before it.
    #[must_use]
    pub fn until_steady(mut self) -> Self {
        self.until_steady = true;
        self
    }

    fn values(&self, now: &Instant) -> Sums {
        let supply = now.line_a + self.others.at(self.feed, now.t_s, self.angle);
        [
            now.line_a * now.line_a,
            supply * supply,
            now.terminal_v * now.terminal_v,
            now.line_a * now.terminal_v,
        ]
    }

    /// Every whole window, a quarter of a cycle apart.
    pub fn windows(&self) -> impl Iterator<Item = Cycle> + '_ {
        (PARTS..self.kept.len()).map(|end| self.window(end))
    }

    fn window(&self, end: usize) -> Cycle {
        let (now, before) = (self.kept[end], self.kept[end - PARTS]);
        let mean = |i: usize| (now[i] - before[i]) * self.feed.hertz;
        let root = |i: usize| mean(i).max(0.0).sqrt();
        Cycle {
            t_s: end as f64 * self.feed.cycle_s() / PARTS as f64,
            line_a: root(0),
            supply_a: root(1),
            terminal_v: root(2),
            power_w: mean(3),
        }
    }
}

impl Watch for Cycles<'_> {
    fn see(&mut self, now: &Instant) {
        let values = self.values(now);
        if let Some((t, before)) = self.last {
            let (mut from, mut low) = (t, before);
            let span = now.t_s - t;
            loop {
                let edge = self.kept.len() as f64 * self.feed.cycle_s() / PARTS as f64;
                if span <= 0.0 || edge > now.t_s {
                    break;
                }
                let share = (edge - t) / span;
                let at: Sums = std::array::from_fn(|i| before[i] + share * (values[i] - before[i]));
                for i in 0..4 {
                    self.sum[i] += 0.5 * (edge - from) * (low[i] + at[i]);
                }
                (from, low) = (edge, at);
                self.kept.push(self.sum);
                let end = self.kept.len() - 1;
                if let Some((amps, from_s)) = self.stop_below.filter(|_| end >= PARTS) {
                    let near = (self.window(end).line_a - amps).abs() <= 0.05 * amps && edge > from_s;
                    self.calm = if near { self.calm + 1 } else { 0 };
                }
                if self.until_steady && end >= 2 * PARTS {
                    let [now, before] = [end, end - PARTS].map(|end| self.window(end).line_a);
                    let alike = (now - before).abs() <= STEADY * before;
                    self.calm = if alike { self.calm + 1 } else { 0 };
                }
            }
            for i in 0..4 {
                self.sum[i] += 0.5 * (now.t_s - from) * (low[i] + values[i]);
            }
        }
        self.last = Some((now.t_s, values));
    }

    fn enough(&self) -> bool {
        self.calm >= IN_ROW
    }
}

/// Cycles after which what is left of a settled state that was only guessed is gone (derived: charging takes a few).
const SETTLING_CYCLES: f64 = 40.0;

/// A cycle differs from the one before it by less, in a settled state.
const STEADY: f64 = 1e-4;

/// What the load settles at: the last of some cycles of a run that begins settled. `None` where that cannot be solved.
pub fn settled(load: &dyn Inrush, feed: &Feed, others: Others) -> Option<Cycle> {
    let run = Run::settled((SETTLING_CYCLES + 0.01) * feed.cycle_s());
    debug_assert_eq!(run.begin, Begin::Settled);
    let mut cycles = Cycles::new(feed, others, run.angle).until_steady();
    load.wave(feed, &run, &mut cycles).then(|| cycles.windows().last()).flatten()
}
