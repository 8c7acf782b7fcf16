//! Thermal trip models: one body, or an element on a body, heated by the square of the current.
//!
//! Heat is counted in shares of what trips: a current at the pickup, held for ever, brings the element just to 1.
//! Between two moments the current is a straight line and the step is exact. Equations, source and limits: docs/models.md,
//! "Overload protectors".

use crate::numeric::root;

/// How warm a protector is, in shares of what trips it. Cold is the default.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Heat {
    /// What trips: at 1 it opens.
    pub element: f64,
    /// What the element sits on; unused by one body.
    pub body: f64,
}

/// A way in which the heat dies away by itself: a sum over element and body that falls by its own rate.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Mode {
    /// Rate at which it dies away \[1/s\].
    rate: f64,
    /// Weight of the body in it; that of the element is `of_element`.
    of_body: f64,
}

/// A thermal trip model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thermal {
    pickup_a: f64,
    /// Weight of the element in every mode.
    of_element: f64,
    /// How fast the square of current over pickup heats the element \[1/s\].
    heating: f64,
    modes: Modes,
    /// Heat of the body over that of the element once nothing moves.
    settled_body: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Modes {
    One(Mode),
    Two([Mode; 2]),
}

/// Longest time looked at \[s\]: a trip beyond it (a day) is none.
const FAR_S: f64 = 86_400.0;
/// Width, of the time itself, to which times are found.
const NEAR: f64 = 1e-13;
/// Halvings until an interval is down to rounding.
const HALVINGS: u32 = 200;

/// `1 / n`: divisions are what a step would mostly consist of.
const ONE_OVER: [f64; 18] = {
    let mut table = [0.0; 18];
    let mut n = 1;
    while n < 18 {
        table[n] = 1.0 / n as f64;
        n += 1;
    }
    table
};

/// `e^z`, `phi1`, `phi2`, `phi3` of `z` <= 0: `phi1 = (e^z - 1) / z`, `phi(n+1) = (phi(n) - 1/n!) / z`.
fn phis(z: f64) -> [f64; 4] {
    if z > -0.5 {
        // phi3 by its series, since the differences cancel here, the others from it; the term after the last is below 1e-16
        // of the first. A row of a trace is mostly far shorter than a time constant
        let terms = if z > -0.01 { 5 } else { 12 };
        let mut sum = 1.0;
        for n in (0..terms).rev() {
            sum = 1.0 + sum * z * ONE_OVER[n + 4];
        }
        let three = sum / 6.0;
        let two = 0.5 + z * three;
        let one = 1.0 + z * two;
        return [1.0 + z * one, one, two, three];
    }
    let one = z.exp_m1() / z;
    let two = (one - 1.0) / z;
    [z.exp(), one, two, (two - 0.5) / z]
}

impl Thermal {
    /// One body of time constant `tau_s` \[s\], which a current at `pickup_a` \[A\] for ever just trips.
    pub fn one_body(pickup_a: f64, tau_s: f64) -> Thermal {
        Thermal {
            pickup_a,
            of_element: 1.0,
            heating: 1.0 / tau_s,
            modes: Modes::One(Mode { rate: 1.0 / tau_s, of_body: 0.0 }),
            settled_body: 0.0,
        }
    }

    /// An element of time constant `element_s` \[s\] on a body of time constant `body_s` \[s\]; of its heat at the pickup the
    /// `share` (above 0, below 1) is against the body, the rest is the body's own.
    pub fn two_body(pickup_a: f64, element_s: f64, body_s: f64, share: f64) -> Thermal {
        let fast = 1.0 / element_s;
        let given_back = (1.0 - share) / (share * body_s);
        let drained = 1.0 / (share * body_s);
        // weights g of the body: g^2 + (drained - fast) g - given_back fast = 0, without cancellation
        let (half, product) = (0.5 * (fast - drained), given_back * fast);
        let root = (half * half + product).sqrt();
        let (up, down) = if half >= 0.0 {
            (half + root, -product / (half + root))
        } else {
            (product / (root - half), half - root)
        };
        // their rates fast - g; the slower by the product of both, fast / body_s
        let quick = fast - down;
        Thermal {
            pickup_a,
            of_element: given_back,
            heating: share * fast,
            modes: Modes::Two([
                Mode { rate: quick, of_body: down },
                Mode { rate: fast / (body_s * quick), of_body: up },
            ]),
            settled_body: 1.0 - share,
        }
    }

