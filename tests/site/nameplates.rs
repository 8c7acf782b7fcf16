//! What a label leaves out, worked out from what it says: through site files, to the figures and to the JSON of `check`.

use proptest::prelude::*;
use startmargin::figure::{AnyFigure, Figure, Origin};
use startmargin::nameplate::labels;
use startmargin::quantity::*;
use startmargin::site::{Site, read};
use startmargin::standards::nfpa_70::motors;

use super::site;

const VOLTS: f64 = 230.0;

/// A load of that class with these lines of a label, at 230 V 60 Hz.
fn text(class: &str, lines: &str) -> String {
    let phases = if class.starts_with("three-phase") { 3 } else { 1 };
    format!(
        "[[supply]]\nname = \"s\"\nkind = \"shore\"\nvoltage_v = 230\nfrequency_hz = 60\nphases = {phases}\n\
         [[load]]\nname = \"l\"\nclass = \"{class}\"\nrated_voltage_v = 230\n{lines}\n"
    )
}

/// Rated-load and locked-rotor current, however they are known.
fn currents(site: &Site) -> [Option<Figure<Ampere>>; 2] {
    let plate = &site.loads[0].figures.nameplate;
    let by_ratio = |key: &str| plate.by_ratio().filter(|(k, _)| *k == key).map(|(_, figure)| figure);
    [
        plate.rated_load_a.clone().or_else(|| by_ratio("rated_load_a")),
        plate.locked_rotor_a.clone().or_else(|| by_ratio("locked_rotor_a")),
    ]
}

#[track_caller]
fn both(class: &str, lines: &str) -> [Figure<Ampere>; 2] {
    currents(&site(&text(class, lines))).map(|f| f.expect("a current"))
}

/// Asserts a derived figure with that value and range, and these words in its rule.
#[track_caller]
fn derived(figure: &Figure<Ampere>, [low, value, high]: [f64; 3], words: &[&str]) {
    let close = |a: f64, b: f64| (a - b).abs() < 2e-3 * b;
    let (v, l, h) = figure.numbers();
    assert!(close(v, value) && close(l, low) && close(h, high), "{figure:?}, not {low} {value} {high}");
    assert_eq!(figure.origin, Origin::Derived, "{figure:?}");
    let note = figure.note.as_deref().expect("a rule");
    assert!(words.iter().all(|w| note.contains(w)), "{note}");
}

/// What is said of a site beside its figures.
fn notes(class: &str, lines: &str) -> Vec<String> {
    site(&text(class, lines)).notes.into_iter().map(|n| n.message).collect()
}

const SEALED: &str = "hermetic-run-capacitor";

/// The class's locked-rotor ratio: low, value, high.
fn ratio(class: &str) -> [f64; 3] {
    let site = site(&text(class, ""));
    let (value, low, high) =
        site.loads[0].figures.nameplate.locked_rotor_ratio.as_ref().expect("a ratio").numbers();
    [low, value, high]
}

#[test]
fn locked_rotor_current_only() {
    let [low, value, high] = ratio(SEALED);
    let [rated, locked] = both(SEALED, "locked_rotor_a = 60");
    assert_eq!((locked.numbers(), locked.origin), ((60.0, 60.0, 60.0), Origin::Nameplate));
    derived(
        &rated,
        [60.0 / high, 60.0 / value, 60.0 / low],
        &["locked-rotor current over the ratio", "common practice"],
    );
}

#[test]
fn rated_load_current_only() {
    let [low, value, high] = ratio(SEALED);
    let [rated, locked] = both(SEALED, "rated_load_a = { value = 10, low = 9, high = 11 }");
    assert_eq!((rated.numbers(), rated.origin), ((10.0, 9.0, 11.0), Origin::Nameplate));
    derived(&locked, [9.0 * low, 10.0 * value, 11.0 * high], &["rated-load current times the ratio"]);
}

