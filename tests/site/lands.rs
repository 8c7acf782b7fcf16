//! Every key lands in its field, with its origin and its place.

use super::{HALL, VAN, WORKSHOP, edit, site, van};
use startmargin::case::{Behaviour, Connection, Pressure};
use startmargin::figure::{AnyFigure, Figure, Figures, Origin};
use startmargin::motor::given::MotorFigures;
use startmargin::motor::{CompressorKind, Pulsation};
use startmargin::protection::{BreakerStandard, Curve, CurvePoint};
use startmargin::quantity::*;
use startmargin::site::{Site, Standards};
use startmargin::starter::StarterKind;
use startmargin::supply::{OnOverload, Rating, SupplyKind};
use startmargin::wiring::{ConductorSize, Material};

fn nameplate<Q: Quantity>(number: f64, figure: &Option<Figure<Q>>) {
    number_of(number, figure, Origin::Nameplate);
}

fn given<Q: Quantity>(number: f64, figure: &Option<Figure<Q>>) {
    number_of(number, figure, Origin::Given);
}

#[track_caller]
fn number_of<Q: Quantity>(number: f64, figure: &Option<Figure<Q>>, origin: Origin) {
    let figure = figure.as_ref().expect("the figure is there");
    assert_eq!((figure.numbers(), figure.origin), ((number, number, number), origin));
}

/// The site's figures, as a walk over the case yields them.
fn walk(site: &Site, load: usize, supply: usize) -> Vec<(String, (f64, f64, f64), Origin)> {
    let mut figures = Vec::new();
    let mut case = site.case(load, supply, Pressure::Equalised);
    case.visit(&mut |key, f| figures.push((site.case_path(load, supply, key), f.numbers(), f.origin())));
    figures
}

#[test]
fn the_top_of_the_file() {
    let site = site(VAN);
    assert_eq!((site.title.as_str(), site.standards), ("Camper", Standards::Iec));
    given(40.0, &site.ambient_c);
    assert_eq!((site.supplies.len(), site.running.len(), site.loads.len()), (2, 1, 2));
    let paths: Vec<&str> = site.notes.iter().map(|n| n.path.as_str()).collect();
    // the drill, of which nothing is known, is taken as the general class
    assert_eq!(paths, ["load[1]"]);
}

#[test]
fn the_supplies() {
    let site = site(VAN);
    let inverter = &site.supplies[0];
    assert_eq!(
        (inverter.name.as_str(), inverter.kind, inverter.phases),
        ("inverter", SupplyKind::Inverter, 1)
    );
    assert_eq!(inverter.voltage_v.numbers(), (120.0, 120.0, 120.0));
    assert_eq!(inverter.frequency_hz.get(), 60.0);
    assert!(matches!(&inverter.continuous, Some(Rating::VoltAmperes(f)) if f.get() == 3000.0));
    let surge: Vec<_> = inverter.surge.iter().map(|s| (s.rating.clone(), s.for_s.clone())).collect();
    assert!(matches!(&surge[0], (Rating::VoltAmperes(va), Some(t)) if va.get() == 6000.0 && t.get() == 0.5));
    assert!(matches!(&surge[1], (Rating::VoltAmperes(va), Some(t)) if va.get() == 4500.0 && t.get() == 10.0));
    nameplate(90.0, &inverter.peak_current_a);
    nameplate(0.002, &inverter.peak_current_for_s);
    given(120.0, &inverter.fault_a);
    assert_eq!(inverter.shuts_off_on_fault, Some(true));
    given(0.05, &inverter.output_ohm);
    given(0.02, &inverter.output_reactance_ohm);
    assert_eq!((inverter.on_overload, &inverter.based_on), (OnOverload::Limit, &None));
    let shore = &site.supplies[1];
    assert_eq!((shore.kind, shore.voltage_v.origin), (SupplyKind::Shore, Origin::Measured));
    assert_eq!(shore.voltage_v.numbers(), (118.0, 110.0, 126.0));
    assert_eq!((shore.on_overload, shore.surge.len(), &shore.continuous), (OnOverload::Trip, 0, &None));
}

