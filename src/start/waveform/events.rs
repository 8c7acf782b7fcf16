//! What happens in the middle of a step at the waveform level: contacts that open, a rotor that breaks away or comes to rest.

use nalgebra::SVector;

use super::Run;
use crate::motor::instantaneous::{Contact, WaveModel};
use crate::numeric::{ode::Step, root};
use crate::start::envelope::AT_SPEED;
use crate::start::trace::{Event, EventKind};
use crate::starter::CutOut;

/// How the rotor moves against what holds it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Motion {
    /// Nothing holds it at standstill: it goes where it is driven.
    Free,
    /// At rest, held by its load.
    Held,
    /// Turning.
    Forward,
    /// Pushed backwards.
    Backward,
}

/// What changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Change {
    Opens(Contact),
    ChangesOver,
    BreaksAway,
    ComesToRest,
    /// A line's current behind thyristors comes to zero.
    LetsGo(usize),
    /// These lines conduct from now on.
    Conduct([bool; 3]),
}

const CONTACTS: [Contact; 2] = [Contact::OwnStart, Contact::Assist];

/// What a motor at rest must have more than breakaway to move: with just as much it would neither rest nor turn.
const MORE: f64 = 1e-6;

/// Points within a step at which signs are compared: a step is short against a half cycle of the current.
const LOOKS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// The first crossing of zero of `f` from `from` to 1, upwards only if `up`.
pub(super) fn crossing(from: f64, up: bool, mut f: impl FnMut(f64) -> f64) -> Option<f64> {
    let (mut a, mut fa) = (from, f(from));
    for b in LOOKS.into_iter().filter(|&b| b > from) {
        let fb = f(b);
        let crosses = if up { fa < 0.0 && fb >= 0.0 } else { fa * fb <= 0.0 && fb != fa };
        if crosses {
            // a zero just where the last event left it is that event's, not the next
            if fa == 0.0 && a == from {
                (a, fa) = (b, fb);
                continue;
            }
            return root::bracketed(&mut f, a, b, 1e-12);
        }
        (a, fa) = (b, fb);
    }
    None
}

