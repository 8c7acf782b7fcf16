"""Independent implementation of the startmargin models, with numpy and scipy.

Written from the design alone, without a look at the Rust sources, so that the two can be compared.
It covers the envelope level: Thevenin supply, running loads, conductor, two-winding and single-cage
three-phase motors, load torque, direct / limiter / ramp starters, start capacitors, and the checks
surge, breaker, continuous, acceleration, terminal-voltage and the reduction window.

    python3 reference.py          write every <case>.toml (from cases.py) and expected.json beside this file
    python3 reference.py NAME..   compute the named site files and print them (nothing is written)

Machines: the 115 V two-winding machine is the one written out in the design. "three_hp" is the 3 hp
machine of P. C. Krause et al., Analysis of Electric Machinery. "ten_hp" is the generic 10 hp 400 V 50 Hz
record of the Buildings library. "s1" has main winding and rotor of Fitzgerald, Electric Machinery, Ex 9.2, its
auxiliary and capacitors after Krause's single-phase chapter, here scaled to 230 V 50 Hz
(impedances x (230/110)^2, reactances taken as those at 50 Hz, capacitors x 60/50 / (230/110)^2).
"""
import json, math, os, sys, tomllib
import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))


# ------------------------------------------------------------------ motors: admittance and torque per V^2
class Motor:
    """A machine at one speed: at(w, caps) -> (admittance per phase, torque per phase-volt squared)."""

    def __init__(self, m, phases, f):
        self.m, self.phases, self.f = m, phases, f
        self.ws = 4 * math.pi * f / m["poles"]
        self.J = m["inertia_kgm2"]
        g = m.get
        self.run_uf, self.start_uf = g("run_capacitor_uf", 0.0), g("start_capacitor_uf", 0.0)
        self.cut = g("cut_out_speed")
        # no capacitor at all but a cut-out speed: split phase; no auxiliary resistance given: open auxiliary
        self.open_aux = phases == 1 and g("r1a_ohm") is None
        self.split = phases == 1 and not self.open_aux and not self.run_uf and not self.start_uf and self.cut is not None

    def capacitors(self, assist):
        """[(ohm, cut-out speed or None)]: the parallel paths in series with the auxiliary winding."""
        if self.phases == 3 or self.open_aux:
            return []
        xc = lambda uf: -1j / (2 * math.pi * self.f * uf * 1e-6)
        out = []
        if self.run_uf:
            out.append((self.m.get("run_capacitor_ohm", 0.0) + xc(self.run_uf), None))
        if self.start_uf:
            out.append((self.m.get("start_capacitor_ohm", 0.0) + xc(self.start_uf), self.cut))
        if self.split:
            out.append((0j, self.cut))
        if assist:
            out.append((xc(assist[0]), assist[1]))
        return out

    def at(self, w, paths):
        m, s = self.m, 1 - w / self.ws
        r2, x2, xm = m["r2_ohm"], m["x2_ohm"], m["xm_ohm"]
        rotor = lambda sl: 1j * xm * (r2 + 1j * sl * x2) / (r2 + 1j * sl * (x2 + xm))  # jxm || (r2/s + jx2)
        if self.phases == 3:
            y = 1 / (m["r1_ohm"] + 1j * m["x1_ohm"] + rotor(s))
            per = abs(y * 1j * xm / (r2 + 1j * s * (x2 + xm))) ** 2 * s * r2  # |I2|^2 r2/s, finite at s = 0
            return y, 3 * per / self.ws
        zf, zb = 0.5 * rotor(s), 0.5 * rotor(2 - s)
        z11 = m["r1_ohm"] + 1j * m["x1_ohm"] + zf + zb
        if not paths:
            im, ia, a = 1 / z11, 0.0, 0.0
        else:
            a = m["turns_ratio"]
            zc = 0j if any(z == 0 for z in paths) else 1 / sum(1 / z for z in paths)
            z22 = zc + m["r1a_ohm"] + 1j * m["x1a_ohm"] + a * a * (zf + zb)
            c = 1j * a * (zf - zb)
            det = z11 * z22 + c * c
            im, ia = (z22 + c) / det, (z11 - c) / det
        fwd, back = abs(im - 1j * a * ia) ** 2, abs(im + 1j * a * ia) ** 2
        return im + ia, (fwd * zf.real - back * zb.real) / self.ws


