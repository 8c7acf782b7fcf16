//! Terminal voltage: is there enough left at the load's terminals, running and, where a least voltage is declared, starting?

use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Path};
use crate::standards::nema_mg_1::MOST_VOLTAGE;
use crate::start::Trace;

pub(super) struct TerminalVoltage;

/// A supply beyond this part of the rated voltage is another voltage, not a high one (assumed).
const DESTROYS: f64 = 1.35;

struct Drop {
    k: f64,
    volts: f64,
    least: f64,
    at_s: Option<f64>,
    when: &'static str,
}

/// How much the drop from the open-circuit voltage could grow: infinite without a drop, 0 where even no drop is too much.
fn room(open: f64, volts: f64, least: f64) -> f64 {
    if open < least {
        0.0
    } else if volts >= open {
        f64::INFINITY
    } else {
        (open - least) / (open - volts)
    }
}

fn running(path: &Path, trace: &Trace) -> Option<Drop> {
    let volts = trace.settled.filter(|_| trace.starts())?.terminal_v;
    let least = path.least_running_v;
    Some(Drop { k: room(path.open_v, volts, least), volts, least, at_s: None, when: "running" })
}

fn starting(path: &Path, trace: &Trace) -> Option<Drop> {
    let least = path.least_start_v?;
    let row = trace.rows.iter().min_by(|a, b| a.terminal_v.total_cmp(&b.terminal_v))?;
    let k = room(path.open_v, row.terminal_v, least);
    Some(Drop { k, volts: row.terminal_v, least, at_s: Some(row.t_s), when: "starting" })
}

/// A supply that is too low for the load even with nothing on it: 240 V equipment on 120 V.
fn too_low(path: &Path) -> Option<Drop> {
    let (volts, least) = (path.open_v, path.least_running_v);
    (volts < least).then_some(Drop { k: 0.0, volts, least, at_s: None, when: "nothing is on" })
}

/// A supply far above what the load is made for: 115 V equipment on 230 V. It burns, whatever the rest says.
fn far_too_high(path: &Path) -> bool {
    path.open_v > DESTROYS * path.rated_v
}

fn tightest(path: &Path, trace: &Trace) -> Option<Drop> {
    if far_too_high(path) {
        let (volts, least) = (path.open_v, path.rated_v);
        return Some(Drop { k: 0.0, volts, least, at_s: None, when: "nothing is on" });
    }
    let all = [starting(path, trace), running(path, trace).or_else(|| too_low(path))];
    all.into_iter().flatten().min_by(|a, b| a.k.total_cmp(&b.k))
}

/// A supply above what the load is made for: 1.1 times rated voltage (NEMA MG 1 12.44), or the nameplate's range. What that
/// does to a motor (saturation, heating) is not modelled.
fn too_high(case: &Case, path: &Path) -> Option<String> {
    let most = case.load.nameplate.voltage_range_v.map_or(MOST_VOLTAGE * path.rated_v, |[_, high]| high.0);
    (path.open_v > most).then(|| {
        format!(
            "the supply's {} V are above the {} V the load is made for at the most",
            say::number(path.open_v),
            say::number(most)
        )
    })
}

/// A cable with a size but no length, or the other way round.
fn drop_unknown(case: &Case) -> Option<String> {
    let conductor = case.circuit.conductor.as_ref()?;
    if conductor.resistance_ohm.is_some() || conductor.reactance_ohm.is_some() {
        return None;
    }
    let lacks = match (&conductor.size, &conductor.length_m) {
        (Some(_), None) => "length",
        (None, Some(_)) => "size",
        _ => return None,
    };
    Some(format!("the cable's {lacks} is not given, so the voltage lost in it is left out"))
}

impl Check for TerminalVoltage {
    fn id(&self) -> &'static str {
        "terminal-voltage"
    }

    fn needs(&self, _case: &Case, _path: Option<&Path>) -> Needs {
        Needs::Applies
    }

    fn reservation(&self, case: &Case, path: &Path, _told: &Explanation) -> Option<String> {
        too_high(case, path).or_else(|| drop_unknown(case))
    }

    fn has_subject(&self, path: &Path, trace: &Trace) -> bool {
        tightest(path, trace).is_some()
    }

    fn holds(&self, path: &Path, trace: &Trace, _reading: Reading, k: f64) -> bool {
        tightest(path, trace).is_none_or(|drop| k <= drop.k)
    }

    fn holds_start(&self, path: &Path, trace: &Trace) -> bool {
        starting(path, trace).is_none_or(|drop| drop.k >= 1.0)
    }

    fn margins(&self, path: &Path, trace: &Trace) -> Margins {
        Margins::all(tightest(path, trace).map_or(f64::INFINITY, |drop| drop.k - 1.0))
    }

    fn explain(&self, path: &Path, trace: &Trace, _margins: &Margins) -> Explanation {
        let Some(drop) = tightest(path, trace) else { return Explanation::default() };
        let why = format!(
            "{} V at the load's terminals while {}, at least {} V wanted",
            say::number(drop.volts),
            drop.when,
            say::number(drop.least)
        );
        if far_too_high(path) {
            let (open, rated) = (say::number(path.open_v), say::number(path.rated_v));
            return Explanation {
                sentence: format!(
                    "the supply has {open} V and the load is made for {rated} V: do not connect it"
                ),
                demand: Some(path.open_v),
                limit: Some(MOST_VOLTAGE * path.rated_v),
                unit: "V",
                at_s: None,
                rule: "at most 1.1 times rated voltage (NEMA MG 1 12.44)".into(),
                why: format!("{open} V on a load made for {rated} V"),
            };
        }
        let short = drop.least - drop.volts;
        let sentence = format!(
            "the load gets {} V while {} and wants at least {} V: {} V {}",
            say::number(drop.volts),
            drop.when,
            say::number(drop.least),
            say::number(short.abs()),
            if short > 0.0 { "too little" } else { "to spare" }
        );
        Explanation {
            sentence,
            demand: Some(drop.volts),
            limit: Some(drop.least),
            unit: "V",
            at_s: drop.at_s,
            rule: "running at least 0.9 of rated voltage (NEMA MG 1 12.44) or the nameplate's range; starting at least \
                   what the maker declares; the margin is by how much the voltage drop could grow"
                .into(),
            why,
        }
    }
}
