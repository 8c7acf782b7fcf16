//! The fit of a circuit to a label: known circuits read and recovered, measured motors, laws.

mod cages;
mod compressor;
mod delay;
mod laws;
mod measured;
mod published;
mod sweep;

use startmargin::motor::fit::{Fit, Target, Wanted, Winding};
use startmargin::motor::{Machine, Stage};

const OWN_START: Stage = Stage { own_start: true, assist: false };

/// What a machine says of itself, read through its public interface only: nothing of the fit is in it.
#[derive(Debug, Clone, Copy)]
pub struct Label {
    pub voltage_v: f64,
    pub slip: f64,
    pub rated_a: f64,
    pub power_factor: f64,
    pub shaft_w: f64,
    pub efficiency: f64,
    pub shaft_nm: f64,
    pub locked_rotor_a: f64,
    pub locked_rotor_power_factor: f64,
    pub locked_rotor_nm: f64,
    pub breakdown_nm: f64,
}

/// The largest torque per volt squared over slips 0.004 to 0.95, by a fine walk and a parabola.
pub fn largest_torque(m: &dyn Machine, stage: Stage) -> f64 {
    let torque = |s: f64| m.at((1.0 - s) * m.sync_speed(), stage).torque_per_v2;
    let slips: Vec<f64> = (0..=2000).map(|i| 0.004 * (0.95f64 / 0.004).powf(f64::from(i) / 2000.0)).collect();
    slips.iter().map(|&s| torque(s)).fold(f64::NEG_INFINITY, f64::max)
}

impl Label {
    /// `drag`: iron loss and friction, of the input at the rated point.
    pub fn read(m: &dyn Machine, voltage_v: f64, slip: f64, drag: f64) -> Label {
        let phases = f64::from(m.phases());
        let v2 = voltage_v * voltage_v / phases;
        let v = v2.sqrt();
        let rated = m.at((1.0 - slip) * m.sync_speed(), Stage::RUN);
        let stalled = m.at(0.0, OWN_START);
        let speed = (1.0 - slip) * m.sync_speed();
        let drag_nm = drag * phases * v2 * rated.y.re / speed;
        let shaft_nm = rated.torque_per_v2 * v2 - drag_nm;
        let shaft_w = shaft_nm * speed;
        Label {
            voltage_v,
            slip,
            rated_a: rated.y.norm() * v,
            power_factor: rated.y.re / rated.y.norm(),
            shaft_w,
            efficiency: shaft_w / (phases * v2 * rated.y.re),
            shaft_nm,
            locked_rotor_a: stalled.y.norm() * v,
            locked_rotor_power_factor: stalled.y.re / stalled.y.norm(),
            locked_rotor_nm: stalled.torque_per_v2 * v2,
            breakdown_nm: largest_torque(m, Stage::RUN) * v2 - drag_nm,
        }
    }

    /// All of it given.
    pub fn wanted(&self, winding: Winding, poles: u32, frequency_hz: f64) -> Wanted {
        let given = |x: f64| Some(Target::given(x));
        Wanted {
            locked_rotor_power_factor: given(self.locked_rotor_power_factor),
            power_factor: given(self.power_factor),
            shaft_w: given(self.shaft_w),
            slip: given(self.slip),
            locked_rotor_nm: given(self.locked_rotor_nm),
            breakdown_nm: given(self.breakdown_nm),
            ..Wanted::new(
                winding,
                poles,
                [frequency_hz, self.voltage_v],
                Target::given(self.rated_a),
                Target::given(self.locked_rotor_a),
            )
        }
    }

    /// The largest relative difference between what two machines say.
    pub fn off(&self, other: &Label) -> (f64, &'static str) {
        let (a, b) = (self, other);
        [
            ("rated_a", a.rated_a, b.rated_a),
            ("power_factor", a.power_factor, b.power_factor),
            ("shaft_w", a.shaft_w, b.shaft_w),
            ("efficiency", a.efficiency, b.efficiency),
            ("shaft_nm", a.shaft_nm, b.shaft_nm),
            ("locked_rotor_a", a.locked_rotor_a, b.locked_rotor_a),
            ("locked_rotor_pf", a.locked_rotor_power_factor, b.locked_rotor_power_factor),
            ("locked_rotor_nm", a.locked_rotor_nm, b.locked_rotor_nm),
            ("breakdown_nm", a.breakdown_nm, b.breakdown_nm),
        ]
        .into_iter()
        .map(|(what, x, y)| ((y / x - 1.0).abs(), what))
        .fold((0.0, ""), |worst, this| if this.0 > worst.0 { this } else { worst })
    }
}

/// The label of a fit, read as of any machine.
pub fn label_of(fit: &Fit) -> Label {
    let (w, r) = (fit.wanted(), fit.reached);
    let drag = r.drag_nm * fit.rated_rpm() * std::f64::consts::TAU / 60.0 / (r.shaft_w / r.efficiency);
    match w.winding {
        Winding::ThreePhase => {
            Label::read(&fit.three_phase(w.frequency_hz, 0.1).unwrap(), w.voltage_v, r.slip, drag)
        }
        _ => Label::read(&fit.two_winding(w.frequency_hz, 0.1).unwrap(), w.voltage_v, r.slip, drag),
    }
}
