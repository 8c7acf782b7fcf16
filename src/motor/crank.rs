//! How the torque of a compressor swings over one revolution of its shaft, as a multiple of its mean.
//!
//! By virtual work: each chamber of volume `V` at pressure `p`, suction pressure on its other side, asks of
//! the shaft `T = (p - ps) (-dV/dangle)`. Volumes from the geometry, to first order; pressure by a polytrope
//! `p V^n` between suction and discharge (docs/models.md, "Torque over a revolution"). Left out: valves'
//! losses, leakage, inertia of piston and rod, and that the pressure ratio is still building up during a
//! start.

use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

/// Points of a shape over one revolution.
const POINTS: usize = 512;

/// Kinds of compressor whose torque swings differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CompressorKind {
    /// One cylinder, crank and connecting rod.
    Reciprocating,
    /// Rolling piston with a vane.
    Rotary,
    /// Orbiting scroll.
    Scroll,
}

impl CompressorKind {
    /// All of them, with the words of the site file.
    pub const ALL: [(&'static str, CompressorKind); 3] = [
        ("reciprocating", CompressorKind::Reciprocating),
        ("rotary", CompressorKind::Rotary),
        ("scroll", CompressorKind::Scroll),
    ];

    /// Its shape at typical figures, worked out once.
    pub fn shape(self) -> &'static Shape {
        static SHAPES: LazyLock<[Shape; 3]> = LazyLock::new(|| {
            [
                Shape::of(|angle| RECIPROCATING.torque(angle)),
                Shape::of(|angle| ROTARY.torque(angle)),
                Shape::of(|angle| SCROLL.torque(angle)),
            ]
        });
        let [reciprocating, rotary, scroll] = &*SHAPES;
        match self {
            CompressorKind::Reciprocating => reciprocating,
            CompressorKind::Rotary => rotary,
            CompressorKind::Scroll => scroll,
        }
    }
}

/// Torque over mean torque against the shaft's angle: mean 1, repeating with each revolution.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    table: [f64; POINTS],
}

impl Shape {
    /// The shape of a torque given over 0 to 2 pi, whose mean is not 0. Straight between points: its mean is
    /// that of the points.
    fn of(torque: impl Fn(f64) -> f64) -> Shape {
        let mut table = [0.0; POINTS];
        for (i, point) in table.iter_mut().enumerate() {
            *point = torque(TAU * i as f64 / POINTS as f64);
        }
        let mean = table.iter().sum::<f64>() / POINTS as f64;
        table.iter_mut().for_each(|point| *point /= mean);
        Shape { table }
    }

    /// Torque over mean torque at an angle \[rad\], any real number; 0 is top dead centre of a piston, the
    /// vane of a rolling piston, the closing of a scroll's pockets.
    #[inline]
    pub fn at(&self, angle: f64) -> f64 {
        let turns = angle / TAU;
        let place = (turns - turns.floor()) * POINTS as f64;
        // an angle a hair below a whole turn may round up to it
        let i = (place as usize) % POINTS;
        let share = place - place.floor();
        self.table[i] + share * (self.table[(i + 1) % POINTS] - self.table[i])
    }

    /// Largest over mean torque.
    pub fn peak(&self) -> f64 {
        self.table.iter().fold(f64::NEG_INFINITY, |m, &x| m.max(x))
    }
}

/// Between what the gas is compressed, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Gas {
    /// Discharge over suction pressure.
    ratio: f64,
    /// Polytropic exponent.
    exponent: f64,
}

impl Gas {
    /// Pressure over suction pressure of gas taken in at volume 1 and now at `volume`, discharge valve
    /// included.
    fn compressed(&self, volume: f64) -> f64 {
        volume.powf(-self.exponent).min(self.ratio)
    }

    /// Volume at which gas taken in at volume 1 reaches discharge pressure.
    fn delivered(&self) -> f64 {
        self.ratio.powf(-1.0 / self.exponent)
    }
}

/// Crank, rod and one cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piston {
    gas: Gas,
    /// Clearance volume over swept volume.
    clearance: f64,
    /// Crank radius over length of the rod.
    lambda: f64,
}

/// Typical, from memory: household refrigeration 8 to 12, workshop air 8 to 10; exponent between refrigerants
/// (1.1) and air (1.3); clearance 2 to 5 %; rods of 3.5 to 5 cranks.
const RECIPROCATING: Piston =
    Piston { gas: Gas { ratio: 8.0, exponent: 1.2 }, clearance: 0.03, lambda: 0.25 };

