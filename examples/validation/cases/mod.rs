//! Comparisons with what stands outside the project, each rerun and given as a row. The page
//! docs/validation.md is made of them by the example, and a test holds each to what it may differ by.

pub mod analytic;
pub mod csv;
pub mod gates;
pub mod inrush;
pub mod labels;
pub mod levels;
pub mod machines;
pub mod measured;
pub mod method;
pub mod more;
pub mod published;
pub mod reduced;
pub mod reference;
pub mod sites;
pub mod thyristors;
pub mod worked;

/// What kind of evidence a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Evidence {
    /// Algebra: exact but for rounding.
    Analytic,
    /// A book's or a standard's example.
    WorkedExample,
    /// The same equations solved by a program that shares no line with ours, or other equations of the same
    /// thing.
    IndependentProgram,
    /// Something was measured.
    Measured,
    /// A point that a standard fixes.
    Gate,
}

impl Evidence {
    /// All kinds, in the order of the page.
    pub const ALL: [Evidence; 5] = [
        Evidence::Analytic,
        Evidence::WorkedExample,
        Evidence::IndependentProgram,
        Evidence::Measured,
        Evidence::Gate,
    ];

    /// What the page calls it.
    pub fn name(self) -> &'static str {
        match self {
            Evidence::Analytic => "analytic",
            Evidence::WorkedExample => "worked example",
            Evidence::IndependentProgram => "independent program",
            Evidence::Measured => "measured",
            Evidence::Gate => "standard's gate",
        }
    }
}

/// What a figure may differ by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Allowed {
    /// Parts of the expected figure, either way.
    Part(f64),
    /// So much in the figure's own unit, either way.
    Size(f64),
    /// Anything that is not less.
    AtLeast,
    /// Anything that is not more.
    AtMost,
    /// Anything from the one to the other; the expected figure is what is usual.
    Within([f64; 2]),
}

/// Relative width of rounding: a figure that sits on a bound is inside.
const ROUNDING: f64 = 1e-9;

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What is compared: machine, supply, angle.
    pub case: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Where the expected figure comes from.
    pub source: String,
    /// The quantity, with its unit.
    pub quantity: String,
    /// What it should be.
    pub expected: f64,
    /// What we get.
    pub ours: f64,
    /// What it may differ by.
    pub allowed: Allowed,
    /// Why so much.
    pub why: &'static str,
    /// Case and quantity under which the page shows this row and others like it as one line.
    pub line: Option<[String; 2]>,
    /// Said at the page's top: why the figure is not what one would like, though it is what is expected of
    /// the model.
    pub loss: Option<&'static str>,
}

impl Row {
    /// Difference: in parts of the expected figure, or in the figure's own unit where that is what counts.
    pub fn difference(&self) -> f64 {
        let off = self.ours - self.expected;
        match self.allowed {
            Allowed::Size(_) => off,
            _ if self.expected == 0.0 => off,
            _ => off / self.expected.abs(),
        }
    }

    /// Whether it is within what is allowed. What is no number is not.
    pub fn holds(&self) -> bool {
        let (ours, least, most) = match self.allowed {
            Allowed::Part(part) => (self.difference().abs(), 0.0, part),
            Allowed::Size(size) => (self.difference().abs(), 0.0, size * (1.0 + ROUNDING)),
            Allowed::AtLeast => (self.ours, self.expected * (1.0 - ROUNDING), f64::INFINITY),
            Allowed::AtMost => (self.ours, f64::NEG_INFINITY, self.expected * (1.0 + ROUNDING)),
            Allowed::Within([low, high]) => (self.ours, low, high),
        };
        (least..=most).contains(&ours)
    }

    /// How much of what is allowed is used up: of rows shown as one line the largest is shown.
    pub fn strain(&self) -> f64 {
        let off = self.difference();
        match self.allowed {
            Allowed::Part(allowed) | Allowed::Size(allowed) => off.abs() / allowed,
            Allowed::AtLeast => 1.0 - off,
            Allowed::AtMost => 1.0 + off,
            Allowed::Within([low, high]) => (2.0 * self.ours - low - high).abs() / (high - low),
        }
    }
}

/// Rows that share a kind of evidence, a source and a reason.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// The rows.
    pub rows: Vec<Row>,
    /// Goes into the rows to come.
    pub evidence: Evidence,
    /// Goes into the rows to come.
    pub source: String,
    /// Goes into the rows to come.
    pub why: &'static str,
    /// Goes into the rows to come.
    pub case: String,
    /// The case by which the page shows the rows to come in one line with others.
    pub together: Option<String>,
}

