#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The server spoken to over a socket, byte by byte: requests that must be refused, and
the few that must not. test_server.py PROGRAM; prints TAP."""
import base64
import http.client
import json
import os
import pathlib
import pty
import re
import socket
import ssl
import struct
import subprocess
import sys
import tempfile
import threading
import time
import urllib.parse
import zipfile
import zlib

PROGRAM = sys.argv[1]
ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
count = failed = 0


def check(sentence, good, got=""):
    global count, failed
    count += 1
    failed += not good
    print(f"{'ok' if good else 'not ok'} {count} - {sentence}")
    if not good:
        print(f"# got {got!r}"[:600])


TEMP = tempfile.TemporaryDirectory()
SPOOL = pathlib.Path(TEMP.name, "spool")
SPOOL.mkdir()


class Server:
    def __init__(self, *args):
        self.run = subprocess.Popen([PROGRAM, "serve", "--port", "0", *args],
                                    stdout=subprocess.PIPE, text=True,
                                    env={**os.environ, "TMPDIR": str(SPOOL), "LEVIGATE_DB":
                                         str(pathlib.Path(TEMP.name, "shop.db"))})
        self.address = self.run.stdout.readline().strip()
        self.port = int(re.search(r":(\d+)/", self.address).group(1))
        self.host = f"127.0.0.1:{self.port}"

    def stop(self):
        self.run.terminate()
        return self.run.wait(20)


def raw(server, data, wait=5):
    """Status of the reply to these bytes; 0 when the server closed without one."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=wait) as s:
        try:
            s.sendall(data)
            reply = s.recv(65536)
        except ConnectionError:
            return 0, b""
        except socket.timeout:
            return -1, b""
        found = re.match(rb"HTTP/1\.1 (\d+)", reply)
        return (int(found.group(1)) if found else 0), reply


def ask(server, path, method="GET", body=None, wait=60, **headers):
    c = http.client.HTTPConnection("127.0.0.1", server.port, timeout=wait)
    c.request(method, path, body, {"Host": server.host, **headers})
    r = c.getresponse()
    return r.status, r.read(), r.headers


JOB = (ROOT / "examples" / "thin-door.json").read_bytes()
WRITE = {"Content-Type": "application/json", "X-Levigate": "1"}
s = Server()
h = s.host.encode()

status, body, head = ask(s, "/")
check("the first screen comes with its questions", status == 200 and
      body.count(b"<details") == 20, body[:200])
check("it forbids scripts of others", "script-src 'self'" in head["Content-Security-Policy"]
      and "unsafe" not in head["Content-Security-Policy"], head)
check("types are not guessed", head["X-Content-Type-Options"] == "nosniff", head)
status, body, _ = ask(s, "/api/grit?marking=P220")
check("grit answers as the command line does", status == 200 and json.loads(body) ==
      json.loads(subprocess.check_output([PROGRAM, "grit", "P220", "--json"])), body[:200])
status, body, _ = ask(s, "/api/plan", "POST", JOB, **WRITE)
want = subprocess.run([PROGRAM, "plan", ROOT / "examples" / "thin-door.json", "--json"],
                      stdout=subprocess.PIPE, check=False).stdout
check("plan answers as the command line does", status == 200 and
      json.loads(body) == json.loads(want), body[:300])
status, body, head = ask(s, "/api/card?format=pdf", "POST", JOB, **WRITE)
check("the card is a PDF", status == 200 and body.startswith(b"%PDF-"), body[:80])
status, body, _ = ask(s, "/plain/grit?marking=400")
check("grits can be read without scripting", status == 200 and b"<table" in body, body[:200])
status, body, _ = ask(s, "/plain/plan?material=brass_260&start=filed&look=satin&next=none"
                      "&length_mm=20,5&width_mm=10")
check("a ladder can be read without scripting", status == 200 and b"The ladder" in body
      and b"card?" in body, body[:300])
status, body, _ = ask(s, "/plain/grit?marking=%3Cscript%3E")
check("what a visitor types comes back escaped", b"<script>" not in body, body[:300])
status, body, head = ask(s, "/web/main.js", **{"Accept-Encoding": "gzip"})
check("files of the page come packed", head["Content-Encoding"] == "gzip" and
      body[:2] == b"\x1f\x8b", head)
