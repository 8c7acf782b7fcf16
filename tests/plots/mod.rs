//! Plots: what is drawn stays in its frame, what is written stays apart and inside, the point that decides lies where it is said to,
//! and what comes out is XML.

mod extremes;
mod look;
mod xml;

use std::fmt::Write as _;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use startmargin::advise::{Start, judge, judge_without_windows};
use startmargin::case::{Case, Path, Pressure};
use startmargin::figure::{Figure, Origin};
use startmargin::protection::hot_share;
use startmargin::quantity::Ratio;
use startmargin::report::plot::{Limiting, Line, Picture, Plot, Scale, Subject, Told, pictures, terminal};
use startmargin::site::{self, Site};
use startmargin::start::{Row, Trace};
use startmargin::starter::{StarterFigures, StarterKind};

fn read(text: &str) -> Site {
    site::read("site.toml", text).unwrap_or_else(|m| panic!("{m:#?}\n{text}"))
}

/// The load straight on the line and, if asked, held to a share of its start current; the other pressure where both are known.
fn subject(site: &Site, load: usize, reduction: Option<f64>) -> Subject {
    subject_of(site, load, reduction, judge)
}

/// The same with a quicker judgement of the direct start, if wanted.
fn subject_of(site: &Site, load: usize, reduction: Option<f64>, judge: fn(&Case) -> Start) -> Subject {
    let figures = &site.loads[load].figures;
    let pressures = startmargin::report::pressures_of(figures);
    let at = |pressure: Pressure, starter: StarterFigures| -> Case {
        let mut case = site.case(load, 0, pressure);
        case.load.starter = starter;
        case
    };
    let first = pressures.iter().copied().min().unwrap();
    let held = |r: f64| StarterFigures {
        kind: StarterKind::Limiter,
        reduction: Some(Figure::exact(Ratio(r), Origin::Given)),
        ..StarterFigures::default()
    };
    let told =
        |label: &str, case: Case| Told { label: label.into(), start: judge_without_windows(&case), case };
    let case = at(first, StarterFigures::default());
    Subject {
        direct: Told { label: "direct".into(), start: judge(&case), case },
        reduced: reduction.map(|r| told(&format!("held to {:.0} %", 100.0 * (1.0 - r)), at(first, held(r)))),
        restart: pressures
            .iter()
            .find(|p| **p != first)
            .map(|p| told("straight after stopping", at(*p, StarterFigures::default()))),
    }
}

/// Everything that holds of every picture; gives the pictures for more.
fn sound(what: &str, subject: &Subject) -> Vec<Picture> {
    let all = pictures(subject);
    assert!(!all.is_empty(), "{what}: nothing is drawn");
    for picture in &all {
        let what = format!("{what}, {}", picture.plot.word());
        in_the_frames(&what, picture);
        apart(&what, picture);
        xml::well_formed(&what, &picture.file());
        xml::well_formed(&what, &picture.inline());
        xml::ids(&what, picture);
        if let Some(limiting) = &picture.limiting {
            on_both_curves(&what, picture, limiting, subject);
        }
        assert_eq!(picture.plot.draw(subject).unwrap().file(), picture.file(), "{what}: drawn twice");
    }
    if let Some(text) = terminal(subject) {
        assert!(text.is_ascii(), "{what}: {text}");
        assert!(text.lines().all(|l| l.len() <= 100) && text.lines().count() <= 30, "{what}:\n{text}");
    }
    all
}

fn in_the_frames(what: &str, picture: &Picture) {
    for line in &picture.lines {
        let frame = picture.axes[line.axes].bounds.grown(1e-6);
        for part in &line.parts {
            assert!(part.len() <= 400, "{what}: {} has {} points", line.name, part.len());
            for &(x, y) in part {
                let inside = x >= frame.left && x <= frame.right && y >= frame.top && y <= frame.bottom;
                assert!(inside, "{what}: {} at {x}, {y} leaves {frame:?}", line.name);
            }
        }
    }
}

