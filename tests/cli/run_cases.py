#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Run the command-line cases and print TAP.

Usage: run_cases.py PROGRAM [--rewrite]

A case is NAME.cmd (shell; $L is the program, run in a scratch folder with the tree's
examples linked as ex/), and beside it NAME.out, NAME.err, NAME.exit with what it must
print and return; an absent .out or .err means nothing, an absent .exit means 0. A
`# why` line at the top of the .cmd is the sentence shown. Files the command leaves in the
scratch folder must be named in a line `# leaves: a b`. --rewrite writes the expectations
from what happens: read the difference before committing it."""
import os
import pathlib
import subprocess
import sys
import tempfile

here = pathlib.Path(__file__).resolve().parent
root = here.parent.parent
program = str(pathlib.Path(sys.argv[1]).resolve())
rewrite = "--rewrite" in sys.argv
cases = sorted((here / "cases").glob("*.cmd"))
print(f"1..{len(cases)}")
bad = 0


def expected(case, kind, otherwise=""):
    path = case.with_suffix("." + kind)
    return path.read_text() if path.exists() else otherwise


def keep(case, kind, text, otherwise=""):
    path = case.with_suffix("." + kind)
    if text == otherwise:
        path.unlink(missing_ok=True)
    else:
        path.write_text(text)


for number, case in enumerate(cases, 1):
    script = case.read_text()
    lines = script.splitlines()
    why = next((l[2:] for l in lines if l.startswith("# ")), case.stem)
    leaves = sorted(w for l in lines if l.startswith("# leaves:") for w in l[9:].split())
    with tempfile.TemporaryDirectory() as scratch:
        os.symlink(root / "examples", pathlib.Path(scratch, "ex"))
        env = {"PATH": os.environ["PATH"], "L": program, "HOME": scratch,
               "LC_ALL": "C.UTF-8", "COLUMNS": "80", "SOURCE_DATE_EPOCH": "1767225600",
               "TOP": str(root)}
        for name in ("ASAN_OPTIONS", "UBSAN_OPTIONS", "LSAN_OPTIONS", "LD_LIBRARY_PATH"):
            if name in os.environ:
                env[name] = os.environ[name]
        done = subprocess.run(["sh", "-c", script], cwd=scratch, env=env, text=True,
                              stdin=subprocess.DEVNULL, capture_output=True, timeout=300)
        left = sorted(p.name for p in pathlib.Path(scratch).iterdir() if p.name != "ex")
    out, err = done.stdout, done.stderr
    code = str(done.returncode) + "\n"
    if rewrite:
        keep(case, "out", out)
        keep(case, "err", err)
        keep(case, "exit", code, "0\n")
    good = True
    for kind, got, want in (("out", out, expected(case, "out")),
                            ("err", err, expected(case, "err")),
                            ("exit", code, expected(case, "exit", "0\n"))):
        if got != want:
            good = False
            print(f"# {case.stem}.{kind}: want\n# " + "\n# ".join(want.splitlines()[:40])
                  + f"\n# got\n# " + "\n# ".join(got.splitlines()[:40]))
    if left != leaves:
        good = False
        print(f"# {case.stem}: left behind {left}, not {leaves}")
    bad += not good
    print(f"{'ok' if good else 'not ok'} {number} - {why}")
sys.exit(1 if bad else 0)
