//! Supplies and the battery.

use super::document::{Document, join};
use crate::figure::{AnyFigure, Figure};
use crate::quantity::*;
use crate::supply::{BatteryFigures, DipFigures, OnOverload, Rating, SupplyFigures, SupplyKind, SurgeRating};

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
    if !["continuous_va", "continuous_a", "continuous_w"].iter().any(|k| document.has(at, k)) {
        let multiple = |path: &String| document.has(path, "times_continuous");
        if matches!(document.text(at, "kind"), Some("inverter" | "generator")) {
            document.demand(
                at,
                "continuous_va",
                "an inverter or generator has a continuous rating: VA, A or W",
            );
        } else if document.list(at, "surge").iter().any(multiple) {
            document.demand(at, "continuous_va", "a surge as a multiple needs the continuous rating");
        }
    }
    let voltage_v = document.need::<Volt>(at, "voltage_v");
    let phases = document.phases(at, 1);
    let volts = voltage_v.get() * if phases == 3 { 3f64.sqrt() } else { 1.0 };
    let (surge, order) = surges(document, at, volts, continuous.as_ref());
    // rated voltage over rated current, per phase
    let ohms =
        continuous.as_ref().map(|c| voltage_v.get() / (volts / voltage_v.get()) / amperes(c, volts)[0]);
    let base = |share: Option<Figure<Ratio>>| {
        let (share, ohms) = (share?, ohms?);
        let of = |q: Ratio| Ohm(q.0 * ohms);
        let figure = Figure::exact(of(share.value), share.origin).between(of(share.low), of(share.high));
        Some(figure.placed(&share))
    };
    let figures = SupplyFigures {
        name: document.text(at, "name").unwrap_or_default().to_owned(),
        kind,
        voltage_v,
        frequency_hz: document.need(at, "frequency_hz"),
        phases,
        continuous,
        surge,
        peak_current_a: document.figure(at, "peak_current_a"),
        peak_current_for_s: document.figure(at, "peak_current_for_s"),
        output_ohm: document.figure(at, "output_ohm").or_else(|| base(document.figure(at, "output_pu"))),
        output_reactance_ohm: document
            .figure(at, "output_reactance_ohm")
            .or_else(|| base(document.figure(at, "output_reactance_pu"))),
        on_overload: match document.text(at, "on_overload") {
            Some("limit") => OnOverload::Limit,
            Some("retry") => OnOverload::Retry,
            _ => OnOverload::Trip,
        },
        fault_a: document.figure(at, "fault_a"),
        shuts_off_on_fault: document.switch_if_stated(at, "shuts_off_on_fault"),
        dip: document
            .inner(at, "dip")
            .map(|dip| DipFigures { to: document.need(&dip, "to"), for_s: document.need(&dip, "for_s") }),
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

/// A rating's value, low and high in amperes per line; `volts` is what turns them to volt-amperes.
fn amperes(rating: &Rating, volts: f64) -> [f64; 3] {
    let ((value, low, high), volts) = match rating {
        Rating::Amperes(f) => (f.numbers(), 1.0),
        Rating::VoltAmperes(f) => (f.numbers(), volts),
        Rating::Watts(f) => (f.numbers(), volts),
    };
    [value / volts, low / volts, high / volts]
}

/// One surge rating with its place in the file and its value in amperes.
struct Surge {
    place: usize,
    amps: f64,
    figures: SurgeRating,
}

/// The surge ratings, largest first, and the place in the file of each. `volts` turns amperes to
/// volt-amperes; without it ratings in the same unit are still compared.
fn surges(
    document: &mut Document<'_>,
    at: &str,
    volts: f64,
    continuous: Option<&Rating>,
) -> (Vec<SurgeRating>, Vec<usize>) {
    let paths = document.list(at, "surge");
    let in_amperes =
        paths.iter().any(|p| document.has(p, "a")) || matches!(continuous, Some(Rating::Amperes(_)));
    let volts = if volts.is_finite() || in_amperes { volts } else { 1.0 };
    let [_, least, _] = continuous.map_or([0.0; 3], |c| amperes(c, volts));
    let mut found: Vec<Surge> = Vec::new();
    for (place, path) in paths.iter().enumerate() {
        if !["a", "va", "w", "times_continuous"].iter().any(|k| document.has(path, k)) {
            document.demand(path, "va", "how much the supply carries: va or a");
        }
        let times = document.figure::<Ratio>(path, "times_continuous");
        let rating = match (rating(document, path, ["a", "va", "w"]), times) {
            (Some(rating), None) => rating,
            (Some(_), Some(_)) => {
                let message = "the same rating is given twice, as a multiple and outright";
                let key = join(path, "times_continuous");
                document.refuse(
                    document.name_span(path, "times_continuous"),
                    &key,
                    message,
                    "keep one of them",
                );
                continue;
            }
            (None, Some(times)) => match continuous {
                Some(continuous) => continuous.times(&times),
                // demanded above, or refused
                None => continue,
            },
            (None, None) => continue,
        };
        let [amps, _, high] = amperes(&rating, volts);
        if let (true, Some(continuous)) = (high < least, continuous) {
            let key =
                if document.has(path, "times_continuous") { "times_continuous" } else { key_of(&rating) };
            let message = format!(
                "a surge of {} is below the continuous rating, {}",
                shown(&rating),
                shown(continuous)
            );
            document.refuse(
                document.span(path, key),
                &join(path, key),
                message,
                "check which figure is which",
            );
        }
        let for_s = document.figure(path, "for_s");
        found.push(Surge { place, amps, figures: SurgeRating { rating, for_s } });
    }
    found.sort_by(|x, y| y.amps.total_cmp(&x.amps));
    falling(document, at, &found);
    found.into_iter().map(|s| (s.figures, s.place)).unzip()
}

/// A rating as the file states it.
fn shown(rating: &Rating) -> String {
    match rating {
        Rating::Amperes(f) => f.value.to_string(),
        Rating::VoltAmperes(f) => f.value.to_string(),
        Rating::Watts(f) => f.value.to_string(),
    }
}

fn key_of(rating: &Rating) -> &'static str {
    match rating {
        Rating::Amperes(_) => "a",
        Rating::VoltAmperes(_) => "va",
        Rating::Watts(_) => "w",
    }
}

