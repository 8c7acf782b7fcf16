//! The style sheet can be read, in colour and in grey; the width of a text is on the safe side.

use startmargin::report::plot::{Anchor, Role, STYLE, Spot, text_bounds};

/// Relative luminance of a colour (WCAG 2.2).
fn luminance(hex: &str) -> f64 {
    let wide: String = if hex.len() == 3 { hex.chars().flat_map(|c| [c, c]).collect() } else { hex.into() };
    let part = |i: usize| {
        let c = f64::from(u8::from_str_radix(&wide[2 * i..2 * i + 2], 16).unwrap()) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * part(0) + 0.7152 * part(1) + 0.0722 * part(2)
}

fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn texts_stand_out_by_four_and_a_half() {
    // light, dark, print: each gives all colours anew
    let schemes: Vec<&str> = STYLE.split("--paper:").skip(1).collect();
    assert_eq!(schemes.len(), 3);
    for scheme in schemes {
        let scheme = format!("--paper:{scheme}");
        let of = |name: &str| {
            let after = scheme.split(&format!("--{name}:#")).nth(1).unwrap();
            after.split(|c: char| !c.is_ascii_hexdigit()).next().unwrap().to_owned()
        };
        for text in ["ink", "soft", "mark"] {
            for ground in ["paper", "wash"] {
                let found = contrast(&of(text), &of(ground));
                assert!(found >= 4.5, "{text} on {ground}: {found}");
            }
        }
        // hatching is seen, and does not drown what is written over it
        assert!((1.4..4.0).contains(&contrast(&of("hatch"), &of("paper"))), "hatch");
    }
}

/// Roles differ by more than colour: no two lines have the same width and dashes.
#[test]
fn lines_of_roles_are_told_apart_in_grey() {
    let mut seen: Vec<(String, String)> = Vec::new();
    for role in Role::ALL {
        let rule = STYLE.split(&format!(".plot .line.{}{{", role.word())).nth(1);
        let rule = rule.unwrap_or_else(|| panic!("{role:?} has no line")).split('}').next().unwrap();
        let of = |key: &str| {
            let value = rule.split(';').find_map(|p| p.strip_prefix(&format!("{key}:")));
            value.unwrap_or("").to_owned()
        };
        let line = (of("stroke-width"), of("stroke-dasharray"));
        assert!(!seen.contains(&line), "{role:?}: {line:?}");
        seen.push(line);
    }
}

/// Widths in ems that a browser measures (`getComputedTextLength`) of one of the widest sans-serif faces, regular and bold.
const MEASURED: [(&str, f64, f64); 8] = [
    ("breaker: must come down by 29 %", 17.47, 19.49),
    ("inverter: surge 45 A for up to 1 s", 16.37, 18.57),
    ("20 A breaker must trip beyond", 15.33, 17.30),
    ("motor, straight after stopping", 14.85, 16.88),
    ("held to 62 %", 6.34, 7.05),
    ("promised to hold", 8.46, 9.59),
    ("illicit, filtered!", 6.92, 8.10),
    ("\u{dc}berstromschutz", 8.54, 9.67),
];

/// A box is as wide as its text in a wide face, and not so much wider that labels are kept apart for nothing.
#[test]
fn boxes_are_as_wide_as_their_texts() {
    for (text, regular, bold) in MEASURED {
        for (wide, measured) in [(false, regular), (true, bold)] {
            let spot = Spot { x: 0.0, y: 0.0, anchor: Anchor::Start };
            let bounds = text_bounds(text, 12.0, wide, spot);
            let over = (bounds.right - bounds.left) / 12.0 / measured;
            assert!((1.0..1.2).contains(&over), "{text}, {wide}: {over} times what is measured");
        }
    }
}