    /// One body that trips after `trip_s` \[s\] from cold at `locked_a` \[A\]; `None` at or below the pickup.
    pub fn one_body_by_stall(pickup_a: f64, locked_a: f64, trip_s: f64) -> Option<Thermal> {
        let k2 = (locked_a / pickup_a).powi(2);
        (k2 > 1.0).then(|| Thermal::one_body(pickup_a, trip_s / -(-1.0 / k2).ln_1p()))
    }

    /// The same with a body: the element's time constant is what makes it trip after `trip_s` \[s\]. `None` where the current
    /// does not trip it, or the body alone keeps it longer.
    pub fn two_body_by_stall(
        pickup_a: f64,
        locked_a: f64,
        trip_s: f64,
        body_s: f64,
        share: f64,
    ) -> Option<Thermal> {
        if locked_a <= pickup_a {
            return None;
        }
        // from cold the element only warms, the slower the larger its time constant: it is to be at 1 by then
        let with = |log: f64| Thermal::two_body(pickup_a, log.exp(), body_s, share);
        let beyond = |log: f64| with(log).step(Heat::default(), locked_a, locked_a, trip_s).element - 1.0;
        // an element without heat of its own takes the least
        let found = root::bracketed(beyond, (1e-9 * body_s).ln(), body_s.ln(), NEAR)?;
        Some(with(found))
    }

    /// The largest current it carries for ever \[A\].
    pub fn pickup_a(&self) -> f64 {
        self.pickup_a
    }

    fn heat_of(&self, amps: f64) -> f64 {
        (amps / self.pickup_a).powi(2)
    }

    /// The heat a current \[A\] held for ever ends at.
    pub fn steady(&self, amps: f64) -> Heat {
        let element = self.heat_of(amps);
        Heat { element, body: self.settled_body * element }
    }

    /// The heat after `s` \[s\] in which the current goes in a straight line from one value to the other \[A\].
    pub fn step(&self, heat: Heat, from_a: f64, to_a: f64, s: f64) -> Heat {
        if s <= 0.0 {
            return heat;
        }
        let (a, by) = (from_a / self.pickup_a, (to_a - from_a) / self.pickup_a);
        let moved = |mode: Mode| {
            let [left, one, two, three] = phis(-mode.rate * s);
            let pushed = a * a * one + 2.0 * a * by * two + 2.0 * by * by * three;
            let before = self.of_element * heat.element + mode.of_body * heat.body;
            left * before + self.of_element * self.heating * s * pushed
        };
        match self.modes {
            Modes::One(mode) => Heat { element: moved(mode), body: 0.0 },
            Modes::Two([quick, slow]) => {
                let (q, l) = (moved(quick), moved(slow));
                let body = (l - q) / (slow.of_body - quick.of_body);
                Heat { element: (q - quick.of_body * body) / self.of_element, body }
            }
        }
    }

    /// The heat after `s` \[s\] without current.
    pub fn rest(&self, heat: Heat, s: f64) -> Heat {
        self.step(heat, 0.0, 0.0, s)
    }

    /// How fast the element warms at a current \[1/s\].
    fn warms(&self, heat: Heat, amps: f64) -> f64 {
        let lost = match self.modes {
            Modes::One(_) => heat.element,
            // heating is the share over the element's time constant
            Modes::Two(_) => (heat.element - heat.body) / (1.0 - self.settled_body),
        };
        self.heating * (self.heat_of(amps) - lost)
    }

