//! NFPA 70: ratings of protective devices (240.6(A)) and their limits for motors (430.52).
//!
//! 240.6(A) and table 430.52 seen in two or more published copies, the exceptions of 430.52(C)(1) in one.

use crate::standards::{size_down, size_up};

/// Standard ratings of fuses and inverse-time breakers \[A\], 240.6(A).
pub const STANDARD_A: [f64; 37] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0, 150.0,
    175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0, 700.0, 800.0, 1000.0, 1200.0,
    1600.0, 2000.0, 2500.0, 3000.0, 4000.0, 5000.0, 6000.0,
];

/// Further standard ratings for fuses only \[A\], 240.6(A).
pub const FUSE_ONLY_A: [f64; 5] = [1.0, 3.0, 6.0, 10.0, 601.0];

/// The least standard rating that is not below `a` \[A\]; `None` above 6000 A.
///
/// ```
/// use startmargin::standards::nfpa_70::protection::{standard_size_down, standard_size_up};
/// assert_eq!((standard_size_down(31.5), standard_size_up(31.5)), (Some(30.0), Some(35.0)));
/// ```
pub fn standard_size_up(a: f64) -> Option<f64> {
    size_up(&STANDARD_A, a)
}

/// The largest standard rating that is not above `a` \[A\]; `None` below 15 A.
pub fn standard_size_down(a: f64) -> Option<f64> {
    size_down(&STANDARD_A, a)
}

/// The least standard fuse that is not below `a` \[A\]; `None` above 6000 A.
pub fn fuse_size_up(a: f64) -> Option<f64> {
    let only = size_up(&FUSE_ONLY_A, a);
    standard_size_up(a).map(|size| only.map_or(size, |fuse| fuse.min(size)))
}

/// The largest standard fuse that is not above `a` \[A\]; `None` below 1 A.
pub fn fuse_size_down(a: f64) -> Option<f64> {
    let only = size_down(&FUSE_ONLY_A, a);
    only.map(|fuse| standard_size_down(a).map_or(fuse, |size| size.max(fuse)))
}

/// Kinds of motor of table 430.52.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MotorKind {
    /// Single-phase.
    SinglePhase,
    /// AC polyphase, cage, other than energy-efficient design B.
    Polyphase,
    /// Cage, energy-efficient design B.
    EfficientDesignB,
    /// Synchronous.
    Synchronous,
    /// Wound rotor.
    WoundRotor,
    /// Direct current, constant voltage.
    DirectCurrent,
}

/// Kinds of device of table 430.52.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Device {
    /// Fuse without time delay.
    NonTimeDelayFuse,
    /// Dual-element (time-delay) fuse.
    DualElementFuse,
    /// Breaker with instantaneous trip only.
    InstantaneousTrip,
    /// Inverse-time breaker.
    InverseTimeBreaker,
}

/// Every kind of motor.
pub const KINDS: [MotorKind; 6] = [
    MotorKind::SinglePhase,
    MotorKind::Polyphase,
    MotorKind::EfficientDesignB,
    MotorKind::Synchronous,
    MotorKind::WoundRotor,
    MotorKind::DirectCurrent,
];

/// Every kind of device.
pub const DEVICES: [Device; 4] = [
    Device::NonTimeDelayFuse,
    Device::DualElementFuse,
    Device::InstantaneousTrip,
    Device::InverseTimeBreaker,
];

/// Table 430.52, rows as [`KINDS`], columns as [`DEVICES`].
const PERCENT: [[f64; 4]; 6] = [
    [300.0, 175.0, 800.0, 250.0],
    [300.0, 175.0, 800.0, 250.0],
    [300.0, 175.0, 1100.0, 250.0],
    [300.0, 175.0, 800.0, 250.0],
    [150.0, 150.0, 800.0, 150.0],
    [150.0, 150.0, 250.0, 150.0],
];

/// Largest rating of a short-circuit device in percent of full-load current, table 430.52.
pub fn largest_percent(kind: MotorKind, device: Device) -> f64 {
    PERCENT[kind as usize][device as usize]
}

/// Largest rating \[A\] with exception 1 of 430.52(C)(1): where the percentage meets no standard size, the next larger
/// one. `None` for instantaneous trips, which have a setting instead of a size, and above 6000 A.
pub fn largest_size_a(kind: MotorKind, device: Device, full_load_a: f64) -> Option<f64> {
    let a = full_load_a * largest_percent(kind, device) / 100.0;
    match device {
        Device::InstantaneousTrip => None,
        Device::InverseTimeBreaker => standard_size_up(a),
        Device::NonTimeDelayFuse | Device::DualElementFuse => fuse_size_up(a),
    }
}

