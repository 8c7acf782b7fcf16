//! Every comparison of docs/validation.md, each held to what it may differ by.

#[path = "../../examples/validation/cases/mod.rs"]
pub mod cases;
#[path = "../../examples/validation/drift.rs"]
mod drift;
#[path = "../../examples/validation/page.rs"]
mod page;

use cases::{Allowed, Evidence, Section, Sheet};

#[test]
fn compare_every_row_of_the_validation_page() {
    let rows: Vec<cases::Row> = cases::all().into_iter().flat_map(|s| s.rows).collect();
    let off: Vec<String> = rows
        .iter()
        .filter(|r| !r.holds())
        .map(|r| format!("{}: {}: expected {}, ours {}", r.case, r.quantity, r.expected, r.ours))
        .collect();
    assert!(off.is_empty(), "{} of {} rows:\n{}", off.len(), rows.len(), off.join("\n"));
    // a file that is not found, a list that is cut short must not pass unseen
    let of = |kind: Evidence| rows.iter().filter(|r| r.evidence == kind).count();
    let counts = Evidence::ALL.map(of);
    let least = [26, 143, 2136, 131, 1404];
    assert!(counts.iter().zip(least).all(|(n, least)| *n >= least), "{counts:?}, at least {least:?}");
}

#[test]
fn a_row_holds_just_within_what_is_allowed() {
    let holds = |expected: f64, ours: f64, allowed: Allowed| {
        let mut sheet = Sheet::new(Evidence::Analytic, "", "");
        sheet.add("x", expected, ours, allowed).holds()
    };
    for (allowed, inside, outside) in [
        (Allowed::Part(0.01), 101.0 - 1e-6, 101.1),
        (Allowed::Part(0.01), 99.0 + 1e-6, 98.9),
        (Allowed::Size(0.5), 100.5, 100.51),
        (Allowed::AtLeast, 100.0, 99.9),
        (Allowed::AtLeast, f64::INFINITY, f64::NAN),
        (Allowed::AtMost, 100.0, 100.1),
        (Allowed::Within([90.0, 105.0]), 105.0, 105.1),
        (Allowed::Part(1.0), 100.0, f64::NAN),
    ] {
        assert!(holds(100.0, inside, allowed), "{inside} {allowed:?}");
        assert!(!holds(100.0, outside, allowed), "{outside} {allowed:?}");
    }
}

#[test]
fn the_page_shows_the_worst_of_a_kind_and_names_what_is_outside() {
    let mut sheet = Sheet::new(Evidence::Measured, "a log", "why not");
    sheet.case("one").together("both");
    sheet.add("current, A", 10.0, 10.1, Allowed::Part(0.05));
    sheet.case("two").together("both");
    sheet.add("current, A", 20.0, 20.8, Allowed::Part(0.05));
    sheet.case("three");
    sheet.add("torque, N m", 1.0, 1.4, Allowed::Part(0.5)).loss = Some("a pity");
    sheet.add("torque, N m", 2.0, 4.0, Allowed::Part(0.5));
    let section = Section { title: "Head", about: "About.", rows: sheet.rows };
    let page = page::page(&[section], "\n## Speed\n");
    let has = |text: &str| assert!(page.contains(text), "no {text:?} in\n{page}");
    has("| measured | 4 | 3 |");
    has("| both | measured | current, A: 2 figures, worst | 20 | 20.8 | +4.000 % | 5 % | a, 1 |");
    has("- three: torque, N m 1.4; a pity");
    has("- **three: torque, N m: expected 2, ours 4: outside**");
    has("+100.000 % **1 outside**");
    has("## Speed");
}

#[test]
fn drift_of_the_page_is_seen_and_rounding_is_not() {
    let page = "head\n| 3 hp | 0.33395 | 0.33397 | +0.005 % | 17 figures |\nend\n";
    assert!(drift::differences(page, page).is_empty());
    let other = |from: &str, to: &str| drift::differences(page, &page.replace(from, to)).len();
    // the last digit by one, and a zero that lost its sign or was not written
    assert_eq!(other("0.33397", "0.33396"), 0);
    assert_eq!(other("+0.005", "+0.004"), 0);
    assert_eq!(drift::differences("| 0.000 % |", "| -0.001 % |").len(), 0);
    assert_eq!(drift::differences("| 0.3340 |", "| 0.334 |").len(), 0);
    // more than that, a count, a word: one line went, one came
    assert_eq!(other("0.33397", "0.33395"), 2);
    assert_eq!(other("+0.005", "-0.005"), 2);
    assert_eq!(other("17 figures", "18 figures"), 2);
    assert_eq!(other("3 hp", "5 hp"), 2);
    assert_eq!(other("head", "herd"), 2);
    // a line too many or too few, whatever comes after it
    assert_eq!(other("end\n", "end\nmore\n"), 1);
    assert_eq!(other("end\n", ""), 1);
    assert_eq!(drift::differences(page, &format!("new\n{page}")), ["+1: new"]);
}
