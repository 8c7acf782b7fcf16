//! `compare`: what it says of a way out, `check` says of a site that has taken it; what costs nothing named is priced at nothing.

use startmargin::advise::judge_without_windows;
use startmargin::advise::supplies::Candidate;
use startmargin::advise::ways::{Offer, Outcome, Way, scaled};
use startmargin::advise::{Verdict, judge};
use startmargin::case::Path;
use startmargin::report::compare::WaysOut;
use startmargin::report::pressures_of;
use startmargin::site::catalogue::Catalogue;
use startmargin::site::{self, Site, starters, supplies};

fn example(name: &str) -> String {
    std::fs::read_to_string(format!("{}/docs/examples/{name}.toml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn read(text: &str) -> Site {
    site::read("site.toml", text).unwrap_or_else(|m| panic!("{m:#?}\n{text}"))
}

fn compare(site: &Site) -> WaysOut {
    let catalogue = Catalogue::built_in();
    let own = site.supplies.iter().map(|figures| Candidate {
        name: figures.name.clone(),
        own: true,
        figures: figures.clone(),
    });
    let offer = Offer {
        starters: starters::candidates(&catalogue),
        supplies: own.chain(supplies::candidates(&catalogue)).collect(),
        prices: site.prices.clone(),
    };
    let case = site.case(0, 0, startmargin::case::Pressure::Equalised);
    WaysOut::new(&case, &pressures_of(&case.load), offer)
}

fn way(ways: &WaysOut, way: Way) -> &Outcome {
    ways.rows
        .iter()
        .find(|r| r.way == way)
        .unwrap_or_else(|| panic!("{way:?} of {:?}", ways.rows.iter().map(|r| r.way).collect::<Vec<_>>()))
}

/// The soft starter, the larger supply and the smaller unit, written into the site file, come out of `check` as they stand in
/// the comparison.
#[test]
fn a_way_taken_is_judged_the_same_by_check() {
    let text = example("demonstration");
    let ways = compare(&read(&text));
    assert_eq!(way(&ways, Way::AsItIs).worst(), Verdict::Fails);

    let starter = way(&ways, Way::Starter);
    assert_eq!(starter.worst(), Verdict::Starts);
    let (_, figures) = starter.change.starter.clone().unwrap();
    let (share, uf) = (figures.reduction.unwrap().get(), figures.assist_capacitor_uf.unwrap().get());
    let line = format!(
        "name = \"roof unit\"\nstarter = {{ kind = \"limiter\", reduction = {share}, assist_capacitor_uf = {uf}, cut_out_speed = 0.75, \
         phase_control = true }}"
    );
    let taken = read(&text.replacen("name = \"roof unit\"", &line, 1));
    let start = judge(&taken.case(0, 0, ways.pressures[0]));
    assert_eq!(start.verdict, Verdict::Starts, "{start:#?}");
    let (id, margin) = starter.margin().unwrap();
    assert!((start.finding(id).unwrap().margins.unwrap().modelled - margin).abs() < 1e-9);
    for id in
        ["surge", "peak-current", "breaker", "breaker-instantaneous", "terminal-voltage", "acceleration"]
    {
        assert!(start.finding(id).unwrap().margins.unwrap().modelled >= margin, "{id}");
    }

    let supply = way(&ways, Way::Supply);
    let figures = &supply.change.supply.as_ref().unwrap().figures;
    let by = figures.fault_a.as_ref().map_or_else(
        || supply.change.supply.as_ref().unwrap().size_va() / 3000.0,
        |_| panic!("the demonstration states none"),
    );
    let larger = text
        .replace("continuous_va = 3000", &format!("continuous_va = {}", 3000.0 * by))
        .replace("va = 5400", &format!("va = {}", 5400.0 * by))
        .replace("va = 4200", &format!("va = {}", 4200.0 * by))
        .replace("output_ohm = 0.06", &format!("output_ohm = {}", 0.06 / by));
    assert_ne!(larger, text);
    let start = judge_without_windows(&read(&larger).case(0, 0, ways.pressures[0]));
    assert_eq!(start.verdict, supply.worst());
    assert_eq!(
        start.facts.as_ref().unwrap().largest_rms_a,
        supply.starts[0].facts.as_ref().unwrap().largest_rms_a
    );
}

/// What is cured did not pass before and passes now; what is open does not pass.
#[test]
fn cures_and_what_is_open_are_those_of_the_findings() {
    for name in ["demonstration", "camper-120", "boat-230", "workshop-400", "cabin-well-pump"] {
        let ways = compare(&read(&example(name)));
        let before = &ways.rows[0];
        assert_eq!(before.way, Way::AsItIs, "{name}");
        for row in &ways.rows {
            for (i, start) in row.starts.iter().enumerate() {
                for finding in &start.findings {
                    let open = finding.status != startmargin::checks::Status::Pass;
                    assert_eq!(
                        open,
                        row.open.iter().any(|p| p.id == finding.id) && open,
                        "{name} {:?}",
                        row.way
                    );
                }
                for point in row.cures.iter().filter(|p| p.pressure.is_none_or(|p| p == start.pressure)) {
                    let was = before.starts[i].finding(point.id).map(|f| f.status);
                    assert_ne!(
                        was,
                        Some(startmargin::checks::Status::Pass),
                        "{name} {:?} {point:?}",
                        row.way
                    );
                    let is = start.finding(point.id).map(|f| f.status);
                    assert!(
                        matches!(is, None | Some(startmargin::checks::Status::Pass)),
                        "{name} {:?} {point:?}",
                        row.way
                    );
                }
            }
        }
        // better ways stand above worse ones
        let ranks: Vec<_> = ways.rows.iter().skip(1).map(Outcome::rank).collect();
        assert!(ranks.windows(2).all(|w| w[0] <= w[1]), "{name}");
        // the text is set within its columns, and names each way once
        assert!(ways.text().lines().all(|l| l.chars().count() <= 100), "{name}\n{}", ways.text());
    }
}

/// Nothing is priced that the site file does not price; what it prices makes the cheapest way known.
#[test]
fn prices_are_those_of_the_site_file() {
    let bare = compare(&read(&example("demonstration")));
    assert!(bare.rows.iter().all(|r| r.way == Way::AsItIs || r.cost.is_none()));
    assert!(bare.cheapest().is_none() && !bare.answer().contains("Least cost"));

    let some = "\n[prices]\ncurrency = \"EUR\"\nvalid_until = \"2027-03-31\"\n[[prices.item]]\nwhat = \"starter\"\nparts = 310\nlabour = 120\n";
    let partly = compare(&read(&(example("demonstration") + some)));
    let cost = way(&partly, Way::Starter).cost.unwrap();
    assert_eq!((cost.parts, cost.labour, cost.total()), (310.0, 120.0, 430.0));
    assert!(way(&partly, Way::Supply).cost.is_none());
    // a way that starts it too has no price: which is the cheapest is not known
    assert!(partly.cheapest().is_none());

    let all = format!(
        "{some}[[prices.item]]\nwhat = \"supply\"\nparts = 900\n[[prices.item]]\nwhat = \"unit\"\nlabour = 2000\n\
         [[prices.item]]\nwhat = \"shore\"\nlabour = 0\n[[prices.item]]\nwhat = \"generator\"\nparts = 1\n"
    );
    let priced = compare(&read(&(example("demonstration") + &all)));
    assert_eq!(priced.cheapest().map(|r| r.way), Some(Way::Starter));
    assert!(priced.answer().contains("Least cost: a soft starter"), "{}", priced.answer());
    let text = priced.text().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("valid until 2027-03-31"), "{text}");

    // the cheaper of two that are as good comes first
    let cheap = all.replace("parts = 900", "parts = 90");
    let other = compare(&read(&(example("demonstration") + &cheap)));
    assert_eq!(other.cheapest().map(|r| r.way), Some(Way::Supply));
    assert_eq!(other.rows[1].way, Way::Supply);
}

#[test]
fn prices_that_are_none_are_refused_at_their_place() {
    let refused = |add: &str, key: &str| {
        let text = example("demonstration") + add;
        let mistakes = site::read("site.toml", &text).unwrap_err();
        assert_eq!(mistakes.len(), 1, "{mistakes:#?}");
        assert_eq!(mistakes[0].key, key, "{mistakes:#?}");
        assert!(mistakes[0].line > example("demonstration").lines().count());
    };
    refused("\n[prices]\ncurrency = \"EUR\"\nvalid_until = \"2027-02-30\"\n", "prices.valid_until");
    refused("\n[prices]\nvalid_until = \"2027-02-28\"\n", "prices.currency");
    refused("\n[prices]\ncurrency = \"EUR\"\n[[prices.item]]\nwhat = \"starter\"\n", "prices.item[0].parts");
    refused(
        "\n[prices]\ncurrency = \"EUR\"\n[[prices.item]]\nwhat = \"gadget\"\nparts = 1\n",
        "prices.item[0].what",
    );
    refused(
        "\n[prices]\ncurrency = \"EUR\"\n[[prices.item]]\nwhat = \"unit\"\nparts = -1\n",
        "prices.item[0].parts",
    );
}

/// A unit of half the size takes half the current and comes to speed in the same time, on a supply without impedance.
#[test]
fn a_unit_of_half_the_size_takes_half_the_current() {
    for name in ["demonstration", "camper-120", "workshop-400", "cabin-well-pump"] {
        let mut case = read(&example(name)).case(0, 0, startmargin::case::Pressure::Equalised);
        (case.supply.output_ohm, case.supply.output_reactance_ohm) = (None, None);
        case.circuit.conductor = None;
        case.running.clear();
        let facts = |case| judge_without_windows(case).facts.unwrap();
        let (whole, half) = (facts(&case), facts(&scaled(&case, 0.5)));
        let near = |a: f64, b: f64| (a / b - 1.0).abs() < 2e-3;
        assert!(near(half.locked_rotor_a, 0.5 * whole.locked_rotor_a), "{name}");
        assert!(near(half.largest_rms_a, 0.5 * whole.largest_rms_a), "{name}");
        assert!(near(half.settled_a.unwrap(), 0.5 * whole.settled_a.unwrap()), "{name}");
        assert!(near(half.start_duration_s.unwrap(), whole.start_duration_s.unwrap()), "{name}");
        assert!(Path::new(&scaled(&case, 0.5)).is_ok());
    }
}

/// What starts is left as it is; what has no rotor is offered no starter.
#[test]
fn where_nothing_is_to_be_done_it_says_so() {
    let easy = example("demonstration")
        .replace("va = 5400", "va = 15000")
        .replace("continuous_va = 3000", "continuous_va = 4000");
    let ways = compare(&read(&easy));
    assert_eq!(ways.rows[0].worst(), Verdict::Starts, "{:#?}", ways.rows[0].starts[0].findings);
    assert!(ways.pick().is_none());
    assert!(ways.answer().contains("leave it as it is"), "{}", ways.answer());

    let kettle = "[[supply]]\nname = \"inverter\"\nuse = \"inverter-1000-120\"\n[[load]]\nname = \"kettle\"\nuse = \"kettle-120\"\n";
    let ways = compare(&read(kettle));
    assert!(ways.rows.iter().all(|r| r.way != Way::Starter));
    assert!(ways.not.iter().any(|(way, _)| *way == Way::Starter));
}

/// The camper: only the first crest stands in a soft starter's way, and one answer of the inverter's maker makes it certain.
#[test]
fn a_question_to_the_maker_makes_the_cheap_way_certain() {
    let before = compare(&read(&example("camper-120")));
    let starter = way(&before, Way::Starter);
    assert_eq!(starter.starts[0].verdict, Verdict::Uncertain);
    assert!(starter.hangs_on_the_peak());
    assert!(before.answer().contains("peak_current_a"), "{}", before.answer());
    assert_eq!(before.pick().map(|r| r.way), Some(Way::Supply));

    let after = compare(&read(&example("camper-120-answered")));
    assert!(way(&after, Way::Starter).serves_rested());
    assert_eq!(after.pick().map(|r| r.way), Some(Way::Starter));
    assert!(!after.answer().contains("peak_current_a"), "{}", after.answer());
}

/// Before a motor with a start switch of its own stands no soft starter: no window is told, none is drawn, none is offered.
#[test]
fn no_window_is_told_before_a_start_switch() {
    let site = read(&example("cabin-well-pump"));
    let start = judge(&site.case(0, 0, startmargin::case::Pressure::Equalised));
    assert!(start.no_soft_starter.as_ref().is_some_and(|why| why.contains("start switch")));
    let report = startmargin::report::Report::new(&site, "");
    let text = startmargin::report::text(&report, false).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("No soft starter: the motor has a start switch"), "{text}");
    assert!(!text.contains("less start current passes"), "{text}");
    let ways = compare(&site);
    assert!(ways.rows.iter().all(|r| r.way != Way::Starter));
    // of supplies that are there it does not say that there are none
    for way in [Way::Shore, Way::Generator] {
        let why = ways.not.iter().find(|(w, _)| *w == way).map(|(_, why)| why.as_str());
        assert!(why.is_none_or(|why| !why.contains("there is none")), "{way:?}: {why:?}");
    }
}

