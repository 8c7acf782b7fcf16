//! The network between source and motors, solved in closed form where it has one.

use num_complex::Complex64;

use crate::motor::Point;
use crate::starter::{Coupling, phase_control};
use crate::supply::Thevenin;

/// Loads that are already on, per phase at the supply's terminals.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Running {
    /// Admittance of those of constant impedance \[S\].
    pub y: Complex64,
    /// Complex power P + jQ of those of constant power \[VA\].
    pub s: Complex64,
    /// Voltage below which a constant-power load is taken as the impedance it is at that voltage \[V\].
    pub least_v: f64,
}

impl Running {
    /// Their admittance at a bus voltage.
    fn admittance(&self, v: Complex64) -> Complex64 {
        self.at_square(v.norm_sqr())
    }

    /// Their admittance at the square of a bus voltage.
    fn at_square(&self, v2: f64) -> Complex64 {
        let v2 = v2.max(self.least_v * self.least_v).max(f64::MIN_POSITIVE);
        self.y + self.s.conj() / v2
    }
}

/// Below this a voltage fraction is as good as none; it keeps an open coupling finite.
const LEAST_K: f64 = 1e-9;

/// The square of the bus voltage, found by fixed-point sweeps; with one branch everything hangs on that one number, and
/// every third sweep is Aitken's extrapolation of the last three.
struct Guess {
    v2: f64,
    before: f64,
    /// Whether a plain sweep has gone before.
    second: bool,
}

impl Guess {
    fn new(v2: f64) -> Self {
        Guess { v2, before: v2, second: false }
    }

    fn improve(&mut self, v2: f64, extrapolate: bool) {
        self.second = !self.second;
        if extrapolate && !self.second {
            let (x0, x1) = (self.before, self.v2);
            let bend = v2 - 2.0 * x1 + x0;
            let jump = if bend == 0.0 { 0.0 } else { (v2 - x1) * (v2 - x1) / bend };
            // an extrapolation that leaves the neighbourhood is no help: sweep on
            self.v2 = if jump.abs() <= 2.0 * (x1 - x0).abs() { v2 - jump } else { v2 };
        } else {
            self.before = self.v2;
            self.v2 = v2;
        }
    }
}

/// Source and running loads on one bus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bus {
    /// The source.
    pub source: Thevenin,
    /// What is running already.
    pub running: Running,
}

/// What lies between the bus and a branch's starter.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Line {
    /// Impedance of the conductor, there and back.
    pub conductor: Complex64,
    /// Admittance of what runs at the load's terminals beside the motor: its fan.
    pub fan: Complex64,
}

impl Line {
    /// Source voltage and impedance as the starter sees them, with the fan on the line.
    #[inline]
    fn behind(&self, e: Complex64, z: Complex64) -> (Complex64, Complex64) {
        if self.fan == Complex64::ZERO {
            return (e, z);
        }
        let over = (1.0 + z * self.fan).inv();
        (e * over, z * over)
    }
}

/// What the network does for one branch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Fed {
    /// Line current, the fan's included, phasor against the source's voltage \[A\].
    pub line: Complex64,
    /// Current through the motor, which differs from the line's behind a transformer \[A\].
    pub through: Complex64,
    /// Voltage at the load's terminals, before its starter \[V\].
    pub terminal: Complex64,
    /// Voltage at the motor, after its starter \[V\].
    pub motor: Complex64,
    /// Line current without the limiter, over what the limiter allows; 0 without one.
    pub over_limit: f64,
    /// Rms of the harmonics that phase control adds to the line current \[A\].
    pub harmonics_a: f64,
}

impl Fed {
    /// Rms line current, harmonics included \[A\].
    #[inline]
    pub(super) fn line_a(&self) -> f64 {
        (self.line.norm_sqr() + self.harmonics_a * self.harmonics_a).sqrt()
    }
}

/// The network as a branch's starter sees it, and what that starter does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Seen {
    /// Voltage with no current in the starter \[V\].
    pub e: Complex64,
    /// Impedance behind it \[ohm\].
    pub z: Complex64,
    /// Voltage fraction the machine gets.
    pub k: f64,
    /// Whether current is scaled with it.
    pub transformer: bool,
}

