//! UL 984, replaced by UL 60335-2-34 (names of the standards from memory): hermetic refrigerant compressors.
//!
//! The rated-load current (RLC, RLA) of a hermetic compressor is a figure calculated from the maximum continuous current
//! (MCC) that its protector lets through, not its running current (seen in two or more published sources).

/// MCC over rated-load current by the rule of UL (seen in two or more published sources). 440.52(B) of NFPA 70 has the
/// same 156 % as the ceiling of the continuous current.
pub const MCC_OVER_RATED_LOAD: f64 = 1.56;
/// MCC over rated-load current as some makers state it (seen in two or more published sources).
pub const MCC_OVER_RATED_LOAD_SOME_MAKERS: f64 = 1.44;

#[cfg(test)]
mod tests {
    use super::*;

    /// A guard against edits; 1.40 is another figure, the limit of an overload relay (NFPA 70, 440.52(A)(1)).
    #[test]
    fn the_two_ratios() {
        assert_eq!([MCC_OVER_RATED_LOAD, MCC_OVER_RATED_LOAD_SOME_MAKERS], [1.56, 1.44]);
    }
}
