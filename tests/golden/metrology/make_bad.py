#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes the X3P files that must be refused or warned about, from formats/surf_int16.x3p.

Run:  python3 make_bad.py      (in the folder of this script)
"""
import hashlib
import os
import zipfile

here = os.path.dirname(os.path.abspath(__file__))
good = zipfile.ZipFile(os.path.join(here, "formats", "surf_int16.x3p"))
parts = {n: good.read(n) for n in good.namelist()}


def write(name, changed):
    with zipfile.ZipFile(os.path.join(here, "formats", name), "w",
                         zipfile.ZIP_DEFLATED) as z:
        for n, b in {**parts, **changed}.items():
            z.writestr(zipfile.ZipInfo(n, (2025, 1, 1, 0, 0, 0)), b,
                       zipfile.ZIP_DEFLATED)


xml = parts["main.xml"]
head, rest = xml.split(b"?>", 1)
write("doctype.x3p", {"main.xml": head + b'?><!DOCTYPE a [<!ENTITY e "eeee">'
                      b'<!ENTITY f "&e;&e;&e;&e;">]>' + rest})
# 40 million points announced; the binary unpacks to 80 MB of zeros from 80 kB
write("bomb.x3p", {"main.xml": xml.replace(b"<SizeX>16<", b"<SizeX>40000<")
                   .replace(b"<SizeY>6<", b"<SizeY>40000<"),
                   "bindata/data.bin": bytes(80_000_000)})
data = bytearray(parts["bindata/data.bin"])
data[4] ^= 1
write("wrong_sum.x3p", {"bindata/data.bin": bytes(data)})


def changed_xml(was, becomes):
    """main.xml and the line of its checksum."""
    new = xml.replace(was, becomes)
    assert new != xml
    return {"main.xml": new,
            "md5checksum.hex": hashlib.md5(new).hexdigest().encode() + b" *main.xml"}


# As some programs write it: the link with a backslash, the entry with a slash.
write("backslash.x3p", changed_xml(b">bindata/data.bin<", b">bindata\\data.bin<"))
step = xml[xml.index(b"<Increment>"):xml.index(b"</Increment>") + len(b"</Increment>")]
write("no_step.x3p", changed_xml(b"<CX><AxisType>I</AxisType>" + step,
                                 b"<CX><AxisType>I</AxisType>"))
