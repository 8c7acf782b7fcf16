//! The sheet for the customer: the answer, the ways out in plain words, one plot, and what he would ask next. No signed margins.

use crate::advise::supplies::Candidate;
use crate::advise::ways::{Outcome, Point, Way};
use crate::advise::{Start, Verdict};
use crate::case::{Case, Pressure};
use crate::checks::Status;
use crate::checks::say::{number, seconds};
use crate::report::compare::{self, WaysOut};
use crate::report::plot::Picture;
use crate::report::text::limits;
use crate::report::words::{self, sentence};
use crate::supply::SupplyKind;

pub(super) struct Sheet {
    pub(super) answer: String,
    pub(super) why: String,
    pub(super) rows: Vec<Row>,
    pub(super) priced: bool,
    pub(super) below: String,
    pub(super) plot: Option<String>,
    pub(super) plot_says: String,
    pub(super) questions: Vec<(String, String)>,
}

impl Sheet {
    /// Its characters, without those that stand in every sheet.
    pub(super) fn length(&self) -> usize {
        let rows = self.rows.iter().flat_map(|r| [&r.name, &r.starts, &r.cures, &r.leaves, &r.price]);
        let questions = self.questions.iter().flat_map(|(question, answer)| [question, answer]);
        let texts = [&self.answer, &self.why, &self.below, &self.plot_says];
        texts.into_iter().chain(rows).chain(questions).map(|text| text.chars().count()).sum()
    }
}

/// A way out.
pub(super) struct Row {
    pub(super) name: String,
    pub(super) starts: String,
    pub(super) cures: String,
    pub(super) leaves: String,
    pub(super) price: String,
    pub(super) picked: bool,
}

pub(super) fn sheet(cases: &[Case], ways: &WaysOut, picture: Option<&Picture>) -> Sheet {
    let pick = ways.pick();
    // a restart that nothing cures is said once, not in every row; where nothing starts after a rest there is none to wait for
    let restarts = ways.rows.iter().any(|r| r.starts.get(1).is_some_and(|s| s.verdict == Verdict::Starts));
    let rows = ways.rows.iter().map(|row| self::row(ways, row, pick == Some(row), restarts)).collect();
    let rested = ways.rows.iter().any(|r| r.starts.first().is_some_and(|s| s.verdict != Verdict::Fails));
    let wait = if ways.pressures.len() > 1 && !restarts && rested {
        "All of this is for a start after a rest. Straight after stopping none is certain: it has to wait about three minutes (common \
         practice, no source). "
    } else {
        ""
    };
    let prices = match (ways.currency(), ways.valid_until()) {
        ("", _) => "Prices were not given for this page.".to_owned(),
        (currency, None) => format!("Prices in {currency}."),
        (currency, Some(day)) => format!("Prices in {currency}, valid until {day}."),
    };
    let cheaper = ways.cheapest().filter(|c| pick.is_some_and(|p| p != *c));
    let cheaper = cheaper.map_or(String::new(), |c| {
        format!("{} would cost less ({}). ", sentence(compare::name_of_way(c.way)), c.way.leaves())
    });
    let below = format!("{wait}{cheaper}{prices}");
    Sheet {
        answer: answer(ways, pick),
        why: why(ways),
        rows,
        priced: !ways.currency().is_empty(),
        below,
        plot: picture.map(Picture::inline),
        plot_says: picture.map_or(String::new(), |_| plot_says(cases, ways)),
        questions: questions(cases, ways, pick),
    }
}

fn as_it_is(ways: &WaysOut) -> &[Start] {
    ways.rows.first().map_or(&[], |r| r.starts.as_slice())
}

/// A name with its article, as it stands within a sentence.
fn the(name: &str) -> String {
    let own = apart(name);
    if name.to_lowercase().starts_with("the ") { own } else { format!("the {own}") }
}

/// A name as it stands in a sentence; one with letters that read from right to left is kept apart, or it would turn what stands
/// beside it.
fn apart(name: &str) -> String {
    // Hebrew to Arabic Extended-A with their presentation forms, and the right-to-left scripts of the supplementary plane
    // (Unicode, bidirectional classes R and AL)
    let turns = |c: char| {
        matches!(c, '\u{590}'..='\u{8ff}' | '\u{fb1d}'..='\u{fdff}' | '\u{fe70}'..='\u{feff}'
            | '\u{10800}'..='\u{10fff}' | '\u{1e800}'..='\u{1efff}')
    };
    if name.chars().any(turns) { format!("\u{2068}{name}\u{2069}") } else { name.to_owned() }
}