class LoadTorque:
    def __init__(self, d, ws):
        self.Tr, self.wr = d["rated_nm"], d["rated_rpm"] * math.pi / 30
        self.c0, self.c1, self.c2 = d.get("c0", 0.0), d.get("c1", 0.0), d.get("c2", 0.0)
        self.breakaway = max(self.c0, d.get("breakaway", 0.0)) * self.Tr
        self.tau = d.get("build_up_s", 0.0)

    def at(self, w, t):
        b = 1.0 if not self.tau or t is None else 1 - np.exp(-t / self.tau)     # t None: build-up complete
        x = w / self.wr
        return self.Tr * (self.c0 + (self.c1 * x + self.c2 * x * x) * b)


# ------------------------------------------------------------------ one resolved start
class Case:
    def __init__(self, site):
        sup, load = site["supply"][0], site["load"][0]
        self.site, self.sup, self.load = site, sup, load
        self.f, self.phases = sup["frequency_hz"], sup.get("phases", 1)
        root = math.sqrt(self.phases)
        self.V = sup["voltage_v"]
        self.vn = self.V / root                                        # per phase
        self.root = root
        self.zs = sup.get("output_ohm", 0.0) + 1j * sup.get("output_reactance_ohm", 0.0)
        circuit = site.get("circuit", {})
        c = circuit.get("conductor", {})
        self.zc = c.get("resistance_ohm", 0.0) + 1j * c.get("reactance_ohm", 0.0)
        amps = lambda d, key: d[key + "_a"] if key + "_a" in d else d[key + "_va"] / (root * self.V)
        self.continuous = amps(sup, "continuous")
        self.ratings = sorted((s["a"] if "a" in s else s["va"] / (root * self.V), s["for_s"]) for s in sup.get("surge", []))
        self.breaker = circuit.get("breaker")
        self.motor = Motor(load["motor_model"], self.phases, self.f)
        torque = dict(load["load_torque"])
        self.warm = load["pressure"] == "unequal"
        if self.warm:
            torque.update(load.get("load_torque_unequal", {}))
        self.torque = LoadTorque(torque, self.motor.ws)
        self.rated = load["rated_voltage_v"]
        self.lra = load["locked_rotor_a"] * self.V / self.rated        # at the supply's voltage
        self.longest = load["longest_start_s"]
        self.starter = load.get("starter")
        st = self.starter or {}
        self.assist = (st["assist_capacitor_uf"], st["cut_out_speed"]) if "assist_capacitor_uf" in st else None
        self.window_assist = self.assist or (
            (load["assist_capacitor_uf"], load["assist_cut_out_speed"]) if "assist_capacitor_uf" in load else None)
        # running loads: (constant-impedance power, constant-power power) per phase, one pair for each reading
        self.variants = {}
        fixed, power, free = 0j, 0j, 0j
        for r in site.get("running", []):
            pf = r.get("power_factor", 1.0)
            s = r["va"] / self.phases * (pf + 1j * math.sqrt(1 - pf * pf))
            if r.get("behaviour") == "impedance": fixed += s
            elif r.get("behaviour") == "power": power += s
            else: free += s
        self.variants["impedance"] = (fixed + free, power)
        if free: self.variants["power"] = (fixed, power + free)
        elif power and not fixed: self.variants = {"power": (0j, power)}

    def limit_of(self, st):
        return st["largest_a"] if "largest_a" in st else (1 - st["reduction"]) * self.lra

    def network(self, y, ramp, limit, running):
        """Phase current of the motor branch, supply current, |V| at supply, load and motor terminals."""
        zm = 1 / y
        si, sp = running
        yi = np.conj(si) / self.vn ** 2
        v = self.vn
        for _ in range(200):
            yr = yi + (np.conj(sp) / np.maximum(v, 0.7 * self.vn) ** 2 if sp else 0)
            e1 = self.vn / (1 + self.zs * yr)
            z1 = self.zs / (1 + self.zs * yr) + self.zc
            k = ramp
            if limit is not None:                                      # |u zm + z1| = e1 / limit, u = 1/k
                re, m2 = (zm * np.conj(z1)).real, abs(zm) ** 2
                disc = re * re - m2 * (abs(z1) ** 2 - (abs(e1) / limit) ** 2)
                k = 1 / np.maximum(1.0, (-re + np.sqrt(np.maximum(disc, 0))) / m2)
            i = k * e1 / (zm + k * z1)
            vs = (self.vn - self.zs * i) / (1 + self.zs * yr)
            new = abs(vs)
            if not sp or np.max(abs(new - v)) < 1e-12 * self.vn:
                break
            v = new
        return dict(line=abs(i), supply=abs(i + yr * vs), vs=new, vt=abs(vs - self.zc * i), vm=abs(i * zm), k=k)


