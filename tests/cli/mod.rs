//! The real binary, as a user runs it: exit status, what goes where, the shape of the output.

mod asked;
mod without_a_file;

use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_startmargin"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Writes a site file of this test's own.
fn site(name: &str, text: &[u8]) -> PathBuf {
    let path = std::env::temp_dir().join(format!("startmargin-{}-{name}.toml", std::process::id()));
    std::fs::write(&path, text).unwrap();
    path
}

const ANCHOR: &str = "tests/data/compare/anchor.toml";

#[test]
fn check_runs_the_demonstration_and_says_so() {
    let output = run(&["check"]);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(1));
    assert!(text.starts_with("1. FAILS: "), "{text}");
    assert!(text.contains("built-in demonstration"));
    assert!(text.lines().nth(3).unwrap().starts_with("2. STARTS: "));
    assert!(text.lines().all(|l| l.chars().count() <= 100), "wider than 100 columns");
    assert!(!text.contains('\u{1b}'), "colour into a pipe");
    assert_eq!(err(&output), "");
}

/// The output blocks of the documents are what the program prints: `<!-- output: ARGUMENTS | LINES -->`, all lines where no
/// number stands, the last where it is negative. UPDATE=1 rewrites them.
#[test]
fn readme_and_guide_show_the_real_output() {
    const MARK: &str = "<!-- output: ";
    const OPEN: &str = " -->\n```text\n";
    for (name, blocks) in [("README.md", 1), ("docs/field-guide.md", 9)] {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(name);
        let text = std::fs::read_to_string(&path).unwrap();
        let (mut fresh, mut rest, mut found) = (String::new(), text.as_str(), 0);
        while let Some(at) = rest.find(MARK) {
            let (before, after) = rest.split_at(at + MARK.len());
            let (command, after) = after.split_once(OPEN).unwrap();
            let (arguments, lines) = command.split_once(" | ").unwrap_or((command, "9999"));
            let output = out(&run(&arguments.split_whitespace().collect::<Vec<_>>()));
            let all: Vec<&str> = output.trim_end().lines().collect();
            let kept = match lines.parse::<i64>().unwrap() {
                last if last < 0 => &all[all.len() - last.unsigned_abs() as usize..],
                first => &all[..all.len().min(first as usize)],
            };
            fresh.push_str(&format!("{before}{command}{OPEN}{}\n", kept.join("\n").trim_end()));
            rest = &after[after.find("```").unwrap()..];
            found += 1;
        }
        fresh.push_str(rest);
        assert_eq!(found, blocks, "{name}");
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(path, fresh).unwrap();
        } else {
            assert!(fresh == text, "{name}: an output block is stale, UPDATE=1 cargo test rewrites it");
        }
    }
}

#[test]
fn check_first_three_lines_are_the_answer() {
    let output = run(&["check", ANCHOR]);
    let text = out(&output);
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines[0].starts_with("FAILS: motor on supply; not checked: "), "{}", lines[0]);
    assert_eq!(
        lines[1],
        "The inverter is asked for 62.1 A and allows 50 A for up to 0.5 s: 12.1 A too much."
    );
    assert!(lines[2].starts_with("Next: "), "{}", lines[2]);
}

#[test]
fn check_json_has_the_documented_shape() {
    let output = run(&["check", ANCHOR, "--format", "json", "--level", "envelope"]);
    assert_eq!(output.status.code(), Some(1));
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["format"], 1);
    assert_eq!(json["verdict"], "fails");
    let start = &json["starts"][0];
    assert_eq!(start["reaches_speed"], true);
    assert_eq!(start["largest_rms_a"], 62.1353);
    let surge = &start["checks"][0];
    assert_eq!(surge["id"], "surge");
    assert_eq!(surge["status"], "fail");
    for key in
        ["margin", "margin_guaranteed", "margin_to_fail", "demand", "limit", "unit", "at_s", "rule", "why"]
    {
        assert!(!surge[key].is_null(), "{key}");
    }
    for key in
        ["passes", "passes_over_ranges", "needed", "most", "most_low", "most_chopped", "with_capacitor"]
    {
        assert!(!start["reduction"][key].is_null(), "{key}");
        assert!(key == "with_capacitor" || !start["reduction"]["with_capacitor"][key].is_null(), "{key}");
    }
    let lra = json["figures"].as_array().unwrap().iter().find(|f| f["name"] == "locked_rotor_a").unwrap();
    assert_eq!((&lra["of"], &lra["value"]), (&"load[0]".into(), &62.0.into()));
    // documented keys are the keys there are
    let doc = include_str!("../../docs/json.md");
    for object in [&json, start, surge] {
        for key in object.as_object().unwrap().keys() {
            assert!(doc.contains(&format!("`{key}`")), "{key} is not in docs/json.md");
        }
    }
}

#[test]
fn the_same_file_gives_the_same_bytes() {
    let once = run(&["check", "--format", "json"]);
    assert_eq!(once.stdout, run(&["check", "--format", "json"]).stdout);
}

