//! Sites at the ends of what there is, and those of the documents.

use startmargin::report::plot::{Picture, Plot};

use super::{read, sound, subject};

fn file(path: &str) -> String {
    std::fs::read_to_string(format!("{}/{path}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn drawn(what: &str, text: &str, load: usize, reduction: Option<f64>) -> Vec<Picture> {
    sound(what, &subject(&read(text), load, reduction))
}

fn words(pictures: &[Picture]) -> Vec<&'static str> {
    pictures.iter().map(|p| p.plot.word()).collect()
}

const ALL: [&str; 6] = ["trip", "start", "current", "torque", "margins", "reduction"];

#[test]
fn the_examples_have_all_plots() {
    for name in ["boat-230", "cabin-well-pump", "camper-120", "demonstration", "workshop-400"] {
        for reduction in [None, Some(0.3)] {
            let pictures = drawn(name, &file(&format!("docs/examples/{name}.toml")), 0, reduction);
            // the well pump has a start switch: no soft starter is one for it, whatever the reduction
            let shown = if name == "cabin-well-pump" { &ALL[..5] } else { &ALL };
            assert_eq!(words(&pictures), shown, "{name}");
            assert!(pictures[0].limiting.is_some(), "{name}");
        }
    }
}

#[test]
fn figures_solved_apart_are_drawn_soundly() {
    for name in [
        "stalls",
        "hangs",
        "too-slow",
        "no-settled-state",
        "maker-points",
        "unequal-pressure",
        "running-both",
        "split-phase",
        "capacitor-start",
        "iec-c-10-trips",
        "iec-d-16",
        "three-phase-400v-fan",
    ] {
        let text = file(&format!("tests/data/compare/{name}.toml"));
        for reduction in [None, Some(0.25)] {
            drawn(name, &text, 0, reduction);
        }
    }
}

/// What does not turn has no torque, and nothing to be started gently.
#[test]
fn loads_without_a_rotor_have_fewer() {
    let text = file("tests/site/kitchen.toml");
    let site = read(&text);
    for load in 0..site.loads.len() {
        if site.loads[load].figures.inrush.is_none() {
            continue;
        }
        let pictures = drawn(&site.loads[load].figures.name, &text, load, None);
        let words = words(&pictures);
        assert!(!words.contains(&"torque") && !words.contains(&"reduction"), "{words:?}");
        assert!(
            words.contains(&"trip") && words.contains(&"start") && words.contains(&"margins"),
            "{words:?}"
        );
    }
}

/// A load by its nameplate on a shore supply, with any figures.
fn plate(rules: &str, supply: &str, breaker: &str, load: &str) -> String {
    format!(
        "standards = \"{rules}\"\n[[supply]]\nname = \"grid\"\nkind = \"shore\"\n{supply}\n[circuit]\n\
         breaker = {{ {breaker} }}\nconductor = {{ length_m = 8, area_mm2 = 2.5 }}\n[[load]]\nname = \"motor\"\n{load}\n"
    )
}

const IEC_C: &str = "standard = \"IEC 60898-1\", curve = \"C\", rating_a";

#[test]
fn a_tiny_fan_and_a_large_motor() {
    let fan = plate(
        "iec",
        "voltage_v = 230\nfrequency_hz = 50",
        &format!("{IEC_C} = 16"),
        "class = \"hermetic-run-capacitor\"\nrated_load_a = 0.3\nlocked_rotor_a = 1.1",
    );
    assert_eq!(words(&drawn("fan", &fan, 0, Some(0.2))), ALL);
    let large = plate(
        "iec",
        "voltage_v = 400\nfrequency_hz = 50\nphases = 3\noutput_ohm = 0.01",
        &format!("{IEC_C} = 125"),
        "class = \"three-phase-general\"\nrated_load_a = 134\nlocked_rotor_a = 940\ninertia_s = 4",
    )
    .replace("area_mm2 = 2.5", "area_mm2 = 50");
    assert_eq!(words(&drawn("75 kW", &large, 0, Some(0.4))), ALL);
}

/// Without breaker and surge ratings there is no plane; without a motor nothing to run.
#[test]
fn what_has_no_subject_is_not_drawn() {
    let text = "[[supply]]\nname = \"grid\"\nkind = \"shore\"\nvoltage_v = 230\nfrequency_hz = 50\n[[load]]\nname = \"unit\"\n\
                class = \"hermetic-run-capacitor\"\nrated_load_a = 5\nlocked_rotor_a = 28\n";
    let with = format!("standards = \"iec\"\n{text}");
    assert_eq!(words(&drawn("no limits", &with, 0, None)), ALL[1..]);
    let mut subject = subject(&read(&with), 0, None);
    subject.direct.case.load.motor = None;
    subject.direct.start = startmargin::advise::judge(&subject.direct.case);
    for plot in [Plot::TimeCurrent, Plot::Start, Plot::Current, Plot::Torque, Plot::Reduction] {
        assert!(plot.draw(&subject).is_none(), "{plot:?}");
    }
}

/// Names with markup, of any length and direction.
#[test]
fn names_are_only_names() {
    let text = file("docs/examples/camper-120.toml");
    let long = "a roof unit with a name that goes on and on and tells where it was bought, when, and by whom";
    for name in [
        "</title><script>alert(1)</script>",
        "R&D \\\"unit\\\" 'x' @-frame-0 url(#@)",
        long,
        "\u{5de}\u{5d6}\u{5d2}\u{5df} \u{2067}abc",
        "\u{51b7}\u{5374}\u{6a5f}\u{51b7}\u{5374}\u{6a5f}\u{51b7}\u{5374}\u{6a5f}\u{51b7}\u{5374}\u{6a5f}\u{51b7}\u{5374}\u{6a5f}",
    ] {
        let text = text.replace("name = \"roof unit\"", &format!("name = \"{name}\""));
        let mut subject = subject(&read(&text), 0, Some(0.3));
        subject.reduced.as_mut().unwrap().label = name.replace('\\', "");
        let pictures = sound(name, &subject);
        for picture in &pictures {
            let inline = picture.inline();
            assert!(!inline.contains("<script"), "{name}");
            assert!(inline.contains("<title id="), "{name}");
            if name == long {
                assert!(inline.contains('\u{2026}'), "not shortened");
            }
            if name.contains('@') {
                assert!(inline.contains("@-frame-0 url(#@)"), "{name}: ids were put into it");
            }
        }
    }
}
