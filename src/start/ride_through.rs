//! What becomes of a running motor when the voltage dips: it runs on, or hangs or stalls because its start
//! parts are out and its start switch does not close again.
//!
//! Source, coupling and load torque are constant within the dip and after it, so that the slope of the speed
//! depends on the speed alone: the rotor falls towards the next balance below, and what it reaches after the
//! dip is the next balance on its way. Only the fall through the dip, and the way back, have to be followed
//! in time.

use nalgebra::Vector1;

use super::envelope::{AT_SPEED, Branch, Options};
use super::network::{Bus, Fed, Line, Running};
use super::trace::Row;
use crate::motor::Stage;
use crate::numeric::{ode::Stepper, root};
use crate::starter::{Coupling, CutOut};
use crate::supply::{Supply, Thevenin};

/// A dip of the supply's open-circuit voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dip {
    /// Share of the voltage that is left, 0 to 1.
    pub to: f64,
    /// How long \[s\].
    pub for_s: f64,
}

/// How a motor came out of a dip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AfterDip {
    /// It comes back to its settled speed.
    Runs,
    /// It hangs below it.
    Hangs,
    /// It comes to a standstill (below 5 % of synchronous speed).
    Stalls,
}

impl AfterDip {
    /// The word for it in JSON.
    pub fn word(self) -> &'static str {
        match self {
            AfterDip::Runs => "runs",
            AfterDip::Hangs => "hangs",
            AfterDip::Stalls => "stalls",
        }
    }
}

/// A dip and what the motor made of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RideThrough {
    /// How it came out.
    pub after: AfterDip,
    /// Speed at the end of the dip \[rad/s\].
    pub lowest: f64,
    /// Speed it ends at \[rad/s\].
    pub speed: f64,
    /// Line current there \[A\].
    pub line_a: f64,
    /// From the end of the dip until 95 % of the settled speed \[s\]; `None` where it does not come back.
    pub back_s: Option<f64>,
    /// Least ratio of motor to load torque on the way back, up to 0.9 of the settled speed; infinite where
    /// the speed does not fall below that.
    pub ratio: f64,
}

/// Distance of the speeds at which a balance is looked for, as a fraction of synchronous speed: closer pairs
/// are missed.
const GRID: f64 = 0.005;
/// What counts as having reached a balance, or the settled speed, same unit.
const THERE: f64 = 1e-5;
/// Below this share of synchronous speed it stands (assumed, as for a start).
const STANDS: f64 = 0.05;

/// One branch on a bus whose source stays as it is.
struct Plant<'a> {
    branch: &'a Branch<'a>,
    bus: Bus,
    line: Line,
    coupling: Coupling,
    stage: Stage,
    sync: f64,
    per_momentum: f64,
    options: Options,
}

