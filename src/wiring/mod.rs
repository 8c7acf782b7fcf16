//! Wiring between board and load: resistance and reactance from size, material, length and temperature; what a cable may
//! carry by the tables of the rules that apply.
//!
//! A size is looked up in the table that lists it, gauges in NFPA 70 and cross-sections in IEC 60228; none is turned into
//! the other.

mod ampacity;
mod impedance;

pub use ampacity::{Ampacity, NoAmpacity, ampacity};
pub use impedance::{reactance, resistance};

use crate::figure::Figure;
use crate::quantity::*;
use crate::standards::nfpa_70::conductors as nfpa;
use crate::standards::{Rules, iec_60228};

/// Conductor size, one way or the other.
#[derive(Debug, Clone, PartialEq)]
pub enum ConductorSize {
    /// American wire gauge, as written ("12", "1/0").
    Awg(String),
    /// Cross-section.
    Area(Figure<SquareMillimetre>),
}

impl ConductorSize {
    /// Whether a table of resistances lists it, over the whole of its range.
    pub fn is_listed(&self) -> bool {
        match self {
            ConductorSize::Awg(gauge) => nfpa::gauges().any(|g| g == gauge),
            ConductorSize::Area(area) => [area.low, area.value, area.high]
                .iter()
                .all(|mm2| iec_60228::resistance_ohm_per_m(mm2.0).is_some()),
        }
    }

    /// The larger sizes that the table lists, smallest first.
    pub fn larger(&self) -> Vec<ConductorSize> {
        match self {
            ConductorSize::Awg(gauge) => {
                let after = nfpa::gauges().skip_while(|g| g != gauge).skip(1);
                after.map(|g| ConductorSize::Awg(g.to_owned())).collect()
            }
            ConductorSize::Area(area) => {
                let after = iec_60228::areas_mm2().filter(|mm2| *mm2 > area.get());
                let size = |mm2| Figure::exact(SquareMillimetre(mm2), area.origin);
                after.map(|mm2| ConductorSize::Area(size(mm2))).collect()
            }
        }
    }

    /// The sizes that the table lists, smallest first: "18, 16, 14 ...".
    pub fn listed(&self) -> String {
        let sizes: Vec<String> = match self {
            ConductorSize::Awg(_) => nfpa::gauges().map(str::to_owned).collect(),
            ConductorSize::Area(_) => iec_60228::areas_mm2().map(|mm2| mm2.to_string()).collect(),
        };
        sizes.join(", ")
    }
}

impl std::fmt::Display for ConductorSize {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            ConductorSize::Awg(gauge) => write!(f, "{gauge} AWG"),
            ConductorSize::Area(area) => write!(f, "{} mm2", area.get()),
        }
    }
}

/// What a conductor is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Material {
    /// Copper.
    #[default]
    Copper,
    /// Aluminium.
    Aluminium,
}

impl Material {
    /// The word the site file uses.
    pub fn word(self) -> &'static str {
        match self {
            Material::Copper => "copper",
            Material::Aluminium => "aluminium",
        }
    }
}

/// A conductor run as the site file states it, with what follows from size and length once it is known what it feeds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ConductorFigures {
    /// One-way length.
    pub length_m: Option<Figure<Metre>>,
    /// Size.
    pub size: Option<ConductorSize>,
    /// What it is made of.
    pub material: Material,
    /// Temperature rating of the insulation.
    pub insulation_c: Option<Figure<Celsius>>,
    /// Temperature rating of the terminals.
    pub terminal_c: Option<Figure<Celsius>>,
    /// Loaded conductors grouped together.
    pub grouped: Option<Figure<Ratio>>,
    /// Resistance there and back (single-phase) or per phase (three-phase).
    pub resistance_ohm: Option<Figure<Ohm>>,
    /// Reactance likewise.
    pub reactance_ohm: Option<Figure<Ohm>>,
    /// What it may carry.
    pub ampacity_a: Option<Figure<Ampere>>,
    /// Where that comes from, in words, if it was looked up.
    pub ampacity_rule: Option<String>,
}

crate::figures!(ConductorFigures: resistance_ohm, reactance_ohm, ampacity_a);

/// What a conductor is used for: all that its own figures do not say.
#[derive(Debug, Clone)]
pub struct Duty<'a> {
    /// Whose rules apply.
    pub rules: Rules,
    /// 1 or 3: there and back, or per phase.
    pub phases: u32,
    /// Frequency.
    pub frequency_hz: f64,
    /// Temperature around it.
    pub ambient_c: Option<&'a Figure<Celsius>>,
}

impl ConductorFigures {
    /// Fills in resistance, reactance and ampacity where the figures given yield them. What is given outright stays.
    pub fn fill(&mut self, duty: &Duty<'_>) {
        if self.reactance_ohm.is_none() && self.resistance_ohm.is_none() {
            self.reactance_ohm = reactance(self, duty);
        }
        if self.resistance_ohm.is_none() {
            self.resistance_ohm = resistance(self, duty);
        }
        if self.ampacity_a.is_none()
            && let Ok(found) = ampacity(self, duty)
        {
            (self.ampacity_a, self.ampacity_rule) = (Some(found.amps), Some(found.rule));
        }
    }
}
