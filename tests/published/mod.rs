//! What published machines and worked examples say beyond the figures of docs/validation.md.

mod quasi_static;
mod standards;
mod wiring;

/// Asserts `|ours - theirs| <= relative |theirs| + absolute`.
#[track_caller]
fn near(what: &str, ours: f64, theirs: f64, relative: f64, absolute: f64) {
    let off = (ours - theirs).abs();
    assert!(off <= relative * theirs.abs() + absolute, "{what}: ours {ours}, theirs {theirs}");
}