/// The whole network at one moment.
#[derive(Debug, Clone, Copy)]
pub(super) struct Solved<const N: usize> {
    pub fed: [Fed; N],
    pub supply: Complex64,
}

impl<const N: usize> Solved<N> {
    /// The supply's rms current \[A\], with the harmonics of the branches taken as in step with each other.
    #[inline]
    pub(super) fn supply_a(&self) -> f64 {
        let harmonics: f64 = self.fed.iter().map(|fed| fed.harmonics_a).sum();
        (self.supply.norm_sqr() + harmonics * harmonics).sqrt()
    }
}

impl Bus {
    /// Solves the bus with `N` branches: each a machine's point, the line to it and its coupling (`None`: not switched
    /// on).
    #[inline]
    pub(super) fn solve<const N: usize>(
        &self,
        points: &[Point; N],
        lines: &[Line; N],
        couplings: &[Option<Coupling>; N],
    ) -> Solved<N> {
        if self.stiff(lines)
            && let Some(solved) = self.solve_stiff(points, lines, couplings)
        {
            return solved;
        }
        let mut solved = self.solve_at(1.0, points, lines, couplings);
        let Some(fold) = self.source.fold_a else { return solved };
        self.folded(fold, solved.supply, |share| {
            solved = self.solve_at(share, points, lines, couplings);
            solved.supply
        });
        solved
    }

    /// Whether the source's voltage is everywhere, whatever is drawn.
    #[inline]
    fn stiff(&self, lines: &[Line]) -> bool {
        self.source.z == Complex64::ZERO
            && self.source.fold_a.is_none()
            && lines.iter().all(|line| line.conductor == Complex64::ZERO)
    }

    /// The source's voltage everywhere: no more to solve. `None` where a limiter is at work.
    #[inline]
    fn solve_stiff<const N: usize>(
        &self,
        points: &[Point; N],
        lines: &[Line; N],
        couplings: &[Option<Coupling>; N],
    ) -> Option<Solved<N>> {
        let e = self.source.v;
        let mut supply = e * self.running.y;
        if self.running.s != Complex64::ZERO {
            supply = e * self.running.admittance(e.into());
        }
        let mut fed = [Fed::default(); N];
        for i in 0..N {
            let (share, k) = match couplings[i] {
                None => (0.0, 0.0),
                Some(Coupling::Series { k }) => (k, k),
                Some(Coupling::Transformer { k }) => (k * k, k),
                Some(Coupling::Limit { .. } | Coupling::Chopped { .. }) => return None,
            };
            let mut line = points[i].y * (share * e);
            if couplings[i].is_some() {
                line += e * lines[i].fan;
            }
            supply += line;
            let through = points[i].y * (k * e);
            fed[i] = Fed { line, through, terminal: e.into(), motor: (k * e).into(), ..Fed::default() };
        }
        Some(Solved { fed, supply })
    }

