"""Times the starts of benches/waveform_start.rs and benches/envelope_start.rs in scipy: `python3 benches/scipy_starts.py`.

The same equations at the same tolerance of 1e-6 (relative and absolute, in parts of rated flux and speed): the published 3 hp
machine 0.5 s from rest in the frame that turns with the source, and the motor written out in docs/site-file.md: 0.35 s, until
it has reached speed, and what the envelope level does, 73.7 s, until the load's torque has built up, with the current at every
step. Besides as tight as it takes to be as exact as ours at 1e-6 (root mean square over twenty points in
time of the largest error of any state, against a run at 1e-12), and the first once more with arrays, as one would write it first.
Straightforward code, the best of RK45, DOP853 and LSODA; scalars rather than arrays where that is faster.
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


def waveform_by_arrays():
    """The same with numpy arrays of complex numbers."""
    omega = TAU * 60
    sync = omega / 2
    base = math.sqrt(2 / 3) * 220
    inverse = np.linalg.inv(np.array([[26.884, 26.13], [26.13, 26.884]]))
    r = np.array([0.435, 0.816])
    v = np.array([1.0, 0.0])

    def slopes(_t, y):
        psi = y[0:4:2] + 1j * y[1:4:2]
        i = inverse @ psi
        rate = omega * (v - r * i - 1j * np.array([1.0, 1.0 - y[4]]) * psi)
        nm = 1.5 * base**2 / sync * np.imag(np.conj(psi[0]) * i[0])
        return np.array([rate[0].real, rate[0].imag, rate[1].real, rate[1].imag, nm / (0.089 * sync)])

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

    def amperes(x):
        forward, backward = field(1 - x), field(1 + x)
        both, cross = forward + backward, 1j * ratio * (forward - backward)
        main, aux = r1 + 1j * x1 + both, series + ratio * ratio * both
        return np.abs(115 * (aux + main) / (main * aux + cross * cross))

    return slopes, np.zeros(1), 0.35, amperes


def best_of(run, times=40):
    best = math.inf
    for _ in range(times):
        before = time.perf_counter()
        run()
        best = min(best, time.perf_counter() - before)
    return 1e3 * best


def solve(slopes, y, until, method, tolerance, **more):
    return solve_ivp(slopes, (0, until), y, method=method, rtol=tolerance, atol=tolerance, **more)


def error(slopes, y, until, method, tolerance, exact):
    """Root mean square over the points of `exact` of the largest error of any state; every point the end of a run."""
    off = [np.max(np.abs(solve(slopes, y, t, method, tolerance).y[:, -1] - x)) for t, x in exact]
    return math.sqrt(np.mean(np.square(off)))


def exact_points(slopes, y, until):
    times = until * np.arange(1, 21) / 20
    return list(zip(times, solve(slopes, y, until, "DOP853", 1e-12, t_eval=times).y.T))


METHODS = ("RK45", "DOP853", "LSODA")


def main():
    print(f"# python3 benches/scipy_starts.py; Python {platform.python_version()}, scipy {scipy.__version__}; best of 40 runs each")
    print("bench,best_ms,evaluations,tolerance")
    slopes, y, until, amperes = envelope()
    for name, slopes_of, y_of, until_of, after, ours in (
        ("waveform", *waveform(), None, 2.65e-6),
        ("waveform_by_arrays", *waveform_by_arrays(), None, None),
        ("envelope_to_speed", slopes, y, until, None, 3.5e-7),
        ("envelope", slopes, y, 73.68, amperes, None),
    ):
        exact = exact_points(slopes_of, y_of, until_of) if ours else None
        for method in METHODS:
            tolerances = [1e-6]
            if ours:
                tight = [10 ** (-4 - 0.25 * k) for k in range(33)]
                tolerances += [t for t in tight if error(slopes_of, y_of, until_of, method, t, exact) <= ours][:1]
            for tolerance in tolerances:

                def run():
                    done = solve(slopes_of, y_of, until_of, method, tolerance)
                    if after:
                        after(done.y[0])
                    return done

                done = run()
                times = 5 if done.nfev > 10_000 else 40
                label = "" if tolerance == 1e-6 else "_as_exact"
                best = best_of(run, times)
                print(f"scipy_{name}_{method}{label},{best:.3f},{done.nfev},{tolerance:.1e}", flush=True)


if __name__ == "__main__":
    main()
