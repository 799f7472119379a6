"""Response curves by scipy, for comparison: shares nothing with the package.

Reads trials as JSON on standard input, writes for each the three fits, the F
test against the mean, and the confidence set of the optimum at a price ratio.
Needs Debian's python3-scipy.
"""

import json
import sys

import numpy as np
from scipy import optimize, stats


def bent(n, join):
    return -np.maximum(join - n, 0.0) ** 2


def straight(n, join):
    return np.minimum(n, join) - join


def regress(y, g):
    """Sum of squares and slope of y on g with an intercept."""
    x = np.column_stack([np.ones_like(g), g])
    beta = np.linalg.lstsq(x, y, rcond=None)[0]
    return float(np.sum((y - x @ beta) ** 2)), float(beta[1])


def level(y):
    return float(np.sum((y - y.mean()) ** 2))


def polish(f, lo, hi, places=600, log=False):
    """Least value of f and where: the best of many places, each neighbourhood polished."""
    x = np.geomspace(lo, hi, places) if log else np.linspace(lo, hi, places)
    v = np.array([f(a) for a in x])
    best, at = v.min(), x[v.argmin()]
    for i in range(places):
        if v[i] <= v[max(i - 1, 0)] and v[i] <= v[min(i + 1, places - 1)] and v[i] < best * 1.2 + 1e-9:
            r = optimize.minimize_scalar(f, bounds=(x[max(i - 1, 0)], x[min(i + 1, places - 1)]), method="bounded", options={"xatol": 1e-10})
            if r.fun < best:
                best, at = float(r.fun), float(r.x)
    return float(best), float(at)


def joined(n, y, shape):
    def sse(join):
        s, k = regress(y, shape(n, join))
        return s if k > 0 else level(y)

    s, join = polish(sse, np.sort(np.unique(n))[1] + 1e-6, n.max(), 900)
    beyond = polish(sse, n.max(), 1e6, 300, log=True)
    if beyond[0] < s:
        s, join = beyond
    return {"sse": s, "join": join, "slope": regress(y, shape(n, join))[1]}


def quadratic(n, y, ratio, conf):
    (a, b, c), cov = optimize.curve_fit(lambda n, a, b, c: a + b * n + c * n * n, n, y, p0=[y.mean(), 1.0, -0.01], xtol=1e-14, ftol=1e-14)
    df = len(n) - 3
    sse = float(np.sum((y - a - b * n - c * n * n) ** 2))
    out = {"a": a, "b": b, "c": c, "sse": sse, "p": float(stats.f.sf((level(y) - sse) / 2 / (sse / df), 2, df))}
    q = stats.t.ppf(0.5 + conf / 2, df)
    # Fieller: (b - r + 2 c x)^2 <= t^2 var, as a quadratic in x, from the covariance matrix.
    x = np.column_stack([np.ones_like(n), n, n * n])
    cov = np.linalg.inv(x.T @ x) * sse / df
    p2 = 4 * c * c - q * q * 4 * cov[2, 2]
    p1 = 4 * c * (b - ratio) - q * q * 4 * cov[1, 2]
    p0 = (b - ratio) ** 2 - q * q * cov[1, 1]
    roots = np.roots([p2, p1, p0])
    real = [float(r.real) for r in roots if abs(r.imag) < 1e-9 * (1 + abs(r.real))]
    out["shape"] = "interval" if p2 > 0 else ("complement" if len(real) == 2 else "whole")
    out["ends"] = sorted(real)
    grad = np.array([0, -1 / (2 * c), -(ratio - b) / (2 * c * c)])
    out["se"] = float(np.sqrt(grad @ cov @ grad))
    return out


def profile(n, y, ratio, conf, fit, ends):
    """F statistic of the plateau's profile at the ends of a set, over the quantile."""
    df = len(n) - 3
    most = fit["sse"] * (1 + stats.f.ppf(conf, 1, df) / df)
    out = []
    for x in ends:
        def sse(w, x=x):
            k = ratio / (2 * w)
            e = y - k * bent(n, x + w)
            return level(e)
        out.append(polish(sse, 1e-7, 1e5, 1500, log=True)[0] / most)
    return out


def main():
    out = []
    for t in json.load(sys.stdin):
        n, y = np.array(t["n"]), np.array(t["y"])
        qp, lp = joined(n, y, bent), joined(n, y, straight)
        out.append({
            "quadratic": quadratic(n, y, t["ratio"], t["level"]),
            "plateau": qp, "linear": lp,
            "profile": profile(n, y, t["ratio"], t["level"], qp, t["ends"] or []),
            "f": float(stats.f.ppf(t["level"], 1, len(n) - 3)),
        })
    json.dump(out, sys.stdout)


main()
