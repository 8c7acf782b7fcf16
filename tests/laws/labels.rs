//! Rules between labels, forward and back.

use proptest::prelude::*;
use startmargin::nameplate::labels::*;
use startmargin::standards::nfpa_70::protection::{standard_size_down, standard_size_up};

use super::tries;

const LETTERS: [char; 18] =
    ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'R', 'S', 'T', 'U'];
const SIZES: [f64; 19] = [
    1.0 / 6.0,
    0.25,
    1.0 / 3.0,
    0.5,
    0.75,
    1.0,
    1.5,
    2.0,
    3.0,
    5.0,
    7.5,
    10.0,
    15.0,
    20.0,
    25.0,
    30.0,
    40.0,
    50.0,
    100.0,
];

fn in_order(d: &Derived) {
    assert!(d.low <= d.value && d.value <= d.high && d.low >= 0.0 && d.high.is_finite(), "{d:?}");
    assert!(!d.rule.is_empty());
}

fn holds(d: &Derived, a: f64) {
    in_order(d);
    assert!(d.low - 1e-9 <= a && a <= d.high + 1e-9, "{a} A in {d:?}");
}

/// Bounds around a value: down to `below` of it, up to 1 + `above`.
fn around(value: f64, below: f64, above: f64) -> Bounds {
    Bounds { value, low: value * below, high: value * (1.0 + above) }
}

proptest! {
    #![proptest_config(tries(2000))]

    /// MCA and MOCP of a unit, read backwards, hold its rated-load current, each alone and both together.
    #[test]
    fn prop_labels_of_a_unit_read_backwards(
        rated in 4.0..40.0f64, fan in 0.0..3.0f64, below in 0.0..1.0f64, above in 0.0..0.5f64,
    ) {
        let fan = around(fan, below, above);
        let by_mca = rated_load_from_mca(minimum_circuit_ampacity(rated, fan.value).round(), fan).unwrap();
        let by_mocp = rated_load_from_mocp(maximum_protection(rated, fan.value).unwrap(), fan).unwrap();
        holds(&by_mca, rated);
        holds(&by_mocp, rated);
        holds(&both(&by_mca, &by_mocp).unwrap(), rated);
        holds(&both(&by_mocp, &by_mca).unwrap(), rated);
    }

    /// Large fans too, where the MCA and not the MOCP decides the size.
    #[test]
    fn prop_maximum_protection_read_backwards(rated in 0.1..200.0f64, fan in 0.0..100.0f64) {
        let size = maximum_protection(rated, fan).unwrap();
        prop_assert!(size >= minimum_circuit_ampacity(rated, fan) * (1.0 - 1e-9) && size >= 15.0);
        holds(&rated_load_from_mocp(size, Bounds::exact(fan)).unwrap(), rated);
        let device = short_circuit_device(rated, 0.0);
        prop_assert!(device.usual_a <= device.ceiling_a && device.usual_a >= 15.0);
        prop_assert!(device.ceiling_a <= (2.25 * rated).max(15.0) * (1.0 + 1e-9));
    }

    /// An unknown fan within its share holds the current as well.
    #[test]
    fn prop_an_unknown_fan_of_up_to_a_quarter(rated in 4.0..40.0f64, share in 0.0..0.25f64) {
        let mca = 1.25 * rated / (1.0 - share);
        holds(&rated_load_from_mca(mca, unknown_fan(mca)).unwrap(), rated);
    }

    #[test]
    fn prop_rules_give_their_bounds_in_order_and_round_trips_close(
        a in 0.5..200.0f64, volts in 100.0..480.0f64, value in 0.5..0.9f64, below in 0.5..1.0f64, above in 0.0..0.1f64,
        letter in 0..LETTERS.len(), three in any::<bool>(), pf in proptest::option::of(0.05..1.0f64),
    ) {
        let phases = if three { 3 } else { 1 };
        let root = if three { 3f64.sqrt() } else { 1.0 };
        let factor = around(value, below, above);
        let lra = locked_rotor_from_rated(a, around(6.0 * value, below, above), "a class");
        holds(&rated_load_from_locked_rotor(lra.value, around(6.0 * value, below, above), "a class"), a);
        in_order(&lra);
        holds(&rated_load_from_mcc(1.56 * a), a);
        holds(&rated_load_from_mcc(1.44 * a), a);
        let input = root * volts * a * value;
        holds(&rated_load_from_power(input, volts, phases, factor, None).unwrap(), a);
        holds(&rated_load_from_power(input * value, volts, phases, factor, Some(factor)).unwrap(), a);
        in_order(&locked_rotor_from_start_watts(1000.0 * a, volts, phases, pf).unwrap());
        let code = locked_rotor_from_code_letter(LETTERS[letter], a, volts, phases).unwrap();
        in_order(&code);
        // a letter further on is never less
        if let Some(&next) = LETTERS.get(letter + 1) {
            prop_assert!(locked_rotor_from_code_letter(next, a, volts, phases).unwrap().value > code.value);
        }
    }

    /// Up and down are neighbours, and meet on a size.
    #[test]
    fn prop_standard_sizes_close_around_a_current(a in 15.0..6000.0f64) {
        let (down, up) = (standard_size_down(a).unwrap(), standard_size_up(a).unwrap());
        prop_assert!(down <= a * (1.0 + 1e-9) && up >= a * (1.0 - 1e-9));
        prop_assert_eq!(standard_size_up(down), Some(down));
        prop_assert_eq!(standard_size_down(up), Some(up));
        prop_assert!(standard_size_up(down * 1.001).unwrap() >= up);
    }
}

/// More horsepower, not less current; a higher voltage, not more; locked rotor above full load.
#[test]
fn prop_more_horsepower_is_not_less_current() {
    let mut seen = 0;
    for (phases, columns) in [(1, vec![115.0, 200.0, 208.0, 230.0]), (3, vec![200.0, 208.0, 230.0, 460.0])] {
        for rule in [full_load_from_hp, locked_rotor_from_hp] {
            for (i, &volts) in columns.iter().enumerate() {
                let mut last = 0.0;
                for hp in SIZES {
                    let Ok(d) = rule(hp, volts, phases) else { continue };
                    in_order(&d);
                    assert!(d.value > last, "{hp} hp at {volts} V");
                    last = d.value;
                    seen += 1;
                    if let Some(Ok(higher)) = columns.get(i + 1).map(|&v| rule(hp, v, phases)) {
                        assert!(higher.value < d.value, "{hp} hp at {volts} V");
                    }
                    if let (Ok(full), Ok(locked)) =
                        (full_load_from_hp(hp, volts, phases), locked_rotor_from_hp(hp, volts, phases))
                    {
                        assert!(locked.low > 3.0 * full.high);
                    }
                }
            }
        }
    }
    assert!(seen > 150, "{seen}");
}
