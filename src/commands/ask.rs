//! The questions of `startmargin init --ask`: at most ten, in the order of the labels.

use std::io::{BufRead, Write};

use super::Failure;
use super::flags::site_of;
use crate::site::answers::{self, Answers, Field, Said, curve_and_rating, is_unknown};
use crate::site::catalogue::{Catalogue, Shelf};

/// The most questions there are.
const MOST: usize = 10;
/// Columns a line keeps within: 100 less the prompt, behind which it stands where no one presses a key.
const WIDTH: usize = 95;
/// How often an answer that makes no sense is asked for again.
const TRIES: usize = 3;

struct Talk<'a> {
    answers: &'a mut Answers,
    catalogue: &'a Catalogue,
    input: &'a mut dyn BufRead,
    out: &'a mut dyn Write,
    asked: usize,
    ended: bool,
}

impl Talk<'_> {
    fn say(&mut self, text: &str) {
        let text: Vec<String> = text.lines().map(within_columns).collect();
        // whoever closed the screen still gets the file
        let _ = writeln!(self.out, "{}", text.join("\n")).and_then(|()| self.out.flush());
    }

    /// A question with where to look; the line typed, `None` where the input is at its end.
    fn line(&mut self) -> Option<String> {
        let _ = write!(self.out, "   > ").and_then(|()| self.out.flush());
        let mut line = String::new();
        match self.input.read_line(&mut line) {
            Ok(0) | Err(_) => {
                self.ended = true;
                None
            }
            Ok(_) => Some(line.trim().to_owned()),
        }
    }

    /// Asks until `take` makes sense of the answer and the site still does, at most [`TRIES`] times.
    fn ask(&mut self, question: &str, place: &str, take: impl Fn(&mut Answers, &str) -> Result<(), String>) {
        if self.ended || self.asked == MOST {
            return;
        }
        self.asked += 1;
        self.say(&format!("\n{}. {question}\n   Where: {place}", self.asked));
        for _ in 0..TRIES {
            let Some(line) = self.line() else { return };
            let mut with = self.answers.clone();
            match take(&mut with, &line).and_then(|()| self.sense(&with)) {
                Ok(()) => {
                    *self.answers = with;
                    return;
                }
                Err(why) => self.say(&format!("   {why}. An empty line if you do not know")),
            }
        }
        self.say("   taken as not known");
    }

    /// What is wrong with the site so far.
    fn sense(&self, answers: &Answers) -> Result<(), String> {
        match site_of(&completed(answers), self.catalogue, true) {
            Err(Failure::Answers(mistakes)) => Err(mistakes.first().map_or_else(String::new, |m| {
                let help = Some(&m.help).filter(|help| !help.is_empty() && !help.contains("--"));
                help.map_or(m.message.clone(), |help| format!("{}: {help}", m.message))
            })),
            _ => Ok(()),
        }
    }
}

/// A supply to go on with where nothing is known of it.
pub(super) fn some_supply(answers: &mut Answers) {
    if !answers.has("supply") {
        answers.assume("supply", Said::Number { value: 3000.0, unit: "VA" });
    }
}

/// The answers with what a site cannot do without: marked as assumed, and no load made up.
pub(super) fn completed(answers: &Answers) -> Answers {
    let mut answers = answers.clone();
    if !answers.names_a_load() {
        let volts = answers.number("volts").map_or(0.0, |(v, _)| v);
        let three = answers.number("phases").map_or(volts >= 380.0, |(n, _)| n == 3.0);
        let class = if three { "three-phase-general" } else { "single-phase-general" };
        answers.assume("class", Said::Word(class.into()));
    }
    some_supply(&mut answers);
    answers
}

/// Takes one figure of a field.
fn figure(answers: &mut Answers, flag: &'static str, text: &str) -> Result<(), String> {
    let Some(field) = Field::of(flag) else { return Ok(()) };
    let said = answers::read(field, text)?;
    if said != Said::Unknown {
        answers.set(flag, said);
    }
    Ok(())
}

