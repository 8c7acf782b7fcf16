//! Supplies and the battery.

use super::document::{Document, join};
use crate::figure::{AnyFigure, Figure};
use crate::quantity::*;
use crate::supply::{BatteryFigures, OnOverload, Rating, SupplyFigures, SupplyKind, SurgeRating};

/// Every supply, with the places in the file of its sorted surge ratings.
pub(super) fn read(document: &mut Document<'_>) -> Vec<(SupplyFigures, Vec<usize>)> {
    let paths = document.list("", "supply");
    once_each(document, &paths, "supply");
    paths.iter().map(|at| supply(document, at)).collect()
}

/// Refuses a name given twice.
pub(super) fn once_each(document: &mut Document<'_>, paths: &[String], what: &str) {
    let mut seen = std::collections::BTreeSet::new();
    for at in paths {
        let Some(name) = document.text(at, "name").map(str::to_owned) else { continue };
        if !seen.insert(name) {
            let message = format!("another {what} has this name already");
            document.refuse(document.span(at, "name"), &join(at, "name"), message, "give each its own name");
        }
    }
}

fn supply(document: &mut Document<'_>, at: &str) -> (SupplyFigures, Vec<usize>) {
    let kind = match document.text(at, "kind") {
        Some("generator") => SupplyKind::Generator,
        Some("shore") => SupplyKind::Shore,
        _ => SupplyKind::Inverter,
    };
    let continuous = rating(document, at, ["continuous_a", "continuous_va", "continuous_w"]);
    if matches!(document.text(at, "kind"), Some("inverter" | "generator")) {
        let keys = ["continuous_va", "continuous_a", "continuous_w"];
        if !keys.iter().any(|k| document.has(at, k)) {
            document.demand(
                at,
                "continuous_va",
                "an inverter or generator has a continuous rating: VA, A or W",
            );
        }
    }
    let voltage_v = document.need::<Volt>(at, "voltage_v");
    let phases = document.phases(at, 1);
    let (surge, order) = surges(document, at, &voltage_v, phases, continuous.as_ref());
    let figures = SupplyFigures {
        name: document.text(at, "name").unwrap_or_default().to_owned(),
        kind,
        voltage_v,
        frequency_hz: document.need(at, "frequency_hz"),
        phases,
        continuous,
        surge,
        peak_current_a: document.figure(at, "peak_current_a"),
        output_ohm: document.figure(at, "output_ohm"),
        output_reactance_ohm: document.figure(at, "output_reactance_ohm"),
        on_overload: match document.text(at, "on_overload") {
            Some("limit") => OnOverload::Limit,
            Some("retry") => OnOverload::Retry,
            _ => OnOverload::Trip,
        },
        based_on: document.based_on(at),
    };
    (figures, order)
}

/// A rating given in one of three units; more than one is refused.
fn rating(document: &mut Document<'_>, at: &str, [a, va, w]: [&str; 3]) -> Option<Rating> {
    let mut given: Vec<&str> = [a, va, w].into_iter().filter(|k| document.has(at, k)).collect();
    given.sort_by_key(|k| document.name_span(at, k).start);
    if let [first, rest @ ..] = given.as_slice() {
        for more in rest {
            let message = format!("the same rating is given as {first} already");
            document.refuse(document.name_span(at, more), &join(at, more), message, "keep one of them");
        }
    }
    if let Some(f) = document.figure(at, a) {
        return Some(Rating::Amperes(f));
    }
    if let Some(f) = document.figure(at, va) {
        return Some(Rating::VoltAmperes(f));
    }
    let f = document.figure(at, w)?;
    document.note(join(at, w), "watts are taken as volt-amperes: the maker's figure in VA or A is better");
    Some(Rating::Watts(f))
}

