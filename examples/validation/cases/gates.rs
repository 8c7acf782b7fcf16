//! The gates that standards fix on a breaker's time-current plane. The figures are copied here from the
//! standards' tables once more, apart from those in src/standards, so that a mistyped one shows.

use startmargin::figure::{Figure, Origin};
use startmargin::protection::{BreakerFigures, BreakerStandard, Curve, Edges};
use startmargin::quantity::Ampere;

use super::{Allowed, Evidence, Row, Sheet};

/// Relative width of rounding: a current that sits on a gate is the gate's.
pub const ROUNDING: f64 = 1e-9;

/// What must happen at a gate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Must {
    /// Carried for the time by what is promised and by the modelled fast edge.
    Hold,
    /// Carried for the time by every reading, the slow edge included.
    HoldByAll,
    /// Tripped within the time.
    Trip,
}

/// A gate: a constant current and a time.
#[derive(Debug, Clone)]
pub struct Gate {
    /// The test's name in the standard.
    pub test: &'static str,
    /// The breaker.
    pub breaker: BreakerFigures,
    /// Voltage \[V\] and frequency \[Hz\].
    pub supply: [f64; 2],
    /// Current \[A\].
    pub amps: f64,
    /// Time \[s\].
    pub s: f64,
    /// What must happen.
    pub must: Must,
}

/// A breaker of a standard and a rating \[A\].
pub fn breaker(standard: BreakerStandard, rating: f64) -> BreakerFigures {
    BreakerFigures {
        standard,
        rating_a: Figure::exact(Ampere(rating), Origin::Nameplate),
        fast: vec![],
        slow: vec![],
        instantaneous: None,
    }
}

/// Preferred rated currents \[A\] (seen; a copy omits 8 A).
pub const PREFERRED: [f64; 14] =
    [6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0];

/// Curve, multiple of test d, its upper times up to and above 32 A \[s\], multiple of test e.
pub const CURVES: [(Curve, f64, [f64; 2], f64); 3] = [
    (Curve::B, 3.0, [45.0, 90.0], 5.0),
    (Curve::C, 5.0, [15.0, 30.0], 10.0),
    (Curve::D, 10.0, [4.0, 8.0], 20.0),
];

/// IEC 60898-1, table 7: every preferred rating with every curve, at both frequencies.
pub fn iec() -> Vec<Gate> {
    let mut gates = Vec::new();
    for rating in PREFERRED {
        for (curve, hold, most_d, trip) in CURVES {
            for hz in [50.0, 60.0] {
                let conventional = if rating <= 63.0 { 3600.0 } else { 7200.0 };
                let (most_c, most_d) = if rating <= 32.0 { (60.0, most_d[0]) } else { (120.0, most_d[1]) };
                let mut add = |test, multiple: f64, s, must| {
                    gates.push(Gate {
                        test,
                        breaker: breaker(BreakerStandard::Iec60898(curve), rating),
                        supply: [230.0, hz],
                        amps: multiple * rating,
                        s,
                        must,
                    });
                };
                for multiple in [0.5, 1.0, 1.13] {
                    add("test a, up to 1.13 In, conventional time", multiple, conventional, Must::HoldByAll);
                }
                add("test b, 1.45 In, conventional time", 1.45, conventional, Must::Trip);
                add("test c, 2.55 In, 1 s", 2.55, 1.0, Must::Hold);
                add("test c, 2.55 In, 60 or 120 s", 2.55, most_c, Must::Trip);
                add("test d, 3, 5, 10 In, 0.1 s", hold, 0.1, Must::Hold);
                add("test d, 3, 5, 10 In, 45/90, 15/30, 4/8 s", hold, most_d, Must::Trip);
                for above in [1.0, 1.01, 1.5, 3.0, 50.0] {
                    add("test e, 5, 10, 20 In and above, 0.1 s", above * trip, 0.1, Must::Trip);
                }
            }
        }
    }
    gates
}

