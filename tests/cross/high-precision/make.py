"""Film stacks worked out with 60 and more decimal digits, as a check on the engine's recursion.

Method: the characteristic (transfer) matrix of each film, in its cos/sin form with complex
angles, multiplied from the base outward. No recursion of reflection amplitudes is used anywhere.

Convention: refractive index N = n + i k with k >= 0, a wave going forward carries exp(+i phase).
    q      = N cos(angle inside) = sqrt(N^2 - (n0 sin angle0)^2), branch with Im q > 0
             (Re q > 0 when Im q = 0)
    eta    = q for s, N^2 / q for p             (tilted admittance, in units of free space)
    delta  = 2 pi q d / wavelength
    | B |   | cos delta            -i sin(delta) / eta | | B |
    | C | = | -i eta sin(delta)     cos delta          | | C |   starting with B = 1, C = eta of the base
    R      = |(eta0 B - C) / (eta0 B + C)|^2
    T      = 4 eta0 Re(eta base) / |eta0 B + C|^2    (power that goes into the base)
Textbook form; for instance H. A. Macleod, "Thin-Film Optical Filters", chapter 2, whose n - i k
becomes n + i k when every i changes sign.

Run:  python make.py            writes stacks.csv beside this file
      python make.py --check    works everything out again and compares with stacks.csv
Needs mpmath. The random numbers come from Python's random.Random(SEED).random() alone.
"""
import pathlib
import random
import sys

import mpmath
from mpmath import mp, mpc, mpf

SEED = 1931
HERE = pathlib.Path(__file__).resolve().parent
COLUMNS = "id,wavelength_nm,ambient_n,angle_deg,base_n,base_k,films,rs,rp,ts,tp"
SMALLEST_T = mpf("1e-300")


def q_of(index, snell):
    q = mpmath.sqrt(index * index - snell * snell)
    if q.imag < 0 or (q.imag == 0 and q.real < 0):
        q = -q
    return q


def eta_of(index, q, polarisation):
    return q if polarisation == "s" else index * index / q


def reflect_and_pass(wavelength, ambient, angle_deg, base, films, polarisation):
    """films: list of (complex index, thickness), from the base outward. Gives R and T."""
    angle = mpf(angle_deg) * mp.pi / 180
    snell = ambient * mpmath.sin(angle)
    eta0 = eta_of(ambient, ambient * mpmath.cos(angle), polarisation)
    eta_base = eta_of(base, q_of(base, snell), polarisation)
    b, c = mpc(1), mpc(eta_base)
    for index, thickness in films:
        q = q_of(index, snell)
        eta = eta_of(index, q, polarisation)
        delta = 2 * mp.pi * q * thickness / wavelength
        co, si = mpmath.cos(delta), mpmath.sin(delta)
        b, c = co * b - 1j * si / eta * c, -1j * eta * si * b + co * c
    r = (eta0 * b - c) / (eta0 * b + c)
    t = 4 * eta0 * eta_base.real / abs(eta0 * b + c) ** 2
    return abs(r) ** 2, t


def text(number, digits):
    out = f"{number:.{digits}f}"
    return out.rstrip("0").rstrip(".") if "." in out else out


def draw(rng):
    """320 stacks as decimal text, so that every reader starts from the same numbers."""
    u = rng.random
    between = lambda low, high: low + (high - low) * u()
    rows = []
    for i in range(1, 321):
        many = i > 300
        thick = i % 25 == 0 and not many
        wavelength = text(between(380, 780), 1)
        ambient = "1.333" if u() < 0.25 else "1"
        angle = "0" if u() < 0.2 else text(between(0, 85), 2)
        if u() < 0.6:
            base = (text(between(0.1, 4), 3), text(between(1, 7), 3))
        else:
            base = (text(between(1.2, 4), 3), "0")
        films = []
        count = 1000 if many else int(9 * u())
        if thick:
            count = max(count, 1)
        place = int(count * u())
        kind_of_many = i % 4
        for f in range(count):
            n = text(between(1.2, 4), 2 if many else 3)
            pick = u()
            if many:
                k = "0" if kind_of_many < 2 else text(between(0, 0.05 if kind_of_many == 2 else 4), 2)
                d = text(between(0.5, 3), 2)
            else:
                k = "0" if pick < 0.5 else text(between(0, 0.1 if pick < 0.7 else 4), 3)
                d = "0" if u() < 0.04 else text(between(0, 400), 2)
            if thick and f == place:
                k, d = text(between(2, 4), 3), text(between(2000, 5000), 1)
            films.append((n, k, d))
        rows.append((i, wavelength, ambient, angle, base, films))
    return rows


def digits_needed(wavelength, films):
    """Growing exponentials reach exp(2 pi k d / wavelength); keep 60 digits beyond twice that."""
    growth = sum(2 * mp.pi * (mpf(n) + mpf(k)) * mpf(d) / mpf(wavelength) for n, k, d in films if k != "0")
    return 60 + int(2 * growth / mpmath.log(10))


