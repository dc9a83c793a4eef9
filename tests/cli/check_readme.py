#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Run every `levigate ...` line of README.md in a scratch folder and print TAP.

Usage: check_readme.py PROGRAM. Lines indented by four blanks, and short ones between
backquotes that name all they need, must end with exit code 0 and say something or leave
the file they name."""
import os
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

root = pathlib.Path(__file__).resolve().parent.parent.parent
program = str(pathlib.Path(sys.argv[1]).resolve())
text = (root / "README.md").read_text()
lines = re.findall(r"^    (levigate .*)$", text, flags=re.M)
lines += [l for l in re.findall(r"`(levigate [^`]+)`", text)
          if not re.search(r"[A-Z]{4}", l)]
files = re.findall(r"`(examples/[^`]+)`", text) + re.findall(r"\]\((doc/[^)]+)\)", text)
print(f"1..{len(lines) + len(files)}")
number, bad = 0, 0
with tempfile.TemporaryDirectory() as scratch:
    os.symlink(root / "examples", pathlib.Path(scratch, "examples"))
    for line in lines:
        number += 1
        done = subprocess.run([program, *shlex.split(line)[1:]], cwd=scratch,
                              env={**os.environ, "XDG_DATA_HOME": scratch,
                                   "LEVIGATE_DB": ""},
                              capture_output=True, text=True, timeout=300)
        out = re.search(r"-o (\S+)", line)
        made = pathlib.Path(scratch, out.group(1)).exists() if out else True
        good = done.returncode == 0 and made and (done.stdout or out)
        bad += not good
        print(f"{'ok' if good else 'not ok'} {number} - {line}")
        if not good:
            print(f"# exit {done.returncode}: {done.stderr.strip()[-300:]}")
for name in files:
    number += 1
    good = (root / name).exists()
    bad += not good
    print(f"{'ok' if good else 'not ok'} {number} - {name} is in the tree")
sys.exit(1 if bad else 0)
