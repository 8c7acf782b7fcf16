//! Surge: does the supply carry the start by its stated surge ratings?

use super::dose::{ROUNDING, carries, limit, tightest_s, time_above};
use super::{Check, Explanation, Margins, Needs, Reading, say};
use crate::case::{Case, Path};
use crate::numeric::curve::{Curve, Law, Piece};
use crate::start::{Row, Trace};
use crate::supply::SupplyKind;

pub(super) struct Surge;

fn supply_a(row: &Row) -> f64 {
    row.supply_a
}

/// T(I): the time of the smallest rating that carries I, for ever up to the continuous rating, none above the largest. A rating
/// without a time promises nothing; above its size the supply fails all the same.
pub(crate) fn ratings(path: &Path) -> Curve {
    let continuous = path.continuous_a.map(|a| Piece { up_to: a, law: Law::Forever });
    let surge = path.surge.iter().filter_map(|s| Some(Piece { up_to: s.amps, law: Law::For(s.for_s?) }));
    Curve::new(continuous.into_iter().chain(surge), Law::Never)
}

impl Check for Surge {
    fn id(&self) -> &'static str {
        "surge"
    }

    fn needs(&self, case: &Case, _path: Option<&Path>) -> Needs {
        let supply = &case.supply;
        if supply.surge.is_empty() {
            return match supply.kind {
                SupplyKind::Shore => Needs::Absent,
                SupplyKind::Inverter | SupplyKind::Generator => Needs::Missing("supply.surge"),
            };
        }
        if supply.continuous.is_none() {
            return Needs::Missing("supply.continuous_va");
        }
        Needs::Applies
    }

    fn lacks(&self, case: &Case) -> Option<(&'static str, &'static str)> {
        let untimed = case.supply.surge.iter().any(|s| s.for_s.is_none());
        untimed
            .then_some(("supply.surge[].for_s", "it is not said for how long the supply carries its surge"))
    }

    fn rests_on_duration(&self) -> bool {
        true
    }

    fn holds(&self, path: &Path, trace: &Trace, reading: Reading, k: f64) -> bool {
        if reading != Reading::ToFail {
            return carries(&ratings(path), trace, supply_a, k);
        }
        let continuous = path.continuous_a.unwrap_or(0.0);
        if trace.starts() && trace.settled.is_some_and(|s| k * s.supply_a > continuous * (1.0 + ROUNDING)) {
            return false;
        }
        let mut below = continuous;
        for rating in &path.surge {
            if let Some(time) = rating.for_s
                && time_above(trace, supply_a, k, below * (1.0 + ROUNDING)) >= time
            {
                return false;
            }
            below = below.max(rating.amps);
        }
        k * trace.largest_supply_a() <= below * (1.0 + ROUNDING)
    }

    fn explain(&self, path: &Path, trace: &Trace, margins: &Margins) -> Explanation {
        let demand = trace.largest_supply_a();
        let curve = ratings(path);
        let limit = limit(&curve, margins.modelled, demand);
        let largest = path.surge.last();
        // the rating that the scaled start runs into
        let k = 1.0 + margins.modelled;
        let at_s = tightest_s(&curve, None, trace, supply_a, k * (1.0 + 1e-6));
        let by_size = largest.is_some_and(|s| limit >= s.amps * (1.0 - 1e-6));
        let settled = trace.settled.filter(|_| trace.starts()).map_or(0.0, |s| s.supply_a);
        let by_settled = path.continuous_a.is_some_and(|c| k * settled >= c * (1.0 - 1e-6));
        let why = match (path.surge.as_slice(), largest) {
            (_, Some(s)) if by_size && margins.modelled < 0.0 => {
                format!("above its largest surge rating, {}", say::held(s.amps, s.for_s))
            }
            (_, Some(s)) if by_size => {
                format!("within its largest surge rating, {}", say::held(s.amps, s.for_s))
            }
            _ if by_settled => "the running current reaches the continuous rating first".into(),
            _ if margins.modelled < 0.0 => "the start outlasts the surge time".into(),
            _ => "the start's length against the surge times decides".into(),
        };
        let whole = path.surge.iter().find(|s| (limit / s.amps - 1.0).abs() < 1e-6);
        let allowed = match whole {
            Some(s) => say::held(s.amps, s.for_s),
            None => format!("{} A for a start this long", say::number(limit)),
        };
        let sentence = format!(
            "the {} is asked for {} A and allows {allowed}: {}",
            path.supply_words(),
            say::number(demand),
            say::difference(demand, limit, "A")
        );
        Explanation {
            sentence,
            demand: Some(demand),
            limit: Some(limit),
            unit: "A",
            at_s,
            rule: "sum of time over allowed time stays below 1, the time being that of the smallest rating that \
                   carries the current; running current at most the continuous rating"
                .into(),
            why,
        }
    }
}
