"""What targets send to facets, by rays: writes values.csv and means.csv beside it.

Each ray from the receiver to a point of the target's floor is asked whether it passes the mouth of the groove and keeps
clear of each body (distance of the body's axis from the ray, in plan); where along the width and the height the answer
changes is found by bisection, and the law of the cosine is integrated between those places by scipy's adaptive rule.
Means over the motion: brute force, the middle of many cells of the target by many moments, bodies by the same rays.

Run:  python tests/cross/faces/make.py        (numpy, scipy)
"""
import csv
import math
import pathlib

import numpy as np
from scipy.integrate import quad

HERE = pathlib.Path(__file__).resolve().parent


def clear(px, py, qx, qy, shields):
    """Whether the way in plan from p to q keeps clear of the bodies; a body ends where the receiver p is."""
    ok = np.ones(np.broadcast(px, qx).shape, bool)
    for cx, cy, r in shields:
        dx, dy = qx - px, qy - py
        away = np.hypot(cx - px, cy - py)
        r = np.minimum(r, away)
        s = np.clip(((cx - px) * dx + (cy - py) * dy) / (dx * dx + dy * dy), 0, 1)
        near = np.hypot(px + s * dx - cx, py + s * dy - cy)
        # At the receiver itself (s = 0) it grazes and goes off.
        ok &= (near >= r * (1 - 1e-12)) | (s <= 0)
    return ok


def changes(seen, low, high, count=4001):
    """Stretches of low..high in which seen() holds, their ends by bisection."""
    at = np.linspace(low, high, count)
    marks = [bool(seen(x)) for x in at]
    ends, inside = [], marks[0]
    if inside:
        ends.append(low)
    for i in range(count - 1):
        if marks[i] != marks[i + 1]:
            a, b = at[i], at[i + 1]
            for _ in range(60):
                m = 0.5 * (a + b)
                if bool(seen(m)) == marks[i]:
                    a = m
                else:
                    b = m
            ends.append(0.5 * (a + b))
    if marks[-1]:
        ends.append(high)
    return list(zip(ends[0::2], ends[1::2]))


def value(row):
    g = {k: float(v) for k, v in row.items() if k not in ("case", "shields")}
    shields = [tuple(map(float, s.split())) for s in row["shields"].split(";") if s]
    b = math.radians(g["bearing_deg"])
    out, side = np.array([math.cos(b), math.sin(b), 0]), np.array([-math.sin(b), math.cos(b), 0])
    up = np.array([0, 0, 1.0])
    p, normal = np.array([g["x"], g["y"], g["z"]]), np.array([g["nx"], g["ny"], g["nz"]])
    w, h, n, depth = g["width_mm"], g["height_mm"], g["emission"], g["groove_mm"]
    face = g["axis_mm"] * out + g["centre_mm"] * up
    floor = face + depth * out

    def passes(q, along, half):
        """Whether the ray to q on the floor crosses the face within the mouth."""
        s = (face - p) @ out / ((q - p) @ out)
        return abs((p + s * (q - p) - face) @ along) <= half

    def seen_across(u):
        q = floor + u * side
        return passes(q, side, w / 2) and clear(p[0], p[1], q[0], q[1], shields)

    def seen_up(v):
        return passes(floor + v * up, up, h / 2)

    def sent(v, u):
        q = floor + u * side + v * up
        d = p - q
        square = d @ d
        cos_a, cos_b = -(d @ out) / math.sqrt(square), -(d @ normal) / math.sqrt(square)
        return (n + 1) / (2 * math.pi) * cos_a**n * max(cos_b, 0.0) / square / (w * h)

    def column(u, v_low, v_high):
        """Over the height, up to where the receiver's plane is passed."""
        q = floor + u * side
        lit = (q - p) @ normal
        points = None
        if abs(normal[2]) > 0 and v_low < -lit / normal[2] < v_high:
            points = [-lit / normal[2]]
        return quad(sent, v_low, v_high, args=(u,), points=points, epsabs=0, epsrel=1e-10, limit=200)[0]

    total = 0.0
    for v_low, v_high in changes(seen_up, -h / 2, h / 2):
        for u_low, u_high in changes(seen_across, -w / 2, w / 2):
            if abs(normal[2]) > 0:
                points = []
                for v in (v_low, v_high):
                    # Where the receiver's plane meets the ends of the strip.
                    a, c = side @ normal, (floor + v * up - p) @ normal
                    if abs(a) > 0 and u_low < -c / a < u_high:
                        points.append(-c / a)
            else:
                a, c = side @ normal, (floor - p) @ normal
                points = [-c / a] if abs(a) > 0 and u_low < -c / a < u_high else []
            total += quad(column, u_low, u_high, args=(v_low, v_high), points=sorted(points) or None, epsabs=1e-18, epsrel=1e-9, limit=200)[0]
    return total


