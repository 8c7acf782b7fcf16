//! The start: network, simulation and the trace it returns. Knows nothing of checks.
//!
//! The envelope level solves the phasor circuit at each speed and integrates the swing equation alone: right for the rms
//! current and the duration of single-phase starts; for three-phase starts shorter than about five times the rotor's time
//! constant it comes out too short by a fifth of that constant (docs/models.md). Peaks are the waveform level's business.

mod drive;
mod envelope;
mod events;
pub mod inrush;
mod network;
mod ride_through;
mod switching;
mod tail;
mod trace;
pub mod waveform;

pub use drive::drive;
pub use envelope::{Branch, MOST_BRANCHES, Options, envelope};
pub use network::Running;
pub use ride_through::{AfterDip, Dip, RideThrough, ride_through};
/// How closely a start is simulated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Level {
    /// Phasor circuit at each speed, swing equation only.
    Envelope,
    /// The instantaneous equations.
    Waveform,
    /// The envelope where that is enough, else what keeps it on the safe side (docs/models.md, "Levels").
    #[default]
    Auto,
}

impl Level {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Level::Envelope => "envelope",
            Level::Waveform => "waveform",
            Level::Auto => "auto",
        }
    }
}

pub use trace::{Event, EventKind, Outcome, Row, Trace};
