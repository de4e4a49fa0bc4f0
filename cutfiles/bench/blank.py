"""Writes a slip: blank and commented, or filled with what is known."""

from collections.abc import Mapping

from cutfiles.bench.fields import MEASURES, SETTINGS
from cutfiles.tables.field import Field
from cutfiles.units import Units

_HEAD = """\
# Measuring slip for one book at one opening.
# Left and right are as one looks at the open pages. Measure at that opening, twice.
# Write a measure as you read it: "203 mm", "20,3 cm", '5 1/4"', "5¼ in"; a bare number counts
# in the slip's units. Leave a field empty if it was not measured.
"""
_BEFORE = {
    "height": "\n# The book.",
    "spine_width": "\n# The spine: one of the two.",
    "left_rise": "\n# How far it opens by itself: two rises, or two slopes, or the opening angle.",
    "left_joint": "\n# Where the joints stand, if not level; one on the table.",
    "left_slope": "\n# Instead of rises.",
    "spine_tilt": "\n# Instead of joints; and to check the others.",
    "left_side": "\n# Worth knowing, not needed; without a weight a heavy book is assumed.",
    "case_depth": "\n# What is free inside the case.",
}
_SUPPORT = """
# What the support is made of and its settings; take away the # to change one.
[support]"""


def blank_slip(units: Units = "mm", values: Mapping[str, str] | None = None) -> str:
    """Return a commented TOML slip.

    Args:
        units: what bare numbers count in.
        values: field paths (``height``, ``support.gauge``) to texts that are known already.

    """
    known = {"units": units, **(values or {})}
    lines = [_HEAD]
    for one in MEASURES:
        if one.name in _BEFORE:
            lines.append(_BEFORE[one.name])
        lines.append(_line(one.name, known.get(one.name, ""), _about(one)))
    lines.append(_SUPPORT)
    for one in SETTINGS:
        if one.path in known:
            lines.append(_line(one.name, known[one.path], _about(one)))
        else:
            lines.append("# " + _line(one.name, one.usual, _about(one)))
    return "\n".join(lines) + "\n"


def _line(name: str, value: str, about: str) -> str:
    return f"{name} = {quoted(value)}".ljust(30) + f"  # {about}"


def _about(one: Field) -> str:
    example = one.example if one.kind != "choice" else " or ".join(one.choices)
    shown = example and (one.kind == "choice" or not one.usual)
    return f"{one.help} ({example})" if shown else one.help


def quoted(text: str) -> str:
    """Return a TOML string that reads back as the text.

    >>> print(quoted('5 1/4"'), quoted("5 mm"))
    '5 1/4"' "5 mm"
    """
    if '"' in text and "'" not in text and text.isprintable():
        return f"'{text}'"
    return quoted_key(text)


def quoted_key(text: str) -> str:
    """Return a TOML key, or a string, that reads back as the text."""
    out = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08X}" for c in out) + '"'
