//! What one may want of a start at the waveform level: samples at a fixed step, figures per cycle, the crests of the current.

use num_complex::Complex64;

use super::{Moment, Piece, Watch};

/// Instants at a fixed step, the first at switch-on.
#[derive(Debug, Clone)]
pub struct Sampler {
    /// The step \[s\].
    step_s: f64,
    /// What was seen.
    pub samples: Vec<Moment>,
}

impl Sampler {
    /// One instant every `step_s` \[s\].
    pub fn new(step_s: f64) -> Self {
        Sampler { step_s, samples: Vec::new() }
    }
}

impl Watch for Sampler {
    fn piece(&mut self, piece: &dyn Piece) {
        let [_, end] = piece.span();
        loop {
            let t = self.samples.len() as f64 * self.step_s;
            // the rounding of many steps must not lose the last sample
            if t > end * (1.0 + 1e-12) {
                break;
            }
            self.samples.push(piece.at(t));
        }
    }
}

/// What a cycle amounts to; `k` cycles after switch-on it covers `[k / f, (k + 1) / f]`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cycle {
    /// Line currents, rms \[A\].
    pub line_a: [f64; 3],
    /// Supply currents, rms \[A\].
    pub supply_a: [f64; 3],
    /// Terminal voltages, rms, as in [`Moment`] \[V\].
    pub terminal_v: [f64; 3],
    /// Mean speed \[rad/s\].
    pub speed: f64,
    /// Mean torque \[N m\].
    pub torque_nm: f64,
    /// Mean power into the load \[W\].
    pub power_w: f64,
}

impl Cycle {
    /// Root of the mean square over the phases there are.
    pub fn over_phases(values: [f64; 3], phases: u32) -> f64 {
        (values.iter().map(|x| x * x).sum::<f64>() / f64::from(phases)).sqrt()
    }
}

/// Parts of a cycle at which the current is looked at: squares of what changes no faster than its second harmonic are summed
/// exactly, and the offset that dies away adds 3e-5 at the most.
const PARTS: usize = 48;

/// Sums over one cycle each: squares of currents and voltages, speed, torque, power.
type Sums = [f64; 12];

fn squares(m: &Moment) -> Sums {
    let [a, b, c] = m.line_a;
    let [p, q, r] = m.supply_a;
    let [u, v, w] = m.terminal_v;
    // by two wattmeters; of a single phase the second reads nothing
    let power = u * a - v * c;
    [a * a, b * b, c * c, p * p, q * q, r * r, u * u, v * v, w * w, m.speed, m.torque_nm, power]
}

/// Cycles in a row after which a run that is to end ends: more than a swing of the speed about its end takes (assumed).
pub const IN_ROW: u32 = 10;

/// When cycles end a run.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stop {
    Never,
    Settled { line_a: f64, speed: f64 },
    Calm { speed: f64 },
}

/// Root mean squares and means over sliding windows of one cycle, by the trapezium rule.
#[derive(Debug, Clone)]
pub struct Cycles {
    h: f64,
    /// Running sums up to each grid point.
    sums: Vec<Sums>,
    last: Sums,
    stop: Stop,
    phases: u32,
    in_row: u32,
    cycles_seen: usize,
}

impl Cycles {
    /// For a supply of this frequency \[Hz\] and a machine of so many phases.
    pub fn new(frequency_hz: f64, phases: u32) -> Self {
        Cycles {
            h: 1.0 / (frequency_hz * PARTS as f64),
            sums: Vec::new(),
            last: [0.0; 12],
            stop: Stop::Never,
            phases,
            in_row: 0,
            cycles_seen: 0,
        }
    }

    /// The same, ending the run once ten cycles in a row lie within 1 % of a line current \[A\] and 0.1 % of a speed
    /// \[rad/s\].
    #[must_use]
    pub fn until_settled(mut self, line_a: f64, speed: f64) -> Self {
        self.stop = Stop::Settled { line_a, speed };
        self
    }

    /// The same, ending the run once ten cycles in a row at 95 % of a speed \[rad/s\] or more differ from the one
    /// before by less than 0.5 % in line current and 0.05 % in speed: what follows is the slow course of the load.
    #[must_use]
    pub fn until_calm(mut self, speed: f64) -> Self {
        self.stop = Stop::Calm { speed };
        self
    }

    fn calm(&self, k: usize) -> Option<bool> {
        let line = |c: &Cycle| Cycle::over_phases(c.line_a, self.phases);
        // what has no rotor keeps its speed of 0
        let near = |a: f64, b: f64, share: f64| (a - b).abs() <= share * b.abs();
        let now = self.cycle(k)?;
        Some(match self.stop {
            Stop::Never => false,
            Stop::Settled { line_a, speed } => near(line(&now), line_a, 0.01) && near(now.speed, speed, 1e-3),
            Stop::Calm { speed } => {
                let before = self.cycle(k.checked_sub(1)?)?;
                now.speed >= 0.95 * speed
                    && near(line(&now), line(&before), 5e-3)
                    && near(now.speed, before.speed, 5e-4)
            }
        })
    }

    /// Cycles seen whole.
    pub fn count(&self) -> usize {
        self.sums.len().saturating_sub(1) / PARTS
    }

    /// Cycle `k` after switch-on.
    pub fn cycle(&self, k: usize) -> Option<Cycle> {
        self.window((k + 1) * PARTS)
    }

