//! What people type: a number with its unit behind it, a word in any case, or that they do not know.

use super::fields::{Field, Holds};
use crate::site::hints;
use crate::site::values::short;

/// One answer as understood.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A number with its unit; the unit is empty if none was typed and several are possible.
    Number {
        /// The number in that unit.
        value: f64,
        /// The unit.
        unit: &'static str,
    },
    /// A word or name.
    Word(String),
    /// That they do not know.
    Unknown,
}

/// Whether someone says that they do not know.
pub fn is_unknown(text: &str) -> bool {
    let folded = text.trim().to_lowercase().replace(['\'', '\u{2019}'], "");
    let words = ["", "?", "-", "unknown", "dont know", "do not know", "not known", "no idea", "n/a", "none"];
    words.contains(&folded.trim_end_matches('.'))
}

/// Units as people type them: the unit meant, what to multiply by, what to add.
const TYPED: &[(&str, &str, f64, f64)] = &[
    ("a", "A", 1.0, 0.0),
    ("amp", "A", 1.0, 0.0),
    ("amps", "A", 1.0, 0.0),
    ("ampere", "A", 1.0, 0.0),
    ("amperes", "A", 1.0, 0.0),
    ("v", "V", 1.0, 0.0),
    ("vac", "V", 1.0, 0.0),
    ("volt", "V", 1.0, 0.0),
    ("volts", "V", 1.0, 0.0),
    ("va", "VA", 1.0, 0.0),
    ("kva", "VA", 1000.0, 0.0),
    ("w", "W", 1.0, 0.0),
    ("watt", "W", 1.0, 0.0),
    ("watts", "W", 1.0, 0.0),
    ("kw", "W", 1000.0, 0.0),
    ("hp", "hp", 1.0, 0.0),
    ("s", "s", 1.0, 0.0),
    ("sec", "s", 1.0, 0.0),
    ("secs", "s", 1.0, 0.0),
    ("second", "s", 1.0, 0.0),
    ("seconds", "s", 1.0, 0.0),
    ("ms", "s", 1e-3, 0.0),
    ("min", "s", 60.0, 0.0),
    ("minute", "s", 60.0, 0.0),
    ("minutes", "s", 60.0, 0.0),
    ("hz", "Hz", 1.0, 0.0),
    ("hertz", "Hz", 1.0, 0.0),
    ("uf", "uF", 1.0, 0.0),
    ("\u{b5}f", "uF", 1.0, 0.0),
    ("\u{3bc}f", "uF", 1.0, 0.0),
    ("mfd", "uF", 1.0, 0.0),
    ("rpm", "rpm", 1.0, 0.0),
    ("r/min", "rpm", 1.0, 0.0),
    ("/min", "rpm", 1.0, 0.0),
    ("min-1", "rpm", 1.0, 0.0),
    ("mm2", "mm2", 1.0, 0.0),
    ("mm\u{b2}", "mm2", 1.0, 0.0),
    ("mm^2", "mm2", 1.0, 0.0),
    ("sqmm", "mm2", 1.0, 0.0),
    ("m", "m", 1.0, 0.0),
    ("metre", "m", 1.0, 0.0),
    ("metres", "m", 1.0, 0.0),
    ("meter", "m", 1.0, 0.0),
    ("meters", "m", 1.0, 0.0),
    // exact by definition
    ("ft", "m", 0.3048, 0.0),
    ("feet", "m", 0.3048, 0.0),
    ("foot", "m", 0.3048, 0.0),
    ("c", "C", 1.0, 0.0),
    ("\u{b0}c", "C", 1.0, 0.0),
    ("f", "C", 5.0 / 9.0, -160.0 / 9.0),
    ("\u{b0}f", "C", 5.0 / 9.0, -160.0 / 9.0),
];

/// Reads an answer.
///
/// # Errors
/// What would be right, as the end of a sentence.
pub fn read(field: &Field, text: &str) -> Result<Said, String> {
    let text = text.trim();
    if is_unknown(text) {
        return Ok(Said::Unknown);
    }
    match field.holds {
        Holds::Amount(units) => {
            if let Some((curve, rating)) = curve_and_rating(text).filter(|_| field.flag == "breaker") {
                return Err(format!("write {rating}, and the letter as --curve {curve}"));
            }
            let (value, unit) = amount(text, units)?;
            let unit = if unit.is_empty() { units.first().copied().unwrap_or("") } else { unit };
            Ok(Said::Number { value, unit })
        }
        Holds::Supply => match decimal(text) {
            Some(_) => amount(text, &["VA", "W", "A"]).map(|(value, unit)| Said::Number { value, unit }),
            None => Ok(Said::Word(text.to_owned())),
        },
        Holds::Entry(_) => Ok(Said::Word(text.to_owned())),
        Holds::Word(words) => word(words, text),
        Holds::Gauge => {
            let marks = ["awg", "ga", "#", " "];
            let bare = marks.iter().fold(text.to_lowercase(), |bare, mark| bare.replace(mark, ""));
            let number = bare.parse::<u32>().is_ok_and(|n| (1..=24).contains(&n));
            match number || ["1/0", "2/0", "3/0", "4/0"].contains(&bare.as_str()) {
                true => Ok(Said::Word(bare)),
                false => Err("a gauge is due here: 24 to 1, or 1/0 to 4/0".into()),
            }
        }
        Holds::Phases => match text.chars().next() {
            Some('1') => Ok(Said::Number { value: 1.0, unit: "" }),
            Some('3') => Ok(Said::Number { value: 3.0, unit: "" }),
            _ => Err("1 or 3 is due here".into()),
        },
    }
}

