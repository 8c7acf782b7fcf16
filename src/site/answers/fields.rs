//! The table of answers: each once, with its flag, the key of the site file it stands for, what it holds and where an
//! installer finds it. Flags, questions, comments of a new site file and the way back from key to flag all come from here.

use crate::site::catalogue::Shelf;

/// What an answer holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// A number in one of these units; the first is the key's.
    Amount(&'static [&'static str]),
    /// One of these words.
    Word(&'static [&'static str]),
    /// An entry of this shelf of the catalogue.
    Entry(Shelf),
    /// A supply: VA, W or A, or an entry of the catalogue.
    Supply,
    /// An American wire gauge.
    Gauge,
    /// 1 or 3.
    Phases,
}

/// One answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Field {
    /// The flag, without its dashes.
    pub flag: &'static str,
    /// The key of the site file.
    pub key: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// What stands for it in the list of flags.
    pub shown: &'static str,
    /// Under which heading it is listed.
    pub heading: &'static str,
    /// What it is and where it stands.
    pub help: &'static str,
    /// A value to show where none is known.
    pub example: &'static str,
    /// A flag without which it means nothing; empty if there is none.
    pub needs: &'static str,
    /// A flag that says the same; empty if there is none.
    pub rival: &'static str,
}

/// Heading of what says what is to be started.
pub const WHAT: &str = "What is to be started";
/// Heading of the entries of its label.
pub const LABEL: &str = "Off its label";
/// Heading of the supply.
pub const SUPPLY: &str = "The supply";
/// Heading of what stands between.
pub const BETWEEN: &str = "Breaker, cable, starter";
/// Heading of the rest.
pub const AROUND: &str = "What else matters";

/// The code letters of NFPA 70, Table 430.7(B).
const CODE_LETTERS: &[&str] =
    &["A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N", "P", "R", "S", "T", "U", "V"];

macro_rules! fields {
    ($($heading:ident: $($flag:literal $key:literal $holds:expr, $shown:literal, $example:literal, $help:literal
        $(, needs $needs:literal)? $(, rival $rival:literal)?;)*)*) => {
        /// Every answer, in the order of the list of flags.
        pub static FIELDS: &[Field] = &[$($(Field {
            flag: $flag,
            key: $key,
            holds: { use Holds::*; $holds },
            shown: $shown,
            heading: $heading,
            help: $help,
            example: $example,
            needs: concat!("", $($needs)?),
            rival: concat!("", $($rival)?),
        }),*),*];
    };
}

