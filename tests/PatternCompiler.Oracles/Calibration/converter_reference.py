"""Prints the values that ConverterReferenceTests compares with: a table of a voltmeter's readings fitted by NumPy (python3 converter_reference.py TABLE).

One least-squares problem for each output: a level for every code, and crosstalk times what the other output gives of its own.
"""

import sys
import numpy as np
from scipy import stats

LOWEST, STEP, MIDDLE = -10.0, 20.0 / 65536, 32768
rows = []
for line in open(sys.argv[1], encoding="ascii").read().splitlines()[1:]:
    axis, code, other, volts = (cell.strip() for cell in line.split(","))
    rows.append((axis, int(code), int(other), (float(volts) - LOWEST) / STEP))

own = {axis: {code: np.median([r[3] for r in rows if r[0] == axis and r[1] == code]) for code in {r[1] for r in rows if r[0] == axis}} for axis in "xy"}
for axis, beside in (("x", "y"), ("y", "x")):
    mine = [r for r in rows if r[0] == axis]
    codes = sorted({r[1] for r in mine})
    design = np.zeros((len(mine), len(codes) + 1))
    for i, (_, code, other, _) in enumerate(mine):
        design[i, codes.index(code)] = 1
        design[i, -1] = (own[beside][other] - MIDDLE) / MIDDLE
    steps = np.array([r[3] - r[1] for r in mine])
    solution, _, _, _ = np.linalg.lstsq(design, steps, rcond=None)
    residuals = steps - design @ solution
    spare = len(mine) - len(codes) - 1
    covariance = np.linalg.inv(design.T @ design) * (residuals @ residuals) / spare
    solution[-1] /= MIDDLE
    covariance[-1, -1] /= MIDDLE**2
    half = stats.t.ppf(0.975, spare) * np.sqrt(covariance[-1, -1])
    deviations = solution[:-1]
    line, line_covariance = np.polyfit((np.array(codes) - MIDDLE) / 65536, deviations, 1, cov=True)
    print(axis, "crosstalk", repr(float(solution[-1])), "from", repr(float(solution[-1] - half)), "to", repr(float(solution[-1] + half)))
    print(axis, "rms", repr(float(np.sqrt(np.mean(residuals**2)))), "levels", [repr(float(deviations[codes.index(c)])) for c in (0, 32767, 32768, 65535)])
    print(axis, "gain error %", repr(float(100 * line[0] / 65536)), "error", repr(float(100 * np.sqrt(line_covariance[0, 0]) / 65536)), "offset mV", repr(float(1000 * STEP * line[1])))
