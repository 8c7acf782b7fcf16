//! A reader of XML that knows as much as is needed to say that it is some.

use startmargin::report::plot::Picture;

/// Tags balanced, attributes quoted and named once, nothing but known entities, one root.
pub fn well_formed(what: &str, text: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut roots = 0;
    let text = text.strip_prefix("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n").unwrap_or(text);
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        let (before, tag) = rest.split_at(at);
        characters(what, before);
        assert!(!open.is_empty() || before.trim().is_empty(), "{what}: text outside of the root: {before}");
        let end = tag.find('>').unwrap_or_else(|| panic!("{what}: {tag} has no end"));
        let inner = &tag[1..end];
        rest = &tag[end + 1..];
        if let Some(name) = inner.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name), "{what}: </{name}>");
            continue;
        }
        let inner = inner.strip_suffix('/').map_or((inner, false), |i| (i, true));
        let (name, attributes) = inner.0.split_once(' ').unwrap_or((inner.0, ""));
        assert!(
            !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric()),
            "{what}: <{name}> is no tag"
        );
        self::attributes(what, attributes);
        roots += u32::from(open.is_empty());
        if !inner.1 {
            open.push(name);
        }
    }
    assert!(open.is_empty() && roots == 1 && rest.trim().is_empty(), "{what}: {open:?} left, {roots} roots");
}

fn attributes(what: &str, text: &str) {
    let mut names: Vec<&str> = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let (name, after) =
            rest.split_once("=\"").unwrap_or_else(|| panic!("{what}: {rest} is no attribute"));
        let (value, after) = after.split_once('"').unwrap_or_else(|| panic!("{what}: {after} is not closed"));
        let named = !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
        assert!(named && !names.contains(&name), "{what}: {name}, {names:?}");
        characters(what, value);
        names.push(name);
        rest = after.trim_start();
    }
}

fn characters(what: &str, text: &str) {
    for (at, _) in text.match_indices('&') {
        let known = ["&amp;", "&lt;", "&gt;", "&quot;", "&#39;"];
        assert!(known.iter().any(|k| text[at..].starts_with(k)), "{what}: {}", &text[at..]);
    }
    assert!(!text.chars().any(|c| c.is_control() && c != '\n'), "{what}: {text:?}");
}

#[test]
#[should_panic(expected = "</b>")]
fn the_reader_sees_what_is_not_closed() {
    well_formed("test", "<a><b></b></b>");
}

#[test]
#[should_panic(expected = "& co")]
fn the_reader_sees_what_is_not_escaped() {
    well_formed("test", "<a>b & co</a>");
}

/// Ids begin with the plot's word, are there once, and what is referred to is there.
pub fn ids(what: &str, picture: &Picture) {
    let text = picture.inline();
    let all = |before: &str, after: char| -> Vec<String> {
        text.match_indices(before)
            .map(|(at, _)| text[at + before.len()..].split(after).next().unwrap().to_owned())
            .collect()
    };
    let ids = all(" id=\"", '"');
    let word = format!("{}-", picture.plot.word());
    for (i, id) in ids.iter().enumerate() {
        assert!(id.starts_with(&word) && !ids[..i].contains(id), "{what}: {id}");
    }
    let labelled = all("aria-labelledby=\"", '"').join(" ");
    for used in all("=\"url(#", ')').iter().map(String::as_str).chain(labelled.split(' ')) {
        assert!(ids.iter().any(|id| id == used), "{what}: {used} is nowhere");
    }
    assert!(text.starts_with("<svg ") && text.contains("role=\"img\"") && !text.contains("style="), "{what}");
}
