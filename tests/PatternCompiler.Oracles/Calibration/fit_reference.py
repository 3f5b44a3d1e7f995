"""Prints the values that FitReferenceTests compares with: the same data fitted by SciPy (python3 fit_reference.py)."""

import numpy as np
from scipy import optimize, stats

DOSES = np.array([50, 100, 150, 200, 250, 300, 350, 400, 450, 500.0])
THICKNESSES = np.array([200, 200, 160, 115, 80, 50, 30, 5, 0, 0.0]) / 200


def clipped(dose, log_onset, log_clearing):
    return np.clip((log_clearing - np.log10(dose)) / (log_clearing - log_onset), 0, 1)


slope = slice(2, 8)
line = stats.linregress(np.log10(DOSES[slope]), THICKNESSES[slope])
print("straight part: contrast", -line.slope, "standard error", line.stderr)
print("  onset", 10 ** ((1 - line.intercept) / line.slope), "clearing", 10 ** (-line.intercept / line.slope))
t = stats.t.ppf(0.975, 4)
print("  95 % of the contrast in logarithms", -line.slope * np.exp(-t * line.stderr / -line.slope), -line.slope * np.exp(t * line.stderr / -line.slope))
best, _ = optimize.curve_fit(clipped, DOSES, THICKNESSES, p0=[2.05, 2.65])
print("whole curve: onset", 10 ** best[0], "clearing", 10 ** best[1])

CHARGES = np.array([0.98, 1.6, 3.7, 12.3, 104, 2000, 3080, 3130, 3270, 3480, 4230, 6550, 13000.0])
RADII = np.array([20.1, 40.6, 60.3, 78.4, 108.0, 149, 200, 312, 483, 890, 1530, 2110, 2980])


def log_charge(radius, log_a, log_b, log_ratio, constant):
    a, b, ratio = np.exp([log_a, log_b, log_ratio])
    return constant - np.log(np.exp(-radius**2 / a**2) / a**2 + ratio * np.exp(-radius**2 / b**2) / b**2)


best, covariance = optimize.curve_fit(log_charge, RADII, np.log(CHARGES), p0=np.log([50, 2500, 0.7, 1e-3]), xtol=1e-14, ftol=1e-14)
print("spread: forward, backscatter, ratio", np.exp(best[:3]), "relative standard errors", np.sqrt(np.diag(covariance))[:3])
slopes = optimize.approx_fprime(best, lambda p: log_charge(np.array([500.0]), *p)[0], 1e-7)
print("  ln(charge) at 500 nm", log_charge(np.array([500.0]), *best)[0], "half width", stats.t.ppf(0.975, 9) * np.sqrt(slopes @ covariance @ slopes))

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
dead = best[0] / best[1]
gradient = np.array([1 / best[1], -dead / best[1]])
print("settling: time constant", 1 / best[1], "relative standard error", np.sqrt(covariance[1, 1]) / best[1])
print("  dead time", dead, "standard error", np.sqrt(gradient @ covariance @ gradient))
t = stats.t.ppf(0.975, 14)
row = np.array([1, -15.0])
print("  displacement over jump at 15 us", np.exp(best[0] - best[1] * 15), "half width in logarithms", t * np.sqrt(row @ covariance @ row))
