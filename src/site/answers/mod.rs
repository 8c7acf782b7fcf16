//! A site without a file: answers to the questions an installer can answer, from flags or asked for one by one. They are
//! turned into the text of a site file ([`text`]), which is read like any other; a mistake in it is brought back to the flag
//! it came from.

mod fields;
mod said;
mod supply;
mod text;

use std::collections::{BTreeMap, BTreeSet};

pub use fields::{FIELDS, Field, Holds};
pub use said::{Said, amount, curve_and_rating, is_unknown, read};
pub use text::{Assumption, Written, same_voltage, text};

use super::diagnostics::Diagnostic;

/// What was answered, by flag.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Answers {
    said: BTreeMap<&'static str, Said>,
    assumed: BTreeSet<&'static str>,
}

/// A mistake in an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// The flag, without its dashes.
    pub flag: &'static str,
    /// The site file's key that it stands for, may be empty.
    pub key: String,
    /// What is wrong.
    pub message: String,
    /// What would be right, may be empty.
    pub help: String,
}

impl Answers {
    /// Whether nothing was answered.
    pub fn is_empty(&self) -> bool {
        self.said.is_empty()
    }

    /// Answers one field.
    pub fn set(&mut self, flag: &'static str, said: Said) {
        self.said.insert(flag, said);
        self.assumed.remove(flag);
    }

    /// Stands in for an answer nobody gave: the site file and the report say so.
    pub fn assume(&mut self, flag: &'static str, said: Said) {
        self.said.insert(flag, said);
        self.assumed.insert(flag);
    }

    /// Takes an answer back.
    pub fn clear(&mut self, flag: &'static str) {
        self.said.remove(flag);
        self.assumed.remove(flag);
    }

    /// Whether an answer stands in for one nobody gave.
    pub fn is_assumed(&self, flag: &str) -> bool {
        self.assumed.contains(flag)
    }

    /// What was answered to a field, "unknown" included.
    pub fn get(&self, flag: &str) -> Option<&Said> {
        self.said.get(flag)
    }

    /// Whether a field was answered, and not with "unknown".
    pub fn has(&self, flag: &str) -> bool {
        self.get(flag).is_some_and(|said| *said != Said::Unknown)
    }

    /// A number with its unit.
    pub fn number(&self, flag: &str) -> Option<(f64, &'static str)> {
        match self.get(flag)? {
            Said::Number { value, unit } => Some((*value, unit)),
            _ => None,
        }
    }

    /// A word or name.
    pub fn word(&self, flag: &str) -> Option<&str> {
        match self.get(flag)? {
            Said::Word(word) => Some(word),
            _ => None,
        }
    }

    /// Whether anything says what is to be started.
    pub fn names_a_load(&self) -> bool {
        let says =
            |f: &&Field| f.heading == fields::LABEL && !matches!(f.flag, "volts" | "hz" | "phases" | "fan-a");
        self.has("load") || self.has("class") || FIELDS.iter().filter(says).any(|f| self.has(f.flag))
    }
}

/// The flag a key of the site file comes from, or the nearest there is.
pub fn flag_of(key: &str, answers: &Answers) -> &'static str {
    let exact = FIELDS.iter().find(|f| f.key == key).map(|f| f.flag);
    // what was worked out from another answer is that answer's
    let exact = exact.filter(|flag| answers.has(flag));
    let by_place = || {
        let places = [
            ("supply[0].surge", "surge"),
            ("supply[0].voltage_v", if answers.has("volts") { "volts" } else { "supply" }),
            ("supply[0].frequency_hz", if answers.has("hz") { "hz" } else { "supply" }),
            ("supply", "supply"),
            ("circuit.breaker", "breaker"),
            ("circuit.conductor", if answers.has("mm2") { "mm2" } else { "awg" }),
            ("running", "running-va"),
            ("load[0].starter", "starter"),
            ("load[0].class", if answers.has("class") { "class" } else { "load" }),
            ("load", if answers.has("class") { "class" } else { "load" }),
        ];
        places.iter().find(|(place, _)| key.starts_with(place)).map_or("load", |(_, flag)| flag)
    };
    exact.unwrap_or_else(by_place)
}

/// A mistake of the reader, brought back to the flag it came from.
pub fn mistake(diagnostic: &Diagnostic, answers: &Answers) -> Mistake {
    let flag = flag_of(&diagnostic.key, answers);
    // the reader speaks of keys
    let flags = |text: &str| {
        let named = FIELDS.iter().filter_map(|f| Some((f.key.rsplit_once('.')?.1, f.flag)));
        named.filter(|(key, _)| key.contains('_')).fold(text.to_owned(), |text, (key, flag)| {
            let bare = text.replace(&format!("`{key}`"), &format!("--{flag}"));
            replace_word(&bare, key, &format!("--{flag}"))
        })
    };
    Mistake {
        flag,
        key: diagnostic.key.clone(),
        message: flags(&diagnostic.message),
        help: flags(&diagnostic.help),
    }
}

/// Replaces a word where it stands alone.
fn replace_word(text: &str, from: &str, to: &str) -> String {
    let inside = |c: char| c.is_alphanumeric() || c == '_' || c == '-';
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(from) {
        let (before, after) = (&rest[..at], &rest[at + from.len()..]);
        let whole =
            !before.chars().next_back().is_some_and(inside) && !after.chars().next().is_some_and(inside);
        out.push_str(before);
        out.push_str(if whole { to } else { from });
        rest = after;
    }
    out + rest
}
