//! Being asked: what people type, what cannot be, and that nothing is made up without saying so. And answers as site files,
//! every load on every supply.

use startmargin::site::answers::{Answers, Field, Said, amount, is_unknown, read, text};
use startmargin::site::catalogue::{Catalogue, Shelf};

use super::without_a_file::asked;
use super::{err, out, run};

/// The site file that a conversation ends in, with what was said on the way.
fn file(name: &str, lines: &str) -> (String, String) {
    let path = std::env::temp_dir().join(format!("startmargin-asked-{}-{name}.toml", std::process::id()));
    let output = asked(&["--force", "-o", path.to_str().unwrap()], lines);
    assert_ne!(output.status.code(), Some(2), "{}", err(&output));
    assert!(err(&output).lines().all(|l| l.chars().count() <= 100), "{}", err(&output));
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::remove_file(path).unwrap();
    (text, err(&output))
}

fn holds(text: &str, lines: &[&str]) {
    for line in lines {
        // with or without a comment behind it
        let found = text.lines().any(|l| l.starts_with(line) || l == line.trim_end());
        assert!(found, "{line} in\n{text}");
    }
}

#[test]
fn plates_are_read_as_they_are_printed() {
    for (i, (typed, lines)) in [
        ("115V~ 60Hz", ["rated_voltage_v = 115 ", "rated_frequency_hz = 60 ", "# phases"]),
        ("208-230/60/1", ["rated_voltage_v = 230 ", "rated_frequency_hz = 60 ", "phases = 1 "]),
        ("220-240 V 50 Hz", ["rated_voltage_v = 230 ", "rated_frequency_hz = 50 ", "# phases"]),
        ("400 V 3~ 50 Hz", ["rated_voltage_v = 400 ", "rated_frequency_hz = 50 ", "phases = 3 "]),
        ("460 v 60 hz three phase", ["rated_voltage_v = 460 ", "rated_frequency_hz = 60 ", "phases = 3 "]),
        ("50 Hz", ["# rated_voltage_v", "rated_frequency_hz = 50 ", "# phases"]),
    ]
    .into_iter()
    .enumerate()
    {
        let (text, said) = file(&format!("plate-{i}"), &format!("\n{typed}\n8\n50\n"));
        holds(&text, &lines);
        assert!(!said.contains("are due here"), "{typed}: {said}");
    }
    let (text, said) = file("nonsense", "\nwarm\nwarm\nwarm\n8\n50\n");
    assert!(said.matches("volts and hertz are due here").count() == 3 && said.contains("taken as not known"));
    holds(&text, &["rated_load_a = 8 ", "locked_rotor_a = 50 "]);
}

/// A slip of the pen does not cost ten answers.
#[test]
fn what_cannot_be_is_asked_again() {
    let lines = "\n115 60\n12\n6\n60\n2 kW\n1000 VA for 1 s\n4 kVA 2 s\nC16\n11 AWG 5 m\n12 AWG 20 ft\n5 A\n";
    let (text, said) = file("again", lines);
    for complaint in
        ["LRA is several times RLA", "is below the continuous rating", "in no table of resistances"]
    {
        let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(complaint), "{complaint}: {said}");
    }
    let surge = "surge = [{ va = 4000, for_s = 2 }]";
    holds(&text, &["locked_rotor_a = 60", "continuous_w = 2000", surge, "rating_a = 16", "curve = \"C\""]);
    holds(&text, &["awg = 12", "length_m = 6.096", "va = 600"]);
    let output = asked(&["--lra", "6", "--rla", "12"], "roof-ac\n");
    assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()));
    assert!(!err(&output).contains("1. What"), "flags that cannot be end it before anything is asked");
}

/// No verdict on somebody else's air conditioner.
#[test]
fn nothing_is_made_up_unsaid() {
    let (text, _) = file("nothing", "\n230 V 50 Hz\n");
    assert!(!text.contains("\nuse = \"roof-ac\""), "{text}");
    holds(
        &text,
        &["class = \"single-phase-general\"", "name = \"assumed inverter\"", "# Assumed: an inverter"],
    );
    let (text, said) = file("other-volts", "roof-ac\n230 V 50 Hz\n6\n");
    holds(&text, &["class = \"hermetic-run-capacitor\"", "rated_load_a = 6 "]);
    assert!(said.contains("roof-ac is for other volts"), "{said}");
    let template = out(&run(&["init"]));
    assert!(template.contains("# Assumed: roof-ac: nothing says what is to be started"), "{template}");
    let output = out(&run(&["init", "--supply", "2000"]));
    holds(&output, &["use = \"roof-ac\"", "continuous_va = 2000"]);
    // who was asked is told the key, who gave flags the flag
    let told = out(&asked(&[], "\n\n8\n50\n"));
    let told = told.split("Cautions").next().unwrap();
    assert!(told.contains("load.rated_voltage_v tells it") && !told.contains("--"), "{told}");
}

