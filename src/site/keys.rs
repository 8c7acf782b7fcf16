//! The table of keys: every key of a site file once, with its kind, its allowed range and why, its default
//! and what it means. The reader, the hints and docs/site-file.md all come from here.

use crate::figure::Origin;

pub use super::reference::reference;

/// The numbers a key allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Smallest.
    pub low: f64,
    /// Largest.
    pub high: f64,
    /// Whether `low` itself is allowed.
    pub low_allowed: bool,
    /// Whether `high` itself is allowed.
    pub high_allowed: bool,
    /// The range in words.
    pub words: &'static str,
}

const fn bounds(low: f64, high: f64, low_allowed: bool, high_allowed: bool, words: &'static str) -> Bounds {
    Bounds { low, high, low_allowed, high_allowed, words }
}

/// No number may be larger than this (in the key's own unit).
pub const LARGEST: f64 = 1e9;
const POSITIVE: Bounds = bounds(1e-9, LARGEST, true, true, "above 0");
const NOT_NEGATIVE: Bounds = bounds(0.0, LARGEST, true, true, "0 or more");
const SLIP: Bounds = bounds(0.001, 0.3, true, true, "0.001 to 0.3");
const SHARE: Bounds = bounds(0.0, 100.0, true, true, "0 to 100, as a share of the rated torque");
const FRACTION: Bounds = bounds(0.0, 1.0, false, false, "between 0 and 1");
const UNITY: Bounds = bounds(0.0, 1.0, false, true, "above 0, at most 1");
const REDUCTION: Bounds = bounds(0.0, 1.0, true, false, "0 or more, below 1");
const MULTIPLE: Bounds = bounds(1.0, 1000.0, true, true, "1 to 1000, as a multiple of the rating");
const FREQUENCY: Bounds = bounds(1.0, 1000.0, true, true, "1 to 1000");
const AMBIENT: Bounds = bounds(-60.0, 90.0, true, true, "-60 to 90");
const RATED_C: Bounds = bounds(40.0, 300.0, true, true, "40 to 300");
const TIMES: Bounds = bounds(1.0, 100.0, true, true, "1 to 100, as a multiple of the continuous rating");
const PER_UNIT: Bounds = bounds(0.0, 1.0, true, true, "0 to 1, as a share");
const LOCKED_RATIO: Bounds =
    bounds(1.0, 100.0, true, true, "1 to 100, as a multiple of the rated-load current");
const RATIO: Bounds = bounds(1.0, 100.0, true, true, "1 to 100");
const KNEE: Bounds = bounds(0.5, 3.0, true, true, "0.5 to 3");
const RELAY: Bounds = bounds(0.001, 10.0, true, true, "0.001 to 10");
const RESIDUAL: Bounds = bounds(0.0, 1.0, true, false, "0 or more, below 1");
const PICKUP: Bounds = bounds(1.0, 10.0, true, true, "1 to 10, as a multiple of the rated-load current");
const GROUPED: Bounds = bounds(1.0, 1000.0, true, true, "1 to 1000");

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// A figure: a number, a table { value, low, high, origin }, or "unknown" where the key allows it.
    Number(Bounds),
    /// A number and nothing else.
    Plain(Bounds),
    /// A pair [low, high] of numbers.
    Pair(Bounds),
    /// 1 or 3.
    Phases,
    /// 2, 4, 6 ...
    Poles,
    /// An American wire gauge: a number, or text such as "1/0".
    Gauge,
    /// Text.
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    /// true or false.
    Switch,
    /// A table; its keys stand under this path.
    Table(&'static str),
    /// A list of tables; the keys of each stand under this path.
    Tables(&'static str),
}

/// What else holds for a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// May be "unknown": a class's range will fill it.
    Unknown,
    /// Read and kept; what judges it comes later.
    Later,
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// Its name, unit included.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// The origin of a plain number.
    pub origin: Origin,
    /// What holds when it is absent, in words; "required" if it may not be.
    pub default: &'static str,
    /// What it means.
    pub doc: &'static str,
    /// What else holds.
    pub marks: &'static [Mark],
}

impl Key {
    /// Whether it has to be there.
    pub fn required(&self) -> bool {
        self.default == "required"
    }

    /// Whether `mark` holds for it.
    pub fn has(&self, mark: Mark) -> bool {
        self.marks.contains(&mark)
    }

