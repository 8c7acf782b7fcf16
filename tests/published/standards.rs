//! Worked cases of circuit rules that are no figures; the figures are rows of docs/validation.md.

use startmargin::nameplate::circuit_rules::{maximum_protection, minimum_circuit_ampacity};
use startmargin::nameplate::labels::{Bounds, both, rated_load_from_mca, rated_load_from_mocp, unknown_fan};
use startmargin::standards::iec_60898_1;
use startmargin::standards::nfpa_70::protection::standard_size_up;

use super::near;
use crate::tolerances::CLOSED_FORM;

/// A unit marked MCA 44, MOCP 60 (seen), read backwards. With a compressor and nothing else the labels contradict each other:
/// 35.2 A by the MCA, at most 31.1 A by the MOCP. With 12 A of other loads both say about 25.6 A, which gives both labels.
#[test]
fn worked_labels_of_a_unit_read_backwards() {
    let alone = Bounds::exact(0.0);
    let (mca, mocp) = (rated_load_from_mca(44.0, alone).unwrap(), rated_load_from_mocp(60.0, alone).unwrap());
    assert_eq!(both(&mca, &mocp), None);
    let others = Bounds::exact(12.0);
    let found =
        both(&rated_load_from_mca(44.0, others).unwrap(), &rated_load_from_mocp(60.0, others).unwrap())
            .unwrap();
    near("MCA", minimum_circuit_ampacity(found.value, 12.0), 44.0, CLOSED_FORM, 0.0);
    assert_eq!(maximum_protection(found.value, 12.0), Some(60.0));
    // what is not known of the fan leaves just room enough
    let fan = unknown_fan(44.0);
    let found = both(&rated_load_from_mca(44.0, fan).unwrap(), &rated_load_from_mocp(60.0, fan).unwrap());
    assert!(found.is_some_and(|d| d.low < 26.5 && d.high < 31.2));
}

/// IEC 60364-4-43, 433.1 (seen in a copy): In <= Iz suffices behind a 60898 breaker, whose I2 is 1.45 In.
#[test]
fn worked_conventional_tripping_current_is_the_limit_of_the_installation_rule() {
    assert_eq!(iec_60898_1::TRIPPING, 1.45);
    assert_eq!(iec_60898_1::preferred_up(12.6), Some(13.0));
    assert_eq!(standard_size_up(12.6), Some(15.0));
}
