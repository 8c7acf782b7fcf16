//! Start parts that are out do not come back: a start that hangs says so, and a dip may stop a motor that
//! started well.

use startmargin::advise::Verdict;
use startmargin::checks::Status;
use startmargin::motor::Machine;
use startmargin::start::{AfterDip, Outcome};

use super::judged;

/// The 1/4 hp machine of tests/published/single_phase.rs with its start capacitor.
fn quarter_hp(volts: f64, load: &str, supply: &str) -> String {
    format!(
        "[[supply]]\nname = 's'\nkind = 'shore'\nvoltage_v = {volts}\nfrequency_hz = 60\n{supply}\n\
         [[load]]\nname = 'motor'\nrated_voltage_v = 110\nlongest_start_s = 20\npressure = 'equalised'\n\
         [load.motor_model]\nkind = 'two-winding'\npoles = 4\nr1_ohm = 2.02\nx1_ohm = 2.79\nxm_ohm = 66.8\n\
         r2_ohm = 4.12\nx2_ohm = 2.12\nr1a_ohm = 7.14\nx1a_ohm = 3.22\nturns_ratio = 1.18\ninertia_kgm2 = 0.0146\n\
         start_capacitor_uf = 182.937\nstart_capacitor_ohm = 3\ncut_out_speed = 0.75\n\
         [load.load_torque]\nrated_rpm = 1800\n{load}\n"
    )
}

/// At 40 to 50 % of its voltage it passes its start switch and then hangs: 0.632 and 0.793 of synchronous
/// speed under a fan of 1 N m (tests/data/quasi_static.csv).
#[test]
fn regress_a_start_that_hangs_names_its_open_switch() {
    for (share, hangs_at, percent, run_s) in [(0.4, 0.632168, "63.2", 15.0), (0.5, 0.792584, "79.3", 6.385)] {
        let site = quarter_hp(share * 110.0, "rated_nm = 1.0\nc2 = 1.0", "");
        // their figures are those of the end of their run: the rotor still sinks
        let start = judged(&site.replace("longest_start_s = 20", &format!("longest_start_s = {run_s}")));
        assert_eq!(start.facts.as_ref().unwrap().outcome, Outcome::Hangs);
        let finding = start.finding("acceleration").unwrap();
        assert_eq!(finding.status, Status::Fail);
        for said in [&finding.told.why, &finding.told.sentence] {
            let wanted = format!("hangs at {percent} % of full speed");
            assert!(said.contains(&wanted), "{hangs_at}: {said}");
            let wanted = "its start switch opened at 75 % of full speed and does not close again: on the running winding it \
                          hangs at";
            assert!(said.contains(wanted), "{said}");
        }
        // what it draws there, by the machine of the published set
        let machine = crate::validation::cases::machines::quarter_hp_open();
        let point = machine.at(hangs_at * machine.sync_speed(), startmargin::motor::Stage::RUN);
        let amps = startmargin::checks::say::number(point.y.norm() * share * 110.0);
        assert!(finding.told.why.ends_with(&format!("drawing {amps} A")), "{amps}: {}", finding.told.why);
    }
    // under a steady 0.5 N m it sinks back, and is given up on the way
    let start = judged(&quarter_hp(44.0, "rated_nm = 0.5\nc0 = 1.0\nbreakaway = 1.0", ""));
    let why = &start.finding("acceleration").unwrap().told.why;
    assert!(!start.reaches_speed() && why.contains("its start switch opened at 75 %"), "{why}");
}

/// A motor that comes back to a standstill had torque enough at first: the sentence said it had too little,
/// by a negative amount.
#[test]
fn regress_a_motor_that_comes_back_to_a_standstill_had_torque_at_first() {
    let site = quarter_hp(44.0, "rated_nm = 0.5\nc0 = 1.0\nbreakaway = 1.0", "");
    let start = judged(&site.replace("longest_start_s = 20", "longest_start_s = 60"));
    assert_eq!(start.facts.as_ref().unwrap().outcome, Outcome::Stalls);
    let told = &start.finding("acceleration").unwrap().told;
    assert!(
        told.sentence.starts_with("the motor comes back to a standstill; its start switch opened"),
        "{told:?}"
    );
    assert!(!told.sentence.contains("too little"), "{told:?}");
}