    /// The unit in its name as people write it, empty if it has none.
    pub fn unit(&self) -> &'static str {
        if !matches!(self.kind, Kind::Number(_) | Kind::Plain(_) | Kind::Pair(_)) {
            return "";
        }
        let last = self.name.rsplit('_').next().unwrap_or("");
        UNITS.iter().find(|(suffix, _)| *suffix == last).map_or("", |(_, unit)| unit)
    }
}

/// The units a key's name may end in, with how people write them.
pub const UNITS: [(&str, &str); 15] = [
    ("a", "A"),
    ("v", "V"),
    ("va", "VA"),
    ("w", "W"),
    ("s", "s"),
    ("hz", "Hz"),
    ("m", "m"),
    ("mm2", "mm2"),
    ("c", "C"),
    ("uf", "uF"),
    ("ohm", "ohm"),
    ("mohm", "mohm"),
    ("kgm2", "kg m2"),
    ("nm", "N m"),
    ("rpm", "rpm"),
];

/// Keys that say the same in different ways: where the site file gives one, the catalogue's others do not count.
pub(super) const RIVALS: [&[&str]; 11] = [
    &["tau_s", "trip_at_locked_rotor_s"],
    &["output_ohm", "output_pu"],
    &["output_reactance_ohm", "output_reactance_pu"],
    &["continuous_va", "continuous_a", "continuous_w"],
    &["largest_a", "reduction"],
    &["cut_out_speed", "cut_out_v"],
    &["power_w", "power_hp"],
    &["inertia_s", "inertia_kgm2"],
    &["locked_rotor_torque", "locked_rotor_nm"],
    &["breakdown_torque", "breakdown_nm"],
    &["rated_slip", "rated_rpm"],
];

/// The kinds of winding a motor can be fitted with.
pub(super) const WINDINGS: &[&str] =
    &["run-capacitor", "start-capacitor", "start-and-run-capacitor", "split-phase", "three-phase"];

/// The kinds of load that are no induction motor (`InrushKind::ALL` has the same; a test compares).
pub(super) const INRUSH: &[&str] = &[
    "heater",
    "filament",
    "universal-motor",
    "rectifier",
    "electronic-lamp",
    "drive",
    "induction-hob",
    "transformer",
    "ballast",
];

/// The keys of one table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Table {
    /// Its path, with `[]` for a list: "load[].motor_model". Empty: the top of the file.
    pub path: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// Its keys in the order of the manual.
    pub keys: &'static [Key],
}

impl Table {
    /// The table of that path.
    pub fn at(path: &str) -> Option<&'static Table> {
        TABLES.iter().find(|t| t.path == path)
    }

    /// The table that a path in a site file leads to: `load[0].starter`.
    pub fn of(path: &str) -> Option<&'static Table> {
        path.split('.').try_fold(Table::at("")?, |table, step| {
            match table.key(step.split('[').next()?)?.kind {
                Kind::Table(inner) | Kind::Tables(inner) => Table::at(inner),
                _ => None,
            }
        })
    }

    /// The key of that name.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|k| k.name == name)
    }
}

/// The code letters of NFPA 70 table 430.7(B).
const CODE_LETTERS: &[&str] =
    &["A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N", "P", "R", "S", "T", "U", "V"];

macro_rules! tables {
    ($($path:literal $table_doc:literal {
        $($name:ident: $kind:expr, $origin:ident, $default:literal, $doc:literal $(, $mark:ident)*;)*
    })*) => {
        /// Every table of a site file.
        pub static TABLES: &[Table] = &[$(Table { path: $path, doc: $table_doc, keys: &[$(Key {
            name: stringify!($name),
            kind: { use Kind::*; $kind },
            origin: Origin::$origin,
            default: $default,
            doc: $doc,
            marks: &[$(Mark::$mark),*],
        }),*] }),*];
    };
}

