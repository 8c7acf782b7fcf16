//! Every comparison of docs/validation.md, each held to what it may differ by.

#[path = "../../examples/validation/cases/mod.rs"]
pub mod cases;
#[path = "../../examples/validation/drift.rs"]
mod drift;

#[test]
fn compare_every_row_of_the_validation_page() {
    let rows: Vec<cases::Row> = cases::all().into_iter().flat_map(|s| s.rows).collect();
    let off: Vec<String> = rows
        .iter()
        .filter(|r| !r.holds())
        .map(|r| format!("{}: {}: expected {}, ours {}", r.case, r.quantity, r.expected, r.ours))
        .collect();
    assert!(off.is_empty(), "{} of {} rows:\n{}", off.len(), rows.len(), off.join("\n"));
    assert!(rows.len() >= 250, "{} rows", rows.len());
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
    // more than that, a count, a word, a line too many or too few
    assert_eq!(other("0.33397", "0.33395"), 1);
    assert_eq!(other("+0.005", "-0.005"), 1);
    assert_eq!(other("17 figures", "18 figures"), 1);
    assert_eq!(other("3 hp", "5 hp"), 1);
    assert_eq!(other("head", "herd"), 1);
    assert_eq!(other("end\n", "end\nmore\n"), 1);
    assert_eq!(other("end\n", ""), 1);
}
