//! Ratings of a circuit by NFPA 70, articles 430 and 440: conductors, devices, disconnects, overload limits.
//!
//! Continuous duty, one motor or one unit. Rules seen in published copies unless a function says "from memory". The limits
//! of a unit's label (MCA, MOCP) follow UL 1995 and 60335-2-40, seen in makers' papers only.

use crate::standards::nfpa_70::overload;
use crate::standards::nfpa_70::protection::{
    Device, MotorKind, largest_percent_if_it_will_not_start, largest_size_a, standard_size_down,
    standard_size_up,
};

/// Least device a motor's circuit need come down to \[A\], 440.22(A).
pub const LEAST_DEVICE_A: f64 = 15.0;

/// Least ampacity of the conductors of a single motor \[A\], 430.22: 125 % of full-load current.
pub fn motor_conductor_a(full_load_a: f64) -> f64 {
    1.25 * full_load_a
}

/// Least ampacity of the conductors of a hermetic motor \[A\], 440.32: 125 % of the larger of rated-load current and
/// branch-circuit selection current (0 where none is marked).
pub fn hermetic_conductor_a(rated_load_a: f64, selection_a: f64) -> f64 {
    1.25 * rated_load_a.max(selection_a)
}

/// Least rating of the disconnect of a motor \[A\], 430.110(A): 115 % of full-load current.
pub fn motor_disconnect_a(full_load_a: f64) -> f64 {
    1.15 * full_load_a
}

/// Least rating of the disconnect of a unit \[A\], 440.12: 115 % of the larger of rated-load and branch-circuit selection
/// current, together with the other loads of the unit.
pub fn hermetic_disconnect_a(rated_load_a: f64, selection_a: f64, others_a: f64) -> f64 {
    1.15 * (rated_load_a.max(selection_a) + others_a)
}

/// Usual ratings of enclosed switches \[A\] (NEMA KS 1, from memory).
const SWITCH_A: [f64; 8] = [30.0, 60.0, 100.0, 200.0, 400.0, 600.0, 800.0, 1200.0];

/// The least usual enclosed switch that is not below `a` \[A\]; `None` above 1200 A. Sizes from memory.
pub fn switch_size_up(a: f64) -> Option<f64> {
    SWITCH_A.into_iter().find(|&size| size >= a)
}

/// Largest setting of a motor's overload relay \[A\], 430.32(A)(1): 125 % of full-load current for motors marked with a
/// service factor of 1.15 or more or a rise of 40 C or less, 115 % for all others.
pub fn overload_relay_a(full_load_a: f64, service_factor_or_cool: bool) -> f64 {
    full_load_a * if service_factor_or_cool { overload::DEVICE_COOL } else { overload::DEVICE }
}

/// Largest setting where the motor will not start or carry its load on [`overload_relay_a`], 430.32(C), from memory:
/// 140 % and 130 %.
pub fn overload_relay_stepped_up_a(full_load_a: f64, service_factor_or_cool: bool) -> f64 {
    full_load_a * if service_factor_or_cool { overload::STEPPED_UP_COOL } else { overload::STEPPED_UP }
}

/// Largest ultimate trip current of a thermal protector inside a motor \[A\], 430.32(A)(2): 170 % of full-load current up
/// to 9 A, 156 % up to 20 A, 140 % above.
pub fn thermal_protector_a(full_load_a: f64) -> f64 {
    overload::thermal_protector(full_load_a) * full_load_a
}

/// Largest trip current of a hermetic motor's overload relay \[A\], 440.52(A)(1): 140 % of rated-load current.
pub fn hermetic_overload_relay_a(rated_load_a: f64) -> f64 {
    overload::HERMETIC_RELAY * rated_load_a
}

/// Largest fuse or inverse-time breaker that serves as overload protection of a hermetic motor \[A\], 440.52(A)(3), from
/// memory: 125 % of rated-load current.
pub fn hermetic_overload_device_a(rated_load_a: f64) -> f64 {
    overload::HERMETIC_DEVICE * rated_load_a
}

/// Largest continuous current that a hermetic motor's protector may let through \[A\], 440.52(B): 156 % of the larger of
/// rated-load and branch-circuit selection current.
pub fn hermetic_protector_a(rated_load_a: f64, selection_a: f64) -> f64 {
    overload::HERMETIC_PROTECTOR * rated_load_a.max(selection_a)
}

/// Least standard branch for a room air conditioner \[A\], 440.62: it takes 80 % of the branch's rating at most, 50 % where
/// the branch also feeds others (50 %: from memory). For cord and plug, single phase, up to 250 V and 40 A; `None` above
/// 40 A.
pub fn room_air_conditioner_branch_a(rated_a: f64, shared: bool) -> Option<f64> {
    let share = if shared { 0.5 } else { ROOM_UNIT_SHARE };
    if rated_a <= ROOM_UNIT_A { standard_size_up(rated_a / share) } else { None }
}

/// Minimum circuit ampacity of a unit (MCA) \[A\]: 1.25 times the largest motor's current, and the others'.
pub fn minimum_circuit_ampacity(largest_a: f64, others_a: f64) -> f64 {
    1.25 * largest_a + others_a
}