/// IEC 60034-1 lets the locked-rotor current of a plain motor lie a fifth above the declared one; that of a sealed one is
/// measured.
#[test]
fn a_stated_locked_rotor_current_may_be_a_fifth_more() {
    let [_, locked] = both("saw", "locked_rotor_a = 60");
    assert_eq!((locked.numbers(), locked.origin), ((60.0, 60.0, 72.0), Origin::Nameplate));
    assert!(locked.note.as_deref().is_some_and(|n| n.contains("+20 %") && n.contains("IEC 60034-1")));
    // not where the site has bounds of its own, or has measured it
    let [_, own] = both("saw", "locked_rotor_a = { value = 60, low = 58, high = 61 }");
    assert_eq!(own.numbers(), (60.0, 58.0, 61.0));
    let [_, measured] = both("saw", "locked_rotor_a = { value = 60, origin = \"measured\" }");
    assert_eq!(measured.numbers(), (60.0, 60.0, 60.0));
    let [_, sealed] = both("saw", "hermetic = true\nlocked_rotor_a = 60");
    assert_eq!(sealed.numbers(), (60.0, 60.0, 60.0));
}

#[test]
fn horsepower_and_code_letter() {
    // G: 5.6 to 6.29 kVA per hp
    let [rated, locked] = both("saw", "power_hp = 2\ncode_letter = \"G\"");
    let amps = |kva: f64| 2000.0 * kva / VOLTS;
    derived(&locked, [amps(5.6), amps(5.945), amps(6.29)], &["code letter G", "table 430.7(B)"]);
    assert!(
        rated.origin == Origin::Derived && rated.high.get() <= motors::full_load_a(2.0, VOLTS, 1).unwrap()
    );
}

#[test]
fn horsepower_only() {
    let [rated, locked] = both("saw", "power_hp = 2");
    let (full, most) =
        (motors::full_load_a(2.0, VOLTS, 1).unwrap(), motors::locked_rotor_a(2.0, VOLTS, 1).unwrap());
    let note = rated.note.as_deref().unwrap_or_default();
    assert!(note.contains("2 hp") && note.contains("table 430.248"), "{note}");
    assert!(0.7 * full - 1e-9 <= rated.low.get() && rated.high.get() <= full + 1e-9, "{rated:?}");
    let note = locked.note.as_deref().unwrap_or_default();
    assert!(note.contains("table 430.251(A)") && locked.high.get() <= most + 1e-9, "{locked:?}");
    assert!(locked.low.get() >= 4.0 * full - 1e-9);
    let [_, three] = both("three-phase-pump", "power_hp = 5");
    assert!(
        three.note.as_deref().is_some_and(|n| n.contains("table 430.251(B)") && n.contains("three-phase"))
    );
    // a size that no table has: the power alone
    let [rated, locked] = both("saw", "power_hp = 2.3");
    let note = rated.note.as_deref().unwrap_or_default();
    assert!(note.contains("at the shaft") && !note.contains("table"), "{note}");
    assert_eq!(locked.origin, Origin::Derived);
}

#[test]
fn the_two_ratings_of_a_unit() {
    // a fan of 1.5 A: 1.25 x + 1.5 = 18, to half an ampere; 2.25 x + 1.5 between 30 and 35, rounded down
    let [rated, _] =
        both(SEALED, "minimum_circuit_ampacity_a = 18\nmaximum_protection_a = 30\nfan_full_load_a = 1.5");
    derived(&rated, [12.8, 13.2, 13.6], &["minimum circuit ampacity 18 A", "UL 1995"]);
    // nothing is known of the fan: wide, and the other rating narrows it
    let [alone, _] = both(SEALED, "minimum_circuit_ampacity_a = 17");
    let [narrowed, _] = both(SEALED, "minimum_circuit_ampacity_a = 17\nmaximum_protection_a = 25");
    assert_eq!((narrowed.low, narrowed.high < alone.high), (alone.low, true), "{narrowed:?}");
    let note = narrowed.note.as_deref().unwrap_or_default();
    assert!(note.contains("narrowed by maximum_protection_a"), "{note}");
    let [by_device, _] = both(SEALED, "maximum_protection_a = 30");
    assert!(by_device.note.as_deref().is_some_and(|n| n.contains("maximum protection 30 A")));
}

