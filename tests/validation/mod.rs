//! Every comparison of docs/validation.md, each held to what it may differ by.

#[path = "../../examples/validation/cases/mod.rs"]
pub mod cases;

#[test]
fn compare_every_row_of_the_validation_page() {
    let rows = cases::all();
    let off: Vec<String> = rows
        .iter()
        .filter(|r| !r.holds())
        .map(|r| format!("{}: {}: expected {}, ours {}", r.case, r.quantity, r.expected, r.ours))
        .collect();
    assert!(off.is_empty(), "{} of {} rows:\n{}", off.len(), rows.len(), off.join("\n"));
    assert!(rows.len() >= 60, "{} rows", rows.len());
}
