"""Writes HP-GL: absolute, whole units of 0.025 mm, one command a line, roles by pen.

Source of the unit and of the comment command CO: Hewlett-Packard, PCL 5 Printer Language Technical
Reference Manual, HP-GL/2 part.
"""

from collections.abc import Mapping

from cutfiles.film.drawing import Drawing
from cutfiles.machine.cutter import Setting
from cutfiles.machine.passes import setting_of
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import chords
from cutfiles.plane.shapes import Path

STEP = 0.025
"""One unit, mm."""
CHORD = 0.01
"""Arcs become chords no further off than this, mm."""
MOST_POINTS = 500
"""Points in one command at the most."""


def write_hpgl(
    drawing: Drawing, pens: Mapping[str, int], settings: Mapping[str, Setting] | None = None
) -> bytes:
    """Return the drawing as HP-GL.

    Args:
        drawing: what to write, without guides.
        pens: roles to pens 1–8; a role without a pen is left out.
        settings: roles or names of strokes to force and speed; without them the machine's own.

    """
    lines = [
        "IN;",
        *(f'CO "{_comment(name)}: {_comment(value)}";' for name, value in drawing.facts),
    ]
    pen, set_to = 0, ""
    for stroke in drawing.strokes:
        wanted = pens.get(stroke.role, 0)
        if stroke.role is Role.GUIDE or not wanted:
            continue
        if wanted != pen:
            lines += ["PU;", f"SP{wanted};"] if pen else [f"SP{wanted};"]
            pen = wanted
        order = _setting(setting_of(stroke, settings or {}))
        if order != set_to:
            lines += ["PU;", *order.split()] if order else []
            set_to = order
        lines += _path(stroke.path)
    lines += ["PU;", "SP0;"]
    return ("\n".join(lines) + "\n").encode("ascii")


def _setting(setting: Setting) -> str:
    """Return force FS (as the machine counts it) and speed VS (cm/s), as far as they are set."""
    force = "" if setting.force is None else f"FS{setting.force:g};"
    speed = "" if setting.speed is None else f"VS{round(setting.speed / 10, 1):g};"
    return f"{force} {speed}".strip()


def _path(path: Path) -> list[str]:
    """Return a move to the start, then lines through all points, in whole units."""
    units = [(_units(x), _units(y)) for x, y in chords(path, CHORD)]
    if path.closed:
        units.append(units[0])
    lines = [f"PU{units[0][0]},{units[0][1]};"]
    rest = units[1:]
    for i in range(0, len(rest), MOST_POINTS):
        run = ",".join(f"{x},{y}" for x, y in rest[i : i + MOST_POINTS])
        lines.append(f"PD{run};")
    return lines


def _units(mm: float) -> int:
    return round(mm / STEP)


def _comment(text: str) -> str:
    r"""Return text that cannot end a comment: plain ASCII, the rest as \u escapes."""
    return "".join(
        c if c.isascii() and c.isprintable() and c not in ';"\\' else f"\\u{ord(c):04x}"
        for c in text
    )
