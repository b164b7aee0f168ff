"""Makes the vectors of this folder with scipy, along another way than the engine: every filter is written as the transfer
function of its analogue prototype (zeros, poles, gain), and scipy carries it over (bilinear_zpk, butter, sosfilt)."""
import csv
import numpy as np
from scipy import signal

RATES = (44100, 48000, 96000)


def prototype(shape, q, db):
    """Numerator and denominator in s, normalised to 1 rad/s, highest power first."""
    a = 10 ** (db / 40)
    root = np.sqrt(a)
    return {
        "low-pass": ([1], [1, 1 / q, 1]),
        "high-pass": ([1, 0, 0], [1, 1 / q, 1]),
        "band-pass": ([1 / q, 0], [1, 1 / q, 1]),
        "notch": ([1, 0, 1], [1, 1 / q, 1]),
        "all-pass": ([1, -1 / q, 1], [1, 1 / q, 1]),
        "bell": ([1, a / q, 1], [1, 1 / (a * q), 1]),
        "low-shelf": (a * np.array([1, root / q, a]), [a, root / q, 1]),
        "high-shelf": (a * np.array([a, root / q, 1]), [1, root / q, a]),
    }[shape]


def digital(shape, rate, hz, q, db):
    """Zeros, poles and gain are moved to the wanted frequency and transformed one by one, which loses least."""
    wanted = 2 * rate * np.tan(np.pi * hz / rate)
    z, p, k = signal.tf2zpk(*prototype(shape, q, db))
    z, p, k = signal.lp2lp_zpk(z, p, k, wanted)
    z, p, k = signal.bilinear_zpk(z, p, k, rate)
    return k * np.real(np.poly(z)), np.real(np.poly(p))


def number(x):
    return repr(float(x))


def sections():
    for rate in RATES:
        for shape in ("low-pass", "high-pass", "band-pass", "notch", "all-pass", "bell", "low-shelf", "high-shelf"):
            for hz, q in ((60, 0.5), (250, 2), (1000, np.sqrt(0.5)), (6300, 4), (15000, 1)):
                for db in (-9, 3) if shape in ("bell", "low-shelf", "high-shelf") else (0,):
                    b, a = digital(shape, rate, hz, q, db)
                    yield [shape, rate, hz, number(q), db] + [number(x) for x in (*b, *a[1:])]


def butterworth():
    for rate in RATES:
        for kind in ("low-pass", "high-pass"):
            for order in range(1, 9):
                for hz in (100, 3000):
                    z, p, k = signal.butter(order, hz, kind.replace("-", ""), output="zpk", fs=rate)
                    for at in (20, hz / 2, hz, 2 * hz, 8 * hz if 8 * hz < rate / 2 else 0.45 * rate):
                        _, h = signal.freqz_zpk(z, p, k, [at], fs=rate)
                        yield [kind, rate, order, hz, number(at), number(h[0].real), number(h[0].imag)]


def run():
    """A burst of noise through seven sections at once: what a cascade must give, sample by sample."""
    rate = 48000
    parts = [("high-pass", 80, 0.7, 0), ("low-shelf", 200, 0.7, -4), ("bell", 300, 1.4, -3), ("bell", 1200, 1.2, 5),
             ("notch", 2500, 8, 0), ("high-shelf", 8000, 0.7, 3), ("low-pass", 16000, 0.7, 0)]
    sos = np.array([np.concatenate(digital(s, rate, hz, q, db)) for s, hz, q, db in parts])
    x = np.random.default_rng(7).uniform(-1, 1, 600)
    x[200:] = 0
    for u, v in zip(x, signal.sosfilt(sos, x)):
        yield [number(u), number(v)]


for name, head, rows in (("sections", "shape,rate,hz,q,gain_db,b0,b1,b2,a1,a2", sections()),
                         ("butterworth", "kind,rate,order,hz,at_hz,re,im", butterworth()),
                         ("run", "x,y", run())):
    with open(name + ".csv", "w", newline="") as f:
        f.write(head + "\n")
        csv.writer(f, lineterminator="\n").writerows(rows)
