//! The sheet for the fitter: the order of tests at first power-up with the reading to expect at each, when to stop, what to order
//! and what to have in writing before cutting in.

use crate::advise::readings::{METER_S, Reading, Readings, readings};
use crate::advise::starters::{Tried, order as order_of, prove};
use crate::advise::supplies::{sized, with_supply};
use crate::advise::ways::{Outcome, Way};
use crate::advise::{Start, Verdict};
use crate::case::{Case, Pressure};
use crate::checks::say::{number, seconds};
use crate::figure::Origin;
use crate::report::compare::{self, WaysOut};
use crate::report::in_parallel;
use crate::report::starters::Comparison;
use crate::report::words::sentence;
use crate::site::Site;
use crate::starter::StarterFigures;
use crate::supply::{SupplyFigures, SupplyKind};

pub(super) struct Sheet {
    /// What is taken to be fitted.
    pub(super) fitted: String,
    pub(super) warning: String,
    pub(super) steps: Vec<Step>,
    pub(super) meter: String,
    pub(super) order: String,
    pub(super) ask: Vec<(String, Vec<String>)>,
}

/// One test.
pub(super) struct Step {
    pub(super) title: String,
    pub(super) how: String,
    pub(super) readings: Vec<Line>,
    pub(super) stop: String,
}

/// A reading to be written down beside what is expected.
pub(super) struct Line {
    pub(super) what: &'static str,
    pub(super) expect: String,
}

impl Line {
    fn new(what: &'static str, expect: impl Into<String>) -> Line {
        Line { what, expect: expect.into() }
    }
}

pub(super) fn sheet(site: &Site, cases: &[Case], ways: &WaysOut) -> Sheet {
    let as_it_is = ways.rows.first();
    let pick = ways.pick();
    let row = pick.or(as_it_is);
    let made: Vec<Case> =
        cases.iter().map(|case| row.map_or_else(|| case.clone(), |row| row.change.made(case))).collect();
    let fitted = match pick {
        Some(row) => format!("The readings are those with {} in place.", compare::name(row)),
        None => "The readings are those of the installation as it is planned.".into(),
    };
    let surely = row.is_some_and(Outcome::serves_rested);
    let fails = row.and_then(|r| r.starts.first()).is_some_and(|s| s.leaning == Verdict::Fails);
    let warning = if surely {
        String::new()
    } else if fails {
        "By the figures of this page the unit does not start on this supply: do not power it up there. Change what the first sheet names, have it \
         worked out again, and take the steps below as far as they go."
            .into()
    } else {
        "By this page it is not certain that the unit starts on this supply. Do not power up on it before that is settled: step 4 \
         on a strong supply tells more without risk to the supply."
            .into()
    };
    Sheet {
        fitted,
        warning,
        steps: steps(site, &made, row),
        meter: format!(
            "Clamp on one conductor only, range for inrush: such a meter averages over about {} (common practice, no source; \
             its manual says), so it shows less than the current at standstill. An ordinary range is too slow for the start.",
            seconds(METER_S)
        ),
        order: order(cases, ways),
        ask: ask(cases, pick),
    }
}

fn amps(r: &Reading) -> String {
    ranged(r, "A")
}

fn ranged(r: &Reading, unit: &str) -> String {
    let (low, high) = (number(r.low), number(r.high));
    if low == high {
        format!("{low} {unit}")
    } else {
        format!("{} {unit} ({low} to {high})", number(r.value))
    }
}

fn lines(r: &Readings) -> Vec<Line> {
    let mut list = vec![Line::new("Largest current, inrush range", amps(&r.inrush_a))];
    list.push(Line::new("Lowest voltage at the unit", ranged(&r.lowest_v, "V")));
    if let Some(up) = r.up_s.filter(|up| up.value > 0.0) {
        let expect = if up.low == up.high {
            seconds(up.value)
        } else {
            format!("{} ({} to {})", seconds(up.value), seconds(up.low), seconds(up.high))
        };
        list.push(Line::new("Time until it runs", expect));
    }
    if let Some(running) = &r.running_a {
        list.push(Line::new("Current once it runs, fully loaded", amps(running)));
    }
    list
}

