//! What the page says is what `check` and `compare` say to programs.

use serde_json::Value;
use startmargin::checks::say::{number, seconds};

use super::{dom, for_every_site, json, page};

fn amount(value: &Value, unit: &str) -> String {
    match value.as_f64() {
        None => "-".into(),
        Some(s) if unit == "s" => seconds(s),
        Some(x) => format!("{} {unit}", number(x)),
    }
}

fn margin(check: &Value) -> String {
    if check["unbounded"] == true {
        return "free".into();
    }
    match check["margin"].as_f64() {
        None => "-".into(),
        Some(m) if (100.0 * m).abs() >= 1000.0 => ">+999 %".into(),
        Some(m) => format!("{:+.0} %", 100.0 * m),
    }
}

fn texts(cells: &[dom::Element<'_>]) -> Vec<String> {
    cells.iter().map(|c| c.text()).collect()
}

/// The starts of the first load on the first supply, in the order of the file.
fn starts(checked: &Value) -> Vec<&Value> {
    let all = checked["starts"].as_array().unwrap();
    let here = |s: &&Value| s["load"] == all[0]["load"] && s["supply"] == all[0]["supply"];
    all.iter().filter(here).collect()
}

#[test]
fn the_engineers_table_has_the_findings_of_check() {
    for_every_site(|place, site| {
        let checked = json(&["check", site, "--format", "json"]);
        let page = dom::read(page(place));
        let sheet = page.sheet("engineer");
        let tables = sheet.classed("findings");
        let verdicts: Vec<String> = sheet.all("strong").iter().map(|e| e.text()).collect();
        let starts = starts(&checked);
        assert_eq!((tables.len(), verdicts.len()), (starts.len(), starts.len()), "{site}");
        for ((start, table), verdict) in starts.iter().zip(&tables).zip(&verdicts) {
            let (rows, checks) = (table.rows(), start["checks"].as_array().unwrap());
            assert!(!checks.is_empty());
            assert_eq!(rows.len(), checks.len(), "{site}");
            for (row, check) in rows.iter().zip(checks) {
                let unit = check["unit"].as_str().unwrap();
                let wanted = [
                    check["status"].as_str().unwrap().to_owned(),
                    margin(check),
                    amount(&check["demand"], unit),
                    amount(&check["limit"], unit),
                ];
                assert_eq!(texts(&row[1..5]), wanted, "{site}: {}", check["id"]);
                // the words of what decides and its rule
                let why = check["why"].as_str().unwrap().split("; ").next().unwrap();
                let said = row[5].text();
                let why = why.split_whitespace().collect::<Vec<_>>().join(" ");
                assert!(said.starts_with(&why), "{site}: {said}\n{why}");
                let rule = check["rule"].as_str().unwrap();
                assert!(rule.is_empty() || said.ends_with(&format!("Rule: {rule}.")), "{site}: {said}");
            }
            let wanted = match (start["verdict"].as_str().unwrap(), start["leaning"].as_str().unwrap()) {
                ("uncertain", "starts") => "uncertain; by the figures' values it starts",
                ("uncertain", "fails") => "uncertain; by the figures' values it fails",
                (verdict, _) => verdict,
            };
            assert_eq!(verdict, wanted, "{site}");
        }
        // each other start of the file by its names and its verdict
        let others = checked["starts"].as_array().unwrap().len() - starts.len();
        let listed =
            sheet.all("section").into_iter().find(|s| s.attribute("aria-labelledby") == Some("others"));
        assert_eq!(listed.map_or(0, |s| s.all("table")[0].rows().len()), others, "{site}");
    });
}

#[test]
fn the_engineers_figures_are_those_of_check() {
    for_every_site(|place, site| {
        let checked = json(&["check", site, "--format", "json"]);
        let page = dom::read(page(place));
        let table = page.sheet("engineer").classed("figures")[0];
        let other = |of: &str, room: &str| {
            of.strip_prefix(room).is_some_and(|rest| rest.starts_with('[') && !rest.starts_with("[0]"))
        };
        let figures = checked["figures"].as_array().unwrap().iter().filter(|f| {
            let of = f["of"].as_str().unwrap();
            !other(of, "load") && !other(of, "supply")
        });
        let word =
            |f: &Value, key: &str| f[key].as_str().unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
        let wanted: Vec<Vec<String>> = figures
            .map(|f| {
                let (low, high) = (f["low"].as_f64(), f["high"].as_f64());
                let range = match (low, high) {
                    (Some(low), Some(high)) if low < high => format!("{} to {}", number(low), number(high)),
                    _ => String::new(),
                };
                let note = word(f, "note");
                // what the range's own column says
                let note = note.strip_suffix("taken over its range").unwrap_or(&note);
                vec![
                    word(f, "of"),
                    word(f, "name"),
                    f["value"].as_f64().map_or("inf".into(), number),
                    range,
                    word(f, "unit"),
                    word(f, "origin"),
                    note.trim_end_matches("; ").to_owned(),
                ]
            })
            .collect();
        let rows: Vec<Vec<String>> = table.rows().iter().map(|r| texts(r)).collect();
        assert!(wanted.len() > 5, "{site}");
        assert_eq!(rows, wanted, "{site}");
    });
}

/// What the customer reads of a start.
fn word(start: &Value) -> &'static str {
    match (start["verdict"].as_str().unwrap(), start["leaning"].as_str().unwrap()) {
        ("starts", _) => "yes, for certain",
        ("uncertain", "starts") => "probably;",
        ("uncertain", "fails") => "probably not;",
        ("uncertain", _) => "open;",
        _ => "no",
    }
}

