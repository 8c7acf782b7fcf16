//! Resistance and reactance of a run.

use super::{ConductorFigures, ConductorSize, Duty, Material};
use crate::figure::{Figure, Origin};
use crate::quantity::*;
use crate::standards::nfpa_70::conductors as nfpa;
use crate::standards::{Rules, iec_60228, iec_60364};

/// Resistance of aluminium over that of copper of the same size: 61 to 62 % conductivity (from memory).
const ALUMINIUM: [f64; 2] = [1.61, 1.64];

/// Temperature of a cold conductor where no ambient is stated \[C\] (assumed).
const COLD_C: f64 = 20.0;

/// Reactance per conductor \[ohm/m\]: least (IEC 60364-5-52 annex G, from memory), NFPA 70's usual (chapter 9 table 9 gives 0.041
/// to 0.058 ohm per 1000 ft in plastic conduit, from memory) and most (assumed).
const REACTANCE: [f64; 3] = [iec_60364::REACTANCE_OHM_PER_M, 0.05 / nfpa::M_PER_KFT, 0.06 / nfpa::M_PER_KFT];

/// Metres of conductor in the loop, per metre of cable.
fn ways(phases: u32) -> f64 {
    if phases == 3 { 1.0 } else { 2.0 }
}

/// Resistance of a metre of one size \[ohm/m\]: the least and the most of the table's columns at a temperature.
struct PerMetre {
    least: f64,
    most: f64,
    per_k: f64,
    reference_c: f64,
}

impl PerMetre {
    fn of_gauge(gauge: &str, material: Material) -> Option<PerMetre> {
        let table = nfpa::resistance_ohm_per_m(gauge)?;
        let per_k = [nfpa::COPPER_PER_K, nfpa::ALUMINIUM_PER_K];
        Some(Self::new(table, material, per_k, nfpa::TABLE_8_C))
    }

    fn of_area(mm2: f64, material: Material) -> Option<PerMetre> {
        let table = iec_60228::resistance_ohm_per_m(mm2)?;
        let per_k = [iec_60228::COPPER_PER_K, iec_60228::ALUMINIUM_PER_K];
        Some(Self::new(table, material, per_k, iec_60228::REFERENCE_C))
    }

    fn new([a, b]: [f64; 2], material: Material, per_k: [f64; 2], reference_c: f64) -> PerMetre {
        let ([least, most], per_k) = match material {
            Material::Copper => ([1.0, 1.0], per_k[0]),
            Material::Aluminium => (ALUMINIUM, per_k[1]),
        };
        PerMetre { least: least * a.min(b), most: most * a.max(b), per_k, reference_c }
    }

    fn warmed(&self, celsius: f64) -> f64 {
        1.0 + self.per_k * (celsius - self.reference_c)
    }
}

/// Resistance of a run, from cold (ambient, the lower column of the table) to hot (its insulation's rating). The value is that of
/// the higher column at 75 C (NFPA 70) or 70 C (IEC), or the insulation's rating if that is lower. `None` without size or length,
/// or for a size that no table lists.
pub fn resistance(conductor: &ConductorFigures, duty: &Duty<'_>) -> Option<Figure<Ohm>> {
    let length = conductor.length_m.as_ref()?;
    let size = |which: fn(&Figure<SquareMillimetre>) -> SquareMillimetre| match conductor.size.as_ref()? {
        ConductorSize::Awg(gauge) => PerMetre::of_gauge(gauge, conductor.material),
        ConductorSize::Area(area) => PerMetre::of_area(which(area).0, conductor.material),
    };
    let usual_c = match duty.rules {
        Rules::NorthAmerica => nfpa::TABLE_8_C,
        Rules::Iec => iec_60364::PVC_C,
    };
    let insulation = conductor.insulation_c.as_ref();
    let warm = insulation.map_or(usual_c, |c| usual_c.min(c.get()));
    let hot = insulation.map_or(usual_c, |c| c.high.get());
    let cold = duty.ambient_c.map_or(COLD_C, |c| c.low.get()).min(warm);
    let (thick, usual, thin) = (size(|a| a.high)?, size(|a| a.value)?, size(|a| a.low)?);
    let ways = ways(duty.phases);
    let value = ways * length.get() * usual.most * usual.warmed(warm);
    let low = ways * length.low.get() * thick.least * thick.warmed(cold);
    let high = ways * length.high.get() * thin.most * thin.warmed(hot);
    let origin = match conductor.material {
        Material::Copper => Origin::Standard,
        Material::Aluminium => Origin::Derived,
    };
    let table = match conductor.size.as_ref()? {
        ConductorSize::Awg(_) => "NFPA 70 chapter 9 table 8",
        ConductorSize::Area(_) => "IEC 60228",
    };
    let material = match conductor.material {
        Material::Copper => "",
        Material::Aluminium => ", times 1.61 to 1.64 for aluminium (from memory)",
    };
    let note = format!("{table}{material}, from {cold} to {hot} C");
    let figure = Figure::exact(Ohm(value), origin).between(Ohm(low.min(value)), Ohm(high.max(value)));
    Some(figure.noted(note))
}

/// Reactance of a run, in proportion to frequency, as a range that is assumed. `None` without length or size: a run of unknown
/// size has no resistance either.
pub fn reactance(conductor: &ConductorFigures, duty: &Duty<'_>) -> Option<Figure<Ohm>> {
    let length = conductor.length_m.as_ref()?;
    conductor.size.as_ref()?;
    let [least, usual, most] = REACTANCE;
    let (value, at_hz) = match duty.rules {
        Rules::NorthAmerica => (usual, 60.0),
        Rules::Iec => (least, 50.0),
    };
    let per_m = ways(duty.phases) * duty.frequency_hz / at_hz;
    let of = |metres: Metre, ohm_per_m: f64| Ohm(per_m * metres.0 * ohm_per_m);
    Some(
        Figure::exact(of(length.value, value), Origin::Assumed)
            .between(of(length.low, least), of(length.high, most))
            .noted("per metre: from memory, the upper bound assumed"),
    )
}
