#!/usr/bin/env python3
"""Flows and velocities of drains and stacks by the general-purpose package `fluids`.

    record.py            writes hydraulics.toml beside this file
    record.py --check    computes all of it again and compares it with the file

Drains: Manning by `fluids.open_flow.V_Manning` in SI units, with area and wetted perimeter of the
circle by `fluids.geometry`, full and half full. Nominal bores.

Stacks: the water that falls as a ring on the wall, at the velocity 3.0 (q / d)^0.4 (ft/s, gpm, in;
NBS Monograph 31), through the part r of the bore's area: the flow at which the two agree, found by
`fluids.numerics.secant`. The tool has its closed form, 27.8 r^(5/3) d^(8/3).
"""

import pathlib
import sys
import tomllib

import fluids
from fluids.constants import foot, gallon, inch, minute
from fluids.geometry import A_partial_circle, SA_partial_cylindrical_body
from fluids.numerics import secant
from fluids.open_flow import V_Manning

FILE = pathlib.Path(__file__).with_name("hydraulics.toml")
BORES = [1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15]
FALLS = {"1/16": 1 / 16, "1/8": 1 / 8, "1/4": 1 / 4, "1/2": 1 / 2}
ROUGHNESS = [0.009, 0.012, 0.013, 0.015]
PARTS = {"1/4": 1 / 4, "7/24": 7 / 24, "1/3": 1 / 3}
WITHIN = 1e-9  # relative, of one version on two machines


def running(bore, depth, slope, n):
    """ft/s and gpm of a round pipe that runs to a depth of water; bore and depth in metres."""
    area = A_partial_circle(D=bore, h=depth)
    wetted = SA_partial_cylindrical_body(L=1.0, D=bore, h=depth)
    velocity = V_Manning(Rh=area / wetted, S=slope, n=n)
    return velocity / foot, velocity * area / gallon * minute


def drain(inches, fall, n):
    bore, slope = inches * inch, FALLS[fall] / 12.0
    velocity, full = running(bore, bore, slope, n)
    at_half, half = running(bore, bore / 2, slope, n)
    return {
        "bore": inches,
        "fall": fall,
        "n": n,
        "velocity": velocity,
        "velocity_half": at_half,
        "full": full,
        "half": half,
    }


def stack(inches, part):
    ring = PARTS[part] * A_partial_circle(D=inches * inch, h=inches * inch)

    def velocity(gpm):
        return 3.0 * (gpm / inches) ** 0.4

    def too_much(gpm):
        return velocity(gpm) * foot * ring / gallon * minute - gpm

    flow = secant(too_much, 27.0 * PARTS[part] ** (5 / 3) * inches ** (8 / 3), xtol=1e-13)
    return {"bore": inches, "part": part, "flow": flow, "velocity": velocity(flow)}


def computed():
    return {
        "drains": [drain(d, f, n) for d in BORES for f in FALLS for n in ROUGHNESS],
        "stacks": [stack(d, p) for d in BORES for p in PARTS],
    }


def text_of(value):
    return f'"{value}"' if isinstance(value, str) else repr(value)


def written(tables):
    lines = [
        "# Written by record.py; do not edit. Bores in inches, falls in inches per foot, velocities",
        "# in ft/s, flows in US gal/min.",
        'package = "fluids"',
        f'version = "{fluids.__version__}"',
    ]
    for name, rows in tables.items():
        lines.append(f"{name} = [")
        for row in rows:
            keys = ", ".join(f"{k} = {text_of(v)}" for k, v in row.items())
            lines.append(f"  {{ {keys} }},")
        lines.append("]")
    return "\n".join(lines) + "\n"


def check():
    """Faults of the file against what this package computes; with how many numbers were compared."""
    recorded = tomllib.loads(FILE.read_text())
    faults, compared = [], 0
    if recorded.get("version") != fluids.__version__:
        faults.append(f"recorded with {recorded.get('version')}, here is {fluids.__version__}")
    for name, rows in computed().items():
        kept = recorded.get(name, [])
        if len(kept) != len(rows):
            faults.append(f"{name}: {len(kept)} rows recorded, {len(rows)} computed")
        for here, there in zip(rows, kept):
            if here.keys() != there.keys():
                faults.append(f"{name}: {there} has other keys")
                continue
            for key, value in here.items():
                compared += 1
                same = value == there[key]
                if isinstance(value, float) and isinstance(there[key], (int, float)):
                    same = abs(value - there[key]) <= WITHIN * abs(value)
                if not same:
                    faults.append(f"{name}: {key} of {there} is {value} here")
    return faults, compared


def main(arguments):
    if arguments == []:
        FILE.write_text(written(computed()))
        return 0
    if arguments == ["--check"]:
        faults, compared = check()
        print(f"fluids {fluids.__version__}: {compared} numbers compared, {len(faults)} differ")
        for fault in faults[:20]:
            print(fault)
        return 1 if faults else 0
    print(__doc__)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
