"""The command: a case as a file of one of several formats, and the figures of its JSON."""

import json
import math
import subprocess

import numpy as np

from cases import AT_LEAST, AT_MOST, EXACT
from library import USAGE, Refused, filled

# What an exit status means in terms of the library's: usage. The others of a run without figures are faults here.
EXITS = {2: USAGE}
STEMS = {"eirp": "eirp", "eis": "eis", "gain": "gain", "received": "received", "level": "level"}
FIELD = {"field_sqrtw": "sqrtw", "field_v": "v", "field": ""}


class Shown(float):
    """A number with its mark, as it is written."""

    def __new__(cls, value, mark):
        made = super().__new__(cls, value)
        made.mark = {EXACT: "", AT_MOST: "<", AT_LEAST: ">"}[int(mark)]
        return made

    def __repr__(self):
        return self.mark + float.__repr__(float(self))


def headings(case):
    """Names of the value columns, with their units."""
    of = ["total"] if case.total else ["theta", "phi"]
    if case.quantity in FIELD:
        unit = FIELD[case.quantity]
        return [f"field_{p}_{part}{'_' + unit if unit else ''}" for p in of for part in ("re", "im")]
    unit = ("dbi" if case.unit == "dB" else "1") if case.quantity == "gain" else ("dbm" if case.unit == "dB" else "w")
    return [f"{STEMS[case.quantity]}_{p}_{unit}" for p in of]


def table(case):
    """Rows of numbers, None where nothing was read."""
    values = case.values
    if case.quantity in FIELD:
        values = np.stack([values.real, values.imag], -1).reshape(len(values), -1)
    return [[None if math.isnan(v) else Shown(v, mark) for v, mark in zip(row, marks)] for row, marks in zip(values, case.marks if case.marks.any() else np.zeros(values.shape))]


def text_of(case):
    """The file of a case, and the ending of its name."""
    names, rows = headings(case), table(case)
    angles = list(zip(case.theta_deg.tolist(), case.phi_deg.tolist()))
    shown = lambda v, none="": none if v is None else repr(v)
    how = case.format
    if how in ("comma", "semicolon", "radians"):
        between = {"comma": ",", "semicolon": ";", "radians": "\t"}[how]
        unit = "rad" if how == "radians" else "deg"
        turn = math.radians if how == "radians" else float
        lines = [between.join(["frequency_mhz", f"theta_{unit}", f"phi_{unit}", *names])]
        for (theta, phi), row in zip(angles, rows):
            lines.append(between.join(["868.3", repr(turn(theta)), repr(turn(phi)), *map(shown, row)]))
        if how == "semicolon":
            lines[1:] = [line.replace(".", ",") for line in lines[1:]]
        return "\n".join(lines) + "\n", "csv"
    if how == "columns":
        lines = ["# frequency: 868.3 MHz", "# columns: " + " ".join(["theta_deg", "phi_deg", *names])]
        for (theta, phi), row in zip(angles, rows):
            lines.append(" ".join([repr(theta), repr(phi), *(shown(v, "NaN") for v in row)]))
        return "\n".join(lines) + "\n", "dat"
    if how == "keyed":
        lines = ["frequency = 868.3 MHz", ""]
        for (theta, phi), row in zip(angles, rows):
            lines += [f"theta_deg = {theta!r}", f"phi_deg = {phi!r}"]
            lines += [f"{name} = {v!r}" for name, v in zip(names, row) if v is not None] + [""]
        return "\n".join(lines), "txt"
    if how == "json":
        readings = [
            {"theta_deg": theta, "phi_deg": phi} | {name: repr(v) if v.mark else float(v) for name, v in zip(names, row) if v is not None}
            for (theta, phi), row in zip(angles, rows)
        ]
        quantity = "field" if case.quantity in FIELD else case.quantity
        block = {"frequency_mhz": 868.3, "readings": readings}
        return json.dumps({"schema": "spheresum.readings/1", "quantity": quantity, "blocks": [block]}), "json"
    if how == "cuts":
        lines = ["# frequency: 868.3 MHz"]
        for fixed in sorted({phi for _, phi in angles}):
            lines += ["", f"Cut phi = {fixed!r} deg", ",".join(["theta_deg", *names])]
            for (theta, phi), row in zip(angles, rows):
                if phi == fixed:
                    lines.append(",".join([repr(theta), *map(shown, row)]))
        return "\n".join(lines) + "\n", "csv"
    # Matrices: one block a column of values, an empty cell where nothing was read.
    thetas, phis = sorted({t for t, _ in angles}), sorted({p for _, p in angles})
    lines = []
    for index, name in enumerate(names):
        cell = {angle: row[index] for angle, row in zip(angles, rows)}
        lines += [f"{name}, 868.3 MHz", ",".join(["theta_deg\\phi_deg", *map(repr, phis)])]
        lines += [",".join([repr(t), *(shown(cell.get((t, p))) for p in phis)]) for t in thetas] + [""]
    return "\n".join(lines), "csv"


def touchstone(case, folder, rng):
    """The range loss of a case as the Touchstone library writes it: through port 1 to ports 2 and 3, in dB, with any phases."""
    import skrf

    f = np.array([800e6, 868.3e6, 900e6])
    # No port is perfectly matched: exact zeros would be written as -inf dB, which our reader refuses.
    s = np.full((3, 3, 3), 0.05 + 0.01j)
    for to, loss in zip((1, 2), case.loss_db):
        size = 10.0 ** (-(loss + np.array([0.5, 0.0, 0.25])) / 20.0)
        s[:, to, 0] = s[:, 0, to] = size * np.exp(1j * rng.uniform(-np.pi, np.pi, 3))
    network = skrf.Network(frequency=skrf.Frequency.from_f(f, unit="hz"), s=s, z0=50, name="range")
    network.write_touchstone(filename="range", dir=str(folder), form=str(rng.choice(["ri", "db", "ma"])), format_spec_A="{:.17g}", format_spec_B="{:.17g}",
                             format_spec_freq="{:.17g}")  # fmt: skip
    return folder / "range.s3p"


def reduce(command, case, folder):
    """Figures of a case by name, and what is said of noise, through the command."""
    text, ending = text_of(case)
    path = folder / f"case.{ending}"
    path.write_text(text)
    arguments = [str(command), "reduce", str(path), "--json"]
    rng = np.random.default_rng([case.seed, case.number, 1])
    for name, value in case.options.items():
        if name == "range" and rng.random() < 0.6:
            arguments += ["--range", str(touchstone(case, folder, rng)), "--range-path", "theta=S21,phi=S31"]
        else:
            arguments += [f"--{name}", str(value)]
    ran = subprocess.run(arguments, capture_output=True, text=True, timeout=60)
    if ran.returncode in EXITS:
        raise Refused(EXITS[ran.returncode], f"{' '.join(arguments)}: {ran.stderr.strip()}")
    if not ran.stdout.strip():
        raise RuntimeError(f"{' '.join(arguments)} ended with {ran.returncode}: {ran.stderr.strip()}")
    document = json.loads(ran.stdout)["runs"][0]
    channel = document["channels"][0]
    figures = {figure["name"]: figure for figure in channel["figures"]}
    return figures, channel.get("noise"), filled(document["history"])
