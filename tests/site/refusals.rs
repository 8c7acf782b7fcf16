//! What cannot be is refused at its line and column: numbers, supplies, batteries, breakers, conductors.

use super::{VAN, edit, mistakes, refused, van};

/// `VAN` with one piece replaced is refused once, at the mark.
#[track_caller]
fn once(from: &str, to: &str, key: &str, message: &str) {
    refused(&van(&[(from, to)]), &[(key, message)]);
}

const LRA: &str = "locked_rotor_a = 62.0";
const LRA_KEY: &str = "load[0].locked_rotor_a";

#[test]
fn numbers_that_are_none() {
    once(LRA, "locked_rotor_a = §\"62 A\"", LRA_KEY, "this is text");
    once(LRA, "locked_rotor_a = §true", LRA_KEY, "a number is due");
    once(LRA, "locked_rotor_a = §1979-05-27", LRA_KEY, "a number is due");
    once(LRA, "locked_rotor_a = §[62]", LRA_KEY, "a number is due");
    once(LRA, "locked_rotor_a = §nan", LRA_KEY, "not a finite number");
    once(LRA, "locked_rotor_a = §-inf", LRA_KEY, "not a finite number");
    once(LRA, "locked_rotor_a = §1e10", LRA_KEY, "too large");
    once(LRA, "locked_rotor_a = §1e999", LRA_KEY, "too large");
    once(LRA, "locked_rotor_a = §2_000_000_000", LRA_KEY, "too large");
    once(LRA, "locked_rotor_a = §999999999999999999999999999999999999999999999", LRA_KEY, "too large");
    once(LRA, "locked_rotor_a = §0", LRA_KEY, "out of range: above 0");
    once(LRA, "locked_rotor_a = §1e-300", LRA_KEY, "1e-300 A is out of range");
}

#[test]
fn the_help_for_text_is_the_number() {
    let help = |to: &str| mistakes(&van(&[(LRA, to)]))[0].help.clone();
    assert_eq!(help("locked_rotor_a = \"12 A\""), "write 12, the unit is in the key");
    assert_eq!(help("locked_rotor_a = \"12.5\""), "write 12.5, the unit is in the key");
    assert_eq!(help("locked_rotor_a = \"lots\""), "write a number, or \"unknown\"");
    let poles = mistakes(&van(&[("turns_ratio = 1.967", "turns_ratio = \"1.967\"")]));
    assert_eq!(poles[0].help, "write 1.967, without quotes");
    // Without quotes it is a mistake of spelling, but the same advice.
    let bare = mistakes(&van(&[(LRA, "locked_rotor_a = 12 A")]));
    assert!(bare[0].help.starts_with("write 12 alone: the unit is in the key"), "{bare:?}");
}

#[test]
fn figures_as_tables() {
    let low = "load[0].locked_rotor_a.low";
    once(LRA, "locked_rotor_a = { value = 62, low = §63 }", low, "low = 63 is above the value, 62");
    once(
        LRA,
        "locked_rotor_a = { value = 62, high = §61 }",
        "load[0].locked_rotor_a.high",
        "below the value",
    );
    once(LRA, "locked_rotor_a = §{ low = 60, high = 61 }", LRA_KEY, "value is missing");
    once(LRA, "locked_rotor_a = { value = 62, low = §-1 }", low, "out of range");
    once(LRA, "locked_rotor_a = { value = 62, §hihg = 70 }", LRA_KEY, "no such key: hihg");
    once(
        LRA,
        "locked_rotor_a = { value = 62, origin = §\"mesured\" }",
        "load[0].locked_rotor_a.origin",
        "mesured",
    );
    let both = "locked_rotor_a = { value = 62, low = §\"a\", high = §false }";
    let text = van(&[(LRA, both)]);
    refused(&text, &[(low, "this is text"), ("load[0].locked_rotor_a.high", "a number is due")]);
}

#[test]
fn unknown_where_nothing_can_fill_it() {
    once("voltage_v = 120", "voltage_v = §\"unknown\"", "supply[0].voltage_v", "no help here");
    once(
        "inertia_kgm2 = 0.0016",
        "inertia_kgm2 = §\"unknown\"",
        "load[0].motor_model.inertia_kgm2",
        "a value is needed",
    );
    let help = &mistakes(&van(&[("inertia_kgm2 = 0.0016", "inertia_kgm2 = \"unknown\"")]))[0].help;
    assert!(help.contains("nothing in the catalogue") && help.contains("give a value"), "{help}");
    once("rated_nm = 3.23", "rated_nm = §\"unknown\"", "load[0].load_torque.rated_nm", "a value is needed");
    let start = "load[0].motor_model.cut_out_speed";
    once("cut_out_speed = 0.75", "cut_out_speed = §\"unknown\"", start, "a value is needed");
}

