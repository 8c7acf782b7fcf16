//! The figures the main job was specified with. The sites of tests/data/compare are rows of docs/validation.md
//! (examples/validation/cases/sites.rs).

mod thermal;

use crate::validation::cases::sites::start_of;

/// The figures the main job was specified with: the motor on a stiff 115 V supply of 25 A, 50 A for 0.5 s, 37.5 A for 10 s,
/// behind a C20.
#[test]
fn compare_the_anchor() {
    let start = start_of("anchor").unwrap();
    let facts = start.facts.as_ref().unwrap();
    let near = |ours: f64, theirs: f64| (ours - theirs).abs() <= 0.01 * theirs.abs();
    assert!(near(facts.start_duration_s.unwrap(), 0.223));
    assert!(near(facts.settling_time_s.unwrap(), 0.230));
    assert!(near(facts.largest_rms_a, 62.14));
    assert!(near(facts.settled_a.unwrap(), 9.73));
    assert!(near(start.finding("surge").unwrap().margins.unwrap().modelled, -0.195));
    let breaker = start.finding("breaker").unwrap().margins.unwrap();
    assert!(
        near(breaker.modelled, 0.34)
            && (breaker.guaranteed + 0.18).abs() < 0.01
            && near(breaker.to_fail, 1.98)
    );
    let reduction = start.reduction.as_ref().unwrap();
    let [a, b] = reduction.plain.passes[0];
    assert!((a - 0.20).abs() <= 0.01 && (b - 0.26).abs() <= 0.01);
    assert!((reduction.plain.most.unwrap() - 0.28).abs() <= 0.01);
    let with = reduction.with_capacitor.as_ref().unwrap();
    let [a, b] = with.passes[0];
    assert!((a - 0.20).abs() <= 0.01 && (b - 0.71).abs() <= 0.01);
    assert!((with.most.unwrap() - 0.71).abs() <= 0.01);
}
