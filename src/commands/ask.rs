//! The questions of `startmargin init --ask`: at most ten, in the order of the labels.

use std::io::{BufRead, Write};

use crate::site::answers::{self, Answers, Field, Said, is_unknown};
use crate::site::catalogue::{Catalogue, Shelf};

/// The most questions there are.
const MOST: usize = 10;
/// How often an answer that makes no sense is asked for again.
const TRIES: usize = 3;

struct Talk<'a> {
    input: &'a mut dyn BufRead,
    out: &'a mut dyn Write,
    asked: usize,
    ended: bool,
}

impl Talk<'_> {
    fn say(&mut self, text: &str) {
        // whoever closed the screen still gets the file
        let _ = writeln!(self.out, "{text}").and_then(|()| self.out.flush());
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

    /// Asks until `take` makes sense of the answer, at most [`TRIES`] times.
    fn ask(&mut self, question: &str, place: &str, mut take: impl FnMut(&str) -> Result<(), String>) {
        if self.ended || self.asked == MOST {
            return;
        }
        self.asked += 1;
        self.say(&format!("\n{}. {question}\n   Where: {place}", self.asked));
        for _ in 0..TRIES {
            let Some(line) = self.line() else { return };
            match take(&line) {
                Ok(()) => return,
                Err(why) => self.say(&format!("   {why}; an empty line if you do not know")),
            }
        }
        self.say("   taken as not known");
    }
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
    let words = [" for ", " x ", ",", ";", " at "];
    let cut = words.iter().find_map(|w| text.find(w).map(|at| (at, at + w.len())));
    let (first, second) = cut.map_or((text, ""), |(a, b)| (&text[..a], &text[b..]));
    figure(answers, flags[0], first)?;
    if !answers.has(flags[0]) || is_unknown(second) {
        return Ok(());
    }
    figure(answers, flags[1], second)
}

/// Asks; what flags have said already is not asked again.
pub(super) fn questions(
    answers: &mut Answers,
    catalogue: &Catalogue,
    input: &mut dyn BufRead,
    out: &mut dyn Write,
) {
    let mut talk = Talk { input, out, asked: 0, ended: false };
    talk.say(
        "Up to ten questions. An empty line, ? or \"don't know\" is an answer: the class's range is taken then.\n\
         Isolate before you open anything; capacitors keep their charge.",
    );
    if !answers.names_a_load() {
        what(&mut talk, answers, catalogue);
    }
    let usual = |answers: &Answers, key: &str| {
        let entry = answers.word("load").and_then(|id| catalogue.entry(Shelf::Load, id))?;
        catalogue.number(entry, key)
    };
    if !answers.has("volts") {
        let shown = match (usual(answers, "rated_voltage_v"), usual(answers, "rated_frequency_hz")) {
            (Some(v), Some(hz)) => format!(" [{v} V {hz} Hz]"),
            _ => String::new(),
        };
        let question = format!("Its rated volts and hertz?{shown}");
        talk.ask(&question, "nameplate of the unit, beside V~ and Hz (\"115 V, 60 Hz\")", |text| {
            two(
                answers,
                &text.to_lowercase().replace("v ", "v, ").replace("/60", ", 60").replace("/50", ", 50"),
                ["volts", "hz"],
            )
        });
    }
    if !answers.has("rla") {
        let shown = usual(answers, "rated_load_a").map_or(String::new(), |a| format!(" [{a} A is usual]"));
        let question = format!("Its running current?{shown}");
        let place = "RLA on the compressor's label or the unit's nameplate, FLA on a motor's plate";
        talk.ask(&question, place, |text| figure(answers, "rla", text));
    }
    if !answers.has("lra") {
        let place = "LRA or LRC, beside the RLA; on the compressor itself, under its cover";
        talk.ask("Its locked-rotor current?", place, |text| figure(answers, "lra", text));
    }
    if !answers.has("lra") && !answers.has("rla") {
        let place = "plate of the motor (1 hp, CODE J), or the unit's: MCA 18, MOP 25, or its watts";
        talk.ask("Then horsepower and code letter, or MCA and MOP, or watts?", place, |text| {
            rest(answers, text)
        });
    }
    if !answers.has("supply") {
        let place = "plate of the inverter or generator, continuous: 3000 VA; of an outlet the amperes: 16 A";
        talk.ask("What feeds it?", place, |text| supply(answers, catalogue, text));
    }
    if !answers.has("surge") && answers.number("supply").is_some_and(|(_, unit)| unit != "A") {
        let place = "data sheet only: \"6000 VA for 1 s\"";
        talk.ask("What does that carry for a short time, and for how long?", place, |text| {
            two(answers, text, ["surge", "surge-s"])
        });
    }
    if !answers.has("breaker") {
        let place = "on the breaker's toggle: 20, or C16";
        talk.ask("The breaker?", place, |text| breaker(answers, text));
    }
    if !answers.has("awg") && !answers.has("mm2") {
        let place = "printed on the cable's jacket; length one way: \"12 AWG, 6 m\" or \"2.5 mm2, 8 m\"";
        talk.ask("The cable's size and length?", place, |text| cable(answers, text));
    }
    if !answers.has("running-va") {
        let place = "add up the plates of what stays on: \"300 VA\" (an electric kettle is 1500)";
        talk.ask("What else is on when it starts?", place, |text| figure(answers, "running-va", text));
    }
}

/// What is to be started: a name of the catalogue, a place in the list, or words that one summary holds.
fn what(talk: &mut Talk<'_>, answers: &mut Answers, catalogue: &Catalogue) {
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
    let list: Vec<String> = OFTEN.iter().enumerate().map(|(i, id)| format!("{} {id}", i + 1)).collect();
    let lines: Vec<String> = list.chunks(4).map(|row| row.join(", ")).collect();
    let question = format!("What is to be started? A number or a name:\n   {}", lines.join(",\n   "));
    talk.ask(&question, "`startmargin catalogue --shelf loads` has more", |text| {
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
            [] => Err(format!("the catalogue has no \"{text}\"")),
            several => Err(format!("one of these: {}", several.join(", "))),
        }
    });
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
    let text = text.trim();
    let curve = text.chars().next().filter(|c| matches!(c.to_ascii_uppercase(), 'B' | 'C' | 'D'));
    match curve {
        Some(c) if text.len() > 1 && text[1..].trim_start().starts_with(|d: char| d.is_ascii_digit()) => {
            figure(answers, "breaker", text[1..].trim_start())?;
            figure(answers, "curve", &c.to_string())
        }
        _ => figure(answers, "breaker", text),
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
