//! Units as types: one newtype per kind of quantity, in SI units (or the trade's, where the name says so).
//!
//! Public structures carry these; the kernels inside unwrap them to `f64` with the unit in the variable's name.

/// What every quantity can do: be read as a number in its own unit, and be made from one.
///
/// ```
/// use startmargin::quantity::{Ampere, Quantity};
/// let i = Ampere(62.0);
/// assert_eq!(Ampere::of(i.get()), i);
/// assert_eq!(Ampere::UNIT, "A");
/// ```
pub trait Quantity: Copy + PartialEq + PartialOrd + std::fmt::Debug + 'static {
    /// The unit's symbol as printed, empty for a ratio.
    const UNIT: &'static str;
    /// The number, in [`Self::UNIT`].
    fn get(self) -> f64;
    /// A quantity of `number` units.
    fn of(number: f64) -> Self;
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident $unit:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);

        impl Quantity for $name {
            const UNIT: &'static str = $unit;
            fn get(self) -> f64 { self.0 }
            fn of(number: f64) -> Self { Self(number) }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                if $unit.is_empty() { write!(f, "{}", self.0) } else { write!(f, "{} {}", self.0, $unit) }
            }
        }
    )*};
}

quantities! {
    /// Electric current, rms unless said otherwise.
    Ampere "A";
    /// Voltage, rms; line to line for three phases.
    Volt "V";
    /// Apparent power; the three-phase total for three phases.
    VoltAmpere "VA";
    /// Real power.
    Watt "W";
    /// Horsepower as motors are rated in North America, 745.7 W.
    Horsepower "hp";
    /// Resistance or reactance.
    Ohm "ohm";
    /// Resistance in thousandths of an ohm.
    Milliohm "mohm";
    /// Time.
    Second "s";
    /// Frequency.
    Hertz "Hz";
    /// Length.
    Metre "m";
    /// Conductor cross-section.
    SquareMillimetre "mm2";
    /// Temperature.
    Celsius "C";
    /// Capacitance.
    Microfarad "uF";
    /// Moment of inertia.
    KilogramSquareMetre "kg m2";
    /// Torque.
    NewtonMetre "N m";
    /// Speed of rotation.
    Rpm "rpm";
    /// A number without unit: a ratio, a power factor, a fraction of synchronous speed.
    Ratio "";
}

impl From<Milliohm> for Ohm {
    fn from(m: Milliohm) -> Ohm {
        Ohm(m.0 * 1e-3)
    }
}

impl From<Horsepower> for Watt {
    /// 1 hp = 550 ft lbf/s = 745.7 W (NIST SP 811, appendix B; from memory).
    fn from(hp: Horsepower) -> Watt {
        Watt(hp.0 * 745.699_871_582_270_2)
    }
}

impl Rpm {
    /// The mechanical angular speed in rad/s.
    pub fn rad_per_s(self) -> f64 {
        self.0 * std::f64::consts::TAU / 60.0
    }

    /// From a mechanical angular speed in rad/s.
    pub fn from_rad_per_s(w: f64) -> Rpm {
        Rpm(w * 60.0 / std::f64::consts::TAU)
    }
}
