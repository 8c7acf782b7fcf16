//! A figure: a value with its low and high bound, where it came from, and where in the site file it stands.

use std::sync::Arc;

use crate::quantity::Quantity;

/// Where a figure came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// Read off the nameplate or a maker's sheet.
    Nameplate,
    /// Measured on the site or on the unit.
    Measured,
    /// A table of a standard.
    Standard,
    /// Common practice, no source.
    Typical,
    /// Worked out from other figures by a rule.
    Derived,
    /// Assumed for want of anything better.
    Assumed,
    /// Written in the site file without saying where it came from.
    #[default]
    Given,
}

impl Origin {
    /// Every origin with the word the site file uses for it.
    pub const ALL: [(&'static str, Origin); 7] = [
        ("nameplate", Origin::Nameplate),
        ("measured", Origin::Measured),
        ("standard", Origin::Standard),
        ("typical", Origin::Typical),
        ("derived", Origin::Derived),
        ("assumed", Origin::Assumed),
        ("given", Origin::Given),
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, o)| *o == self).map_or("given", |(w, _)| w)
    }
}

/// Bytes `start..end` of the site file's text.
pub type Span = std::ops::Range<usize>;

/// A quantity with its bounds, origin and place: `low <= value <= high`.
///
/// ```
/// use startmargin::figure::{Figure, Origin};
/// use startmargin::quantity::Ampere;
/// let lra = Figure::exact(Ampere(62.0), Origin::Nameplate).between(Ampere(58.0), Ampere(70.0));
/// assert!(lra.ranges());
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Figure<Q> {
    /// The value that margins are quoted at.
    pub value: Q,
    /// The lower bound.
    pub low: Q,
    /// The upper bound.
    pub high: Q,
    /// Where it came from.
    pub origin: Origin,
    /// Where it stands in the site file.
    pub at: Option<Span>,
    /// Its source, or the rule it was worked out by, in words.
    pub note: Option<Arc<str>>,
}

impl<Q: Quantity> Figure<Q> {
    /// A figure without doubt: both bounds are the value.
    pub fn exact(value: Q, origin: Origin) -> Self {
        Figure { value, low: value, high: value, origin, at: None, note: None }
    }

    /// The same with bounds.
    #[must_use]
    pub fn between(mut self, low: Q, high: Q) -> Self {
        (self.low, self.high) = (low, high);
        self
    }

    /// The same with its source or rule in words.
    #[must_use]
    pub fn noted(mut self, note: impl Into<Arc<str>>) -> Self {
        self.note = Some(note.into());
        self
    }

    /// The same with place and note of another figure.
    #[must_use]
    pub fn placed<P: Quantity>(mut self, other: &Figure<P>) -> Self {
        (self.at, self.note) = (other.at.clone(), other.note.clone());
        self
    }

    /// The number at the value, in the quantity's unit.
    pub fn get(&self) -> f64 {
        self.value.get()
    }

    /// Whether the bounds leave room.
    pub fn ranges(&self) -> bool {
        self.low != self.high
    }
}

impl<Q: Quantity> From<Q> for Figure<Q> {
    fn from(value: Q) -> Self {
        Figure::exact(value, Origin::Given)
    }
}

/// A figure of any quantity, as the walk over a case's figures sees it.
pub trait AnyFigure {
    /// `(value, low, high)` in the figure's unit.
    fn numbers(&self) -> (f64, f64, f64);
    /// The unit's symbol.
    fn unit(&self) -> &'static str;
    /// Where it came from.
    fn origin(&self) -> Origin;
    /// Its source or rule in words.
    fn note(&self) -> Option<&Arc<str>>;
    /// Moves the value, leaving bounds and origin as they are.
    fn set(&mut self, value: f64);
    /// Multiplies the value and its bounds.
    fn scale(&mut self, by: f64);
}

impl<Q: Quantity> AnyFigure for Figure<Q> {
    fn numbers(&self) -> (f64, f64, f64) {
        (self.value.get(), self.low.get(), self.high.get())
    }
    fn unit(&self) -> &'static str {
        Q::UNIT
    }
    fn origin(&self) -> Origin {
        self.origin
    }
    fn note(&self) -> Option<&Arc<str>> {
        self.note.as_ref()
    }
    fn set(&mut self, value: f64) {
        self.value = Q::of(value);
    }
    fn scale(&mut self, by: f64) {
        let at = |q: Q| Q::of(q.get() * by);
        (self.value, self.low, self.high) = (at(self.value), at(self.low), at(self.high));
    }
}

/// Something that holds figures: a walk hands each with its key, dotted below `self`.
pub trait Figures {
    /// Calls `visit(key, figure)` for every figure there is, always in the same order.
    fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn AnyFigure));
}

impl<Q: Quantity> Figures for Figure<Q> {
    fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn AnyFigure)) {
        visit("", self);
    }
}

impl<T: Figures> Figures for Option<T> {
    fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn AnyFigure)) {
        if let Some(inner) = self {
            inner.visit(visit);
        }
    }
}

impl<T: Figures> Figures for Vec<T> {
    fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn AnyFigure)) {
        for (i, inner) in self.iter_mut().enumerate() {
            inner.visit(&mut |key, figure| {
                visit(&format!("[{i}]{}{key}", if key.is_empty() { "" } else { "." }), figure)
            });
        }
    }
}

/// Implements [`Figures`] for a struct by naming the fields that hold figures, in the order of the site file.
#[macro_export]
macro_rules! figures {
    ($name:ty: $($field:ident),* $(,)?) => {
        impl $crate::figure::Figures for $name {
            fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn $crate::figure::AnyFigure)) {
                $($crate::figure::Figures::visit(&mut self.$field, &mut |key: &str, figure: &mut dyn $crate::figure::AnyFigure| {
                    match key {
                        "" => visit(stringify!($field), figure),
                        key if key.starts_with('[') => visit(&format!("{}{key}", stringify!($field)), figure),
                        key => visit(&format!("{}.{key}", stringify!($field)), figure),
                    }
                });)*
            }
        }
    };
}
