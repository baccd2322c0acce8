"""Random cases, computed once by the library and once from the formulas with NumPy, SciPy and a spherical-transform library.

    python3 recompute.py --library PATH [--command PATH] [--seed N]... [--drawn] [--cases 500] [--only K]
    python3 recompute.py --library PATH --seed N --self-test

Prints the seed; for a case that fails, what differs and how to replay it, and leaves its rows and options in a file. `--drawn` adds a seed that the system draws.
Every tenth case goes through a file and the command, if one is given, and the others through the C library.
"""

import argparse
import json
import os
import secrets
import sys
import tempfile
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
from scipy.stats import binom

import command
import compare
import truth
from cases import EXACT, draw
from expected import OPEN, Figures
from library import MEASURED, MISSING, USAGE, Library, Refused
from sphere import Sphere


def states(case, values):
    return np.where(np.isnan(values), MISSING, np.where(case.marks == EXACT, MEASURED, case.marks))


def blocks(case, rows):
    """What the library takes: a polarisation at a time, what is missing left out or marked as missing."""
    theta, phi, values, state = rows
    made = []
    for p in range(values.shape[1]):
        there = ~np.isnan(values[:, p])
        keep = there if (case.number + p) % 2 else np.full(there.shape, True)
        of = np.where(there, values[:, p], 1.0)[keep]
        made.append((2 if case.total else p, theta[keep], phi[keep], of, case.unit, state[keep, p]))
    return made


def run(case, library, program, tally, fault=None):
    """What differs; empty where nothing does."""
    rows = (case.theta_deg, case.phi_deg, case.values, states(case, case.values))
    given = fault.rows(case, rows) if fault else rows
    sphere = Sphere(case)
    figures = Figures(case, sphere, fault.weights if fault else None)
    try:
        if case.format and program and not fault:
            with tempfile.TemporaryDirectory() as folder:
                found, noise, ways = command.reduce(program, case, Path(folder))
        else:
            found, noise, ways = library.reduce(case.quantity, blocks(case, given), case.options)
    except Refused as refused:
        return [] if figures.contradicts() and refused.code == USAGE else [f"refused: {refused}"]
    if figures.contradicts():
        return ["half-weighted edges were taken under Clenshaw-Curtis"]
    wanted = figures.all()
    said = compare.figures(wanted, found)
    said += compare.directions(wanted, found, sphere)
    shown = None
    if case.floor_w is not None:
        shown = figures.shown(figures.whole_weights[figures.rule])
    said += compare.noise(case, wanted["trp"] if shown is not None else None, shown, noise)
    if not fault:
        if case.quantity == "eirp" and case.unit == "dB" and not case.total and case.floor_w is None and case.gap == "none" and not wanted["trp"].refused:
            want = replace(wanted["trp"], lower=OPEN, upper=OPEN, standard=OPEN)
            got = library.trp_dbm(rows[0], rows[1], np.nan_to_num(rows[2]), rows[3], case.options.get("rule", "auto"))
            said += [f"trp_dbm: {text}" for text in compare.figure(want, got)]
        exact = truth.exact_integral(case, figures, found)
        said += exact
        said += truth.within_bounds(case, sphere, figures, wanted, found, tally["interval"])
        fill = truth.harmonic_fill(case, sphere, figures, found, ways)
        said += fill or []
        tally["fills"] += [1] if fill is not None else []
        tally["below"] += [1 for name, want in wanted.items() if name in found and compare.below_its_bound(want, found[name])]
        tally["figures"].append(sum(not w.refused for w in wanted.values()))
    return said


class Fault:
    """A mistake: `rows` changes what the library is given, `weights` what is expected."""

    def __init__(self, name, applies, rows=None, weights=None):
        self.name, self.applies, self._rows, self.weights = name, applies, rows, weights

    def rows(self, case, rows):
        return self._rows(case, *rows) if self._rows else rows


def swapped(case, theta, phi, values, state):
    return theta, phi, values[:, ::-1], state[:, ::-1]


def no_seam(case, theta, phi, values, state):
    keep = phi < 360.0
    return theta[keep], phi[keep], values[keep], state[keep]


def one_reading(case, theta, phi, values, state):
    inner = np.flatnonzero((theta > 1) & (theta < 179) & ~np.isnan(values).any(1))
    values = values.copy()
    values[inner[0]] *= 1 + 1e-4
    return theta, phi, values, state


def shifted(case, theta, phi, values, state):
    return 180.0 - theta, phi, values, state


