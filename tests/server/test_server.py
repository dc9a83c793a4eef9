#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The server spoken to over a socket, byte by byte: requests that must be refused, and
the few that must not. test_server.py PROGRAM; prints TAP."""
import http.client
import json
import pathlib
import re
import socket
import subprocess
import sys
import time

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


class Server:
    def __init__(self, *args):
        self.run = subprocess.Popen([PROGRAM, "serve", "--port", "0", *args],
                                    stdout=subprocess.PIPE, text=True)
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


def ask(server, path, method="GET", body=None, **headers):
    c = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
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
print(f"1..{count}")
sys.exit(1 if failed else 0)
