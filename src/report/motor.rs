//! A motor's sheet: its circuit and what it takes and gives at each speed, at the supply's voltage.

use std::fmt::Write as _;

use serde::Serialize;

use super::json::rounded;
use crate::case::{Case, Hookup, Path};
use crate::figure::Figures;
use crate::motor::Stage;
use crate::motor::fit::Fit;
use crate::quantity::Rpm;

/// One line of the speed table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpeedPoint {
    /// Speed \[rpm\].
    pub speed_rpm: f64,
    /// Line current \[A\].
    pub line_a: f64,
    /// Power factor.
    pub power_factor: f64,
    /// Input power \[W\].
    pub input_w: f64,
    /// Torque \[N m\].
    pub torque_nm: f64,
}

/// The sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorSheet {
    /// The load's name.
    pub name: String,
    /// The circuit: key, value, unit.
    pub circuit: Vec<(String, f64, &'static str)>,
    /// Poles.
    pub poles: u32,
    /// Voltage of the table, at the motor's terminals \[V\].
    pub voltage_v: f64,
    /// Frequency \[Hz\].
    pub frequency_hz: f64,
    /// From standstill to synchronous speed.
    pub table: Vec<SpeedPoint>,
}

impl MotorSheet {
    /// The sheet of a case, in steps of 1/40 of synchronous speed; start parts in up to their cut-out speed.
    ///
    /// # Errors
    /// What is missing or not modelled yet.
    pub fn new(case: &Case) -> Result<MotorSheet, crate::case::Lack> {
        let path = Path::new(case)?;
        let mut circuit = Vec::new();
        let mut motor = case.load.motor.clone();
        if let Some(fit) = &path.fit {
            circuit = fitted(fit);
        } else {
            motor.visit(&mut |key, figure| {
                let key = key.strip_prefix("auxiliary.").unwrap_or(key);
                circuit.push((key.to_owned(), figure.numbers().0, figure.unit()));
            });
        }
        let poles = match &case.load.motor {
            Some(crate::motor::given::MotorFigures::Plate(m)) => m.poles,
            Some(crate::motor::given::MotorFigures::TwoWinding(m)) => m.poles,
            Some(crate::motor::given::MotorFigures::ThreePhase(m)) => m.poles,
            None => 0,
        };
        let table = (0..=40).map(|i| point(&path, f64::from(i) / 40.0)).collect();
        Ok(MotorSheet {
            name: case.load.name.clone(),
            circuit,
            poles,
            voltage_v: path.open_v,
            frequency_hz: path.frequency_hz,
            table,
        })
    }

    /// As CSV.
    pub fn csv(&self) -> String {
        let mut out = String::from("speed_rpm,line_a,power_factor,input_w,torque_nm\n");
        for p in &self.table {
            let cells = [p.speed_rpm, p.line_a, p.power_factor, p.input_w, p.torque_nm];
            let cells: Vec<String> = cells.iter().map(|x| x.to_string()).collect();
            let _ = writeln!(out, "{}", cells.join(","));
        }
        out
    }

    /// As JSON: `{ "motor": {..}, "table": [..] }`.
    ///
    /// # Errors
    /// Only if the serialiser fails, which its own types rule out.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let mut motor = serde_json::Map::new();
        motor.insert("name".into(), self.name.clone().into());
        motor.insert("poles".into(), self.poles.into());
        motor.insert("voltage_v".into(), self.voltage_v.into());
        motor.insert("frequency_hz".into(), self.frequency_hz.into());
        for (key, value, _) in &self.circuit {
            motor.insert(key.clone(), (*value).into());
        }
        let root = serde_json::json!({ "motor": motor, "table": self.table });
        Ok(serde_json::to_string_pretty(&root)? + "\n")
    }

    /// As text.
    pub fn text(&self) -> String {
        use crate::checks::say::number;
        let mut out = format!(
            "{}: {} poles, at {} V {} Hz\n\n",
            super::words::sentence(&self.name),
            self.poles,
            number(self.voltage_v),
            number(self.frequency_hz)
        );
        for (key, value, unit) in &self.circuit {
            let _ = writeln!(out, "  {key:<22} {value:>10} {unit}");
        }
        out.push_str("\n   speed rpm   line A   power factor   input W   torque N m\n");
        for p in &self.table {
            let _ = writeln!(
                out,
                "  {:>10.0} {:>8.2} {:>14.3} {:>9.0} {:>12.3}",
                p.speed_rpm, p.line_a, p.power_factor, p.input_w, p.torque_nm
            );
        }
        out
    }
}

/// The circuit of a fit, at its rated frequency, and its rated point.
fn fitted(fit: &Fit) -> Vec<(String, f64, &'static str)> {
    let c = &fit.circuit;
    let mut list = vec![
        ("r1_ohm", c.r1_ohm, "ohm"),
        ("x1_ohm", c.x1_ohm, "ohm"),
        ("xm_ohm", c.xm_ohm, "ohm"),
        ("r2_ohm", c.r2_ohm, "ohm"),
        ("x2_ohm", c.x2_ohm, "ohm"),
    ];
    if let Some(second) = &c.second_cage {
        list.push(("r3_ohm", second.r_ohm, "ohm"));
        list.push(("x3_ohm", second.x_ohm, "ohm"));
    }
    list.extend(c.leakage_saturation_a.map(|a| ("leakage_saturation_a", a, "A")));
    if let Some(auxiliary) = &c.auxiliary {
        list.push(("r1a_ohm", auxiliary.r_ohm, "ohm"));
        list.push(("x1a_ohm", auxiliary.x_ohm, "ohm"));
        list.push(("turns_ratio", auxiliary.turns_ratio, ""));
    }
    list.extend(c.run_capacitor_uf.map(|uf| ("run_capacitor_uf", uf, "uF")));
    list.extend(c.start_capacitor_uf.map(|uf| ("start_capacitor_uf", uf, "uF")));
    list.push(("rated_nm", fit.rated_nm(), "N m"));
    list.push(("rated_rpm", fit.rated_rpm(), "rpm"));
    list.into_iter()
        .map(|(key, value, unit)| (key.to_owned(), rounded(value).unwrap_or(value), unit))
        .collect()
}

fn point(path: &Path, x: f64) -> SpeedPoint {
    let machine = path.machine();
    let speed = x * machine.sync_speed();
    let own_start = machine.own_cut_out().is_some_and(|cut| x < cut);
    let phases = f64::from(machine.phases());
    let v = if path.hookup == Hookup::ThreePhase { path.open_v / 3f64.sqrt() } else { path.open_v };
    let at = machine.at(speed, Stage { own_start, assist: false });
    let round = |x: f64| rounded(x).unwrap_or(0.0);
    SpeedPoint {
        speed_rpm: round(Rpm::from_rad_per_s(speed).0),
        line_a: round(at.y.norm() * v),
        power_factor: round(at.y.re / at.y.norm()),
        input_w: round(phases * v * v * at.y.re),
        torque_nm: round(at.torque_per_v2 * v * v),
    }
}
