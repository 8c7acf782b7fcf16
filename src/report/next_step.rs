//! What to do next, in a sentence; and the reduction window in another.

use super::words;
use crate::advise::{Start, Verdict, Window};
use crate::case::Pressure;
use crate::checks::say::{number, seconds};
use crate::checks::{Finding, Status};

/// A share as whole per cent, on the safe side of an interval's ends.
fn per_cent(share: f64, up: bool) -> String {
    let hundredths = 100.0 * share;
    let whole = if up { (hundredths - 1e-9).ceil().max(0.0) } else { (hundredths + 1e-9).floor() };
    // no "-0"
    format!("{:.0}", whole + 0.0)
}

/// "11 to 41 %", or "21 %" where the whole per cents fall together.
pub(super) fn span([a, b]: [f64; 2]) -> String {
    let (low, high) = (per_cent(a, true), per_cent(b, false));
    if low == high { format!("{low} %") } else { format!("{low} to {high} %") }
}

/// The widest interval that has a whole per cent in it: of those that hold over the figures' ranges, else of those by their
/// values.
fn widest(window: &Window) -> Option<[f64; 2]> {
    let widest = |list: &[[f64; 2]]| {
        let whole = list.iter().copied().filter(|[a, b]| (100.0 * a).ceil() <= (100.0 * b).floor());
        whole.max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
    };
    widest(&window.passes_over_ranges).or_else(|| widest(&window.passes))
}

fn settings(start: &Start, [a, b]: [f64; 2]) -> String {
    let lra = start.facts.as_ref().map_or(0.0, |f| f.locked_rotor_at_supply_a);
    let per_cents = span([a, b]);
    let amps = |r: f64| number((1.0 - r) * lra);
    // from nothing on: what counts is not to go too far
    if per_cent(a, true) == "0" {
        return format!(
            "at most {} % less (no lower than {} A)",
            per_cent(b, false),
            amps((100.0 * b).floor() / 100.0)
        );
    }
    let (a, b) = ((100.0 * a).ceil() / 100.0, (100.0 * b).floor() / 100.0);
    if a >= b {
        return format!("{per_cents} less ({} A)", amps(a));
    }
    format!("{per_cents} less ({} to {} A)", amps(a), amps(b))
}

/// What to do next.
pub(super) fn next_step(start: &Start) -> String {
    if start.facts.is_none() {
        let mut keys: Vec<String> = Vec::new();
        for key in start.findings.iter().flat_map(|f| &f.missing).map(|key| shop_key(key)) {
            if !keys.contains(&key) {
                keys.push(key);
            }
        }
        // the motor first: the rest is of no use without it
        keys.sort_by_key(|key| key.contains('.'));
        return match keys.as_slice() {
            [] => "choose a starter that is modelled, or judge the direct start first.".into(),
            [one] => format!("give {one}: without it the start cannot be run."),
            keys => format!("give {}: without them the start cannot be run.", keys.join(" and ")),
        };
    }
    if start.unfit.is_some() && start.inrush {
        return "take this starter out.".into();
    }
    if start.unfit.is_some() {
        return "take this starter out; startmargin starters SITE.toml shows what serves instead.".into();
    }
    if start.verdict == Verdict::Starts {
        return match start.doubts.iter().find(|d| words::matters(d)) {
            Some(d) => {
                format!("nothing has to change; check the {} before you rely on it.", words::figure(&d.key))
            }
            None => {
                "nothing has to change; have what was not checked looked at before you rely on it.".into()
            }
        };
    }
    let other_voltage =
        |f: &Finding| f.status == Status::Fail && f.margins.is_some_and(|m| m.modelled <= -1.0);
    if start.finding("terminal-voltage").is_some_and(other_voltage) {
        return "use a supply of the load's own voltage; nothing else cures this.".into();
    }
    // a soft starter is no help to the cable
    let cable = start.finding("conductor").filter(|f| f.at_value == Status::Fail);
    let cable = cable.map_or(String::new(), |f| format!(" And change cable or breaker: {}.", f.told.why));
    let cure = cure(start);
    if start.pressure == Pressure::Unequal {
        let cure = cure.map_or(".".into(), |cure| format!("; or {cure}"));
        return format!(
            "wait before a restart until the pressure has equalised (about 3 minutes, common practice, no \
             source){cure}{cable}"
        );
    }
    if let Some(cure) = cure {
        return cure + &cable;
    }
    let Some(worst) = start.deciding() else { return "nothing to judge.".into() };
    if worst.status == Status::Pass {
        let later: Vec<&str> = start
            .findings
            .iter()
            .filter(|f| f.margins.is_none())
            .map(|f| words::check_of(start, f.id))
            .collect();
        return format!("what is modelled passes; have these checked by other means: {}.", later.join(", "));
    }
    if worst.at_value == Status::Pass {
        if let Some(key) = worst.depends_on.first() {
            return format!("pin down the {}: within its range the verdict turns.", words::figure(key));
        }
        if let Some(reservation) = &worst.reservation {
            return format!("by the figures it passes, but {reservation}.");
        }
    }
    if let Some(key) = worst.missing.first() {
        return format!("give {}.", shop_key(key));
    }
    serve_instead(start, worst)
}

