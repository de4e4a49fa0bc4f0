"""A plan as JSON and back, exactly: so that a pass can be corrected on a later day."""

import json
from typing import Any

from cutfiles.errors import CutfilesError, FileError
from cutfiles.film.drawing import Drawing
from cutfiles.machine.cutter import Setting
from cutfiles.machine.endings import PLAN
from cutfiles.machine.passes import CutPlan, Mark, Pass
from cutfiles.machine.profile.read import cutter_from
from cutfiles.pattern.pattern import Note, Role, Stroke
from cutfiles.plane.shapes import Path, Point

FORM = "plan 2"


def plan_bytes(plan: CutPlan) -> bytes:
    """Return a plan as JSON: lengths in mm, exact; the same plan gives the same bytes."""
    data = {
        "form": FORM,
        "number": plan.number,
        "lot": plan.lot,
        "cutter_source": plan.cutter.source,
        "cutter": dict(plan.cutter.values),
        "settings": {
            role: {"power": s.power, "speed": s.speed, "force": s.force, "passes": s.passes}
            for role, s in plan.settings.items()
        },
        "sheet": _sheet(plan.drawing),
        "passes": [
            {
                "key": one.key,
                "face": one.face,
                "frame": one.frame,
                "frames": one.frames,
                "left": one.left,
                "bottom": one.bottom,
                "seconds": one.seconds,
                "travel": one.travel,
                "worked": one.worked,
                "marks": [[mark.name, *mark.at] for mark in one.marks],
                "sheet": _sheet(one.drawing),
            }
            for one in plan.passes
        ],
    }
    return (json.dumps(data, ensure_ascii=False, default=str) + "\n").encode()


def plan_from(data: bytes, name: str) -> CutPlan:
    """Return the plan in a plan file.

    Raises:
        FileError: it is none.

    """
    try:
        values = json.loads(data.decode("utf-8"))
        if values["form"] != FORM:
            raise ValueError
        return CutPlan(
            number=values["number"],
            lot=values["lot"],
            cutter=cutter_from(values["cutter"], values["cutter_source"]),
            settings={role: Setting(**s) for role, s in values["settings"].items()},
            drawing=_sheet_from(values["sheet"]),
            passes=tuple(_pass_from(one) for one in values["passes"]),
        )
    except CutfilesError:
        raise
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        raise FileError(
            "a file that is no plan",
            "a plan is written together with its passes, and not changed",
            f"name the file that ends in {PLAN}",
            name,
        ) from None


def _sheet(drawing: Drawing) -> dict[str, Any]:
    return {
        "title": drawing.title,
        "size": [drawing.width, drawing.height],
        "piece": list(drawing.piece),
        "gauge": drawing.gauge,
        "facts": [list(fact) for fact in drawing.facts],
        "notes": [[n.text, *n.at, n.height, n.upright] for n in drawing.notes],
        "strokes": [
            [
                [s.role, s.name, s.use, s.of, s.band, s.face],
                [s.path.closed, [list(p) for p in s.path.points], list(s.path.bulges)],
            ]
            for s in drawing.strokes
        ],
    }


def _sheet_from(values: dict[str, Any]) -> Drawing:
    return Drawing(
        title=values["title"],
        width=values["size"][0],
        height=values["size"][1],
        piece=(values["piece"][0], values["piece"][1]),
        gauge=values.get("gauge"),  # plans of earlier versions do not tell it
        facts=tuple((name, value) for name, value in values["facts"]),
        notes=tuple(Note(text, Point(x, y), h, up) for text, x, y, h, up in values["notes"]),
        strokes=tuple(
            Stroke(
                Role(role),
                name,
                Path(tuple(Point(*p) for p in points), tuple(bulges), closed),
                *where,
            )
            for (role, name, *where), (closed, points, bulges) in values["strokes"]
        ),
    )


def _pass_from(values: dict[str, Any]) -> Pass:
    return Pass(
        key=values["key"],
        face=values["face"],
        frame=values["frame"],
        frames=values["frames"],
        left=values["left"],
        bottom=values["bottom"],
        seconds=values["seconds"],
        travel=values["travel"],
        worked=values["worked"],
        marks=tuple(Mark(name, Point(x, y)) for name, x, y in values["marks"]),
        drawing=_sheet_from(values["sheet"]),
    )
