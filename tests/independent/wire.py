"""Wires in free space: our integral of the pattern that a wire-antenna solver prints, against the power budget that it prints beside it.

    python3 wire.py --library PATH [--solver PROGRAM]
    python3 wire.py --package

The solver finds the power that goes in from the current at the feed, and the far field from the currents on all wires. Where no wire has a loss, all that goes in is
radiated: the mean gain is 1. With lossy wires it is the efficiency.
"""

import argparse
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

from library import Library

PACKAGE = "nec2c"  # the solver: the package of Debian, and the program in it

WAVELENGTH_MHZ = 299.792458

# Tolerance of a power, relative. Printed are 5 digits: up to 5e-5 of a field, 1e-4 of its square, 5e-5 of each power of the budget. The rest is the method of
# moments itself: it holds the field on wires at match points only, so that input and far-field power differ; `MODELS` says by how much for each model, which is
# what its results change by with twice as many segments.
PRINTED = 2e-4


def dipole(length, segments):
    return [f"GW 1 {segments} 0 0 {-length / 2:.6f} 0 0 {length / 2:.6f} 0.0005"], (1, (segments + 1) // 2)


def bent(short, long, segments):
    """Two arms at a right angle, fed off the corner."""
    first = f"GW 1 {segments} 0 0 {short:.6f} 0 0 0 0.0005"
    return [first, f"GW 2 {2 * segments} 0 0 0 {long:.6f} 0.03 0 0.0005"], (2, segments // 2)


def pair(length, apart, segments):
    """A dipole that is fed, and a longer one beside it that is not."""
    wires, feed = dipole(length, segments)
    half = 0.53 * length
    return wires + [f"GW 2 {segments} {-apart:.6f} 0 {-half:.6f} {-apart:.6f} 0 {half:.6f} 0.0005"], feed


def loop(circumference, segments):
    """A polygon in a plane that is neither horizontal nor upright."""
    radius, tilt = circumference / (2 * math.pi), math.radians(35)
    corner = lambda k: (
        radius * math.cos(2 * math.pi * k / segments),
        radius * math.sin(2 * math.pi * k / segments) * math.cos(tilt),
        radius * math.sin(2 * math.pi * k / segments) * math.sin(tilt),
    )
    wires = []
    for k in range(segments):
        ends = " ".join(f"{x:.6f}" for x in (*corner(k), *corner((k + 1) % segments)))
        wires.append(f"GW {k + 1} 1 {ends} 0.0005")
    return wires, (1, 1)


# Name, wires and feed in wavelengths at the design frequency, conductivity in S/m (None: no loss).
MODELS = [
    ("half-wave dipole", dipole(0.5, 41), None),
    ("bent wire fed off its corner", bent(0.17, 0.29, 15), None),
    ("two elements", pair(0.47, 0.2, 31), None),
    ("small loop", loop(0.25, 24), None),
    ("lossy dipole", dipole(0.48, 41), 2.0e4),
    ("lossy bent wire", bent(0.2, 0.3, 15), 5.0e4),
]


def solve(program, wires, feed, conductivity, frequency_mhz, step_deg):
    """What the solver prints for wires in metres."""
    rings, columns = round(180 / step_deg) + 1, round(360 / step_deg)
    cards = ["CE", *wires, "GE 0"]
    cards += [f"LD 5 0 0 0 {conductivity:.6e}"] if conductivity else []
    cards += [f"EX 0 {feed[0]} {feed[1]} 0 1 0", f"FR 0 1 0 0 {frequency_mhz:.6f} 0", f"RP 0 {rings} {columns} 1000 0 0 {step_deg} {step_deg}", "EN"]
    with tempfile.TemporaryDirectory() as folder:
        source, printed = Path(folder) / "a.in", Path(folder) / "a.out"
        source.write_text("\n".join(cards) + "\n")
        subprocess.run([program, "-i", str(source), "-o", str(printed)], check=True, capture_output=True, timeout=60)
        return printed.read_text()


def parse(printed):
    """Power budget by its first words, W and per cent, and rows theta, phi, E_theta, E_phi of the pattern (peak, V, times distance)."""
    budget = {m[0].strip(): float(m[1]) for m in re.findall(r"^ *(INPUT POWER|RADIATED POWER|EFFICIENCY) *= *([-+.\dE]+)", printed, re.M)}
    rows = []
    for line in printed.split("RADIATION PATTERNS")[1].splitlines():
        found = re.match(r"^ *(-?[\d.]+) +(-?[\d.]+) +-?[\d.]+ +-?[\d.]+ +-?[\d.]+ +[\d.]+ +-?[\d.]+ +(?:[A-Z]+ +)?(\S+) +(\S+) +(\S+) +(\S+) *$", line)
        if found:
            theta, phi, size_t, phase_t, size_p, phase_p = map(float, found.groups())
            fields = [size * np.exp(1j * math.radians(phase)) for size, phase in ((size_t, phase_t), (size_p, phase_p))]
            rows.append((theta, phi, *fields))
    return budget, np.array(rows)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--library")
    parser.add_argument("--solver", default=PACKAGE)
    parser.add_argument("--package", action="store_true", help="print the package that has the solver")
    arguments = parser.parse_args()
    if arguments.package:
        print(PACKAGE)
        return 0
    library, failed, worst = Library(arguments.library), 0, 0.0
    for name, (wires, feed), conductivity in MODELS:
        for factor, step in ((1.0, 15), (0.8, 10), (1.15, 5)):
            frequency = WAVELENGTH_MHZ * factor
            budget, rows = parse(solve(arguments.solver, wires, feed, conductivity, frequency, step))
            count = (round(180 / step) + 1) * round(360 / step)
            if len(rows) != count:
                raise RuntimeError(f"{name}: {len(rows)} of {count} rows of the pattern were understood")
            theta, phi = rows[:, 0].real, rows[:, 1].real
            there = np.full(len(rows), True)
            accepted_dbm = 10 * math.log10(budget["INPUT POWER"] * 1e3)
            options = {"rule": "clenshaw-curtis", "accepted-power-dbm": repr(accepted_dbm)}
            blocks = [(p, theta, phi, rows[:, 2 + p] / math.sqrt(2), None, there) for p in range(2)]
            figures, *_ = library.reduce("field_v", blocks, options)
            trp = 1e-3 * 10 ** (figures["trp"]["value"] / 10)
            gain = 10 ** (figures["average_gain"]["value"] / 10)
            efficiency = budget["EFFICIENCY"] / 100.0
            apart = [trp / budget["RADIATED POWER"] - 1, gain / efficiency - 1, figures["radiation_efficiency"]["value"] / budget["EFFICIENCY"] - 1]
            print(f"{name}, {frequency:.1f} MHz, {step} deg: efficiency {100 * efficiency:.2f} %, TRP off by {apart[0]:+.1e}, mean gain by {apart[1]:+.1e}")
            worst = max(worst, *map(abs, apart))
            failed += max(map(abs, apart)) > PRINTED
    print(f"wires: {failed} failed, largest difference {worst:.1e}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