def work_out(row, extra=0):
    i, wavelength, ambient, angle, base, films = row
    mp.dps = 60
    mp.dps = digits_needed(wavelength, films) + extra
    out = []
    for polarisation in "sp":
        out.append(
            reflect_and_pass(
                mpf(wavelength),
                mpf(ambient),
                angle,
                mpc(mpf(base[0]), mpf(base[1])),
                [(mpc(mpf(n), mpf(k)), mpf(d)) for n, k, d in films],
                polarisation,
            )
        )
    (rs, ts), (rp, tp) = out
    return rs, rp, ts, tp


def line(row, values):
    i, wavelength, ambient, angle, base, films = row
    show = lambda v: mpmath.nstr(v, 18, strip_zeros=False)
    transmitted = [show(v) if v == 0 or v >= SMALLEST_T else "" for v in values[2:]]
    listed = ";".join(" ".join(f) for f in films)
    return ",".join([str(i), wavelength, ambient, angle, *base, listed, *map(show, values[:2]), *transmitted])


def check_closed_forms():
    mp.dps = 60
    near = lambda a, b, what: abs(a - b) < mpf("1e-50") or sys.exit(f"self-check failed: {what}: {a} {b}")
    n, k = mpf("1.5"), mpf(3)
    metal = mpc(n, k)
    r, _ = reflect_and_pass(mpf(550), mpf(1), "0", metal, [], "s")
    near(r, ((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2), "bare metal at normal incidence")
    rs, _ = reflect_and_pass(mpf(550), mpf(1), "45", metal, [], "s")
    rp, _ = reflect_and_pass(mpf(550), mpf(1), "45", metal, [], "p")
    near(rp, rs**2, "Rp = Rs^2 at 45 degrees")
    n1, ns = mpf("1.38"), mpf("1.52")
    r, t = reflect_and_pass(mpf(550), mpf(1), "0", mpc(ns), [(mpc(n1), 550 / (4 * n1))], "s")
    near(r, ((ns - n1**2) / (ns + n1**2)) ** 2, "quarter wave")
    near(r + t, 1, "quarter wave, energy")
    r, _ = reflect_and_pass(mpf(550), mpf(1), "0", mpc(ns), [(mpc(n1), 550 / (2 * n1))], "p")
    near(r, ((ns - 1) / (ns + 1)) ** 2, "half wave")
    high = mpf("2.35")
    films = []
    for _ in range(8):
        films += [(mpc(high), 550 / (4 * high)), (mpc(n1), 550 / (4 * n1))]
    films.append((mpc(high), 550 / (4 * high)))
    y = (high / n1) ** 16 * high**2 / ns
    r, _ = reflect_and_pass(mpf(550), mpf(1), "0", mpc(ns), films, "s")
    near(r, ((1 - y) / (1 + y)) ** 2, "quarter-wave mirror of 17 layers")
    brewster = mpmath.atan(ns) * 180 / mp.pi
    r, _ = reflect_and_pass(mpf(550), mpf(1), brewster, mpc(ns), [], "p")
    near(r, 0, "Brewster")
    whole = reflect_and_pass(mpf(550), mpf(1), "60", metal, [(mpc("2.2", "0.05"), mpf(60))], "p")[0]
    split = reflect_and_pass(
        mpf(550), mpf(1), "60", metal, [(mpc("2.2", "0.05"), mpf(25)), (mpc("2.2", "0.05"), mpf(35))], "p"
    )[0]
    near(whole, split, "a film cut in two")
    # the sign: an absorbing film, thick, hides a base that it would amplify with the other sign
    _, t = reflect_and_pass(mpf(550), mpf(1), "0", mpc(ns), [(mpc(2, "0.5"), mpf(2000))], "s")
    if not t < mpf("1e-9"):
        sys.exit("self-check failed: absorbing film does not absorb")
    print("closed forms: all agree to 50 digits")


def main():
    check_closed_forms()
    rows = draw(random.Random(SEED))
    lines = [COLUMNS]
    worst = mpf(0)
    for row in rows:
        values = work_out(row)
        again = work_out(row, extra=40)
        worst = max([worst] + [abs(a - b) for a, b in zip(values, again)])
        rs, rp, ts, tp = values
        assert 0 <= rs <= 1 and 0 <= rp <= 1 and rs + ts <= 1 + mpf("1e-40") and rp + tp <= 1 + mpf("1e-40")
        if row[4][1] == "0" and all(k == "0" for _, k, _ in row[5]):
            assert abs(rs + ts - 1) < mpf("1e-40") and abs(rp + tp - 1) < mpf("1e-40")
        lines.append(line(row, values))
    print("largest change with 40 digits more:", mpmath.nstr(worst, 3))
    assert worst < mpf("1e-30")
    whole = "\n".join(lines) + "\n"
    target = HERE / "stacks.csv"
    if "--check" in sys.argv:
        sys.exit(0 if target.read_text() == whole else "stacks.csv differs from this run")
    target.write_text(whole)
    print(len(lines) - 1, "rows,", len(whole), "bytes, mpmath", mpmath.__version__)


if __name__ == "__main__":
    main()