impl Piston {
    /// Volume over swept volume, and its derivative, `angle` after top dead centre.
    fn volume(&self, angle: f64) -> (f64, f64) {
        let (sin, cos) = angle.sin_cos();
        let rod = (1.0 - (self.lambda * sin).powi(2)).sqrt();
        let volume = self.clearance + 0.5 * (1.0 - cos + (1.0 - rod) / self.lambda);
        (volume, 0.5 * sin * (1.0 + self.lambda * cos / rod))
    }

    /// Torque over suction pressure times swept volume: out of the clearance the gas drives the shaft.
    fn torque(&self, angle: f64) -> f64 {
        let (volume, slope) = self.volume(angle);
        let pressure = if angle < PI {
            // what is left in the clearance expands to suction pressure
            (self.gas.ratio * (self.clearance / volume).powf(self.gas.exponent)).max(1.0)
        } else {
            self.gas.compressed(volume / (1.0 + self.clearance))
        };
        (1.0 - pressure) * slope
    }
}

/// A rolling piston, its vane thin and its eccentricity small: the gap is e (1 - cos), so that the chamber
/// behind the contact has grown to (angle - sin angle) / 2 pi of the displacement.
#[derive(Debug, Clone, Copy, PartialEq)]
struct RollingPiston {
    gas: Gas,
}

/// Typical, from memory: air conditioning at some 10 and 30 bar, common refrigerants.
const ROTARY: RollingPiston = RollingPiston { gas: Gas { ratio: 3.0, exponent: 1.15 } };

impl RollingPiston {
    /// Torque over suction pressure times displacement, `angle` after the contact has passed the vane.
    fn torque(&self, angle: f64) -> f64 {
        let volume = 1.0 - (angle - angle.sin()) / TAU;
        (self.gas.compressed(volume) - 1.0) * (1.0 - angle.cos()) / TAU
    }
}

/// A pair of scrolls. A pair of pockets closes once a revolution and shrinks in a straight line with the
/// angle; the room inside their inner contact shrinks at a rate in proportion to how far that contact still
/// has to go (involutes of a circle).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Scroll {
    gas: Gas,
    /// Revolutions in which a pocket would shrink to nothing: the turns of the wrap less a half.
    revolutions: f64,
}

/// As the rolling piston; wraps of two and a half to three turns: typical, from memory.
const SCROLL: Scroll = Scroll { gas: Gas { ratio: 3.0, exponent: 1.15 }, revolutions: 2.25 };

