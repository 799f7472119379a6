"""The F test of one shape of response against one for each zone, by scipy and numpy:
shares nothing with the package. Reads [{model, zone: [...], n: [...], y: [...]}] as JSON and
writes [{sse0, sse1, f, df1, df2, p}]. Needs Debian's python3-scipy.
"""

import json
import sys

import numpy as np
from scipy import optimize, stats


def residual(x, y):
    beta = np.linalg.lstsq(x, y, rcond=None)[0]
    return float(np.sum((y - x @ beta) ** 2)), beta


def shapes(model, n, join):
    if model == "linear-plateau":
        return np.minimum(n, join)
    m = np.minimum(n, join)
    return m - m * m / (2 * join)


def fit(model, zone, n, y):
    """Least sum of squares of a level for each zone and one shape."""
    levels = (zone[:, None] == np.unique(zone)[None, :]).astype(float)
    if model == "quadratic":
        u = n / n.max()
        return residual(np.column_stack([levels, u, u * u]), y)[0]
    bare = residual(levels, y)[0]

    def sse(join):
        s, beta = residual(np.column_stack([levels, shapes(model, n, join)]), y)
        return s if beta[-1] > 0 else bare

    best = np.inf
    for lo, hi in list(zip(np.unique(n)[:-1], np.unique(n)[1:])) + [(n.max(), 10 * n.max()), (10 * n.max(), 1e6)]:
        grid = np.linspace(max(lo, 1e-6), hi, 24)
        values = [sse(j) for j in grid]
        best = min(best, min(values))
        for i in range(24):
            if values[i] <= values[max(i - 1, 0)] and values[i] <= values[min(i + 1, 23)]:
                r = optimize.minimize_scalar(sse, bounds=(grid[max(i - 1, 0)], grid[min(i + 1, 23)]), method="bounded", options={"xatol": 1e-9})
                best = min(best, float(r.fun))
    return best


def main():
    out = []
    for c in json.load(sys.stdin):
        zone, n, y = np.array(c["zone"]), np.array(c["n"], float), np.array(c["y"], float)
        sse0 = fit(c["model"], zone, n, y)
        sse1 = sum(fit(c["model"], zone[zone == z], n[zone == z], y[zone == z]) for z in np.unique(zone))
        k = len(np.unique(zone))
        df1, df2 = 2 * (k - 1), len(n) - 3 * k
        f = (sse0 - sse1) / df1 / (sse1 / df2)
        out.append({"sse0": sse0, "sse1": sse1, "f": f, "df1": df1, "df2": df2, "p": float(stats.f.sf(f, df1, df2))})
    json.dump(out, sys.stdout)


main()