#[test]
fn the_battery() {
    let battery = site(VAN).battery.expect("a battery");
    assert_eq!(battery.nominal_v.get(), 48.0);
    nameplate(12.0, &battery.internal_mohm);
    nameplate(200.0, &battery.peak_a);
    nameplate(5.0, &battery.peak_for_s);
    let (standard, rating) = battery.fuse.expect("a fuse");
    assert_eq!((standard.as_str(), rating.get()), ("ISO 8820-5", 150.0));
}

#[test]
fn circuits_and_running_loads() {
    let site = site(VAN);
    let breaker = site.circuit.breaker.as_ref().expect("a breaker");
    assert_eq!((breaker.standard, breaker.rating_a.get()), (BreakerStandard::Ul489, 20.0));
    let cable = site.circuit.conductor.as_ref().expect("a conductor");
    assert_eq!(cable.size, Some(ConductorSize::Awg("12".into())));
    assert_eq!(cable.material, Material::Copper);
    given(6.0, &cable.length_m);
    given(90.0, &cable.insulation_c);
    given(75.0, &cable.terminal_c);
    given(3.0, &cable.grouped);
    given(0.07, &cable.resistance_ohm);
    given(0.001, &cable.reactance_ohm);
    given(22.0, &cable.ampacity_a);
    let own = site.loads[0].circuit.as_ref().expect("a circuit of its own");
    let breaker = own.breaker.as_ref().expect("a breaker");
    assert_eq!(breaker.standard, BreakerStandard::Iec60898(Curve::D));
    assert_eq!(breaker.fast, [CurvePoint { multiple: 2.0, s: 20.0 }, CurvePoint { multiple: 4.0, s: 3.0 }]);
    assert_eq!(breaker.slow, [CurvePoint { multiple: 2.0, s: 60.0 }]);
    assert_eq!(breaker.instantaneous, Some([12.0, 18.0]));
    let size = own.conductor.as_ref().and_then(|c| c.size.clone());
    assert!(matches!(size, Some(ConductorSize::Area(f)) if f.get() == 2.5));
    assert!(site.loads[1].circuit.is_none());
    let lights = &site.running[0];
    assert_eq!((lights.name.as_str(), lights.va.get()), ("lights and fridge", 300.0));
    assert_eq!(lights.power_factor.numbers(), (0.95, 0.95, 0.95));
    assert_eq!((lights.behaviour, lights.connection), (Some(Behaviour::Impedance), Some(Connection::L1L2)));
}

#[test]
fn ramps_and_transformers() {
    let site = site(HALL);
    let ramp = &site.loads[0].figures.starter;
    assert_eq!(ramp.kind, StarterKind::Ramp);
    nameplate(0.4, &ramp.initial_fraction);
    nameplate(1.5, &ramp.ramp_s);
    nameplate(0.8, &ramp.kick_fraction);
    nameplate(0.15, &ramp.kick_s);
    nameplate(80.0, &ramp.assist_capacitor_uf);
    nameplate(290.0, &ramp.cut_out_v);
    assert_eq!((ramp.learning_starts, ramp.phases), (Some(5.0), Some(1)));
    assert_eq!(ramp.phase_control, Some(true));
    assert_eq!((ramp.voltage_v, ramp.frequency_hz), (Some([200.0, 250.0]), Some([45.0, 65.0])));
    assert_eq!(ramp.for_rla_a, Some([4.0, 12.0]));
    let tapped = &site.loads[1].figures.starter;
    assert_eq!((tapped.kind, tapped.phase_control), (StarterKind::Autotransformer, None));
    nameplate(0.65, &tapped.initial_fraction);
    nameplate(2.0, &tapped.changeover_s);
    nameplate(0.85, &tapped.changeover_speed);
}

