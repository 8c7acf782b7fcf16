//! The three edges of a breaker's band, in amperes, from its standard's gates or its maker's points.

use super::{BreakerFigures, BreakerStandard, Curve as TripCurve, CurvePoint};
use crate::numeric::curve::{Curve, Law, Piece};
use crate::standards::{iec_60898_1 as iec, ul_489 as ul};

/// How long a current is carried, by three readings; cold, at the reference ambient.
#[derive(Debug, Clone, PartialEq)]
pub struct Edges {
    /// What is promised to hold.
    pub guaranteed: Curve,
    /// The modelled fast edge: an assumption between the standard's points unless the maker gave it.
    pub fast: Curve,
    /// What must have tripped.
    pub slow: Curve,
    /// Whether `fast` is assumed rather than a maker's.
    pub assumed: bool,
    /// The instantaneous trip.
    pub at_once: AtOnce,
}

/// Thresholds of the instantaneous trip \[A rms\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtOnce {
    /// Promised not to act up to here.
    pub promised_a: f64,
    /// Taken not to act up to here: what is promised, or common practice where the standard sets no threshold.
    pub assumed_a: f64,
    /// Certain to act above, within 0.1 s.
    pub certain_a: f64,
}

/// What a breaker's edges cannot be built from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum EdgeError {
    /// The standard's table ends below the rating.
    #[error("no must-trip times are at hand for a UL 489 breaker above 600 A")]
    AboveTable,
}

/// A curve under construction, in multiples of the rating.
struct Builder {
    pieces: Vec<Piece>,
    at: (f64, f64),
}

impl Builder {
    /// For ever up to `multiple`, from where power laws go on at `time`.
    fn forever(multiple: f64, time: f64) -> Self {
        Builder { pieces: vec![Piece { up_to: multiple, law: Law::Forever }], at: (multiple, time) }
    }

    /// A power law to the next point.
    fn to(mut self, multiple: f64, time: f64) -> Self {
        if multiple > self.at.0 {
            self.pieces.push(Piece { up_to: multiple, law: Law::through(self.at, (multiple, time)) });
            self.at = (multiple, time);
        }
        self
    }

    /// A constant time up to `multiple`.
    fn level(mut self, multiple: f64, time: f64) -> Self {
        if multiple > self.at.0 {
            self.pieces.push(Piece { up_to: multiple, law: Law::For(time) });
            self.at = (multiple, time);
        }
        self
    }

    fn above(self, law: Law, rating_a: f64) -> Curve {
        let scaled = self.pieces.into_iter().map(|p| Piece {
            up_to: p.up_to * rating_a,
            law: match p.law {
                Law::Power { at, time, exponent } => Law::Power { at: at * rating_a, time, exponent },
                law => law,
            },
        });
        Curve::new(scaled, law)
    }
}

impl BreakerFigures {
    /// The edges at the figures' values, for a circuit of this voltage \[V\] and frequency \[Hz\].
    ///
    /// IEC 60898-1, hold multiple h, trip multiple m: guaranteed for ever below 1.13 In, 1 s up to 2.55 In, 0.1 s up to h In,
    /// none above; fast edge by power laws through (1.13 In, conventional time), (2.55 In, 1 s), (h In, 0.1 s), one half-cycle
    /// above; slow edge through (1.45 In, conventional time), (2.55 In, 60 or 120 s), (h In, test d's limit), (m In, 0.1 s).
    /// UL 489: guaranteed at 1.00 In only; typical fast edge; slow edge through 135 %, 200 %, 300 %, then constant I2t.
    /// A maker's points replace an edge; what they do not reach is taken on the unsafe side for the edge in question.
    ///
    /// A maker's instantaneous band cuts every edge: nothing is promised above its lower end, a trip is certain above its upper.
    ///
    /// # Errors
    /// [`EdgeError::AboveTable`] for a UL 489 breaker above 600 A, unless the maker's points give both edges.
    pub fn edges(&self, voltage_v: f64, frequency_hz: f64) -> Result<Edges, EdgeError> {
        let half_cycle = 0.5 / frequency_hz;
        let rating = self.rating_a.get();
        let (holds, standard) = match self.standard {
            BreakerStandard::Iec60898(curve) => (iec::NON_TRIPPING, Ok(iec_edges(curve, rating, half_cycle))),
            BreakerStandard::Ul489 => (ul::HOLDS, ul_edges(rating, voltage_v, half_cycle)),
        };
        let [low, high] = self.instantaneous.map_or([None; 2], |band| band.map(Some));
        let (mut guaranteed, mut fast, assumed) = match (self.fast.is_empty(), &standard) {
            (false, _) => {
                let edge = |above| maker_fast(&self.fast, low, holds, half_cycle).above(above, rating);
                (edge(Law::Never), edge(Law::For(half_cycle)), false)
            }
            (true, Ok([guaranteed, fast, _])) => (guaranteed.clone(), fast.clone(), true),
            (true, Err(error)) => return Err(*error),
        };
        let mut slow = match (self.slow.is_empty(), standard) {
            (false, _) => maker_slow(&self.slow, high, rating),
            (true, Ok([.., slow])) => slow,
            (true, Err(error)) => return Err(error),
        };
        if let (Some(low), Some(high)) = (low, high) {
            guaranteed = guaranteed.cut(low * rating, Law::Never);
            fast = fast.cut(low * rating, Law::For(half_cycle));
            slow = slow.cut(high * rating, Law::For(iec::INSTANTANEOUS_S));
        }
        let [promised, usual, certain] = match self.standard {
            BreakerStandard::Iec60898(curve) => {
                let gates = gates(curve);
                [gates.hold, gates.hold, gates.trip]
            }
            BreakerStandard::Ul489 => [ul::HOLDS, ul::MAY_ACT_AT_ONCE, ul::ACTS_AT_ONCE],
        };
        let at_once = AtOnce {
            promised_a: rating * low.unwrap_or(promised),
            assumed_a: rating * low.unwrap_or(usual),
            certain_a: rating * high.unwrap_or(certain),
        };
        Ok(Edges { guaranteed, fast, slow, assumed, at_once })
    }
}