#[test]
fn trace_and_motor_have_their_columns() {
    let trace = out(&run(&["trace", ANCHOR, "--format", "csv"]));
    let mut lines = trace.lines();
    let header = "time_s,line_rms_a,supply_rms_a,terminal_v,speed_rpm,motor_torque_nm,load_torque_nm";
    assert_eq!(lines.next(), Some(header));
    let first: Vec<f64> = lines.next().unwrap().split(',').map(|c| c.parse().unwrap()).collect();
    assert_eq!(first[0], 0.0);
    assert!((first[1] - 62.1353).abs() < 1e-3);
    let stepped = out(&run(&["trace", ANCHOR, "--step-s", "0.01"]));
    assert!(stepped.lines().nth(2).unwrap().starts_with("0.01,"));
    let table = out(&run(&["motor", ANCHOR, "--format", "csv"]));
    assert_eq!(table.lines().next(), Some("speed_rpm,line_a,power_factor,input_w,torque_nm"));
    assert_eq!(table.lines().count(), 42);
    let json: Value = serde_json::from_slice(&run(&["motor", ANCHOR, "--format", "json"]).stdout).unwrap();
    assert_eq!(json["motor"]["r1_ohm"], 0.624);
    assert_eq!(json["table"].as_array().unwrap().len(), 41);
    assert!(out(&run(&["motor", ANCHOR])).contains("turns_ratio"));
}

const THREE_HP: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/compare/three-phase-3hp.toml");

/// Rows of a trace at the waveform level, empty cells as NaN.
fn instants(arguments: &[&str]) -> Vec<[f64; 7]> {
    let all = [&["trace", arguments[0], "--level", "waveform", "--format", "csv"], &arguments[1..]].concat();
    let text = out(&run(&all));
    let mut lines = text.lines();
    let header = "time_s,line_a,line_b_a,line_c_a,terminal_v,speed_rpm,motor_torque_nm";
    assert_eq!(lines.next(), Some(header), "{all:?}");
    lines
        .map(|line| {
            let cells: Vec<f64> = line.split(',').map(|c| c.parse().unwrap_or(f64::NAN)).collect();
            cells.try_into().unwrap()
        })
        .collect()
}

#[test]
fn a_trace_at_the_waveform_level_is_instantaneous_and_at_a_fixed_step() {
    let three = instants(&[THREE_HP, "--closing-angle-deg", "0"]);
    for (i, row) in three.iter().enumerate() {
        assert!((row[0] - i as f64 / 12_000.0).abs() < 1e-9, "row {i}: {row:?}");
        assert!((row[1] + row[2] + row[3]).abs() < 1e-3, "three lines add up to nothing: {row:?}");
    }
    // it ends settled: about full speed, and steady
    let last = three.last().unwrap();
    assert!(last[5] > 1650.0 && last[0] < 3.0, "{last:?}");
    let one = instants(&[ANCHOR, "--closing-angle-deg", "0", "--step-s", "0.001"]);
    assert!(one[1][2].is_nan() && one[1][3].is_nan() && (one[1][0] - 0.001).abs() < 1e-12);
    // va = sqrt2 V cos(w t + phi)
    assert!((one[0][4] - 2f64.sqrt() * 115.0).abs() < 1e-3, "{:?}", one[0]);
    let zero = instants(&[ANCHOR, "--closing-angle-deg", "90", "--step-s", "0.001"]);
    assert!(zero[0][4].abs() < 1e-3 && zero[1][4] < 0.0, "{:?}", &zero[..2]);
}

#[test]
fn the_closing_angle_of_the_largest_peak_brings_it_about() {
    let json: Value = serde_json::from_slice(&run(&["check", ANCHOR, "--format", "json"]).stdout).unwrap();
    let start = &json["starts"][0];
    let (peak, degrees) = (start["largest_peak_a"].as_f64().unwrap(), &start["largest_peak_closing_deg"]);
    let rows = instants(&[ANCHOR, "--closing-angle-deg", &degrees.to_string()]);
    let crest = rows.iter().fold(0.0, |most: f64, row| most.max(row[1].abs()));
    assert!((crest / peak - 1.0).abs() < 0.002, "{crest} against {peak} A at {degrees}");
}

#[test]
fn levels_are_told_and_wrong_ones_refused() {
    for level in ["envelope", "waveform", "auto"] {
        let output = run(&["check", THREE_HP, "--level", level, "--format", "json"]);
        let json: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(json["level"], level);
    }
    let unsaid: Value = serde_json::from_slice(&run(&["check", ANCHOR, "--format", "json"]).stdout).unwrap();
    assert_eq!(unsaid["level"], "auto");
    for wrong in [
        &["trace", ANCHOR, "--closing-angle-deg", "30"][..],
        &["trace", ANCHOR, "--level", "waveform", "--closing-angle-deg", "nan"],
        &["trace", ANCHOR, "--level", "waveform", "--step-s", "0"],
        &["check", ANCHOR, "--level", "exact"],
    ] {
        let output = run(wrong);
        assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()), "{wrong:?}");
    }
}

