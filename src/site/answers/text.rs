//! Answers as the text of a site file, with a comment on each figure: the one text that `check` reads from flags and `init`
//! writes.

use super::fields::{BETWEEN, Field};
use super::said::Said;
use super::supply::{Mains, Named, load_phases, mains, outlet};
use super::{Answers, Mistake};
use crate::site::catalogue::Catalogue;

/// What was taken for want of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assumption {
    /// What, to follow "assumed: ".
    pub what: String,
    /// The flag that would tell it.
    pub flag: &'static str,
}

impl Assumption {
    pub(super) fn new(what: impl Into<String>, flag: &'static str) -> Assumption {
        Assumption { what: what.into(), flag }
    }

    /// The key of the site file that would tell it.
    pub fn key(&self) -> String {
        Field::of(self.flag).map_or(String::new(), |f| f.key.replace("[0]", ""))
    }
}

/// A site file and what was assumed in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// The text.
    pub text: String,
    /// What was assumed.
    pub assumed: Vec<Assumption>,
}

/// Columns a comment keeps within.
const WIDTH: usize = 100;

/// Where comments behind a key begin.
const COMMENT: usize = 40;

/// The text of a site file that says what was answered.
///
/// # Errors
/// Names that are not in the catalogue, answers that do not go together, no supply or no load.
pub fn text(answers: &Answers, catalogue: &Catalogue) -> Result<Written, Vec<Mistake>> {
    let named = Named::look_up(answers, catalogue)?;
    contradictions(answers)?;
    if let Some(mistake) = another_voltage(answers, catalogue, &named) {
        return Err(vec![mistake]);
    }
    let mut assumed = Vec::new();
    let mains = mains(answers, catalogue, &named, &mut assumed);
    let mut page = Page { answers, out: String::new() };
    supply(&mut page, catalogue, &named, mains, &mut assumed)?;
    breaker(&mut page, mains, &mut assumed);
    conductor(&mut page);
    running(&mut page, mains);
    load(&mut page, catalogue, &named, mains, &mut assumed);
    let mut head = String::from(HEAD);
    for line in &assumed {
        head.push_str(&comment(&format!("Assumed: {}; see {}.", line.what, line.key())));
    }
    head.push_str(&page.line("", Field::of("ambient-c"), None));
    Ok(Written { text: format!("{head}{}", page.out), assumed })
}

const HEAD: &str = "\
# What feeds the board, what stands between, and what is to be started: startmargin check FILE
# judges it. Behind a # nothing counts: take the first # of a line away to use it. Each key is in
# docs/site-file.md. A figure you do not have: leave its line out, or write \"unknown\" where the
# load's label lacks it. One you are not sure of: { value = 62, low = 58, high = 70 }.

";

/// Refuses what cannot be meant together.
fn contradictions(answers: &Answers) -> Result<(), Vec<Mistake>> {
    let mut mistakes = Vec::new();
    let mut refuse = |flag, message: &str, help: &str| {
        mistakes.push(Mistake { flag, key: String::new(), message: message.into(), help: help.into() });
    };
    if !answers.has("supply") {
        let help = "the inverter's volt-amperes, such as 3000, or a supply of `startmargin catalogue --shelf supplies`";
        refuse("supply", "nothing says what feeds it", help);
    }
    if !answers.names_a_load() {
        let help = "--load roof-ac or another of `startmargin catalogue --shelf loads`, or figures off its label, such as \
                    --rla and --lra";
        refuse("load", "nothing says what is to be started", help);
    }
    if answers.word("breaker-standard") == Some("UL 489") && answers.has("curve") {
        let help = "leave the curve out, or give --breaker-standard iec-60898-1";
        refuse("curve", "UL 489 breakers have no curves B, C, D", help);
    }
    if answers.word("supply").is_some() && answers.has("supply-kind") {
        let help = "leave it out, or give --supply as a number";
        refuse("supply-kind", "the catalogue's supply says its kind itself", help);
    }
    if answers.word("supply-kind") == Some("shore")
        && matches!(answers.number("supply"), Some((_, "VA" | "W")))
    {
        refuse("supply", "an outlet is known by its amperes", "--supply 20 for an outlet of 20 A");
    }
    if mistakes.is_empty() { Ok(()) } else { Err(mistakes) }
}

