//! Contrast of texts by the style sheets (WCAG 2.2, 1.4.3: 4.5 to 1 for text of usual size).

use startmargin::report::plot;

const STYLE: &str = include_str!("../../src/report/page/style.css");
const LEAST: f64 = 4.5;

/// A colour as red, green and blue from 0 to 1.
fn colour(hex: &str) -> [f64; 3] {
    let hex = hex.trim_start_matches('#');
    let digits: String =
        if hex.len() == 3 { hex.chars().flat_map(|c| [c, c]).collect() } else { hex.to_owned() };
    assert_eq!(digits.len(), 6, "{hex}");
    [0, 2, 4].map(|i| f64::from(u8::from_str_radix(&digits[i..i + 2], 16).unwrap()) / 255.0)
}

/// Relative luminance (WCAG 2.2).
fn luminance(rgb: [f64; 3]) -> f64 {
    let [r, g, b] = rgb.map(|c| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// What a printer without colours makes of one (luma of ITU-R BT.601).
fn grey(rgb: [f64; 3]) -> [f64; 3] {
    [0.299 * rgb[0] + 0.587 * rgb[1] + 0.114 * rgb[2]; 3]
}

/// Colours by their names.
type Colours = Vec<(String, [f64; 3])>;

/// The sets of colours that a style sheet names, each with the words before it: light, dark, print.
fn sets(style: &str) -> Vec<(String, Colours)> {
    let mut list = Vec::new();
    let mut rest = style;
    while let Some(at) = rest.find("{--paper:") {
        let before = rest[..at].rsplit('\n').next().unwrap().to_owned();
        let body = &rest[at + 1..];
        let body = &body[..body.find('}').unwrap()];
        let named = body.split(';').filter_map(|line| line.strip_prefix("--")).map(|line| {
            let (name, hex) = line.split_once(':').unwrap();
            (name.to_owned(), colour(hex))
        });
        list.push((before, named.collect()));
        rest = &rest[at + 9..];
    }
    list
}

/// The names of the colours that texts are set in.
fn text_colours(style: &str, property: &str) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for rule in style.split('}') {
        let Some((selector, body)) = rule.rsplit_once('{') else { continue };
        let of_text = property == "color" || selector.contains("text") || selector.contains("tick");
        for line in body.split(';').filter(|_| of_text) {
            let Some(value) = line.trim().strip_prefix(property).and_then(|l| l.strip_prefix(':')) else {
                continue;
            };
            let name = value.strip_prefix("var(--").and_then(|v| v.strip_suffix(')')).unwrap_or_else(|| {
                panic!("{selector}: {value} is no named colour");
            });
            if !names.iter().any(|n| n == name) {
                names.push(name.to_owned());
            }
        }
    }
    names
}

#[test]
fn texts_stand_out_from_what_is_behind_them() {
    let mut looked_at = 0;
    for (style, property, wanted) in
        [(STYLE, "color", vec!["ink", "soft", "mark"]), (plot::STYLE, "fill", vec!["ink", "soft"])]
    {
        let mut names = text_colours(style, property);
        names.sort();
        let mut wanted: Vec<String> = wanted.into_iter().map(str::to_owned).collect();
        wanted.sort();
        assert_eq!(names, wanted, "{property}");
        let sets = sets(style);
        assert_eq!(sets.len(), 3, "light, dark, print");
        for (what, set) in &sets {
            let named = |name: &str| {
                set.iter().find(|(n, _)| n == name).unwrap_or_else(|| panic!("{what}: {name}")).1
            };
            for name in &names {
                for behind in ["paper", "wash"] {
                    let found = contrast(named(name), named(behind));
                    assert!(found >= LEAST, "{what}: {name} on {behind}: {found:.2}");
                    let grey = contrast(grey(named(name)), grey(named(behind)));
                    assert!(grey >= LEAST, "{what}: {name} on {behind} in grey: {grey:.2}");
                    looked_at += 1;
                }
            }
            let dark = what.contains("dark");
            assert_eq!(luminance(named("paper")) < 0.2, dark, "{what}");
        }
    }
    assert_eq!(looked_at, 3 * 2 * 3 + 3 * 2 * 2);
}

/// Page and plots have the same paper and inks, or a plot would stand in a box of its own.
#[test]
fn page_and_plots_share_their_colours() {
    for ((what, page), (_, plot)) in sets(STYLE).iter().zip(&sets(plot::STYLE)) {
        for name in ["paper", "ink", "soft", "mark"] {
            let of = |set: &[(String, [f64; 3])]| set.iter().find(|(n, _)| n == name).map(|(_, c)| *c);
            assert_eq!(of(page), of(plot), "{what}: {name}");
        }
    }
}

#[test]
fn published_contrast_of_black_white_and_a_grey() {
    assert!((contrast(colour("#000"), colour("#fff")) - 21.0).abs() < 1e-9);
    // the lightest grey that reaches 4.5 to 1 on white is #767676 (WCAG 2.2, understanding 1.4.3)
    assert!(contrast(colour("#767676"), colour("#fff")) >= LEAST);
    assert!(contrast(colour("#777777"), colour("#fff")) < LEAST);
}