status, body, head = ask(s, "/web/main.js", **{"Accept-Encoding": "identity"})
check("or as they are", head["Content-Encoding"] is None and b"SPDX" in body, head)
status, _, _ = ask(s, "/web/main.js", **{"If-None-Match": head["ETag"]})
check("and not again when unchanged", status == 304, status)
status, body, _ = ask(s, "/api/plan", "POST", b'{"levigate":1,"nam', **WRITE)
check("a broken job is told by place", status == 400 and
      re.search(rb"job:1:\d+", body) is not None, body)

for sentence, data, wanted in [
    ("no Host is refused", b"GET / HTTP/1.1\r\n\r\n", {400}),
    ("a foreign Host is refused", b"GET / HTTP/1.1\r\nHost: evil.example\r\n\r\n", {421}),
    ("the right name with the wrong port is refused",
     b"GET / HTTP/1.1\r\nHost: 127.0.0.1:1\r\n\r\n", {421}),
    ("two Hosts are refused", b"GET / HTTP/1.1\r\nHost: %b\r\nHost: %b\r\n\r\n" % (h, h), {400}),
    ("a zero byte in a header is refused",
     b"GET / HTTP/1.1\r\nHost: %b\0.evil\r\n\r\n" % h, {400, 0}),
    ("a control byte in a header is refused",
     b"GET / HTTP/1.1\r\nHost: %b\r\nCookie: a\x01b\r\n\r\n" % h, {400, 0}),
    ("two lengths are refused", b"POST /api/plan HTTP/1.1\r\nHost: %b\r\nContent-Length: 2"
     b"\r\nContent-Length: 3\r\n\r\n{}" % h, {400, 403, 0}),
    ("a negative length is refused", b"POST /api/plan HTTP/1.1\r\nHost: %b\r\nX-Levigate: 1\r\n"
     b"Content-Type: application/json\r\nContent-Length: -5\r\n\r\n" % h, {400, 413, 0}),
    ("70 kB of header are refused", b"GET / HTTP/1.1\r\nHost: %b\r\nX: %b\r\n\r\n"
     % (h, b"a" * 70000), {431, 413, 400, 0}),
    ("dots do not lead out", b"GET /web/../../etc/passwd HTTP/1.1\r\nHost: %b\r\n\r\n" % h, {404}),
    ("nor escaped dots", b"GET /web/%%2e%%2e/%%2e%%2e/etc/passwd HTTP/1.1\r\nHost: %b\r\n\r\n" % h,
     {404}),
    ("nor an escaped zero", b"GET /web/main.js%%00.css HTTP/1.1\r\nHost: %b\r\n\r\n" % h,
     {400, 404, 200}),
]:
    status, reply = raw(s, data)
    check(sentence, status in wanted and b"root:" not in reply, (status, reply[:200]))

for sentence, wanted, change in [
    ("a page of another site may not write", 403, {"Origin": "http://evil.example"}),
    ("nor one without an origin", 403, {"Origin": "null"}),
    ("this page may", 200, {"Origin": f"http://{s.host}"}),
    ("a write without our header is refused", 403, {"X-Levigate": None}),
    ("a form of many parts is refused", 415,
     {"Content-Type": "multipart/form-data; boundary=x"}),
    ("a packed body is refused, bomb or not", 415, {"Content-Encoding": "gzip"}),
    ("a body announced too large is refused", 413, {"Content-Length": str(3 << 20)}),
]:
    headers = {k: v for k, v in {**WRITE, **change}.items() if v is not None}
    status, body, _ = ask(s, "/api/plan", "POST", JOB, **headers)
    check(sentence, status == wanted, (status, body[:200]))

status, reply = raw(s, b"POST /api/plan HTTP/1.1\r\nHost: %b\r\nX-Levigate: 1\r\nContent-Type: "
                    b"application/json\r\nTransfer-Encoding: chunked\r\n\r\n" % h +
                    (b"10000\r\n" + b"x" * 65536 + b"\r\n") * 20 + b"0\r\n\r\n", 20)
check("a body that grows too large unannounced is refused", status in (413, 0), reply[:200])
# ---- files from elsewhere: read in a child with little room ----

FILE = {"Content-Type": "application/octet-stream", "X-Levigate": "1"}
SURFACE = ROOT / "tests" / "golden" / "metrology" / "data" / "ski_base_ground.x3p"


def chunk(name, data):
    return struct.pack(">I", len(data)) + name + data + \
        struct.pack(">I", zlib.crc32(name + data))


