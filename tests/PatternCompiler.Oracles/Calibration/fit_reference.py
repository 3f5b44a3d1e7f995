"""Prints the values that FitReferenceTests compares with: the same data fitted by SciPy (python3 fit_reference.py)."""

import numpy as np
from scipy import optimize, stats

DOSES = np.array([50, 100, 150, 200, 250, 300, 350, 400, 450, 500.0])
THICKNESSES = np.array([200, 200, 160, 115, 80, 50, 30, 5, 0, 0.0]) / 200


def clipped(dose, log_onset, log_clearing):
    return np.clip((log_clearing - np.log10(dose)) / (log_clearing - log_onset), 0, 1)




def ends(squares_at, best, minimum, spare, step):
    """95 % interval by profile likelihood: where the least sum of squares has grown by t^2/spare of itself."""
    most = minimum * (1 + stats.t.ppf(0.975, spare) ** 2 / spare)
    result = []
    for sign in (-1, 1):
        far = step
        while squares_at(best + sign * far) < most:
            far *= 1.5
        result.append(best + sign * optimize.brentq(lambda away: squares_at(best + sign * away) - most, 0, far, xtol=1e-12))
    return result


def least(function, start):
    return optimize.minimize_scalar(function, bounds=(start - 0.1, start + 0.1), method="bounded", options={"xatol": 1e-13}).fun


def curve_squares(log_onset, log_clearing, height=1.0):
    return np.sum((THICKNESSES - height * clipped(DOSES, log_onset, log_clearing)) ** 2)


best, covariance = optimize.curve_fit(clipped, DOSES, THICKNESSES, p0=[2.05, 2.65], xtol=1e-15, ftol=1e-15, gtol=1e-15)
minimum = curve_squares(*best)
gamma = 1 / (best[1] - best[0])
print("contrast, thickness stated: onset", 10 ** best[0], "clearing", 10 ** best[1], "contrast", gamma)
print("  onset", [10**v for v in ends(lambda v: least(lambda c: curve_squares(v, c), best[1]), best[0], minimum, 8, 0.01)])
print("  clearing", [10**v for v in ends(lambda v: least(lambda o: curve_squares(o, v), best[0]), best[1], minimum, 8, 0.01)])
print("  contrast", [1 / v for v in ends(lambda v: least(lambda o: curve_squares(o, o + v), best[0]), 1 / gamma, minimum, 8, 0.01)])
best, covariance = optimize.curve_fit(lambda d, o, c, h: h * clipped(d, o, c), DOSES, THICKNESSES, p0=[2.05, 2.65, 1], xtol=1e-15, ftol=1e-15, gtol=1e-15)
print("contrast, thickness fitted: onset", 10 ** best[0], "clearing", 10 ** best[1], "thickness", 200 * best[2])


def nelder(function, start):
    return optimize.minimize(function, start, method="Nelder-Mead", options={"xatol": 1e-11, "fatol": 1e-15, "maxiter": 4000}).fun


print("  thickness", [200 * v for v in ends(lambda v: nelder(lambda p: curve_squares(p[0], p[1], v), best[:2]), best[2], curve_squares(*best), 7, 0.005)])

CHARGES = np.array([0.98, 1.6, 3.7, 12.3, 104, 2000, 3080, 3130, 3270, 3480, 4230, 6550, 13000.0])
RADII = np.array([20.1, 40.6, 60.3, 78.4, 108.0, 149, 200, 312, 483, 890, 1530, 2110, 2980])


def log_charge(radius, log_a, log_b, log_ratio, constant):
    a, b, ratio = np.exp([log_a, log_b, log_ratio])
    return constant - np.log(np.exp(-radius**2 / a**2) / a**2 + ratio * np.exp(-radius**2 / b**2) / b**2)


