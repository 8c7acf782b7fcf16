//! Whatever is asked, there is an answer: mutated site files go all the way to a verdict, extreme but legal sites too. In
//! process, with a seed of its own, the same every time.

mod extremes;
mod mutants;

use std::time::{Duration, Instant};

use startmargin::advise::{Start, Window, judge};
use startmargin::case::{Case, Pressure};
use startmargin::motor::given::MotorFigures;
use startmargin::site::Site;

/// One judgement may take this long, unoptimised dependencies and a busy machine included: hundreds of times what it takes.
const LONGEST: Duration = Duration::from_secs(2);

/// The same for a motor that is fitted to its label, anew at each corner of the ranges, and for a load that is solved instant by
/// instant there: half a second on an idle machine.
const LONGEST_FITTED: Duration = Duration::from_secs(6);

/// Every start of a site, the load's own pressure first.
fn cases(site: &Site) -> Vec<Case> {
    let mut cases = Vec::new();
    for load in 0..site.loads.len() {
        for supply in 0..site.supplies.len() {
            for pressure in [Pressure::Equalised, Pressure::Unequal] {
                cases.push(site.case(load, supply, pressure));
            }
        }
    }
    cases
}

/// The time this thread has had of a processor; where the system does not tell, the clock's since `begun`.
fn spent(begun: Instant) -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = told.as_deref().and_then(|t| t.split(' ').next()).and_then(|t| t.parse().ok());
    nanoseconds.map_or_else(|| begun.elapsed(), Duration::from_nanos)
}

/// Judges, and sees to it that the answer is sound and in time: the processor's, which other work on the machine hardly changes.
fn judged(what: &str, case: &Case) -> Start {
    let fitted = matches!(case.load.motor, Some(MotorFigures::Plate(_)));
    let slow = fitted || case.load.inrush.is_some();
    let longest = if slow { LONGEST_FITTED } else { LONGEST };
    let mut shortest = Duration::MAX;
    for _ in 0..3 {
        let begun = Instant::now();
        let before = spent(begun);
        let start = judge(case);
        shortest = shortest.min(spent(begun).saturating_sub(before));
        if shortest < longest {
            sound(what, &start);
            return start;
        }
    }
    panic!("{what}: takes {shortest:?} to judge");
}

/// No number is NaN; those that describe what happened are finite; margins and limits may be infinite (nothing bounds them).
#[track_caller]
fn sound(what: &str, start: &Start) {
    for f in &start.findings {
        let at = format!("{what}: {}", f.id);
        if let Some(m) = f.margins {
            for x in [m.guaranteed, m.modelled, m.to_fail] {
                // a motor that brakes has a torque ratio below zero
                assert!(
                    !x.is_nan() && (x >= -1.0 - 1e-9 || f.id == "acceleration" && x.is_finite()),
                    "{at}: {m:?}"
                );
            }
        }
        for x in [f.told.demand, f.told.limit, f.told.at_s].into_iter().flatten() {
            assert!(!x.is_nan(), "{at}: {:?}", f.told);
        }
        for words in [&f.told.sentence, &f.told.why] {
            assert!(!words.contains("NaN"), "{at}: {words}");
        }
    }
    if let Some(facts) = &start.facts {
        // what is no induction motor has none
        let locked = [facts.locked_rotor_a, facts.locked_rotor_at_supply_a]
            .map(|a| if start.inrush { 0.0 } else { a });
        let always = [
            locked[0],
            locked[1],
            facts.largest_rms_a,
            facts.largest_supply_a,
            facts.largest_peak_a,
            facts.lowest_terminal_v,
        ];
        let some = [facts.start_duration_s, facts.settling_time_s, facts.settled_a, facts.settled_rpm];
        for x in always.into_iter().chain(some.into_iter().flatten()) {
            assert!(x.is_finite() && x >= 0.0, "{what}: {facts:?}");
        }
        assert!(facts.pull_out_ratio.is_none_or(|p| !p.is_nan()), "{what}: {facts:?}");
    }
    if let Some(reduction) = &start.reduction {
        for window in [Some(&reduction.plain), reduction.with_capacitor.as_ref()].into_iter().flatten() {
            window_sound(what, window);
        }
    }
    for doubt in &start.doubts {
        assert!(doubt.low <= doubt.high && !doubt.moves.is_nan(), "{what}: {doubt:?}");
    }
}

#[track_caller]
fn window_sound(what: &str, window: &Window) {
    for intervals in [&window.passes, &window.passes_over_ranges] {
        assert!(
            intervals.iter().all(|[a, b]| (0.0..=1.0).contains(a) && a <= b && *b <= 1.0),
            "{what}: {window:?}"
        );
        assert!(intervals.windows(2).all(|pair| pair[0][1] <= pair[1][0]), "{what}: {window:?}");
    }
    for r in [window.needed, window.most, window.most_low, window.most_chopped].into_iter().flatten() {
        assert!((0.0..=1.0).contains(&r), "{what}: {window:?}");
    }
    // the part that also holds over the ranges; the torque limit is no less than what passes
    for [a, b] in &window.passes_over_ranges {
        assert!(window.passes.iter().any(|[c, d]| c - 1e-9 <= *a && *b <= d + 1e-9), "{what}: {window:?}");
    }
    if let (Some(last), Some(most)) = (window.passes.last(), window.most) {
        assert!(last[1] <= most + 2e-4, "{what}: {window:?}");
    }
}