#[test]
fn flags_that_cannot_be_say_what_would() {
    for (arguments, said) in [
        (vec!["--load", "roof-ac", "--volts", "230"], "roof-ac is for 115 V"),
        (vec!["--rla", "9", "--breaker", "C16"], "write 16, and the letter as --curve C"),
        (vec!["--load", "motor-4k-400", "--supply", "inverter-3000-230"], "which is single-phase"),
        (vec!["--rla", "9", "--supply", "shore-20-120", "--supply-kind", "shore"], "says its kind itself"),
        (
            vec!["--rla", "9", "--supply-kind", "shore", "--supply", "3 kVA"],
            "an outlet is known by its amperes",
        ),
        (
            vec!["--rla", "9", "--breaker", "16", "--breaker-standard", "ul-489", "--curve", "b"],
            "UL 489 breakers have",
        ),
        (vec!["--rla", "9", "--surge-s", "1"], "it means nothing without --surge"),
        (vec!["--rla", "9", "--starter", "ramp-plan"], "did you mean \"ramp-plain\"?"),
        (vec!["--class", "hermetic-scrol"], "did you mean \"hermetic-scroll\"?"),
        (vec!["--rla", "9", "--supply", "inverter-3000-231"], "did you mean \"inverter-3000-230\"?"),
    ] {
        let supply = if arguments.contains(&"--supply") { vec![] } else { vec!["--supply", "3000"] };
        let output = run(&[vec!["check"], supply, arguments.clone()].concat());
        assert_eq!((output.status.code(), out(&output)), (Some(2), String::new()), "{arguments:?}");
        assert!(err(&output).contains(said), "{arguments:?}: {}", err(&output));
    }
}

/// Every load on every supply of the catalogue: read without a mistake, or refused for a reason that anyone can see.
#[test]
fn every_load_on_every_supply_is_read() {
    let catalogue = Catalogue::built_in();
    let (mut read_well, mut refused) = (0, 0);
    for load in catalogue.shelf(Shelf::Load) {
        for supply in catalogue.shelf(Shelf::Supply) {
            let mut answers = Answers::default();
            answers.set("load", Said::Word(load.id.clone()));
            answers.set("supply", Said::Word(supply.id.clone()));
            if catalogue.number(supply, "continuous_va").is_none() && !supply.id.starts_with("shore") {
                answers.set("supply", Said::Number { value: 5000.0, unit: "VA" });
            }
            let written =
                text(&answers, &catalogue).unwrap_or_else(|m| panic!("{} {}: {m:?}", load.id, supply.id));
            match startmargin::site::read("new.toml", &written.text) {
                Ok(_) => read_well += 1,
                Err(mistakes) => {
                    let single = mistakes.iter().all(|m| m.message.contains("which is single-phase"));
                    assert!(single, "{} on {}: {mistakes:?}\n{}", load.id, supply.id, written.text);
                    refused += 1;
                }
            }
        }
    }
    assert!(read_well > 1000 && refused > 50, "{read_well} {refused}");
}

#[test]
fn numbers_with_units_as_people_type_them() {
    for (typed, units, value, unit) in [
        ("12.5 A", &["A"][..], 12.5, "A"),
        ("12,5", &["A"], 12.5, ""),
        ("3 kVA", &["VA", "W"], 3000.0, "VA"),
        ("3,000 VA", &["VA"], 3000.0, "VA"),
        ("3 000 W", &["VA", "W"], 3000.0, "W"),
        ("2,5 mm\u{b2}", &["mm2"], 2.5, "mm2"),
        ("1/2 HP", &["hp"], 0.5, "hp"),
        ("1 1/2 hp", &["hp"], 1.5, "hp"),
        ("1-1/2hp", &["hp"], 1.5, "hp"),
        ("20 ft.", &["m"], 6.096, "m"),
        ("500 ms", &["s"], 0.5, "s"),
        ("45 \u{b5}F", &["uF"], 45.0, "uF"),
        ("45 MFD", &["uF"], 45.0, "uF"),
        ("95 F", &["C"], 35.0, "C"),
        ("-5", &["C"], -5.0, ""),
    ] {
        assert_eq!(amount(typed, units), Ok((value, unit)), "{typed}");
    }
    for typed in ["", "A", "12 Ah", "12 x", "1/0 A", "1e99999", "..", ",5,5", "\u{b2}", "12 V"] {
        assert!(amount(typed, &["A"]).is_err(), "{typed}: {:?}", amount(typed, &["A"]));
    }
    for typed in ["", " ? ", "Unknown", "don't know", "DONT KNOW.", "don\u{2019}t know", "n/a"] {
        assert!(is_unknown(typed), "{typed}");
    }
    let field = |flag: &str| Field::of(flag).unwrap();
    assert_eq!(read(field("awg"), "#12 AWG"), Ok(Said::Word("12".into())));
    assert_eq!(read(field("pressure"), "Equalized"), Ok(Said::Word("equalised".into())));
    assert_eq!(read(field("phases"), "3~"), Ok(Said::Number { value: 3.0, unit: "" }));
    assert_eq!(read(field("breaker-standard"), "iec60898-1"), Ok(Said::Word("IEC 60898-1".into())));
}
