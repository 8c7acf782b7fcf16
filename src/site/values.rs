//! Values of single keys: numbers with their bounds and origin, words, text, switches.

use super::document::{Value, may_be_unknown};
use super::hints;
use super::keys::{Bounds, Key, Kind, LARGEST};
use crate::figure::{Origin, Span};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Why a value was refused.
#[derive(Debug)]
pub(super) struct Refusal {
    pub(super) span: Span,
    /// The key below, for a figure's table.
    pub(super) below: &'static str,
    pub(super) message: String,
    pub(super) help: String,
}

fn refusal(span: Span, message: impl Into<String>, help: impl Into<String>) -> Refusal {
    Refusal { span, below: "", message: message.into(), help: help.into() }
}

type Given<'d, 'i> = &'d Spanned<DeValue<'i>>;

/// Reads the value of a key that is not a table or a list of them.
pub(super) fn scalar(key: &Key, given: Given<'_, '_>) -> Result<Value, Vec<Refusal>> {
    match key.kind {
        Kind::Number(bounds) => figure(key, bounds, given),
        Kind::Plain(bounds) => plain_figure(key, bounds, given),
        Kind::Pair(bounds) => pair(key, bounds, given),
        Kind::Phases => whole(given, "1 or 3", |n| n == 1.0 || n == 3.0).map_err(|r| vec![r]),
        Kind::Poles => {
            whole(given, "an even number from 2 to 100", |n| n % 2.0 == 0.0 && (2.0..=100.0).contains(&n))
                .map_err(|r| vec![r])
        }
        Kind::Gauge => gauge(given).map_err(|r| vec![r]),
        Kind::Text => text(given).map(Value::Text).map_err(|r| vec![r]),
        Kind::Word(words) => word(words, given).map_err(|r| vec![r]),
        Kind::Switch => match given.get_ref() {
            DeValue::Boolean(on) => Ok(Value::Switch(*on)),
            _ => Err(vec![refusal(
                given.span(),
                "true or false is due here",
                "write true or false, without quotes",
            )]),
        },
        Kind::Table(_) | Kind::Tables(_) => Ok(Value::Refused),
    }
}

/// A number alone: a figure without doubt.
fn plain_figure(key: &Key, bounds: Bounds, given: Given<'_, '_>) -> Result<Value, Vec<Refusal>> {
    let value = number(key, bounds, given).map_err(|r| vec![r])?;
    let (low, high, origin, at) = (value, value, key.origin, given.span());
    Ok(Value::Number { value, low, high, origin, at, source: None })
}

/// A figure: a number, a table, or "unknown".
fn figure(key: &Key, bounds: Bounds, given: Given<'_, '_>) -> Result<Value, Vec<Refusal>> {
    match given.get_ref() {
        DeValue::Table(table) => figure_table(key, bounds, table, given.span()),
        DeValue::String(word) if word.as_ref() == "unknown" => match may_be_unknown(key) {
            true => Ok(Value::Unknown),
            false => Err(vec![refusal(
                given.span(),
                "\"unknown\" is no help here",
                "no class tells it: give a number",
            )]),
        },
        _ => plain_figure(key, bounds, given),
    }
}

