//! Disconnection: does a short circuit at the load trip the breaker in time? One that is large enough for starts may not see a
//! fault on a soft supply. It never fails for certain: it is not the start that is at stake.

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Path};
use crate::standards::Rules;
use crate::start::Trace;
use crate::supply::SupplyKind;

pub(super) struct Disconnection;

/// What flows, and what the breaker needs to open in time \[A\].
fn pair(path: &Path) -> Option<(f64, f64)> {
    let (fault, edges) = (path.fault.as_ref()?, path.edges.as_ref()?);
    Some((fault.amps, edges.slow.least_within(fault.within_s)))
}

/// Whether the supply shuts itself off, as stated or as inverters usually do.
fn shuts_off(path: &Path) -> bool {
    let stated = path.fault.is_some_and(|f| f.typical_a.is_none());
    path.shuts_off_on_fault == Some(true) || !stated && usually(path.supply_kind, path.shuts_off_on_fault)
}

/// Inverters shut themselves off on a short circuit unless it is stated that they do not (common practice, no source).
fn usually(kind: SupplyKind, stated: Option<bool>) -> bool {
    kind == SupplyKind::Inverter && stated.is_none()
}

/// Whether what the supply feeds is a matter of custom only.
fn typical(path: &Path) -> bool {
    path.fault.is_some_and(|f| f.typical_a.is_some())
}

impl Check for Disconnection {
    fn id(&self) -> &'static str {
        "disconnection"
    }

    fn depends_on_start(&self) -> bool {
        false
    }

    fn picks_corners(&self) -> bool {
        false
    }

    fn needs(&self, case: &Case, path: Option<&Path>) -> Needs {
        let supply = &case.supply;
        if case.circuit.breaker.is_none() {
            return Needs::NotGiven;
        }
        let custom = supply.fault_a.is_none() && usually(supply.kind, supply.shuts_off_on_fault);
        if supply.shuts_off_on_fault == Some(true) || custom {
            return Needs::Applies;
        }
        let Some(cable) = &case.circuit.conductor else { return Needs::NotGiven };
        let source = [&supply.output_ohm, &supply.output_reactance_ohm];
        let unknown = supply.fault_a.is_none() && source.iter().all(|ohm| ohm.is_none());
        if cable.resistance_ohm.is_none() {
            let no_length = cable.length_m.is_none();
            return Needs::Missing(match case.rules {
                _ if no_length => "circuit.conductor.length_m",
                Rules::NorthAmerica => "circuit.conductor.awg",
                Rules::Iec => "circuit.conductor.area_mm2",
            });
        }
        if supply.kind == SupplyKind::Shore && unknown {
            return Needs::Missing("supply.fault_a");
        }
        match path {
            Some(path) if path.edges.is_none() => Needs::Missing("circuit.breaker.slow"),
            _ => Needs::Applies,
        }
    }

    fn lacks(&self, case: &Case) -> Option<(&'static str, &'static str)> {
        let supply = &case.supply;
        match supply.kind {
            _ if supply.fault_a.is_some() => None,
            SupplyKind::Shore => None,
            _ if usually(supply.kind, supply.shuts_off_on_fault) => None,
            SupplyKind::Inverter => {
                Some(("supply.fault_a", "it is not stated what the inverter feeds into a short circuit"))
            }
            SupplyKind::Generator => {
                Some(("supply.fault_a", "it is not stated what the generator feeds into a short circuit"))
            }
        }
    }

    fn holds(&self, path: &Path, _trace: &Trace, reading: Reading, k: f64) -> bool {
        let enough = || pair(path).is_some_and(|(amps, needed)| k * needed <= amps);
        match reading {
            Reading::ToFail => true,
            _ if shuts_off(path) => true,
            Reading::Guaranteed => !typical(path) && enough(),
            Reading::Modelled => enough(),
        }
    }

    fn margins(&self, path: &Path, _trace: &Trace) -> Margins {
        if shuts_off(path) {
            return Margins::all(f64::INFINITY);
        }
        let modelled = pair(path).map_or(-1.0, |(amps, needed)| amps / needed - 1.0);
        let guaranteed = if typical(path) { -1.0 } else { modelled };
        Margins { guaranteed, modelled, to_fail: f64::INFINITY }
    }

    fn explain(&self, path: &Path, _trace: &Trace, margins: &Margins) -> Explanation {
        let supply = path.supply_words();
        if shuts_off(path) {
            let (does, how) = match path.shuts_off_on_fault {
                Some(_) => ("shuts", "as stated"),
                None => ("usually shuts", "as inverters usually do; not stated of this one"),
            };
            let rule = if path.shuts_off_on_fault.is_some() { how } else { "common practice, no source" };
            return Explanation {
                sentence: format!("the {supply} {does} itself off on a short circuit"),
                unit: "A",
                rule: format!("the supply shuts itself off on a short circuit ({rule})"),
                why: format!("the {supply} shuts itself off on a short circuit, {how}"),
                ..Explanation::default()
            };
        }
        let (Some((amps, needed)), Some(fault)) = (pair(path), &path.fault) else {
            return Explanation::default();
        };
        let within = say::seconds(fault.within_s);
        let short = if margins.modelled >= 0.0 { "to spare" } else { "too little" };
        let sentence = format!(
            "a short circuit at the load draws {} A and the {} A breaker needs {} A to open within {within}: {} A {short}",
            say::number(amps),
            path.breaker_a.map_or(String::new(), say::number),
            say::number(needed),
            say::number((amps - needed).abs())
        );
        let why = match (fault.typical_a, path.supply_kind) {
            (Some(most), SupplyKind::Generator) if most <= amps => {
                "a generator usually feeds 3 times its rated current into a short circuit".to_owned()
            }
            (Some(most), _) if most <= amps => {
                format!("the {supply} is taken to feed no more into a short circuit than its largest rating")
            }
            _ if margins.modelled >= 0.0 => {
                format!("a short circuit at the load opens the breaker within {within}")
            }
            _ => format!("a short circuit at the load may not open the breaker within {within}"),
        };
        let rule = format!(
            "least current of a short circuit to earth ({} V to earth, 0.95 of it, hot cable) at least what trips the breaker \
             within {within} for certain ({})",
            say::number(fault.to_earth_v),
            match path.rules {
                Rules::Iec => "IEC 60364-4-41, TN, from memory",
                Rules::NorthAmerica => "at once; common practice, no source",
            }
        );
        Explanation { sentence, demand: Some(needed), limit: Some(amps), unit: "A", at_s: None, rule, why }
    }
}
