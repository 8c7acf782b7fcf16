//! Low-discrepancy points: Halton's sequence (J. H. Halton, Numerische Mathematik 2 (1960) 84-90).

const PRIMES: [u64; 16] = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53];

/// Coordinate `dimension` (from 0) of point `index` (from 1), in the open interval (0, 1).
///
/// Dimensions beyond 16 reuse the bases with the index shifted; good enough for spreading samples, not for integration.
///
/// ```
/// use startmargin::numeric::quasi_random::halton;
/// assert_eq!([halton(1, 0), halton(2, 0), halton(3, 0)], [0.5, 0.25, 0.75]);
/// ```
pub fn halton(index: u64, dimension: usize) -> f64 {
    let base = PRIMES[dimension % PRIMES.len()];
    let mut i = index + 409 * (dimension / PRIMES.len()) as u64;
    let (mut fraction, mut value) = (1.0, 0.0);
    while i > 0 {
        fraction /= base as f64;
        value += fraction * (i % base) as f64;
        i /= base;
    }
    value
}
