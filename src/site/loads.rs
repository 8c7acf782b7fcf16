//! Loads: nameplate, and the rules between a load, its motor and the supplies.

use super::document::{Document, join};
use super::{SiteLoad, circuits, inrush, motors, supplies};
use crate::case::{Connection, LoadFigures, Pressure};
use crate::figure::{Figure, Origin};
use crate::motor::given::{LoadTorqueFigures, MotorFigures};
use crate::nameplate::{Nameplate, rules};
use crate::quantity::*;
use crate::starter::StarterKind;
use crate::supply::SupplyFigures;

/// Power given as hp and as W may differ by this much.
const SAME_POWER: f64 = 1.02;

/// A rated voltage this far from the catalogue entry's is another one: 115 and 120 V are the same, 115 and 230 V are not.
const OTHER_VOLTAGE: f64 = 0.15;

/// A rated speed may be this much above synchronous speed, for rounding and for supplies a little off
/// frequency.
const OVER_SYNCHRONOUS: f64 = 1.1;

/// Every load, with the circuit of its own if it has one.
pub(super) fn read(document: &mut Document<'_>, supplies: &[SupplyFigures]) -> Vec<SiteLoad> {
    let paths = document.list("", "load");
    supplies::once_each(document, &paths, "load");
    paths.iter().map(|at| load(document, at, supplies)).collect()
}

fn load(document: &mut Document<'_>, at: &str, supplies: &[SupplyFigures]) -> SiteLoad {
    let mut nameplate = nameplate(document, at);
    let inrush = inrush::inrush(document, at);
    let mut motor = motors::motor(document, at);
    let (load_torque, load_torque_unequal) = motors::torques(document, at);
    let phases = document.phases(at, if matches!(motor, Some(MotorFigures::ThreePhase(_))) { 3 } else { 1 });
    if let Some(inrush) = &inrush {
        rated_voltage(document, at, &mut nameplate, phases, supplies);
        inrush::complete(inrush, &mut nameplate);
    } else if document.inner(at, "motor_model").is_none() {
        check_nameplate(document, at, &nameplate);
        check_windings(document, at, phases);
        let rated = nameplate.rated_frequency_hz.as_ref().map(Figure::get);
        let hertz = rated.or_else(|| supplies.first().map(|s| s.frequency_hz.get()));
        motor = motors::plate_motor(document, at, phases, hertz).map(MotorFigures::Plate);
        complete(document, at, &mut nameplate, phases, supplies);
    }
    let starter = motors::starter(document, at);
    let assist = document.figure::<Microfarad>(at, "assist_capacitor_uf");
    let figures = LoadFigures {
        name: document.text(at, "name").unwrap_or_default().to_owned(),
        class: document.text(at, "class").map(str::to_owned),
        phases,
        connection: circuits::connection(document, at),
        nameplate,
        motor,
        inrush,
        load_torque,
        load_torque_unequal,
        pressure: document.text(at, "pressure").map(|word| match word {
            "unequal" => Pressure::Unequal,
            _ => Pressure::Equalised,
        }),
        restart_hold_off_s: document.figure(at, "restart_hold_off_s"),
        longest_start_s: document.figure(at, "longest_start_s").unwrap_or_else(assumed_longest_start),
        protector: motors::protector(document, at),
        overload: motors::overload(document, at),
        electronic: document.switch(at, "electronic"),
        starter,
        fan_through_starter: document.switch(at, "fan_through_starter"),
        assist_capacitor_uf: assist.filter(|f| f.high.get() > 0.0),
        assist_cut_out_speed: document.figure(at, "assist_cut_out_speed"),
        based_on: document.based_on(at),
    };
    if document.inner(at, "motor_model").is_some() {
        check_nameplate(document, at, &figures.nameplate);
    }
    check_phases(document, at, &figures, supplies);
    check_speed(document, at, &figures, supplies);
    let circuit = document.inner(at, "circuit").map(|at| circuits::circuit(document, &at));
    SiteLoad { figures, circuit }
}

/// A start is given up after this, for want of a table by class.
fn assumed_longest_start() -> Figure<Second> {
    Figure::exact(Second(3.0), Origin::Assumed)
}