    /// No more than this does the element warm from `heat` in a course of such a largest current \[A\] and such an integral of
    /// its square \[A^2 s\]: as if nothing were lost, and as if the largest current went on.
    pub fn at_most(&self, heat: Heat, largest_a: f64, i2t: f64) -> f64 {
        // a body no warmer than its element never gets warmer; one that is gives back what is in no integral
        if heat.body > heat.element {
            return f64::INFINITY;
        }
        let by_body = if heat.body > 0.0 { heat.body / self.settled_body } else { 0.0 };
        let steady = self.heat_of(largest_a).max(heat.element).max(by_body);
        (heat.element + self.heating * i2t / (self.pickup_a * self.pickup_a)).min(steady)
    }

    /// No less than this has the element at the end of a course of such an integral \[A^2 s\] and duration \[s\]: as if all
    /// of it had come first, over a cold body.
    pub fn at_least(&self, heat: Heat, i2t: f64, s: f64) -> f64 {
        let kept = heat.element + self.heating * i2t / (self.pickup_a * self.pickup_a);
        // heating is the share over the element's time constant
        kept * (-self.heating / (1.0 - self.settled_body) * s).exp()
    }

    /// The warmest the element gets on the way of [`Thermal::step`], its ends included.
    pub fn warmest(&self, heat: Heat, from_a: f64, to_a: f64, s: f64) -> f64 {
        self.passes(heat, from_a, to_a, s).0
    }

    /// The same, with the heat at the end: both for the price of one step.
    pub fn passes(&self, heat: Heat, from_a: f64, to_a: f64, s: f64) -> (f64, Heat) {
        let end = self.step(heat, from_a, to_a, s);
        let ends = heat.element.max(end.element);
        // a top between the ends shows by the element warming at first and cooling at last
        if s <= 0.0 || self.warms(end, to_a) >= 0.0 || self.warms(heat, from_a) <= 0.0 {
            return (ends, end);
        }
        let at = |t: f64| {
            let amps = from_a + (to_a - from_a) * (t / s);
            (self.step(heat, from_a, amps, t), amps)
        };
        let (mut low, mut high) = (0.0, s);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            let (there, amps) = at(middle);
            if self.warms(there, amps) > 0.0 { low = middle } else { high = middle }
        }
        (ends.max(at(low).0.element), end)
    }

    /// When it trips on the way of [`Thermal::step`] \[s\]; `None` if it does not.
    pub fn trips_on_the_way(&self, heat: Heat, from_a: f64, to_a: f64, s: f64) -> Option<f64> {
        if heat.element >= 1.0 {
            return Some(0.0);
        }
        if self.warmest(heat, from_a, to_a, s) < 1.0 {
            return None;
        }
        // up to the first moment at 1 or above the element is below 1
        let there = |t: f64| {
            let amps = from_a + (to_a - from_a) * (t / s);
            self.warmest(heat, from_a, amps, t) >= 1.0
        };
        Some(first(there, 0.0, s))
    }

    /// When a current \[A\] held from now on trips it \[s\]; `None` if it does not within a day.
    pub fn trips_in(&self, heat: Heat, amps: f64) -> Option<f64> {
        if heat.element >= 1.0 {
            return Some(0.0);
        }
        let k2 = self.heat_of(amps);
        if k2 <= 1.0 {
            return None;
        }
        if let Modes::One(mode) = self.modes {
            // ln((k2 - h) / (k2 - 1)), without cancellation where k2 is large
            let s = ((1.0 - heat.element) / (k2 - 1.0)).ln_1p() / mode.rate;
            return (s <= FAR_S).then_some(s);
        }
        let there = |t: f64| self.step(heat, amps, amps, t).element >= 1.0;
        there(FAR_S).then(|| first(there, 0.0, FAR_S))
    }

    /// The least rest \[s\] after which what `warmest` finds from the heat left is no more than 1 or `within` above it, given that
    /// a longer rest is never worse; `None` if not within a day.
    pub fn rest_until(&self, heat: Heat, within: f64, warmest: impl Fn(Heat) -> f64) -> Option<f64> {
        let after = |t: f64| warmest(self.rest(heat, t));
        if after(0.0) <= 1.0 + within {
            return Some(0.0);
        }
        let least = after(FAR_S);
        if least > 1.0 + within {
            return None;
        }
        // not below what no rest does away with
        let beyond = |t: f64| after(t) - least.max(1.0);
        let (mut low, mut high) = (0.0, 1.0);
        while high < FAR_S && beyond(high) > 0.0 {
            (low, high) = (high, 4.0 * high);
        }
        root::bracketed(beyond, low, high.min(FAR_S), NEAR * high)
    }
}

