"""Oxide through ramp, hold and cooling by a second method: writes thickness.csv beside it from programmes.csv.

d^2 = d0^2 + integral of k0 exp(-Ea / R T(t)) dt, the integral by adaptive Gauss and Kronrod (quad), split where the
temperature passes the point below which the law is not carried; the hold in closed form. Constants are not those of
the library.

Run:  python tests/cross/heat-programme/make.py        (scipy)
"""
import csv
import math
import pathlib

from scipy.integrate import quad

HERE = pathlib.Path(__file__).resolve().parent
R = 8.31446261815324
ROOM_C = 20.0


def integral(rate, temperature, seconds, crossing):
    ends = [0.0] + [crossing] * (crossing is not None and 0 < crossing < seconds) + [seconds]
    total = 0.0
    for a, b in zip(ends, ends[1:]):
        middle = temperature(0.5 * (a + b))
        if rate(middle) > 0:
            total += quad(lambda t: rate(temperature(t)), a, b, epsabs=1e-13, epsrel=1e-13, limit=500)[0]
    return total


def thickness(p):
    def rate(c):
        return 0.0 if c < p["from_law_c"] else p["k0_nm2_per_s"] * math.exp(-1e3 * p["activation_kj_per_mol"] / (R * (c + 273.15)))
    peak, law = p["peak_c"], p["from_law_c"]
    rise, hold = 60 * (peak - ROOM_C) / p["ramp_c_per_min"], 60 * p["minutes"]
    tau = 60 * p["cool_minutes"]
    up = integral(rate, lambda t: ROOM_C + (peak - ROOM_C) * t / rise, rise, rise * (law - ROOM_C) / (peak - ROOM_C))
    crossing = tau * math.log((peak - ROOM_C) / (law - ROOM_C)) if law > ROOM_C else None
    down = integral(rate, lambda t: ROOM_C + (peak - ROOM_C) * math.exp(-t / tau), 5 * tau, crossing)
    ends, square = [], p["existing_nm"] ** 2
    for grown in (up, rate(peak) * hold, down):
        square += grown
        ends.append(math.sqrt(square))
    return ends


if __name__ == "__main__":
    with open(HERE / "programmes.csv", newline="") as file:
        rows = [{k: float(v) for k, v in r.items()} for r in csv.DictReader(file)]
    with open(HERE / "thickness.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["row", "after_ramp_nm", "after_hold_nm", "cold_nm"])
        for i, p in enumerate(rows, 1):
            out.writerow([i] + [f"{x:.9g}" for x in thickness(p)])