#[test]
fn maximum_continuous_current_only() {
    let [rated, locked] = both(SEALED, "maximum_continuous_a = 15.6");
    derived(&rated, [10.0, 10.0, 15.6 / 1.44], &["maximum continuous current 15.6 A", "1.56", "UL"]);
    let [low, value, high] = ratio(SEALED);
    derived(&locked, [10.0 * low, 10.0 * value, high * 15.6 / 1.44], &["rated-load current times the ratio"]);
}

/// The start watts tell of the start: what is drawn then has their range alone, not that and the class's ratio twice.
#[test]
fn start_watts_only() {
    let [rated, locked] = both(SEALED, "start_w = 4600");
    // 20 A at a power factor of 1, 2.15 times that at most
    assert_eq!((locked.low.0.round(), locked.high.0.round(), locked.origin), (20.0, 43.0, Origin::Derived));
    let note = locked.note.as_deref().unwrap_or_default();
    assert!(note.contains("watts are not VA") && note.contains("may hide half of the current"), "{note}");
    let [low, _, high] = ratio(SEALED);
    assert!(
        (rated.low.0 - locked.low.0 / high).abs() < 1e-6 && (rated.high.0 - locked.high.0 / low).abs() < 1e-6
    );
    // beside a rated current they count for nothing: the class's ratio alone speaks
    let with = both(SEALED, "start_w = 4600\nrated_load_a = 7");
    assert_eq!(with.map(|f| f.numbers()), both(SEALED, "rated_load_a = 7").map(|f| f.numbers()));
}

/// Watts are what a sealed unit takes in, and what a plain motor gives at its shaft.
#[test]
fn watts_of_a_sealed_and_of_a_plain_motor() {
    let [sealed, _] = both(SEALED, "power_w = 2000\npower_factor = 0.95");
    derived(&sealed, [2000.0 / VOLTS / 0.95; 3], &["2000 W taken in at 230 V", "power factor 0.95"]);
    let [plain, _] = both("saw", "power_w = 2000\npower_factor = 0.95\nefficiency = 0.7");
    derived(&plain, [2000.0 / VOLTS / 0.95 / 0.7; 3], &["2000 W at the shaft", "efficiency 0.7"]);
    let [ranged, _] = both("saw", "power_w = 2000");
    assert!(
        ranged.low < ranged.value && ranged.value < ranged.high,
        "the class's efficiency ranges: {ranged:?}"
    );
}

#[test]
fn entries_that_contradict_each_other() {
    #[track_caller]
    fn said(class: &str, lines: &str, names: [&str; 2]) {
        let notes = notes(class, lines);
        assert_eq!(notes.len(), 1, "{notes:?}");
        assert!(
            names.iter().all(|n| notes[0].contains(n)) && notes[0].contains("check the label"),
            "{notes:?}"
        );
    }
    let fan = "fan_full_load_a = 1.5";
    said(
        SEALED,
        &format!("maximum_continuous_a = 15.6\nminimum_circuit_ampacity_a = 40\n{fan}"),
        ["maximum_continuous_a", "minimum_circuit_ampacity_a"],
    );
    said(
        SEALED,
        &format!("minimum_circuit_ampacity_a = 18\nmaximum_protection_a = 60\n{fan}"),
        ["minimum_circuit_ampacity_a", "maximum_protection_a"],
    );
    // printed currents too
    said(
        SEALED,
        "rated_load_a = 20\nminimum_circuit_ampacity_a = 18",
        ["rated_load_a", "minimum_circuit_ampacity_a"],
    );
    said(SEALED, "rated_load_a = 9\nmaximum_continuous_a = 17", ["rated_load_a", "maximum_continuous_a"]);
    said(
        "saw",
        "rated_load_a = 10\nlocked_rotor_a = 100\npower_hp = 2\ncode_letter = \"G\"",
        ["locked_rotor_a", "code_letter"],
    );
    // the more direct one holds
    let [rated, _] =
        both(SEALED, &format!("maximum_continuous_a = 15.6\nminimum_circuit_ampacity_a = 40\n{fan}"));
    assert_eq!(rated.value.0, 10.0);
    // what is usual of a kind contradicts nobody
    for fine in [
        "rated_load_a = 12.5\nminimum_circuit_ampacity_a = 18\nmaximum_protection_a = 25\nlocked_rotor_a = 62",
        "rated_load_a = 10\nmaximum_continuous_a = 13",
        "rated_load_a = 8\nminimum_circuit_ampacity_a = 30",
        "rated_load_a = 6\nlocked_rotor_a = 60",
    ] {
        assert_eq!(notes(SEALED, fine), [""; 0], "{fine}");
    }
    // far outside the ratio of the class a label was misread: said, and no certain pass
    for misread in ["rated_load_a = 3\nlocked_rotor_a = 60", "rated_load_a = 20\nlocked_rotor_a = 22"] {
        assert!(notes(SEALED, misread)[0].contains("is usual of the class: check the label"), "{misread}");
        let start = startmargin::advise::judge(&site(&text(SEALED, misread)).case(
            0,
            0,
            startmargin::case::Pressure::Equalised,
        ));
        assert!(start.finding("acceleration").unwrap().reservation.is_some(), "{misread}");
    }
}