#[test]
fn the_nameplate() {
    let site = site(VAN);
    let plate = &site.loads[0].figures.nameplate;
    nameplate(115.0, &plate.rated_voltage_v);
    nameplate(60.0, &plate.rated_frequency_hz);
    nameplate(62.0, &plate.locked_rotor_a);
    assert_eq!(plate.rated_load_a.as_ref().map(AnyFigure::numbers), Some((12.5, 12.0, 13.0)));
    nameplate(2.0, &plate.fan_full_load_a);
    nameplate(18.0, &plate.minimum_circuit_ampacity_a);
    nameplate(25.0, &plate.maximum_protection_a);
    nameplate(98.0, &plate.least_start_v);
    nameplate(1119.0, &plate.power_w);
    nameplate(1.5, &plate.power_hp);
    nameplate(7000.0, &plate.start_w);
    nameplate(3455.0, &plate.rated_rpm);
    nameplate(0.97, &plate.power_factor);
    nameplate(0.7, &plate.locked_rotor_power_factor);
    nameplate(0.8, &plate.efficiency);
    nameplate(8.0, &plate.breakdown_nm);
    nameplate(1.5, &plate.locked_rotor_nm);
    nameplate(40.0, &plate.run_capacitor_uf);
    nameplate(6.0, &plate.starts_per_hour);
    assert_eq!((plate.code_letter, plate.voltage_range_v), (Some('H'), Some([Volt(103.5), Volt(126.5)])));
}

#[test]
fn a_load_and_its_starter() {
    let site = site(VAN);
    let load = &site.loads[0].figures;
    assert_eq!(
        (load.name.as_str(), load.class.as_deref()),
        ("roof air conditioner", Some("hermetic-run-capacitor"))
    );
    assert_eq!((load.phases, load.connection, load.fan_through_starter), (1, None, true));
    assert_eq!(load.pressure, Some(Pressure::Equalised));
    nameplate(180.0, &load.restart_hold_off_s);
    assert_eq!(load.longest_start_s.numbers(), (2.5, 2.5, 2.5));
    given(88.0, &load.assist_capacitor_uf);
    given(0.8, &load.assist_cut_out_speed);
    assert_eq!(load.starter.kind, StarterKind::Limiter);
    nameplate(25.0, &load.starter.largest_a);
    nameplate(0.4, &load.starter.duration_s);
    nameplate(60.0, &load.starter.assist_capacitor_uf);
    nameplate(0.7, &load.starter.cut_out_speed);
    let drill = &site.loads[1].figures;
    assert_eq!((drill.starter.kind, drill.phases, drill.pressure), (StarterKind::Direct, 1, None));
    // the drill's is its class's; a motor given outright without class has the assumed one
    assert_eq!((drill.longest_start_s.get(), drill.longest_start_s.origin), (5.0, Origin::Typical));
    let outright = super::site(WORKSHOP).loads[0].figures.longest_start_s.clone();
    assert_eq!((outright.get(), outright.origin), (3.0, Origin::Assumed));
}

