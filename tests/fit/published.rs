//! Published machines: what the circuit says of itself is read off and given to the fit, which has to find a circuit that says
//! the same.

use startmargin::motor::fit::{Target, Winding, fit};
use startmargin::motor::{Auxiliary, Capacitor, TwoWinding};

use super::{Label, label_of};
use crate::tolerances::FITTED;
use crate::validation::cases::machines::{
    RUN_CAPACITOR, START_CAPACITOR, capacitor, quarter_hp_open, three_phase, three_phase_sets,
};

/// Iron loss and friction of these machines, of the input: nothing is published but circuits (assumed).
const DRAG: f64 = 0.05;

/// Residential compressor motor of 3.5 kVA base, in per unit (B. Lesieutre, D. Kosterev, J. Undrill, IEEE PES General Meeting
/// 2008, as published in open grid-simulation code): Rds 0.0365, Xd' 0.1033, Xm 2.28, Xr 2.33, Rr 0.0486, Rqs 0.0729, Xq'
/// 0.1489, n 1.22, run capacitor -2.779. The auxiliary's leakage follows from its transient reactance: n^2 (Xr - Xm) etc.
pub fn compressor_motor() -> TwoWinding {
    let (xm, xr, n2) = (2.28, 2.33, 1.22 * 1.22);
    let coupled = xm * xm / xr;
    let (x1, x1a) = (0.1033 + coupled - xm, 0.1489 + n2 * (coupled - xm));
    // in ohm at 230 V, 3.5 kVA, 60 Hz
    let z = 230.0 * 230.0 / 3500.0;
    let farad = 1.0 / (std::f64::consts::TAU * 60.0 * 2.779 * z);
    TwoWinding::new(2, 60.0, [0.0365 * z, x1 * z, xm * z, 0.0486 * z, (xr - xm) * z], 0.002)
        .with_auxiliary(Auxiliary { r_ohm: 0.0729 * z, x_ohm: x1a * z, turns_ratio: 1.22 })
        .with_run_capacitor(Capacitor { farad, ohm: 0.0 })
}

#[test]
fn compare_published_single_phase_machines_are_recovered() {
    let uf = |c: Capacitor| c.farad * 1e6;
    let z = 230.0 * 230.0 / 3500.0;
    let compressor_uf = 1e6 / (std::f64::consts::TAU * 60.0 * 2.779 * z);
    for (what, machine, winding, poles, volts, slip, capacitor) in [
        (
            "1/4 hp, run capacitor",
            quarter_hp_open().with_run_capacitor(capacitor(RUN_CAPACITOR)),
            Winding::CapacitorRun,
            4,
            110.0,
            0.05,
            Some(uf(capacitor(RUN_CAPACITOR))),
        ),
        (
            "1/4 hp, start capacitor",
            quarter_hp_open().with_start_switch(Some(capacitor(START_CAPACITOR)), 0.75),
            Winding::CapacitorStart,
            4,
            110.0,
            0.05,
            Some(uf(capacitor(START_CAPACITOR))),
        ),
        (
            "1/4 hp, split phase",
            quarter_hp_open().with_start_switch(None, 0.75),
            Winding::SplitPhase,
            4,
            110.0,
            0.05,
            None,
        ),
        ("compressor", compressor_motor(), Winding::CapacitorRun, 2, 230.0, 0.04, Some(compressor_uf)),
    ] {
        let label = Label::read(&machine, volts, slip, DRAG);
        let mut wanted = label.wanted(winding, poles, 60.0);
        match winding {
            Winding::CapacitorRun => wanted.run_capacitor_uf = capacitor.map(Target::given),
            _ => wanted.start_capacitor_uf = capacitor.map(Target::given),
        }
        let fitted = fit(&wanted, None);
        let (off, which) = label.off(&label_of(&fitted));
        assert!(off < FITTED, "{what}: {which} off by {off}");
        assert_eq!(fitted.misses().count(), 0);
    }
}

#[test]
fn compare_published_three_phase_machines_are_recovered() {
    for row in three_phase_sets() {
        let n = |column| row.number(column).unwrap();
        let machine = three_phase(&row, 1.0);
        // the rated point: anywhere on the steep part
        let label = Label::read(&machine, n("volts"), 0.3 * n("breakdown_slip"), DRAG);
        let fitted = fit(&label.wanted(Winding::ThreePhase, 4, n("hz")), None);
        let (off, which) = label.off(&label_of(&fitted));
        assert!(off < FITTED, "{}: {which} off by {off}", row.text("name"));
        assert_eq!(fitted.misses().count(), 0);
    }
}