fn apart(what: &str, picture: &Picture) {
    for (i, a) in picture.labels.iter().enumerate() {
        let b = a.bounds;
        let inside = b.left >= 0.0 && b.top >= 0.0 && b.right <= picture.width && b.bottom <= picture.height;
        assert!(inside, "{what}: \"{}\" at {b:?} leaves the picture", a.text);
        for other in &picture.labels[i + 1..] {
            assert!(!b.overlaps(&other.bounds), "{what}: \"{}\" over \"{}\"", a.text, other.text);
        }
    }
}

/// Distance of a point from a curve, in user units.
fn from_line(line: &Line, p: (f64, f64)) -> f64 {
    let segment = |a: (f64, f64), b: (f64, f64)| {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let square: f64 = dx * dx + dy * dy;
        let along = ((p.0 - a.0) * dx + (p.1 - a.1) * dy) / square.max(1e-12);
        let share = along.clamp(0.0, 1.0);
        (p.0 - a.0 - share * dx).hypot(p.1 - a.1 - share * dy)
    };
    line.parts
        .iter()
        .flat_map(|part| part.windows(2).map(|w| segment(w[0], w[1])))
        .fold(f64::INFINITY, f64::min)
}

/// The marked point: on the start's curve and, as much further as the margin says, on that of the limit; and the start that much
/// larger lies nowhere beyond what is allowed.
fn on_both_curves(what: &str, picture: &Picture, limiting: &Limiting, subject: &Subject) {
    let (start, limit) = (&picture.lines[limiting.start_line], &picture.lines[limiting.limit_line]);
    for (line, point) in [(start, limiting.start), (limit, limiting.limit)] {
        let off = from_line(line, point);
        assert!(off < 1.0, "{what}: {} is {off} from {}: {limiting:?}", line.name, limiting.check);
    }
    let margin = subject.direct.start.finding(limiting.check).unwrap().margins.unwrap().modelled;
    assert!((margin - limiting.margin).abs() < 1e-5 * (1.0 + margin), "{what}: {margin}, {limiting:?}");
    let x: &Scale = &picture.axes[0].x;
    let larger = (x.figure(limiting.limit.0) / x.figure(limiting.start.0)).ln();
    assert!((larger - margin.ln_1p()).abs() < 1e-4, "{what}: {larger} against {margin}");
    assert!((limiting.start.1 - limiting.limit.1).abs() < 1e-9, "{what}: not at the same time");
    worth(what, picture, limiting, subject);

    // a limit allows less time the larger the current: what it allows a user unit to the left is the most it allows here
    let by = limiting.limit.0 - limiting.start.0;
    let allowed: Vec<(f64, f64)> = limit.parts.iter().flatten().copied().collect();
    let frame = picture.axes[0].bounds;
    for &(px, py) in start.parts.iter().flatten() {
        let at = px + by - 1.0;
        if at > frame.right || at < frame.left {
            continue;
        }
        // no limit so far left in the picture: more is allowed than it shows
        let Some(before) = allowed.iter().rposition(|p| p.0 <= at) else { continue };
        let (a, b) = (allowed[before], allowed.get(before + 1).copied().unwrap_or(allowed[before]));
        let share = if b.0 > a.0 { (at - a.0) / (b.0 - a.0) } else { 0.0 };
        let top = a.1 + share * (b.1 - a.1);
        assert!(py >= top - 1.0, "{what}: the start scaled is at {py} where {top} is allowed, {limiting:?}");
    }
}

