//! "Did you mean": the nearest key, also for another case, a missing unit or the trade's short form.

use super::{mistakes, van};

fn help(from: &str, to: &str) -> String {
    let got = mistakes(&van(&[(from, to)]));
    let unknown: Vec<_> = got.iter().filter(|m| m.message.starts_with("no such key")).collect();
    assert_eq!(unknown.len(), 1, "{got:#?}");
    unknown[0].help.clone()
}

#[test]
fn the_nearest_key() {
    let load = |to: &str| help("class = \"hermetic-run-capacitor\"", &format!("{to} = 1"));
    assert_eq!(load("lockd_rotor_a"), "did you mean `locked_rotor_a`?");
    assert_eq!(load("locked_rotro_a"), "did you mean `locked_rotor_a`?");
    assert_eq!(load("Rated_Load_A"), "did you mean `rated_load_a`?");
    assert_eq!(load("rated-load-a"), "did you mean `rated_load_a`?");
    assert_eq!(
        load("locked_rotor"),
        "did you mean `locked_rotor_a` or `locked_rotor_nm`? A key carries its unit"
    );
    assert_eq!(load("rated_voltage"), "did you mean `rated_voltage_v`? A key carries its unit");
    assert_eq!(load("power"), "did you mean `power_w` or `power_hp`? A key carries its unit");
    assert_eq!(load("voltage"), "did you mean `rated_voltage_v`?");
    assert_eq!(load("LRA"), "did you mean `locked_rotor_a`?");
    assert_eq!(load("rla_a"), "did you mean `rated_load_a`?");
    assert_eq!(load("hp"), "did you mean `power_hp`?");
    assert_eq!(load("length_m"), "`length_m` belongs in circuit.conductor");
    assert_eq!(load("continuous_va"), "`continuous_va` belongs in [[supply]]");
    assert!(load("zzz").starts_with("the keys here are name, use, class"));
}

#[test]
fn hints_in_other_tables() {
    let supply = |to: &str| help("voltage_v = 120\n", &format!("{to} = 120\n"));
    assert_eq!(supply("voltage"), "did you mean `voltage_v`? A key carries its unit");
    assert_eq!(supply("voltage_kv"), "did you mean `voltage_v`?");
    assert_eq!(supply("Voltage_V"), "did you mean `voltage_v`?");
    assert_eq!(help("title = \"Camper\"", "titel = \"Camper\""), "did you mean `title`?");
    assert_eq!(help("[battery]\n", "[batery]\n"), "did you mean `battery`?");
    assert_eq!(
        help("rating_a = 16", "rating_a = 16, rating = 16"),
        "did you mean `rating_a`? A key carries its unit"
    );
    assert_eq!(
        help("inertia_kgm2 = 0.0016", "inertia_kgm2 = 0.0016\ninertia = 1"),
        "did you mean `inertia_kgm2`? A key carries its unit"
    );
}

#[test]
fn a_key_beyond_measure_is_cut_short() {
    let long = "x".repeat(5000);
    let got = mistakes(&van(&[("class = \"hermetic-run-capacitor\"", &format!("{long} = 1"))]));
    assert!(got[0].key.len() < 60, "{}", got[0].key);
}