/// Takes "6000 VA for 1 s", "20 A C" and the like: the first figure, then the second behind it.
fn two(answers: &mut Answers, text: &str, flags: [&'static str; 2]) -> Result<(), String> {
    let words = [" for ", " x ", ", ", ";", " at "];
    let cut = words.iter().find_map(|w| text.find(w).map(|at| (at, at + w.len())));
    // "10 kVA 2 s"
    let next = |at: usize| {
        let (before, after) = text.split_at(at);
        before.ends_with(char::is_alphabetic) && after.trim_start().starts_with(|c: char| c.is_ascii_digit())
    };
    let cut = cut.or_else(|| text.match_indices(' ').map(|(at, _)| (at, at)).find(|(at, _)| next(*at)));
    let (first, second) = cut.map_or((text, ""), |(a, b)| (&text[..a], &text[b..]));
    figure(answers, flags[0], first)?;
    if !answers.has(flags[0]) || is_unknown(second) {
        return Ok(());
    }
    figure(answers, flags[1], second)
}

/// "115 V 60 Hz", "230/50", "208-230/60/1", "400 V 3~ 50 Hz".
fn plate(answers: &mut Answers, text: &str) -> Result<(), String> {
    if is_unknown(text) {
        return Ok(());
    }
    let due = || "volts and hertz are due here, such as 115 V 60 Hz".to_owned();
    let folded = text.to_lowercase().replace("single", "1").replace("three", "3");
    let mut volts: Vec<&str> = Vec::new();
    let mut rest = folded.as_str();
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let number = &rest[at..];
        let end = number.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(number.len());
        let (number, after) = number.split_at(end);
        let unit = after.trim_start_matches([' ', '-']);
        match (unit.chars().next(), number) {
            (Some('v'), _) => volts.push(number),
            (Some('h' | 'c'), _) | (_, "50" | "60") => figure(answers, "hz", number)?,
            (Some('p' | '~' | '\u{f8}' | '\u{3c6}'), _) | (_, "1" | "3") => {
                figure(answers, "phases", number)?
            }
            (None | Some('/' | ',' | ';' | '0'..='9'), _) if number.len() > 2 => volts.push(number),
            _ => return Err(due()),
        }
        rest = after;
    }
    let numbers: Vec<f64> = volts.iter().filter_map(|v| v.parse().ok()).collect();
    match numbers.as_slice() {
        [] if answers.has("hz") || answers.has("phases") => Ok(()),
        [] => Err(due()),
        // currents are stated at the usual voltage of a range
        [low, .., high] => {
            let usual = [115.0, 230.0, 400.0, 460.0].into_iter().find(|v| (low..=high).contains(&v));
            figure(answers, "volts", &usual.unwrap_or(*high).to_string())
        }
        [one] => figure(answers, "volts", &one.to_string()),
    }
}

/// Keeps only the class of a load that is for other volts: its currents are not those of this one.
fn for_its_volts(answers: &mut Answers, catalogue: &Catalogue) {
    let entry = answers.word("load").and_then(|id| catalogue.entry(Shelf::Load, id));
    let Some((entry, (said, _))) = entry.zip(answers.number("volts")) else { return };
    let own = catalogue.number(entry, "rated_voltage_v");
    if let (Some(own), Some(class)) = (own, catalogue.word(entry, "class"))
        && !answers::same_voltage(own, said)
    {
        answers.clear("load");
        answers.set("class", Said::Word(class));
    }
}

