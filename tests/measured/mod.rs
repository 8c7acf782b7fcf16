//! Measured turn-on currents against the classes of the catalogue. The recordings are not shipped: their percentiles are.

mod bench;
mod compressors;

use std::sync::Arc;

use startmargin::case::{Case, Path, Pressure};
use startmargin::figure::Figures;
use startmargin::motor::given::MotorFigures;
use startmargin::numeric::quasi_random::halton;
use startmargin::start::Trace;

/// A tenth, the median, nine tenths.
type Percentiles = [f64; 3];

/// Largest rms current over that of the recording's end, and how long it stays above 110 % of that.
struct Envelope {
    ratio: f64,
    above_s: f64,
}

/// The recordings last up to 4.5 s (length of the archive's longest series at 300 samples/s, from memory): their end is taken
/// at four.
const END_S: f64 = 4.0;

fn envelope(path: &Path) -> Option<Envelope> {
    let mut trace = Trace::default();
    path.run(0, &mut trace);
    let end = trace.at(END_S)?.line_a;
    let early = || trace.rows.iter().filter(|r| r.t_s <= END_S);
    let above_s = early().filter(|r| r.line_a > 1.1 * end).map(|r| r.t_s).fold(0.0, f64::max);
    trace.starts().then(|| Envelope { ratio: trace.largest_rms_a() / end, above_s })
}

/// The load of the catalogue on a strong supply, after a rest.
fn case(id: &str, volts: u32, hertz: u32) -> Case {
    let text = format!(
        "[[supply]]\nname = 'wall'\nkind = 'shore'\nvoltage_v = {volts}\nfrequency_hz = {hertz}\n[[load]]\nname = 'unit'\nuse = '{id}'\n"
    );
    startmargin::site::read("measured.toml", &text).unwrap().case(0, 0, Pressure::Equalised)
}

/// Percentiles over units of the class: low-discrepancy points in the ranges of the load, without those that no motor can be
/// and those that would not start at 0.9 of their voltage.
fn percentiles(case: &Case) -> (Envelope, [Percentiles; 2]) {
    let own = Path::new(case).unwrap();
    let seed = own.fit.map(Arc::new);
    let (mut ratios, mut times) = (Vec::new(), Vec::new());
    let mut trace = Trace::default();
    for k in 1..=150 {
        let mut unit = case.clone();
        let mut d = 0;
        unit.visit(&mut |key, figure| {
            let (_, low, high) = figure.numbers();
            if low < high && key.starts_with("load") {
                figure.set(low + (high - low) * halton(k, d));
                d += 1;
            }
        });
        if let Some(MotorFigures::Plate(motor)) = &mut unit.load.motor {
            motor.seed = seed.clone();
        }
        let path = Path::new(&unit).unwrap();
        if path.fit.as_ref().unwrap().misses().next().is_some() || !path.starts_at(0.9, &mut trace) {
            continue;
        }
        let Some(e) = envelope(&path) else { continue };
        ratios.push(e.ratio);
        times.push(e.above_s);
    }
    assert!(ratios.len() > 100, "only {} units of the class are possible", ratios.len());
    let at = |values: &mut Vec<f64>| {
        values.sort_by(f64::total_cmp);
        [0.1, 0.5, 0.9].map(|p| values[((values.len() - 1) as f64 * p).round() as usize])
    };
    (envelope(&own).unwrap(), [at(&mut ratios), at(&mut times)])
}

#[track_caller]
fn inside(what: &str, ours: f64, [low, _, high]: Percentiles) {
    assert!((low..=high).contains(&ours), "{what}: {ours:.3}, measured {low} to {high}");
}

/// Compares the middle unit of a class with measured percentiles of ratio and time, and asks that class and recordings
/// overlap by more than their tails. The classes are wider than sixteen recordings: room air conditioners hold the published
/// compressors of up to 7.1 times rated current too, so that the class's median ratio is a little above the recordings' nine
/// tenths.
#[track_caller]
fn compare(id: &str, [volts, hertz]: [u32; 2], ratio: Percentiles, above_s: Percentiles) {
    let (middle, [ratios, times]) = percentiles(&case(id, volts, hertz));
    println!("{id}: {:.2} in {:.3} s; class {ratios:.2?} in {times:.3?}", middle.ratio, middle.above_s);
    inside(&format!("{id}, ratio"), middle.ratio, ratio);
    inside(&format!("{id}, time"), middle.above_s, above_s);
    for (ours, theirs) in [(ratios, ratio), (times, above_s)] {
        assert!(
            ours[0] < theirs[1] && theirs[1] < ours[2],
            "{id}: {ours:.3?} without the measured median {}",
            theirs[1]
        );
    }
}

/// PLAID, plug-load appliance identification dataset, 2013, US homes at 120 V 60 Hz, as packaged in the UCR time-series
/// archive: 16 compressor starts of room air conditioners (those with a ratio above 2), percentiles computed for this
/// project.
#[test]
fn measured_room_air_conditioner() {
    compare("window-ac", [120, 60], [2.4, 5.5, 6.5], [0.06, 0.11, 0.66]);
}

/// The same source: 8 starts of refrigerators.
#[test]
fn measured_refrigerator() {
    compare("refrigerator-120", [120, 60], [5.6, 8.3, 10.8], [0.21, 0.27, 0.62]);
}

/// The same source: 16 starts of washing machines.
#[test]
fn measured_washing_machine() {
    compare("washing-machine-120", [120, 60], [2.5, 3.0, 4.6], [0.07, 0.19, 0.51]);
}