    /// Time \[s\] of a grid point, [`Cycles::parts`] of them to the cycle.
    pub fn time(&self, point: usize) -> f64 {
        point as f64 * self.h
    }

    /// Grid points in a cycle.
    pub fn parts() -> usize {
        PARTS
    }

    /// Grid points seen.
    pub fn points(&self) -> usize {
        self.sums.len()
    }

    /// The cycle that ends at a grid point; before the first whole cycle that one.
    pub fn window(&self, end: usize) -> Option<Cycle> {
        let end = end.max(PARTS);
        let (now, before) = (self.sums.get(end)?, self.sums.get(end - PARTS)?);
        let mean = |i: usize| (now[i] - before[i]) / PARTS as f64;
        let root = |i: usize| mean(i).max(0.0).sqrt();
        Some(Cycle {
            line_a: [0, 1, 2].map(root),
            supply_a: [3, 4, 5].map(root),
            terminal_v: [6, 7, 8].map(root),
            speed: mean(9),
            torque_nm: mean(10),
            power_w: mean(11),
        })
    }
}

impl Watch for Cycles {
    fn piece(&mut self, piece: &dyn Piece) {
        let [_, end] = piece.span();
        loop {
            let t = self.sums.len() as f64 * self.h;
            if t > end * (1.0 + 1e-12) {
                break;
            }
            let now = squares(&piece.at(t));
            let sum = match self.sums.last() {
                None => [0.0; 12],
                Some(before) => std::array::from_fn(|i| before[i] + 0.5 * (self.last[i] + now[i])),
            };
            self.sums.push(sum);
            self.last = now;
        }
        if self.stop == Stop::Never {
            return;
        }
        while self.cycles_seen < self.count() {
            self.in_row = if self.calm(self.cycles_seen) == Some(true) { self.in_row + 1 } else { 0 };
            self.cycles_seen += 1;
        }
    }

    fn enough(&self) -> bool {
        self.in_row >= IN_ROW
    }
}

/// The largest instantaneous current and when it flows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Peak {
    /// How much \[A\].
    pub a: f64,
    /// When \[s\].
    pub t_s: f64,
    /// Angle of the space vector there \[rad\]; 0 for a single phase.
    pub angle: f64,
}

/// Top of the parabola through three equidistant points of which the middle one is the largest, and where it lies from there, in
/// parts of their distance.
pub(super) fn parabola(a: f64, b: f64, c: f64) -> (f64, f64) {
    let bend = a - 2.0 * b + c;
    let shift = if bend < 0.0 { 0.5 * (a - c) / bend } else { 0.0 };
    (b - 0.25 * (a - c) * shift, shift)
}

/// The current of the line that has most of it, with its sign.
fn largest(lines: [f64; 3]) -> f64 {
    lines.into_iter().fold(0.0, |most: f64, a| if a.abs() > most.abs() { a } else { most })
}

/// Finds the largest currents of load and supply: of three phases the length of the space vector, which the current of some
/// phase reaches at some closing angle; of one phase, and behind thyristors, the current itself.
#[derive(Debug, Clone)]
pub struct Crest {
    h: f64,
    /// Last three values of load and supply.
    last: [[f64; 3]; 2],
    seen: usize,
    /// Load, supply.
    pub largest: [Peak; 2],
    /// Instantaneous values (or vectors) of load and supply on the grid, for the first so many points.
    pub samples: Vec<[Complex64; 2]>,
    keep: usize,
}

impl Crest {
    /// For a supply of this frequency \[Hz\], keeping the samples of so many cycles.
    pub fn new(frequency_hz: f64, keep_cycles: usize) -> Self {
        Crest {
            h: 1.0 / (frequency_hz * PARTS as f64),
            last: [[0.0; 3]; 2],
            seen: 0,
            largest: [Peak::default(); 2],
            samples: Vec::with_capacity(keep_cycles * PARTS + 1),
            keep: keep_cycles * PARTS + 1,
        }
    }

    /// Samples to the cycle.
    pub fn parts() -> usize {
        PARTS
    }
}

impl Watch for Crest {
    fn piece(&mut self, piece: &dyn Piece) {
        let [_, end] = piece.span();
        loop {
            let t = self.seen as f64 * self.h;
            if t > end * (1.0 + 1e-12) {
                break;
            }
            let values = piece.vectors(t).unwrap_or_else(|| {
                let m = piece.currents(t);
                [m.line_a, m.supply_a].map(|lines| largest(lines).into())
            });
            for (i, value) in values.into_iter().enumerate() {
                let [_, a, b] = self.last[i];
                let now = value.norm();
                self.last[i] = [a, b, now];
                // a crest between three points: the top of the parabola through them
                if self.seen >= 2 && b >= a && b >= now {
                    let (top, shift) = parabola(a, b, now);
                    if top > self.largest[i].a {
                        let t_s = t + (shift - 1.0) * self.h;
                        self.largest[i] = Peak { a: top, t_s, angle: value.arg() };
                    }
                }
            }
            if self.samples.len() < self.keep {
                self.samples.push(values);
            }
            self.seen += 1;
        }
    }
}

/// Several at once.
impl<A: Watch, B: Watch> Watch for (A, B) {
    fn piece(&mut self, piece: &dyn Piece) {
        self.0.piece(piece);
        self.1.piece(piece);
    }

    fn enough(&self) -> bool {
        self.0.enough() || self.1.enough()
    }
}

/// Nothing: the run alone.
impl Watch for () {
    fn piece(&mut self, _piece: &dyn Piece) {}
}
