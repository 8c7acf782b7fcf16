//! The start trace: what a simulation returns for one branch.

use super::ride_through::RideThrough;

/// One moment of a start. Voltages are line to line for three phases; rms throughout.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Row {
    /// Time from switch-on \[s\].
    pub t_s: f64,
    /// Line current of the load \[A\].
    pub line_a: f64,
    /// Line current of the supply, running loads and other motors included \[A\].
    pub supply_a: f64,
    /// Voltage at the load's terminals, before its starter \[V\].
    pub terminal_v: f64,
    /// Voltage at the motor, after its starter \[V\].
    pub motor_v: f64,
    /// Real power into the motor \[W\].
    pub power_w: f64,
    /// Reactive power into the motor \[var\].
    pub reactive_var: f64,
    /// Mechanical speed \[rad/s\].
    pub speed: f64,
    /// Motor torque \[N m\].
    pub torque_nm: f64,
    /// Load torque at that moment \[N m\]; at standstill what must be exceeded.
    pub load_nm: f64,
}

impl Row {
    /// Current in the motor \[A\], which differs from the line's behind a transformer or beside a fan; `None` without voltage.
    pub fn motor_a(&self, phases: u32) -> Option<f64> {
        let volts = self.motor_v * if phases == 3 { 3f64.sqrt() } else { 1.0 };
        (volts > 0.0).then(|| self.power_w.hypot(self.reactive_var) / volts)
    }

    fn between(&self, other: &Row, share: f64) -> Row {
        let mix = |a: f64, b: f64| a + share * (b - a);
        Row {
            t_s: mix(self.t_s, other.t_s),
            line_a: mix(self.line_a, other.line_a),
            supply_a: mix(self.supply_a, other.supply_a),
            terminal_v: mix(self.terminal_v, other.terminal_v),
            motor_v: mix(self.motor_v, other.motor_v),
            power_w: mix(self.power_w, other.power_w),
            reactive_var: mix(self.reactive_var, other.reactive_var),
            speed: mix(self.speed, other.speed),
            torque_nm: mix(self.torque_nm, other.torque_nm),
            load_nm: mix(self.load_nm, other.load_nm),
        }
    }
}

/// What happened at a moment of the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// The rotor broke away from standstill.
    BreaksAway,
    /// The motor's own start switch opened.
    StartSwitchOpens,
    /// The starter's capacitor left.
    AssistLeaves,
    /// The starter changed over: to full voltage, to delta, from its kick to its ramp.
    ChangesOver,
    /// The limiter stopped limiting.
    LimiterReleases,
    /// The limiter began to limit.
    LimiterHolds,
    /// The speed first reached 95 % of the settled speed.
    ReachesSpeed,
    /// The rotor came to rest again.
    ComesToRest,
}

/// An event with its time \[s\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// When.
    pub t_s: f64,
    /// What.
    pub kind: EventKind,
}

/// How a start ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Outcome {
    /// It reached speed.
    #[default]
    Starts,
    /// It ran up but too slowly for `longest_start_s`.
    TooSlow,
    /// It hung at a speed below 80 % of synchronous.
    Hangs,
    /// It stayed at, or came back to, a standstill (below 5 % of synchronous speed).
    Stalls,
}

/// A start of one branch.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace {
    /// The moments, in time order; two at the same time where something switched.
    pub rows: Vec<Row>,
    /// What happened.
    pub events: Vec<Event>,
    /// How it ended.
    pub outcome: Outcome,
    /// The steady state at full load torque, build-up complete, if there is one; its time is that of the end of the trace.
    pub settled: Option<Row>,
    /// Time from switch-on until 95 % of the settled speed \[s\].
    pub start_duration_s: Option<f64>,
    /// For a start that fails: least ratio of motor to load torque over the speeds it did not reach.
    pub ratio_ahead: Option<f64>,
    /// What a dip does to it once it runs; `None` without a dip, or where it does not reach speed.
    pub after_dip: Option<RideThrough>,
    /// Synchronous speed \[rad/s\].
    pub sync_speed: f64,
    /// Whether the integrator gave up before the start came to its end.
    pub cut_short: bool,
    /// Steps the integrator took, refused ones included.
    pub steps: u32,
    /// Times the network was solved.
    pub evaluations: u32,
}

impl Trace {
    pub(super) fn clear(&mut self) {
        self.rows.clear();
        self.events.clear();
        (self.outcome, self.settled, self.start_duration_s) = (Outcome::Stalls, None, None);
        (self.ratio_ahead, self.after_dip, self.cut_short) = (None, None, false);
        (self.sync_speed, self.steps, self.evaluations) = (0.0, 0, 0);
    }