class Run:
    """Simulation of one start: starter = None | dict(kind=limiter, amps) | dict(kind=ramp, ...)."""

    def __init__(self, case, starter, assist, running, fine=12000):
        self.c, self.running, self.fine = case, running, fine
        self.paths = case.motor.capacitors(assist)
        self.limit = case.limit_of(starter) if starter and starter["kind"] == "limiter" else None
        self.ramp = (starter["initial_fraction"], starter["ramp_s"]) if starter and starter["kind"] == "ramp" else None
        self.solve()

    def k(self, t):
        if self.ramp is None or t is None: return 1.0
        k0, tr = self.ramp
        return np.minimum(1.0, k0 + (1 - k0) * t / tr) if tr > 0 else 1.0

    def state(self, w, t, paths):
        y, tq = self.c.motor.at(w, paths)
        n = self.c.network(y, self.k(t), self.limit, self.running)
        n["T"] = tq * n["vm"] ** 2
        n["TL"] = self.c.torque.at(w, t)
        return n

    def settle(self):
        """Highest-speed stable equilibrium at full load torque at or above 0.8 of synchronous speed."""
        ws = self.c.motor.ws
        run = [z for z, cut in self.paths if cut is None or cut > 1]
        g = lambda w: (lambda n: n["T"] - n["TL"])(self.state(w, None, run))
        w = np.linspace(ws * (1 - 1e-9), 0.8 * ws, 2001)
        d = g(w)
        for j in range(1, len(w)):
            if d[j - 1] < 0 <= d[j]:
                self.w_set = brentq(lambda x: float(g(x)), w[j], w[j - 1], xtol=1e-12)
                self.settled = self.state(self.w_set, None, run)
                _, tq = self.c.motor.at(np.linspace(0, ws, 4001), run)     # at the settled terminal voltage
                self.pull_out = float(np.max(tq) * self.settled["vt"] ** 2 / self.settled["TL"])
                return
        self.w_set = self.settled = self.pull_out = None

    def solve(self):
        c, ws = self.c, self.c.motor.ws
        self.settle()
        target = 0.95 * self.w_set if self.w_set else None
        end = c.longest
        active = [(z, ws * cut if cut is not None and cut <= 1 else None) for z, cut in self.paths]
        segs, t, w, self.duration, self.ended, self.waited = [], 0.0, 0.0, None, "time", False
        now = lambda: [z for z, _ in active]
        free = lambda tt: float(self.state(0.0, tt, now())["T"]) - c.torque.breakaway
        if free(0.0) <= 0:                                             # waits at standstill, perhaps for ever
            stop = end
            if self.ramp and free(min(end, self.ramp[1])) > 0:
                stop = brentq(free, 0, min(end, self.ramp[1]), xtol=1e-12)
            tt = np.linspace(0, stop, self.fine)
            segs.append((tt, 0 * tt, now()))
            t, self.waited = stop, True
            if t >= end: self.ended = "standstill"
        rhs = lambda tt, x: [float(self.dw(x[0], tt, paths))]
        while t < end:
            paths = now()
            cuts = sorted(cw for _, cw in active if cw is not None)
            ev = [lambda tt, x: x[0] + 1e-6 * ws]
            ev[0].direction, ev[0].terminal = -1, True
            aims = ([target] if target and self.duration is None else []) + cuts[:1]
            for a in aims:
                e = lambda tt, x, a=a: x[0] - a
                e.direction, e.terminal = 1, True
                ev.append(e)
            sol = solve_ivp(rhs, (t, end), [w], method="LSODA", rtol=1e-9, atol=1e-8 * ws * 1e-2, events=ev,
                            dense_output=True, max_step=max(end / 50, 1e-3))
            t1 = sol.t[-1]
            u = np.linspace(0, 1, self.fine)                           # after the start: dense where it still changes
            tt = t + (t1 - t) * (u if self.duration is None else u ** 3)
            segs.append((tt, np.maximum(sol.sol(tt)[0], 0.0), paths))
            t, w = t1, float(sol.y[0, -1])
            if sol.status != 1: break
            if len(sol.t_events[0]):                                   # fell back to standstill: stalled
                self.ended = "standstill"
                tt = np.linspace(t, end, self.fine)
                segs.append((tt, 0 * tt, paths)); t = end
            if target and self.duration is None and w >= target * (1 - 1e-12): self.duration = t1
            active = [(z, cw) for z, cw in active if cw is None or w < cw * (1 - 1e-12)]
        self.reaches = self.duration is not None
        self.w_end = w if self.ended != "standstill" else 0.0
        self.paths_end = segs[-1][2]
        keys = ("line", "supply", "vs", "vt", "vm", "T", "TL")
        col = {k: [] for k in keys}
        self.cells = []                                                # (dt, line, supply) of each cell
        for tt, sp, p in segs:
            n = self.state(sp, tt, p)
            for k in keys: col[k].append(np.broadcast_to(n[k], tt.shape))
            mid = lambda a: 0.5 * (a[1:] + a[:-1])
            self.cells.append((np.diff(tt), mid(col["line"][-1]), mid(col["supply"][-1])))
        self.t, self.w = np.concatenate([s[0] for s in segs]), np.concatenate([s[1] for s in segs])
        for k in keys: setattr(self, k, np.concatenate(col[k]))
        self.dt, self.cell_line, self.cell_supply = (np.concatenate(x) for x in zip(*self.cells))

    def dw(self, w, t, paths):
        n = self.state(max(w, 0.0), t, paths)
        return (n["T"] - n["TL"]) / self.c.motor.J

    def settling(self):
        if not self.reaches: return None
        above = np.nonzero(self.line > 1.1 * self.settled["line"])[0]
        if not len(above): return 0.0
        j = above[-1]
        if j + 1 == len(self.t): return None
        a, b, lim = self.line[j], self.line[j + 1], 1.1 * self.settled["line"]
        return float(self.t[j] + (self.t[j + 1] - self.t[j]) * ((a - lim) / (a - b) if a > b else 0))

    def torque_ratio(self, extend=False):
        """Least motor torque over load torque from standstill to 0.9 of the settled speed."""
        top = 0.9 * (self.w_set or self.c.motor.ws)
        use = self.w <= top
        tl = np.where(self.w <= 0, self.c.torque.breakaway, self.TL)
        every = self.T / np.maximum(tl, 1e-12)
        ratio, j = every[use], int(np.argmax(~use))
        if j > 0:                                                      # the end of the range itself
            ratio = np.append(ratio, np.interp(top, self.w[j - 1:j + 1], every[j - 1:j + 1]))
        if self.w_end == 0 and self.waited: ratio = ratio[-1:]           # never moved: what it had in the end
        elif self.waited: ratio = np.append(ratio[(np.append(self.w[use], top) > 0)[:len(ratio)]], 1.0)  # at the moment it broke away
        least = float(np.min(ratio)) if len(ratio) else math.inf
        if extend and not self.reaches and self.w_end < top:           # speeds never reached, at the end of the attempt
            w = np.linspace(max(self.w_end, 1e-3), top, 800)
            n = self.state(w, np.full_like(w, self.c.longest), self.paths_end)
            least = min(least, float(np.min(n["T"] / n["TL"])))
        return least