/// A start that takes so many times its longest expected time is none (assumed).
const SLOW: f64 = 2.0;

/// Nobody switches off by hand sooner than in this time \[s\] (assumed).
const BY_HAND_S: f64 = 1.0;

/// Where to stop, by the readings and by what protects.
fn stop(case: &Case, r: &Readings, start: Option<&Start>) -> String {
    let mut said = Vec::new();
    let longest = case.load.longest_start_s.get();
    let up = r.up_s.map(|up| up.high);
    match up {
        Some(up) if r.always_up => said.push(format!(
            "not running after {}: switch off at once",
            seconds((SLOW * up).min(longest.max(up)).max(BY_HAND_S).ceil())
        )),
        Some(_) | None if case.load.inrush.is_none() => {
            said.push("hums without turning: switch off at once, do not try again before it is cold".into());
        }
        _ => {}
    }
    said.push(format!("more than {} A on the inrush range", number(r.inrush_a.high)));
    if let Some(running) = &r.running_a {
        said.push(format!("more than {} A once it runs", number(running.high)));
    }
    if start.is_some_and(|s| s.verdict != Verdict::Starts) {
        said.push("the supply shows overload".into());
    }
    format!("Stop if: {}.", said.join("; "))
}

fn steps(site: &Site, made: &[Case], row: Option<&Outcome>) -> Vec<Step> {
    let case = &made[0];
    let rested = row.and_then(|r| r.starts.first());
    let circuit = &case.circuit;
    let cable = circuit.conductor.as_ref().and_then(|c| c.size.as_ref());
    let cable = cable.map_or("as planned".to_owned(), ToString::to_string);
    let breaker = circuit.breaker.as_ref().map_or("as planned".to_owned(), |b| b.words());
    let volts = case.supply.voltage_v.get();
    let mut list = vec![
        Step {
            title: "Prove dead".into(),
            how: "Shore plug out, generator off, inverter off and its battery isolated; wait for its capacitors, discharge those of \
                  the unit. Prove the tester on a known source, then test every conductor against every other and earth, then prove \
                  the tester again."
                .into(),
            readings: vec![Line::new("Voltage between all conductors", "0 V")],
            stop: "Stop if anything is not dead.".into(),
        },
        Step {
            title: "Cable, breaker, earth".into(),
            how: "Size and length of the cable as planned, terminals to their torque, earth connected through, polarity right, \
                  the breaker of the planned rating and curve."
                .into(),
            readings: vec![
                Line::new("Cable", cable),
                Line::new("Breaker", breaker),
                Line::new("Earth connected through", "by the local code"),
            ],
            stop: "Stop if any of them differs from the plan: have the plan worked out again.".into(),
        },
        Step {
            title: "Voltage without load".into(),
            how: "Supply on, the unit's breaker off.".into(),
            readings: vec![Line::new("Voltage at the board", format!("{} V", number(volts)))],
            stop: format!(
                "Stop below {} V or above {} V (a tenth off rated; NEMA MG 1 12.44).",
                number(0.9 * volts),
                number(1.1 * volts)
            ),
        },
    ];
    // a strong supply first: what it shows is the unit's own
    let own = site.supplies.iter().find(|s| s.kind == SupplyKind::Shore && same_voltage(s, &case.supply));
    let strong = match own {
        Some(supply) if case.supply.kind != SupplyKind::Shore => with_supply(case, supply),
        _ => {
            // which ratings does not matter: none changes a start, and no check is made of it
            let ample = 1000.0;
            with_supply(case, &sized(&case.supply, ample, ample, 60.0))
        }
    };
    let first = case.supply.kind != SupplyKind::Shore;
    let both = in_parallel(&[(&strong, first), (case, true)], |(case, wanted)| {
        wanted.then(|| readings(case)).flatten()
    });
    let [on_strong, on_own] = [0, 1].map(|i| both.get(i).copied().flatten());
    let where_ = own.filter(|_| case.supply.kind != SupplyKind::Shore).map_or_else(
        || "shore power or a generator with room to spare, of the same voltage and frequency".to_owned(),
        |s| s.name.clone(),
    );
    if let Some(r) = on_strong {
        list.push(Step {
            title: format!("First start, on {where_}"),
            how: "After a rest of several minutes. Clamp on the live conductor, meter on inrush, then switch on. Let it run until \
                  the current is steady."
                .into(),
            readings: lines(&r),
            stop: stop(&strong, &r, None),
        });
    }
    // where it does not start there is no reading to expect, and no reason to try
    let fails = rested.is_some_and(|s| s.leaning == Verdict::Fails);
    if let Some(r) = on_own.filter(|_| !fails) {
        let full = if case.supply.kind == SupplyKind::Inverter { ", battery full" } else { "" };
        list.push(Step {
            title: format!("Start on {}{full}", case.supply.name),
            how: "After a rest of several minutes, nothing else on that is not on the plan.".into(),
            readings: lines(&r),
            stop: stop(case, &r, rested),
        });
        if case.supply.kind == SupplyKind::Inverter {
            list.push(Step {
                title: "The same with the battery low".into(),
                how: "The battery at the lowest charge it is meant to be used at. The battery is not modelled: the readings are those of \
                      the step before; watch the voltage on the DC side."
                    .into(),
                readings: vec![
                    Line::new("Largest current, inrush range", amps(&r.inrush_a)),
                    Line::new("Lowest voltage at the unit", ranged(&r.lowest_v, "V")),
                    Line::new("Lowest DC voltage", "above the inverter's cut-off, by its manual"),
                ],
                stop: "Stop if the inverter warns of low voltage or overload.".into(),
            });
        }
    }
    if let Some((case, start)) = made.get(1).zip(row.and_then(|r| r.starts.get(1))).filter(|_| !fails) {
        list.push(restart(case, start));
    }
    list
}

