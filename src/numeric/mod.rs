//! Numerical tools without an electrical word in them: an ODE stepper with dense output, a bracketed root finder,
//! piecewise power-law curves, low-discrepancy points.

pub mod curve;
pub mod ode;
pub mod quasi_random;
pub mod root;
