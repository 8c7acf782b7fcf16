//! A motor known by its nameplate and its class: the figures that its circuit is fitted to.

use std::sync::Arc;

use super::fit::{Fit, Target, Wanted, Winding, fit};
use crate::figure::{Figure, Origin};
use crate::nameplate::Nameplate;
use crate::quantity::*;

/// How hard a class's typical figure binds beside a printed one, relative (assumed): close enough that a range of such
/// figures moves the circuit, loose enough to give way where they contradict what is printed.
const TYPICAL_BINDS: f64 = 0.05;

/// What a nameplate does not say of a motor, by its class; currents, powers and torques in N m stand in the [`Nameplate`].
#[derive(Debug, Clone, PartialEq)]
pub struct PlateMotor {
    /// How it starts and runs.
    pub winding: Winding,
    /// Poles.
    pub poles: u32,
    /// Slip at rated load.
    pub rated_slip: Option<Figure<Ratio>>,
    /// Locked-rotor torque over rated torque.
    pub locked_rotor_torque: Option<Figure<Ratio>>,
    /// Breakdown torque over rated torque.
    pub breakdown_torque: Option<Figure<Ratio>>,
    /// The motor's own start capacitor.
    pub start_capacitor_uf: Option<Figure<Microfarad>>,
    /// Speed, as a fraction of synchronous speed, at which its own start switch opens.
    pub cut_out_speed: Option<Figure<Ratio>>,
    /// Inertia constant: kinetic energy at synchronous speed over rated volt-amperes.
    pub inertia_s: Option<Figure<Second>>,
    /// Moment of inertia of rotor and load; comes before `inertia_s`.
    pub inertia_kgm2: Option<Figure<KilogramSquareMetre>>,
    /// The fit at the figures' values, from which those at other values start.
    pub seed: Option<Arc<Fit>>,
}

crate::figures!(PlateMotor: rated_slip, locked_rotor_torque, breakdown_torque, start_capacitor_uf, cut_out_speed,
    inertia_s, inertia_kgm2);

/// How hard a figure binds: what is printed or measured hard, what is typical loosely.
fn target<Q: Quantity>(figure: &Figure<Q>) -> Target {
    match figure.origin {
        Origin::Typical | Origin::Assumed => Target::typical(figure.get(), TYPICAL_BINDS),
        _ => Target::given(figure.get()),
    }
}

impl PlateMotor {
    /// Fits the circuit at the figures' values, at the load's rated voltage \[V\] and frequency \[Hz\].
    ///
    /// # Errors
    /// The missing key, where locked-rotor or rated-load current is not known.
    pub fn fit(&self, plate: &Nameplate, voltage_v: f64, frequency_hz: f64) -> Result<Fit, &'static str> {
        let locked = plate.locked_rotor().ok_or("locked_rotor_a")?;
        let rated = plate.rated_load().ok_or("rated_load_a")?;
        let shaft_w = self.shaft_w(plate);
        let wanted = Wanted {
            locked_rotor_power_factor: plate.locked_rotor_power_factor.as_ref().map(target),
            power_factor: plate.power_factor.as_ref().map(target),
            // power, current and power factor fix it
            efficiency: plate.efficiency.as_ref().filter(|_| shaft_w.is_none()).map(target),
            shaft_w,
            slip: self.slip(plate, frequency_hz),
            locked_rotor_nm: plate.locked_rotor_nm.as_ref().map(target),
            locked_rotor_torque: self.locked_rotor_torque.as_ref().map(target),
            breakdown_nm: plate.breakdown_nm.as_ref().map(target),
            breakdown_torque: self.breakdown_torque.as_ref().map(target),
            run_capacitor_uf: plate.run_capacitor_uf.as_ref().map(target),
            start_capacitor_uf: self.start_capacitor_uf.as_ref().map(target),
            cut_out_speed: self.cut_out_speed.as_ref().map_or(CUT_OUT, Figure::get),
            ..Wanted::new(
                self.winding,
                self.poles,
                [frequency_hz, voltage_v],
                // derived or printed: the rest of the judgement takes these two as they stand
                Target::given(rated),
                Target::given(locked),
            )
        };
        match self.seed.as_deref() {
            // most figures of a case are none of the fit's
            Some(seed) if *seed.wanted() == wanted => Ok(*seed),
            seed => Ok(fit(&wanted, seed)),
        }
    }

    /// Shaft power, where the nameplate states it: hp always means the shaft, watts only for a motor that is not sealed in.
    fn shaft_w(&self, plate: &Nameplate) -> Option<Target> {
        if plate.hermetic {
            return None;
        }
        let hp = plate.power_hp.as_ref().map(|hp| Target::given(Watt::from(hp.value).get()));
        hp.or_else(|| plate.power_w.as_ref().map(target))
    }

    fn slip(&self, plate: &Nameplate, frequency_hz: f64) -> Option<Target> {
        let synchronous = 120.0 * frequency_hz / f64::from(self.poles);
        match &plate.rated_rpm {
            Some(rpm) => {
                let slip = 1.0 - rpm.get() / synchronous;
                // a plate rounds its speed to 5 or 10 rpm: its slip is not known to a thousandth
                (slip > 0.0).then(|| Target::typical(slip, TYPICAL_BINDS))
            }
            None => self.rated_slip.as_ref().map(target),
        }
    }

    /// Moment of inertia \[kg m2\] at rated volts times amperes of `rated_va` and a synchronous speed \[rad/s\].
    pub fn inertia(&self, rated_va: f64, sync_speed: f64) -> Option<f64> {
        let by_constant = |h: &Figure<Second>| 2.0 * h.get() * rated_va / (sync_speed * sync_speed);
        self.inertia_kgm2.as_ref().map(Figure::get).or_else(|| self.inertia_s.as_ref().map(by_constant))
    }
}

/// Cut-out speed of a start switch where nothing says (common practice, no source).
const CUT_OUT: f64 = 0.75;
