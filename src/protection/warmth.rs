//! What warmth does to a breaker's thermal trip: the temperature around it, and the current it carried before.

use super::{BreakerStandard, Edges};
use crate::standards::{iec_60898_1 as iec, ul_489 as ul};

/// By how much of the current a thermal trip comes down per K: 0.5 % (common practice, no source) to 0.6 % (6 % for 10 K above
/// 30 C, seen).
const PER_K: [f64; 2] = [0.005, 0.006];

/// Factors on the currents of the thermal trip, for the temperature around the breaker; all 1 at the reference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ambient {
    /// The temperature \[C\].
    pub celsius: f64,
    /// On what is promised to hold: at most 1, since cold adds nothing to a promise.
    pub promised: f64,
    /// On the modelled edge: at most 1 likewise.
    pub modelled: f64,
    /// On what must have tripped: at least 1, since heat takes nothing from a limit of the standard.
    pub certain: f64,
}

impl Ambient {
    /// For a breaker of a standard at a temperature \[C\]. UL 489 has two calibrations: the cooler one is promised, and the hotter
    /// one modelled.
    pub fn of(standard: BreakerStandard, celsius: f64) -> Ambient {
        let [cool, hot] = match standard {
            BreakerStandard::Iec60898(_) => [iec::REFERENCE_C; 2],
            BreakerStandard::Ul489 => ul::REFERENCE_C,
        };
        let [least, most] = PER_K;
        Ambient {
            celsius,
            promised: (1.0 - most * (celsius - cool)).min(1.0),
            modelled: (1.0 - least * (celsius - hot)).min(1.0),
            certain: (1.0 - most * (celsius - cool)).max(1.0),
        }
    }
}

impl Edges {
    /// The edges at a temperature: below the instantaneous trip, which does not feel it, the currents move.
    #[must_use]
    pub fn at_ambient(&self, ambient: &Ambient) -> Edges {
        let at_once = self.at_once;
        Edges {
            guaranteed: self.guaranteed.stretched(ambient.promised, at_once.assumed_a),
            fast: self.fast.stretched(ambient.modelled, at_once.assumed_a),
            slow: self.slow.stretched(ambient.certain, at_once.certain_a),
            ..self.clone()
        }
    }
}

/// The share of its cold time that is left to a thermal trip at a current, after it carried `preload_a` for long; `pickup_a` is
/// what it carries for ever \[A\]. 1 without preload and at the pickup, 0 from a preload of the pickup on.
///
/// `ln((I^2 - Ip^2) / (I^2 - Ik^2)) / ln(I^2 / (I^2 - Ik^2))`: one body of one time constant, the form of IEC 60255-149 (from
/// memory), over the same without preload.
///
/// ```
/// use startmargin::protection::hot_share;
/// assert_eq!(hot_share(50.0, 0.0, 20.0), 1.0);
/// // far above the pickup what is left is what the preload has not used up: 1 - (10 / 20)^2
/// assert!((hot_share(2e5, 10.0, 20.0) - 0.75).abs() < 1e-6);
/// ```
pub fn hot_share(amps: f64, preload_a: f64, pickup_a: f64) -> f64 {
    let used = (preload_a / pickup_a).powi(2);
    let pickup = (pickup_a / amps).powi(2);
    if used >= 1.0 {
        0.0
    } else if used <= 0.0 || pickup >= 1.0 {
        1.0
    } else {
        1.0 - (-used * pickup).ln_1p() / (-pickup).ln_1p()
    }
}
