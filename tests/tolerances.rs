//! Every tolerance of the suite, with its reason; those of comparisons stand in their rows (examples/validation/cases).

/// Margins found by bisection: to 1e-7 of their logarithm, twice.
pub const MARGIN_SEARCH: f64 = 1e-6;
/// Two runs that differ in nothing but the steps taken, where one must not exceed the other: the integrator's own error.
pub const SAME_PHYSICS: f64 = 1e-5;
/// Power in and out at one moment: one closed form against another, well conditioned.
pub const POWER: f64 = 1e-9;
/// Energy over a start: the straight line between the rows of a trace.
pub const ENERGY: f64 = 1e-3;
/// A limiter's current above its setting: rounding, and the fixed point of several branches and constant-power loads.
pub const LIMITED: f64 = 1e-6;
/// The default error per step against one a thousand times smaller.
pub const INTEGRATOR: f64 = 1e-4;
/// Figures of a label read off a known circuit, against those of the circuit fitted to it: given figures bind at 0.1 % and the
/// priors pull.
pub const FITTED: f64 = 1e-2;
/// One formula worked twice, once by hand to seven digits.
pub const SAME_FORMULA: f64 = 1e-6;
/// Resistances of copper from two tables printed with three or four digits.
pub const COPPER_TABLES: f64 = 1e-3;
/// Worked examples of one closed form, printed with three or more digits: half of the last one comes on top.
pub const CLOSED_FORM: f64 = 1e-9;
/// Current of a measured motor at points the fit was not given, rms and largest: constant parameters, one cage, no saturation.
pub const BENCH_CURRENT_RMS: f64 = 0.06;
pub const BENCH_CURRENT: f64 = 0.15;
/// Torque over speed of a known circuit with two cages against that fitted to the seven figures of its sheet: nine unknowns,
/// two of which are left to what is usual.
pub const CAGES_CURVE: f64 = 0.05;
/// The same where the inner cage's leakage is far from usual.
pub const CAGES_CURVE_DEEP: f64 = 0.15;
/// Torque over speed where neighbouring labels, 1 % apart in the locked-rotor current, are met by different circuits.
pub const CAGES_JUMP: f64 = 0.25;
/// A crest read off instants, of which a cycle has a hundred or more: parabola of the sinusoid between two of them.
pub const INRUSH_CREST: f64 = 1e-3;
/// Equations solved step by step against their closed form: the error allowed per step, over the steps of a run.
pub const INRUSH_ODE: f64 = 1e-4;
/// Charge of a capacitor after hundreds of half cycles, as a share of the crest: the steps' errors add up.
pub const INRUSH_CHARGE: f64 = 5e-4;
/// An integral over instants by the trapezium rule.
pub const INRUSH_SUM: f64 = 2e-3;

/// Energies by the trapezium rule over instants that a spike of microseconds takes few of.
pub const INRUSH_ENERGY: f64 = 0.01;

/// A crest between closing angles 22.5 degrees apart, with one more where a parabola has its top.
pub const INRUSH_ANGLES: f64 = 0.01;
