//! What is still to switch on the way up: start parts, change-overs, and the torque ahead of a failed start.

use super::envelope::{Life, Simulation, Speeds};
use crate::starter::CutOut;

impl<const N: usize> Simulation<'_, N> {
    /// Least ratio of motor torque to load torque over the speeds a failed start did not reach, up to 0.9 of the settled
    /// speed (of synchronous speed where there is none), at the load torque of its end.
    pub(super) fn ratio_ahead(&mut self, i: usize, t: f64, x: &Speeds<N>) -> f64 {
        const POINTS: u32 = 100;
        let kept = (self.stage[i], self.life[i], self.over[i]);
        self.life[i] = Life::On;
        let from = x[i].max(0.0);
        let to = 0.9 * self.settled[i].unwrap_or(1.0);
        let mut least = f64::INFINITY;
        for j in 1..=POINTS {
            let mut ahead = *x;
            ahead[i] = from + (to - from) * f64::from(j) / f64::from(POINTS);
            if ahead[i] <= from {
                break;
            }
            let passed = |cut: Option<f64>| cut.is_some_and(|c| ahead[i] >= c);
            self.stage[i].own_start &= !passed(self.branches[i].machine.own_cut_out());
            self.over[i] |= passed(self.branches[i].starter.change_over().and_then(|c| c.at_speed));
            if self.stage[i].assist && self.assist_due(i, t, &ahead) {
                self.stage[i].assist = false;
            }
            let load = self.load_at(i, t, ahead[i]);
            if load > 0.0 {
                least = least.min(self.network(t, &ahead).1[i] / load);
            }
        }
        (self.stage[i], self.life[i], self.over[i]) = kept;
        least
    }

    /// Whether the branch's coupling still changes with time after `t`.
    pub(super) fn coupling_moves(&self, i: usize, t: f64) -> bool {
        let age = t - self.branches[i].closes_at_s;
        let starter = self.branches[i].starter;
        let over = || starter.change_over().is_some_and(|c| !self.over[i] && c.at_s.is_finite());
        age < starter.constant_from_s() || over()
    }

    /// Whether a start part, or the starter, still waits for its speed.
    pub(super) fn pending_cut_out(&self, i: usize, x: f64) -> bool {
        // a cut-out above the settled speed never comes
        let ahead = |cut: Option<f64>| {
            cut.is_some_and(|c| x < c && self.settled[i].is_none_or(|settled| c <= settled))
        };
        let assist = || match self.branches[i].assist_cut_out {
            Some(CutOut::Speed(cut)) => ahead(Some(cut)),
            Some(CutOut::Voltage(_)) => !self.ends[i].assist,
            None => false,
        };
        (self.stage[i].own_start && ahead(self.branches[i].machine.own_cut_out()))
            || (self.stage[i].assist && assist())
            || (!self.over[i] && ahead(self.branches[i].starter.change_over().and_then(|c| c.at_speed)))
    }

    /// Whether the starter's change-over is due by the clock.
    pub(super) fn is_due_over(&self, i: usize, t: f64) -> bool {
        let branch = &self.branches[i];
        !self.over[i] && branch.starter.change_over().is_some_and(|c| t >= branch.closes_at_s + c.at_s)
    }

    /// Voltage that a relay across the auxiliary winding sees \[V\].
    pub(super) fn relay_v(&mut self, i: usize, t: f64, x: &Speeds<N>) -> f64 {
        let motor_v = self.network(t, x).0.fed[i].motor.norm();
        motor_v * self.branches[i].machine.auxiliary_per_v(x[i] * self.sync[i], self.stage[i])
    }

    /// Whether the starter's capacitor, being in, is to leave.
    pub(super) fn assist_due(&mut self, i: usize, t: f64, x: &Speeds<N>) -> bool {
        match self.branches[i].assist_cut_out {
            Some(CutOut::Speed(cut)) => x[i] >= cut * (1.0 - 1e-9),
            Some(CutOut::Voltage(volts)) => self.relay_v(i, t, x) >= volts * (1.0 - 1e-9),
            None => false,
        }
    }
}