# ------------------------------------------------------------------ breakers: time at constant current
def power_law(points):
    """[(multiple, seconds)] -> (log x, log t); straight lines on log-log, infinite below the first."""
    return np.log([p[0] for p in points]), np.log([p[1] for p in points])


def edges(b, f):
    """{guaranteed, fast, slow}: functions of I/In giving the rate 1/T, and the pickup of each (I/In)."""
    In, half = b["rating_a"], 0.5 / f

    def smooth(points, above, last):                                   # rate: 0 below, power law, 1/last above `above`
        lx, lt = power_law(points)
        return lambda x: np.where(x < points[0][0], 0.0, np.where(x > above, 1 / last,
                                                                  np.exp(-np.interp(np.log(x), lx, lt))))
    if "fast" in b:
        lo, hi = b["instantaneous"]
        fast = [(p["multiple"], p["s"]) for p in b["fast"]]
        slow = [(p["multiple"], p["s"]) for p in b["slow"]]
        e = dict(fast=smooth(fast, lo, half), slow=smooth(slow, hi, min(0.1, slow[-1][1])))
        return dict(e, guaranteed=e["fast"], pick=dict(guaranteed=fast[0][0], fast=fast[0][0], slow=slow[0][0]), modelled=False)
    if b["standard"] == "IEC 60898-1":
        h, m = {"B": (3, 5), "C": (5, 10), "D": (10, 20)}[b["curve"]]
        conv = 3600.0 if In <= 63 else 7200.0
        mid, low = (60.0, dict(B=45.0, C=15.0, D=4.0)[b["curve"]]) if In <= 32 else (120.0, dict(B=90.0, C=30.0, D=8.0)[b["curve"]])
        step = lambda x: np.where(x <= 1.13, 0.0, np.where(x <= 2.55, 1.0, np.where(x <= h, 10.0, np.inf)))
        return dict(guaranteed=step, fast=smooth([(1.13, conv), (2.55, 1.0), (h, 0.1)], h, half),
                    slow=smooth([(1.45, conv), (2.55, mid), (h, low), (m, 0.1)], m, 0.1),
                    pick=dict(guaranteed=1.13, fast=1.13, slow=1.45), modelled=True)
    conv = 3600.0 if In <= 50 else 7200.0
    i = 0 if In <= 30 else 1 if In <= 50 else 2
    two, three = (120.0, 240.0, 360.0)[i], (50.0, 80.0, 140.0)[i]
    return dict(guaranteed=lambda x: np.where(x <= 1.0, 0.0, np.inf),
                fast=smooth([(1, conv), (1.35, 60), (2, 10), (3, 3.5), (4, 1.7), (5, 0.9)], 5, half),
                slow=smooth([(1.35, conv), (2, two), (3, three), (20, three * 9 / 400)], 20, 0.1),
                pick=dict(guaranteed=1.0, fast=1.0, slow=1.35), modelled=True)