fn same_voltage(a: &SupplyFigures, b: &SupplyFigures) -> bool {
    crate::advise::supplies::Candidate { name: String::new(), own: true, figures: a.clone() }.replaces(b)
}

/// The restart straight after stopping.
fn restart(case: &Case, start: &Start) -> Step {
    let surely = start.verdict == Verdict::Starts;
    match readings(case).filter(|_| surely) {
        Some(r) => Step {
            title: "Restart straight after stopping".into(),
            how: "Let it run for ten minutes, switch it off and on again.".into(),
            readings: lines(&r),
            stop: stop(case, &r, Some(start)),
        },
        None => Step {
            title: "Restart after the wait".into(),
            how: "Straight after stopping it is not certain to start: do not try that. Let it run for ten minutes, switch it off, and \
                  see whether its control or the delay keeps it off for about three minutes (common practice, no source)."
                .into(),
            readings: vec![Line::new("Time until it starts again", "about 3 min or more")],
            stop: "Stop if it tries at once.".into(),
        },
    }
}

/// The line to order what is proposed by.
fn order(cases: &[Case], ways: &WaysOut) -> String {
    match ways.pick() {
        // the order is a span, of which some part may leave the first peak open; what is proposed was judged
        Some(row) if row.way == Way::Starter => {
            format!(
                "{} Proposed, and what the readings are of: {}.",
                starter_order(cases, ways),
                compare::name(row)
            )
        }
        Some(row) => {
            let starter = if row.way == Way::StarterAndBreaker {
                format!(" {}", starter_order(cases, ways))
            } else {
                String::new()
            };
            format!("Order: {}.{starter}", compare::name(row))
        }
        None if cases[0].load.starter != StarterFigures::default() => {
            format!("Fitted: {}.", cases[0].load.starter.words())
        }
        None if ways.rows.first().is_some_and(|r| r.worst() == Verdict::Starts) => "Order: nothing.".into(),
        None => format!(
            "Nothing before the open questions are settled: no way is certain on this supply. The engineer's sheet has what each hangs on. {}",
            starter_order(cases, ways)
        ),
    }
}

