//! What a circuit says of itself: the figures a label could carry.

use super::{Circuit, Winding};
use crate::motor::{Auxiliary, Cage, Capacitor, Machine, Point, Stage, ThreePhase, TwoWinding};

/// The start switch closed, no starter's capacitor: how a label's locked-rotor figures are meant.
const OWN_START: Stage = Stage { own_start: true, assist: false };

/// A circuit as the machine it is.
pub(super) enum Machines {
    Two(TwoWinding),
    Three(ThreePhase),
}

impl Machines {
    #[inline]
    pub(super) fn at(&self, slip: f64, stage: Stage) -> Point {
        match self {
            Machines::Two(m) => m.at((1.0 - slip) * m.sync_speed(), stage),
            Machines::Three(m) => m.at((1.0 - slip) * m.sync_speed(), stage),
        }
    }
}

/// Where a motor is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Supply {
    pub winding: Winding,
    pub poles: u32,
    pub frequency_hz: f64,
    pub voltage_v: f64,
    pub cut_out_speed: f64,
}

impl Supply {
    pub(super) fn sync_speed(&self) -> f64 {
        crate::motor::sync_speed(self.poles, self.frequency_hz)
    }

    /// Phases, and volts of one phase.
    #[inline]
    pub(super) fn phase(&self) -> (f64, f64) {
        match self.winding {
            Winding::ThreePhase => (3.0, self.voltage_v / 3f64.sqrt()),
            _ => (1.0, self.voltage_v),
        }
    }

    /// The machine of a circuit; reactances go with the frequency it is asked at.
    pub(super) fn machine(&self, c: &Circuit, frequency_hz: f64, inertia_kgm2: f64) -> Machines {
        let k = frequency_hz / self.frequency_hz;
        if self.winding == Winding::ThreePhase {
            let cage = Cage { r_ohm: c.r2_ohm, x_ohm: c.x2_ohm * k };
            let stator = [c.r1_ohm, c.x1_ohm * k, c.xm_ohm * k];
            let one = ThreePhase::new(self.poles, frequency_hz, stator, cage, inertia_kgm2);
            let cages = match c.second_cage {
                Some(second) => one.with_second_cage(Cage { x_ohm: second.x_ohm * k, ..second }),
                None => one,
            };
            return Machines::Three(match c.leakage_saturation_a {
                Some(amps) => cages.with_leakage_saturation(amps, self.phase().1),
                None => cages,
            });
        }
        let main = [c.r1_ohm, c.x1_ohm * k, c.xm_ohm * k, c.r2_ohm, c.x2_ohm * k];
        let capacitor = |uf: f64| Capacitor { farad: uf * 1e-6, ohm: 0.0 };
        let auxiliary = c.auxiliary.map(|aux| Auxiliary { x_ohm: aux.x_ohm * k, ..aux });
        let start =
            self.winding.has_switch().then(|| (c.start_capacitor_uf.map(capacitor), self.cut_out_speed));
        let m = TwoWinding::new(self.poles, frequency_hz, main, inertia_kgm2);
        Machines::Two(m.assembled(auxiliary, c.run_capacitor_uf.map(capacitor), start))
    }
}

/// The figures of a motor at its rated voltage and frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reached {
    /// Line current at the rated point \[A\].
    pub rated_a: f64,
    /// Power factor there.
    pub power_factor: f64,
    /// Power at the shaft there \[W\].
    pub shaft_w: f64,
    /// Shaft power over input.
    pub efficiency: f64,
    /// Slip there.
    pub slip: f64,
    /// Torque at the shaft there \[N m\].
    pub shaft_nm: f64,
    /// Iron loss and friction as a torque on the rotor \[N m\]: the machine gives `shaft_nm + drag_nm` at the rated point.
    pub drag_nm: f64,
    /// Line current at standstill, start parts in \[A\].
    pub locked_rotor_a: f64,
    /// Power factor at standstill.
    pub locked_rotor_power_factor: f64,
    /// Torque at standstill, start parts in \[N m\].
    pub locked_rotor_nm: f64,
    /// Largest torque at the shaft, start parts out \[N m\].
    pub breakdown_nm: f64,
    /// The slip of it.
    pub breakdown_slip: f64,
    /// Torque with the start parts in over that without them, at the speed where the start switch opens; 1 without a switch.
    pub at_cut_out: f64,
}

/// Slips between which the largest torque is looked for: down to where no motor works, up to 0.05 of synchronous speed, as
/// in the pull-out torque of a start.
const LEAST_SLIP: f64 = 0.004;
const MOST_SLIP: f64 = 0.95;
/// Points of the first look.
const LOOKS: usize = 14;

/// A second hump of the coarse look counts if it comes up to this share of the first: halfway between two points a peak of
/// one cage is 2 % higher than either (derived).
const ANOTHER_HUMP: f64 = 0.96;

