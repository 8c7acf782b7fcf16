//! The style sheet can be read, in colour and in grey; the width of a text is on the safe side.

use startmargin::report::plot::{Role, STYLE, width_em};

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