    /// One branch on the bus: with the running loads' admittance known, all else has a closed form; that admittance hangs on
    /// the bus voltage alone and is swept until it stands still.
    #[inline]
    fn solve_one(&self, share: f64, y: Complex64, way: Line, coupling: Coupling) -> (Fed, Complex64, Seen) {
        let e = self.source.v * share;
        let z = self.source.z;
        // the machine as the line sees it, and the voltage fraction it gets of its branch
        let (zm, fixed, held) = match coupling {
            Coupling::Series { k } => (y.inv() / k.max(LEAST_K), k, None),
            Coupling::Transformer { k } => (y.inv() / (k * k).max(LEAST_K), k, None),
            Coupling::Limit { amps } => (y.inv(), 1.0, Some(Held { k: 1.0, amps, chopped: None })),
            Coupling::Chopped { k, amps, three_phase } => {
                (y.inv(), 1.0, Some(Held { k, amps, chopped: Some(three_phase) }))
            }
        };
        let constant_power = self.running.s != Complex64::ZERO;
        let mut guess = Guess::new(e * e);
        let transformer = matches!(coupling, Coupling::Transformer { .. });
        let mut seen = Seen { e: e.into(), z, k: fixed, transformer };
        let mut solved = (Fed::default(), Complex64::ZERO);
        for _ in 0..200 {
            let running = if constant_power { self.running.at_square(guess.v2) } else { self.running.y };
            let over = (1.0 + z * running).inv();
            let bus = (e * over, z * over);
            let (e1, z1) = way.behind(bus.0, bus.1 + way.conductor);
            let mut current = e1 / (zm + z1);
            let (mut k, mut over_limit, mut harmonics_a) = (fixed, 0.0, 0.0);
            if let Some(held) = held {
                (k, over_limit, harmonics_a) = held.fraction(e1, z1, zm);
                if k < 1.0 {
                    current = k * e1 / (zm + k * z1);
                }
            }
            let terminal = e1 - z1 * current;
            let line = current + terminal * way.fan;
            let v = bus.0 - bus.1 * line;
            let v2 = v.norm_sqr();
            let motor = terminal * k;
            let through = if transformer { motor * y } else { current };
            seen = Seen { e: e1, z: z1, k, transformer };
            solved = (Fed { line, through, terminal, motor, over_limit, harmonics_a }, line + running * v);
            if !constant_power || (v2 - guess.v2).abs() < 1e-10 * e * e {
                break;
            }
            guess.improve(v2, true);
        }
        (solved.0, solved.1, seen)
    }

    /// One branch on the bus, with the network as its starter sees it: what the instantaneous equations are fed by.
    pub(super) fn seen(&self, y: Complex64, way: Line, coupling: Coupling) -> (Fed, Complex64, Seen) {
        let mut solved = self.solve_one(1.0, y, way, coupling);
        let Some(fold) = self.source.fold_a else { return solved };
        self.folded(fold, solved.1, |share| {
            solved = self.solve_one(share, y, way, coupling);
            solved.1
        });
        solved
    }

    /// Lowers the share of the source's voltage until the supply's current, `full` at all of it, is what it folds back to.
    /// `supply` solves the network at a share.
    fn folded(&self, fold: f64, full: Complex64, mut supply: impl FnMut(f64) -> Complex64) {
        let mut share = 1.0;
        let mut current = full.norm();
        for _ in 0..60 {
            let wanted: f64 = if share < 1.0 { current / fold } else { (current / fold).max(1.0) };
            if (wanted - 1.0).abs() < 1e-10 {
                break;
            }
            share = (share / wanted).min(1.0);
            current = supply(share).norm();
        }
    }

    fn solve_at<const N: usize>(
        &self,
        share: f64,
        points: &[Point; N],
        lines: &[Line; N],
        couplings: &[Option<Coupling>; N],
    ) -> Solved<N> {
        if N == 1
            && let Some(coupling) = couplings[0]
        {
            let (fed, supply, _) = self.solve_one(share, points[0].y, lines[0], coupling);
            return Solved { fed: [fed; N], supply };
        }
        let e = Complex64::new(self.source.v * share, 0.0);
        let z = self.source.z;
        let mut k = [1.0; N];
        let mut over_limit = [0.0; N];
        let mut harmonics_a = [0.0; N];
        let mut y = [Complex64::ZERO; N];
        let mut limits = false;
        for i in 0..N {
            (y[i], k[i]) = match couplings[i] {
                None => (Complex64::ZERO, 0.0),
                Some(Coupling::Series { k }) => (series(points[i].y, k, lines[i]), k),
                Some(Coupling::Transformer { k }) => (series(points[i].y, k * k, lines[i]), k),
                Some(Coupling::Limit { .. } | Coupling::Chopped { .. }) => {
                    limits = true;
                    (series(points[i].y, 1.0, lines[i]), 1.0)
                }
            };
        }
        let constant_power = self.running.s != Complex64::ZERO;
        let mut running = if constant_power { self.running.admittance(e) } else { self.running.y };
        let mut sum = running + y.iter().sum::<Complex64>();
        let mut v = divided(e, z, sum);
        if limits || constant_power {
            let mut guess = Guess::new(v.norm_sqr());
            for _ in 0..200 {
                if constant_power {
                    running = self.running.at_square(guess.v2);
                }
                for i in 0..N {
                    let held = match couplings[i] {
                        Some(Coupling::Limit { amps }) => Held { k: 1.0, amps, chopped: None },
                        Some(Coupling::Chopped { k, amps, three_phase }) => {
                            Held { k, amps, chopped: Some(three_phase) }
                        }
                        _ => continue,
                    };
                    let rest = running + y.iter().sum::<Complex64>() - y[i];
                    let over = 1.0 + z * rest;
                    let (e1, z1) = lines[i].behind(e / over, z / over + lines[i].conductor);
                    let zm = points[i].y.inv();
                    (k[i], over_limit[i], harmonics_a[i]) = held.fraction(e1, z1, zm);
                    y[i] = series(points[i].y, k[i], lines[i]);
                }
                sum = running + y.iter().sum::<Complex64>();
                let next = divided(e, z, sum);
                let moved = (next - v).norm_sqr();
                v = next;
                // one limiter on a linear bus is solved at once
                if moved < 1e-22 * e.norm_sqr() || (N == 1 && !constant_power) {
                    break;
                }
                guess.improve(v.norm_sqr(), N == 1);
            }
        }
        let mut fed = [Fed::default(); N];
        for i in 0..N {
            let line = y[i] * v;
            let terminal = v - line * lines[i].conductor;
            let motor = terminal * k[i];
            fed[i] = Fed {
                line,
                through: motor * points[i].y,
                terminal,
                motor,
                over_limit: over_limit[i],
                harmonics_a: harmonics_a[i],
            };
        }
        Solved { fed, supply: v * sum }
    }
}

