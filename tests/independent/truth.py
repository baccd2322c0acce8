"""What the pattern itself says: exact integrals, and what was in the gaps."""

import itertools
import re

import numpy as np

import compare
from expected import OPEN, Figures

# A least-squares fit on what a gap leaves has worse condition than a sum: its errors of rounding grow with it.
FIT_DB = 1e-6
# Fits of higher degrees cost more than they tell.
MOST_DEGREE = 8


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
        self.lower, self.upper = np.where(self.read, value, 0.0), np.where(self.read, value, np.inf)


def harmonic_fill(case, sphere, figures, found, ways):
    """Filling by harmonics against a weighted least-squares solution over the functions of the spherical-transform library.

    The history says how many gaps were filled by which degree, and not which: the figure has to be that of one of the ways to deal the degrees out. Where the power
    is band-limited and the degree reaches it, the solution is the truth, and that is demanded of it. None: nothing was compared.
    """
    degrees = [int(m[2]) for line in ways if (m := re.fullmatch(r"(\d+) gaps? filled by harmonics of degree (\d+)", line)) for _ in range(int(m[1]))]
    name = figure_of_whole(case)
    got = found.get(name)
    if not figures.filled or len(degrees) != len(sphere.gaps) or got is None or got["value"] is None or got["state"] == "refused":
        return None
    deals = set(itertools.permutations(degrees)) if len(degrees) <= 6 else {tuple(degrees)} if len(set(degrees)) == 1 else set()
    if not deals or max(degrees) > MOST_DEGREE:
        return None
    solved = {(p, degree): solution(case, sphere, p, degree) for p in {g[0] for g in sphere.gaps} for degree in set(degrees)}
    if any(one is None for one in solved.values()):
        return None
    nearest, said = np.inf, []
    for deal in deals:
        value = sphere.value.copy()
        at_gaps = np.zeros_like(sphere.read)
        for (p, cells, _, border, rises), degree in zip(sphere.gaps, deal):
            # No power is below zero, unless noise was taken off.
            noisy = (sphere.value[p][sphere.read[p]] < 0.0).any()
            estimate = solved[p, degree] if noisy else np.maximum(solved[p, degree], 0.0)
            for i, j in cells:
                at = (p, i, slice(None) if i in (0, sphere.n) else j)
                at_gaps[at] = True
                value[at] = estimate[i, j] if rises else min(estimate[i, j], max(border, 0.0))
        want = Figures(case, Whole(sphere, value, at_gaps)).all()[name]
        got_linear = compare.linear(want.kind, got["value"])
        nearest = min(nearest, np.inf if want.linear <= 0.0 else abs(10 * np.log10(got_linear / want.linear)))
    if nearest > FIT_DB:
        said.append(f"{name}: filled by harmonics of degrees {degrees}, {nearest:.3g} dB from the least-squares solution")
    if case.degree is not None and not case.scattered and 2 * case.degree <= (sphere.m - 1) // 2:
        for (p, degree), estimate in solved.items():
            if degree >= 2 * case.degree:
                inner = case.truth[p, 1 : sphere.n]
                off = np.abs(estimate[1 : sphere.n] - inner).max() / inner.max()
                said += [] if off < 1e-8 else [f"least squares of degree {degree} miss a pattern of degree {2 * case.degree} by {off:.2g}"]
    return said


def solution(case, sphere, p, degree):
    """Values on the grid of the weighted least-squares fit of a degree to what was read; None where that does not determine it."""
    basis = functions(sphere.n, sphere.m, case.start_deg, degree, case.total)
    rows = sphere.read[p].copy()
    rows[[0, sphere.n], 1:] = False
    weight = np.sqrt(np.broadcast_to(sphere.share()[:, None], rows.shape)[rows])
    found, _, rank, _ = np.linalg.lstsq(basis[:, rows].T * weight[:, None], sphere.value[p][rows] * weight, rcond=None)
    return None if rank < basis.shape[0] else np.tensordot(found, basis, 1)


def functions(n, m, start_deg, degree, total):
    """Y_lm on the grid: for a total all up to the degree; for a polarisation those with |m| < 2, and Y_lm / sin^2 theta two degrees higher with |m| >= 2.

    theta_hat sin(theta) is a polynomial in x, y, z: sin^2(theta) times the power of one polarisation is smooth, of two degrees more, and vanishes at the
    poles. On a pole only the mean over phi is known, to which m = 0 alone contributes.
    """
    import ducc0

    top = degree if total else degree + 2
    orders = (m - 1) // 2
    theta = np.pi * np.arange(n + 1) / n
    phi = np.radians(start_deg + 360.0 * np.arange(m) / m)
    ring = np.arange(n + 1, dtype=np.uint64)
    kept = []
    for order in range(min(top, orders) + 1):
        for number in range(order, top + 1):
            if not total and order < 2 and number > degree:
                continue
            a = np.zeros((1, (top + 1) * (top + 2) // 2), dtype=complex)
            a[0, order * (2 * top + 1 - order) // 2 + number] = 1.0
            profile = ducc0.sht.synthesis(
                alm=a, theta=theta, lmax=top, mmax=top, spin=0, ringstart=ring,
                nphi=np.ones(n + 1, dtype=np.uint64), phi0=np.zeros(n + 1),
            ).reshape(n + 1, 1)  # fmt: skip
            if not total and order >= 2:
                profile[1:n] /= np.sin(theta[1:n, None]) ** 2
            if order:
                profile[[0, n]] = 0.0
            kept += [profile * np.cos(order * phi)] + ([profile * np.sin(order * phi)] if order else [])
    return np.array(kept)
