//! What cannot be is refused at its line and column: loads, motors, load torque, starters.

use super::{VAN, WORKSHOP, edit, mistakes, refused, site, van};

#[track_caller]
fn once(from: &str, to: &str, key: &str, message: &str) {
    refused(&van(&[(from, to)]), &[(key, message)]);
}

#[track_caller]
fn workshop(edits: &[(&str, &str)], key: &str, message: &str) {
    refused(&edit(WORKSHOP, edits), &[(key, message)]);
}

const MODEL: &str = "load[0].motor_model";
const STARTER: &str = "starter = { kind = \"limiter\", largest_a = 25, duration_s = 0.4, assist_capacitor_uf = 60, cut_out_speed = 0.7 }";

#[test]
fn nameplates_that_cannot_be() {
    once("locked_rotor_a = 62.0", "locked_rotor_a = §6.2", "load[0].locked_rotor_a", "6.2 A, is below");
    // The bounds decide: 11..13 reaches the lowest rated current, 12.
    site(&van(&[("locked_rotor_a = 62.0", "locked_rotor_a = { value = 11, high = 13 }")]));
    once(
        "power_w = 1119\npower_hp = 1.5",
        "power_w = 1119\npower_hp = §2",
        "load[0].power_hp",
        "2 hp is 1491 W, not 1119 W",
    );
    site(&van(&[("power_w = 1119", "power_w = 1100")]));
    once("power_factor = 0.97", "power_factor = §0", "load[0].power_factor", "above 0, at most 1");
    once("efficiency = 0.8", "efficiency = §80", "load[0].efficiency", "above 0, at most 1");
    once(
        "rated_rpm = 3455",
        "rated_rpm = §4000",
        "load[0].rated_rpm",
        "above the synchronous speed, 3600 rpm",
    );
    once(
        "rated_rpm = 3450",
        "rated_rpm = §3961",
        "load[0].load_torque.rated_rpm",
        "above the synchronous speed",
    );
    site(&van(&[("rated_rpm = 3450", "rated_rpm = 3950")]));
    workshop(
        &[("rated_rpm = 1450", "rated_rpm = §2900")],
        "load[0].load_torque.rated_rpm",
        "1500 rpm (4 poles)",
    );
    once("name = \"drill\"", "name = §\"roof air conditioner\"", "load[1].name", "another load");
    once("[[load]]\nname = \"drill\"", "§[[load]]", "load[1].name", "name is missing");
    once(
        "assist_cut_out_speed = 0.8",
        "assist_cut_out_speed = §1.0",
        "load[0].assist_cut_out_speed",
        "between 0 and 1",
    );
    once(
        "restart_hold_off_s = 180",
        "restart_hold_off_s = §-1",
        "load[0].restart_hold_off_s",
        "out of range",
    );
    once("longest_start_s = 2.5", "longest_start_s = §0", "load[0].longest_start_s", "out of range");
}

#[test]
fn phases_that_do_not_fit() {
    once(
        "class = \"hermetic-run-capacitor\"",
        "phases = §3",
        "load[0].phases",
        "a two-winding motor is single-phase",
    );
    let three = van(&[("name = \"drill\"", "name = \"drill\"\nphases = §§3")]);
    let key = "load[1].phases";
    refused(&three, &[(key, "cannot run on \"inverter\""), (key, "cannot run on \"shore\"")]);
    let kind = "load[0].motor_model.kind";
    workshop(
        &[("phases = 3", "phases = 1"), ("kind = \"three-phase\"", "kind = §\"three-phase\"")],
        kind,
        "single-phase",
    );
    workshop(
        &[("name = \"pump\"", "name = \"pump\"\nphases = §1"), ("starter = { kind = \"star-delta\" }\n", "")],
        "load[0].phases",
        "the motor given is three-phase",
    );
    workshop(
        &[("name = \"pump\"", "name = \"pump\"\n§connection = \"L1\"")],
        "load[0].connection",
        "no choice of legs",
    );
    // A refused number of phases draws no second refusal.
    workshop(&[("phases = 3", "phases = §2")], "supply[0].phases", "2 is out of range");
    workshop(&[("name = \"pump\"", "name = \"pump\"\nphases = §6")], "load[0].phases", "6 is out of range");
}

