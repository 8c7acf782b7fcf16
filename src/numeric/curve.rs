//! Curves of time against level: how long a level can last, as pieces that are constant or power laws, and the dose
//! that a varying level takes of it.

/// How long a level lasts within a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// For ever.
    Forever,
    /// For this long.
    For(f64),
    /// `time (level / at)^-exponent`.
    Power {
        /// The level at which it lasts `time`.
        at: f64,
        /// That time.
        time: f64,
        /// The exponent, positive where time falls with level.
        exponent: f64,
    },
    /// Not at all.
    Never,
}

impl Law {
    /// The power law through two points, `a` below `b` in level.
    pub fn through(a: (f64, f64), b: (f64, f64)) -> Law {
        Law::Power { at: a.0, time: a.1, exponent: -(b.1 / a.1).ln() / (b.0 / a.0).ln() }
    }

    fn time(self, level: f64) -> f64 {
        match self {
            Law::Forever => f64::INFINITY,
            Law::For(t) => t,
            Law::Power { at, time, exponent } => time * (level / at).powf(-exponent),
            Law::Never => 0.0,
        }
    }
}

/// A piece: its law holds for levels up to and including `up_to`, above that of the piece before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Upper end.
    pub up_to: f64,
    /// What holds there.
    pub law: Law,
}

/// A curve of time against level, pieces in rising order of `up_to`; the last reaches to infinity.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    pieces: Vec<Piece>,
}

impl Curve {
    /// From pieces in rising order and the law above the last of them. Empty pieces (no wider than the one before) are
    /// dropped.
    pub fn new(pieces: impl IntoIterator<Item = Piece>, above: Law) -> Curve {
        let mut kept: Vec<Piece> = Vec::new();
        for piece in pieces {
            if kept.last().is_none_or(|last| piece.up_to > last.up_to) {
                kept.push(piece);
            }
        }
        kept.push(Piece { up_to: f64::INFINITY, law: above });
        Curve { pieces: kept }
    }

    /// The same up to `level`, and `law` above it.
    #[must_use]
    pub fn cut(self, level: f64, law: Law) -> Curve {
        let below = self.pieces.into_iter().scan(false, |passed, piece| {
            if *passed {
                return None;
            }
            *passed = piece.up_to >= level;
            Some(Piece { up_to: piece.up_to.min(level), law: piece.law })
        });
        Curve::new(below.collect::<Vec<_>>(), law)
    }

    /// The same with the levels below `limit` multiplied by `by`, as far as `limit`; nothing changes above it.
    #[must_use]
    pub fn stretched(&self, by: f64, limit: f64) -> Curve {
        let Some((last, pieces)) = self.pieces.split_last() else { return self.clone() };
        let mut from = 0.0;
        let moved: Vec<Piece> = pieces
            .iter()
            .map(|piece| {
                let law = match piece.law {
                    Law::Power { at, time, exponent } if from < limit => {
                        Law::Power { at: at * by, time, exponent }
                    }
                    law => law,
                };
                from = piece.up_to;
                let up_to = if from < limit { (from * by).min(limit) } else { from };
                Piece { up_to, law }
            })
            .collect();
        Curve::new(moved, last.law)
    }

    /// The least level, of the ends of the pieces, from which on nothing lasts longer than `time`.
    pub fn least_within(&self, time: f64) -> f64 {
        let mut from = 0.0;
        for piece in &self.pieces {
            match piece.law {
                Law::Power { .. } if piece.law.time(piece.up_to) <= time => return piece.up_to,
                Law::For(t) if t <= time => return from,
                Law::Never => return from,
                _ => from = piece.up_to,
            }
        }
        from
    }

    /// The pieces.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// How long `level` can last.
    ///
    /// ```
    /// use startmargin::numeric::curve::{Curve, Law, Piece};
    /// let c = Curve::new([Piece { up_to: 1.0, law: Law::Forever }, Piece { up_to: 2.0, law: Law::For(5.0) }], Law::Never);
    /// assert_eq!([c.time(1.0), c.time(1.5), c.time(2.1)], [f64::INFINITY, 5.0, 0.0]);
    /// ```
    pub fn time(&self, level: f64) -> f64 {
        self.law_at(level).time(level)
    }

