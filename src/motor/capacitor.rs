//! Capacitors of a stalled or running two-winding motor, from the impedances of its windings. Ideal capacitors, sinusoidal
//! voltage; the windings do not feel each other, which holds at standstill and for windings a right angle apart.

use std::f64::consts::TAU;

use num_complex::Complex64;

/// Capacitance \[F\] in series with the auxiliary winding that puts a right angle between the stalled windings' currents:
/// `Xc = Xa + Ra Rm / Xm`. `None` if the main winding has no reactance to lag by, or the auxiliary leads by more already.
///
/// Source: A. E. Fitzgerald, C. Kingsley, S. D. Umans, "Electric Machinery", example 9.1 (the figures seen in a public copy).
///
/// ```
/// use num_complex::Complex64;
/// use startmargin::motor::right_angle_capacitor_farad;
/// let farad = right_angle_capacitor_farad(Complex64::new(4.5, 3.7), Complex64::new(9.5, 3.5), 60.0);
/// assert!((farad.unwrap() - 176.2e-6).abs() < 0.05e-6);
/// ```
pub fn right_angle_capacitor_farad(
    main_ohm: Complex64,
    auxiliary_ohm: Complex64,
    frequency_hz: f64,
) -> Option<f64> {
    if main_ohm.im > 0.0 {
        farad(auxiliary_ohm.im + auxiliary_ohm.re * main_ohm.re / main_ohm.im, frequency_hz)
    } else {
        None
    }
}

/// Capacitance \[F\] in series with the auxiliary winding that makes its current as large as the main winding's and ahead
/// of it: `Xc = Xa + sqrt(|Zm|^2 - Ra^2)`; twice the reactance for two equal windings. `None` if the auxiliary's resistance
/// alone is larger than the main winding's impedance.
///
/// Source: derived; checked against a published exercise.
///
/// ```
/// use num_complex::Complex64;
/// use startmargin::motor::equal_current_capacitor_farad;
/// let z = Complex64::new(3.0, 4.0);
/// let x_ohm = 1.0 / (std::f64::consts::TAU * 60.0 * equal_current_capacitor_farad(z, z, 60.0).unwrap());
/// assert!((x_ohm - 8.0).abs() < 1e-9);
/// ```
pub fn equal_current_capacitor_farad(
    main_ohm: Complex64,
    auxiliary_ohm: Complex64,
    frequency_hz: f64,
) -> Option<f64> {
    let squared = main_ohm.norm_sqr() - auxiliary_ohm.re * auxiliary_ohm.re;
    if squared >= 0.0 { farad(auxiliary_ohm.im + squared.sqrt(), frequency_hz) } else { None }
}

fn farad(x_ohm: f64, frequency_hz: f64) -> Option<f64> {
    let farad = 1.0 / (TAU * frequency_hz * x_ohm);
    (x_ohm > 0.0 && farad.is_finite()).then_some(farad)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn analytic_the_angle_is_right_and_the_currents_equal() {
        let (main, auxiliary) = (Complex64::new(2.0, 5.0), Complex64::new(4.0, 3.0));
        let with = |f: f64| auxiliary - Complex64::new(0.0, 1.0 / (TAU * 50.0 * f));
        let right = with(right_angle_capacitor_farad(main, auxiliary, 50.0).unwrap());
        assert!((main.arg() - right.arg() - TAU / 4.0).abs() < 1e-12);
        let equal = with(equal_current_capacitor_farad(main, auxiliary, 50.0).unwrap());
        assert!((equal.norm() - main.norm()).abs() < 1e-12 && equal.im < 0.0);
    }

    #[test]
    fn where_there_is_none_there_is_none() {
        let z = Complex64::new(1.0, 1.0);
        assert_eq!(right_angle_capacitor_farad(Complex64::new(1.0, 0.0), z, 60.0), None);
        assert_eq!(right_angle_capacitor_farad(z, z, 0.0), None);
        assert_eq!(equal_current_capacitor_farad(z, Complex64::new(2.0, 1.0), 60.0), None);
        assert_eq!(equal_current_capacitor_farad(z, Complex64::new(1.0, -5.0), 60.0), None);
    }
}
