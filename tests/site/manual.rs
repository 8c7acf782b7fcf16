//! docs/site-file.md is what the table of keys says. `UPDATE=1` writes it anew.

use startmargin::site::keys::{Key, Kind, TABLES, Table, reference};

#[test]
fn the_manual_is_up_to_date() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/site-file.md");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(path, reference()).expect("the manual can be written");
    }
    let written = std::fs::read_to_string(path).unwrap_or_default();
    assert!(written == reference(), "docs/site-file.md is out of date: run the tests with UPDATE=1");
}

#[test]
fn every_table_is_reached_from_the_top_and_every_reference_leads_to_one() {
    let inner = |k: &Key| match k.kind {
        Kind::Table(path) | Kind::Tables(path) => Some(path),
        _ => None,
    };
    for table in TABLES {
        let reached = TABLES.iter().flat_map(|t| t.keys).any(|k| inner(k) == Some(table.path));
        assert!(reached || table.path.is_empty(), "{} is never reached", table.path);
        for key in table.keys {
            assert!(inner(key).is_none_or(|p| Table::at(p).is_some()), "{} leads nowhere", key.name);
        }
    }
}

#[test]
fn keys_are_unique_and_documented() {
    for table in TABLES {
        let mut names: Vec<&str> = table.keys.iter().map(|k| k.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), table.keys.len(), "a key of {:?} stands twice", table.path);
        let complete = |k: &Key| !k.doc.is_empty() && !k.default.is_empty() && !k.doc.ends_with('.');
        assert!(table.keys.iter().all(complete), "{:?}", table.path);
    }
}

/// A key that no test file holds is a key nobody has seen land.
#[test]
fn every_key_stands_in_a_test_file() {
    let elsewhere = ["continuous_a", "continuous_w", "a", "w", "reduction", "initial_fraction", "ramp_s"];
    for key in TABLES.iter().flat_map(|t| t.keys) {
        let scalar = !matches!(key.kind, Kind::Table(_) | Kind::Tables(_)) && !elsewhere.contains(&key.name);
        let written = format!("{} = ", key.name);
        let found = [super::VAN, super::WORKSHOP, super::CABIN, super::KITCHEN, super::HALL]
            .iter()
            .any(|text| text.contains(&written));
        assert!(found || !scalar, "{} stands in no test file", key.name);
    }
}
