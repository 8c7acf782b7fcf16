//! Comparisons with what stands outside the project, each rerun and given as a row. The page docs/validation.md is made of them
//! by the example, and a test holds each to what it may differ by.

pub mod reference;

/// What kind of evidence a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Evidence {
    /// Algebra: exact but for rounding.
    Analytic,
    /// A book's or a standard's example.
    WorkedExample,
    /// The same equations solved by a program that shares no line with ours, or other equations of the same thing.
    IndependentProgram,
    /// Something was measured.
    Measured,
    /// A point that a standard fixes.
    Gate,
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What is compared: machine, supply, angle.
    pub case: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Where the expected figure comes from.
    pub source: &'static str,
    /// The quantity, with its unit.
    pub quantity: String,
    /// What it should be.
    pub expected: f64,
    /// What we get.
    pub ours: f64,
    /// What it may differ by, in parts of the expected figure.
    pub allowed: f64,
    /// Why so much.
    pub why: &'static str,
}

impl Row {
    /// Difference in parts of the expected figure; of an expected zero the difference itself.
    pub fn difference(&self) -> f64 {
        let scale = if self.expected == 0.0 { 1.0 } else { self.expected.abs() };
        (self.ours - self.expected) / scale
    }

    /// Whether it is within what is allowed.
    pub fn holds(&self) -> bool {
        self.difference().abs() <= self.allowed
    }
}

/// Every comparison there is.
pub fn all() -> Vec<Row> {
    let mut rows = Vec::new();
    rows.extend(reference::rows());
    rows
}
