//! The catalogue for reading and for programs.

use std::fmt::Write as _;

use serde::Serialize;

use super::words::{sentence, set};
use crate::figure::Origin;
use crate::site::catalogue::{Catalogue, CatalogueEntry, Shelf};
use crate::site::described::{Described, Item};

#[derive(Serialize)]
struct Listed {
    shelf: &'static str,
    id: String,
    summary: String,
    own: bool,
}

#[derive(Serialize)]
struct Shown<'a> {
    shelf: &'static str,
    id: &'a str,
    summary: &'a str,
    note: &'a str,
    own: bool,
    items: Vec<JsonItem<'a>>,
}

#[derive(Serialize)]
struct JsonItem<'a> {
    key: &'a str,
    value: serde_json::Value,
    low: Option<f64>,
    high: Option<f64>,
    unit: &'static str,
    origin: Option<Origin>,
    source: &'a str,
    class: Option<&'a str>,
}

fn listed(catalogue: &Catalogue, entry: &CatalogueEntry) -> Listed {
    let summary = catalogue.about(entry).summary;
    Listed { shelf: entry.shelf.folder(), id: entry.id.clone(), summary, own: entry.own }
}

/// The list of some shelves as text.
pub fn list_text(catalogue: &Catalogue, shelves: &[Shelf]) -> String {
    let mut out = String::new();
    let longest = shelves.iter().flat_map(|s| catalogue.shelf(*s)).map(|e| e.id.len()).max().unwrap_or(0);
    for shelf in shelves {
        let _ = writeln!(out, "{}", sentence(shelf.folder()));
        for entry in catalogue.shelf(*shelf) {
            let one = listed(catalogue, entry);
            let own = if one.own { " (your own)" } else { "" };
            let first = format!("  {:<longest$}  ", one.id);
            out.push_str(&set(&first, &" ".repeat(longest + 4), &format!("{}{own}", one.summary)));
        }
        out.push('\n');
    }
    out.push_str(&set(
        "",
        "",
        "Generic classes, no products: every figure is a range with its origin. startmargin catalogue ID shows one; \
         use = \"ID\" in a site file builds on it, and what the file says itself comes first.",
    ));
    out
}

/// The list of some shelves as JSON.
///
/// # Errors
/// Only if the serialiser fails, which its own types rule out.
pub fn list_json(catalogue: &Catalogue, shelves: &[Shelf]) -> Result<String, serde_json::Error> {
    let entries: Vec<Listed> =
        shelves.iter().flat_map(|s| catalogue.shelf(*s)).map(|e| listed(catalogue, e)).collect();
    Ok(serde_json::to_string_pretty(&serde_json::json!({ "format": 1, "entries": entries }))? + "\n")
}

/// One entry as text.
pub fn entry_text(told: &Described<'_>) -> String {
    let mut out = set("", "", &format!("{}: {}", told.entry.id, told.about.summary));
    if !told.about.note.is_empty() {
        out.push_str(&set("", "", &told.about.note));
    }
    let (own, class): (Vec<&Item>, Vec<&Item>) = told.items.iter().partition(|i| i.class.is_none());
    out.push('\n');
    out.push_str(&table(&own));
    if let Some(name) = class.first().and_then(|i| i.class.as_deref()) {
        let _ = writeln!(out, "\n  from its class, {name}:");
        out.push_str(&table(&class));
    }
    out
}

fn table(items: &[&Item]) -> String {
    let longest = items.iter().map(|i| i.key.len()).max().unwrap_or(0);
    let mut out = String::new();
    for item in items {
        let range = item.range.map_or(String::new(), |[low, high]| format!(" ({low} to {high})"));
        let value = format!("{}{range} {}", item.value, item.unit);
        let origin = item.origin.map_or("", Origin::word);
        let source = if item.source.is_empty() { String::new() } else { format!(": {}", item.source) };
        let first = format!("  {:<longest$}  {:<26} ", item.key, value.trim_end());
        let said = format!("{origin}{source}");
        let said = if origin == "typical" && source.contains("common practice") {
            "common practice, no source"
        } else {
            &said
        };
        out.push_str(&set(&first, &" ".repeat(longest + 31), said));
    }
    out
}

/// One entry as JSON.
///
/// # Errors
/// Only if the serialiser fails, which its own types rule out.
pub fn entry_json(told: &Described<'_>) -> Result<String, serde_json::Error> {
    let item = |i: &'_ Item| JsonItem {
        key: "",
        value: match i.number {
            Some(number) => number.into(),
            None => i.value.trim_matches('"').into(),
        },
        low: i.range.map(|[low, _]| low).or(i.number.filter(|_| i.origin.is_some())),
        high: i.range.map(|[_, high]| high).or(i.number.filter(|_| i.origin.is_some())),
        unit: i.unit,
        origin: i.origin,
        source: "",
        class: None,
    };
    let items = told
        .items
        .iter()
        .map(|i| JsonItem { key: &i.key, source: &i.source, class: i.class.as_deref(), ..item(i) })
        .collect();
    let shown = Shown {
        shelf: told.entry.shelf.folder(),
        id: &told.entry.id,
        summary: &told.about.summary,
        note: &told.about.note,
        own: told.entry.own,
        items,
    };
    Ok(serde_json::to_string_pretty(&serde_json::json!({ "format": 1, "entry": shown }))? + "\n")
}
