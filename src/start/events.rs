//! What happens in the middle of a step: switches open, limiters release, rotors break away or come to rest.

use super::envelope::{AT_SPEED, Life, Simulation, Speeds};
use super::network::Solved;
use super::trace::{Event, EventKind};
use crate::numeric::{ode::Step, root};
use crate::starter::CutOut;

/// What may change in the middle of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Change {
    OwnCutOut,
    AssistCutOut,
    Over,
    Limiter,
    BreakAway,
    Rest,
}

impl<const N: usize> Simulation<'_, N> {
    /// The earliest change within a step: where, which branch, what.
    pub(super) fn earliest(&mut self, step: &Step<N>) -> Option<(f64, usize, Change)> {
        let mut first: Option<(f64, usize, Change)> = None;
        // the last slope of an accepted step was taken at its end: what the network said there still stands
        let (Solved { fed, .. }, torques) = self.last(step.t0 + step.h, &step.y1);
        for i in 0..N {
            if self.life[i] != Life::On {
                continue;
            }
            let (x0, x1) = (step.y0[i], step.y1[i]);
            let mut offer = |theta: Option<f64>, what| {
                if let Some(theta) = theta
                    && first.is_none_or(|(f, ..)| theta < f)
                {
                    first = Some((theta, i, what));
                }
            };
            let crossing = |level: f64| root::bracketed(|th| step.at(th)[i] - level, 0.0, 1.0, 1e-12);
            if let (true, Some(cut)) = (self.stage[i].own_start, self.branches[i].machine.own_cut_out())
                && x0 < cut
                && x1 >= cut
            {
                offer(crossing(cut), Change::OwnCutOut);
            }
            match self.branches[i].assist_cut_out.filter(|_| self.stage[i].assist) {
                Some(CutOut::Speed(cut)) if x0 < cut && x1 >= cut => {
                    offer(crossing(cut), Change::AssistCutOut);
                }
                Some(CutOut::Voltage(volts)) => {
                    offer(self.relay_crossing(i, step, volts), Change::AssistCutOut)
                }
                _ => {}
            }
            let over = self.branches[i].starter.change_over().and_then(|c| c.at_speed);
            if let (false, Some(cut)) = (self.over[i], over)
                && x0 < cut
                && x1 >= cut
            {
                offer(crossing(cut), Change::Over);
            }
            if x1 < 0.0 && x0 > 0.0 {
                offer(crossing(0.0), Change::Rest);
            }
            if self.held[i] && torques[i] > self.branches[i].load.breakaway() {
                offer(self.break_away(i, step), Change::BreakAway);
            }
            if (fed[i].over_limit > 1.0) != self.limiting[i] && fed[i].over_limit != 0.0 {
                offer(self.limit_crossing(i, step), Change::Limiter);
            }
        }
        first
    }

    /// Where within a step a relay across the auxiliary winding sees its voltage.
    fn relay_crossing(&mut self, i: usize, step: &Step<N>, volts: f64) -> Option<f64> {
        let mut over = |th: f64| self.relay_v(i, step.t0 + th * step.h, &step.at(th)) / volts - 1.0;
        if over(1.0) < 0.0 {
            return None;
        }
        // a change of the coupling may have lifted the voltage past it at once
        if over(0.0) >= 0.0 { Some(0.0) } else { root::bracketed(&mut over, 0.0, 1.0, 1e-9).or(Some(1.0)) }
    }

    fn break_away(&mut self, i: usize, step: &Step<N>) -> Option<f64> {
        let needed = self.branches[i].load.breakaway();
        let mut excess =
            |th: f64| self.network(step.t0 + th * step.h, &step.at(th)).1[i] / needed.max(1e-12) - 1.0;
        // a motor held back until another moved on may have had enough from the step's beginning
        if excess(0.0) > 0.0 {
            return Some(0.0);
        }
        root::bracketed(&mut excess, 0.0, 1.0, 1e-9).or(Some(1.0))
    }

    fn limit_crossing(&mut self, i: usize, step: &Step<N>) -> Option<f64> {
        let over = |th: f64| self.network(step.t0 + th * step.h, &step.at(th)).0.fed[i].over_limit - 1.0;
        root::bracketed(over, 0.0, 1.0, 1e-9).or(Some(1.0))
    }

    pub(super) fn apply(&mut self, t: f64, x: &mut Speeds<N>, i: usize, what: Change) {
        // the side before the change has its row already; what follows is recorded by the caller
        let kind = match what {
            Change::OwnCutOut => {
                self.stage[i].own_start = false;
                EventKind::StartSwitchOpens
            }
            Change::AssistCutOut => {
                self.stage[i].assist = false;
                EventKind::AssistLeaves
            }
            Change::Over => {
                self.over[i] = true;
                EventKind::ChangesOver
            }
            Change::BreakAway => {
                self.held[i] = false;
                EventKind::BreaksAway
            }
            Change::Rest => {
                x[i] = 0.0;
                self.held[i] = true;
                EventKind::ComesToRest
            }
            Change::Limiter => {
                self.limiting[i] = !self.limiting[i];
                if self.limiting[i] { EventKind::LimiterHolds } else { EventKind::LimiterReleases }
            }
        };
        self.event(i, t, kind);
        self.open_what_is_due(t, x);
        // a switched capacitor may put the limiter to work, or relieve it
        if matches!(what, Change::OwnCutOut | Change::AssistCutOut | Change::Over) {
            let (solved, _) = self.network(t, x);
            for j in 0..N {
                self.limiting[j] = solved.fed[j].over_limit > 1.0;
            }
        }
    }

    /// Opens every switch whose speed is reached: of two due at one moment the step finds only one.
    fn open_what_is_due(&mut self, t: f64, x: &Speeds<N>) {
        let due = |x: f64, cut: Option<f64>| cut.is_some_and(|cut| x >= cut * (1.0 - 1e-9));
        for i in 0..N {
            if self.life[i] != Life::On {
                continue;
            }
            if self.stage[i].own_start && due(x[i], self.branches[i].machine.own_cut_out()) {
                self.stage[i].own_start = false;
                self.event(i, t, EventKind::StartSwitchOpens);
            }
            if self.stage[i].assist && self.assist_due(i, t, x) {
                self.stage[i].assist = false;
                self.event(i, t, EventKind::AssistLeaves);
            }
            let over = self.branches[i].starter.change_over().and_then(|c| c.at_speed);
            if !self.over[i] && due(x[i], over) {
                self.change_over(i, t);
            }
        }
    }

    pub(super) fn change_over(&mut self, i: usize, t: f64) {
        self.over[i] = true;
        self.event(i, t, EventKind::ChangesOver);
    }

    fn event(&mut self, i: usize, t: f64, kind: EventKind) {
        self.out[i].events.push(Event { t_s: t - self.branches[i].closes_at_s, kind });
    }

    /// Notes the moment the speed first reaches 95 % of settled within the part of the step up to `end`.
    pub(super) fn note_speed(&mut self, step: &Step<N>, end: f64) {
        let x_end = if end < 1.0 { step.at(end) } else { step.y1 };
        for i in 0..N {
            let Some(settled) = self.settled[i] else { continue };
            if self.life[i] != Life::On || self.out[i].start_duration_s.is_some() {
                continue;
            }
            let level = AT_SPEED * settled;
            if x_end[i] >= level {
                let theta = root::bracketed(|th| step.at(th)[i] - level, 0.0, end, 1e-12).unwrap_or(end);
                let t = step.t0 + theta * step.h;
                self.out[i].start_duration_s = Some(t - self.branches[i].closes_at_s);
                self.event(i, t, EventKind::ReachesSpeed);
            }
        }
    }
}
