//! A thousand mutated files: bytes, lines and words of the good ones changed.

use std::panic::{AssertUnwindSafe, catch_unwind};

use startmargin::motor::given::LoadTorqueFigures;
use startmargin::site;
use startmargin::site::catalogue::{Catalogue, Shelf};

use super::{cases, judged};

const MUTANTS: usize = 1000;

/// Mutants of sites without a motor_model, each of which is fitted many times.
const NAMEPLATES: usize = 200;

/// Rated speeds below this are left to a test of their own, see there \[rpm\].
const SLOWEST_RPM: f64 = 10.0;

/// Motors rated for this many times the supply's frequency likewise.
const SLOWEST_SUPPLY: f64 = 3.0;

/// A number from the environment, to search wider than the suite does.
fn wanted(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

/// A generator of its own (G. Marsaglia, "Xorshift RNGs", J. Stat. Softw. 8 (2003), 14), so that no library changes the files.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.below(of.len())]
    }
}

/// The good files, by name.
fn good() -> Vec<(String, String)> {
    let root = std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<_> = std::fs::read_dir(root.join("tests/data/compare"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.push(root.join("docs/examples/demonstration.toml"));
    files.push(root.join("tests/site/van.toml"));
    files.push(root.join("tests/site/workshop.toml"));
    files.push(root.join("tests/site/design.toml"));
    files.push(root.join("tests/site/cabin.toml"));
    files.sort();
    let name = |p: &std::path::Path| p.file_name().unwrap().to_string_lossy().into_owned();
    files.iter().map(|path| (name(path), std::fs::read_to_string(path).unwrap())).collect()
}

/// What a label may say besides, one line or two.
const LABELS: [&str; 12] = [
    "",
    "locked_rotor_a = 40",
    "rated_load_a = 7.5\nlocked_rotor_a = 39",
    "locked_rotor_a = \"unknown\"",
    "maximum_continuous_a = 12.5",
    "minimum_circuit_ampacity_a = 11.5\nmaximum_protection_a = 15",
    "power_hp = 1\ncode_letter = \"H\"",
    "power_w = 900",
    "start_w = 3500",
    "run_capacitor_uf = 35\nrated_rpm = 3450",
    "locked_rotor_nm = 2.5\nbreakdown_nm = 6.1",
    "rated_load_a = { value = 6.5, low = 4.0, high = 9.0 }\nefficiency = 0.6",
];

/// Every load of the catalogue on a supply of its own, each with another label: sites without a motor_model.
fn nameplates() -> Vec<(String, String)> {
    let catalogue = Catalogue::built_in();
    let mut files = Vec::new();
    for (i, entry) in catalogue.shelf(Shelf::Load).enumerate() {
        let items = catalogue.described(entry).unwrap().items;
        let item = |key: &str| items.iter().find(|item| item.key == key).map(|item| item.value.clone());
        let volts = item("rated_voltage_v").unwrap_or("230".into());
        let hertz = item("rated_frequency_hz").unwrap_or("60".into());
        let phases = if entry.id.ends_with("-400") || entry.id.starts_with("motor-") { 3 } else { 1 };
        let text = format!(
            "[[supply]]\nname = \"inverter\"\nuse = \"inverter-generic\"\nvoltage_v = {volts}\nfrequency_hz = {hertz}\n\
             phases = {phases}\ncontinuous_va = 5000\npeak_current_a = 90\n\n[circuit]\n\
             breaker = {{ use = \"ul-489\", rating_a = 20 }}\nconductor = {{ length_m = 8, awg = 12 }}\n\n\
             [[running]]\nva = 300\npower_factor = 0.95\n\n\
             [[load]]\nname = \"load\"\nuse = \"{}\"\n{}\n",
            entry.id,
            LABELS[i % LABELS.len()]
        );
        files.push((entry.id.clone(), text));
    }
    files
}

/// Values that go badly with sums: tiny, huge, negative, none, of another kind.
const VALUES: [&str; 24] = [
    "0",
    "0.0",
    "-0.0",
    "-1",
    "1e-300",
    "1e-12",
    "1e-6",
    "1e-3",
    "1e3",
    "1e6",
    "1e12",
    "1e300",
    "nan",
    "inf",
    "\"unknown\"",
    "\"\"",
    "true",
    "[]",
    "{}",
    "3",
    "1",
    "{ value = 1.0, low = 0.5, high = 2.0 }",
    "{ value = 1.0, low = 1e-9, high = 1e9 }",
    "9223372036854775807",
];

/// Lines that stand well or badly anywhere.
const LINES: [&str; 17] = [
    "[[load]]",
    "[[supply]]",
    "[[running]]",
    "[load.motor_model]",
    "[load.load_torque]",
    "[battery]",
    "starter = { kind = \"ramp\", initial_fraction = 0.4, ramp_s = 1.0 }",
    "starter = { kind = \"limiter\", reduction = 0.3 }",
    "on_overload = \"limit\"",
    "phases = 3",
    "connection = \"L1\"",
    "longest_start_s = 600.0",
    "r3_ohm = 0.1",
    "x3_ohm = 0.1",
    "leakage_saturation_a = 30.0",
    "pressure = \"unequal\"",
    "least_start_v = 90.0",
];

/// One change to a text.
fn mutated(text: &str, random: &mut Random) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let at = random.below(lines.len());
    match random.below(14) {
        // bytes
        0 => {
            let mut bytes = text.as_bytes().to_vec();
            for _ in 0..=random.below(3) {
                let at = random.below(bytes.len());
                match random.below(3) {
                    0 => bytes[at] = random.next() as u8,
                    1 => drop(bytes.remove(at)),
                    _ => bytes.insert(at, random.next() as u8),
                }
            }
            return String::from_utf8_lossy(&bytes).into_owned();
        }
        // lines
        1 => drop(lines.remove(at)),
        2 => lines.insert(at, lines[at].clone()),
        3 => {
            let other = random.below(lines.len());
            lines.swap(at, other);
        }
        4 => lines.insert(at, random.one(&LINES).to_owned()),
        // words: values, digits
        _ => {
            let with_value: Vec<usize> = (0..lines.len()).filter(|&i| lines[i].contains('=')).collect();
            let line = &mut lines[with_value[random.below(with_value.len())]];
            let numbers: Vec<(usize, usize)> = numbers(line);
            if numbers.is_empty() {
                let key = line.split('=').next().unwrap_or_default().to_owned();
                *line = format!("{key}= {}", random.one(&VALUES));
            } else {
                let (from, to) = numbers[random.below(numbers.len())];
                let old: f64 = line[from..to].parse().unwrap_or(1.0);
                let new = match random.below(8) {
                    0 => random.one(&VALUES).to_owned(),
                    1 => format!("{:?}", old * 1e3),
                    2 => format!("{:?}", old * 1e-3),
                    3 => format!("{:?}", -old),
                    4 | 5 => format!("{{ value = {old:?}, low = {:?}, high = {:?} }}", 0.7 * old, 1.3 * old),
                    _ => format!("{:?}", old * (0.3 + 3.0 * random.below(1000) as f64 / 1000.0)),
                };
                line.replace_range(from..to, &new);
            }
        }
    }
    lines.join("\n") + "\n"
}

/// Where the numbers of a line stand, its key and its comment left out.
fn numbers(line: &str) -> Vec<(usize, usize)> {
    let from = line.find('=').map_or(line.len(), |i| i + 1);
    let to = line.find('#').unwrap_or(line.len()).max(from);
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (i, c) in line[from..to].char_indices().map(|(i, c)| (from + i, c)) {
        let part = c.is_ascii_digit() || c == '.';
        let before = line[..i].chars().next_back();
        match found.last_mut() {
            Some(last) if part && last.1 == i => last.1 = i + 1,
            _ if c.is_ascii_digit()
                && !before.is_some_and(|b| b.is_alphanumeric() || b == '_' || b == '"') =>
            {
                found.push((i, i + 1));
            }
            _ => {}
        }
    }
    found
}

#[test]
fn prop_a_thousand_mutants_are_answered() {
    answered(&good(), MUTANTS, 2);
}

#[test]
fn prop_mutants_of_nameplates_are_answered() {
    answered(&nameplates(), NAMEPLATES, 1);
}

/// Mutates files, each by up to so many changes, and judges what the reader accepts.
fn answered(good: &[(String, String)], mutants: usize, changes: usize) {
    let mut random = Random(wanted("MUTANTS_SEED").unwrap_or(0x2545_f491_4f6c_dd1d));
    let mutants = wanted("MUTANTS").map_or(mutants, |n| n as usize);
    let (mut accepted, mut starts, mut skipped) = (0, 0, 0);
    let mut bad = Vec::new();
    for i in 0..mutants {
        let (name, text) = &good[random.below(good.len())];
        let mut text = text.clone();
        for _ in 0..=random.below(changes) {
            text = mutated(&text, &mut random);
        }
        let outcome = catch_unwind(AssertUnwindSafe(|| match site::read("mutant.toml", &text) {
            Err(mistakes) => {
                assert!(!mistakes.is_empty());
                None
            }
            Ok(site) if site.loads.len() > 3 || site.supplies.len() > 3 => Some(0),
            Ok(site) => {
                let mut cases = cases(&site);
                cases.retain(|case| {
                    let slow = |t: &LoadTorqueFigures| {
                        t.rated_rpm.as_ref().is_some_and(|rpm| rpm.get() < SLOWEST_RPM)
                    };
                    let torques = case.load.load_torque.iter().chain(&case.load.load_torque_unequal);
                    let rated_hz = case.load.nameplate.rated_frequency_hz.as_ref().map_or(0.0, |f| f.get());
                    !torques.into_iter().any(slow)
                        && rated_hz < SLOWEST_SUPPLY * case.supply.frequency_hz.get()
                });
                for case in &cases {
                    judged(&format!("mutant {i} of {name}"), case);
                }
                Some(cases.len())
            }
        }));
        match outcome {
            Ok(None) => {}
            Ok(Some(0)) => skipped += 1,
            Ok(Some(n)) => (accepted, starts) = (accepted + 1, starts + n),
            Err(panic) => {
                let why = panic.downcast_ref::<String>().cloned();
                let why =
                    why.or_else(|| panic.downcast_ref::<&str>().map(|s| (*s).to_owned())).unwrap_or_default();
                bad.push(format!("mutant {i} of {name}: {why}\n{text}\n"));
            }
        }
    }
    println!(
        "{accepted} of {mutants} accepted, {starts} starts judged, {skipped} skipped, {} bad",
        bad.len()
    );
    assert!(bad.is_empty(), "{} of {mutants}:\n{}", bad.len(), bad.join("\n"));
    // the mutations must not be so coarse that nothing gets past the reader
    assert!(accepted >= mutants / 5, "{accepted}");
}