/// Nothing is worked out from nothing: what is missing is missing.
#[test]
fn a_label_that_says_nothing() {
    assert_eq!(currents(&site(&text(SEALED, "fan_full_load_a = 1"))), [None, None]);
}

/// A supply without voltage is refused, and no rule reckons with it.
#[test]
fn a_supply_without_voltage_is_refused_once() {
    super::refused(
        "§§[[supply]]\nname = \"s\"\nkind = \"shore\"\n[[load]]\nname = \"l\"\npower_hp = 1\nstart_w = 3000\n",
        &[
            ("supply[0].voltage_v", "voltage_v is missing"),
            ("supply[0].frequency_hz", "frequency_hz is missing"),
        ],
    );
    super::refused(
        "[[supply]]\nname = \"s\"\nkind = \"shore\"\nvoltage_v = §0\nfrequency_hz = 60\n[[load]]\nname = \"l\"\npower_hp = 1\n",
        &[("supply[0].voltage_v", "out of range")],
    );
}

/// A rule whose result is beyond any number gives no figure.
#[test]
fn a_label_beyond_measure() {
    let site = site(&text("saw", "power_w = 1000\npower_factor = { value = 0.9, low = 1e-310 }"));
    assert_eq!(currents(&site), [None, None]);
}

/// The rated voltage is the supply's where the label has none: legs and phases counted.
#[test]
fn a_label_without_voltage() {
    let volts = |supply: &str, load: &str| {
        let text = format!(
            "[[supply]]\nname = \"s\"\nkind = \"shore\"\nfrequency_hz = 60\n{supply}\n[[load]]\nname = \"l\"\nrated_load_a = 5\n{load}\n"
        );
        let v = site(&text).loads[0].figures.nameplate.rated_voltage_v.clone().expect("a voltage");
        assert_eq!(v.origin, Origin::Assumed);
        v.get()
    };
    assert_eq!(volts("voltage_v = 120", ""), 120.0);
    assert_eq!(volts("voltage_v = 240", "connection = \"L1\""), 120.0);
    assert!((volts("voltage_v = 400\nphases = 3", "") - 230.94).abs() < 0.01);
    assert_eq!(volts("voltage_v = 400\nphases = 3", "phases = 3"), 400.0);
}

