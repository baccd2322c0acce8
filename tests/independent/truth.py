"""What the pattern itself says: exact integrals, and what was in the gaps."""

import numpy as np

import compare
from expected import OPEN, Figures

# A least-squares fit on what a gap leaves has worse condition than a sum: its errors of rounding grow with it.
FIT_DB = 1e-6


def figure_of_whole(case):
    return {"eis": "tis", "level": "tis", "gain": "average_gain"}.get(case.quantity, "trp")


def exact_integral(case, figures, found):
    """Clenshaw-Curtis gives the mean of a band-limited power exactly: Parseval's sum, and degree 0 of the spherical-transform library."""
    degree = case.degree
    if case.exact_mean is None or case.gap != "none" or case.poles == "absent" or figures.rule != "clenshaw-curtis" or case.quantity == "field":
        return []
    if 2 * degree > case.intervals or 2 * degree >= case.columns:
        return []
    import ducc0

    total = np.ascontiguousarray(case.truth.sum(0)[None])
    start = np.radians(case.start_deg)
    a = ducc0.sht.analysis_2d(map=total, spin=0, lmax=0, mmax=0, geometry="CC", phi0=start)
    transform = float(a[0, 0].real / np.sqrt(4 * np.pi))
    value = compare.linear("ratio" if case.quantity == "gain" else "power", found[figure_of_whole(case)]["value"])
    said = compare.number("exact integral (Parseval)", case.exact_mean, value, case.exact_mean)
    return said + compare.number("exact integral (degree 0)", transform, value, transform)


def within_bounds(case, sphere, figures, wanted, found, tally):
    """What was in the gaps lies within our bounds where their assumption holds; the intervals are counted."""
    if not figures.filled:
        return []
    truth = case.truth.copy()
    for pole in (0, sphere.n):
        truth[:, pole] = truth[:, pole].sum(0).mean() / sphere.polarisations
    at_gaps = np.zeros_like(sphere.read)
    holds = True
    for p, cells, _, border, rises in sphere.gaps:
        for i, j in cells:
            at = (p, i, slice(None) if i in (0, sphere.n) else j)
            at_gaps[at] = True
            holds &= rises or np.max(truth[at]) <= border
    whole = Whole(sphere, np.where(at_gaps, truth, sphere.value), at_gaps)
    named, said = Figures(case, whole).all(), []
    for name, want in named.items():
        got, before = found.get(name), wanted[name]
        if want.refused or before.refused or want.linear is OPEN or want.kind == "ratio" or before.linear is not OPEN or got is None:
            continue
        ends = ("upper", "lower") if want.kind == "reciprocal" else ("lower", "upper")
        low, high = (compare.linear(want.kind, got[end]) for end in ends)
        slack = compare.RELATIVE * want.linear + compare.ROUNDING * want.scale
        if holds and low is not None and want.linear < low - slack:
            said.append(f"{name}: truth {want.linear!r} below the lower bound {low!r}")
        if holds and high is not None and want.linear > high + slack:
            said.append(f"{name}: truth {want.linear!r} above the upper bound {high!r}")
        low, high = (compare.linear(want.kind, got[f"interval_{end}"]) for end in ends)
        if name == figure_of_whole(case) and high is not None:
            tally.append(bool((low is None or low <= want.linear + slack) and want.linear <= high + slack))
    return said


class Whole:
    """A sphere with its gaps as they should have been."""

    def __init__(self, sphere, value, at_gaps):
        self.__dict__.update(sphere.__dict__)
        self.value, self.read, self.gaps = value, sphere.read | at_gaps, []
        self.lower = np.where(self.read, value, 0.0)
        self.upper = np.where(self.read, value, np.inf)


def harmonic_fill(case, sphere, figures, found):
    """Filling by harmonics against a least-squares solution over the functions of the spherical-transform library, on band-limited patterns."""
    n, m = sphere.n, sphere.m
    limited = case.degree is not None and not case.scattered and case.quantity not in ("eis", "level")
    if not figures.filled or case.options.get("fill") != "harmonic" or not limited:
        return None
    degree = 2 * case.degree
    if degree > n - 1 or degree + 2 > (m - 1) // 2:
        return None
    basis = functions(n, m, case.start_deg, degree, case.total)
    share = sphere.share()
    value = sphere.value.copy()
    at_gaps = np.zeros_like(sphere.read)
    for p in range(sphere.polarisations):
        gaps = [g for g in sphere.gaps if g[0] == p]
        if not gaps:
            continue
        rows = sphere.read[p].copy()
        rows[[0, n], 1:] = False
        # Our filling tries degrees of which there are at least two readings for each function; so do we.
        if 2 * basis.shape[0] > rows.sum():
            return None
        weight = np.sqrt(np.broadcast_to(share[:, None], rows.shape)[rows])
        matrix = basis[:, rows].T * weight[:, None]
        solved, _, rank, _ = np.linalg.lstsq(matrix, sphere.value[p][rows] * weight, rcond=None)
        if rank < basis.shape[0]:
            return None
        filled = np.tensordot(solved, basis, 1)
        for _, cells, _, border, rises in gaps:
            for i, j in cells:
                at = (p, i, slice(None) if i in (0, n) else j)
                at_gaps[at] = True
                value[at] = filled[i, j] if rises else min(filled[i, j], max(border, 0.0))
    wanted = Figures(case, Whole(sphere, value, at_gaps)).all()
    name, said = figure_of_whole(case), []
    want, got = wanted[name], found[name]
    if want.refused or got["value"] is None:
        return []
    difference = abs(10 * np.log10(compare.linear(want.kind, got["value"]) / want.linear))
    if difference > FIT_DB:
        said.append(f"{name}: filled by harmonics, {difference:.3g} dB from the least-squares solution of degree {degree}")
    return said


def functions(n, m, start_deg, degree, total):
    """Y_lm on the grid: for a total all up to the degree; for a polarisation those with |m| < 2, and Y_lm / sin^2 theta two degrees higher with |m| >= 2.

    theta_hat sin(theta) is a polynomial in x, y, z: sin^2(theta) times the power of one polarisation is smooth, of two degrees more, and vanishes at the
    poles. On a pole only the mean over phi is known, to which m = 0 alone contributes.
    """
    import ducc0

    top = degree if total else degree + 2
    theta = np.pi * np.arange(n + 1) / n
    ring = np.arange(n + 1, dtype=np.uint64)
    kept = []
    for order in range(top + 1):
        for number in range(order, top + 1):
            if not total and order < 2 and number > degree:
                continue
            for part in (1.0, 1j) if order else (1.0,):
                a = np.zeros((1, (top + 1) * (top + 2) // 2), dtype=complex)
                a[0, order * (2 * top + 1 - order) // 2 + number] = part
                y = ducc0.sht.synthesis(
                    alm=a, theta=theta, lmax=top, mmax=top, spin=0, ringstart=ring * m,
                    nphi=np.full(n + 1, m, dtype=np.uint64), phi0=np.full(n + 1, np.radians(start_deg)),
                ).reshape(n + 1, m)  # fmt: skip
                if not total and order >= 2:
                    y[1:n] /= np.sin(theta[1:n, None]) ** 2
                if order:
                    y[[0, n]] = 0.0
                kept.append(y)
    return np.array(kept)
