//! Loads that are not induction motors as the site file states them.

use super::ballast::Ballast;
use super::filament::Filament;
use super::heater::Heater;
use super::rectifier::{DIODES_V, Precharge, Rectifier, Takes};
use super::transformer::Transformer;
use super::universal::Universal;
use super::{Feed, Inrush};
use crate::figure::Figure;
use crate::nameplate::Nameplate;
use crate::quantity::*;

/// What kind of load it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InrushKind {
    /// A resistance that hardly changes.
    Heater,
    /// A tungsten filament.
    Filament,
    /// A motor with brushes on alternating voltage.
    Universal,
    /// Rectifier and capacitor: a power supply, a charger.
    Rectifier,
    /// Rectifier and small capacitor: a lamp.
    ElectronicLamp,
    /// Rectifier, capacitor and inverter: a unit of variable speed.
    Drive,
    /// Rectifier and a capacitor that holds nothing.
    InductionHob,
    /// Iron transformer.
    Transformer,
    /// Discharge lamp with an inductive ballast.
    Ballast,
}

impl InrushKind {
    /// Every kind with the site file's word for it.
    pub const ALL: [(&'static str, InrushKind); 9] = [
        ("heater", InrushKind::Heater),
        ("filament", InrushKind::Filament),
        ("universal-motor", InrushKind::Universal),
        ("rectifier", InrushKind::Rectifier),
        ("electronic-lamp", InrushKind::ElectronicLamp),
        ("drive", InrushKind::Drive),
        ("induction-hob", InrushKind::InductionHob),
        ("transformer", InrushKind::Transformer),
        ("ballast", InrushKind::Ballast),
    ];

    /// The site file's word.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind)| *kind == self).map_or("heater", |(word, _)| word)
    }

    /// The kind of a word.
    pub fn of(word: &str) -> Option<InrushKind> {
        Self::ALL.iter().find(|(w, _)| *w == word).map(|(_, kind)| *kind)
    }

    /// Whether a bridge with a capacitor stands in front.
    pub fn rectifies(self) -> bool {
        use InrushKind::*;
        matches!(self, Rectifier | ElectronicLamp | Drive | InductionHob)
    }

    /// Why a motor starter is no cure for it, and what is (common practice, no source).
    pub fn no_starter(self) -> &'static str {
        match self {
            InrushKind::Heater => {
                "it draws no more at switch-on than later, so that a motor starter has nothing to reduce"
            }
            InrushKind::Filament => {
                "a motor starter is not made for lamps; a dimmer or a thermistor made for them softens the switching on"
            }
            InrushKind::Universal => {
                "motor starters are made for induction motors and this one has brushes; a start-up limiter for tools (a \
                 resistor that a relay bridges) is made for it"
            }
            InrushKind::Drive => {
                "electronics of the unit's own feed its motor, and a motor starter before them does no good and may destroy \
                 them"
            }
            InrushKind::Rectifier | InrushKind::ElectronicLamp | InrushKind::InductionHob => {
                "electronics of its own take their current at the voltage's crest, and a motor starter, which cuts into the \
                 wave, does no good before them and may destroy them; an inrush limiter (a resistor that a relay bridges) is \
                 made for them"
            }
            InrushKind::Transformer => {
                "a motor starter may cut the two half waves unequally, which drives an iron core further into saturation; an \
                 inrush limiter (a resistor that a relay bridges) is made for it"
            }
            InrushKind::Ballast => {
                "a discharge lamp goes out at reduced voltage, and its capacitor does not bear the cut wave of a motor starter"
            }
        }
    }

    /// Keys of `[load.inrush]` that it cannot do without.
    pub fn needs(self) -> &'static [&'static str] {
        match self {
            InrushKind::Heater => &[],
            InrushKind::Filament => &["cold_ratio", "heat_s"],
            InrushKind::Universal => &["start_ratio", "start_power_factor", "inertia_s"],
            InrushKind::Transformer => &["magnetising_pu", "knee", "saturated_pu", "winding_pu"],
            InrushKind::Ballast => &["start_ratio", "start_power_factor", "warm_up_s"],
            _ => &["capacitor_uf", "series_ohm"],
        }
    }

    /// Keys that it may have beside those.
    pub fn may(self) -> &'static [&'static str] {
        match self {
            InrushKind::Transformer => &["residual"],
            kind if kind.rectifies() => &[
                "choke_ohm",
                "limiter",
                "limiter_ohm",
                "limiter_hot_ohm",
                "relay_s",
                "hot",
                "ramp_s",
                "current",
            ],
            _ => &[],
        }
    }
}

/// What holds the charging current of a rectifier down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Limiter {
    /// Nothing.
    #[default]
    None,
    /// A thermistor: large cold, small hot.
    Thermistor,
    /// A resistor that a relay bridges.
    Relay,
}

