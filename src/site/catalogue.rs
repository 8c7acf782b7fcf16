//! The catalogue: generic loads, supplies, starters, breakers and classes that a site file builds on with `use` and
//! `class`. An entry is a fragment of a site file, with the same keys; what the site file says comes before the entry, and
//! the entry before its class. The built-in ones are the files of appliances/, one line each in `built_in`.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use toml::de::{DeTable, DeValue};

use crate::figure::Origin;

use super::diagnostics::Diagnostic;
use super::document::{Document, Entry, Value};
use super::{built_in, hints};

/// What an entry describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shelf {
    /// A load to be started.
    Load,
    /// A supply.
    Supply,
    /// A starter.
    Starter,
    /// A breaker.
    Breaker,
    /// What a kind of load has in common: ratios, torque against speed, inertia.
    Class,
}

impl Shelf {
    /// All, in the order of lists.
    pub const ALL: [Shelf; 5] = [Shelf::Load, Shelf::Supply, Shelf::Starter, Shelf::Breaker, Shelf::Class];

    /// Its folder in appliances/.
    pub fn folder(self) -> &'static str {
        match self {
            Shelf::Load => "loads",
            Shelf::Supply => "supplies",
            Shelf::Starter => "starters",
            Shelf::Breaker => "breakers",
            Shelf::Class => "classes",
        }
    }

    /// The table of an entry's file that holds its keys.
    pub fn word(self) -> &'static str {
        match self {
            Shelf::Load => "load",
            Shelf::Supply => "supply",
            Shelf::Starter => "starter",
            Shelf::Breaker => "breaker",
            Shelf::Class => "class",
        }
    }

    /// The path in the table of keys that those keys stand under.
    fn keys(self) -> &'static str {
        match self {
            Shelf::Load | Shelf::Class => "load[]",
            Shelf::Supply => "supply[]",
            Shelf::Starter => "load[].starter",
            Shelf::Breaker => "circuit.breaker",
        }
    }

    /// The shelf that `use` looks on from a table of that path in the table of keys.
    pub(super) fn of_keys(keys: &str) -> Option<Shelf> {
        [Shelf::Load, Shelf::Supply, Shelf::Starter, Shelf::Breaker].into_iter().find(|s| s.keys() == keys)
    }
}

/// One entry of the catalogue, as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CatalogueEntry {
    /// Its shelf.
    pub shelf: Shelf,
    /// Its name on that shelf.
    pub id: String,
    /// The file, as messages name it.
    pub file: String,
    /// Whether it is the user's own.
    pub own: bool,
    text: Arc<str>,
}

/// What an entry says of itself.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct About {
    /// A line.
    pub summary: String,
    /// What such things have in common that matters for the start.
    pub note: String,
}

/// Entries by shelf and name.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Catalogue {
    entries: BTreeMap<(Shelf, String), CatalogueEntry>,
    sources: BTreeMap<String, Arc<str>>,
}

/// What keeps a catalogue of one's own from being used.
#[derive(Debug, thiserror::Error)]
pub enum CatalogueError {
    /// A folder or file could not be read.
    #[error("cannot read {path}: {source}")]
    Unreadable {
        /// Which.
        path: std::path::PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The folder holds no shelf.
    #[error(
        "{path} is no catalogue: it has none of the folders loads, supplies, starters, breakers, classes"
    )]
    NoShelf {
        /// Which.
        path: std::path::PathBuf,
    },
    /// An entry has mistakes.
    #[error("{file}: {} mistakes", mistakes.len())]
    Mistakes {
        /// The entry's file.
        file: String,
        /// Its text.
        text: String,
        /// What is wrong.
        mistakes: Vec<Diagnostic>,
    },
}

impl Catalogue {
    /// The entries built into the program.
    pub fn built_in() -> Catalogue {
        let mut catalogue = Catalogue::default();
        for &(shelf, id, text) in built_in::ALL.iter().copied().flatten() {
            let file = format!("appliances/{}/{id}.toml", shelf.folder());
            let entry = CatalogueEntry { shelf, id: id.to_owned(), file, own: false, text: text.into() };
            catalogue.entries.insert((shelf, id.to_owned()), entry);
        }
        catalogue.sources = sources(built_in::SOURCES);
        catalogue
    }