impl Sheet {
    /// An empty one.
    pub fn new(evidence: Evidence, source: impl Into<String>, why: &'static str) -> Sheet {
        let (case, source) = (String::new(), source.into());
        Sheet { rows: Vec::new(), evidence, source, why, case, together: None }
    }

    /// What the rows to come are about.
    pub fn case(&mut self, case: impl Into<String>) -> &mut Sheet {
        (self.case, self.together) = (case.into(), None);
        self
    }

    /// What the page calls the rows to come together with others of the same name and quantity.
    pub fn together(&mut self, case: impl Into<String>) -> &mut Sheet {
        self.together = Some(case.into());
        self
    }

    /// A row.
    pub fn add(&mut self, quantity: &str, expected: f64, ours: f64, allowed: Allowed) -> &mut Row {
        self.add_as(quantity, quantity, expected, ours, allowed)
    }

    /// A row that the page shows under another quantity where it is one of several.
    pub fn add_as(
        &mut self,
        quantity: &str,
        kind: &str,
        expected: f64,
        ours: f64,
        allowed: Allowed,
    ) -> &mut Row {
        let line = self.together.as_ref().map(|case| [case.clone(), kind.to_owned()]);
        let at = self.rows.len();
        self.rows.push(Row {
            case: self.case.clone(),
            evidence: self.evidence,
            source: self.source.clone(),
            quantity: quantity.to_owned(),
            expected,
            ours,
            allowed,
            why: self.why,
            line,
            loss: None,
        });
        &mut self.rows[at]
    }
}

/// A chapter of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Its head.
    pub title: &'static str,
    /// What it is about.
    pub about: &'static str,
    /// The comparisons.
    pub rows: Vec<Row>,
}

/// Every comparison there is.
pub fn all() -> Vec<Section> {
    vec![
        Section {
            title: "Algebra",
            about: "The waveform level against what can be worked out on paper.",
            rows: analytic::rows(),
        },
        Section {
            title: "Starts at the waveform level",
            about: "Instantaneous equations against solutions of the same equations by another integrator \
                in another frame.",
            rows: reference::rows(),
        },
        Section {
            title: "Larger machines, a double cage, weaker sources",
            about: "The same level against solutions of another form of the equations. The double cage is \
                invented.",
            rows: more::rows(),
        },
        Section {
            title: "Reduced voltage",
            about: "Starts that succeed, hang and stall, at both levels.",
            rows: reduced::rows(),
        },
        Section {
            title: "Published machines in the phasor circuit",
            about: "Circuits of books and public code against closed forms solved apart.",
            rows: published::circuits(),
        },
        Section {
            title: "Starts at the envelope level",
            about: "The same equations, phasor circuit and swing equation, integrated by another program.",
            rows: published::starts(),
        },
        Section {
            title: "Worked examples of books",
            about: "Each with how far it was seen.",
            rows: worked::rows(),
        },
        Section {
            title: "Labels, codes and tables",
            about: "Standards, worked in published copies.",
            rows: labels::rows(),
        },
        Section {
            title: "Breakers",
            about: "Every gate of the standards for every standard rating.",
            rows: gates::rows(),
        },
        Section {
            title: "The method of the fit",
            about: "Least squares on sets with certified answers.",
            rows: method::rows(),
        },
        Section {
            title: "Whole sites",
            about: "From the site file to margins and reduction windows, at the envelope level. Where the first peak decides \
                    a window (one site) there is nothing to compare.",
            rows: sites::rows(),
        },
        Section {
            title: "Phase control",
            about: "What thyristors let through at the waveform level, and what the envelope level makes of it: the derating \
                    of an ideal current limit.",
            rows: thyristors::rows(),
        },
        Section {
            title: "Measured",
            about: "The only evidence that the models are those of real motors. There is little of it.",
            rows: measured::rows(),
        },
        Section {
            title: "Loads that are not induction motors",
            about: "Recorded starts against the entries of the catalogue, their size alone set to the recorded one.",
            rows: inrush::rows(),
        },
        Section {
            title: "The envelope level against the waveform level",
            about: "What the envelope level leaves out, as our own two levels have it (ours) and as a study \
                of the same \
                    machines found it (expected). These rows say how wrong the envelope level is.",
            rows: levels::rows(),
        },
    ]
}