/// A load that is no induction motor, as stated; which figures count is the kind's.
#[derive(Debug, Clone, PartialEq)]
pub struct InrushFigures {
    /// What it is.
    pub kind: InrushKind,
    /// Hot over cold resistance of a filament.
    pub cold_ratio: Option<Figure<Ratio>>,
    /// Energy that heats a filament, over rated power.
    pub heat_s: Option<Figure<Second>>,
    /// Current at standstill (universal motor) or at first (ballast) over the running one, rms, at rated voltage.
    pub start_ratio: Option<Figure<Ratio>>,
    /// Its power factor.
    pub start_power_factor: Option<Figure<Ratio>>,
    /// Kinetic energy at running speed over rated volt-amperes.
    pub inertia_s: Option<Figure<Second>>,
    /// Time constant in which a discharge lamp gets warm.
    pub warm_up_s: Option<Figure<Second>>,
    /// Capacitor behind the bridge.
    pub capacitor_uf: Option<Figure<Microfarad>>,
    /// Resistance in series with it, always.
    pub series_ohm: Option<Figure<Ohm>>,
    /// Reactance in series with it at rated frequency.
    pub choke_ohm: Option<Figure<Ohm>>,
    /// What holds the charging current down.
    pub limiter: Limiter,
    /// Resistance of that, cold.
    pub limiter_ohm: Option<Figure<Ohm>>,
    /// Resistance of a thermistor, hot.
    pub limiter_hot_ohm: Option<Figure<Ohm>>,
    /// When the relay closes.
    pub relay_s: Option<Figure<Second>>,
    /// Whether the thermistor is still hot from the run before.
    pub hot: bool,
    /// Time in which it comes to its power.
    pub ramp_s: Option<Figure<Second>>,
    /// Whether it takes a sinusoid once it works.
    pub sine: bool,
    /// Magnetising current over rated current, both rms.
    pub magnetising_pu: Option<Figure<Ratio>>,
    /// Flux at the knee over the crest of rated flux.
    pub knee: Option<Figure<Ratio>>,
    /// Reactance beyond the knee over rated voltage by rated current.
    pub saturated_pu: Option<Figure<Ratio>>,
    /// Resistance of the primary likewise.
    pub winding_pu: Option<Figure<Ratio>>,
    /// Flux left in the core over the crest of rated flux.
    pub residual: Option<Figure<Ratio>>,
}

crate::figures!(InrushFigures: cold_ratio, heat_s, start_ratio, start_power_factor, inertia_s, warm_up_s, capacitor_uf,
    series_ohm, choke_ohm, limiter_ohm, limiter_hot_ohm, relay_s, ramp_s, magnetising_pu, knee, saturated_pu, winding_pu,
    residual);

/// Time after which a thermistor counts as hot and its unit begins to work \[s\], and the same in charging time constants: by
/// then the capacitor is charged, and the thermistor warms for a minute after that (assumed).
const THERMISTOR_S: f64 = 0.1;
const THERMISTOR_CHARGED: f64 = 10.0;

/// Power factor of a discharge lamp with its ballast where the label does not say (common practice, no source).
const BALLAST_POWER_FACTOR: f64 = 0.5;
/// The same of a rectifier whose current comes in pulses (common practice, no source; 0.4 to 0.7).
const PULSES_POWER_FACTOR: f64 = 0.6;

fn value<Q: Quantity>(figure: &Option<Figure<Q>>) -> Option<f64> {
    figure.as_ref().map(Figure::get)
}

impl InrushFigures {
    /// Of a kind, without figures.
    pub fn of(kind: InrushKind) -> InrushFigures {
        InrushFigures {
            kind,
            cold_ratio: None,
            heat_s: None,
            start_ratio: None,
            start_power_factor: None,
            inertia_s: None,
            warm_up_s: None,
            capacitor_uf: None,
            series_ohm: None,
            choke_ohm: None,
            limiter: Limiter::None,
            limiter_ohm: None,
            limiter_hot_ohm: None,
            relay_s: None,
            hot: false,
            ramp_s: None,
            sine: false,
            magnetising_pu: None,
            knee: None,
            saturated_pu: None,
            winding_pu: None,
            residual: None,
        }
    }

    /// Running current \[A\] by the label: its rated current, else its power at a power factor.
    pub fn rated_a(&self, plate: &Nameplate, rated_v: f64) -> Option<f64> {
        let pf = self.power_factor(plate);
        value(&plate.rated_load_a).or_else(|| value(&plate.power_w).map(|w| w / (rated_v * pf)))
    }

    /// Power factor of the running current: the label's, else what is usual of the kind.
    fn power_factor(&self, plate: &Nameplate) -> f64 {
        value(&plate.power_factor).unwrap_or(match self.kind {
            InrushKind::Ballast => BALLAST_POWER_FACTOR,
            kind if kind.rectifies() && !self.sine => PULSES_POWER_FACTOR,
            _ => 1.0,
        })
    }

