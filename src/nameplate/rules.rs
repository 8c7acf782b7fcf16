//! From what a nameplate does say to the two currents that everything else rests on: rated-load and locked-rotor current.
//!
//! Each entry of a label gives a range of the current by a rule ([`super::labels`]). The most direct one is taken; where it
//! is wide, the others narrow it; where two that are printed cannot both be true, that is said and the more direct one holds.

use super::Nameplate;
use super::labels::{self, Bounds, Derived};
use crate::figure::{Figure, Origin};
use crate::quantity::*;
use crate::standards::iec_60034::LOCKED_ROTOR_TOLERANCE;

/// A range narrower than this, high over low, needs no narrowing.
const NARROW: f64 = 1.15;

/// Printed figures are rounded: they disagree only by more than this (assumed).
const ROUNDING: f64 = 0.97;

/// So far outside the class's ratio of locked-rotor to rated current a label was probably misread (assumed).
const FAR: f64 = 1.5;

const RATED: &str = "rated-load current";
const LOCKED: &str = "locked-rotor current";

/// Fills in rated-load and locked-rotor current where the nameplate leaves them out, and gives a stated locked-rotor
/// current its standard's tolerance. `stated` says which keys the site itself gives, beside those of the catalogue.
///
/// Returns what there is to say: contradictions between entries.
pub fn complete(plate: &mut Nameplate, phases: u32, stated: &dyn Fn(&str) -> bool) -> Vec<String> {
    let Some(volts) = plate.rated_voltage_v.as_ref().map(Figure::get) else { return Vec::new() };
    let rules = Rules { plate: plate.clone(), volts, phases, stated };
    let mut notes = rules.contradictions();
    plate.doubt = rules.ratio_out_of_class();
    notes.extend(plate.doubt.clone());
    let mut by_start = false;
    if !stated("rated_load_a") {
        let usual = plate.rated_load_a.take();
        let mut candidates = rules.rated();
        candidates.extend(usual.as_ref().map(|usual| Candidate {
            key: "rated_load_a",
            printed: false,
            derived: derived(usual, "usual of such units"),
        }));
        by_start = candidates.first().is_some_and(|first| first.key == "start_w");
        plate.rated_load_a = match candidates.first() {
            // start watts tell of the start: what is drawn in service follows from that, by the ratio
            Some(_) if by_start => usual,
            // the ratio ties it to the locked-rotor current, which is better known: its doubt is the ratio's
            Some(first) if first.key == "locked_rotor_a" && stated("locked_rotor_a") => None,
            Some(_) => settle(RATED, &candidates, &mut notes),
            None => usual,
        };
    }
    if !stated("locked_rotor_a") {
        let usual = plate.locked_rotor_a.take().filter(|_| !stated("rated_load_a"));
        let candidates = rules.locked(plate.rated_load_a.as_ref(), by_start);
        plate.locked_rotor_a = match candidates.first() {
            _ if usual.is_some() => usual,
            Some(first) if first.key == "rated_load_a" => None,
            _ => settle(LOCKED, &candidates, &mut notes),
        };
    } else if let Some(locked) = plate.locked_rotor_a.as_mut().filter(|f| !f.ranges())
        && !plate.hermetic
        && locked.origin == Origin::Nameplate
    {
        locked.high = Ampere(locked.value.0 * LOCKED_ROTOR_TOLERANCE);
        locked.note = Some("printed; +20 % is its standard's tolerance (IEC 60034-1, from memory)".into());
    }
    if plate.locked_rotor_a.is_some() && plate.rated_load_a.is_some() {
        plate.locked_rotor_ratio = None;
    }
    notes
}

/// A range of a current that some entry of the label gives.
struct Candidate {
    key: &'static str,
    /// Whether the entry is printed on this unit, not usual of its kind.
    printed: bool,
    derived: Derived,
}

/// A candidate, unless its figures are so odd that no current comes of them.
fn candidate(key: &'static str, printed: bool, derived: Option<Derived>) -> Option<Candidate> {
    let derived = derived.filter(|d| d.low <= d.value && d.value <= d.high && d.high.is_finite())?;
    Some(Candidate { key, printed, derived })
}

fn derived(figure: &Figure<Ampere>, rule: &str) -> Derived {
    let rule = figure.note.as_ref().map_or_else(|| rule.to_owned(), |note| format!("{rule} ({note})"));
    Derived { value: figure.get(), low: figure.low.0, high: figure.high.0, rule }
}

