//! Overload protectors of a site: what they are read as, what is refused, and what a report says of them.

use super::{refused, site};
use crate::gates::iec_60947_4_1::case as relay_case;
use startmargin::advise::{Start, judge};
use startmargin::case::{Case, Path, Pressure};
use startmargin::checks::Status;
use startmargin::figure::{Figure, Origin};
use startmargin::protection::thermal::Heat;
use startmargin::protection::{ProtectorFigures, ProtectorKind};
use startmargin::quantity::{Ampere, Ratio, Second};
use startmargin::start::{Outcome, Trace};

const RATED_A: f64 = 11.6;

/// The compressor of the worked example with lines added to its load; `stalls` is the one that cannot break away.
fn text(name: &str, lines: &str) -> String {
    let path = format!("{}/tests/data/compare/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    text.replacen("[[load]]\n", &format!("[[load]]\nrated_load_a = {RATED_A}\n{lines}\n"), 1)
}

fn case(name: &str, lines: &str) -> Case {
    let site = site(&text(name, lines));
    site.case(0, 0, site.loads[0].figures.pressure.unwrap())
}

fn run(case: &Case) -> (Path, Trace) {
    let path = Path::new(case).unwrap();
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    (path, trace)
}

fn status(start: &Start) -> Status {
    start.finding("overload-protector").unwrap().status
}

#[test]
fn keys_land() {
    let all = "protector = { kind = \"two-body\", pickup = 1.35, tau_s = 9, body_tau_s = 900, share = 0.4, \
               reset_s = { value = 90, low = 60, high = 200 } }\n\
               overload = { standard = \"IEC 60947-4-1\", class = \"10A\", setting_a = 12.5 }";
    let case = case("anchor", all);
    let protector = case.load.protector.unwrap();
    let number = |f: &Option<Figure<Second>>| f.as_ref().map(|f| (f.get(), f.low.0, f.high.0, f.origin));
    assert_eq!((protector.kind, protector.by_class), (ProtectorKind::TwoBody, false));
    assert_eq!(protector.pickup.map(|f| f.get()), Some(1.35));
    assert_eq!(number(&protector.tau_s), Some((9.0, 9.0, 9.0, Origin::Nameplate)));
    assert_eq!(number(&protector.body_tau_s), Some((900.0, 900.0, 900.0, Origin::Nameplate)));
    assert_eq!(protector.share.map(|f| f.get()), Some(0.4));
    assert_eq!(number(&protector.reset_s), Some((90.0, 60.0, 200.0, Origin::Nameplate)));
    assert_eq!(number(&protector.trip_at_locked_rotor_s), None);
    let overload = case.load.overload.unwrap();
    assert_eq!((overload.class.word(), overload.setting_a.get()), ("10A", 12.5));
}

#[test]
fn what_cannot_be_is_refused() {
    let with = |keys: &str| text("anchor", &format!("protector = {{ {keys} }}"));
    refused(
        &with("pickup = 1.4, tau_s = 200, §trip_at_locked_rotor_s = 9"),
        &[("load[0].protector.trip_at_locked_rotor_s", "given twice")],
    );
    refused(&with("pickup = 1.4, tau_s = 200, §share = 0.3"), &[("load[0].protector.share", "two-body")]);
    refused(
        &text("anchor", "overload = { standard = \"IEC 60947-4-1\", class = §\"15\", setting_a = 12 }"),
        &[("load[0].overload.class", "15")],
    );
}

/// What a class brings is marked as the class's; a maximum continuous current off the label is the unit's own pickup.
#[test]
fn a_class_brings_a_protector_and_the_label_its_pickup() {
    let roof = |lines: &str| {
        let text = format!(
            "[[supply]]\nname = \"s\"\nkind = \"shore\"\nvoltage_v = 115\nfrequency_hz = 60\n\
             [[load]]\nname = \"l\"\nuse = \"roof-ac\"\nrated_load_a = 12\nlocked_rotor_a = 62\n{lines}"
        );
        site(&text).case(0, 0, Pressure::Equalised)
    };
    let by_class = roof("");
    let protector = by_class.load.protector.as_ref().unwrap();
    assert!(protector.by_class);
    let trip = protector.trip_at_locked_rotor_s.as_ref().unwrap();
    assert_eq!((trip.low.0, trip.high.0, trip.origin), (3.0, 20.0, Origin::Typical));
    let pickups = |case: &Case| {
        let own = Path::new(case).unwrap().overload.own.unwrap();
        let all = own.corners.iter().map(|c| c.pickup_a());
        all.fold([f64::INFINITY, 0.0_f64], |[low, high], a| [low.min(a), high.max(a)])
    };
    let [low, high] = pickups(&by_class);
    assert!((low - 14.4).abs() < 1e-9 && (high - 18.72).abs() < 1e-9);
    assert_eq!(pickups(&roof("maximum_continuous_a = 17")), [17.0, 17.0]);
    // a tau of the site's own comes before the class's time at locked rotor
    let own = roof("protector = { tau_s = 300 }");
    let protector = own.load.protector.unwrap();
    assert!(protector.trip_at_locked_rotor_s.is_none() && !protector.by_class);
}

#[test]
fn without_its_rated_current_a_protector_is_not_known() {
    let text = text("anchor", "protector = { pickup = 1.4, trip_at_locked_rotor_s = 8 }");
    let site = site(&text.replace(&format!("rated_load_a = {RATED_A}\n"), ""));
    let start = judge(&site.case(0, 0, Pressure::Equalised));
    let finding = start.finding("overload-protector").unwrap();
    assert_eq!(
        (finding.status, finding.missing.as_slice()),
        (Status::Uncertain, ["load.rated_load_a"].as_slice())
    );
    let none = super::site(&text.replace("protector = ", "# ")).case(0, 0, Pressure::Equalised);
    assert!(judge(&none).not_checked.contains(&"overload-protector"));
}

/// Inside its range a protector may trip or not; below it passes, beyond it fails.
#[test]
fn the_range_of_a_protector_decides() {
    let with = |low: f64, high: f64| {
        let lines = format!(
            "protector = {{ pickup = 1.4, trip_at_locked_rotor_s = {{ value = {}, low = {low}, high = {high} }} }}",
            0.5 * (low + high)
        );
        judge(&case("anchor", &lines))
    };
    // the start takes 0.22 s at nearly the locked-rotor current
    assert_eq!(status(&with(3.0, 20.0)), Status::Pass);
    assert_eq!(status(&with(0.05, 20.0)), Status::Uncertain);
    assert_eq!(status(&with(0.05, 0.1)), Status::Fail);
    let margins = with(3.0, 20.0).finding("overload-protector").unwrap().margins.unwrap();
    assert!(margins.guaranteed <= margins.modelled && margins.modelled <= margins.to_fail);
    assert!(
        with(0.05, 0.1)
            .finding("overload-protector")
            .unwrap()
            .told
            .why
            .contains("before the motor is up to speed")
    );
    // running 9.7 A above the pickup
    let low = judge(&with_pickup(case("anchor", ""), 0.8));
    assert_eq!(status(&low), Status::Fail);
}

/// The case with a protector of this pickup, as a multiple of the rated current.
fn with_pickup(mut case: Case, times: f64) -> Case {
    case.load.protector = Some(ProtectorFigures {
        pickup: Some(Figure::exact(Ratio(times), Origin::Given)),
        tau_s: Some(Figure::exact(Second(300.0), Origin::Given)),
        ..ProtectorFigures::default()
    });
    case
}

/// The margin is the factor on the whole start current: at it the protector just trips.
#[test]
fn worked_the_margin_is_a_factor_on_the_start_current() {
    let case = case("anchor", "protector = { pickup = 1.4, trip_at_locked_rotor_s = 0.5 }");
    let (path, trace) = run(&case);
    let own = path.overload.own.as_ref().unwrap();
    let margin = path.thermal_margin(&own.modelled, &trace);
    let mut larger = trace.clone();
    for row in larger.rows.iter_mut().chain(&mut larger.settled) {
        row.line_a *= 1.0 + margin;
    }
    let warmest = path.warmest(&own.modelled, Heat::default(), &larger);
    assert!((warmest - 1.0).abs() < 1e-9, "{warmest}");
}

/// A motor that stands: one body, warm from running, one current. In closed form.
#[test]
fn worked_a_stall_is_ended_and_the_next_try_sooner() {
    let case = case("stalls", "protector = { pickup = 1.4, trip_at_locked_rotor_s = 8, reset_s = 60 }");
    let (path, trace) = run(&case);
    assert_eq!(trace.outcome, Outcome::Stalls);
    let ended = path.ended(&trace).unwrap();
    let pickup = 1.4 * RATED_A;
    let stalled2 = (trace.rows.last().unwrap().line_a / pickup).powi(2);
    let locked2 = (62.0 / pickup).powi(2);
    let tau = 8.0 / (locked2 / (locked2 - 1.0)).ln();
    let warm = trace.settled.map_or(0.0, |s| (s.line_a / pickup).powi(2));
    assert!(warm > 0.2);
    let time = |heat: f64| tau * ((stalled2 - heat) / (stalled2 - 1.0)).ln();
    let near = |ours: f64, theirs: f64| (ours / theirs - 1.0).abs() < 1e-6;
    assert!(near(ended.after_s[0], time(warm)) && near(ended.after_s[1], time(warm)), "{ended:?}");
    let again = ended.again_s.unwrap();
    assert!(near(again[0], time((-60.0 / tau).exp())), "{ended:?}");
    // after a rest it is cold
    let mut cold = case;
    (cold.pressure, cold.load.load_torque) = (Pressure::Equalised, cold.load.load_torque_unequal.clone());
    let (path, trace) = run(&cold);
    assert!(near(path.ended(&trace).unwrap().after_s[0], time(0.0)));
    let start = judge(&cold);
    let why = &start.finding("acceleration").unwrap().told.why;
    assert!(
        why.contains("the protector ends the attempt after") && why.contains("repeated tries heat it"),
        "{why}"
    );
    // what does not start has no finding of its own here
    assert!(start.finding("overload-protector").is_none());
}

/// A limiter so low that the protector never trips.
#[test]
fn nothing_ends_a_stall_below_the_pickup() {
    let mut case = case(
        "stalls",
        "protector = { pickup = 1.4, trip_at_locked_rotor_s = 8 }\nstarter = { largest_a = 12 }",
    );
    case.load.longest_start_s = Figure::exact(Second(3.0), Origin::Given);
    let (path, trace) = run(&case);
    assert!(path.ended(&trace).is_none());
    let start = judge(&case);
    let why = &start.finding("acceleration").unwrap().told.why;
    assert!(why.contains("nothing ends the attempt"), "{why}");
}

/// After a trip at locked rotor a start passes again once the heat left and that of the start stay below 1.
#[test]
fn worked_cool_down() {
    let case = case("anchor", "protector = { pickup = 1.4, trip_at_locked_rotor_s = 2, reset_s = 1 }");
    let (path, trace) = run(&case);
    let own = path.overload.own.as_ref().unwrap();
    let [low, high] = path.ready_s(own, &trace).unwrap();
    assert!(low == high && low > 1.0, "{low}");
    let after = |s: f64| {
        let heat = Heat { element: 1.0, body: 0.0 };
        path.warmest(&own.modelled, own.modelled.rest(heat, s), &trace)
    };
    assert!((after(low) - 1.0).abs() < 1e-9 && after(0.99 * low) > 1.0);
    let told = judge(&case).finding("overload-protector").unwrap().told.why.clone();
    assert!(told.contains("such a start passes again in"), "{told}");
    // a device that stays open longer than that sets the time itself
    let slow =
        self::case("anchor", "protector = { pickup = 1.4, trip_at_locked_rotor_s = 2, reset_s = 900 }");
    let (path, trace) = run(&slow);
    assert_eq!(path.ready_s(path.overload.own.as_ref().unwrap(), &trace), Some([900.0, 900.0]));
}

/// The window's `most` ends where the protector trips, short of where the motor does not reach speed.
#[test]
fn the_reduction_window_ends_where_the_protector_trips() {
    let most = |lines: &str| judge(&case("anchor", lines)).reduction.unwrap().plain.most.unwrap();
    let free = most("");
    let slow = most("protector = { pickup = 1.4, trip_at_locked_rotor_s = 8 }");
    assert!((free - slow).abs() < 2e-4, "{free} {slow}");
    let lines = "protector = { pickup = 1.4, trip_at_locked_rotor_s = 0.25 }";
    let quick = most(lines);
    assert!(quick < free - 0.01, "{free} {quick}");
    let at = |r: f64| {
        let mut path = Path::new(&case("anchor", lines)).unwrap();
        path.limit_to((1.0 - r) * path.locked_rotor_at_supply_a());
        let mut trace = Trace::default();
        path.run(0, &mut trace);
        (trace.starts(), path.overload_carries(&trace))
    };
    assert_eq!((at(quick - 1e-3), at(quick + 1e-3)), ((true, true), (true, false)));
}

#[test]
fn relays_are_judged_by_their_class() {
    let with = |amps: f64| {
        let mut case = relay_case("10");
        case.load.overload.as_mut().unwrap().setting_a = Figure::exact(Ampere(amps), Origin::Given);
        let (_, trace) = run(&case);
        (judge(&case), trace.settled.unwrap().line_a)
    };
    // a start of 6.3 times the setting: the class promises it
    let (start, settled) = with(10.0);
    assert!(settled < 10.0);
    assert_eq!(status(&start), Status::Pass);
    assert!(start.finding("overload-protector").unwrap().margins.unwrap().guaranteed >= 0.0);
    // set far below the running current it trips for certain
    let (start, _) = with(0.7 * settled);
    assert_eq!(status(&start), Status::Fail);
    // what is told of a pass that hangs on running is in amperes of running
    let told = with(settled).0.finding("overload-protector").unwrap().told.clone();
    let near = |ours: Option<f64>, theirs: f64| (ours.unwrap() / theirs - 1.0).abs() < 1e-6;
    assert!(near(told.demand, settled) && near(told.limit, 1.05 * settled), "{told:?}");
    // between 1.05 and 1.2 times the setting it may or may not
    let (start, _) = with(settled / 1.1);
    assert_eq!(status(&start), Status::Uncertain);
    // set at the running current the start is above 7.2 times the setting, where nothing is promised: the early edge has a
    // quarter in hand for the start, and running is promised
    let (start, _) = with(settled);
    assert_eq!(status(&start), Status::Pass, "{:?}", start.finding("overload-protector"));
}

#[test]
fn limits_of_nfpa_70_are_told() {
    let told = |lines: &str| judge(&case("anchor", lines)).notes.iter().any(|n| n.contains("NFPA 70 4"));
    let own = |pickup: f64| format!("protector = {{ pickup = {pickup}, tau_s = 300 }}");
    // anchor is judged by IEC rules: nothing is said
    assert!(!told(&own(1.9)));
    let american = |lines: &str| {
        let mut case = case("anchor", lines);
        case.rules = startmargin::standards::Rules::NorthAmerica;
        judge(&case).notes.iter().any(|n| n.contains("NFPA 70 4"))
    };
    assert!(american(&own(1.57)) && !american(&own(1.56)));
    let relay = |times: f64| {
        format!(
            "overload = {{ standard = \"IEC 60947-4-1\", class = \"10\", setting_a = {} }}",
            times * RATED_A
        )
    };
    assert!(american(&relay(1.41)) && !american(&relay(1.40)));
}

/// Running above the pickup had opened it already: it starts at its limit, not beyond, and "after 0 ms" is no time.
#[test]
fn a_stall_after_running_beyond_the_pickup_is_ended_at_once() {
    let mut case = with_pickup(case("stalls", ""), 0.6);
    case.load.protector.as_mut().unwrap().reset_s = Some(Figure::exact(Second(60.0), Origin::Given));
    let (path, trace) = run(&case);
    assert_eq!(trace.outcome, Outcome::Stalls);
    let ended = path.ended(&trace).unwrap();
    assert_eq!(ended.after_s, [0.0, 0.0]);
    assert!(ended.again_s.unwrap()[0] > 0.1, "{ended:?}");
    let why = judge(&case).finding("acceleration").unwrap().told.why.clone();
    assert!(why.contains("the protector ends the attempt at once") && !why.contains("0 ms"), "{why}");
}

/// A starter whose start trips the protector is not called passing, nor is its row the one to order by.
#[test]
fn starters_are_judged_with_the_protector() {
    use startmargin::advise::Verdict;
    use startmargin::advise::starters::try_starter;
    use startmargin::starter::StarterFigures;
    let verdict = |lines: &str| {
        let case = case("anchor", lines);
        let figures = StarterFigures {
            kind: startmargin::starter::StarterKind::Limiter,
            largest_a: Some(Figure::exact(Ampere(50.0), Origin::Given)),
            ..StarterFigures::default()
        };
        let tried = try_starter(&case, &figures, false);
        assert!(tried.start.reaches_speed());
        (tried.start.verdict, tried.start.finding("overload-protector").map(|f| f.status))
    };
    let slow = verdict("protector = { pickup = 1.4, trip_at_locked_rotor_s = 8 }");
    assert_eq!(slow.1, Some(Status::Pass));
    let quick = verdict("protector = { pickup = 1.4, trip_at_locked_rotor_s = 0.1 }");
    assert_eq!(quick, (Verdict::Fails, Some(Status::Fail)));
}

/// Which limit of NFPA 70 is meant goes by the kind of motor and, for motors at large, by its size.
#[test]
fn the_limit_of_nfpa_70_is_that_of_the_kind_of_motor() {
    let told = |hermetic: bool, rated_a: f64, selection_a: Option<f64>, lines: &str| {
        let mut case = case("anchor", lines);
        case.rules = startmargin::standards::Rules::NorthAmerica;
        let exact = |a: f64| Some(Figure::exact(Ampere(a), Origin::Given));
        case.load.nameplate.hermetic = hermetic;
        case.load.nameplate.rated_load_a = exact(rated_a);
        case.load.nameplate.branch_selection_a = selection_a.and_then(exact);
        judge(&case).notes.iter().find(|n| n.contains("NFPA 70 4")).cloned().unwrap_or_default()
    };
    let own = |pickup: f64| format!("protector = {{ pickup = {pickup}, tau_s = 300 }}");
    // the pickup is a multiple of the rated current, whatever that is
    for (rated_a, limit) in [(8.0, 1.70), (12.0, 1.56), (24.0, 1.40)] {
        assert!(told(false, rated_a, None, &own(limit + 0.01)).contains("430.32(A)(2)"), "{rated_a}");
        assert_eq!(told(false, rated_a, None, &own(limit)), "", "{rated_a}");
    }
    for rated_a in [8.0, 24.0] {
        assert!(told(true, rated_a, None, &own(1.57)).contains("440.52(B)"), "{rated_a}");
        assert_eq!(told(true, rated_a, None, &own(1.56)), "");
    }
    // a branch-circuit selection current above the rated one takes its place
    assert_eq!(told(true, 12.0, Some(13.0), &own(1.65)), "");
    let relay = |amps: f64| {
        format!("overload = {{ standard = \"IEC 60947-4-1\", class = \"10\", setting_a = {amps} }}")
    };
    assert!(told(true, 12.0, None, &relay(16.9)).contains("440.52(A)(1)"));
    assert!(told(false, 12.0, None, &relay(16.9)).contains("430.32(C)"));
    assert_eq!(told(true, 12.0, None, &relay(16.8)) + &told(false, 12.0, None, &relay(16.8)), "");
}