#[test]
fn the_customers_ways_are_those_of_compare() {
    for_every_site(|place, site| {
        let compared = json(&["compare", site, "--format", "json"]);
        let page = dom::read(page(place));
        let sheet = page.sheet("customer");
        let table = sheet.classed("ways")[0];
        let (rows, ways) = (table.rows(), compared["ways"].as_array().unwrap());
        assert_eq!(rows.len(), ways.len(), "{site}");
        let priced = compared["currency"].is_string();
        let restarts = ways.iter().any(|w| w["starts"][1]["verdict"] == "starts");
        for (row, way) in rows.iter().zip(ways) {
            let name = row[0].all("bdi")[0].text();
            // what a way puts in place is named in both
            if let Some((_, what)) = way["name"].as_str().unwrap().split_once(": ") {
                let what = what.split_whitespace().collect::<Vec<_>>().join(" ");
                let own =
                    ["smaller-unit", "delay", "shore", "generator"].contains(&way["way"].as_str().unwrap());
                // a class of the catalogue is told by what it is
                let class = way["starter"].as_str().is_some_and(|s| !s.contains('%'));
                assert!(own || class || name.contains(&what), "{site}: {name} is not {what}");
            }
            let picked = row[0].classed("tag").len() == 1;
            assert_eq!(picked, way["way"] == compared["pick"], "{site}: {name}");
            let starts = way["starts"].as_array().unwrap();
            let cell = row[1].text();
            let low = cell.to_lowercase();
            if restarts && starts.len() == 2 {
                let (rested, restart) = low.split_once(" straight after stopping: ").unwrap();
                let rested = rested.strip_prefix("after a rest: ").unwrap();
                assert!(rested.starts_with(word(&starts[0])), "{site}: {cell}");
                assert!(restart.starts_with(word(&starts[1])), "{site}: {cell}");
            } else {
                assert!(low.starts_with(word(&starts[0])), "{site}: {cell}");
            }
            assert_eq!(row.len(), 4 + usize::from(priced), "{site}");
            let nothing_bought = ["as-it-is", "straight"].contains(&way["way"].as_str().unwrap());
            let price = match (way["parts"].as_f64(), way["labour"].as_f64()) {
                (Some(parts), Some(labour)) if priced && !nothing_bought => {
                    format!("{:.0} {}", parts + labour, compared["currency"].as_str().unwrap())
                }
                _ => String::new(),
            };
            assert!(!priced || row[4].text() == price, "{site}: {} is not {price}", row[4].text());
            if picked && !price.is_empty() {
                let answer = sheet.classed("answer")[0].text();
                assert!(answer.contains(&price), "{site}: {answer}");
            }
        }
        // the engineer reads the answer of compare word for word, and why a way is none
        let engineer = page.sheet("engineer");
        let text = engineer.text();
        let flat = |v: &Value| v.as_str().unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(&flat(&compared["answer"])), "{site}");
        for not in compared["not"].as_array().unwrap() {
            assert!(text.contains(&flat(&not["why"])), "{site}: {}", not["why"]);
        }
    });
}

