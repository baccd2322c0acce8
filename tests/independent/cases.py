"""Random cases: a pattern, a grid, a quantity, and everything that may happen to readings. A seed and a number give the same case for ever."""

from dataclasses import dataclass, field as column
from math import gcd

import numpy as np

from patterns import PATTERNS, axes

ETA0_OHM = 376.730
INTERVALS = [72, 60, 36, 30, 24, 20, 18, 15, 12, 10, 9, 8, 6, 5, 4]
COLUMNS = [144, 120, 72, 60, 48, 40, 36, 30, 24, 20, 18, 16, 15, 12, 10, 9, 8]
QUANTITIES = ["eirp", "eis", "received", "level", "gain", "field_sqrtw", "field_v", "field"]
EXACT, AT_MOST, AT_LEAST = 0, 1, 2
FORMATS = ["comma", "semicolon", "radians", "cuts", "matrix", "keyed", "json", "columns"]


@dataclass
class Case:
    """A case. `values` (rows, polarisations) are what is written, NaN where nothing is, and `marks` EXACT, AT_MOST or AT_LEAST; `truth` (polarisations, rings,
    columns) is what integrates."""

    seed: int
    number: int
    intervals: int
    columns: int
    start_deg: float
    pattern: str
    quantity: str
    unit: str
    total: bool
    truth: np.ndarray
    theta_deg: np.ndarray
    phi_deg: np.ndarray
    values: np.ndarray
    marks: np.ndarray
    degree: int | None
    exact_mean: float | None
    poles: str
    gap: str
    options: dict = column(default_factory=dict)
    loss_db: tuple = (0.0, 0.0)
    floor_w: tuple | None = None
    scattered: bool = False
    format: str | None = None

    def said(self):
        """One line that says what it is."""
        unit = "" if self.quantity.startswith("field") else f" in {self.unit}"
        grid = f"{180 / self.intervals:g} x {360 / self.columns:g} deg from {self.start_deg:g}"
        options = " ".join(f"{k}={v}" for k, v in self.options.items())
        shown = f"{self.quantity}{unit}{', total alone' if self.total else ''}, {self.pattern}, {grid}, poles {self.poles}, gap {self.gap}"
        shown += f", {np.count_nonzero(self.marks)} marks" if self.marks.any() else ""
        return f"{shown}, as {self.format or 'arrays'}, {options or 'no options'}"


