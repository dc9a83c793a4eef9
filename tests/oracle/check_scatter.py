#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The library's scatter against numpy: same maps, another transform, the windows summed
over a fine cloud of sub-bins instead of by overlap, contrast by the autocorrelation of the
phase screen instead of a line spread. Prints TAP."""
import subprocess
import sys

import numpy as np

probe = sys.argv[1]
failed = 0
count = 0


def check(ok, text):
    global failed, count
    count += 1
    failed += not ok
    print(f"{'ok' if ok else 'not ok'} {count} - {text}")


def heights(n, m, dx, dy, sq, lx, ly, rng, repeats):
    fx = np.fft.fftfreq(n, dx)[None, :]
    fy = np.fft.fftfreq(m, dy)[:, None]
    w = np.exp(-((np.pi * lx * fx) ** 2 + (np.pi * ly * fy) ** 2) / 2)
    z = np.fft.ifft2(np.fft.fft2(rng.standard_normal((m, n))) * w).real
    z *= sq / z.std()
    if not repeats:  # a tilt that the library must take out again
        z += 1e-3 * np.arange(n)[None, :] - 2e-3 * np.arange(m)[:, None]
    return z.astype(np.float32)


def screen(z, repeats, um, theta):
    z = z.astype(float)
    m, n = z.shape
    w = np.ones_like(z)
    z = z - z.mean()
    if not repeats:
        a = np.column_stack([np.ones(m * n), np.tile(np.arange(n), m),
                             np.repeat(np.arange(m), n)])
        z = z - (a @ np.linalg.lstsq(a, z.ravel(), rcond=None)[0]).reshape(m, n)
        hx = 0.5 - 0.5 * np.cos(2 * np.pi * (np.arange(n) + 0.5) / n)
        hy = 0.5 - 0.5 * np.cos(2 * np.pi * (np.arange(m) + 0.5) / m)
        w = hy[:, None] * hx[None, :]
    return w * np.exp(4j * np.pi * z * np.cos(theta) / um), w


def run(n, m, dx, dy, sq, lx, ly, repeats, um, theta_deg, azimuth_deg, seed):
    rng = np.random.default_rng(seed)
    theta, az = np.radians(theta_deg), np.radians(azimuth_deg)
    z = heights(n, m, dx, dy, sq, lx, ly, rng, repeats)
    out = subprocess.run(
        [probe, str(n), str(m), repr(dx), repr(dy), "1" if repeats else "0", repr(um),
         repr(theta_deg), repr(azimuth_deg)],
        input=z.tobytes(), capture_output=True, check=True).stdout.decode()
    u, w = screen(z, repeats, um, theta)
    p = np.abs(np.fft.fft2(u)) ** 2 / (n * m * (w ** 2).sum())
    fx = np.fft.fftfreq(n, dx)[None, :]
    fy = np.fft.fftfreq(m, dy)[:, None]
    f_in = fx * np.cos(az) + fy * np.sin(az)
    f_cross = -fx * np.sin(az) + fy * np.cos(az)
    alpha, beta = np.sin(theta) + um * f_in, um * f_cross
    real = p[(alpha ** 2 + beta ** 2) <= 1].sum()
    what = f"sq {sq} theta {theta_deg} azimuth {azimuth_deg} repeats {repeats}"
    sub = (np.arange(9) - 4) / 9
    for line in out.splitlines():
        f = line.split()
        if f[0] == "share":
            low, high, half, got = map(float, f[1:])
            if np.isnan(got):
                continue
            part = np.zeros_like(p)
            for a in sub:
                for b in sub:
                    x = alpha + um * (a / (n * dx) * np.cos(az) + b / (m * dy) * np.sin(az))
                    y = beta + um * (-a / (n * dx) * np.sin(az) + b / (m * dy) * np.cos(az))
                    part += (x >= low) & (x <= high) & (np.abs(y) <= half)
            want = (p * part).sum() / 81 / real
            # Bins at the rim: squares here, turned rectangles there: 0.002.
            check(abs(got - want) < 0.002, f"{what}: share {got:.5f} numpy {want:.5f}")
        elif repeats and azimuth_deg == 0:
            nu, cin, ccross = map(float, f[1:])
            acf = np.fft.ifft2(p) * n * m
            for got, shift, line_acf, step, size in (
                    (cin, um * nu / np.cos(theta), acf[0, :], dx, n),
                    (ccross, um * nu, acf[:, 0], dy, m)):
                if shift > size * step / 8:
                    continue
                grid = np.arange(size // 2) * step
                want = np.interp(shift, grid, np.abs(line_acf[: size // 2]))
                # The library blurs by its own bin: sin x / x of the shift.
                check(abs(got - want) < 0.01, f"{what}: contrast at {nu:.0f} per rad "
                                              f"{got:.4f} numpy {want:.4f}")


run(512, 512, 1.0, 1.0, 0.05, 8.0, 8.0, True, 0.55, 20.0, 0.0, 1)
run(512, 256, 0.8, 1.3, 0.08, 6.0, 60.0, True, 0.55, 60.0, 0.0, 2)
run(384, 500, 1.0, 0.9, 0.12, 12.0, 7.0, False, 0.65, 45.0, 30.0, 3)
run(640, 480, 0.7, 0.7, 0.10, 5.0, 40.0, False, 0.45, 20.0, 75.0, 4)
run(512, 512, 0.5, 0.5, 0.03, 2.0, 2.0, True, 0.55, 75.0, 10.0, 5)
print(f"1..{count}")
sys.exit(1 if failed else 0)