#[test]
fn mistakes_have_line_column_and_exit_status_2() {
    let text =
        "title = \"x\"\n[[supply]]\nname = \"a\"\nkind = \"inverter\"\nvoltage = 120\nfrequency_hz = 0\n";
    let path = site("mistakes", text.as_bytes());
    let output = run(&["check", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(out(&output), "");
    let said = err(&output);
    assert!(said.contains(":5:1") && said.contains("voltage_v"), "{said}");
    assert!(said.contains("frequency_hz = 0"), "{said}");
    let output = run(&["check", path.to_str().unwrap(), "--format", "json"]);
    assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()));
    let json: Value = serde_json::from_slice(&output.stderr).unwrap();
    assert!(json["errors"].as_array().unwrap().iter().any(|e| e["line"] == 5 && e["column"] == 1));
    std::fs::remove_file(path).unwrap();
}

#[test]
fn files_that_are_no_site_files_end_with_2() {
    let path = site("bytes", b"title = \"x\"\n\xff\xfe");
    let output = run(&["check", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("line 2, column 1"), "{}", err(&output));
    std::fs::remove_file(path).unwrap();
    let output = run(&["check", "no-such-file.toml"]);
    assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()));
    assert_eq!(run(&["check", "--no-such-option"]).status.code(), Some(2));
    assert_eq!(run(&["trace", ANCHOR, "--load", "9"]).status.code(), Some(2));
    assert_eq!(run(&["--help"]).status.code(), Some(0));
}

/// A site of one current alone is judged all the same, by the widest class, and says so; what is not modelled says so too.
#[test]
fn a_nameplate_alone_is_judged_and_says_by_what() {
    let text = "[[supply]]\nname = \"inverter\"\nkind = \"inverter\"\nvoltage_v = 120\nfrequency_hz = 60\ncontinuous_va = 3000\n\
                surge = [{ va = 6000, for_s = 0.5 }]\n[battery]\nnominal_v = 48\n[[load]]\nname = \"pump\"\nlocked_rotor_a = 40\n";
    let path = site("nameplate", text.as_bytes());
    let output = run(&["check", path.to_str().unwrap(), "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["verdict"], "uncertain");
    let checks = json["starts"][0]["checks"].as_array().unwrap();
    let by_id = |id: &str| checks.iter().find(|c| c["id"] == id).unwrap();
    assert!(by_id("acceleration")["margin"].is_number() && by_id("surge")["margin"].is_number());
    assert!(by_id("battery")["why"].as_str().unwrap().contains("not modelled yet"));
    assert!(json["notes"].to_string().contains("the widest class there is"));
    let figure = |name: &str| json["figures"].as_array().unwrap().iter().find(|f| f["name"] == name).unwrap();
    assert_eq!(figure("rated_load_a")["origin"], "derived");
    assert!(figure("rated_load_a")["note"].as_str().unwrap().contains("over the ratio usual of the class"));
    assert_eq!(figure("locked_rotor_a")["high"], 48.0, "a fifth more, by its standard");
    std::fs::remove_file(path).unwrap();
}

/// Whatever the site, the text fits its columns and begins with a verdict.
#[test]
fn every_site_fits_the_columns() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/compare");
    let mut sites = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "toml") {
            continue;
        }
        let output = run(&["check", path.to_str().unwrap()]);
        let text = out(&output);
        assert!(matches!(output.status.code(), Some(0 | 1)), "{}: {}", path.display(), err(&output));
        assert!(["STARTS: ", "UNCERTAIN: ", "FAILS: "].iter().any(|w| text.starts_with(w)), "{text}");
        assert!(text.lines().all(|l| l.chars().count() <= 100), "{} is too wide", path.display());
        assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
        sites += 1;
    }
    assert!(sites >= 38);
}

/// README's picture is what the command beside it makes. UPDATE=1 rewrites it.
#[test]
fn the_picture_of_readme_is_up_to_date() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let readme = std::fs::read_to_string(root.join("README.md")).unwrap();
    const COMMAND: &str = "startmargin report -o docs/pictures/trip.svg --plot trip";
    assert!(readme.contains(COMMAND) && readme.contains("](docs/pictures/trip.svg)"));
    let made = std::env::temp_dir().join(format!("startmargin-picture-{}.svg", std::process::id()));
    let output = run(&["report", "-o", made.to_str().unwrap(), "--plot", "trip"]);
    assert_eq!(output.status.code(), Some(1), "{}", err(&output));
    let fresh = std::fs::read_to_string(&made).unwrap();
    std::fs::remove_file(&made).unwrap();
    let kept = root.join("docs/pictures/trip.svg");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(kept, fresh).unwrap();
    } else {
        let same = std::fs::read_to_string(kept).unwrap() == fresh;
        assert!(same, "docs/pictures/trip.svg is stale, UPDATE=1 cargo test rewrites it");
    }
}