def mean(row):
    g = {k: float(v) for k, v in row.items() if k not in ("case", "bearings_deg")}
    rotation = int(g["rotation"])
    turns = {1: 1, 2: 10, 3: 10}[rotation]
    if rotation == 2 and g["satellite_ratio"] == round(g["satellite_ratio"]):
        turns = 1
    moments = 6000 * (1 if turns == 1 else 4)
    t = 2 * math.pi * turns * (np.arange(moments) + 0.5) / moments
    around = math.radians(g["around_deg"])
    if rotation == 1:
        r = g["table_mm"] - g["inward_mm"]
        px, py, own = r * np.cos(t + around), r * np.sin(t + around), t + around
        bodies = [(np.zeros_like(t), np.zeros_like(t))]
    else:
        carrier = t + around + g["satellite_ratio"] * t
        r = g["satellite_mm"] - g["inward_mm"]
        px = g["table_mm"] * np.cos(t) + r * np.cos(carrier)
        py = g["table_mm"] * np.sin(t) + r * np.sin(carrier)
        own = carrier + (g["pin_ratio"] * t if rotation == 3 else 0)
        count = int(g["satellites"])
        bodies = [(g["table_mm"] * np.cos(t + 2 * math.pi * k / count), g["table_mm"] * np.sin(t + 2 * math.pi * k / count)) for k in range(count)]
    px = px + g["fx"] * np.cos(own) - g["fy"] * np.sin(own)
    py = py + g["fx"] * np.sin(own) + g["fy"] * np.cos(own)
    pz = g["at_height_mm"] + g["fz"]
    nx, ny, nz = g["nx"] * np.cos(own) - g["ny"] * np.sin(own), g["nx"] * np.sin(own) + g["ny"] * np.cos(own), g["nz"]
    n = g["emission"]
    wide, high = 48, 160
    total = np.zeros_like(t)
    for bearing in row["bearings_deg"].split(";"):
        b = math.radians(float(bearing))
        for i in range(wide):
            u = g["width_mm"] * ((i + 0.5) / wide - 0.5)
            qx, qy = g["axis_mm"] * math.cos(b) - u * math.sin(b), g["axis_mm"] * math.sin(b) + u * math.cos(b)
            free = np.ones(len(t), bool)
            if g["shade_mm"] > 0:
                for cx, cy in bodies:
                    free &= clear(px, py, np.full_like(t, qx), np.full_like(t, qy), [(cx, cy, g["shade_mm"])])
            v = g["height_mm"] * ((np.arange(high) + 0.5) / high - 0.5)
            dx, dy = qx - px, qy - py
            ahead = dx * math.cos(b) + dy * math.sin(b)
            lit = dx * nx + dy * ny
            where = np.flatnonzero(free & (ahead > 0))
            dz = v[None, :] - pz
            square = (dx[where] ** 2 + dy[where] ** 2)[:, None] + dz**2
            received = np.maximum(lit[where][:, None] + nz * dz, 0)
            part = (n + 1) / (2 * math.pi) * ahead[where][:, None] ** n * received / square ** ((n + 3) / 2)
            total[where] += part.sum(1) / (wide * high)
    return total.mean()


def main():
    for source, target, work in (("cases.csv", "values.csv", value), ("loads.csv", "means.csv", mean)):
        with open(HERE / source) as f:
            rows = list(csv.DictReader(f))
        with open(HERE / target, "w", newline="") as f:
            out = csv.writer(f, lineterminator="\n")
            out.writerow(["case", "per_mm2"])
            for row in rows:
                out.writerow([row["case"], f"{work(row):.9e}"])


if __name__ == "__main__":
    main()
