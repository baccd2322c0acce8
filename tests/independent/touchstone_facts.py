"""The facts on Touchstone files (`tests/data/touchstone/facts.csv`), which our reader is tested by, against another library's reading of the same texts.

    python3 touchstone_facts.py FACTS

A fact has parts: frequency, value of a parameter, reference resistance. Each part that the other library can show is compared; texts that it does not take, and parts
that it does not keep, are counted and named, for they rest on other sources.
"""

import csv
import sys
import tempfile
import warnings
from pathlib import Path

import numpy as np
import skrf

# Parameters as the library derives them from the scattering parameters that it keeps.
SHOWN = {"S": "s", "Z": "z", "Y": "y", "H": "h", "G": "g"}


def check(row, folder):
    """What differs, or None where the library cannot tell."""
    ending = Path(row["name"]).suffix or ".ts"
    path = Path(folder) / f"fact{ending}"
    path.write_text(row["text"].replace("|", "\n") + "\n")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            network = skrf.Network(str(path))
        except Exception as error:
            return None, f"not taken by the other library ({type(error).__name__})"
    said, compared = [], 0
    if row["frequency_hz"]:
        wanted = float(row["frequency_hz"])
        compared += 1
        said += [] if np.isclose(network.f[0], wanted, rtol=1e-12) else [f"frequency {network.f[0]}, not {wanted}"]
    if row["reference_ohm"]:
        compared += 1
        found, wanted = network.z0[0, int(row["to"] or 1) - 1], float(row["reference_ohm"])
        said += [] if np.isclose(found, wanted, rtol=1e-12) else [f"reference {found}, not {wanted}"]
    if row["re"]:
        to, of = int(row["to"]) - 1, int(row["from"]) - 1
        # Which parameter a file holds is no part of a network; facts that leave it out are of the scattering parameters.
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                found = getattr(network, SHOWN[row["parameter"] or "S"])[0, to, of]
        except Exception as error:
            return None, f"cannot be shown by the other library ({type(error).__name__})"
        wanted = float(row["re"]) + 1j * float(row["im"])
        compared += 1
        # Through scattering parameters and back costs digits.
        near = abs(found - wanted) <= 1e-9 * max(1.0, abs(wanted))
        said += [] if near else [f"{row['parameter'] or 'S'}{to + 1}{of + 1} {found}, not {wanted}"]
    return (said if compared else None), "has no number"


def main():
    agreed, other, failed = 0, [], 0
    with open(sys.argv[1], newline="") as file, tempfile.TemporaryDirectory() as folder:
        for row in csv.DictReader(file):
            said, why = check(row, folder)
            if said is None:
                other.append(f"{row['id']} {why}")
            elif said:
                failed += 1
                print(f"{row['id']}: {row['text']}: {'; '.join(said)}")
            else:
                agreed += 1
    print(f"Touchstone facts: {agreed} agree, {failed} differ, {len(other)} without a word from the other library")
    for line in sorted(set(other)):
        print(f"  {line}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
