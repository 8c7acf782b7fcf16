//! Rectifier bridge with a capacitor behind it, and what holds its charging current down: nothing but its own resistance, a
//! thermistor, or a precharge resistor that a relay bridges. Electronic lamps, chargers, drives and hobs are such loads.

use nalgebra::{SVector, Vector2};

use super::equations::{Cosine, Equations, solve};
use super::{Begin, Feed, Inrush, Instant, Run, Watch};

/// What is in series while the capacitor charges, and for how long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precharge {
    /// Resistance \[ohm\].
    pub ohm: f64,
    /// When it is bridged, or has become hot \[s\].
    pub until_s: f64,
    /// Resistance that is left then \[ohm\]: that of a hot thermistor; 0 behind a relay.
    pub left_ohm: f64,
}

/// The form of the current it takes once it works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// Pulses near the crest, through the bridge into the capacitor.
    Pulses,
    /// A sinusoid: power-factor correction, or a capacitor too small to hold anything.
    Sine,
}

/// Rectifier and capacitor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectifier {
    /// Rated voltage \[V\].
    pub volts: f64,
    /// Capacitor \[F\].
    pub farad: f64,
    /// Resistance of wiring, filter, fuse, diodes and capacitor; above 0 \[ohm\].
    pub ohm: f64,
    /// Inductance of filter or choke \[H\].
    pub henry: f64,
    /// What the bridge drops \[V\].
    pub diodes_v: f64,
    /// What is in series at first.
    pub precharge: Option<Precharge>,
    /// Power it takes in the end \[W\].
    pub power_w: f64,
    /// Time it takes to come to that, after the precharge \[s\].
    pub ramp_s: f64,
    /// The form of its current.
    pub takes: Takes,
}

/// Two diodes in a bridge drop this much \[V\] (common practice, no source).
pub const DIODES_V: f64 = 1.6;

/// Below this share of the crest of the rated voltage what hangs on the capacitor takes a resistance's share of its power:
/// converters lock out at low voltage (assumed).
const WORKS_FROM: f64 = 0.6;

/// Below this time constant the inductance counts as none: its current is there within hundredths of a millisecond \[s\].
const SHORT_S: f64 = 1e-5;
/// It does below this part of the charging time constant RC too. The peak is then too large by no more than 1.3 %: L and R
/// against R and C hold it to `u^(u/(1-u))` of E/R, `u = L/(R2 C)` (derived, steady voltage).
const SHORT_SHARE: f64 = 2e-3;

/// What is left of charging after so many time constants and cycles is small against the first crests: from there on it counts as
/// waiting (assumed). Where a time constant is longer than some cycles, some cycles: its current falls evenly and slowly.
const WAITS: f64 = 3.0;
const WAITS_CYCLES: f64 = 5.0;
const SLOWEST_CYCLES: f64 = 10.0;

/// Below this change of the missing voltage in half a cycle, as a share of it, the sum over half cycles is an integral, and below
/// this part of the crest the wave's top a parabola: together right within 1e-4 of the crest.
const EVENLY: f64 = 0.02;
const NEARLY: f64 = 0.01;

struct Solved<'a> {
    unit: &'a Rectifier,
    feed: &'a Feed,
    run: &'a Run,
    crest_v: f64,
    /// Direction of the current through the bridge; 0: it blocks.
    way: f64,
    /// Resistance in series with the bridge, feed included.
    ohm: f64,
    henry: f64,
    /// Whether the inductance counts.
    coil: bool,
    /// Whether the part of its waiting that is left out lies behind.
    skipped: bool,
    cosine: Cosine,
}

impl Rectifier {
    fn works_from_s(&self) -> f64 {
        self.precharge.map_or(0.0, |p| p.until_s)
    }

    /// Power it takes at a time after switch-on \[W\].
    pub fn power_at(&self, t: f64) -> f64 {
        let since = t - self.works_from_s();
        let share = if self.ramp_s > 0.0 { since / self.ramp_s } else { f64::from(u8::from(since >= 0.0)) };
        self.power_w * share.clamp(0.0, 1.0)
    }

