"""Integrals of antenna patterns over parts of the sphere, by adaptive quadrature.

The rows of core/tables that name "scipy, adaptive quadrature of the field formula" as their source have their numbers from here. It is
written apart from the library: fields and integrals are spelt out again, and nothing of the library is called.

    python -m pip install numpy scipy
    python tests/tools/sphere_integrals.py                       # all patterns
    python tests/tools/sphere_integrals.py half-wave-dipole      # one

For each pattern it prints directivity, the share of each polarisation in the whole, and the share of each window in theta.
"""

import sys

import numpy as np
import scipy
from scipy.integrate import quad


def z_dipole(t, p):
    return np.sin(t), 0.0


def x_dipole(t, p):
    return np.cos(t) * np.cos(p), -np.sin(p)


def small_loop(t, p):
    return 0.0, np.sin(t)


def half_wave_dipole(t, p):
    return np.cos(np.pi / 2 * np.cos(t)) / np.sin(t), 0.0


def huygens_x(t, p):
    a = (1 + np.cos(t)) / 2
    return a * np.cos(p), -a * np.sin(p)


def turnstile(t, p):
    # x - jy: the magnitudes of both components
    return np.cos(t) / np.sqrt(2), 1 / np.sqrt(2)


def beam(kappa, axis_theta, axis_phi):
    a, b = np.radians(axis_theta), np.radians(axis_phi)

    def field(t, p):
        gamma = np.sin(t) * np.sin(a) * np.cos(p - b) + np.cos(t) * np.cos(a)
        e = np.exp(kappa * (gamma - 1) / 2) / np.sqrt(2)
        return e, e

    return field


def points_on_x(count, spacing):
    def field(t, p):
        phase = 2 * np.pi * spacing * np.sin(t) * np.cos(p)
        e = abs(sum(np.exp(1j * n * phase) for n in range(count))) / count / np.sqrt(2)
        return e, e

    return field


# Field with a peak of |E|^2 of 1, whether it depends on phi.
PATTERNS = {
    "isotropic": (lambda t, p: (np.sqrt(0.5), np.sqrt(0.5)), False),
    "z-dipole": (z_dipole, False),
    "x-dipole": (x_dipole, True),
    "small-loop": (small_loop, False),
    "half-wave-dipole": (half_wave_dipole, False),
    "huygens-x": (huygens_x, True),
    "turnstile": (turnstile, False),
    "beam, kappa 10, axis 65 205": (beam(10, 65, 205), True),
    "beam, kappa 1, axis 60 105": (beam(1, 60, 105), True),
    "two points on x, 1.25 wavelengths": (points_on_x(2, 1.25), True),
}

WINDOWS = {
    "near horizon 45": (45, 135),
    "near horizon 30": (60, 120),
    "near horizon 22.5": (67.5, 112.5),
    "upper": (0, 90),
    "lower": (90, 180),
    "0 to 120": (0, 120),
}


def mean(field, turns, part, from_deg, to_deg):
    """(1/4 pi) times the integral of |E|^2 of one part over theta from_deg ... to_deg and all phi."""

    def power(t, p):
        e = field(t, p)
        return e[0] ** 2 + e[1] ** 2 if part is None else e[part] ** 2

    def ring(t):
        if not turns:
            return 2 * np.pi * power(t, 0.3)
        # In quarters, so that the adaptive rule meets no symmetry that hides an error.
        ends = np.linspace(0, 2 * np.pi, 5)
        return sum(quad(lambda p: power(t, p), a, b, epsabs=1e-15, epsrel=1e-13)[0] for a, b in zip(ends, ends[1:]))

    edges = np.radians(np.linspace(from_deg, to_deg, 4))
    return sum(quad(lambda t: ring(t) * np.sin(t), a, b, epsabs=1e-15, epsrel=1e-13)[0] for a, b in zip(edges, edges[1:])) / (4 * np.pi)


def main():
    print(f"# numpy {np.__version__}, scipy {scipy.__version__}")
    for name, (field, turns) in PATTERNS.items():
        if len(sys.argv) > 1 and sys.argv[1] not in name:
            continue
        whole = mean(field, turns, None, 0, 180)
        print(f"{name}; directivity; {1 / whole:.15g}")
        for word, part in (("theta", 0), ("phi", 1)):
            print(f"{name}; {word}; {mean(field, turns, part, 0, 180) / whole:.15g}")
        for window, (a, b) in WINDOWS.items():
            print(f"{name}; {window}; {mean(field, turns, None, a, b) / whole:.15g}")


if __name__ == "__main__":
    main()
