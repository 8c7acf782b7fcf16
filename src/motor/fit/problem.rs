//! The least-squares problem: unknowns are logarithms in per unit, rows are priors and figures.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::allocator::{Allocator, Reallocator};
use nalgebra::storage::Owned;
use nalgebra::{Const, DefaultAllocator, DimMax, DimMaximum, DimMin, SMatrix, SVector};

use super::figures::{self, Reached, Supply};
use super::prior::{AT_CUT_OUT, DOUBLE_CAGE, Prior, Row, SATURATING, STALLED_SHARE, Usual};
use super::{Circuit, Fit, Rotor, Target, Wanted, Winding};
use crate::motor::{Auxiliary, Cage};

/// The most unknowns of any kind.
pub(super) const MOST: usize = 12;

/// Where the unknowns stand; the capacitors come last, run before start.
const SLIP: usize = 0;
const DRAG: usize = 1;
const R1: usize = 2;
const X1: usize = 3;
const XM: usize = 4;
const R2: usize = 5;
const X2: usize = 6;
/// The second cage, in the place of an auxiliary winding.
const R3: usize = 7;
const X3: usize = 8;
const SATURATION: usize = 9;
const R1A: usize = 7;
const X1A: usize = 8;
const TURNS: usize = 9;
const CAPACITORS: usize = 10;

/// Figures that are no unknowns themselves.
const FIGURES: usize = 10;

/// Locked-rotor over rated current where one of them is missing; only a scale (assumed).
const USUAL_LOCKED: f64 = 5.5;

/// What is wanted, made ready: nothing in it is NaN.
#[derive(Debug, Clone, Copy)]
struct Plan {
    supply: Supply,
    rotor: Rotor,
    prior: &'static Prior,
    /// Per-unit current \[A\].
    base_a: f64,
    /// Per-unit impedance of a phase \[ohm\].
    base_ohm: f64,
    /// Logarithm of the stalled impedance of a phase, in per unit: the measure of resistances and leakage.
    ln_stalled: f64,
    /// A capacitor of this many microfarads is 1 in per unit of admittance.
    base_uf: f64,
    figures: [Option<Target>; FIGURES],
    /// One over value and deviation of each figure.
    scales: [Option<[f64; 2]>; FIGURES],
    rows: Rows,
    slip: Usual,
    at_cut_out: Row,
    /// Capacitors in per unit of admittance.
    run: Option<Target>,
    start: Option<Target>,
}

/// The priors made ready.
#[derive(Debug, Clone, Copy)]
struct Rows {
    slip: Row,
    drag: Row,
    r1: Row,
    x1: Row,
    xm: Row,
    r2: Row,
    x2: Row,
    r3: Row,
    x3: Row,
    saturation: Row,
    r1a: Row,
    x1a: Row,
    turns: Row,
    run: Row,
    start: Row,
    run_given: Option<Row>,
    start_given: Option<Row>,
}

