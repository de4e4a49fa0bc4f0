"""Writes G-code for lasers: the beam is on only while it moves along a path, never in travel.

Absolute mm, arcs as chords. The command that arms the beam says S0; the power stands on the line
that moves, so that the beam does not burn where it stands, with constant power neither.

Source: NIST, The NIST RS274NGC Interpreter, version 3 (NISTIR 6556; from memory).
"""

from collections.abc import Mapping

from cutfiles.errors import FormatError
from cutfiles.film.drawing import Drawing
from cutfiles.lengths import trimmed
from cutfiles.machine.cutter import Beam, Setting
from cutfiles.machine.passes import setting_of
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import chords

CHORD = 0.003
"""Arcs become chords no further off than this, mm."""
LONGEST_LINE = 256
"""Characters in a line at the most."""


def write_gcode(
    drawing: Drawing,
    settings: Mapping[str, Setting],
    power_range: float = 1000.0,
    beam: Beam = "M4",
) -> bytes:
    """Return the drawing as G-code.

    Args:
        drawing: what to write, without guides.
        settings: roles or names of strokes to power (per cent) and speed (mm/s).
        power_range: what full power is.
        beam: the command that arms the beam.

    Raises:
        FormatError: a stroke has no power or speed: there is no usual one.

    """
    lines = [_comment(f"{name}: {value}") for name, value in drawing.facts]
    lines += ["G21", "G90", "G94", "G17", "M5 S0"]
    for stroke in drawing.strokes:
        if stroke.role is Role.GUIDE:
            continue
        power, feed = _power_and_feed(stroke, settings, power_range)
        places = [(_number(x), _number(y)) for x, y in chords(stroke.path, CHORD)]
        if stroke.path.closed:
            places.append(places[0])
        (x, y), *rest = places
        lines += [f"(role {stroke.role})", f"G0 X{x} Y{y} S0", f"{beam} S0"]
        for i, (x, y) in enumerate(rest):
            lines.append(f"G1 X{x} Y{y}" + (f" F{feed:g} S{power:g}" if i == 0 else ""))
        lines.append("M5 S0")
    lines += ["M5 S0", "G0 X0 Y0", "M2"]
    return ("\n".join(lines) + "\n").encode("ascii")


def _power_and_feed(
    stroke: Stroke, settings: Mapping[str, Setting], power_range: float
) -> tuple[float, float]:
    """Return S, and F in mm/min."""
    setting = setting_of(stroke, settings)
    if setting.power is None or setting.speed is None:
        lacking = "power" if setting.power is None else "speed"
        raise FormatError(
            f"no {lacking} for {stroke.role}",
            "G-code sets the beam's power and speed, and there are no usual ones",
            "cut a coupon, then add a [[material]] for this gauge to the cutter profile",
            "gcode",
        )
    return round(setting.power / 100 * power_range, 1), round(setting.speed * 60, 1)


def _comment(text: str) -> str:
    r"""Return a comment that nothing in it can end: plain ASCII, the rest as \u escapes."""
    plain = "".join(
        c if c.isascii() and c.isprintable() and c not in "()\\;%" else f"\\u{ord(c):04x}"
        for c in text
    )
    if len(plain) > LONGEST_LINE - 2:
        raise FormatError(
            f'a statement of {len(plain)} characters, "{text[:30]}…"',
            f"a line of G-code has at most {LONGEST_LINE} characters",
            "shorten the number",
            "gcode",
        )
    return f"({plain})"


def _number(value: float) -> str:
    """Return a coordinate, rounded once, without idle zeros."""
    return trimmed(value, 3)
