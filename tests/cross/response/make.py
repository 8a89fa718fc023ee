"""A straight-line response learnt from runs: writes coefficients.csv and foreseen.csv beside it, from runs.csv and asked.csv.

The same model by another way: ridge regression as an augmented least-squares problem (scipy.linalg.lstsq, by singular
values), rows of the prior below the runs; scales and the chance of Student's t from scipy.stats. The engine inverts the
normal matrix by Gauss and Jordan.

Prior: level sd 1000, slope sd 100 per population standard deviation of the setting, scatter 1 counted as two runs.

Run:  python tests/cross/response/make.py        (numpy, scipy)
"""
import csv
import pathlib

import numpy as np
from scipy import stats
from scipy.linalg import lstsq, qr, solve_triangular

HERE = pathlib.Path(__file__).resolve().parent
LEVEL, SLOPE, SCATTER, COUNTS = 1000.0, 100.0, 1.0, 2.0


def rows(name):
    with open(HERE / name) as file:
        return list(csv.DictReader(file))


def learn(runs):
    x = np.array([[float(v) for v in r["settings"].split()] for r in runs])
    y = np.array([[float(r[c]) for c in "lab"] for r in runs])
    mean, scale = x.mean(0), x.std(0)
    scale = np.where(scale > 0, scale, 1.0)
    design = np.hstack([np.ones((len(x), 1)), (x - mean) / scale])
    prior = np.diag([SCATTER / LEVEL] + [SCATTER / SLOPE] * x.shape[1])
    both = np.vstack([design, prior])
    beta = lstsq(both, np.vstack([y, np.zeros((len(prior), 3))]))[0]
    freedom = COUNTS + len(x) - design.shape[1]
    noise = np.sqrt((COUNTS * SCATTER**2 + ((y - design @ beta) ** 2).sum(0)) / freedom)
    triangle = qr(both, mode="economic")[1]
    return mean, scale, beta, freedom, noise, triangle, x, design


def leverage(triangle, row):
    # row (A'A)^-1 row' with A = QR is the square of R'^-1 row'.
    return float((solve_triangular(triangle, row, trans="T") ** 2).sum())


def main():
    sets = {}
    for r in rows("runs.csv"):
        sets.setdefault(r["set"], []).append(r)
    with open(HERE / "coefficients.csv", "w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["set", "setting", "axis", "slope", "sd", "scatter", "tolerance"])
        for name, runs in sets.items():
            _, scale, beta, _, noise, triangle, x, _ = learn(runs)
            for i in range(x.shape[1]):
                unit = np.zeros(x.shape[1] + 1)
                unit[i + 1] = 1
                for n in range(3):
                    sd = noise[n] * np.sqrt(leverage(triangle, unit))
                    out.writerow([name, i, n, repr(float(beta[i + 1, n] / scale[i])), repr(float(sd / scale[i])),
                                  repr(float(noise[n])), "1e-9"])
    with open(HERE / "foreseen.csv", "w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["set", "settings", "known", "l", "a", "b", "scale_l", "scale_a", "scale_b", "freedom", "t95",
                      "tolerance"])
        for r in rows("asked.csv"):
            mean, scale, beta, freedom, noise, triangle, x, design = learn(sets[r["set"]])
            at = np.array([float(v) for v in r["settings"].split()])
            row = np.concatenate([[1.0], (at - mean) / scale])
            lever = leverage(triangle, row)
            most = max(leverage(triangle, d) for d in design)
            known = bool((at >= x.min(0)).all() and (at <= x.max(0)).all() and lever <= most + 1e-9)
            told = [*(row @ beta), *(noise * np.sqrt(1 + lever))]
            out.writerow([r["set"], r["settings"], int(known), *[repr(float(v)) for v in told], int(freedom),
                          repr(float(stats.t.ppf(0.975, freedom))), "1e-9"])


main()
