//! Motors as the site file states them: by their equivalent circuit outright, or by a nameplate that a circuit is fitted to.

pub use super::plate::PlateMotor;
use super::{Auxiliary, Cage, Capacitor, Pulsation, SpeedTorque, ThreePhase, TwoWinding};
use crate::figure::Figure;
use crate::quantity::*;

/// The circuit of a motor, per kind.
// a site has a handful of them: their size does not matter
#[expect(clippy::large_enum_variant)]
#[derive(Debug, Clone, PartialEq)]
pub enum MotorFigures {
    /// Single-phase, main and auxiliary winding.
    TwoWinding(TwoWindingFigures),
    /// Three-phase cage motor, per phase of the star equivalent.
    ThreePhase(ThreePhaseFigures),
    /// Not given outright: fitted to the nameplate and what is usual of its class.
    Plate(PlateMotor),
}

impl crate::figure::Figures for MotorFigures {
    fn visit(&mut self, visit: &mut dyn FnMut(&str, &mut dyn crate::figure::AnyFigure)) {
        match self {
            MotorFigures::TwoWinding(m) => m.visit(visit),
            MotorFigures::ThreePhase(m) => m.visit(visit),
            MotorFigures::Plate(m) => m.visit(visit),
        }
    }
}

/// The auxiliary winding, on its own side.
#[derive(Debug, Clone, PartialEq)]
pub struct AuxiliaryFigures {
    /// Resistance.
    pub r1a_ohm: Figure<Ohm>,
    /// Leakage reactance.
    pub x1a_ohm: Figure<Ohm>,
    /// Turns of the auxiliary over turns of the main winding.
    pub turns_ratio: Figure<Ratio>,
}

crate::figures!(AuxiliaryFigures: r1a_ohm, x1a_ohm, turns_ratio);

/// Two-winding motor; rotor values referred to the main winding.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoWindingFigures {
    /// Poles: 2, 4, 6 ...
    pub poles: u32,
    /// Main winding resistance.
    pub r1_ohm: Figure<Ohm>,
    /// Main winding leakage reactance.
    pub x1_ohm: Figure<Ohm>,
    /// Magnetising reactance.
    pub xm_ohm: Figure<Ohm>,
    /// Rotor resistance.
    pub r2_ohm: Figure<Ohm>,
    /// Rotor leakage reactance.
    pub x2_ohm: Figure<Ohm>,
    /// Auxiliary winding; absent: the motor runs on its main winding alone.
    pub auxiliary: Option<AuxiliaryFigures>,
    /// Run capacitor, in series with the auxiliary; absent: none.
    pub run_capacitor_uf: Option<Figure<Microfarad>>,
    /// Series resistance of the run capacitor.
    pub run_capacitor_ohm: Option<Figure<Ohm>>,
    /// Start capacitor, in parallel until `cut_out_speed`; absent: none.
    pub start_capacitor_uf: Option<Figure<Microfarad>>,
    /// Series resistance of the start capacitor.
    pub start_capacitor_ohm: Option<Figure<Ohm>>,
    /// Speed, as a fraction of synchronous speed, at which the start switch opens.
    pub cut_out_speed: Option<Figure<Ratio>>,
    /// Moment of inertia of rotor and load.
    pub inertia_kgm2: Figure<KilogramSquareMetre>,
}

crate::figures!(TwoWindingFigures: r1_ohm, x1_ohm, xm_ohm, r2_ohm, x2_ohm, auxiliary, run_capacitor_uf, run_capacitor_ohm,
    start_capacitor_uf, start_capacitor_ohm, cut_out_speed, inertia_kgm2);

/// Three-phase motor, one cage or two; per phase of the star equivalent, rotor referred to the stator.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreePhaseFigures {
    /// Poles: 2, 4, 6 ...
    pub poles: u32,
    /// Stator resistance.
    pub r1_ohm: Figure<Ohm>,
    /// Stator leakage reactance.
    pub x1_ohm: Figure<Ohm>,
    /// Magnetising reactance.
    pub xm_ohm: Figure<Ohm>,
    /// Rotor resistance (first cage).
    pub r2_ohm: Figure<Ohm>,
    /// Rotor leakage reactance (first cage).
    pub x2_ohm: Figure<Ohm>,
    /// Resistance of the second cage, with `x3_ohm`.
    pub r3_ohm: Option<Figure<Ohm>>,
    /// Leakage reactance of the second cage.
    pub x3_ohm: Option<Figure<Ohm>>,
    /// Line current from which the leakage saturates; absent: it does not.
    pub leakage_saturation_a: Option<Figure<Ampere>>,
    /// Moment of inertia of rotor and load.
    pub inertia_kgm2: Figure<KilogramSquareMetre>,
}

