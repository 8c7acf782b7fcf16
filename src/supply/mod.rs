//! Supplies: what stands behind the board. This room holds their figures and the source they present to the network;
//! battery, DC side, generator regulator and temperature derating are not modelled yet.

use num_complex::Complex64;

use crate::figure::Figure;
use crate::quantity::*;

/// What kind of supply it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SupplyKind {
    /// A battery inverter.
    Inverter,
    /// An engine-driven generator.
    Generator,
    /// Shore power or the grid, through an outlet.
    Shore,
}

/// What an inverter does when it is overloaded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum OnOverload {
    /// It switches off.
    #[default]
    Trip,
    /// It folds its voltage back and holds the current at its largest surge rating.
    Limit,
    /// It switches off and tries again by itself.
    Retry,
}

/// A rating that is printed either in amperes or in volt-amperes.
#[derive(Debug, Clone, PartialEq)]
pub enum Rating {
    /// Amperes per line.
    Amperes(Figure<Ampere>),
    /// Volt-amperes at the supply's rated voltage, the total of all phases.
    VoltAmperes(Figure<VoltAmpere>),
    /// Watts, taken as volt-amperes with a caution.
    Watts(Figure<Watt>),
}

impl Rating {
    /// As apparent power \[VA\] at a voltage \[V\], all phases together.
    pub fn volt_amperes(&self, volts: f64, phases: u32) -> f64 {
        match self {
            Rating::Amperes(a) => a.get() * volts * if phases == 3 { 3f64.sqrt() } else { 1.0 },
            Rating::VoltAmperes(va) => va.get(),
            Rating::Watts(w) => w.get(),
        }
    }

    /// This rating times a factor, the doubt of the factor included.
    #[must_use]
    pub fn times(&self, factor: &Figure<Ratio>) -> Rating {
        fn scaled<Q: Quantity>(f: &Figure<Q>, by: &Figure<Ratio>) -> Figure<Q> {
            Figure {
                value: Q::of(f.get() * by.get()),
                low: Q::of(f.low.get() * by.low.0),
                high: Q::of(f.high.get() * by.high.0),
                ..Figure::exact(f.value, by.origin)
            }
            .placed(by)
        }
        match self {
            Rating::Amperes(f) => Rating::Amperes(scaled(f, factor)),
            Rating::VoltAmperes(f) => Rating::VoltAmperes(scaled(f, factor)),
            Rating::Watts(f) => Rating::Watts(scaled(f, factor)),
        }
    }
}

impl crate::figure::Figures for Rating {
    fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn crate::figure::AnyFigure)) {
        match self {
            Rating::Amperes(f) => visit("a", f),
            Rating::VoltAmperes(f) => visit("va", f),
            Rating::Watts(f) => visit("w", f),
        }
    }
}

/// One surge rating: so much for so long.
#[derive(Debug, Clone, PartialEq)]
pub struct SurgeRating {
    /// How much.
    pub rating: Rating,
    /// For how long; absent: the maker does not say.
    pub for_s: Option<Figure<Second>>,
}

impl crate::figure::Figures for SurgeRating {
    fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn crate::figure::AnyFigure)) {
        self.rating.visit(visit);
        if let Some(t) = &mut self.for_s {
            visit("for_s", t);
        }
    }
}

/// A dip of the supply's voltage that running motors are to survive.
#[derive(Debug, Clone, PartialEq)]
pub struct DipFigures {
    /// Share of the open-circuit voltage that is left.
    pub to: Figure<Ratio>,
    /// How long it lasts.
    pub for_s: Figure<Second>,
}

crate::figures!(DipFigures: to, for_s);

/// A supply as the site file states it.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyFigures {
    /// What the site calls it.
    pub name: String,
    /// What it is.
    pub kind: SupplyKind,
    /// Rated voltage; line to line for three phases, between the outer legs for a three-wire supply.
    pub voltage_v: Figure<Volt>,
    /// Rated frequency.
    pub frequency_hz: Figure<Hertz>,
    /// 1 or 3.
    pub phases: u32,
    /// Continuous rating.
    pub continuous: Option<Rating>,
    /// Surge ratings, currents falling and times rising (checked by the reader).
    pub surge: Vec<SurgeRating>,
    /// Instantaneous current at which it cuts off.
    pub peak_current_a: Option<Figure<Ampere>>,
    /// How long it lets more than that pass before it cuts off.
    pub peak_current_for_s: Option<Figure<Second>>,
    /// Output resistance, per phase.
    pub output_ohm: Option<Figure<Ohm>>,
    /// Output reactance, per phase.
    pub output_reactance_ohm: Option<Figure<Ohm>>,
    /// What it does on overload.
    pub on_overload: OnOverload,
    /// Current it drives into a short circuit at its terminals, line to neutral.
    pub fault_a: Option<Figure<Ampere>>,
    /// Whether it shuts itself off on a short circuit; absent: not stated.
    pub shuts_off_on_fault: Option<bool>,
    /// A dip that running motors are to survive.
    pub dip: Option<DipFigures>,
    /// Catalogue entry it was based on.
    pub based_on: Option<String>,
}

crate::figures!(SupplyFigures: voltage_v, frequency_hz, continuous, surge, peak_current_a, peak_current_for_s, output_ohm, output_reactance_ohm, fault_a, dip);

/// Battery and DC side, as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct BatteryFigures {
    /// Nominal voltage.
    pub nominal_v: Figure<Volt>,
    /// Internal resistance.
    pub internal_mohm: Option<Figure<Milliohm>>,
    /// Largest current its management system allows.
    pub peak_a: Option<Figure<Ampere>>,
    /// For how long.
    pub peak_for_s: Option<Figure<Second>>,
    /// DC fuse: standard and rating.
    pub fuse: Option<(String, Figure<Ampere>)>,
}

/// What a supply presents to the network at a moment, per phase.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thevenin {
    /// Open-circuit voltage \[V\], line to neutral for three phases.
    pub v: f64,
    /// Internal impedance \[ohm\].
    pub z: Complex64,
    /// Line current at which it folds its voltage back \[A\].
    pub fold_a: Option<f64>,
}

/// A supply as the network sees it.
pub trait Supply: Send + Sync {
    /// The source at `t` \[s\] after switch-on.
    fn source(&self, t: f64) -> Thevenin;
    /// The source, if it is the same at all times.
    fn constant(&self) -> Option<Thevenin> {
        None
    }
}

impl Supply for Thevenin {
    fn source(&self, _t: f64) -> Thevenin {
        *self
    }

    fn constant(&self) -> Option<Thevenin> {
        Some(*self)
    }
}
