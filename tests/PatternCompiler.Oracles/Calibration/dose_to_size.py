"""Dose to size by SciPy: the energy of bars and gaps by quadrature of the spread over what is exposed, widths by root finding,
threshold and bias by least squares with profile intervals; the same with a spread that is known to 5 %, by generalised least squares
with the whole covariance of the readings. Prints the readings, then the expected fits."""
import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq, least_squares
from scipy.stats import t as student

A, B, ETA, LENGTH = 65.0, 3800.0, 0.7, 10_000.0


def line(x, reach):
    """Energy at x of a strip of unit width at 0 with a length: the spread integrated along the strip."""
    return sum(w * np.exp(-x * x / a**2) / (np.pi * a**2) * quad(lambda y: np.exp(-y * y / a**2), -reach, reach, points=[0], limit=200)[0]
               for w, a in ((1 / (1 + ETA), A), (ETA / (1 + ETA), B)))


def energy(strips, x):
    total = 0
    for left, right in strips:
        points = [p for p in (x - 3 * A, x, x + 3 * A) if left < p < right]
        total += quad(lambda u: line(x - u, LENGTH / 2), left, right, points=points or None, limit=200, epsabs=1e-13)[0]
    return total


FEATURES = {
    "bar,300,,": ([(-150, 150)], 1),
    "bar,200,5,500": ([(i * 500 - 100, i * 500 + 100) for i in range(-2, 3)], 1),
    "gap,250,,": ([(-5125, -125), (125, 5125)], -1),
}
DOSES = {1: [470, 520, 600, 700], -1: [430, 470, 520, 600]}
TRUE, BIAS = 255.0, 5.0
ERRORS = [2.1, -1.3, 0.4, -2.2, 1.7, 0.9, -0.6, -1.9, 2.4, 0.2, -1.1, 1.5]
tables = {}
for name, (strips, sign) in FEATURES.items():
    inner = min(abs(e) for s in strips for e in s)
    xs = np.linspace(0, inner + 400 if name.startswith("bar,300") else inner + 150, 60)
    tables[name] = xs, np.array([energy(strips, x) for x in xs]), strips, sign


def width(name, level):
    xs, values, strips, sign = tables[name]
    above = values >= level
    i = np.flatnonzero(above != above[0])[0]
    return 2 * brentq(lambda x: energy(strips, x) - level, xs[i - 1], xs[i], xtol=1e-9)


print(repr(energy(FEATURES["bar,300,,"][0], 0)), repr(energy(FEATURES["bar,300,,"][0], 150)))
rows = []
for name in FEATURES:
    for dose in DOSES[FEATURES[name][1]]:
        measured = width(name, TRUE / dose) + 2 * BIAS * tables[name][3] + ERRORS[len(rows)]
        rows.append((name, dose, measured))
        print(f"{name},{dose},{measured!r}")


# What is missed of the energy at a measured edge, as a width by its slope there; 1 % counts like 4 nm where it is flat.
def edge(name, x):
    e, h = (lambda u: np.log(energy(FEATURES[name][0], u))), 0.5
    return e(x), (e(x + h) - e(x - h)) / (2 * h)


grid = np.linspace(-10, 25, 15)
models = []
for n, d, m in rows:
    sign = FEATURES[n][1]
    near = np.polynomial.Polynomial.fit(grid, [np.log(d) + np.log(energy(FEATURES[n][0], m / 2 - sign * g)) for g in grid], 10)
    models.append((near, 1 / np.hypot(edge(n, m / 2)[1] / 2, 0.01 / 4)))


def residuals(p):
    log, bias = p
    return np.array([w * (near(bias) - log) for near, w in models])


best = least_squares(residuals, [np.log(TRUE), 0], xtol=1e-15, ftol=1e-15, gtol=1e-15)
spare = len(rows) - 2
limit = 2 * best.cost * (1 + student.ppf(0.975, spare) ** 2 / spare)


def profile(index, value):
    def rest(q):
        return residuals([value, q[0]] if index == 0 else [q[0], value])
    return 2 * least_squares(rest, [best.x[1 - index]], xtol=1e-15, ftol=1e-15, gtol=1e-15).cost - limit


ends = []
for index, reach in ((0, 0.03), (1, 6.0)):
    ends += [brentq(lambda v: profile(index, v), best.x[index] - reach, best.x[index]), brentq(lambda v: profile(index, v), best.x[index], best.x[index] + reach)]
print(*(repr(float(v)) for v in (np.exp(best.x[0]), best.x[1], np.exp(ends[0]), np.exp(ends[1]), ends[2], ends[3])))

# Ranges and ratio off by 5 % each: what a reading tells moves by its derivative, all readings together. The error of a width is what
# makes the sum of squares what is to be expected of it.
OFF, STEP = 0.05, 1e-3


def told():
    return np.array([np.log(energy(FEATURES[n][0], m / 2)) for n, _, m in rows])


def moved(name):
    value, sides = globals()[name], []
    for factor in (1 - STEP, 1 + STEP):
        globals()[name] = factor * value
        sides.append(told())
    globals()[name] = value
    return OFF * (sides[1] - sides[0]) / (2 * STEP)


weights = np.array([w for _, w in models])
common = np.array([weights * moved(name) for name in ("A", "B", "ETA")])


def whitened(error):
    root = np.linalg.cholesky(error**2 * np.eye(len(rows)) + common.T @ common)
    return lambda p: np.linalg.solve(root, residuals(p))


def solve(error):
    return least_squares(whitened(error), best.x, x_scale=[0.01, 1], xtol=1e-15, ftol=1e-15, gtol=1e-15)


error = brentq(lambda e: 2 * solve(e).cost - spare, 0.3, 10, xtol=1e-12)
found, white = solve(error), whitened(error)


def rise(index, value):
    def rest(q):
        return white([value, q[0]] if index == 0 else [q[0], value])
    return 2 * least_squares(rest, [found.x[1 - index]], x_scale=[1 if index == 0 else 0.01], xtol=1e-15, ftol=1e-15, gtol=1e-15).cost - spare - student.ppf(0.975, spare) ** 2


ends = []
for index, reach in ((0, 0.2), (1, 15.0)):
    ends += [brentq(lambda v: rise(index, v), found.x[index] - reach, found.x[index]), brentq(lambda v: rise(index, v), found.x[index], found.x[index] + reach)]
print(error, *(repr(float(v)) for v in (np.exp(found.x[0]), found.x[1], np.exp(ends[0]), np.exp(ends[1]), ends[2], ends[3])))
