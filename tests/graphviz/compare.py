#!/usr/bin/env python3
"""An outside look at the placement: the same graphs drawn by Graphviz.

    tests/graphviz/compare.py TOOL JOB.toml...        TOOL is the stackfall binary

Each job is drawn as SVG. Every pipe on its sheets becomes an edge between its two joints, and
Graphviz (https://graphviz.org, `apt-get install graphviz`) draws that graph with `dot`, `neato` and
`sfdp`, with straight edges and no labels. Printed: the pipes, how often two of them cross on paper,
and the time, for both. Stackfall's time is that of the whole run, text to SVG, labels, tables and
all sheets included; Graphviz's is that of its layout alone (`-Tplain`). Nothing that takes longer
than LIMIT seconds (environment, 600 unless told) is waited for.

A crossing is two edges without a common joint that properly intersect. Pipes that lie along each
other are not counted, for either.
"""

import collections
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time

LIMIT = float(os.environ.get("LIMIT", "600"))
CELL = 40.0


def attribute(tag, name):
    found = re.search(rf'\b{name}="([^"]*)"', tag)
    return found.group(1) if found else None


def path_points(d):
    """The corners of a pipe; gaps where it passes behind others are closed."""
    points, x, y = [], 0.0, 0.0
    for letter, rest in re.findall(r"([A-Z])([^A-Z]*)", d):
        numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", rest)]
        if letter in "ML":
            steps = zip(numbers[::2], numbers[1::2])
        elif letter == "H":
            steps = ((n, y) for n in numbers)
        elif letter == "V":
            steps = ((x, n) for n in numbers)
        else:
            raise ValueError(f"a pipe is drawn with {letter}")
        for x, y in steps:
            points.append((x, y))
    return points


def sheets(folder):
    """The pipes of each sheet: (from, to, corners)."""
    for file in sorted(pathlib.Path(folder).glob("*.svg")):
        pipes = []
        for tag in re.findall(r'<path data-role="pipe"[^>]*>', file.read_text()):
            ends = attribute(tag, "data-from"), attribute(tag, "data-to")
            pipes.append((*ends, path_points(attribute(tag, "d"))))
        if pipes:
            yield pipes


def crosses(p, q, r, s):
    def side(a, b, c):
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    tiny = 1e-6
    a, b = side(p, q, r), side(p, q, s)
    c, d = side(r, s, p), side(r, s, q)
    opposite = lambda x, y: (x > tiny and y < -tiny) or (x < -tiny and y > tiny)
    return opposite(a, b) and opposite(c, d)


def crossings(pipes, cell=CELL):
    """How often two of some pipes without a common joint cross."""
    grid = collections.defaultdict(list)
    lines = []
    for i, (_, _, points) in enumerate(pipes):
        for a, b in zip(points, points[1:]):
            n = len(lines)
            lines.append((i, a, b))
            steps = max(1, int(max(abs(b[0] - a[0]), abs(b[1] - a[1])) / (cell / 2)))
            along = {
                (
                    int((a[0] + (b[0] - a[0]) * t / steps) // cell) + dx,
                    int((a[1] + (b[1] - a[1]) * t / steps) // cell) + dy,
                )
                for t in range(steps + 1)
                for dx in (-1, 0, 1)
                for dy in (-1, 0, 1)
            }
            for c in along:
                grid[c].append(n)
    pairs = set()
    for here in grid.values():
        for k, n in enumerate(here):
            for m in here[:k]:
                (i, a, b), (j, c, d) = lines[n], lines[m]
                if i == j or set(pipes[i][:2]) & set(pipes[j][:2]):
                    continue
                if (n, m) not in pairs and crosses(a, b, c, d):
                    pairs.add((n, m))
    return len(pairs)


def graphviz(engine, edges):
    """Where Graphviz puts the joints, and the seconds that it took; None past the limit."""
    ids = {}
    for edge in edges:
        for end in edge:
            ids.setdefault(end, f"n{len(ids)}")
    text = "digraph g { splines=line; node [shape=point]; edge [arrowhead=none];\n"
    text += "".join(f"{ids[b]} -> {ids[a]};\n" for a, b in edges) + "}\n"
    began = time.perf_counter()
    try:
        done = subprocess.run(
            [engine, "-Tplain"], input=text, capture_output=True, text=True, timeout=LIMIT
        )
    except subprocess.TimeoutExpired:
        return None, LIMIT
    took = time.perf_counter() - began
    at = {}
    for line in done.stdout.splitlines():
        words = line.split()
        if words and words[0] == "node":
            at[words[1]] = (float(words[2]) * 25.4, float(words[3]) * 25.4)
    return [(a, b, [at[ids[a]], at[ids[b]]]) for a, b in edges], took


def main():
    tool, jobs = sys.argv[1], sys.argv[2:]
    print(f"{'job':24} {'drawn by':10} {'pipes':>6} {'crossings':>9} {'seconds':>9} {'times':>7}")
    for job in jobs:
        path = pathlib.Path(job)
        name = path.parent.name if path.stem == "job" else path.stem
        with tempfile.TemporaryDirectory() as out:
            began = time.perf_counter()
            subprocess.run(
                [tool, "draw", job, "--only", "svg", "--out", out], stdout=subprocess.DEVNULL
            )
            own = time.perf_counter() - began
            drawn = list(sheets(out))
        edges = sorted({(a, b) for pipes in drawn for a, b, _ in pipes if a and b})
        count = sum(map(crossings, drawn))
        print(f"{name:24} {'stackfall':10} {len(edges):6} {count:9} {own:9.2f} {'':>7}")
        for engine in ("dot", "neato", "sfdp"):
            placed, took = graphviz(engine, edges)
            if placed is None:
                print(f"{name:24} {engine:10} {len(edges):6} {'':>9} {f'> {took:.0f}':>9} {f'> {took / own:.0f}':>7}")
                continue
            count = crossings(placed)
            print(f"{name:24} {engine:10} {len(edges):6} {count:9} {took:9.2f} {took / own:7.0f}")
        sys.stdout.flush()


main()
