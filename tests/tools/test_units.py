#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Compares our medians of P, F, JIS and ANSI grits with the definitions file installed by
the general-purpose unit calculator GNU units (Debian package units). Only the standards'
tables of its section on abrasive grit sizes are read. Prints TAP.

usage: test_units.py GRIT_TABLE_PROGRAM
"""
import re
import subprocess
import sys

TOLERANCE = 0.02
# name in the definitions file: our systems
TABLES = {"grit_P": ["P"], "grit_F": ["F"], "jisgrit": ["JIS"],
          "ansibonded": ["ANSI-bonded", "ANSI-micro"], "ansicoated": ["ANSI-coated"]}
# Disagreements of the published sources themselves, by label and why.
KNOWN = {
    "JIS": {"150": "sieve average against a nominal size", "180": "the same",
            "220": "the same"},
}


def definitions_file():
    listed = subprocess.run(["dpkg", "-L", "units"], capture_output=True, text=True)
    for line in listed.stdout.splitlines():
        if line.endswith("definitions.units"):
            return line
    sys.exit("Bail out! the package units is not installed")


def read_tables(path):
    tables = {}
    text = open(path, encoding="utf-8").read().replace("\\\n", " ")
    for line in text.splitlines():
        m = re.match(r"(\w+)\[micron\]\s*(?:noerror)?\s*(.*)", line)
        if m and m.group(1) in TABLES:
            pairs = m.group(2).split()
            tables[m.group(1)] = {pairs[i]: float(pairs[i + 1].rstrip(","))
                                  for i in range(0, len(pairs) - 1, 2)}
    return tables


def read_ours(program):
    ours = {}
    out = subprocess.run([program], capture_output=True, text=True, check=True).stdout
    for line in out.splitlines():
        system, label, _method, size, _mark, source = line.split("\t")
        if size != "nan":
            number = label.lstrip("PF#")
            ours.setdefault((system, number), []).append((float(size), source))
    return ours


def compare(name, theirs, ours):
    """(checked, wrong, disagreements): of rows that were not taken from this file."""
    checked, wrong, known = 0, [], []
    for number, size in theirs.items():
        rows = [r for s in TABLES[name] for r in ours.get((s, number), [])]
        taken = [r for r in rows if r[1].startswith("GNU units")]
        own = [r for r in rows if not r[1].startswith("GNU units")]
        for value, _ in taken:  # a transcription: must be the very figure
            checked += 1
            if abs(value - size) > 1e-6 * size:
                wrong.append(f"{number}: {value} transcribed from {size}")
        for value, _ in own:
            checked += 1
            if abs(value - size) <= TOLERANCE * size:
                continue
            if number in KNOWN.get(TABLES[name][0], {}):
                known.append(f"{number}: {value:g} against {size:g}")
            elif name == "ansicoated":  # older averages; both families are published
                known.append(f"{number}: {value:g} against {size:g}")
            else:
                wrong.append(f"{number}: {value:g} against {size:g}")
    return checked, wrong, known


def main():
    tables = read_tables(definitions_file())
    ours = read_ours(sys.argv[1])
    least = {"grit_P": 28, "grit_F": 39, "jisgrit": 17, "ansibonded": 30,
             "ansicoated": 20}
    print(f"1..{len(TABLES)}")
    for i, name in enumerate(TABLES, 1):
        checked, wrong, known = compare(name, tables.get(name, {}), ours)
        ok = not wrong and checked >= least[name]
        print(f"{'ok' if ok else 'not ok'} {i} - {TABLES[name][0]} agrees with the "
              f"installed table within 2 % in {checked - len(known)} of {checked} rows")
        for line in known:
            print(f"# published sources disagree: {TABLES[name][0]} {line}")
        for line in wrong:
            print(f"# wrong: {TABLES[name][0]} {line}")


main()
