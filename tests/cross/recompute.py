"""Works out again, with numpy and a second method, what the CSV files of tests/ expect of films and colours.

Second method: the 2x2 characteristic matrix (cos/sin form, complex angles) from the base outward, against
the engine's recursion; plain sums over the data in data/observers and data/lights; tables of n and k linear
in wavelength, end values held. It prints, file by file, the number of rows, the largest difference in units
of the row's tolerance (1 = exactly the tolerance), and every row that lies outside.

Run:  python tests/cross/recompute.py        (numpy; no other library)
"""
import csv
import pathlib

import numpy as np

TESTS = pathlib.Path(__file__).resolve().parents[1]
DATA = TESTS.parent / "data"
CROSS, PUBLISHED = TESTS / "cross", TESTS / "published"


def read(path):
    with open(path, newline="") as file:
        return list(csv.DictReader(file))


def columns(path):
    return np.genfromtxt(path, delimiter=",", skip_header=1)


OBSERVERS = {"2": columns(DATA / "observers/cie-1931-2.csv"), "10": columns(DATA / "observers/cie-1964-10.csv")}
TABLES = {r["table"]: DATA / "materials" / r["material"] / (r["source"] + ".csv") for r in read(CROSS / "tables.csv")}


def held(grid, table, column):
    return np.interp(grid, table[:, 0], table[:, column])


def light(name, grid):
    path = DATA / f"lights/{name.lower()}.csv"
    if not path.exists():
        path = PUBLISHED / f"cie-015-whites/{name.lower()}.csv"
    return held(grid, columns(path), 1)


def weights(light_name, observer, grid):
    return light(light_name, grid)[:, None] * np.stack([held(grid, OBSERVERS[observer], i) for i in (1, 2, 3)], 1)


def xyz(reflectance, light_name, observer, grid):
    m = weights(light_name, observer, grid)
    return 100 * (reflectance[:, None] * m).sum(0) / m[:, 1].sum()


def lab(reflectance, light_name, observer, grid):
    t = xyz(reflectance, light_name, observer, grid) / xyz(np.ones_like(grid), light_name, observer, grid)
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def srgb_hex(reflectance, light_name, observer, grid):
    """Scaled from the light's white to 0.3127, 0.3290 in XYZ, clipped in linear light. Gives hex, outside."""
    x, y = 0.3127, 0.3290
    white = np.array([x / y, 1, (1 - x - y) / y])
    chroma = np.array([[0.64, 0.33, 0.03], [0.30, 0.60, 0.10], [0.15, 0.06, 0.79]]).T
    to_xyz = chroma * np.linalg.solve(chroma, white)
    t = xyz(reflectance, light_name, observer, grid) / xyz(np.ones_like(grid), light_name, observer, grid)
    linear = np.linalg.solve(to_xyz, t * white)
    outside = bool((linear < -1e-3).any() or (linear > 1 + 1e-3).any())
    linear = linear.clip(0, 1)
    coded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(v * 255):02x}" for v in coded), outside


def stack(ambient, angle_deg, base, films, wavelength, polarisation):
    """films: (index, thickness) from the base outward; index n + i k, exp(+i phase). Gives R and T."""
    snell = ambient * np.sin(np.radians(angle_deg))

    def q(index):
        root = np.sqrt(index * index - snell * snell + 0j)
        return np.where((root.imag < 0) | ((root.imag == 0) & (root.real < 0)), -root, root)

    def eta(index):
        return q(index) if polarisation == "s" else index * index / q(index)

    wavelength = np.asarray(wavelength, float)
    base = np.asarray(base, complex) + 0 * wavelength
    b, c = np.ones_like(base), eta(base)
    for index, thickness in films:
        index = np.asarray(index, complex) + 0 * wavelength
        phase, e = 2 * np.pi * q(index) * thickness / wavelength, eta(index)
        b, c = np.cos(phase) * b - 1j * np.sin(phase) / e * c, -1j * e * np.sin(phase) * b + np.cos(phase) * c
    e0 = eta(np.full_like(base, ambient))
    r = (e0 * b - c) / (e0 * b + c)
    return abs(r) ** 2, 4 * e0.real * eta(base).real / abs(e0 * b + c) ** 2


def index_of(name, grid):
    table = columns(TABLES[name])
    return held(grid, table, 1) + 1j * held(grid, table, 2)


def grid_of(words):
    span, step = words.split("/")
    low, high = span.split("-")
    return np.arange(float(low), float(high) + 0.5, float(step))


def film_list(words):
    out = []
    for film in filter(None, words.split(";")):
        n, k, d = map(float, film.split())
        out.append((complex(n, k), d))
    return out


