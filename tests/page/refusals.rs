//! The command line round the page: days, files, plots, shells.

use super::{err, folder, out, run};

const SITE: &str = "tests/data/page/kettle.toml";

#[test]
fn the_same_site_and_day_give_the_same_bytes() {
    let once = run(&["report", SITE, "--date", "2027-03-01"]);
    let twice = run(&["report", SITE, "--date", "2027-03-01"]);
    assert!(!once.stdout.is_empty());
    assert_eq!(once.stdout, twice.stdout);
    let folder = folder("same");
    let file = folder.join("page.html");
    let output = run(&["report", SITE, "--date", "2027-03-01", "-o", file.to_str().unwrap()]);
    assert_eq!(out(&output), format!("{}: kettle on generator\n", file.display()));
    assert_eq!(std::fs::read(&file).unwrap(), once.stdout, "a file and standard output differ");
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "something is left beside the page");
    let _ = std::fs::remove_dir_all(&folder);
}

#[test]
fn the_day_is_printed_or_left_open() {
    let dated = out(&run(&["report", SITE, "--date", "2028-02-29"]));
    assert_eq!(dated.matches("2028-02-29").count(), 2, "customer's and engineer's sheet");
    let open = out(&run(&["report", SITE, "--date", "open"]));
    assert!(open.contains("<dt>Date</dt><dd class=\"open\"></dd>"));
    let today = out(&run(&["report", SITE]));
    let at = today.find("<dt>Date</dt><dd>").unwrap() + 17;
    let day = &today[at..at + 10];
    assert!(day.starts_with("20") && day.as_bytes()[4] == b'-' && day.as_bytes()[7] == b'-', "{day}");
}

/// What is refused leaves nothing behind, and says what would be right.
#[test]
fn refusals_write_nothing() {
    let folder = folder("refused");
    let at = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let (html, svg, lost) = (at("page.html"), at("plot.svg"), at("no/such/page.html"));
    let cases: [(&[&str], &str); 9] = [
        (&["-o", &html, "--date", "2027-02-30"], "year-month-day"),
        (&["-o", &html, "--date", "1.3.2027"], "year-month-day"),
        (&["-o", &html, "--date", ""], "year-month-day"),
        (&["-o", &svg], "--plot"),
        (&["-o", &html, "--plot", "trip"], ".svg"),
        (&["-o", &svg, "--plot", "torque"], "nothing to draw"),
        (&["-o", &html, "--load", "nobody"], "nobody"),
        (&["-o", &html, "--supply", "3"], "3"),
        (&["-o", &lost], "no/such"),
    ];
    for (arguments, says) in cases {
        let output = run(&[&["report", SITE], arguments].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {}", err(&output));
        assert!(err(&output).contains(says), "{arguments:?}: {}", err(&output));
        assert_eq!(out(&output), "", "{arguments:?}");
        assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 0, "{arguments:?} leaves a file");
    }
    let _ = std::fs::remove_dir_all(&folder);
}

/// The commands by the program's own help.
fn commands() -> Vec<String> {
    let help = out(&run(&["--help"]));
    let list = help.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    let names = list.lines().filter(|l| l.starts_with("  ") && !l.starts_with("   "));
    let names: Vec<String> = names.filter_map(|l| l.split_whitespace().next()).map(str::to_owned).collect();
    assert!(names.len() > 8 && names.iter().any(|n| n == "report"), "{names:?}");
    names
}

#[test]
fn shells_and_the_manual_know_every_command() {
    let commands = commands();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let output = run(&["completions", shell]);
        assert_eq!((output.status.code(), err(&output)), (Some(0), String::new()), "{shell}");
        let text = out(&output);
        for command in &commands {
            let whole = text.split(|c: char| !c.is_alphanumeric() && c != '-').any(|word| word == command);
            assert!(whole, "{shell}: {command}");
        }
    }
    let output = run(&["man"]);
    assert_eq!((output.status.code(), err(&output)), (Some(0), String::new()));
    let text = out(&output);
    for command in commands.iter().filter(|c| *c != "help") {
        assert!(text.contains(&format!(".SH {}\n", command.to_uppercase())), "man: {command}");
    }
    assert_eq!(run(&["completions", "sh"]).status.code(), Some(2));
}

#[test]
fn the_plane_in_text_keeps_within_the_columns() {
    for site in [SITE, "tests/data/page/transformer.toml", "tests/data/page/long-names.toml"] {
        let (with, without) = (out(&run(&["check", site, "--plot"])), out(&run(&["check", site])));
        let plane = with.strip_prefix(&without).unwrap_or_else(|| panic!("{site}: the text differs"));
        assert!(plane.lines().count() > 10, "{site}: no plane");
        for line in with.lines() {
            assert!(line.chars().count() <= 100, "{site}: {} columns: {line}", line.chars().count());
        }
    }
    let output = run(&["check", SITE, "--plot", "--format", "json"]);
    assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()));
    assert!(err(&output).contains("--plot"), "{}", err(&output));
}
