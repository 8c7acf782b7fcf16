//! Reruns every comparison with what stands outside the project and writes docs/validation.md; with `--check`
//! compares the page there is with a fresh one and exits with 1 if they differ beyond rounding.

mod cases;
mod drift;
mod page;
mod speed;

use std::process::ExitCode;

fn main() -> ExitCode {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/validation.md");
    let sections = cases::all();
    let fresh = page::page(&sections, &speed::chapter());
    if !std::env::args().any(|a| a == "--check") {
        return match std::fs::write(path, fresh) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => {
                eprintln!("{path}: {error}");
                ExitCode::FAILURE
            }
        };
    }
    let committed = std::fs::read_to_string(path).unwrap_or_default();
    let differences = drift::differences(&committed, &fresh);
    for line in &differences {
        println!("{line}");
    }
    if differences.is_empty() {
        println!("docs/validation.md is what a fresh run gives");
        ExitCode::SUCCESS
    } else {
        println!("{} lines differ: cargo run --release --example validation", differences.len());
        ExitCode::FAILURE
    }
}
