#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The areal Gaussian and the height parameters beside scipy, in one run on one machine.

Usage: bench_surface.py PROGRAM [N]     (N points a side, 4096 if not told)

Same kernel, same mirrored ends, float32 maps on both sides; scipy is given its fastest
form for a separable kernel (correlate1d twice, output float32). Single thread each."""
import os
import subprocess
import sys
import tempfile
import time

import numpy as np
from scipy import ndimage

program = sys.argv[1]
n = int(sys.argv[2]) if len(sys.argv) > 2 else 4096
folder = tempfile.TemporaryDirectory()
path = os.path.join(folder.name, "data")


def ours(*args):
    out = subprocess.run([program, *map(str, args), path], check=True,
                         capture_output=True, text=True).stdout.split()
    return float(out[1]), float(out[2]), out[3:]


def kernel(half):
    alpha = np.sqrt(np.log(2) / np.pi)
    w = np.exp(-np.pi * (np.arange(-half, half + 1) / (alpha * half)) ** 2)
    return w / w.sum()


def heights(z):
    c = z.astype(float)
    c -= c.mean()
    q = np.sqrt((c * c).mean())
    return (np.abs(c).mean(), q, (c ** 3).mean() / q ** 3, (c ** 4).mean() / q ** 4,
            c.max(), -c.min())


rng = np.random.default_rng(1)
z = rng.standard_normal((n, n)).astype("<f4")
z.tofile(path)
for taps in (41, 321):
    w = kernel((taps - 1) // 2)
    t = time.perf_counter()
    s = ndimage.correlate1d(ndimage.correlate1d(z, w, 0, mode="reflect",
                                                output=np.float32), w, 1,
                            mode="reflect", output=np.float32)
    middle = time.perf_counter()
    h = heights(s)
    theirs = time.perf_counter() - t
    best, spread, rest = ours("map", n, taps, 3)
    print(f"map {n} x {n}, {taps} taps: ours {best:.3f} s (+{spread:.3f}), scipy "
          f"{theirs:.3f} s (filter {middle - t:.3f}), ratio {theirs / best:.1f}; "
          f"Sq {float(rest[1]):.7g} and {h[1]:.7g}; peak {' '.join(rest[3:])}")
z = np.cumsum(rng.standard_normal(1_000_000))
z.astype("<f8").tofile(path)
best, spread, rest = ours("profile", 15)
print(f"profile of 1e6 points, cut-off 1600 points: {best * 1e3:.1f} ms "
      f"(+{spread * 1e3:.1f}), processor {float(rest[3]) * 1e3:.1f} ms, in the first turn "
      f"{float(rest[5]) * 1e3:.1f}; filter and all parameters")
