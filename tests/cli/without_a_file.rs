//! Answers without a site file: flags, `init`, and being asked.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use startmargin::site::catalogue::{Catalogue, Shelf};

use super::{err, out, run, site};

fn json(arguments: &[&str]) -> Value {
    let output = run(&[arguments, &["--format", "json"]].concat());
    assert_ne!(output.status.code(), Some(2), "{}", err(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Answers the questions with these lines.
pub(super) fn asked(arguments: &[&str], lines: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_startmargin"))
        .args([&["init", "--ask"], arguments].concat())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // a program that stops asking closes its end
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    child.wait_with_output().unwrap()
}

#[test]
fn three_figures_give_an_answer_and_say_what_was_assumed() {
    let told = json(&["check", "--supply", "3000", "--breaker", "20", "--rla", "12.5", "--load", "roof-ac"]);
    let starts = told["starts"].as_array().unwrap();
    assert_eq!(starts.len(), 2, "both pressures");
    let rested = starts.iter().find(|s| s["pressure"] == "equalised").unwrap();
    let margin = rested["checks"][0]["margin"].as_f64().unwrap();
    assert!((-0.5..0.0).contains(&margin), "{margin}");
    assert!(rested["check_first"].as_array().unwrap().len() > 5);
    let notes = told["notes"].to_string();
    for said in ["120 V 60 Hz", "inverter-generic", "--supply-volts", "--surge"] {
        assert!(notes.contains(said), "{said} in {notes}");
    }
    // without a load: the widest class, still an answer
    let told = json(&["check", "--supply", "3000", "--breaker", "20", "--rla", "12.5"]);
    assert!(told["starts"][0]["locked_rotor_a"].as_f64().unwrap() > 40.0);
    assert!(told["notes"].to_string().contains("single-phase-general"));
}

#[test]
fn flags_land_in_the_site() {
    let told = json(&[
        "check",
        "--load",
        "heat-pump-230",
        "--rla",
        "9.6",
        "--lra",
        "52",
        "--supply",
        "shore-16-230",
        "--breaker",
        "16",
        "--curve",
        "C",
        "--mm2",
        "2.5",
        "--length-m",
        "12",
        "--ambient-c",
        "-5",
        "--pressure",
        "equalised",
        "--running-va",
        "200",
    ]);
    assert_eq!(told["starts"].as_array().unwrap().len(), 1);
    let figure = |name: &str| {
        let found = told["figures"].as_array().unwrap().iter().find(|f| f["name"] == name);
        found.unwrap_or_else(|| panic!("{name}"))["value"].as_f64().unwrap()
    };
    assert_eq!((figure("locked_rotor_a"), figure("rated_load_a"), figure("ambient_c")), (52.0, 9.6, -5.0));
    assert_eq!(told["standards"], "iec");
}

#[test]
fn a_label_in_horsepower_is_one_of_60_hertz() {
    let label = ["check", "--hp", "1.5", "--code", "G", "--volts", "230", "--breaker", "20"];
    let told = json(&[&label[..], &["--supply", "5000", "--supply-kind", "generator"]].concat());
    let notes = told["notes"].to_string();
    assert!(notes.contains("240 V 60 Hz") && notes.contains("UL 489"), "{notes}");
}

#[test]
fn wrong_flags_are_named_and_nothing_is_printed() {
    for (arguments, said) in [
        (vec!["check", "--rla", "abc", "--supply", "3000"], "--rla: a number is due here, in A"),
        (vec!["check", "--rla", "12", "--supply", "3000", "--load", "roof-ad"], "did you mean \"roof-ac\"?"),
        (vec!["check", "--rla", "12"], "--supply: nothing says what feeds it"),
        (vec!["check", "--supply", "3000"], "--load: nothing says what is to be started"),
        (
            vec!["check", "--supply", "3000", "--rla", "12", "--curve", "C"],
            "--curve: it means nothing without --breaker",
        ),
        (
            vec!["check", "--supply", "3000", "--rla", "12", "--awg", "12", "--mm2", "4"],
            "--mm2: it says the same as --awg",
        ),
        (
            vec!["check", "--supply", "3000", "--rla", "12", "--lra", "6"],
            "--lra: the locked-rotor current, 6 A, is below",
        ),
        (vec!["check", "x.toml", "--rla", "12"], "--rla goes without a site file"),
        (
            vec![
                "check",
                "--class",
                "three-phase-pump",
                "--volts",
                "400",
                "--rla",
                "8",
                "--supply",
                "shore-16-230",
            ],
            "--class: a three-phase load cannot run",
        ),
        (vec!["catalogue", "roof-ad"], "did you mean \"roof-ac\"?"),
        (vec!["check", "--catalogue", "no-such-folder"], "cannot read no-such-folder"),
    ] {
        let output = run(&arguments);
        assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()), "{arguments:?}");
        assert!(err(&output).contains(said), "{arguments:?}: {}", err(&output));
    }
    let output = run(&["check", "--rla", "abc", "--supply", "1", "--format", "json"]);
    let told: Value = serde_json::from_str(&err(&output)).unwrap();
    assert_eq!(told["errors"][0]["key"], "--rla");
}

#[test]
fn a_new_file_for_every_load_is_one_that_check_takes() {
    let catalogue = Catalogue::built_in();
    for entry in catalogue.shelf(Shelf::Load) {
        let output = run(&["init", "--load", &entry.id, "--supply", "4000", "--breaker", "16"]);
        let text = out(&output);
        assert_eq!(output.status.code(), Some(0), "{}: {}", entry.id, err(&output));
        let read = startmargin::site::read("new.toml", &text);
        assert!(read.is_ok(), "{}: {read:?}\n{text}", entry.id);
        assert!(text.lines().all(|l| l.chars().count() <= 100), "{}", entry.id);
    }
}

#[test]
fn a_new_file_is_written_whole_and_over_none() {
    let folder = std::env::temp_dir().join(format!("startmargin-init-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("van.toml");
    let name = path.to_str().unwrap();
    let output = run(&["init", "-o", name]);
    assert!(output.status.success() && out(&output).contains("is written"), "{}", err(&output));
    assert_ne!(run(&["check", name]).status.code(), Some(2));
    let output = run(&["init", "-o", name, "--load", "refrigerator-120", "--supply", "2000"]);
    assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()));
    assert!(err(&output).contains("--force") && std::fs::read_to_string(&path).unwrap().contains("roof-ac"));
    let output = run(&["init", "-o", name, "--force", "--load", "refrigerator-120", "--supply", "2000"]);
    assert!(output.status.success() && std::fs::read_to_string(&path).unwrap().contains("refrigerator-120"));
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "nothing half-written is left");
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn asking_takes_units_and_ignorance() {
    let folder = std::env::temp_dir().join(format!("startmargin-ask-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("asked.toml");
    let lines = "heat pump\n230 V 50 Hz\n9,6 A\nLRA 52\n52 A\n16 A\nC16\n2,5 mm\u{b2}, 12 m\n0.2 kVA\n";
    let output = asked(&["-o", path.to_str().unwrap()], lines);
    let questions = err(&output);
    assert_ne!(output.status.code(), Some(2), "{questions}");
    assert!(
        questions.contains("a number is due here, in A. An empty line if you do not know"),
        "{questions}"
    );
    assert!(
        questions.matches("Where: ").count() <= 10 && questions.lines().all(|l| l.chars().count() <= 100)
    );
    let text = std::fs::read_to_string(&path).unwrap();
    for line in [
        "use = \"heat-pump-230\"",
        "rated_load_a = 9.6",
        "locked_rotor_a = 52",
        "curve = \"C\"",
        "area_mm2 = 2.5",
        "length_m = 12",
        "va = 200",
        "use = \"shore-16-230\"",
    ] {
        assert!(text.lines().any(|l| l.starts_with(line)), "{line} in\n{text}");
    }
    assert!(out(&output).contains("Your answers are in"), "{}", out(&output));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn asking_ends_where_the_answers_do() {
    for lines in ["", "?\n?\n?\n", "don't know\ndon't know\nunknown\n?\n\n\n\n\n\n\n\n\n\n"] {
        let output = asked(&[], lines);
        assert_eq!(output.status.code(), Some(1), "{lines:?}: {}", err(&output));
        let told = out(&output);
        assert!(told.starts_with("UNCERTAIN: single-phase-general on assumed inverter"), "{told}");
        assert!(told.contains("Next: give the locked-rotor current"), "{told}");
        assert!(told.contains("nothing is known of the supply"), "{told}");
        assert!(err(&output).matches("Where: ").count() <= 10);
    }
    // neither current known: horsepower and letter are asked for
    let output = asked(&[], "well-pump-1-hp\n\n\n\n1 hp, code J\ngenerator 3500 VA\n\n20\n\n\n");
    assert!(out(&output).contains("code letter J"), "{}{}", out(&output), err(&output));
}

#[test]
fn the_catalogue_is_listed_and_shown() {
    let list = out(&run(&["catalogue"]));
    let told: Value = serde_json::from_slice(&run(&["catalogue", "--format", "json"]).stdout).unwrap();
    let entries = told["entries"].as_array().unwrap();
    let on = |shelf: &str| entries.iter().filter(|e| e["shelf"] == shelf).count();
    assert!(on("loads") >= 30 && on("supplies") >= 12 && on("starters") >= 8 && on("breakers") >= 4);
    for entry in entries {
        assert!(list.contains(entry["id"].as_str().unwrap()));
        let name = format!("{}/{}", entry["shelf"].as_str().unwrap(), entry["id"].as_str().unwrap());
        let told: Value =
            serde_json::from_slice(&run(&["catalogue", &name, "--format", "json"]).stdout).unwrap();
        for item in told["entry"]["items"].as_array().unwrap() {
            // every figure has a range and an origin
            if let (Some(origin), Some(value)) = (item["origin"].as_str(), item["value"].as_f64()) {
                assert!(!origin.is_empty());
                let (low, high) = (item["low"].as_f64().unwrap(), item["high"].as_f64().unwrap());
                assert!(low <= value && value <= high, "{name} {item}");
            }
        }
    }
    let shown = out(&run(&["catalogue", "roof-ac"]));
    assert!(
        shown.contains("12.5 (10.5 to 14.5) A") && shown.contains("from its class, hermetic-run-capacitor")
    );
    assert!([list, shown].iter().all(|text| text.lines().all(|l| l.chars().count() <= 100)));
    let loads = out(&run(&["catalogue", "--shelf", "loads"]));
    assert!(loads.contains("roof-ac") && !loads.contains("ul-489"));
}

#[test]
fn entries_of_ones_own_come_before_ours() {
    let folder = std::env::temp_dir().join(format!("startmargin-own-{}", std::process::id()));
    std::fs::create_dir_all(folder.join("loads")).unwrap();
    let entry = folder.join("loads/roof-ac.toml");
    let good = "summary = 'mine'\n[load]\nclass = 'hermetic-run-capacitor'\nrated_voltage_v = 115\nrated_frequency_hz = 60\nrated_load_a = 9.9\n";
    std::fs::write(&entry, good).unwrap();
    let own = folder.to_str().unwrap();
    let told = json(&["check", "--supply", "3000", "--load", "roof-ac", "--catalogue", own]);
    let figures = told["figures"].as_array().unwrap();
    assert_eq!(figures.iter().find(|f| f["name"] == "rated_load_a").unwrap()["value"], 9.9);
    let file = site("own", b"[[supply]]\nname='s'\nkind='shore'\nvoltage_v=120\nfrequency_hz=60\n[[load]]\nname='l'\nuse='roof-ac'\n");
    let path = file.to_str().unwrap();
    for command in ["check", "trace", "motor"] {
        assert_ne!(run(&[command, path, "--catalogue", own]).status.code(), Some(2), "{command}");
    }
    std::fs::write(&entry, good.replace("rated_load_a = 9.9", "rated_loud_a = 9.9")).unwrap();
    let output = run(&["check", path, "--catalogue", own]);
    assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()));
    let said = err(&output);
    assert!(said.contains("roof-ac.toml:6:1") && said.contains("did you mean `rated_load_a`?"), "{said}");
    std::fs::remove_file(file).unwrap();
    std::fs::remove_dir_all(folder).unwrap();
}
