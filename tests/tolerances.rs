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
/// Final speed of the full qd model (with its 2f ripple, and not always settled) against our settled speed, of synchronous.
pub const FINAL_SPEED: f64 = 5e-3;
