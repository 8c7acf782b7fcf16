//! The site file: TOML text in, a [`Site`] full of figures out, or everything that is wrong with it at once.
//!
//! The file is read as a document with places (never by a derive, which stops at the first mistake), every
//! key is looked up in one table of keys ([`keys`]), and each figure remembers where it stands. What cannot
//! be (a locked-rotor current below the rated one, a three-phase motor on a single-phase supply) is refused
//! with its reason. What the file leaves out comes from the [`catalogue`], or is worked out by rule.

pub mod answers;
mod built_in;
pub mod catalogue;
mod circuits;
mod day;
pub mod described;
mod diagnostics;
mod document;
mod hints;
mod inrush;
pub mod keys;
mod loads;
mod motors;
mod prices;
mod reference;
pub mod starters;
pub mod supplies;
mod values;

pub use day::{day_after_1970, is_day};
pub use diagnostics::{Diagnostic, ErrorEntry, Errors, errors, render};
pub use prices::Heading;

use self::catalogue::Catalogue;
use crate::advise::prices::Prices;
use crate::case::{Case, CircuitFigures, LoadFigures, Pressure, RunningFigures};
use crate::figure::Figure;
use crate::motor::given::MotorFigures;
use crate::quantity::Celsius;
use crate::start::Level;
use crate::supply::{BatteryFigures, SupplyFigures};
use crate::wiring::{ConductorSize, Duty};
use document::Document;

/// Whose rules apply, as the site file's key `standards` says.
pub use crate::standards::Rules as Standards;

/// Something about a key that is worth saying though nothing is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// The key as a path.
    pub path: String,
    /// What to say.
    pub message: String,
}

/// A load with the circuit of its own, if it has one.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteLoad {
    /// The load.
    pub figures: LoadFigures,
    /// Its own circuit, instead of the site's.
    pub circuit: Option<CircuitFigures>,
}

/// A site as its file states it.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// What stands at the head of the report.
    pub title: String,
    /// Whose rules apply.
    pub standards: Standards,
    /// Ambient temperature.
    pub ambient_c: Option<Figure<Celsius>>,
    /// What feeds the board; at least one.
    pub supplies: Vec<SupplyFigures>,
    /// The battery, if stated.
    pub battery: Option<BatteryFigures>,
    /// The circuit of every load that has none of its own.
    pub circuit: CircuitFigures,
    /// What is already on.
    pub running: Vec<RunningFigures>,
    /// What is to be started; at least one.
    pub loads: Vec<SiteLoad>,
    /// What ways out cost, if stated.
    pub prices: Option<Prices>,
    /// Who a report is for.
    pub heading: Heading,
    /// What is worth saying though nothing is wrong.
    pub notes: Vec<Note>,
    /// How closely starts are simulated: auto, unless whoever read the file wants otherwise.
    pub level: Level,
    /// For each supply, the place in the file of each of its surge ratings, which are sorted.
    surge_order: Vec<Vec<usize>>,
}

/// Reads a site file. `file` is its name, `text` its content.
///
/// # Errors
///
/// Everything that is wrong: all mistakes of spelling (TOML), or else all mistakes of meaning, in file order.
///
/// ```
/// let text = "supply = [{ name = 'inverter', kind = 'inverter', voltage_v = 120, frequency_hz = 60 }]\n[[lod]]\n";
/// let mistakes = startmargin::site::read("site.toml", text).unwrap_err();
/// assert_eq!(mistakes.len(), 3);
/// assert_eq!(mistakes[2].help, "did you mean `load`?");
/// ```
pub fn read(file: &str, text: &str) -> Result<Site, Vec<Diagnostic>> {
    read_with(file, text, &Catalogue::built_in())
}

/// The same with a catalogue of one's own ([`Catalogue::with_folder`]).
///
/// # Errors
///
/// As [`read`].
pub fn read_with(file: &str, text: &str, catalogue: &Catalogue) -> Result<Site, Vec<Diagnostic>> {
    let mut document = Document::read(text, catalogue)?;
    let supplies = supplies::read(&mut document);
    let (supplies, surge_order): (Vec<_>, Vec<_>) = supplies.into_iter().unzip();
    let battery = supplies::battery(&document);
    let circuit = circuits::circuit(&mut document, "circuit");
    let running = circuits::running(&document);
    let loads = loads::read(&mut document, &supplies);
    let standards = match (document.text("", "standards"), supplies.first()) {
        (Some("iec"), _) => Standards::Iec,
        (Some(_), _) => Standards::NorthAmerica,
        (None, Some(supply)) if supply.frequency_hz.get() < 55.0 => Standards::Iec,
        (None, _) => Standards::NorthAmerica,
    };
    let title = document.text("", "title").map_or_else(|| stem(file), str::to_owned);
    let ambient_c = document.figure("", "ambient_c");
    let prices = prices::prices(&mut document);
    let heading = prices::heading(&document);
    if document.flawed() {
        return Err(document.mistakes());
    }
    let notes = std::mem::take(&mut document.notes);
    let level = Level::default();
    Ok(Site {
        title,
        standards,
        ambient_c,
        supplies,
        battery,
        circuit,
        running,
        loads,
        prices,
        heading,
        notes,
        level,
        surge_order,
    })
}