tables! {
"" "The top of the file." {
    title: Text, Given, "the file's name", "what stands at the head of the report";
    standards: Word(&["north-america", "iec"]), Given, "north-america if the first supply is 60 Hz, else iec",
        "whose rules apply";
    ambient_c: Number(AMBIENT), Given, "not stated", "temperature around breaker, cable and supply";
    supply: Tables("supply[]"), Given, "required", "what feeds the board; every load is judged on each";
    battery: Table("battery"), Given, "not checked", "battery and DC side behind an inverter", Later;
    circuit: Table("circuit"), Given, "not checked",
        "breaker and conductor of every load that has no circuit of its own";
    running: Tables("running[]"), Given, "nothing else is on", "what is already on when the start happens";
    load: Tables("load[]"), Given, "required", "what is to be started";
    prices: Table("prices"), Given, "nothing is priced", "what ways out cost, for `compare` and `report`";
    report: Table("report"), Given, "left open", "who a report is for";
}
"prices" "What ways out cost: `[prices]`. Only what stands here is priced." {
    currency: Text, Given, "required", "the currency of all amounts, as it is to be printed";
    valid_until: Text, Given, "not stated", "last day the prices hold: year-month-day";
    item: Tables("prices.item[]"), Given, "none", "the prices: `[[prices.item]]`";
}
"prices.item[]" "A price." {
    what: Word(&["starter", "breaker", "supply", "unit", "delay", "shore", "generator"]), Given, "required",
        "what it is for: a starter, another breaker, a larger supply, a smaller unit, a delay before a restart, shore power, a generator";
    name: Text, Given, "any of its kind", "which: a catalogue entry or a supply of the site, as `compare` names it";
    parts: Plain(NOT_NEGATIVE), Given, "0", "what is bought";
    labour: Plain(NOT_NEGATIVE), Given, "0", "the work";
}
"report" "Who a report is for: `[report]`. All is printed as it stands." {
    business: Text, Given, "left open", "the business that answers for it";
    contact: Text, Given, "left open", "how to reach it";
    customer: Text, Given, "left open", "the customer";
    place: Text, Given, "left open", "where the installation is";
    job: Text, Given, "left open", "number of the job";
}
"supply[]" "A supply: `[[supply]]`, one or more." {
    name: Text, Given, "required", "what the site calls it; each name once";
    kind: Word(&["inverter", "generator", "shore"]), Given, "required",
        "inverter, generator, or shore for shore power and the grid";
    use: Text, Given, "none", "an entry of the catalogue; keys given here come before its own";
    voltage_v: Number(POSITIVE), Nameplate, "required",
        "rated voltage: line to line for three phases, between the outer legs for a three-wire supply";
    frequency_hz: Number(FREQUENCY), Nameplate, "required", "rated frequency";
    phases: Phases, Given, "1", "number of phases";
    continuous_va: Number(POSITIVE), Nameplate, "one of the three is required for an inverter or generator",
        "continuous rating, all phases together";
    continuous_a: Number(POSITIVE), Nameplate, "see continuous_va", "continuous rating per line";
    continuous_w: Number(POSITIVE), Nameplate, "see continuous_va",
        "continuous rating in watts, taken as volt-amperes with a caution";
    surge: Tables("supply[].surge[]"), Given, "none stated", "surge ratings, in any order";
    peak_current_a: Number(POSITIVE), Nameplate, "not stated",
        "current (crest, not rms) at which it cuts off at once", Unknown;
    peak_current_for_s: Number(POSITIVE), Nameplate, "0: at once",
        "how long it lets more than peak_current_a pass before it cuts off", Unknown;
    output_ohm: Number(NOT_NEGATIVE), Given, "not stated",
        "output resistance per phase, cord or service included", Unknown;
    output_reactance_ohm: Number(NOT_NEGATIVE), Given, "not stated", "output reactance per phase", Unknown;
    output_pu: Number(PER_UNIT), Given, "not stated",
        "output resistance as a share of rated voltage over rated current, instead of output_ohm", Unknown;
    output_reactance_pu: Number(PER_UNIT), Given, "not stated", "output reactance likewise", Unknown;
    on_overload: Word(&["trip", "limit", "retry"]), Given, "trip",
        "what it does when overloaded: trip, limit (folds the voltage back) or retry";
    fault_a: Number(POSITIVE), Given, "by impedance; of a generator 3 times its rating, of an inverter its surge, as typical",
        "current it drives into a short circuit at its terminals, line to neutral or earth";
    shuts_off_on_fault: Switch, Given, "not stated; inverters are taken to", "whether it shuts itself off on a short circuit";
    dip: Table("supply[].dip"), Given, "none", "a dip of the voltage that running motors are to survive";
}
"supply[].dip" "A dip of the supply's voltage, as while another motor starts: `dip = { to = 0.5, for_s = 0.3 }`." {
    to: Number(PER_UNIT), Given, "required", "share of the voltage that is left";
    for_s: Number(POSITIVE), Given, "required", "how long it lasts";
}
"supply[].surge[]" "A surge rating: so much for so long." {
    va: Number(POSITIVE), Nameplate, "one of the three is required", "how much, all phases together";
    a: Number(POSITIVE), Nameplate, "see va", "how much per line";
    w: Number(POSITIVE), Nameplate, "see va", "how much in watts, taken as volt-amperes with a caution";
    times_continuous: Number(TIMES), Nameplate, "see va", "how much as a multiple of the continuous rating";
    for_s: Number(POSITIVE), Nameplate, "not stated", "for how long it carries that", Unknown;
}
"battery" "The battery and its DC side: `[battery]`." {
    nominal_v: Number(POSITIVE), Nameplate, "required", "nominal voltage", Later;
    internal_mohm: Number(NOT_NEGATIVE), Nameplate, "not stated", "internal resistance", Unknown, Later;
    peak_a: Number(POSITIVE), Nameplate, "not stated", "largest current the battery management allows", Later;
    peak_for_s: Number(POSITIVE), Nameplate, "not stated", "for how long it allows peak_a", Later;
    fuse: Table("battery.fuse"), Given, "not checked", "the DC fuse", Later;
}
"battery.fuse" "The fuse between battery and inverter." {
    standard: Text, Given, "required", "the standard it is built to, such as ISO 8820-5", Later;
    rating_a: Number(POSITIVE), Nameplate, "required", "rated current", Later;
}
"circuit" "Breaker and conductor: `[circuit]`, or `circuit` of a load that has its own." {
    breaker: Table("circuit.breaker"), Given, "not checked", "the breaker";
    conductor: Table("circuit.conductor"), Given, "not checked", "the cable from board to load";
}
"circuit.breaker" "The breaker of the circuit." {
    use: Text, Given, "none", "an entry of the catalogue; keys given here come before its own";
    standard: Word(&["UL 489", "IEC 60898-1"]), Given, "required", "the standard it is built to";
    curve: Word(&["B", "C", "D"]), Given, "required for IEC 60898-1, not for UL 489", "tripping curve";
    rating_a: Number(POSITIVE), Nameplate, "required", "rated current; IEC 60898-1 ends at 125 A";
    fast: Tables("circuit.breaker.fast[]"), Given, "the standard's points",
        "the maker's curve: the fast edge";
    slow: Tables("circuit.breaker.slow[]"), Given, "the standard's points",
        "the maker's curve: the slow edge";
    instantaneous: Pair(MULTIPLE), Given, "the standard's",
        "the maker's instantaneous band, in multiples of the rating";
}
"circuit.breaker.fast[]" "A point of the fast edge: multiples rise, times fall." {
    multiple: Plain(MULTIPLE), Given, "required", "current as a multiple of the rating";
    s: Plain(POSITIVE), Given, "required", "time to trip";
}
"circuit.breaker.slow[]" "A point of the slow edge: multiples rise, times fall." {
    multiple: Plain(MULTIPLE), Given, "required", "current as a multiple of the rating";
    s: Plain(POSITIVE), Given, "required", "time to trip";
}
"circuit.conductor" "The cable between board and load." {
    length_m: Number(POSITIVE), Given, "not stated: no voltage is lost in it", "length one way";
    awg: Gauge, Given, "not checked", "size as American wire gauge: 12, or \"1/0\"";
    area_mm2: Number(POSITIVE), Given, "not checked", "size as cross-section, one of the usual sizes: 1.5, 2.5, 4 and so on";
    material: Word(&["copper", "aluminium"]), Given, "copper", "what it is made of";
    insulation_c: Number(RATED_C), Given, "as the terminals; 70 for IEC rules",
        "temperature rating of the insulation";
    terminal_c: Number(RATED_C), Given, "60 for 14 to 1 AWG, else 75; 70 for IEC rules",
        "temperature rating of the terminals";
    grouped: Number(GROUPED), Given, "its own alone", "loaded conductors run together, its own included";
    resistance_ohm: Number(NOT_NEGATIVE), Given, "from size and length",
        "total resistance, there and back; per phase for three phases";
    reactance_ohm: Number(NOT_NEGATIVE), Given, "from the length; 0 with a resistance_ohm", "total reactance likewise";
    ampacity_a: Number(POSITIVE), Given, "from size, temperatures and grouping",
        "what it may carry as it is laid";
}
"running[]" "A load that is already on: `[[running]]`." {
    name: Text, Given, "its number", "what the site calls it";
    va: Number(POSITIVE), Given, "required", "apparent power at rated voltage";
    power_factor: Number(UNITY), Given, "0.9, from 0.6 to 1 (assumed)", "power factor";
    behaviour: Word(&["impedance", "power"]), Given, "both are tried, the worse decides",
        "how it behaves when the voltage sags: as constant impedance or constant power";
    connection: Word(&["L1", "L2", "L1-L2"]), Given, "as the load that starts", "legs of a three-wire supply";
}
"load[]" "A load to be started: `[[load]]`, one or more." {
    name: Text, Given, "required", "what the site calls it; each name once";
    use: Text, Given, "none", "an entry of the catalogue; keys given here come before its own";
    class: Text, Given, "the catalogue entry's, else the general one of its phases; none with a motor_model",
        "the class of load, for what the nameplate leaves out: a name of appliances/classes";
    hermetic: Switch, Given, "the class's", "whether the motor is sealed in with the compressor";
    cord_and_plug: Switch, Given, "false", "whether it is a room air conditioner by cord and plug, alone on its branch";
    windings: Word(WINDINGS), Given, "the class's", "how the motor starts and runs";
    poles: Poles, Given, "by rated_rpm, else the class's", "number of poles";
    rated_voltage_v: Number(POSITIVE), Nameplate, "the supply's", "rated voltage", Unknown;
    rated_frequency_hz: Number(FREQUENCY), Nameplate, "the supply's", "rated frequency", Unknown;
    phases: Phases, Given, "3 with a three-phase motor_model, else 1", "number of phases";
    connection: Word(&["L1", "L2", "L1-L2"]), Given, "between the outer conductors",
        "legs of a three-wire supply; L1 or L2 sees half the supply's voltage";
    locked_rotor_a: Number(POSITIVE), Nameplate, "not stated", "locked-rotor current (LRA)", Unknown;
    rated_load_a: Number(POSITIVE), Nameplate, "not stated",
        "rated-load current (RLA, or FLA of a plain motor)", Unknown;
    locked_rotor_ratio: Number(LOCKED_RATIO), Given, "the class's",
        "locked-rotor current over rated-load current, for where one of the two is missing", Unknown;
    maximum_continuous_a: Number(POSITIVE), Nameplate, "not stated",
        "maximum continuous current of a hermetic compressor (MCC), 1.56 times its rated-load current at the most", Unknown;
    branch_selection_a: Number(POSITIVE), Nameplate, "not stated", "branch-circuit selection current (BCSC)", Unknown;
    fan_full_load_a: Number(NOT_NEGATIVE), Nameplate, "none",
        "full-load current of the fan, which runs first", Unknown;
    fan_through_starter: Switch, Given, "false", "whether the fan runs through the starter";
    minimum_circuit_ampacity_a: Number(POSITIVE), Nameplate, "not stated",
        "minimum circuit ampacity (MCA)", Unknown;
    maximum_protection_a: Number(POSITIVE), Nameplate, "not stated",
        "largest breaker or fuse the nameplate allows (MOP)", Unknown;
    voltage_range_v: Pair(POSITIVE), Given, "0.9 of rated and up",
        "lowest and highest running voltage the nameplate allows";
    least_start_v: Number(POSITIVE), Nameplate, "not stated",
        "lowest voltage at the terminals at which the maker promises a start", Unknown;
    power_w: Number(POSITIVE), Nameplate, "not stated",
        "rated power: shaft power of a motor, input of a unit", Unknown;
    power_hp: Number(POSITIVE), Nameplate, "not stated", "rated shaft power in horsepower", Unknown;
    code_letter: Word(CODE_LETTERS), Given, "none", "code letter for locked-rotor kVA per horsepower";
    start_w: Number(POSITIVE), Nameplate, "not stated",
        "start watts as the maker declares them", Unknown;
    rated_rpm: Number(POSITIVE), Nameplate, "not stated", "speed at rated load", Unknown;
    power_factor: Number(UNITY), Nameplate, "not stated", "power factor at rated load", Unknown;
    locked_rotor_power_factor: Number(UNITY), Nameplate, "not stated",
        "power factor at standstill", Unknown;
    efficiency: Number(UNITY), Nameplate, "not stated", "efficiency at rated load", Unknown;
    rated_slip: Number(SLIP), Given, "by rated_rpm, else the class's", "slip at rated load", Unknown;
    breakdown_nm: Number(POSITIVE), Nameplate, "not stated", "breakdown (pull-out) torque", Unknown;
    breakdown_torque: Number(TIMES), Given, "the class's", "the same as a multiple of the rated torque", Unknown;
    locked_rotor_nm: Number(POSITIVE), Nameplate, "not stated", "locked-rotor torque", Unknown;
    locked_rotor_torque: Number(SHARE), Given, "the class's", "the same as a multiple of the rated torque", Unknown;
    run_capacitor_uf: Number(NOT_NEGATIVE), Nameplate, "as the fit finds it", "run capacitor", Unknown;
    start_capacitor_uf: Number(NOT_NEGATIVE), Nameplate, "as the fit finds it",
        "the motor's own start capacitor", Unknown;
    cut_out_speed: Number(FRACTION), Given, "the class's",
        "fraction of synchronous speed at which the motor's own start switch opens", Unknown;
    inertia_s: Number(POSITIVE), Given, "the class's",
        "inertia constant: kinetic energy at synchronous speed over rated volt-amperes", Unknown;
    inertia_kgm2: Number(POSITIVE), Given, "by inertia_s", "moment of inertia of rotor and load", Unknown;
    starts_per_hour: Number(POSITIVE), Nameplate, "not stated", "starts per hour", Unknown, Later;
    pressure: Word(&["equalised", "unequal"]), Given, "both are run, the worse first, where load_torque_unequal is given",
        "head pressure at the start: equalised after a rest, unequal straight after stopping";
    restart_hold_off_s: Number(NOT_NEGATIVE), Nameplate, "none",
        "the unit's own delay before it restarts", Unknown;
    longest_start_s: Number(POSITIVE), Given, "the class's; 3 (assumed) with a motor given outright",
        "a start is given up after this", Unknown;
    assist_capacitor_uf: Number(NOT_NEGATIVE), Given, "none",
        "start capacitor to weigh when looking for a reduction that works", Unknown;
    assist_cut_out_speed: Number(FRACTION), Given, "none",
        "speed at which that capacitor leaves, as a fraction of synchronous speed", Unknown;
    protector: Table("load[].protector"), Given, "the class's; not checked without one", "the motor's own overload protector";
    overload: Table("load[].overload"), Given, "none", "an overload relay before the motor";
    electronic: Switch, Given, "false",
        "whether electronics of the unit's own feed its motor (variable speed): no starter may stand before them";
    starter: Table("load[].starter"), Given, "direct", "what stands between board and motor";
    circuit: Table("circuit"), Given, "the site's [circuit]",
        "a circuit of its own: replaces the site's as a whole";
    motor_model: Table("load[].motor_model"), Given, "fitted to the nameplate and the class", "the motor given outright";
    inrush: Table("load[].inrush"), Given, "it is an induction motor", "a load that is no induction motor: what it is instead";
    load_torque: Table("load[].load_torque"), Given, "required with a motor_model, else the class's",
        "what the motor has to turn, after a rest";
    load_torque_unequal: Table("load[].load_torque"), Given, "the class's, if it has one; else a restart straight after stopping is not judged",
        "the same straight after stopping; what it leaves out is as in load_torque, but with no build-up";
}
"load[].protector" "The motor's own overload protector: `protector = { pickup = 1.4, trip_at_locked_rotor_s = 8 }`." {
    kind: Word(&["one-body", "two-body"]), Given, "one-body",
        "how it is modelled: one body, or an element on the body of the motor";
    pickup: Number(PICKUP), Nameplate, "the nameplate's maximum_continuous_a, else the class's",
        "largest current it carries for ever, as a multiple of the rated-load current", Unknown;
    trip_at_locked_rotor_s: Number(POSITIVE), Nameplate, "the class's",
        "time to trip from cold at locked rotor and rated voltage", Unknown;
    tau_s: Number(POSITIVE), Nameplate, "by trip_at_locked_rotor_s",
        "thermal time constant: of the one body, or of the element", Unknown;
    body_tau_s: Number(POSITIVE), Nameplate, "required for two-body", "two-body only: time constant of the body", Unknown;
    share: Number(FRACTION), Nameplate, "required for two-body",
        "two-body only: share of the element's heat that is against the body", Unknown;
    reset_s: Number(POSITIVE), Nameplate, "the class's", "how long it stays open after a trip", Unknown;
}
"load[].overload" "An overload relay: `overload = { standard = \"IEC 60947-4-1\", class = \"10\", setting_a = 11 }`." {
    standard: Word(&["IEC 60947-4-1"]), Given, "required", "the standard it is built to";
    class: Word(&["10A", "10", "20", "30"]), Given, "required", "trip class";
    setting_a: Number(POSITIVE), Nameplate, "required", "the current it is set to";
}
"load[].starter" "The starter of a load." {
    use: Text, Given, "none", "an entry of the catalogue; keys given here come before its own";
    kind: Word(&["direct", "assist", "limiter", "ramp", "autotransformer", "star-delta", "drive"]), Given,
        "limiter with largest_a or reduction, else ramp with initial_fraction or ramp_s, else assist with a capacitor",
        "what it is";
    largest_a: Number(POSITIVE), Nameplate, "one of largest_a and reduction is required for a limiter",
        "largest line current it lets through";
    reduction: Number(REDUCTION), Nameplate, "see largest_a",
        "start-current reduction r: it holds the current at (1 - r) x LRA";
    duration_s: Number(POSITIVE), Nameplate, "not stated", "how long the reduced start lasts, as declared";
    initial_fraction: Number(FRACTION), Nameplate, "required for a ramp; without it an autotransformer is not judged",
        "share of the voltage that a ramp begins with; the tap of an autotransformer";
    ramp_s: Number(POSITIVE), Nameplate, "required for a ramp; duration_s for a drive, which without either is not judged",
        "time a ramp takes to full voltage, a drive to full frequency";
    kick_fraction: Number(UNITY), Nameplate, "none; with kick_s",
        "ramp: share of the voltage of a kick that goes before it, to break the rotor away";
    kick_s: Number(POSITIVE), Nameplate, "none; with kick_fraction", "ramp: how long that kick lasts";
    changeover_s: Number(POSITIVE), Nameplate, "duration_s; without either or a changeover_speed the start is not judged",
        "autotransformer, star-delta: time after switch-on at which it changes over";
    changeover_speed: Number(FRACTION), Nameplate, "none: by time alone",
        "autotransformer, star-delta: speed, as a fraction of synchronous speed, at which it changes over if that comes first";
    assist_capacitor_uf: Number(NOT_NEGATIVE), Nameplate, "none; required for an assist",
        "start capacitor it switches in beside the run capacitor", Unknown;
    cut_out_speed: Number(FRACTION), Nameplate, "none",
        "speed at which that capacitor leaves, as a fraction of synchronous speed", Unknown;
    cut_out_v: Number(POSITIVE), Nameplate, "none",
        "instead of cut_out_speed: voltage across the auxiliary winding at which a relay takes that capacitor out", Unknown;
    phase_control: Switch, Given, "unknown: judged as a sine, phase control weighed beside it",
        "limiter, ramp: whether thyristors chop the wave, so that harmonics take a part of the current without torque";
    learning_starts: Plain(GROUPED), Nameplate, "none", "first starts that it reduces less, while it learns";
    phases: Phases, Nameplate, "any", "phases it is made for";
    voltage_v: Pair(POSITIVE), Nameplate, "any", "lowest and highest voltage it is made for";
    frequency_hz: Pair(FREQUENCY), Nameplate, "any", "lowest and highest frequency it is made for";
    for_rla_a: Pair(POSITIVE), Nameplate, "any",
        "lowest and highest rated-load current of the motors it is made for";
}
"load[].motor_model" "The motor given outright, not fitted: `[load.motor_model]` below its `[[load]]`." {
    kind: Word(&["two-winding", "three-phase"]), Given, "required",
        "two-winding (single-phase) or three-phase";
    poles: Poles, Given, "required", "number of poles";
    r1_ohm: Number(POSITIVE), Given, "required",
        "resistance of the main winding, or per phase of the star equivalent";
    x1_ohm: Number(NOT_NEGATIVE), Given, "required", "leakage reactance of that winding";
    xm_ohm: Number(POSITIVE), Given, "required", "magnetising reactance";
    r2_ohm: Number(POSITIVE), Given, "required", "rotor resistance, referred to that winding";
    x2_ohm: Number(NOT_NEGATIVE), Given, "required", "rotor leakage reactance";
    r3_ohm: Number(POSITIVE), Given, "none", "three-phase only: resistance of a second cage, with x3_ohm";
    x3_ohm: Number(NOT_NEGATIVE), Given, "none", "three-phase only: leakage reactance of the second cage";
    leakage_saturation_a: Number(POSITIVE), Given, "none: constant leakage",
        "three-phase only: rms line current from which leakage saturates";
    r1a_ohm: Number(POSITIVE), Given, "none",
        "two-winding only: resistance of the auxiliary winding; with x1a_ohm and turns_ratio";
    x1a_ohm: Number(NOT_NEGATIVE), Given, "none", "two-winding only: leakage reactance of the auxiliary winding";
    turns_ratio: Number(POSITIVE), Given, "none",
        "two-winding only: turns of the auxiliary over turns of the main winding";
    run_capacitor_uf: Number(NOT_NEGATIVE), Given, "0: none", "two-winding only: run capacitor";
    run_capacitor_ohm: Number(NOT_NEGATIVE), Given, "0", "two-winding only: series resistance of the run capacitor";
    start_capacitor_uf: Number(NOT_NEGATIVE), Given, "0: none",
        "two-winding only: start capacitor, beside the run capacitor until cut_out_speed", Unknown;
    start_capacitor_ohm: Number(NOT_NEGATIVE), Given, "0", "two-winding only: series resistance of the start capacitor";
    cut_out_speed: Number(FRACTION), Given,
        "required with a start capacitor, or with an auxiliary winding and no capacitor",
        "two-winding only: fraction of synchronous speed at which the start switch opens", Unknown;
    inertia_kgm2: Number(POSITIVE), Given, "required", "moment of inertia of rotor and load", Unknown;
}
"load[].inrush"
"A load that is no induction motor: `[load.inrush]` below its `[[load]]`. Its size is the load's rated_load_a or power_w." {
    kind: Word(INRUSH), Given, "required", "what it is";
    cold_ratio: Number(RATIO), Given, "required for a filament", "hot over cold resistance";
    heat_s: Number(POSITIVE), Given, "required for a filament", "energy that heats it up, over rated power";
    start_ratio: Number(RATIO), Given, "required for universal-motor and ballast",
        "current at standstill, or of a lamp at first, over the running one; rms, at rated voltage";
    start_power_factor: Number(UNITY), Given, "required for universal-motor and ballast", "power factor of that current";
    inertia_s: Number(POSITIVE), Given, "required for a universal-motor",
        "kinetic energy at running speed over rated volt-amperes";
    warm_up_s: Number(POSITIVE), Given, "required for a ballast", "time constant in which a discharge lamp gets warm";
    capacitor_uf: Number(POSITIVE), Given, "required for all with a rectifier", "capacitor behind the rectifier";
    series_ohm: Number(POSITIVE), Given, "required for all with a rectifier",
        "resistance in series with it at all times: fuse, filter, diodes, capacitor";
    choke_ohm: Number(NOT_NEGATIVE), Given, "0", "reactance in series with it at rated frequency";
    limiter: Word(&["none", "thermistor", "relay"]), Given, "none",
        "what holds the charging current down: nothing, a thermistor, or a resistor that a relay bridges";
    limiter_ohm: Number(POSITIVE), Given, "required with a limiter", "its resistance, cold";
    limiter_hot_ohm: Number(POSITIVE), Given, "required for a thermistor", "resistance of a thermistor, hot";
    relay_s: Number(RELAY), Given, "required for a relay", "when the relay closes";
    hot: Switch, Given, "false", "whether the thermistor is still hot from the run before";
    ramp_s: Number(NOT_NEGATIVE), Given, "0: at once", "time in which it comes to its power once it works";
    current: Word(&["pulses", "sine"]), Given, "pulses; sine for an induction-hob",
        "form of the current once it works: sine with power-factor correction";
    magnetising_pu: Number(UNITY), Given, "required for a transformer", "magnetising current over rated current, both rms";
    knee: Number(KNEE), Given, "required for a transformer", "flux at the knee over the crest of rated flux";
    saturated_pu: Number(UNITY), Given, "required for a transformer",
        "reactance of the primary beyond the knee, over rated voltage by rated current";
    winding_pu: Number(UNITY), Given, "required for a transformer", "resistance of the primary likewise";
    residual: Number(RESIDUAL), Given, "0", "flux left in the core at switch-on over the crest of rated flux; both signs count";
}
"load[].load_torque"
"Load torque: rated_nm times c0 + c1 x + c2 x^2, x being speed over rated_rpm. Also `[load.load_torque_unequal]`." {
    rated_nm: Number(POSITIVE), Given, "required with a motor_model, else the fitted motor's", "torque at rated speed", Unknown;
    rated_rpm: Number(POSITIVE), Given, "required with a motor_model, else the fitted motor's",
        "the speed at which that torque is stated", Unknown;
    c0: Number(SHARE), Given, "0", "share that does not depend on speed", Unknown;
    c1: Number(SHARE), Given, "0", "share in proportion to speed", Unknown;
    c2: Number(SHARE), Given, "0", "share with the square of speed", Unknown;
    breakaway: Number(SHARE), Given, "c0", "share that must be exceeded at standstill", Unknown;
    build_up_s: Number(NOT_NEGATIVE), Given, "0: at once, also in load_torque_unequal",
        "time constant with which c1 and c2 build up after switch-on", Unknown;
    pulsation: Word(&["reciprocating", "rotary", "scroll"]), Given, "the class's; steady without one",
        "the kind of compressor, whose torque swings with the angle of its shaft: the rated_nm is the mean";
}
}