fields! {
WHAT:
    "load" "load[0].use" Entry(Shelf::Load), "ID", "\"roof-ac\"",
        "The nearest load of the catalogue (`startmargin catalogue --shelf loads`)", rival "class";
    "class" "load[0].class" Entry(Shelf::Class), "ID", "\"single-phase-general\"",
        "Only its class (`startmargin catalogue --shelf classes`)", rival "load";
LABEL:
    "volts" "load[0].rated_voltage_v" Amount(&["V"]), "V", "115", "Rated volts, beside the hertz";
    "hz" "load[0].rated_frequency_hz" Amount(&["Hz"]), "HZ", "60", "Rated hertz, 50 or 60";
    "phases" "load[0].phases" Phases, "1|3", "1", "Phases: 1, or 3 (3~, 3PH)";
    "rla" "load[0].rated_load_a" Amount(&["A"]), "A", "12.5",
        "Rated-load current: RLA of a compressor, FLA of a plain motor";
    "lra" "load[0].locked_rotor_a" Amount(&["A"]), "A", "62",
        "Locked-rotor current (LRA, LRC), beside the RLA: the figure that decides";
    "mcc" "load[0].maximum_continuous_a" Amount(&["A"]), "A", "19.5", "Maximum continuous current (MCC) of a compressor";
    "mca" "load[0].minimum_circuit_ampacity_a" Amount(&["A"]), "A", "18", "Minimum circuit ampacity (MCA), plate of the unit";
    "mocp" "load[0].maximum_protection_a" Amount(&["A"]), "A", "30",
        "Largest breaker or fuse allowed (MOP, MOCP), plate of the unit";
    "hp" "load[0].power_hp" Amount(&["hp"]), "HP", "0.5", "Horsepower, plate of the motor";
    "code" "load[0].code_letter" Word(CODE_LETTERS), "LETTER", "\"K\"", "Code letter beside the horsepower (CODE)";
    "watts" "load[0].power_w" Amount(&["W"]), "W", "1500", "Rated watts: of the shaft for a motor, the input of a unit";
    "start-watts" "load[0].start_w" Amount(&["W"]), "W", "3500", "Start watts as declared; little is known by them";
    "fan-a" "load[0].fan_full_load_a" Amount(&["A"]), "A", "2.5", "Full-load current (FLA) of the fan beside a compressor";
    "run-capacitor-uf" "load[0].run_capacitor_uf" Amount(&["uF"]), "UF", "45",
        "Run capacitor, printed on the can; discharge it before you touch it";
    "rpm" "load[0].rated_rpm" Amount(&["rpm"]), "RPM", "3450", "Turns a minute at rated load, plate of the motor";
SUPPLY:
    "supply" "supply[0].use" Supply, "VA|ID", "3000",
        "Continuous volt-amperes of an inverter, or a supply of the catalogue; of a generator with --supply-kind generator; \
         amperes of an outlet with --supply-kind shore";
    "supply-kind" "supply[0].kind" Word(&["inverter", "generator", "shore"]), "KIND", "\"inverter\"",
        "What that number belongs to: inverter (if not given), generator or shore (shore power, the grid)", needs "supply";
    "surge" "supply[0].surge[0].va" Amount(&["VA", "W", "A"]), "VA", "6000",
        "What it carries for a short time, off its data sheet", needs "supply";
    "surge-s" "supply[0].surge[0].for_s" Amount(&["s"]), "S", "1", "For how many seconds: a curve or footnote of the data sheet",
        needs "surge";
    "peak-a" "supply[0].peak_current_a" Amount(&["A"]), "A", "90", "Crest current at which it cuts off at once", needs "supply";
    "supply-volts" "supply[0].voltage_v" Amount(&["V"]), "V", "120", "Its volts, if the load's do not tell them", needs "supply";
BETWEEN:
    "breaker" "circuit.breaker.rating_a" Amount(&["A"]), "A", "20", "Amperes on the breaker's toggle";
    "curve" "circuit.breaker.curve" Word(&["B", "C", "D"]), "B|C|D", "\"C\"", "The letter before them, IEC breakers only",
        needs "breaker";
    "breaker-standard" "circuit.breaker.standard" Word(&["UL 489", "IEC 60898-1"]), "STANDARD", "\"UL 489\"",
        "ul-489 or iec-60898-1; by the hertz if not given", needs "breaker";
    "awg" "circuit.conductor.awg" Gauge, "AWG", "12", "Cable's gauge, on its jacket: 12 or 1/0", rival "mm2";
    "mm2" "circuit.conductor.area_mm2" Amount(&["mm2"]), "MM2", "2.5", "Cable's cross-section, on its jacket", rival "awg";
    "length-m" "circuit.conductor.length_m" Amount(&["m"]), "M", "8", "Its length one way, board to load, in metres";
    "starter" "load[0].starter.use" Entry(Shelf::Starter), "ID", "\"limiter-roof-capacitor\"",
        "A starter of the catalogue (`startmargin catalogue --shelf starters`)";
AROUND:
    "running-va" "running[0].va" Amount(&["VA", "W", "A"]), "VA", "300", "What else is on when it starts, all together";
    "ambient-c" "ambient_c" Amount(&["C"]), "C", "30", "Temperature round breaker and cable, degrees Celsius";
    "pressure" "load[0].pressure" Word(&["equalised", "unequal"]), "WORD", "\"equalised\"",
        "Head pressure at the start: equalised after a rest, unequal straight after stopping; both if not given";
}

impl Field {
    /// The field of a flag.
    pub fn of(flag: &str) -> Option<&'static Field> {
        FIELDS.iter().find(|f| f.flag == flag)
    }

    /// Its key without the table it stands in.
    pub fn name(&self) -> &'static str {
        self.key.rsplit_once('.').map_or(self.key, |(_, name)| name)
    }
}