fn nameplate(document: &Document<'_>, at: &str) -> Nameplate {
    Nameplate {
        rated_voltage_v: document.figure(at, "rated_voltage_v"),
        rated_frequency_hz: document.figure(at, "rated_frequency_hz"),
        locked_rotor_a: document.figure(at, "locked_rotor_a"),
        rated_load_a: document.figure(at, "rated_load_a"),
        locked_rotor_ratio: document.figure(at, "locked_rotor_ratio"),
        maximum_continuous_a: document.figure(at, "maximum_continuous_a"),
        branch_selection_a: document.figure(at, "branch_selection_a"),
        doubt: None,
        hermetic: document.switch(at, "hermetic"),
        cord_and_plug: document.switch(at, "cord_and_plug"),
        fan_full_load_a: document.figure(at, "fan_full_load_a"),
        minimum_circuit_ampacity_a: document.figure(at, "minimum_circuit_ampacity_a"),
        maximum_protection_a: document.figure(at, "maximum_protection_a"),
        power_w: document.figure(at, "power_w"),
        power_hp: document.figure(at, "power_hp"),
        start_w: document.figure(at, "start_w"),
        rated_rpm: document.figure(at, "rated_rpm"),
        power_factor: document.figure(at, "power_factor"),
        locked_rotor_power_factor: document.figure(at, "locked_rotor_power_factor"),
        efficiency: document.figure(at, "efficiency"),
        breakdown_nm: document.figure(at, "breakdown_nm"),
        locked_rotor_nm: document.figure(at, "locked_rotor_nm"),
        run_capacitor_uf: document
            .figure::<Microfarad>(at, "run_capacitor_uf")
            .filter(|f| f.high.get() > 0.0),
        code_letter: document.text(at, "code_letter").and_then(|t| t.chars().next()),
        starts_per_hour: document.figure(at, "starts_per_hour"),
        voltage_range_v: document.pair(at, "voltage_range_v").map(|[low, high]| [Volt(low), Volt(high)]),
        least_start_v: document.figure(at, "least_start_v"),
    }
}

/// Works out what the nameplate leaves out of the two currents that a motor is fitted to.
fn complete(
    document: &mut Document<'_>,
    at: &str,
    plate: &mut Nameplate,
    phases: u32,
    supplies: &[SupplyFigures],
) {
    rated_voltage(document, at, plate, phases, supplies);
    other_voltage(document, at);
    let stated = |key: &str| document.stated(at, key);
    let notes = rules::complete(plate, phases, &stated);
    for note in notes {
        document.note(at.to_owned(), &note);
    }
}

/// Takes the first supply's voltage where the label says none.
fn rated_voltage(
    document: &Document<'_>,
    at: &str,
    plate: &mut Nameplate,
    phases: u32,
    supplies: &[SupplyFigures],
) {
    if plate.rated_voltage_v.is_none()
        && let Some(supply) = supplies.first()
    {
        let volts = board_v(document, at, phases, supply);
        let note = "not stated: taken as the first supply's";
        // not a number where the supply's was refused: then nothing is worked out
        plate.rated_voltage_v =
            volts.is_finite().then(|| Figure::exact(Volt(volts), Origin::Assumed).noted(note));
    }
}

/// Refuses the currents of a catalogue entry at another voltage than its own.
fn other_voltage(document: &mut Document<'_>, at: &str) {
    let Some(own) = document.of_entry(at, "rated_voltage_v") else { return };
    let stated =
        document.stated(at, "rated_voltage_v").then(|| document.figure::<Volt>(at, "rated_voltage_v"));
    let Some(volts) = stated.flatten().map(|v| v.get()) else { return };
    let currents = ["rated_load_a", "locked_rotor_a", "power_hp", "power_w", "maximum_continuous_a"];
    if (volts / own - 1.0).abs() > OTHER_VOLTAGE && !currents.iter().any(|key| document.stated(at, key)) {
        let message = format!("the catalogue's entry is for {own} V: its current does not hold at {volts} V");
        let help = "take another entry, or give rated_load_a or locked_rotor_a off the label";
        document.refuse(document.span(at, "rated_voltage_v"), &join(at, "rated_voltage_v"), message, help);
    }
}

/// The voltage between the conductors that a load hangs on.
fn board_v(document: &Document<'_>, at: &str, phases: u32, supply: &SupplyFigures) -> f64 {
    let volts = supply.voltage_v.get();
    match (phases, supply.phases, circuits::connection(document, at)) {
        (1, 3, Some(Connection::L1 | Connection::L2) | None) => volts / 3f64.sqrt(),
        (1, _, Some(Connection::L1 | Connection::L2)) => 0.5 * volts,
        _ => volts,
    }
}

/// Refuses windings that do not go with the phases.
fn check_windings(document: &mut Document<'_>, at: &str, phases: u32) {
    let three = document.text(at, "windings") == Some("three-phase");
    // phases of 0 were refused
    if document.has(at, "windings") && phases != 0 && three != (phases == 3) {
        let key = if document.stated(at, "windings") { "windings" } else { "class" };
        let message = match three {
            true => "this class of motor is three-phase, the load is not",
            false => "this class of motor is single-phase, the load is three-phase",
        };
        let help = "check phases, or take another class";
        document.refuse(document.span(at, key), &join(at, key), message, help);
    }
}

