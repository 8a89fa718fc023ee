"""The balance of a reactive gas by a second method: writes states.csv, turning.csv and loops.csv beside it.

Target and walls are each one equation, solved by brentq for the share that is compound, as they stand in the paper's
form and not made explicit; turning points by a bounded minimum of the flow against the logarithm of the pressure; the
least pumping without a jump from the slope by complex steps. loops.csv are readings of chambers with constants of their
own, with noise of the voltmeter and of the flow meter (seeded), to be fitted; their true turning flows stand beside.

Run:  python tests/cross/reactive/make.py        (numpy, scipy)
"""
import csv
import math
import pathlib

import numpy as np
from scipy.optimize import brentq, minimize_scalar

HERE = pathlib.Path(__file__).resolve().parent
E, K, U = 1.602176634e-19, 1.380649e-23, 1.66053906660e-27
SCCM = 101325e-6 / (K * 273.15) / 60


class Chamber:
    def __init__(self, row):
        g = {key: float(value) for key, value in row.items() if key != "case"}
        self.at, self.ac, self.i = g["target_m2"], g["wall_m2"], g["current_a"]
        self.st, self.sc = g["sticking_target"], g["sticking_wall"]
        self.ym, self.yc = g["yield_metal"], g["yield_compound"]
        self.s, self.m, self.u, self.t = g["pumping_m3_s"], g["mass_u"] * U, g["units"], g["temperature_k"]
        self.j = self.i / (E * self.at)

    def surfaces(self, p):
        """Shares of target and walls that are compound: each balance a root between 0 and 1."""
        f = p / math.sqrt(2 * math.pi * self.m * K * self.t)
        a = self.at / self.ac

        def target(t):
            return (self.j * self.yc * t - self.u * self.st * f * (1 - t)) / self.j

        t = brentq(target, 0, 1, xtol=1e-16, rtol=1e-15)

        def wall(c):
            gained = self.j * self.yc * t * a * (1 - c) + self.u * self.sc * f * (1 - c)
            return (gained - self.j * self.ym * (1 - t) * a * c) / (self.j * a)

        return f, t, brentq(wall, 0, 1, xtol=1e-16, rtol=1e-15)

    def flow(self, p):
        f, t, c = self.surfaces(p)
        return (self.st * f * (1 - t) * self.at + self.sc * f * (1 - c) * self.ac + p * self.s / (K * self.t)) / SCCM

    def rate(self, p):
        _, t, _ = self.surfaces(p)
        return self.j * (self.yc * t + self.ym * (1 - t)) * self.at / self.ac

    def unit(self):
        """A pressure of the right order: at it as much sticks to the bare target as it can hold."""
        return self.j * self.yc / (self.u * self.st) * math.sqrt(2 * math.pi * self.m * K * self.t)

    def turning(self):
        logs = math.log(self.unit()) + np.linspace(math.log(1e-4), math.log(1e4), 6000)
        flows = np.array([self.flow(math.exp(x)) for x in logs])
        step = np.diff(flows)
        if (step > 0).all():
            return None
        found = []
        for sign, where in ((-1, np.flatnonzero(step < 0)[0]), (1, np.flatnonzero(step < 0)[-1] + 1)):
            lo, hi = logs[max(where - 2, 0)], logs[min(where + 2, len(logs) - 1)]
            best = minimize_scalar(lambda x: sign * self.flow(math.exp(x)), bounds=(lo, hi), method="bounded", options={"xatol": 1e-10})
            found.append(math.exp(best.x))
        return found

    def enough(self):
        """Least pumping speed without a jump: minus the least slope of the rest of the flow."""
        root = math.sqrt(2 * math.pi * self.m * K * self.t)

        def slope(log_p):
            p = math.exp(log_p) * (1 + 1e-30j)
            f = p / root
            a = self.at / self.ac
            t = self.u * self.st * f / (self.j * self.yc + self.u * self.st * f)
            gain = self.j * self.yc * t * a + self.u * self.sc * f
            c = gain / (gain + self.j * self.ym * (1 - t) * a)
            q = self.st * f * (1 - t) * self.at + self.sc * f * (1 - c) * self.ac
            return q.imag / (1e-30 * math.exp(log_p))

        logs = math.log(self.unit()) + np.linspace(math.log(1e-4), math.log(1e4), 4000)
        at = int(np.argmin([slope(x) for x in logs]))
        best = minimize_scalar(slope, bounds=(logs[max(at - 2, 0)], logs[at + 2]), method="bounded", options={"xatol": 1e-9})
        return -best.fun * K * self.t

    def at_flow(self, q):
        """Pressures of a flow by rising pressure: every change of sign on a fine grid, then brentq."""
        logs = math.log(self.unit()) + np.linspace(math.log(1e-6), math.log(1e5), 4000)
        off = np.array([self.flow(math.exp(x)) - q for x in logs])
        marks = np.flatnonzero(np.sign(off[:-1]) != np.sign(off[1:]))
        return [math.exp(brentq(lambda x: self.flow(math.exp(x)) - q, logs[i], logs[i + 1], xtol=1e-14, rtol=1e-14)) for i in marks]


