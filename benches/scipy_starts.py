"""Times the starts of benches/waveform_start.rs and benches/envelope_start.rs in scipy: `python3 benches/scipy_starts.py`.

The same equations at the same tolerance of 1e-6 (relative and absolute, in parts of rated flux and speed): the published 3 hp
machine 0.5 s from rest in the frame that turns with the source, and the motor written out in docs/site-file.md until it has
reached speed, 0.35 s. Straightforward code, the best of RK45, DOP853 and LSODA; scalars rather than arrays where that is faster.
Prints lines for a file in benches/results/.
"""

import math
import platform
import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp

TAU = 2 * math.pi


def waveform():
    """3 hp, 220 V, 60 Hz, 4 poles: fluxes in parts of the phase voltage's peak, speed in parts of synchronous."""
    r1, x1, xm, x2, r2, inertia = 0.435, 0.754, 26.13, 0.754, 0.816, 0.089
    base = math.sqrt(2 / 3) * 220
    omega = TAU * 60
    sync = omega / 2
    a, b = x1 + xm, x2 + xm
    det = a * b - xm * xm
    torque = 1.5 * base * base / sync / (inertia * sync)

    def slopes(_t, y):
        ps, qs, pr, qr, w = y.tolist()
        i, j = (b * ps - xm * pr) / det, (b * qs - xm * qr) / det
        k, m = (a * pr - xm * ps) / det, (a * qr - xm * qs) / det
        slip = 1 - w
        return (
            omega * (1 - r1 * i + qs),
            omega * (-r1 * j - ps),
            omega * (-r2 * k + slip * qr),
            omega * (-r2 * m - slip * pr),
            torque * (ps * j - qs * i),
        )

    return slopes, np.zeros(5), 0.5


def envelope():
    """The capacitor-run motor of docs/site-file.md on a stiff 115 V supply."""
    r1, x1, xm, r2, x2, inertia = 0.624, 0.601, 16.249, 0.76, 0.628, 0.0016
    r1a, x1a, ratio = 2.351, 1.217, 1.967
    omega = TAU * 60
    sync = omega
    series = r1a + 1j * x1a - 1j / (omega * 45e-6)
    rated = 3450 * TAU / 60

    def field(slip):
        return 0.5j * xm * (r2 + 1j * slip * x2) / (r2 + 1j * slip * (x2 + xm))

    def slopes(t, y):
        x = y.item()
        forward, backward = field(1 - x), field(1 + x)
        both, cross = forward + backward, 1j * ratio * (forward - backward)
        main, aux = r1 + 1j * x1 + both, series + ratio * ratio * both
        det = main * aux + cross * cross
        im, ia = 115 * (aux + cross) / det, 115 * (main - cross) / det
        plus, minus = abs(im - 1j * ratio * ia), abs(im + 1j * ratio * ia)
        nm = (plus * plus * forward.real - minus * minus * backward.real) / sync
        load = 3.23 * (0.10 + 0.65 * max(x, 0.0) * sync / rated * (1 - math.exp(-t / 8)))
        return ((nm - load) / (inertia * sync),)

    return slopes, np.zeros(1), 0.35


def best_of(run, times=40):
    best = math.inf
    for _ in range(times):
        before = time.perf_counter()
        run()
        best = min(best, time.perf_counter() - before)
    return 1e3 * best


def main():
    print(f"# python3 benches/scipy_starts.py; Python {platform.python_version()}, scipy {scipy.__version__}; best of 40 runs each")
    print("model,method,best_ms,evaluations")
    for name, (slopes, y, until) in (("waveform", waveform()), ("envelope", envelope())):
        for method in ("RK45", "DOP853", "LSODA"):
            run = lambda: solve_ivp(slopes, (0, until), y, method=method, rtol=1e-6, atol=1e-6)
            done = run()
            print(f"{name},{method},{best_of(run):.3f},{done.nfev}", flush=True)
            print(f"#   speed at the end {done.y[-1, -1]:.6f}")


if __name__ == "__main__":
    main()
