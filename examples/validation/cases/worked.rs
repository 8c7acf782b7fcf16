//! Worked examples of textbooks. Each says source and how far it was seen; what is from memory is a guard
//! against edits.

use num_complex::Complex64;
use startmargin::motor::{
    Auxiliary, Capacitor, Machine, Point, Stage, TwoWinding, equal_current_capacitor_farad,
    right_angle_capacitor_farad,
};
use startmargin::nameplate::labels::locked_rotor_from_code_letter;
use startmargin::quantity::Rpm;
use startmargin::starter::autotransformer::{
    current_ratio_for_torque, full_load_slip_for_torque, tap_for_torque,
};

use super::machines::{VOLTS, quarter_hp_open, set};
use super::published::{at, breakdown_slip, machine, no_load_start, torque};
use super::{Allowed, Evidence, Row, Sheet};

const DIGIT: &str = "half of the last digit printed";
const BOOK: &str = "the book rounds on the way, or its figures are from memory with three digits";

/// Half of the last digit printed.
fn half(x: f64) -> Allowed {
    Allowed::Size(x)
}

/// What a book rounds on the way.
fn book() -> Allowed {
    Allowed::Part(5e-3)
}

/// `amps` at `degrees` of 110 V as an impedance \[ohm\].
fn winding(amps: f64, degrees: f64) -> Complex64 {
    Complex64::from_polar(VOLTS / amps, -degrees.to_radians())
}

/// A stalled motor whose windings have just these impedances: next to no magnetising reactance, so that the
/// rotor is not seen.
fn stalled(main: Complex64, auxiliary: Complex64, hz: f64) -> Point {
    let motor = TwoWinding::new(4, hz, [main.re, main.im, 1e-7, 1.0, 1.0], 0.01);
    let (x_ohm, series) = if auxiliary.im >= 0.0 {
        (auxiliary.im, None)
    } else {
        let farad = 1.0 / (std::f64::consts::TAU * hz * -auxiliary.im);
        (0.0, Some(Capacitor { farad, ohm: 0.0 }))
    };
    motor
        .with_auxiliary(Auxiliary { r_ohm: auxiliary.re, x_ohm, turns_ratio: 1.0 })
        .with_start_switch(series, 0.75)
        .at(0.0, Stage::START)
}

fn split_and_capacitor(out: &mut Sheet) {
    out.source = "I. L. Kosow, Electric Machinery and Transformers, 2nd ed., Ex 10-1 (inputs and outputs \
        seen in a public companion; \
                  the angle is rounded there)"
        .to_owned();
    let split = stalled(winding(6.0, -40.0), winding(4.0, -15.0), 60.0);
    out.case("1/4 hp split phase, stalled");
    out.add("line current, A", 9.77, split.y.norm() * VOLTS, half(0.005));
    out.add("angle, degrees", -30.0, split.y.arg().to_degrees(), half(0.5));
    out.add("power factor", 0.866, split.y.re / split.y.norm(), half(5e-4));
    out.source = "Kosow, Ex 10-3 (inputs and formula seen in a public companion's code, printed figures not)"
        .to_owned();
    let capacitor = stalled(winding(6.0, -40.0), winding(4.0, 42.0), 60.0);
    out.case("the same with a start capacitor");
    out.add("line current, A", 7.66, capacitor.y.norm() * VOLTS, half(0.005));
    out.add("power factor", 0.988, capacitor.y.re / capacitor.y.norm(), half(5e-4));
    out.add("torque over that without", 2.34, capacitor.torque_per_v2 / split.torque_per_v2, half(0.005));
}

/// The capacitor for a right angle at standstill \[uF\], and the angle between the windings \[degrees\] of
/// the machine that has it.
fn right_angle(main: [f64; 2], auxiliary: [f64; 2]) -> [f64; 2] {
    let [main, auxiliary] = [main, auxiliary].map(|[r, x]| Complex64::new(r, x));
    let farad = right_angle_capacitor_farad(main, auxiliary, 60.0).unwrap_or(f64::NAN);
    let alone = TwoWinding::new(4, 60.0, [main.re, main.im, 1e-7, 1.0, 1.0], 0.01);
    let both = alone
        .clone()
        .with_auxiliary(Auxiliary { r_ohm: auxiliary.re, x_ohm: auxiliary.im, turns_ratio: 1.0 })
        .with_run_capacitor(Capacitor { farad, ohm: 0.0 });
    let main = alone.at(0.0, Stage::RUN).y;
    [1e6 * farad, ((both.at(0.0, Stage::RUN).y - main) / main).arg().to_degrees()]
}