/// Currents and capacitors of an entry belong to its volts.
fn another_voltage(answers: &Answers, catalogue: &Catalogue, named: &Named<'_>) -> Option<Mistake> {
    let entry = named.load?;
    let (own, (said, _)) = (catalogue.number(entry, "rated_voltage_v")?, answers.number("volts")?);
    let class = catalogue
        .word(entry, "class")
        .map_or(String::new(), |class| format!(", or --class {class} with --rla"));
    (!same_voltage(own, said)).then(|| Mistake {
        flag: "volts",
        key: String::new(),
        message: format!("{} is for {own} V: its figures are not those at {said} V", entry.id),
        help: format!("take a load for these volts{class}"),
    })
}

/// Whether two rated voltages are of one system: 208 and 240, 380 and 415, not 115 and 230.
pub fn same_voltage(a: f64, b: f64) -> bool {
    (0.8..=1.25).contains(&(a / b))
}

/// The page being written.
struct Page<'a> {
    answers: &'a Answers,
    out: String,
}

impl Page<'_> {
    fn section(&mut self, header: &str, about: &str) {
        self.out.push_str(&format!("\n{header}\n{}", comment(about)));
    }

    fn plain(&mut self, key: &str, value: &str, about: &str) {
        self.out.push_str(&with_comment(&format!("{key} = {value}"), about));
    }

    fn field(&mut self, flag: &str) {
        let line = self.line("", Field::of(flag), None);
        self.out.push_str(&line);
    }

    /// A field's line: as answered, else as an example behind a #.
    fn line(&self, before: &str, field: Option<&Field>, value: Option<&str>) -> String {
        let Some(field) = field else { return String::new() };
        let answered = match (value, self.answers.get(field.flag)) {
            (Some(value), _) => Some(value.to_owned()),
            (None, Some(Said::Number { value, .. })) => Some(value.to_string()),
            (None, Some(Said::Word(word))) if field.flag == "awg" && !word.contains('/') => {
                Some(word.clone())
            }
            (None, Some(Said::Word(word))) => Some(quoted(word)),
            (None, Some(Said::Unknown)) if may_be_unknown(field) => Some("\"unknown\"".to_owned()),
            _ => None,
        };
        let key = field.name();
        match answered {
            Some(value) => with_comment(&format!("{before}{key} = {value}"), &short_help(field)),
            None => with_comment(&format!("# {before}{key} = {}", field.example), &short_help(field)),
        }
    }
}

/// Whether the key of a field may be "unknown".
fn may_be_unknown(field: &Field) -> bool {
    use crate::site::keys::{Mark, Table};
    let load = field.key.starts_with("load[0].") && field.heading != BETWEEN;
    load && Table::at("load[]").and_then(|t| t.key(field.name())).is_some_and(|k| k.has(Mark::Unknown))
}

/// A field's help as a comment: without what is about flags.
fn short_help(field: &Field) -> String {
    field.help.split(" (`startmargin").next().unwrap_or(field.help).to_owned()
}

/// A text as TOML writes it.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A line with a comment behind it.
fn with_comment(line: &str, about: &str) -> String {
    if about.is_empty() {
        return format!("{line}\n");
    }
    let pad = " ".repeat(COMMENT.saturating_sub(line.chars().count()).max(1));
    let whole = format!("{line}{pad}# {about}");
    if whole.chars().count() <= WIDTH { whole + "\n" } else { format!("{}{line}\n", comment(about)) }
}

/// A text as comment lines.
fn comment(text: &str) -> String {
    let mut out = String::new();
    let mut line = String::from("#");
    for word in text.split_whitespace() {
        if line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(&line);
            out.push('\n');
            line = String::from("#");
        }
        line.push(' ');
        line.push_str(word);
    }
    out + &line + "\n"
}

