//! The HTML of the page: valid, whole in itself, and made so that it can be read aloud.

use super::{SITES, dom, page};

const IMAGE_PARTS: [&str; 3] = ["title", "desc", "style"];

/// What a page may not have whatever is written in it.
pub fn sound(what: &str, html: &str) {
    let page = dom::read(html);
    assert_eq!(page.errors, Vec::<String>::new(), "{what}");
    let elements = page.elements();
    let mut ids: Vec<&str> = elements.iter().filter_map(|e| e.attribute("id")).collect();
    for e in &elements {
        for target in e.attribute("aria-labelledby").unwrap_or_default().split_whitespace() {
            assert!(ids.contains(&target), "{what}: {target} labels {} and is not there", e.name());
        }
        for target in references(*e) {
            assert!(ids.contains(&target.as_str()), "{what}: #{target} is not there");
        }
    }
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "{what}: an id stands twice");
    assert!(ids.iter().all(|id| !id.is_empty() && !id.contains(char::is_whitespace)), "{what}");
    headings(what, &page);
    for table in page.all("table") {
        let head = table.all("thead");
        assert_eq!(head.len(), 1, "{what}: a table without a head");
        let cells = head[0].all("th");
        assert!(!cells.is_empty() && cells.iter().all(|c| c.attribute("scope") == Some("col")), "{what}");
        assert!(cells.iter().all(|c| !c.text().is_empty()), "{what}: a column without a name");
        assert!(head[0].all("td").is_empty(), "{what}");
        for row in table.rows() {
            assert_eq!(row.len(), cells.len(), "{what}: a row of another length");
            let heads: Vec<_> = row.iter().filter(|c| c.name() == "th").collect();
            assert_eq!(heads.len(), 1, "{what}: a row without a head");
            assert_eq!(heads[0].attribute("scope"), Some("row"), "{what}");
        }
    }
    for svg in page.all("svg") {
        let parts = svg.below();
        assert_eq!((parts[0].name(), parts[1].name()), ("title", "desc"), "{what}");
        assert!(!parts[0].text().is_empty() && !parts[1].text().is_empty(), "{what}");
        let named = svg.attribute("aria-labelledby").unwrap();
        let own = format!("{} {}", parts[0].attribute("id").unwrap(), parts[1].attribute("id").unwrap());
        assert_eq!((named, svg.attribute("role")), (own.as_str(), Some("img")), "{what}");
        assert!(parts[2..].iter().all(|p| !IMAGE_PARTS.contains(&p.name())), "{what}");
    }
    let root = page.all("html")[0];
    assert_eq!(root.attribute("lang"), Some("en"), "{what}");
    assert_eq!(page.all("main").len(), 1, "{what}");
    assert_eq!(page.all("article").len(), 3, "{what}");
    assert_eq!(elements.iter().filter(|e| e.attribute("charset") == Some("utf-8")).count(), 1, "{what}");
    whole(what, html, &page);
}

/// What an element refers to within the page.
fn references(e: dom::Element<'_>) -> Vec<String> {
    let mut list = Vec::new();
    for (name, value) in e.attributes() {
        if name.ends_with("href") {
            list.push(value.trim_start_matches('#').to_owned());
        }
        let mut rest = value.as_str();
        while let Some(at) = rest.find("url(#") {
            let target = &rest[at + 5..];
            list.push(target[..target.find(')').unwrap()].to_owned());
            rest = target;
        }
    }
    list
}

fn headings(what: &str, page: &dom::Page) {
    let mut before = 0;
    let mut ones = 0;
    for e in page.elements() {
        let Some(level) = e.name().strip_prefix('h').and_then(|n| n.parse::<u32>().ok()) else { continue };
        assert!(level <= before + 1, "{what}: h{level} after h{before}: {}", e.text());
        assert!(!e.text().is_empty(), "{what}: an empty h{level}");
        ones += u32::from(level == 1);
        before = level;
    }
    assert_eq!(ones, 1, "{what}: headings of the first level");
}

/// Nothing is fetched, nothing runs: whatever an element or an attribute could fetch or run with is not there.
fn whole(what: &str, html: &str, page: &dom::Page) {
    const HARMLESS: [&str; 52] = [
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "main",
        "article",
        "header",
        "section",
        "p",
        "h1",
        "h2",
        "h3",
        "h4",
        "bdi",
        "dl",
        "dt",
        "dd",
        "div",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
        "span",
        "strong",
        "figure",
        "figcaption",
        "ul",
        "li",
        "svg",
        "desc",
        "g",
        "path",
        "rect",
        "line",
        "circle",
        "ellipse",
        "polyline",
        "polygon",
        "text",
        "tspan",
        "defs",
        "clipPath",
        "pattern",
        "mask",
        "marker",
        "use",
        "symbol",
        "br",
    ];
    for e in page.elements() {
        assert!(HARMLESS.contains(&e.name()), "{what}: <{}>", e.name());
        for (name, value) in e.attributes() {
            assert!(!name.starts_with("on"), "{what}: {name}");
            assert!(!["src", "srcset", "action", "data", "style"].contains(&name.as_str()), "{what}: {name}");
            assert!(!name.ends_with("href") || value.starts_with('#'), "{what}: {name}={value}");
            assert!(!value.contains("//") && !value.contains("javascript:"), "{what}: {name}={value}");
            assert!(!value.contains("url(") || value.starts_with("url(#"), "{what}: {name}={value}");
        }
    }
    assert!(page.all("meta").iter().all(|m| m.attribute("http-equiv").is_none()), "{what}");
    let styles = page.all("style");
    assert_eq!(styles.len(), 1, "{what}");
    let style = styles[0].raw();
    for word in ["url(", "@import", "@font-face", "http", "//", "expression"] {
        assert!(!style.contains(word), "{what}: {word} in the style sheet");
    }
    for word in ["<script", "<link", "<iframe", "<img", "<object", "<base"] {
        assert!(!html.to_lowercase().contains(word), "{what}: {word}");
    }
}

#[test]
fn every_page_is_valid_html_and_whole_in_itself() {
    for (place, site) in SITES.iter().enumerate() {
        let html = page(place);
        sound(site, html);
        // of these pages no text has an address either
        for word in ["http:", "https:", "//", "url(", "@import", "xmlns"] {
            let found = html.match_indices(word).find(|(at, _)| !html[..*at].ends_with("clip-path=\""));
            assert!(found.is_none_or(|(at, _)| html[at..].starts_with("url(#")), "{site}: {word}");
        }
    }
}

/// The checks above can fail.
#[test]
fn analytic_an_unsound_page_is_refused() {
    let html = page(7);
    let spoilt = [
        ("<html lang=\"en\">", "<html>"),
        ("<h3 id=\"cautions\">", "<h5 id=\"cautions\">"),
        ("id=\"figures\"", "id=\"plots\""),
        ("aria-labelledby=\"figures\"", "aria-labelledby=\"figure\""),
        ("<th scope=\"col\">Way</th>", "<th>Way</th>"),
        ("<p class=\"answer\">", "<p class=\"answer\" onclick=\"x\">"),
        ("</main>", "<a href=\"http://example.invalid\">x</a></main>"),
        ("body{margin:0}", "body{margin:0;background:url(x.png)}"),
    ];
    for (from, to) in spoilt {
        assert!(html.contains(from), "{from}");
        let mut bad = html.replacen(from, to, 1);
        if to.starts_with("<h5") {
            bad = bad.replacen("Cautions</h3>", "Cautions</h5>", 1);
        }
        let refused = std::panic::catch_unwind(|| sound("spoilt", &bad)).is_err();
        assert!(refused, "{to} passes");
    }
}
