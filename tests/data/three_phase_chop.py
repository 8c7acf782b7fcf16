#!/usr/bin/env python3
"""Phase control in a three-phase line without neutral, on a resistance with an inductance in every phase: by small steps, written
apart from the product. Prints the table of src/starter/phase_control.rs: for angles of the impedance (rows) and delays from just
no effect to 150 degrees, rms and fundamental of the current in parts of the full one.

Source: the circuit's own equations; each step is exact for the voltage in its middle. No data from outside, free to use.
"""
import math

STEPS = 2880  # to the cycle
CYCLES = 8
ANGLES = [0.05, 0.3, 0.55, 0.8, 1.05, 1.3, 1.5]
DELAYS = 13
LATEST = 5 * math.pi / 6
PULSE = 2 * math.pi / 3
BEHIND = [0.0, 2 * math.pi / 3, -2 * math.pi / 3]
PAIRS = [(0, 1), (1, 2), (2, 0), (1, 0), (2, 1), (0, 2)]


def gate(psi, delay):
    past = (psi - delay) % (2 * math.pi)
    if past < PULSE:
        return 1
    return -1 if math.pi <= past < math.pi + PULSE else 0


def run(phi, delay):
    """Rms and fundamental of the last two cycles, peak of the full current 1."""
    r, x = math.cos(phi), math.sin(phi)
    h = 2 * math.pi / STEPS
    keep = math.exp(-r / x * h)
    i, on = [0.0] * 3, [False] * 3
    square, re, im, n = 0.0, 0.0, 0.0, 0
    for step in range(CYCLES * STEPS):
        t = (step + 0.5) * h
        psi = [t - b for b in BEHIND]
        e = [math.sin(p) for p in psi]
        g = [gate(p, delay) for p in psi]
        if not any(on):
            for a, b in PAIRS:
                if g[a] > 0 > g[b] and e[a] > e[b]:
                    on[a] = on[b] = True
                    break
        elif sum(on) == 2:
            c = on.index(False)
            if g[c] * e[c] > 0:
                on[c] = True
        count = sum(on)
        if count >= 2:
            v = e[:]
            if count == 2:
                a, b = [k for k in range(3) if on[k]]
                v = [0.0] * 3
                v[a] = (e[a] - e[b]) / 2
                v[b] = -v[a]
            new = [i[k] * keep + v[k] / r * (1 - keep) if on[k] else 0.0 for k in range(3)]
            for k in range(3):
                if on[k] and i[k] * new[k] < 0 and not (count == 3 and g[k] * new[k] > 0):
                    on[k] = False
                    new[k] = 0.0
            if sum(on) < 2:
                on, new = [False] * 3, [0.0] * 3
            elif sum(on) == 2:
                a, b = [k for k in range(3) if on[k]]
                new[a] = (new[a] - new[b]) / 2
                new[b] = -new[a]
            i = new
        if step >= (CYCLES - 2) * STEPS:
            t = (step + 1) * h
            square += i[0] * i[0]
            re += i[0] * math.cos(t)
            im += i[0] * math.sin(t)
            n += 1
    return math.sqrt(2 * square / n), 2 * math.hypot(re, im) / n


if __name__ == "__main__":
    for phi in ANGLES:
        row = [(1.0, 1.0)]
        for j in range(1, DELAYS - 1):
            row.append(run(phi, phi + (LATEST - phi) * j / (DELAYS - 1)))
        row.append((0.0, 0.0))
        print("    [" + ", ".join("[%.4f, %.4f]" % pair for pair in row) + "],")
