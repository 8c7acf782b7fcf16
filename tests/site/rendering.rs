//! How mistakes are shown, and their shape in JSON.

use super::{marked, mistakes, van};
use startmargin::site::{errors, render};

#[test]
fn the_line_a_caret_and_the_help() {
    let text = van(&[("locked_rotor_a = 62.0", "locked_rotor_a = \"62 A\"")]);
    let shown = render("van.toml", &text, &mistakes(&text), false);
    let expected = "\
error: load[0].locked_rotor_a: a number is due here, this is text
  --> van.toml:50:18
   |
50 | locked_rotor_a = \"62 A\"
   |                  ^^^^^^
   |
   = help: write 62, the unit is in the key

1 mistake in van.toml
";
    assert_eq!(shown, expected);
}

#[test]
fn every_mistake_is_shown_and_counted() {
    let text = "title = 5\n[[supply]]\n[[load]]\nnme = \"x\"\n";
    let got = mistakes(text);
    let shown = render("a.toml", text, &got, false);
    assert!(got.iter().all(|m| shown.contains(&format!("a.toml:{}:{}", m.line, m.column))), "{shown}");
    assert!(shown.ends_with(&format!("{} mistakes in a.toml\n", got.len())), "{shown}");
    let coloured = render("a.toml", text, &got, true);
    assert!(coloured.contains("\u{1b}[") && !shown.contains("\u{1b}["));
}

#[test]
fn an_empty_file_has_a_line_and_a_column() {
    for text in ["", "\n\n", "a = [", "\u{feff}a = ", "a = \"", "="] {
        let got = mistakes(text);
        let shown = render("a.toml", text, &got, false);
        assert!(
            got.iter().all(|m| shown.contains(&format!("a.toml:{}:{}", m.line, m.column))),
            "{text:?}: {shown}"
        );
    }
}

#[test]
fn columns_count_characters() {
    let (text, places) =
        marked("title = \"Wärmepumpe ⚡\"\r\nsupply = [ { name = \"größe\", kind = §5 } ]\n");
    let got = mistakes(&text);
    assert!(got.iter().any(|m| m.key == "supply[0].kind" && (m.line, m.column) == places[0]), "{got:#?}");
}

#[test]
fn beyond_fifty_they_are_only_counted() {
    let text = "x = 1\n".replace('x', "§");
    let many: String = (0..80).map(|i| text.replace('§', &format!("zz{i}"))).collect();
    let got = mistakes(&many);
    let shown = render("a.toml", &many, &got, false);
    assert!(shown.contains("... and 32 more\n") && shown.ends_with("82 mistakes in a.toml\n"), "{shown}");
}

#[test]
fn json_has_the_documented_shape() {
    let text = van(&[("poles = 2", "poles = 3")]);
    let json = serde_json::to_value(errors("van.toml", &mistakes(&text))).expect("JSON");
    let expected = serde_json::json!({ "format": 1, "errors": [ {
        "file": "van.toml", "line": 83, "column": 9, "key": "load[0].motor_model.poles",
        "message": "3 is out of range", "help": "an even number from 2 to 100 is due here"
    } ] });
    assert_eq!(json, expected);
}
