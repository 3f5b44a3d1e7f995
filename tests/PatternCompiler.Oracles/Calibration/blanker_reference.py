"""Reference values for BlankerReferenceTests.cs: a switched first-order response integrated in time, and its fit to a table."""

import sys

import numpy as np
import scipy
from scipy import integrate, optimize

print("NumPy", np.__version__, "SciPy", scipy.__version__)


def means(on, off, on_delay, off_delay, rise, fall):
    """Mean of the beam over a period, and over the parts with the line on and off, by integrating dL/dt in steps between edges."""
    period = on + off
    rises, falls = on_delay - rise, on + off_delay - fall
    driven = lambda t: ((t - rises) % period) < (falls - rises)
    edges = sorted({0.0, on, period, rises % period, falls % period})
    level = 0.0
    for _ in range(int(60 + 40 * max(rise, fall) / period)):
        parts = []
        for a, b in zip(edges, edges[1:]):
            isOn = driven((a + b) / 2)
            rhs = lambda t, y: [((1.0 if isOn else 0.0) - y[0]) / (rise if isOn else fall), y[0]]
            done = integrate.solve_ivp(rhs, (a, b), [level, 0.0], rtol=1e-11, atol=1e-13)
            level = done.y[0, -1]
            parts.append((a, done.y[1, -1]))
    during = sum(charge for a, charge in parts if a < on)
    after = sum(charge for a, charge in parts if a >= on)
    return (during + after) / period, during / period, after / period


for case in [(3, 4, 0.5, 0.4, 0.2, 0.3), (0.6, 9, 0.7, 0.9, 0.4, 0.1), (9, 0.6, 0.7, 0.9, 0.1, 0.5), (0.5, 0.5, 0.3, 0.35, 0.25, 0.3), (2, 2, 1.5, 1.2, 0.9, 1.1)]:
    print(case, *("%.12f" % value for value in means(*case)))

TABLE = """
1 0 held 203.0000
0 1 held 0.8318
0.4 0.4 held 82.2857
0.4 20 held 3.9878
20 0.4 held 198.2536
1 1 held 93.8360
1 20 held 9.6559
20 1 held 192.5894
4 4 held 99.9013
4 20 held 33.8440
20 4 held 168.6088
0.4 20 leaves 1.1942
1 20 leaves 6.7995
4 20 leaves 31.3038
20 0.4 enters 2.1574
20 1 enters 2.1640
20 4 enters 2.0063
"""
ROWS = [line.split() for line in TABLE.strip().splitlines()]


def model(p):
    current, leak, on_delay, off_delay, rise, fall = p
    values = []
    for on, off, deflection, _ in ROWS:
        on, off = float(on), float(off)
        if on == 0 or off == 0:
            values.append(current * (1 if on > 0 else leak))
            continue
        period = on + off
        rises, driven = on_delay - rise, on + off_delay - fall - on_delay + rise
        er, ef = np.exp(-driven / rise), np.exp(-(period - driven) / fall)
        high = (1 - er) / (1 - er * ef)
        low = high * ef

        def total(t):
            """Charge since the rise began, within one period."""
            if t <= driven:
                return t - (1 - low) * rise * (1 - np.exp(-t / rise))
            return total(driven) + high * fall * (1 - np.exp(-(t - driven) / fall))

        def upto(t):
            periods = np.floor((t - rises) / period)
            return periods * total(period) + total(t - rises - periods * period)

        a, b, cup = {"held": (0, period, period), "leaves": (0, on, on), "enters": (on, period, off)}[deflection]
        lit = upto(b) - upto(a)
        values.append(current * (lit + leak * (cup - lit)) / period)
    return np.array(values)


# The currents of the table: this model at 203 pA, 0.4 %, 0.3, 0.22, 0.12 and 0.07 us, and an error of up to 0.02 pA.
if "--table" in sys.argv:
    for i, (row, value) in enumerate(zip(ROWS, model([203, 0.004, 0.3, 0.22, 0.12, 0.07]))):
        print(*row[:3], "%.4f" % (value + 0.02 * np.sin(1.7 * i)))
    sys.exit(0)
MEASURED = np.array([float(row[3]) for row in ROWS])
best = optimize.least_squares(lambda p: MEASURED - model(p), [200, 0.005, 0.3, 0.2, 0.1, 0.1], x_scale=[200, 0.01, 0.1, 0.1, 0.1, 0.1], xtol=1e-15, ftol=1e-15, gtol=1e-15)
print("fit", *("%.10g" % value for value in best.x), "squares %.10g" % (2 * best.cost))