/// Standard ampere ratings up to 600 A (NFPA 70, 240.6(A), seen in two copies).
pub const RATINGS: [f64; 28] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0, 150.0,
    175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0, 55.0, 375.0,
];

/// Minutes at 135 % and 200 %, seconds at 300 % up to 250 V and above.
pub fn must_trip(rating: f64) -> (f64, f64, Option<[f64; 2]>) {
    match rating {
        r if r <= 30.0 => (60.0, 2.0, Some([50.0, 70.0])),
        r if r <= 50.0 => (60.0, 4.0, Some([80.0, 100.0])),
        r if r <= 100.0 => (120.0, 6.0, Some([140.0, 160.0])),
        r if r <= 150.0 => (120.0, 8.0, Some([200.0, 250.0])),
        r if r <= 225.0 => (120.0, 10.0, Some([230.0, 275.0])),
        r if r <= 400.0 => (120.0, 12.0, None),
        _ => (120.0, 14.0, None),
    }
}

/// UL 489 / NEMA AB 1: every standard rating at three voltages.
pub fn ul() -> Vec<Gate> {
    let mut gates = Vec::new();
    for rating in RATINGS {
        let (at_135, at_200, field) = must_trip(rating);
        for (volts, column) in [(120.0, 0), (240.0, 0), (480.0, 1)] {
            let mut add = |test, multiple: f64, s, must| {
                let breaker = breaker(BreakerStandard::Ul489, rating);
                gates.push(Gate { test, breaker, supply: [volts, 60.0], amps: multiple * rating, s, must });
            };
            add("100 %, for good", 1.0, 1e9, Must::HoldByAll);
            add("135 %, 1 h up to 50 A, 2 h above", 1.35, 60.0 * at_135, Must::Trip);
            add("200 %, 2 to 14 min", 2.0, 60.0 * at_200, Must::Trip);
            if let Some(seconds) = field {
                add("field check at 300 %, 50 to 275 s", 3.0, seconds[column], Must::Trip);
            }
        }
    }
    gates
}

/// Time by the readings that count for a gate: the shortest that must hold, the longest to the trip.
fn time(gate: &Gate, edges: &Edges) -> f64 {
    let held = edges.guaranteed.time(gate.amps).min(edges.fast.time(gate.amps));
    match gate.must {
        Must::Hold => held,
        Must::HoldByAll => held.min(edges.slow.time(gate.amps)),
        // the gate's own current may count as carried, one just above trips
        Must::Trip => edges.slow.time(gate.amps * (1.0 + ROUNDING)),
    }
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let why = "a gate: held at least so long, tripped at the latest";
    let mut out = Sheet::new(Evidence::Gate, "", why);
    for (gates, name, source) in [
        (
            iec(),
            "IEC 60898-1, B, C, D, 6 to 125 A",
            "IEC 60898-1, table 7 (seen in two published copies, upper times of test d in one, conventional \
                times from makers' data)",
        ),
        (
            ul(),
            "UL 489, 15 to 600 A",
            "UL 489 / NEMA AB 1 (200 % seen up to 100 A, from memory above; 135 % from memory); field check \
                NEMA AB 4 / NETA table \
             100.7 (from memory)",
        ),
    ] {
        out.source = source.to_owned();
        for gate in &gates {
            let [volts, hz] = gate.supply;
            let seconds = gate.breaker.edges(volts, hz).map_or(f64::NAN, |edges| time(gate, &edges));
            let rating = gate.breaker.rating_a.value.0;
            out.case(format!("{name}: {rating} A {:?}, {volts} V {hz} Hz", gate.breaker.standard))
                .together(name);
            let (verb, allowed) = match gate.must {
                Must::Trip => ("tripped after, s", Allowed::AtMost),
                _ => ("held for, s", Allowed::AtLeast),
            };
            out.add(&format!("{}: {verb}", gate.test), gate.s, seconds, allowed);
        }
    }
    out.rows
}