    /// The load at the figures' values, with a residual flux of either sign; its label at rated voltage \[V\] and frequency
    /// \[Hz\].
    ///
    /// # Errors
    /// The key that is missing.
    pub fn load(
        &self,
        plate: &Nameplate,
        rated_v: f64,
        rated_hz: f64,
    ) -> Result<Box<dyn Inrush>, &'static str> {
        let amps = self.rated_a(plate, rated_v).ok_or("rated_load_a")?;
        let watts = value(&plate.power_w).unwrap_or(rated_v * amps * self.power_factor(plate));
        let ohm = rated_v / amps;
        let omega = std::f64::consts::TAU * rated_hz;
        let needs = |figure: Option<f64>, key: &'static str| figure.ok_or(key);
        Ok(match self.kind {
            InrushKind::Heater => Box::new(Heater { ohm }),
            InrushKind::Filament => Box::new(Filament {
                hot_ohm: ohm,
                power_w: rated_v * amps,
                cold_ratio: needs(value(&self.cold_ratio), "inrush.cold_ratio")?,
                heat_s: needs(value(&self.heat_s), "inrush.heat_s")?,
            }),
            InrushKind::Universal => Box::new(Universal::new(
                rated_v,
                rated_hz,
                amps,
                needs(value(&self.start_ratio), "inrush.start_ratio")?,
                needs(value(&self.start_power_factor), "inrush.start_power_factor")?,
                needs(value(&self.inertia_s), "inrush.inertia_s")?,
            )),
            InrushKind::Ballast => Box::new(Ballast::new(
                rated_v,
                rated_hz,
                (amps, self.power_factor(plate)),
                (
                    needs(value(&self.start_ratio), "inrush.start_ratio")?,
                    needs(value(&self.start_power_factor), "inrush.start_power_factor")?,
                ),
                needs(value(&self.warm_up_s), "inrush.warm_up_s")?,
            )),
            InrushKind::Transformer => {
                let magnetising = needs(value(&self.magnetising_pu), "inrush.magnetising_pu")?;
                let winding = needs(value(&self.winding_pu), "inrush.winding_pu")?;
                // what the load takes beside the magnetising current, a quarter turn apart
                let loaded = (1.0 - magnetising * magnetising).max(1e-3).sqrt();
                Box::new(Transformer {
                    rated_vs: std::f64::consts::SQRT_2 * rated_v / omega,
                    ohm: winding * ohm,
                    magnetising_a: std::f64::consts::SQRT_2 * magnetising * amps,
                    knee: needs(value(&self.knee), "inrush.knee")?,
                    saturated_h: needs(value(&self.saturated_pu), "inrush.saturated_pu")? * ohm / omega,
                    residual: value(&self.residual).unwrap_or(0.0),
                    load_ohm: (1.0 / loaded - winding).max(1e-3) * ohm,
                })
            }
            _ => Box::new(Rectifier {
                volts: rated_v,
                farad: needs(value(&self.capacitor_uf), "inrush.capacitor_uf")? * 1e-6,
                ohm: needs(value(&self.series_ohm), "inrush.series_ohm")?,
                henry: value(&self.choke_ohm).unwrap_or(0.0) / omega,
                diodes_v: DIODES_V,
                precharge: self.precharge()?,
                power_w: watts,
                ramp_s: value(&self.ramp_s).unwrap_or(0.0),
                takes: if self.sine { Takes::Sine } else { Takes::Pulses },
            }),
        })
    }

    fn precharge(&self) -> Result<Option<Precharge>, &'static str> {
        let cold = || value(&self.limiter_ohm).ok_or("inrush.limiter_ohm");
        Ok(match self.limiter {
            Limiter::None => None,
            Limiter::Relay => Some(Precharge {
                ohm: cold()?,
                until_s: value(&self.relay_s).ok_or("inrush.relay_s")?,
                left_ohm: 0.0,
            }),
            Limiter::Thermistor => {
                let left_ohm = value(&self.limiter_hot_ohm).ok_or("inrush.limiter_hot_ohm")?;
                let ohm = if self.hot { left_ohm } else { cold()? };
                let charges_s = ohm * 1e-6 * value(&self.capacitor_uf).unwrap_or(0.0);
                let until_s = THERMISTOR_S.max(THERMISTOR_CHARGED * charges_s);
                Some(Precharge { ohm, until_s, left_ohm })
            }
        })
    }

    /// What the label and the kind leave open, in words; empty where nothing is.
    pub fn note(&self) -> Option<&'static str> {
        (self.limiter == Limiter::Thermistor && !self.hot).then_some(
            "the thermistor is taken as cold: switched off and on again within a minute the first peak is larger (hot = true)",
        )
    }
}

/// A feed whose inductance is that of a reactance at a frequency.
pub fn feed(volts: f64, ohm: f64, reactance_ohm: f64, hertz: f64) -> Feed {
    Feed { volts, ohm, henry: reactance_ohm / (std::f64::consts::TAU * hertz), hertz }
}