/// The bus voltage behind impedance `z` with admittance `sum` on it.
#[inline]
fn divided(e: Complex64, z: Complex64, sum: Complex64) -> Complex64 {
    if z == Complex64::ZERO { e } else { e / (1.0 + z * sum) }
}

/// Admittance of a branch: conductor, then the fan beside a series device that gives the machine `k` of the voltage.
#[inline]
fn series(y: Complex64, k: f64, line: Line) -> Complex64 {
    let ky = y * k + line.fan;
    if line.conductor == Complex64::ZERO { ky } else { ky / (1.0 + ky * line.conductor) }
}

/// What a series device holds: at most a voltage fraction, at most a current.
#[derive(Debug, Clone, Copy)]
struct Held {
    k: f64,
    amps: f64,
    /// By phase control, where `amps` is the rms with harmonics: whether of three phases.
    chopped: Option<bool>,
}

impl Held {
    /// The voltage fraction, the current without the device over the one it holds, the rms of the harmonics \[A\].
    #[inline]
    fn fraction(self, e: Complex64, z: Complex64, zm: Complex64) -> (f64, f64, f64) {
        let whole = zm + z;
        let full = (e.norm_sqr() / whole.norm_sqr()).sqrt();
        let over = full / self.amps;
        if over <= 1.0 && self.k >= 1.0 {
            return (1.0, over, 0.0);
        }
        let Some(three_phase) = self.chopped else { return (limited(e, z, zm, self.amps), over, 0.0) };
        let phi = whole.arg();
        let mut k = self.k;
        if over > 1.0 {
            k = k.min(limited(e, z, zm, full * phase_control::fundamental(phi, 1.0 / over, three_phase)));
        }
        let share = k * (whole.norm_sqr() / (zm + k * z).norm_sqr()).sqrt();
        let rms = phase_control::rms(phi, share, three_phase);
        (k, over, full * (rms * rms - share * share).max(0.0).sqrt())
    }
}

