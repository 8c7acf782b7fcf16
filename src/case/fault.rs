//! A short circuit to earth at the load: the least current that flows, and the time within which the breaker has to open.

use num_complex::Complex64;

use super::path::amps;
use super::{Case, Connection};
use crate::figure::Figure;
use crate::quantity::{Ohm, Quantity};
use crate::standards::iec_60364::{LEAST_VOLTAGE_FACTOR, disconnection_s};
use crate::standards::{Rules, iec_60898_1};
use crate::supply::SupplyKind;

/// Sustained short-circuit current of a generator, of its rated current (common practice, no source; a small one without a
/// regulator collapses instead).
const GENERATOR_SUSTAINS: f64 = 3.0;
/// Voltage above which a North American single-phase supply has its earth in the middle \[V\]: 240 V is 120 V to earth.
const THREE_WIRE_V: f64 = 200.0;

/// A short circuit from line to earth at the load's end of the cable, at the figures' values and with the cable hot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fault {
    /// What flows \[A\].
    pub amps: f64,
    /// What the supply feeds at the most by common practice \[A\], where it does not state it.
    pub typical_a: Option<f64>,
    /// Voltage to earth \[V\].
    pub to_earth_v: f64,
    /// The breaker has to open within this \[s\].
    pub within_s: f64,
}

impl Fault {
    /// `None` where breaker or cable is not known, or nothing of a shore supply's impedance.
    pub(super) fn of(case: &Case) -> Option<Fault> {
        let (supply, circuit) = (&case.supply, &case.circuit);
        let rating_a = circuit.breaker.as_ref()?.rating_a.get();
        let cable = circuit.conductor.as_ref()?;
        // the fault heats what is warm already: resistance at its highest, whatever the value
        let most = |ohm: &Option<Figure<Ohm>>| ohm.as_ref().map_or(0.0, |f| f.high.get());
        cable.resistance_ohm.as_ref()?;
        // a cable of three phases is stated per line: the way back is as long and taken as thick
        let ways = if case.load.phases == 3 { 2.0 } else { 1.0 };
        let cable = ways * Complex64::new(most(&cable.resistance_ohm), most(&cable.reactance_ohm));
        let volts = supply.voltage_v.get();
        let legs = matches!(case.load.connection, Some(Connection::L1 | Connection::L2 | Connection::L1L2));
        // to earth, and the share of the stated impedance that is in such a loop
        let (to_earth_v, share) = match supply.phases {
            3 => (volts / 3f64.sqrt(), 2.0),
            _ if legs || case.rules == Rules::NorthAmerica && volts > THREE_WIRE_V => (0.5 * volts, 0.5),
            _ => (volts, 1.0),
        };
        let driving_v = LEAST_VOLTAGE_FACTOR * to_earth_v;
        let stated_a = supply.fault_a.as_ref().map(Figure::get);
        let value = |ohm: &Option<Figure<Ohm>>| ohm.as_ref().map(Figure::get);
        let loop_ohm = match (stated_a, value(&supply.output_ohm), value(&supply.output_reactance_ohm)) {
            // of what angle the source is, is not known: in line with the cable it lets the least through
            (Some(amps), ..) if supply.kind == SupplyKind::Shore => to_earth_v / amps + cable.norm(),
            (None, None, None) if supply.kind == SupplyKind::Shore => return None,
            (_, r, x) => (share * Complex64::new(r.unwrap_or(0.0), x.unwrap_or(0.0)) + cable).norm(),
        };
        let rated_a = supply.continuous.as_ref().map_or(0.0, |rating| amps(supply, rating));
        let usual_a = match supply.kind {
            SupplyKind::Shore => None,
            SupplyKind::Generator => Some(GENERATOR_SUSTAINS * rated_a),
            SupplyKind::Inverter => {
                Some(supply.surge.iter().map(|s| amps(supply, &s.rating)).fold(rated_a, f64::max))
            }
        };
        let typical_a = usual_a.filter(|_| stated_a.is_none());
        // what feeds a fault by control holds its current and not its voltage
        let least = typical_a.or(stated_a.filter(|_| supply.kind != SupplyKind::Shore));
        let by_loop = driving_v / loop_ohm;
        Some(Fault {
            amps: least.map_or(by_loop, |most| by_loop.min(most)),
            typical_a,
            to_earth_v,
            within_s: match case.rules {
                Rules::Iec => disconnection_s(to_earth_v, rating_a),
                // no time is laid down: it is to act at once (common practice, no source)
                Rules::NorthAmerica => iec_60898_1::INSTANTANEOUS_S,
            },
        })
    }
}