impl Plan {
    fn new(w: &Wanted, rotor: Rotor) -> Plan {
        let supply = w.supply();
        let sound = |t: Option<Target>| t.and_then(Target::sound);
        let (rated, locked) = (w.rated_a.sound(), w.locked_rotor_a.sound());
        // without a rated current one that is usual of a locked-rotor current: any base will do
        let rated_a = rated.map(|t| t.value).or(locked.map(|t| t.value / USUAL_LOCKED)).unwrap_or(1.0);
        let base_ohm = supply.phase().1 / rated_a;
        let base_uf = 1e6 / (std::f64::consts::TAU * supply.frequency_hz * base_ohm);
        let prior = match rotor {
            Rotor::OneCage => supply.winding.prior(),
            Rotor::TwoCages => &DOUBLE_CAGE,
            Rotor::Saturating => &SATURATING,
        };
        let slip = sound(w.slip).filter(|t| t.value < 1.0).map(softer);
        let capacitor = |t: Option<Target>| sound(t).map(|t| Target { value: t.value / base_uf, ..t });
        let figures = [
            rated,
            sound(w.power_factor).map(softer),
            sound(w.shaft_w).map(softer),
            sound(w.efficiency).map(softer),
            locked,
            sound(w.locked_rotor_power_factor).map(softer),
            sound(w.locked_rotor_nm).map(softer),
            sound(w.locked_rotor_torque).map(softer),
            sound(w.breakdown_nm).map(softer),
            sound(w.breakdown_torque).map(softer),
        ];
        let slip = slip.map_or(prior.slip, |t| Usual { value: t.value, sigma: t.sigma });
        let (run, start) = (capacitor(w.run_capacitor_uf), capacitor(w.start_capacitor_uf));
        let given = |t: Option<Target>| t.map(|t| Usual { value: t.value, sigma: t.sigma }.row());
        Plan {
            supply,
            rotor,
            base_a: rated_a,
            prior,
            base_ohm,
            // a locked-rotor current that nobody knows is usually this many times the rated one (assumed)
            ln_stalled: locked.map_or(1.0 / USUAL_LOCKED, |t| rated_a / t.value).ln(),
            base_uf,
            figures,
            scales: scales(&figures),
            rows: Rows {
                slip: slip.row(),
                drag: prior.drag.row(),
                r1: prior.r1.row(),
                x1: prior.x1.row(),
                xm: prior.xm.row(),
                r2: prior.r2.row(),
                x2: prior.x2_over_x1.row(),
                r3: prior.r3_over_r2.row(),
                x3: prior.x3_over_x2.row(),
                saturation: prior.saturation.row(),
                r1a: prior.r1a.row(),
                x1a: prior.x1a.row(),
                turns: prior.turns.row(),
                run: prior.run.row(),
                start: prior.start.row(),
                run_given: given(run),
                start_given: given(start),
            },
            slip,
            at_cut_out: AT_CUT_OUT.row(),
            run,
            start,
        }
    }

    /// The same with no figure binding harder than this.
    fn loosened(mut self, sigma: f64) -> Plan {
        for target in self.figures.iter_mut().flatten() {
            target.sigma = target.sigma.max(sigma);
        }
        self.scales = scales(&self.figures);
        self
    }

    fn two_windings(&self) -> bool {
        self.supply.winding != Winding::ThreePhase
    }

    fn two_cages(&self) -> bool {
        self.rotor != Rotor::OneCage
    }

    /// Index of the start capacitor among the unknowns.
    fn start_at(&self) -> usize {
        CAPACITORS + usize::from(self.supply.winding.has_run_capacitor())
    }

    fn circuit(&self, x: &[f64]) -> Circuit {
        let z = self.base_ohm;
        let winding = self.supply.winding;
        let auxiliary = self.two_windings().then(|| Auxiliary {
            r_ohm: x[R1A] * z,
            x_ohm: x[X1A] * z,
            turns_ratio: x[TURNS],
        });
        Circuit {
            r1_ohm: x[R1] * z,
            x1_ohm: x[X1] * z,
            xm_ohm: x[XM] * z,
            r2_ohm: x[R2] * z,
            x2_ohm: x[X2] * z,
            second_cage: self.two_cages().then(|| Cage { r_ohm: x[R3] * z, x_ohm: x[X3] * z }),
            leakage_saturation_a: (self.rotor == Rotor::Saturating).then(|| x[SATURATION] * self.base_a),
            auxiliary,
            run_capacitor_uf: winding.has_run_capacitor().then(|| x[CAPACITORS] * self.base_uf),
            start_capacitor_uf: winding.has_start_capacitor().then(|| x[self.start_at()] * self.base_uf),
        }
    }

    fn read(&self, x: &[f64], at_breakdown: Option<f64>) -> Reached {
        figures::read(&self.supply, &self.circuit(x), [x[SLIP].min(0.99), x[DRAG]], at_breakdown)
    }