/// Asks; what flags have said already is not asked again.
pub(super) fn questions(
    answers: &mut Answers,
    catalogue: &Catalogue,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
) {
    let mut talk = Talk { answers, catalogue, input, out, asked: 0, ended: false };
    talk.say(
        "Up to ten questions. An empty line, ? or \"don't know\" is an answer: the class's range is taken then.\n\
         Isolate before you open anything; capacitors keep their charge.",
    );
    if !talk.answers.names_a_load() {
        what(&mut talk);
    }
    let usual = |talk: &Talk<'_>, key: &str| {
        let entry = talk.answers.word("load").and_then(|id| catalogue.entry(Shelf::Load, id))?;
        catalogue.number(entry, key)
    };
    if !talk.answers.has("volts") {
        let shown = match (usual(&talk, "rated_voltage_v"), usual(&talk, "rated_frequency_hz")) {
            (Some(v), Some(hz)) => format!(" [{v} V {hz} Hz]"),
            _ => String::new(),
        };
        let named = talk.answers.word("load").map(str::to_owned);
        let question = format!("Its rated volts, hertz and phases?{shown}");
        let place = "nameplate of the unit, beside V~, Hz and PH (\"115 V 60 Hz\", \"208-230/60/1\")";
        talk.ask(&question, place, |answers, text| {
            plate(answers, text)?;
            for_its_volts(answers, catalogue);
            Ok(())
        });
        if let (Some(name), false) = (named, talk.answers.has("load")) {
            talk.say(&format!("   {name} is for other volts: only what such motors share is taken from it"));
        }
    }
    if !talk.answers.has("rla") {
        let shown = usual(&talk, "rated_load_a").map_or(String::new(), |a| format!(" [{a} A is usual]"));
        let question = format!("Its running current?{shown}");
        let place = "RLA on the compressor's label or the unit's nameplate, FLA on a motor's plate";
        talk.ask(&question, place, |answers, text| figure(answers, "rla", text));
    }
    if !talk.answers.has("lra") {
        let place = "LRA or LRC, beside the RLA; on the compressor itself, under its cover";
        talk.ask("Its locked-rotor current?", place, |answers, text| figure(answers, "lra", text));
    }
    if !talk.answers.has("lra") && !talk.answers.has("rla") {
        let place = "plate of the motor (1 hp, CODE J), or the unit's: MCA 18, MOP 25, or its watts";
        talk.ask("Then horsepower and code letter, or MCA and MOP, or watts?", place, rest);
    }
    if !talk.answers.has("supply") {
        let place = "plate of the inverter or generator, continuous: 3000 VA; of an outlet the amperes: 16 A";
        talk.ask("What feeds it?", place, |answers, text| supply(answers, catalogue, text));
    }
    if !talk.answers.has("surge") && talk.answers.number("supply").is_some_and(|(_, unit)| unit != "A") {
        let place = "data sheet only: \"6000 VA for 1 s\"";
        talk.ask("What does that carry for a short time, and for how long?", place, |answers, text| {
            two(answers, text, ["surge", "surge-s"])
        });
    }
    if !talk.answers.has("breaker") {
        let place = "on the breaker's toggle: 20, or C16";
        talk.ask("The breaker?", place, breaker);
    }
    if !talk.answers.has("awg") && !talk.answers.has("mm2") {
        let place = "printed on the cable's jacket; length one way: \"12 AWG, 6 m\" or \"2.5 mm2, 8 m\"";
        talk.ask("The cable's size and length?", place, cable);
    }
    if !talk.answers.has("running-va") {
        let place = "add up the plates of what stays on: \"300 VA\" (an electric kettle is 1500)";
        talk.ask("What else is on when it starts?", place, |answers, text| {
            figure(answers, "running-va", text)
        });
    }
}

/// What is to be started: a name of the catalogue, a place in the list, or words that one summary holds.
fn what(talk: &mut Talk<'_>) {
    const OFTEN: [&str; 12] = [
        "roof-ac",
        "window-ac",
        "split-ac-fixed-speed",
        "refrigerator-120",
        "refrigerator-230",
        "chest-freezer-120",
        "well-pump-1-hp",
        "pressure-pump-230",
        "air-compressor-120",
        "table-saw",
        "washing-machine-230",
        "concrete-mixer-230",
    ];
    /// As many names as help.
    const SHOWN: usize = 8;
    let catalogue = talk.catalogue;
    let list: Vec<String> = OFTEN.iter().enumerate().map(|(i, id)| format!("{} {id}", i + 1)).collect();
    let lines: Vec<String> = list.chunks(4).map(|row| row.join(", ")).collect();
    let question = format!("What is to be started? A number or a name:\n   {}", lines.join(",\n   "));
    talk.ask(&question, "`startmargin catalogue --shelf loads` has more", |answers, text| {
        if is_unknown(text) {
            return Ok(());
        }
        let by_place = text.parse::<usize>().ok().and_then(|n| OFTEN.get(n.wrapping_sub(1))).copied();
        let folded = text.to_lowercase().replace(' ', "-");
        let id = by_place.unwrap_or(folded.as_str());
        if catalogue.entry(Shelf::Load, id).is_some() {
            answers.set("load", Said::Word(id.to_owned()));
            return Ok(());
        }
        let all: Vec<&str> = text.split_whitespace().collect();
        let holds =
            |summary: &str| all.iter().all(|word| summary.to_lowercase().contains(&word.to_lowercase()));
        let found: Vec<String> = catalogue
            .shelf(Shelf::Load)
            .filter(|e| holds(&catalogue.about(e).summary) || e.id.contains(&folded))
            .map(|e| e.id.clone())
            .collect();
        match found.as_slice() {
            [one] => {
                answers.set("load", Said::Word(one.clone()));
                Ok(())
            }
            [] => match catalogue.find(&format!("loads/{folded}")) {
                Err(why) => Err(why.to_string()),
                Ok(_) => Ok(()),
            },
            several => {
                let more = several.len().saturating_sub(SHOWN);
                let more = if more > 0 { format!(" and {more} more") } else { String::new() };
                let shown: Vec<&str> = several.iter().take(SHOWN).map(String::as_str).collect();
                Err(format!("one of these: {}{more}", shown.join(", ")))
            }
        }
    });
}

