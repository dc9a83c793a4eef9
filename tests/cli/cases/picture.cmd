# a photo is made small and upright; what is none is told in one line
# leaves: p.png s.jpg
python3 - <<EOF
import struct, zlib
def part(n, d): return struct.pack(">I", len(d)) + n + d + struct.pack(">I", zlib.crc32(n + d))
rows = b"".join(b"\0" + bytes(range(200)) for _ in range(150))
open("p.png", "wb").write(b"\x89PNG\r\n\x1a\n" + part(b"IHDR", struct.pack(">IIBBBBB", 200, 150, 8, 0, 0, 0, 0)) +
                          part(b"IDAT", zlib.compress(rows)) + part(b"IEND", b""))
EOF
$L picture p.png --side 100 -o s.jpg
$L picture s.jpg --json
$L picture ex/clock.json; echo $?
$L picture none.jpg; echo $?
$L picture p.png --side 9; echo $?
$L picture; echo $?
