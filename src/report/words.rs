//! The shop's words for the model's, and the lines they are set in.

use crate::advise::{Doubt, Start, Verdict};
use crate::case::Pressure;
use crate::checks::say::number;

/// Columns the text keeps within.
pub(super) const WIDTH: usize = 100;

/// What a check is called in the text.
pub(super) fn check(id: &str) -> &'static str {
    match id {
        "surge" => "supply surge",
        "peak-current" => "first peak",
        "breaker" => "breaker",
        "minimum" => "nameplate",
        "needless" => "larger than needed",
        "breaker-instantaneous" => "breaker, first peak",
        "terminal-voltage" => "voltage at the load",
        "acceleration" => "gets up to speed",
        "overload-protector" => "motor protector",
        "battery" => "battery",
        "dc-fuse" => "DC fuse",
        "dc-cable" => "DC cable",
        "low-voltage" => "low-voltage cut-off",
        "conductor" => "cable and breaker",
        "continuous" => "running current",
        "disconnection" => "fault clearing",
        "generator-dip" => "generator dip",
        "shore-outlet" => "shore outlet",
        _ => "other",
    }
}

/// The same in a start: what has no rotor does not get up to speed.
pub(super) fn check_of(start: &Start, id: &str) -> &'static str {
    if start.inrush && id == "acceleration" { "starter and load" } else { check(id) }
}

