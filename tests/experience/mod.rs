//! What the trade knows (common practice, no source): that a voltage ramp alone will not turn a capacitor-run compressor whose
//! current is halved, that a start capacitor will at 60 to 70 % reduction, that a restart against head pressure needs one. The
//! compressor is that of the worked example (tests/data/compare/anchor.toml and stalls.toml).

mod sharpening;

use startmargin::advise::{Start, judge};
use startmargin::case::{Case, Path};
use startmargin::checks::Status;
use startmargin::figure::{Figure, Origin};
use startmargin::quantity::{Microfarad, Ratio, Second};
use startmargin::site;
use startmargin::start::{EventKind, Outcome, Trace};
use startmargin::starter::{StarterFigures, StarterKind};

/// The start capacitor of the trade for this size \[F\], and where it leaves.
const ASSIST: Option<(f64, f64)> = Some((160e-6, 0.75));

fn case(name: &str) -> Case {
    let path = format!("{}/tests/data/compare/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let site = site::read(name, &std::fs::read_to_string(path).unwrap()).unwrap();
    site.case(0, 0, site.loads[0].figures.pressure.unwrap())
}

/// A limiter at a reduction, with or without the start capacitor.
fn limited(name: &str, reduction: f64, assist: Option<(f64, f64)>) -> Trace {
    let mut path = Path::new(&case(name)).unwrap();
    path.set_assist(assist);
    path.limit_to((1.0 - reduction) * path.locked_rotor_at_supply_a());
    run(&path)
}

fn run(path: &Path) -> Trace {
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    trace
}

fn never_moves(trace: &Trace) -> bool {
    trace.outcome == Outcome::Stalls && trace.rows.iter().all(|r| r.speed == 0.0)
}

fn ramped(initial: f64, ramp_s: f64, assist_uf: Option<f64>) -> Case {
    let mut case = case("anchor");
    let exact = |x: f64| Some(Figure::exact(Ratio(x), Origin::Given));
    case.load.starter = StarterFigures {
        kind: StarterKind::Ramp,
        initial_fraction: exact(initial),
        ramp_s: Some(Figure::exact(Second(ramp_s), Origin::Given)),
        assist_capacitor_uf: assist_uf.map(|uf| Figure::exact(Microfarad(uf), Origin::Given)),
        cut_out_speed: exact(0.75),
        ..StarterFigures::default()
    };
    case
}

fn acceleration(start: &Start) -> Status {
    start.finding("acceleration").unwrap().at_value
}

/// At half the current a capacitor-run compressor has a quarter of its small standstill torque: it never moves, and draws that
/// half for as long as it is let.
#[test]
fn worked_half_the_current_never_moves_the_compressor() {
    for reduction in [0.5, 0.6, 0.7] {
        let trace = limited("anchor", reduction, None);
        assert!(never_moves(&trace), "r = {reduction}: {:?}", trace.outcome);
        assert_eq!(
            trace.settled.map(|s| s.speed > 0.9 * trace.sync_speed),
            Some(true),
            "it would run, once up"
        );
        let held = (1.0 - reduction) * 62.0;
        assert!(trace.rows.iter().all(|r| (r.line_a / held - 1.0).abs() < 1e-3), "r = {reduction}");
    }
    // torque goes with the square of the current: by its standstill torque the motor bears no more than this
    let path = Path::new(&case("anchor")).unwrap();
    let direct = run(&path);
    let first = direct.rows[0];
    let most = 1.0 - (first.load_nm / first.torque_nm).sqrt();
    assert!((0.2..0.35).contains(&most), "{most}");
    assert!(
        !never_moves(&limited("anchor", most - 0.01, None))
            && never_moves(&limited("anchor", most + 0.01, None))
    );
}

/// A plain ramp from 50 %: held there the compressor stalls. Let up, it stands until the voltage is enough to turn it, some
/// 72 % of full, and draws its rising locked-rotor current the while; the current it saves is what it would have saved at that
/// voltage. It is no soft start: the largest current is near 72 % of the locked-rotor current and lasts longer.
#[test]
fn worked_a_plain_ramp_from_half_voltage_stands_until_it_is_let_up() {
    // held at 50 % for the whole attempt
    let held = ramped(0.5, 1e6, None);
    let trace = run(&Path::new(&held).unwrap());
    assert!(never_moves(&trace));
    let start = judge(&held);
    assert_eq!(acceleration(&start), Status::Fail);

    // let up over two seconds
    let trace = run(&Path::new(&ramped(0.5, 2.0, None)).unwrap());
    let moves = trace.event_s(EventKind::BreaksAway).unwrap();
    let fraction = 0.5 + 0.5 * moves / 2.0;
    let direct = run(&Path::new(&case("anchor")).unwrap());
    let needed = (direct.rows[0].load_nm / direct.rows[0].torque_nm).sqrt();
    assert!((fraction / needed - 1.0).abs() < 1e-3, "moves at {fraction} of full voltage, needs {needed}");
    assert!((0.68..0.76).contains(&fraction));
    assert!(trace.starts());
    assert!(trace.largest_rms_a() >= needed * direct.largest_rms_a());
    assert!(trace.start_duration_s.unwrap() > 3.0 * direct.start_duration_s.unwrap());
}

/// The same ramp with the start capacitor turns it at once.
#[test]
fn worked_a_ramp_with_a_start_capacitor_turns_the_compressor_at_once() {
    let trace = run(&Path::new(&ramped(0.5, 2.0, Some(160.0))).unwrap());
    assert!(trace.starts() && trace.rows[1].speed > 0.0);
    assert!(trace.event_s(EventKind::AssistLeaves).is_some());
    assert_eq!(acceleration(&judge(&ramped(0.5, 2.0, Some(160.0)))), Status::Pass);
}

/// With a start capacitor the same compressor starts at the 60 to 70 % reductions the trade's soft starters claim.
#[test]
fn worked_a_start_capacitor_makes_the_trades_reductions_possible() {
    let mut before = run(&Path::new(&case("anchor")).unwrap()).start_duration_s.unwrap();
    for reduction in [0.60, 0.65, 0.70] {
        let trace = limited("anchor", reduction, ASSIST);
        assert!(trace.starts(), "r = {reduction}: {:?}", trace.outcome);
        assert!(trace.largest_rms_a() <= (1.0 - reduction) * 62.0 * (1.0 + 1e-9));
        // what is saved in current is paid in time: the closer to the limit the more
        let duration = trace.start_duration_s.unwrap();
        assert!(duration > before && duration < 3.0, "r = {reduction}: {duration} s, {before} s before");
        before = duration;
    }
    // and the advice says both: without, well short of 60 %; with, at 60 to 70 %
    let reduction = judge(&case("anchor")).reduction.unwrap();
    assert!(reduction.plain.most.unwrap() < 0.5);
    assert!(reduction.plain.passes.iter().all(|[_, b]| *b < 0.5));
    let with = reduction.with_capacitor.unwrap();
    assert!(with.most.unwrap() >= 0.70);
    assert!(with.passes.iter().any(|[a, b]| *a <= 0.6 && *b >= 0.7), "{:?}", with.passes);
}

/// Straight after stopping, head pressure still up: without a capacitor it stands there on full voltage, with one it starts.
#[test]
fn worked_a_restart_against_head_pressure_needs_the_capacitor() {
    let mut path = Path::new(&case("stalls")).unwrap();
    assert!(never_moves(&run(&path)));
    let start = judge(&case("stalls"));
    assert_eq!(acceleration(&start), Status::Fail);
    assert!(start.reduction.as_ref().unwrap().plain.most.is_none());
    path.set_assist(ASSIST);
    let trace = run(&path);
    assert!(trace.starts(), "{:?}", trace.outcome);
    assert!(trace.start_duration_s.unwrap() < 1.0);
    assert!(start.reduction.unwrap().with_capacitor.unwrap().most.is_some());
    // after a rest the same compressor starts without
    let mut rested = case("stalls");
    rested.pressure = startmargin::case::Pressure::Equalised;
    assert_eq!(acceleration(&judge(&rested)), Status::Pass);
}

/// The start of a small hermetic compressor takes 0.1 to 0.5 s, its locked-rotor current is 3 to 8 times its running current.
#[test]
fn worked_the_compressor_is_an_ordinary_one() {
    let facts = judge(&case("anchor")).facts.unwrap();
    assert!((0.1..0.5).contains(&facts.start_duration_s.unwrap()));
    assert!((3.0..8.0).contains(&(facts.locked_rotor_a / facts.settled_a.unwrap())));
}

/// A window that begins at nothing asks for no least setting: what counts is not to go too far.
#[test]
fn nobody_is_told_to_set_a_soft_starter_to_nothing() {
    let text = "standards = \"iec\"\n[[supply]]\nname = \"inverter\"\nkind = \"inverter\"\nvoltage_v = 230\nfrequency_hz = 50\n\
                continuous_va = 2000\nsurge = [ { va = 4000, for_s = 0.5 }, { va = 2600, for_s = 10 } ]\noutput_ohm = 0.6\n\
                [[load]]\nname = \"cold plate\"\nclass = \"hermetic-run-capacitor\"\nrated_load_a = 3.1\nlocked_rotor_a = 17\n";
    let site = startmargin::site::read("site.toml", text).unwrap();
    let report = startmargin::report::Report::new(&site, text);
    let said = startmargin::report::text(&report, false).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("set to at most ") && said.contains("% less (no lower than "), "{said}");
    assert!(!said.contains("set to 0 "), "{said}");
}
