//! Every load of the catalogue on every supply of its voltage, phases and frequency: a verdict each, and verdicts that make
//! sense beside each other.

use std::collections::BTreeMap;

use startmargin::advise::Verdict;
use startmargin::case::{Path, Pressure};
use startmargin::report::Report;
use startmargin::site::catalogue::{Catalogue, CatalogueEntry, Shelf};

fn item(catalogue: &Catalogue, entry: &CatalogueEntry, key: &str) -> Option<String> {
    let items = catalogue.described(entry).unwrap().items;
    items.into_iter().find(|i| i.key == key).map(|i| i.value)
}

/// A supply of the catalogue as lines of a site file, if it fits a load of this voltage, frequency and phases; with the leg a
/// 120 V load hangs on.
fn supply(
    catalogue: &Catalogue,
    entry: &CatalogueEntry,
    volts: f64,
    hertz: &str,
    phases: &str,
) -> Option<(String, bool)> {
    let own: f64 = item(catalogue, entry, "voltage_v")?.parse().unwrap();
    let same = item(catalogue, entry, "frequency_hz")? == hertz
        && item(catalogue, entry, "phases").unwrap_or("1".into()) == phases;
    let leg = own == 240.0 && volts < 130.0 && entry.id.ends_with("120-240");
    let near = (if leg { 0.5 * own } else { own }) / volts;
    (same && (0.9..=1.1).contains(&near))
        .then(|| (format!("[[supply]]\nname = '{0}'\nuse = '{0}'\n", entry.id), leg))
}

/// Verdict and leaning of each load on each supply after a rest.
fn verdicts() -> BTreeMap<(String, String), (Verdict, Verdict)> {
    let catalogue = Catalogue::built_in();
    let mut told = BTreeMap::new();
    let mut missed = 0;
    for load in catalogue.shelf(Shelf::Load) {
        let volts: f64 = item(&catalogue, load, "rated_voltage_v").unwrap().parse().unwrap();
        let hertz = item(&catalogue, load, "rated_frequency_hz").unwrap();
        let class = item(&catalogue, load, "class").unwrap_or_default();
        let phases = if class.contains("three-phase") { "3" } else { "1" };
        for leg in [false, true] {
            let supplies: Vec<String> = catalogue
                .shelf(Shelf::Supply)
                .filter_map(|s| supply(&catalogue, s, volts, &hertz, phases))
                .filter(|(_, on_leg)| *on_leg == leg)
                .map(|(text, _)| text)
                .collect();
            if supplies.is_empty() {
                continue;
            }
            let connection = if leg { "connection = 'L1'\n" } else { "" };
            let text =
                format!("{}[[load]]\nname = '{1}'\nuse = '{1}'\n{connection}", supplies.concat(), load.id);
            let site = startmargin::site::read("catalogue.toml", &text)
                .unwrap_or_else(|m| panic!("{}: {m:?}", load.id));
            let report = Report::new(&site, &text);
            assert!(startmargin::report::json::json(&report).is_ok());
            for judged in &report.starts {
                let start = &judged.start;
                assert!(start.facts.is_some(), "{} on {} was not run", start.load, start.supply);
                // every given figure is met within 1 %, or the finding says which is not
                let case = site.case(judged.load, judged.supply, start.pressure);
                if case.load.inrush.is_some() {
                    told.insert((start.load.clone(), start.supply.clone()), (start.verdict, start.leaning));
                    continue;
                }
                let misses = Path::new(&case).unwrap().fit.unwrap().misses().count();
                let said = start.finding("acceleration").unwrap().reservation.as_deref().unwrap_or("");
                assert_eq!(
                    misses > 0,
                    said.contains("is the nearest"),
                    "{}: {misses} missed, said: {said}",
                    start.load
                );
                missed += usize::from(misses > 0);
                if start.pressure == Pressure::Equalised {
                    told.insert((start.load.clone(), start.supply.clone()), (start.verdict, start.leaning));
                }
            }
        }
    }
    assert_eq!(missed, 0, "all labels of the catalogue can be had together");
    told
}

