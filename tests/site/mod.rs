//! The site file: that every key lands where it belongs, that what cannot be is refused at its place, and
//! that nothing anyone types brings the reader down.

pub mod faults;
pub mod hints;
pub mod inrush;
pub mod lands;
pub mod manual;
pub mod merging;
pub mod mutations;
pub mod nameplates;
pub mod protectors;
pub mod refusals;
pub mod refusals_of_loads;
pub mod rendering;
pub mod wiring;

use startmargin::site::{Diagnostic, Site, read};

/// Every key that goes with a single-phase site.
pub const VAN: &str = include_str!("van.toml");

/// The same for a three-phase site.
pub const WORKSHOP: &str = include_str!("workshop.toml");

/// Every key that goes with a motor fitted to its nameplate; labels and the catalogue, single-phase.
pub const CABIN: &str = include_str!("cabin.toml");

/// Every key of loads that are not induction motors.
pub const KITCHEN: &str = include_str!("kitchen.toml");

/// Every key that goes with a starter that is not a current limit.
pub const HALL: &str = include_str!("hall.toml");

/// Where a refusal is expected: this mark stands before it and is taken out.
pub const MARK: char = '§';

/// `VAN` with some text replaced, each piece standing in it once.
pub fn van(edits: &[(&str, &str)]) -> String {
    edit(VAN, edits)
}

/// A text with pieces replaced, each standing in it once.
pub fn edit(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (from, to)| {
        assert_eq!(text.matches(from).count(), 1, "{from:?} does not stand once in the text");
        text.replacen(from, to, 1)
    })
}

/// Reads a text that is right.
pub fn site(text: &str) -> Site {
    read("site.toml", text).unwrap_or_else(|m| panic!("refused: {m:#?}"))
}

/// Reads a text that is wrong.
pub fn mistakes(text: &str) -> Vec<Diagnostic> {
    read("site.toml", text).expect_err("the text was accepted")
}

/// Takes the marks out of a text; the line and column of each, from 1.
pub fn marked(text: &str) -> (String, Vec<(usize, usize)>) {
    let (mut clean, mut places, mut line, mut column) = (String::new(), Vec::new(), 1, 1);
    for c in text.chars() {
        match c {
            MARK => places.push((line, column)),
            '\n' => (line, column) = (line + 1, 1),
            _ => column += 1,
        }
        if c != MARK {
            clean.push(c);
        }
    }
    (clean, places)
}

/// Asserts that a marked text is refused just there, each with `(key, part of the message)`.
#[track_caller]
pub fn refused(text: &str, expected: &[(&str, &str)]) {
    let (clean, places) = marked(text);
    let got = mistakes(&clean);
    assert_eq!(got.len(), expected.len(), "{got:#?}");
    assert_eq!(places.len(), expected.len(), "one mark for each refusal");
    for ((mistake, place), (key, message)) in got.iter().zip(&places).zip(expected) {
        assert_eq!(((mistake.line, mistake.column), mistake.key.as_str()), (*place, *key), "{mistake:#?}");
        assert!(mistake.message.contains(message), "{:?} lacks {message:?}", mistake.message);
        assert!(!mistake.help.is_empty(), "no help: {mistake:#?}");
    }
}