#[test]
fn a_two_winding_motor_and_its_load_torque() {
    let site = site(VAN);
    let load = &site.loads[0].figures;
    let Some(MotorFigures::TwoWinding(m)) = &load.motor else { panic!("a two-winding motor") };
    let circuit = [&m.r1_ohm, &m.x1_ohm, &m.xm_ohm, &m.r2_ohm, &m.x2_ohm].map(|f| f.get());
    assert_eq!((m.poles, circuit), (2, [0.624, 0.601, 16.249, 0.76, 0.628]));
    let auxiliary = m.auxiliary.as_ref().expect("an auxiliary winding");
    let figures = (auxiliary.r1a_ohm.get(), auxiliary.x1a_ohm.get(), auxiliary.turns_ratio.get());
    assert_eq!(figures, (2.351, 1.217, 1.967));
    given(45.0, &m.run_capacitor_uf);
    given(1.1, &m.run_capacitor_ohm);
    given(70.0, &m.start_capacitor_uf);
    given(2.2, &m.start_capacitor_ohm);
    given(0.75, &m.cut_out_speed);
    assert_eq!(m.inertia_kgm2.get(), 0.0016);
    let t = load.load_torque.as_ref().expect("a load torque");
    assert_eq!(
        (t.rated_nm.as_ref().unwrap().get(), t.rated_rpm.as_ref().unwrap().get(), t.build_up_s.get()),
        (3.23, 3450.0, 8.0)
    );
    assert_eq!([&t.c0, &t.c1, &t.c2, &t.breakaway].map(|f| f.get()), [0.10, 0.65, 0.01, 0.12]);
    let piston = |friction| Some(Pulsation { kind: CompressorKind::Reciprocating, friction });
    assert_eq!(t.pulsation, piston(f64::INFINITY));
    let t = load.load_torque_unequal.as_ref().expect("a load torque");
    assert_eq!(
        (t.rated_nm.as_ref().unwrap().get(), t.rated_rpm.as_ref().unwrap().get(), t.build_up_s.get()),
        (3.23, 3450.0, 1.5)
    );
    assert_eq!([&t.c0, &t.c1, &t.c2, &t.breakaway].map(|f| f.get()), [0.5, 0.65, 0.01, 0.6]);
    // of the torque against pressure what is friction after a rest does not swing
    assert_eq!(t.pulsation, piston(0.10));
}

#[test]
fn a_three_phase_motor_and_defaults() {
    let site = site(WORKSHOP);
    assert_eq!((site.title.as_str(), site.standards), ("site", Standards::Iec));
    let load = &site.loads[0].figures;
    assert_eq!((load.phases, load.starter.kind), (3, StarterKind::StarDelta));
    let Some(MotorFigures::ThreePhase(m)) = &load.motor else { panic!("a three-phase motor") };
    let circuit = [&m.r1_ohm, &m.x1_ohm, &m.xm_ohm, &m.r2_ohm, &m.x2_ohm].map(|f| f.get());
    assert_eq!((m.poles, circuit), (4, [0.8, 1.6, 45.0, 0.7, 1.9]));
    given(3.1, &m.r3_ohm);
    given(0.6, &m.x3_ohm);
    given(24.0, &m.leakage_saturation_a);
    let t = load.load_torque.as_ref().expect("a load torque");
    assert_eq!([&t.c0, &t.c1, &t.c2, &t.breakaway].map(|f| f.get()), [0.0, 0.0, 1.0, 0.0]);
    assert_eq!(t.pulsation, None);
    let dip = site.supplies[0].dip.as_ref().expect("a dip");
    assert_eq!((dip.to.numbers(), dip.for_s.numbers()), ((0.7, 0.7, 0.7), (0.3, 0.2, 0.5)));
    let walked = walk(&site, 0, 0);
    assert!(walked.contains(&("supply[0].dip.for_s".to_owned(), (0.3, 0.2, 0.5), Origin::Given)));
    assert_eq!(
        (t.build_up_s.get(), t.c0.origin, t.breakaway.origin),
        (0.0, Origin::Assumed, Origin::Derived)
    );
}

#[test]
fn what_load_torque_leaves_out() {
    let t = |edits: &[(&str, &str)]| {
        let without_class = [edits, &[("class = \"hermetic-run-capacitor\"\n", "")]].concat();
        let load = site(&van(&without_class)).loads[0].figures.clone();
        (load.load_torque.expect("a load torque"), load.load_torque_unequal.expect("a load torque"))
    };
    assert_eq!(t(&[("breakaway = 0.12\n", "")]).0.breakaway.get(), 0.10);
    let unequal = t(&[("c0 = 0.5\nbreakaway = 0.6\nbuild_up_s = 1.5\n", "")]).1;
    assert_eq!((unequal.c0.get(), unequal.breakaway.get(), unequal.build_up_s.get()), (0.10, 0.12, 0.0));
    assert_eq!(t(&[("breakaway = 0.6\n", "")]).1.breakaway.get(), 0.5);
}