/// What was not checked, in a few words: the battery's four as one.
pub(super) fn not_checked(ids: &[&str]) -> String {
    let mut words: Vec<&str> = Vec::new();
    for id in ids {
        let word = match *id {
            "battery" | "dc-fuse" | "dc-cable" | "low-voltage" => "battery",
            "peak-current" | "breaker-instantaneous" => "peaks",
            "overload-protector" => "protector",
            "disconnection" => "faults",
            "conductor" => "cable",
            id => check(id),
        };
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.join(", ")
}

/// A figure's site path in shop words: "load\[0\].load_torque.breakaway" is "breakaway torque".
pub(super) fn figure(path: &str) -> String {
    const UNITS: [&str; 16] = [
        "_a", "_v", "_va", "_w", "_s", "_hz", "_m", "_mm2", "_c", "_uf", "_ohm", "_mohm", "_kgm2", "_nm",
        "_pct", "_rpm",
    ];
    let key = path.rsplit('.').next().unwrap_or(path);
    let known = match key {
        "locked_rotor_a" => "locked-rotor current",
        "rated_load_a" => "rated-load current",
        "locked_rotor_ratio" => "locked-rotor current",
        "locked_rotor_power_factor" => "power factor at standstill",
        "locked_rotor_torque" | "locked_rotor_nm" => "starting torque of the motor",
        "breakdown_torque" | "breakdown_nm" => "pull-out torque of the motor",
        "rated_slip" | "rated_rpm" => "speed at rated load",
        "inertia_s" => "inertia of rotor and load",
        "reduction" | "largest_a" => "setting of the soft starter",
        "phase_control" => "way the soft starter works (thyristors chop the wave)",
        "assist_capacitor_uf" => "start capacitor of the soft starter",
        "cut_out_speed" => "speed at which the start switch opens",
        "fan_full_load_a" => "fan's current",
        "output_reactance_ohm" => "output reactance of the supply",
        "va" | "a" | "w" if path.contains("surge") => "surge rating of the supply",
        "for_s" if path.contains("surge") => "time the supply carries its surge",
        "to" if path.contains("dip") => "voltage left in the dip",
        "for_s" if path.contains("dip") => "length of the dip",
        "continuous_va" | "continuous_a" | "continuous_w" => "continuous rating of the supply",
        "breakaway" => "breakaway torque",
        "inertia_kgm2" => "inertia of rotor and load",
        "build_up_s" => "build-up time of the load torque",
        "c0" | "c1" | "c2" => "load torque at low and rated speed",
        "r1_ohm" => "main winding's resistance, r1",
        "x1_ohm" => "main winding's leakage reactance, x1",
        "r2_ohm" => "rotor resistance, r2",
        "x2_ohm" => "rotor leakage reactance, x2",
        "r3_ohm" => "second cage's resistance, r3",
        "x3_ohm" => "second cage's leakage reactance, x3",
        "leakage_saturation_a" => "current from which the motor's leakage saturates",
        "xm_ohm" => "magnetising reactance, xm",
        "fault_a" => "short-circuit current of the supply",
        "shuts_off_on_fault" => "maker's word on what the supply does on a short circuit",
        "output_ohm" => "output resistance of the supply",
        "ampacity_a" => "current the cable may carry",
        "resistance_ohm" if path.contains("conductor") => "cable's resistance (length, temperature)",
        "reactance_ohm" if path.contains("conductor") => "cable's reactance",
        "cold_ratio" => "cold resistance of the filament",
        "heat_s" => "time the filament takes to get hot",
        "start_ratio" => "current at standstill",
        "start_power_factor" => "power factor at standstill",
        "capacitor_uf" => "capacitor behind the rectifier",
        "series_ohm" => "resistance in series with the capacitor",
        "limiter_ohm" => "resistance that holds the charging current down",
        "limiter_hot_ohm" => "resistance of the hot thermistor",
        "relay_s" => "time until the relay closes",
        "ramp_s" if path.contains("inrush") => "time it takes to its power",
        "magnetising_pu" => "magnetising current",
        "knee" => "flux at which the core saturates",
        "saturated_pu" => "reactance of the saturated core",
        "winding_pu" => "resistance of the primary",
        "residual" => "flux left in the core",
        "va" if path.starts_with("running") => "size of what is already running",
        _ => "",
    };
    if !known.is_empty() {
        return known.to_owned();
    }
    let bare = UNITS.iter().filter_map(|u| key.strip_suffix(u)).min_by_key(|k| k.len()).unwrap_or(key);
    bare.replace('_', " ")
}

/// Whether a figure is worth a look. A cable's impedance, whose temperature nobody can look up, is only where its range moves
/// some margin by 1 % (assumed).
pub(super) fn matters(doubt: &Doubt) -> bool {
    let impedance =
        doubt.key.ends_with("conductor.resistance_ohm") || doubt.key.ends_with("conductor.reactance_ohm");
    !impedance || doubt.moves >= 0.01
}

/// How an installer gets at a figure.
pub(super) fn source_of(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or(path) {
        "locked_rotor_a" | "locked_rotor_ratio" => "LRA on the compressor's own label or the motor plate",
        "rated_load_a" => "rated current on the unit's nameplate (of a motor RLA or FLA)",
        "fan_full_load_a" => "FLA of the fan on the unit's nameplate",
        "va" | "a" | "w" if path.contains("surge") => "the supply's data sheet, or its maker in writing",
        "for_s" if path.contains("surge") => "the supply's data sheet, or its maker in writing",
        "output_ohm" | "output_reactance_ohm" => "measure the voltage with and without a known load",
        "peak_current_a" => "the supply's maker",
        "reduction" | "largest_a" | "assist_capacitor_uf" => "the starter's maker, in writing",
        "va" | "power_factor" if path.starts_with("running") => "clamp meter on what is on at the same time",
        "locked_rotor_torque" | "locked_rotor_nm" | "breakdown_torque" | "breakdown_nm" => {
            "the motor's data sheet; no label has it"
        }
        "locked_rotor_power_factor" | "power_factor" | "efficiency" | "rated_slip" | "rated_rpm" => {
            "the motor's data sheet or plate"
        }
        "inertia_s" | "inertia_kgm2" => {
            "time a start on a strong supply (clamp meter with peak hold, or a film of it)"
        }
        "breakaway" | "c0" | "c1" | "c2" | "build_up_s" => "no label has it; one measured start tells more",
        "run_capacitor_uf" | "start_capacitor_uf" => {
            "printed on the capacitor (isolate and discharge it first)"
        }
        "resistance_ohm" | "reactance_ohm" => "length, size and temperature of the cable",
        "ampacity_a" => "how the cable is laid, and its insulation",
        _ => "",
    }
}

/// Sets a text in lines of at most [`WIDTH`] columns, the first after `first`, the others after `rest`.
pub(super) fn set(first: &str, rest: &str, text: &str) -> String {
    let mut out = String::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        let gap = usize::from(!empty);
        if !empty && line.chars().count() + gap + word.chars().count() > WIDTH {
            out.push_str(line.trim_end());
            out.push('\n');
            line = rest.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}

/// What a supply gives: "120 V 60 Hz", "400 V 50 Hz three-phase".
pub(super) fn volts_and_hertz(volts: f64, hertz: f64, phases: u32) -> String {
    let three = if phases == 3 { " three-phase" } else { "" };
    format!("{} V {} Hz{three}", number(volts), number(hertz))
}

/// A pressure as the heads of tables have it.
pub(super) fn pressure(pressure: Pressure) -> &'static str {
    match pressure {
        Pressure::Equalised => "rested",
        Pressure::Unequal => "restart",
    }
}

/// The verdict of a start, with which way it leans.
pub(super) fn verdict(start: &Start) -> &'static str {
    match (start.verdict, start.leaning) {
        (Verdict::Uncertain, Verdict::Starts) => "uncertain +",
        (Verdict::Uncertain, Verdict::Fails) => "uncertain -",
        (verdict, _) => verdict.word(),
    }
}

/// Capital first letter.
pub(super) fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |c| c.to_uppercase().collect::<String>() + chars.as_str())
}