class Tally:
    def __init__(self, name):
        self.name, self.rows, self.worst, self.out, self.left = name, 0, 0.0, [], 0

    def see(self, label, got, expected, tolerance):
        self.rows += 1
        size = float(np.max(np.abs(np.asarray(got, float) - np.asarray(expected, float)))) / float(tolerance)
        self.worst = max(self.worst, size)
        if size > 1 + 1e-9:
            self.out.append((label, np.round(got, 6).tolist(), expected))

    def show(self):
        left = f", {self.left} left out (table not carried or other method)" if self.left else ""
        print(f"{self.name}: {self.rows} values{left}, worst {self.worst:.3g} of tolerance, {len(self.out)} outside")
        for item in self.out:
            print("   outside:", *item)


def numbers(row, *names):
    return [float(row[n]) for n in names]


def whites():
    t = Tally("published/cie-015-whites/whites.csv")
    for r in read(PUBLISHED / "cie-015-whites/whites.csv"):
        grid = grid_of("380-780/5" if r["grid_nm"] == "published" else r["grid_nm"])
        own_table = "formula" in r["note"] or r["light"] != "A" or not r["grid_nm"].endswith("/1")
        if own_table:
            got = xyz(np.ones_like(grid), r["light"], r["observer"], grid)
        else:  # the 5 nm table of A interpolated, which is not what data/lights/a.csv holds
            five = columns(DATA / "lights/a.csv")
            five = five[five[:, 0] % 5 == 0]
            five = five[five[:, 0] <= 780]
            m = held(grid, five, 1)[:, None] * weights("A", r["observer"], grid) / light("A", grid)[:, None]
            got = 100 * m.sum(0) / m[:, 1].sum()
        t.see((r["light"], r["observer"], r["grid_nm"]), got, numbers(r, "x", "y", "z"), r["tolerance"])
    t.show()
    t = Tally("published/cie-015-whites/chromaticities.csv")
    published = {
        (r["light"], r["observer"]): np.array(numbers(r, "x", "y", "z"))
        for r in read(PUBLISHED / "cie-015-whites/whites.csv")
        if r["grid_nm"] == "published"
    }
    for r in read(PUBLISHED / "cie-015-whites/chromaticities.csv"):
        if r["from_white_of"] == "published":
            got = published[r["light"], r["observer"]]
        else:
            grid = grid_of(r["from_white_of"])
            got = xyz(np.ones_like(grid), r["light"], r["observer"], grid)
        for axis, name in ((0, "x"), (1, "y")):
            t.see((r["light"], r["observer"], name), got[axis] / got.sum(), float(r[name]), r["tolerance_" + name])
    t.show()


def worked_spectrum():
    t = Tally("published/worked-spectrum/xyz.csv")
    sample = columns(PUBLISHED / "worked-spectrum/spectrum.csv")
    for r in read(PUBLISHED / "worked-spectrum/xyz.csv"):
        if not r["plain_sums_give_it"] == "yes":
            t.left += 1
            continue
        grid = grid_of(r["grid_nm"])
        reflectance = np.interp(grid, sample[:, 0], sample[:, 1], left=0, right=0)
        if r["id"] == "w01":  # its light is held at the 780 nm value
            low, high = light("A", np.array([340.0, 780.0]))
            m = weights("A", "2", grid)
            m[grid > 780] *= (high / light("A", grid[grid > 780]))[:, None]
            got = 100 * (reflectance[:, None] * m).sum(0) / m[:, 1].sum()
        else:
            got = xyz(reflectance, r["light"], r["observer"], grid)
        t.see(r["id"], got, numbers(r, "x", "y", "z"), r["tolerance"])
    t.show()


def sharma_xyz():
    t = Tally("published/sharma-2005/xyz.csv (Lab against pairs.csv)")
    pairs = {r["row"]: r for r in read(PUBLISHED / "sharma-2005/pairs.csv")}
    for r in read(PUBLISHED / "sharma-2005/xyz.csv"):
        for side in "12":
            q = np.array(numbers(r, "x" + side, "y" + side, "z" + side)) / numbers(r, "xw", "yw", "zw")
            f = np.where(q > (6 / 29) ** 3, np.cbrt(q), q * (29 / 6) ** 2 / 3 + 4 / 29)
            got = [116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])]
            t.see((r["row"], side), got, numbers(pairs[r["row"]], "l" + side, "a" + side, "b" + side), 5.1e-5)
    t.show()


def single_wavelength(path):
    t = Tally(str(path.relative_to(TESTS)))
    for r in read(path):
        got = stack(
            float(r["ambient_n"]), float(r["angle_deg"]), complex(*numbers(r, "base_n", "base_k")),
            film_list(r["films"]), np.array([float(r["wavelength_nm"])]), r["polarisation"],
        )["RT".index(r["quantity"])][0]
        t.see(r["id"], got, float(r["value"]), r["tolerance"])
    t.show()