    /// Lets the first moment last `by_s` \[s\] longer and everything after it come that much later; a start that then takes
    /// longer than `longest_start_s` has not reached speed in time.
    pub fn delay(&mut self, by_s: f64, longest_start_s: f64) {
        let Some(&first) = self.rows.first() else { return };
        for row in &mut self.rows {
            row.t_s += by_s;
        }
        self.rows.insert(0, first);
        for event in &mut self.events {
            event.t_s += by_s;
        }
        if let Some(settled) = &mut self.settled {
            settled.t_s += by_s;
        }
        self.start_duration_s = self.start_duration_s.map(|s| s + by_s);
        if self.start_duration_s.is_some_and(|s| s > longest_start_s) {
            self.rows.retain(|r| r.t_s <= longest_start_s);
            self.events.retain(|e| e.t_s <= longest_start_s);
            (self.outcome, self.start_duration_s) = (Outcome::TooSlow, None);
        }
    }

    /// Whether the motor reached speed.
    pub fn starts(&self) -> bool {
        self.outcome == Outcome::Starts
    }

    /// The moment at `t` \[s\], in a straight line between rows; the ends beyond them. `None` for an empty trace.
    pub fn at(&self, t: f64) -> Option<Row> {
        let after = self.rows.partition_point(|r| r.t_s <= t);
        let Some(next) = self.rows.get(after) else { return self.rows.last().copied() };
        let Some(before) = after.checked_sub(1).map(|i| &self.rows[i]) else { return Some(*next) };
        Some(before.between(next, (t - before.t_s) / (next.t_s - before.t_s)))
    }

    /// Largest line current \[A\].
    pub fn largest_rms_a(&self) -> f64 {
        self.rows.iter().fold(0.0, |m: f64, r| m.max(r.line_a))
    }

    /// Largest supply current \[A\].
    pub fn largest_supply_a(&self) -> f64 {
        self.rows.iter().fold(0.0, |m: f64, r| m.max(r.supply_a))
    }

    /// Lowest voltage at the load's terminals \[V\].
    pub fn lowest_terminal_v(&self) -> f64 {
        self.rows.iter().fold(f64::INFINITY, |m, r| m.min(r.terminal_v))
    }

    /// Square of the motor's current over the time of the start \[A2 s\]: until it reaches speed, else to the end of the attempt.
    pub fn heat_a2s(&self, phases: u32) -> f64 {
        let end = self.start_duration_s.unwrap_or(f64::INFINITY);
        let squared = |r: &Row| r.motor_a(phases).map(|a| a * a);
        let pairs = self.rows.windows(2).take_while(|pair| pair[0].t_s < end);
        pairs
            .map(|pair| {
                let (a, b) = (squared(&pair[0]), squared(&pair[1]));
                let (a, b) = (a.or(b).unwrap_or(0.0), b.or(a).unwrap_or(0.0));
                0.5 * (a + b) * (pair[1].t_s.min(end) - pair[0].t_s)
            })
            .sum()
    }

    /// Time from switch-on until the line current stays within 110 % of its settled value \[s\]; `None` for a start that
    /// does not settle.
    pub fn settling_time_s(&self) -> Option<f64> {
        if !self.starts() {
            return None;
        }
        let limit = 1.1 * self.settled?.line_a;
        let Some(last) = self.rows.iter().rposition(|r| r.line_a > limit) else { return Some(0.0) };
        let (a, b) = (&self.rows[last], self.rows.get(last + 1)?);
        let share = if a.line_a == b.line_a { 0.0 } else { (a.line_a - limit) / (a.line_a - b.line_a) };
        Some(a.t_s + share * (b.t_s - a.t_s))
    }

    /// Least ratio of motor to load torque from standstill to 0.9 of the settled speed, speeds a failed start did not reach
    /// included; infinite without load. At standstill the best the motor had there counts: a ramp may wait.
    pub fn least_torque_ratio(&self) -> f64 {
        let top = 0.9 * self.settled.map_or(self.sync_speed, |s| s.speed);
        let ratio = |r: &Row| if r.load_nm > 0.0 { r.torque_nm / r.load_nm } else { f64::INFINITY };
        let mut standing: f64 = 0.0;
        let mut least = self.ratio_ahead.unwrap_or(f64::INFINITY);
        for row in &self.rows {
            if row.speed == 0.0 {
                standing = standing.max(ratio(row));
            } else if row.speed <= top * (1.0 + 1e-9) {
                least = least.min(ratio(row));
            } else {
                break;
            }
        }
        least.min(standing)
    }

    /// The time of an event \[s\], the first of its kind.
    pub fn event_s(&self, kind: EventKind) -> Option<f64> {
        self.events.iter().find(|e| e.kind == kind).map(|e| e.t_s)
    }
}