/// A missing figure as it is called, with its key.
fn shop_key(key: &str) -> String {
    let key = key.trim_start_matches("load.").replace("[]", "");
    match words::figure(&key) {
        word if word.contains(' ') && word != key.replace('_', " ") => format!("the {word} ({key})"),
        _ => key,
    }
}

/// A soft starter, if a check that it can cure does not pass.
fn cure(start: &Start) -> Option<String> {
    let curable = |f: &Finding| {
        let starts = f.id != "acceleration" || !start.lost_in_dip();
        matches!(f.id, "surge" | "breaker" | "acceleration" | "peak-current")
            && f.at_value != Status::Pass
            && starts
    };
    let is_bad = start.findings.iter().any(curable) && start.no_soft_starter.is_none();
    let others =
        start.findings.iter().any(|f| f.at_value == Status::Fail && !curable(f) && f.id != "conductor");
    if !is_bad || others {
        return None;
    }
    let reduction = start.reduction.as_ref()?;
    let plain = widest(&reduction.plain);
    let with = reduction.with_capacitor.as_ref().and_then(widest);
    let soft = if start.starter.starts_with("soft") { "the soft starter" } else { "a soft starter" };
    let width = |i: Option<[f64; 2]>| i.map_or(-1.0, |[a, b]| b - a);
    if width(with) > width(plain) + 0.02 {
        let capacitor =
            reduction.capacitor.as_ref().map_or(String::new(), |(uf, _)| format!("{} uF", number(uf.get())));
        let set = settings(start, with?);
        let sure = how_sure(reduction.with_capacitor.as_ref()?);
        return Some(format!("{soft} with a start capacitor ({capacitor}), set to {set}{sure}."));
    }
    let set = settings(start, plain?);
    let sure = how_sure(&reduction.plain);
    Some(format!("{soft}, set to {set}{sure}."))
}

/// Whether a window holds for more than the figures' values.
fn how_sure(window: &Window) -> &'static str {
    if window.passes_over_ranges.is_empty() { "; not certain over the figures' ranges" } else { "" }
}

/// What would serve where no reduction does.
fn serve_instead(start: &Start, worst: &Finding) -> String {
    if let Some(said) = serve_inrush(start, worst) {
        return said;
    }
    let facts = start.facts.as_ref();
    let lasts = facts.and_then(|f| f.start_duration_s);
    match (worst.id, worst.told.demand) {
        ("surge", Some(demand)) => {
            let time = lasts.map_or(String::new(), |s| format!(" for {}", seconds(s)));
            // a stronger supply gives way less, and is asked for more
            let most = facts.map_or(demand, |f| demand.max(f.locked_rotor_at_supply_a));
            // what the supply is asked for beyond the load is what else is on
            let others = facts.is_some_and(|f| f.largest_supply_a > 1.005 * f.largest_rms_a);
            let off = if others { "switch off what else is on, or " } else { "" };
            let why = if start.no_soft_starter.is_some() {
                "no soft starter is one for this motor"
            } else {
                "no soft starter setting passes everything"
            };
            format!(
                "{why}: {off}take a supply that carries {} A{time}; startmargin compare shows the other ways.",
                number(most)
            )
        }
        ("breaker", _) if worst.at_value != Status::Fail => {
            "by the usual curve the breaker holds, with less than a quarter in hand: measure a start, or see to less start \
             current; never enlarge it beyond what cable and nameplate allow."
                .into()
        }
        ("breaker", _) => "no soft starter setting passes: the breaker does not ride through this start; \
                           never enlarge it beyond what cable and nameplate allow."
            .into(),
        ("acceleration", _) if start.lost_in_dip() => {
            "see that the voltage dips less or for less long (another supply or order of starting), or have a \
             relay drop the motor out on low voltage and start it anew."
                .into()
        }
        ("acceleration", _) if start.reduction.as_ref().is_some_and(|r| r.with_capacitor.is_none()) => {
            "less voltage drop (supply, cable), an easier load, or a motor with more starting torque.".into()
        }
        ("acceleration", _) => {
            "less voltage drop (supply, cable), a start capacitor, or a motor with more starting torque.".into()
        }
        ("terminal-voltage", _) => "a stronger supply or a thicker cable: too much voltage is lost on the way.".into(),
        ("conductor", _) if worst.status == Status::Uncertain => {
            "make sure that the motor has an overload protector of its own, or take a thicker cable or a smaller breaker."
                .into()
        }
        ("conductor", _) => format!("change cable or breaker: {}.", worst.told.why),
        ("continuous", _) => "a larger supply or circuit: the running current alone is too much.".into(),
        _ => format!("look into {}: {}.", words::check_of(start, worst.id), worst.told.why),
    }
}