def write(name, columns, rows):
    with open(HERE / name, "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(columns)
        out.writerows(rows)


def long(x):
    return f"{x:.10g}"


def states_and_turns():
    states, turns = [], []
    with open(HERE / "cases.csv") as f:
        rows = list(csv.DictReader(f))
    for row in rows:
        c = Chamber(row)
        found = c.turning()
        cells = [""] * 4
        if found:
            cells = [long(x) for p in found for x in (c.flow(p), p)]
        turns.append([row["case"], *cells, long(c.enough())])
        unit = c.unit()
        for share in (0.003, 0.05, 0.4, 1.0, 3.0, 20.0):
            p = unit * share
            _, t, w = c.surfaces(p)
            states.append([row["case"], "", long(p), long(c.flow(p)), long(t), long(w), long(c.rate(p))])
        flows = [0.3, 0.9, 1.3]
        base = c.flow(found[0]) if found else c.flow(unit)
        if found:
            flows.append((0.5 * c.flow(found[1]) + 0.5 * base) / base)
        for share in flows:
            for number, p in enumerate(c.at_flow(share * base)):
                _, t, w = c.surfaces(p)
                states.append([row["case"], number, long(p), long(c.flow(p)), long(t), long(w), long(c.rate(p))])
    write("states.csv", ["case", "root", "pressure_pa", "flow_sccm", "target_compound", "wall_compound", "rate_per_m2_s"], states)
    write("turning.csv", ["case", "up_sccm", "up_pa", "down_sccm", "down_pa", "pumping_without_m3_s"], turns)


def loops():
    """Chambers by chance (seeded), of which those that jump are read."""
    chance = np.random.default_rng(20261103)
    rows, truth = [], []
    number = 0
    while number < 24:
        at = chance.uniform(0.015, 0.08)
        c = Chamber({
            "target_m2": at, "wall_m2": at * chance.uniform(8, 60), "current_a": at * chance.uniform(60, 250),
            "sticking_target": chance.uniform(0.2, 1), "sticking_wall": chance.uniform(0.2, 1),
            "yield_metal": chance.uniform(0.4, 1.1), "yield_compound": 0,
            "pumping_m3_s": at * chance.uniform(4, 30), "mass_u": 28.014, "units": 2, "temperature_k": 310})
        c.yc = c.ym * chance.uniform(0.06, 0.35)
        found = c.turning()
        if not found:
            continue
        up, down = c.flow(found[0]), c.flow(found[1])
        if up - down < 0.05 * up:
            continue
        volts = chance.uniform(330, 480)
        metal, compound = volts, volts + chance.choice([-1, 1]) * chance.uniform(25, 90)
        count = int(chance.integers(7, 19))
        noise = [0.0, 0.5, 1.0, 2.0][number % 4]
        most = up * chance.uniform(1.15, 1.7)
        name = f"loop-{number + 1:02}"
        top, bottom = found
        for direction in ("up", "down"):
            for i in range(1, count + 1):
                q = most * i / count
                ps = c.at_flow(q)
                p = ps[0] if direction == "up" else ps[-1]
                assert p <= top or direction == "down" or q > up
                assert p >= bottom or direction == "up" or q < down
                _, t, _ = c.surfaces(p)
                v = metal + (compound - metal) * t + noise * chance.standard_normal()
                rows.append([name, direction, f"{q:.2f}", f"{v:.0f}"])
        truth.append([name, noise, count, long(up), long(down), long(metal), long(compound)])
        number += 1
    write("loops.csv", ["loop", "direction", "flow_sccm", "volts"], rows)
    write("loop-truth.csv", ["loop", "noise_v", "readings", "up_sccm", "down_sccm", "volts_metal", "volts_compound"], truth)


if __name__ == "__main__":
    states_and_turns()
    loops()