/// The time of the marked point, from the trace: the whole start is worth no longer at its largest current than it spends above
/// what is carried for ever; of a breaker it is what the curve allows there, as warm as the breaker is.
fn worth(what: &str, picture: &Picture, limiting: &Limiting, subject: &Subject) {
    let mut case = subject.direct.case.clone();
    case.settle_pressure();
    let Ok(path) = Path::new(&case) else { return };
    if path.variants() > 1 || path.is_inrush() {
        return;
    }
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    let (x, y) = (&picture.axes[0].x, &picture.axes[0].y);
    let (k, seconds) = (1.0 + limiting.margin, y.figure(limiting.start.1));
    let by_supply = limiting.check == "surge";
    let amps = |row: &Row| if by_supply { row.supply_a } else { row.line_a };
    let largest = trace.rows.iter().map(amps).fold(0.0, f64::max);
    let asked = x.figure(limiting.start.0);
    // the settled current decides, or the time is too short to be shown
    if (asked / largest - 1.0).abs() > 1e-3 || seconds < 2.05 * y.low {
        return;
    }
    let forever = match &path.edges {
        _ if by_supply => path.continuous_a.unwrap(),
        edges => edges.as_ref().unwrap().fast.forever(),
    };
    let above: f64 = trace
        .rows
        .windows(2)
        .map(|pair| {
            let (a, b) = (k * amps(&pair[0]), k * amps(&pair[1]));
            let (low, high) = (a.min(b), a.max(b));
            let share = if high > low {
                ((high - forever) / (high - low)).clamp(0.0, 1.0)
            } else {
                f64::from(low > forever)
            };
            share * (pair[1].t_s - pair[0].t_s)
        })
        .sum();
    // what a warm breaker carried before comes on top
    let warm = path.warm && !by_supply;
    assert!(warm || seconds <= 1.001 * above, "{what}: worth {seconds} s of {above} s, {limiting:?}");
    if by_supply {
        return;
    }
    let edges = path.edges.as_ref().unwrap();
    let preload =
        if path.warm { k * trace.settled.map_or(path.rated_load_a.unwrap(), |s| s.line_a) } else { 0.0 };
    let allowed = |amps: f64| {
        let share = if amps <= edges.at_once.assumed_a { hot_share(amps, preload, forever) } else { 1.0 };
        edges.fast.time(amps) * share
    };
    let (least, most) = (allowed(k * largest * 1.0001), allowed(k * largest * 0.9999));
    assert!(seconds >= 0.98 * least && seconds <= 1.02 * most, "{what}: {seconds} s of {least} to {most} s");
}

/// A random site: a motor given outright, of any size, on a supply that fits more or less.
#[derive(Debug, Clone)]
struct Random {
    iec: bool,
    rated_a: f64,
    ratio: f64,
    inertia: f64,
    breaker: Option<f64>,
    continuous: f64,
    surges: Vec<(f64, f64)>,
    running: Option<f64>,
    reduction: Option<f64>,
    unequal: bool,
}

fn random() -> impl Strategy<Value = Random> {
    let start = (any::<bool>(), 1.5..40.0f64, 3.0..8.0f64, 0.3..8.0f64);
    let supply = (
        proptest::option::weighted(0.9, 0.7..3.0f64),
        0.8..5.0f64,
        proptest::collection::vec((1.1..1.9f64, 0.15..0.6f64), 0..4),
        proptest::option::weighted(0.4, 0.05..1.0f64),
    );
    (start, supply, proptest::option::weighted(0.6, 0.05..0.6f64), any::<bool>()).prop_map(
        |((iec, rated_a, ratio, inertia), (breaker, continuous, surges, running), reduction, unequal)| {
            Random { iec, rated_a, ratio, inertia, breaker, continuous, surges, running, reduction, unequal }
        },
    )
}

