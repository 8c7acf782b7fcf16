//! Bracketed roots: Brent's method (R. P. Brent, "Algorithms for Minimization without Derivatives", 1973, chapter 4).

/// The root of `f` between `a` and `b`, where `f(a)` and `f(b)` differ in sign; `None` if they do not.
///
/// Ends when the bracket is narrower than `within`. The bracket holds the root at every moment, whatever `f` does.
///
/// ```
/// let root = startmargin::numeric::root::bracketed(|x| x * x - 2.0, 0.0, 2.0, 1e-12).unwrap();
/// assert!((root - 2f64.sqrt()).abs() < 1e-11);
/// ```
pub fn bracketed(mut f: impl FnMut(f64) -> f64, a: f64, b: f64, within: f64) -> Option<f64> {
    let (mut a, mut b) = (a, b);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Some(a);
    }
    if fb == 0.0 {
        return Some(b);
    }
    // a NaN at either end has no sign to differ: no bracket
    if fa.is_nan() || fb.is_nan() || fa.signum() == fb.signum() {
        return None;
    }
    let (mut c, mut fc) = (a, fa);
    let (mut d, mut e) = (b - a, b - a);
    for _ in 0..200 {
        if fb.signum() == fc.signum() {
            (c, fc) = (a, fa);
            d = b - a;
            e = d;
        }
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let tolerance = 2.0 * f64::EPSILON * b.abs() + 0.5 * within;
        let half = 0.5 * (c - b);
        if half.abs() <= tolerance || fb == 0.0 {
            return Some(b);
        }
        if e.abs() >= tolerance && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if a == c {
                (2.0 * half * s, 1.0 - s)
            } else {
                let (q, r) = (fa / fc, fb / fc);
                (s * (2.0 * half * q * (q - r) - (b - a) * (r - 1.0)), (q - 1.0) * (r - 1.0) * (s - 1.0))
            };
            if p > 0.0 {
                q = -q;
            } else {
                p = -p;
            }
            if 2.0 * p < (3.0 * half * q - (tolerance * q).abs()).min((e * q).abs()) {
                e = d;
                d = p / q;
            } else {
                d = half;
                e = half;
            }
        } else {
            d = half;
            e = half;
        }
        (a, fa) = (b, fb);
        b += if d.abs() > tolerance { d } else { tolerance.copysign(half) };
        fb = f(b);
    }
    Some(b)
}

/// The edge between `good`, where `holds` is true, and `bad`, where it is not, to within `within`; the value returned
/// is on the good side.
pub fn edge(mut holds: impl FnMut(f64) -> bool, good: f64, bad: f64, within: f64) -> f64 {
    let (mut good, mut bad) = (good, bad);
    while (bad - good).abs() > within {
        let middle = 0.5 * (good + bad);
        if middle == good || middle == bad {
            break;
        }
        if holds(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn analytic_roots() {
        let r = bracketed(|x: f64| x.cos() - x, 0.0, 1.0, 1e-13).unwrap();
        assert!((r - 0.739_085_133_215_160_6).abs() < 1e-12);
        // a step: the bracket must close on it all the same
        let r = bracketed(|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0, 1e-9).unwrap();
        assert!((r - 0.3).abs() < 1e-8);
        assert_eq!(bracketed(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(bracketed(|_| f64::NAN, -1.0, 1.0, 1e-9), None);
    }

    #[test]
    fn edge_stays_on_the_good_side() {
        let e = edge(|x| x < 0.7, 0.0, 1.0, 1e-9);
        assert!(e < 0.7 && 0.7 - e < 2e-9);
    }
}