/// The answer in a sentence does not say more than the verdicts do.
#[test]
fn the_customers_answer_is_the_verdict() {
    for_every_site(|place, site| {
        let compared = json(&["compare", site, "--format", "json"]);
        let page = dom::read(page(place));
        let answer = page.sheet("customer").classed("answer")[0].text();
        let starts = compared["ways"][0]["starts"].as_array().unwrap();
        let wanted = match starts[0]["verdict"].as_str().unwrap() {
            "fails" => " will not start on ",
            "uncertain" => "it is not certain that ",
            _ => " starts on ",
        };
        assert!(answer.starts_with("As planned, ") && answer.contains(wanted), "{site}: {answer}");
        let certain = compared["pick"].is_string();
        let will = [" it will.", " it will,", " it will ("].iter().any(|w| answer.contains(w));
        assert_eq!(will, certain, "{site}: {answer}");
        // for a start after a rest only, where that is so, and with what was not looked at
        let pick = compared["ways"].as_array().unwrap().iter().find(|w| w["way"] == compared["pick"]);
        let restart = pick.is_some_and(|w| w["starts"][1].is_object() && w["verdict"] != "starts");
        assert_eq!(answer.contains("it will, after a rest"), restart, "{site}: {answer}");
        // what no way starts is not promised
        let some = compared["ways"].as_array().unwrap().iter().any(|w| w["starts"][0]["verdict"] == "starts");
        let promised = will || [" it does.", " starts on "].iter().any(|w| answer.contains(w));
        let certainly =
            promised && !answer.contains("it is not certain that") || answer.ends_with(" it does.");
        assert!(some || !certainly, "{site}: {answer}");
    });
}

/// The first page is for people who were never told what a margin is.
#[test]
fn the_customers_sheet_has_no_signed_margins_and_no_keys() {
    for_every_site(|place, site| {
        let page = dom::read(page(place));
        let text = page.sheet("customer").raw();
        let chars: Vec<char> = text.chars().collect();
        for (i, c) in chars.iter().enumerate() {
            let signed = matches!(c, '+' | '-' | '\u{2212}' | '\u{b1}')
                && chars.get(i + 1).is_some_and(char::is_ascii_digit)
                && (i == 0 || !chars[i - 1].is_alphanumeric());
            let rest: String =
                chars[i..].iter().skip(1).skip_while(|c| c.is_ascii_digit() || **c == '.').collect();
            let per_cent = rest.trim_start().starts_with('%');
            assert!(!(signed && per_cent), "{site}: {}", chars[i..].iter().take(12).collect::<String>());
            // load[0].rated_load_a
            let place = *c == '[' && chars.get(i + 1).is_some_and(char::is_ascii_digit);
            assert!(!place, "{site}: a site key");
            let key = *c == '_' && i > 0 && chars[i - 1].is_ascii_alphanumeric();
            assert!(!key, "{site}: {}", chars[i.saturating_sub(12)..].iter().take(24).collect::<String>());
        }
    });
}