# ------------------------------------------------------------------ checks
def largest(holds):
    """Largest k that still holds, minus one; None when unbounded."""
    lo, hi = 1e-4, 1e4
    if holds(hi): return None
    if not holds(lo): return -1.0
    for _ in range(50):
        mid = math.sqrt(lo * hi)
        lo, hi = (mid, hi) if holds(mid) else (lo, mid)
    return lo - 1


def surge(case, run):
    steps = sorted([(case.continuous, math.inf)] + case.ratings)
    amps, secs = np.array([s[0] for s in steps]), np.array([s[1] for s in steps])
    rate = np.append(1 / secs, np.inf)
    peak, dt, i = run.supply.max(), run.dt, run.cell_supply
    last = run.settled["supply"] if run.reaches else 0.0

    def model(k):
        if k * peak > amps[-1] * (1 + 1e-9) or k * last > case.continuous * (1 + 1e-9): return False
        return np.sum(dt * rate[np.minimum(np.searchsorted(amps * (1 + 1e-9), k * i), len(steps) - 1)]) < 1

    def alone(k):
        if k * peak > amps[-1] * (1 + 1e-9) or k * last > case.continuous * (1 + 1e-9): return False
        return all(np.sum(dt[k * i > amps[j - 1]]) <= secs[j] for j in range(1, len(steps)))
    m = largest(model)
    return dict(margin_guaranteed=m, margin=m, margin_to_fail=largest(alone))


