"""The whole job with cffi, which reads the header itself: files in, the comparison and its JSON document out.

    python3 files_cffi.py HEADER LIBRARY REFERENCE TEST RANGE-LOSS

Needs cffi and NumPy. All that is done to the header: lines of the preprocessor go, and what stands between those of __cplusplus;
whole numbers that were defined become constants.
"""

import json
import re
import sys

import cffi
import numpy


def declarations(header):
    """The header as a plain importer can read it."""
    header = re.sub(r"#ifdef __cplusplus.*?#endif[^\n]*", "", header, flags=re.DOTALL)
    return re.sub(r"^#[^\n]*", "", header, flags=re.MULTILINE)


def constants(header):
    """Names and numbers of what is defined as a whole number."""
    return {name: int(value) for name, value in re.findall(r"^#define SPHERESUM_(\w+) (-?\d+)$", header, re.MULTILINE)}


class Library:
    """Functions as they stand in the header; objects are freed when Python drops them."""

    def __init__(self, header, path):
        with open(header, encoding="utf-8") as file:
            text = file.read()
        self.ffi = cffi.FFI()
        self.ffi.cdef(declarations(text))
        self.lib = self.ffi.dlopen(path)
        self.number = constants(text)

    def text(self, borrowed):
        """A text that is borrowed, copied."""
        return self.ffi.string(borrowed).decode()

    def call(self, name, *arguments):
        """Calls a function that ends in out_error."""
        error = self.ffi.new("spheresum_error **")
        if getattr(self.lib, "spheresum_" + name)(*arguments, error) != self.number["STATUS_OK"]:
            owned = self.ffi.gc(error[0], self.lib.spheresum_error_free)
            message, hint = self.lib.spheresum_error_message(owned), self.lib.spheresum_error_hint(owned)
            raise RuntimeError(f"{self.text(message)}; {self.text(hint)}")

    def made(self, kind, name, *arguments):
        """Calls a function whose last output is an object of that kind, which is freed with its own function."""
        made = self.ffi.new(f"spheresum_{kind} **")
        self.call(name, *arguments, made)
        return self.ffi.gc(made[0], getattr(self.lib, f"spheresum_{kind}_free"))


def levels(library, file):
    """The readings of a file in decibels over 1 mW, in arrays of NumPy that the library fills."""
    ffi, lib = library.ffi, library.lib
    readings = lib.spheresum_file_readings(file)
    count = lib.spheresum_readings_count(readings)
    theta_deg, value_w = numpy.empty(count), numpy.empty(count)
    library.call(
        "readings_get", readings, 0, count, ffi.from_buffer("double[]", theta_deg), ffi.NULL, ffi.NULL, ffi.NULL,
        ffi.from_buffer("double[]", value_w), ffi.NULL, ffi.NULL,
    )  # fmt: skip
    return theta_deg, 10 * numpy.log10(value_w) + 30


def main(header, path, reference, test, loss):
    library = Library(header, path)
    ffi, lib, number = library.ffi, library.lib, library.number
    formats = library.made("formats", "formats_new")
    options = library.made("options", "options_new")
    curve = library.made("file", "file_open", formats, loss.encode(), ffi.NULL)
    library.call("options_set_range", options, curve)
    runs = []
    for name, source in (("rev-a", reference), ("rev-b", test)):
        file = library.made("file", "file_open", formats, source.encode(), ffi.NULL)
        theta_deg, level_dbm = levels(library, file)
        print(f"{name}: {len(level_dbm)} readings, the highest {level_dbm.max():.2f} dBm at theta {theta_deg[level_dbm.argmax()]:g}")
        run = library.made("run", "run_new", name.encode())
        library.call("run_add_file", run, file)
        runs.append(run)
    comparison = library.made("comparison", "compare", runs, len(runs), options)
    print(library.text(lib.spheresum_comparison_sentence(comparison, 0)))
    first = lib.spheresum_comparison_difference(comparison, 0, 0, 0)
    difference_db = ffi.new("double *")
    known = lib.spheresum_difference_number(first, number["DIFFERENCE_DB"], difference_db)
    print(f"{library.text(lib.spheresum_difference_name(first))} {difference_db[0]:.6f} dB")
    document = library.made("text", "comparison_json", comparison)
    figures = json.loads(library.text(lib.spheresum_text_data(document)))["tests"][0]["channels"][0]["figures"]
    in_document = next(figure["difference_db"] for figure in figures if figure["name"] == "trp")
    print(f"in the JSON document {in_document:.6f} dB")
    return 0 if known == 1 and in_document == difference_db[0] else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