#[test]
fn the_kind_of_starter_when_it_is_not_named() {
    let inline = "starter = { kind = \"limiter\", largest_a = 25, duration_s = 0.4, assist_capacitor_uf = 60, cut_out_speed = 0.7 }";
    let kind = |starter: &str| site(&van(&[(inline, starter)])).loads[0].figures.starter.kind;
    assert_eq!(kind("starter = { reduction = 0.6, assist_capacitor_uf = 60 }"), StarterKind::Limiter);
    assert_eq!(kind("starter = { largest_a = 20, ramp_s = 1 }"), StarterKind::Limiter);
    assert_eq!(kind("starter = { initial_fraction = 0.4, ramp_s = 1 }"), StarterKind::Ramp);
    assert_eq!(kind("starter = { assist_capacitor_uf = 60 }"), StarterKind::Assist);
    assert_eq!(kind("starter = { duration_s = 1 }"), StarterKind::Direct);
    assert_eq!(kind("starter = { kind = \"autotransformer\" }"), StarterKind::Autotransformer);
    assert_eq!(kind("starter = { kind = \"drive\" }"), StarterKind::Drive);
}

#[test]
fn ratings_in_other_units_and_other_starters() {
    let text = van(&[
        ("continuous_va = 3000", "continuous_a = 25"),
        ("{ va = 6000, for_s = 0.5 }", "{ a = 50, for_s = 0.5 }"),
        ("{ va = 4500, for_s = 10.0 }", "{ w = 4500 }"),
        ("largest_a = 25", "reduction = 0.6, initial_fraction = 0.4, ramp_s = 0.3"),
        ("name = \"drill\"", "name = \"drill\"\nconnection = \"L2\"\nphases = 1"),
    ]);
    let site = site(&text);
    let supply = &site.supplies[0];
    assert!(matches!(&supply.continuous, Some(Rating::Amperes(f)) if f.get() == 25.0));
    assert!(matches!(&supply.surge[0].rating, Rating::Amperes(f) if f.get() == 50.0));
    assert!(matches!(&supply.surge[1].rating, Rating::Watts(f) if f.get() == 4500.0));
    assert_eq!(supply.surge[1].for_s, None);
    let starter = &site.loads[0].figures.starter;
    nameplate(0.6, &starter.reduction);
    nameplate(0.4, &starter.initial_fraction);
    nameplate(0.3, &starter.ramp_s);
    assert_eq!(site.loads[1].figures.connection, Some(Connection::L2));
    assert_eq!(site.case_path(0, 0, "supply.surge[0].a"), "supply[0].surge[1].a");
    assert_eq!(site.case_path(0, 0, "supply.continuous.a"), "supply[0].continuous_a");
}

#[test]
fn a_capacitor_of_nothing_is_none() {
    let text =
        van(&[("start_capacitor_uf = 70.0", "start_capacitor_uf = 0.0"), ("cut_out_speed = 0.75\n", "")]);
    let Some(MotorFigures::TwoWinding(m)) = site(&text).loads[0].figures.motor.clone() else {
        panic!("a motor")
    };
    assert_eq!((m.start_capacitor_uf, m.cut_out_speed), (None, None));
}

#[test]
fn a_running_load_says_little() {
    let text = van(&[
        ("name = \"lights and fridge\"\n", ""),
        ("power_factor = 0.95\nbehaviour = \"impedance\"\nconnection = \"L1-L2\"\n", ""),
    ]);
    let lights = site(&text).running[0].clone();
    assert_eq!((lights.name.as_str(), lights.behaviour, lights.connection), ("running load 1", None, None));
    assert_eq!(lights.power_factor.numbers(), (0.9, 0.6, 1.0));
    assert_eq!(lights.power_factor.origin, Origin::Assumed);
}