/// "C16": an IEC breaker's curve and rating, as its toggle shows them.
pub fn curve_and_rating(text: &str) -> Option<(char, &str)> {
    let curve = text.chars().next().map(|c| c.to_ascii_uppercase()).filter(|c| ('B'..='D').contains(c))?;
    let rating = text.get(1..)?.trim_start();
    rating.starts_with(|c: char| c.is_ascii_digit()).then_some((curve, rating))
}

/// One of some words, in any case and with hyphens or blanks.
fn word(words: &[&str], text: &str) -> Result<Said, String> {
    let fold = |s: &str| {
        s.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect::<String>().replace("ized", "ised")
    };
    if let Some(found) = words.iter().find(|w| fold(w) == fold(text)) {
        return Ok(Said::Word((*found).to_owned()));
    }
    let shown: Vec<String> = words.iter().map(|w| w.replace(' ', "-")).collect();
    let near = hints::nearest(text, words.iter().copied()).filter(|_| text.chars().count() > 2);
    let meant = near.map_or(String::new(), |near| format!("did you mean {near}? "));
    Err(format!("{meant}One of these is due here: {}", shown.join(", ")))
}

/// A number and its unit, which is empty if none was typed.
///
/// # Errors
/// What would be right, as the end of a sentence.
pub fn amount(text: &str, units: &[&'static str]) -> Result<(f64, &'static str), String> {
    let due = || match units {
        [""] | [] => "a number is due here".to_owned(),
        [one] => format!("a number is due here, in {one}"),
        [first, rest @ ..] => format!("a number is due here, in {first} or {}", rest.join(" or ")),
    };
    let Some((value, rest)) = number(text.trim()) else { return Err(due()) };
    let typed = rest.trim().trim_end_matches('.').to_lowercase().replace(' ', "");
    if typed.is_empty() {
        return Ok((value, ""));
    }
    match TYPED.iter().find(|(name, unit, ..)| *name == typed && units.contains(unit)) {
        Some((_, unit, times, plus)) => Ok((tidy(value * times + plus), unit)),
        None => Err(format!("\"{}\" is no unit of this: {}", short(rest.trim()), due())),
    }
}

/// Without the dust of a conversion.
fn tidy(x: f64) -> f64 {
    format!("{x:.9e}").parse().unwrap_or(x)
}

/// A number at the beginning of a text: 12.5, 2,5, 3,000, 3 000, 1/2, 1 1/2, 1-1/2.
pub(super) fn number(text: &str) -> Option<(f64, &str)> {
    let (whole, rest) = decimal(text)?;
    if let Some((below, after)) = rest.strip_prefix('/').and_then(decimal) {
        return (below > 0.0).then(|| (whole / below, after));
    }
    let mixed =
        rest.strip_prefix([' ', '-']).and_then(decimal).filter(|_| whole.fract() == 0.0 && whole >= 0.0);
    if let Some((above, after)) = mixed {
        if let Some((below, after)) =
            after.strip_prefix('/').and_then(decimal).filter(|(below, _)| *below > above)
        {
            return Some((whole + above / below, after));
        }
        // three digits after a blank are thousands
        let digits = rest.get(1..).map_or(0, |r| r.chars().take_while(char::is_ascii_digit).count());
        if rest.starts_with(' ') && digits == 3 && whole < 1000.0 && above.fract() == 0.0 {
            return Some((1000.0 * whole + above, after));
        }
    }
    Some((whole, rest))
}

/// Digits with a decimal point or comma; a comma before just three digits groups thousands.
fn decimal(text: &str) -> Option<(f64, &str)> {
    let end = |s: &str| s.find(|c: char| !c.is_ascii_digit()).unwrap_or(s.len());
    let (sign, bare) = text.strip_prefix('-').map_or((1.0, text), |rest| (-1.0, rest));
    let (whole, rest) = bare.split_at(end(bare));
    let tail = rest.strip_prefix(['.', ',']).map(|tail| tail.split_at(end(tail)));
    let (digits, rest) = match tail {
        Some((tail, after)) if !tail.is_empty() => {
            let thousands = rest.starts_with(',') && tail.len() == 3 && !["", "0"].contains(&whole);
            (if thousands { format!("{whole}{tail}") } else { format!("{whole}.{tail}") }, after)
        }
        _ => (whole.to_owned(), rest),
    };
    if whole.is_empty() && digits.is_empty() {
        return None;
    }
    let value: f64 = format!("0{digits}").parse().ok()?;
    value.is_finite().then_some((sign * value, rest))
}
