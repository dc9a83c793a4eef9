# the picture is a PNG of a whole size, the same bytes twice
$L look --material brass_360 --ra 0.1 --ra 0.02 -o a.png > text
$L look --material brass_360 --ra 0.1 --ra 0.02 -o b.png > text
cmp a.png b.png && python3 -c '
import struct, zlib
b = open("a.png", "rb").read()
w, h, depth, kind = struct.unpack(">IIBB", b[16:26])
at, data = 8, b""
while at < len(b):
    n, name = struct.unpack(">I4s", b[at:at + 8])
    data += b[at + 8:at + 8 + n] if name == b"IDAT" else b""
    at += 12 + n
print(b[:8] == b"\x89PNG\r\n\x1a\n", depth, kind, w > 640, h > 200, len(zlib.decompress(data)) == h * (3 * w + 1))'
rm a.png b.png text
