//! Cables: longer, thicker, hotter.

use proptest::prelude::*;
use startmargin::case::{Case, Path};
use startmargin::figure::{Figure, Origin};
use startmargin::quantity::*;
use startmargin::standards::Rules;
use startmargin::start::Trace;
use startmargin::wiring::{ConductorFigures, ConductorSize, Duty, Material, ampacity};

use super::{check, direct, tries};
use crate::tolerances::SAME_PHYSICS;

const GAUGES: [&str; 13] = ["14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"];
const AREAS: [f64; 8] = [1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0];

fn given<Q: Quantity>(number: f64) -> Option<Figure<Q>> {
    Some(Figure::exact(Q::of(number), Origin::Given))
}

fn size(rules: Rules, which: usize) -> Option<ConductorSize> {
    Some(match rules {
        Rules::NorthAmerica => ConductorSize::Awg(GAUGES[which % GAUGES.len()].into()),
        Rules::Iec => {
            ConductorSize::Area(Figure::exact(SquareMillimetre(AREAS[which % AREAS.len()]), Origin::Given))
        }
    })
}

fn rules() -> impl Strategy<Value = Rules> {
    prop_oneof![Just(Rules::NorthAmerica), Just(Rules::Iec)]
}

fn on(case: &Case, rules: Rules, mut conductor: ConductorFigures) -> Path {
    let mut case = case.clone();
    case.rules = rules;
    conductor.fill(&Duty {
        rules,
        phases: case.load.phases,
        frequency_hz: case.supply.frequency_hz.get(),
        ambient_c: case.ambient_c.as_ref(),
    });
    case.circuit.conductor = Some(conductor);
    Path::new(&case).unwrap()
}

proptest! {
    #![proptest_config(tries(60))]

    /// At standstill and, where both settle, running. A longer cable takes no more voltage away than a motor's own changes give
    /// back: a cable is nearly all resistance, and no motor here turns a drop into a rise.
    #[test]
    fn prop_a_longer_cable_never_raises_the_voltage(
        (name, case) in direct(),
        rules in rules(),
        which in 0..8usize,
        metres in 1.0..15.0f64,
        more in 1.0..3.0f64,
    ) {
        let cable = |length_m| ConductorFigures { length_m: given(length_m), size: size(rules, which), ..Default::default() };
        let (mut short, mut long) = (Trace::default(), Trace::default());
        on(&case, rules, cable(metres)).run(0, &mut short);
        on(&case, rules, cable(metres * more)).run(0, &mut long);
        let (a, b) = (short.rows[0].terminal_v, long.rows[0].terminal_v);
        prop_assert!(b <= a * (1.0 + SAME_PHYSICS), "{}: {} V rose to {} V at standstill", name, a, b);
        if let (Some(a), Some(b)) = (short.settled, long.settled) {
            let (a, b) = (a.terminal_v, b.terminal_v);
            prop_assert!(b <= a * (1.0 + SAME_PHYSICS), "{}: {} V rose to {} V while running", name, a, b);
        }
    }

    #[test]
    fn prop_a_thicker_cable_is_no_worse(
        (name, mut case) in direct(),
        rules in rules(),
        (thin, up) in (0..13usize, 1..13usize),
        breaker in 6.0..125.0f64,
        rated in 1.0..60.0f64,
        terminal_c in proptest::sample::select(vec![None, Some(75.0), Some(90.0)]),
    ) {
        let last = if rules == Rules::Iec { AREAS.len() } else { GAUGES.len() } - 1;
        super::set(&mut case, "circuit.breaker.rating_a", breaker);
        case.load.nameplate.rated_load_a = given(rated);
        let cable = |which: usize| ConductorFigures {
            size: size(rules, which.min(last)),
            terminal_c: terminal_c.and_then(given),
            ..Default::default()
        };
        let (thin, thick) = (on(&case, rules, cable(thin)), on(&case, rules, cable(thin + up)));
        let mut trace = Trace::default();
        thin.run(0, &mut trace);
        let conductor = check("conductor");
        let (a, b) = (conductor.margins(&thin, &trace), conductor.margins(&thick, &trace));
        // 1/0 and larger have 75 C terminals where 1 AWG has 60 C ones: that too carries more
        prop_assert!(b.guaranteed >= a.guaranteed && b.to_fail >= a.to_fail, "{}: {:?} against {:?}", name, a, b);
        prop_assert!(conductor.status(&thick, &trace, 1.0) <= conductor.status(&thin, &trace, 1.0), "{}", name);
    }

    /// Hotter surroundings and more neighbours never carry more, better insulation and terminals never less; bounds stay in order.
    #[test]
    fn prop_hotter_never_carries_more(
        rules in rules(),
        which in 0..13usize,
        phases in proptest::sample::select(vec![1u32, 3]),
        material in proptest::sample::select(vec![Material::Copper, Material::Aluminium]),
        (ambient, hotter) in (-40.0..90.0f64, 0.0..40.0f64),
        (grouped, more) in (1.0..40.0f64, 0.0..20.0f64),
        (insulation, better) in (60.0..110.0f64, 0.0..40.0f64),
    ) {
        let carries = |ambient: f64, wider: f64, grouped: f64, rated: f64| {
            let ambient_c: Figure<Celsius> =
                Figure::exact(Celsius(ambient), Origin::Given).between(Celsius(ambient), Celsius(ambient + wider));
            let cable = ConductorFigures {
                size: size(rules, which),
                material,
                insulation_c: given(rated),
                terminal_c: given(rated.min(75.0)),
                grouped: given(grouped),
                ..Default::default()
            };
            ampacity(&cable, &Duty { rules, phases, frequency_hz: 50.0, ambient_c: Some(&ambient_c) }).map(|a| a.amps)
        };
        let Ok(before) = carries(ambient, 0.0, grouped, insulation) else { return Ok(()) };
        prop_assert!(carries(ambient + hotter, 0.0, grouped, insulation).unwrap().get() <= before.get());
        prop_assert!(carries(ambient, 0.0, grouped + more, insulation).unwrap().get() <= before.get());
        prop_assert!(carries(ambient, 0.0, grouped, insulation + better).unwrap().get() >= before.get());
        let wide = carries(ambient, hotter, grouped, insulation).unwrap();
        prop_assert!(wide.low <= wide.value && wide.value <= wide.high);
    }
}
