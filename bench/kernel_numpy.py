#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""kernel_numpy.py BENCH_KERNEL: the work of bench_kernel.c in numpy, same ends, and the
ratio of the times; one thread each. Written twice: one grain at a time (as the C code
reads), and all rows side by side (rows are independent, so pass e of every row is done
at once), which is the better numpy."""
import os
import subprocess
import sys
import time

os.environ["OMP_NUM_THREADS"] = "1"
import numpy as np  # noqa: E402

COLUMNS, PITCH, HARDNESS, SPRING, T = 2048, 0.5, 2000.0, 1000.0, 2.75
SHARE, RIDGE, BALANCED, HALF = 0.3, 2.0, 1e-4, 96  # HALF: window, columns either side
C = np.pi / 2.0 * HARDNESS


def start(rows):
    x = np.arange(COLUMNS, dtype=float)
    row = 0.6 * np.cos(x * 0.15) + 0.3 * np.cos(x * 0.6135923151542565)
    return np.tile(row, (rows, 1))


def weyl(k, step):
    x = k * step
    return x - np.floor(x)


def job(k):
    x = weyl(k, 0.6180339887498949) * COLUMNS * PITCH
    return x, 0.5 + 8.0 * np.log(weyl(k, 0.7548776662466927))


def flat(free):
    c = C * T * T
    return 2.0 * free * SPRING / (SPRING + np.sqrt(SPRING**2 + 4.0 * c * SPRING * free))


def balance(window, rise, free, under, top):
    """Newton inside a bracket, on an array of grains at once; window and rise are
    (grains, columns). Returns bottom (NaN: no touch) and engaged width."""
    n = len(free)
    bottom = np.where(under > free, under - flat(np.maximum(under - free, 0.0)), free)
    low, high = free.copy(), top.copy()
    out, width = np.full(n, np.nan), np.zeros(n)
    live = np.flatnonzero(free < top)
    for _ in range(60):
        if live.size == 0:
            break
        over = window[live] - rise[live] - bottom[live, None]
        is_ = over > 0.0
        count = is_.sum(axis=1)
        area = np.where(is_, over, 0.0).sum(axis=1) * PITCH
        keep = ~((count == 0) & (bottom[live] <= free[live]))
        live, count, area = live[keep], count[keep], area[keep]
        b, f = bottom[live], free[live]
        force, pull = C * T * area, SPRING * (b - f)
        step = (pull - force) / (SPRING + C * T * count * PITCH)
        done = np.abs(pull - force) <= BALANCED * force
        out[live[done]] = (b - step)[done]
        width[live[done]] = count[done] * PITCH
        above = pull > force
        high[live] = np.where(above, b, high[live])
        low[live] = np.where(above, low[live], b)
        new = b - step
        inside = (new > low[live]) & (new < high[live])
        bottom[live] = np.where(inside, new, 0.5 * (low[live] + high[live]))
        live = live[~done]
    return out, width


def cut_one(h, first, bottom, width, rise):
    """Groove and ridges of one grain in one row."""
    i = (first + np.arange(2 * HALF + 1)) % COLUMNS
    over = h[i] - rise - bottom
    on = np.flatnonzero(over > 0.0)
    if on.size == 0:
        return
    over = over[on]
    h[i[on]] -= over
    m = int(min(max(RIDGE * 0.5 * width / PITCH + 0.5, 1.0), COLUMNS / 8.0))
    c = (1.0 - SHARE) * over.sum() / (m * m)
    ramp = c * (np.arange(m) + 0.5)
    h[(first + on[0] - m + np.arange(m)) % COLUMNS] += ramp
    h[(first + on[-1] + 1 + np.arange(m)) % COLUMNS] += ramp[::-1]


def cut_all(h, first, bottom, width, rise):
    """The same for one grain in each row at once."""
    r = np.flatnonzero(~np.isnan(bottom))
    cols = (first[r, None] + np.arange(2 * HALF + 1)) % COLUMNS
    window = h[r[:, None], cols]
    wall = rise[r] + bottom[r, None]
    over = np.maximum(window - wall, 0.0)
    on = over > 0.0
    some = on.any(axis=1)
    left, right = on.argmax(axis=1), 2 * HALF - on[:, ::-1].argmax(axis=1)
    m = np.clip(RIDGE * 0.5 * width[r] / PITCH + 0.5, 1.0, COLUMNS / 8.0).astype(int)
    c = np.where(some, (1.0 - SHARE) * over.sum(axis=1) / (m * m), 0.0)
    x = np.arange(2 * HALF + 1)
    a, b = x - (left - m)[:, None], (right + m)[:, None] - x
    raised = np.where((a >= 0) & (a < m[:, None]), c[:, None] * (a + 0.5), 0.0)
    raised += np.where((b >= 0) & (b < m[:, None]), c[:, None] * (b + 0.5), 0.0)
    h[r[:, None], cols] = window - over + raised


def windows(h, x, r):
    first = np.floor(x / PITCH + 0.5).astype(int) - HALF
    cols = first[:, None] + np.arange(2 * HALF + 1)
    rise = np.abs(cols * PITCH - x[:, None]) / T
    return first, rise, h[r[:, None], cols % COLUMNS]


def run_one_by_one(rows, passes):
    h = start(rows)
    for r in range(rows):
        at = np.array([r])
        for e in range(passes):
            x, free = job(np.array([float(r * passes + e + 1)]))
            first, rise, window = windows(h, x, at)
            bottom, width = balance(window, rise, free, window[:, HALF],
                                    np.array([window.max()]))
            if not np.isnan(bottom[0]):
                cut_one(h[r], first[0], bottom[0], width[0], rise[0])
    return h


def run_side_by_side(rows, passes):
    h, r = start(rows), np.arange(rows)
    for e in range(passes):
        x, free = job((r * passes + e + 1).astype(float))
        first, rise, window = windows(h, x, r)
        bottom, width = balance(window, rise, free, window[:, HALF], window.max(axis=1))
        cut_all(h, first, bottom, width, rise)
    return h


def timed(run, rows, passes):
    t = time.process_time()
    h = run(rows, passes)
    return time.process_time() - t, h


def same_ends(line, h, name):
    total, square = float(line["sum"]), float(line["square"])
    far = max(abs(h.sum() - total) / abs(total), abs((h * h).sum() / square - 1.0))
    print(f"{name}: ends differ by {far:.1e} of the sums")
    return far < 1e-6


def c_line(program, rows, passes):
    text = subprocess.run([program, str(rows), str(passes)], check=True,
                          capture_output=True, text=True).stdout
    words = next(l for l in text.splitlines() if l.startswith("fast ")).split()
    return dict(zip(words[1::2], words[2::2])), text


def main():
    program, good = sys.argv[1], True
    line, text = c_line(program, 512, 400)
    print(text, end="")
    c = float(line["seconds"]) / float(line["passes"])
    t, h = timed(run_side_by_side, 512, 400)
    good = same_ends(line, h, "numpy, rows side by side") and good
    print(f"numpy, rows side by side: {1e6 * t / 512 / 400:.2f} us a grain, "
          f"C {1e6 * c:.3f} us, ratio {t / 512 / 400 / c:.1f}")
    line, _ = c_line(program, 8, 400)
    t, h = timed(run_one_by_one, 8, 400)
    good = same_ends(line, h, "numpy, one by one") and good
    print(f"numpy, one grain at a time: {1e6 * t / 8 / 400:.1f} us a grain, "
          f"ratio {t / 8 / 400 / c:.0f}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
