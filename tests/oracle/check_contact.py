#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The contact of springy grains by another road: scipy's quadrature for the flat face, and a fine fixed-point solution of the steady surface on a grid of its own.
Usage: check_contact.py PRINT_CONTACT. Prints TAP."""
import subprocess
import sys

import numpy as np
from scipy import integrate, stats

CONE, COVER = np.tan(np.radians(70.0)), 0.6


def sizes(sigma, top):
    """Density of ln D by number (Hatch-Choate), cut off at the largest grain."""
    mu = -3.0 * sigma**2
    lo, hi = min(mu - 3.0 * sigma, np.log(top) - sigma), np.log(top)
    norm = integrate.quad(lambda u: stats.norm.pdf(u, mu, sigma), lo, hi)[0]
    return lo, hi, lambda u: stats.norm.pdf(u, mu, sigma) / norm


def flat(sigma, top, xi, eb, h, p, z0):
    """Pressure carried, touching share and mean depth of a flat face at height z0."""
    lo, hi, density = sizes(sigma, top)
    square = integrate.quad(lambda u: density(u) * np.exp(2 * u), lo, hi)[0]
    n = COVER / (np.pi / 4 * square)

    def over_heights(u, what):
        d = np.exp(u)
        a = np.pi * h * CONE**2 / (2 * eb * d)
        from_g = max((z0 / d - 1) / xi, -6.0)
        if from_g >= 6.0:
            return 0.0
        g = np.linspace(from_g, 6.0, 801)
        e = d * (1 + xi * g) - z0
        b = 2 * e / (1 + np.sqrt(1 + 4 * a * e))
        f = stats.norm.pdf(g) * (np.ones_like(g), b, a * d * b * b)[what]
        return density(u) * integrate.simpson(f, x=g)
    share, depth, carried = (
        integrate.quad(over_heights, lo, hi, args=(k,), epsabs=0, epsrel=1e-5)[0]
        for k in range(3))
    return carried * n * eb / p, share, depth / share


def steady(sigma, top, xi, eb, h, p):
    """Lambda'' = load * reach(z), A'' = 2 t exp(-Lambda), z = y + stiffness A / D."""
    lo, hi, density = sizes(sigma, top)
    u, w = np.polynomial.legendre.leggauss(100)
    u, w = 0.5 * (hi - lo) * u + 0.5 * (hi + lo), 0.5 * (hi - lo) * w
    w = w * density(u)
    w, d = w / w.sum(), np.exp(u)
    n = COVER / (np.pi / 4 * (w * d**2).sum())
    stiffness = np.pi * h * CONE / (2 * eb)
    load = np.pi * n * CONE**2 * h / p
    z = np.linspace(0.2, top * (1 + 4.5 * xi), 3000)
    above = stats.norm.sf((z[:, None] / d - 1) / xi) * w
    reach, size = above.sum(1), (above * d).sum(1) / np.maximum(above.sum(1), 1e-300)
    tail = integrate.cumulative_trapezoid(reach[::-1], -z[::-1], initial=0)[::-1]

    mean, sd = None, None
    mean = z[np.argmin(abs(tail * size - 2 * CONE * stiffness / load))]
    sd = 0.5 * np.sqrt(2 / (load * np.interp(mean, z, reach)))
    grid = np.linspace(-5, 9, 1501)
    rate = np.where(grid < 4, 0.04 * (grid - 4)**2, 0.0)
    for _ in range(400):
        y = mean + sd * grid
        a = integrate.cumulative_trapezoid(
            integrate.cumulative_trapezoid(2 * CONE * np.exp(-rate), y, initial=0), y,
            initial=0)
        zz = y + stiffness * a / np.interp(y, z, size)
        for _ in range(4):
            zz = y + stiffness * a / np.interp(zz, z, size)
        r = np.interp(zz, z, reach, right=0.0)
        slope = integrate.cumulative_trapezoid(load * r[::-1], -y[::-1], initial=0)[::-1]
        new = integrate.cumulative_trapezoid(slope[::-1], -y[::-1], initial=0)[::-1]
        g = np.exp(-new)
        pdf = np.gradient(g, y)
        m1 = integrate.trapezoid(pdf * y, y) / integrate.trapezoid(pdf, y)
        s1 = np.sqrt(integrate.trapezoid(pdf * (y - m1)**2, y) /
                     integrate.trapezoid(pdf, y))
        carried = load / (2 * CONE) * integrate.trapezoid(a * -np.gradient(r, y), y)
        if abs(np.log(s1 / sd)) < 1e-6 and abs(np.log(carried)) < 1e-6:
            break
        rate = np.interp((y - mean) / sd, (y - m1) / s1, new)
        mean += np.log(carried) * np.interp(mean, z, tail) / np.interp(mean, z, reach)
        sd *= (s1 / sd)**0.7
    ra = integrate.trapezoid(pdf * abs(y - m1), y) / integrate.trapezoid(pdf, y)
    deep = np.interp(0.999, g, y) - m1
    return ra, s1, deep, np.interp(m1, z, tail) / np.interp(m1, z, reach)


def main():
    lines = subprocess.run([sys.argv[1]], check=True, capture_output=True,
                           text=True).stdout.split("\n")
    rows = [[float(x) for x in line.split()] for line in lines if line]
    print(f"1..{2 * len(rows)}")
    bad = 0
    for i, r in enumerate(rows):
        given = r[:3] + [r[3] * 1e6, r[4] * 1e9, r[5] * 1e3]
        for k, (name, got, want, tol) in enumerate((
                ("the flat face", [1.0] + r[11:13], flat(*given, r[10]), 5e-3),
                ("the steady surface", r[6:10], steady(*given), 3e-2))):
            off = max(abs(g / w - 1) for g, w in zip(got, want))
            ok = off < tol
            bad += not ok
            print(f"{'ok' if ok else 'not ok'} {2 * i + k + 1} - {name} of set {i + 1} is "
                  f"what scipy finds (within {tol:g}, off {off:.2g})")
            if not ok:
                print(f"# core {got} scipy {want}")
    return 1 if bad else 0


sys.exit(main())
