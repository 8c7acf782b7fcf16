"""The site files of the comparison: written out by reference.py as <case>.toml."""
import math

ANCHOR_MOTOR = dict(kind="two-winding", poles=2, r1_ohm=0.624, x1_ohm=0.601, xm_ohm=16.249, r2_ohm=0.76, x2_ohm=0.628,
                    r1a_ohm=2.351, x1a_ohm=1.217, turns_ratio=1.967, run_capacitor_uf=45.0, inertia_kgm2=0.0016)
ANCHOR_TORQUE = dict(rated_nm=3.23, rated_rpm=3450.0, c0=0.10, c1=0.65, c2=0.0, breakaway=0.12, build_up_s=8.0)
IEC = lambda curve, a: dict(standard="IEC 60898-1", curve=curve, rating_a=float(a))


def base():
    return dict(title="", standards="iec", ambient_c=30.0,
                supply=[dict(name="supply", kind="inverter", voltage_v=115.0, frequency_hz=60.0, phases=1, continuous_a=25.0,
                             surge=[dict(a=50.0, for_s=0.5), dict(a=37.5, for_s=10.0)], peak_current_a=250.0)],
                circuit=dict(breaker=IEC("C", 20)),
                load=[dict(name="motor", rated_voltage_v=115.0, locked_rotor_a=62.0, phases=1, pressure="equalised",
                           longest_start_s=3.0, motor_model=dict(ANCHOR_MOTOR), load_torque=dict(ANCHOR_TORQUE))])


def lra(site):
    """Locked-rotor current at rated voltage from the circuit itself, five digits, so that nothing is left to a fit."""
    from reference import Motor
    l = site["load"][0]
    m = Motor(l["motor_model"], l["phases"], site["supply"][0]["frequency_hz"])
    y, _ = m.at(0.0, [z for z, _ in m.capacitors(None)])
    return float("%.5g" % (abs(y) * l["rated_voltage_v"] / math.sqrt(l["phases"])))


def start_cap(site, uf=160.0, cut=0.75, **more):
    site["load"][0]["motor_model"].update(start_capacitor_uf=uf, cut_out_speed=cut, **more)


def machine(site, v, f, phases, motor, torque, longest=3.0):
    site["supply"][0].update(voltage_v=float(v), frequency_hz=float(f), phases=phases)
    l = site["load"][0]
    l.update(rated_voltage_v=float(v), phases=phases, motor_model=dict(motor), load_torque=dict(torque), longest_start_s=longest)


def supply(site, cont, surge, unit="a", kind=None, **more):
    s = site["supply"][0]
    s.pop("continuous_a", None)
    s["continuous_" + unit] = float(cont)
    s["surge"] = [{unit: float(x), "for_s": float(t)} for x, t in surge]
    if kind: s["kind"] = kind
    s.update(more)


Z = (230.0 / 110.0) ** 2
r4 = lambda x: float("%.5g" % x)
S1 = dict(kind="two-winding", poles=4, r1_ohm=r4(2.02 * Z), x1_ohm=r4(2.79 * Z), xm_ohm=r4(66.8 * Z), r2_ohm=r4(4.12 * Z),
          x2_ohm=r4(2.12 * Z), r1a_ohm=r4(7.14 * Z), x1a_ohm=r4(3.22 * Z), turns_ratio=1.18, inertia_kgm2=0.0146)
S1_RUN = dict(run_capacitor_uf=r4(15.42 * 1.2 / Z), run_capacitor_ohm=r4(9 * Z))
S1_START = dict(start_capacitor_uf=r4(182.9 * 1.2 / Z), start_capacitor_ohm=r4(3 * Z), cut_out_speed=0.75)
THREE_HP = dict(kind="three-phase", poles=4, r1_ohm=0.435, x1_ohm=0.754, xm_ohm=26.13, r2_ohm=0.816, x2_ohm=0.754, inertia_kgm2=0.089)
TEN_HP = dict(kind="three-phase", poles=4, r1_ohm=0.7384, x1_ohm=0.957, xm_ohm=38.99, r2_ohm=0.7402, x2_ohm=0.957, inertia_kgm2=0.0343)
FAN = lambda nm, rpm: dict(rated_nm=nm, rated_rpm=float(rpm), c0=0.05, c1=0.0, c2=0.95, breakaway=0.10, build_up_s=0.0)