#[test]
fn motors_that_cannot_be() {
    for (key, good) in
        [("r1_ohm", "0.624"), ("xm_ohm", "16.249"), ("r2_ohm", "0.76"), ("inertia_kgm2", "0.0016")]
    {
        let (good, bad) = (format!("{key} = {good}"), format!("{key} = §0"));
        once(&good, &bad, &format!("{MODEL}.{key}"), "above 0");
    }
    once("x1_ohm = 0.601", "x1_ohm = §-0.601", &format!("{MODEL}.x1_ohm"), "0 or more");
    once("poles = 2", "poles = §3", &format!("{MODEL}.poles"), "3 is out of range");
    once("poles = 2", "poles = §0", &format!("{MODEL}.poles"), "0 is out of range");
    once(
        "cut_out_speed = 0.75",
        "cut_out_speed = §1.5",
        &format!("{MODEL}.cut_out_speed"),
        "between 0 and 1",
    );
    once(
        "[load.motor_model]\nkind = \"two-winding\"\n",
        "§[load.motor_model]\n",
        &format!("{MODEL}.kind"),
        "missing",
    );
    once(
        "xm_ohm = 16.249\n",
        "xm_ohm = 16.249\n§r3_ohm = 1\n",
        &format!("{MODEL}.r3_ohm"),
        "belongs to kind = \"three-phase\"",
    );
    once(
        "xm_ohm = 16.249\n",
        "xm_ohm = 16.249\n§leakage_saturation_a = 40\n",
        &format!("{MODEL}.leakage_saturation_a"),
        "belongs to kind = \"three-phase\"",
    );
    workshop(
        &[("leakage_saturation_a = 24", "leakage_saturation_a = §0")],
        &format!("{MODEL}.leakage_saturation_a"),
        "above 0",
    );
    workshop(
        &[("xm_ohm = 45\n", "xm_ohm = 45\n§r1a_ohm = 1\n")],
        &format!("{MODEL}.r1a_ohm"),
        "belongs to kind = \"two-winding\"",
    );
    workshop(
        &[("x3_ohm = 0.6\n", ""), ("[load.motor_model]", "§[load.motor_model]")],
        &format!("{MODEL}.x3_ohm"),
        "x3_ohm is missing",
    );
}

#[test]
fn auxiliary_windings_that_cannot_be() {
    let head = ("[load.motor_model]", "§[load.motor_model]");
    let lacks = |edits: &[(&str, &str)], key: &str| {
        refused(&van(edits), &[(&format!("{MODEL}.{key}"), "is missing")])
    };
    lacks(&[("turns_ratio = 1.967\n", ""), head], "turns_ratio");
    lacks(&[("cut_out_speed = 0.75\n", ""), head], "cut_out_speed");
    let capacitors = "run_capacitor_uf = 45.0\nrun_capacitor_ohm = 1.1\nstart_capacitor_uf = 70.0\nstart_capacitor_ohm = 2.2\n";
    // Split phase: no capacitor, so the winding has to leave.
    lacks(&[(capacitors, ""), ("cut_out_speed = 0.75\n", ""), head], "cut_out_speed");
    let unknown = (capacitors, "start_capacitor_uf = \"unknown\"\n");
    lacks(&[unknown, ("cut_out_speed = 0.75\n", ""), head], "cut_out_speed");
    site(&van(&[(capacitors, "")]));
    let winding = ("r1a_ohm = 2.351\nx1a_ohm = 1.217\nturns_ratio = 1.967\n", "");
    let text = van(&[winding, (capacitors, "§run_capacitor_uf = 45\n")]);
    refused(&text, &[(&format!("{MODEL}.run_capacitor_uf"), "needs an auxiliary winding")]);
    site(&van(&[winding, (capacitors, ""), ("cut_out_speed = 0.75\n", "")]));
}

