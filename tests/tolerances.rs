//! Every tolerance of the suite, with its reason.

/// Margins, currents and times against the independent implementation: both integrate to 1e-6 or better; what is left is the
/// straight line between rows of a trace.
pub const COMPARE: f64 = 1e-3;
/// Reductions against the independent implementation, which finds them to 2e-4.
pub const COMPARE_R: f64 = 1e-3;
