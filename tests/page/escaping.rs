//! Whatever is written in a site file's names is text on the page, letter by letter.

use super::shape::sound;
use super::{dom, err, folder, out, run};

const MARKUP: &str = "<script>alert(\"1\")</script> & </style></title><!-- ' <b onclick=\"x\">&amp;&#60;";
const RIGHT_TO_LEFT: &str = "\u{5de}\u{5d6}\u{5d2}\u{5df} \u{5d2}\u{5d2} (12)";
const EMOJI: &str = "fan \u{1f32c}\u{fe0f} \u{1f469}\u{200d}\u{1f527}";

/// A page of the kettle's site with one text in every place a text can stand.
fn with(name: &str, text: &str) -> String {
    let said = serde_json::to_string(text).unwrap();
    // other names for the second load and supply: names may not stand twice
    let second = serde_json::to_string(&format!("{text} 2")).unwrap();
    let site = format!(
        r#"title = {said}
standards = "iec"

[report]
business = {said}
contact = {said}
customer = {said}
place = {said}
job = {said}

[prices]
currency = {said}

[[prices.item]]
what = "supply"
name = {said}
parts = 10

[[supply]]
name = {said}
use = "inverter-2000-230"
output_ohm = {{ value = 0.5, low = 0.4, high = 0.6, origin = "measured", source = {said} }}

[[supply]]
name = {second}
use = "inverter-3000-230"

[circuit]
breaker = {{ standard = "IEC 60898-1", curve = "B", rating_a = 16 }}

[[running]]
name = {said}
va = 100

[[load]]
name = {said}
use = "kettle-230"
power_w = 2400

[[load]]
name = {second}
use = "kettle-230"
"#
    );
    let folder = folder(name);
    let file = folder.join("site.toml");
    std::fs::write(&file, site).unwrap();
    let output = run(&["report", file.to_str().unwrap(), "--date", "open"]);
    let _ = std::fs::remove_dir_all(&folder);
    assert!(matches!(output.status.code(), Some(0 | 1)), "{}", err(&output));
    out(&output)
}

fn holds(what: &str, text: &str) {
    let html = with(what, text);
    sound(what, &html);
    let page = dom::read(&html);
    assert_eq!(page.all("title")[0].raw(), text, "{what}");
    assert_eq!(page.all("h1")[0].raw(), text, "{what}");
    let fields = page.sheet("customer").classed("fields")[0];
    let own = fields.all("dd").iter().filter(|d| d.raw() == text).count();
    assert_eq!(own, 5, "{what}: business, contact, customer, place, job");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for sheet in ["customer", "engineer", "fitter"] {
        assert!(plain(&page.sheet(sheet).text()).contains(&flat), "{what}: {sheet}");
    }
    let plots = page.all("svg");
    assert!(!plots.is_empty());
    for plot in plots {
        assert!(plain(&plot.below()[0].text()).contains(&flat), "{what}: {}", plot.below()[0].text());
    }
    let figures = page.sheet("engineer").classed("figures")[0].rows();
    assert!(figures.iter().any(|r| r[6].text().contains(&flat)), "{what}: the source of a figure");
}

/// Without what keeps a name's direction to itself.
fn plain(text: &str) -> String {
    text.replace(['\u{2068}', '\u{2069}'], "")
}

#[test]
fn markup_in_names_is_text() {
    holds("markup", MARKUP);
}

#[test]
fn names_in_other_scripts_are_kept() {
    holds("right-to-left", RIGHT_TO_LEFT);
    holds("emoji", EMOJI);
}

/// A name that reads from right to left does not turn the sentence it stands in.
#[test]
fn a_name_from_right_to_left_is_kept_apart_in_a_sentence() {
    let page = dom::read(&with("apart", RIGHT_TO_LEFT));
    let answer = page.sheet("customer").classed("answer")[0].raw();
    let apart = format!("\u{2068}{RIGHT_TO_LEFT}");
    assert!(answer.contains(RIGHT_TO_LEFT));
    assert_eq!(answer.matches('\u{2068}').count(), answer.matches('\u{2069}').count(), "{answer}");
    assert_eq!(answer.matches(RIGHT_TO_LEFT).count(), answer.matches(&apart).count(), "{answer}");
    let plain = dom::read(&with("left-to-right", "kettle"));
    assert!(!plain.sheet("customer").classed("answer")[0].raw().contains('\u{2068}'));
}

#[test]
fn a_very_long_title_stands_whole() {
    holds("long", "very long title ".repeat(125).trim_end());
    holds("without-a-space", &"x".repeat(2000));
}