/// The JSON of `check` lists what was worked out as such: origin, range, rule.
#[test]
fn derived_figures_in_the_json() {
    for (name, class, lines, derived) in [
        ("lra", SEALED, "locked_rotor_a = 60", &["rated_load_a"][..]),
        ("rla", SEALED, "rated_load_a = 10", &["locked_rotor_a"]),
        ("letter", "saw", "power_hp = 2\ncode_letter = \"G\"", &["rated_load_a", "locked_rotor_a"]),
        ("mcc", SEALED, "maximum_continuous_a = 15.6", &["rated_load_a", "locked_rotor_a"]),
        ("start", SEALED, "start_w = 4600", &["rated_load_a", "locked_rotor_a"]),
    ] {
        let path =
            std::env::temp_dir().join(format!("startmargin-{}-derived-{name}.toml", std::process::id()));
        std::fs::write(&path, text(class, lines)).unwrap();
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_startmargin"))
            .args(["check", path.to_str().unwrap(), "--format", "json"])
            .output()
            .unwrap();
        std::fs::remove_file(path).unwrap();
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        let figures = json["figures"].as_array().unwrap();
        for key in derived {
            let of: Vec<_> = figures.iter().filter(|f| f["of"] == "load[0]" && f["name"] == *key).collect();
            assert_eq!(of.len(), 1, "{name}: {key}");
            let f = of[0];
            assert_eq!(f["origin"], "derived", "{name}: {f}");
            let [low, value, high] = ["low", "value", "high"].map(|k| f[k].as_f64().unwrap());
            assert!(low <= value && value <= high && low < high, "{name}: {f}");
            assert!(f["note"].as_str().unwrap().len() > 20, "{name}: {f}");
        }
    }
}

/// A true motor, and every entry that a label may have of it.
#[derive(Debug, Clone)]
struct Truth {
    rated_a: f64,
    locked_a: f64,
    /// Lines of the label; for each whether it speaks of the locked rotor.
    lines: Vec<String>,
}

/// A sealed unit whose figures lie within its class: rated 4 to 30 A, a fan that is printed, ratio, power factor and start watts
/// within what the rules take for possible.
fn sealed() -> impl Strategy<Value = Truth> {
    let class = ratio(SEALED);
    (4.0..30.0f64, 0.0..2.0f64, 0.0..1.0f64, 0.0..1.0f64, 0.0..1.0f64, 0.0..1.0f64).prop_map(
        move |(rated, fan, by_ratio, by_mcc, by_factor, by_watts)| {
            let locked = rated * (class[0] + by_ratio * (class[2] - class[0]));
            let mcc = rated * (1.44 + by_mcc * 0.12);
            let mca = labels::minimum_circuit_ampacity(rated, fan).round();
            let mop = labels::maximum_protection(rated, fan).unwrap();
            let watts = rated * VOLTS * (0.88 + by_factor * 0.11);
            let start = locked * VOLTS / (1.0 + by_watts * 1.15);
            let lines = vec![
                format!("rated_load_a = {rated}"),
                format!("locked_rotor_a = {locked}"),
                format!("maximum_continuous_a = {mcc}"),
                format!("minimum_circuit_ampacity_a = {mca}"),
                format!("maximum_protection_a = {mop}"),
                format!("power_w = {watts}"),
                format!("start_w = {start}"),
                format!("fan_full_load_a = {fan}"),
            ];
            Truth { rated_a: rated, locked_a: locked, lines }
        },
    )
}

/// A plain motor of the tables: rated current between 0.7 and 1 times the table's and what power factor and efficiency of the
/// class allow, locked rotor within table, ratio and letter.
fn plain() -> impl Strategy<Value = Truth> {
    let class = ratio("saw");
    let sizes = [0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0];
    (0..sizes.len(), 0.0..1.0f64, 0.0..1.0f64, 0.0..1.0f64).prop_filter_map(
        "no such motor",
        move |(size, by_table, by_ratio, by_watts)| {
            let hp = sizes[size];
            let (full, most) =
                (motors::full_load_a(hp, VOLTS, 1).unwrap(), motors::locked_rotor_a(hp, VOLTS, 1).unwrap());
            let rated = full * (0.7 + 0.3 * by_table);
            let locked = rated * (class[0] + by_ratio * (class[2] - class[0]));
            let share = 745.7 * hp / (rated * VOLTS);
            // efficiency times power factor of the class
            if !(0.65 * 0.6..=0.95 * 0.78).contains(&share) || !(4.0 * full..=most).contains(&locked) {
                return None;
            }
            let letter = "ABCDEFGHJKLMNPRSTU".chars().find(|&letter| {
                let d = labels::locked_rotor_from_code_letter(letter, hp, VOLTS, 1).unwrap();
                d.low <= locked && locked <= d.high
            })?;
            let start = locked * VOLTS / (1.0 + by_watts * 1.15);
            let lines = vec![
                format!("rated_load_a = {rated}"),
                format!("locked_rotor_a = {locked}"),
                format!("power_hp = {hp}"),
                format!("code_letter = \"{letter}\""),
                format!("start_w = {start}"),
            ];
            Some(Truth { rated_a: rated, locked_a: locked, lines })
        },
    )
}