impl Plant<'_> {
    /// What is fed to the branch, and the motor's torque, at a speed (fraction of synchronous speed).
    fn at(&self, x: f64) -> (Fed, f64) {
        let mut point = self.branch.machine.at(x * self.sync, self.stage);
        let per_v2 = point.torque_per_v2;
        if self.branch.fan_through_starter {
            point.y += self.branch.fan;
        }
        let [fed] = self.bus.solve(&[point], &[self.line], &[Some(self.coupling)]).fed;
        (fed, per_v2 * fed.motor.norm_sqr())
    }

    /// Load torque, built up; a trial point below standstill has that of standstill.
    fn load(&self, x: f64) -> f64 {
        self.branch.load.settled((x * self.sync).max(0.0))
    }

    /// Torque that must be exceeded at standstill.
    fn breakaway(&self) -> f64 {
        self.branch.load.breakaway().max(self.load(0.0))
    }

    /// Slope of the speed \[1/s\].
    fn slope(&self, x: f64) -> f64 {
        (self.at(x).1 - self.load(x)) * self.per_momentum
    }

    /// The next balance below a speed at which the rotor falls; standstill if there is none.
    fn below(&self, from: f64) -> f64 {
        let mut above = from;
        let mut k = (from / GRID).ceil() - 1.0;
        while above > 0.0 {
            let x = (k * GRID).max(0.0);
            if self.slope(x) >= 0.0 {
                return root::bracketed(|x| self.slope(x), x, above, 1e-10).unwrap_or(x);
            }
            (above, k) = (x, k - 1.0);
        }
        0.0
    }

    /// The next balance above a speed at which the rotor gains, short of `to`.
    fn above(&self, from: f64, to: f64) -> Option<f64> {
        let mut below = from;
        let mut k = (from / GRID).floor() + 1.0;
        while below < to {
            let x = (k * GRID).min(to);
            if self.slope(x) <= 0.0 {
                return Some(root::bracketed(|x| self.slope(x), below, x, 1e-10).unwrap_or(below));
            }
            (below, k) = (x, k + 1.0);
        }
        None
    }

    fn stepper(&self, x: f64, h: f64) -> Stepper<1> {
        let slope = self.slope(x);
        let h = h.min(0.05 / slope.abs().max(1e-9));
        Stepper::new(0.0, Vector1::new(x), Vector1::new(slope), h, self.options.tolerance)
    }

    fn spent(&self, stepper: &Stepper<1>) -> bool {
        stepper.accepted + stepper.refused > self.options.most_steps
    }

    /// The speed `for_s` later, of a rotor that falls.
    fn fall(&self, from: f64, for_s: f64) -> f64 {
        if self.slope(from) >= 0.0 {
            return from;
        }
        let floor = self.below(from);
        let mut stepper = self.stepper(from, for_s);
        while stepper.t < for_s && !self.spent(&stepper) {
            stepper.step(for_s, &mut |_, x| Vector1::new(self.slope(x[0])));
            if stepper.y[0] <= floor + THERE {
                return floor;
            }
        }
        stepper.y[0]
    }

    /// How long a rotor that gains takes from one speed to another \[s\].
    fn rise(&self, from: f64, to: f64) -> Option<f64> {
        if from >= to {
            return Some(0.0);
        }
        let mut stepper = self.stepper(from, 1.0);
        while !self.spent(&stepper) {
            let step = stepper.step(f64::INFINITY, &mut |_, x| Vector1::new(self.slope(x[0])));
            if stepper.y[0] >= to {
                let theta = root::bracketed(|th| step.at(th)[0] - to, 0.0, 1.0, 1e-9).unwrap_or(1.0);
                return Some(step.t0 + theta * step.h);
            }
        }
        None
    }

    /// Least ratio of motor to load torque between two speeds; at standstill over what must be exceeded.
    fn ratio(&self, from: f64, to: f64) -> f64 {
        let mut least = f64::INFINITY;
        if from >= to {
            return least;
        }
        let mut x = from;
        let mut k = (from / GRID).floor();
        loop {
            let load = if x <= 0.0 { self.breakaway() } else { self.load(x) };
            if load > 0.0 {
                least = least.min(self.at(x).1 / load);
            }
            if x >= to {
                return least;
            }
            k += 1.0;
            x = (k * GRID).min(to);
        }
    }

    /// Where a rotor ends, and whether that is the settled speed `top`.
    fn end(&self, from: f64, top: f64) -> (f64, AfterDip) {
        let x = if from >= top - THERE {
            return (top, AfterDip::Runs);
        } else if from <= 0.0 && (self.branch.load.pulsates() || self.at(0.0).1 <= self.breakaway()) {
            // a compressor that stands has its pressure against it, whatever it takes after a rest
            0.0
        } else if self.slope(from) > 0.0 {
            match self.above(from, top - THERE) {
                None => return (top, AfterDip::Runs),
                Some(x) => x,
            }
        } else {
            self.below(from)
        };
        (x, if x < STANDS { AfterDip::Stalls } else { AfterDip::Hangs })
    }
}