/// The first candidate, narrowed by the others where it is wide.
fn settle(what: &str, candidates: &[Candidate], notes: &mut Vec<String>) -> Option<Figure<Ampere>> {
    let (first, rest) = candidates.split_first()?;
    let Derived { mut value, mut low, mut high, mut rule } = first.derived.clone();
    for other in rest {
        let d = &other.derived;
        if d.low > high * 1.001 || d.high < low * 0.999 {
            if other.printed && first.printed {
                notes.push(disagree(what, first.key, [low, high], other.key, d));
            }
            continue;
        }
        if high > NARROW * low && (d.low > low || d.high < high) {
            (low, high) = (low.max(d.low), high.min(d.high));
            rule = format!("{rule}; narrowed by {}: {}", other.key, d.rule);
        }
    }
    value = value.clamp(low, high);
    let figure = Figure::exact(Ampere(value), Origin::Derived).between(Ampere(low), Ampere(high));
    Some(figure.noted(rule))
}

fn disagree(what: &str, first: &str, by_first: [f64; 2], second: &str, by_second: &Derived) -> String {
    let range = |[low, high]: [f64; 2]| {
        if high - low < 0.05 { format!("{low:.1} A") } else { format!("{low:.1} to {high:.1} A") }
    };
    format!(
        "{first} and {second} do not agree on the {what}: {} by the first, {} by the second; the first is taken, check \
         the label",
        range(by_first),
        range([by_second.low, by_second.high])
    )
}

struct Rules<'a> {
    plate: Nameplate,
    volts: f64,
    phases: u32,
    stated: &'a dyn Fn(&str) -> bool,
}

fn bounds<Q: Quantity>(figure: &Figure<Q>) -> Bounds {
    Bounds { value: figure.get(), low: figure.low.get(), high: figure.high.get() }
}

/// A locked-rotor current over the ratio usual of the class.
fn over(locked: Derived, ratio: Bounds) -> Derived {
    Derived {
        value: locked.value / ratio.value,
        low: locked.low / ratio.high,
        high: locked.high / ratio.low,
        rule: format!("{}, over the locked-rotor ratio usual of the class", locked.rule),
    }
}