/// A line broken within the columns, what follows set in.
fn within_columns(line: &str) -> String {
    let mut out = String::new();
    let mut column = 0;
    for (i, word) in line.split(' ').enumerate() {
        let width = word.chars().count();
        if i > 0 && column + 1 + width > WIDTH {
            out.push_str("\n   ");
            column = 3;
        } else if i > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += width;
    }
    out
}

/// "1 hp, J", "MCA 18 MOP 25", "1400 W".
fn rest(answers: &mut Answers, text: &str) -> Result<(), String> {
    if is_unknown(text) {
        return Ok(());
    }
    let lower = text.to_lowercase();
    let after = |name: &str| {
        let at = lower.find(name)? + name.len();
        let tail = lower[at..].trim_start_matches([' ', ':', '=', 'a']);
        let number: String =
            tail.chars().take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '/')).collect();
        (!number.is_empty()).then_some(number)
    };
    for (name, flag) in [("mca", "mca"), ("mocp", "mocp"), ("mop", "mocp")] {
        if let Some(number) = after(name) {
            figure(answers, flag, &number)?;
        }
    }
    if answers.has("mca") || answers.has("mocp") {
        return Ok(());
    }
    if let Some((power, letter)) = lower.split_once("hp") {
        figure(answers, "hp", power)?;
        let letter =
            letter.trim_matches(|c: char| !c.is_ascii_alphabetic()).trim_start_matches("code").trim();
        return if letter.is_empty() { Ok(()) } else { figure(answers, "code", letter) };
    }
    figure(answers, "watts", text)
}

/// "3000 VA", "16 A", "generator 3500 VA", or a supply of the catalogue.
fn supply(answers: &mut Answers, catalogue: &Catalogue, text: &str) -> Result<(), String> {
    let lower = text.to_lowercase();
    let kind = [
        ("inverter", "inverter"),
        ("generator", "generator"),
        ("shore", "shore"),
        ("grid", "shore"),
        ("outlet", "shore"),
    ]
    .into_iter()
    .find(|(word, _)| lower.split_whitespace().any(|w| w.trim_matches(',') == *word));
    let bare = kind.map_or(lower.clone(), |(word, _)| lower.replace(word, "").replace(',', " "));
    figure(answers, "supply", bare.trim())?;
    if let Some(id) = answers.word("supply").filter(|id| catalogue.entry(Shelf::Supply, id).is_none()) {
        let why = format!("\"{id}\" is neither a size nor a supply of the catalogue");
        answers.set("supply", Said::Unknown);
        return Err(why);
    }
    if let (Some((_, kind)), true) = (kind, answers.number("supply").is_some()) {
        answers.set("supply-kind", Said::Word(kind.into()));
    }
    Ok(())
}

/// "20", "20 A", "C16", "C 16 A".
fn breaker(answers: &mut Answers, text: &str) -> Result<(), String> {
    match curve_and_rating(text.trim()) {
        Some((curve, rating)) => {
            figure(answers, "breaker", rating)?;
            figure(answers, "curve", &curve.to_string())
        }
        None => figure(answers, "breaker", text),
    }
}

/// "12 AWG, 6 m", "2.5 mm2 8 m".
fn cable(answers: &mut Answers, text: &str) -> Result<(), String> {
    if is_unknown(text) {
        return Ok(());
    }
    let lower = text.to_lowercase().replace("mm\u{b2}", "mm2");
    let (size, length) =
        match lower.find("mm2").map(|at| at + 3).or_else(|| lower.find("awg").map(|at| at + 3)) {
            Some(end) => (&lower[..end], &lower[end..]),
            None => return Err("a size is due here, in AWG or mm2".into()),
        };
    figure(answers, if size.ends_with("mm2") { "mm2" } else { "awg" }, size)?;
    figure(answers, "length-m", length.trim_start_matches([',', ';', ' ']))
}
