"""A made support as a short table for people, and as data for programs."""

import math
from typing import Any

from cutfiles.draft import Draft
from cutfiles.files.made import File, Made
from cutfiles.files.record import MARKS
from cutfiles.lengths import Lengths
from cutfiles.pattern.pattern import Pattern
from cutfiles.report.printed.cards import CARDS
from cutfiles.report.text.check import most_lines, note_lines, verdict_lines
from cutfiles.words.bench import panel_text
from cutfiles.words.cautions import cautions
from cutfiles.words.verdict import finding_data, verdict_data


def made_data(made: Made, folder: str = "") -> dict[str, Any]:
    """Return a made support as data, lengths in mm, angles in degrees.

    Keys: number, title, units (of the slip), kind, panels_mm [{name, length}], creases [{name,
    position_mm, angle_deg, direction}] (position on the book face from the left end of the strip,
    angle signed, valley positive), long_folds [{name, position_mm, angle_deg, direction}] (from the
    tail edge), piece_mm [length, breadth], film_area_mm2, layers, gauge_mm, folded
    [{rule, place, found, meant}] (of the support that the cut files fold into), files [{path,
    format, sha256, verified}] (verified is null for pictures and sheets), findings [{rule, place,
    message, measured, limit, severity}], verdict (see `verdict_data`), cautions [{rule, message}];
    with a cutter also plan {cutter, seconds, passes [...]}.
    """
    draft = made.draft
    planned: dict[str, Any] = {}
    if made.plan is not None:
        from cutfiles.report.text.plan import plan_data

        planned["plan"] = plan_data(made.plan)
    return {
        **support_data(draft),
        "folded": [
            {"rule": m.rule, "place": m.place, "found": _um(m.found), "meant": _um(m.meant)}
            for m in made.measures
        ],
        "files": [_file_data(file, folder) for file in made.files],
        "findings": [finding_data(finding) for finding in made.findings],
        "verdict": verdict_data(draft.verdict, draft.support),
        "cautions": [
            {"rule": one.rule, "message": one.text} for one in cautions(draft.slip, made.machine)
        ],
        **planned,
    }


def support_data(draft: Draft) -> dict[str, Any]:
    """Return a support and its strip as data: those of `made_data` that no file is needed for."""
    pattern, film = draft.pattern, draft.support.film
    return {
        "number": draft.slip.book.number,
        "title": draft.slip.book.title,
        "units": draft.slip.units,
        "kind": draft.support.kind,
        "panels_mm": [{"name": p.name, "length": _mm(p.length)} for p in pattern.panels],
        "creases": [
            _fold_data(crease.name, crease.position, math.degrees(crease.angle), crease.direction)
            for crease in pattern.creases
        ],
        "long_folds": [
            _fold_data(f"{which} long fold", y, -180.0, "mountain")
            for which, y in zip(("inner", "outer"), pattern.long_folds, strict=False)
        ],
        "piece_mm": [_mm(pattern.box.width), _mm(pattern.box.height)],
        "film_area_mm2": round(_area(pattern), 1),
        "layers": film.layers,
        "gauge_mm": round(film.gauge, 4),
    }


def _fold_data(name: str, position: float, degrees: float, direction: str) -> dict[str, Any]:
    return {
        "name": name,
        "position_mm": _mm(position),
        "angle_deg": round(degrees, 4),
        "direction": direction,
    }


def _file_data(file: File, folder: str) -> dict[str, Any]:
    return file.entry | ({"path": f"{folder}/{file.name}"} if folder else {})


def _area(pattern: Pattern) -> float:
    """Return the rectangles that strip and posts are cut from, mm²."""
    return math.fsum(one.box.width * one.box.height for one in (pattern, *pattern.posts))


def _posts_line(pattern: Pattern, says: Lengths) -> tuple[str, ...]:
    posts = pattern.posts
    if not posts:
        return ()
    heights = dict.fromkeys((one.name.rpartition(" ")[0], one.box.height) for one in posts)
    high = ", ".join(f"{leg} {says.short(height)}" for leg, height in heights)
    return (f"  posts      {len(posts)}, {says.short(posts[0].box.width)} broad; {high} high",)


def made_table(made: Made) -> str:
    """Return a short table: verdict, panels, creases, sheet, film, files, findings, cautions."""
    draft = made.draft
    pattern, says, film = draft.pattern, Lengths(draft.slip.units), draft.support.film
    box = pattern.box
    layers = "1 layer" if film.layers == 1 else "3 layers"
    panels = [f"{panel_text(panel)} {says.short(panel.length)}" for panel in pattern.panels]
    lines = [
        draft.drawing.title,
        *verdict_lines(draft.verdict, draft.slip),
        f"  kind       {draft.support.kind}",
        f"  piece      {says.both(box.width)} long, {says.both(box.height)} broad; "
        f"{_area(pattern) / 100:.0f} cm² of film {film.gauge_text}, {layers}",
        *_posts_line(pattern, says),
        f"  panels     {', '.join(panels)}",
        f"             mm{' (inches)' if says.inches else ''}, from left to right",
        "  creases    " + f"{'':<14}from left    fold",
    ]
    for crease in pattern.creases:
        degrees = math.degrees(abs(crease.angle))
        lines.append(
            f"    {crease.letter}        {crease.name:<14}{says.short(crease.position):>9}"
            f"{degrees:>8.1f}°  {crease.direction}"
        )
    if made.measures:
        shape = [
            f"{m.place} {says.short(m.found)}"
            for m in made.measures
            if m.rule in ("height", "width")
        ]
        lines.append("  folds      into its support: " + ", ".join(shape))
    for file in made.files:
        lines.append(file_line(file))
    if made.plan is not None:
        from cutfiles.report.text.plan import plan_table

        lines.append(plan_table(made.plan))
    lines += note_lines(made.findings)
    lines += most_lines(draft)
    lines += [f"  beware     {one.text}" for one in cautions(draft.slip, made.machine)]
    return "\n".join(lines)


def file_line(file: File) -> str:
    """Return the line that names a file and says what it is: verified, to print, a picture."""
    printed = file.format in CARDS or file.format.endswith("-card")
    state = "to fill in" if file.format == MARKS else "to print" if printed else "picture"
    return f"  {'verified' if file.verified else state:<10} {file.name}"


def _um(length: float) -> float:
    """Round to a micrometre; what is nothing has no sign."""
    return round(length, 3) + 0.0


def _mm(length: float) -> float:
    """Round to a tenth of a micrometre: what is beyond is noise of the computation."""
    return round(length, 4)
