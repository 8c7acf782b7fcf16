//! UL 489 / NEMA AB 1. Times at 200 % seen up to 100 A, from memory above; 135 % from memory (one hour up to 50 A also in
//! component makers' data); field check at 300 % (NEMA AB 4 / NETA table 100.7) from memory. What is from memory is a guard
//! against edits.

use startmargin::protection::{BreakerStandard, EdgeError};

use super::{doses, holds, trips};
use crate::validation::cases::gates::{RATINGS, breaker, must_trip, ul};

/// 100, 135, 200 and 300 % by dose.
#[test]
fn worked_doses_at_every_gate() {
    doses(&ul());
}

/// Nothing is promised above 100 %, and the slow edge says no more than the standard: not sooner at the gate itself.
#[test]
fn worked_no_more_is_said_than_the_standard_does() {
    for rating in RATINGS {
        let edges = breaker(BreakerStandard::Ul489, rating).edges(120.0, 60.0).unwrap();
        assert_eq!(edges.guaranteed.time(1.001 * rating), 0.0);
        let (_, at_200, _) = must_trip(rating);
        assert!(edges.slow.time(2.0 * rating) >= 60.0 * at_200 * (1.0 - 1e-9));
    }
}

/// Assumed (no standard): beyond 20 times the rating it acts within 0.1 s, below 5 times it is not modelled to act at once.
#[test]
fn regress_the_assumed_instantaneous_trip() {
    for rating in RATINGS {
        let edges = breaker(BreakerStandard::Ul489, rating).edges(120.0, 60.0).unwrap();
        trips("20 x", &edges.slow, 20.0 * rating, 0.1);
        holds("5 x", &edges.fast, 5.0 * rating, 0.1);
    }
}

/// The table ends at 600 A.
#[test]
fn worked_above_the_table_there_is_no_edge() {
    assert_eq!(breaker(BreakerStandard::Ul489, 601.0).edges(480.0, 60.0), Err(EdgeError::AboveTable));
    assert!(breaker(BreakerStandard::Ul489, 600.0).edges(480.0, 60.0).is_ok());
}
