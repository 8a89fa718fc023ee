"""A bath through time by a second method: writes courses.csv beside it from cases.csv.

The cell is written the other way round than in the engine: the film's voltage is asinh of the current, the current of
the whole is the unknown of one equation (bisection and secants by brentq), and thicknesses with the charge are carried
by an implicit Runge-Kutta method (Radau) instead of an explicit one, restarted at every kink of the programme.

    V_set = v + R I + rho L sum(A_j i_j^2) / I,  I = sum of A_j i_j,  q dg_j/dt = wet_j i_j,
    i_j = i(g_j, v),  i(g, v) = 2 i_ref exp(-b) sinh(b k v / g)

with g the thickness above the offset; where I would pass the supply's limit, I is the limit and v follows.
Constants are not those of the library, so that no default can hide.

Run:  python tests/cross/anodising-time/make.py        (numpy, scipy)
"""
import csv
import math
import pathlib

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

HERE = pathlib.Path(__file__).resolve().parent
FARADAY = 96485.33212


def numbers(text):
    return [float(x) for x in text.split(";")]


class Cell:
    def __init__(self, row):
        g = {key: float(value) for key, value in row.items() if key not in ("case", "areas_cm2", "from_nm", "volts_v", "at_s")}
        self.k, self.offset, self.b = g["ratio_nm_per_v"], g["offset_nm"], g["slope"]
        self.i_ref = 1e-3 * g["at_ma_per_cm2"]
        self.q = g["electrons"] * FARADAY * g["density_g_cm3"] / g["molar_mass_g"] * 1e-7 / g["efficiency"]
        self.bath, self.series, self.most = g["bath_ohm_cm2"], g["series_ohm"], g["most_a"]
        self.areas = np.array(numbers(row["areas_cm2"]))
        self.start = np.array(numbers(row["from_nm"]))
        self.volts, self.at = numbers(row["volts_v"]), numbers(row["at_s"])
        # A fade: when the lifting begins and ends; zones are slices from the end that leaves first.
        self.lift = (g["lift_from_s"], g["lift_to_s"])

    def set_v(self, t):
        return float(np.interp(t, self.at, self.volts))

    def wet(self, t):
        begun, ended = self.lift
        if ended <= begun:
            return np.ones(len(self.areas))
        out = min(max((t - begun) / (ended - begun), 0.0), 1.0) * len(self.areas)
        return np.clip(1.0 - (out - np.arange(len(self.areas))), 0.0, 1.0)

    def density(self, g, v):
        x = self.b * self.k * v / g
        # 2 exp(-b) sinh x without overflow; beyond 80 the supply rules, whatever the film would take.
        return self.i_ref * (np.exp(np.minimum(x - self.b, 80.0)) - np.exp(-x - self.b))

    def film_v(self, g, area, total):
        """The voltage at which the wet films take `total` amperes: in closed form for one of them, else by brentq."""
        def alone(j, amperes):
            return g[j] / (self.b * self.k) * math.asinh(amperes / area[j] * math.exp(self.b) / (2 * self.i_ref))
        under = np.flatnonzero(area > 0)
        if len(under) == 1:
            return alone(under[0], total)
        # No film takes more than all; the one with the least voltage for all bounds the common one from above.
        high = min(alone(j, total) for j in under)
        low = min(alone(j, total * area[j] / area.sum()) for j in under) * 0.5
        f = lambda v: math.log((area * self.density(g, v)).sum() / total)
        while f(low) > 0:
            low *= 0.5
        return brentq(f, low, high * (1 + 1e-12), xtol=1e-13, rtol=1e-14, maxiter=300)

    def current(self, t, g):
        area = self.areas * self.wet(t)
        if area.sum() <= 0:
            return 0.0, 0.0
        v_set = self.set_v(t)
        if v_set <= 0:
            return 0.0, 0.0

        def need(amperes):
            v = self.film_v(g, area, amperes)
            square = (area * self.density(g, v) ** 2).sum()
            return v + self.series * amperes + self.bath * square / amperes - v_set

        most = self.most
        if need(most) <= 0:
            return most, self.film_v(g, area, most)
        total = math.exp(brentq(lambda l: need(math.exp(l)), math.log(1e-25), math.log(most), xtol=1e-14, rtol=1e-14))
        return total, self.film_v(g, area, total)

    def rates(self, t, y):
        g = np.maximum(y[:-1], 1e-6)
        total, v = self.current(t, g)
        if total <= 0:
            return np.zeros_like(y)
        return np.append(self.wet(t) * self.density(g, v) / self.q, total)

    def kinks(self):
        begun, ended = self.lift
        slices = [] if ended <= begun else list(np.linspace(begun, ended, len(self.areas) + 1))
        return sorted(set(self.at) | set(slices))

    def course(self, times):
        y = np.append(np.maximum(self.start - self.offset, 1e-6), 0.0)
        t, rows = times[0], []
        # A bare film is steep at first, so that each stretch begins with a short step.
        stops = sorted(set(times) | {k for k in self.kinks() if times[0] < k < times[-1]})
        for stop in stops:
            if stop > t:
                s = solve_ivp(self.rates, (t, stop), y, "Radau", rtol=1e-9, atol=1e-9, first_step=min(1e-6, stop - t))
                assert s.success, s.message
                t, y = stop, s.y[:, -1]
            if stop in times[1:]:
                total, v = self.current(t - 1e-12, np.maximum(y[:-1], 1e-6))
                rows.append((t, v, total, y[-1], y[:-1] + self.offset))
        return rows


TIMES = {
    "held": [0, 0.5, 1, 2, 5, 10, 20, 40, 60],
    "held-limited": [0, 1, 5, 10, 20, 40, 60],
    "ramp": [0, 1, 5, 10, 20, 40, 53, 60, 90],
    "two-zones": [0, 0.2, 1, 3, 6, 12, 30],
    "fade": [0, 5, 15, 30, 45, 60, 74],
}

if __name__ == "__main__":
    with open(HERE / "cases.csv", newline="") as file:
        cases = list(csv.DictReader(file))
    with open(HERE / "courses.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["case", "time_s", "film_v", "current_a", "charge_c", "thickness_nm"])
        for row in cases:
            for t, v, i, q, nm in Cell(row).course(TIMES[row["case"]]):
                out.writerow([row["case"], f"{t:g}", f"{v:.8g}", f"{i:.8g}", f"{q:.8g}", ";".join(f"{x:.8g}" for x in nm)])
