"""Wires in free space: our integral of the pattern that a wire-antenna solver prints, against the power budget that it prints beside it.

    python3 wire.py --library PATH [--solver PROGRAM]
    python3 wire.py --package

The solver finds the power that goes in from the current at the feed, and the far field from the currents on all wires. Where no wire has a loss, all that goes in is
radiated: the mean gain is 1. With lossy wires it is the efficiency. Two things are demanded:

- Our mean gain is the solver's own, which it finds on a grid of one degree, by sums of cells. Within 2e-4 (0.0009 dB): fields are printed with 5 digits, up to 1e-4 of
  their squares; the mean gain, 5e-5; sums of cells of one degree err by 1.3e-5, (1 deg)^2/24.
- Our TRP is the radiated power of its budget, our mean gain and radiation efficiency are its efficiency. Within 2e-3 (0.009 dB): the method of moments holds the field on
  a wire at match points only, so that what goes in and what leaves differ by what is left between them. Measured with the solver's own mean gain: 2.6e-4 of a dipole of
  41 segments, 1.0e-4 with 81; 1.7e-3 of a bent wire of 45, 1.0e-3 with 93; 6.9e-4 of a loop of 24, 1.8e-4 with 48.
"""

import argparse
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

from library import MEASURED, Library

PACKAGE = "nec2c"  # the solver: the package of Debian, and the program in it

WAVELENGTH_MHZ = 299.792458

# Relative: see above.
OWN_MEAN, BUDGET = 2e-4, 2e-3


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
    ("half-wave dipole", dipole(0.5, 81), None),
    ("bent wire fed off its corner", bent(0.15, 0.3, 31), None),
    ("two elements", pair(0.47, 0.2, 61), None),
    ("small loop", loop(0.25, 48), None),
    ("lossy dipole", dipole(0.48, 81), 2.0e4),
    ("lossy bent wire", bent(0.15, 0.3, 31), 5.0e4),
]


def solve(program, wires, feed, conductivity, frequency_mhz, step_deg):
    """What the solver prints for wires in metres: the pattern on a grid, and its own mean gain on one of a degree."""
    cards = ["CE", *wires, "GE 0"]
    cards += [f"LD 5 0 0 0 {conductivity:.6e}"] if conductivity else []
    cards += [f"EX 0 {feed[0]} {feed[1]} 0 1 0", f"FR 0 1 0 0 {frequency_mhz:.6f} 0"]
    # The last digit of 1002: the mean alone; of 1000: the pattern alone.
    cards += [f"RP 0 {round(180 / step) + 1} {round(360 / step) + extra} {kind} 0 0 {step} {step}" for step, extra, kind in ((step_deg, 0, 1000), (1, 1, 1002))]
    with tempfile.TemporaryDirectory() as folder:
        source, printed = Path(folder) / "a.in", Path(folder) / "a.out"
        source.write_text("\n".join([*cards, "EN"]) + "\n")
        subprocess.run([program, "-i", str(source), "-o", str(printed)], check=True, capture_output=True, timeout=60)
        return printed.read_text()


def parse(printed):
    """Budget by its words (W, per cent) with the mean gain, and rows theta, phi, E_theta, E_phi of the pattern (peak, V, times distance)."""
    number = r"([-+.\dE]+)"
    budget = {m[0]: float(m[1]) for m in re.findall(rf"(INPUT POWER|RADIATED POWER|EFFICIENCY) *= *{number}", printed)}
    mean, solid_angle = re.search(rf"AVERAGE POWER GAIN: *{number} - SOLID ANGLE USED IN AVERAGING: *\({number}\)", printed).groups()
    # In units of pi: the whole sphere, to the digits that a sum of cells has.
    if abs(float(solid_angle) - 4.0) > 2e-3:
        raise RuntimeError(f"the solver's mean is over {solid_angle} pi")
    budget["MEAN"] = float(mean)
    rows = []
    for line in printed.split("RADIATION PATTERNS")[1].splitlines():
        words = [word for word in line.split() if word not in ("LINEAR", "RIGHT", "LEFT")]
        # Two angles, three gains, axial ratio and tilt, then size and phase of either component.
        if len(words) != 11 or not all(re.fullmatch(number, word) for word in words):
            continue
        theta, phi, *_, size_t, phase_t, size_p, phase_p = map(float, words)
        rows.append((theta, phi, *(size * np.exp(1j * math.radians(phase)) for size, phase in ((size_t, phase_t), (size_p, phase_p)))))
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
    library, failed, worst = Library(arguments.library), 0, [0.0] * 4
    for name, (wires, feed), conductivity in MODELS:
        for factor, step in ((1.0, 15), (0.8, 10), (1.15, 5)):
            frequency = WAVELENGTH_MHZ * factor
            budget, rows = parse(solve(arguments.solver, wires, feed, conductivity, frequency, step))
            count = (round(180 / step) + 1) * round(360 / step)
            if len(rows) != count:
                raise RuntimeError(f"{name}: {len(rows)} of {count} rows of the pattern were understood")
            theta, phi = rows[:, 0].real, rows[:, 1].real
            state = np.full(len(rows), MEASURED)
            accepted_dbm = 10 * math.log10(budget["INPUT POWER"] * 1e3)
            options = {"rule": "clenshaw-curtis", "accepted-power-dbm": repr(accepted_dbm)}
            blocks = [(p, theta, phi, rows[:, 2 + p] / math.sqrt(2), None, state) for p in range(2)]
            figures, *_ = library.reduce("field_v", blocks, options)
            trp = 1e-3 * 10 ** (figures["trp"]["value"] / 10)
            gain = 10 ** (figures["average_gain"]["value"] / 10)
            efficiency = budget["EFFICIENCY"] / 100.0
            own = gain / budget["MEAN"] - 1
            radiated, mean = trp / budget["RADIATED POWER"] - 1, gain / efficiency - 1
            percent = figures["radiation_efficiency"]["value"] / budget["EFFICIENCY"] - 1
            good = abs(own) <= OWN_MEAN and max(abs(radiated), abs(mean), abs(percent)) <= BUDGET
            failed += not good
            worst = [max(a, abs(b)) for a, b in zip(worst, (own, radiated, mean, percent))]
            said = f"efficiency {100 * efficiency:.2f} %, mean gain off the solver's own by {own:+.1e}; TRP off its budget by {radiated:+.1e}, mean gain by {mean:+.1e}"
            print(f"{name}, {frequency:.1f} MHz, {step} deg: {said}{'' if good else ': FAILED'}")
    print(f"wires: {failed} failed, largest difference from its own mean {worst[0]:.1e}, from its budget {max(worst[1:]):.1e}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