/// A rating's value, low and high in amperes per line.
fn amperes(rating: &Rating, voltage_v: &Figure<Volt>, phases: u32) -> [f64; 3] {
    let volts = voltage_v.get() * if phases == 3 { 3f64.sqrt() } else { 1.0 };
    let ((value, low, high), volts) = match rating {
        Rating::Amperes(f) => (f.numbers(), 1.0),
        Rating::VoltAmperes(f) => (f.numbers(), volts),
        Rating::Watts(f) => (f.numbers(), volts),
    };
    [value / volts, low / volts, high / volts]
}

/// The surge ratings, largest first, and the place in the file of each.
fn surges(
    document: &mut Document<'_>,
    at: &str,
    voltage_v: &Figure<Volt>,
    phases: u32,
    continuous: Option<&Rating>,
) -> (Vec<SurgeRating>, Vec<usize>) {
    let [_, least, _] = continuous.map_or([0.0; 3], |c| amperes(c, voltage_v, phases));
    let mut found: Vec<(usize, f64, SurgeRating)> = Vec::new();
    for (i, path) in document.list(at, "surge").iter().enumerate() {
        if !["a", "va", "w"].iter().any(|k| document.has(path, k)) {
            document.demand(path, "va", "how much the supply carries: va or a");
        }
        let Some(rating) = rating(document, path, ["a", "va", "w"]) else { continue };
        let [value, _, high] = amperes(&rating, voltage_v, phases);
        if high < least {
            let key = key_of(&rating);
            let message = format!("a surge of {value:.4} A is below the continuous rating, {least:.4} A");
            document.refuse(
                document.span(path, key),
                &join(path, key),
                message,
                "check which figure is which",
            );
        }
        found.push((i, value, SurgeRating { rating, for_s: document.figure(path, "for_s") }));
    }
    found.sort_by(|x, y| y.1.total_cmp(&x.1));
    falling(document, at, &found);
    found.into_iter().map(|(i, _, rating)| (rating, i)).unzip()
}

fn key_of(rating: &Rating) -> &'static str {
    match rating {
        Rating::Amperes(_) => "a",
        Rating::VoltAmperes(_) => "va",
        Rating::Watts(_) => "w",
    }
}

/// Refuses ratings, sorted by falling current, whose times do not rise. The later one in the file is named.
fn falling(document: &mut Document<'_>, at: &str, sorted: &[(usize, f64, SurgeRating)]) {
    let timed = sorted.iter().filter_map(|(i, amps, r)| r.for_s.as_ref().map(|t| (*i, *amps, t.get())));
    let timed: Vec<(usize, f64, f64)> = timed.filter(|(_, amps, _)| amps.is_finite()).collect();
    for pair in timed.windows(2) {
        let [(i, large, short), (j, small, long)] = pair else { continue };
        let path = format!("{at}.surge[{}]", i.max(j));
        if large == small {
            let key = ["a", "va", "w"].into_iter().find(|k| document.has(&path, k)).unwrap_or("va");
            let help = "keep the one with the longer time if the maker promises it";
            let span = document.span(&path, key);
            document.refuse(span, &join(&path, key), "two surge ratings have the same current", help);
        } else if short >= long {
            let message = format!("{large:.4} A for {short} s, yet {small:.4} A only for {long} s");
            let help = "a smaller current is carried for longer: check currents and times";
            document.refuse(document.span(&path, "for_s"), &join(&path, "for_s"), message, help);
        }
    }
}

/// The battery, if stated.
pub(super) fn battery(document: &Document<'_>) -> Option<BatteryFigures> {
    let at = document.inner("", "battery")?;
    let fuse = document.inner(&at, "fuse").map(|fuse| {
        let standard = document.text(&fuse, "standard").unwrap_or_default().to_owned();
        (standard, document.need(&fuse, "rating_a"))
    });
    Some(BatteryFigures {
        nominal_v: document.need(&at, "nominal_v"),
        internal_mohm: document.figure(&at, "internal_mohm"),
        peak_a: document.figure(&at, "peak_a"),
        peak_for_s: document.figure(&at, "peak_for_s"),
        fuse,
    })
}
