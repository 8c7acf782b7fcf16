//! UL 489 / NEMA AB 1, moulded-case breakers as used in North American branch circuits.
//!
//! Must-trip times at 200 % seen up to 100 A, from memory above; 135 % and the 300 % field check (NEMA AB 4 / NETA table
//! 100.7) from memory. The standard sets no instantaneous threshold for residential breakers.

/// Ambient temperatures of calibration \[C\]: 25 C, of breakers marked for it 40 C (seen, two or more).
pub const REFERENCE_C: [f64; 2] = [25.0, 40.0];
/// Current a breaker must carry without tripping, multiple of its rating.
pub const HOLDS: f64 = 1.00;
/// Current at which it must trip within the conventional time.
pub const TRIPPING: f64 = 1.35;
/// Multiple above which it may, by common practice, act instantaneously (no source).
pub const MAY_ACT_AT_ONCE: f64 = 5.0;
/// Multiple above which it is taken as certain to act within 0.1 s (assumed).
pub const ACTS_AT_ONCE: f64 = 20.0;
/// Time of an instantaneous trip \[s\] (assumed).
pub const INSTANTANEOUS_S: f64 = 0.1;

/// Rows of `(largest rating \[A\], trip at 135 % \[s\], trip at 200 % \[s\], field check at 300 % up to 250 V \[s\], above)`;
/// no field-check figure is at hand above 225 A.
type Row = (f64, f64, f64, Option<(f64, f64)>);

const ROWS: [Row; 7] = [
    (30.0, 3600.0, 120.0, Some((50.0, 70.0))),
    (50.0, 3600.0, 240.0, Some((80.0, 100.0))),
    (100.0, 7200.0, 360.0, Some((140.0, 160.0))),
    (150.0, 7200.0, 480.0, Some((200.0, 250.0))),
    (225.0, 7200.0, 600.0, Some((230.0, 275.0))),
    (400.0, 7200.0, 720.0, None),
    (600.0, 7200.0, 840.0, None),
];

/// Largest times within which a breaker must trip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MustTrip {
    /// At 135 % of the rating \[s\].
    pub at_135_s: f64,
    /// At 200 % \[s\].
    pub at_200_s: f64,
    /// At 300 %, field check \[s\].
    pub at_300_s: Option<f64>,
}

/// The must-trip times for a rating \[A\] and voltage \[V\]; `None` above 600 A, where the table ends.
pub fn must_trip(rating_a: f64, voltage_v: f64) -> Option<MustTrip> {
    let (_, at_135_s, at_200_s, field) = *ROWS.iter().find(|row| rating_a <= row.0)?;
    let at_300_s = field.map(|(low, high)| if voltage_v <= 250.0 { low } else { high });
    Some(MustTrip { at_135_s, at_200_s, at_300_s })
}

/// Conventional time \[s\]: that of the 135 % test.
pub fn conventional_time_s(rating_a: f64) -> f64 {
    if rating_a <= 50.0 { 3600.0 } else { 7200.0 }
}

/// Typical fast edge of a residential thermal-magnetic breaker, `(multiple, s)`: common practice, no source, from memory;
/// plausible for 15 to 30 A, no evidence for larger frames.
pub const TYPICAL_FAST: [(f64, f64); 5] = [(1.35, 60.0), (2.0, 10.0), (3.0, 3.5), (4.0, 1.7), (5.0, 0.9)];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_adds_up_and_ends() {
        // checksum against a mistyped cell: minutes at 200 %, 2+4+6+8+10+12+14
        assert_eq!(ROWS.iter().map(|r| r.2).sum::<f64>(), 56.0 * 60.0);
        assert_eq!(ROWS.iter().filter_map(|r| r.3).map(|(a, b)| a + b).sum::<f64>(), 1555.0);
        assert_eq!(must_trip(20.0, 120.0).unwrap().at_300_s, Some(50.0));
        assert_eq!(must_trip(601.0, 120.0), None);
    }
}
