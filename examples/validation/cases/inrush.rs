//! Recorded turn-on currents of loads that are not induction motors, against the catalogue's entries at their figures' values.

use std::f64::consts::{FRAC_PI_2, SQRT_2};

use startmargin::case::{Path, Pressure};
use startmargin::start::Trace;
use startmargin::start::waveform::{Piece, Watch};

use super::{Allowed, Evidence, Row, Sheet};

/// Largest instant \[A\], largest cycle \[A\], settled \[A\], time above 110 % of that \[s\].
struct Start {
    crest_a: f64,
    cycle_a: f64,
    settled_a: f64,
    above_s: f64,
}

/// An entry in a house: the reference impedance of IEC 61000-3-3, line and neutral (from memory); `more` goes into the load.
fn path(id: &str, volts: u32, hertz: u32, more: &str) -> Option<Path> {
    // the lamp's resistance was fitted without any inductance, which would take a third off a spike of a tenth of a millisecond
    let x = if id == "led-lamp-230" { 0.0 } else { 0.25 };
    let text = format!(
        "[[supply]]\nname = 'wall'\nkind = 'shore'\nvoltage_v = {volts}\nfrequency_hz = {hertz}\noutput_ohm = 0.4\n\
         output_reactance_ohm = {x}\n[[load]]\nname = 'unit'\nuse = '{id}'\n{more}"
    );
    let case = startmargin::site::read("wall.toml", &text).ok()?.case(0, 0, Pressure::Equalised);
    let mut path = Path::new(&case).ok()?;
    path.find_first_peak(&mut Trace::default());
    Some(path)
}

/// The largest instant, also where it is the first.
struct Largest(f64);

impl Watch for Largest {
    fn piece(&mut self, piece: &dyn Piece) {
        for t in piece.span() {
            self.0 = self.0.max(piece.currents(t).line_a[0].abs());
        }
    }
}

fn start(path: &mut Path, angle: f64) -> Option<Start> {
    path.close_inrush_at(Some(angle));
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    let settled_a = trace.settled?.line_a;
    let above = trace.rows.iter().filter(|r| r.line_a > 1.1 * settled_a);
    let mut watch = Largest(0.0);
    let mut again = Trace::default();
    path.watch(0, angle, &mut again, &mut watch)?;
    Some(Start {
        crest_a: watch.0,
        cycle_a: trace.largest_rms_a(),
        settled_a,
        above_s: above.map(|r| r.t_s).fold(0.0, f64::max),
    })
}

const DROUAZ: &str = "M. Drouaz, household signatures, 230 V 50 Hz, 2017 (figures only)";
const COOLL: &str = "COOLL, hand tools and lamps, 230 V 50 Hz, 2016 (figures only)";
const PLAID: &str = "PLAID, US homes at 120 V 60 Hz, 2013, 35 starts, median expected";

/// An oven of the recorded current, switched on so that its crest is the middle of the recorded ones.
fn oven(out: &mut Sheet) {
    out.source = DROUAZ.into();
    out.why = "five recorded starts, least to largest; when they were switched on is not known";
    out.case("microwave oven, iron transformer, 4.5 A");
    let Some(mut path) = path("microwave-oven-230", 230, 50, "rated_load_a = 4.6\n") else { return };
    let Some(found) = path.first_peak.as_ref().map(|p| p.found.line) else { return };
    out.add("least crest over the closing angles, A", 15.6, found.least.a, Allowed::AtMost);
    out.add("largest crest over the closing angles, A", 20.0, found.largest.a, Allowed::Within([18.8, 26.0]));
    // from the crest of the voltage, where there is no offset, to the worst angle the crest of the current rises
    let worst = found.largest.closing_deg.to_radians();
    let (mut low, mut high) = (found.least.closing_deg.to_radians(), worst);
    for _ in 0..20 {
        let middle = 0.5 * (low + high);
        match start(&mut path, middle) {
            Some(s) if s.crest_a > 18.8 => high = middle,
            _ => low = middle,
        }
    }
    if let Some(s) = start(&mut path, high) {
        out.case("the same, switched on for a crest of 18.8 A");
        out.add("largest cycle, A", 8.7, s.cycle_a, Allowed::Within([7.7, 9.7]));
        out.add("settled, A", 4.5, s.settled_a, Allowed::Within([4.4, 4.6]));
        out.add("time above 110 % of that, s", 0.05, s.above_s, Allowed::Within([0.03, 0.07]));
    }
}

fn brushes(out: &mut Sheet) {
    let recorded = [
        ("vacuum-cleaner-120", 120, 60, "power_w = 1000\n", PLAID, [3.4, 2.9, 3.8], [0.23, 0.21, 0.25]),
        ("angle-grinder-230", 230, 50, "power_w = 180\n", DROUAZ, [3.4, 3.1, 3.8], [0.27, 0.22, 0.31]),
    ];
    for (id, volts, hertz, more, source, ratio, time) in recorded {
        out.source = source.into();
        out.why = "a tenth to nine tenths of the recordings, or all of them; the closing angle is not known: at the crest here";
        out.case(id);
        let s = path(id, volts, hertz, more).and_then(|mut path| start(&mut path, 0.0));
        let Some(s) = s else { continue };
        out.add(
            "largest cycle over settled",
            ratio[0],
            s.cycle_a / s.settled_a,
            Allowed::Within([ratio[1], ratio[2]]),
        );
        out.add("time above 110 % of settled, s", time[0], s.above_s, Allowed::Within([time[1], time[2]]));
    }
    out.source = COOLL.into();
    out.why = "most tools; the rated current is the label's";
    out.case("angle grinder");
    let s = path("angle-grinder-230", 230, 50, "").and_then(|mut path| start(&mut path, 0.0));
    if let Some(s) = s {
        let crest = s.crest_a / (SQRT_2 * s.settled_a);
        out.add("crest over the rated one", 5.0, crest, Allowed::Within([4.0, 7.0]));
    }
}

fn lamps(out: &mut Sheet) {
    out.source = COOLL.into();
    for (id, more, expected, why) in [
        (
            "halogen-lamp-230",
            "power_w = 105\n",
            [9.2, 3.0],
            "the entry's two figures are fitted to these two: the form of the model is tested, not its forecast",
        ),
        (
            "led-lamp-230",
            "power_w = 15\n",
            [17.4, 0.44],
            "the entry's capacitor and resistance are fitted to these two, without inductance of the source",
        ),
    ] {
        out.why = why;
        out.case(id);
        let Some(mut path) = path(id, 230, 50, more) else { continue };
        for (what, angle, expected, part) in [
            ("crest switched on at the crest of the voltage, A", 0.0, expected[0], 0.05),
            ("crest switched on at zero voltage, A", FRAC_PI_2, expected[1], 0.15),
        ] {
            let crest = start(&mut path, angle).map_or(f64::NAN, |s| s.crest_a);
            out.add(what, expected, crest, Allowed::Part(part));
        }
    }
    out.source = DROUAZ.into();
    out.why = "a resistance";
    out.case("kettle-230");
    let s = path("kettle-230", 230, 50, "power_w = 1000\n").and_then(|mut path| start(&mut path, 0.3));
    let ratio = s.map_or(f64::NAN, |s| s.cycle_a / s.settled_a);
    out.add("largest cycle over settled", 1.0, ratio, Allowed::Size(0.01));
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let mut out = Sheet::new(Evidence::Measured, "", "");
    oven(&mut out);
    brushes(&mut out);
    lamps(&mut out);
    out.rows
}