fn gates(curve: TripCurve) -> iec::Instantaneous {
    match curve {
        TripCurve::B => iec::B,
        TripCurve::C => iec::C,
        TripCurve::D => iec::D,
    }
}

/// Guaranteed, fast and slow edge.
fn iec_edges(curve: TripCurve, rating: f64, half_cycle: f64) -> [Curve; 3] {
    let gates = gates(curve);
    let conventional = iec::conventional_time_s(rating);
    let guaranteed = Builder::forever(iec::NON_TRIPPING, conventional)
        .level(iec::TEST_C, iec::TEST_C_LEAST_S)
        .level(gates.hold, iec::INSTANTANEOUS_S)
        .above(Law::Never, rating);
    let fast = Builder::forever(iec::NON_TRIPPING, conventional)
        .to(iec::TEST_C, iec::TEST_C_LEAST_S)
        .to(gates.hold, iec::INSTANTANEOUS_S)
        .above(Law::For(half_cycle), rating);
    let slow = Builder::forever(iec::TRIPPING, conventional)
        .to(iec::TEST_C, iec::test_c_most_s(rating))
        .to(gates.hold, gates.test_d_most_s(rating))
        .to(gates.trip, iec::INSTANTANEOUS_S)
        .above(Law::For(iec::INSTANTANEOUS_S), rating);
    [guaranteed, fast, slow]
}

/// Guaranteed, fast and slow edge.
fn ul_edges(rating: f64, voltage_v: f64, half_cycle: f64) -> Result<[Curve; 3], EdgeError> {
    let must = ul::must_trip(rating, voltage_v).ok_or(EdgeError::AboveTable)?;
    let guaranteed = Builder::forever(ul::HOLDS, 0.0).above(Law::Never, rating);
    let mut fast = Builder::forever(ul::HOLDS, ul::conventional_time_s(rating));
    for (multiple, s) in ul::TYPICAL_FAST {
        fast = fast.to(multiple, s);
    }
    let fast = fast.above(Law::For(half_cycle), rating);
    let mut slow = Builder::forever(ul::TRIPPING, must.at_135_s).to(2.0, must.at_200_s);
    if let Some(at_300_s) = must.at_300_s {
        slow = slow.to(3.0, at_300_s);
    }
    let (multiple, time) = slow.at;
    let i2t = multiple * multiple * time;
    let at_once = ul::ACTS_AT_ONCE;
    let slow = slow.to(at_once, i2t / (at_once * at_once)).above(Law::For(ul::INSTANTANEOUS_S), rating);
    Ok([guaranteed, fast, slow])
}

/// A maker's fast edge: below its first point that point's time, as far down as the standard lets it trip at all; above
/// its last point or its instantaneous threshold nothing (the caller says what).
fn maker_fast(points: &[CurvePoint], instantaneous: Option<f64>, holds: f64, half_cycle: f64) -> Builder {
    let first = points.first().map_or((holds, half_cycle), |p| (p.multiple, p.s));
    let mut builder = Builder::forever(holds.min(first.0), first.1).level(first.0, first.1);
    for p in points.iter().skip(1) {
        builder = builder.to(p.multiple, p.s);
    }
    match (instantaneous, builder.at) {
        (Some(low), (_, time)) => builder.level(low, time),
        _ => builder,
    }
}

