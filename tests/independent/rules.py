"""Weights of the rings: the mean over the sphere is half of sum w_i p_i, p_i the mean over phi of ring i."""

import numpy as np

POWER_WINDOWS = {
    "nhprp_45": (45.0, 135.0),
    "nhprp_30": (60.0, 120.0),
    "nhprp_22_5": (67.5, 112.5),
    "uhrp": (0.0, 90.0),
    "lhrp": (90.0, 180.0),
}
SENSITIVITY_WINDOWS = {
    "nhpis_45": (45.0, 135.0),
    "nhpis_30": (60.0, 120.0),
    "nhpis_22_5": (67.5, 112.5),
    "uhis": (0.0, 90.0),
    "pigs": (0.0, 120.0),
}


def sine(n):
    """(pi/N) sin theta_i; nothing at the poles."""
    w = np.pi / n * np.sin(np.pi * np.arange(n + 1) / n)
    w[0] = w[n] = 0.0
    return w


def half(n, window):
    """The sine rule over a window whose edges lie on rings, which count half; a pole is no edge."""
    ring = np.arange(n + 1)
    first, last = (round(edge * n / 180.0) for edge in window)
    part = ((ring >= first) & (ring <= last)).astype(float)
    if first > 0:
        part[first] = 0.5
    if last < n:
        part[last] = 0.5
    return sine(n) * part


def on_rings(n, window):
    return all(abs(edge * n / 180.0 - round(edge * n / 180.0)) < 1e-9 for edge in window)


def exact(n, window):
    """Weights under which each of 1, cos theta, ..., cos N theta has its exact integral over the window with sin theta: the solution of that system."""
    k = np.arange(n + 1)
    return np.linalg.solve(np.cos(np.pi * np.outer(k, k) / n), _moments(n, window))


def _moments(n, window):
    """Integrals of cos(k theta) sin theta, by the product formula: half of sin((1+k) theta) + sin((1-k) theta)."""
    a, b = np.radians(window)
    k = np.arange(n + 1.0)
    up = (np.cos((1 + k) * a) - np.cos((1 + k) * b)) / (1 + k)
    less = np.where(k == 1, 1.0, 1 - k)
    down = np.where(k == 1, 0.0, (np.cos(less * a) - np.cos(less * b)) / less)
    return (up + down) / 2.0


def clenshaw_curtis(n):
    """The exact window over the whole sphere."""
    return exact(n, (0.0, 180.0))


def at_pole(n, known, pole, degree):
    """How much each ring has in the value at a pole of the least-squares fit of cos k theta, k up to a degree, through the known rings."""
    theta = np.pi * known / n
    basis = np.cos(np.outer(theta, np.arange(degree + 1)))
    here = np.cos(np.pi * pole / n * np.arange(degree + 1))
    q, r = np.linalg.qr(basis)
    parts = np.zeros(n + 1)
    parts[known] = q @ np.linalg.solve(r.T, here)
    return parts