/// The line to order a soft starter by.
fn starter_order(cases: &[Case], ways: &WaysOut) -> String {
    let starts = ways.rows.first().map_or(&[][..], |r| &r.starts[..]);
    let direct: Vec<Tried> = starts
        .iter()
        .map(|s| Tried {
            pressure: s.pressure,
            start: s.clone(),
            open_v: s.facts.as_ref().map_or(0.0, |_| cases[0].supply.voltage_v.get()),
            heat_a2s: None,
        })
        .collect();
    let pressures: Vec<Pressure> = starts.iter().map(|s| s.pressure).collect();
    let order = order_of(&cases[0], &direct);
    // a starter that is proposed was judged already, and leaves nothing open
    let proposed = ways.pick().is_some_and(|row| row.way == Way::Starter);
    let order = if proposed { order } else { prove(&cases[0], order) };
    Comparison::direct(&cases[0], &pressures, direct, order).order_line()
}

/// What to ask the makers in writing before cutting in.
fn ask(cases: &[Case], pick: Option<&Outcome>) -> Vec<(String, Vec<String>)> {
    let case = &cases[0];
    let supply = &case.supply;
    let mut of_supply = vec![
        "how much it carries for how long, in volt-amperes or amperes, into a motor at standstill, whose power factor is low, and at what \
         temperature"
            .to_owned(),
    ];
    if supply.kind == SupplyKind::Inverter {
        if supply.peak_current_a.is_none() {
            of_supply.push("the instantaneous current at which it cuts off, and after how long".into());
        }
        if supply.shuts_off_on_fault.is_none() {
            of_supply.push("what it does on a short circuit, and which breaker it still opens".into());
        }
        of_supply.push("what it does after an overload: off for good, or again by itself".into());
    }
    if supply.kind == SupplyKind::Generator && supply.fault_a.is_none() {
        of_supply.push(
            "how much it drives into a short circuit and for how long: whether a breaker still opens".into(),
        );
    }
    let plate = &case.load.nameplate;
    let guessed = |origin: Option<Origin>| !matches!(origin, Some(Origin::Nameplate | Origin::Measured));
    let mut of_unit = Vec::new();
    if case.load.inrush.is_none() {
        if guessed(plate.locked_rotor_a.as_ref().map(|f| f.origin)) {
            of_unit.push("its locked-rotor current (LRA) and at which voltage".to_owned());
        }
        if cases.len() > 1 {
            of_unit.push("whether it waits before a restart, and how long".into());
        }
        of_unit.push("the lowest voltage at its terminals at which it starts".into());
        if plate.maximum_protection_a.is_none() {
            of_unit.push("the largest breaker allowed before it".into());
        }
    }
    let starter = pick.is_some_and(|r| matches!(r.way, Way::Starter | Way::StarterAndBreaker))
        || case.load.starter != StarterFigures::default();
    let of_starter = if starter {
        of_unit.push("whether a soft starter may be fitted, and what becomes of the warranty".into());
        vec![
            "the largest current it lets through, or the reduction, and for how long".to_owned(),
            "for which running and locked-rotor currents, voltage and frequency it is made".into(),
            "whether it brings a start capacitor, how large, and when that leaves".into(),
            "whether the first starts are learning starts with less reduction".into(),
            "how many starts an hour it stands, and how long it waits between two".into(),
        ]
    } else {
        Vec::new()
    };
    let lists = [
        (format!("The maker of the supply ({})", supply.name), of_supply),
        (format!("The maker of the unit ({})", case.load.name), of_unit),
        ("The maker of the soft starter".to_owned(), of_starter),
    ];
    lists
        .into_iter()
        .filter(|(_, list)| !list.is_empty())
        .map(|(who, list)| (who, list.iter().map(|l| format!("{}.", sentence(l))).collect()))
        .collect()
}
