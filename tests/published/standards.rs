//! Worked cases of circuit rules and tables. Figures copied here once more, apart from those in src/standards.

use startmargin::nameplate::circuit_rules::*;
use startmargin::nameplate::labels::{
    Bounds, both, locked_rotor_from_code_letter, rated_load_from_mca, rated_load_from_mocp, unknown_fan,
};
use startmargin::standards::nfpa_70::motors::{code_letter, full_load_a, locked_rotor_a};
use startmargin::standards::nfpa_70::protection::standard_size_up;
use startmargin::standards::{iec_60898_1, nema_mg_1};

use super::near;
use crate::tolerances::CLOSED_FORM;

/// NFPA 70 table 430.7(B), worked in a published copy: 20 hp, code letter G, upper end 6.29: 125.8 kVA (seen); 157.9 A at
/// 460 V and 151.3 A at 480 V by arithmetic. The page prints 158 A beside a formula with 480 V.
#[test]
fn worked_twenty_horsepower_of_code_letter_g() {
    near("kVA", 20.0 * code_letter('G').unwrap().high.unwrap(), 125.8, 0.0, 0.05);
    for (volts, amps) in [(460.0, 157.9), (480.0, 151.3)] {
        let d = locked_rotor_from_code_letter('G', 20.0, volts, 3).unwrap();
        near("A", d.high, amps, 0.0, 0.05);
    }
}

/// NFPA 70, article 440, worked in published copies (seen): 18 A rated-load current asks for 22.5 A of conductor and gets a
/// 30 A device (31.5 A), 40 A if it will not start (40.5 A): sizes are rounded down.
#[test]
fn worked_circuit_of_an_eighteen_ampere_compressor() {
    near("conductor", hermetic_conductor_a(18.0, 0.0), 22.5, CLOSED_FORM, 0.0);
    assert_eq!(short_circuit_device(18.0, 0.0), HermeticDevice { usual_a: 30.0, ceiling_a: 40.0 });
}

/// 440.22(A), seen: rated-load current 38 A, branch-circuit selection current 40 A: 70 A.
#[test]
fn worked_selection_current_decides() {
    assert_eq!(short_circuit_device(38.0, 40.0).usual_a, 70.0);
    assert_eq!(short_circuit_device(40.0, 38.0).usual_a, 70.0);
}

/// 440.12, seen: (29 + 2.5) x 1.15 = 36.2 A, a 60 A switch.
#[test]
fn worked_disconnect_of_a_unit() {
    let a = hermetic_disconnect_a(29.0, 0.0, 2.5);
    near("disconnect", a, 36.2, 0.0, 0.05);
    assert_eq!(switch_size_up(a), Some(60.0));
    near("430.110", motor_disconnect_a(10.0), 11.5, CLOSED_FORM, 0.0);
}

/// 440.62, seen: a room air conditioner of 1512 VA at 120 V takes 12.6 A, which asks for 15.75 A: a 20 A circuit.
#[test]
fn worked_room_air_conditioner() {
    near("A", 1512.0 / 120.0, 12.6, CLOSED_FORM, 0.0);
    near("A", 12.6 / 0.8, 15.75, CLOSED_FORM, 0.0);
    assert_eq!(room_air_conditioner_branch_a(12.6, false), Some(20.0));
    assert_eq!(room_air_conditioner_branch_a(12.0, false), Some(15.0));
}

/// A unit marked MCA 44, MOCP 60 (seen), read backwards. With a compressor and nothing else the labels contradict each other:
/// 35.2 A by the MCA, at most 31.1 A by the MOCP. With 12 A of other loads both say about 25.6 A, which gives both labels.
#[test]
fn worked_labels_of_a_unit_read_backwards() {
    let alone = Bounds::exact(0.0);
    let (mca, mocp) = (rated_load_from_mca(44.0, alone).unwrap(), rated_load_from_mocp(60.0, alone).unwrap());
    near("MCA", mca.value, 35.2, CLOSED_FORM, 0.0);
    near("MOCP", mocp.high, 31.1, 0.0, 0.05);
    near("MOCP", mocp.low, 26.7, 0.0, 0.05);
    assert_eq!(both(&mca, &mocp), None);
    let others = Bounds::exact(12.0);
    let found =
        both(&rated_load_from_mca(44.0, others).unwrap(), &rated_load_from_mocp(60.0, others).unwrap())
            .unwrap();
    near("both", found.value, 25.6, CLOSED_FORM, 0.0);
    near("MCA", minimum_circuit_ampacity(found.value, 12.0), 44.0, CLOSED_FORM, 0.0);
    assert_eq!(maximum_protection(found.value, 12.0), Some(60.0));
    // what is not known of the fan leaves just room enough
    let fan = unknown_fan(44.0);
    let found = both(&rated_load_from_mca(44.0, fan).unwrap(), &rated_load_from_mocp(60.0, fan).unwrap());
    assert!(found.is_some_and(|d| d.low < 26.5 && d.high < 31.2));
}