/// Refuses ratings, sorted by falling current, whose times do not rise. The later one in the file is named.
fn falling(document: &mut Document<'_>, at: &str, sorted: &[Surge]) {
    let timed = sorted.iter().filter(|s| s.amps.is_finite());
    let timed: Vec<(&Surge, f64)> =
        timed.filter_map(|s| Some((s, s.figures.for_s.as_ref()?.get()))).collect();
    for pair in timed.windows(2) {
        let [(large, short), (small, long)] = pair else { continue };
        let path = format!("{at}.surge[{}]", large.place.max(small.place));
        if large.amps == small.amps {
            let key = ["a", "va", "w", "times_continuous"]
                .into_iter()
                .find(|k| document.has(&path, k))
                .unwrap_or("va");
            let help = "keep the one with the longer time if the maker promises it";
            let span = document.span(&path, key);
            document.refuse(span, &join(&path, key), "two surge ratings have the same current", help);
        } else if short >= long {
            let (large, small) = (shown(&large.figures.rating), shown(&small.figures.rating));
            let message = format!("{large} for {short} s, yet {small} only for {long} s");
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

/// The supplies of the catalogue that have a size of their own, as candidates.
pub fn candidates(catalogue: &super::catalogue::Catalogue) -> Vec<crate::advise::supplies::Candidate> {
    let shelf = catalogue.shelf(super::catalogue::Shelf::Supply);
    let each = shelf.filter_map(|entry| {
        // read as a site file would have it; one that needs figures of its own is refused and left out
        let text = format!("[[supply]]\nname = \"{0}\"\nuse = \"{0}\"\n", entry.id);
        let mut document = Document::read(&text, catalogue).ok()?;
        let (figures, _) = supply(&mut document, "supply[0]");
        let sized = figures.continuous.is_some() || figures.kind == SupplyKind::Shore;
        let known = figures.voltage_v.get() > 0.0 && document.has("supply[0]", "voltage_v");
        (sized && known).then(|| crate::advise::supplies::Candidate {
            name: entry.id.clone(),
            own: false,
            figures,
        })
    });
    each.collect()
}
