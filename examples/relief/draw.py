"""Draws dome.png: a height map of a lens, 20 um wide, a pixel 200 nm. Light is high: grey 230 of 255 is 0.9 of the film."""
import struct
import zlib

PIXELS = 100
HIGHEST, LOWEST = 0.9, 0.15


def grey(column, row):
    x, y = (column + 0.5) / PIXELS * 2 - 1, (row + 0.5) / PIXELS * 2 - 1
    height = LOWEST + (HIGHEST - LOWEST) * (1 - x * x - y * y)
    return (round(255 * height), 255) if x * x + y * y < 1 else (0, 0)  # outside: transparent, not written


def chunk(name, data):
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


rows = b"".join(b"\0" + bytes(value for column in range(PIXELS) for value in grey(column, row)) for row in range(PIXELS))
with open("dome.png", "wb") as file:
    file.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", PIXELS, PIXELS, 8, 4, 0, 0, 0)))
    file.write(chunk(b"IDAT", zlib.compress(rows, 9)) + chunk(b"IEND", b""))