def breaker(case, run):
    b, e = case.breaker, edges(case.breaker, case.f)
    peak, dt, x = run.line.max() / b["rating_a"], run.dt, run.cell_line / b["rating_a"]
    last = (run.settled["line"] if run.reaches else 0.0) / b["rating_a"]
    # straight after stopping it is warm from the settled current: nothing is promised above what it carries for ever, and the
    # fast edge is shortened (one body) below the instantaneous trip
    before = 0.0
    if case.warm:
        before = (run.settled["line"] if run.settled else case.load["rated_load_a"]) / b["rating_a"]
        pick, h = e["pick"], {"B": 3, "C": 5, "D": 10}[b["curve"]]
        e["guaranteed"] = lambda x: np.where(x <= pick["guaranteed"], 0.0, np.inf)

    def shortened(which, k, x, r):
        if not case.warm or which != "fast": return r
        u, p = np.minimum(x, h) ** 2, (k * before) ** 2
        kp = e["pick"]["fast"] ** 2
        if p >= kp: return np.where(r > 0, np.inf, 0.0)
        with np.errstate(all="ignore"):
            share = np.log((u - p) / (u - kp)) / np.log(u / (u - kp))
        return np.where((r > 0) & (x <= h), r / share, r)

    def reading(which):
        def holds(k):
            if k * last > e["pick"][which] * (1 + 1e-9): return False
            if not np.isfinite(e[which](np.array(k * peak / (1 + 1e-9)))): return False
            r = shortened(which, k, k * x, e[which](k * x / (1 + 1e-9)))
            return np.all(np.isfinite(r)) and np.sum(dt * r) < 1
        return largest(holds)
    return dict(margin_guaranteed=reading("guaranteed"), margin=reading("fast"), margin_to_fail=reading("slow"))


def status(r, modelled=False, force_fail=False):
    inf = lambda v: math.inf if v is None else v
    if force_fail or inf(r["margin_to_fail"]) < 0: return "fail"
    if inf(r["margin_guaranteed"]) >= -1e-9 or modelled and inf(r["margin"]) >= 0.25: return "pass"
    return "uncertain"


def checks(case, run, all_of_them=True):
    out = {}
    s = surge(case, run)
    out["surge"] = dict(s, status=status(s))
    if case.breaker:
        b = breaker(case, run)
        out["breaker"] = dict(b, status=status(b, modelled="fast" not in case.breaker))
    a = run.torque_ratio() - 1
    out["acceleration"] = dict(margin_guaranteed=a, margin=a, margin_to_fail=a,
                               status="pass" if run.reaches and a >= -1e-9 else "fail")
    if not all_of_them: return out
    out["acceleration"].update(margin_with_speeds_not_reached=run.torque_ratio(True) - 1,
                               pull_out_ratio=run.pull_out,
                               time_margin=case.longest / run.duration - 1 if run.reaches else None)
    if run.settled and run.reaches:
        k = case.continuous / run.settled["supply"]
        f = k
        if case.breaker:
            k = min(k, case.breaker["rating_a"] / run.settled["line"])
            f = min(f, edges(case.breaker, case.f)["pick"]["slow"] * case.breaker["rating_a"] / run.settled["line"])
        r = dict(margin_guaranteed=k - 1, margin=k - 1, margin_to_fail=f - 1)
        out["continuous"] = dict(r, status=status(r))
        e, v, lim = case.V, run.settled["vt"] * case.root, 0.9 * case.rated
        m = (e - lim) / (e - v) - 1 if e - v > 1e-9 * e else None
        r = dict(margin_guaranteed=m, margin=m, margin_to_fail=m)
        out["terminal-voltage"] = dict(r, status="pass" if v >= lim else "fail", running_v=float(v), limit_v=lim,
                                       margin_as_voltage_ratio=float(v / lim - 1))
    return out


def worse(a, b):
    """Two variants of one start: the lower margin and the worse status of each check."""
    rank = ["pass", "uncertain", "fail"]
    out = {}
    for cid in list(a) + [c for c in b if c not in a]:
        if cid not in a or cid not in b:
            out[cid] = a.get(cid) or b.get(cid); continue
        out[cid] = {k: (rank[max(rank.index(a[cid][k]), rank.index(b[cid][k]))] if k == "status" else
                        min((x for x in (a[cid][k], b[cid][k]) if x is not None), default=None)) for k in a[cid]}
    return out