    /// All rows: priors, capacitors, figures. `x` are the unknowns, `ln` their logarithms.
    #[inline]
    fn rows<const N: usize, const M: usize>(
        &self,
        x: &SVector<f64, N>,
        ln: &SVector<f64, N>,
        at_breakdown: f64,
    ) -> SVector<f64, M> {
        let mut rows = SVector::<f64, M>::zeros();
        let p = &self.rows;
        let mut n = 0;
        let mut put = |row: f64| {
            rows[n] = row;
            n += 1;
        };
        let stalled = self.ln_stalled;
        put(wall(p.slip.at(ln[SLIP])));
        put(wall(p.drag.at(ln[DRAG])));
        put(wall(p.r1.at(ln[R1] - stalled)));
        put(wall(p.x1.at(ln[X1] - stalled)));
        put(wall(p.xm.at(ln[XM])));
        put(wall(p.r2.at(ln[R2] - stalled)));
        put(wall(p.x2.at(ln[X2] - ln[X1])));
        if self.two_cages() {
            put(wall(p.r3.at(ln[R3] - ln[R2])));
            put(wall(p.x3.at(ln[X3] - ln[X2])));
        }
        if self.rotor == Rotor::Saturating {
            put(wall(p.saturation.at(ln[SATURATION] + stalled)));
        }
        if self.two_windings() {
            let square = 2.0 * ln[TURNS];
            put(wall(p.r1a.at(ln[R1A] - ln[R1] - square)));
            put(wall(p.x1a.at(ln[X1A] - ln[X1] - square)));
            put(wall(p.turns.at(ln[TURNS])));
            if self.supply.winding.has_run_capacitor() {
                put(wall(p.run.at(-ln[CAPACITORS] - (x[TURNS] * x[TURNS] + 1.0).ln())));
                put(p.run_given.map_or(0.0, |row| row.at(ln[CAPACITORS])));
            }
            if self.supply.winding.has_start_capacitor() {
                let at = self.start_at();
                let stalled = (x[R1] + x[R2]).powi(2) + (x[X1] + x[X2]).powi(2);
                put(wall(p.start.at(-ln[at] - square - 0.5 * stalled.ln())));
                put(p.start_given.map_or(0.0, |row| row.at(ln[at])));
            }
        }
        let r = self.read(x.as_slice(), Some(at_breakdown));
        let reached = [
            r.rated_a,
            r.power_factor,
            r.shaft_w,
            r.efficiency,
            r.locked_rotor_a,
            r.locked_rotor_power_factor,
            r.locked_rotor_nm,
            r.locked_rotor_nm / r.shaft_nm,
            r.breakdown_nm,
            r.breakdown_nm / r.shaft_nm,
        ];
        if self.supply.winding.has_switch() {
            put(wall((soft_ln(r.at_cut_out) - self.at_cut_out.ln) * self.at_cut_out.per_sigma));
        }
        for (scale, reached) in self.scales.iter().zip(reached) {
            put(scale.map_or(0.0, |[per_value, per_sigma]| soft_ln(reached * per_value) * per_sigma));
        }
        rows
    }
}

fn scales(figures: &[Option<Target>; FIGURES]) -> [Option<[f64; 2]>; FIGURES] {
    figures.map(|t| t.map(|t| [1.0 / t.value, 1.0 / t.sigma]))
}

/// Given figures other than the currents bind a fifth as hard: where a label contradicts itself, what every check rests on is
/// kept (assumed).
fn softer(t: Target) -> Target {
    if t.is_given() { Target { sigma: 5.0 * t.sigma, ..t } } else { t }
}

/// Next to nothing within three standard deviations, a wall beyond six: where the figures contradict each other no unknown
/// runs away (assumed).
#[inline]
fn wall(u: f64) -> f64 {
    let q = (u / 6.0) * (u / 6.0);
    u * (1.0 + q * q)
}

