//! Cables in a site file: what size and length yield, what wins, what is missing.

use super::{edit, site};
use startmargin::advise::judge;
use startmargin::case::Pressure;
use startmargin::checks::Status;
use startmargin::figure::Origin;
use startmargin::wiring::ConductorFigures;

const DESIGN: &str = include_str!("design.toml");

/// The design's site with one circuit, its load's own taken away, and this conductor.
fn text(conductor: &str) -> String {
    edit(
        DESIGN,
        &[
            ("{ length_m = 6.0, awg = 12 }", conductor),
            ("circuit = { breaker = { standard = \"UL 489\", rating_a = 30 } }\n", ""),
        ],
    )
}

fn conductor(conductor: &str) -> ConductorFigures {
    site(&text(conductor)).case(0, 0, Pressure::Equalised).circuit.conductor.expect("a conductor")
}

/// The finding on the cable.
fn finding(conductor: &str) -> (Status, String, Vec<&'static str>) {
    let start = judge(&site(&text(conductor)).case(0, 0, Pressure::Equalised));
    let finding = start.finding("conductor").expect("a finding");
    (finding.status, finding.told.why.clone(), finding.missing.clone())
}

#[test]
fn size_and_length_fill_in_what_is_not_given() {
    let cable = conductor("{ length_m = 6.0, awg = 12 }");
    let r = cable.resistance_ohm.expect("a resistance");
    assert_eq!((r.origin, r.at), (Origin::Standard, None));
    assert_eq!(cable.reactance_ohm.expect("a reactance").origin, Origin::Assumed);
    assert_eq!(cable.ampacity_a.expect("an ampacity").origin, Origin::Standard);
    assert!(cable.ampacity_rule.expect("a rule").contains("310.16"));
    // the site itself keeps what its file says
    assert_eq!(site(DESIGN).circuit.conductor.expect("a conductor").resistance_ohm, None);
}

#[test]
fn what_is_given_wins() {
    let cable = conductor("{ length_m = 6.0, awg = 12, resistance_ohm = 0.5, ampacity_a = 99 }");
    assert_eq!(cable.resistance_ohm.map(|r| r.get()), Some(0.5));
    assert_eq!((cable.reactance_ohm, cable.ampacity_a.map(|a| a.get())), (None, Some(99.0)));
    assert_eq!(cable.ampacity_rule, None);
}

#[test]
fn aluminium_has_more_resistance_and_carries_less() {
    let [copper, aluminium] = ["copper", "aluminium"]
        .map(|m| conductor(&format!("{{ length_m = 6.0, awg = 10, material = \"{m}\" }}")));
    let (of_copper, of_aluminium) =
        (copper.resistance_ohm.expect("a resistance"), aluminium.resistance_ohm.expect("a resistance"));
    let ratio = of_aluminium.get() / of_copper.get();
    assert!((1.61..=1.64).contains(&ratio), "{ratio}");
    assert_eq!(of_aluminium.origin, Origin::Derived);
    // table 310.16 at 60 C and 40 C ambient
    assert_eq!(copper.ampacity_a.map(|a| a.get()), Some(30.0 * 0.82));
    assert_eq!(aluminium.ampacity_a.map(|a| a.get()), Some(25.0 * 0.82));
}

#[test]
fn square_millimetres_under_american_rules_have_a_resistance_but_no_ampacity() {
    let cable = conductor("{ length_m = 6.0, area_mm2 = 4 }");
    assert!(cable.resistance_ohm.is_some() && cable.ampacity_a.is_none());
    let (status, why, missing) = finding("{ length_m = 6.0, area_mm2 = 4 }");
    assert_eq!(
        (status, missing.as_slice()),
        (Status::Uncertain, &["circuit.conductor.ampacity_a"][..]),
        "{why}"
    );
    assert_eq!(finding("{ length_m = 6.0, area_mm2 = 4, ampacity_a = 25 }").0, Status::Pass);
}

#[test]
fn a_length_without_a_size_and_a_size_without_a_length() {
    let (status, _, missing) = finding("{ length_m = 6.0 }");
    assert_eq!((status, missing.as_slice()), (Status::Uncertain, &["circuit.conductor.awg"][..]));
    let of = |cable: &str| judge(&site(&text(cable)).case(0, 0, Pressure::Equalised));
    let start = of("{ awg = 10, terminal_c = 75 }");
    assert_eq!(start.finding("conductor").map(|f| f.status), Some(Status::Pass));
    let voltage = start.finding("terminal-voltage").expect("a finding");
    assert_eq!(voltage.status, Status::Uncertain);
    assert!(voltage.reservation.as_ref().is_some_and(|r| r.contains("length is not given")));
    // with ohms alone nothing is asked of its size
    assert!(of("{ resistance_ohm = 0.05 }").not_checked.contains(&"conductor"));
    // and with both nothing is left out
    let whole = of("{ length_m = 6.0, awg = 10 }");
    assert_eq!(whole.finding("terminal-voltage").map(|f| f.status), Some(Status::Pass));
}

/// One circuit may feed loads of different phases: there and back for one, per phase for the other.
#[test]
fn the_loads_phases_decide_there_and_back() {
    let text = edit(
        super::WORKSHOP,
        &[
            ("rating_a = 32 }", "rating_a = 32 }\nconductor = { length_m = 10, area_mm2 = 6 }"),
            ("[[load]]", "[[load]]\nname = \"drill\"\n[[load]]"),
        ],
    );
    let site = site(&text);
    let [drill, pump] = [0, 1].map(|load| {
        let cable = site.case(load, 0, Pressure::Equalised).circuit.conductor.expect("a conductor");
        (cable.resistance_ohm.expect("a resistance").get(), cable.ampacity_a.expect("an ampacity").get())
    });
    assert_eq!((drill.0, drill.1, pump.1), (2.0 * pump.0, 41.0, 36.0));
}

/// The words for the installer: shop language, both figures, the difference.
#[test]
fn the_finding_in_words() {
    // 18 A on the nameplate, 40 C: 12 AWG carries 20 x 0.82 = 16.4 A
    let start = judge(&site(&text("{ length_m = 6.0, awg = 12 }")).case(0, 0, Pressure::Equalised));
    let finding = start.finding("conductor").expect("a finding");
    assert_eq!(finding.status, Status::Fail);
    assert_eq!(
        finding.told.sentence,
        "the nameplate asks for a cable for 18 A and the 12 AWG copper cable carries 16.4 A: 1.6 A too much"
    );
    assert!(finding.told.rule.contains("440.35"));
}