impl Rules<'_> {
    fn hp(&self) -> Option<f64> {
        self.plate.power_hp.as_ref().map(Figure::get)
    }

    /// Printed currents that a rule does not allow beside another entry that is printed.
    ///
    /// An MCC is 1.56 times the rated-load current **at the most**, and an MCA counts the motor and **whatever else there
    /// is**: each bounds the current on one side only.
    fn contradictions(&self) -> Vec<String> {
        let p = &self.plate;
        let mut found = Vec::new();
        let both = |a: &str, b: &str| (self.stated)(a) && (self.stated)(b);
        if let (Some(a), Some(mcc)) = (&p.rated_load_a, &p.maximum_continuous_a)
            && both("rated_load_a", "maximum_continuous_a")
        {
            let d = labels::rated_load_from_mcc(mcc.low.0);
            if a.high.0 < ROUNDING * d.low {
                let range = [a.low.0, a.high.0];
                found.push(disagree(RATED, "rated_load_a", range, "maximum_continuous_a", &d));
            }
        }
        if let (Some(a), Some(mca)) = (&p.rated_load_a, &p.minimum_circuit_ampacity_a)
            && both("rated_load_a", "minimum_circuit_ampacity_a")
            && let Some(d) = labels::rated_load_from_mca(mca.high.0, Bounds { low: 0.0, ..self.fan(mca) })
            && ROUNDING * a.low.0 > d.high
        {
            let range = [a.low.0, a.high.0];
            found.push(disagree(RATED, "rated_load_a", range, "minimum_circuit_ampacity_a", &d));
        }
        if let (Some(a), Some(d)) = (&p.locked_rotor_a, self.by_letter())
            && both("locked_rotor_a", "code_letter")
            && (self.stated)("power_hp")
            && (a.high.0 < ROUNDING * d.low || ROUNDING * a.low.0 > d.high)
        {
            found.push(disagree(LOCKED, "locked_rotor_a", [a.low.0, a.high.0], "code_letter", &d));
        }
        found
    }

    /// A printed pair of currents far from the ratio of the class.
    fn ratio_out_of_class(&self) -> Option<String> {
        let p = &self.plate;
        let both = (self.stated)("rated_load_a") && (self.stated)("locked_rotor_a");
        let (rated, locked) = (p.rated_load_a.as_ref()?, p.locked_rotor_a.as_ref()?);
        let (ratio, usual) = (locked.get() / rated.get(), p.locked_rotor_ratio.as_ref()?);
        let out = ratio < usual.low.0 / FAR || ratio > usual.high.0 * FAR;
        (both && out).then(|| {
            format!(
                "the locked-rotor current is {ratio:.1} times the rated-load current, {} to {} is usual of the class: check \
                 the label",
                usual.low.0, usual.high.0
            )
        })
    }

    /// Current of the fan beside the motor: as printed, else a share of the label's rating.
    fn fan(&self, label: &Figure<Ampere>) -> Bounds {
        self.plate.fan_full_load_a.as_ref().map_or_else(|| labels::unknown_fan(label.get()), bounds)
    }

    /// Ranges of the rated-load current, the most direct first.
    fn rated(&self) -> Vec<Candidate> {
        let p = &self.plate;
        let ratio = p.locked_rotor_ratio.as_ref().map(bounds);
        let mut found = Vec::new();
        let mut add = |key: &'static str, derived: Option<Derived>| {
            let printed = (self.stated)(key);
            found.extend(candidate(key, printed, derived));
        };
        add(
            "maximum_continuous_a",
            p.maximum_continuous_a.as_ref().map(|a| labels::rated_load_from_mcc(a.get())),
        );
        let ampacity = p.minimum_circuit_ampacity_a.as_ref();
        add(
            "minimum_circuit_ampacity_a",
            ampacity.and_then(|a| labels::rated_load_from_mca(a.get(), self.fan(a))),
        );
        add("power_w", p.power_w.as_ref().and_then(|w| self.by_power(w.get(), !p.hermetic)));
        // the power is the better guess of the value, the table, which lies high, of the upper bound
        add("power_hp", self.hp().and_then(|hp| self.by_power(Watt::from(Horsepower(hp)).0, true)));
        if !p.hermetic {
            let table = self.hp().and_then(|hp| labels::full_load_from_hp(hp, self.volts, self.phases).ok());
            add("power_hp", table);
        }
        if let Some(ratio) = ratio {
            let locked = p
                .locked_rotor_a
                .as_ref()
                .map(|a| labels::rated_load_from_locked_rotor(a.get(), ratio, "the class"));
            add("locked_rotor_a", locked);
            add("code_letter", self.by_letter().map(|letter| over(letter, ratio)));
        }
        let device = p.maximum_protection_a.as_ref();
        add("maximum_protection_a", device.and_then(|a| labels::rated_load_from_mocp(a.get(), self.fan(a))));
        if let Some(ratio) = ratio {
            add("start_w", self.by_start_watts().map(|start| over(start, ratio)));
        }
        found
    }

    /// Ranges of the locked-rotor current, the most direct first; `by_start` says that the rated-load current itself is
    /// known no better than by the start watts.
    fn locked(&self, rated: Option<&Figure<Ampere>>, by_start: bool) -> Vec<Candidate> {
        let p = &self.plate;
        let mut found = Vec::new();
        let mut add = |key: &'static str, printed: bool, derived: Option<Derived>| {
            found.extend(candidate(key, printed, derived));
        };
        add("code_letter", (self.stated)("code_letter") && (self.stated)("power_hp"), self.by_letter());
        if !p.hermetic {
            let table =
                self.hp().and_then(|hp| labels::locked_rotor_from_hp(hp, self.volts, self.phases).ok());
            add("power_hp", false, table);
        }
        if by_start {
            add("start_w", (self.stated)("start_w"), self.by_start_watts());
        }
        if let (Some(rated), Some(ratio)) = (rated, &p.locked_rotor_ratio) {
            let (rated, ratio) = (bounds(rated), bounds(ratio));
            let of_one = labels::locked_rotor_from_rated(rated.value, ratio, "the class");
            let (low, high) = (rated.low * ratio.low, rated.high * ratio.high);
            add("rated_load_a", false, Some(Derived { low, high, ..of_one }));
        }
        if !by_start {
            add("start_w", false, self.by_start_watts());
        }
        found
    }

    /// Rated-load current of so many watts, at the shaft or taken in.
    fn by_power(&self, watts: f64, shaft: bool) -> Option<Derived> {
        let efficiency = self.plate.efficiency.as_ref().filter(|_| shaft).map(bounds);
        let factor = self.plate.power_factor.as_ref().map(bounds)?;
        labels::rated_load_from_power(watts, self.volts, self.phases, factor, efficiency).ok()
    }

    fn by_letter(&self) -> Option<Derived> {
        labels::locked_rotor_from_code_letter(self.plate.code_letter?, self.hp()?, self.volts, self.phases)
            .ok()
    }

    fn by_start_watts(&self) -> Option<Derived> {
        let watts = self.plate.start_w.as_ref()?.get();
        let factor = self.plate.locked_rotor_power_factor.as_ref().map(Figure::get);
        labels::locked_rotor_from_start_watts(watts, self.volts, self.phases, factor).ok()
    }
}
