#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The shop's verbs on a store with 100,000 log entries, as whole commands with start-up.

Usage: bench_store.py LEVIGATE FILL [ENTRIES]. The store is made in memory (a hundred
thousand syncs to a disk would take the time), copied to a file and read warm."""
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

program, fill = sys.argv[1:3]
entries = int(sys.argv[3]) if len(sys.argv) > 3 else 100000
JOB = {"levigate": 1, "name": "bench", "count": 1, "currency": "EUR",
       "labour_minor_per_h": 4800,
       "drawer": [{"system": "P", "label": l, "mineral": "silicon-carbide",
                   "carrier": "paper", "size_mm": [230, 280], "count": 9,
                   "price_minor": 110} for l in ("P120", "P180", "P240", "P400")],
       "faces": [{"name": "a", "material": "walnut", "size_mm": [100, 50],
                  "shape": "flat", "start": {"kind": "process", "process": "planed"},
                  "drives": ["hand-cork"], "target": {"kind": "look", "look": "clean"}}]}


def run(name, command, rounds=7):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                              text=True)
        times.append(1e3 * (time.perf_counter() - start))
        if done.returncode not in (0, 1):
            sys.exit(f"{name}: {done.stderr}")
    print(f"{name:28} median {statistics.median(times):8.1f} ms   "
          f"from {min(times):.1f} to {max(times):.1f} ms of {rounds}", flush=True)


with tempfile.TemporaryDirectory() as folder, \
        tempfile.TemporaryDirectory(dir="/dev/shm") as memory:
    start = time.perf_counter()
    subprocess.run([fill, memory + "/s.db", str(entries)], check=True)
    print(f"{entries} entries made in {time.perf_counter() - start:.0f} s, "
          f"{os.path.getsize(memory + '/s.db') / 2**20:.1f} MiB")
    shutil.copy(memory + "/s.db", folder + "/s.db")
    with open(folder + "/job.json", "w", encoding="utf-8") as f:
        json.dump(JOB, f)
    db = [program, "--db", folder + "/s.db"]
    run("start-up alone", [program, "--version"])
    run("plan without the log", [program, "plan", folder + "/job.json"])
    run("plan with factors", [*db, "plan", folder + "/job.json", "--log"])
    run("factor", [*db, "factor"])
    run("log one entry", [*db, "log", "RB", "f0-0", "1", "5m", "next-grit", "sure"])
    run("log, the newest", [*db, "log"])
    run("drawer", [*db, "drawer"])
    run("store export, JSON", [*db, "store", "export", folder + "/x.json"], 1)
    run("store import, JSON", [program, "--db", folder + "/y.db", "store", "import",
                               folder + "/x.json"], 1)