impl<M: WaveModel, const N: usize> Run<'_, M, N> {
    fn cut_out(&self, contact: Contact) -> Option<CutOut> {
        match contact {
            Contact::OwnStart if self.stage.own_start => self.branch.machine.own_cut_out().map(CutOut::Speed),
            Contact::Assist if self.stage.assist => self.branch.assist_cut_out,
            _ => None,
        }
    }

    /// Where in a step a contact's time has come.
    fn reached(&self, cut: CutOut, step: &Step<N>) -> Option<f64> {
        let speed = |theta: f64| step.component(Self::SPEED, theta);
        let excess = |theta: f64| match cut {
            CutOut::Speed(cut) => speed(theta) - cut,
            // by the phasor circuit: the relay's coil and spring are far slower than a cycle
            CutOut::Voltage(volts) => {
                let at = speed(theta).max(0.0) * self.sync;
                self.machine_v * self.branch.machine.auxiliary_per_v(at, self.stage) / volts - 1.0
            }
        };
        if excess(0.0) >= 0.0 { Some(0.0) } else { crossing(0.0, true, excess) }
    }

    /// The earliest change within a step, and where.
    pub(super) fn earliest(&mut self, step: &Step<N>) -> Option<(f64, Change)> {
        let mut first: Option<(f64, Change)> = None;
        let mut offer = |theta: Option<f64>, what| {
            if let Some(theta) = theta
                && first.is_none_or(|(f, _)| theta < f)
            {
                first = Some((theta, what));
            }
        };
        let speed = |theta: f64| step.component(Self::SPEED, theta);
        for (i, contact) in CONTACTS.into_iter().enumerate() {
            let Some(cut) = self.cut_out(contact) else { continue };
            let mut from = 0.0;
            if !self.due[i] {
                let Some(reached) = self.reached(cut, step) else { continue };
                self.due[i] = true;
                from = reached;
            }
            let circuit = &self.circuit;
            offer(
                crossing(from, false, |th| M::through(circuit, contact, &step.at(th))),
                Change::Opens(contact),
            );
        }
        if let (false, Some(cut)) = (self.over, self.branch.starter.change_over().and_then(|c| c.at_speed)) {
            let passed = step.y0[Self::SPEED] >= cut;
            let at = if passed { Some(0.0) } else { crossing(0.0, true, |th| speed(th) - cut) };
            offer(at, Change::ChangesOver);
        }
        if self.chopped {
            for line in 0..self.lines() {
                offer(self.lets_go(line, step), Change::LetsGo(line));
            }
            if let Some((theta, lines)) = self.takes_over(step) {
                offer(Some(theta), Change::Conduct(lines));
            }
        }
        match self.motion {
            Motion::Free => {}
            Motion::Held => {
                let holds = self.branch.load.breakaway() * (1.0 + MORE);
                let excess =
                    |th: f64| M::torque(&self.circuit, &step.at(th)).abs() * self.newton_metres - holds;
                // from below only: one that has just come to rest with more than enough torque would rest and break away for ever
                offer(crossing(0.0, true, excess), Change::BreaksAway);
            }
            Motion::Forward => {
                // it breaks away with the speed still at zero: only below it has it come back
                let back = LOOKS.into_iter().find(|&th| speed(th) < 0.0);
                offer(
                    back.and_then(|b| root::bracketed(speed, 0.0, b, 1e-12).or(Some(0.0))),
                    Change::ComesToRest,
                );
            }
            Motion::Backward => {
                let back = LOOKS.into_iter().find(|&th| speed(th) > 0.0);
                offer(
                    back.and_then(|b| root::bracketed(speed, 0.0, b, 1e-12).or(Some(0.0))),
                    Change::ComesToRest,
                );
            }
        }
        first
    }

    pub(super) fn apply(&mut self, what: Change, t: f64, y: &mut SVector<f64, N>) {
        let kind = match what {
            Change::LetsGo(line) => return self.let_go(line, t, y),
            Change::Conduct(lines) => {
                self.firing.on = lines;
                return;
            }
            Change::Opens(Contact::OwnStart) => {
                self.stage.own_start = false;
                EventKind::StartSwitchOpens
            }
            Change::Opens(Contact::Assist) => {
                self.stage.assist = false;
                EventKind::AssistLeaves
            }
            Change::ChangesOver => {
                self.over = true;
                EventKind::ChangesOver
            }
            Change::BreaksAway => {
                let torque = M::torque(&self.circuit, y);
                self.motion = if torque < 0.0 { Motion::Backward } else { Motion::Forward };
                EventKind::BreaksAway
            }
            Change::ComesToRest => {
                y[Self::SPEED] = 0.0;
                let torque = M::torque(&self.circuit, y) * self.newton_metres;
                let turns = torque.abs() > self.branch.load.breakaway();
                self.motion = match self.motion {
                    Motion::Forward if turns && torque < 0.0 => Motion::Backward,
                    Motion::Backward if turns && torque > 0.0 => Motion::Forward,
                    _ => Motion::Held,
                };
                EventKind::ComesToRest
            }
        };
        // a rotor that rocks with the pulsating torque breaks away twice a cycle: the first time is what counts
        let told = matches!(kind, EventKind::BreaksAway | EventKind::ComesToRest)
            && self.ending.events.iter().any(|e| e.kind == kind);
        if !told {
            self.ending.events.push(Event { t_s: t, kind });
        }
    }

    /// Notes the moment the speed first reaches 95 % of settled within the part of the step up to `end`.
    pub(super) fn note_speed(&mut self, step: &Step<N>, end: f64) {
        let Some(settled) = self.closing.settled_speed else { return };
        if self.ending.start_duration_s.is_some() {
            return;
        }
        let level = AT_SPEED * settled / self.sync;
        let excess = |share: f64| step.component(Self::SPEED, share * end) - level;
        if let Some(theta) = crossing(0.0, true, excess) {
            let t = step.t0 + theta * end * step.h;
            self.ending.start_duration_s = Some(t);
            self.ending.events.push(Event { t_s: t, kind: EventKind::ReachesSpeed });
        }
    }
}