impl Scroll {
    /// Torque over suction pressure times displacement (both pockets), `angle` after the pockets close.
    fn torque(&self, angle: f64) -> f64 {
        let span = TAU * self.revolutions;
        let delivered = span * (1.0 - self.gas.delivered());
        let mut contact = angle;
        let mut sum = 0.0;
        while contact < delivered {
            sum += self.gas.compressed(1.0 - contact / span) - 1.0;
            contact += TAU;
        }
        // all inside this contact is at discharge pressure
        sum += (self.gas.ratio - 1.0) * (span + PI - contact) / TAU;
        sum / span
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean over a revolution of a function with kinks, by the midpoint rule.
    fn mean(f: impl Fn(f64) -> f64) -> f64 {
        const N: u32 = 200_000;
        (0..N).map(|i| f(TAU * (f64::from(i) + 0.5) / f64::from(N))).sum::<f64>() / f64::from(N)
    }

    /// Work of a cycle per suction pressure, of `volume` taken in and delivered: n/(n-1) V (ratio^((n-1)/n) -
    /// 1).
    fn work(gas: Gas, volume: f64) -> f64 {
        let n = gas.exponent;
        n / (n - 1.0) * volume * (gas.ratio.powf((n - 1.0) / n) - 1.0)
    }

    const GASES: [Gas; 3] = [
        Gas { ratio: 1.7, exponent: 1.3 },
        Gas { ratio: 3.0, exponent: 1.15 },
        Gas { ratio: 9.0, exponent: 1.05 },
    ];

    #[test]
    fn analytic_a_revolution_costs_the_polytropic_work() {
        let close = |what: &str, energy: f64, expected: f64| {
            assert!((energy / expected - 1.0).abs() < 1e-8, "{what}: {energy} against {expected}");
        };
        for gas in GASES {
            for (clearance, lambda) in [(0.02, 0.2), (0.05, 0.3), (0.1, 0.01)] {
                let piston = Piston { gas, clearance, lambda };
                // the clearance's gas gives back what it took: only what is drawn in counts
                let drawn_in = 1.0 + clearance - clearance / gas.delivered();
                close("piston", TAU * mean(|a| piston.torque(a)), work(gas, drawn_in));
            }
            close("rolling piston", TAU * mean(|a| RollingPiston { gas }.torque(a)), work(gas, 1.0));
        }
        for gas in &GASES[..2] {
            for revolutions in [2.0, 2.25, 2.5] {
                let scroll = Scroll { gas: *gas, revolutions };
                close("scroll", TAU * mean(|a| scroll.torque(a)), work(*gas, 1.0));
            }
        }
    }

    #[test]
    fn analytic_the_volume_of_a_cylinder_and_its_slope_agree() {
        for angle in [0.3, 1.5, 2.9, 4.0, 6.0] {
            let h = 1e-5;
            let by_difference =
                (RECIPROCATING.volume(angle + h).0 - RECIPROCATING.volume(angle - h).0) / (2.0 * h);
            assert!((by_difference - RECIPROCATING.volume(angle).1).abs() < 1e-9);
        }
        assert!((RECIPROCATING.volume(PI).0 - RECIPROCATING.volume(0.0).0 - 1.0).abs() < 1e-15);
    }

    #[test]
    fn analytic_shapes_have_a_mean_of_one() {
        for (word, kind) in CompressorKind::ALL {
            let mean = mean(|a| kind.shape().at(a));
            assert!((mean - 1.0).abs() < 1e-6, "{word}: {mean}");
        }
    }

    #[test]
    fn prop_shapes_repeat_and_do_not_jump() {
        for (word, kind) in CompressorKind::ALL {
            let shape = kind.shape();
            for i in 0..5000 {
                let angle = -20.0 + f64::from(i) * 8e-3;
                let (here, on) = (shape.at(angle), shape.at(angle + 1e-6));
                assert!((here - on).abs() < 1e-4, "{word} at {angle}: {here}, {on}");
                assert!((here - shape.at(angle + 7.0 * TAU)).abs() < 1e-9, "{word} at {angle}");
            }
            // at the seam, and a hair below a whole turn
            for seam in [0.0, -1e-300, -1e-17, TAU, 1e9 * TAU, TAU * (1.0 - f64::EPSILON)] {
                assert!((shape.at(seam) - shape.table[0]).abs() < 1e-4, "{word} at {seam}");
            }
        }
    }

    #[test]
    fn analytic_shapes_follow_their_torque_between_points() {
        let worst = |shape: &Shape, torque: &dyn Fn(f64) -> f64| {
            let mean = mean(torque);
            (0..9999)
                .map(|i| TAU * f64::from(i) / 9999.0)
                .fold(0.0, |m: f64, a| m.max((shape.at(a) - torque(a) / mean).abs() / shape.peak()))
        };
        for (kind, torque) in [
            (CompressorKind::Reciprocating, &(|a| RECIPROCATING.torque(a)) as &dyn Fn(f64) -> f64),
            (CompressorKind::Rotary, &|a| ROTARY.torque(a)),
            (CompressorKind::Scroll, &|a| SCROLL.torque(a)),
        ] {
            let worst = worst(kind.shape(), torque);
            println!("{kind:?}: {worst:.4}, peak {:.3}", kind.shape().peak());
            // kinks where a valve opens fall between points
            assert!(worst < 0.01, "{kind:?}: {worst}");
        }
    }

    #[test]
    fn regress_peaks_over_mean() {
        let peaks = CompressorKind::ALL.map(|(_, kind)| kind.shape().peak());
        assert!(peaks[0] > 1.3 * peaks[1] && peaks[1] > 1.3 * peaks[2], "{peaks:?}");
        let least = |kind: CompressorKind| kind.shape().table.iter().fold(f64::INFINITY, |m, &x| m.min(x));
        // only a piston is driven by what is left in its clearance
        assert!(least(CompressorKind::Reciprocating) < -0.3);
        assert!(least(CompressorKind::Rotary) >= 0.0);
        println!("{peaks:?} {:?}", CompressorKind::ALL.map(|(_, kind)| least(kind)));
    }
}