def constant_index():
    t = Tally("cross/constant-index-stacks/stacks.csv")
    films = {}
    for r in read(CROSS / "constant-index-stacks/films.csv"):
        films.setdefault(r["stack"], []).append((complex(*numbers(r, "n", "k")), float(r["thickness_nm"])))
    grid = grid_of("380-780/5")
    for r in read(CROSS / "constant-index-stacks/stacks.csv"):
        base = complex(*numbers(r, "base_n", "base_k"))
        both = [stack(1, float(r["angle_deg"]), base, films.get(r["stack"], []), grid, p)[0] for p in "sp"]
        mean = (both[0] + both[1]) / 2
        label = (r["stack"], r["angle_deg"])
        t.see(label, mean[[14, 34, 54]], numbers(r, "r450", "r550", "r650"), 5e-7)
        for name, observer in (("D65", "2"), ("D65", "10"), ("A", "10"), ("F11", "10")):
            keys = [f"{v}_{name.lower()}_{observer}" for v in "lab"]
            t.see((*label, name, observer), lab(mean, name, observer, grid), numbers(r, *keys), 5e-5)
        if r["x_d65_2"]:
            t.see((*label, "XYZ"), xyz(mean, "D65", "2", grid), numbers(r, "x_d65_2", "y_d65_2", "z_d65_2"), 5e-5)
    t.show()


def ohtsuka():
    metal = 2.3 + 2.9j
    t = Tally("published/ohtsuka-1985/derived-reflectance.csv")
    reflect = lambda d, k: stack(1, 0, metal, [(2.1 + 1j * k, d)], np.array([546.1]), "s")[0][0]
    for r in read(PUBLISHED / "ohtsuka-1985/derived-reflectance.csv"):
        got = reflect(float(r["thickness_nm"]), float(r["film_k"] or 0))
        t.see((r["id"], r["thickness_nm"]), got, float(r["reflectance"]), r["tolerance"])
    t.show()
    t = Tally("published/ohtsuka-1985/derived-extrema.csv")
    for r in read(PUBLISHED / "ohtsuka-1985/derived-extrema.csv"):
        near, k = float(r["thickness_nm"]), float(r["film_k"])
        d = np.arange(near - 5, near + 5, 0.001)
        curve = np.array([reflect(v, k) for v in d])
        i = curve.argmin() if r["kind"] == "min" else curve.argmax()
        t.see((r["id"], r["kind"], near), d[i], near, r["tolerance_thickness_nm"])
        t.see((r["id"], r["kind"], near, "R"), curve[i], float(r["reflectance"]), r["tolerance_reflectance"])
    t.show()


def bare_metals():
    t = Tally("cross/bare-metals/lab.csv")
    for r in read(CROSS / "bare-metals/lab.csv"):
        if r["base_table"] not in TABLES:
            t.left += 1
            continue
        grid = grid_of(r["grid_nm"])
        n = index_of(r["base_table"], grid)
        reflectance = abs((1 - n) / (1 + n)) ** 2
        label = (r["id"], r["observer"])
        t.see(label, lab(reflectance, r["light"], r["observer"], grid), numbers(r, "l", "a", "b"), r["tolerance"])
        if r["hex"]:
            compare_hex(t, label, reflectance, r, grid)
    t.show()
    t = Tally("cross/bare-metals/reflectance.csv")
    for r in read(CROSS / "bare-metals/reflectance.csv"):
        if r["base_table"] not in TABLES:
            t.left += 1
            continue
        n = index_of(r["base_table"], np.array([float(r["wavelength_nm"])]))
        t.see((r["id"], r["wavelength_nm"]), (abs((1 - n) / (1 + n)) ** 2)[0], float(r["reflectance"]), r["tolerance"])
    t.show()
    t = Tally("cross/bare-metals/at-589.csv")
    grid = grid_of("380-780/5")
    for r in read(CROSS / "bare-metals/at-589.csv"):
        if r["base_table"] not in TABLES:
            t.left += 1
            continue
        n = index_of(r["base_table"], np.array([589.3]))[0]
        t.see(r["id"], [n.real, n.imag], numbers(r, "n", "k"), r["tolerance_nk"])
        t.see((r["id"], "R"), abs((1 - n) / (1 + n)) ** 2, float(r["reflectance"]), r["tolerance_reflectance"])
        wide = index_of(r["base_table"], grid)
        y = xyz(abs((1 - wide) / (1 + wide)) ** 2, "D65", "2", grid)[1]
        t.see((r["id"], "Y"), y, float(r["y_percent"]), r["tolerance_y"])
    t.show()