    /// Voltage of the capacitor, as a share of the crest, so many half cycles after it was `volts`, while it charges through the
    /// precharge resistor and nothing is drawn from it; without inductance (docs/models.md, "Rectifier").
    ///
    /// Exact from half cycle to half cycle, in closed form where it rises little in each.
    pub fn charged(&self, feed: &Feed, volts: f64, half_cycles: f64) -> f64 {
        let ohm = self.ohm + feed.ohm + self.precharge.map_or(0.0, |p| p.ohm);
        let a = 1.0 / (feed.omega() * ohm * self.farad);
        let diodes = self.diodes_v / feed.crest_v();
        let mut across = volts + diodes;
        let mut left = half_cycles;
        while left >= 1.0 && across < 1.0 {
            let lacks = 1.0 - across;
            let rate = 4.0 * 2f64.sqrt() / 3.0 * a;
            if lacks < NEARLY && rate * lacks.sqrt() < EVENLY {
                across = 1.0 - (lacks.powf(-0.5) + 0.5 * rate * left).powi(-2);
                break;
            }
            // u' = a (cos phi - u) from where the bridge begins to conduct to where u is cos phi again: its largest there, so
            // that the angle need not be met closely
            let from = -across.clamp(-1.0, 1.0).acos();
            let forced = |phi: f64| a * (a * phi.cos() + phi.sin()) / (1.0 + a * a);
            let free = across - forced(from);
            let at = |phi: f64| forced(phi) + free * (-a * (phi - from)).exp();
            let mut to = -from;
            for _ in 0..4 {
                let over = to.cos() - at(to);
                to = (to + over / (to.sin() + a * over)).clamp(0.0, std::f64::consts::FRAC_PI_2);
            }
            across = across.max(at(to).min(1.0));
            left -= 1.0;
        }
        (across - diodes).max(volts)
    }
}

impl Solved<'_> {
    /// Takes the series resistance of this moment.
    fn series(&mut self, t: f64) {
        let extra = match self.unit.precharge {
            None => 0.0,
            Some(p) if self.run.begin == Begin::SwitchOn && t < p.until_s - self.run.skip_s => p.ohm,
            Some(p) => p.left_ohm,
        };
        self.ohm = self.unit.ohm + self.feed.ohm + extra;
        self.henry = self.unit.henry + self.feed.henry;
        let short_s = SHORT_S.max(SHORT_SHARE * self.ohm * self.unit.farad);
        self.coil = self.henry > short_s * self.ohm;
    }

    fn power(&self, t: f64) -> f64 {
        if self.run.begin == Begin::Settled {
            self.unit.power_w
        } else {
            self.unit.power_at(t + self.run.skip_s)
        }
    }

    /// Voltage behind the feed's impedance \[V\].
    fn emf(&self, t: f64) -> f64 {
        self.cosine.emf(self.feed, t, self.run.angle)
    }

    /// What drives a current of direction `way` against the capacitor \[V\].
    fn drive(&self, t: f64, way: f64, y: &SVector<f64, 2>) -> f64 {
        way * self.emf(t) - y[1] * self.crest_v - self.unit.diodes_v
    }

    /// What the current does whose direction and driving voltage \[V\] are known.
    fn driven(&self, volts: f64, y: &SVector<f64, 2>) -> (f64, f64) {
        if self.coil {
            (y[0], (volts - self.ohm * y[0]) / self.henry)
        } else {
            ((volts / self.ohm).max(0.0), 0.0)
        }
    }

    /// Direction in which the bridge would begin to conduct.
    fn side(&self, t: f64) -> f64 {
        self.emf(t).signum()
    }

    /// Current through the bridge and its slope. While it blocks there is none, also where its instants are only shown: a
    /// pulse must not be seen and not be felt.
    fn bridge(&self, t: f64, y: &SVector<f64, 2>) -> (f64, f64) {
        if self.way == 0.0 { (0.0, 0.0) } else { self.driven(self.drive(t, self.way, y), y) }
    }

    /// The same at a known voltage of the source \[V\].
    fn bridge_at(&self, emf: f64, y: &SVector<f64, 2>) -> (f64, f64) {
        if self.way == 0.0 {
            return (0.0, 0.0);
        }
        self.driven(self.way * emf - y[1] * self.crest_v - self.unit.diodes_v, y)
    }

    /// Current out of the capacitor \[A\].
    fn drawn(&self, t: f64, volts: f64) -> f64 {
        if self.unit.takes == Takes::Sine {
            return 0.0;
        }
        let from = WORKS_FROM * std::f64::consts::SQRT_2 * self.unit.volts;
        let power = self.power(t);
        if volts > from { power / volts } else { power * volts / (from * from) }
    }
}

