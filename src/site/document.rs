//! The file as a document: every key looked up in the table of keys and its value read, whatever else is
//! wrong; then the typed questions that the rooms beside this one ask of it.

use super::catalogue::{Catalogue, Shelf};
use super::diagnostics::{Diagnostic, Lines};
use super::keys::{Key, Kind, Mark, RIVALS, Table};
use super::{Note, hints, values};
use crate::figure::{Figure, Origin, Span};
use crate::quantity::Quantity;
use std::collections::BTreeMap;
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// A site file is text of at most this many bytes.
const LARGEST_FILE: usize = 1 << 20;

/// A value as read.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// A figure's numbers, its origin and where the value itself stands.
    Number { value: f64, low: f64, high: f64, origin: Origin, at: Span, source: Option<Arc<str>> },
    /// Two numbers.
    Pair([f64; 2]),
    /// 1 or 3, or a number of poles.
    Whole(u32),
    /// Text, or a word of a list.
    Text(String),
    /// true or false.
    Switch(bool),
    /// "unknown".
    Unknown,
    /// A table.
    Table,
    /// A list of so many tables.
    Tables(usize),
    /// Refused already.
    Refused,
}

/// Whose word an entry is: the site file's before the catalogue's, the catalogue's before a class's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Layer {
    Site,
    Catalogue,
    Class,
}

/// A key that was given.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    name: Span,
    value: Span,
    layer: Layer,
    pub(super) read: Value,
}

impl Entry {
    /// Where it stands in its file, for the order of lists.
    pub(super) fn place(&self) -> usize {
        self.name.start
    }

    /// Its text and where that stands, if it is text.
    pub(super) fn text(&self) -> Option<(&str, Span)> {
        match &self.read {
            Value::Text(text) => Some((text, self.value.clone())),
            _ => None,
        }
    }
}

/// The keys of a file with their values, and what is wrong so far.
#[derive(Debug)]
pub(super) struct Document<'t> {
    text: &'t str,
    catalogue: &'t Catalogue,
    /// Whether it is an entry of the catalogue: then nothing is required and nothing looked up.
    part: bool,
    lines: Lines,
    entries: BTreeMap<String, Entry>,
    /// What is wrong, in the order it was found.
    mistakes: Vec<Diagnostic>,
    /// What is worth saying though nothing is wrong.
    pub(super) notes: Vec<Note>,
}

/// "load[0]" and "name" to "load[0].name".
pub(super) fn join(table: &str, key: &str) -> String {
    if table.is_empty() { key.to_owned() } else { format!("{table}.{key}") }
}

/// The keys of a fragment that do not count where others are `taken`: a list or a rival way of saying the same is taken as a
/// whole or not at all.
pub(super) fn held(fragment: &BTreeMap<String, Entry>, taken: impl Fn(&str) -> bool) -> Vec<String> {
    fragment
        .keys()
        .filter(|k| {
            let list = k.split_once('[').is_some_and(|(list, _)| taken(list));
            let (table, leaf) = k.rsplit_once('.').unwrap_or(("", k));
            let mut rivals = RIVALS.iter().filter(|set| set.contains(&leaf));
            list || taken(k) || rivals.any(|set| set.iter().any(|r| taken(&join(table, r))))
        })
        .cloned()
        .collect()
}