fn supply(
    page: &mut Page<'_>,
    catalogue: &Catalogue,
    named: &Named<'_>,
    mains: Mains,
    assumed: &mut Vec<Assumption>,
) -> Result<(), Vec<Mistake>> {
    page.section(
        "[[supply]]",
        "Plate of the inverter or generator; for shore power the outlet. Surge and its time stand in the data sheet only. \
         A supply of startmargin catalogue can be named with use; what stands here comes before its figures.",
    );
    let said = page.answers.number("supply");
    let kind = match (page.answers.word("supply-kind"), said) {
        (Some(kind), _) => kind.to_owned(),
        (None, Some((_, "A"))) => {
            assumed.push(Assumption::new("the amperes of the supply are those of an outlet", "supply-kind"));
            "shore".to_owned()
        }
        (None, _) => {
            named.supply.and_then(|e| catalogue.word(e, "kind")).unwrap_or_else(|| "inverter".into())
        }
    };
    let name = if kind == "shore" { "shore power" } else { &kind };
    let name = match (page.answers.is_assumed("supply"), said) {
        (true, Some((value, _))) => {
            let what = format!("an inverter of {value} VA: nothing is known of the supply");
            assumed.push(Assumption::new(what, "supply"));
            format!("assumed {name}")
        }
        _ => name.to_owned(),
    };
    page.plain("name", &quoted(&name), "as you like");
    page.plain("kind", &quoted(&kind), "inverter, generator or shore");
    match (named.supply, said) {
        (Some(entry), _) => page.plain("use", &quoted(&entry.id), "from the catalogue"),
        (None, Some((value, unit))) => {
            let base = match kind.as_str() {
                "shore" => outlet(catalogue, value, mains).map(|e| e.id.clone()),
                "generator" => Some("generator-generic".to_owned()),
                _ => Some("inverter-generic".to_owned()),
            };
            match &base {
                Some(id) => {
                    page.plain("use", &quoted(id), "from the catalogue, for what is left out here");
                    let surge = if page.answers.has("surge") || kind == "shore" { "" } else { "surge and " };
                    let what = format!("{surge}impedance of the supply as usual ({id})");
                    assumed.push(Assumption::new(what, if surge.is_empty() { "supply" } else { "surge" }));
                }
                None => assumed.push(Assumption::new("an outlet without any impedance", "supply")),
            }
            let unit = match (unit, kind.as_str()) {
                ("A", _) | ("", "shore") => "a",
                ("W", _) => "w",
                _ => "va",
            };
            page.plain(&format!("continuous_{unit}"), &value.to_string(), "continuous, not its peak");
        }
        (None, None) => {}
    }
    let own = page.answers.number("supply-volts").map(|(v, _)| v);
    if named.supply.is_none_or(|e| catalogue.number(e, "voltage_v").is_none()) || own.is_some() {
        page.plain("voltage_v", &own.unwrap_or(mains.volts).to_string(), "line to line for three phases");
    }
    if named.supply.is_none_or(|e| catalogue.number(e, "frequency_hz").is_none()) {
        page.plain("frequency_hz", &mains.hertz.to_string(), "");
    }
    if named.supply.is_none() && mains.phases == 3.0 {
        page.plain("phases", "3", "");
    }
    let example = "# surge = [{ va = 6000, for_s = 1 }]";
    match page.answers.number("surge") {
        Some((value, unit)) => {
            let time =
                page.answers.number("surge-s").map_or(String::new(), |(s, _)| format!(", for_s = {s}"));
            let surge = format!("[{{ {} = {value}{time} }}]", unit.to_lowercase());
            page.plain("surge", &surge, "how much for how many seconds");
        }
        None => page.out.push_str(&with_comment(example, "how much for how many seconds")),
    }
    page.field("peak-a");
    Ok(())
}

fn breaker(page: &mut Page<'_>, mains: Mains, assumed: &mut Vec<Assumption>) {
    let given = page.answers.has("breaker");
    let about = "On the breaker's toggle: C16 is curve C, 16 A (IEC 60898-1); North America prints the rating alone \
                 (UL 489).";
    let iec = match page.answers.word("breaker-standard") {
        Some(standard) => standard.starts_with("IEC"),
        None => mains.hertz < 55.0 || page.answers.has("curve"),
    };
    if !given {
        let lines = match iec {
            true => "# standard = \"IEC 60898-1\"\n# curve = \"C\"\n# rating_a = 16\n",
            false => "# standard = \"UL 489\"\n# rating_a = 20\n",
        };
        page.section("# [circuit.breaker]", about);
        page.out.push_str(lines);
        return;
    }
    page.section("[circuit.breaker]", about);
    let standard = if iec { "IEC 60898-1" } else { "UL 489" };
    if !page.answers.has("breaker-standard") {
        let why = if page.answers.has("curve") { "it has a curve" } else { &format!("{} Hz", mains.hertz) };
        assumed.push(Assumption::new(format!("a breaker to {standard} ({why})"), "breaker-standard"));
    }
    page.plain("standard", &quoted(standard), "printed small on its side");
    match (iec, page.answers.word("curve")) {
        (true, None) => {
            assumed.push(Assumption::new("curve B, which trips earliest", "curve"));
            page.plain("curve", "\"B\"", "the letter before the amperes: B, C or D");
        }
        (true, Some(_)) => page.field("curve"),
        (false, _) => {}
    }
    page.field("breaker");
}