/// The lines whose bit is set.
fn chosen(truth: &Truth, bits: u16) -> String {
    let lines: Vec<&str> =
        truth.lines.iter().enumerate().filter(|(i, _)| bits >> i & 1 == 1).map(|(_, l)| l.as_str()).collect();
    lines.join("\n")
}

fn holds(figure: &Option<Figure<Ampere>>, truth: f64) -> bool {
    figure.as_ref().is_none_or(|f| f.low.0 <= truth * (1.0 + 1e-6) && truth * (1.0 - 1e-6) <= f.high.0)
}

fn width(figure: &Option<Figure<Ampere>>) -> f64 {
    figure.as_ref().map_or(f64::INFINITY, |f| f.high.0 / f.low.0)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever part of a label is in hand, both ranges contain the truth, and nothing is said to contradict. It holds for
    /// RLA, LRA, MCC, MCA, MOP, input watts, start watts and the fan's current.
    #[test]
    fn prop_any_part_of_a_sealed_units_label_holds_the_truth(truth in sealed(), bits in 1..256u16) {
        let lines = chosen(&truth, bits);
        let site = read("site.toml", &text(SEALED, &lines)).expect("it is right");
        let [rated, locked] = currents(&site);
        prop_assert!(holds(&rated, truth.rated_a), "{lines}\n{rated:?} {truth:?}");
        prop_assert!(holds(&locked, truth.locked_a), "{lines}\n{locked:?} {truth:?}");
        prop_assert!(site.notes.is_empty(), "{lines}\n{:?}", site.notes);
    }

    /// The same for a plain motor: RLA, LRA, hp, code letter, start watts.
    #[test]
    fn prop_any_part_of_a_plain_motors_label_holds_the_truth(truth in plain(), bits in 1..32u16) {
        let lines = chosen(&truth, bits);
        let site = read("site.toml", &text("saw", &lines)).expect("it is right");
        let [rated, locked] = currents(&site);
        prop_assert!(holds(&rated, truth.rated_a), "{lines}\n{rated:?} {truth:?}");
        prop_assert!(holds(&locked, truth.locked_a), "{lines}\n{locked:?} {truth:?}");
        prop_assert!(site.notes.is_empty(), "{lines}\n{:?}", site.notes);
    }

    /// One entry more never makes the rated-load current less known, as long as no locked-rotor current is printed and the
    /// range is wider than 1.15 (below that the rules do not narrow it).
    #[test]
    fn prop_one_entry_more_makes_the_rated_current_no_wider(truth in sealed(), bits in 0..256u16, more in 0..8u16) {
        const LOCKED: u16 = 1 << 1;
        let (bits, all) = (bits & !LOCKED, (bits | 1 << more) & !LOCKED);
        let of = |bits: u16| currents(&site(&text(SEALED, &chosen(&truth, bits))))[0].clone();
        let (before, after) = (of(bits), of(all));
        prop_assert!(
            width(&after) <= width(&before).max(1.15) * (1.0 + 1e-6),
            "{}\n{before:?}\n{}\n{after:?}", chosen(&truth, bits), chosen(&truth, all)
        );
    }
}

#[test]
fn a_current_of_the_catalogue_does_not_hold_at_another_voltage() {
    let text = |more: &str| {
        format!(
            "[[supply]]\nname = 's'\nkind = 'shore'\nvoltage_v = 230\nfrequency_hz = 60\n[[load]]\nname = 'l'\nuse = 'roof-ac'\n\
             rated_voltage_v = 230\n{more}"
        )
    };
    let refused = startmargin::site::read("x.toml", &text("")).unwrap_err();
    assert!(refused[0].message.contains("is for 115 V") && refused[0].line == 9, "{refused:?}");
    assert!(startmargin::site::read("x.toml", &text("rated_load_a = 6.3\n")).is_ok());
}
