//! "Did you mean": the nearest key or word to what was written.

use super::keys::{Key, TABLES, Table, UNITS};

/// How many letters have to be changed, added, left out or swapped with their neighbour to get from `a` to
/// `b`, letters of either case alike. Gives up beyond `limit`.
pub(super) fn distance(a: &str, b: &str, limit: usize) -> Option<usize> {
    let fold = |s: &str| s.chars().take(limit + 65).flat_map(char::to_lowercase).collect::<Vec<char>>();
    let (a, b) = (fold(a), fold(b));
    if a.len().abs_diff(b.len()) > limit || a.len() > 64 {
        return None;
    }
    let mut before: Vec<usize> = Vec::new();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut next = vec![i + 1];
        for (j, y) in b.iter().enumerate() {
            let mut least = (row[j] + usize::from(x != y)).min(row[j + 1] + 1).min(next[j] + 1);
            if i > 0 && j > 0 && a[i - 1] == *y && b[j - 1] == *x {
                least = least.min(before[j - 1] + 1);
            }
            next.push(least);
        }
        before = std::mem::replace(&mut row, next);
    }
    row.last().copied().filter(|d| *d <= limit)
}

/// The nearest of `words` to what was written, if one is near enough to be meant.
pub(super) fn nearest<'w>(written: &str, words: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let limit = match written.chars().count() {
        0 | 1 => 0,
        n => (n / 3).clamp(1, 4),
    };
    let near = words.into_iter().filter_map(|w| distance(written, w, limit).map(|d| (d, w)));
    near.min_by_key(|(d, _)| *d).map(|(_, w)| w)
}

/// The key's name without its unit: "voltage" of "voltage_v".
fn stem(name: &str) -> &str {
    match name.rsplit_once('_') {
        Some((stem, unit)) if UNITS.iter().any(|(u, _)| *u == unit) => stem,
        Some((stem, "hp")) => stem,
        _ => name,
    }
}

/// What the trade writes, and the key it means.
const SHORT_FORMS: [(&str, &str); 12] = [
    ("lra", "locked_rotor_a"),
    ("rla", "rated_load_a"),
    ("fla", "rated_load_a"),
    ("mca", "minimum_circuit_ampacity_a"),
    ("mop", "maximum_protection_a"),
    ("mocp", "maximum_protection_a"),
    ("hp", "power_hp"),
    ("kw", "power_w"),
    ("watts", "power_w"),
    ("rpm", "rated_rpm"),
    ("pf", "power_factor"),
    ("hz", "frequency_hz"),
];

/// What to write instead of an unknown key of a table.
pub(super) fn for_key(table: &Table, written: &str) -> String {
    let names = || table.keys.iter().map(|k| k.name);
    let folded = written.to_lowercase().replace('-', "_");
    if let Some(key) = names().find(|n| *n == folded) {
        return format!("did you mean `{key}`?");
    }
    let same_stem: Vec<&Key> =
        table.keys.iter().filter(|k| k.name != stem(k.name) && stem(k.name) == stem(&folded)).collect();
    match same_stem.as_slice() {
        [] => {}
        [key] => return format!("did you mean `{}`? A key carries its unit", key.name),
        [first, rest @ ..] => {
            let rest: Vec<String> = rest.iter().map(|k| format!(" or `{}`", k.name)).collect();
            return format!("did you mean `{}`{}? A key carries its unit", first.name, rest.concat());
        }
    }
    let short = SHORT_FORMS.iter().find(|(short, key)| *short == stem(&folded) && table.key(key).is_some());
    if let Some((_, key)) = short {
        return format!("did you mean `{key}`?");
    }
    if let Some(place) = TABLES.iter().find(|t| t.key(written).is_some()) {
        return format!("`{written}` belongs in {}", place_of(place.path));
    }
    let tail = format!("_{}", stem(&folded));
    if let Some(key) = names().find(|n| stem(n).ends_with(&tail)) {
        return format!("did you mean `{key}`?");
    }
    match nearest(&folded, names()).or_else(|| nearest(&folded, names().map(stem))) {
        Some(near) => match names().find(|n| *n == near || stem(n) == near) {
            Some(key) => format!("did you mean `{key}`?"),
            None => format!("did you mean `{near}`?"),
        },
        None => format!("the keys here are {}", names().collect::<Vec<_>>().join(", ")),
    }
}

/// A table's path as the file writes it.
pub(super) fn place_of(path: &str) -> String {
    match path {
        "" => "the top of the file, before the first [table]".to_owned(),
        "circuit" | "battery" => format!("[{path}]"),
        "load[]" | "supply[]" | "running[]" => format!("[[{}]]", path.trim_end_matches("[]")),
        _ => path.replace("[]", ""),
    }
}
