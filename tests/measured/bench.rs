//! A measured capacitor-run motor, from its label to its current at every speed, by way of a site file and its sheet.
//!
//! Source: public test-bench log of a 220 V, 150 W class, 4 pole motor with a run capacitor of 4 uF, run at 50 Hz; licence not
//! stated: figures only.

use startmargin::case::Pressure;
use startmargin::report::MotorSheet;

/// Speed \[rpm\] and line current \[A\].
const RUN: [(f64, f64); 10] = [
    (1475.6, 0.422),
    (1421.2, 0.610),
    (1340.6, 0.847),
    (1282.5, 0.994),
    (1221.9, 1.103),
    (1003.8, 1.384),
    (703.8, 1.571),
    (402.5, 1.637),
    (196.2, 1.654),
    (0.0, 1.652),
];

/// The label as it would be printed for the third point, locked rotor and breakdown from the log; no class is named.
const LABEL: &str = "[[supply]]\nname = 'bench'\nkind = 'shore'\nvoltage_v = 220\nfrequency_hz = 50\n[[load]]\nname = 'motor'\n\
    rated_voltage_v = 220\nrated_frequency_hz = 50\nrated_load_a = 0.847\npower_w = 113.8\npower_factor = 0.9987\n\
    rated_rpm = 1340.6\nlocked_rotor_a = { value = 1.652, origin = 'measured' }\nlocked_rotor_power_factor = 0.9806\n\
    breakdown_nm = 0.9945\nrun_capacitor_uf = 4\n";

#[test]
fn measured_a_label_tells_the_current_at_every_speed() {
    let site = startmargin::site::read("bench.toml", LABEL).unwrap();
    let sheet = MotorSheet::new(&site.case(0, 0, Pressure::Equalised)).unwrap();
    assert_eq!(sheet.poles, 4, "four poles by the rated speed");
    let at = |rpm: f64| {
        let after = sheet.table.partition_point(|p| p.speed_rpm <= rpm);
        let (a, b) = (sheet.table[after - 1], sheet.table[after]);
        a.line_a + (b.line_a - a.line_a) * (rpm - a.speed_rpm) / (b.speed_rpm - a.speed_rpm)
    };
    let off: Vec<f64> = RUN.iter().map(|(rpm, amps)| at(*rpm) / amps - 1.0).collect();
    let rms = (off.iter().map(|o| o * o).sum::<f64>() / off.len() as f64).sqrt();
    let most = off.iter().fold(0.0, |m: f64, o| m.max(o.abs()));
    println!("off by {off:.3?}, rms {rms:.4}");
    assert!(rms < 0.06 && most < 0.15, "rms {rms:.3}, at most {most:.3}");
}
