//! Soft starter that raises the voltage, with or without a kick first.

use super::{ChangeOver, Coupling, Starter};

/// An ideal voltage ramp: from `initial` to full voltage in a straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ramp {
    /// Voltage fraction at switch-on.
    pub initial: f64,
    /// Time to full voltage \[s\].
    pub ramp_s: f64,
}

impl Ramp {
    fn share(&self, t: f64) -> f64 {
        let done = if self.ramp_s > 0.0 { (t / self.ramp_s).clamp(0.0, 1.0) } else { 1.0 };
        self.initial + (1.0 - self.initial) * done
    }
}

impl Starter for Ramp {
    fn coupling(&self, t: f64, _over: bool) -> Coupling {
        Coupling::Series { k: self.share(t) }
    }

    fn constant_from_s(&self) -> f64 {
        self.ramp_s
    }
}

/// A ramp with a kick first: `fraction` of the voltage for `for_s`, to break the rotor away, then the ramp from its
/// beginning. A kick below the voltage that the ramp begins with is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kick {
    /// Voltage fraction of the kick.
    pub fraction: f64,
    /// How long it lasts \[s\].
    pub for_s: f64,
    /// What follows.
    pub then: Ramp,
}

impl Starter for Kick {
    fn coupling(&self, t: f64, over: bool) -> Coupling {
        let k = if over { self.then.share(t - self.for_s) } else { self.fraction.max(self.then.initial) };
        Coupling::Series { k }
    }

    fn constant_from_s(&self) -> f64 {
        self.for_s + self.then.ramp_s
    }

    fn change_over(&self) -> Option<ChangeOver> {
        Some(ChangeOver { at_s: self.for_s, at_speed: None })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn analytic_a_kick_goes_before_the_ramp() {
        let kick = Kick { fraction: 0.8, for_s: 0.1, then: Ramp { initial: 0.4, ramp_s: 1.0 } };
        let k = |t: f64, over: bool| match kick.coupling(t, over) {
            Coupling::Series { k } => k,
            other => panic!("{other:?}"),
        };
        assert!((k(0.05, false) - 0.8).abs() < 1e-12);
        assert!((k(0.1, true) - 0.4).abs() < 1e-12);
        assert!((k(0.6, true) - 0.7).abs() < 1e-12);
        assert!((k(1.1, true) - 1.0).abs() < 1e-12);
    }
}