#[test]
fn regress_a_dip_may_stop_a_motor_whose_start_is_fine() {
    let load = "rated_nm = 1.3\nc0 = 1.0\nbreakaway = 1.0";
    let plain = judged(&quarter_hp(110.0, load, ""));
    assert_eq!(plain.facts.as_ref().unwrap().after_dip, None);
    assert!(plain.reaches_speed() && !plain.lost_in_dip());
    let short = judged(&quarter_hp(110.0, load, "dip = { to = 0.5, for_s = 0.3 }"));
    assert_eq!(short.facts.as_ref().unwrap().after_dip, Some(AfterDip::Runs));
    let finding = short.finding("acceleration").unwrap();
    assert_eq!(finding.status, Status::Pass, "{finding:?}");
    assert!(
        finding.told.why.contains("a dip to 50 % of the voltage for 0.3 s takes it down to"),
        "{finding:?}"
    );
    assert!(finding.told.sentence.contains("to spare; a dip to 50 % of the voltage"), "{finding:?}");
    let long = judged(&quarter_hp(110.0, load, "dip = { to = 0.1, for_s = 2 }"));
    assert_eq!(long.facts.as_ref().unwrap().after_dip, Some(AfterDip::Stalls));
    let finding = long.finding("acceleration").unwrap();
    assert_eq!(
        (long.verdict, finding.status, finding.at_value),
        (Verdict::Fails, Status::Fail, Status::Fail)
    );
    assert!(finding.margins.unwrap().modelled < 0.0);
    let why = "and it does not come back: its start switch opened at 75 % of full speed and does not close again, and it comes \
               to a standstill, drawing 14.2 A";
    assert!(finding.told.sentence.contains(why), "{}", finding.told.sentence);
    // no setting of a soft starter helps, and none is to blame
    let reduction = long.reduction.as_ref().unwrap();
    assert_eq!(reduction.plain.most, plain.reduction.as_ref().unwrap().plain.most);
    // over the range of a doubtful dip it is open
    let doubtful = "dip = { to = 0.1, for_s = { value = 0.1, low = 0.1, high = 2 } }";
    let open = judged(&quarter_hp(110.0, load, doubtful));
    let finding = open.finding("acceleration").unwrap();
    assert_eq!((finding.status, finding.at_value), (Status::Uncertain, Status::Pass));
    assert!(finding.depends_on.iter().any(|key| key == "supply.dip.for_s"), "{:?}", finding.depends_on);
}

#[test]
fn regress_reports_say_what_a_dip_does() {
    let load = "rated_nm = 1.3\nc0 = 1.0\nbreakaway = 1.0";
    let said = |supply: &str| {
        let file = quarter_hp(110.0, load, supply);
        let report =
            startmargin::report::Report::new(&startmargin::site::read("x.toml", &file).unwrap(), &file);
        let json: serde_json::Value =
            serde_json::from_str(&startmargin::report::json::json(&report).unwrap()).unwrap();
        let text = startmargin::report::text(&report, false);
        (json["starts"][0]["after_dip"].clone(), text.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    assert_eq!(said("").0, serde_json::Value::Null);
    assert_eq!(said("dip = { to = 0.9, for_s = 0.1 }").0, "runs");
    let (word, text) = said("dip = { to = 0, for_s = 3 }");
    assert_eq!(word, "stalls");
    assert!(text.contains("does not close again, and it comes to a standstill"), "{text}");
    assert!(text.contains("Next: see that the voltage dips less"), "{text}");
}
