#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Requests a second and the slowest in a hundred, 32 connections, beside the bare
library saying hello. bench_http.py PROGRAM HELLO JOB; needs wrk. Figures of one run."""
import os
import re
import subprocess
import sys
import tempfile

program, hello, job = sys.argv[1:4]


def load(address, script=None, seconds=4):
    with tempfile.NamedTemporaryFile("w", suffix=".lua") as f:
        f.write(script or "")
        f.flush()
        text = subprocess.check_output(["wrk", "-t1", "-c32", f"-d{seconds}s", "--latency", "--timeout", "30s",
                                        *(["-s", f.name] if script else []), address],
                                       text=True)
    rate = re.search(r"Requests/sec:\s+([\d.]+)", text)
    slow = re.search(r"^\s+99%\s+(\S+)", text, re.M)
    odd = re.search(r"Non-2xx.*|Socket errors.*", text)
    return float(rate.group(1)), slow.group(1), odd.group(0) if odd else ""


def run(command):
    child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    return child, child.stdout.readline().strip().rstrip("/")


bare, at = run([hello])
rows = [("bare library, hello", *load(at + "/"))]
bare.terminate()
server, at = run([program, "serve", "--port", "0"])
rows.append(("grit P220", *load(at + "/api/grit?marking=P220")))
rows.append(("first screen", *load(at + "/")))
body = open(job, encoding="utf-8").read()
rows.append((f"plan {os.path.basename(job)}", *load(at + "/api/plan", (
    'wrk.method="POST" wrk.headers["Content-Type"]="application/json" '
    'wrk.headers["X-Levigate"]="1" wrk.body=[==[' + body + ']==]'), 20)))
# The same job under ever other names: each is worked out.
rows.append(("plan, never the same", *load(at + "/api/plan", (
    'wrk.method="POST" wrk.headers["Content-Type"]="application/json" '
    'wrk.headers["X-Levigate"]="1" local n=0 local body=[==[' + body + ']==] '
    'request=function() n=n+1 return wrk.format(nil, nil, nil, '
    '(body:gsub(\'"name": "\', \'"name": "\' .. n .. " ", 1))) end'), 20)))
server.terminate()
for name, rate, slow, odd in rows:
    print(f"{name:24} {rate:10.0f} /s  {rate / rows[0][1]:8.5f} of bare  99 % under {slow}  {odd}")