/// Refuses figures of a nameplate that cannot stand beside each other.
fn check_nameplate(document: &mut Document<'_>, at: &str, plate: &Nameplate) {
    if let (Some(locked), Some(rated)) = (&plate.locked_rotor_a, &plate.rated_load_a)
        && locked.high.get() < rated.low.get()
    {
        let message = format!(
            "the locked-rotor current, {} A, is below the rated-load current, {} A",
            locked.high.get(),
            rated.low.get()
        );
        let help = "the two may be swapped: LRA is several times RLA";
        document.refuse(document.span(at, "locked_rotor_a"), &join(at, "locked_rotor_a"), message, help);
    }
    if let (Some(hp), Some(watts)) = (&plate.power_hp, &plate.power_w) {
        let in_watts = |hp: Horsepower| Watt::from(hp).get();
        let (low, high) = (in_watts(hp.low).max(watts.low.get()), in_watts(hp.high).min(watts.high.get()));
        if low > high * SAME_POWER {
            let late = |k: &&str| document.name_span(at, k).start;
            let key = ["power_w", "power_hp"].into_iter().max_by_key(late).unwrap_or("power_hp");
            let message = format!("{} hp is {:.0} W, not {} W", hp.get(), in_watts(hp.value), watts.get());
            let help = "keep the one the nameplate prints";
            document.refuse(document.span(at, key), &join(at, key), message, help);
        }
    }
}

/// Refuses phases that do not fit motor, starter or supplies.
fn check_phases(document: &mut Document<'_>, at: &str, load: &LoadFigures, supplies: &[SupplyFigures]) {
    let key = join(at, "phases");
    let given = document.has(at, "phases");
    let below = format!("{at}.motor_model");
    let span = if given { document.span(at, "phases") } else { document.span(&below, "kind") };
    match (&load.motor, load.phases) {
        (Some(MotorFigures::TwoWinding(_)), 3) => {
            let help = "leave phases out, or give a motor_model of kind three-phase";
            document.refuse(span, &key, "a two-winding motor is single-phase", help);
            return;
        }
        (Some(MotorFigures::ThreePhase(_)), 1) => {
            let help = "leave phases out, or give a motor_model of kind two-winding";
            document.refuse(span, &key, "the motor given is three-phase", help);
            return;
        }
        _ => {}
    }
    let key = if given { key } else { join(&below, "kind") };
    for supply in supplies.iter().filter(|s| load.phases == 3 && s.phases == 1) {
        let message = format!("a three-phase load cannot run on \"{}\", which is single-phase", supply.name);
        let help = "every load is judged on every supply: correct phases, or keep them in two files";
        document.refuse(span.clone(), &key, message, help);
    }
    if load.phases == 3 && load.connection.is_some() {
        let help = "leave connection out: it is for single-phase loads on a three-wire supply";
        let span = document.name_span(at, "connection");
        document.refuse(span, &join(at, "connection"), "a three-phase load has no choice of legs", help);
    }
    if load.phases == 3 && load.starter.assist_capacitor_uf.is_some() {
        let below = join(at, "starter");
        let help = "leave the capacitor out, or check the phases of the load";
        let span = document.name_span(&below, "assist_capacitor_uf");
        let key = join(&below, "assist_capacitor_uf");
        document.refuse(span, &key, "a three-phase motor takes no start capacitor", help);
    }
    if load.phases == 1 && load.starter.kind == StarterKind::StarDelta {
        let span = document.span(&join(at, "starter"), "kind");
        let help = "check the starter, or the phases of the load";
        document.refuse(span, &format!("{at}.starter.kind"), "star-delta needs a three-phase motor", help);
    }
}

/// Refuses rated speeds well above synchronous speed.
fn check_speed(document: &mut Document<'_>, at: &str, load: &LoadFigures, supplies: &[SupplyFigures]) {
    let poles = match &load.motor {
        Some(MotorFigures::TwoWinding(m)) => m.poles,
        Some(MotorFigures::ThreePhase(m)) => m.poles,
        Some(MotorFigures::Plate(m)) => m.poles,
        None => 2,
    };
    let own = load.nameplate.rated_frequency_hz.as_ref().map(|f| f.high.get());
    let hertz =
        own.unwrap_or_else(|| supplies.iter().map(|s| s.frequency_hz.high.get()).fold(f64::NAN, f64::max));
    let synchronous = 120.0 * hertz / f64::from(poles);
    let speed = |t: &Option<LoadTorqueFigures>| t.as_ref().and_then(|t| t.rated_rpm.clone());
    let places = [
        (at.to_owned(), load.nameplate.rated_rpm.clone()),
        (join(at, "load_torque"), speed(&load.load_torque)),
        (join(at, "load_torque_unequal"), speed(&load.load_torque_unequal)),
    ];
    for (place, rpm) in places {
        let Some(rpm) = rpm.filter(|_| document.has(&place, "rated_rpm")) else { continue };
        if rpm.low.get() > OVER_SYNCHRONOUS * synchronous {
            let rpm = rpm.low.get();
            let message =
                format!("{rpm} rpm is above the synchronous speed, {synchronous:.0} rpm ({poles} poles)");
            let help = "check speed, poles and frequency";
            document.refuse(document.span(&place, "rated_rpm"), &join(&place, "rated_rpm"), message, help);
        }
    }
}
