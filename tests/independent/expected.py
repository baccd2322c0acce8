"""Figures of a sphere, from the formulas, in linear units (W, a ratio, or 1/W of sensitivities)."""

from dataclasses import dataclass

import numpy as np

import rules

COVERAGE_FACTOR = 1.959963984540054
DB = 10.0 / np.log(10.0)
# Not to be compared: nothing outside says what it is.
OPEN = object()


@dataclass
class Expected:
    """A figure. `kind` says how it is shown: power, reciprocal, ratio or percent. `scale` is the size of the largest sum that it is a difference of."""

    kind: str
    linear: object = None
    scale: float = 0.0
    lower: object = OPEN
    upper: object = OPEN
    standard: object = OPEN
    peak_of: str | None = None
    refused: bool = False
    # True where a gap was filled: bounds then give way to an estimate that lies outside of them.
    gives_way: bool = False


@dataclass
class Sum:
    """A weighted sum over both polarisations, or one."""

    value: float
    scale: float
    lower: object
    upper: object
    noise: float | None
    floor: float | None
    refused: bool
    open_value: bool


class Figures:
    """All figures that a sphere has, with the options of its case."""

    def __init__(self, case, sphere, bump=None):
        self.case, self.sphere = case, sphere
        self.n = sphere.n
        self.fill = case.options.get("fill", "auto")
        self.filled = bool(sphere.gaps) and self.fill != "none"
        self.rises = any(g[4] for g in sphere.gaps)
        self.rule = case.options.get("rule", "auto")
        if self.rule == "auto":
            poles = sphere.read[:, [0, self.n], 0]
            in_cap = np.zeros_like(poles)
            for p, cells, *_ in sphere.gaps if self.filled else []:
                in_cap[p] |= [any(c[0] == pole for c in cells) for pole in (0, self.n)]
            self.rule = "sine" if self.n in (6, 12) or not (poles | in_cap).all() else "clenshaw-curtis"
        self.bump = bump
        self.whole_weights = {"sine": rules.sine(self.n), "clenshaw-curtis": rules.clenshaw_curtis(self.n)}
        if bump:
            self.whole_weights = {k: bump(w) for k, w in self.whole_weights.items()}
        self._fit_poles()

    def contradicts(self):
        """True where half-weighted edges are asked for under Clenshaw-Curtis: a usage error."""
        return self.rule == "clenshaw-curtis" and self.case.options.get("edges") == "half"

    def _fit_poles(self):
        """Poles that were not read, under rules that need them: an even cosine fit of the other ring means."""
        s = self.sphere
        self.fits = []
        for p in range(s.polarisations):
            missing = ~s.read[p].all(1)
            if self.filled:
                in_gap = {c[0] for g in s.gaps if g[0] == p for c in g[1]}
                missing &= ~np.isin(np.arange(self.n + 1), list(in_gap))
            absent = np.flatnonzero(missing)
            known = np.flatnonzero(~missing)
            fits = {}
            if absent.size and np.isin(absent, (0, self.n)).all() and known.size >= 4:
                for pole in absent:
                    fine = rules.at_pole(self.n, known, pole, known.size - 1)
                    coarse = rules.at_pole(self.n, known, pole, known.size - 3)
                    fits[int(pole)] = (fine, coarse)
            self.fits.append(fits)

    def integrate(self, weights, which=None):
        """Half of sum w_i p_i with bounds and noise, over both polarisations or one."""
        s, m, noisy = self.sphere, self.sphere.m, self.sphere.floor_w is not None
        value = lower = upper = scale = noise = least = floor = 0.0
        refused = unknown = open_bounds = False
        most = float(self.case.options.get("max-missing", 10)) / 100.0
        for p in range(s.polarisations) if which is None else [which]:
            mean, low, high = s.value[p].mean(1), s.lower[p].mean(1), s.upper[p].mean(1)
            all_read = s.read[p].all(1)
            fits = self.fits[p]
            for pole, (fine, coarse) in fits.items():
                fitted = fine @ mean
                fitted = fitted if noisy else max(fitted, 0.0)
                change = abs(fitted - coarse @ mean)
                mean[pole], low[pole], high[pole] = fitted, fitted - change if noisy else max(fitted - change, 0.0), fitted + change
            counts = weights != 0.0
            gappy = counts & ~all_read & ~np.isin(np.arange(self.n + 1), list(fits))
            share = sum(g[2] for g in s.gaps if g[0] == p)
            refused |= bool(gappy.any()) and (share > most or not self.filled)
            unknown |= bool(gappy.any())
            # What is filled reaches a fitted pole as well.
            touched = bool(counts[list(fits)].any()) and bool(s.gaps)
            unknown |= touched
            open_bounds |= touched
            w = weights / 2.0
            value += np.sum(w[counts] * mean[counts])
            scale += np.sum(np.abs(w) * np.abs(np.where(np.isfinite(mean), mean, 0.0)))
            down, up = np.where(w > 0, low, high)[counts], np.where(w > 0, high, low)[counts]
            lower, upper = lower + np.sum(w[counts] * down), upper + np.sum(w[counts] * up)
            if noisy:
                scale += np.sum(np.abs(w) * s.shown[p].mean(1))
                noise_p, least_p, floor_p = self._noise(p, weights)
                noise, least, floor = noise + noise_p, least + least_p, floor + floor_p
        bounds = [OPEN if open_bounds else None if not np.isfinite(b) else b for b in (lower, upper)]
        known_floor = "floor-averages" in self.case.options
        return Sum(
            float(value), float(scale), *bounds, np.sqrt(max(noise, least)) if noisy else None,
            np.sqrt(floor) if noisy and known_floor else None, refused, unknown,
        )  # fmt: skip

    def _measured(self, p, weights):
        """Weights of the rings that were read: those of fitted poles are theirs."""
        measured = weights.copy()
        measured[list(self.fits[p])] = 0.0
        for pole, (fine, _) in self.fits[p].items():
            measured += fine * weights[pole]
        return measured

    def _variances(self, p):
        """Variance of each ring's mean, and what it has at least. Wave: (2NP - N^2)/n of a reading P; noise-like: P^2/(n + 1); noise alone: N^2/n."""
        s = self.sphere
        n_avg = float(self.case.options.get("averages", 1))
        floor, shown = s.floor_w[p], s.shown[p]
        if self.case.options.get("signal", "cw") == "cw":
            each = floor * (2.0 * shown - floor) / n_avg
        else:
            each = shown**2 / (n_avg + 1.0)
        # The readings of a pole are of one direction.
        count = np.full(self.n + 1, float(s.m))
        count[[0, self.n]] = 1.0
        return each.mean(1) / count, floor**2 / n_avg / count

    def _noise(self, p, weights):
        w = self._measured(p, weights) / 2.0
        variance, least = self._variances(p)
        u_floor = self.sphere.floor_w[p] / np.sqrt(float(self.case.options.get("floor-averages", 1)))
        return np.sum(w**2 * variance), np.sum(w**2 * least), (np.sum(w) * u_floor) ** 2

    def shown(self, weights):
        """The whole sphere with the floor left in."""
        total = 0.0
        for p in range(self.sphere.polarisations):
            total += np.sum(self._measured(p, weights) / 2.0 * self.sphere.shown[p].mean(1))
        return float(total)

    def _covariance(self, a, b):
        total = 0.0
        for p in range(self.sphere.polarisations):
            of_a, of_b = self._measured(p, a), self._measured(p, b)
            variance, least = self._variances(p)
            total += np.sum(of_a * of_b / 4.0 * np.maximum(variance, least))
        return total

    def _figure(self, kind, s, by=1.0):
        """A figure of a sum."""
        if s.refused:
            return Expected(kind, refused=True)
        value = OPEN if s.open_value else s.value / by
        bounds = [b if b is OPEN or b is None else b / by for b in (s.lower, s.upper)]
        standard = OPEN if s.open_value else _joined(s.noise, s.floor, 1 / by)
        return Expected(kind, value, s.scale / by, *bounds, standard=standard, gives_way=s.open_value)

    def _window(self, window):
        """Weights of a window with its form, and those of the whole of the same family; None: refused."""
        edges = self.case.options.get("edges", "auto")
        on = rules.on_rings(self.n, window)
        if edges == "half" and self.rule == "sine" and not on:
            return None
        if edges == "half" or (edges == "auto" and self.rule == "sine" and on):
            return rules.half(self.n, window), self.whole_weights["sine"]
        return rules.exact(self.n, window), self.whole_weights["clenshaw-curtis"]

    def all(self):
        """Expected figures by name."""
        case, s = self.case, self.sphere
        sensitivity = case.quantity in ("eis", "level")
        relative, gain = case.quantity == "field", case.quantity == "gain"
        watts = not (sensitivity or relative or gain)
        kind = "reciprocal" if sensitivity else "power"
        weights = self.whole_weights[self.rule]
        whole = self.integrate(weights)
        parts = [self.integrate(weights, p) for p in range(2)] if s.polarisations == 2 else []
        figures = {}
        if watts or sensitivity:
            name = "tis" if sensitivity else "trp"
            figures[name] = self._figure(kind, whole)
            for which, part in zip(("theta", "phi"), parts):
                figures[f"{name}_{which}"] = self._figure(kind, part)
        if relative:
            figures["trp"] = Expected("power", refused=True)
        if parts and not sensitivity and not gain:
            figures["polarisation_ratio"] = self._ratio(*parts, None)
        if not gain:
            for name, window in (rules.SENSITIVITY_WINDOWS if sensitivity else rules.POWER_WINDOWS).items():
                self._add_window(figures, name, window, kind, relative)
        self._add_extremes(figures, whole, kind, watts, sensitivity)
        over = (
            ("accepted-power-dbm", "radiation_efficiency", "percent"),
            ("accepted-power-dbm", "average_gain", "ratio"),
            ("conducted-power-dbm", "total_efficiency", "percent"),
        )
        for option, name, how in over:
            if watts and option in case.options:
                figures[name] = self._figure(how, whole, 10.0 ** (float(case.options[option]) / 10.0) * 1e-3)
        if gain:
            figures["average_gain"] = self._figure("ratio", whole)
        return figures

    def _add_window(self, figures, name, window, kind, relative):
        found = self._window(window)
        if found is None:
            figures[name] = figures[f"{name}_ratio"] = Expected(kind, refused=True)
            return
        weights, family = found
        part, whole = self.integrate(weights), self.integrate(family)
        figures[name] = Expected(kind, refused=True) if relative else self._figure(kind, part)
        covariance = self._covariance(weights, family) if self.sphere.floor_w is not None else None
        figures[f"{name}_ratio"] = self._ratio(part, whole, covariance)

    def _ratio(self, a, b, covariance):
        """a over b. `covariance` of their noise where a is a part of b, None where they are independent."""
        if a.refused or b.refused or (not b.open_value and b.value <= 0.0):
            return Expected("ratio", refused=True)
        if a.open_value or b.open_value:
            return Expected("ratio", OPEN, 1.0)
        ratio = a.value / b.value
        scale = (a.scale + abs(ratio) * b.scale) / b.value
        if a.noise is None or a.value <= 0.0:
            return Expected("ratio", ratio, scale)
        x, y = a.noise / a.value, b.noise / b.value
        noise = ratio * np.sqrt(max(x**2 + y**2 - (0.0 if covariance is None else 2 * covariance / (a.value * b.value)), 0.0))
        floor = None
        if a.floor is not None:
            f, g = a.floor / a.value, b.floor / b.value
            floor = ratio * (np.hypot(f, g) if covariance is None else abs(f - g))
        # Squares of relative uncertainties cancel in a share; their root keeps half of the digits.
        lost = 1e-7 * ratio * max(x, y)
        return Expected("ratio", ratio, scale, standard=(*_joined(noise, floor, 1.0)[:1], lost))

    def _add_extremes(self, figures, whole, kind, watts, sensitivity):
        s = self.sphere
        both = s.value.sum(0)
        read = s.read.all(0)
        read[[0, self.n], 1:] = False
        largest, smallest = both[read].max(), both[read].min()
        size = np.abs(s.shown).sum(0).max()
        complete = bool(s.read.all()) and not s.marked
        refused = self.rises
        names = ("best_eis", "worst_eis") if sensitivity else ("peak_eirp", "min_eirp")
        if watts or sensitivity:
            bounds = {"lower": largest, "upper": largest} if complete else {}
            figures[names[0]] = Expected(kind, largest, size, peak_of="largest", refused=refused, **bounds)
            bounds = {"lower": smallest, "upper": smallest} if complete else {}
            figures[names[1]] = Expected(kind, smallest, size, peak_of="smallest", **bounds)
        if self.case.quantity == "gain":
            figures["peak_gain"] = Expected("ratio", largest, size, peak_of="largest", refused=refused)
        elif watts and "accepted-power-dbm" in self.case.options:
            accepted = 10.0 ** (float(self.case.options["accepted-power-dbm"]) / 10.0) * 1e-3
            figures["peak_gain"] = Expected("ratio", largest / accepted, size / accepted, peak_of="largest", refused=refused)
        if watts or sensitivity or self.case.quantity == "field":
            if refused or whole.refused or (not whole.open_value and whole.value <= 0.0):
                figures["directivity"] = Expected("ratio", refused=True)
            else:
                value = OPEN if whole.open_value else largest / whole.value
                scale = 1.0 if whole.open_value else size / whole.value + abs(value) * whole.scale / whole.value
                figures["directivity"] = Expected("ratio", value, scale, peak_of="largest")


def _joined(noise, floor, factor):
    """Standard uncertainty of all parts that are known, and what rounding may leave of it; (None, 0) where none is."""
    known = [part for part in (noise, floor) if part is not None]
    return (float(np.sqrt(np.sum(np.square(known)))) * factor if known else None, 0.0)