/// Takes a branch from its settled state through a dip, start parts out, and says what becomes of it. Load
/// torque is that of the settled state; no electrical transients. The coupling is the starter's final one: a
/// limiter goes on limiting.
pub fn ride_through(
    supply: &dyn Supply,
    running: Running,
    branch: &Branch<'_>,
    settled: &Row,
    dip: Dip,
    options: Options,
) -> RideThrough {
    let sync = branch.machine.sync_speed();
    let top = settled.speed / sync;
    // a motor that settles below a cut-out still has those parts in
    let still_in = |cut: Option<f64>| cut.is_some_and(|cut| top < cut);
    let final_s = branch.starter.constant_from_s();
    let source = supply.source(branch.closes_at_s + final_s);
    let plant = |share: f64| Plant {
        branch,
        bus: Bus { source: Thevenin { v: share * source.v, ..source }, running },
        line: branch.line(),
        coupling: branch.starter.coupling(final_s, true),
        stage: Stage {
            own_start: still_in(branch.machine.own_cut_out()),
            assist: match branch.assist_cut_out {
                Some(CutOut::Speed(cut)) => still_in(Some(cut)),
                // a relay that has let go stays out (assumed)
                _ => false,
            },
        },
        sync,
        per_momentum: 1.0 / (branch.machine.inertia() * sync),
        options,
    };
    let lowest = plant(dip.to).fall(top, dip.for_s);
    let restored = plant(1.0);
    let (x, after) = restored.end(lowest, top);
    let runs = after == AfterDip::Runs;
    let ratio = restored.ratio(lowest, 0.9 * top);
    let stands = lowest <= 0.0 && branch.load.pulsates();
    RideThrough {
        after,
        lowest: lowest * sync,
        speed: x * sync,
        line_a: if runs { settled.line_a } else { restored.at(x).0.line.norm() },
        back_s: if runs { restored.rise(lowest, AT_SPEED * top) } else { None },
        ratio: match after {
            AfterDip::Runs => ratio,
            _ if stands => 0.0,
            _ => ratio.min(1.0 - 1e-6),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motor::{Auxiliary, Capacitor, LoadTorque, Machine, SpeedTorque, TwoWinding};
    use crate::start::{Trace, envelope};
    use crate::starter::Direct;
    use num_complex::Complex64;

    const SOURCE: Thevenin = Thevenin { v: 110.0, z: Complex64::ZERO, fold_a: None };

    /// The 1/4 hp machine of tests/published/single_phase.rs, capacitor-start.
    fn motor() -> TwoWinding {
        let farad = 1.0 / (std::f64::consts::TAU * 60.0 * 14.5);
        TwoWinding::new(4, 60.0, [2.02, 2.79, 66.8, 4.12, 2.12], 0.0146)
            .with_auxiliary(Auxiliary { r_ohm: 7.14, x_ohm: 3.22, turns_ratio: 1.18 })
            .with_start_switch(Some(Capacitor { farad, ohm: 3.0 }), 0.75)
    }

    fn load(shares: [f64; 3]) -> SpeedTorque {
        SpeedTorque {
            rated_nm: 1.0,
            rated_speed: 188.5,
            shares,
            breakaway: 0.0,
            build_up_s: 0.0,
            pulsation: None,
        }
    }

    fn after(load: &SpeedTorque, to: f64, for_s: f64) -> (RideThrough, f64) {
        dipped(&motor(), load, to, for_s)
    }

    /// What the dip does, and the settled speed.
    fn dipped(motor: &dyn Machine, load: &SpeedTorque, to: f64, for_s: f64) -> (RideThrough, f64) {
        let branch = Branch::plain(motor, load, &Direct, 5.0);
        let mut trace = Trace::default();
        envelope(
            &SOURCE,
            Running::default(),
            &[branch],
            Options::default(),
            std::slice::from_mut(&mut trace),
        );
        assert!(trace.starts());
        let settled = trace.settled.unwrap();
        let dip = Dip { to, for_s };
        (ride_through(&SOURCE, Running::default(), &branch, &settled, dip, Options::default()), settled.speed)
    }

    #[test]
    fn analytic_without_voltage_the_load_brakes_the_rotor() {
        let inertia = motor().inertia();
        let (out, from) = after(&load([1.0, 0.0, 0.0]), 0.0, 0.4);
        let expected = from - 0.4 / inertia;
        assert!((out.lowest / expected - 1.0).abs() < 1e-6, "{} against {expected}", out.lowest);
        // torque with speed: it dies away exponentially
        let (out, from) = after(&load([0.0, 1.0, 0.0]), 0.0, 1.0);
        let expected = from * (-1.0 / (188.5 * inertia)).exp();
        assert!((out.lowest / expected - 1.0).abs() < 1e-6, "{} against {expected}", out.lowest);
        // with its square: 1/w grows in a straight line
        let (out, from) = after(&load([0.0, 0.0, 1.0]), 0.0, 1.0);
        let expected = 1.0 / (1.0 / from + 1.0 / (188.5f64.powi(2) * inertia));
        assert!((out.lowest / expected - 1.0).abs() < 1e-6, "{} against {expected}", out.lowest);
    }

    /// Below the speed at which its running winding falls short of the load the motor is lost: the longest
    /// interruption follows from that speed by hand.
    #[test]
    fn analytic_the_longest_interruption() {
        let (motor, load) = (motor(), load([1.3, 0.0, 0.0]));
        let torque = |w: f64| motor.at(w, Stage::RUN).torque_per_v2 * SOURCE.v * SOURCE.v;
        // up from standstill to where the running winding carries 1.3 N m
        let mut w = 0.0;
        while torque(w) < load.at(w, 0.0) {
            w += 1e-3;
        }
        let (_, from) = after(&load, 1.0, 1.0);
        let longest = (from - w) * motor.inertia() / 1.3;
        let (just, _) = after(&load, 0.0, 0.999 * longest);
        assert_eq!(just.after, AfterDip::Runs);
        assert!(just.back_s.unwrap() > 0.1 && just.ratio > 1.0 && just.ratio < 1.01, "{just:?}");
        let (beyond, _) = after(&load, 0.0, 1.001 * longest);
        assert_eq!((beyond.after, beyond.speed, beyond.back_s), (AfterDip::Stalls, 0.0, None));
        // there the main winding alone has no torque, and draws its locked-rotor current
        assert!(beyond.ratio < 1.0 && (beyond.line_a - 14.1663).abs() < 1e-3, "{beyond:?}");
    }

    #[test]
    fn analytic_no_dip_changes_nothing_and_a_dip_without_end_is_a_lower_voltage() {
        let fan = load([0.0, 0.0, 1.4]);
        let (none, from) = after(&fan, 1.0, 1e9);
        assert!((none.after == AfterDip::Runs) && (none.lowest / from - 1.0).abs() < 1e-9, "{none:?}");
        assert_eq!((none.back_s, none.ratio), (Some(0.0), f64::INFINITY));
        let (long, _) = after(&fan, 0.5, 1e9);
        let motor = motor();
        let excess = motor.at(long.lowest, Stage::RUN).torque_per_v2 * 55.0 * 55.0 - fan.at(long.lowest, 0.0);
        assert!(excess.abs() < 1e-6, "{excess} N m");
        assert!(long.lowest < 0.8 * from, "{long:?}");
    }

    /// A motor whose running winding has a saddle at half speed, that its start parts fill.
    struct Saddle;

    impl Machine for Saddle {
        fn sync_speed(&self) -> f64 {
            100.0
        }
        fn inertia(&self) -> f64 {
            0.01
        }
        fn phases(&self) -> u32 {
            1
        }
        fn at(&self, speed: f64, stage: Stage) -> crate::motor::Point {
            let x = speed / 100.0;
            let saddle = 0.8 * (-((x - 0.5) / 0.1).powi(2)).exp() * f64::from(!stage.own_start);
            let torque = (1.0 - saddle) * ((1.0 - x) / 0.05).min(1.0);
            crate::motor::Point { y: Complex64::new(0.1, 0.0), torque_per_v2: torque / 110.0f64.powi(2) }
        }
        fn own_cut_out(&self) -> Option<f64> {
            Some(0.75)
        }
    }

    /// It starts well, and hangs below the saddle once a dip has taken it there: where 1 - 0.8 exp(-u^2) =
    /// 0.6.
    #[test]
    fn analytic_a_motor_that_started_well_hangs_after_a_dip() {
        let load = load([0.6, 0.0, 0.0]);
        let (out, top) = dipped(&Saddle, &load, 0.0, 1.0);
        assert!((top - 97.0).abs() < 1e-6);
        // 60 rad/s are lost in a second: to 37 rad/s, and up again to the saddle's lower side
        assert!((out.lowest - 37.0).abs() < 1e-3, "{out:?}");
        let lower = 100.0 * (0.5 - 0.1 * 2f64.ln().sqrt());
        assert_eq!(out.after, AfterDip::Hangs);
        assert!((out.speed - lower).abs() < 1e-6 && (out.line_a - 11.0).abs() < 1e-9, "{out:?}");
        assert!((out.ratio - 0.2 / 0.6).abs() < 1e-9, "{out:?}");
        // within the saddle it falls to the same place; above it comes back
        for (for_s, after) in [(0.7, AfterDip::Hangs), (0.65, AfterDip::Hangs), (0.64, AfterDip::Runs)] {
            let (out, _) = dipped(&Saddle, &load, 0.0, for_s);
            assert_eq!(out.after, after, "{for_s} s: {out:?}");
            assert!(after == AfterDip::Runs || (out.speed - lower).abs() < 1e-6, "{for_s} s: {out:?}");
        }
    }

    /// What stands after the dip: a compressor has its pressure against it.
    #[test]
    fn regress_a_compressor_that_stands_does_not_come_back() {
        let mut light = load([0.02, 0.8, 0.0]);
        light.pulsation = Some(crate::motor::Pulsation {
            kind: crate::motor::CompressorKind::Reciprocating,
            friction: f64::INFINITY,
        });
        let (out, _) = after(&light, 0.0, 1e6);
        assert_eq!((out.after, out.ratio), (AfterDip::Stalls, 0.0));
    }
}
