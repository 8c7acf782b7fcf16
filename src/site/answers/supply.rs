//! What a supply is taken to be where only its size is known: volts and hertz by the load's, the rest by the catalogue.

use super::{Answers, Assumption, Mistake};
use crate::site::catalogue::{Catalogue, CatalogueEntry, Shelf};

/// Below this the mains are 50 Hz, above it 60 Hz.
const BETWEEN_50_AND_60_HZ: f64 = 55.0;

/// Motors for this and more have three phases where nothing says otherwise (common practice, no source).
const THREE_PHASE_V: f64 = 380.0;

/// Rated volts of loads, the hertz they go with, phases, and the nominal volts of the supply they are made for (IEC 60038 and
/// ANSI C84.1, from memory: 115 V motors belong to 120 V systems, 230 V ones at 60 Hz to 240 V, 460 V to 480 V).
const NOMINAL: &[(f64, f64, f64, f64, f64)] = &[
    (110.0, 127.0, 60.0, 1.0, 120.0),
    (200.0, 250.0, 60.0, 1.0, 240.0),
    (100.0, 127.0, 50.0, 1.0, 110.0),
    (220.0, 250.0, 50.0, 1.0, 230.0),
    (200.0, 215.0, 60.0, 3.0, 208.0),
    (216.0, 250.0, 60.0, 3.0, 240.0),
    (440.0, 480.0, 60.0, 3.0, 480.0),
    (550.0, 600.0, 60.0, 3.0, 600.0),
    (220.0, 250.0, 50.0, 3.0, 230.0),
    (380.0, 415.0, 50.0, 3.0, 400.0),
];

/// Volts, hertz and phases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mains {
    pub(super) volts: f64,
    pub(super) hertz: f64,
    pub(super) phases: f64,
}

/// The entries of the catalogue that the answers name.
#[derive(Debug, Default)]
pub(super) struct Named<'c> {
    pub(super) load: Option<&'c CatalogueEntry>,
    pub(super) class: Option<&'c CatalogueEntry>,
    pub(super) supply: Option<&'c CatalogueEntry>,
}

impl<'c> Named<'c> {
    /// Looks them up; a starter too.
    pub(super) fn look_up(answers: &Answers, catalogue: &'c Catalogue) -> Result<Named<'c>, Vec<Mistake>> {
        let mut mistakes = Vec::new();
        let mut entry = |flag: &'static str, shelf: Shelf| {
            let id = answers.word(flag)?;
            let found = catalogue.entry(shelf, id);
            if found.is_none() {
                let message =
                    format!("the catalogue has no {} \"{}\"", shelf.word(), crate::site::values::short(id));
                mistakes.push(Mistake { flag, key: String::new(), message, help: catalogue.help(shelf, id) });
            }
            found
        };
        let named = Named {
            load: entry("load", Shelf::Load),
            class: entry("class", Shelf::Class),
            supply: entry("supply", Shelf::Supply),
        };
        entry("starter", Shelf::Starter);
        if mistakes.is_empty() { Ok(named) } else { Err(mistakes) }
    }
}

/// Volts of a load that nothing else is known of: the hertz they usually go with.
fn usual_hertz(volts: f64) -> f64 {
    match volts {
        v if v < 150.0 => 60.0,
        v if (220.0..=230.0).contains(&v) || (380.0..=415.0).contains(&v) => 50.0,
        _ => 60.0,
    }
}

/// The phases of the load, if anything tells them.
pub(super) fn load_phases(answers: &Answers, catalogue: &Catalogue, named: &Named<'_>) -> Option<f64> {
    let by_entry = |entry: &CatalogueEntry| catalogue.number(entry, "phases").unwrap_or(1.0);
    let by_class = |class: &CatalogueEntry| {
        let three = catalogue.word(class, "windings").is_some_and(|w| w == "three-phase");
        if three { 3.0 } else { 1.0 }
    };
    let said = answers.number("phases").map(|(n, _)| n);
    let by_volts = || answers.number("volts").filter(|(volts, _)| *volts >= THREE_PHASE_V).map(|_| 3.0);
    said.or_else(|| named.load.map(by_entry)).or_else(|| named.class.map(by_class)).or_else(by_volts)
}