def all_cases():
    out = {}

    def case(name, title, *edits, nameplate=None):
        s = base()
        s["title"] = title
        for e in edits: e(s)
        s["load"][0]["locked_rotor_a"] = nameplate or lra(s)
        out[name] = s
    L = lambda s: s["load"][0]
    assist = lambda uf=160.0, cut=0.75: lambda s: L(s).update(assist_capacitor_uf=uf, assist_cut_out_speed=cut)
    brk = lambda b: lambda s: s["circuit"].update(breaker=b)
    starter = lambda **kw: lambda s: L(s).update(starter=kw)
    ul = lambda a: lambda s: (s.update(standards="north-america", ambient_c=25.0),
                              brk(dict(standard="UL 489", rating_a=float(a)))(s))

    def unequal(c0, breakaway, build_up):
        return lambda s: L(s).update(pressure="unequal",
                                     load_torque_unequal=dict(c0=c0, breakaway=breakaway, build_up_s=build_up))

    def soft(ohm=0.05, x=0.03, rc=0.0, xc=0.0, volts=120.0):
        def e(s):
            s["supply"][0].update(voltage_v=volts, output_ohm=ohm, output_reactance_ohm=x)
            if rc or xc: s["circuit"]["conductor"] = dict(resistance_ohm=rc, reactance_ohm=xc)
        return e

    def running(behaviour, va=600.0, pf=0.9):
        d = dict(name="other loads", va=va, power_factor=pf)
        if behaviour: d["behaviour"] = behaviour
        return lambda s: s.update(running=[d])

    # --- the anchor machine
    case("anchor", "two-winding motor on a stiff supply", assist(), nameplate=62.0)
    case("unequal-pressure", "the same straight after stopping", assist(), unequal(0.18, 0.21, 0.6), nameplate=62.0)
    case("start-capacitor", "the same with its own start capacitor", start_cap)
    case("start-capacitor-unequal", "start capacitor, unequal pressure", start_cap, unequal(0.5, 0.6, 0.3))
    case("source-and-conductor", "source impedance and conductor", soft(0.10, 0.06, 0.15, 0.02), assist(120.0, 0.7))
    case("running-impedance", "constant-impedance loads already on", soft(0.10, 0.06), running("impedance"), assist())
    case("running-power", "constant-power loads already on", soft(0.10, 0.06), running("power"), assist())
    case("running-both", "running loads of unknown behaviour on a weak supply", soft(0.40, 0.20, 0.1, 0.01), running(None, 900.0), assist())
    # --- breakers
    for a in (15, 20, 30, 60):
        case("ul489-%d" % a, "UL 489 %d A" % a, ul(a), lambda s: supply(s, 30, [(80, 1), (60, 5)]))
    wide = lambda s: supply(s, 30, [(80, 1), (60, 5)])
    case("iec-b-25", "IEC 60898-1 B 25", brk(IEC("B", 25)), wide)
    case("iec-d-16", "IEC 60898-1 D 16", brk(IEC("D", 16)), wide, start_cap)
    case("iec-c-40", "IEC 60898-1 C 40 (other thermal gates), heavy load slow to start", brk(IEC("C", 40)), wide, start_cap,
         lambda s: (L(s)["motor_model"].update(inertia_kgm2=0.012), L(s).update(longest_start_s=6.0)))
    case("iec-c-10-trips", "IEC 60898-1 C 10, slow start: trips for certain", brk(IEC("C", 10)), wide,
         lambda s: (start_cap(s), L(s)["motor_model"].update(inertia_kgm2=0.10), L(s).update(longest_start_s=9.0)))
    case("iec-c-80", "IEC 60898-1 C 80 (two hours conventional time)", brk(IEC("C", 80)), wide)
    case("maker-points", "maker's curve", brk(dict(standard="UL 489", rating_a=20.0,
         fast=[dict(multiple=1.05, s=3000.0), dict(multiple=2.0, s=15.0), dict(multiple=4.0, s=2.0), dict(multiple=6.0, s=0.7)],
         slow=[dict(multiple=1.35, s=3600.0), dict(multiple=2.0, s=90.0), dict(multiple=4.0, s=11.0), dict(multiple=12.0, s=0.1)],
         instantaneous=[6.0, 12.0])), wide, lambda s: s.update(ambient_c=25.0))
    # --- starters
    case("limiter-reduction", "limiter, 22 % reduction", starter(kind="limiter", reduction=0.22))
    case("limiter-amps-capacitor", "limiter 25 A with a start capacitor",
         starter(kind="limiter", largest_a=25.0, assist_capacitor_uf=160.0, cut_out_speed=0.75), soft(0.05, 0.03, 0.1, 0.01))
    case("limiter-source", "limiter 45 A behind source and conductor", starter(kind="limiter", largest_a=48.0),
         soft(0.08, 0.05, 0.1, 0.01))
    case("ramp", "voltage ramp", starter(kind="ramp", initial_fraction=0.75, ramp_s=0.8))
    case("ramp-waits", "voltage ramp from low: waits at standstill, then starts",
         starter(kind="ramp", initial_fraction=0.3, ramp_s=1.0))
    case("ramp-capacitor", "voltage ramp with a start capacitor",
         starter(kind="ramp", initial_fraction=0.5, ramp_s=1.0, assist_capacitor_uf=160.0, cut_out_speed=0.75))
    case("two-intervals", "a window of two parts", start_cap, brk(IEC("D", 25)),
         lambda s: supply(s, 25, [(55, 0.21), (30, 5)]))
    # --- three-phase
    def three_hp(s):
        machine(s, 220, 60, 3, THREE_HP, FAN(11.9, 1710), 5.0)
        supply(s, 8000, [(32000, 1.0), (16000, 8.0)], "va", output_ohm=0.05, output_reactance_ohm=0.08, peak_current_a=2000.0)
        brk(IEC("D", 20))(s)
    case("three-phase-3hp", "three-phase 3 hp with a fan", three_hp)
    case("three-phase-3hp-limiter", "the same on a limiter", three_hp, starter(kind="limiter", reduction=0.5))
    def ten_hp(s):
        machine(s, 400, 50, 3, TEN_HP, FAN(49.0, 1440), 10.0)
        L(s)["motor_model"]["inertia_kgm2"] = 0.6
        supply(s, 22000, [(80000, 2.0), (44000, 10.0)], "va", "shore", output_ohm=0.10, output_reactance_ohm=0.06, peak_current_a=4000.0)
        s["circuit"] = dict(breaker=IEC("C", 32), conductor=dict(resistance_ohm=0.12, reactance_ohm=0.01))
    case("three-phase-400v-fan", "three-phase 400 V 50 Hz, heavy fan, shore supply", ten_hp)
    case("three-phase-400v-ramp", "the same on a voltage ramp, other loads on", ten_hp, running(None, 3000.0, 0.95),
         starter(kind="ramp", initial_fraction=0.4, ramp_s=3.0))
    # --- other single-phase windings, 230 V 50 Hz
    def s1(*parts, c0=0.3):
        m = dict(S1)
        for p in parts: m.update(p)
        def e(s):
            machine(s, 230, 50, 1, m, dict(rated_nm=1.2, rated_rpm=1420.0, c0=c0, c1=0.3, c2=0.7 - c0, breakaway=c0 + 0.1, build_up_s=2.0))
            supply(s, 1200, [(2600, 1.5), (1800, 8.0)], "va", output_ohm=0.8, output_reactance_ohm=0.4, peak_current_a=200.0)
            brk(IEC("C", 6))(s)
        return e
    case("single-phase-230v", "capacitor start and run, 230 V 50 Hz", s1(S1_RUN, S1_START))
    case("capacitor-start", "capacitor start, auxiliary open when running", s1(S1_START))
    case("split-phase", "split phase: auxiliary without capacitor until the cut-out speed", s1(dict(cut_out_speed=0.75)))
    case("open-auxiliary", "main winding alone: no torque at standstill",
         lambda s: (s1()(s), [L(s)["motor_model"].pop(k) for k in ("r1a_ohm", "x1a_ohm", "turns_ratio")]))
    # --- starts that fail
    case("stalls", "cannot break away", unequal(0.45, 0.55, 0.5), assist(), nameplate=62.0)
    case("hangs", "hangs part way under a limiter", three_hp, starter(kind="limiter", largest_a=12.0),
         lambda s: (L(s).update(longest_start_s=20.0), L(s)["load_torque"].update(rated_nm=14.0)))
    weak = lambda ohm: lambda s: (supply(s, 8000, [(32000, 1.0), (16000, 8.0)], "va", output_ohm=ohm, output_reactance_ohm=ohm),
                                  L(s)["load_torque"].update(rated_nm=16.0))
    case("low-running-voltage", "starts, but runs below 0.9 of its rated voltage", three_hp, weak(1.8))
    case("no-settled-state", "too weak a supply: never gets near its speed", three_hp, weak(4.0),
         lambda s: L(s).update(longest_start_s=20.0))
    case("too-slow", "would start, but longest_start_s ends it", start_cap,
         lambda s: (L(s)["motor_model"].update(inertia_kgm2=0.05), L(s).update(longest_start_s=2.0)))
    return out


def toml(site):
    def val(v):
        if isinstance(v, str): return '"%s"' % v
        if isinstance(v, bool): return str(v).lower()
        if isinstance(v, list): return "[" + ", ".join(val(x) for x in v) + "]"
        if isinstance(v, dict): return "{ " + ", ".join("%s = %s" % (k, val(x)) for k, x in v.items()) + " }"
        return repr(v)
    lines = []

    def table(d, head, inline=()):
        if head: lines.extend(["", head])
        sub = {k: v for k, v in d.items() if isinstance(v, dict) and k in ("motor_model", "load_torque", "load_torque_unequal")}
        lines.extend("%s = %s" % (k, val(v)) for k, v in d.items() if k not in sub)
        for k, v in sub.items(): table(v, "[load.%s]" % k)
    table({k: v for k, v in site.items() if k not in ("supply", "circuit", "running", "load")}, "")
    for s in site["supply"]: table(s, "[[supply]]")
    if "circuit" in site: table(site["circuit"], "[circuit]")
    for r in site.get("running", []): table(r, "[[running]]")
    for l in site["load"]: table(l, "[[load]]")
    return "\n".join(lines).lstrip() + "\n"