impl<'t> Document<'t> {
    /// Reads every key. Mistakes of spelling (TOML) end it there.
    pub(super) fn read(text: &'t str, catalogue: &'t Catalogue) -> Result<Document<'t>, Vec<Diagnostic>> {
        let mut document = Document::new(text, catalogue, false);
        let Some(root) = document.parse() else { return Err(document.mistakes()) };
        if let Some(table) = Table::at("") {
            document.table("", table, root.get_ref());
            document.require_all();
        }
        let left = |(path, one): (&String, &Entry)| (one.read == Value::Unknown).then(|| path.clone());
        for path in document.entries.iter().filter_map(left).collect::<Vec<_>>() {
            document.note(
                path,
                "unknown: worked out from the rest where a rule allows it, else it counts as not stated",
            );
        }
        Ok(document)
    }

    /// The keys of a catalogue entry, dotted from its own table `word`, which holds what the table of keys knows at `keys`.
    pub(super) fn fragment(
        text: &'t str,
        word: &str,
        keys: &str,
        catalogue: &'t Catalogue,
    ) -> Result<BTreeMap<String, Entry>, Vec<Diagnostic>> {
        let mut document = Document::new(text, catalogue, true);
        let Some(root) = document.parse() else { return Err(document.mistakes()) };
        let mut found = false;
        for (name, given) in root.get_ref().iter() {
            match (name.get_ref().as_ref(), given.get_ref(), Table::at(keys)) {
                ("summary" | "note", DeValue::String(_), _) => {}
                (own, DeValue::Table(table), Some(keys)) if own == word => {
                    found = true;
                    document.table("", keys, table);
                }
                (other, ..) => {
                    let help = format!("an entry of this shelf holds summary, note and [{word}]");
                    document.refuse(name.span(), &values::short(other), "no such key", help);
                }
            }
        }
        if !found {
            let help = "its keys stand there as in a site file";
            document.refuse(0..0, word, format!("the entry has no [{word}]"), help);
        }
        if document.flawed() { Err(document.mistakes()) } else { Ok(document.entries) }
    }

    fn new(text: &'t str, catalogue: &'t Catalogue, part: bool) -> Document<'t> {
        let (lines, entries) = (Lines::of(text), BTreeMap::new());
        let (mistakes, notes) = (Vec::new(), Vec::new());
        Document { text, catalogue, part, lines, entries, mistakes, notes }
    }

    /// Parses the text; mistakes of spelling (TOML) are noted and end it.
    fn parse(&mut self) -> Option<Spanned<DeTable<'t>>> {
        if self.text.len() > LARGEST_FILE {
            self.refuse(0..0, "", "the file is larger than 1 MiB", "a site file is a page or two of text");
            return None;
        }
        let (root, errors) = DeTable::parse_recoverable(self.text);
        for error in errors {
            let span = error.span().unwrap_or(0..0);
            let help = spelling(self.text.get(span.clone()).unwrap_or(""));
            self.refuse(span, "", spelt(error.message()), help);
        }
        self.mistakes.is_empty().then_some(root)
    }

    /// Notes a mistake.
    pub(super) fn refuse(
        &mut self,
        span: Span,
        key: &str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let (line, column) = self.lines.place(self.text, span.start);
        let (key, message, help) = (key.to_owned(), message.into(), help.into());
        self.mistakes.push(Diagnostic { span, line, column, key, message, help });
    }

    /// Notes something worth saying.
    pub(super) fn note(&mut self, path: String, message: &str) {
        self.notes.push(Note { path, message: message.to_owned() });
    }

    /// What is wrong, in file order.
    pub(super) fn mistakes(mut self) -> Vec<Diagnostic> {
        self.mistakes.sort_by_key(|d| d.span.start);
        self.mistakes
    }

    /// Whether anything is wrong.
    pub(super) fn flawed(&self) -> bool {
        !self.mistakes.is_empty()
    }

    /// Reads the keys of one table. The depth is that of the table of keys, however deep the file is.
    fn table(&mut self, at: &str, table: &Table, given: &DeTable<'_>) {
        for (name, value) in given.iter() {
            let path = join(at, name.get_ref());
            let Some(key) = table.key(name.get_ref()) else {
                let help = hints::for_key(table, name.get_ref());
                let path = join(at, &values::short(name.get_ref()));
                self.refuse(name.span(), &path, "no such key", help);
                continue;
            };
            let read = self.value(&path, key, value);
            self.entries
                .insert(path, Entry { name: name.span(), value: value.span(), layer: Layer::Site, read });
        }
        if self.part {
            return;
        }
        self.look_up(at, table);
    }

    /// Refuses every table that lacks a required key, once all is read: a table may be filled from above it.
    fn require_all(&mut self) {
        let table = |(path, one): (&String, &Entry)| {
            (one.read == Value::Table).then(|| Some((path.clone(), Table::of(path)?, one.value.clone())))
        };
        let top = Table::at("").map(|table| (String::new(), table, 0..0));
        let tables: Vec<_> = self.entries.iter().filter_map(table).flatten().chain(top).collect();
        for (at, table, span) in tables {
            for key in table.keys.iter().filter(|k| k.required()) {
                self.require(&at, key, span.clone());
            }
        }
    }

    /// Fills what a table leaves out from the catalogue: by its `use`, then by its class.
    fn look_up(&mut self, at: &str, table: &Table) {
        if let (Some(shelf), Some(id)) = (Shelf::of_keys(table.path), self.text(at, "use")) {
            let id = id.to_owned();
            self.merge(at, "use", shelf, &id);
        }
        if table.path != "load[]" {
            return;
        }
        let class = self.text(at, "class").map(str::to_owned);
        match class {
            Some(id) => self.merge(at, "class", Shelf::Class, &id),
            // a motor given outright needs no class, and what is no motor has none
            None if ["motor_model", "class", "inrush"].iter().any(|key| self.has(at, key)) => {}
            None => {
                let id = match self.phases(at, 1) {
                    3 => "three-phase-general",
                    _ if self.stated(at, "run_capacitor_uf") && !self.stated(at, "start_capacitor_uf") => {
                        "run-capacitor-general"
                    }
                    _ => "single-phase-general",
                };
                let note = "neither `use` nor `class` is given: what the nameplate leaves out is taken from the widest \
                            class there is";
                self.note(at.to_owned(), note);
                self.merge(at, "class", Shelf::Class, id);
            }
        }
    }

    /// Takes what the table at `at` leaves out from an entry of the catalogue.
    fn merge(&mut self, at: &str, key: &str, shelf: Shelf, id: &str) {
        let span = self.span(at, key);
        let Some(entry) = self.catalogue.entry(shelf, id) else {
            let help = self.catalogue.help(shelf, id);
            let message = format!("the catalogue has no {} \"{}\"", shelf.word(), values::short(id));
            self.refuse(span, &join(at, key), message, help);
            return;
        };
        let fragment = match self.catalogue.fragment(entry) {
            Ok(fragment) => fragment,
            Err(mistakes) => {
                let first =
                    mistakes.first().map_or_else(String::new, |m| format!("line {}: {}", m.line, m.message));
                let message = format!("the catalogue's entry \"{id}\" has mistakes");
                self.refuse(span, &join(at, key), message, format!("{}, {first}", entry.file));
                return;
            }
        };
        let layer = if shelf == Shelf::Class { Layer::Class } else { Layer::Catalogue };
        let taken = |key: &str| self.entries.get(&join(at, key)).is_some_and(|e| e.read != Value::Unknown);
        let held = held(&fragment, taken);
        for (key, mut one) in fragment {
            if held.contains(&key) {
                continue;
            }
            (one.name, one.value, one.layer) = (span.clone(), span.clone(), layer);
            if let Value::Number { at: place, .. } = &mut one.read {
                *place = span.clone();
            }
            let path = join(at, &key);
            if let (Some(Value::Unknown), Value::Number { value, low, high, source, .. }) =
                (self.entries.get(&path).map(|e| &e.read), &one.read)
            {
                let range = if low < high { format!(", {low} to {high}") } else { String::new() };
                let source = source.as_ref().map_or_else(String::new, |s| format!(" ({s})"));
                let note = format!("unknown: taken as {value}{range}, from the catalogue's \"{id}\"{source}");
                self.notes.push(Note { path: path.clone(), message: note });
            }
            self.entries.insert(path, one);
        }
    }

    /// Refuses a table that lacks a required key.
    fn require(&mut self, at: &str, key: &Key, span: Span) {
        let path = join(at, key.name);
        match self.entries.get(&path).map(|e| (&e.read, e.value.clone())) {
            None => {
                let message = match key.kind {
                    Kind::Tables(_) => format!("the file has no [[{}]]", key.name),
                    _ => format!("{} is missing", key.name),
                };
                let help = self.missing(at, key.doc);
                self.refuse(span, &path, message, help);
            }
            Some((Value::Unknown, span)) => self.refuse(
                span,
                &path,
                "a value is needed here",
                "nothing in the catalogue stands in for \"unknown\" here: give a value",
            ),
            Some(_) => {}
        }
    }

    /// Help for a missing key: what it means, and that `use` does not fill it.
    pub(super) fn missing(&self, at: &str, doc: &str) -> String {
        let whole = at.split('.').next().unwrap_or(at);
        let from_catalogue = self.has(at, "use") || self.has(whole, "use");
        let catalogue = "; the catalogue's entry leaves it out, so write it here";
        format!("{doc}{}", if from_catalogue { catalogue } else { "" })
    }

    /// Reads one value by its key's kind.
    fn value(&mut self, path: &str, key: &Key, given: &Spanned<DeValue<'_>>) -> Value {
        match (key.kind, given.get_ref()) {
            (Kind::Table(inner), DeValue::Table(table)) => {
                if let Some(keys) = Table::at(inner) {
                    self.table(path, keys, table);
                }
                Value::Table
            }
            (Kind::Tables(inner), DeValue::Array(list)) => self.tables(path, inner, list, given.span()),
            (Kind::Table(_), _) => {
                let help = format!("write [{}] once, with its keys below", key.name);
                self.refuse(given.span(), path, "a table is due here", help);
                Value::Refused
            }
            (Kind::Tables(_), _) => {
                let help = match path.contains('.') {
                    false => format!("write [[{}]], with two brackets: there can be several", key.name),
                    true => format!("write {} = [ {{ ... }}, {{ ... }} ]", key.name),
                };
                self.refuse(given.span(), path, "a list of tables is due here", help);
                Value::Refused
            }
            _ => self.scalar(path, key, given),
        }
    }

    /// Reads a list of tables.
    fn tables(&mut self, path: &str, inner: &str, list: &DeArray<'_>, span: Span) -> Value {
        if list.is_empty() {
            self.refuse(span, path, "the list is empty", "leave the key out if there is none");
            return Value::Refused;
        }
        for (i, item) in list.iter().enumerate() {
            let path = format!("{path}[{i}]");
            match (item.get_ref(), Table::at(inner)) {
                (DeValue::Table(table), Some(keys)) => {
                    let layer = Layer::Site;
                    let entry = Entry { name: item.span(), value: item.span(), layer, read: Value::Table };
                    self.entries.insert(path.clone(), entry);
                    self.table(&path, keys, table);
                }
                _ => self.refuse(item.span(), &path, "a table is due here", "write { ... } with its keys"),
            }
        }
        Value::Tables(list.len())
    }

    /// Reads a value that holds no keys of its own.
    fn scalar(&mut self, path: &str, key: &Key, given: &Spanned<DeValue<'_>>) -> Value {
        match values::scalar(key, given) {
            Ok(value) => value,
            Err(refusals) => {
                for r in refusals {
                    let path = if r.below.is_empty() { path.to_owned() } else { join(path, r.below) };
                    self.refuse(r.span, &path, r.message, r.help);
                }
                Value::Refused
            }
        }
    }
}