def log_radius(charges, *p):
    def one(charge):
        f = lambda log_r: log_charge(np.exp(log_r), *p) - np.log(charge)
        return optimize.brentq(f, -10, 12, xtol=1e-14) if f(-10) < 0 else -10.0
    return np.array([one(charge) for charge in charges])


def residuals(p):
    return np.log(RADII) - log_radius(CHARGES, *p)


start, _ = optimize.curve_fit(log_charge, RADII, np.log(CHARGES), p0=np.log([50, 2500, 0.7, 1e-3]))
fit = optimize.least_squares(residuals, start, xtol=1e-15, ftol=1e-15, gtol=1e-15)
best, spare = fit.x, len(RADII) - 4
minimum = 2 * fit.cost
print("spread: forward, backscatter, ratio", np.exp(best[:3]), "rms", np.sqrt(minimum / len(RADII)))


def held(index, value):
    free = [i for i in range(4) if i != index]
    def part(p):
        whole = np.empty(4)
        whole[free], whole[index] = p, value
        return residuals(whole)
    return 2 * optimize.least_squares(part, best[free], xtol=1e-15, ftol=1e-15, gtol=1e-15).cost


for index, name in enumerate(["forward", "backscatter", "ratio"]):
    print("  ", name, [np.exp(v) for v in ends(lambda v: held(index, v), best[index], minimum, spare, 0.01)])
covariance = minimum / spare * np.linalg.inv(fit.jac.T @ fit.jac)
slopes = optimize.approx_fprime(best, lambda p: log_charge(np.array([500.0]), *p)[0], 1e-7)
grows = optimize.approx_fprime(np.log([500.0]), lambda log_r: log_charge(np.exp(log_r), *best)[0], 1e-7)[0]
print("  ln(charge) at 500 nm", log_charge(np.array([500.0]), *best)[0], "half width of ln(radius)", stats.t.ppf(0.975, spare) * np.sqrt(slopes @ covariance @ slopes) / grows)

SPEEDS = np.array([50, 100, 200, 400, 800.0])
TAILS = np.array([51, 101, 195, 402, 729.0])
line, covariance = np.polyfit(SPEEDS, TAILS, 1, cov=True)
print("blanker: delay", line[0], "standard error", np.sqrt(covariance[0, 0]), "offset", line[1], np.sqrt(covariance[1, 1]))
design = np.array([300.0, 1])
print("  half width at 300", stats.t.ppf(0.975, 3) * np.sqrt(design @ covariance @ design))

JUMPS = np.tile([10000, 20000, 40000, 80000.0], 4)
WAITS = np.repeat([5, 10, 20, 30.0], 4)
DISPLACEMENTS = np.array([4346, 8697, 17380, 34772, 1320, 2642, 5294, 10573, 122, 247, 493, 977, 14, 19, 44, 89.0])


def displacement(_, level, rate):
    return JUMPS * np.exp(level - rate * WAITS)


best, covariance = optimize.curve_fit(displacement, WAITS, DISPLACEMENTS, p0=[0.3, 0.2], xtol=1e-15, ftol=1e-15, gtol=1e-15)
settled_squares = lambda constant, dead: np.sum((DISPLACEMENTS - displacement(0, dead / constant, 1 / constant)) ** 2)
constant, dead = 1 / best[1], best[0] / best[1]
minimum = settled_squares(constant, dead)
fine = lambda function, start: optimize.minimize_scalar(function, bounds=(start - 0.1, start + 0.1), method="bounded", options={"xatol": 1e-13}).fun
print("settling: time constant", constant, ends(lambda v: fine(lambda d: settled_squares(v, d), dead), constant, minimum, 14, 1e-3))
print("  dead time", dead, ends(lambda v: fine(lambda c: settled_squares(c, v), constant), dead, minimum, 14, 1e-3))
t = stats.t.ppf(0.975, 14)
row = np.array([1, -15.0])
print("  displacement over jump at 15 us", np.exp(best[0] - best[1] * 15), "half width in logarithms", t * np.sqrt(row @ covariance @ row))