crate::figures!(ThreePhaseFigures: r1_ohm, x1_ohm, xm_ohm, r2_ohm, x2_ohm, r3_ohm, x3_ohm, leakage_saturation_a,
    inertia_kgm2);

/// Load torque TL = Tr (c0 + (c1 x + c2 x^2) b), x = speed over rated speed.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadTorqueFigures {
    /// Torque at rated speed, fully built up; absent: the fitted motor's own.
    pub rated_nm: Option<Figure<NewtonMetre>>,
    /// The speed at which that torque is stated; absent: the fitted motor's own.
    pub rated_rpm: Option<Figure<Rpm>>,
    /// Share that does not depend on speed.
    pub c0: Figure<Ratio>,
    /// Share in proportion to speed.
    pub c1: Figure<Ratio>,
    /// Share with the square of speed.
    pub c2: Figure<Ratio>,
    /// Share that must be exceeded at standstill.
    pub breakaway: Figure<Ratio>,
    /// Time constant of the torque's build-up from switch-on; 0: none.
    pub build_up_s: Figure<Second>,
    /// How the torque swings with the shaft's angle; absent: not at all.
    pub pulsation: Option<Pulsation>,
}

crate::figures!(LoadTorqueFigures: rated_nm, rated_rpm, c0, c1, c2, breakaway, build_up_s);

fn capacitor(uf: &Option<Figure<Microfarad>>, ohm: &Option<Figure<Ohm>>) -> Option<Capacitor> {
    let farad = uf.as_ref().map(|f| f.get() * 1e-6).filter(|&f| f > 0.0)?;
    Some(Capacitor { farad, ohm: ohm.as_ref().map_or(0.0, Figure::get) })
}

impl TwoWindingFigures {
    /// The machine at the figures' values, on a supply of this frequency. Reactances are taken as stated for it.
    pub fn machine(&self, frequency: Hertz) -> TwoWinding {
        let circuit = [&self.r1_ohm, &self.x1_ohm, &self.xm_ohm, &self.r2_ohm, &self.x2_ohm].map(Figure::get);
        let mut machine = TwoWinding::new(self.poles, frequency.0, circuit, self.inertia_kgm2.get());
        let Some(aux) = &self.auxiliary else { return machine };
        machine = machine.with_auxiliary(Auxiliary {
            r_ohm: aux.r1a_ohm.get(),
            x_ohm: aux.x1a_ohm.get(),
            turns_ratio: aux.turns_ratio.get(),
        });
        let run = capacitor(&self.run_capacitor_uf, &self.run_capacitor_ohm);
        if let Some(run) = run {
            machine = machine.with_run_capacitor(run);
        }
        let start = capacitor(&self.start_capacitor_uf, &self.start_capacitor_ohm);
        match &self.cut_out_speed {
            // without any capacitor the winding itself is made for starting: split phase
            Some(cut_out) if start.is_some() || run.is_none() => {
                machine.with_start_switch(start, cut_out.get())
            }
            _ => machine,
        }
    }
}

impl ThreePhaseFigures {
    /// The machine at the figures' values, on a supply of this frequency; its leakage, where it saturates, as at this voltage
    /// of a phase \[V\].
    pub fn machine(&self, frequency: Hertz, phase_v: f64) -> ThreePhase {
        let cage = Cage { r_ohm: self.r2_ohm.get(), x_ohm: self.x2_ohm.get() };
        let stator = [&self.r1_ohm, &self.x1_ohm, &self.xm_ohm].map(Figure::get);
        let mut machine = ThreePhase::new(self.poles, frequency.0, stator, cage, self.inertia_kgm2.get());
        if let (Some(r), Some(x)) = (&self.r3_ohm, &self.x3_ohm) {
            machine = machine.with_second_cage(Cage { r_ohm: r.get(), x_ohm: x.get() });
        }
        match &self.leakage_saturation_a {
            Some(amps) => machine.with_leakage_saturation(amps.get(), phase_v),
            None => machine,
        }
    }
}

impl LoadTorqueFigures {
    /// The load at the figures' values; what it leaves out of the rated point is the motor's `(torque [N m], speed)`.
    pub fn load(&self, motor: (f64, Rpm)) -> SpeedTorque {
        SpeedTorque {
            rated_nm: self.rated_nm.as_ref().map_or(motor.0, Figure::get),
            rated_speed: self.rated_rpm.as_ref().map_or(motor.1, |rpm| rpm.value).rad_per_s(),
            shares: [self.c0.get(), self.c1.get(), self.c2.get()],
            breakaway: self.breakaway.get(),
            build_up_s: self.build_up_s.get(),
            pulsation: self.pulsation,
        }
    }
}