    /// The same with the entries of a folder laid out like appliances/ added; those of the same name replace ours.
    ///
    /// # Errors
    /// A folder or file that cannot be read, a folder without any shelf, or an entry with mistakes.
    pub fn with_folder(mut self, folder: &Path) -> Result<Catalogue, CatalogueError> {
        let unreadable = |path: &Path| {
            let path = path.to_owned();
            move |source| CatalogueError::Unreadable { path, source }
        };
        std::fs::read_dir(folder).map_err(unreadable(folder))?;
        if !Shelf::ALL.iter().any(|shelf| folder.join(shelf.folder()).is_dir()) {
            return Err(CatalogueError::NoShelf { path: folder.to_owned() });
        }
        let own = folder.join("sources.toml");
        if own.is_file() {
            let text = std::fs::read_to_string(&own).map_err(unreadable(&own))?;
            self.sources.extend(sources(&text));
        }
        for shelf in Shelf::ALL {
            let room = folder.join(shelf.folder());
            if !room.is_dir() {
                continue;
            }
            let mut paths = Vec::new();
            for item in std::fs::read_dir(&room).map_err(unreadable(&room))? {
                paths.push(item.map_err(unreadable(&room))?.path());
            }
            paths.sort();
            for path in paths.iter().filter(|p| p.extension().is_some_and(|e| e == "toml")) {
                let text = std::fs::read_to_string(path).map_err(unreadable(path))?;
                let id = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
                let file = path.display().to_string();
                let entry = CatalogueEntry { shelf, id: id.clone(), file, own: true, text: text.into() };
                self.entries.insert((shelf, id), entry);
            }
        }
        // read once all are there, since an entry may name a class of this folder
        for entry in self.entries.values().filter(|e| e.own) {
            let refused = |mistakes| CatalogueError::Mistakes {
                file: entry.file.clone(),
                text: entry.text.to_string(),
                mistakes,
            };
            let keys = self.fragment(entry).map_err(refused)?;
            if let Some(mistake) = self.unknown_class(entry, &keys) {
                return Err(refused(vec![mistake]));
            }
        }
        Ok(self)
    }

    /// What is wrong with an entry that names a class there is not.
    fn unknown_class(&self, entry: &CatalogueEntry, keys: &BTreeMap<String, Entry>) -> Option<Diagnostic> {
        let (id, span) = keys.get("class").and_then(Entry::text)?;
        let known = entry.shelf != Shelf::Load || self.entry(Shelf::Class, id).is_some();
        (!known).then(|| {
            let message = format!("the catalogue has no class \"{id}\"");
            Diagnostic::at(&entry.text, span, "class", message, self.help(Shelf::Class, id))
        })
    }

    /// The entries of a shelf by name.
    pub fn shelf(&self, shelf: Shelf) -> impl Iterator<Item = &CatalogueEntry> {
        self.entries.values().filter(move |e| e.shelf == shelf)
    }

    /// The entry of that name.
    pub fn entry(&self, shelf: Shelf, id: &str) -> Option<&CatalogueEntry> {
        self.entries.get(&(shelf, id.to_owned()))
    }

    /// What to say where there is no such entry.
    pub(super) fn help(&self, shelf: Shelf, id: &str) -> String {
        let ids = || self.shelf(shelf).map(|e| e.id.as_str());
        match hints::nearest(id, ids()) {
            Some(near) => format!("did you mean \"{near}\"? `startmargin catalogue` lists them all"),
            None if shelf == Shelf::Class => {
                format!("the classes are {}", ids().collect::<Vec<_>>().join(", "))
            }
            None => "`startmargin catalogue` lists them all".to_owned(),
        }
    }

    /// The keys of an entry, dotted from its own table.
    ///
    /// # Errors
    /// What is wrong with it; the built-in ones are free of mistakes (a test reads them all).
    pub(super) fn fragment(
        &self,
        entry: &CatalogueEntry,
    ) -> Result<BTreeMap<String, Entry>, Vec<Diagnostic>> {
        let mut entries = Document::fragment(&entry.text, entry.shelf.word(), entry.shelf.keys(), self)?;
        for one in entries.values_mut() {
            // no nameplate was read: a plain number is what the entry is a class of
            if let Value::Number { origin: origin @ Origin::Nameplate, source: None, .. } = &mut one.read {
                *origin = Origin::Given;
            }
            if let Value::Number { source: Some(source), .. } = &mut one.read
                && let Some(title) = self.sources.get(source.as_ref())
            {
                *source = title.clone();
            }
        }
        Ok(entries)
    }

    /// What an entry says of itself.
    pub fn about(&self, entry: &CatalogueEntry) -> About {
        let (root, _) = DeTable::parse_recoverable(&entry.text);
        let text = |key: &str| match root.get_ref().get(key).map(toml::Spanned::get_ref) {
            Some(DeValue::String(s)) => s.clone().into_owned(),
            _ => String::new(),
        };
        About { summary: text("summary"), note: text("note") }
    }
}

/// Titles of sources.toml by name.
fn sources(text: &str) -> BTreeMap<String, Arc<str>> {
    let (root, _) = DeTable::parse_recoverable(text);
    let mut titles = BTreeMap::new();
    for (id, one) in root.get_ref().iter() {
        let DeValue::Table(table) = one.get_ref() else { continue };
        if let Some(DeValue::String(title)) = table.get("title").map(toml::Spanned::get_ref) {
            titles.insert(id.get_ref().to_string(), title.as_ref().into());
        }
    }
    titles
}