def compare_hex(tally, label, reflectance, row, grid):
    got, outside = srgb_hex(reflectance, row["light"], row["observer"], grid)
    parts = lambda h: [int(h[i : i + 2], 16) for i in (1, 3, 5)]
    tally.see((*label, got, row["hex"]), parts(got), parts(row["hex"]), 0.5)
    if row.get("outside_srgb"):
        tally.see((*label, "outside sRGB"), float(outside), float(row["outside_srgb"]), 0.5)


def coated():
    t = Tally("cross/coated/lab.csv")
    for r in read(CROSS / "coated/lab.csv"):
        grid = grid_of(r["grid_nm"])
        film = (index_of(r["film_table"], grid), float(r["thickness_nm"]))
        reflectance = stack(1, 0, index_of(r["base_table"], grid), [film], grid, "s")[0]
        label = (r["set"], r["thickness_nm"])
        if r["l"]:
            t.see(label, lab(reflectance, r["light"], r["observer"], grid), numbers(r, "l", "a", "b"), r["tolerance"])
        if r["hex"]:
            compare_hex(t, label, reflectance, r, grid)
    t.show()
    t = Tally("cross/coated/lossy.csv")
    for r in read(CROSS / "coated/lossy.csv"):
        grid = grid_of(r["grid_nm"])
        film = (complex(*numbers(r, "film_n", "film_k")), float(r["thickness_nm"]))
        reflectance = stack(1, 0, index_of(r["base_table"], grid), [film], grid, "s")[0]
        got = lab(reflectance, r["light"], r["observer"], grid)
        t.see((r["set"], r["thickness_nm"]), got, numbers(r, "l", "a", "b"), r["tolerance"])
    t.show()
    t = Tally("cross/coated/titania-209nm.csv")
    for r in read(CROSS / "coated/titania-209nm.csv"):
        grid = grid_of(r["grid_nm"])
        film = (index_of(r["film_table"], grid), float(r["thickness_nm"]))
        reflectance = stack(1, 0, index_of(r["base_table"], grid), [film], grid, "s")[0]
        middle = (grid > 450) & (grid < 700)
        peak = grid[middle][reflectance[middle].argmax()]
        t.see((r["film_table"], "peak"), peak, float(r["peak_wavelength_nm"]), r["tolerance_peak_nm"])
        got = lab(reflectance, r["light"], r["observer"], grid)
        t.see(r["film_table"], got, numbers(r, "l", "a", "b"), r["tolerance_lab"])
    t.show()


def tin_oxidation():
    boltzmann_ev = 8.617333262e-5
    grown = lambda ea, k0, c, minutes: (k0 * np.exp(-ea / boltzmann_ev / (c + 273.15)) * minutes * 60) ** 0.5
    ea, k0 = 38.6 * 4.184 / 96.48533212, 3.275e11  # 38.6 kcal/mol; 1.674 eV is this rounded
    t = Tally("cross/tin-oxidation/thickness.csv")
    for r in read(CROSS / "tin-oxidation/thickness.csv"):
        got = grown(ea, k0, *numbers(r, "temperature_c", "time_min"))
        t.see((r["temperature_c"], r["time_min"]), got, float(r["thickness_nm"]), r["tolerance_nm"])
    t.show()
    t = Tally("cross/tin-oxidation/other-activation-energies.csv")
    for r in read(CROSS / "tin-oxidation/other-activation-energies.csv"):
        e = float(r["activation_ev"])
        pinned = 4 / np.exp(-e / boltzmann_ev / 773)  # 4 nm^2/s at 773 K
        got = grown(e, pinned, *numbers(r, "temperature_c", "time_min"))
        t.see((r["activation_ev"], r["temperature_c"]), got, float(r["thickness_nm"]), r["tolerance_nm"])
    t.show()


def high_precision():
    t = Tally("cross/high-precision/stacks.csv (here in double precision, cos/sin form)")
    for r in read(CROSS / "high-precision/stacks.csv"):
        films = film_list(r["films"])
        wavelength = float(r["wavelength_nm"])
        if sum(6.3 * n.imag * d / wavelength for n, d in films) > 150:
            t.left += 1  # the cos/sin form has no room for these in double precision; the engine's recursion has
            continue
        for p in "sp":
            reflected, passed = stack(
                float(r["ambient_n"]), float(r["angle_deg"]), complex(*numbers(r, "base_n", "base_k")),
                films, np.array([wavelength]), p,
            )
            t.see((r["id"], p), [reflected[0], passed[0]], numbers(r, "r" + p, "t" + p), 1e-10)
    t.show()


if __name__ == "__main__":
    whites()
    worked_spectrum()
    sharma_xyz()
    single_wavelength(PUBLISHED / "textbook-optics/single-wavelength.csv")
    single_wavelength(CROSS / "textbook-stacks/single-wavelength.csv")
    constant_index()
    ohtsuka()
    bare_metals()
    coated()
    tin_oxidation()
    high_precision()
