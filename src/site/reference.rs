//! The manual of the site file, written from the table of keys.

use super::keys::{Key, Kind, Mark, TABLES, Table};
use crate::figure::Origin;

/// docs/site-file.md.
pub fn reference() -> String {
    let mut out = String::from(HEAD);
    for table in TABLES {
        out.push_str(&section(table));
    }
    out
}

const HEAD: &str = "\
# The site file

One text file (TOML) describes what feeds the board, what is already on and what is to be started. This page is written
from the program's own table of keys.

- Only one `[[supply]]` and one `[[load]]` are required. What is left out is listed as not checked.
- A key carries its unit: `_a` amperes, `_v` volts, `_va` volt-amperes, `_w` watts, `_s` seconds, `_hz` hertz, `_m` metres,
  `_mm2` square millimetres, `_c` degrees Celsius, `_uf` microfarads, `_ohm` ohms, `_mohm` thousandths of an ohm, `_nm`
  newton metres, `_kgm2` kilogram square metres, `_rpm` turns a minute. Write the number alone: `rating_a = 20`.
- A number marked *figure* may also be a table, `{ value = 62, low = 58, high = 70, origin = \"measured\",
  source = \"clamp meter, May\" }`. `low` and `high` say how sure you are; `origin` is nameplate, measured, standard,
  typical, derived, assumed or given; `source` is for your own memory and comes back in the report.
- A figure marked *unknown* may also be the word `\"unknown\"`: it counts as left out, and a note says what stands in for it.
- *Later* marks keys that are read and kept, but that nothing judges yet.
- A plain number counts as printed on the nameplate, or as simply given: the column *counts as* says which.
- Numbers are finite and not larger than 1e9. The file is at most 1 MiB.

## What stands in for what you leave out

`use = \"ID\"` in a supply, a load, a starter or a breaker builds on an entry of the catalogue (`startmargin catalogue` lists
them, `startmargin catalogue ID` shows one with every figure's range and origin; `--catalogue DIR` adds your own). `class`
does the same for what a kind of load has in common. Whoever speaks first counts, key by key:

1. this file,
2. the entry named with `use`,
3. the class: the one named here, else the entry's, else the general one of its phases (with a note).

Tables merge key by key, lists (`surge`) are replaced as a whole. Where two keys say the same (`continuous_va` and
`continuous_a`, `power_w` and `power_hp`, `reduction` and `largest_a`, a torque in N m and as a multiple), the one in this file
counts. Running and locked-rotor current are then worked out from what the label does give (horsepower, code letter, MCA and
MOP, MCC, watts); the report names the rule. A motor given outright with `motor_model` is taken as it stands.

";

fn section(table: &Table) -> String {
    let title = match table.path {
        "" => "Top of the file".to_owned(),
        path => format!("`{}`", path.replace("[]", "[i]")),
    };
    let mut out = format!("\n## {title}\n\n{}\n\n", table.doc);
    out.push_str("| key | what it is | write | if left out | counts as |\n|---|---|---|---|---|\n");
    for key in table.keys {
        let later = if key.has(Mark::Later) { " (*later*)" } else { "" };
        let counts = match key.kind {
            Kind::Number(_) if key.origin == Origin::Nameplate => "nameplate",
            Kind::Number(_) => "given",
            _ => "",
        };
        let default = if key.required() { "**required**" } else { key.default };
        out.push_str(&format!(
            "| `{}` | {}{later} | {} | {default} | {counts} |\n",
            key.name,
            key.doc,
            write(key)
        ));
    }
    out
}

/// What may be written for a key.
fn write(key: &Key) -> String {
    let unit = if key.unit().is_empty() { String::new() } else { format!(" {}", key.unit()) };
    let unknown = if key.has(Mark::Unknown) { ", *unknown*" } else { "" };
    match key.kind {
        Kind::Number(b) => format!("*figure*{unit}, {}{unknown}", b.words),
        Kind::Plain(b) => format!("number{unit}, {}", b.words),
        Kind::Pair(b) => format!("[low, high]{unit}, {}", b.words),
        Kind::Phases => "1 or 3".to_owned(),
        Kind::Poles => "2, 4, 6 ... 100".to_owned(),
        Kind::Gauge => "24 to 1, \"1/0\" to \"4/0\"".to_owned(),
        Kind::Text => "text".to_owned(),
        Kind::Word(words) => words.iter().map(|w| format!("`\"{w}\"`")).collect::<Vec<_>>().join(" "),
        Kind::Switch => "true or false".to_owned(),
        Kind::Table(path) => format!("a table: see `{}`", path.replace("[]", "[i]")),
        Kind::Tables(path) => format!("a list of tables: see `{}`", path.replace("[]", "[i]")),
    }
}
