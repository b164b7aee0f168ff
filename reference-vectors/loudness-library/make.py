"""What libebur128 (1.2.6, Debian's libebur128-1) reads, called through ctypes.

usage: make.py FOLDER_OF_VOICES > expected.csv

Rows: the real voices by file name, then made signals, named "signal N", that Java makes again bit for bit (see signals()).
Momentary and short-term are asked for every 10 ms and every 100 ms, as a program would that shows them; a window that is not
yet full is left out.
"""
import ctypes
import math
import sys
from pathlib import Path

import numpy as np
from scipy.io import wavfile

I, LRA, TRUE_PEAK = 5, 11, 49
lib = ctypes.CDLL("libebur128.so.1")
lib.ebur128_init.restype = ctypes.c_void_p
lib.ebur128_init.argtypes = [ctypes.c_uint, ctypes.c_ulong, ctypes.c_int]
lib.ebur128_add_frames_double.argtypes = [ctypes.c_void_p, ctypes.c_void_p, ctypes.c_size_t]
for f in ("loudness_global", "loudness_range", "loudness_momentary", "loudness_shortterm"):
    getattr(lib, "ebur128_" + f).argtypes = [ctypes.c_void_p, ctypes.POINTER(ctypes.c_double)]
for f in ("true_peak", "sample_peak"):
    getattr(lib, "ebur128_" + f).argtypes = [ctypes.c_void_p, ctypes.c_uint, ctypes.POINTER(ctypes.c_double)]
lib.ebur128_destroy.argtypes = [ctypes.POINTER(ctypes.c_void_p)]


def ask(state, what, *which):
    value = ctypes.c_double()
    assert getattr(lib, "ebur128_" + what)(state, *which, ctypes.byref(value)) == 0
    return value.value


def measure(rate, x):
    """x: frames by channels, full scale 1.0."""
    x = np.ascontiguousarray(x, dtype=np.float64)
    channels = x.shape[1]
    state = ctypes.c_void_p(lib.ebur128_init(channels, rate, I | LRA | TRUE_PEAK))
    hop = (rate + 5) // 10
    ends = [(p * hop + 5) // 10 for p in range(11)]
    momentary, short = [], []
    at, heard = 0, 0
    while True:
        part = heard % 10
        n = ends[part + 1] - ends[part]
        if at + n > len(x):
            break
        assert lib.ebur128_add_frames_double(state, x[at:].ctypes.data, n) == 0
        at += n
        heard += 1
        if heard >= 40:
            momentary.append(ask(state, "loudness_momentary"))
        if heard >= 300:
            short.append(ask(state, "loudness_shortterm"))
    if at < len(x):
        assert lib.ebur128_add_frames_double(state, x[at:].ctypes.data, len(x) - at) == 0
    true = max(ask(state, "true_peak", c) for c in range(channels))
    sample = max(ask(state, "sample_peak", c) for c in range(channels))
    result = [
        ask(state, "loudness_global"),
        max(momentary, default=-math.inf),
        max(short, default=-math.inf),
        # The windows that end on a hop, one in 2 s for momentary and one in 5 s for short-term, so that times are compared too.
        " ".join(f"{v:.4f}" for v in momentary[::10][::20]),
        " ".join(f"{v:.4f}" for v in short[::10][::50]),
        ask(state, "loudness_range") if short else -math.inf,
        20 * math.log10(true),
        20 * math.log10(sample),
    ]
    lib.ebur128_destroy(ctypes.byref(state))
    return result


def noise(n, seed):
    """Uniform in -1 to 1 by the generator x <- 1664525 x + 1013904223 mod 2^32, read as a signed number: exact in any language."""
    out = np.empty(n)
    x = seed
    for i in range(n):
        x = (x * 1664525 + 1013904223) & 0xFFFFFFFF
        out[i] = (x - (x >> 31 << 32)) / 2147483648.0
    return out


def signals():
    """Noise of which the level moves in steps of powers of two, so that no rounding stands between two languages."""
    for k, (rate, channels, seconds) in enumerate(
        [(8000, 1, 40), (22050, 2, 20), (44100, 1, 17), (44100, 2, 15), (48000, 1, 30), (48000, 2, 12), (96000, 2, 8), (192000, 1, 7)]
    ):
        n = rate * seconds
        x = np.column_stack([noise(n, 1 + 10 * k + c) for c in range(channels)])
        # Coloured by a one-pole filter with exact coefficients: voices are not white.
        for i in range(1, n):
            x[i] = 0.25 * x[i] + 0.75 * x[i - 1]
        stretch = np.arange(n) // (rate * 13 // 10)
        x *= (2.0 ** -(1 + (stretch * 5) % 7))[:, None]
        yield f"signal {k}", rate, x


print("name,rate_hz,channels,integrated_lufs,momentary_max_lufs,short_term_max_lufs,momentary_lufs,short_term_lufs,loudness_range_lu,true_peak_dbtp,sample_peak_dbfs")


def row(name, rate, x):
    cells = [f"{v:.4f}" if isinstance(v, float) else v for v in measure(rate, x)]
    print(",".join([name, str(rate), str(x.shape[1])] + cells))


for path in sorted(Path(sys.argv[1]).glob("*.wav")):
    rate, x = wavfile.read(path)
    x = x / (2.0**15 if x.dtype == np.int16 else 2.0**31)
    row(path.name, rate, x.reshape(len(x), -1))
for signal in signals():
    row(*signal)