impl Random {
    fn text(&self) -> String {
        let (volts, hertz, rules) =
            if self.iec { (230.0, 50.0, "iec") } else { (120.0, 60.0, "north-america") };
        let (mut text, mut surges) = (String::new(), Vec::new());
        // of each rating more current for less time than of the one before
        let (mut amps, mut seconds) = (self.rated_a * self.continuous, 20.0);
        for (more, shorter) in &self.surges {
            (amps, seconds) = (amps * more, seconds * shorter);
            surges.insert(0, format!("{{ a = {amps:.2}, for_s = {seconds:.3} }}"));
        }
        writeln!(
            text,
            "standards = \"{rules}\"\n[[supply]]\nname = \"inverter <1> & co\"\nkind = \"{}\"\nvoltage_v = {volts}\n\
             frequency_hz = {hertz}\noutput_ohm = 0.04\ncontinuous_a = {:.2}\n{}[circuit]\n\
             conductor = {{ resistance_ohm = 0.03 }}",
            if surges.is_empty() { "shore" } else { "inverter" },
            self.rated_a * self.continuous,
            if surges.is_empty() { String::new() } else { format!("surge = [{}]\n", surges.join(", ")) }
        )
        .unwrap();
        if let Some(times) = self.breaker {
            let amps = (self.rated_a * times).ceil().max(6.0);
            let standard = if self.iec { "\"IEC 60898-1\", curve = \"C\"" } else { "\"UL 489\"" };
            writeln!(text, "breaker = {{ standard = {standard}, rating_a = {amps} }}").unwrap();
        }
        if let Some(times) = self.running {
            let va = self.rated_a * times * volts;
            writeln!(text, "[[running]]\nname = \"lights\"\nva = {va:.0}\npower_factor = 0.9").unwrap();
        }
        // the motor of tests/choose: impedances of one of 62 A at 115 V
        let lra = self.rated_a * self.ratio;
        let z = volts / 115.0 * 62.0 / lra;
        let scale = volts * lra / (115.0 * 62.0);
        let pressure = if self.unequal { "unequal" } else { "equalised" };
        writeln!(
            text,
            "[[load]]\nname = \"unit\"\nrated_load_a = {:.2}\nlocked_rotor_a = {lra:.2}\npressure = \"{pressure}\"\n\
             [load.motor_model]\nkind = \"two-winding\"\npoles = 2\nr1_ohm = {}\nx1_ohm = {}\nxm_ohm = {}\nr2_ohm = {}\n\
             x2_ohm = {}\nr1a_ohm = {}\nx1a_ohm = {}\nturns_ratio = 1.967\nrun_capacitor_uf = {}\ninertia_kgm2 = {}\n\
             [load.load_torque]\nrated_nm = {}\nrated_rpm = {}\nc0 = 0.1\nc1 = 0.65\nc2 = 0.0\nbreakaway = 0.12\n\
             build_up_s = 8",
            self.rated_a,
            0.624 * z,
            0.601 * z,
            16.249 * z,
            0.76 * z,
            0.628 * z,
            2.351 * z,
            1.217 * z,
            45.0 / z * 60.0 / hertz,
            0.0016 * scale * self.inertia,
            3.23 * scale * 0.8,
            57.5 * hertz,
        )
        .unwrap();
        if self.unequal {
            let (_, torque) = text.split_once("[load.load_torque]").unwrap();
            text = format!("{text}[load.load_torque_unequal]{torque}");
        }
        text
    }
}

#[test]
fn prop_plots_of_random_sites_are_sound() {
    let config =
        Config { cases: 50, failure_persistence: None, rng_seed: RngSeed::Fixed(11), ..Config::default() };
    let [surge, breaker, warm, drawn] = [(); 4].map(|()| std::cell::Cell::new(0));
    let more = |count: &std::cell::Cell<u32>| count.set(count.get() + 1);
    let result = TestRunner::new(config).run(&random(), |random| {
        // the windows take most of the time: every other site does without
        let judge = if random.iec { judge } else { judge_without_windows };
        let subject = subject_of(&read(&random.text()), 0, random.reduction, judge);
        for picture in sound(&format!("{random:?}"), &subject) {
            more(&drawn);
            match &picture.limiting {
                Some(l) if l.check == "surge" => more(&surge),
                Some(_) => {
                    more(&breaker);
                    if random.unequal {
                        more(&warm);
                    }
                }
                None => {}
            }
        }
        Ok(())
    });
    result.unwrap();
    // both kinds of limit, and the warm breaker, are among them
    let counts = [surge.get(), breaker.get(), warm.get()];
    assert!(counts[0] >= 10 && counts[1] >= 10 && counts[2] >= 3, "{counts:?}");
    assert!(drawn.get() >= 180, "{} pictures", drawn.get());
}

#[test]
fn the_words_are_told_apart() {
    let words: Vec<&str> = Plot::ALL.iter().map(|p| p.word()).collect();
    assert_eq!(words, ["trip", "start", "current", "torque", "margins", "reduction"]);
}