/// A figure as a table { value, low, high, origin }.
fn figure_table(key: &Key, bounds: Bounds, table: &DeTable<'_>, span: Span) -> Result<Value, Vec<Refusal>> {
    const KEYS: [&str; 5] = ["value", "low", "high", "origin", "source"];
    let mut refusals = Vec::new();
    let mut numbers: [Option<(f64, Span)>; 3] = [None, None, None];
    let mut origin = key.origin;
    let mut source = None;
    for (name, given) in table.iter() {
        let which = KEYS.iter().position(|k| *k == name.get_ref().as_ref());
        let result = match which {
            Some(3) => origin_word(given).map(|o| origin = o),
            Some(4) => text(given).map(|t| source = Some(t.into())),
            Some(i) => number(key, bounds, given).map(|n| numbers[i] = Some((n, given.span()))),
            None => {
                let help = match hints::nearest(name.get_ref(), KEYS) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "a figure's table holds value, low, high, origin and source".to_owned(),
                };
                Err(refusal(name.span(), format!("no such key: {}", short(name.get_ref())), help))
            }
        };
        if let Err(mut r) = result {
            r.below = which.and_then(|i| KEYS.get(i)).copied().unwrap_or("");
            refusals.push(r);
        }
    }
    let given = |name: &str| table.iter().any(|(k, _)| k.get_ref() == name);
    if !given("value") {
        refusals.push(refusal(span, "value is missing", "write { value = .., low = .., high = .. }"));
    }
    let [value, low, high] = numbers;
    let Some((value, at)) = value else { return Err(refusals) };
    let (bottom, top) = (low.as_ref().map_or(value, |l| l.0), high.as_ref().map_or(value, |h| h.0));
    for (wrong, bound, below) in [(bottom > value, low, "low"), (top < value, high, "high")] {
        if let (true, Some((number, span))) = (wrong, bound) {
            let side = if below == "low" { "above" } else { "below" };
            let message = format!("{below} = {} is {side} the value, {}", shown(number), shown(value));
            refusals.push(Refusal { below, ..refusal(span, message, "low <= value <= high") });
        }
    }
    if !refusals.is_empty() {
        return Err(refusals);
    }
    Ok(Value::Number { value, low: bottom, high: top, origin, at, source })
}

fn origin_word(given: Given<'_, '_>) -> Result<Origin, Refusal> {
    let words = Origin::ALL.map(|(word, _)| word);
    match word(&words, given)? {
        Value::Text(text) => {
            Ok(Origin::ALL.iter().find(|(w, _)| *w == text).map_or(Origin::Given, |(_, origin)| *origin))
        }
        _ => Ok(Origin::Given),
    }
}

/// A number within its bounds.
fn number(key: &Key, bounds: Bounds, given: Given<'_, '_>) -> Result<f64, Refusal> {
    let span = given.span();
    let number = plain(given).map_err(|found| not_a_number(key, span.clone(), found))?;
    if !number.is_finite() {
        return Err(refusal(span, "not a finite number", format!("a number {} is due here", bounds.words)));
    }
    if number.abs() > LARGEST {
        return Err(refusal(span, "the number is too large", "the largest number in a site file is 1e9"));
    }
    let low = number > bounds.low || (bounds.low_allowed && number == bounds.low);
    let high = number < bounds.high || (bounds.high_allowed && number == bounds.high);
    if low && high {
        return Ok(number);
    }
    let unit = if key.unit().is_empty() { String::new() } else { format!(" {}", key.unit()) };
    let message = format!("{}{unit} is out of range: {} is due here", shown(number), bounds.words);
    Err(refusal(span, message, format!("{}: {}", key.name, key.doc)))
}

/// What stands where a number is due.
enum Found<'d> {
    Text(&'d str),
    TooLarge,
    Other,
}

/// The number as it is written, infinite and undefined ones too.
fn plain<'d>(given: Given<'d, '_>) -> Result<f64, Found<'d>> {
    match given.get_ref() {
        DeValue::Integer(i) => {
            i128::from_str_radix(i.as_str(), i.radix()).map(|n| n as f64).map_err(|_| Found::TooLarge)
        }
        DeValue::Float(f) => match f.as_str().parse::<f64>() {
            Ok(n) if n.is_infinite() && !f.as_str().contains("inf") => Err(Found::TooLarge),
            Ok(n) => Ok(n),
            Err(_) => Err(Found::Other),
        },
        DeValue::String(s) => Err(Found::Text(s)),
        _ => Err(Found::Other),
    }
}

/// Refuses what is no number: "12 A" is told to be 12.
fn not_a_number(key: &Key, span: Span, found: Found<'_>) -> Refusal {
    match found {
        Found::TooLarge => {
            refusal(span, "the number is too large", "the largest number in a site file is 1e9")
        }
        Found::Other => refusal(span, "a number is due here", format!("{}: {}", key.name, key.doc)),
        Found::Text(text) => {
            let text = text.trim();
            let end =
                text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).unwrap_or(text.len());
            let start = text.get(..end).unwrap_or("");
            let help = match (start.parse::<f64>(), key.unit(), may_be_unknown(key)) {
                (Ok(_), "", _) => format!("write {start}, without quotes"),
                (Ok(_), _, _) => format!("write {start}, the unit is in the key"),
                (Err(_), _, true) => "write a number, or \"unknown\"".to_owned(),
                (Err(_), _, false) => "write a number, without quotes".to_owned(),
            };
            refusal(span, "a number is due here, this is text", help)
        }
    }
}

