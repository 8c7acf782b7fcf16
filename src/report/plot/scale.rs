//! Scales: figures to user units of the picture, and where their ticks stand.

use crate::checks::say::number;

/// A scale along one side of a frame. Its figures are those of the quantity (A, s, N m, %), its ends user units.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// Whether equal steps are equal factors.
    pub logarithmic: bool,
    /// The figure at the first end.
    pub low: f64,
    /// The figure at the last end, above `low`.
    pub high: f64,
    /// Where `low` is, in user units.
    pub from: f64,
    /// Where `high` is, in user units.
    pub to: f64,
}

/// A tick: where, and what is written at it.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// The figure.
    pub at: f64,
    /// What is written; empty for a tick without words.
    pub label: String,
}

impl Scale {
    /// Equal steps are equal differences.
    pub fn linear(low: f64, high: f64, from: f64, to: f64) -> Scale {
        let high = if high > low { high } else { low + 1.0 };
        Scale { logarithmic: false, low, high, from, to }
    }

    /// Equal steps are equal factors; `low` above 0.
    pub fn logarithmic(low: f64, high: f64, from: f64, to: f64) -> Scale {
        let low = low.max(f64::MIN_POSITIVE);
        let high = if high > low { high } else { 10.0 * low };
        Scale { logarithmic: true, low, high, from, to }
    }

    /// Where a figure is, in user units; beyond the ends for figures beyond them, but never far: an infinite figure is as far
    /// out as any.
    pub fn place(&self, figure: f64) -> f64 {
        let share = if self.logarithmic {
            if figure <= 0.0 { -FAR } else { (figure / self.low).ln() / (self.high / self.low).ln() }
        } else {
            (figure - self.low) / (self.high - self.low)
        };
        let share = if share.is_nan() { 0.0 } else { share.clamp(-FAR, FAR) };
        self.from + share * (self.to - self.from)
    }

    /// The figure at a place.
    pub fn figure(&self, place: f64) -> f64 {
        let share = (place - self.from) / (self.to - self.from);
        if self.logarithmic {
            self.low * (share * (self.high / self.low).ln()).exp()
        } else {
            self.low + share * (self.high - self.low)
        }
    }

    /// Ticks of a linear scale in steps of 1, 2 or 5 times a power of ten, about `count` of them.
    pub fn steps(&self, count: f64) -> Vec<Tick> {
        let step = step(self.high - self.low, count);
        let first = (self.low / step - 1e-9).ceil() as i64;
        let last = (self.high / step + 1e-9).floor() as i64;
        (first..=last)
            .map(|i| {
                let at = i as f64 * step;
                Tick { at, label: round_number(at, step) }
            })
            .collect()
    }

    /// Ticks of a logarithmic scale: words at the decades, at 1, 2 and 5 where there are fewer than three of them; the others
    /// from 1 to 9 without.
    pub fn decades(&self) -> Vec<Tick> {
        let decades = (self.high / self.low).log10();
        let worded: &[u32] = match decades {
            d if d < 0.8 => &[1, 2, 3, 4, 5, 7],
            d if d < 2.6 => &[1, 2, 5],
            _ => &[1],
        };
        let (first, last) = (self.low.log10().floor() as i32, self.high.log10().ceil() as i32);
        let mut ticks = Vec::new();
        for power in first..=last {
            for digit in 1..10u32 {
                let at = f64::from(digit) * 10f64.powi(power);
                if at >= self.low * (1.0 - 1e-9) && at <= self.high * (1.0 + 1e-9) {
                    let label = if worded.contains(&digit) { number(at) } else { String::new() };
                    ticks.push(Tick { at, label });
                }
            }
        }
        ticks
    }

    /// Ticks of a logarithmic scale of time, at round times a reader has a feeling for.
    pub fn times(&self) -> Vec<Tick> {
        TIMES
            .iter()
            .filter(|(s, _)| *s >= self.low * (1.0 - 1e-9) && *s <= self.high * (1.0 + 1e-9))
            .map(|(s, label)| Tick { at: *s, label: (*label).into() })
            .collect()
    }
}

/// Farther out than this many lengths of the scale nothing is told apart: drawn figures stay short.
const FAR: f64 = 50.0;

/// The round times of [`Scale::times`].
const TIMES: [(f64, &str); 12] = [
    (1e-4, "0.1 ms"),
    (1e-3, "1 ms"),
    (1e-2, "10 ms"),
    (0.1, "0.1 s"),
    (1.0, "1 s"),
    (10.0, "10 s"),
    (60.0, "1 min"),
    (600.0, "10 min"),
    (3600.0, "1 h"),
    (36000.0, "10 h"),
    (864e3, "10 days"),
    (864e4, "100 days"),
];

/// A step of 1, 2 or 5 times a power of ten that cuts `width` into about `count`.
pub(super) fn step(width: f64, count: f64) -> f64 {
    let rough = width / count.max(1.0);
    let power = 10f64.powf(rough.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0].into_iter().find(|t| t * power >= rough * (1.0 - 1e-9));
    times.unwrap_or(10.0) * power
}

/// The next step above a figure, for the end of a scale from 0.
pub(super) fn round_up(figure: f64, count: f64) -> f64 {
    let step = step(figure, count);
    (figure / step - 1e-9).ceil() * step
}

/// A tick's figure with the digits that its step needs.
fn round_number(at: f64, step: f64) -> String {
    let digits = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
    let text = format!("{at:.digits$}");
    // minus nothing is nothing
    if text.trim_start_matches(['-', '0', '.']).is_empty() { "0".into() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(ticks: &[Tick]) -> Vec<&str> {
        ticks.iter().map(|t| t.label.as_str()).filter(|l| !l.is_empty()).collect()
    }

    #[test]
    fn analytic_ticks_stand_at_round_figures() {
        let scale = Scale::linear(0.0, 62.0, 0.0, 100.0);
        assert_eq!(labels(&scale.steps(5.0)), ["0", "20", "40", "60"]);
        let scale = Scale::linear(-0.3, 0.25, 0.0, 100.0);
        assert_eq!(labels(&scale.steps(5.0)), ["-0.2", "0", "0.2"]);
        let scale = Scale::logarithmic(3.0, 700.0, 0.0, 100.0);
        assert_eq!(labels(&scale.decades()), ["5", "10", "20", "50", "100", "200", "500"]);
        let scale = Scale::logarithmic(0.005, 7200.0, 0.0, 100.0);
        assert_eq!(labels(&scale.times()), ["10 ms", "0.1 s", "1 s", "10 s", "1 min", "10 min", "1 h"]);
    }

    #[test]
    fn analytic_a_place_leads_back_to_its_figure() {
        for scale in [Scale::linear(-5.0, 9.0, 100.0, 20.0), Scale::logarithmic(0.01, 50.0, 100.0, 20.0)] {
            for figure in [0.02, 1.0, 7.5] {
                assert!((scale.figure(scale.place(figure)) / figure - 1.0).abs() < 1e-12);
            }
            assert!((scale.place(scale.low) - 100.0).abs() < 1e-12);
            assert!((scale.place(scale.high) - 20.0).abs() < 1e-12);
            assert!(scale.place(f64::INFINITY).is_finite() && scale.place(0.0).is_finite());
        }
    }

    #[test]
    fn analytic_ends_are_round() {
        assert_eq!([round_up(62.0, 4.0), round_up(0.31, 4.0), round_up(100.0, 4.0)], [80.0, 0.4, 100.0]);
    }
}
