//! NEMA MG 1, motors and generators, 60 Hz.
//!
//! 12.35.1 and 12.44 seen in two or more published copies; 12.33, 12.34 and 12.38 from memory, no page opened. Edition not
//! known.

use super::{OutsideTable, row};

/// 12.35.1: largest locked-rotor current \[A\] of three-phase motors of designs B, C and D at 230 V, by horsepower.
const LOCKED_ROTOR_230: [(f64, f64); 21] = [
    (0.5, 20.0),
    (0.75, 25.0),
    (1.0, 30.0),
    (1.5, 40.0),
    (2.0, 50.0),
    (3.0, 64.0),
    (5.0, 92.0),
    (7.5, 127.0),
    (10.0, 162.0),
    (15.0, 232.0),
    (20.0, 290.0),
    (25.0, 365.0),
    (30.0, 435.0),
    (40.0, 580.0),
    (50.0, 725.0),
    (60.0, 870.0),
    (75.0, 1085.0),
    (100.0, 1450.0),
    (125.0, 1815.0),
    (150.0, 2170.0),
    (200.0, 2900.0),
];

/// Largest locked-rotor current \[A\] of a three-phase motor of design B, C or D, 12.35.1: the table at 230 V, at other
/// rated voltages inversely as the voltage (seen).
///
/// # Errors
/// A size between rows or beyond 1/2 to 200 hp; a voltage that is not above 0.
pub fn locked_rotor_a(hp: f64, volts: f64) -> Result<f64, OutsideTable> {
    const TABLE: &str = "NEMA MG 1 12.35.1";
    if volts > 0.0 {
        let at_230 = row(&LOCKED_ROTOR_230, hp).ok_or(OutsideTable::Size { table: TABLE, hp })?;
        Ok(at_230 * 230.0 / volts)
    } else {
        Err(OutsideTable::Voltage { table: TABLE, volts })
    }
}

/// Lowest running voltage over rated voltage at rated frequency, 12.44.1.
pub const LEAST_VOLTAGE: f64 = 0.9;
/// Highest running voltage over rated voltage at rated frequency, 12.44.1.
pub const MOST_VOLTAGE: f64 = 1.1;
/// Largest departure of frequency at rated voltage, 12.44.1; both together 10 % at most.
pub const FREQUENCY_BAND: f64 = 0.05;

/// Design letter of a single-phase motor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SinglePhaseDesign {
    /// Small motors (12.33).
    O,
    /// Small motors of lower starting current (12.33).
    N,
    /// Medium motors (12.34).
    L,
    /// Medium motors of lower starting current (12.34).
    M,
}

/// 12.33, from memory: 115 V design O and N, 230 V O and N; 0 where there is no figure. The first row is for 1/6 hp and
/// less.
const SMALL: [(f64, [f64; 4]); 6] = [
    (1.0 / 6.0, [50.0, 20.0, 25.0, 12.0]),
    (0.25, [50.0, 26.0, 25.0, 15.0]),
    (1.0 / 3.0, [50.0, 31.0, 25.0, 18.0]),
    (0.5, [50.0, 45.0, 25.0, 25.0]),
    (0.75, [0.0, 61.0, 0.0, 35.0]),
    (1.0, [0.0, 80.0, 0.0, 45.0]),
];

/// 12.34, from memory: 115 V design L, 230 V L and M; 0 where there is no figure.
const MEDIUM: [(f64, [f64; 3]); 9] = [
    (0.5, [45.0, 25.0, 0.0]),
    (0.75, [61.0, 35.0, 0.0]),
    (1.0, [80.0, 45.0, 0.0]),
    (1.5, [0.0, 50.0, 40.0]),
    (2.0, [0.0, 65.0, 50.0]),
    (3.0, [0.0, 90.0, 70.0]),
    (5.0, [0.0, 135.0, 100.0]),
    (7.5, [0.0, 200.0, 150.0]),
    (10.0, [0.0, 260.0, 200.0]),
];