/// Table 430.251(A) at 115 and 230 V is 6.0 times table 430.248 (derived; both tables seen).
#[test]
fn worked_single_phase_locked_rotor_is_six_times_full_load() {
    for hp in [0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 7.5, 10.0] {
        for volts in [115.0, 230.0] {
            let (locked, full) = (locked_rotor_a(hp, volts, 1).unwrap(), full_load_a(hp, volts, 1).unwrap());
            near(&format!("{hp} hp at {volts} V"), locked, 6.0 * full, CLOSED_FORM, 0.0);
        }
    }
}

/// Table 430.251(B) at 230 V is NEMA MG 1 12.35.1 (both seen); at 460 V half of it, and at 208 V 230/208
/// of it, to the ampere.
#[test]
fn worked_two_standards_agree_on_three_phase_locked_rotor_current() {
    for hp in
        [0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0]
    {
        let what = format!("{hp} hp");
        let nema = nema_mg_1::locked_rotor_a(hp, 230.0).unwrap();
        near(&what, locked_rotor_a(hp, 230.0, 3).unwrap(), nema, CLOSED_FORM, 0.0);
        near(
            &what,
            locked_rotor_a(hp, 460.0, 3).unwrap(),
            nema_mg_1::locked_rotor_a(hp, 460.0).unwrap(),
            0.0,
            0.51,
        );
        near(
            &what,
            locked_rotor_a(hp, 208.0, 3).unwrap(),
            nema_mg_1::locked_rotor_a(hp, 208.0).unwrap(),
            0.0,
            0.5,
        );
    }
}

/// NEMA MG 1 12.44.1 (seen): a 230 V motor runs from 207 to 253 V; 208 V less a tenth is 187 V.
#[test]
fn worked_running_voltage_of_a_230_v_motor() {
    near("V", nema_mg_1::LEAST_VOLTAGE * 230.0, 207.0, CLOSED_FORM, 0.0);
    near("V", nema_mg_1::MOST_VOLTAGE * 230.0, 253.0, CLOSED_FORM, 0.0);
    near("V", nema_mg_1::LEAST_VOLTAGE * 208.0, 187.0, 0.0, 0.5);
}

/// Overload limits, 430.32(A) and 440.52 (seen), by hand.
#[test]
fn worked_overload_limits() {
    near("relay", overload_relay_a(16.0, true), 20.0, CLOSED_FORM, 0.0);
    near("relay", overload_relay_a(16.0, false), 18.4, CLOSED_FORM, 0.0);
    near("protector", thermal_protector_a(16.0), 24.96, CLOSED_FORM, 0.0);
    near("hermetic relay", hermetic_overload_relay_a(18.0), 25.2, CLOSED_FORM, 0.0);
    near("hermetic protector", hermetic_protector_a(18.0, 20.0), 31.2, CLOSED_FORM, 0.0);
    near("motor conductor", motor_conductor_a(16.0), 20.0, CLOSED_FORM, 0.0);
}

/// IEC 60364-4-43, 433.1 (seen in a copy): In <= Iz suffices behind a 60898 breaker, whose I2 is 1.45 In.
#[test]
fn worked_conventional_tripping_current_is_the_limit_of_the_installation_rule() {
    assert_eq!(iec_60898_1::TRIPPING, 1.45);
    assert_eq!(iec_60898_1::preferred_up(12.6), Some(13.0));
    assert_eq!(standard_size_up(12.6), Some(15.0));
}
