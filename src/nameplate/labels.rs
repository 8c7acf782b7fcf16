//! One label read as another: a range of what the other may be, with the rule that gave it.
//!
//! Pure arithmetic on positive numbers; which rule to use, and what to do where labels disagree, is decided elsewhere.

pub use super::circuit_rules::{
    LargestDevice, maximum_protection, minimum_circuit_ampacity, short_circuit_device,
};
use crate::standards::OutsideTable;
use crate::standards::nfpa_70::motors;
use crate::standards::nfpa_70::protection::STANDARD_A;
use crate::standards::ul_hermetic::{MCC_OVER_RATED_LOAD, MCC_OVER_RATED_LOAD_SOME_MAKERS};

/// What a rule makes of a label: `low <= value <= high`.
#[derive(Debug, Clone, PartialEq)]
pub struct Derived {
    /// The value to reckon with.
    pub value: f64,
    /// The least it may be.
    pub low: f64,
    /// The most it may be.
    pub high: f64,
    /// The rule and its source, in words.
    pub rule: String,
}

/// A number with its bounds, as it goes into a rule: `low <= value <= high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The value.
    pub value: f64,
    /// The lower bound.
    pub low: f64,
    /// The upper bound.
    pub high: f64,
}

impl Bounds {
    /// A number without doubt.
    pub fn exact(value: f64) -> Self {
        Bounds { value, low: value, high: value }
    }
}

/// Least locked-rotor current over the table's full-load current: common practice, no source.
const LEAST_LOCKED_ROTOR_RATIO: f64 = 4.0;
/// Least full-load current over the table's: common practice, no source.
const LEAST_FULL_LOAD_SHARE: f64 = 0.7;
/// Locked-rotor VA over declared start watts, usual and largest. 15 000 BTU/h roof units are declared with 3500 to 5000 W
/// and locked rotors of 61 to 65 A at 115 V, 7.0 to 7.5 kVA: 1.4 to 2.15 (makers' and users' figures, no standard).
const VA_PER_START_WATT: [f64; 2] = [1.75, 2.15];
/// Largest share of the fan in an MCA where nothing is known of it, and the share to reckon with: common practice, no source.
const FAN_SHARE: [f64; 2] = [0.25, 0.125];
/// An MCA is printed in whole amperes.
const MCA_ROUNDING_A: f64 = 0.5;

/// Current per VA: 1/V for one phase, 1/(sqrt3 V) for three.
fn per_va(volts: f64, phases: u32) -> Result<f64, OutsideTable> {
    match phases {
        1 => Ok(1.0 / volts),
        3 => Ok(1.0 / (3f64.sqrt() * volts)),
        _ => Err(OutsideTable::Phases(phases)),
    }
}

fn phase_word(phases: u32) -> &'static str {
    if phases == 3 { ", three-phase" } else { "" }
}

/// Locked-rotor current \[A\] from the code letter: kVA per horsepower of NFPA 70 table 430.7(B). The value is the middle;
/// for A, whose lower end is 0, the upper end.
///
/// ```
/// use startmargin::nameplate::labels::locked_rotor_from_code_letter;
/// let d = locked_rotor_from_code_letter('G', 1.0, 115.0, 1)?;
/// assert!((d.low - 48.7).abs() < 0.01 && (d.high - 54.7).abs() < 0.01);
/// assert_eq!(d.rule, "code letter G, 5.6 to 6.29 kVA per hp (NFPA 70 table 430.7(B)), 1 hp at 115 V");
/// # Ok::<(), startmargin::standards::OutsideTable>(())
/// ```
///
/// # Errors
/// A letter that is none, and V, which has no upper end.
pub fn locked_rotor_from_code_letter(
    letter: char,
    hp: f64,
    volts: f64,
    phases: u32,
) -> Result<Derived, OutsideTable> {
    let row = motors::code_letter(letter)?;
    let letter = letter.to_ascii_uppercase();
    let top = row.high.ok_or(OutsideTable::OpenEnded(letter))?;
    let amps = 1000.0 * hp * per_va(volts, phases)?;
    let usual = if row.low > 0.0 { 0.5 * (row.low + top) } else { top };
    Ok(Derived {
        value: usual * amps,
        low: row.low * amps,
        high: top * amps,
        rule: format!(
            "code letter {letter}, {} to {top} kVA per hp (NFPA 70 table 430.7(B)), {hp} hp at {volts} V{}",
            row.low,
            phase_word(phases)
        ),
    })
}