/// The logarithm, from a tenth down its tangent: a torque may have the wrong sign.
#[inline]
fn soft_ln(ratio: f64) -> f64 {
    const FROM: f64 = 0.1;
    if ratio > FROM { ratio.ln() } else { FROM.ln() + (ratio - FROM) / FROM }
}

#[derive(Debug, Clone, Copy)]
struct Problem<'a, const N: usize, const M: usize> {
    plan: &'a Plan,
    ln: SVector<f64, N>,
    x: SVector<f64, N>,
    /// Slip of the largest torque at these unknowns. It is a maximum: to first order the torque does not feel it move.
    at_breakdown: f64,
}

impl<'a, const N: usize, const M: usize> Problem<'a, N, M> {
    fn new(plan: &'a Plan, ln: SVector<f64, N>) -> Self {
        let mut problem = Problem { plan, ln, x: ln, at_breakdown: 0.0 };
        problem.set(ln);
        problem
    }

    fn set(&mut self, ln: SVector<f64, N>) {
        self.ln = ln;
        // e^20 either way is past the wall; it keeps every figure finite
        self.x = ln.map(|l| l.clamp(-20.0, 20.0).exp());
        let plan = self.plan;
        let machine = plan.supply.machine(&plan.circuit(self.x.as_slice()), plan.supply.frequency_hz, 0.0);
        self.at_breakdown = figures::breakdown_slip(&machine);
    }

    fn rows(&self) -> SVector<f64, M> {
        self.plan.rows(&self.x, &self.ln, self.at_breakdown)
    }
}

/// Step of the forward differences, in the logarithm: near the square root of a rounding error.
const STEP: f64 = 1e-7;

impl<const N: usize, const M: usize> LeastSquaresProblem<f64, Const<M>, Const<N>> for Problem<'_, N, M> {
    type ResidualStorage = Owned<f64, Const<M>>;
    type JacobianStorage = Owned<f64, Const<M>, Const<N>>;
    type ParameterStorage = Owned<f64, Const<N>>;

    fn set_params(&mut self, x: &SVector<f64, N>) {
        self.set(*x);
    }

    fn params(&self) -> SVector<f64, N> {
        self.ln
    }

    fn residuals(&self) -> Option<SVector<f64, M>> {
        let rows = self.rows();
        rows.iter().all(|r| r.is_finite()).then_some(rows)
    }

    fn jacobian(&self) -> Option<SMatrix<f64, M, N>> {
        let up = STEP.exp();
        let here = self.rows();
        let mut jacobian = SMatrix::<f64, M, N>::zeros();
        let (mut x, mut ln) = (self.x, self.ln);
        for j in 0..N {
            let (x0, ln0) = (x[j], ln[j]);
            (x[j], ln[j]) = (x0 * up, ln0 + STEP);
            let above: SVector<f64, M> = self.plan.rows(&x, &ln, self.at_breakdown);
            (x[j], ln[j]) = (x0, ln0);
            jacobian.set_column(j, &((above - here) * (1.0 / STEP)));
        }
        jacobian.iter().all(|d| d.is_finite()).then_some(jacobian)
    }
}

