//! Quasi-static starts of the reference solutions (tests/data/quasi_static.csv): our own start duration, which the rows of
//! docs/validation.md do not hold.

use super::near;
use crate::validation::cases::published::{crossing, quasi_static, quasi_static_start};

/// 95 % of the settled speed is reached no later than 95 % of synchronous speed, and just where the trace has it.
#[test]
fn compare_start_durations_with_the_times_to_synchronous_speed() {
    let rows = quasi_static();
    assert_eq!(rows.len(), 61);
    let mut times = 0;
    for row in &rows {
        let what = ["section", "machine", "v_pu", "load", "load_nm", "rs_ohm"].map(|c| row.text(c)).join(" ");
        let setup = quasi_static_start(row);
        let trace = setup.envelope(20.0);
        let machine = &setup.machine;
        let ours = crossing(&trace, machine.inertia(), 0.95 * machine.sync_speed());
        let theirs = row.number("t95_s");
        // some rows of the section give the voltages only
        if row.text("section") != "source" || theirs.is_some() {
            assert_eq!(ours.is_some(), theirs.is_some(), "{what}: ours {ours:?}, theirs {theirs:?}");
        }
        let Some(at_synchronous) = ours else { continue };
        let duration = trace.start_duration_s.unwrap();
        assert!(duration <= at_synchronous * (1.0 + 1e-6), "{what}: {duration}, crossing {at_synchronous}");
        let own = crossing(&trace, machine.inertia(), 0.95 * trace.settled.unwrap().speed).unwrap();
        near(&format!("{what}: start duration"), duration, own, 1e-4, 0.0);
        times += 1;
    }
    // a row lost on the way must not pass unseen
    assert!(times > 30, "{times} starts");
}
