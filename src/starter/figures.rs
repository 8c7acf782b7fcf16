//! A starter as the site file states it.

use super::{
    Autotransformer, ChangeOver, CutOut, DRIVE_LIMIT, Direct, Drive, Kick, Limiter, PhaseControl, Ramp,
    StarDelta, Starter,
};
use crate::figure::Figure;
use crate::quantity::*;

/// The kinds of starter the site file knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StarterKind {
    /// Straight on the line.
    #[default]
    Direct,
    /// Straight on the line with a start capacitor added.
    Assist,
    /// Holds the line current at or below a set value.
    Limiter,
    /// Raises the voltage from an initial fraction to full in a set time.
    Ramp,
    /// Autotransformer.
    Autotransformer,
    /// Star-delta.
    StarDelta,
    /// Variable-frequency drive.
    Drive,
}

/// A starter as the site file states it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StarterFigures {
    /// What it is.
    pub kind: StarterKind,
    /// Largest line current it lets through.
    pub largest_a: Option<Figure<Ampere>>,
    /// Start-current reduction r: the current is held at (1 - r) x LRA.
    pub reduction: Option<Figure<Ratio>>,
    /// Declared duration of the reduced start.
    pub duration_s: Option<Figure<Second>>,
    /// Voltage fraction a ramp begins with; the tap of an autotransformer.
    pub initial_fraction: Option<Figure<Ratio>>,
    /// Time a ramp takes to full voltage, a drive to full frequency.
    pub ramp_s: Option<Figure<Second>>,
    /// Voltage fraction of a kick before the ramp.
    pub kick_fraction: Option<Figure<Ratio>>,
    /// How long that kick lasts.
    pub kick_s: Option<Figure<Second>>,
    /// Time at which an autotransformer or star-delta starter changes over.
    pub changeover_s: Option<Figure<Second>>,
    /// Speed, as a fraction of synchronous speed, at which it changes over.
    pub changeover_speed: Option<Figure<Ratio>>,
    /// Start capacitor it switches in parallel with the run capacitor.
    pub assist_capacitor_uf: Option<Figure<Microfarad>>,
    /// Speed, as a fraction of synchronous speed, at which that capacitor leaves.
    pub cut_out_speed: Option<Figure<Ratio>>,
    /// Voltage across the auxiliary winding at which a relay takes that capacitor out.
    pub cut_out_v: Option<Figure<Volt>>,
    /// Whether it does so by phase control, whose harmonics heat and turn nothing; where nothing is said the wave is taken as a
    /// sine, and phase control is weighed beside it.
    pub phase_control: Option<bool>,
    /// First starts that are not reduced as much as later ones.
    pub learning_starts: Option<f64>,
    /// Phases it is made for.
    pub phases: Option<u32>,
    /// Voltages it is made for \[V\], lowest and highest.
    pub voltage_v: Option<[f64; 2]>,
    /// Frequencies it is made for \[Hz\], lowest and highest.
    pub frequency_hz: Option<[f64; 2]>,
    /// Rated-load currents of the motors it is made for \[A\], lowest and highest.
    pub for_rla_a: Option<[f64; 2]>,
    /// Catalogue entry it was based on.
    pub based_on: Option<String>,
}

crate::figures!(StarterFigures: largest_a, reduction, duration_s, initial_fraction, ramp_s, kick_fraction, kick_s,
    changeover_s, changeover_speed, assist_capacitor_uf, cut_out_speed, cut_out_v);

fn get<Q: Quantity>(figure: &Option<Figure<Q>>) -> Option<f64> {
    figure.as_ref().map(Figure::get)
}

