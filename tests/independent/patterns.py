"""Radiated fields with known properties, sampled on an equal-angle grid.

A field is complex, in sqrt(W): |E_theta|^2 + |E_phi|^2 is the EIRP in watts. Arrays have shape (rings, columns), ring 0 at theta = 0 and the last at 180 degrees;
the two components at a pole depend on phi, as they do for any vector there.
"""

import numpy as np


class Field:
    """Components on the grid; `degree` is the band limit of the field (None: none), `mean_w` the exact mean of the EIRP over the sphere (None: not known)."""

    def __init__(self, theta, phi, degree=None, mean_w=None):
        self.theta, self.phi, self.degree, self.mean_w = theta, phi, degree, mean_w


def axes(intervals, columns, start_deg):
    """Angles of the rings and the columns, degrees."""
    return 180.0 * np.arange(intervals + 1) / intervals, start_deg + 360.0 * np.arange(columns) / columns


def unit_vectors(theta_deg, phi_deg):
    """r, theta and phi unit vectors, Cartesian, on the product of the axes."""
    t, p = np.meshgrid(np.radians(theta_deg), np.radians(phi_deg), indexing="ij")
    st, ct, sp, cp = np.sin(t), np.cos(t), np.sin(p), np.cos(p)
    zero = np.zeros_like(t)
    return np.stack([st * cp, st * sp, ct], -1), np.stack([ct * cp, ct * sp, -st], -1), np.stack([-sp, cp, zero], -1)


def multipoles(rng, intervals, columns, start_deg, low=False):
    """Random vector spherical harmonics up to a degree, by the spherical-transform library (spin 1). Their mean is Parseval's sum of |a|^2 over 4 pi."""
    import ducc0

    limit = max(1, min(intervals // 2, (columns - 1) // 2, 8))
    # Low degrees are integrated exactly on coarse grids, and filled exactly by harmonics.
    degree = int(rng.integers(1, min(limit, 2) + 1 if low or rng.random() < 0.5 else limit + 1))
    order = np.concatenate([np.full(degree + 1 - m, m) for m in range(degree + 1)])
    number = np.concatenate([np.arange(m, degree + 1) for m in range(degree + 1)])
    theta_deg, _ = axes(intervals, columns, start_deg)
    rings = intervals + 1
    parts, power = [], 0.0
    for _ in range(2):
        a = rng.normal(size=(2, order.size)) + 1j * rng.normal(size=(2, order.size))
        a[:, order == 0] = a[:, order == 0].real
        a *= (number > 0) / np.sqrt(1.0 + number)
        power += float(np.sum(np.abs(a) ** 2 * np.where(order == 0, 1.0, 2.0)))
        sampled = ducc0.sht.synthesis(
            alm=a,
            theta=np.radians(theta_deg),
            lmax=degree,
            mmax=degree,
            nphi=np.full(rings, columns, dtype=np.uint64),
            phi0=np.full(rings, np.radians(start_deg)),
            ringstart=np.arange(rings, dtype=np.uint64) * columns,
            spin=1,
        )
        parts.append(sampled.reshape(2, rings, columns))
    both = parts[0] + 1j * parts[1]
    return Field(both[0], both[1], degree, power / (4.0 * np.pi))


def dipoles(rng, intervals, columns, start_deg):
    """One to four short dipoles with any moments; those beside the origin have phases exp(j k r.d). One at the origin: mean |p|^2 2/3."""
    r, theta_hat, phi_hat = unit_vectors(*axes(intervals, columns, start_deg))
    count = int(rng.integers(1, 5))
    theta, phi, mean = 0.0, 0.0, None
    for _ in range(count):
        moment = rng.normal(size=3) + 1j * rng.normal(size=3) * rng.integers(0, 2)
        place = rng.normal(size=3) * (0.3 if count > 1 else 0.0)
        phase = np.exp(2j * np.pi * (r @ place))
        theta = theta + phase * (theta_hat @ moment)
        phi = phi + phase * (phi_hat @ moment)
        mean = float(np.sum(np.abs(moment) ** 2)) * 2.0 / 3.0
    alone = count == 1
    return Field(theta, phi, 1 if alone else None, mean if alone else None)


def beam(rng, intervals, columns, start_deg):
    """A beam about any axis: exp(kappa (r.a - 1)/2) times the tangential part of any vector; its EIRP falls to exp(-2 kappa) at the back."""
    r, theta_hat, phi_hat = unit_vectors(*axes(intervals, columns, start_deg))
    axis = rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    kappa = rng.uniform(0.5, 8.0)
    moment = rng.normal(size=3) + 1j * rng.normal(size=3)
    size = np.exp(kappa * (r @ axis - 1.0) / 2.0)
    return Field(size * (theta_hat @ moment), size * (phi_hat @ moment))


PATTERNS = {"multipoles": multipoles, "dipoles": dipoles, "beam": beam}