def one_weight(weights):
    weights = weights.copy()
    weights[len(weights) // 2] *= 1 + 1e-6
    return weights


FAULTS = [
    Fault("one weight is off by a millionth", lambda c: c.gap == "none", weights=one_weight),
    Fault("the polarisations are swapped", lambda c: not c.total and c.quantity != "gain" and c.gap == "none", rows=swapped),
    Fault("the seam is forgotten", lambda c: c.scattered and bool((c.phi_deg >= 360.0).any()) and c.gap == "none", rows=no_seam),
    Fault("one reading is off by 1e-4", lambda c: c.gap == "none", rows=one_reading),
    Fault("the sphere stands on its head", lambda c: c.gap == "none" and (c.theta_deg <= 180).all() and not c.quantity.startswith("field"), rows=shifted),
]


def self_test(seed, count, library):
    """Each mistake has to be seen in nearly all cases that it can be seen in."""
    content = True
    for fault in FAULTS:
        seen = tried = 0
        for number in range(1, 8 * count):
            case = draw(seed, number)
            if tried >= count or case.options.get("edges") == "half" or not fault.applies(case):
                continue
            tried += 1
            seen += bool(run(case, library, None, None, fault))
        enough = tried > 0 and seen >= 0.9 * tried
        content &= enough
        print(f"self-test: {fault.name}: seen in {seen} of {tried} cases{'' if enough else ': NOT ENOUGH'}")
    return content


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--library", required=True)
    parser.add_argument("--command")
    parser.add_argument("--seed", type=int, action="append", default=[])
    parser.add_argument("--drawn", action="store_true", help="also a seed that the system draws")
    parser.add_argument("--cases", type=int, default=500)
    parser.add_argument("--only", type=int)
    parser.add_argument("--failures", default="independent-failures")
    parser.add_argument("--self-test", action="store_true")
    arguments = parser.parse_args()
    library = Library(arguments.library)
    seeds = arguments.seed + ([secrets.randbelow(2**31)] if arguments.drawn or not arguments.seed else [])
    if arguments.self_test:
        return 0 if self_test(seeds[0], 40, library) else 1
    failed = 0
    for seed in seeds:
        failed += run_seed(seed, arguments, library)
    spent = os.times()
    print(f"{spent.user + spent.system + spent.children_user + spent.children_system:.0f} s of CPU")
    return 1 if failed else 0


def run_seed(seed, arguments, library):
    began, failed = time.process_time(), 0
    tally, kinds = {"interval": [], "fills": [], "below": [], "figures": []}, Counter()
    for number in [arguments.only] if arguments.only is not None else range(arguments.cases):
        case = draw(seed, number)
        kinds[case.quantity] += 1
        try:
            said = run(case, library, arguments.command, tally)
        except Exception as error:
            said = [f"{type(error).__name__}: {error}"]
        if said or arguments.only is not None:
            print(f"seed {seed} case {number}: {case.said()}")
        if said:
            failed += 1
            for text in said:
                print(f"  {text}")
            path = Path(arguments.failures)
            path.mkdir(parents=True, exist_ok=True)
            print(f"  replay: recompute.py --seed {seed} --only {number}; its rows: {keep(case, path)}")
    held = tally["interval"]
    missed = len(held) - sum(held)
    # Were 5 % the chance of a miss, so many would have a chance below one in ten thousand.
    if held and binom.sf(missed - 1, len(held), 0.05) < 1e-4:
        print(f"seed {seed}: {missed} of {len(held)} filled spheres lie outside of their 95 % interval")
        failed += 1
    print(
        f"seed {seed}: {sum(kinds.values())} cases, {failed} failed; {sum(tally['figures'])} figures; "
        f"{len(held)} filled spheres, {sum(held)} of them within their 95 % interval; {len(tally['below'])} values below what was measured alone; {len(tally['fills'])} harmonic fits against least squares; "
        f"{time.process_time() - began:.1f} s"
    )
    return failed


def keep(case, folder):
    """Writes a case: options and rows."""
    path = folder / f"seed-{case.seed}-case-{case.number}.json"
    values = np.stack([case.values.real, case.values.imag], -1)
    document = {
        "said": case.said(),
        "quantity": case.quantity,
        "unit": case.unit,
        "total": case.total,
        "options": {k: str(v) for k, v in case.options.items()},
        "rows": [[float(t), float(p), *[[None if np.isnan(x) else float(x) for x in v] for v in row]] for t, p, row in zip(case.theta_deg, case.phi_deg, values)],
        "marks": case.marks.tolist(),
    }
    path.write_text(json.dumps(document))
    return path


if __name__ == "__main__":
    sys.exit(main())
