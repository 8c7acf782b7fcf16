//! What is wrong with a site file, and where: kept as data, shown as text with the line and a caret, or as
//! JSON.

use crate::figure::Span;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

/// Text output shows this many mistakes and counts the rest.
const SHOWN: usize = 50;

/// A line longer than this is not shown, only its place.
const LONGEST_LINE: usize = 2000;

/// One mistake in a site file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// The bytes of the text it is about.
    pub span: Span,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The key in question as a path ("load\[0\].locked_rotor_a"), empty for a mistake of spelling in the file
    /// itself.
    pub key: String,
    /// What is wrong.
    pub message: String,
    /// What would be right; may be empty.
    pub help: String,
}

impl Diagnostic {
    /// A mistake at bytes of a text.
    pub(super) fn at(text: &str, span: Span, key: &str, message: String, help: String) -> Diagnostic {
        let (line, column) = Lines::of(text).place(text, span.start);
        Diagnostic { span, line, column, key: key.to_owned(), message, help }
    }
}

/// Where the lines of a text begin.
#[derive(Debug, Clone)]
pub(super) struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    /// The lines of `text`.
    pub(super) fn of(text: &str) -> Lines {
        let ends = text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1);
        Lines { starts: std::iter::once(0).chain(ends).collect() }
    }

    /// Line and column, both from 1, of a byte of `text`; a byte past the end is the end.
    pub(super) fn place(&self, text: &str, byte: usize) -> (usize, usize) {
        let byte = floor(text, byte);
        let line = self.starts.partition_point(|s| *s <= byte).max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let before = text.get(start..byte).unwrap_or("");
        let before = if start == 0 { before.trim_start_matches('\u{feff}') } else { before };
        (line, before.chars().count() + 1)
    }

    /// The first byte of a line and the line without its end, and without a byte-order mark.
    fn line<'t>(&self, text: &'t str, line: usize) -> (usize, &'t str) {
        let mut start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        if start == 0 && text.starts_with('\u{feff}') {
            start = '\u{feff}'.len_utf8();
        }
        let rest = text.get(start..).unwrap_or("");
        let end = rest.find('\n').unwrap_or(rest.len());
        (start, rest.get(..end).unwrap_or("").trim_end_matches('\r'))
    }
}

/// The nearest character boundary at or before `byte`.
fn floor(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

/// The mistakes as text: for each its message, file, line and column, the line itself with a caret, and what
/// would be right; at the end how many there are.
pub fn render(file: &str, text: &str, mistakes: &[Diagnostic], colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let lines = Lines::of(text);
    let mut out = String::new();
    for mistake in mistakes.iter().take(SHOWN) {
        out.push_str(&renderer.render(&[group(file, text, &lines, mistake)]));
        out.push_str("\n\n");
    }
    if mistakes.len() > SHOWN {
        out.push_str(&format!("... and {} more\n", mistakes.len() - SHOWN));
    }
    let name = annotate_snippets::normalize_untrusted_str(file);
    match mistakes.len() {
        1 => out.push_str(&format!("1 mistake in {name}\n")),
        n => out.push_str(&format!("{n} mistakes in {name}\n")),
    }
    out
}

/// One mistake in the shape that the renderer takes: only its own line is handed over.
fn group<'t>(file: &'t str, text: &'t str, lines: &Lines, mistake: &Diagnostic) -> Group<'t> {
    let (start, line) = lines.line(text, mistake.line);
    let from = floor(line, mistake.span.start.saturating_sub(start));
    let to = floor(line, mistake.span.end.saturating_sub(start)).max(from);
    let caret = AnnotationKind::Primary.span(from..to);
    let title = match mistake.key.as_str() {
        "" => mistake.message.clone(),
        key => format!("{key}: {}", mistake.message),
    };
    let title = Level::ERROR.primary_title(title);
    let group = if line.len() > LONGEST_LINE {
        title.element(Origin::path(file).line(mistake.line).char_column(mistake.column))
    } else {
        title.element(Snippet::source(line).line_start(mistake.line).path(file).annotation(caret))
    };
    if mistake.help.is_empty() {
        return group;
    }
    group.element(Level::HELP.message(annotate_snippets::normalize_untrusted_str(&mistake.help)))
}

/// The mistakes as JSON: serialise with `serde_json`.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Errors {
    /// Version of this shape.
    pub format: u32,
    /// The mistakes in file order.
    pub errors: Vec<ErrorEntry>,
}

/// One mistake in JSON.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct ErrorEntry {
    /// The file as it was named.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The key in question, or empty.
    pub key: String,
    /// What is wrong.
    pub message: String,
    /// What would be right, or empty.
    pub help: String,
}

/// The mistakes of one file in the shape that is written as JSON.
pub fn errors(file: &str, mistakes: &[Diagnostic]) -> Errors {
    let entry = |d: &Diagnostic| ErrorEntry {
        file: file.to_owned(),
        line: d.line,
        column: d.column,
        key: d.key.clone(),
        message: d.message.clone(),
        help: d.help.clone(),
    };
    Errors { format: 1, errors: mistakes.iter().map(entry).collect() }
}
