"""The peer of the exact inverse: the same Newton solve on NumPy arrays.

Reads the constants from the project's data files, so that both sides solve the same equation; prints JSON lines
{"name", "perSecond"}. Vectorised over the array, iterated until the largest step is below 1e-9 K.
"""

import json
import sys
import time

import numpy as np

count = int(sys.argv[2])
polynomial = np.polynomial.polynomial


def best_of(work, repeats=3):
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times)


def type_k(pieces, exponential):
    def emf_and_slope(t):
        emf = np.empty_like(t)
        slope = np.empty_like(t)
        for lower, upper, c in pieces:
            inside = (t >= lower) & (t <= upper)
            emf[inside] = polynomial.polyval(t[inside], c)
            slope[inside] = polynomial.polyval(t[inside], polynomial.polyder(c))
        hot = t >= 0
        a0, a1, a2 = exponential
        bump = a0 * np.exp(a1 * (t[hot] - a2) ** 2)
        emf[hot] += bump
        slope[hot] += bump * 2 * a1 * (t[hot] - a2)
        return emf, slope

    low = min(piece[0] for piece in pieces)
    high = max(piece[1] for piece in pieces)
    truth = np.random.default_rng(1).uniform(-200, high - 1, count)
    wanted, _ = emf_and_slope(truth)

    def solve():
        t = wanted / 0.04
        np.clip(t, low, high, out=t)
        for _ in range(60):
            emf, slope = emf_and_slope(t)
            step = (emf - wanted) / slope
            t = np.clip(t - step, low, high)
            if np.max(np.abs(step)) < 1e-9:
                break
        return t

    assert np.max(np.abs(solve() - truth)) < 1e-6
    return count / best_of(solve)


def its90(c):
    derivative = polynomial.polyder(c)
    truth = np.random.default_rng(2).uniform(1, 660, count)
    wanted = polynomial.polyval((truth + 273.15 - 754.15) / 481, c)

    def solve():
        t = (wanted - 1) / 0.0039
        for _ in range(60):
            x = (t + 273.15 - 754.15) / 481
            step = (polynomial.polyval(x, c) - wanted) / (polynomial.polyval(x, derivative) / 481)
            t = t - step
            if np.max(np.abs(step)) < 1e-9:
                break
        return t

    assert np.max(np.abs(solve() - truth)) < 1e-6
    return count / best_of(solve)


constants = json.load(sys.stdin)
print(json.dumps({"name": "type K inverse", "perSecond": type_k([(p[0], p[1], np.array(p[2])) for p in constants["pieces"]], constants["exponential"])}))
print(json.dumps({"name": "ITS-90 inverse", "perSecond": its90(np.array(constants["c"]))}))