def draw(seed, number):
    """The case of a seed and a number."""
    rng = np.random.default_rng([seed, number])
    through_command = number % 10 == 0
    pick = lambda of: of[int(rng.integers(len(of)))]
    while True:
        n, m = pick(INTERVALS), pick(COLUMNS)
        # Fine grids cost most of the time and are drawn more rarely.
        if n * m <= 900 or rng.random() < (0.1 if n * m <= 4000 else 0.02):
            break
    start = 0.0 if rng.random() < 0.75 else 360.0 / m / pick([2, 4])
    start = round(start, 3)
    quantity = pick(QUANTITIES + ["eirp"] * 4 + ["eis"] * 2)
    is_field = quantity.startswith("field")
    unit = pick(["dB", "dB", "linear"])
    total = not is_field and quantity in ("eirp", "eis", "gain") and rng.random() < 0.1
    noisy = quantity in ("eirp", "received") and not total and rng.random() < 0.35
    gap = "none" if is_field or rng.random() < (0.85 if noisy else 0.6) else pick(["points", "block", "ring", "cap", "column", "large-cap"])
    poles = pick(["ring", "ring", "ring", "one", "absent"])
    if n == 4 and poles == "absent":
        gap = "none"
    pattern = pick(list(PATTERNS))
    if gap != "none" and rng.random() < 0.5:
        pattern, source = "multipoles", PATTERNS["multipoles"](rng, n, m, start, low=True)
    else:
        source = PATTERNS[pattern](rng, n, m, start)
    degree = source.degree

    level = 10.0 ** rng.uniform(-6, 0)
    e = np.stack([source.theta, source.phi])
    mean = float(np.sum(np.abs(e) ** 2 * np.sin(np.pi * np.arange(n + 1) / n)[None, :, None])) / m * np.pi / n / 2
    if quantity == "gain":
        level = rng.uniform(0.01, 1.0)
    e = e * np.sqrt(level / mean)
    exact = None if source.mean_w is None else source.mean_w * level / mean
    power = np.abs(e) ** 2
    largest = power.max()
    sensitivity = quantity in ("eis", "level")
    if sensitivity:
        # A sensitivity has no nulls: the link is lost before.
        degree = None if power.min() < 1e-6 * largest else degree
        power = np.maximum(power, 1e-6 * largest)
        exact = None
        scale = 10.0 ** rng.uniform(10, 15) / level
        power, largest = power * scale, largest * scale
    elif unit == "dB" and not is_field:
        # No decibels of 0 W. So far down it does not reach the ninth decimal of a decibel.
        power = np.maximum(power, 1e-14 * largest)

    options, loss_db, floor_w = {}, (0.0, 0.0), None
    if quantity in ("received", "level"):
        loss_db = (round(rng.uniform(20, 80), 3), round(rng.uniform(20, 80), 3))
        if rng.random() < 0.3:
            loss_db = (loss_db[0], loss_db[0])
        options["range"] = f"theta={loss_db[0]!r},phi={loss_db[1]!r}"
    gain = 10.0 ** (np.array(loss_db) / 10.0)[:, None, None]
    shown = power / gain
    if noisy:
        floor_w = tuple(float(shown[p].max() * 10.0 ** rng.uniform(-4, 0.3) + 1e-14 * shown.max()) for p in range(2))
        floor_dbm = [float(10 * np.log10(f * 1e3)) for f in floor_w]
        options |= {"floor": f"theta={floor_dbm[0]!r},phi={floor_dbm[1]!r}", "detector": "rms"}
        signal = pick(["cw", "noise-like", None])
        averages = pick([None, 1, 4, 16, 100, 1000])
        floor_averages = pick([None, 10, 1000])
        options |= {} if signal is None else {"signal": signal}
        options |= {} if averages is None else {"averages": averages}
        options |= {} if floor_averages is None else {"floor-averages": floor_averages}
        of_noise = np.array(floor_w)[:, None, None]
        spread = np.sqrt((of_noise**2 + 2 * of_noise * shown) / (averages or 1))
        shown = np.maximum(shown + of_noise + spread * rng.normal(size=shown.shape), 1e-3 * of_noise)
    if sensitivity:
        written = 1.0 / shown
    elif is_field:
        written = e * (np.sqrt(ETA0_OHM / (4 * np.pi)) if quantity == "field_v" else 1.0)
    else:
        written = shown
    if total:
        both = power.sum(0, keepdims=True)
        power, written = both, (1.0 / both if sensitivity else both)

    there = _missing(rng, gap, power.shape, poles, n, m)
    rows = [(i, j, 0) for i in range(n + 1) for j in range(m) if there[:, i, j].any()]
    seam = start == 0.0 and rng.random() < 0.35
    if seam:
        rows += [(i, 0, 1) for i, j, _ in rows if j == 0 and (0 < i < n or poles == "ring")]
    scattered = rng.random() < 0.4
    if scattered and not through_command:
        inner = [r for r in rows if 0 < r[0] < n]
        again = rng.integers(len(inner), size=max(1, len(inner) // 20))
        rows += [inner[k] for k in again]
    theta_axis, phi_axis = axes(n, m, start)
    ring, col, lap = np.array(rows).T
    theta, phi = theta_axis[ring], phi_axis[col] + 360.0 * lap
    values = np.where(there, written, np.nan)[:, ring, col].T
    if scattered:
        size = 10.0 ** (rng.normal(size=values.shape) * 0.02)
        # At one phi of a pole repeats agree, so that it does not matter whether they are averaged before the columns are.
        pole = (ring == 0) | (ring == n)
        if seam and poles == "ring":
            size[pole & (lap == 1)] = size[pole & (col == 0) & (lap == 0)]
        values = values * size
    if rng.random() < 0.2:
        # The other way round the sphere: the same direction, and components of a field change sign.
        turned = (rng.random(theta.size) < 0.5) & (ring > 0) & (ring < n) & (lap == 0)
        theta = np.where(turned, 360.0 - theta, theta)
        phi = np.where(turned, phi - 180.0, phi)
        if is_field:
            values = np.where(turned[:, None], -values, values)
    if unit == "dB" and not is_field:
        offset = 0.0 if quantity == "gain" else 30.0
        values = 10.0 * np.log10(values) + offset
    marks = np.zeros(values.shape, dtype=int)
    if not noisy and not is_field and rng.random() < 0.15:
        # Of directions that were read once: what a mean of marks and readings is bounded by is another matter.
        place = ring * m + col
        once = np.bincount(place, minlength=(n + 1) * m)[place] == 1
        some = (once & (ring > 0) & (ring < n))[:, None] & ~np.isnan(values) & (rng.random(values.shape) < 0.03)
        marks[some] = rng.integers(1, 3, size=int(some.sum()))
        exact, degree = (None, None) if marks.any() else (exact, degree)
    degree = None if noisy else degree
    order = rng.permutation(theta.size)

    rule = pick([None, "auto", "sine", "clenshaw-curtis"])
    edges = pick([None, None, "auto", "half", "exact"])
    if rule == "clenshaw-curtis" and edges == "half":
        edges = None
    options |= {} if rule is None else {"rule": rule}
    options |= {} if edges is None else {"edges": edges}
    if gap != "none":
        fill = pick([None, "auto", "cuts", "harmonic", "harmonic", "harmonic", "none"])
        options |= {} if fill is None else {"fill": fill}
        share = pick([None, None, 3, 40])
        options |= {} if share is None else {"max-missing": share}
    if quantity in ("eirp", "received", "field_v", "field_sqrtw"):
        watts = level * rng.uniform(1.0, 3.0)
        if rng.random() < 0.5:
            options["accepted-power-dbm"] = repr(float(10 * np.log10(watts * 1e3)))
        if rng.random() < 0.5:
            options["conducted-power-dbm"] = repr(float(10 * np.log10(watts * 1.5e3)))
    how = None
    if through_command:
        how = pick(FORMATS)
        if is_field:
            how = pick(["comma", "keyed", "json"])
    return Case(
        seed, number, n, m, start, pattern, quantity, unit, total, power, theta[order], phi[order], values[order], marks[order],
        degree, exact if not scattered and not noisy else None, poles, gap, options, loss_db, floor_w, scattered, how,
    )  # fmt: skip


def _missing(rng, gap, shape, poles, n, m):
    """True where something is read: (polarisations, rings, columns)."""
    while True:
        there = np.ones(shape, dtype=bool)
        which = slice(None)
        if gap in ("points", "block", "ring", "column") and shape[0] == 2 and rng.random() < 0.3:
            which = int(rng.integers(2))
        gone = np.zeros(shape[1:], dtype=bool)
        if gap == "points":
            for _ in range(int(rng.integers(1, 5))):
                gone[rng.integers(1, n), rng.integers(m)] = True
        elif gap == "block":
            i, j = int(rng.integers(1, n)), int(rng.integers(m))
            height, width = int(rng.integers(1, max(2, n // 4))), int(rng.integers(1, max(2, m // 4)))
            gone[i : min(n, i + height), (j + np.arange(width)) % m] = True
        elif gap == "ring":
            gone[rng.integers(1, n)] = True
        elif gap == "column":
            gone[1:n, rng.integers(m)] = True
        elif gap in ("cap", "large-cap"):
            last = 1 if gap == "cap" else max(1, n // 4)
            gone[: last + 1] = True
            if rng.random() < 0.5:
                gone = gone[::-1].copy()
        if poles == "absent":
            # Beside a pole that was not read, a gap takes it in, and what becomes of it depends on how the gap is filled.
            for ring in (1, n - 1):
                if not gone[ring].all():
                    gone[ring] = False
        there[which] &= ~gone
        for pole in (0, n):
            if gone[pole].any():
                continue
            if poles == "absent":
                there[:, pole] = False
            elif poles == "one":
                there[:, pole, 1:] = False
        if gap == "none" or _is_found(there, n, m):
            return there


def _is_found(there, n, m):
    """True where the readings show this grid and no coarser one, on which most directions lie."""
    inner = there[:, 1:n].any(0)
    rings = 1 + np.flatnonzero(inner.any(1))
    columns = np.flatnonzero(inner.any(0))
    of_rings, of_columns = n, m
    for ring in rings:
        of_rings = gcd(of_rings, int(ring))
    for c in columns:
        of_columns = gcd(of_columns, int(c - columns[0]))
    count = len(rings) + int(there[:, 0].any()) + int(there[:, n].any())
    return of_rings == 1 and of_columns == 1 and count >= 3 and inner.sum() > 0.6 * (n - 1) * m