# ------------------------------------------------------------------ reduction window
def window(case, assist, step=0.01, tol=2e-4):
    def at(r):
        st = dict(kind="limiter", reduction=r)
        runs = [Run(case, st, assist, v, fine=4000) for v in case.variants.values()]
        reach = all(q.reaches for q in runs)
        ok = reach and all(x["status"] == "pass" for q in runs for x in checks(case, q, False).values())
        return reach, ok
    grid = [j * step for j in range(int(round(1 / step)))]
    res = [at(r) for r in grid]

    def border(a, b, which):                                           # last r like a, first like b
        lo, hi, first = a, b, at(a)[which]
        while hi - lo > tol:
            mid = 0.5 * (lo + hi)
            lo, hi = (mid, hi) if at(mid)[which] == first else (lo, mid)
        return 0.5 * (lo + hi)
    passes, start, most = [], grid[0] if res[0][1] else None, grid[0] if res[0][0] else None
    for a, b, ra, rb in zip(grid, grid[1:], res, res[1:]):
        if ra[1] != rb[1]:
            x = border(a, b, 1)
            if rb[1]: start = x
            else: passes.append([start, x]); start = None
        if rb[0]: most = b
        elif ra[0]: most = border(a, b, 0)
    if start is not None: passes.append([start, grid[-1]])
    return dict(passes=passes, needed=passes[0][0] if passes else None, most=most)


def evaluate(site, windows=True):
    case = Case(site)
    out, all_checks = None, None
    for name, running in case.variants.items():
        run = Run(case, case.starter, case.assist, running)
        one = dict(reaches_speed=run.reaches, start_duration_s=run.duration, settling_time_s=run.settling(),
                   largest_rms_a=run.line.max(), settled_a=run.settled and run.settled["line"],
                   lowest_terminal_v=min([run.vt.min()] + ([run.settled["vt"]] if run.reaches else [])) * case.root,
                   lowest_motor_v=run.vm.min() * case.root, largest_supply_a=run.supply.max(),
                   settled_rpm=run.w_set and run.w_set * 30 / math.pi, end_rpm=run.w_end * 30 / math.pi,
                   attempt="reached" if run.reaches else ("standstill" if run.ended == "standstill" else "turning at the end"))
        ch = checks(case, run)
        if len(case.variants) > 1: one["checks"] = ch
        if out is None: out, all_checks = dict(one), ch
        else:
            for k in ("start_duration_s", "settling_time_s", "largest_rms_a", "settled_a", "largest_supply_a"):
                out[k] = None if out[k] is None or one[k] is None else max(out[k], one[k])
            for k in ("lowest_terminal_v", "lowest_motor_v"): out[k] = min(out[k], one[k])
            out["reaches_speed"] &= one["reaches_speed"]
            all_checks = worse(all_checks, ch)
        if len(case.variants) > 1: out.setdefault("variants", {})[name] = one
    out.pop("checks", None)
    out["locked_rotor_a_at_supply"] = case.lra
    st = [c["status"] for c in all_checks.values()]
    out["verdict_of_these_checks"] = "fails" if "fail" in st else "uncertain" if "uncertain" in st else "starts"
    out["checks"] = all_checks
    if windows:
        out["reduction"] = window(case, None)
        if case.window_assist: out["reduction"]["with_capacitor"] = window(case, case.window_assist)
    return out


def rounded(x):
    if isinstance(x, dict): return {k: rounded(v) for k, v in x.items()}
    if isinstance(x, (list, tuple)): return [rounded(v) for v in x]
    if isinstance(x, (float, np.floating)): return float("%.7g" % x) if math.isfinite(x) else None
    return bool(x) if isinstance(x, np.bool_) else x


def work(item):
    name, text = item
    return name, rounded(evaluate(tomllib.loads(text)))


def main():
    if len(sys.argv) > 1:
        for name in sys.argv[1:]:
            with open(os.path.join(HERE, name + ".toml"), "rb") as f:
                print(name, json.dumps(rounded(evaluate(tomllib.load(f))), indent=1))
        return
    from cases import all_cases, toml
    texts = {n: toml(s) for n, s in all_cases().items()}
    for n, t in texts.items():
        with open(os.path.join(HERE, n + ".toml"), "w") as f: f.write(t)
    done = {}
    for item in texts.items():
        done[item[0]] = work(item)[1]
        print(item[0], done[item[0]]["verdict_of_these_checks"], flush=True)
        with open(os.path.join(HERE, "expected.json"), "w") as f:
            json.dump({"about": "computed by reference.py, an independent implementation with scipy; see its docstring",
                       "cases": done}, f, indent=1)
            f.write("\n")


if __name__ == "__main__":
    main()