/// Locked-rotor current \[A\] from horsepower: NFPA 70 table 430.251(A) or (B) as value and upper bound, 4 times the
/// full-load current of 430.248 or 430.250 as lower bound (common practice, no source).
///
/// # Errors
/// A size or voltage that one of the two tables has not.
pub fn locked_rotor_from_hp(hp: f64, volts: f64, phases: u32) -> Result<Derived, OutsideTable> {
    let high = motors::locked_rotor_a(hp, volts, phases)?;
    let low = (LEAST_LOCKED_ROTOR_RATIO * motors::full_load_a(hp, volts, phases)?).min(high);
    Ok(Derived {
        value: high,
        low,
        high,
        rule: format!(
            "{hp} hp at {volts} V{}: at most the locked-rotor current of {}; at least {LEAST_LOCKED_ROTOR_RATIO} times \
             the full-load current of {} (common practice, no source)",
            phase_word(phases),
            motors::locked_rotor_table(phases)?,
            motors::full_load_table(phases)?
        ),
    })
}

/// Full-load current \[A\] from horsepower: NFPA 70 table 430.248 or 430.250. The tables serve to size conductors and lie
/// high, so that the current may be down to 0.7 of theirs (common practice, no source).
///
/// # Errors
/// A size or voltage that the table has not.
pub fn full_load_from_hp(hp: f64, volts: f64, phases: u32) -> Result<Derived, OutsideTable> {
    let value = motors::full_load_a(hp, volts, phases)?;
    Ok(Derived {
        value,
        low: LEAST_FULL_LOAD_SHARE * value,
        high: value,
        rule: format!(
            "{hp} hp at {volts} V{}: {}, which lies high; down to {LEAST_FULL_LOAD_SHARE} of it (common practice, no source)",
            phase_word(phases),
            motors::full_load_table(phases)?
        ),
    })
}

/// Locked-rotor current \[A\] from rated current: times a ratio that is usual for a class of motors.
pub fn locked_rotor_from_rated(rated_a: f64, ratio: Bounds, class: &str) -> Derived {
    Derived {
        value: rated_a * ratio.value,
        low: rated_a * ratio.low,
        high: rated_a * ratio.high,
        rule: format!(
            "rated current {rated_a} A times {}, from {} to {}, usual for {class}",
            ratio.value, ratio.low, ratio.high
        ),
    }
}

/// Rated-load current \[A\] from locked-rotor current: over a ratio that is usual for a class of motors.
pub fn rated_load_from_locked_rotor(locked_rotor_a: f64, ratio: Bounds, class: &str) -> Derived {
    Derived {
        value: locked_rotor_a / ratio.value,
        low: locked_rotor_a / ratio.high,
        high: locked_rotor_a / ratio.low,
        rule: format!(
            "locked-rotor current {locked_rotor_a} A over {}, from {} to {}, usual for {class}",
            ratio.value, ratio.low, ratio.high
        ),
    }
}

/// Locked-rotor current \[A\] from the start watts a maker declares. Watts are not VA: at least watts over volts (power
/// factor 1), usually 1.75 and up to 2.15 times that, as roof units' start watts compare with their locked-rotor current.
/// A power factor with locked rotor that is known gives the value, between those bounds.
///
/// # Errors
/// Neither 1 nor 3 phases.
pub fn locked_rotor_from_start_watts(
    watts: f64,
    volts: f64,
    phases: u32,
    locked_rotor_power_factor: Option<f64>,
) -> Result<Derived, OutsideTable> {
    let least = watts * per_va(volts, phases)?;
    let [usual, most] = VA_PER_START_WATT;
    let ratio = locked_rotor_power_factor.map_or(usual, |pf| (1.0 / pf).clamp(1.0, most));
    Ok(Derived {
        value: ratio * least,
        low: least,
        high: most * least,
        rule: format!(
            "start watts {watts} W at {volts} V{}: watts are not VA; at least {least:.0} A, up to {most} times that, as \
             start watts of roof units compare with their locked-rotor current (no standard). A start-watts figure may \
             hide half of the current",
            phase_word(phases)
        ),
    })
}

