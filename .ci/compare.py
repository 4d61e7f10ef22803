#!/usr/bin/env python3
"""Compares a folder of drawn sets with the one that is committed.

    compare.py COMMITTED REBUILT        exit 0: the same; 1: not

SVG, PDF, CSV and all else byte for byte. PNG by pixels: anti-aliasing may differ a little from
one processor to another, so a few pixels may differ, by a little. manifest.json without the
hashes of PNGs, for the same reason.
"""
import json
import struct
import sys
import zlib
from pathlib import Path

LEVELS = 48        # of 255: how much a pixel may differ and count as the same
SHARE = 0.0001     # of all pixels: how many may differ more than that


def grey(path):
    """Width, height and rows of an 8-bit grey PNG."""
    data = path.read_bytes()
    if data[:8] != b"\x89PNG\r\n\x1a\n":
        raise ValueError("no PNG")
    at, packed, head = 8, [], None
    while at < len(data):
        (size,), kind = struct.unpack(">I", data[at:at + 4]), data[at + 4:at + 8]
        body = data[at + 8:at + 8 + size]
        if kind == b"IHDR":
            head = struct.unpack(">IIBBBBB", body)
        elif kind == b"IDAT":
            packed.append(body)
        at += size + 12
    width, height, depth, colour, _, _, interlace = head
    if (depth, colour, interlace) != (8, 0, 0):
        raise ValueError("not 8-bit grey")
    return width, height, zlib.decompress(b"".join(packed))


def rows(width, height, raw):
    """The rows, their filters undone."""
    before = bytes(width)
    for y in range(height):
        start = y * (width + 1)
        kind, line = raw[start], bytearray(raw[start + 1:start + 1 + width])
        if kind == 1:
            for x in range(1, width):
                line[x] = (line[x] + line[x - 1]) & 255
        elif kind == 2:
            line = bytearray((a + b) & 255 for a, b in zip(line, before))
        elif kind == 3:
            for x in range(width):
                left = line[x - 1] if x else 0
                line[x] = (line[x] + ((left + before[x]) >> 1)) & 255
        elif kind == 4:
            for x in range(width):
                a, b, c = (line[x - 1] if x else 0), before[x], (before[x - 1] if x else 0)
                p = a + b - c
                pa, pb, pc = abs(p - a), abs(p - b), abs(p - c)
                near = a if pa <= pb and pa <= pc else b if pb <= pc else c
                line[x] = (line[x] + near) & 255
        before = bytes(line)
        yield before


def pictures_differ(one, other):
    """Why two PNGs differ, or None."""
    if one.read_bytes() == other.read_bytes():
        return None
    a, b = grey(one), grey(other)
    if a[:2] != b[:2]:
        return f"{a[0]} x {a[1]} pixels against {b[0]} x {b[1]}"
    off = 0
    for p, q in zip(rows(*a), rows(*b)):
        if p != q:
            off += sum(abs(x - y) > LEVELS for x, y in zip(p, q))
    if off > SHARE * a[0] * a[1]:
        return f"{off} pixels of {a[0] * a[1]} differ"
    return None


def manifest(path):
    """A manifest without what may differ."""
    found = json.loads(path.read_text())
    found["files"] = {n: "" if n.endswith(".png") else h for n, h in found["files"].items()}
    return found


def differ(one, other):
    """Why two files differ, or None."""
    if one.name == "manifest.json":
        return None if manifest(one) == manifest(other) else "other files or hashes"
    if one.suffix == ".png":
        return pictures_differ(one, other)
    return None if one.read_bytes() == other.read_bytes() else "other bytes"


def main():
    committed, rebuilt = map(Path, sys.argv[1:3])
    names = lambda root: {p.relative_to(root) for p in root.rglob("*") if p.is_file()}
    have, want = names(committed), names(rebuilt)
    wrong = [f"{n}: committed, but not drawn" for n in sorted(have - want)]
    wrong += [f"{n}: drawn, but not committed" for n in sorted(want - have)]
    for name in sorted(have & want):
        why = differ(committed / name, rebuilt / name)
        if why:
            wrong.append(f"{name}: {why}")
    for line in wrong:
        print(line)
    print(f"{len(have & want)} files compared, {len(wrong)} differences")
    if not want:
        print("nothing was drawn")
    sys.exit(1 if wrong or not want else 0)


if __name__ == "__main__":
    main()