/// A text whose figures stay on one line with their units.
fn bound(text: &str) -> String {
    const UNITS: [&str; 8] = ["A", "V", "VA", "W", "%", "s", "ms", "uF"];
    let mut out = String::with_capacity(text.len());
    let mut before = "";
    for (i, word) in text.split(' ').enumerate() {
        let figure = before.ends_with(|c: char| c.is_ascii_digit());
        let unit = UNITS.contains(&word.trim_end_matches([',', '.', ';', ':', ')', '?']));
        if i > 0 {
            out.push(if figure && unit { '\u{a0}' } else { ' ' });
        }
        out.push_str(word);
        before = word;
    }
    out
}

/// With its full stop.
fn stopped(text: String) -> String {
    if text.is_empty() { text } else { text + "." }
}

/// The answer in a sentence or two.
fn answer(ways: &WaysOut, pick: Option<&Outcome>) -> String {
    let starts = as_it_is(ways);
    let (load, supply) = (the(&ways.load), the(&ways.supply));
    let as_planned = match starts {
        [] => format!("Whether {load} starts on {supply} could not be worked out."),
        [rested, ..] => match (rested.verdict, starts.iter().map(|s| s.verdict).max()) {
            (Verdict::Starts, Some(Verdict::Starts)) => format!("As planned, {load} starts on {supply}."),
            (Verdict::Starts, _) => {
                format!(
                    "As planned, {load} starts on {supply} after a rest; straight after stopping it may not."
                )
            }
            (Verdict::Uncertain, _) if rested.leaning == Verdict::Fails => {
                format!("As planned, it is not certain that {load} starts on {supply}; probably it does not.")
            }
            (Verdict::Uncertain, _) => {
                format!("As planned, it is not certain that {load} starts on {supply}.")
            }
            (Verdict::Fails, _) => format!("As planned, {load} will not start on {supply}."),
        },
    };
    let with = match pick {
        Some(row) => {
            let cost = row
                .cost
                .filter(|_| !ways.currency().is_empty())
                .map_or(String::new(), |c| format!(", for {:.0} {},", c.total(), ways.currency()));
            let rest = if ways.pressures.len() > 1 && row.worst() != Verdict::Starts {
                ", after a rest"
            } else {
                ""
            };
            let unchecked = row.starts.first().map_or(&[][..], |s| &s.not_checked[..]);
            let unchecked = match unchecked {
                [] => String::new(),
                ids => format!(" (not looked at: {})", words::not_checked(ids)),
            };
            format!(" With {}{cost} it will{rest}{unchecked}.", plain_name(row))
        }
        None if starts.iter().all(|s| s.verdict == Verdict::Starts) => String::new(),
        None => {
            let elsewhere = ways.rows.iter().skip(1).find(|r| r.serves_rested());
            match elsewhere {
                Some(row) => format!(" {} it does.", sentence(plain_name(row).trim_start_matches("only "))),
                None if ways.rows.len() > 1 => {
                    " None of the ways below is certain; what each hangs on stands beside it.".to_owned()
                }
                None => " No way was found that starts it for certain; the engineer's sheet has the reasons."
                    .to_owned(),
            }
        }
    };
    bound(&(as_planned + &with))
}

fn why(ways: &WaysOut) -> String {
    let deciding = ways.rows.first().and_then(Outcome::deciding);
    deciding.map_or(String::new(), |start| bound(&format!("{}.", sentence(&limits(start)))))
}

/// A way for people who do not fit electrics.
fn plain_name(row: &Outcome) -> String {
    let change = &row.change;
    match row.way {
        Way::AsItIs => "everything left as it is".into(),
        Way::Straight => "no starter".into(),
        Way::Delay => "a delay of about three minutes before it restarts".into(),
        Way::SmallerUnit => {
            let size = change.unit.map_or(String::new(), |(share, a)| {
                format!(" ({:.0} % of this one, at most {} A LRA on its label)", 100.0 * share, number(a))
            });
            format!("a smaller unit{size}")
        }
        Way::Shore | Way::Generator => {
            let supply = change.supply.as_ref();
            let own = supply.filter(|s| s.own).map(|s| apart(&s.name));
            let size = supply.map(Candidate::size_va).filter(|va| va.is_finite());
            let what = own.or(size.map(|va| format!("of {va:.0} VA")));
            let what = what.map_or(String::new(), |what| format!(" ({what})"));
            let way =
                if row.way == Way::Shore { "only on mains or shore power" } else { "only on a generator" };
            format!("{way}{what}")
        }
        Way::Starter | Way::StarterAndBreaker
            if change.starter.as_ref().is_some_and(|(_, f)| f.based_on.is_some()) =>
        {
            // a class of the catalogue, told by what it is
            let (_, figures) = change.starter.clone().unwrap_or_default();
            let breaker =
                change.breaker.as_ref().map_or(String::new(), |b| format!(" and a breaker of {}", b.words()));
            format!("a {}{breaker}", figures.words())
        }
        _ => {
            let name = compare::name(row);
            name.split_once(": ").map_or(name.clone(), |(way, what)| format!("{way} ({})", apart(what)))
        }
    }
}

