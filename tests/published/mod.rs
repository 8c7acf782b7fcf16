//! Published machines: phasor values and quasi-static starts of parameter sets from books and public code, against reference
//! solutions made apart from the project (scipy; tests/data/*.csv say how and from where), and worked examples of textbooks.

pub mod csv;
mod quasi_static;
pub mod single_phase;
mod standards;
mod three_phase;
mod wiring;
mod worked_examples;

/// Asserts `|ours - theirs| <= relative |theirs| + absolute`.
#[track_caller]
fn near(what: &str, ours: f64, theirs: f64, relative: f64, absolute: f64) {
    let off = (ours - theirs).abs();
    assert!(off <= relative * theirs.abs() + absolute, "{what}: ours {ours}, theirs {theirs}");
}
