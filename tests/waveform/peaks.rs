//! Crests over the closing angle, and the two checks that read them.

use startmargin::advise::judge;
use startmargin::case::{Case, Path};
use startmargin::checks::{ALL, Check, Status};
use startmargin::figure::{Figure, Origin};
use startmargin::protection::{BreakerStandard, Curve};
use startmargin::quantity::{Ampere, Second};
use startmargin::start::waveform::{Piece, Sampler, Watch};
use startmargin::start::{Level, Trace};

use super::case;
use crate::validation::cases::reference::crest;

/// The largest instantaneous line current of a start closed at an angle, looked at 200 times a cycle for six cycles.
fn crest_at(path: &Path, degrees: f64) -> f64 {
    let mut watch = Brief(Sampler::new(1.0 / (200.0 * path.frequency_hz)));
    path.watch(0, degrees.to_radians(), &mut Trace::default(), &mut watch).unwrap();
    let samples = watch.0.samples;
    (0..3).map(|line| crest(&samples, f64::INFINITY, |m| m.line_a[line]).abs()).fold(0.0, f64::max)
}

/// A sampler that has seen enough after six cycles.
struct Brief(Sampler);

impl Watch for Brief {
    fn piece(&mut self, piece: &dyn Piece) {
        self.0.piece(piece);
    }
    fn enough(&self) -> bool {
        self.0.samples.len() > 1200
    }
}

#[test]
fn crests_over_the_angle_are_those_of_a_search_through_every_angle() {
    for name in [
        "anchor",
        "capacitor-start",
        "split-phase",
        "source-and-conductor",
        "three-phase-3hp",
        "three-phase-400v-fan",
    ] {
        let mut path = Path::new(&case(name, Level::Envelope)).unwrap();
        let all: Vec<f64> = (0..36).map(|i| crest_at(&path, 5.0 * f64::from(i))).collect();
        let largest = all.iter().fold(0.0, |m: f64, &a| m.max(a));
        let least = all.iter().fold(f64::INFINITY, |m: f64, &a| m.min(a));
        path.find_first_peak(&mut Trace::default());
        let found = path.first_peak.as_ref().unwrap().found.line;
        let near = |ours: f64, theirs: f64| (ours / theirs - 1.0).abs() < 0.003;
        assert!(near(found.largest.a, largest), "{name}: {found:?}, largest {largest}");
        assert!(near(found.least.a, least), "{name}: {found:?}, least {least}");
        // and the angle it names brings it about
        let there = crest_at(&path, found.largest.closing_deg);
        assert!(near(there, found.largest.a), "{name}: {there} at {found:?}");
    }
}

fn check(id: &str) -> &'static dyn Check {
    ALL.into_iter().find(|c| c.id() == id).unwrap()
}

fn ampere(a: f64) -> Option<Figure<Ampere>> {
    Some(Figure::exact(Ampere(a), Origin::Nameplate))
}

/// The anchor with a cut-off that waits.
fn with_cut_off(a: f64, waits_s: Option<f64>) -> Case {
    let mut case = case("anchor", Level::Auto);
    case.supply.peak_current_a = ampere(a);
    case.supply.peak_current_for_s = waits_s.map(|s| Figure::exact(Second(s), Origin::Nameplate));
    case
}

fn status(case: &Case, id: &str) -> Status {
    judge(case).finding(id).unwrap().at_value
}

#[test]
fn a_cut_off_between_the_best_and_the_worst_angle_is_uncertain() {
    let mut path = Path::new(&with_cut_off(100.0, None)).unwrap();
    path.find_first_peak(&mut Trace::default());
    let found = path.first_peak.as_ref().unwrap().found.supply;
    assert!(found.largest.a > 1.02 * found.least.a, "{found:?}");
    let at = |a: f64| status(&with_cut_off(a, None), "peak-current");
    assert_eq!(at(1.001 * found.largest.a), Status::Pass);
    assert_eq!(at(0.5 * (found.largest.a + found.least.a)), Status::Uncertain);
    assert_eq!(at(0.999 * found.least.a), Status::Fail);
}

