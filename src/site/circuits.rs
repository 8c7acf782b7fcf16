//! Breakers, conductors and running loads.

use super::document::{Document, join};
use crate::case::{Behaviour, CircuitFigures, Connection, RunningFigures};
use crate::figure::{Figure, Origin};
use crate::protection::{BreakerFigures, BreakerStandard, Curve, CurvePoint};
use crate::quantity::*;
use crate::wiring::{ConductorFigures, ConductorSize, Material};

/// The largest rated current of IEC 60898-1 (clause 1; from memory).
const LARGEST_IEC_60898: f64 = 125.0;

/// Breaker and conductor of the circuit at `at`; empty if there is none.
pub(super) fn circuit(document: &mut Document<'_>, at: &str) -> CircuitFigures {
    let breaker = document.inner(at, "breaker").map(|at| breaker(document, &at));
    let conductor = document.inner(at, "conductor").map(|at| conductor(document, &at));
    CircuitFigures { breaker, conductor }
}

fn breaker(document: &mut Document<'_>, at: &str) -> BreakerFigures {
    let rating_a = document.need::<Ampere>(at, "rating_a");
    let standard = match document.text(at, "standard") {
        Some("IEC 60898-1") => {
            document.demand(at, "curve", "IEC 60898-1 breakers have a curve: B, C or D");
            if rating_a.low.get() > LARGEST_IEC_60898 {
                let message = format!("{} A is beyond IEC 60898-1, which ends at 125 A", rating_a.low.get());
                let help = "check the standard printed on the breaker";
                document.refuse(document.span(at, "rating_a"), &join(at, "rating_a"), message, help);
            }
            BreakerStandard::Iec60898(match document.text(at, "curve") {
                Some("B") => Curve::B,
                Some("D") => Curve::D,
                _ => Curve::C,
            })
        }
        Some(_) => {
            if document.has(at, "curve") {
                let help = "leave the curve out, or write standard = \"IEC 60898-1\"";
                let span = document.name_span(at, "curve");
                document.refuse(span, &join(at, "curve"), "UL 489 has no curves B, C, D", help);
            }
            BreakerStandard::Ul489
        }
        None => BreakerStandard::Ul489,
    };
    BreakerFigures {
        standard,
        rating_a,
        fast: points(document, at, "fast"),
        slow: points(document, at, "slow"),
        instantaneous: document.pair(at, "instantaneous"),
    }
}

/// The points of a maker's curve; multiples have to rise and times to fall.
fn points(document: &mut Document<'_>, at: &str, key: &str) -> Vec<CurvePoint> {
    let paths = document.list(at, key);
    let point = |path: &String| CurvePoint {
        multiple: document.number(path, "multiple"),
        s: document.number(path, "s"),
    };
    let points: Vec<CurvePoint> = paths.iter().map(point).collect();
    for (pair, path) in points.windows(2).zip(paths.iter().skip(1)) {
        let [before, after] = pair else { continue };
        if after.multiple <= before.multiple {
            let message = format!("the multiple {} does not rise after {}", after.multiple, before.multiple);
            let help = "list the points by rising current";
            document.refuse(document.span(path, "multiple"), &join(path, "multiple"), message, help);
        } else if after.s >= before.s {
            let message = format!("the time {} s does not fall after {} s", after.s, before.s);
            let help = "a larger current trips sooner: check the points";
            document.refuse(document.span(path, "s"), &join(path, "s"), message, help);
        }
    }
    points
}

fn conductor(document: &mut Document<'_>, at: &str) -> ConductorFigures {
    if document.has(at, "awg") && document.has(at, "area_mm2") {
        let late = |k: &&str| document.name_span(at, k).start;
        let key = ["awg", "area_mm2"].into_iter().max_by_key(late).unwrap_or("awg");
        let message = "the size is given twice, as awg and as area_mm2";
        document.refuse(document.name_span(at, key), &join(at, key), message, "keep one of them");
    }
    let awg = document.text(at, "awg").map(|t| ConductorSize::Awg(t.to_owned()));
    let size = awg.or_else(|| document.figure(at, "area_mm2").map(ConductorSize::Area));
    if let Some(size) = size.as_ref().filter(|s| !s.is_listed() && !document.has(at, "resistance_ohm")) {
        let key = if document.has(at, "awg") { "awg" } else { "area_mm2" };
        let message = format!("{size} is in no table of resistances");
        let help = format!("the sizes are {}; or give resistance_ohm and ampacity_a", size.listed());
        document.refuse(document.span(at, key), &join(at, key), message, help);
    }
    ConductorFigures {
        length_m: document.figure(at, "length_m"),
        size,
        material: match document.text(at, "material") {
            Some("aluminium") => Material::Aluminium,
            _ => Material::Copper,
        },
        insulation_c: document.figure(at, "insulation_c"),
        terminal_c: document.figure(at, "terminal_c"),
        grouped: document.figure(at, "grouped"),
        resistance_ohm: document.figure(at, "resistance_ohm"),
        reactance_ohm: document.figure(at, "reactance_ohm"),
        ampacity_a: document.figure(at, "ampacity_a"),
        ampacity_rule: None,
    }
}

/// The legs a key names.
pub(super) fn connection(document: &Document<'_>, at: &str) -> Option<Connection> {
    match document.text(at, "connection")? {
        "L1" => Some(Connection::L1),
        "L2" => Some(Connection::L2),
        _ => Some(Connection::L1L2),
    }
}

/// What is already on.
pub(super) fn running(document: &Document<'_>) -> Vec<RunningFigures> {
    let one = |(i, at): (usize, &String)| RunningFigures {
        name: document.text(at, "name").map_or_else(|| format!("running load {}", i + 1), str::to_owned),
        va: document.need(at, "va"),
        power_factor: document.figure(at, "power_factor").unwrap_or_else(assumed_power_factor),
        behaviour: document.text(at, "behaviour").map(|word| match word {
            "power" => Behaviour::Power,
            _ => Behaviour::Impedance,
        }),
        connection: connection(document, at),
    };
    document.list("", "running").iter().enumerate().map(one).collect()
}

/// What stands in for a power factor nobody gave.
fn assumed_power_factor() -> Figure<Ratio> {
    Figure::exact(Ratio(0.9), Origin::Assumed).between(Ratio(0.6), Ratio(1.0))
}