/// A maker's slow edge: never below its first point, its last time above its last point, 0.1 s above the top of its
/// instantaneous band.
fn maker_slow(points: &[CurvePoint], instantaneous: Option<f64>, rating: f64) -> Curve {
    let first = points.first().map_or((f64::INFINITY, 0.0), |p| (p.multiple, p.s));
    let mut builder = Builder::forever(first.0, first.1);
    for p in points.iter().skip(1) {
        builder = builder.to(p.multiple, p.s);
    }
    let last = builder.at.1;
    match instantaneous {
        Some(high) => builder.level(high, last).above(Law::For(last.min(iec::INSTANTANEOUS_S)), rating),
        None => builder.above(Law::For(last), rating),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::{Figure, Origin};
    use crate::quantity::Ampere;

    fn breaker(standard: BreakerStandard, rating: f64) -> BreakerFigures {
        BreakerFigures {
            standard,
            rating_a: Figure::exact(Ampere(rating), Origin::Nameplate),
            fast: vec![],
            slow: vec![],
            instantaneous: None,
        }
    }

    /// The three edges never cross: what is promised is no longer than what is modelled, that no longer than what is certain.
    #[test]
    fn edges_are_in_order() {
        let mut all = vec![];
        for rating in iec::PREFERRED_A {
            for curve in [TripCurve::B, TripCurve::C, TripCurve::D] {
                all.push(breaker(BreakerStandard::Iec60898(curve), rating));
            }
        }
        for rating in [15.0, 20.0, 30.0, 40.0, 60.0, 100.0, 150.0, 200.0, 400.0, 600.0] {
            all.push(breaker(BreakerStandard::Ul489, rating));
        }
        for b in all {
            let e = b.edges(120.0, 60.0).unwrap();
            for step in 1..400 {
                let i = b.rating_a.get() * 1.02f64.powi(step) * 0.5;
                let (g, f, s) = (e.guaranteed.time(i), e.fast.time(i), e.slow.time(i));
                assert!(g <= f * (1.0 + 1e-12) && f <= s, "{b:?} at {i} A: {g} {f} {s}");
            }
        }
    }

    #[test]
    fn makers_points_replace_the_edges() {
        let mut b = breaker(BreakerStandard::Iec60898(TripCurve::C), 20.0);
        b.fast = vec![CurvePoint { multiple: 1.5, s: 40.0 }, CurvePoint { multiple: 8.0, s: 0.6 }];
        b.slow = vec![CurvePoint { multiple: 1.5, s: 400.0 }, CurvePoint { multiple: 8.0, s: 6.0 }];
        b.instantaneous = Some([6.0, 9.0]);
        let e = b.edges(230.0, 50.0).unwrap();
        assert_eq!(e.fast.time(1.3 * 20.0), 40.0);
        assert_eq!(e.fast.time(1.1 * 20.0), f64::INFINITY);
        assert!((e.fast.time(6.1 * 20.0) - 0.01).abs() < 1e-12);
        assert_eq!(e.guaranteed.time(6.1 * 20.0), 0.0);
        assert!((e.guaranteed.time(3.0 * 20.0) - e.fast.time(3.0 * 20.0)).abs() < 1e-12);
        assert_eq!(e.slow.time(1.4 * 20.0), f64::INFINITY);
        assert_eq!(e.slow.time(8.5 * 20.0), 6.0);
        assert_eq!(e.slow.time(9.5 * 20.0), 0.1);
        assert!(!e.assumed);
    }

    /// The band counts where the fast edge begins above it, and without any edge beside it.
    #[test]
    fn makers_band_cuts_every_edge() {
        let mut b = breaker(BreakerStandard::Ul489, 20.0);
        b.instantaneous = Some([2.0, 3.0]);
        let e = b.edges(120.0, 60.0).unwrap();
        assert_eq!(e.fast.time(50.0), 0.5 / 60.0);
        assert_eq!(e.slow.time(61.0), 0.1);
        b.instantaneous = Some([3.0, 12.0]);
        b.fast = vec![CurvePoint { multiple: 5.0, s: 1.0 }, CurvePoint { multiple: 8.0, s: 0.5 }];
        let e = b.edges(120.0, 60.0).unwrap();
        assert_eq!(e.guaranteed.time(3.1 * 20.0), 0.0);
        assert_eq!(e.guaranteed.time(2.9 * 20.0), 1.0);
    }

    #[test]
    fn makers_points_serve_where_the_table_ends() {
        let mut b = breaker(BreakerStandard::Ul489, 800.0);
        assert_eq!(b.edges(120.0, 60.0), Err(EdgeError::AboveTable));
        b.fast = vec![CurvePoint { multiple: 1.5, s: 40.0 }, CurvePoint { multiple: 8.0, s: 0.6 }];
        b.slow = vec![CurvePoint { multiple: 1.5, s: 400.0 }, CurvePoint { multiple: 8.0, s: 6.0 }];
        assert!(b.edges(120.0, 60.0).is_ok());
    }
}