/// A cut-off that waits longer never does harm, and one that waits half a cycle lets every crest pass.
#[test]
fn a_cut_off_that_waits() {
    let mut worst = Status::Fail;
    for waits in [0.0005, 0.001, 0.002, 0.004, 0.0084] {
        let now = status(&with_cut_off(70.0, Some(waits)), "peak-current");
        assert!(now <= worst, "{waits} s: {now:?} after {worst:?}");
        worst = now;
    }
    assert_eq!(worst, Status::Pass);
    // the crest of a sine stands above 0.9 of itself for 2 acos(0.9) / w = 2.4 ms
    let path = {
        let mut path = Path::new(&with_cut_off(70.0, Some(0.001))).unwrap();
        path.find_first_peak(&mut Trace::default());
        path
    };
    let found = &path.first_peak.as_ref().unwrap().found;
    let above = found.time_above(0.9);
    assert!((0.0022..0.0034).contains(&above), "{above} s");
    assert!(found.time_above(1.0) == 0.0 && found.time_above(0.0) > 0.008);
}

/// Without a stated cut-off the crest of the largest surge rating is certain, and more is never a failure.
#[test]
fn a_cut_off_that_is_not_stated() {
    let mut case = case("anchor", Level::Auto);
    case.supply.peak_current_a = None;
    let finding = |case: &Case| judge(case).finding("peak-current").cloned().unwrap();
    let low = finding(&case);
    assert_eq!(low.status, Status::Uncertain);
    assert!(low.reservation.is_some() && low.margins.unwrap().to_fail.is_infinite());
    // 50 A of surge
    assert!((low.told.limit.unwrap() - 2f64.sqrt() * 50.0).abs() < 1e-9, "{:?}", low.told);
    for surge in &mut case.supply.surge {
        surge.rating = surge.rating.times(&Figure::exact(startmargin::quantity::Ratio(2.0), Origin::Given));
    }
    assert_eq!(finding(&case).status, Status::Pass);
}

/// Gates of IEC 60898-1: a peak worth h In holds, curve by curve; UL 489 sets none, so that the usual 5 In must leave a quarter.
#[test]
fn peaks_against_the_instantaneous_trip() {
    let mut case = case("anchor", Level::Auto);
    let mut path = Path::new(&case).unwrap();
    let mut trace = Trace::default();
    path.find_first_peak(&mut trace);
    path.run(0, &mut trace);
    let worth = path.line_peak_a(&trace)[1] / 2f64.sqrt();
    let mut at = |standard, rating: f64| {
        let breaker = case.circuit.breaker.as_mut().unwrap();
        breaker.standard = standard;
        breaker.rating_a = Figure::exact(Ampere(rating), Origin::Nameplate);
        let path = {
            let mut with = Path::new(&case).unwrap();
            with.take_first_peak(path.first_peak.as_ref());
            with
        };
        let check = check("breaker-instantaneous");
        (check.status(&path, &trace, 1.0), check.margins(&path, &trace))
    };
    for (curve, hold) in [(Curve::B, 3.0), (Curve::C, 5.0), (Curve::D, 10.0)] {
        let standard = BreakerStandard::Iec60898(curve);
        let (status, margins) = at(standard, 1.001 * worth / hold);
        assert_eq!(status, Status::Pass, "{curve:?}");
        assert!((margins.guaranteed - 0.001).abs() < 1e-9 && margins.modelled == margins.guaranteed);
        assert_eq!(at(standard, 0.999 * worth / hold).0, Status::Uncertain, "{curve:?}");
    }
    assert_eq!(at(BreakerStandard::Ul489, 1.3 * worth / 5.0).0, Status::Pass);
    assert_eq!(at(BreakerStandard::Ul489, 1.2 * worth / 5.0).0, Status::Uncertain);
    // carried for a tenth of a second above the trip multiple: certain
    assert_eq!(at(BreakerStandard::Iec60898(Curve::B), 0.8 * trace.rows[0].line_a / 5.0).0, Status::Fail);
}