fn capacitors(out: &mut Sheet) {
    for (source, case, main, auxiliary, uf, digit) in [
        (
            "A. E. Fitzgerald, C. Kingsley, S. D. Umans, Electric Machinery, Ex 9.1 (seen in a public copy; \
                177 uF in print, from memory)",
            "main 4.5 + j 3.7, auxiliary 9.5 + j 3.5 ohm",
            [4.5, 3.7],
            [9.5, 3.5],
            176.0,
            0.5,
        ),
        (
            "an exercise of a board review (seen at pinoybix.org, 2024)",
            "1 hp, main 3.5 + j 2.5, auxiliary 8.6 + j 2.5 ohm",
            [3.5, 2.5],
            [8.6, 2.5],
            182.43,
            0.005,
        ),
    ] {
        out.source = source.to_owned();
        out.case(case);
        let [ours, degrees] = right_angle(main, auxiliary);
        out.add("start capacitor for a right angle, uF", uf, ours, half(digit));
        out.add("angle between the windings with it, degrees", 90.0, degrees, half(1e-4));
    }
    out.source =
        "an exercise (seen at transtutors.com, question 13710031); the first is printed rounded to the ten"
            .to_owned();
    out.case("1/3 hp, two equal windings");
    let farad = |f: Option<f64>| 1e6 * f.unwrap_or(f64::NAN);
    let z = Complex64::from_polar(120.0 / 7.0, 64f64.to_radians());
    out.add("start capacitor, uF", 140.0, farad(right_angle_capacitor_farad(z, z, 60.0)), half(1.0));
    let z = Complex64::from_polar(120.0 * 120.0 * 0.85 / 141.0, 0.85f64.acos());
    out.add("run capacitor, uF", 29.0, farad(equal_current_capacitor_farad(z, z, 60.0)), half(0.05));
}

fn running(out: &mut Sheet) {
    out.why = BOOK;
    out.source = "Fitzgerald et al., Ex 9.2 (inputs seen in a public copy, outputs from memory)".to_owned();
    out.case("1/4 hp main winding at slip 0.05, 37 W of core loss, friction and windage");
    let m = quarter_hp_open();
    let [i, angle, nm] = at(&m, 0.05, Stage::RUN);
    let pf = angle.to_radians().cos();
    let speed = 0.95 * m.sync_speed();
    let shaft = nm * speed - 24.0 - 13.0;
    out.add("line current, A", 3.59, i, book());
    out.add("power factor", 0.62, pf, half(0.005));
    out.add("shaft power, W", 147.0, shaft, book());
    out.add("speed, rpm", 1710.0, Rpm::from_rad_per_s(speed).0, Allowed::Part(1e-9));
    out.add("efficiency", 0.60, shaft / (VOLTS * i * pf), half(0.005));
    out.source =
        "S. J. Chapman, Electric Machinery Fundamentals, 5th ed., Ex 6-3 (outputs from memory)".to_owned();
    out.case("25 hp 460 V at slip 0.022, rotational loss 1100 W");
    let (m, v) = machine(&set("25 hp 460 V"));
    let w = 0.978 * m.sync_speed();
    let p = m.at(w, Stage::RUN);
    let nm = p.torque_per_v2 * v * v;
    let shaft = nm * w - 1100.0;
    out.add("line current, A", 18.88, p.y.norm() * v, book());
    out.add("angle, degrees", -33.6, p.y.arg().to_degrees(), book());
    out.add("power factor", 0.833, p.y.re / p.y.norm(), book());
    out.add("air-gap torque, N m", 62.8, nm, book());
    out.add("torque at the load, N m", 56.9, shaft / w, book());
    out.add("efficiency", 0.837, shaft / (3.0 * p.y.re * v * v), book());
    out.source = "Chapman, 5th ed., Ex 6-5 (ratio read off the curve of a published notebook, seen; the \
        rest from memory)"
        .to_owned();
    out.case("25 hp 460 V");
    out.why = "the book rounds its Thevenin values: up to 2.5 %";
    let slip = breakdown_slip(&m, v);
    let (breakdown, locked) = (torque(&m, v, slip), torque(&m, v, 1.0));
    out.add("locked-rotor over breakdown torque", 0.46173, locked / breakdown, Allowed::Part(1e-3));
    out.add("breakdown torque, N m", 229.0, breakdown, Allowed::Part(0.01));
    out.add("breakdown slip", 0.198, slip, Allowed::Part(0.02));
    out.add("locked-rotor torque, N m", 104.0, locked, Allowed::Part(0.025)).loss =
        Some("a book's figure from memory, 104 N m: it rounds its Thevenin values");
    out.source = "Modelica Standard Library, default cage machine (seen at \
        reference.wolfram.com/system-modeler; magnetising and \
                  rotor data from memory)"
        .to_owned();
    out.why = "closed form, 0.1 %";
    out.case("24 kW 173 V at 1440.45 rpm");
    let (m, v) = machine(&set("24 kW 173 V"));
    let w = 1440.45 / 1500.0 * m.sync_speed();
    let p = m.at(w, Stage::RUN);
    let part = Allowed::Part(1e-3);
    out.add("line current, A", 100.0, p.y.norm() * v, part);
    out.add("torque, N m", 161.4, p.torque_per_v2 * v * v, part);
    out.add("power factor", 0.875, p.y.re / p.y.norm(), part);
    out.add("efficiency", 0.927, p.torque_per_v2 * w / (3.0 * p.y.re), part);
}

