//! The file as a document: every key looked up in the table of keys and its value read, whatever else is
//! wrong; then the typed questions that the rooms beside this one ask of it.

use super::diagnostics::{Diagnostic, Lines};
use super::keys::{Key, Kind, Mark, Table};
use super::{Note, hints, values};
use crate::figure::{Figure, Origin, Span};
use crate::quantity::Quantity;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// A site file is text of at most this many bytes.
const LARGEST_FILE: usize = 1 << 20;

/// A value as read.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// A figure's numbers, its origin and where the value itself stands.
    Number { value: f64, low: f64, high: f64, origin: Origin, at: Span },
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

/// A key that was given.
#[derive(Debug, Clone)]
struct Entry {
    name: Span,
    value: Span,
    read: Value,
}

/// The keys of a file with their values, and what is wrong so far.
#[derive(Debug)]
pub(super) struct Document<'t> {
    text: &'t str,
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

impl<'t> Document<'t> {
    /// Reads every key. Mistakes of spelling (TOML) end it there.
    pub(super) fn read(text: &'t str) -> Result<Document<'t>, Vec<Diagnostic>> {
        let (lines, entries) = (Lines::of(text), BTreeMap::new());
        let mut document = Document { text, lines, entries, mistakes: Vec::new(), notes: Vec::new() };
        if text.len() > LARGEST_FILE {
            document.refuse(
                0..0,
                "",
                "the file is larger than 1 MiB",
                "a site file is a page or two of text",
            );
            return Err(document.mistakes());
        }
        let (root, errors) = DeTable::parse_recoverable(text);
        for error in errors {
            let span = error.span().unwrap_or(0..0);
            let help = spelling(text.get(span.clone()).unwrap_or(""));
            document.refuse(span, "", spelt(error.message()), help);
        }
        if !document.mistakes.is_empty() {
            return Err(document.mistakes());
        }
        if let Some(table) = Table::at("") {
            document.table("", table, root.get_ref(), 0..0);
        }
        Ok(document)
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
    fn table(&mut self, at: &str, table: &Table, given: &DeTable<'_>, span: Span) {
        for (name, value) in given.iter() {
            let path = join(at, name.get_ref());
            let Some(key) = table.key(name.get_ref()) else {
                let help = hints::for_key(table, name.get_ref());
                let path = join(at, &values::short(name.get_ref()));
                self.refuse(name.span(), &path, "no such key", help);
                continue;
            };
            let read = self.value(&path, key, value);
            self.entries.insert(path, Entry { name: name.span(), value: value.span(), read });
        }
        for key in table.keys.iter().filter(|k| k.required()) {
            self.require(at, key, span.clone());
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
                "the ranges by class that would stand in for \"unknown\" are not built in yet: give a value",
            ),
            Some(_) => {}
        }
    }

    /// Help for a missing key: what it means, and that `use` does not fill it yet.
    pub(super) fn missing(&self, at: &str, doc: &str) -> String {
        let whole = at.split('.').next().unwrap_or(at);
        let from_catalogue = self.has(at, "use") || self.has(whole, "use");
        let catalogue = "; the catalogue behind `use` is not built in yet, so write it here";
        format!("{doc}{}", if from_catalogue { catalogue } else { "" })
    }

    /// Reads one value by its key's kind.
    fn value(&mut self, path: &str, key: &Key, given: &Spanned<DeValue<'_>>) -> Value {
        match (key.kind, given.get_ref()) {
            (Kind::Table(inner), DeValue::Table(table)) => {
                if let Some(keys) = Table::at(inner) {
                    self.table(path, keys, table, given.span());
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
                    let entry = Entry { name: item.span(), value: item.span(), read: Value::Table };
                    self.entries.insert(path.clone(), entry);
                    self.table(&path, keys, table, item.span());
                }
                _ => self.refuse(item.span(), &path, "a table is due here", "write { ... } with its keys"),
            }
        }
        Value::Tables(list.len())
    }

    /// Reads a value that holds no keys of its own.
    fn scalar(&mut self, path: &str, key: &Key, given: &Spanned<DeValue<'_>>) -> Value {
        match values::scalar(key, given) {
            Ok(Value::Unknown) => {
                if !key.required() {
                    let note =
                        "unknown: the ranges by class are not built in yet, so it counts as not stated";
                    self.note(path.to_owned(), note);
                }
                Value::Unknown
            }
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
            Value::Number { value, low, high, origin, at } => Some(Figure {
                value: Q::of(*value),
                low: Q::of(*low),
                high: Q::of(*high),
                origin: *origin,
                at: Some(at.clone()),
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

    /// Keeps the catalogue entry of a table, saying that it was not looked up.
    pub(super) fn based_on(&mut self, at: &str) -> Option<String> {
        let entry = self.text(at, "use")?.to_owned();
        self.note(join(at, "use"), "the catalogue is not built in yet: only the keys given here count");
        Some(entry)
    }

    /// Refuses a key that a required rule needs: missing, or "unknown".
    pub(super) fn demand(&mut self, at: &str, key: &str, why: &str) {
        if self.unknown(at, key) {
            let help =
                "the ranges by class that would stand in for \"unknown\" are not built in yet: give a value";
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
