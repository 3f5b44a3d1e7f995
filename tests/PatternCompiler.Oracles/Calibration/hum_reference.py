"""Prints the values that HumReferenceTests compares with: the same table fitted by NumPy's lstsq (python3 hum_reference.py)."""

import numpy as np

rows = np.arange(60)
lines = rows // 30
t = 1.7e-3 * rows + 0.011 * lines
noise = ((rows * 37) % 11 - 5) * 0.4
x = np.round(
    5 + 40 * lines - 100 * t
    + 30 * np.sin(2 * np.pi * 50 * t + 0.7) + 4 * np.sin(2 * np.pi * 100 * t + 2) + 1.5 * np.sin(2 * np.pi * 150 * t - 1) + noise, 2)


def design(f):
    columns = []
    for line in (0, 1):
        columns += [lines == line, (lines == line) * t]
    for h in (1, 2, 3):
        columns += [np.sin(2 * np.pi * h * f * t), np.cos(2 * np.pi * h * f * t)]
    return np.array(columns, dtype=float).T


def fit(f):
    a = design(f)
    c, _, _, _ = np.linalg.lstsq(a, x, rcond=None)
    left = x - a @ c
    return a, c, left


a, c, left = fit(50)
covariance = left @ left / (len(x) - a.shape[1]) * np.linalg.inv(a.T @ a)
print("rms residual", np.sqrt(left @ left / len(x)))
for h in (1, 2, 3):
    s, k = c[2 + 2 * h], c[3 + 2 * h]
    amplitude = np.hypot(s, k)
    to_amplitude = np.array([s, k]) / amplitude
    to_phase = np.array([-k, s]) / amplitude**2
    part = covariance[2 + 2 * h : 4 + 2 * h, 2 + 2 * h : 4 + 2 * h]
    print(h, amplitude, np.sqrt(to_amplitude @ part @ to_amplitude), np.degrees(np.arctan2(k, s)), np.degrees(np.sqrt(to_phase @ part @ to_phase)))

# The frequency by golden section on the sum of squares, its standard error from the curvature with all other parameters free.
low, high = 49.5, 50.5
golden = (np.sqrt(5) - 1) / 2
squares = lambda f: (lambda r: r @ r)(fit(f)[2])
for _ in range(100):
    m, n = high - golden * (high - low), low + golden * (high - low)
    low, high = (low, n) if squares(m) < squares(n) else (m, high)
f = (low + high) / 2
step = 1e-4
curvature = (squares(f + step) - 2 * squares(f) + squares(f - step)) / step**2
print("frequency", f, np.sqrt(2 * squares(f) / (len(x) - a.shape[1] - 1) / curvature))
