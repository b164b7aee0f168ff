"""Writes small WAV files with the standard library and SciPy, and what SciPy reads from them; checks Linnet's own prints.

python3 make.py          in this folder
"""
import struct
import wave

import numpy as np
from scipy.io import wavfile

FRAMES = 24


def ramp(bits, channels):
    """Integers over the whole range, both ends included, other ones in each channel."""
    k = np.linspace(-(2 ** (bits - 1)), 2 ** (bits - 1) - 1, FRAMES * channels).round().astype(np.int64)
    return k.reshape(channels, FRAMES).T


def full_scale(x):
    """SciPy's arrays as full scale 1.0. It puts 24 bits at the top of 32."""
    if x.dtype == np.uint8:
        return (x.astype(float) - 128) / 128
    if x.dtype.kind == "i":
        return x.astype(float) / 2 ** (8 * x.dtype.itemsize - 1)
    return x.astype(float)


def by_wave(name, rate, channels, bits):
    k = ramp(bits, channels)
    if bits == 8:
        k = k + 128
    with wave.open(name, "wb") as w:
        w.setnchannels(channels)
        w.setsampwidth(bits // 8)
        w.setframerate(rate)
        w.writeframes(b"".join(struct.pack("<i", v)[: bits // 8] for v in k.ravel()))


by_wave("wave-8-mono.wav", 8000, 1, 8)
by_wave("wave-16-stereo.wav", 44100, 2, 16)
by_wave("wave-24-mono.wav", 96000, 1, 24)
by_wave("wave-24-stereo.wav", 48000, 2, 24)
wavfile.write("scipy-32-stereo.wav", 88200, ramp(32, 2).astype(np.int32))
wavfile.write("scipy-float32-mono.wav", 48000, (ramp(16, 1)[:, 0] / 20000).astype(np.float32))
wavfile.write("scipy-float64-stereo.wav", 192000, np.sin(ramp(16, 2) / 100.0))

names = [
    "wave-8-mono", "wave-16-stereo", "wave-24-mono", "wave-24-stereo",
    "scipy-32-stereo", "scipy-float32-mono", "scipy-float64-stereo",
]
with open("expected.csv", "w") as out:
    out.write("file,rate,frame,channel,value\n")
    for name in names:
        rate, x = wavfile.read(name + ".wav")
        x = full_scale(x).reshape(FRAMES, -1)
        for i in range(FRAMES):
            for c in range(x.shape[1]):
                out.write(f"{name}.wav,{rate},{i},{c},{x[i, c]!r}\n".replace("np.float64(", "").replace(")", ""))

# Linnet's prints hold k / 64 - c / 2 in frame k of channel c, exact in each format.
for name, channels in [("linnet-16-mono", 1), ("linnet-24-stereo", 2), ("linnet-float32-stereo", 2)]:
    try:
        rate, x = wavfile.read(name + ".wav")
    except FileNotFoundError:
        print(name, "is not there yet")
        continue
    want = np.arange(FRAMES)[:, None] / 64 - np.arange(channels) / 2
    assert rate == 48000 and np.array_equal(full_scale(x).reshape(FRAMES, -1), want), name
    if "float" not in name:
        with wave.open(name + ".wav") as w:
            assert (w.getnchannels(), w.getnframes(), w.getframerate()) == (channels, FRAMES, 48000), name
    print(name, "reads as it should")
