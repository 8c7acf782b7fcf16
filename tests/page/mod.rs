//! The page for customer, engineer and fitter, held to the JSON, to the rules of HTML and to what a reader sees.

mod browser;
mod colours;
mod dom;
mod escaping;
mod figures;
mod refusals;
mod shape;

use std::path::PathBuf;
use std::process::{Command, Output};
use std::sync::OnceLock;

use serde_json::Value;

/// The sites whose pages are looked at: the examples, and from what needs nothing to what nothing helps.
const SITES: [&str; 12] = [
    "docs/examples/boat-230.toml",
    "docs/examples/cabin-well-pump.toml",
    "docs/examples/camper-120.toml",
    "docs/examples/demonstration.toml",
    "docs/examples/workshop-400.toml",
    "tests/data/page/impossible.toml",
    "tests/data/page/kettle.toml",
    "tests/data/page/large-motor.toml",
    "tests/data/page/long-names.toml",
    "tests/data/page/tiny-fan.toml",
    "tests/data/page/transformer.toml",
    "tests/data/page/uncertain.toml",
];

static PAGES: [OnceLock<String>; SITES.len()] = [const { OnceLock::new() }; SITES.len()];

/// The page of a site as the program writes it, made once.
fn page(place: usize) -> &'static str {
    PAGES[place].get_or_init(|| {
        let output = run(&["report", SITES[place], "--date", "2027-03-01"]);
        assert!(matches!(output.status.code(), Some(0 | 1)), "{}: {}", SITES[place], err(&output));
        out(&output)
    })
}

/// Runs `each` for every site, on two threads.
fn for_every_site(each: impl Fn(usize, &str) + Sync) {
    std::thread::scope(|scope| {
        for first in 0..2 {
            let each = &each;
            scope.spawn(move || (first..SITES.len()).step_by(2).for_each(|place| each(place, SITES[place])));
        }
    });
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_startmargin"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_slice(&run(arguments).stdout).unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// A new empty folder of a test's own.
fn folder(name: &str) -> PathBuf {
    let path = std::env::temp_dir().join(format!("startmargin-page-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&path);
    std::fs::create_dir_all(&path).unwrap();
    path
}