/// Maximum overcurrent protection of a unit (MOCP) \[A\]: 2.25 times the largest motor's current and the others', rounded
/// **down** to a standard size; at least 15 A, and not below the MCA (then the next size up). `None` above 6000 A.
///
/// ```
/// use startmargin::nameplate::circuit_rules::maximum_protection;
/// assert_eq!(maximum_protection(13.5, 1.5), Some(30.0)); // 31.9 A
/// ```
pub fn maximum_protection(largest_a: f64, others_a: f64) -> Option<f64> {
    let ceiling = 2.25 * largest_a + others_a;
    let down = standard_size_down(ceiling).unwrap_or(LEAST_DEVICE_A);
    let mca = minimum_circuit_ampacity(largest_a, others_a);
    if down >= mca { Some(down) } else { standard_size_up(mca) }
}

/// The short-circuit device a motor's circuit may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LargestDevice {
    /// The usual limit \[A\].
    pub usual_a: f64,
    /// The limit where the motor does not start on that \[A\].
    pub ceiling_a: f64,
}

/// Largest inverse-time breaker of a motor that is no hermetic one, 430.52(C)(1): 250 % of full-load current or the next standard
/// size (exception 1); where the motor does not start on that 400 %, above 100 A 300 %, which is rounded **down** (exception 2).
/// Cage motors of one phase and of three have the same shares. `None` above 6000 A.
pub fn motor_breaker(full_load_a: f64) -> Option<LargestDevice> {
    let breaker = Device::InverseTimeBreaker;
    let usual_a = largest_size_a(MotorKind::SinglePhase, breaker, full_load_a)?;
    let percent = largest_percent_if_it_will_not_start(breaker, usual_a, full_load_a)?;
    let most = standard_size_down(full_load_a * percent / 100.0).unwrap_or(usual_a);
    Some(LargestDevice { usual_a, ceiling_a: most.max(usual_a) })
}

/// Largest device of a unit with a hermetic motor that states none, 440.22(B): as [`short_circuit_device`], with the currents of what
/// else is in it on top, and not below its minimum circuit ampacity. `None` above 6000 A.
pub fn unit_device(rated_load_a: f64, selection_a: f64, others_a: f64) -> Option<LargestDevice> {
    let largest_a = rated_load_a.max(selection_a);
    let ceiling_a = maximum_protection(largest_a, others_a)?;
    let usual_a = standard_size_down(1.75 * largest_a + others_a).unwrap_or(LEAST_DEVICE_A);
    let mca = minimum_circuit_ampacity(largest_a, others_a);
    let usual_a = if usual_a >= mca { usual_a } else { standard_size_up(mca)? };
    Some(LargestDevice { usual_a, ceiling_a: ceiling_a.max(usual_a) })
}

/// Largest branch of a general-purpose circuit \[A\]: small motors and appliances by cord and plug may be on one whatever
/// their own limit (210.23, 430.53(A); from memory).
pub const GENERAL_PURPOSE_A: f64 = 20.0;

/// Share of a branch's rating that a room air conditioner by cord and plug may take, alone on it: 440.62(B).
pub const ROOM_UNIT_SHARE: f64 = 0.8;
/// The largest such unit \[A\], 440.62(A).
pub const ROOM_UNIT_A: f64 = 40.0;
/// The highest voltage of such a unit \[V\], 440.62(A).
pub const ROOM_UNIT_V: f64 = 250.0;

/// Largest short-circuit device of a hermetic motor, 440.22(A): 175 % of the larger of rated-load and branch-circuit
/// selection current, 225 % if it will not start; rounded **down** (as taught in every copy but one, which allows the
/// next size up), never below 15 A.
pub fn short_circuit_device(rated_load_a: f64, selection_a: f64) -> LargestDevice {
    let a = rated_load_a.max(selection_a);
    let down = |share: f64| standard_size_down(share * a).unwrap_or(LEAST_DEVICE_A);
    LargestDevice { usual_a: down(1.75), ceiling_a: down(2.25) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_change_at_their_edges() {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(near(thermal_protector_a(9.0), 15.3) && near(thermal_protector_a(9.1), 14.196));
        assert!(near(thermal_protector_a(20.0), 31.2) && near(thermal_protector_a(20.1), 28.14));
        assert!(near(overload_relay_a(10.0, true), 12.5) && near(overload_relay_a(10.0, false), 11.5));
        assert!(near(overload_relay_stepped_up_a(10.0, true), 14.0));
        assert!(near(overload_relay_stepped_up_a(10.0, false), 13.0));
        assert!(near(hermetic_overload_relay_a(10.0), 14.0) && near(hermetic_overload_device_a(10.0), 12.5));
        assert!(near(hermetic_protector_a(10.0, 12.0), 18.72) && near(motor_conductor_a(16.0), 20.0));
        assert_eq!(
            (room_air_conditioner_branch_a(40.0, false), room_air_conditioner_branch_a(40.1, false)),
            (Some(50.0), None)
        );
        assert_eq!(room_air_conditioner_branch_a(12.0, true), Some(25.0));
        assert_eq!(
            (switch_size_up(30.0), switch_size_up(30.1), switch_size_up(1201.0)),
            (Some(30.0), Some(60.0), None)
        );
    }

    #[test]
    fn small_units_get_fifteen_amperes_and_others_never_less_than_their_mca() {
        assert_eq!(maximum_protection(2.0, 1.0), Some(15.0));
        assert_eq!(short_circuit_device(4.0, 0.0), LargestDevice { usual_a: 15.0, ceiling_a: 15.0 });
        assert_eq!(unit_device(4.0, 0.0, 0.5), Some(LargestDevice { usual_a: 15.0, ceiling_a: 15.0 }));
        // 15.75 A and 16.75 A: the size below the second is below the first
        assert_eq!(maximum_protection(1.0, 14.5), Some(20.0));
        assert_eq!(maximum_protection(1e4, 0.0), None);
    }
}
