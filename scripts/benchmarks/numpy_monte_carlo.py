"""The peer of the Monte Carlo simulation: the same model, inputs and number of trials on NumPy arrays.

Reads the problem from standard input as JSON: constants from the project's data files, so that both sides solve the same
equations; prints {"seconds", "mean", "u", "interval"}. The inverses are Newton's, vectorised over the trials, iterated
until the largest step is below 1e-9 K, as in numpy_inverse.py.
"""

import json
import sys
import time

import numpy as np

polynomial = np.polynomial.polynomial
problem = json.load(sys.stdin)


class TypeK:
    """Thermocouple K: emf and slope in mV; only its pieces from 0 °C up are needed at the temperatures asked for."""

    def __init__(self, constants):
        lower, upper, coefficients = next(piece for piece in constants["pieces"] if piece[0] == 0)
        self.bounds = (lower, upper)
        self.c = np.array(coefficients)
        self.d = polynomial.polyder(self.c)
        self.exponential = constants["exponential"]

    def emf_and_slope(self, t):
        a0, a1, a2 = self.exponential
        bump = a0 * np.exp(a1 * (t - a2) ** 2)
        return polynomial.polyval(t, self.c) + bump, polynomial.polyval(t, self.d) + bump * 2 * a1 * (t - a2)

    def inverse(self, emf):
        t = emf / 0.04
        for _ in range(60):
            value, slope = self.emf_and_slope(t)
            step = (value - emf) / slope
            t = np.clip(t - step, *self.bounds)
            if np.max(np.abs(step)) < 1e-9:
                break
        return t


class Platinum:
    """ITS-90 above 0 °C with the deviation function of subrange 7: a(W - 1) + b(W - 1)^2 + c(W - 1)^3."""

    def __init__(self, constants):
        self.c = np.array(constants["c"])
        self.d = polynomial.polyder(self.c)
        self.rtpw = constants["rtpw"]
        self.deviation = np.array([0.0, *constants["deviation"]])
        self.slope = polynomial.polyder(self.deviation)

    def inverse(self, resistance):
        w = resistance / self.rtpw
        wanted = w - polynomial.polyval(w - 1, self.deviation)
        t = (wanted - 1) / 0.0039
        for _ in range(60):
            x = (t + 273.15 - 754.15) / 481
            step = (polynomial.polyval(x, self.c) - wanted) / (polynomial.polyval(x, self.d) / 481)
            t = t - step
            if np.max(np.abs(step)) < 1e-9:
                break
        return t


def draw(generator, entry, trials):
    kind, u = entry["distribution"], entry["u"]
    if kind == "normal":
        return generator.normal(0, u, trials)
    if kind == "rectangular":
        return generator.uniform(-np.sqrt(3) * u, np.sqrt(3) * u, trials)
    if kind == "student":
        return u * generator.standard_t(entry["dof"], trials)
    raise ValueError(kind)


def simulate(seed):
    generator = np.random.default_rng(seed)
    trials = problem["trials"]
    item, reference = TypeK(problem["typeK"]), Platinum(problem["platinum"])
    sums = {name: np.full(trials, float(start)) for name, start in problem["starts"].items()}
    for entry in problem["inputs"]:
        column = draw(generator, entry, trials)
        factor = entry["sensitivity"] if entry["entrance"] == "temperature" else 1
        sums[entry["entrance"]] += factor * column
    junction, _ = item.emf_and_slope(sums["junction"])
    error = item.inverse(sums["item-signal"] + junction) - reference.inverse(sums["reference-signal"]) + sums["temperature"]
    error.sort()
    inside = round(problem["level"] * trials)
    start = (trials - inside) // 2
    widths = error[inside:] - error[:-inside]
    tight = int(np.argmin(widths))
    return {
        "mean": float(error.mean()),
        "u": float(error.std(ddof=1)),
        "interval": [float(error[start]), float(error[start + inside])],
        "shortest": [float(error[tight]), float(error[tight + inside])],
    }


best = float("inf")
for round_ in range(3):
    begun = time.perf_counter()
    answer = simulate(1)
    best = min(best, time.perf_counter() - begun)
print(json.dumps({"seconds": best, **answer}))
