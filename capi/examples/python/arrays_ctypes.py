"""Arrays in, figures out, with ctypes alone: no compiler, no package.

    python3 arrays_ctypes.py [LIBRARY]

A short dipole along z is reduced: 10 mW (10 dBm) at the equator, going with the square of sin(theta), whose mean over the sphere is
2/3. So its TRP is 10 + 10 log10(2/3) dBm and its directivity 10 log10(3/2) dBi. Where NumPy is installed, its arrays are handed over
where they lie; otherwise arrays of the standard library are.
"""

import array
import ctypes
import ctypes.util
import math
import sys

try:
    import numpy
except ImportError:
    numpy = None

# Numbers of spheresum.h, which never change their meaning.
QUANTITY_EIRP = 1
POLARISATION_THETA, POLARISATION_PHI = 0, 1
UNIT_LINEAR = 1
NUMBER_VALUE = 0

pointer = ctypes.c_void_p
doubles = ctypes.POINTER(ctypes.c_double)
states = ctypes.POINTER(ctypes.c_uint8)
size, text, int32 = ctypes.c_size_t, ctypes.c_char_p, ctypes.c_int32
out = ctypes.POINTER(pointer)

# What ctypes has to know of each function: result and parameters. Without them it would cut pointers to 32 bits.
FUNCTIONS = {
    "version": (text, []),
    "error_message": (text, [pointer]),
    "error_hint": (text, [pointer]),
    "error_free": (None, [pointer]),
    "readings_new": (int32, [int32, text, out, out]),
    "readings_add": (
        int32,
        [pointer, int32, ctypes.c_double, size, doubles, doubles, doubles, int32, states, doubles, out],
    ),
    "readings_free": (None, [pointer]),
    "options_new": (int32, [out, out]),
    "options_set": (int32, [pointer, text, text, out]),
    "options_free": (None, [pointer]),
    "run_new": (int32, [text, out, out]),
    "run_add_readings": (int32, [pointer, pointer, out]),
    "run_free": (None, [pointer]),
    "reduce": (int32, [pointer, pointer, out, out]),
    "reduction_find": (int32, [pointer, size, text, out, out]),
    "reduction_free": (None, [pointer]),
    "figure_number": (int32, [pointer, int32, doubles]),
    "figure_unit": (text, [pointer]),
}


class SpheresumError(Exception):
    """A call that failed, with its message and what to do about it."""


class Spheresum:
    """The functions of the library."""

    def __init__(self, path):
        library = ctypes.CDLL(path)
        for name, (result, parameters) in FUNCTIONS.items():
            function = getattr(library, "spheresum_" + name)
            function.restype, function.argtypes = result, parameters
            setattr(self, name, function)

    def call(self, function, *arguments):
        """Calls a function that ends in out_error."""
        error = pointer()
        if function(*arguments, ctypes.byref(error)) != 0:
            message, hint = self.error_message(error).decode(), self.error_hint(error).decode()
            self.error_free(error)
            raise SpheresumError(f"{message}; {hint}")

    def made(self, function, *arguments):
        """Calls a function whose last output is an object."""
        made = pointer()
        self.call(function, *arguments, ctypes.byref(made))
        return made


def view(values):
    """A pointer to the numbers of an array, where they lie."""
    if numpy is not None and isinstance(values, numpy.ndarray):
        # The library reads one number behind the other: no strides, no other type.
        assert values.dtype == numpy.float64 and values.flags.c_contiguous
        return values.ctypes.data_as(doubles)
    return ctypes.cast((ctypes.c_double * len(values)).from_buffer(values), doubles)


def dipole():
    """Directions of a 15 degree grid, and the EIRP of both polarisations in W."""
    directions = [(15.0 * i, 15.0 * j) for i in range(13) for j in range(24)]
    columns = (
        [theta for theta, _ in directions],
        [phi for _, phi in directions],
        [0.01 * math.sin(math.radians(theta)) ** 2 for theta, _ in directions],
        [0.0] * len(directions),
    )
    if numpy is not None:
        return [numpy.array(column) for column in columns]
    return [array.array("d", column) for column in columns]


def main():
    path = sys.argv[1] if len(sys.argv) > 1 else ctypes.util.find_library("spheresum")
    lib = Spheresum(path)
    theta_deg, phi_deg, power_theta_w, power_phi_w = dipole()
    readings = lib.made(lib.readings_new, QUANTITY_EIRP, b"dipole")
    for polarisation, power_w in ((POLARISATION_THETA, power_theta_w), (POLARISATION_PHI, power_phi_w)):
        lib.call(
            lib.readings_add, readings, polarisation, 868.3e6, len(theta_deg),
            view(theta_deg), view(phi_deg), view(power_w), UNIT_LINEAR, None, None,
        )  # fmt: skip
    run = lib.made(lib.run_new, b"dipole")
    lib.call(lib.run_add_readings, run, readings)
    lib.readings_free(readings)
    options = lib.made(lib.options_new)
    lib.call(lib.options_set, options, b"rule", b"clenshaw-curtis")
    reduction = lib.made(lib.reduce, run, options)
    wrong = 0
    for name, closed_form in (("trp", 10 + 10 * math.log10(2 / 3)), ("directivity", 10 * math.log10(3 / 2))):
        figure = lib.made(lib.reduction_find, reduction, 0, name.encode())
        value = ctypes.c_double()
        known = lib.figure_number(figure, NUMBER_VALUE, ctypes.byref(value))
        print(f"{name} {value.value:.9f} {lib.figure_unit(figure).decode()}, {closed_form:.9f} by the closed form")
        wrong |= known != 1 or abs(value.value - closed_form) > 1e-9
    try:
        lib.call(lib.options_set, options, b"rulee", b"sine")
        wrong = 1
    except SpheresumError as error:
        print(error)
    lib.reduction_free(reduction)
    lib.options_free(options)
    lib.run_free(run)
    print(f"spheresum {lib.version().decode()}, {'NumPy' if numpy is not None else 'no NumPy'}")
    return int(wrong)


if __name__ == "__main__":
    sys.exit(main())