/// The mains that the supply is on, and what was assumed about them.
pub(super) fn mains(
    answers: &Answers,
    catalogue: &Catalogue,
    named: &Named<'_>,
    assumed: &mut Vec<Assumption>,
) -> Mains {
    let of = |entry: Option<&CatalogueEntry>, key: &str| catalogue.number(entry?, key);
    let said = |flag: &str| answers.number(flag).map(|(value, _)| value);
    let phases = match named.supply {
        Some(entry) => catalogue.number(entry, "phases").unwrap_or(1.0),
        None => load_phases(answers, catalogue, named).unwrap_or(1.0),
    };
    let load_volts = said("volts").or_else(|| of(named.load, "rated_voltage_v"));
    let own_volts = said("supply-volts").or_else(|| of(named.supply, "voltage_v"));
    let told = of(named.supply, "frequency_hz")
        .or_else(|| said("hz"))
        .or_else(|| of(named.load, "rated_frequency_hz"));
    // horsepower, code letters, circuit ampacities and gauges stand on labels of 60 Hz countries
    let american = ["hp", "code", "mca", "mocp", "awg"].iter().any(|flag| answers.has(flag))
        || answers.word("breaker-standard") == Some("UL 489");
    let hertz = told.unwrap_or_else(|| match (own_volts.or(load_volts), phases) {
        _ if american => 60.0,
        (Some(volts), _) => usual_hertz(volts),
        (None, _) => 60.0,
    });
    let row = |volts: f64| {
        let low = hertz < BETWEEN_50_AND_60_HZ;
        NOMINAL.iter().find(|(from, to, hz, ph, _)| {
            (*from..=*to).contains(&volts) && (*hz < BETWEEN_50_AND_60_HZ) == low && *ph == phases
        })
    };
    let volts = own_volts.or_else(|| load_volts.map(|v| row(v).map_or(v, |r| r.4)));
    let volts = volts.unwrap_or(match (hertz < BETWEEN_50_AND_60_HZ, phases == 3.0) {
        (false, false) => 120.0,
        (true, false) => 230.0,
        (false, true) => 208.0,
        (true, true) => 400.0,
    });
    if own_volts.is_none() || told.is_none() {
        let by = if load_volts.is_some() { ", by the load's volts" } else { "" };
        let ph = if phases == 3.0 { " three-phase" } else { "" };
        let flag = match (load_volts.is_some(), told.is_none()) {
            (false, _) => "volts",
            (true, true) => "hz",
            (true, false) => "supply-volts",
        };
        assumed.push(Assumption::new(format!("a supply of {volts} V {hertz} Hz{ph}{by}"), flag));
    }
    Mains { volts, hertz, phases }
}

/// The shore outlet of the catalogue that is nearest to so many amperes on these mains.
pub(super) fn outlet(catalogue: &Catalogue, amperes: f64, mains: Mains) -> Option<&CatalogueEntry> {
    let fits = |e: &&CatalogueEntry| {
        let number = |key: &str| catalogue.number(e, key);
        catalogue.word(e, "kind").is_some_and(|k| k == "shore")
            && number("voltage_v").is_some_and(|v| (v / mains.volts - 1.0).abs() < 0.06)
            && number("frequency_hz") == Some(mains.hertz)
            && number("phases").unwrap_or(1.0) == mains.phases
    };
    let apart = |e: &CatalogueEntry| {
        catalogue.number(e, "continuous_a").map_or(f64::MAX, |a| (a / amperes).ln().abs())
    };
    catalogue.shelf(Shelf::Supply).filter(fits).min_by(|a, b| apart(a).total_cmp(&apart(b)))
}
