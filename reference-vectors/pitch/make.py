"""Writes expected.csv: the pitch of made signals as libaubio 0.4.9 hears it, asked through ctypes.

    python3 make.py > expected.csv

The signals are sums of harmonics along a pitch by formula; PitchLibraryTest makes them again. Rows: signal, time in seconds, Hz; every
50 ms, where the whole window of 2048 samples lies inside the signal.
"""
import ctypes
import math

import numpy

RATE, HOP, WINDOW, SECONDS = 48000, 480, 2048, 2.0


def signals():
    """Name, Hz over time, amplitude of harmonic h, and white noise in dB under the tone."""
    saw = lambda h: 1 / h
    for hz in (98, 147, 220, 330, 494, 740):
        yield "steady %d" % hz, (lambda t, hz=hz: hz + 0 * t), saw, None
    for hz in (131, 262, 523):
        yield "vibrato %d" % hz, (lambda t, hz=hz: hz * 2 ** (80 / 1200 * numpy.sin(2 * math.pi * 5.5 * t))), saw, None
    yield "glide", (lambda t: 110 * 2 ** t), saw, None
    yield "second harmonic", (lambda t: 175 + 0 * t), (lambda h: 3 / h if h == 2 else 1 / h), None
    yield "noise", (lambda t: 220 + 0 * t), saw, 20


def noise(n):
    """A linear congruential generator (D. Knuth's MMIX constants), its upper 32 bits, from -1 to 1."""
    x, out = 1, numpy.empty(n)
    for i in range(n):
        x = (x * 6364136223846793005 + 1442695040888963407) % 2 ** 64
        out[i] = (x >> 32) / 2 ** 31 - 1
    return out


def make(hz, amplitude, under):
    t = numpy.arange(int(RATE * SECONDS)) / RATE
    turns = numpy.concatenate(([0.0], numpy.cumsum(hz(t) / RATE)[:-1]))
    x = sum(amplitude(h) * numpy.sin(2 * math.pi * h * turns) for h in range(1, 21) if h * hz(t).max() < 16000)
    x *= 0.2 / numpy.sqrt(numpy.mean(x * x))
    if under is not None:
        w = noise(len(x))
        x += w * 0.2 * 10 ** (-under / 20) / numpy.sqrt(numpy.mean(w * w))
    return x


class Vector(ctypes.Structure):
    _fields_ = [("length", ctypes.c_uint), ("data", ctypes.POINTER(ctypes.c_float))]


def main():
    lib = ctypes.CDLL("libaubio.so.5")
    lib.new_aubio_pitch.restype = ctypes.c_void_p
    lib.new_aubio_pitch.argtypes = [ctypes.c_char_p, ctypes.c_uint, ctypes.c_uint, ctypes.c_uint]
    lib.aubio_pitch_do.argtypes = [ctypes.c_void_p, ctypes.POINTER(Vector), ctypes.POINTER(Vector)]
    for name, hz, amplitude, under in signals():
        x = make(hz, amplitude, under).astype(numpy.float32)
        tracker = lib.new_aubio_pitch(b"yin", WINDOW, HOP, RATE)
        out = (ctypes.c_float * 1)()
        answer = Vector(1, out)
        for k in range(len(x) // HOP):
            block = (ctypes.c_float * HOP)(*x[k * HOP:(k + 1) * HOP])
            lib.aubio_pitch_do(tracker, ctypes.byref(Vector(HOP, block)), ctypes.byref(answer))
            end = (k + 1) * HOP
            if k % 5 == 4 and end >= WINDOW:
                # Half of the window is compared with what lies one period later: the middle of all that.
                middle = end - WINDOW + (WINDOW / 2 + RATE / out[0]) / 2
                print("%s,%.6f,%.3f" % (name, middle / RATE, out[0]))


main()
