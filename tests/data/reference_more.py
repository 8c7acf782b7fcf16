"""Reference solutions of starts with electrical transients, by scipy: `python3 reference_more.py` writes reference_more.json.

Written from textbook equations (P. C. Krause et al., Analysis of Electric Machinery, from memory), with currents as states in
the frame that stands still: the library has fluxes as states in the frame that turns with the source. Machines are read from
three_phase.csv (rotor referred to the stator, ohm per phase, star, 4 poles); the double cage is invented.
SI units, times from switch-on; phase a is sqrt2 V cos(w t + angle).
"""

import csv
import json
import os

import numpy as np
from scipy.integrate import solve_ivp

HERE = os.path.dirname(os.path.abspath(__file__))
PAIRS = 2
TOLERANCE = 1e-10
# samples to the cycle
PARTS = 2000


def machines():
    with open(os.path.join(HERE, "three_phase.csv"), encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    found = {}
    for row in rows:
        if row["inertia_kgm2"]:
            n = {k: float(row[k]) for k in ("volts", "hz", "r1", "x1", "xm", "x2", "r2", "inertia_kgm2")}
            n["cages"] = [(n.pop("r2"), n.pop("x2"))]
            found[row["name"]] = n
    # invented: the 50 hp stator, a starting cage of high resistance and a running cage of high leakage
    found["double cage"] = dict(found["50 hp 460 V"], cages=[(0.9, 0.15), (0.12, 0.75)])
    return found


def stalled_impedance(m):
    rotor = 1 / (1 / (1j * m["xm"]) + sum(1 / (r + 1j * x) for r, x in m["cages"]))
    return m["r1"] + 1j * m["x1"] + rotor


def start(m, angle_deg=0.0, z=0j, until=1.0, torque_at_sync=0.0):
    """Runs a start; returns times, line currents, terminal voltages (phase), speed, torque, sampled."""
    w = 2 * np.pi * m["hz"]
    sync = w / PAIRS
    cages = m["cages"]
    count = 1 + len(cages)
    inductance = np.full((count, count), m["xm"] / w)
    inductance[0, 0] += m["x1"] / w
    for k, (_, x) in enumerate(cages):
        inductance[k + 1, k + 1] += x / w
    with_source = inductance.copy()
    with_source[0, 0] += z.imag / w
    inverse = np.linalg.inv(with_source)
    peak = np.sqrt(2 / 3) * m["volts"]
    phi = np.radians(angle_deg)
    resistance = np.array([r for r, _ in cages])

    def torque(i):
        # cross product of rotor and stator currents over the common inductance
        return 1.5 * PAIRS * m["xm"] / w * (np.conj(np.sum(i[1:])) * i[0]).imag

    def voltages(t, i, speed):
        psi = inductance @ i
        u = np.empty(count, complex)
        u[0] = peak * np.exp(1j * (w * t + phi)) - (m["r1"] + z.real) * i[0]
        u[1:] = -resistance * i[1:] + 1j * PAIRS * speed * psi[1:]
        return u

    def slopes(t, y):
        i = y[:count] + 1j * y[count : 2 * count]
        speed = y[-1]
        rate = inverse @ voltages(t, i, speed)
        x = speed / sync
        return np.concatenate(
            (rate.real, rate.imag, [(torque(i) - torque_at_sync * x * abs(x)) / m["inertia_kgm2"]])
        )

    stalled_a = m["volts"] / abs(stalled_impedance(m))
    scale = np.array([stalled_a] * (2 * count) + [sync])
    done = solve_ivp(
        slopes, (0, until), np.zeros(2 * count + 1), method="DOP853", rtol=TOLERANCE, atol=TOLERANCE * scale,
        dense_output=True,
    )
    # whole cycles only: beyond its end the dense output is worth nothing
    n = int(until * m["hz"] + 1e-9) * PARTS
    t = np.arange(n + 1) / (PARTS * m["hz"])
    y = done.sol(t)
    i = y[:count] + 1j * y[count : 2 * count]
    out = {"t": t, "w": y[-1] / sync, "hz": m["hz"]}
    turns = np.exp(-2j * np.pi / 3 * np.arange(3))[:, None]
    out["lines"] = (i[0] * turns).real
    torques = 1.5 * PAIRS * m["xm"] / w * (np.conj(np.sum(i[1:], axis=0)) * i[0]).imag
    out["torque"] = torques
    if z != 0:
        psi = inductance @ i
        u = np.vstack(
            [peak * np.exp(1j * (w * t + phi)) - (m["r1"] + z.real) * i[0]]
            + [-resistance[k] * i[k + 1] + 1j * PAIRS * y[-1] * psi[k + 1] for k in range(count - 1)]
        )
        rate = inverse[0] @ u
        terminal = peak * np.exp(1j * (w * t + phi)) - z.real * i[0] - z.imag / w * rate
        out["terminal"] = (terminal * turns).real / (peak / np.sqrt(2))
    return out


def reaches(out, share):
    k = int(np.argmax(out["w"] >= share))
    if out["w"][k] < share:
        return None
    a, b = out["w"][k - 1], out["w"][k]
    return float(out["t"][k - 1] + (share - a) / (b - a) * (out["t"][k] - out["t"][k - 1]))


def crest(values):
    """The largest size, by a parabola through it."""
    k = int(np.argmax(np.abs(values)))
    if k in (0, len(values) - 1):
        return float(abs(values[k]))
    a, b, c = np.abs(values[k - 1 : k + 2])
    return float(b - (a - c) ** 2 / (8 * (a - 2 * b + c)))


def cycles(values, count):
    """Root mean square over the rows, cycle by cycle, by the trapezium rule."""
    square = np.mean(np.atleast_2d(values) ** 2, axis=0)
    found = []
    for k in range(count):
        part = square[k * PARTS : (k + 1) * PARTS + 1]
        found.append(float(np.sqrt((np.sum(part) - 0.5 * (part[0] + part[-1])) / PARTS)))
    return found


def figures(out, count):
    two = 2 * PARTS + 1
    found = {f"t{round(100 * s)}": reaches(out, s) for s in (0.5, 0.75, 0.95)}
    found["peaks"] = [crest(line[:two]) for line in out["lines"]]
    found["torque_max"] = crest(np.maximum(out["torque"], 0))
    found["torque_min"] = -crest(np.minimum(out["torque"], 0))
    found["rms"] = cycles(out["lines"], count)
    found["rms_a"] = cycles(out["lines"][0], count)
    if found["t95"] is not None:
        upto = out["t"] <= found["t95"]
        square = np.mean(out["lines"] ** 2, axis=0)[upto]
        found["i2"] = float(np.trapezoid(square, out["t"][upto]))
    if "terminal" in out:
        found["terminal"] = cycles(out["terminal"], count)
    return found


def main():
    sets = machines()
    until = {"50 hp 460 V": 0.7, "500 hp 2300 V": 2.0, "2250 hp 2300 V": 3.0, "double cage": 0.8, "3 hp 220 V": 0.8,
             "24 kW 173 V": 0.4}
    result = {"about": __doc__.strip().splitlines(), "starts": [], "sources": []}
    for name in ("50 hp 460 V", "500 hp 2300 V", "2250 hp 2300 V", "24 kW 173 V", "double cage"):
        for angle in (0, 90):
            out = start(sets[name], angle, until=until[name])
            result["starts"].append({"machine": name, "angle_deg": angle, **figures(out, 10)})
            print(name, angle, result["starts"][-1]["t95"], flush=True)
    # a load that goes with the square of speed
    out = start(sets["double cage"], 0, until=2.0, torque_at_sync=150.0)
    result["starts"].append({"machine": "double cage", "angle_deg": 0, "load_nm": 150.0, **figures(out, 10)})
    for name in ("3 hp 220 V", "50 hp 460 V", "500 hp 2300 V"):
        for share in (0.02, 0.05, 0.10):
            z = share * abs(stalled_impedance(sets[name])) * (0.6 + 0.8j)
            out = start(sets[name], 0, z=z, until=1.4 * until[name])
            result["sources"].append(
                {"machine": name, "share": share, "r_ohm": z.real, "x_ohm": z.imag, **figures(out, 6)}
            )
            print(name, share, result["sources"][-1]["t95"], flush=True)
    result["cages"] = sets["double cage"]["cages"]

    def short(x):
        if isinstance(x, float):
            return float(f"{x:.9g}")
        if isinstance(x, list):
            return [short(v) for v in x]
        return {k: short(v) for k, v in x.items()} if isinstance(x, dict) else x

    with open(os.path.join(HERE, "reference_more.json"), "w", encoding="utf-8") as file:
        json.dump(short(result), file, indent=1)
        file.write("\n")


if __name__ == "__main__":
    main()
