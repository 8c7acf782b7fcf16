//! IEC 60034-1 and 60034-12, rotating machines: locked-rotor current.
//!
//! The tolerance of 60034-1 and the limits of 60034-12 (edition of 2002) from memory; later editions of 60034-12 have
//! further designs with higher limits. The first peak (60034-12, note 4) seen in two or more published copies.

/// Largest locked-rotor current over the declared one, 60034-1 (from memory).
pub const LOCKED_ROTOR_TOLERANCE: f64 = 1.2;

/// First asymmetrical peak over the steady locked-rotor rms current, 60034-12, note 4: lowest and highest.
pub const FIRST_PEAK: [f64; 2] = [1.8, 2.8];

/// Largest apparent power with locked rotor over rated output \[kVA/kW\], design N, 60034-12 (2002, from memory): rows of
/// largest output \[kW\] and limit.
const DESIGN_N: [(f64, f64); 4] = [(6.3, 13.0), (25.0, 12.0), (63.0, 11.0), (630.0, 10.0)];

/// Largest apparent power with locked rotor over rated output \[kVA/kW\] of design N, from memory. `None` at or below
/// 0.4 kW and above 630 kW, where the table ends.
pub fn design_n_kva_per_kw(output_kw: f64) -> Option<f64> {
    if output_kw > 0.4 { DESIGN_N.iter().find(|r| output_kw <= r.0).map(|r| r.1) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_adds_up_and_ends() {
        assert_eq!(DESIGN_N.iter().map(|r| r.0 + r.1).sum::<f64>(), 770.3);
        assert_eq!((design_n_kva_per_kw(0.4), design_n_kva_per_kw(0.41)), (None, Some(13.0)));
        assert_eq!((design_n_kva_per_kw(6.3), design_n_kva_per_kw(6.31)), (Some(13.0), Some(12.0)));
        assert_eq!((design_n_kva_per_kw(630.0), design_n_kva_per_kw(631.0)), (Some(10.0), None));
        assert_eq!(design_n_kva_per_kw(f64::NAN), None);
    }
}