/// A whole number that `allowed` accepts.
fn whole(given: Given<'_, '_>, words: &str, allowed: impl Fn(f64) -> bool) -> Result<Value, Refusal> {
    match plain(given) {
        Ok(n) if allowed(n) => Ok(Value::Whole(n as u32)),
        Ok(n) => Err(refusal(
            given.span(),
            format!("{} is out of range", shown(n)),
            format!("{words} is due here"),
        )),
        Err(_) => Err(refusal(given.span(), "a whole number is due here", format!("write {words}"))),
    }
}

/// A pair [low, high].
fn pair(key: &Key, bounds: Bounds, given: Given<'_, '_>) -> Result<Value, Vec<Refusal>> {
    let DeValue::Array(items) = given.get_ref() else {
        return Err(vec![refusal(
            given.span(),
            "a pair is due here",
            format!("write {} = [low, high]", key.name),
        )]);
    };
    let mut refusals = Vec::new();
    let mut numbers = Vec::new();
    for item in items.iter().take(2) {
        match number(key, bounds, item) {
            Ok(n) => numbers.push(n),
            Err(r) => refusals.push(r),
        }
    }
    if items.len() != 2 {
        let message = format!("two numbers are due here, not {}", items.len());
        refusals.push(refusal(given.span(), message, format!("write {} = [low, high]", key.name)));
    }
    match numbers.as_slice() {
        [low, high] if low > high => {
            let message =
                format!("the lower bound, {}, is above the upper one, {}", shown(*low), shown(*high));
            Err(vec![refusal(given.span(), message, "write the lower one first")])
        }
        [low, high] if refusals.is_empty() => Ok(Value::Pair([*low, *high])),
        _ => Err(refusals),
    }
}

/// A wire gauge: 22 to 1, "1/0" to "4/0".
fn gauge(given: Given<'_, '_>) -> Result<Value, Refusal> {
    let written = match given.get_ref() {
        DeValue::String(s) => s.trim().to_owned(),
        DeValue::Integer(i) if i.radix() == 10 => i.as_str().to_owned(),
        _ => String::new(),
    };
    let number = written.parse::<u32>().is_ok_and(|n| (1..=24).contains(&n));
    if number || ["1/0", "2/0", "3/0", "4/0"].contains(&written.as_str()) {
        return Ok(Value::Text(written));
    }
    let help = "write 24 to 1, or \"1/0\" to \"4/0\"; give larger sizes as area_mm2";
    Err(refusal(given.span(), "this is no American wire gauge", help))
}

/// Text that is not empty.
fn text(given: Given<'_, '_>) -> Result<String, Refusal> {
    match given.get_ref() {
        DeValue::String(s) if s.trim().is_empty() => {
            Err(refusal(given.span(), "the text is empty", "write something between the quotes"))
        }
        DeValue::String(s) => Ok(s.clone().into_owned()),
        _ => Err(refusal(given.span(), "text is due here", "put it in double quotes")),
    }
}

/// One of a list of words.
fn word(words: &[&str], given: Given<'_, '_>) -> Result<Value, Refusal> {
    let list = || words.join(", ");
    let DeValue::String(written) = given.get_ref() else {
        return Err(refusal(given.span(), "a word in quotes is due here", format!("one of {}", list())));
    };
    if words.contains(&written.as_ref()) {
        return Ok(Value::Text(written.clone().into_owned()));
    }
    let help = match hints::nearest(written, words.iter().copied()) {
        Some(near) => format!("did you mean \"{near}\"? The words here are {}", list()),
        None => format!("the words here are {}", list()),
    };
    Err(refusal(given.span(), format!("no such word: \"{}\"", short(written)), help))
}

/// A number as people write it.
fn shown(number: f64) -> String {
    if number != 0.0 && number.abs() < 1e-4 { format!("{number:e}") } else { format!("{number}") }
}

/// The beginning of what someone wrote, short enough for a message.
pub(super) fn short(written: &str) -> String {
    let mut short: String = written.chars().take(40).collect();
    if short.len() < written.len() {
        short.push_str("...");
    }
    short
}