/// What is to be ordered is judged by every check: what stays open is said with it.
#[test]
fn an_order_says_what_stays_open() {
    use startmargin::report::starters::Comparison;
    let order = |name: &str| {
        let site = read(&example(name));
        let case = site.case(0, 0, startmargin::case::Pressure::Equalised);
        Comparison::new(&case, &pressures_of(&case.load), Vec::new()).order_line()
    };
    assert!(order("camper-120").contains("open even so is the first peak"), "{}", order("camper-120"));
    assert!(!order("camper-120-answered").contains("open even so"), "{}", order("camper-120-answered"));
    let boat = order("boat-230");
    assert!(boat.contains("not certain, open even so") && boat.contains("gets up to speed"), "{boat}");
}

/// A larger supply is told with all that it has to carry.
#[test]
fn a_larger_supply_is_told_with_its_surge() {
    let ways = compare(&read(&example("camper-120")));
    let name = &way(&ways, Way::Supply).change.supply.as_ref().unwrap().name;
    assert_eq!(name, "1.5 times as large, 4500 VA, surge 9000 VA for 3 s");
    // every rating, not the largest alone
    let ways = compare(&read(&example("demonstration")));
    let name = &way(&ways, Way::Supply).change.supply.as_ref().unwrap().name;
    assert_eq!(name, "2 times as large, 6000 VA, surge 10800 VA for 1 s and 8400 VA for 8 s");
}

/// What is in no walk over the figures shrinks with a smaller unit too, bounds included.
#[test]
fn an_overload_relay_is_set_for_the_smaller_unit() {
    let text = example("workshop-400").replace(
        "use = \"motor-4k-400\"",
        "use = \"motor-4k-400\"\noverload = { standard = \"IEC 60947-4-1\", class = \"10\", setting_a = { value = 8, low = 7, high = 9 } }",
    );
    let case = read(&text).case(0, 0, startmargin::case::Pressure::Equalised);
    let setting = scaled(&case, 0.5).load.overload.unwrap().setting_a;
    assert_eq!([setting.low.0, setting.value.0, setting.high.0], [3.5, 4.0, 4.5]);
}