#[test]
fn unknown_and_use_are_noted() {
    let text = van(&[
        ("locked_rotor_a = 62.0", "locked_rotor_a = \"unknown\""),
        ("kind = \"shore\"", "kind = \"shore\"\nuse = \"shore-30-120\""),
        ("continuous_va = 3000", "continuous_w = 3000"),
    ]);
    let site = site(&text);
    assert_eq!(site.loads[0].figures.nameplate.locked_rotor_a, None);
    assert_eq!(site.supplies[1].based_on.as_deref(), Some("shore-30-120"));
    assert!(site.supplies[1].output_ohm.is_some());
    let mut paths: Vec<&str> = site.notes.iter().map(|n| n.path.as_str()).collect();
    paths.sort_unstable();
    // a catalogue that is there needs no note; the third is the drill's class
    assert_eq!(paths, ["load[0].locked_rotor_a", "load[1]", "supply[0].continuous_w"]);
}

#[test]
fn the_standards_follow_the_first_supply() {
    assert_eq!(site(&van(&[("standards = \"iec\"\n", "")])).standards, Standards::NorthAmerica);
    let text = edit(WORKSHOP, &[("[[supply]]", "standards = \"north-america\"\n[[supply]]")]);
    assert_eq!(site(&text).standards, Standards::NorthAmerica);
}

#[test]
fn the_file_of_the_design_is_read() {
    let site = site(include_str!("design.toml"));
    let load = &site.loads[0];
    assert_eq!(load.figures.nameplate.locked_rotor_a.as_ref().map(|f| f.get()), Some(62.0));
    assert_eq!(load.circuit.as_ref().and_then(|c| c.breaker.as_ref()).map(|b| b.rating_a.get()), Some(30.0));
    assert!(load.figures.motor.is_some() && load.figures.load_torque.is_some() && site.notes.is_empty());
}

/// Every figure of a case finds its own number in the text at its path, and stands where it says.
#[test]
fn paths_and_places_lead_back_to_the_text() {
    for (text, loads, supplies) in [(VAN, 2, 2), (WORKSHOP, 1, 1), (HALL, 2, 1)] {
        let site = site(text);
        let table: toml::Table = text.parse().expect("good TOML");
        for (load, supply) in (0..loads).flat_map(|l| (0..supplies).map(move |s| (l, s))) {
            for (path, (value, ..), origin) in walk(&site, load, supply) {
                if let Some(found) = look_up(&table, &path) {
                    assert_eq!(found, value, "{path}");
                } else {
                    assert!(
                        matches!(origin, Origin::Assumed | Origin::Derived | Origin::Standard)
                            // a class's
                            || origin == Origin::Typical
                            || path.contains("unequal"),
                        "{path}"
                    );
                }
            }
        }
    }
}

/// The number at a path of a site file.
fn look_up(table: &toml::Table, path: &str) -> Option<f64> {
    let mut at = toml::Value::Table(table.clone());
    for step in path.split(['.', '[']) {
        at = match step.strip_suffix(']') {
            Some(index) => at.get(index.parse::<usize>().ok()?)?.clone(),
            None => at.get(step)?.clone(),
        };
    }
    let number = |v: &toml::Value| v.as_float().or(v.as_integer().map(|i| i as f64));
    number(&at).or_else(|| number(at.get("value")?))
}