impl Equations<2> for Solved<'_> {
    fn first(&self) -> SVector<f64, 2> {
        Vector2::new(0.0, if self.run.begin == Begin::Settled { 0.97 } else { 0.0 })
    }

    fn slope(&self, t: f64, y: &SVector<f64, 2>) -> SVector<f64, 2> {
        let (amps, rise) = self.bridge(t, y);
        let into = amps - self.drawn(t, y[1] * self.crest_v);
        // a capacitor behind a bridge is not charged backwards
        let into = if y[1] <= 0.0 { into.max(0.0) } else { into };
        Vector2::new(rise, into / (self.unit.farad * self.crest_v))
    }

    fn instant(&self, t: f64, y: &SVector<f64, 2>) -> Instant {
        let emf = self.emf(t);
        let (amps, rise) = self.bridge_at(emf, y);
        let way = self.way;
        let behind = emf - way * (self.feed.ohm * amps + self.feed.henry * rise);
        let sine = match self.unit.takes {
            Takes::Sine => self.power(t) / (self.unit.volts * self.unit.volts),
            Takes::Pulses => 0.0,
        };
        let terminal_v = behind / (1.0 + self.feed.ohm * sine);
        Instant { t_s: t, line_a: way * amps + sine * terminal_v, terminal_v }
    }

    fn quiet(&self) -> bool {
        self.way == 0.0
    }

    fn guard(&self, t: f64, y: &SVector<f64, 2>) -> f64 {
        if self.way == 0.0 {
            let emf = self.emf(t);
            (emf.abs() - y[1] * self.crest_v - self.unit.diodes_v) / self.crest_v
        } else if self.coil {
            -y[0]
        } else {
            -self.drive(t, self.way, y) / self.crest_v
        }
    }

    fn clock_s(&self, t: f64) -> f64 {
        let unit = self.unit;
        if !self.skipped {
            // where the voltage is zero the bridge blocks
            let quarter = std::f64::consts::FRAC_PI_2;
            let turned = self.feed.omega() * self.run.skip_at_s + self.run.angle - quarter;
            let zero = (turned / std::f64::consts::PI).ceil() * std::f64::consts::PI + quarter;
            return (zero - self.run.angle) / self.feed.omega();
        }
        let bridged = unit.works_from_s() - self.run.skip_s;
        // the end of the ramp is a kink, no more; it need not be hit
        if self.run.begin == Begin::SwitchOn && t < bridged { bridged } else { f64::INFINITY }
    }

    fn switch(&mut self, t: f64, y: &mut SVector<f64, 2>, by_clock: bool) {
        if by_clock && !self.skipped {
            let half_cycles = (2.0 * self.run.skip_s * self.feed.hertz).round();
            *y = Vector2::new(0.0, self.unit.charged(self.feed, y[1], half_cycles));
            (self.skipped, self.way) = (true, 0.0);
            return;
        }
        if by_clock {
            // the current of the moment goes on where an inductance now holds it
            y[0] = self.bridge(t, y).0;
            self.series(t);
            return;
        }
        y[0] = 0.0;
        self.way = if self.way == 0.0 { self.side(t) } else { 0.0 };
    }
}

impl Inrush for Rectifier {
    fn wave(&self, feed: &Feed, run: &Run, watch: &mut dyn Watch) -> bool {
        let crest_v = feed.crest_v();
        let mut solved = Solved {
            unit: self,
            feed,
            run,
            crest_v,
            way: 0.0,
            ohm: 0.0,
            henry: 0.0,
            coil: false,
            skipped: run.skip_s <= 0.0,
            cosine: Cosine::default(),
        };
        solved.series(0.0);
        if solved.drive(0.0, solved.side(0.0), &solved.first()) > 0.0 {
            solved.way = solved.side(0.0);
        }
        solve(&mut solved, feed, run, watch)
    }

    fn busy_s(&self) -> f64 {
        self.works_from_s()
    }

    fn waits_from_s(&self, feed: &Feed) -> f64 {
        let cycle_s = feed.cycle_s();
        let charging = |p: Precharge| WAITS * (p.ohm + self.ohm + feed.ohm) * self.farad;
        let most_s = SLOWEST_CYCLES * cycle_s;
        self.precharge.map_or(f64::INFINITY, |p| charging(p).min(most_s) + WAITS_CYCLES * cycle_s)
    }

    fn done_s(&self) -> f64 {
        self.works_from_s() + self.ramp_s
    }
}
