//! Whatever becomes of a good file, the reader answers: a site with sound figures, or mistakes with their
//! places.

use super::{VAN, WORKSHOP};
use proptest::prelude::*;
use startmargin::case::Pressure;
use startmargin::figure::Figures;
use startmargin::site::{errors, read, render};

/// One change to a text.
#[derive(Debug, Clone)]
enum Change {
    Delete(usize, usize),
    Insert(usize, String),
    DropLine(usize),
    DoubleLine(usize),
    SwapLines(usize, usize),
    SwapTokens(usize, usize),
    Replace(usize, String),
}

fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        "\\PC{0,4}",
        any::<char>().prop_map(String::from),
        any::<f64>().prop_map(|f| format!("{f:?}")),
        any::<i64>().prop_map(|i| i.to_string()),
        proptest::sample::select(vec![
            "\"unknown\"",
            "nan",
            "inf",
            "-1",
            "0",
            "1e300",
            "true",
            "[]",
            "{}",
            "[[load]]",
            "[load.starter]",
            "=",
            "\n",
            "\"",
            "'",
            "{ value = 1 }",
            "{ value = 5, low = 7 }",
            "1979-05-27",
            "[1, 2]",
            "\"12 A\"",
            "phases = 3",
            "a.b.c = 1",
            "[[[[[[",
            "{a={a={a={a",
            "\u{feff}",
            "\r",
            "\0",
            "999999999999999999999999999999999999999999",
        ])
        .prop_map(str::to_owned),
    ]
}

fn change() -> impl Strategy<Value = Change> {
    let n = any::<usize>;
    prop_oneof![
        (n(), 1..12usize).prop_map(|(at, count)| Change::Delete(at, count)),
        (n(), piece()).prop_map(|(at, text)| Change::Insert(at, text)),
        n().prop_map(Change::DropLine),
        n().prop_map(Change::DoubleLine),
        (n(), n()).prop_map(|(a, b)| Change::SwapLines(a, b)),
        (n(), n()).prop_map(|(a, b)| Change::SwapTokens(a, b)),
        (n(), piece()).prop_map(|(at, text)| Change::Replace(at, text)),
    ]
}

fn apply(text: &str, change: &Change) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    let mut lines: Vec<&str> = text.split('\n').collect();
    let mut tokens: Vec<String> = text.split_inclusive([' ', '\n', ',', '=']).map(str::to_owned).collect();
    let (c, l, t) = (chars.len().max(1), lines.len(), tokens.len().max(1));
    match change {
        Change::Delete(at, count) => {
            let from = (at % c).min(chars.len());
            chars.drain(from..(from + count).min(chars.len()));
            chars.into_iter().collect()
        }
        Change::Insert(at, piece) => {
            let at = (at % c).min(chars.len());
            chars.splice(at..at, piece.chars());
            chars.into_iter().collect()
        }
        Change::DropLine(at) => {
            lines.remove(at % l);
            lines.join("\n")
        }
        Change::DoubleLine(at) => {
            lines.insert(at % l, lines[at % l]);
            lines.join("\n")
        }
        Change::SwapLines(a, b) => {
            lines.swap(a % l, b % l);
            lines.join("\n")
        }
        Change::SwapTokens(a, b) if !tokens.is_empty() => {
            tokens.swap(a % t, b % t);
            tokens.concat()
        }
        Change::Replace(at, piece) if !tokens.is_empty() => {
            tokens[at % t] = piece.clone();
            tokens.concat()
        }
        Change::SwapTokens(..) | Change::Replace(..) => text.to_owned(),
    }
}

/// Asserts that the reader answers soundly.
pub fn answers(text: &str) {
    match read("site.toml", text) {
        Ok(site) => {
            for load in 0..site.loads.len() {
                for supply in 0..site.supplies.len() {
                    let mut case = site.case(load, supply, Pressure::Equalised);
                    case.visit(&mut |key, f| {
                        let (value, low, high) = f.numbers();
                        assert!(
                            value.is_finite() && low <= value && value <= high,
                            "{key}: {low} {value} {high}"
                        );
                        assert!(!site.case_path(load, supply, key).is_empty());
                    });
                }
            }
        }
        Err(mistakes) => {
            assert!(!mistakes.is_empty());
            let lines = text.split('\n').count();
            for m in &mistakes {
                assert!((1..=lines).contains(&m.line) && m.column >= 1 && !m.message.is_empty(), "{m:?}");
            }
            assert!(mistakes.is_sorted_by_key(|m| m.span.start), "not in file order");
            for colour in [false, true] {
                assert!(render("site.toml", text, &mistakes, colour).contains("site.toml"));
            }
            assert_eq!(errors("site.toml", &mistakes).errors.len(), mistakes.len());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn prop_a_mutated_file_is_answered(
        van in any::<bool>(),
        changes in proptest::collection::vec(change(), 1..4),
    ) {
        let text = changes.iter().fold((if van { VAN } else { WORKSHOP }).to_owned(), |t, c| apply(&t, c));
        answers(&text);
    }

    #[test]
    fn prop_any_text_is_answered(text in "\\PC{0,200}") {
        answers(&text);
    }
}

#[test]
fn deep_and_huge_files_are_answered() {
    for deep in [100, 10_000, 200_000] {
        answers(&format!("a = {}", "[".repeat(deep)));
        answers(&format!("a = {}", "{a=".repeat(deep)));
        answers(&format!("{}a = 1", "a.".repeat(deep)));
        answers(&format!("[{}a]\nb = 1", "a.".repeat(deep)));
        answers(&"[[load]]\n".repeat(deep.min(2_000)));
        answers(&format!("title = \"{}\"", "x".repeat(deep)));
        answers(&format!("{} = 1", "x".repeat(deep)));
    }
    answers(&"x = 1\n".repeat(300_000));
    answers(&"=\n".repeat(2_000));
}
