"""Time in numpy, in bulk, what the Go benchmarks time one colour at a time.

    spectrum   absorbance -> transmittance -> XYZ -> L*a*b*      BenchmarkAbsorbanceLab
    blend      mix two spectra, then that, then CIEDE2000        BenchmarkBlendDeltaE00
    CIEDE2000  the formula alone                                 BenchmarkDeltaE00

Run from the top of the repository, next to the Go benchmarks, on a quiet machine:

    go test -run '^$' -bench . ./colour/cie ./colour/difference
    python3 testdata/bench/numpy_colour.py

It reads the same CIE tables as the Go program, checks its formulas first (all 34 pairs of
Sharma, Wu, Dalal 2005, and clear water), and prints the best of several runs in
microseconds per colour. Needs numpy.
"""

import csv
import pathlib
import time

import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
TABLES = ROOT / "colour" / "cie" / "tables"
COLOURS = 20000
RUNS = 7


def read(path):
    """Return the columns of a CSV with comment lines, by heading."""
    with open(path, encoding="utf-8") as f:
        rows = list(csv.DictReader(line for line in f if not line.startswith("#")))
    return {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}


def weights(illuminant="D65", observer="10"):
    """Return the 81 x 3 weights and their white, Y of the white being 100."""
    bars = read(TABLES / f"observer_{observer}deg.csv")
    s = read(TABLES / "illuminants.csv")[illuminant]
    w = np.stack([s * bars[n] for n in ("x_bar", "y_bar", "z_bar")], axis=1)
    w *= 100 / w[:, 1].sum()
    return w, w.sum(axis=0)


def absorbance_lab(a, w, white):
    """L*a*b* of absorbance spectra, one per row, at 10 mm."""
    t = (10.0 ** -a) @ w / white
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t * (841 / 108) + 4 / 29)
    return np.stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])], axis=1)


def delta_e_00(lab1, lab2):
    """CIEDE2000 row by row; equations of Sharma, Wu, Dalal (2005)."""
    l1, a1, b1 = lab1.T
    l2, a2, b2 = lab2.T

    def root7(c):
        c7 = c**7
        return np.sqrt(c7 / (c7 + 25.0**7))

    g = 1 + 0.5 * (1 - root7((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2))
    c1, c2 = np.hypot(g * a1, b1), np.hypot(g * a2, b2)
    h1 = np.degrees(np.arctan2(b1, g * a1)) % 360
    h2 = np.degrees(np.arctan2(b2, g * a2)) % 360
    neutral = c1 * c2 == 0
    dh, total = h2 - h1, h1 + h2
    far = np.abs(dh) > 180 + 1e-9
    dh = np.where(far, dh - 360 * np.sign(dh), dh)
    h = np.where(far, total + np.where(total < 360, 360, -360), total) / 2
    h = np.where(neutral, total, h)
    dl, dc = l2 - l1, c2 - c1
    dh = np.where(neutral, 0, 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh / 2)))
    lm, cm = (l1 + l2) / 2 - 50, (c1 + c2) / 2
    t = (1 - 0.17 * np.cos(np.radians(h - 30)) + 0.24 * np.cos(np.radians(2 * h))
         + 0.32 * np.cos(np.radians(3 * h + 6)) - 0.20 * np.cos(np.radians(4 * h - 63)))
    dl = dl / (1 + 0.015 * lm**2 / np.sqrt(20 + lm**2))
    dc = dc / (1 + 0.045 * cm)
    dh = dh / (1 + 0.015 * cm * t)
    rt = -2 * root7(cm) * np.sin(np.radians(60 * np.exp(-(((h - 275) / 25) ** 2))))
    return np.sqrt(dl**2 + dc**2 + dh**2 + rt * dc * dh)


def check(w, white):
    """Refuse to time formulas that are wrong."""
    pairs = read(ROOT / "testdata" / "ciede2000_sharma34.csv")
    got = delta_e_00(np.stack([pairs[n] for n in ("L1", "a1", "b1")], axis=1),
                     np.stack([pairs[n] for n in ("L2", "a2", "b2")], axis=1))
    worst = np.abs(got - pairs["dE00"]).max()
    if len(got) != 34 or not worst <= 0.5e-4:
        raise SystemExit(f"CIEDE2000 misses the published pairs by {worst}")
    clear = absorbance_lab(np.zeros((1, 81)), w, white)
    if not np.allclose(clear, [[100, 0, 0]], rtol=0, atol=1e-10):
        raise SystemExit(f"clear water is {clear}")


def best(task):
    """Return the best of RUNS runs of task, in microseconds per colour."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        task()
        times.append(time.perf_counter() - start)
    return min(times) / COLOURS * 1e6


def main():
    w, white = weights()
    check(w, white)
    nm = np.arange(380.0, 781.0, 5.0)
    base = 0.1 * np.exp(-(nm - 420) / 60)
    addition = 4 * np.exp(-(((nm - 525) / 45) ** 2) / 2) + 2 * base
    fractions = np.linspace(0, 0.2, COLOURS)[:, None]
    spectra = (1 - fractions) * base + fractions * addition
    target = np.broadcast_to([82.0, 14.0, 9.0], (COLOURS, 3))
    lab = absorbance_lab(spectra, w, white)

    def blend():
        mixed = (1 - fractions) * base + fractions * addition
        return delta_e_00(target, absorbance_lab(mixed, w, white))

    print(f"numpy {np.__version__}, {COLOURS} colours at a time, best of {RUNS}, microseconds per colour")
    print(f"spectrum to L*a*b*    {best(lambda: absorbance_lab(spectra, w, white)):7.3f}")
    print(f"blend to CIEDE2000    {best(blend):7.3f}")
    print(f"CIEDE2000             {best(lambda: delta_e_00(target, lab)):7.3f}")


if __name__ == "__main__":
    main()
