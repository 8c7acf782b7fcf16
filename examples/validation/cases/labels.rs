//! Labels, codes and tables: worked in published copies of the standards.

use startmargin::nameplate::circuit_rules::{
    LargestDevice, hermetic_conductor_a, hermetic_disconnect_a, hermetic_overload_relay_a,
    hermetic_protector_a, motor_conductor_a, motor_disconnect_a, overload_relay_a,
    room_air_conditioner_branch_a, short_circuit_device, switch_size_up, thermal_protector_a,
};
use startmargin::nameplate::labels::{
    Bounds, both, locked_rotor_from_code_letter, rated_load_from_mca, rated_load_from_mocp,
};
use startmargin::standards::nema_mg_1;
use startmargin::standards::nfpa_70::motors::{code_letter, full_load_a, locked_rotor_a};

use super::{Allowed, Evidence, Row, Sheet};

const EXACT: Allowed = Allowed::Part(1e-9);

fn circuits(out: &mut Sheet) {
    out.source =
        "NFPA 70, table 430.7(B), worked in a published copy (seen); amperes by arithmetic".to_owned();
    out.case("20 hp, code letter G");
    let kva = code_letter('G').ok().and_then(|range| range.high).map_or(f64::NAN, |high| 20.0 * high);
    out.add("locked-rotor kVA, upper end", 125.8, kva, Allowed::Size(0.05));
    for (volts, amps) in [(460.0, 157.9), (480.0, 151.3)] {
        let high = locked_rotor_from_code_letter('G', 20.0, volts, 3).map_or(f64::NAN, |d| d.high);
        out.add(&format!("locked-rotor current at {volts} V, A"), amps, high, Allowed::Size(0.05));
    }
    out.source = "NFPA 70, article 440, worked in published copies (seen)".to_owned();
    out.case("compressor of 18 A");
    out.add("conductor, A", 22.5, hermetic_conductor_a(18.0, 0.0), EXACT);
    let LargestDevice { usual_a, ceiling_a } = short_circuit_device(18.0, 0.0);
    out.add("device, A", 30.0, usual_a, EXACT);
    out.add("device if it will not start, A", 40.0, ceiling_a, EXACT);
    out.case("38 A, selection current 40 A");
    out.add("device, A", 70.0, short_circuit_device(38.0, 40.0).usual_a, EXACT);
    out.add("device with the two exchanged, A", 70.0, short_circuit_device(40.0, 38.0).usual_a, EXACT);
    out.case("unit of 29 and 2.5 A");
    let disconnect = hermetic_disconnect_a(29.0, 0.0, 2.5);
    out.add("disconnect, A", 36.2, disconnect, Allowed::Size(0.05));
    out.add("switch, A", 60.0, switch_size_up(disconnect).unwrap_or(f64::NAN), EXACT);
    out.add("disconnect of a motor of 10 A, A", 11.5, motor_disconnect_a(10.0), EXACT);
    out.case("room air conditioner of 12.6 and 12 A");
    for (what, amps, branch) in
        [("circuit of the larger, A", 12.6, 20.0), ("circuit of the smaller, A", 12.0, 15.0)]
    {
        out.add(what, branch, room_air_conditioner_branch_a(amps, false).unwrap_or(f64::NAN), EXACT);
    }
    out.source = "NFPA 70, 430.32(A), 440.52, 430.22 (seen), by hand".to_owned();
    out.case("motor of 16 A, compressor of 18 A (20 A selection)");
    for (what, amps, ours) in [
        ("overload relay, service factor 1.15, A", 20.0, overload_relay_a(16.0, true)),
        ("overload relay otherwise, A", 18.4, overload_relay_a(16.0, false)),
        ("thermal protector, A", 24.96, thermal_protector_a(16.0)),
        ("hermetic relay, A", 25.2, hermetic_overload_relay_a(18.0)),
        ("hermetic protector, A", 31.2, hermetic_protector_a(18.0, 20.0)),
        ("motor conductor, A", 20.0, motor_conductor_a(16.0)),
    ] {
        out.add(what, amps, ours, EXACT);
    }
}

fn labels(out: &mut Sheet) {
    out.source = "a unit marked MCA 44, MOCP 60 (seen), read backwards by hand".to_owned();
    out.case("unit with 12 A of other loads");
    let others = Bounds::exact(12.0);
    let found = rated_load_from_mca(44.0, others)
        .zip(rated_load_from_mocp(60.0, others))
        .and_then(|(mca, mocp)| both(&mca, &mocp))
        .map_or(f64::NAN, |d| d.value);
    out.add("rated-load current by both labels, A", 25.6, found, EXACT);
    let alone = Bounds::exact(0.0);
    let mca = rated_load_from_mca(44.0, alone).map_or(f64::NAN, |d| d.value);
    out.case("the same as a compressor alone");
    out.add("rated-load current by the MCA, A", 35.2, mca, EXACT);
    let mocp = rated_load_from_mocp(60.0, alone);
    let of = |f: Option<f64>| f.unwrap_or(f64::NAN);
    out.add("by the MOCP at most, A", 31.1, of(mocp.as_ref().map(|d| d.high)), Allowed::Size(0.05));
    out.add("by the MOCP at least, A", 26.7, of(mocp.as_ref().map(|d| d.low)), Allowed::Size(0.05));
}

fn tables(out: &mut Sheet) {
    let locked = |hp, volts, phases| locked_rotor_a(hp, volts, phases).unwrap_or(f64::NAN);
    out.source = "NFPA 70, tables 430.251(A) and 430.248 (both seen): six times".to_owned();
    for hp in [0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 7.5, 10.0] {
        for volts in [115.0, 230.0] {
            let full = full_load_a(hp, volts, 1).unwrap_or(f64::NAN);
            out.case(format!("{hp} hp at {volts} V")).together("single phase, nine sizes at 115 and 230 V");
            out.add("locked-rotor current, A", 6.0 * full, locked(hp, volts, 1), EXACT);
        }
    }
    out.source = "NFPA 70, table 430.251(B), and NEMA MG 1, 12.35.1 (both seen)".to_owned();
    for hp in
        [0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0]
    {
        for (volts, allowed) in [(230.0, EXACT), (460.0, Allowed::Size(0.51)), (208.0, Allowed::Size(0.5))] {
            let nema = nema_mg_1::locked_rotor_a(hp, volts).unwrap_or(f64::NAN);
            out.case(format!("{hp} hp at {volts} V"))
                .together(format!("three phases, 18 sizes at {volts} V"));
            out.add("locked-rotor current, A", nema, locked(hp, volts, 3), allowed);
        }
    }
    out.source = "NEMA MG 1, 12.44.1 (seen)".to_owned();
    out.case("230 V motor");
    out.add("least running voltage, V", 207.0, nema_mg_1::LEAST_VOLTAGE * 230.0, EXACT);
    out.add("most running voltage, V", 253.0, nema_mg_1::MOST_VOLTAGE * 230.0, EXACT);
    out.add("least at 208 V, V", 187.0, nema_mg_1::LEAST_VOLTAGE * 208.0, Allowed::Size(0.5));
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let why = "arithmetic: rounding, and half of the last digit printed";
    let mut out = Sheet::new(Evidence::WorkedExample, "", why);
    circuits(&mut out);
    labels(&mut out);
    // a label or a rule is one line of the page, however many figures it has
    for row in &mut out.rows {
        row.line = Some([row.case.clone(), "amperes and the like".to_owned()]);
    }
    tables(&mut out);
    out.rows
}