/// Rated-load current \[A\] of a hermetic compressor from its maximum continuous current: MCC/1.56 (rule of UL), up to
/// MCC/1.44 (some makers).
pub fn rated_load_from_mcc(mcc_a: f64) -> Derived {
    let value = mcc_a / MCC_OVER_RATED_LOAD;
    Derived {
        value,
        low: value,
        high: mcc_a / MCC_OVER_RATED_LOAD_SOME_MAKERS,
        rule: format!(
            "maximum continuous current {mcc_a} A over {MCC_OVER_RATED_LOAD} (rule of UL), over \
             {MCC_OVER_RATED_LOAD_SOME_MAKERS} with some makers"
        ),
    }
}

/// What to take for the fan of a unit whose label names an MCA and no fan: from nothing to a quarter of the MCA, an eighth
/// as value (common practice, no source).
pub fn unknown_fan(mca_a: f64) -> Bounds {
    let [most, usual] = FAN_SHARE;
    Bounds { value: usual * mca_a, low: 0.0, high: most * mca_a }
}

/// Rated-load current \[A\] of the compressor from the unit's MCA: (MCA - fan)/1.25, the MCA being printed to half an
/// ampere either way. `None` if the fan alone takes all of it.
pub fn rated_load_from_mca(mca_a: f64, fan_a: Bounds) -> Option<Derived> {
    let rated = |mca: f64, fan: f64| (mca - fan) / 1.25;
    let value = rated(mca_a, fan_a.value);
    (value > 0.0).then(|| Derived {
        value,
        low: rated(mca_a - MCA_ROUNDING_A, fan_a.high).max(0.0),
        high: rated(mca_a + MCA_ROUNDING_A, fan_a.low),
        rule: format!(
            "minimum circuit ampacity {mca_a} A = 1.25 x rated-load current + fan (UL 1995), fan {} to {} A",
            fan_a.low, fan_a.high
        ),
    })
}

/// Rated-load current \[A\] of the compressor from the unit's MOCP: every current for which [`maximum_protection`] gives
/// that size. The value is the middle. `None` if the size is no standard one, or none would give it.
///
/// A maker may print less than the most that is allowed; then the current is larger than this says.
pub fn rated_load_from_mocp(mocp_a: f64, fan_a: Bounds) -> Option<Derived> {
    let at = STANDARD_A.iter().position(|&size| size == mocp_a)?;
    let below = at.checked_sub(1).map(|i| STANDARD_A[i]);
    let above = STANDARD_A.get(at + 1).copied();
    // from the size itself, or from where the MCA leaves the size below, whichever comes first; 15 A is given to all below
    let least =
        |fan: f64| below.map_or(0.0, |below| ((mocp_a - fan) / 2.25).min((below - fan) / 1.25).max(0.0));
    // up to the next size, or to where the MCA leaves this one
    let most = |fan: f64| {
        let by_mca = (mocp_a - fan) / 1.25;
        above.map_or(by_mca, |above| ((above - fan) / 2.25).min(by_mca))
    };
    let (low, high) = (least(fan_a.high), most(fan_a.low));
    if high <= 0.0 || low > high {
        return None;
    }
    let value = (0.5 * (least(fan_a.value) + most(fan_a.value))).clamp(low, high);
    Some(Derived {
        value,
        low,
        high,
        rule: format!(
            "maximum protection {mocp_a} A = 2.25 x rated-load current + fan, rounded down to a size of NFPA 70 240.6(A) \
             (UL 1995), fan {} to {} A",
            fan_a.low, fan_a.high
        ),
    })
}

