//! What a cable may carry, by the tables of the rules that apply.

use super::{ConductorFigures, ConductorSize, Duty, Material};
use crate::figure::{Figure, Origin};
use crate::quantity::*;
use crate::standards::Rules;
use crate::standards::iec_60364::{self as iec, Method};
use crate::standards::nfpa_70::conductors as nfpa;

/// What a cable may carry, and where that comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Ampacity {
    /// How much, over the ranges of what it follows from.
    pub amps: Figure<Ampere>,
    /// The rule in words.
    pub rule: String,
}

/// Why there is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoAmpacity {
    /// The size is not given.
    #[error("the size is not given")]
    NoSize,
    /// The tables of the rules that apply do not list the size.
    #[error("the size is in no table of the rules that apply")]
    NotListed,
    /// Insulation or terminals are rated below the tables' lowest temperature.
    #[error("insulation or terminals are rated below the tables' lowest temperature")]
    TooCool,
}

/// The ampacity of a conductor: the table's current at the insulation's temperature, less for ambient and grouping, and no more than
/// the table's at the temperature of the terminals (NFPA 70); for IEC rules, PVC-insulated copper in conduit (method B1) is the
/// value and the lower bound, clipped direct (method C) the upper one. Where the ambient is beyond the tables it is 0.
///
/// # Errors
/// [`NoAmpacity`]: the size is not given or not in the tables, or the insulation or terminals are rated too low for them.
pub fn ampacity(conductor: &ConductorFigures, duty: &Duty<'_>) -> Result<Ampacity, NoAmpacity> {
    match (conductor.size.as_ref().ok_or(NoAmpacity::NoSize)?, duty.rules) {
        (ConductorSize::Awg(gauge), Rules::NorthAmerica) => by_gauge(conductor, gauge, duty),
        (ConductorSize::Area(area), Rules::Iec) if conductor.material == Material::Copper => {
            by_area(conductor, area, duty)
        }
        _ => Err(NoAmpacity::NotListed),
    }
}

/// The figures that make it least, as stated, and most: each with its own bound.
struct Bounds {
    ambient_c: [f64; 3],
    grouped: [f64; 3],
}

impl Bounds {
    fn of(conductor: &ConductorFigures, duty: &Duty<'_>, alone: f64) -> Bounds {
        let falling = |f: Option<[f64; 3]>, unstated: f64| {
            f.map_or([unstated; 3], |[low, value, high]| [high, value, low])
        };
        Bounds {
            ambient_c: falling(duty.ambient_c.map(numbers), nfpa::REFERENCE_C),
            grouped: falling(conductor.grouped.as_ref().map(numbers), alone),
        }
    }
}

fn numbers<Q: Quantity>(figure: &Figure<Q>) -> [f64; 3] {
    [figure.low.get(), figure.value.get(), figure.high.get()]
}

fn figure([low, value, high]: [f64; 3]) -> Figure<Ampere> {
    Figure::exact(Ampere(value), Origin::Standard).between(Ampere(low), Ampere(high))
}

fn by_gauge(conductor: &ConductorFigures, gauge: &str, duty: &Duty<'_>) -> Result<Ampacity, NoAmpacity> {
    let stated_c = conductor.terminal_c.as_ref().map(numbers);
    let terminal_c = stated_c.unwrap_or([nfpa::unmarked_terminal_c(gauge); 3]);
    // insulation that is not stated is taken as no better than the terminals
    let insulation_c = conductor.insulation_c.as_ref().map_or(terminal_c, numbers);
    let alone = if duty.phases == 3 { 3.0 } else { 2.0 };
    let bounds = Bounds::of(conductor, duty, alone);
    let aluminium = conductor.material == Material::Aluminium;
    let mut amps = [0.0; 3];
    for (i, amps) in amps.iter_mut().enumerate() {
        let terminal = nfpa::column(terminal_c[i]).ok_or(NoAmpacity::TooCool)?;
        let insulation = nfpa::column(insulation_c[i]).ok_or(NoAmpacity::TooCool)?;
        let table = |column| nfpa::ampacity_a(gauge, aluminium, column).ok_or(NoAmpacity::NotListed);
        let ambient = nfpa::ambient_factor(bounds.ambient_c[i], insulation).unwrap_or(0.0);
        let derated = table(insulation)? * ambient * nfpa::grouping_factor(bounds.grouped[i]);
        *amps = table(terminal)?.min(derated);
    }
    let rule = format!(
        "NFPA 70 table 310.16{}, {} C terminals{}, ambient {} C, {} loaded conductors together",
        if aluminium { " (aluminium from memory)" } else { "" },
        terminal_c[1],
        if stated_c.is_some() { "" } else { " (110.14(C), not marked)" },
        bounds.ambient_c[1],
        bounds.grouped[1].max(alone)
    );
    Ok(Ampacity { amps: figure(amps).noted(rule.as_str()), rule })
}

fn by_area(
    conductor: &ConductorFigures,
    area: &Figure<SquareMillimetre>,
    duty: &Duty<'_>,
) -> Result<Ampacity, NoAmpacity> {
    let cool = |c: &Option<Figure<Celsius>>| c.as_ref().is_some_and(|c| c.low.get() < iec::PVC_C);
    if cool(&conductor.insulation_c) || cool(&conductor.terminal_c) {
        return Err(NoAmpacity::TooCool);
    }
    let loaded = if duty.phases == 3 { 3 } else { 2 };
    let bounds = Bounds::of(conductor, duty, f64::from(loaded));
    let mut amps = [0.0; 3];
    let methods = [Method::B1, Method::B1, Method::C];
    for (i, (amps, mm2)) in amps.iter_mut().zip(numbers(area)).enumerate() {
        let table = iec::capacity_a(mm2, loaded, methods[i]).ok_or(NoAmpacity::NotListed)?;
        let circuits = (bounds.grouped[i] / f64::from(loaded)).ceil();
        let ambient = iec::ambient_factor(bounds.ambient_c[i]).unwrap_or(0.0);
        *amps = table * ambient * iec::grouping_factor(circuits);
    }
    let table = if loaded == 3 { "B.52.4" } else { "B.52.2" };
    let rule = format!(
        "IEC 60364-5-52 table {table} (from memory), PVC, from conduit (method B1) to clipped direct (C), ambient {} C, {} loaded conductors together",
        bounds.ambient_c[1],
        bounds.grouped[1].max(f64::from(loaded))
    );
    Ok(Ampacity { amps: figure(amps).noted(rule.as_str()), rule })
}