def png(side, depth, data):
    head = struct.pack(">IIBBBBB", side, side, depth, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + \
        chunk(b"IEND", b"")


def zip_of(name, size):
    path = pathlib.Path(TEMP.name, "bomb.x3p")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as z, \
            z.open(name, "w", force_zip64=True) as out:
        for _ in range(size >> 20):
            out.write(bytes(1 << 20))
    return path.read_bytes()


status, body, _ = ask(s, "/api/trace", "POST", SURFACE.read_bytes(), **FILE)
check("a measured surface answers as the command line does", status == 200 and
      json.loads(body) == json.loads(subprocess.check_output(
          [PROGRAM, "trace", SURFACE, "--json"])), body[:300])
status, body, head = ask(s, "/api/trace?format=svg", "POST", SURFACE.read_bytes(), **FILE)
check("and its report is a drawing", status == 200 and b"<svg" in body[:300] and
      head["Content-Type"] == "image/svg+xml", body[:200])
status, body, _ = ask(s, "/api/trace?symbol=Sa&max_um=1,5", "POST", SURFACE.read_bytes(),
                      **FILE)
check("held against a limit with a comma", status == 200 and b'"limit' in body, body[-400:])
status, body, _ = ask(s, "/api/trace?expect_ra_um=0.4&expect_deepest_um=2&no_lay=1", "POST",
                      SURFACE.read_bytes(), **FILE)
check("judged by what a step should leave", status == 200 and
      json.loads(body) == json.loads(subprocess.run(
          [PROGRAM, "trace", SURFACE, "--json", "--expect-ra-um=0.4",
           "--expect-deepest-um=2", "--no-lay"], capture_output=True).stdout), body[-400:])
packed = zlib.compress(bytes(4097 * 4096), 9)
status, body, _ = ask(s, "/api/trace?dx_um=1&z_step_um=1", "POST", png(30000, 8, packed),
                      **FILE)
check("a picture that claims more than it holds is refused", status in (400, 413) and
      b"text" in body, (status, body[:300]))
status, body, _ = ask(s, "/api/trace", "POST", zip_of("main.xml", 1 << 30), **FILE)
check("so is a packed gigabyte of nothing", status in (400, 413) and b"text" in body,
      (status, body[:300]))
for sentence, value in [("an option hidden in a value is refused", "max_um=1%20--save%3Dx"),
                        ("nor does a word carry one", "symbol=--save"),
                        ("a number of the wrong kind is told", "dx_um=wide"),
                        ("a mark that is there or not takes no value", "no_lay=--save")]:
    status, body, _ = ask(s, "/api/trace?" + value, "POST", SURFACE.read_bytes(), **FILE)
    check(sentence, status == 400 and b"should be" in body, (status, body[:200]))
status, reply = raw(s, b"POST /api/trace HTTP/1.1\r\nHost: %b\r\nX-Levigate: 1\r\nContent-Type: "
                    b"application/octet-stream\r\nTransfer-Encoding: chunked\r\n\r\n" % h +
                    (b"400000\r\n" + bytes(1 << 22) + b"\r\n") * 17 + b"0\r\n\r\n", 60)
check("a file over 64 MiB is refused while it arrives", status in (413, 0), reply[:200])
status, _, _ = ask(s, "/api/about")
check("the server lives on", status == 200, status)
check("and no file is left behind", not list(SPOOL.iterdir()), list(SPOOL.iterdir()))

status, body, _ = ask(s, "/api/plan", "PUT", b"", **WRITE)
check("other methods are refused", status == 405, status)
status, body, _ = ask(s, "/api/words", **{"Sec-Fetch-Site": "cross-site"})
check("a page of another site may not read either", status == 403, status)

idle = [socket.create_connection(("127.0.0.1", s.port)) for _ in range(40)]
for one in idle:
    one.sendall(b"GET / HTTP/1.1\r\nHo")
start = time.monotonic()
status, _, _ = ask(s, "/api/about")
check("forty sleepy clients hold nobody up", status == 200 and
      time.monotonic() - start < 2, time.monotonic() - start)
idle[0].settimeout(25)
try:
    gone = idle[0].recv(1000)
except socket.timeout:
    gone = None
except ConnectionError:
    gone = b""
check("and are sent away in time", gone is not None, gone)
for one in idle:
    one.close()

# ---- the word beside a mistake, for pages in another language ----

for wanted, path, method, body, more in [
        ("not-found", "/api/nothing", "GET", None, {}),
        ("not-so", "/api/plan", "GET", None, {}),
        ("not-valid", "/api/card?paper=A9", "POST", JOB, WRITE),
        ("not-readable", "/api/plan", "POST", b'{"levigate":1,"nam', WRITE),
        ("out-of-range", "/api/quote?corners=-1", "POST", JOB, WRITE),
        ("unknown", "/api/job?act=show&name=nobody", "GET", None, {}),
        ("not-allowed", "/api/plan", "POST", JOB, {"Content-Type": "application/json"}),
        ("too-big", "/api/plan", "POST", JOB, {**WRITE, "Content-Length": str(3 << 20)}),
        ("not-found", "/api/cancel?work=none", "POST", b"{}", WRITE)]:
    status, body, _ = ask(s, path, method, body, **more)
    reply = json.loads(body)
    check(f"{path} is told as {wanted}", reply.get("code") == wanted and
          reply["error"]["text"], (status, reply))

# ---- the shop's memory ----


def change(path, what):
    status, body, _ = ask(s, path, "POST", what if isinstance(what, bytes)
                          else json.dumps(what).encode(), **WRITE)
    return status, json.loads(body)


def command(*args):
    env = {**os.environ, "LEVIGATE_DB": str(pathlib.Path(TEMP.name, "shop.db"))}
    done = subprocess.run([PROGRAM, *args], stdout=subprocess.PIPE, env=env, check=False)
    return json.loads(done.stdout)


status, body, _ = ask(s, "/api/drawer")
check("an empty drawer is an answer", status == 200 and json.loads(body)["lines"] == [],
      body[:200])
status, reply = change("/api/drawer", {"act": "add", "what": "P240", "pieces": 10,
                                       "price": "1,10 EUR"})
check("what is put in with a comma in its price is in the drawer", status == 200 and
      reply["lines"][0]["price_minor"] == 110, reply)
check("and the command line sees the same", command("drawer", "list", "--json")["lines"]
      [0]["count"] == 10)
status, body, head = ask(s, "/api/labels?format=pdf&paper=Letter")
check("the drawer's labels are a PDF", status == 200 and body.startswith(b"%PDF-"), body[:200])
status, body, _ = ask(s, "/api/labels?paper=A9")
check("and not on any paper", status == 400 and b"Letter" in body, body[:200])
for sentence, what in [
    ("a key that is not known is refused by its place", {"act": "add", "wat": "P240"}),
    ("so is a number as a text", {"act": "take", "what": "1", "pieces": "many"}),
    ("and more than is there", {"act": "take", "what": "1", "pieces": 11}),
    ("and a bare number", {"act": "add", "what": "240", "pieces": 1}),
    ("and a null", b'{"act":"add","what":null}'),
]:
    status, reply = change("/api/drawer", what)
    check(sentence, status == 400 and reply["error"]["text"], (status, reply))
status, _, _ = ask(s, "/api/drawer?act=add&what=P80")
check("nothing is changed by a GET", status == 400, status)
NAME = json.loads(JOB)["name"]
AT = "&name=" + urllib.parse.quote(NAME)
status, reply = change("/api/job?act=add", JOB)
check("a job is kept", status == 200 and reply["jobs"][0]["versions"] == 1, reply)
status, reply = change(f"/api/job?act=change{AT}&base=1", JOB)
check("a change of the newest version is kept", status == 200 and
      reply["jobs"][0]["versions"] == 2, reply)
status, reply = change(f"/api/job?act=change{AT}&base=1", JOB)
check("a change of an older one is a conflict", status == 409 and "2 is the newest" in
      reply["error"]["text"] and reply["code"] == "conflict", (status, reply))
status, reply = change(f"/api/job?act=change{AT}&base=2", b'{"levigate":1,"name":3}')
check("a job that is none changes nothing", status == 400 and len(
    command("job", "versions", NAME, "--json")["versions"]) == 2, (status, reply))
results = []
jobs = [threading.Thread(target=lambda: results.append(
    change(f"/api/job?act=change{AT}&base=2", JOB)[0])) for _ in range(8)]
for t in jobs:
    t.start()
for t in jobs:
    t.join()
check("of eight changes at once one is kept", sorted(results) == [200] + 7 * [409], results)
status, reply = change(f"/api/job?act=start{AT}", b"{}")
check("work starts, the plan is frozen", status == 200 and reply["steps"], reply)
FIRST = {"face": reply["steps"][0]["face"], "number": 1, "who": "RB"} if reply.get("steps") \
    else {}
status, reply = change("/api/log", {**FIRST, "line": "9h30 next-grit"})
check("an odd entry is asked about and not kept", status == 422 and
      reply["code"] == "odd" and not
      command("log", "list", "--json")["entries"], (status, reply))
status, reply = change("/api/log", {**FIRST, "line": "9h30 next-grit", "sure": True})
check("and kept when it is meant", status == 200 and reply["entry"]["work_s"] == 34200.0,
      reply)
status, reply = change("/api/log", {"undo": True, "who": "RB"})
check("and taken back", status == 200 and command("log", "list", "--json")["entries"]
      [0]["undone"], reply)
status, body, _ = ask(s, "/api/factor?quantity=removal")
check("what the log taught answers as the command line does", status == 200 and
      json.loads(body) == command("factor", "removal", "--json"), body[:300])
status, body, _ = ask(s, "/api/plan?log=1&drawer=1", "POST", JOB, **WRITE)
check("a plan from drawer and log answers", status == 200 and b'"faces"' in body, body[:300])
QUOTED = json.dumps(dict(json.loads(JOB), faces=json.loads(JOB)["faces"][-1:])).encode()
status, body, _ = ask(s, "/api/quote?count=5&corners=2&margin_pct=12,5", "POST", QUOTED,
                      **WRITE)
quoted = pathlib.Path(TEMP.name, "quoted.json")
quoted.write_bytes(QUOTED)
want = command("quote", quoted, "--count=5", "--corners=2", "--margin-pct=12.5", "--json",
               "--db", pathlib.Path(TEMP.name, "shop.db"))
check("a quote answers as the command line does", status == 200 and
      json.loads(body) == want, body[:300])
status, body, _ = ask(s, "/api/quote?corners=-1", "POST", QUOTED, **WRITE)
check("less than no corner is refused", status == 400 and b"corners" in body, body[:200])
for path, words in [("drawer", b"P240"), ("log", b"RB"), ("safety", b"<strong>danger")]:
    status, body, _ = ask(s, "/plain/" + path)
    check(f"{path} can be read without scripting", status == 200 and words in body and
          b"<script" not in body, body[-300:])
with socket.create_connection(("127.0.0.1", s.port), timeout=10) as news:
    news.sendall(b"GET /api/events HTTP/1.1\r\nHost: %b\r\n\r\n" % h)
    heard = news.recv(65536)
    change("/api/drawer", {"act": "take", "what": "1", "pieces": 1})
    while b"changed" not in heard and len(heard) < 100000:
        heard += news.recv(65536)
check("a change is told to every page that listens", b'{"changed":"drawer"}' in heard,
      heard[-200:])

# One face that takes many seconds: a mirror from the saw, with all that can be bought.
LONG = json.dumps({"levigate": 1, "name": "x", "currency": "EUR",
                   "labour_minor_per_h": 4000, "faces": [
                       {"name": "a", "material": "brass_360", "size_mm": [100, 50],
                        "shape": "flat", "start": {"kind": "process", "process": "sawn"},
                        "target": {"kind": "look", "look": "mirror"}}]})

# ---- photos beside the log ----

def png(width, height, rows=None):
    def part(name, data):
        return (struct.pack(">I", len(data)) + name + data +
                struct.pack(">I", zlib.crc32(name + data)))
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    body = rows if rows is not None else b"".join(b"\0" + bytes(width) for _ in range(height))
    return (b"\x89PNG\r\n\x1a\n" + part(b"IHDR", head) +
            part(b"IDAT", zlib.compress(body, 9)) + part(b"IEND", b""))


PHOTO = {"Content-Type": "application/octet-stream", "X-Levigate": "1"}
KEEP = "/api/photo?job=photographed&face=a&name=a/b/lamp%22low.png"
job = json.loads(LONG)
status, _, _ = ask(s, "/api/job?act=add&name=photographed", "POST",
                   json.dumps({**job, "name": "photographed"}), **WRITE)
status, body, _ = ask(s, KEEP + "&entry=7&words=old%20line", "POST", png(900, 600), **PHOTO)
kept = json.loads(body).get("files", [{}])[-1]
check("a photo is kept with its job, under a plain name", status == 200 and
      kept.get("entry") == 7 and kept.get("name") == "lamp-low.png" and
      kept.get("words") == "entry 7: old line" and kept.get("face") == "a", body[-400:])
status, body, head = ask(s, "/api/photo?sha256=" + kept.get("sha256", ""))
check("it is shown small, as a JPEG made here", status == 200 and
      body[:3] == b"\xff\xd8\xff" and head["Content-Type"] == "image/jpeg" and
      len(body) < 20000, (status, body[:60]))
files = pathlib.Path(TEMP.name, "shop.db-files")
before = sorted(p.name for p in files.iterdir())
start = time.monotonic()
bomb = png(30000, 30000, bytes(30001 * 30000))
check("the bomb of this test is one", len(bomb) < 2 << 20, len(bomb))
status, body, _ = ask(s, KEEP, "POST", bomb, **PHOTO)
check("a photo that unpacks to a gigabyte is refused by its header", status in (400, 413)
      and b"million" in body, body[:200])
deep = png(7000, 8000, bytes(7001 * 8000))  # as many points as are read, all unpacked
status, body, _ = ask(s, KEEP, "POST", deep[:len(deep) // 2], **PHOTO)
check("half a photo is refused", status == 400, (status, body[:200]))
for name, data in [("a page", b"<!doctype html><script>alert(1)</script>"),
                   ("a program", b"\x7fELF" + bytes(500)), ("nothing", b""),
                   ("a vector drawing", b"<svg xmlns='http://www.w3.org/2000/svg'/>")]:
    status, body, _ = ask(s, KEEP, "POST", data, **PHOTO)
    check(f"{name} is no photo", status == 400 and b"photo" in body, (status, body[:200]))
status, _ = raw(s, b"POST " + KEEP.encode() + b" HTTP/1.1\r\nHost: %b\r\nX-Levigate: 1\r\n"
                b"Content-Type: application/octet-stream\r\nContent-Length: %d\r\n\r\n" %
                (h, (40 << 20) + 1))
check("a photo of more than 40 MB is refused before it comes", status == 413, status)
status, body, _ = ask(s, KEEP.replace("job=photographed", "job=other"), "POST",
                      png(20, 20), **PHOTO)
check("nor is one kept for a job that is not there", status == 400, body[:200])
check("of all these nothing was kept", sorted(p.name for p in files.iterdir()) == before,
      sorted(p.name for p in files.iterdir()))
for hash in ["", "../../etc/passwd", "A" * 64, "0" * 64, "..%2f" * 12 + "abcd"]:
    status, body, _ = ask(s, "/api/photo?sha256=" + hash)
    check(f"photo {hash[:12]!r} is not served", status == 400, (status, body[:100]))

got = []


def plan_long():
    got.append((ask(s, "/api/plan?work=long", "POST", LONG, **WRITE)[0], time.monotonic()))


with socket.create_connection(("127.0.0.1", s.port), timeout=10) as news:
    news.sendall(b"GET /api/events HTTP/1.1\r\nHost: %b\r\n\r\n" % h)
    worker = threading.Thread(target=plan_long)
    worker.start()
    heard = b""
    while b'"begun":' not in heard and len(heard) < 100000:
        heard += news.recv(65536)
check("a search of one face tells how far it is",
      re.search(rb'"work":"long","done":0,"of":1,"what":"a","begun":\d+}', heard), heard)
time.sleep(0.3)  # well inside the face
status, _, _ = ask(s, "/api/cancel?work=long", "POST", b"{}", **WRITE)
told = time.monotonic()
worker.join(120)
check("a plan can be left off within one face", status == 202 and got[0][0] == 409 and
      got[0][1] - told < 3, (status, got, told))

# ---- a face simulated through its ladder ----


def news_until(wanted, do, more=lambda: False):
    """What the pages hear from before `do` is called until all of `wanted` came, and as
    long as `more` says."""
    heard = b""
    with socket.create_connection(("127.0.0.1", s.port), timeout=60) as c:
        c.sendall(b"GET /api/events HTTP/1.1\r\nHost: %b\r\n\r\n" % h)
        heard += c.recv(65536)
        do()
        while (not all(w in heard for w in wanted) or more()) and len(heard) < 1000000:
            heard += c.recv(65536)
    return heard


PLATE = ROOT / "tests" / "cli" / "jobs" / "plate.json"
made = []
RELIEF = "/api/relief?work=rel&face=panel&goal=plate=time,panel=removal"
simulate = threading.Thread(target=lambda: made.append(
    ask(s, RELIEF, "POST", PLATE.read_bytes(), **WRITE)))
heard = news_until([b'"work":"rel","done":0,"of":100'], simulate.start,
                   simulate.is_alive)
simulate.join(120)
shares = [int(x) for x in re.findall(rb'"work":"rel","done":(\d+),"of":100', heard)]
check("a face that is simulated tells how far it is", shares == sorted(shares) and
      len(set(shares)) > 5, shares)
want = json.loads(subprocess.check_output(
    [PROGRAM, "relief", PLATE, "--face=panel", "--goal=panel=removal", "--json"]))
got_relief = json.loads(made[0][1]) if made[0][0] == 200 else {}
picture = got_relief.pop("picture", "")
check("and answers as the command line does, by the ladder that was chosen",
      got_relief == want and want["left_out"] + [x["label"] for x in want["steps"]] ==
      ["card scraper", "P180"], (made[0][0], made[0][1][:300]))
PNG = base64.b64decode(picture.removeprefix("data:image/png;base64,"))
check("with its picture", PNG[:8] == b"\x89PNG\r\n\x1a\n" and
      struct.unpack(">II", PNG[16:24]) == (want["columns"], want["rows"]), PNG[:30])
begun = time.monotonic()
status, body, _ = ask(s, RELIEF, "POST", PLATE.read_bytes(), **WRITE)
check("asked for again it is there", status == 200 and time.monotonic() - begun < 0.3,
      time.monotonic() - begun)
got.clear()
LEFT = threading.Thread(target=lambda: got.append((ask(
    s, "/api/relief?work=left&face=minute-hand", "POST",
    (ROOT / "examples" / "clock.json").read_bytes(), wait=240, **WRITE),
    time.monotonic())))
news_until([b'"work":"left","done":0,'], LEFT.start)
time.sleep(1)  # it has its turn, and works
status, body, _ = ask(s, "/api/relief?face=plate", "POST", PLATE.read_bytes(), **WRITE)
check("a second one meanwhile is told to wait", status == 503 and b"simulated" in body
      and json.loads(body)["code"] == "busy", body)
status, body, _ = ask(s, "/api/plan", "POST", JOB, **WRITE)
check("but ladders are worked out", status == 200, body[:200])
status, _, _ = ask(s, "/api/cancel?work=left", "POST", b"{}", **WRITE)
told = time.monotonic()
LEFT.join(240)
check("and it can be left off", status == 202 and got[0][0][0] == 409 and
      json.loads(got[0][0][1])["code"] == "cancelled" and
      got[0][1] - told < 3, (status, got[0][0][:2], got[0][1] - told))
status, body, _ = ask(s, "/api/relief?work=odd&face=a%22b", "POST", PLATE.read_bytes(),
                      **WRITE)
check("a face that is none of the job's is told", status == 400 and
      b"nearest" in body, body[:200])
check("no drawing is left behind", not list(SPOOL.iterdir()), list(SPOOL.iterdir()))

# ---- a ladder asked for again ----

CLOCK = (ROOT / "examples" / "clock.json").read_bytes()


def plan(more=""):
    begun = time.monotonic()
    answer = ask(s, "/api/plan?work=w" + str(begun).replace(".", "-") + more, "POST", CLOCK,
                 **WRITE)
    return answer[0], answer[1], time.monotonic() - begun


first, again = plan(), plan()
check("the same question has the same answer", first[0] == 200 and first[1] == again[1],
      (first[0], again[0]))
check("and at once", again[2] < 0.2 * first[2], (first[2], again[2]))
other = plan("&goal=time")
check("another question has another", other[0] == 200 and other[1] != first[1] and
      other[2] > 0.2 * first[2], other[2])
time.sleep(2.2)  # the store has been left alone for a while
drawn = plan("&drawer=1")
kept = plan("&drawer=1")
changed = change("/api/drawer", {"act": "add", "what": "P180", "pieces": 40,
                                 "size": "230x280"})
check("the drawer takes more paper", changed[0] == 200, changed)
new = plan("&drawer=1")
check("a plan from the drawer is kept too", drawn[1] == kept[1] and
      kept[2] < 0.2 * drawn[2], (drawn[0], drawn[2], kept[2]))
check("until the drawer changes", new[1] != drawn[1] or new[2] > 0.2 * drawn[2],
      (drawn[2], new[2], new[1][:200]))

c = http.client.HTTPConnection("127.0.0.1", s.port, timeout=60)
seen = []
for _ in range(4000):
    c.request("POST", "/api/cancel?work=none", b"{}", {"Host": s.host, **WRITE})
    r = c.getresponse()
    r.read()
    seen.append(r.status)
    if r.status == 429:
        break
check("writes that come too fast are told to wait", seen[-1] == 429 and len(seen) > 200,
      len(seen))
time.sleep(1.2)
status, _, _ = ask(s, "/api/cancel?work=none", "POST", b"{}", **WRITE)
check("and are taken again after a second", status == 404, status)
check("the server stops cleanly when told", s.stop() == 0)

lan = Server("--lan")
key = re.search(r"/k/([a-z0-9]{32})$", lan.address)
check("on the network the address holds a key", key is not None, lan.address)
status, body, _ = ask(lan, "/")
check("without it nobody gets in", status == 403 and b"details" not in body, status)
status, _, _ = ask(lan, "/k/" + "a" * 32)
check("nor with a wrong one", status == 403, status)
status, _, head = ask(lan, f"/k/{key.group(1)}")
cookie = head["Set-Cookie"] or ""
check("the key gives a cookie that scripts and other sites do not see", status == 303
      and "HttpOnly" in cookie and "SameSite=Strict" in cookie, (status, cookie))
status, _, _ = ask(lan, "/api/about", Cookie=cookie.split(";")[0])
check("with the cookie one is in", status == 200, status)
check("and this one stops cleanly too", lan.stop() == 0)

# ---- encrypted, with a certificate of our own making ----

PEM = [str(pathlib.Path(TEMP.name, name)) for name in ("cert.pem", "key.pem")]
subprocess.run(["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt",
                "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2", "-subj",
                "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1",
                "-out", PEM[0], "-keyout", PEM[1]], check=True, stderr=subprocess.DEVNULL)
tls = Server("--lan", "--tls-cert", PEM[0], "--tls-key", PEM[1])
check("an encrypted address says so", tls.address.startswith("https://"), tls.address)
trust = ssl.create_default_context(cafile=PEM[0])


def ask_tls(path, **headers):
    c = http.client.HTTPSConnection("localhost", tls.port, timeout=60, context=trust)
    c.request("GET", path, headers=headers)
    r = c.getresponse()
    r.read()
    return r.status, r.headers, c.sock.version() if c.sock else None


key = re.search(r"/k/([a-z0-9]{32})$", tls.address).group(1)
status, head, _ = ask_tls(f"/k/{key}")
cookie = head["Set-Cookie"] or ""
check("its cookie never travels in the clear", status == 303 and "Secure" in cookie, cookie)
status, _, version = ask_tls("/api/about", Cookie=cookie.split(";")[0])
check("who trusts the certificate gets in", status == 200 and version in
      ("TLSv1.2", "TLSv1.3", None), (status, version))
try:
    ssl.create_default_context().wrap_socket(
        socket.create_connection(("127.0.0.1", tls.port)), server_hostname="localhost")
    refused = False
except ssl.SSLError:
    refused = True
check("who does not is warned", refused)
status, reply = raw(tls, b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
check("nobody gets in unencrypted", status in (0, -1), reply[:100])
check("and it stops cleanly", tls.stop() == 0)
wrong = subprocess.run([PROGRAM, "serve", "--port", "0", "--tls-cert", PEM[1], "--tls-key",
                        PEM[0]], stderr=subprocess.PIPE, text=True, timeout=30, check=False)
check("files that are no pair are told in one line", wrong.returncode in (2, 3) and
      wrong.stderr.count("\n") == 1 and "PEM" in wrong.stderr, wrong.stderr)

# ---- the square on the terminal, read by an independent reader ----

main, side = pty.openpty()
shown = subprocess.Popen([PROGRAM, "serve", "--port", "0", "--lan"], stdout=side)
os.close(side)
text = b""
while b"Ctrl-C" not in text:
    text += os.read(main, 65536)
shown.terminate()
shown.wait(20)
address = text.decode().split()[0]
rows = re.findall(r"\033\[30;47m([^\033]*)\033", text.decode())
ink = [[(row[x] in "\u2588\u2580", row[x] in "\u2588\u2584") for x in range(len(row))]
       for row in rows]
flat = [[cell[half] for cell in row] for row in ink for half in (0, 1)]
big = "\n".join("".join("1" * 6 if dark else "0" * 6 for dark in row)
                for row in flat for _ in range(6))
picture = pathlib.Path(TEMP.name, "square.pbm")
picture.write_text(f"P1\n{6 * len(flat[0])} {6 * len(flat)}\n{big}\n")
read = subprocess.run(["zbarimg", "--quiet", "--raw", picture], stdout=subprocess.PIPE,
                      stderr=subprocess.DEVNULL, text=True, check=False).stdout.strip()
check("the square holds the address with its key", read == address and "/k/" in read,
      (read, address))
print(f"1..{count}")
sys.exit(1 if failed else 0)
