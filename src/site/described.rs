//! Entries of the catalogue as they are shown: what they say of themselves, and every figure, a load's class included.

use std::collections::BTreeMap;

use super::catalogue::{About, Catalogue, CatalogueEntry, Shelf};
use super::diagnostics::Diagnostic;
use super::document::{Entry, Value, held};
use super::hints;
use super::keys::UNITS;
use crate::figure::Origin;

/// A figure or word of an entry, for showing it.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The key, dotted below the entry.
    pub key: String,
    /// The value as it would stand in a site file.
    pub value: String,
    /// The value as a number, for figures.
    pub number: Option<f64>,
    /// Lower and upper bound, if it ranges.
    pub range: Option<[f64; 2]>,
    /// The unit in the key's name, empty if it has none.
    pub unit: &'static str,
    /// Its origin, for figures.
    pub origin: Option<Origin>,
    /// Where it comes from, in words; empty if nothing is said.
    pub source: String,
    /// The class that it comes from, not the entry itself.
    pub class: Option<String>,
}

/// An entry with all it brings.
#[derive(Debug, Clone, PartialEq)]
pub struct Described<'c> {
    /// The entry.
    pub entry: &'c CatalogueEntry,
    /// What it says of itself.
    pub about: About,
    /// Its figures and words in its file's order, then those of its class.
    pub items: Vec<Item>,
}

/// Why a name leads to no entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotFound {
    /// There is no such entry.
    #[error("the catalogue has no entry \"{name}\"; {help}")]
    Unknown {
        /// What was asked for.
        name: String,
        /// What would be right.
        help: String,
    },
    /// Entries of several shelves have this name.
    #[error("\"{name}\" is on several shelves: say which, {}", which.join(" or "))]
    Several {
        /// What was asked for.
        name: String,
        /// The names that lead to one.
        which: Vec<String>,
    },
}

impl Catalogue {
    /// The entry of a name, with its shelf before it ("loads/roof-ac") where several have the same.
    ///
    /// # Errors
    /// No entry, or more than one.
    pub fn find(&self, name: &str) -> Result<&CatalogueEntry, NotFound> {
        let (shelf, id) = match name.split_once('/') {
            Some((shelf, id)) => {
                let of = |s: &Shelf| s.folder() == shelf || s.word() == shelf;
                let Some(found) = Shelf::ALL.into_iter().find(of) else {
                    let help = format!("the shelves are {}", Shelf::ALL.map(Shelf::folder).join(", "));
                    return Err(NotFound::Unknown { name: super::values::short(name), help });
                };
                (Some(found), id)
            }
            None => (None, name),
        };
        let shelves = || Shelf::ALL.into_iter().filter(move |s| shelf.is_none_or(|one| one == *s));
        let found: Vec<&CatalogueEntry> = shelves().filter_map(|s| self.entry(s, id)).collect();
        match found.as_slice() {
            [one] => Ok(one),
            [] => {
                let ids = shelves().flat_map(|s| self.shelf(s)).map(|e| e.id.as_str());
                let help = match hints::nearest(id, ids) {
                    Some(near) => format!("did you mean \"{near}\"? `startmargin catalogue` lists them all"),
                    None => "`startmargin catalogue` lists them all".to_owned(),
                };
                Err(NotFound::Unknown { name: super::values::short(name), help })
            }
            several => {
                let which = several.iter().map(|e| format!("{}/{}", e.shelf.folder(), e.id)).collect();
                Err(NotFound::Several { name: name.to_owned(), which })
            }
        }
    }

    /// An entry with all its figures, and what its class adds to a load.
    ///
    /// # Errors
    /// What is wrong with it or its class.
    pub fn described<'c>(&self, entry: &'c CatalogueEntry) -> Result<Described<'c>, Vec<Diagnostic>> {
        let own = self.fragment(entry)?;
        let mut items = items(&own, &[], None);
        let class = own.get("class").and_then(Entry::text).map(|(id, _)| id);
        if let Some(class) = class.and_then(|id| self.entry(Shelf::Class, id)) {
            let added = self.fragment(class)?;
            let taken = |key: &str| own.get(key).is_some_and(|e| e.read != Value::Unknown);
            items.extend(self::items(&added, &held(&added, taken), Some(&class.id)));
        }
        Ok(Described { entry, about: self.about(entry), items })
    }

    /// The value of a number of an entry, its class left out.
    pub fn number(&self, entry: &CatalogueEntry, key: &str) -> Option<f64> {
        match self.fragment(entry).ok()?.get(key)?.read {
            Value::Number { value, .. } => Some(value),
            Value::Whole(n) => Some(f64::from(n)),
            _ => None,
        }
    }

    /// A word of an entry, its class left out.
    pub fn word(&self, entry: &CatalogueEntry, key: &str) -> Option<String> {
        let keys = self.fragment(entry).ok()?;
        keys.get(key).and_then(Entry::text).map(|(text, _)| text.to_owned())
    }
}

/// The figures and words of a fragment but for some, in its own order.
fn items(fragment: &BTreeMap<String, Entry>, without: &[String], class: Option<&str>) -> Vec<Item> {
    let mut items: Vec<(usize, Item)> = Vec::new();
    for (key, one) in fragment.iter().filter(|(key, _)| !without.contains(key)) {
        let mut item = Item {
            key: key.clone(),
            value: String::new(),
            number: None,
            range: None,
            unit: unit(key),
            origin: None,
            source: String::new(),
            class: class.map(str::to_owned),
        };
        item.value = match &one.read {
            Value::Number { value, low, high, origin, source, .. } => {
                (item.number, item.origin) = (Some(*value), Some(*origin));
                item.range = (low < high).then_some([*low, *high]);
                item.source = source.as_ref().map_or_else(String::new, |s| s.to_string());
                value.to_string()
            }
            Value::Pair([low, high]) => format!("[{low}, {high}]"),
            Value::Whole(n) => {
                item.number = Some(f64::from(*n));
                n.to_string()
            }
            Value::Text(text) => format!("\"{text}\""),
            Value::Switch(on) => on.to_string(),
            Value::Unknown => "\"unknown\"".into(),
            Value::Table | Value::Tables(_) | Value::Refused => continue,
        };
        items.push((one.place(), item));
    }
    items.sort_by_key(|(place, _)| *place);
    items.into_iter().map(|(_, item)| item).collect()
}

/// The unit that a key's name ends in.
fn unit(key: &str) -> &'static str {
    let name = key.rsplit('.').next().unwrap_or(key);
    let Some((_, last)) = name.rsplit_once('_') else {
        return UNITS.iter().find(|(suffix, _)| *suffix == name).map_or("", |(_, unit)| unit);
    };
    UNITS.iter().find(|(suffix, _)| *suffix == last).map_or("", |(_, unit)| unit)
}