/// The voltage fraction at which a series device holds the current at `amps`: I = k E / (Zm + k Z) solved for k.
fn limited(e: Complex64, z: Complex64, zm: Complex64, amps: f64) -> f64 {
    let l2 = amps * amps;
    let a = e.norm_sqr() - l2 * z.norm_sqr();
    let b = l2 * (zm * z.conj()).re;
    let c = l2 * zm.norm_sqr();
    if a <= 0.0 {
        return 1.0;
    }
    ((b + (b * b + a * c).sqrt()) / a).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bus(z: Complex64, running: Running) -> Bus {
        Bus { source: Thevenin { v: 120.0, z, fold_a: None }, running }
    }

    fn point(r: f64, x: f64) -> Point {
        Point { y: Complex64::new(r, x).inv(), torque_per_v2: 1e-3 }
    }

    fn wire(r: f64, x: f64) -> Line {
        Line { conductor: Complex64::new(r, x), fan: Complex64::ZERO }
    }

    #[test]
    fn analytic_a_fan_adds_its_current_at_the_terminals() {
        let (z, cable, fan) =
            (Complex64::new(0.2, 0.1), Complex64::new(0.1, 0.02), Complex64::new(0.02, -0.01));
        let (p, k) = (point(1.5, 1.0), 0.6);
        let line = Line { conductor: cable, fan };
        let two = [Some(Coupling::Series { k }), None];
        // Kirchhoff by hand; alone on the bus, beside another branch, and at the limit of a limiter
        let alone = bus(z, Running::default()).solve(&[p], &[line], &[two[0]]);
        let beside = bus(z, Running::default()).solve(&[p, p], &[line, line], &two);
        let expected = 120.0 / (z + cable + (p.y * k + fan).inv());
        assert!((alone.fed[0].line - expected).norm() < 1e-9);
        assert!((beside.fed[0].line - expected).norm() < 1e-9);
        let limit = [Some(Coupling::Limit { amps: 20.0 })];
        let held = bus(z, Running::default()).solve(&[p], &[line], &limit).fed[0];
        assert!((held.through.norm() - 20.0).abs() < 1e-9);
        assert!((held.line - held.through - held.terminal * fan).norm() < 1e-9);
    }

    #[test]
    fn analytic_constant_power_draws_its_power() {
        let s = Complex64::new(600.0, 300.0);
        let b = bus(Complex64::new(0.2, 0.1), Running { y: Complex64::ZERO, s, least_v: 84.0 });
        let out = b.solve(&[point(3.0, 2.0)], &[wire(0.05, 0.0)], &[Some(Coupling::Series { k: 1.0 })]);
        let v = 120.0 - out.supply * b.source.z;
        let drawn = v * (out.supply - out.fed[0].line).conj();
        assert!((drawn - s).norm() < 1e-8, "{drawn}");
    }

    #[test]
    fn analytic_limiter_holds_its_current_with_everything_on() {
        let running =
            Running { y: Complex64::new(0.02, -0.01), s: Complex64::new(400.0, 100.0), least_v: 84.0 };
        let b = bus(Complex64::new(0.1, 0.2), running);
        let limit = Some(Coupling::Limit { amps: 20.0 });
        let out = b.solve(
            &[point(1.5, 1.0), point(2.0, 1.0)],
            &[wire(0.1, 0.02), Line::default()],
            &[limit, limit],
        );
        for i in 0..2 {
            assert!((out.fed[i].line.norm() - 20.0).abs() < 1e-9);
            assert!(out.fed[i].over_limit > 1.0);
        }
    }

    #[test]
    fn analytic_transformer_carries_current_with_the_square_of_its_ratio() {
        let b = bus(Complex64::ZERO, Running::default());
        let p = point(3.0, 4.0);
        let out = b.solve(&[p], &[Line::default()], &[Some(Coupling::Transformer { k: 0.65 })]);
        assert!((out.fed[0].line.norm() - 0.65 * 0.65 * 24.0).abs() < 1e-9);
        assert!((out.fed[0].motor.norm() - 0.65 * 120.0).abs() < 1e-9);
    }

    #[test]
    fn analytic_fold_back_holds_the_supply_current() {
        let mut b =
            bus(Complex64::new(0.1, 0.0), Running { y: Complex64::new(0.05, 0.0), ..Running::default() });
        b.source.fold_a = Some(30.0);
        let out = b.solve(&[point(1.0, 1.0)], &[Line::default()], &[Some(Coupling::Series { k: 1.0 })]);
        assert!((out.supply.norm() - 30.0).abs() < 1e-7);
        let out = b.solve(&[point(30.0, 1.0)], &[Line::default()], &[Some(Coupling::Series { k: 1.0 })]);
        assert!(out.supply.norm() < 30.0 && out.fed[0].terminal.re > 118.0);
    }
}
