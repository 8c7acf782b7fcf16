//! Every tolerance of the suite, with its reason.

/// Margins, currents and times against the independent implementation: both integrate to 1e-6 or better; what is left is the
/// straight line between rows of a trace.
pub const COMPARE: f64 = 1e-3;
/// Reductions against the independent implementation, which finds them to 2e-4.
pub const COMPARE_R: f64 = 1e-3;
/// Phasor values of published three-phase sets: both are closed forms of one circuit; the printed figures carry 3 to 6 digits,
/// so half of the last printed digit comes on top.
pub const PHASOR: f64 = 1e-3;
/// Phasor targets of the 1/4 hp single-phase set: closed forms too, printed with 5 to 7 digits.
pub const PHASOR_SINGLE: f64 = 1e-4;
/// Times of quasi-static starts: the same equations integrated twice, ours to 1e-6 of speed per step.
pub const QUASI_STATIC: f64 = 2e-3;
/// Speed at the end of a run of the full qd model (electrical transients, 2f ripple) against ours then, of synchronous.
pub const FINAL_SPEED: f64 = 5e-3;
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
/// Worked examples whose book rounds on the way, or whose outputs are from memory with three digits.
pub const BOOK: f64 = 5e-3;
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
