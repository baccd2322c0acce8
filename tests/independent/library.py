"""The C library through ctypes: readings in, figures out. No other code of the project is used."""

import ctypes
import json

import numpy as np

QUANTITY = {"eirp": 1, "eis": 2, "gain": 3, "received": 4, "level": 5, "field_sqrtw": 6, "field_v": 7, "field": 8}
STATES = ["value", "zero", "not-above-zero", "refused"]
MEASURED, MISSING = 0, 3
RULES = {"auto": 0, "sine": 1, "clenshaw-curtis": 2}
USAGE = 2000
NUMBERS = {
    "value": 0,
    "lower": 1,
    "upper": 2,
    "interval_lower": 3,
    "interval_upper": 4,
    "standard_uncertainty_db": 6,
    "theta_deg": 9,
    "phi_deg": 10,
}
NOISE = {"shown_dbm": 2, "bias_db": 3}

pointer, size, text, int32 = ctypes.c_void_p, ctypes.c_size_t, ctypes.c_char_p, ctypes.c_int32
double, doubles, bytes_, out = ctypes.c_double, ctypes.POINTER(ctypes.c_double), ctypes.POINTER(ctypes.c_uint8), ctypes.POINTER(ctypes.c_void_p)

FUNCTIONS = {
    "error_code": (int32, [pointer]),
    "error_message": (text, [pointer]),
    "error_free": (None, [pointer]),
    "readings_new": (int32, [int32, text, out, out]),
    "readings_add": (int32, [pointer, int32, double, size, doubles, doubles, doubles, int32, bytes_, doubles, out]),
    "readings_add_field": (int32, [pointer, int32, double, size, doubles, doubles, doubles, doubles, bytes_, out]),
    "readings_free": (None, [pointer]),
    "options_new": (int32, [out, out]),
    "options_set": (int32, [pointer, text, text, out]),
    "options_free": (None, [pointer]),
    "run_new": (int32, [text, out, out]),
    "run_add_readings": (int32, [pointer, pointer, out]),
    "run_free": (None, [pointer]),
    "reduce": (int32, [pointer, pointer, out, out]),
    "reduction_rule": (text, [pointer]),
    "reduction_figure_count": (size, [pointer, size]),
    "reduction_figure": (pointer, [pointer, size, size]),
    "reduction_noise": (pointer, [pointer, size]),
    "reduction_json": (int32, [pointer, out, out]),
    "reduction_free": (None, [pointer]),
    "text_data": (text, [pointer]),
    "text_free": (None, [pointer]),
    "figure_name": (text, [pointer]),
    "figure_unit": (text, [pointer]),
    "figure_rule": (text, [pointer]),
    "figure_edges": (text, [pointer]),
    "figure_state": (ctypes.c_uint8, [pointer]),
    "figure_number": (int32, [pointer, int32, doubles]),
    "noise_number": (int32, [pointer, int32, doubles]),
    "trp_dbm": (int32, [doubles] * 4 + [bytes_] * 2 + [size, int32, doubles, bytes_, out]),
}


class Refused(Exception):
    """A call that failed: its code and message."""

    def __init__(self, code, message):
        super().__init__(f"{code}: {message}")
        self.code = code


class Library:
    """The functions that the checks need."""

    def __init__(self, path):
        loaded = ctypes.CDLL(path)
        for name, (result, parameters) in FUNCTIONS.items():
            function = getattr(loaded, "spheresum_" + name)
            function.restype, function.argtypes = result, parameters
            setattr(self, "c_" + name, function)

    def call(self, function, *arguments):
        error = pointer()
        if function(*arguments, ctypes.byref(error)) != 0:
            code, message = self.c_error_code(error), self.c_error_message(error).decode()
            self.c_error_free(error)
            raise Refused(code, message)

    def made(self, function, *arguments):
        """Calls a function that makes an object."""
        made = pointer()
        self.call(function, *arguments, ctypes.byref(made))
        return made

    def reduce(self, quantity, blocks, options):
        """Figures by name, what is said of noise, and what the history says of gaps.

        A block is a polarisation index (0, 1, or 2 for the total), theta and phi in degrees, values, "dB" or "linear" (not for fields), and states.
        """
        readings = self.made(self.c_readings_new, QUANTITY[quantity], b"independent")
        settings = self.made(self.c_options_new)
        run = self.made(self.c_run_new, b"independent")
        result = pointer()
        try:
            for polarisation, theta, phi, values, unit, state in blocks:
                theta, phi = as_array(theta), as_array(phi)
                state = np.ascontiguousarray(state, dtype=np.uint8)
                state_at = state.ctypes.data_as(bytes_)
                start = (readings, polarisation, 868.3e6, theta.size, at(theta), at(phi))
                if quantity.startswith("field"):
                    real, imaginary = as_array(values.real), as_array(values.imag)
                    self.call(self.c_readings_add_field, *start, at(real), at(imaginary), state_at)
                else:
                    values = as_array(values)
                    self.call(self.c_readings_add, *start, at(values), 0 if unit == "dB" else 1, state_at, None)
            for name, value in options.items():
                self.call(self.c_options_set, settings, name.encode(), str(value).encode())
            self.call(self.c_run_add_readings, run, readings)
            self.call(self.c_reduce, run, settings, ctypes.byref(result))
            return *self.figures(result), self.filled(result)
        finally:
            self.c_reduction_free(result)
            self.c_run_free(run)
            self.c_options_free(settings)
            self.c_readings_free(readings)

    def trp_dbm(self, theta, phi, levels, states, rule):
        """TRP by the call that takes arrays alone."""
        arrays = [as_array(a) for a in (theta, phi, levels[:, 0], levels[:, 1])]
        states = [np.ascontiguousarray(states[:, p], dtype=np.uint8) for p in range(2)]
        trp, state = double(), ctypes.c_uint8()
        self.call(
            self.c_trp_dbm, *map(at, arrays), *(s.ctypes.data_as(bytes_) for s in states), len(arrays[0]), RULES[rule], ctypes.byref(trp), ctypes.byref(state)
        )  # fmt: skip
        return {"state": STATES[state.value], "value": trp.value if state.value == 0 else None, "lower": None, "upper": None}

    def figures(self, reduction):
        figures = {}
        for index in range(self.c_reduction_figure_count(reduction, 0)):
            figure = self.c_reduction_figure(reduction, 0, index)
            found = {"state": STATES[self.c_figure_state(figure)], "unit": self.c_figure_unit(figure).decode()}
            found["rule"] = self.c_figure_rule(figure).decode() or None
            found["edges"] = self.c_figure_edges(figure).decode() or None
            found |= {name: self.number(self.c_figure_number, figure, which) for name, which in NUMBERS.items()}
            figures[self.c_figure_name(figure).decode()] = found
        noise = self.c_reduction_noise(reduction, 0)
        said = {name: self.number(self.c_noise_number, noise, which) for name, which in NOISE.items()} if noise else None
        return figures, said

    def filled(self, reduction):
        """What the history says of the filling of gaps."""
        document = self.made(self.c_reduction_json, reduction)
        said = json.loads(self.c_text_data(document))
        self.c_text_free(document)
        return filled(said.get("history") or said["runs"][0]["history"])

    def number(self, function, of, which):
        number = double()
        return number.value if function(of, which, ctypes.byref(number)) else None


def filled(history):
    """Lines of the step that fills gaps."""
    return [line for step in history if step["step"] == "fill" for line in step["did"]]


def as_array(values):
    return np.ascontiguousarray(values, dtype=np.float64)


def at(array):
    return array.ctypes.data_as(doubles)