/// Percent of full-load current that a device of `rating_a` may not exceed where the motor does not start on the size of
/// the table, exception 2 of 430.52(C)(1). `None` for instantaneous trips, and for fuses above 6000 A.
pub fn largest_percent_if_it_will_not_start(device: Device, rating_a: f64, full_load_a: f64) -> Option<f64> {
    match device {
        Device::NonTimeDelayFuse if rating_a <= 600.0 => Some(400.0),
        Device::DualElementFuse if rating_a <= 600.0 => Some(225.0),
        Device::NonTimeDelayFuse | Device::DualElementFuse => (rating_a <= 6000.0).then_some(300.0),
        Device::InverseTimeBreaker => Some(if full_load_a <= 100.0 { 400.0 } else { 300.0 }),
        Device::InstantaneousTrip => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ratings_add_up_and_end() {
        assert_eq!(STANDARD_A.iter().sum::<f64>(), 32_295.0);
        assert_eq!(FUSE_ONLY_A.iter().sum::<f64>(), 621.0);
        assert!(STANDARD_A.windows(2).all(|w| w[0] < w[1]));
        for size in STANDARD_A {
            assert_eq!((standard_size_up(size), standard_size_down(size)), (Some(size), Some(size)));
        }
        assert_eq!((standard_size_up(0.0), standard_size_down(14.9)), (Some(15.0), None));
        assert_eq!((standard_size_up(6000.1), standard_size_down(1e6)), (None, Some(6000.0)));
        assert_eq!((standard_size_up(f64::NAN), standard_size_down(f64::NAN)), (None, None));
    }

    #[test]
    fn fuses_have_sizes_of_their_own() {
        assert_eq!((fuse_size_up(3.1), fuse_size_down(14.0)), (Some(6.0), Some(10.0)));
        assert_eq!((fuse_size_up(600.5), fuse_size_down(650.0)), (Some(601.0), Some(601.0)));
        assert_eq!((fuse_size_up(10.5), fuse_size_down(0.9)), (Some(15.0), None));
        assert_eq!((fuse_size_up(602.0), fuse_size_down(599.0)), (Some(700.0), Some(500.0)));
        assert_eq!((fuse_size_up(6001.0), fuse_size_down(20.0)), (None, Some(20.0)));
    }

    #[test]
    fn the_percentages_add_up_and_their_rows_are_in_order() {
        assert_eq!(PERCENT.iter().flatten().sum::<f64>(), 8_350.0);
        for (i, kind) in KINDS.into_iter().enumerate() {
            assert_eq!(kind as usize, i);
        }
        for (i, device) in DEVICES.into_iter().enumerate() {
            assert_eq!(device as usize, i);
        }
        assert_eq!(largest_percent(MotorKind::EfficientDesignB, Device::InstantaneousTrip), 1100.0);
        assert_eq!(largest_percent(MotorKind::DirectCurrent, Device::InstantaneousTrip), 250.0);
    }

    #[test]
    fn exceptions_at_their_edges() {
        // 16 A at 250 % is a size, 13.8 A (34.5 A) is not
        let single = |a| largest_size_a(MotorKind::SinglePhase, Device::InverseTimeBreaker, a);
        assert_eq!((single(16.0), single(13.8)), (Some(40.0), Some(35.0)));
        assert_eq!(largest_size_a(MotorKind::Polyphase, Device::DualElementFuse, 2.2), Some(6.0));
        assert_eq!(largest_size_a(MotorKind::Polyphase, Device::InstantaneousTrip, 2.2), None);
        let more = largest_percent_if_it_will_not_start;
        assert_eq!(more(Device::InverseTimeBreaker, 400.0, 100.0), Some(400.0));
        assert_eq!(more(Device::InverseTimeBreaker, 400.0, 100.1), Some(300.0));
        assert_eq!(more(Device::NonTimeDelayFuse, 600.0, 160.0), Some(400.0));
        assert_eq!(more(Device::DualElementFuse, 600.0, 300.0), Some(225.0));
        assert_eq!(more(Device::DualElementFuse, 601.0, 300.0), Some(300.0));
        assert_eq!(more(Device::NonTimeDelayFuse, 6001.0, 300.0), None);
        assert_eq!(more(Device::InstantaneousTrip, 15.0, 3.0), None);
    }
}