fn row(ways: &WaysOut, row: &Outcome, picked: bool, restarts: bool) -> Row {
    let starts: Vec<String> = row
        .starts
        .iter()
        .take(if restarts { 2 } else { 1 })
        .map(|s| {
            let word = match (s.verdict, s.leaning) {
                (Verdict::Starts, _) => "yes, for certain".to_owned(),
                (Verdict::Uncertain, Verdict::Starts) => format!("probably; {}", hangs_on(s)),
                (Verdict::Uncertain, Verdict::Fails) => format!("probably not; {}", hangs_on(s)),
                (Verdict::Uncertain, Verdict::Uncertain) => format!("open; {}", hangs_on(s)),
                (Verdict::Fails, _) => "no".to_owned(),
            };
            match s.pressure {
                _ if !restarts || row.starts.len() < 2 => format!("{}.", sentence(&word)),
                Pressure::Equalised => format!("After a rest: {word}."),
                Pressure::Unequal => format!("Straight after stopping: {word}."),
            }
        })
        .collect();
    Row {
        name: bound(&sentence(&plain_name(row))),
        starts: bound(&starts.join(" ")),
        cures: stopped(list(&row.cures, restarts, false)),
        leaves: leaves(row, restarts),
        price: price(ways, row),
        picked,
    }
}

fn price(ways: &WaysOut, row: &Outcome) -> String {
    match row.cost {
        Some(_) if row.way == Way::AsItIs || row.way == Way::Straight => String::new(),
        Some(cost) if !ways.currency().is_empty() => format!("{:.0} {}", cost.total(), ways.currency()),
        _ => String::new(),
    }
}

/// What an uncertain start hangs on.
fn hangs_on(start: &Start) -> String {
    let decides = start.deciding();
    let key = decides.and_then(|f| f.depends_on.first());
    match (key, decides) {
        (Some(key), _) => format!("it hangs on the {}", words::figure(key)),
        (None, Some(f)) => format!("not settled: {}", plain(f.id)),
        (None, None) => "not settled".into(),
    }
}

/// What goes wrong, in plain words.
fn plain(id: &str) -> &'static str {
    match id {
        "surge" => "supply overloaded at the start",
        "peak-current" => "first peak too high for the supply",
        "breaker" => "breaker trips on the start",
        "breaker-instantaneous" => "breaker trips on the first peak",
        "terminal-voltage" => "too little voltage at the unit",
        "acceleration" => "motor does not come up to speed",
        "overload-protector" => "motor's own protector trips",
        "conductor" => "cable not protected by its breaker",
        "continuous" => "too much running current",
        "disconnection" => "a short circuit not cleared",
        other => words::check(other),
    }
}

/// Points in words, those of a restart only where restarts are told apart; with `doubts` what is not certain is told as such.
fn list(points: &[Point], restarts: bool, doubts: bool) -> String {
    let mut said: Vec<String> = Vec::new();
    for point in points {
        let word = match point.pressure {
            Some(Pressure::Unequal) if !restarts => continue,
            Some(Pressure::Unequal) => format!("{} (straight after stopping)", plain(point.id)),
            _ => plain(point.id).to_owned(),
        };
        let word = match point.status {
            Status::Uncertain if doubts => format!("perhaps {word}"),
            _ => word,
        };
        if !said.contains(&word) {
            said.push(word);
        }
    }
    // the rest stands on the engineer's sheet
    if said.len() > MOST_SAID + 1 {
        let more = said.len() - MOST_SAID;
        said.truncate(MOST_SAID);
        said.push(format!("and {more} more"));
    }
    sentence(&said.join("; "))
}

/// So many things that go wrong are named of one way, one more where that is all.
const MOST_SAID: usize = 2;

/// What is still open, then what the way leaves by its nature.
fn leaves(row: &Outcome, restarts: bool) -> String {
    let mut said: Vec<String> = Vec::new();
    let open = list(&row.open, restarts, true);
    if !open.is_empty() {
        said.push(stopped(open));
    }
    if row.way != Way::AsItIs {
        said.push(format!("{}.", sentence(row.way.leaves())));
    }
    said.join(" ")
}