#[test]
fn case_paths() {
    let site = site(VAN);
    let path = |key: &str| site.case_path(0, 0, key);
    assert_eq!(path("load.motor.auxiliary.r1a_ohm"), "load[0].motor_model.r1a_ohm");
    assert_eq!(path("load.motor.r1_ohm"), "load[0].motor_model.r1_ohm");
    assert_eq!(path("load.nameplate.locked_rotor_a"), "load[0].locked_rotor_a");
    assert_eq!(path("load.load_torque.c0"), "load[0].load_torque.c0");
    assert_eq!(path("load.starter.largest_a"), "load[0].starter.largest_a");
    assert_eq!(path("load.longest_start_s"), "load[0].longest_start_s");
    assert_eq!(path("supply.continuous.va"), "supply[0].continuous_va");
    // The larger rating comes first in the case, second in the file.
    assert_eq!(path("supply.surge[0].va"), "supply[0].surge[1].va");
    assert_eq!(path("supply.surge[1].for_s"), "supply[0].surge[0].for_s");
    assert_eq!(path("circuit.breaker.rating_a"), "load[0].circuit.breaker.rating_a");
    assert_eq!(site.case_path(1, 1, "circuit.breaker.rating_a"), "circuit.breaker.rating_a");
    assert_eq!(site.case_path(1, 1, "supply.voltage_v"), "supply[1].voltage_v");
    assert_eq!((path("running[0].va").as_str(), path("ambient_c").as_str()), ("running[0].va", "ambient_c"));
}

#[test]
fn the_place_of_a_figure_is_its_number() {
    let site = site(VAN);
    let plate = &site.loads[0].figures.nameplate;
    let at = |span: Option<std::ops::Range<usize>>| &VAN[span.expect("a place")];
    assert_eq!(at(plate.locked_rotor_a.clone().and_then(|f| f.at)), "62.0");
    assert_eq!(at(plate.rated_load_a.clone().and_then(|f| f.at)), "12.5");
    assert_eq!(at(site.supplies[1].voltage_v.at.clone()), "118.0");
    assert_eq!(at(site.supplies[0].surge[0].for_s.clone().and_then(|f| f.at)), "0.5");
    assert_eq!(site.running[0].power_factor.at.clone().map(|s| &VAN[s]), Some("0.95"));
    assert_eq!(
        site.case(0, 0, Pressure::Equalised).ambient_c.and_then(|f| f.at).map(|s| &VAN[s]),
        Some("40")
    );
    // what a class fills in stands where the class is asked for, or at its load
    assert_eq!(
        at(site.loads[0].figures.nameplate.locked_rotor_ratio.clone().and_then(|f| f.at)),
        "\"hermetic-run-capacitor\""
    );
    assert_eq!(at(site.loads[1].figures.longest_start_s.at.clone()), "[[load]]");
}

#[test]
fn a_load_s_own_circuit_wins() {
    let site = site(VAN);
    let breaker = |load| site.case(load, 0, Pressure::Unequal).circuit.breaker.map(|b| b.rating_a.get());
    assert_eq!((breaker(0), breaker(1)), (Some(16.0), Some(20.0)));
    let case = site.case(0, 1, Pressure::Unequal);
    assert_eq!((case.supply.name.as_str(), case.pressure, case.battery), ("shore", Pressure::Unequal, true));
}

#[test]
fn integers_in_any_shape_are_numbers() {
    let text = van(&[("peak_a = 200.0", "peak_a = 0xC8"), ("va = 6000", "va = 6_000")]);
    assert_eq!(site(&text).battery.and_then(|b| b.peak_a).map(|f| f.get()), Some(200.0));
}

#[test]
fn prices_and_heading_land() {
    use startmargin::advise::prices::{Item, Part};
    let site = site(VAN);
    let prices = site.prices.clone().unwrap();
    assert_eq!((prices.currency.as_str(), prices.valid_until.as_deref()), ("EUR", Some("2027-03-31")));
    let item =
        |part, name: Option<&str>, parts, labour| Item { part, name: name.map(str::to_owned), parts, labour };
    let expected =
        [item(Part::Starter, Some("soft-starter-plain"), 300.0, 80.5), item(Part::Breaker, None, 0.0, 40.0)];
    assert_eq!(prices.items, expected);
    let heading = &site.heading;
    let said = [&heading.business, &heading.contact, &heading.customer, &heading.place, &heading.job];
    let said = said.map(|s| s.as_deref().unwrap());
    assert_eq!(said, ["Cables & Sons", "by telephone", "the Camper family", "yard 3", "27-014"]);
}