#[test]
fn load_torques_that_cannot_be() {
    once("c0 = 0.10", "c0 = §-0.1", "load[0].load_torque.c0", "0 to 100");
    let near = "pulsation = §\"recipocating\"";
    once("pulsation = \"reciprocating\"", near, "load[0].load_torque.pulsation", "no such word");
    once("build_up_s = 8.0", "build_up_s = §-8.0", "load[0].load_torque.build_up_s", "0 or more");
    once(
        "[load.load_torque]\nrated_nm = 3.23",
        "§[load.load_torque]",
        "load[0].load_torque.rated_nm",
        "missing",
    );
    let whole = "[load.load_torque]\nrated_nm = 36\nrated_rpm = 1450\nc2 = 1.0\n";
    workshop(&[(whole, ""), ("[[load]]", "§[[load]]")], "load[0].load_torque", "load_torque is missing");
}

#[test]
fn dips_that_cannot_be() {
    let dip = "dip = { to = 0.7, for_s = { value = 0.3, low = 0.2, high = 0.5 } }";
    for (to, key, message) in [
        ("dip = { to = §1.2, for_s = 1 }", "supply[0].dip.to", "0 to 1"),
        ("dip = { to = §-0.1, for_s = 1 }", "supply[0].dip.to", "0 to 1"),
        ("dip = { to = 0.7, for_s = §0 }", "supply[0].dip.for_s", "above 0"),
        ("dip = §{ to = 0.7 }", "supply[0].dip.for_s", "for_s is missing"),
        ("dip = §{ for_s = 0.7 }", "supply[0].dip.to", "to is missing"),
        ("dip = §0.7", "supply[0].dip", ""),
    ] {
        workshop(&[(dip, to)], key, message);
    }
}

#[test]
fn starters_that_cannot_be() {
    let starter =
        |to: &str, key: &str, message: &str| once(STARTER, to, &format!("load[0].starter.{key}"), message);
    starter("starter = §{ kind = \"limiter\" }", "largest_a", "largest_a is missing");
    starter("starter = { largest_a = 20, §reduction = 0.5 }", "reduction", "given twice");
    starter("starter = { reduction = §1.0 }", "reduction", "0 or more, below 1");
    starter("starter = { reduction = §-0.1 }", "reduction", "0 or more, below 1");
    starter("starter = { initial_fraction = §0, ramp_s = 1 }", "initial_fraction", "between 0 and 1");
    starter("starter = { initial_fraction = §1, ramp_s = 1 }", "initial_fraction", "between 0 and 1");
    starter("starter = §{ initial_fraction = 0.5 }", "ramp_s", "ramp_s is missing");
    starter("starter = §{ ramp_s = 0.5 }", "initial_fraction", "initial_fraction is missing");
    starter("starter = §{ kind = \"assist\" }", "assist_capacitor_uf", "assist_capacitor_uf is missing");
    starter("starter = { assist_capacitor_uf = §0 }", "assist_capacitor_uf", "an assist without capacitor");
    starter("starter = { kind = §\"star-delta\" }", "kind", "three-phase motor");
    let three =
        edit(WORKSHOP, &[("{ kind = \"star-delta\" }", "{ reduction = 0.5, §assist_capacitor_uf = 60 }")]);
    refused(&three, &[("load[0].starter.assist_capacitor_uf", "no start capacitor")]);
}

#[test]
fn what_use_would_fill_says_so() {
    let text = edit(
        VAN,
        &[(
            "voltage_v = 120\nfrequency_hz = 60\nphases = 1\ncontinuous_va = 3000",
            "use = \"inverter-generic\"",
        )],
    );
    let got = mistakes(&text);
    let keys: Vec<&str> = got.iter().map(|m| m.key.as_str()).collect();
    assert_eq!(keys, ["supply[0].voltage_v", "supply[0].frequency_hz", "supply[0].continuous_va"]);
    assert!(
        got.iter().all(|m| m.help.contains("the catalogue's entry leaves it out, so write it here")),
        "{got:#?}"
    );
    let starter = mistakes(&van(&[(STARTER, "starter = { kind = \"limiter\", use = \"star-delta\" }")]));
    assert!(starter[0].help.contains("catalogue"), "{starter:#?}");
}