/// The unknowns at the middle of the priors, as far as the locked-rotor figures and a capacitor do not say more; then turned
/// by factors on slip, rotor resistance and turns ratio.
fn cold<const N: usize>(plan: &Plan, [slip, rotor, turns]: [f64; 3]) -> SVector<f64, N> {
    let p = plan.prior;
    let mut x = SVector::<f64, N>::zeros();
    x[SLIP] = (plan.slip.value * slip).min(0.5);
    x[DRAG] = p.drag.value;
    // stalled resistance and reactance from the locked-rotor current and its power factor
    let usual = [p.r1.value + p.r2.value, p.x1.value * (1.0 + p.x2_over_x1.value)];
    let size = (usual[0] * usual[0] + usual[1] * usual[1]).sqrt();
    let impedance = plan.ln_stalled.exp();
    let pf = plan.figures[5].map_or(usual[0] / size, |t| t.value.min(0.98));
    // with a start winding in the label's current is not the main winding's alone
    let impedance = if plan.supply.winding.has_switch() { impedance * size } else { impedance };
    let (r, reactance) = (impedance * pf, impedance * (1.0 - pf * pf).sqrt());
    let share = (p.r2.value / usual[0] * rotor).min(0.85);
    x[R1] = r * (1.0 - share);
    x[R2] = r * share;
    x[X1] = reactance / (1.0 + p.x2_over_x1.value);
    x[X2] = reactance - x[X1];
    x[XM] = p.xm.value;
    if plan.two_cages() {
        // the stalled rotor is mostly the outer cage
        x[R2] *= 0.6;
        x[R3] = x[R2] * p.r3_over_r2.value;
        x[X3] = x[X2] * p.x3_over_x2.value;
    }
    if plan.rotor == Rotor::Saturating {
        x[SATURATION] = p.saturation.value / plan.ln_stalled.exp() * turns;
        // what the locked-rotor current leaves of the leakage
        for i in [X1, X2, X3] {
            x[i] /= STALLED_SHARE;
        }
    }
    if plan.two_windings() {
        let a = match plan.run {
            Some(run) => (1.0 / (run.value * p.run.value) - 1.0).clamp(0.5, 6.0).sqrt(),
            None => p.turns.value,
        };
        let a = a * turns;
        x[TURNS] = a;
        x[R1A] = x[R1] * a * a * p.r1a.value;
        x[X1A] = x[X1] * a * a * p.x1a.value;
        if plan.supply.winding.has_run_capacitor() {
            x[CAPACITORS] = plan.run.map_or(1.0 / (p.run.value * (1.0 + a * a)), |t| t.value);
        }
        if plan.supply.winding.has_start_capacitor() {
            x[plan.start_at()] = plan.start.map_or(1.0 / (p.start.value * a * a * impedance), |t| t.value);
        }
    }
    x.map(|x| x.max(1e-6).ln())
}

/// Factors on slip, rotor share and turns ratio of the cold starts (assumed; tests/fit sweeps labels with them).
const STARTS: [[f64; 3]; 5] =
    [[1.0, 1.0, 1.0], [0.6, 0.8, 1.3], [1.6, 1.2, 0.8], [1.0, 1.3, 1.6], [0.7, 1.3, 0.65]];

/// Names of the unknowns, in their order.
const NAMES: [&str; CAPACITORS] =
    ["slip", "drag", "r1_ohm", "x1_ohm", "xm_ohm", "r2_ohm", "x2_ohm", "r1a_ohm", "x1a_ohm", "turns_ratio"];