/// The slip of the largest torque with the start parts out: a coarse look in equal steps of ln s, then each hump that may be
/// the largest (two cages can make two) more closely.
pub(super) fn breakdown_slip(machine: &Machines) -> f64 {
    let step = (MOST_SLIP / LEAST_SLIP).ln() / (LOOKS - 1) as f64;
    let ratio = step.exp();
    let mut slip = LEAST_SLIP;
    let mut seen = [0.0; LOOKS];
    let (mut best, mut best_torque) = (0, f64::NEG_INFINITY);
    for (i, seen) in seen.iter_mut().enumerate() {
        *seen = machine.at(slip, Stage::RUN).torque_per_v2;
        if *seen > best_torque {
            (best, best_torque) = (i, *seen);
        }
        slip *= ratio;
    }
    let largest = top(machine, best, step);
    let is_hump = |i: usize| (i == 0 || seen[i] > seen[i - 1]) && (i + 1 == LOOKS || seen[i] > seen[i + 1]);
    let another = (0..LOOKS)
        .filter(|&i| i.abs_diff(best) > 1 && seen[i] > ANOTHER_HUMP * best_torque && is_hump(i))
        .max_by(|&i, &j| seen[i].total_cmp(&seen[j]));
    let Some(another) = another.map(|i| top(machine, i, step)) else { return largest };
    let torque = |slip: f64| machine.at(slip, Stage::RUN).torque_per_v2;
    if torque(another) > torque(largest) { another } else { largest }
}

/// The slip of the largest torque about point `best` of the coarse look: a parabola through three points until it stands still.
fn top(machine: &Machines, best: usize, step: f64) -> f64 {
    let torque = |ln: f64| machine.at(ln.exp(), Stage::RUN).torque_per_v2;
    let centre = LEAST_SLIP.ln() + step * best as f64;
    let (mut a, mut b, mut c) = (centre - step, centre, (centre + step).min(MOST_SLIP.ln()));
    if best == LOOKS - 1 {
        b = 0.5 * (a + c);
    }
    let (mut ta, mut tb, mut tc) = (torque(a), torque(b), torque(c));
    for _ in 0..12 {
        if tb < ta || tb < tc {
            // the largest lies at the edge of the range: halve towards it
            if tc >= ta {
                (a, ta) = (b, tb);
            } else {
                (c, tc) = (b, tb);
            }
            b = 0.5 * (a + c);
            tb = torque(b);
            continue;
        }
        let (left, right) = ((b - a) * (tb - tc), (b - c) * (tb - ta));
        let over = left - right;
        if over == 0.0 {
            break;
        }
        let top = b - 0.5 * ((b - a) * left - (b - c) * right) / over;
        if !(top > a && top < c) {
            break;
        }
        let moved = top - b;
        if moved.abs() < 1e-6 {
            break;
        }
        let tt = torque(top);
        if moved > 0.0 {
            if tt >= tb {
                (a, ta, b, tb) = (b, tb, top, tt);
            } else {
                (c, tc) = (top, tt);
            }
        } else if tt >= tb {
            (c, tc, b, tb) = (b, tb, top, tt);
        } else {
            (a, ta) = (top, tt);
        }
        if moved.abs() < 1e-4 {
            break;
        }
    }
    if tc > tb { c.exp() } else { b.exp() }
}

/// Reads a circuit: at its rated slip, at standstill and at the largest torque (looked for, unless its slip is known). Iron loss
/// and friction are a share of the rated input, taken off at the shaft as a constant torque.
#[inline]
pub(super) fn read(
    supply: &Supply,
    circuit: &Circuit,
    [slip, drag]: [f64; 2],
    at_breakdown: Option<f64>,
) -> Reached {
    let machine = supply.machine(circuit, supply.frequency_hz, 0.0);
    let (phases, v) = supply.phase();
    let rated = machine.at(slip, Stage::RUN);
    let stalled = machine.at(1.0, OWN_START);
    let breakdown_slip = at_breakdown.unwrap_or_else(|| breakdown_slip(&machine));
    let largest = machine.at(breakdown_slip, Stage::RUN);
    let (rated_y, stalled_y) = (rated.y.norm_sqr().sqrt(), stalled.y.norm_sqr().sqrt());
    let square = v * v;
    let (input_w, speed) = (phases * square * rated.y.re, (1.0 - slip) * supply.sync_speed());
    let drag_nm = drag * input_w / speed;
    let shaft_nm = rated.torque_per_v2 * square - drag_nm;
    let shaft_w = shaft_nm * speed;
    let at_cut_out = match supply.winding.has_switch() {
        false => 1.0,
        true => {
            let slip = 1.0 - supply.cut_out_speed;
            let torque = |stage| machine.at(slip, stage).torque_per_v2;
            torque(OWN_START) / torque(Stage::RUN)
        }
    };
    Reached {
        rated_a: rated_y * v,
        power_factor: rated.y.re / rated_y,
        shaft_w,
        efficiency: shaft_w / input_w,
        slip,
        shaft_nm,
        drag_nm,
        locked_rotor_a: stalled_y * v,
        locked_rotor_power_factor: stalled.y.re / stalled_y,
        locked_rotor_nm: stalled.torque_per_v2 * square,
        breakdown_nm: largest.torque_per_v2 * square - drag_nm,
        breakdown_slip,
        at_cut_out,
    }
}