#[test]
fn words_text_switches() {
    once("kind = \"inverter\"", "kind = §\"invertor\"", "supply[0].kind", "no such word");
    once("kind = \"inverter\"", "kind = §3", "supply[0].kind", "a word in quotes");
    once("standards = \"iec\"", "standards = §\"IEC\"", "standards", "no such word");
    once("behaviour = \"impedance\"", "behaviour = §\"resistance\"", "running[0].behaviour", "no such word");
    once("connection = \"L1-L2\"", "connection = §\"L3\"", "running[0].connection", "no such word");
    once("pressure = \"equalised\"", "pressure = §\"equalized\"", "load[0].pressure", "no such word");
    once("on_overload = \"limit\"", "on_overload = §\"fold\"", "supply[0].on_overload", "no such word");
    once("kind = \"two-winding\"", "kind = §\"single-phase\"", "load[0].motor_model.kind", "no such word");
    once("kind = \"limiter\"", "kind = §\"soft\"", "load[0].starter.kind", "no such word");
    once("code_letter = \"H\"", "code_letter = §\"O\"", "load[0].code_letter", "no such word");
    once("standard = \"UL 489\"", "standard = §\"UL489\"", "circuit.breaker.standard", "no such word");
    once("curve = \"D\"", "curve = §\"K\"", "load[0].circuit.breaker.curve", "no such word");
    once("material = \"copper\"", "material = §\"aluminum\"", "circuit.conductor.material", "no such word");
    once("title = \"Camper\"", "title = §\" \"", "title", "the text is empty");
    once("title = \"Camper\"", "title = §5", "title", "text is due");
    once(
        "fan_through_starter = true",
        "fan_through_starter = §\"yes\"",
        "load[0].fan_through_starter",
        "true or false",
    );
    let help = &mistakes(&van(&[("kind = \"inverter\"", "kind = \"invertor\"")]))[0].help;
    assert!(help.starts_with("did you mean \"inverter\"?"), "{help}");
}

#[test]
fn tables_and_lists() {
    let battery = "[battery]\nnominal_v = 48.0\ninternal_mohm = 12.0\npeak_a = 200.0\npeak_for_s = 5.0\nfuse = { standard = \"ISO 8820-5\", rating_a = 150 }\n";
    once(battery, "§[[battery]]\n", "battery", "a table is due");
    once("[[running]]", "§[running]", "running", "a list of tables");
    once(
        "surge = [ { va = 4500, for_s = 10.0 }, { va = 6000, for_s = 0.5 } ]",
        "surge = §[]",
        "supply[0].surge",
        "empty",
    );
    once("{ va = 4500, for_s = 10.0 }", "§5", "supply[0].surge[0]", "a table is due");
    once(
        "slow = [ { multiple = 2, s = 60 } ]",
        "slow = §{ multiple = 2, s = 60 }",
        "load[0].circuit.breaker.slow",
        "a list",
    );
    once(
        "fast = [ { multiple = 2, s = 20 }, { multiple = 4, s = 3 } ]",
        "fast = §[]",
        "load[0].circuit.breaker.fast",
        "empty",
    );
    once("voltage_range_v = [103.5, 126.5]", "voltage_range_v = §103.5", "load[0].voltage_range_v", "a pair");
    once(
        "voltage_range_v = [103.5, 126.5]",
        "voltage_range_v = §[103.5]",
        "load[0].voltage_range_v",
        "two numbers",
    );
    once(
        "voltage_range_v = [103.5, 126.5]",
        "voltage_range_v = §[126.5, 103.5]",
        "load[0].voltage_range_v",
        "above",
    );
    once(
        "instantaneous = [12, 18]",
        "instantaneous = §[18, 12]",
        "load[0].circuit.breaker.instantaneous",
        "above",
    );
    once(
        "instantaneous = [12, 18]",
        "instantaneous = [§0, 18]",
        "load[0].circuit.breaker.instantaneous",
        "range",
    );
}

#[test]
fn no_supply_or_no_load() {
    for text in ["", "title = \"x\"\n", "# nothing\n"] {
        let got: Vec<_> = mistakes(text).into_iter().map(|m| (m.line, m.column, m.key, m.message)).collect();
        let expected = |key: &str| (1, 1, key.to_owned(), format!("the file has no [[{key}]]"));
        assert_eq!(got, [expected("supply"), expected("load")]);
    }
}

