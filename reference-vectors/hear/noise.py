"""The noise of the pauses of real voices, by scipy: 5th percentile of 50 ms frames, 10 ms apart, above 100 Hz (24 dB/oct).

usage: noise.py FOLDER_OF_VOICES > noise.csv
"""
import sys
from pathlib import Path

import numpy as np
from scipy import signal
from scipy.io import wavfile

print("file,dbfs")
for path in sorted(Path(sys.argv[1]).glob("*.wav")):
    rate, x = wavfile.read(path)
    x = x / (2.0**15 if x.dtype == np.int16 else 2.0**31)
    y = signal.sosfilt(signal.butter(4, 100, "high", fs=rate, output="sos"), x)
    hop = round(rate / 100)
    power = [np.mean(y[i : i + 5 * hop] ** 2) for i in range(0, len(y) - 5 * hop + 1, hop)]
    quiet = np.percentile(power, 5, method="nearest")
    print(f"{path.name},{10 * np.log10(quiet):.3f}")