#[test]
fn every_load_on_every_supply_has_a_verdict_that_makes_sense() {
    let told = verdicts();
    assert!(told.len() > 350, "{} pairs", told.len());
    let of = |load: &str, supply: &str| told[&(load.to_owned(), supply.to_owned())];
    use Verdict::{Fails, Starts};
    // what every installer knows
    for (load, supply) in [
        ("refrigerator-120", "inverter-3000-120-low-frequency"),
        ("refrigerator-230", "inverter-3000-230"),
        ("chest-freezer-120", "shore-15-120"),
        ("central-ac-5-ton", "shore-50-120-240"),
        ("roof-ac", "shore-50-120-240"),
        ("pump-2k2-400", "shore-32-400"),
        ("well-pump-1-hp", "shore-50-120-240"),
    ] {
        assert_eq!(of(load, supply).0, Starts, "{load} on {supply}");
    }
    for (load, supply) in [
        ("roof-ac", "inverter-1000-120"),
        ("roof-ac", "inverter-2000-120"),
        ("roof-ac-large", "generator-2000-120"),
        ("central-ac-5-ton", "inverter-6000-120-240"),
        ("air-compressor-120", "inverter-2000-120"),
        ("table-saw", "inverter-1000-120"),
        ("pump-5k5-400", "inverter-8000-400"),
    ] {
        assert_eq!(of(load, supply).0, Fails, "{load} on {supply}");
    }
    // the more supply, the better: never from starts to fails by the values
    for ((load, supply), (_, leaning)) in &told {
        for (small, large) in [
            ("inverter-1000-120", "inverter-2000-120"),
            ("inverter-2000-120", "inverter-3000-120-low-frequency"),
            ("inverter-2000-230", "inverter-3000-230"),
            ("inverter-3000-230", "inverter-5000-230"),
            ("generator-2000-120", "generator-3500-120"),
            ("shore-15-120", "shore-30-120"),
        ] {
            if supply == small {
                let larger = of(load, large).1;
                assert!(larger <= *leaning, "{load}: {leaning:?} on {small}, {larger:?} on {large}");
            }
        }
    }
}

/// A unit far too large for its supply: nothing to start with. The supply is the generic one, which knows volts and VA alone.
#[test]
fn a_five_ton_unit_does_not_start_on_two_kilovolt_amperes() {
    let text = "[[supply]]\nname = 'inverter'\nuse = 'inverter-generic'\nvoltage_v = 240\nfrequency_hz = 60\ncontinuous_va = 2000\n\
                [[load]]\nname = 'unit'\nuse = 'central-ac-5-ton'\npressure = 'equalised'\n";
    let site = startmargin::site::read("x.toml", text).unwrap();
    assert_eq!(Report::new(&site, text).verdict, Verdict::Fails);
}

/// Each file of appliances/ is built in, and each source is one that stands in sources.toml.
#[test]
fn every_file_of_the_catalogue_is_built_in() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("appliances");
    let catalogue = Catalogue::built_in();
    let sources = std::fs::read_to_string(folder.join("sources.toml")).unwrap();
    let mut files = 0;
    let mut used = std::collections::BTreeSet::new();
    for shelf in Shelf::ALL {
        for file in std::fs::read_dir(folder.join(shelf.folder())).unwrap() {
            let path = file.unwrap().path();
            let id = path.file_stem().unwrap().to_str().unwrap();
            assert!(
                catalogue.entry(shelf, id).is_some(),
                "{} is not in src/site/built_in.rs",
                path.display()
            );
            let text = std::fs::read_to_string(&path).unwrap();
            for source in text
                .match_indices("source = \"")
                .map(|(at, m)| text[at + m.len()..].split('"').next().unwrap())
            {
                assert!(sources.contains(&format!("[{source}]")), "{}: no source {source}", path.display());
                used.insert(source.to_owned());
            }
            files += 1;
        }
    }
    assert_eq!(files, Shelf::ALL.iter().map(|s| catalogue.shelf(*s).count()).sum::<usize>());
    // a source that no figure names says what it is there for
    for part in sources.split("\n[").skip(1) {
        let (name, rest) = part.split_once(']').unwrap();
        assert!(rest.contains("title = ") && rest.contains("kind = "), "{name}");
        assert!(
            used.contains(name) || rest.contains("remark = \""),
            "{name} is used by no figure and has no remark"
        );
    }
}