fn starters(out: &mut Sheet) {
    out.why = BOOK;
    out.source =
        "Chapman, 4th ed., Ex 7-7 (from memory); it takes 5.6 kVA/hp for the letter's end, the table 5.59"
            .to_owned();
    out.case("15 hp, 208 V, code letter F");
    let high = locked_rotor_from_code_letter('F', 15.0, 208.0, 3).map_or(f64::NAN, |d| d.high);
    out.add("locked-rotor kVA", 84.0, high * 208.0 * 3f64.sqrt() / 1000.0, book());
    out.add("locked-rotor current, A", 233.0, high, book());
    out.why = DIGIT;
    out.add("the same with 5.6 kVA/hp, A", 233.16, high * 5.6 / 5.59, half(0.005));
    out.source =
        "a textbook's chapter \"Starting, control and testing\", Ex 8.1 to 8.3 (seen in a public copy that \
            does not show the title)"
            .to_owned();
    out.case("autotransformer, half of full-load torque, 5 times full-load current, slip 0.03");
    out.add("tap", 0.816, tap_for_torque(0.5, 5.0, 0.03), half(6e-4));
    out.case("1.5 times full-load torque on the line, slip 0.03");
    out.add("starting over full-load current", 7.07, current_ratio_for_torque(1.5, 1.0, 0.03), half(0.005));
    out.case("star, a quarter of full-load torque, 3.6 times full-load current");
    out.add("slip", 0.06, full_load_slip_for_torque(0.25, 1.0 / 3f64.sqrt(), 3.6), half(0.005));
}

fn accelerating_times(out: &mut Sheet) {
    out.source = "R. W. Fruge, PDHcenter course E161, Eq. 2 (seen, a formula only): t = WK2 dN / (308 T); \
        the exact constant is 307.24"
        .to_owned();
    out.why = "a formula with three digits, mean torque by Simpson's rule";
    out.case("50 hp 460 V, no load, to 0.95 of synchronous speed");
    let fifty = set("50 hp 460 V");
    let (m, v) = machine(&fifty);
    let n = 2000;
    let weight = |i: i32| match i {
        0 => 1.0,
        _ if i == n => 1.0,
        _ if i % 2 == 1 => 4.0,
        _ => 2.0,
    };
    let inverse: f64 =
        (0..=n).map(|i| weight(i) / torque(&m, v, 1.0 - 0.95 * f64::from(i) / f64::from(n))).sum::<f64>()
            / (3.0 * f64::from(n));
    let (lb_ft2, lb_ft) = (m.inertia() / 0.042_140_110, 1.0 / inverse / 1.355_818);
    let by_formula = lb_ft2 * 1710.0 / (308.0 * lb_ft);
    out.add("WK2, lb ft2", 39.44, lb_ft2, half(0.005));
    out.add("mean torque, lb ft", 458.8, lb_ft, Allowed::Part(1e-3));
    out.add("time by the printed constant, s", 0.477, by_formula, half(5e-4));
    let exact = by_formula * 308.0 / 307.24;
    out.add(
        "our start against the formula with the exact constant, s",
        exact,
        no_load_start(&fifty),
        Allowed::Part(1e-3),
    );
    out.source = "G. K. Dubey, Fundamentals of Electrical Drives, chapter 6 (formula from memory): Kloss's \
        curve, no stator resistance"
        .to_owned();
    out.why =
        "the formula leaves out the stator's resistance: 2 to 8 % longer than our start, as computed apart";
    for name in ["3 hp 220 V", "50 hp 460 V", "500 hp 2300 V", "2250 hp 2300 V"] {
        let set = set(name);
        let (m, v) = machine(&set);
        let sm = breakdown_slip(&m, v);
        let tm = m.inertia() * m.sync_speed() / torque(&m, v, sm);
        let s: f64 = 0.05;
        let kloss = tm * ((1.0 - s * s) / (4.0 * sm) + 0.5 * sm * (1.0 / s).ln());
        out.case(name);
        let ours = no_load_start(&set);
        out.add(
            "time to 0.95 of synchronous speed, s",
            kloss,
            ours,
            Allowed::Within([kloss / 1.08, kloss / 1.02]),
        );
    }
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let mut out = Sheet::new(Evidence::WorkedExample, "", DIGIT);
    split_and_capacitor(&mut out);
    capacitors(&mut out);
    running(&mut out);
    starters(&mut out);
    accelerating_times(&mut out);
    out.rows
}