/// Largest locked-rotor current \[A\] of a single-phase motor rated 115 V or 230 V, 12.33 and 12.34, **from memory**.
/// `None` where there is no figure.
pub fn single_phase_locked_rotor_a(hp: f64, volts: f64, design: SinglePhaseDesign) -> Option<f64> {
    use SinglePhaseDesign::{L, M, N, O};
    let high = match volts {
        115.0 => false,
        230.0 => true,
        _ => return None,
    };
    // the first row of 12.33 stands for all smaller motors
    let small = |hp: f64| row(&SMALL, if hp > 0.0 { hp.max(1.0 / 6.0) } else { hp });
    let amps = match (design, high) {
        (O, false) => small(hp)?[0],
        (N, false) => small(hp)?[1],
        (O, true) => small(hp)?[2],
        (N, true) => small(hp)?[3],
        (L, false) => row(&MEDIUM, hp)?[0],
        (L, true) => row(&MEDIUM, hp)?[1],
        (M, true) => row(&MEDIUM, hp)?[2],
        (M, false) => return None,
    };
    (amps > 0.0).then_some(amps)
}

/// 12.38, from memory: least locked-rotor torque of 4-pole motors of designs A and B, percent of full-load torque.
const LOCKED_ROTOR_TORQUE: [(f64, f64); 16] = [
    (1.0, 275.0),
    (1.5, 250.0),
    (2.0, 235.0),
    (3.0, 215.0),
    (5.0, 185.0),
    (7.5, 175.0),
    (10.0, 165.0),
    (15.0, 160.0),
    (20.0, 150.0),
    (25.0, 150.0),
    (30.0, 150.0),
    (40.0, 140.0),
    (50.0, 140.0),
    (60.0, 140.0),
    (75.0, 140.0),
    (100.0, 125.0),
];

/// Least locked-rotor torque of a 4-pole, 60 Hz motor of design A or B in percent of full-load torque, 12.38, **from
/// memory**; `None` for sizes without row.
pub fn least_locked_rotor_torque_percent(hp: f64) -> Option<f64> {
    row(&LOCKED_ROTOR_TORQUE, hp)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::nfpa_70;

    #[test]
    fn the_tables_add_up() {
        assert_eq!(LOCKED_ROTOR_230.iter().map(|r| r.1).sum::<f64>(), 13_527.0);
        assert_eq!(SMALL.iter().flat_map(|r| r.1).sum::<f64>(), 713.0);
        assert_eq!(MEDIUM.iter().flat_map(|r| r.1).sum::<f64>(), 1_701.0);
        assert_eq!(LOCKED_ROTOR_TORQUE.iter().map(|r| r.1).sum::<f64>(), 2_795.0);
    }

    /// Two standards, one table: NFPA 70 table 430.251(B) took its 230 V column from here.
    #[test]
    fn it_equals_the_electrical_code_at_230_v() {
        for (hp, amps) in LOCKED_ROTOR_230.into_iter().filter(|&(hp, _)| hp <= 100.0) {
            assert_eq!(nfpa_70::motors::locked_rotor_a(hp, 230.0, 3), Ok(amps), "{hp} hp");
        }
    }

    #[test]
    fn outside_there_is_nothing() {
        assert_eq!(locked_rotor_a(10.0, 460.0), Ok(81.0));
        assert!(locked_rotor_a(0.4, 230.0).is_err() && locked_rotor_a(250.0, 230.0).is_err());
        assert!(locked_rotor_a(1.0, 0.0).is_err() && locked_rotor_a(1.0, f64::NAN).is_err());
        use SinglePhaseDesign::{L, M, N, O};
        assert_eq!(single_phase_locked_rotor_a(0.1, 115.0, N), Some(20.0));
        assert_eq!(single_phase_locked_rotor_a(0.75, 115.0, O), None);
        assert_eq!(single_phase_locked_rotor_a(1.5, 230.0, M), Some(40.0));
        assert_eq!(single_phase_locked_rotor_a(1.5, 115.0, L), None);
        assert_eq!(single_phase_locked_rotor_a(0.5, 120.0, N), None);
        assert_eq!(single_phase_locked_rotor_a(-1.0, 115.0, N), None);
        assert_eq!(
            (least_locked_rotor_torque_percent(0.5), least_locked_rotor_torque_percent(20.0)),
            (None, Some(150.0))
        );
    }
}