/// Relative standard errors at a solution: unknowns, then figures, from the inverse of `J^T J`.
pub(super) fn standard_errors<const N: usize, const M: usize>(fit: &Fit) -> Vec<(&'static str, f64)> {
    let plan = Plan::new(&fit.wanted, fit.rotor());
    let mut problem = Problem::<N, M>::new(&plan, SVector::from(std::array::from_fn(|i| fit.ln[i])));
    let Some(jacobian) = problem.jacobian() else { return Vec::new() };
    let Some(covariance) = (jacobian.transpose() * jacobian).try_inverse() else { return Vec::new() };
    let deviation = |gradient: &SVector<f64, N>| gradient.dot(&(covariance * gradient)).max(0.0).sqrt();
    let mut names: Vec<&str> = NAMES[..N.min(CAPACITORS)].to_vec();
    if plan.two_cages() {
        (names[R3], names[X3]) = ("r3_ohm", "x3_ohm");
    }
    if plan.rotor == Rotor::Saturating {
        names[SATURATION] = "leakage_saturation_a";
    }
    if plan.supply.winding.has_run_capacitor() {
        names.push("run_capacitor_uf");
    }
    if plan.supply.winding.has_start_capacitor() {
        names.push("start_capacitor_uf");
    }
    let mut errors: Vec<_> =
        names.into_iter().enumerate().map(|(i, name)| (name, covariance[(i, i)].max(0.0).sqrt())).collect();
    let figures = |r: &Reached| {
        [
            ("rated_load_a", r.rated_a),
            ("power_factor", r.power_factor),
            ("power_w", r.shaft_w),
            ("efficiency", r.efficiency),
            ("rated_nm", r.shaft_nm),
            ("locked_rotor_a", r.locked_rotor_a),
            ("locked_rotor_power_factor", r.locked_rotor_power_factor),
            ("locked_rotor_nm", r.locked_rotor_nm),
            ("breakdown_nm", r.breakdown_nm),
        ]
    };
    let here = figures(&fit.reached);
    let mut gradients = here.map(|_| SVector::<f64, N>::zeros());
    let (ln, at) = (problem.ln, problem.at_breakdown);
    for j in 0..N {
        let mut beside = ln;
        beside[j] += STEP;
        problem.set(beside);
        let there = figures(&plan.read(problem.x.as_slice(), Some(at)));
        for ((gradient, (_, a)), (_, b)) in gradients.iter_mut().zip(here).zip(there) {
            gradient[j] = (b - a) / (a.abs().max(f64::MIN_POSITIVE) * STEP);
        }
    }
    errors.extend(here.iter().zip(&gradients).map(|((name, _), gradient)| (*name, deviation(gradient))));
    errors.retain(|(_, e)| e.is_finite());
    errors
}

/// Solves from a set of logarithms, or from several; the best is kept.
pub(super) fn solve<const N: usize, const M: usize>(
    wanted: &Wanted,
    rotor: Rotor,
    from: Option<&[f64; MOST]>,
) -> Fit
where
    Const<M>: DimMin<Const<N>> + DimMax<Const<N>>,
    DefaultAllocator: Allocator<Const<N>>
        + Allocator<DimMaximum<Const<M>, Const<N>>, Const<N>>
        + Reallocator<f64, Const<M>, Const<N>, DimMaximum<Const<M>, Const<N>>, Const<N>>,
{
    let plan = Plan::new(wanted, rotor);
    let loose = plan.loosened(0.03);
    let fine = LevenbergMarquardt::new().with_ftol(1e-7).with_xtol(1e-7).with_gtol(1e-9).with_patience(20);
    let warm = LevenbergMarquardt::new().with_ftol(1e-5).with_xtol(1e-5).with_gtol(1e-7).with_patience(12);
    let coarse = LevenbergMarquardt::new().with_ftol(1e-4).with_xtol(1e-4).with_gtol(1e-4).with_patience(10);
    let run = |method: &LevenbergMarquardt<f64>, plan: &Plan, ln: SVector<f64, N>| {
        let (problem, report) = method.minimize(Problem::<N, M>::new(plan, ln));
        let cost = report.objective_function;
        (problem.ln, if cost.is_finite() { cost } else { f64::INFINITY })
    };
    let mut best = (cold::<N>(&plan, STARTS[0]), f64::INFINITY);
    if let Some(from) = from {
        best = run(&warm, &plan, SVector::from(std::array::from_fn(|i| from[i])));
    } else {
        for start in STARTS {
            let (ln, _) = run(&coarse, &loose, cold::<N>(&plan, start));
            let end = run(&fine, &plan, ln);
            if end.1 < best.1 {
                best = end;
            }
        }
    }
    let (ln, cost) = best;
    let problem = Problem::<N, M>::new(&plan, ln);
    let mut all = [0.0; MOST];
    all[..N].copy_from_slice(ln.as_slice());
    Fit {
        wanted: *wanted,
        ln: all,
        circuit: plan.circuit(problem.x.as_slice()),
        reached: plan.read(problem.x.as_slice(), Some(problem.at_breakdown)),
        cost: if cost.is_finite() { cost } else { f64::MAX },
    }
}
