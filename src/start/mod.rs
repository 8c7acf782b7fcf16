//! The start: network, simulation and the trace it returns. Knows nothing of checks.
//!
//! The envelope level solves the phasor circuit at each speed and integrates the swing equation alone: right for the rms
//! current and the duration of single-phase starts; for three-phase starts shorter than about five times the rotor's time
//! constant it comes out too short by a fifth of that constant (docs/models.md). Peaks are the waveform level's business.

mod envelope;
mod events;
mod network;
mod ride_through;
mod tail;
mod trace;

pub use envelope::{Branch, MOST_BRANCHES, Options, envelope};
pub use network::Running;
pub use ride_through::{AfterDip, Dip, RideThrough, ride_through};
pub use trace::{Event, EventKind, Outcome, Row, Trace};
