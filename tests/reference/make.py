"""Reference values for the unit tests of src/signal, from SciPy (versions are written into the file).

The input is the same integer-made sound as in the tests: sample n is
((n * 7919 + n * n % 1009 * 31) % 2001 - 1000) / 2000, at the rate that is named.
Run: python tests/reference/make.py > tests/reference/scipy.txt
"""

import numpy as np
import scipy
import scipy.signal as signal


def sound(count):
    n = np.arange(count, dtype=np.int64)
    return ((n * 7919 + n * n % 1009 * 31) % 2001 - 1000) / 2000.0


def main():
    print(f"scipy {scipy.__version__} numpy {np.__version__}")
    x = sound(80 * 9 + 256)
    for frame in (0, 4, 9):
        piece = x[frame * 80:frame * 80 + 256]
        _, _, z = signal.stft(piece, fs=8000, window="hann", nperseg=256, noverlap=0, boundary=None, padded=False)
        power = np.abs(z[:, 0] * 2) ** 2  # scipy scales by the window's sum; x2 makes a full-scale sine 1
        print("stft", frame, " ".join(f"{power[k]:.9e}" for k in (3, 17, 40, 77, 101, 122)))
    low = signal.firwin(401, 3000, fs=48000)
    y = signal.lfilter(low, 1, sound(24000))
    resampled = signal.resample_poly(y, 1, 6, window=("kaiser", 8.0))
    print("resample", " ".join(f"{v:.9e}" for v in resampled[1000:1040]))


if __name__ == "__main__":
    main()