/// The first moment at which `there` holds, which it does not at `low` and does at `high`.
fn first(there: impl Fn(f64) -> bool, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..HALVINGS {
        if high - low <= NEAR * high {
            break;
        }
        // by ratio over the decades, by halves once near
        let middle =
            if high > 4.0 * low.max(1e-9) { (high * low.max(1e-9)).sqrt() } else { 0.5 * (low + high) };
        if middle <= low || middle >= high {
            break;
        }
        if there(middle) { high = middle } else { low = middle }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The series and the plain formulas meet where one takes over from the other.
    #[test]
    fn phis_are_smooth() {
        for z in [-0.5 + 1e-9, -1e-6, -1e-12, 0.0] {
            let [left, one, two, three] = phis(z);
            assert!((left - z.exp()).abs() < 3e-16);
            assert!((one - (1.0 + z / 2.0 + z * z / 6.0)).abs() < 0.02 * z * z + 1e-12);
            assert!((one - (1.0 + z * two)).abs() < 1e-15 && (two - (0.5 + z * three)).abs() < 1e-15);
        }
        for edge in [-0.5, -0.01] {
            let (below, above) = (phis(edge - 1e-12), phis(edge + 1e-12));
            for (b, a) in below.into_iter().zip(above) {
                assert!((b - a).abs() < 1e-11);
            }
        }
    }

    #[test]
    fn a_stall_fixes_the_time_constant() {
        let one = Thermal::one_body_by_stall(10.0, 60.0, 8.0).unwrap();
        assert!((one.trips_in(Heat::default(), 60.0).unwrap() - 8.0).abs() < 1e-12);
        let two = Thermal::two_body_by_stall(10.0, 60.0, 8.0, 900.0, 0.4).unwrap();
        assert!((two.trips_in(Heat::default(), 60.0).unwrap() - 8.0).abs() < 1e-9);
        assert_eq!(Thermal::one_body_by_stall(10.0, 10.0, 8.0), None);
        assert_eq!(Thermal::two_body_by_stall(10.0, 9.0, 8.0, 900.0, 0.4), None);
        // ten times the share of the body's own heat cannot be had within a second
        assert_eq!(Thermal::two_body_by_stall(10.0, 11.0, 1e-3, 900.0, 0.01), None);
    }

    /// A top between two moments is seen: the element warms in a current that dies away.
    #[test]
    fn a_top_on_the_way_counts() {
        for thermal in [Thermal::one_body(1.0, 1.0), Thermal::two_body(1.0, 1.0, 60.0, 0.5)] {
            let end = thermal.step(Heat::default(), 1.5, 0.0, 4.0).element;
            let top = thermal.warmest(Heat::default(), 1.5, 0.0, 4.0);
            let fine = (1..4000).map(|i| {
                let t = f64::from(i) * 1e-3;
                thermal.step(Heat::default(), 1.5, 1.5 - 1.5 * t / 4.0, t).element
            });
            let fine = fine.fold(0.0, f64::max);
            assert!(top > 1.2 * end && (top - fine).abs() < 1e-6, "{end} {top} {fine}");
        }
    }
}