impl StarterFigures {
    /// The starter at the figures' values. `locked_rotor_a` is the locked-rotor current at the supply's voltage, which a
    /// reduction is a share of; `rated_a` the rated-load current, which a drive that declares nothing is bound by.
    ///
    /// # Errors
    /// The missing key where a figure is absent.
    pub fn starter(
        &self,
        locked_rotor_a: f64,
        rated_a: Option<f64>,
        three_phase: bool,
    ) -> Result<Box<dyn Starter>, &'static str> {
        Ok(match self.kind {
            StarterKind::Direct | StarterKind::Assist => Box::new(Direct),
            StarterKind::Limiter => {
                let amps = self.held_a(locked_rotor_a).ok_or("starter.largest_a or starter.reduction")?;
                self.chopped(Limiter { amps }, three_phase)
            }
            StarterKind::Ramp => {
                let initial = get(&self.initial_fraction).ok_or("starter.initial_fraction")?;
                let ramp_s = get(&self.ramp_s).or(get(&self.duration_s)).ok_or("starter.ramp_s")?;
                let ramp = Ramp { initial, ramp_s };
                match (get(&self.kick_fraction), get(&self.kick_s)) {
                    (Some(fraction), Some(for_s)) => {
                        self.chopped(Kick { fraction, for_s, then: ramp }, three_phase)
                    }
                    _ => self.chopped(ramp, three_phase),
                }
            }
            StarterKind::Autotransformer => {
                let tap = get(&self.initial_fraction).ok_or("starter.initial_fraction")?;
                Box::new(Autotransformer { tap, change_over: self.change_over()? })
            }
            StarterKind::StarDelta => Box::new(StarDelta { change_over: self.change_over()? }),
            StarterKind::Drive => {
                let largest_a = self.held_a(locked_rotor_a).or(rated_a.map(|a| DRIVE_LIMIT * a));
                let largest_a = largest_a.ok_or("starter.largest_a")?;
                let ramp_s = get(&self.ramp_s).or(get(&self.duration_s)).ok_or("starter.ramp_s")?;
                Box::new(Drive { largest_a, ramp_s })
            }
        })
    }

    /// By phase control if that is stated.
    fn chopped(&self, aim: impl Starter + 'static, three_phase: bool) -> Box<dyn Starter> {
        match self.phase_control {
            Some(true) => Box::new(PhaseControl { aim, three_phase }),
            _ => Box::new(aim),
        }
    }

    /// The line current it is declared to hold \[A\].
    pub fn held_a(&self, locked_rotor_a: f64) -> Option<f64> {
        get(&self.largest_a).or(get(&self.reduction).map(|r| (1.0 - r) * locked_rotor_a))
    }

    /// When it changes over: by its own keys, else after its declared duration.
    fn change_over(&self) -> Result<ChangeOver, &'static str> {
        let at_speed = get(&self.changeover_speed);
        let at_s = get(&self.changeover_s).or(get(&self.duration_s).filter(|_| at_speed.is_none()));
        match (at_s, at_speed) {
            (None, None) => Err("starter.changeover_s"),
            _ => Ok(ChangeOver { at_s: at_s.unwrap_or(f64::INFINITY), at_speed }),
        }
    }

    /// When its capacitor leaves, by what is stated.
    pub fn cut_out(&self) -> Option<CutOut> {
        get(&self.cut_out_v).map(CutOut::Voltage).or(get(&self.cut_out_speed).map(CutOut::Speed))
    }

    /// What it is, in the words of the trade.
    pub fn words(&self) -> String {
        let mut words = match self.kind {
            StarterKind::Ramp if self.kick_s.is_some() => "soft starter (voltage ramp with kick)".to_owned(),
            kind => kind.words().to_owned(),
        };
        if self.phase_control == Some(true) && self.kind.soft() {
            words.push_str(" by phase control");
        }
        if self.assist_capacitor_uf.is_some() && self.kind != StarterKind::Assist {
            words.push_str(" with a start capacitor");
        }
        words
    }
}

impl StarterKind {
    /// Every kind with its word in the site file.
    pub const ALL: [(&'static str, StarterKind); 7] = [
        ("direct", StarterKind::Direct),
        ("assist", StarterKind::Assist),
        ("limiter", StarterKind::Limiter),
        ("ramp", StarterKind::Ramp),
        ("autotransformer", StarterKind::Autotransformer),
        ("star-delta", StarterKind::StarDelta),
        ("drive", StarterKind::Drive),
    ];

    /// Its word in the site file.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind)| *kind == self).map_or("direct", |(word, _)| word)
    }

    /// What the trade calls it.
    pub fn words(self) -> &'static str {
        match self {
            StarterKind::Direct => "direct",
            StarterKind::Assist => "direct with a start capacitor",
            StarterKind::Limiter => "soft starter (current limit)",
            StarterKind::Ramp => "soft starter (voltage ramp)",
            StarterKind::Autotransformer => "autotransformer",
            StarterKind::StarDelta => "star-delta",
            StarterKind::Drive => "drive",
        }
    }

    /// Whether it is a soft starter: electronics in series with the motor.
    pub fn soft(self) -> bool {
        matches!(self, StarterKind::Limiter | StarterKind::Ramp)
    }
}
