//! Writes docs/validation.md.
mod cases;
fn main() {
    for r in cases::all() {
        println!(
            "{:5} {:+.4}% {} | {} | {} {}",
            r.holds(),
            100.0 * r.difference(),
            r.case,
            r.quantity,
            r.expected,
            r.ours
        );
    }
}