    fn law_at(&self, level: f64) -> Law {
        self.pieces.iter().find(|p| level <= p.up_to).map_or(Law::Never, |p| p.law)
    }

    /// The largest level that lasts for ever; 0 if none does.
    pub fn forever(&self) -> f64 {
        self.pieces.iter().take_while(|p| p.law == Law::Forever).last().map_or(0.0, |p| p.up_to)
    }

    /// The dose of a level that goes in a straight line from `a` to `b` within `dt`: the integral of dt / T(level).
    /// 1 is all the curve allows; infinite where the level does not last at all.
    pub fn dose(&self, a: f64, b: f64, dt: f64) -> f64 {
        let (low, high) = if a <= b { (a, b) } else { (b, a) };
        let mut sum = 0.0;
        let mut from = 0.0;
        for piece in &self.pieces {
            let (lo, hi) = (low.max(from), high.min(piece.up_to));
            from = piece.up_to;
            if hi < low || hi < lo {
                continue;
            }
            // the share of dt spent in this piece
            let share = if high > low { (hi - lo) / (high - low) } else { 1.0 };
            if share > 0.0 {
                sum += Self::piece_dose(piece.law, lo, hi, share * dt);
            }
            if high <= piece.up_to {
                break;
            }
        }
        sum
    }

    fn piece_dose(law: Law, lo: f64, hi: f64, dt: f64) -> f64 {
        match law {
            Law::Forever => 0.0,
            Law::For(t) => dt / t,
            Law::Never => {
                if dt > 0.0 {
                    f64::INFINITY
                } else {
                    0.0
                }
            }
            Law::Power { at, time, exponent } => {
                let (x0, x1) = (lo / at, hi / at);
                // a narrow range: Simpson's rule is exact enough and free of cancellation
                if x1 - x0 < 1e-2 * x1 {
                    let middle = 0.5 * (x0 + x1);
                    return dt / (6.0 * time)
                        * (x0.powf(exponent) + 4.0 * middle.powf(exponent) + x1.powf(exponent));
                }
                let n = exponent + 1.0;
                dt / time * (x1.powf(n) - x0.powf(n)) / (n * (x1 - x0))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve() -> Curve {
        Curve::new(
            [
                Piece { up_to: 1.0, law: Law::Forever },
                Piece { up_to: 4.0, law: Law::through((1.0, 100.0), (4.0, 1.0)) },
                Piece { up_to: 8.0, law: Law::For(0.5) },
            ],
            Law::Never,
        )
    }

    #[test]
    fn analytic_power_law_passes_through_its_points() {
        let c = curve();
        assert!((c.time(4.0) - 1.0).abs() < 1e-12);
        assert!((c.time(2.0) - 10.0).abs() < 1e-12);
        assert_eq!(c.time(1.0), f64::INFINITY);
        assert_eq!(c.time(8.0), 0.5);
        assert_eq!(c.time(8.1), 0.0);
        assert_eq!(c.forever(), 1.0);
    }

    #[test]
    fn analytic_dose_of_a_slope_is_the_integral() {
        let c = curve();
        for (a, b) in [(0.5, 6.0), (6.0, 0.5), (2.0, 2.0), (1.0, 1.005), (3.9, 4.1)] {
            let n = 200_000;
            let sum: f64 =
                (0..n).map(|i| 0.7 / n as f64 / c.time(a + (b - a) * (i as f64 + 0.5) / n as f64)).sum();
            let dose = c.dose(a, b, 0.7);
            assert!((dose - sum).abs() < 2e-5 * sum.max(1e-6), "{a}..{b}: {dose} against {sum}");
        }
        assert_eq!(c.dose(7.0, 9.0, 0.1), f64::INFINITY);
        assert_eq!(c.dose(0.2, 0.9, 1e9), 0.0);
        assert_eq!(c.dose(8.0, 8.0, 0.25), 0.5);
    }
}
