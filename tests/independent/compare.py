"""What was found against what was expected. Each function gives the sentences that say what differs."""

import numpy as np

from expected import COVERAGE_FACTOR, DB, OPEN

# Both sides do the same sum in doubles: 1e-9 dB of the value, and 1e-13 of the largest sum that the value is a difference of.
RELATIVE = 1e-9 / DB
ROUNDING = 1e-13


def linear(kind, shown):
    """From what is shown to what integrates."""
    if shown is None or kind == "percent":
        return None if shown is None else shown / 100.0
    if kind == "ratio":
        return 10.0 ** (shown / 10.0)
    watts = 10.0 ** ((shown - 30.0) / 10.0)
    return 1.0 / watts if kind == "reciprocal" else watts


def figures(wanted, found):
    said = []
    for name, want in wanted.items():
        got = found.get(name)
        if got is None:
            said.append(f"{name} is not there")
        elif want.linear is OPEN and not want.refused and got["state"] == "refused" and denominator_is_not_positive(name, found):
            # How a gap was filled among noise decides the sign of what stands below the line.
            continue
        else:
            said += [f"{name}: {text}" for text in figure(want, got)]
    return said


def denominator_is_not_positive(name, found):
    """True where the figure below the line of a ratio has no value itself."""
    below = {"polarisation_ratio": ("trp_phi", "tis_phi")}.get(name, ("trp", "tis") if name.endswith("_ratio") else ())
    return any(found[b]["state"] in ("not-above-zero", "zero") for b in below if b in found)


def figure(want, got):
    said = []
    if want.refused:
        return [] if got["state"] == "refused" and got["value"] is None else [f"{got['state']} {got['value']}, and should be refused"]
    if got["state"] == "refused":
        return ["refused, and should not be"]
    value = linear(want.kind, got["value"])
    ends = ("upper", "lower") if want.kind == "reciprocal" else ("lower", "upper")
    low, high = (linear(want.kind, got[end]) for end in ends)
    if value is not None and not (low is None or low <= value * (1 + RELATIVE)):
        said.append(f"lower bound {low} above the value {value}")
    if value is not None and not (high is None or value <= high * (1 + RELATIVE)):
        said.append(f"upper bound {high} below the value {value}")
    lower, upper = want.lower, want.upper
    if value is None and below_its_bound(want, got):
        lower = OPEN
    elif want.gives_way and value is not None:
        lower = lower if lower is OPEN or lower is None else min(lower, value)
        upper = upper if upper is OPEN or upper is None else max(upper, value)
    said += number("lower bound", lower, low, want.scale)
    said += number("upper bound", upper, high, want.scale)
    if want.linear is OPEN:
        return said
    said += number("value", want.linear, value, want.scale)
    slack = RELATIVE * abs(want.linear) + ROUNDING * want.scale
    states = {"value"} if want.linear > slack else {"not-above-zero"} if want.linear < -slack else {"value", "zero", "not-above-zero"}
    if got["state"] not in states:
        said.append(f"state {got['state']} of {want.linear}")
    if want.standard is not OPEN:
        said += uncertainty(want, got, *[linear(want.kind, got[f"interval_{end}"]) for end in ends])
    return said


def below_its_bound(want, got):
    """True where an estimate below zero takes the value of a figure below what was measured alone: its lower bound gives way."""
    if not want.gives_way or want.refused or want.lower is OPEN or want.lower is None or want.lower <= 0.0:
        return False
    value = linear(want.kind, got["value"])
    return got["state"] == "not-above-zero" or (value is not None and value < want.lower * (1 - RELATIVE))


def number(what, want, got, scale, slack=0.0):
    """A linear number that is there where it is above zero."""
    if want is OPEN:
        return []
    slack += ROUNDING * scale + RELATIVE * abs(want or 0.0)
    if want is None or want <= 0.0:
        gone = got is None or (want is not None and got <= want + slack)
        return [] if gone else [f"{what} {got}, and should not be there ({want})"]
    if got is None:
        return [] if want <= slack else [f"{what} is not there, and should be {want}"]
    return [] if abs(got - want) <= slack else [f"{what} {got!r} instead of {want!r}, off by {DB * np.log(got / want):.3g} dB"]


def uncertainty(want, got, low, high):
    u, lost = want.standard
    if u is None:
        return [] if low is None and high is None and got["standard_uncertainty_db"] is None else ["an interval without noise or gaps"]
    slack = COVERAGE_FACTOR * (RELATIVE * u + lost)
    said = number("end of the interval", want.linear - COVERAGE_FACTOR * u, low, want.scale, slack)
    said += number("end of the interval", want.linear + COVERAGE_FACTOR * u, high, want.scale, slack)
    if want.kind == "percent" or want.linear <= 0.0:
        return said
    relative, shown = u / want.linear, got["standard_uncertainty_db"]
    slack = 1e-9 * relative + (lost + ROUNDING * want.scale * relative) / want.linear
    if abs(relative - 0.25) <= slack:
        return said
    if (shown is None) != (relative >= 0.25):
        said.append(f"standard uncertainty {shown} dB of {DB * relative} dB")
    elif shown is not None and abs(shown - DB * relative) > DB * slack + 1e-12:
        said.append(f"standard uncertainty {shown!r} dB instead of {DB * relative!r} dB")
    return said


def directions(wanted, found, sphere):
    """A peak is where it is said to be; of equals any will do."""
    both, said = sphere.value.sum(0), []
    for name, want in wanted.items():
        got = found.get(name)
        if want.peak_of is None or got is None or got["value"] is None:
            continue
        inner = sphere.read.all(0)
        extreme = both[inner].max() if want.peak_of == "largest" else both[inner].min()
        if got["theta_deg"] is None:
            said.append(f"{name}: no direction")
            continue
        i = round(got["theta_deg"] * sphere.n / 180.0)
        j = round((got["phi_deg"] - sphere.start_deg) * sphere.m / 360.0) % sphere.m
        if abs(both[i, j] - extreme) > 1e-12 * np.abs(sphere.shown).sum(0).max():
            said.append(f"{name}: {got['theta_deg']}, {got['phi_deg']} deg has {both[i, j]}, and not {extreme}")
    return said


def noise(case, trp, shown, found):
    """TRP with the floor left in, and the bias 10 log10 of that over the TRP."""
    if case.floor_w is None:
        return [] if found is None else ["noise is told of without a floor"]
    if trp.refused or trp.linear is OPEN:
        return []
    if found is None:
        return ["nothing is told of noise"]
    said = number("shown", shown, linear("power", found["shown_dbm"]), trp.scale)
    if trp.linear > 1e-9 * trp.scale:
        bias, slack = DB * np.log(shown / trp.linear), 1e-9 + DB * ROUNDING * trp.scale / trp.linear
        if found["bias_db"] is None or abs(found["bias_db"] - bias) > slack:
            said.append(f"bias {found['bias_db']} dB instead of {bias} dB")
    return said