#[test]
fn supplies_that_cannot_be() {
    once(
        "frequency_hz = 60\nphases = 1",
        "frequency_hz = §0\nphases = 1",
        "supply[0].frequency_hz",
        "out of range",
    );
    once("voltage_v = 120", "voltage_v = §-120", "supply[0].voltage_v", "out of range");
    once("phases = 1", "phases = §2", "supply[0].phases", "2 is out of range");
    once("phases = 1", "phases = §\"one\"", "supply[0].phases", "a whole number");
    once(
        "continuous_va = 3000",
        "continuous_va = 3000\n§continuous_a = 25",
        "supply[0].continuous_a",
        "continuous_va already",
    );
    once("{ va = 6000, for_s", "{ va = 6000, §a = 50, for_s", "supply[0].surge[1].a", "va already");
    once("name = \"shore\"", "name = §\"inverter\"", "supply[1].name", "another supply");
    once("output_ohm = 0.05", "output_ohm = §-0.05", "supply[0].output_ohm", "out of range");
    once("peak_current_a = 90.0", "peak_current_a = §0", "supply[0].peak_current_a", "out of range");
    let generator = edit(
        VAN,
        &[
            ("kind = \"shore\"", "kind = \"generator\""),
            ("[[supply]]\nname = \"shore\"", "§[[supply]]\nname = \"shore\""),
        ],
    );
    refused(&generator, &[("supply[1].continuous_va", "continuous_va is missing")]);
    let missing = ["name", "kind", "voltage_v", "frequency_hz"].map(|k| format!("supply[0].{k}"));
    let expected: Vec<(&str, &str)> = missing.iter().map(|k| (k.as_str(), "is missing")).collect();
    refused("§§§§[[supply]]\nphases = 1\n[[load]]\nname = \"x\"\n", &expected);
}

#[test]
fn surges_that_cannot_be() {
    let second = "{ va = 6000, for_s = 0.5 }";
    once(
        second,
        "{ va = 6000, for_s = §10.0 }",
        "supply[0].surge[1].for_s",
        "6000 VA for 10 s, yet 4500 VA only for 10 s",
    );
    once(second, "{ va = 6000, for_s = §60 }", "supply[0].surge[1].for_s", "6000 VA for 60 s");
    once(second, "{ va = §4500, for_s = 60 }", "supply[0].surge[1].va", "the same current");
    once(second, "{ a = §37.5, for_s = 60 }", "supply[0].surge[1].a", "the same current");
    once(second, "{ va = §2900, for_s = 60 }", "supply[0].surge[1].va", "below the continuous rating");
    once(
        second,
        "{ a = §20, for_s = 60 }",
        "supply[0].surge[1].a",
        "a surge of 20 A is below the continuous rating, 3000 VA",
    );
    once(second, "§{ for_s = 60 }", "supply[0].surge[1].va", "va is missing");
    once(second, "{ va = 6000, for_s = §0 }", "supply[0].surge[1].for_s", "out of range");
    // Without the voltage, ratings in the same unit are still compared.
    let text = van(&[
        ("voltage_v = 120\n", ""),
        (second, "{ va = 6000, for_s = §10.0 }"),
        ("[[supply]]\nname = \"inverter\"", "§[[supply]]\nname = \"inverter\""),
    ]);
    refused(
        &text,
        &[("supply[0].voltage_v", "is missing"), ("supply[0].surge[1].for_s", "6000 VA for 10 s")],
    );
    // Without a time there is nothing to compare.
    super::site(&van(&[(second, "{ va = 6000 }")]));
}

#[test]
fn batteries_that_cannot_be() {
    once("nominal_v = 48.0", "nominal_v = §0", "battery.nominal_v", "out of range");
    once("[battery]\nnominal_v = 48.0", "§[battery]", "battery.nominal_v", "nominal_v is missing");
    once("internal_mohm = 12.0", "internal_mohm = §-1", "battery.internal_mohm", "out of range");
    once(
        "fuse = { standard = \"ISO 8820-5\", rating_a = 150 }",
        "fuse = §{ rating_a = 150 }",
        "battery.fuse.standard",
        "missing",
    );
}

