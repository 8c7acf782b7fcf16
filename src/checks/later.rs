//! Checks whose models come later. Where the site file gives their data the finding is `uncertain` and says so; where it
//! does not they are listed as not checked.

use super::{Check, Explanation, Margins, Needs, Reading};
use crate::case::{Case, Path};
use crate::start::Trace;
use crate::supply::SupplyKind;

/// What a finding of such a check says.
pub const NOT_MODELLED: &str = "not modelled yet";

macro_rules! later {
    ($($(#[$doc:meta])* $name:ident $id:literal $after_start:literal $needs:expr;)*) => {$(
        $(#[$doc])*
        pub(super) struct $name;

        impl Check for $name {
            fn id(&self) -> &'static str {
                $id
            }
            fn depends_on_start(&self) -> bool {
                $after_start
            }
            fn needs(&self, case: &Case, _path: Option<&Path>) -> Needs {
                let needs: fn(&Case) -> Needs = $needs;
                needs(case)
            }
            fn holds(&self, _path: &Path, _trace: &Trace, reading: Reading, _k: f64) -> bool {
                reading == Reading::ToFail
            }
            fn holds_start(&self, _path: &Path, _trace: &Trace) -> bool {
                true
            }
            fn explain(&self, _path: &Path, _trace: &Trace, _margins: &Margins) -> Explanation {
                Explanation::default()
            }
        }
    )*};
}

/// For a check about a battery behind an inverter.
fn battery(case: &Case, what: &'static str) -> Needs {
    match (case.battery, case.supply.kind) {
        (true, SupplyKind::Inverter) => Needs::NotModelled(what),
        (false, SupplyKind::Inverter) => Needs::NotGiven,
        _ => Needs::Absent,
    }
}

later! {
    /// Battery current.
    Battery "battery" true |case| battery(case, "the battery");
    /// DC fuse.
    DcFuse "dc-fuse" true |case| battery(case, "the DC fuse");
    /// DC cable.
    DcCable "dc-cable" true |case| battery(case, "the DC cable");
    /// Low-voltage cut-off.
    LowVoltage "low-voltage" true |case| battery(case, "the low-voltage cut-off");
    /// Voltage dip of a generator, by its reactance and regulator.
    GeneratorDip "generator-dip" true |case| {
        if case.supply.kind == SupplyKind::Generator { Needs::NotGiven } else { Needs::Absent }
    };
    /// Breaker of a shore outlet.
    ShoreOutlet "shore-outlet" true |case| {
        if case.supply.kind == SupplyKind::Shore { Needs::NotGiven } else { Needs::Absent }
    };
}
