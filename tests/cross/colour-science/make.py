"""Answers of the open library colour-science, for random inputs, as a check on our own colour code.

Run:  python make.py      (colour-science 0.4.7, numpy) writes the CSV files beside this file.
All random numbers come from Python's random.Random(SEED).random() alone.
"""
import pathlib
import random
import warnings

warnings.filterwarnings("ignore")
import colour  # noqa: E402
import numpy as np  # noqa: E402

SEED = 1976
HERE = pathlib.Path(__file__).resolve().parent
GRID = list(range(380, 781, 5))
SHAPE = colour.SpectralShape(380, 780, 5)
OBSERVERS = {
    "2": "CIE 1931 2 Degree Standard Observer",
    "10": "CIE 1964 10 Degree Standard Observer",
}
LIBRARY_NAME = {"F2": "FL2", "F11": "FL11"}
CONDITIONS = [("D65", "2"), ("D65", "10"), ("A", "10"), ("D50", "2"), ("F2", "2"), ("F11", "10"), ("LED-B3", "2")]


def show(number):
    """12 significant digits, plain decimal."""
    return np.format_float_positional(float(f"{number:.12g}"), unique=True, trim="-")


def write(name, header, rows):
    (HERE / name).write_text("\n".join([header, *rows]) + "\n")
    print(name, len(rows))


def library_xyz(reflectance, light, observer):
    sample = colour.SpectralDistribution(dict(zip(GRID, reflectance)))
    cmfs = colour.MSDS_CMFS[OBSERVERS[observer]].copy().align(SHAPE)
    power = colour.SDS_ILLUMINANTS[LIBRARY_NAME.get(light, light)].copy().align(SHAPE)
    return colour.sd_to_XYZ(sample, cmfs, power, method="Integration")


def spectra(rng):
    """Smooth, stepped, fringed and plain noisy reflectances, 4 digits, all from 0 to 1."""
    out = []
    for i in range(30):
        u = rng.random
        t = [(w - 380) / 400 for w in GRID]
        if i % 4 == 0:
            r = [u() for _ in t]
        elif i % 4 == 1:
            a, p, f = u(), 6.28 * u(), 1 + 9 * u()
            r = [0.5 + 0.5 * a * np.sin(p + 6.28 * f * x) for x in t]
        elif i % 4 == 2:
            m, s, lo, hi = u(), 0.02 + 0.2 * u(), 0.3 * u(), 0.5 + 0.5 * u()
            r = [lo + (hi - lo) / (1 + np.exp(-(x - m) / s)) for x in t]
        else:
            m, s, h = u(), 0.05 + 0.3 * u(), u()
            r = [0.02 + 0.95 * h * np.exp(-(((x - m) / s) ** 2)) for x in t]
        out.append([round(float(v), 4) for v in r])
    return out


def main():
    assert colour.__version__ == "0.4.7", colour.__version__
    rng = random.Random(SEED)
    u = rng.random
    between = lambda low, high, digits: round(low + (high - low) * u(), digits)

    samples = spectra(rng)
    write(
        "spectra.csv",
        "wavelength_nm," + ",".join(f"s{i + 1:02d}" for i in range(30)),
        [f"{w}," + ",".join(show(s[j]) for s in samples) for j, w in enumerate(GRID)],
    )
    rows = []
    for i, sample in enumerate(samples):
        for light, observer in CONDITIONS:
            xyz = library_xyz(sample, light, observer)
            white = library_xyz([1.0] * 81, light, observer)
            lab = colour.XYZ_to_Lab(xyz / 100, colour.XYZ_to_xy(white))
            rows.append(f"s{i + 1:02d},{light},{observer}," + ",".join(map(show, [*xyz, *lab])))
    write("xyz-lab.csv", "spectrum,light,observer,x,y,z,l,a,b", rows)

    rows = []
    for i in range(200):
        one = [between(0, 100, 3), between(-100, 100, 3), between(-100, 100, 3)]
        if i % 4 == 0:  # near pairs
            two = [round(v + between(-2, 2, 3), 3) for v in one]
            two[0] = min(max(two[0], 0), 100)
        elif i % 4 == 1:  # near the grey axis, hues far apart
            one[1:] = [between(-3, 3, 3), between(-3, 3, 3)]
            two = [between(0, 100, 3), between(-3, 3, 3), between(-3, 3, 3)]
        elif i % 4 == 2:  # blue, where the hue rotation acts
            one[1:] = [between(-20, 40, 3), between(-90, -30, 3)]
            two = [between(0, 100, 3), between(-20, 40, 3), between(-90, -30, 3)]
        else:
            two = [between(0, 100, 3), between(-100, 100, 3), between(-100, 100, 3)]
        rows.append(f"{i + 1}," + ",".join(map(show, [*one, *two, colour.delta_E(one, two, method="CIE 2000")])))
    write("ciede2000.csv", "id,l1,a1,b1,l2,a2,b2,de00", rows)

    rows = []
    for from_light, to_light in (("A", "D65"), ("D50", "D65")):
        white = {light: np.round(library_xyz([1.0] * 81, light, "2"), 4) for light in (from_light, to_light)}
        for i in range(12):
            xyz = [between(1, 100, 3), between(1, 95, 3), between(1, 100, 3)] if i else list(white[from_light])
            out = colour.adaptation.chromatic_adaptation_VonKries(
                np.array(xyz), white[from_light], white[to_light], transform="Bradford"
            )
            numbers = [*xyz, *white[from_light], *white[to_light], *out]
            rows.append(f"{from_light},{to_light}," + ",".join(map(show, numbers)))
    write("bradford.csv", "from_light,to_light,x,y,z,from_xw,from_yw,from_zw,to_xw,to_yw,to_zw,x_out,y_out,z_out", rows)

    white = [0.3127, 0.3290]
    primaries = {"srgb": [0.64, 0.33, 0.30, 0.60, 0.15, 0.06], "p3": [0.68, 0.32, 0.265, 0.69, 0.15, 0.06]}
    matrix = {k: np.linalg.inv(colour.normalised_primary_matrix(p, white)) for k, p in primaries.items()}
    rows = []
    for i in range(40):
        xyz = [between(0, 95, 3), between(0, 100, 3), between(0, 108, 3)]
        linear = [*(matrix["srgb"] @ xyz / 100), *(matrix["p3"] @ xyz / 100)]
        rows.append(f"{i + 1}," + ",".join(map(show, [*xyz, *linear])))
    write("linear-rgb.csv", "id,x,y,z,srgb_r,srgb_g,srgb_b,p3_r,p3_g,p3_b", rows)


if __name__ == "__main__":
    main()