fn plot_says(cases: &[Case], ways: &WaysOut) -> String {
    let behind = ways.rows.iter().any(|r| matches!(r.way, Way::Starter | Way::Straight));
    let starter = if behind { "; broken line: behind the starter" } else { "" };
    let limit = match cases[0].supply.kind {
        SupplyKind::Inverter => " Above its limit the inverter switches off.",
        SupplyKind::Generator => " Above its limit the generator's voltage gives way.",
        SupplyKind::Shore => "",
    };
    format!("Full line: straight on the line{starter}.{limit}")
}

/// Where the start takes no more than this many times the running current, nobody asks why it matters (assumed).
const MUCH_MORE: f64 = 1.15;

/// What a customer asks next, with the answer.
fn questions(cases: &[Case], ways: &WaysOut, pick: Option<&Outcome>) -> Vec<(String, String)> {
    let mut list: Vec<(String, String)> = Vec::new();
    let Some(rested) = as_it_is(ways).first() else { return list };
    if let Some(facts) = &rested.facts
        && let Some(settled) = facts.settled_a.filter(|_| rested.reaches_speed() || rested.inrush)
        && facts.largest_rms_a > MUCH_MORE * settled
    {
        let times = facts.largest_rms_a / settled;
        let lasts = match (facts.start_duration_s, rested.inrush) {
            (Some(s), false) => format!(" for about {}, until it is up to speed", seconds(s)),
            (None, false) => " for as long as it does not get going".into(),
            (_, true) => " for a moment".into(),
        };
        list.push((
            bound(&format!("It runs on {} A once it is loaded. Why is that not the whole question?", number(settled))),
            bound(&format!(
                "Because at the start it takes {} A, {} times as much{lasts}. What feeds it has to carry that too.",
                number(facts.largest_rms_a),
                number(times)
            )),
        ));
    }
    let breaker = rested.finding("breaker").filter(|f| f.status == Status::Pass);
    list.push((
        "Would a larger breaker do?".into(),
        match (cases[0].circuit.breaker.as_ref(), breaker) {
            (Some(b), Some(_)) => {
                let starts = as_it_is(ways).iter().all(|s| s.verdict == Verdict::Starts);
                let no = if starts { "None is needed" } else { "No" };
                bound(&format!(
                    "{no}: the breaker of {} holds this start. And a breaker protects the cable: it is never made larger than the \
                     cable and the unit's label allow.",
                    b.words()
                ))
            }
            _ => "A breaker protects the cable: it is never made larger than the cable and the unit's label allow, nor so large that \
                  it no longer clears a short circuit."
                .into(),
        },
    ));
    if ways.pressures.len() > 1 {
        // the way that is proposed, else one that does, else as it is
        let serves = || ways.rows.iter().find(|r| r.serves_rested());
        let starts = pick.or_else(serves).or(ways.rows.first()).map_or(&[][..], |r| &r.starts[..]);
        const WAIT: &str = "Straight after stopping the motor has to turn against pressure that is still there: let it wait about three \
                            minutes (common practice, no source), by its own control or by a delay.";
        let whole = match starts {
            [rested, _] if rested.verdict == Verdict::Fails => None,
            [rested, _] if rested.verdict == Verdict::Uncertain => {
                Some(format!("If it starts, then after a rest. {WAIT}"))
            }
            [_, restart] if restart.verdict == Verdict::Starts => {
                Some("Yes, straight after stopping too.".to_owned())
            }
            _ => Some(format!("After a rest. {WAIT}")),
        };
        list.extend(whole.map(|answer| ("Will it start every time?".to_owned(), answer)));
    }
    list.push(("How sure is this?".into(), how_sure(rested)));
    list.push((
        "How do we know afterwards?".into(),
        "At first power-up the start is measured and compared with what this page expects: the fitter's sheet has the readings.".into(),
    ));
    list
}

fn how_sure(rested: &Start) -> String {
    let doubts: Vec<String> =
        rested.doubts.iter().filter(|d| words::matters(d)).take(3).map(|d| words::figure(&d.key)).collect();
    let doubts = if doubts.is_empty() {
        "The figures it rests on are given, without a range.".to_owned()
    } else {
        format!("What moves it most, and is known only within a range: {}.", doubts.join("; "))
    };
    let unchecked = match rested.not_checked.as_slice() {
        [] => String::new(),
        ids => format!(" Not looked at, for want of data or of a model: {}.", words::not_checked(ids)),
    };
    format!(
        "It is worked out, not measured. \"Yes\" means that it starts wherever the figures that are known only within a range really lie. {doubts}{unchecked}"
    )
}
