//! Bugs that were found, each with a test that failed first.

mod start_parts;

use startmargin::advise::{Start, judge};
use startmargin::case::Pressure;
use startmargin::checks::Status;
use startmargin::site;

fn anchor() -> &'static str {
    include_str!("../data/compare/anchor.toml")
}

fn judged(text: &str) -> Start {
    judge(&site::read("site.toml", text).unwrap().case(0, 0, Pressure::Equalised))
}

/// A limiter that still limits in the settled state kept the simulation stepping for ever.
#[test]
fn regress_a_limiter_that_never_releases_ends() {
    let limited = anchor().replace("longest_start_s = 3.0", "longest_start_s = 3.0\nstarter = { kind = \"limiter\", largest_a = 18.0, assist_capacitor_uf = 160, cut_out_speed = 0.75 }");
    let start = judged(&limited);
    assert!(start.facts.unwrap().start_duration_s.is_some());
}

/// Start parts that never leave, because the motor settles below their cut-out, count in the settled current.
#[test]
fn regress_a_cut_out_above_the_settled_speed_keeps_its_capacitor() {
    let kept = anchor().replace(
        "run_capacitor_uf = 45.0",
        "run_capacitor_uf = 45.0\nstart_capacitor_uf = 160.0\ncut_out_speed = 0.995",
    );
    let (kept, plain) = (judged(&kept), judged(anchor()));
    let settled = |s: &Start| s.facts.as_ref().unwrap().settled_a.unwrap();
    assert!(settled(&kept) > 1.2 * settled(&plain), "{} {}", settled(&kept), settled(&plain));
}

/// A fan of 0 A is no fan: nothing changes by it. One of 2 A adds its current in service and before the start.
#[test]
fn regress_a_fan_of_nothing_is_no_fan() {
    let fan = |amps: &str| {
        judged(&anchor().replace("locked_rotor_a = 62.0", &format!("locked_rotor_a = 62.0{amps}")))
    };
    let (without, none, some) = (fan(""), fan("\nfan_full_load_a = 0"), fan("\nfan_full_load_a = 2"));
    for start in [&without, &none, &some] {
        let continuous = start.finding("continuous").unwrap();
        assert_eq!((continuous.status, &continuous.reservation), (Status::Pass, &None));
    }
    let settled = |s: &Start| s.facts.as_ref().unwrap().settled_a.unwrap();
    assert_eq!(settled(&without), settled(&none));
    let more = settled(&some) - settled(&none);
    assert!((1.7..=2.1).contains(&more), "{more}");
}

/// Running is not judged of a motor that does not run.
#[test]
fn regress_a_stalled_motor_has_no_running_current() {
    let start = judged(&anchor().replace("breakaway = 0.12", "breakaway = 0.9"));
    assert!(start.finding("continuous").is_none() && start.finding("terminal-voltage").is_none());
    assert_eq!(start.deciding().unwrap().id, "acceleration");
    assert!(start.finding("acceleration").unwrap().margins.unwrap().modelled < 0.0);
}

/// A supply far above the load's voltage is no pass, and the window says what it leaves out.
#[test]
fn regress_a_voltage_too_high_is_no_pass() {
    let start = judged(&anchor().replace("rated_voltage_v = 115.0", "rated_voltage_v = 100.0"));
    let finding = start.finding("terminal-voltage").unwrap();
    assert_eq!((finding.status, finding.at_value), (Status::Uncertain, Status::Pass));
    assert!(start.not_in_window().any(|f| f.id == "terminal-voltage"));
}

/// A motor with a start switch does not hang below it for want of a wish for the torque there: a pump of 3400 rpm did at 74 %
/// of full speed, a refrigerator of 3350 rpm at 65 %.
#[test]
fn regress_a_fitted_motor_gets_past_its_start_switch() {
    for (load, supply) in [
        ("well-pump-1-hp", "shore-50-120-240"),
        ("refrigerator-120", "shore-20-120"),
        ("ice-maker-115", "shore-20-120"),
        ("air-compressor-120", "shore-30-120"),
    ] {
        for rpm in [3350, 3400, 3450, 3500] {
            let text = format!(
                "[[supply]]\nname = 's'\nuse = '{supply}'\n[[load]]\nname = 'l'\nuse = '{load}'\nrated_rpm = {rpm}\n\
                 pressure = 'equalised'\n"
            );
            let site = startmargin::site::read("x.toml", &text).unwrap();
            let start = startmargin::advise::judge(&site.case(0, 0, startmargin::case::Pressure::Equalised));
            assert!(start.reaches_speed(), "{load} of {rpm} rpm: {:?}", start.facts.map(|f| f.outcome));
        }
    }
}

/// 115 V equipment on 230 V is no matter of breakers, and 69 A are above a surge of 26 A however long that is carried.
#[test]
fn regress_what_burns_and_what_is_too_large_fails_for_certain() {
    let judged = |text: &str| {
        let site = startmargin::site::read("x.toml", text).unwrap();
        startmargin::advise::judge(&site.case(0, 0, startmargin::case::Pressure::Equalised))
    };
    let start =
        judged("[[supply]]\nname = 's'\nuse = 'shore-16-230'\n[[load]]\nname = 'l'\nuse = 'roof-ac'\n");
    assert_eq!(start.deciding().map(|f| (f.id, f.status)), Some(("terminal-voltage", Status::Fail)));
    let untimed = |va: u32| {
        judged(&format!(
            "[[supply]]\nname = 's'\nkind = 'inverter'\nvoltage_v = 230\nfrequency_hz = 50\ncontinuous_va = 3000\n\
             surge = [{{ va = {va}, for_s = 'unknown' }}]\n[[load]]\nname = 'l'\nclass = 'pump-surface'\npower_w = 1500\n"
        ))
    };
    assert_eq!(untimed(6000).finding("surge").unwrap().status, Status::Fail);
    let large = untimed(60_000);
    let finding = large.finding("surge").unwrap();
    assert_eq!(
        (finding.status, finding.missing.as_slice()),
        (Status::Uncertain, ["supply.surge[].for_s"].as_slice())
    );
}

/// A held motor whose torque just reached breakaway broke away and came to rest for ever, at one moment.
#[test]
fn regress_a_motor_that_rocks_at_standstill_goes_on() {
    use startmargin::case::Path;
    use startmargin::start::Trace;
    use startmargin::start::waveform::Sampler;
    for share in [0.3, 0.5, 1.0, 1.5] {
        let text = anchor()
            .replace("breakaway = 0.12", &format!("breakaway = {share}"))
            .replace("c0 = 0.1\n", &format!("c0 = {share}\n"));
        assert_ne!(text, anchor());
        let site = startmargin::site::read("x", &text).unwrap();
        let mut path = Path::new(&site.case(0, 0, startmargin::case::Pressure::Equalised)).unwrap();
        path.longest_start_s = 0.5;
        for degrees in [0.0, 30.0, 60.0, 90.0_f64] {
            let mut sampler = Sampler::new(1e-3);
            let ending = path.watch(0, degrees.to_radians(), &mut Trace::default(), &mut sampler).unwrap();
            assert!(!ending.cut_short && (ending.end_s - 0.5).abs() < 1e-9, "{share} {degrees}: {ending:?}");
            assert_eq!(sampler.samples.len(), 501);
        }
    }
}