/// What two rules leave together: the part common to both ranges, with the first rule's value as near as that allows.
/// `None` if they contradict each other.
pub fn both(first: &Derived, second: &Derived) -> Option<Derived> {
    let (low, high) = (first.low.max(second.low), first.high.min(second.high));
    (low <= high).then(|| Derived {
        value: first.value.clamp(low, high),
        low,
        high,
        rule: format!("{}; and {}", first.rule, second.rule),
    })
}

/// Rated current \[A\] from power: watts taken in if there is no efficiency, watts at the shaft if there is one.
///
/// # Errors
/// Neither 1 nor 3 phases.
pub fn rated_load_from_power(
    watts: f64,
    volts: f64,
    phases: u32,
    power_factor: Bounds,
    efficiency: Option<Bounds>,
) -> Result<Derived, OutsideTable> {
    let at_unity = watts * per_va(volts, phases)?;
    let eff = efficiency.unwrap_or(Bounds::exact(1.0));
    let shaft = efficiency
        .map_or_else(String::new, |e| format!(" and efficiency {}, from {} to {}", e.value, e.low, e.high));
    Ok(Derived {
        value: at_unity / (power_factor.value * eff.value),
        low: at_unity / (power_factor.high * eff.high),
        high: at_unity / (power_factor.low * eff.low),
        rule: format!(
            "{watts:.0} W {} at {volts} V{}, power factor {}, from {} to {}{shaft}",
            if efficiency.is_some() { "at the shaft" } else { "taken in" },
            phase_word(phases),
            power_factor.value,
            power_factor.low,
            power_factor.high
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn start_watts_are_not_volt_amperes() {
        let d = locked_rotor_from_start_watts(3500.0, 115.0, 1, None).unwrap();
        // 3500 W: 30.4 A at power factor 1, 65 A at most; such units have 61 to 65 A
        assert!(
            (d.low - 30.43).abs() < 0.01 && (d.high - 65.43).abs() < 0.01 && (d.value - 53.26).abs() < 0.01
        );
        let known = locked_rotor_from_start_watts(3500.0, 115.0, 1, Some(0.8)).unwrap();
        assert!((known.value - 38.04).abs() < 0.01 && known.high == d.high);
        let odd = locked_rotor_from_start_watts(3500.0, 115.0, 1, Some(0.1)).unwrap();
        assert_eq!(odd.value, odd.high);
    }

    #[test]
    fn what_cannot_be_is_no_figure() {
        assert_eq!(locked_rotor_from_code_letter('v', 1.0, 115.0, 1), Err(OutsideTable::OpenEnded('V')));
        assert_eq!(locked_rotor_from_code_letter('G', 1.0, 115.0, 2), Err(OutsideTable::Phases(2)));
        let a = locked_rotor_from_code_letter('A', 1.0, 1000.0, 1).unwrap();
        assert!(a.low == 0.0 && a.value == a.high && (100.0 * a.high - 314.0).abs() < 1e-9);
        assert_eq!(rated_load_from_mca(10.0, Bounds::exact(10.0)), None);
        assert_eq!(rated_load_from_mocp(33.0, Bounds::exact(1.0)), None);
        // 22 A of fan on a 20 A device
        assert_eq!(rated_load_from_mocp(20.0, Bounds::exact(22.0)), None);
        let [x, y] = [rated_load_from_mcc(10.0), rated_load_from_mcc(20.0)];
        assert_eq!(both(&x, &y), None);
    }

    #[test]
    fn a_quarter_hp_has_no_locked_rotor_row() {
        assert!(matches!(locked_rotor_from_hp(0.25, 115.0, 1), Err(OutsideTable::Size { .. })));
        let d = locked_rotor_from_hp(1.0, 115.0, 1).unwrap();
        assert_eq!((d.low, d.value, d.high), (64.0, 96.0, 96.0));
    }
}