/// The same for what has no rotor: no soft starter helps it, a resistor that is bridged after some cycles does.
fn serve_inrush(start: &Start, worst: &Finding) -> Option<String> {
    if !start.inrush {
        return None;
    }
    let amps = number(worst.told.demand?);
    Some(match worst.id {
        "surge" => format!("switch off what else is on, or take a supply that carries {amps} A for some cycles."),
        "peak-current" => format!(
            "take a supply that gives a crest of {amps} A, or put an inrush limiter (a resistor that a relay bridges) before it."
        ),
        "breaker" | "breaker-instantaneous" => {
            "put an inrush limiter (a resistor that a relay bridges) before it, or have an electrician look at a breaker with a \
             slower instantaneous trip; never enlarge it beyond what the cable allows."
                .into()
        }
        _ => return None,
    })
}

/// The reduction window in sentences.
pub(super) fn window(start: &Start) -> String {
    let Some(reduction) = &start.reduction else { return String::new() };
    if let Some(why) = &start.no_soft_starter {
        return format!("No soft starter: {why}.");
    }
    let said = |window: &Window, how: &str| match (window.passes.as_slice(), window.most) {
        ([], None) => format!("{how} the motor does not reach speed at any setting."),
        ([], Some(most)) => format!(
            "{how} no setting passes (beyond {} % reduction the motor no longer reaches speed).",
            per_cent(most, false)
        ),
        (passes, most) => {
            let list: Vec<String> = passes.iter().map(|i| span(*i)).collect();
            let limit = most.map_or(String::new(), |m| {
                let low = window.most_low.map_or(String::new(), |low| {
                    format!(", {} % with torque at its worse bound", per_cent(low, false))
                });
                let chopped = window.most_chopped.filter(|c| per_cent(*c, false) != per_cent(m, false));
                let chopped = chopped.map_or(String::new(), |chopped| {
                    format!(" ({} % with thyristors, whose harmonics take current)", per_cent(chopped, false))
                });
                format!("; the motor no longer reaches speed beyond {} %{chopped}{low}", per_cent(m, false))
            });
            let over = if window.passes_over_ranges == window.passes {
                String::new()
            } else if window.passes_over_ranges.is_empty() {
                "; over the figures' ranges none of it holds".into()
            } else {
                let kept: Vec<String> = window.passes_over_ranges.iter().map(|i| span(*i)).collect();
                format!("; over the figures' ranges {}", kept.join(" or "))
            };
            format!("{how} {} less start current passes{over}{limit}.", list.join(" or "))
        }
    };
    let plain = said(&reduction.plain, "With a soft starter alone,");
    let with = match (&reduction.with_capacitor, &reduction.capacitor) {
        (Some(window), Some((uf, cut_out))) => said(
            window,
            &format!(
                "With a start capacitor of {} uF up to {} % speed beside it,",
                number(uf.get()),
                number(100.0 * cut_out.get())
            ),
        ),
        _ => String::new(),
    };
    let left_out: Vec<String> = start
        .not_in_window()
        .map(|f| match &f.reservation {
            Some(reservation) => format!("{} ({reservation})", words::check(f.id)),
            None => words::check(f.id).to_owned(),
        })
        .collect();
    let left_out = if left_out.is_empty() {
        String::new()
    } else {
        format!(" Not counted in it: {}.", left_out.join(", "))
    };
    format!("{plain} {with}{left_out}")
}