/// A mistake in TOML itself, in our words where an installer is likely to make it.
fn spelt(message: &str) -> String {
    const WORDS: [(&str, &str); 4] = [
        ("string values must be quoted", "text must stand in quotes"),
        ("duplicate key", "this stands in the file already"),
        ("recursion limit", "this is nested too deeply"),
        ("extra `=`", "there is an = too many"),
    ];
    let ours = WORDS.iter().find(|(theirs, _)| message.starts_with(theirs)).map(|(_, ours)| *ours);
    ours.unwrap_or(message).trim_end_matches(", expected nothing").to_owned()
}

/// What to do about a mistake in TOML itself.
fn spelling(found: &str) -> String {
    let number: String = found.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    if !number.is_empty() && number.len() < found.len() {
        return format!("write {number} alone: the unit is in the key; text goes in double quotes");
    }
    "write key = value, one to a line; text goes in double quotes, a list in [ ], a table in { }".to_owned()
}

/// Typed questions: `at` is the path of a table, `key` a key of it.
impl Document<'_> {
    fn entry(&self, at: &str, key: &str) -> Option<&Entry> {
        self.entries.get(&join(at, key))
    }

    /// Whether a key was given, right or wrong.
    pub(super) fn has(&self, at: &str, key: &str) -> bool {
        self.entry(at, key).is_some()
    }

    /// Where the value of a key stands; where the table stands if it has no such key.
    pub(super) fn span(&self, at: &str, key: &str) -> Span {
        let table = || self.entries.get(at).map(|e| e.value.clone());
        self.entry(at, key).map(|e| e.value.clone()).or_else(table).unwrap_or(0..0)
    }

    /// Where a key itself stands.
    pub(super) fn name_span(&self, at: &str, key: &str) -> Span {
        self.entry(at, key).map_or(0..0, |e| e.name.clone())
    }

    /// A figure, if it was given and holds a number.
    pub(super) fn figure<Q: Quantity>(&self, at: &str, key: &str) -> Option<Figure<Q>> {
        match &self.entry(at, key)?.read {
            Value::Number { value, low, high, origin, at, source } => Some(Figure {
                value: Q::of(*value),
                low: Q::of(*low),
                high: Q::of(*high),
                origin: *origin,
                at: Some(at.clone()),
                note: source.clone(),
            }),
            _ => None,
        }
    }

    /// A required figure; not a number where it is missing, which was refused and keeps the later rules
    /// silent.
    pub(super) fn need<Q: Quantity>(&self, at: &str, key: &str) -> Figure<Q> {
        self.figure(at, key).unwrap_or_else(|| Figure::exact(Q::of(f64::NAN), Origin::Given))
    }

    /// A plain number.
    pub(super) fn number(&self, at: &str, key: &str) -> f64 {
        match self.entry(at, key).map(|e| &e.read) {
            Some(Value::Number { value, .. }) => *value,
            _ => f64::NAN,
        }
    }

    /// A pair.
    pub(super) fn pair(&self, at: &str, key: &str) -> Option<[f64; 2]> {
        match self.entry(at, key)?.read {
            Value::Pair(pair) => Some(pair),
            _ => None,
        }
    }

    /// A whole number.
    pub(super) fn whole(&self, at: &str, key: &str) -> Option<u32> {
        match self.entry(at, key)?.read {
            Value::Whole(n) => Some(n),
            _ => None,
        }
    }

    /// The number of phases; 0, which no rule knows, if it was refused.
    pub(super) fn phases(&self, at: &str, default: u32) -> u32 {
        self.whole(at, "phases").unwrap_or(if self.has(at, "phases") { 0 } else { default })
    }

    /// Text or a word.
    pub(super) fn text(&self, at: &str, key: &str) -> Option<&str> {
        match &self.entry(at, key)?.read {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// true or false; false if absent.
    pub(super) fn switch(&self, at: &str, key: &str) -> bool {
        matches!(self.entry(at, key).map(|e| &e.read), Some(Value::Switch(true)))
    }

    /// The same where it makes a difference that nothing is said.
    pub(super) fn switch_if_stated(&self, at: &str, key: &str) -> Option<bool> {
        self.has(at, key).then(|| self.switch(at, key))
    }

    /// The paths of the tables in a list; what is no table was refused and is left out.
    pub(super) fn list(&self, at: &str, key: &str) -> Vec<String> {
        let path = join(at, key);
        match self.entries.get(&path).map(|e| &e.read) {
            Some(Value::Tables(n)) => {
                let items = (0..*n).map(|i| format!("{path}[{i}]"));
                items.filter(|item| self.entries.contains_key(item)).collect()
            }
            _ => Vec::new(),
        }
    }

    /// The path of a table below another, if it was given as one.
    pub(super) fn inner(&self, at: &str, key: &str) -> Option<String> {
        matches!(self.entry(at, key)?.read, Value::Table).then(|| join(at, key))
    }

    /// Whether a key allows "unknown" and holds it.
    pub(super) fn unknown(&self, at: &str, key: &str) -> bool {
        matches!(self.entry(at, key).map(|e| &e.read), Some(Value::Unknown))
    }

    /// The catalogue entry a table builds on.
    pub(super) fn based_on(&self, at: &str) -> Option<String> {
        self.text(at, "use").map(str::to_owned)
    }

    /// A number of the catalogue entry that a load builds on, whatever the site file says.
    pub(super) fn of_entry(&self, at: &str, key: &str) -> Option<f64> {
        let entry = self.catalogue.entry(Shelf::Load, self.text(at, "use")?)?;
        self.catalogue.number(entry, key)
    }

    /// Whether the site file itself gives a key, and not as "unknown".
    pub(super) fn stated(&self, at: &str, key: &str) -> bool {
        self.entry(at, key).is_some_and(|e| e.layer == Layer::Site && e.read != Value::Unknown)
    }

    /// Refuses a key that a required rule needs: missing, or "unknown".
    pub(super) fn demand(&mut self, at: &str, key: &str, why: &str) {
        if self.unknown(at, key) {
            let help = "nothing in the catalogue stands in for \"unknown\" here: give a value";
            self.refuse(self.span(at, key), &join(at, key), "a value is needed here", help);
        } else if !self.has(at, key) {
            let help = self.missing(at, why);
            self.refuse(self.span(at, key), &join(at, key), format!("{key} is missing"), help);
        }
    }
}

/// Whether a key may be "unknown".
pub(super) fn may_be_unknown(key: &Key) -> bool {
    key.has(Mark::Unknown)
}