/// The file's name without folders and ending.
fn stem(file: &str) -> String {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    match name.rsplit_once('.') {
        Some((stem, _)) if !stem.is_empty() => stem.to_owned(),
        _ => name.to_owned(),
    }
}

impl Site {
    /// One load on one supply with one pressure; the load's own circuit comes before the site's. What the cable's size and
    /// length yield is filled in: it depends on the load's phases.
    ///
    /// # Panics
    ///
    /// If the site has no such load or supply.
    pub fn case(&self, load: usize, supply: usize, pressure: Pressure) -> Case {
        let chosen = &self.loads[load];
        let supply = self.supplies[supply].clone();
        let mut circuit = chosen.circuit.as_ref().unwrap_or(&self.circuit).clone();
        if let Some(conductor) = &mut circuit.conductor {
            conductor.fill(&Duty {
                rules: self.standards,
                phases: chosen.figures.phases,
                frequency_hz: supply.frequency_hz.get(),
                ambient_c: self.ambient_c.as_ref(),
            });
        }
        Case {
            level: self.level,
            rules: self.standards,
            supply,
            running: self.running.clone(),
            circuit,
            load: chosen.figures.clone(),
            pressure,
            ambient_c: self.ambient_c.clone(),
            battery: self.battery.is_some(),
        }
    }

    /// The site with another size of cable before a load; `None` where what the cable carries is not by its size.
    pub fn with_cable(&self, load: usize, size: &ConductorSize) -> Option<Site> {
        let mut site = self.clone();
        let own = site.loads.get_mut(load)?.circuit.as_mut();
        let conductor = match own {
            Some(circuit) => circuit.conductor.as_mut(),
            None => site.circuit.conductor.as_mut(),
        }?;
        if conductor.ampacity_a.is_some() || conductor.resistance_ohm.is_some() {
            return None;
        }
        conductor.size = Some(size.clone());
        Some(site)
    }

    /// The path in the site file of a figure of a case: `key` as `Figures::visit` on [`Case`] yields it.
    pub fn case_path(&self, load: usize, supply: usize, key: &str) -> String {
        let (room, rest) = key.split_once('.').unwrap_or((key, ""));
        match room {
            "supply" => format!("supply[{supply}].{}", self.supply_path(supply, rest)),
            "circuit" if self.loads.get(load).is_some_and(|l| l.circuit.is_some()) => {
                format!("load[{load}].{key}")
            }
            "load" => {
                let fitted = matches!(self.loads[load].figures.motor, Some(MotorFigures::Plate(_)));
                format!("load[{load}].{}", load_path(rest, fitted))
            }
            _ => key.to_owned(),
        }
    }

    /// The key of a supply as the file writes it.
    fn supply_path(&self, supply: usize, key: &str) -> String {
        if let Some(unit) = key.strip_prefix("continuous.") {
            return format!("continuous_{unit}");
        }
        let surge = key.strip_prefix("surge[").and_then(|k| k.split_once(']'));
        let place =
            |i: usize| self.surge_order.get(supply).and_then(|order| order.get(i)).copied().unwrap_or(i);
        match surge.and_then(|(i, rest)| Some((i.parse().ok()?, rest))) {
            Some((i, rest)) => format!("surge[{}]{rest}", place(i)),
            None => key.to_owned(),
        }
    }
}

/// The key of a load as the file writes it.
fn load_path(key: &str, fitted: bool) -> String {
    if let Some(key) = key.strip_prefix("nameplate.") {
        return key.to_owned();
    }
    match key.strip_prefix("motor.") {
        Some(key) if fitted => key.to_owned(),
        Some(key) => format!("motor_model.{}", key.strip_prefix("auxiliary.").unwrap_or(key)),
        None => key.to_owned(),
    }
}