fn conductor(page: &mut Page<'_>) {
    let flags = ["awg", "mm2", "length-m"];
    let given = flags.iter().any(|f| page.answers.has(f));
    let header = if given { "[circuit.conductor]" } else { "# [circuit.conductor]" };
    page.section(
        header,
        "The cable from board to load: its size stands on the jacket. One of the two sizes.",
    );
    for flag in flags {
        page.field(flag);
    }
}

fn running(page: &mut Page<'_>, mains: Mains) {
    let about = "What is on when it starts, all together, or one [[running]] each.";
    let Some((value, unit)) = page.answers.number("running-va") else {
        page.section("# [[running]]", about);
        page.out.push_str("# name = \"lights and fridge\"\n");
        page.field("running-va");
        return;
    };
    let lines = if mains.phases == 3.0 { 3f64.sqrt() } else { 1.0 };
    let va = if unit == "A" { (value * mains.volts * lines).round() } else { value };
    page.section("[[running]]", about);
    page.plain("name", "\"what else is on\"", "as you like");
    let line = page.line("", Field::of("running-va"), Some(&va.to_string()));
    page.out.push_str(&line);
}

fn load(
    page: &mut Page<'_>,
    catalogue: &Catalogue,
    named: &Named<'_>,
    mains: Mains,
    assumed: &mut Vec<Assumption>,
) {
    page.section(
        "[[load]]",
        "The label of the unit or of its compressor or motor. LRA decides; without it the class's ratio stands in, two or \
         three times as wide. What the label lacks comes from the entry named with use, else from its class.",
    );
    let number = |key: &str| named.load.and_then(|e| catalogue.number(e, key));
    let volts = page.answers.number("volts").map(|(v, _)| v).or_else(|| number("rated_voltage_v"));
    // between a line and neutral of a three-phase supply
    let on_a_leg = mains.phases == 3.0 && volts.is_some_and(|v| v < 0.7 * mains.volts);
    let usual = if on_a_leg { 1.0 } else { mains.phases };
    let phases = load_phases(page.answers, catalogue, named).unwrap_or(usual);
    let entry = named.load.or(named.class);
    let name = entry.map_or("motor", |e| e.id.as_str());
    page.plain("name", &quoted(name), "as you like");
    match (named.load, named.class) {
        (Some(entry), _) => {
            if page.answers.is_assumed("load") {
                let what = format!("{}: nothing says what is to be started", entry.id);
                assumed.push(Assumption::new(what, "load"));
            }
            page.field("load");
        }
        (None, Some(class)) => {
            if page.answers.is_assumed("class") {
                let what = format!("a motor of which nothing is known ({})", class.id);
                assumed.push(Assumption::new(what, "load"));
            }
            page.field("class");
        }
        (None, None) => {
            let class = if phases == 3.0 { "three-phase-general" } else { "single-phase-general" };
            assumed.push(Assumption::new(format!("a motor of which no more is known ({class})"), "load"));
            page.plain("class", &quoted(class), "nothing else is known of it: the widest ranges there are");
        }
    }
    for flag in ["volts", "hz"] {
        page.field(flag);
    }
    if named.load.is_none() && !page.answers.has("phases") && phases == 3.0 {
        if named.class.is_none() {
            assumed.push(Assumption::new("a load of three phases", "phases"));
        }
        page.plain("phases", "3", "");
    } else {
        page.field("phases");
    }
    let three_wire =
        mains.phases == 1.0 && phases == 1.0 && (200.0..=260.0).contains(&mains.volts) && mains.hertz > 55.0;
    if let Some(volts) = volts.filter(|v| three_wire && (100.0..=130.0).contains(v)) {
        let what = format!("the {volts} V load hangs between L1 and neutral of the {} V supply", mains.volts);
        assumed.push(Assumption::new(what, "volts"));
        page.plain("connection", "\"L1\"", "or L2");
    }
    let rest = [
        "lra",
        "rla",
        "fan-a",
        "mcc",
        "mca",
        "mocp",
        "hp",
        "code",
        "watts",
        "start-watts",
        "rpm",
        "run-capacitor-uf",
        "pressure",
    ];
    for flag in rest {
        page.field(flag);
    }
    page.out.push('\n');
    page.out.push_str(&comment(
        "What stands between board and motor; without it, it starts straight on the line.",
    ));
    if page.answers.has("starter") {
        page.out.push_str("[load.starter]\n");
    } else {
        page.out.push_str("# [load.starter]\n");
    }
    page.field("starter");
}
