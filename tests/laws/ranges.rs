//! Ranges: what is said over low..high of the figures holds at every point inside.

use proptest::prelude::*;
use startmargin::advise::judge;
use startmargin::case::{Case, Path};
use startmargin::checks::Status;
use startmargin::site;
use startmargin::start::Trace;

use super::{check, set, text, tries};

/// Sites, and the figures of them that are given a range: as the file writes them, and as the walk over a case names them.
const SITES: [&str; 8] = [
    "anchor",
    "start-capacitor",
    "source-and-conductor",
    "iec-b-25",
    "iec-c-40",
    "limiter-reduction",
    "three-phase-3hp",
    "capacitor-start",
];
const KEYS: [(&str, &str); 10] = [
    ("r1_ohm", "load.motor.r1_ohm"),
    ("x1_ohm", "load.motor.x1_ohm"),
    ("r2_ohm", "load.motor.r2_ohm"),
    ("x2_ohm", "load.motor.x2_ohm"),
    ("inertia_kgm2", "load.motor.inertia_kgm2"),
    ("rated_nm", "load.load_torque.rated_nm"),
    ("c1", "load.load_torque.c1"),
    ("output_ohm", "supply.output_ohm"),
    ("run_capacitor_uf", "load.motor.run_capacitor_uf"),
    ("locked_rotor_a", "load.nameplate.locked_rotor_a"),
];

/// A figure with its bounds.
#[derive(Debug, Clone)]
struct Range {
    walk: &'static str,
    low: f64,
    high: f64,
}

/// The text with a range in place of a number; `None` where the site has no such figure, or it is 0.
fn ranged(text: &str, key: (&str, &'static str), below: f64, above: f64) -> Option<(String, Range)> {
    let line = text
        .lines()
        .find(|l| l.strip_prefix(key.0).is_some_and(|rest| rest.trim_start().starts_with('=')))?;
    let value: f64 = line.split_once('=')?.1.trim().parse().ok()?;
    let (low, high) = (value * (1.0 - below), value * (1.0 + above));
    let table = format!("{} = {{ value = {value:?}, low = {low:?}, high = {high:?} }}", key.0);
    (value > 0.0).then(|| (text.replacen(line, &table, 1), Range { walk: key.1, low, high }))
}

/// A random site with ranges, and points inside them as shares of each.
fn site_with_ranges() -> impl Strategy<Value = (&'static str, Case, Vec<Range>)> {
    let key = (proptest::sample::select(&KEYS[..]), 0.0..0.25f64, 0.0..0.25f64);
    (proptest::sample::select(&SITES[..]), proptest::collection::vec(key, 3)).prop_map(|(name, keys)| {
        let mut ranges: Vec<Range> = Vec::new();
        let mut text = text(name);
        for (key, below, above) in keys {
            if ranges.iter().all(|r| r.walk != key.1)
                && let Some((with, range)) = ranged(&text, key, below, above)
            {
                text = with;
                ranges.push(range);
            }
        }
        let site = site::read(name, &text).unwrap_or_else(|e| panic!("{name}: {e:#?}"));
        (name, site.case(0, 0, site.loads[0].figures.pressure.unwrap()), ranges)
    })
}

proptest! {
    #![proptest_config(tries(40))]

    /// A pass passes at every point inside, a fail fails at every one; "uncertain" promises nothing. The verdict likewise.
    #[test]
    fn prop_a_status_over_ranges_holds_at_every_point_inside(
        (name, case, ranges) in site_with_ranges(),
        points in proptest::collection::vec(proptest::array::uniform3(0.0..=1.0f64), 40),
    ) {
        let start = judge(&case);
        let mut trace = Trace::default();
        for shares in points {
            let mut sample = case.clone();
            for (range, share) in ranges.iter().zip(shares) {
                set(&mut sample, range.walk, range.low + share * (range.high - range.low));
            }
            let mut path = Path::new(&sample).unwrap();
            // the peaks of the point itself, by its own waveform
            path.find_first_peak(&mut trace);
            for finding in start.findings.iter().filter(|f| f.margins.is_some()) {
                let mut worst = Status::Pass;
                for variant in 0..path.variants() {
                    path.run(variant, &mut trace);
                    worst = worst.max(check(finding.id).status(&path, &trace, 1.0));
                }
                let kept = match finding.status {
                    Status::Pass => worst == Status::Pass,
                    Status::Fail => worst == Status::Fail,
                    Status::Uncertain => true,
                };
                let at: Vec<f64> = ranges.iter().zip(shares).map(|(r, s)| r.low + s * (r.high - r.low)).collect();
                prop_assert!(
                    kept,
                    "{} {}: {:?} over {:?}, {:?} at {:?}", name, finding.id, finding.status, ranges, worst, at
                );
            }
        }
    }

    /// A reduction said to pass over the ranges passes at every point inside, away from its ends by what they are found to.
    #[test]
    fn prop_a_window_over_ranges_holds_at_every_point_inside(
        (name, case, ranges) in site_with_ranges(),
        points in proptest::collection::vec(proptest::array::uniform4(0.0..=1.0f64), 10),
    ) {
        let start = judge(&case);
        let window = start.reduction.unwrap().plain.passes_over_ranges;
        let mut trace = Trace::default();
        for [r, shares @ ..] in points {
            let mut sample = case.clone();
            for (range, share) in ranges.iter().zip(shares) {
                set(&mut sample, range.walk, range.low + share * (range.high - range.low));
            }
            let mut path = Path::new(&sample).unwrap();
            path.go_direct();
            for [a, b] in &window {
                let r = a + 2e-4 + r * (b - a - 4e-4).max(0.0);
                if r >= *b {
                    continue;
                }
                path.limit_to((1.0 - r) * path.locked_rotor_at_supply_a());
                for variant in 0..path.variants() {
                    path.run(variant, &mut trace);
                    let at: Vec<f64> = ranges.iter().zip(shares).map(|(r, s)| r.low + s * (r.high - r.low)).collect();
                    prop_assert!(
                        trace.starts(),
                        "{}: r {} of {:?} over {:?} does not start at {:?}", name, r, window, ranges, at
                    );
                    for id in ["surge", "breaker"] {
                        let status = check(id).status(&path, &trace, 1.0);
                        prop_assert!(
                            status == Status::Pass,
                            "{} {}: r {} of {:?} over {:?} {:?} at {:?}", name, id, r, window, ranges, status, at
                        );
                    }
                }
            }
        }
    }
}