#[test]
fn breakers_that_cannot_be() {
    let own = "load[0].circuit.breaker";
    let ul = "breaker = { standard = \"UL 489\", rating_a = 20 }";
    once(
        ul,
        "breaker = { standard = \"UL 489\", §curve = \"C\", rating_a = 20 }",
        "circuit.breaker.curve",
        "no curves",
    );
    once(
        ul,
        "breaker = §{ standard = \"IEC 60898-1\", rating_a = 20 }",
        "circuit.breaker.curve",
        "curve is missing",
    );
    once(ul, "breaker = §{ standard = \"UL 489\" }", "circuit.breaker.rating_a", "rating_a is missing");
    once(
        ul,
        "breaker = { standard = \"UL 489\", rating_a = §-20 }",
        "circuit.breaker.rating_a",
        "out of range",
    );
    once("rating_a = 16", "rating_a = §160", "load[0].circuit.breaker.rating_a", "ends at 125 A");
    let second = "{ multiple = 4, s = 3 }";
    once(second, "{ multiple = §2, s = 3 }", &format!("{own}.fast[1].multiple"), "does not rise");
    once(second, "{ multiple = 4, s = §20 }", &format!("{own}.fast[1].s"), "does not fall");
    once(second, "§{ multiple = 4 }", &format!("{own}.fast[1].s"), "s is missing");
    once(second, "{ multiple = 4, s = §{ value = 3 } }", &format!("{own}.fast[1].s"), "a number is due");
}

#[test]
fn conductors_and_running_loads_that_cannot_be() {
    once("length_m = 6.0", "length_m = §0", "circuit.conductor.length_m", "out of range");
    once("awg = 12", "awg = §0", "circuit.conductor.awg", "no American wire gauge");
    once("awg = 12", "awg = §\"12/0\"", "circuit.conductor.awg", "no American wire gauge");
    once("awg = 12", "awg = §12.5", "circuit.conductor.awg", "no American wire gauge");
    let unlisted = |from: &str, to: &str, key: &str| {
        let text = van(&[("resistance_ohm = 0.07, ", ""), (from, to)]);
        refused(&text, &[(key, "in no table of resistances")]);
    };
    unlisted("awg = 12", "awg = §13", "circuit.conductor.awg");
    unlisted("awg = 12", "area_mm2 = §3", "circuit.conductor.area_mm2");
    unlisted("area_mm2 = 2.5", "area_mm2 = §{ value = 2.5, high = 3 }", "load[0].circuit.conductor.area_mm2");
    // with its resistance given no table is asked
    super::site(&van(&[("awg = 12", "awg = 13")]));
    once("awg = 12", "awg = 12, §area_mm2 = 4", "circuit.conductor.area_mm2", "given twice");
    once("area_mm2 = 2.5", "area_mm2 = §-2.5", "load[0].circuit.conductor.area_mm2", "out of range");
    once(
        "resistance_ohm = 0.07",
        "resistance_ohm = §-0.07",
        "circuit.conductor.resistance_ohm",
        "out of range",
    );
    once("ampacity_a = 22", "ampacity_a = §0", "circuit.conductor.ampacity_a", "out of range");
    once("va = 300\n", "va = §0\n", "running[0].va", "out of range");
    once("power_factor = 0.95", "power_factor = §1.01", "running[0].power_factor", "above 0, at most 1");
    once("ambient_c = 40", "ambient_c = §400", "ambient_c", "-60 to 90");
    super::site(&van(&[("awg = 12", "awg = \"1/0\"")]));
}

#[test]
fn several_at_once_in_file_order() {
    let text = van(&[
        ("ambient_c = 40", "ambient_c = §\"40 C\""),
        ("voltage_v = 120\n", "§voltage = 120\n"),
        ("[[supply]]\nname = \"inverter\"", "§[[supply]]\nname = \"inverter\""),
        ("peak_a = 200.0", "peak_a = §inf"),
        ("va = 300\n", "va = §-300\n"),
        ("locked_rotor_a = 62.0", "locked_rotor_a = §6.2"),
        ("poles = 2", "poles = §3"),
        ("name = \"drill\"", "name = §\"roof air conditioner\""),
    ]);
    refused(
        &text,
        &[
            ("ambient_c", "text"),
            ("supply[0].voltage_v", "voltage_v is missing"),
            ("supply[0].voltage", "no such key"),
            ("battery.peak_a", "finite"),
            ("running[0].va", "range"),
            ("load[0].locked_rotor_a", "below the rated-load current"),
            ("load[0].motor_model.poles", "range"),
            ("load[1].name", "another load"),
        ],
    );
}

#[test]
fn mistakes_of_spelling_are_all_told_and_stop_there() {
    let text = "title = Camper\nambient_c = \n[[supply]\nfrequency_hz = 0\n";
    let got = mistakes(text);
    assert!(got.iter().all(|m| m.key.is_empty()), "{got:#?}");
    let places: Vec<_> = got.iter().map(|m| (m.line, m.column)).collect();
    assert!(
        places.contains(&(1, 9)) && places.contains(&(2, 13)) && places.iter().any(|p| p.0 == 3),
        "{got:#?}"
    );
    assert!(places.is_sorted());
    let twice = mistakes("title = \"a\"\ntitle = \"b\"\n");
    assert_eq!((twice.len(), twice[0].line, twice[0].column), (1, 2, 1));
}
