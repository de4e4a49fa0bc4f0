"""Opens a DXF as any program may save it, by ezdxf and its path tools.

Lines, polylines with bulges, arcs, circles, ellipses and splines are flattened, blocks taken apart;
texts, dimensions, hatches and all else are named and left alone.
"""

import io
from collections.abc import Iterator, Sequence
from typing import Any

from cutfiles.edits.arcs import FLAT, smooth
from cutfiles.edits.limits import (
    MOST_LETTERS,
    MOST_ROWS,
    Budget,
    check_places,
    damage_told,
    refusal,
    too_much,
)
from cutfiles.edits.line import LeftAlone, Line, Opened, facts_of_text
from cutfiles.film.drawing import BETWEEN

_CURVES = frozenset(
    {"LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "HELIX"}
)
_TEXTS = frozenset({"TEXT", "MTEXT", "ATTRIB", "ATTDEF"})
_MM = {0: 1.0, 1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 13: 0.001, 14: 100.0}
"""Millimetres to each drawing unit that ``$INSUNITS`` names (DXF Reference, from memory)."""
_UNITS = {0: "no unit", 1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}


def open_dxf(data: bytes, times: float = 1.0) -> Opened:
    """Return what a DXF holds, so many times as large as it states.

    Raises:
        FileError: it is no DXF in text form, or holds more than is read.

    """
    if data.startswith(b"AutoCAD Binary DXF"):
        raise refusal("a DXF in binary form", "a DXF in text form is needed")
    with damage_told("a DXF", "ezdxf"):
        document = _document(data)
        newer = document.dxfversion > "AC1009"
        unit = int(document.header.get("$INSUNITS", 0)) if newer else 0
        walk = _Walk(document, _MM.get(unit, 1.0) * times)
        for entity in document.modelspace():
            walk.entity(entity, None, 0)
    return Opened(
        form="DXF",
        lines=tuple(walk.lines),
        left=tuple(walk.left),
        facts=facts_of_text("\n".join(walk.said).replace(BETWEEN, "\n")) | _comments(data),
        unit=_UNITS.get(unit, "no unit"),
    )


def _document(data: bytes) -> Any:
    """Return the document: as it stands, else with what is damaged put right."""
    from ezdxf import recover
    from ezdxf.filemanagement import read

    if data.count(b"\n") > MOST_ROWS:
        raise too_much("lines of text", MOST_ROWS)
    try:
        return read(io.StringIO(data.decode("utf-8", errors="surrogateescape")))
    except Exception:  # ezdxf raises its own errors and any other on damage
        document, _ = recover.read(io.BytesIO(data))
        return document


def _comments(data: bytes) -> dict[str, str]:
    """Return the statements in the comments before the first section."""
    head = data[:20_000].decode("utf-8", errors="replace").splitlines()
    found = []
    for code, value in zip(head[::2], head[1::2], strict=False):
        if code.strip() != "999":
            break
        found.append(value)
    return facts_of_text("\n".join(found))


class _Walk:
    """Collects the lines of a document, counting all it does."""

    def __init__(self, document: Any, to_mm: float) -> None:
        self.document, self.to_mm, self.budget = document, to_mm, Budget()
        self.lines: list[Line] = []
        self.left: list[LeftAlone] = []
        self.said: list[str] = []

    def entity(self, entity: Any, within: Any, depth: int) -> None:
        """Collect one entity; `within` is the block reference it was taken out of."""
        self.budget.node(depth)
        kind = entity.dxftype()
        layer = str(entity.dxf.get("layer", "0"))[:MOST_LETTERS]
        if within is not None and layer == "0":
            layer = str(within.dxf.get("layer", "0"))
        if kind == "INSERT":
            for one in self._contents(entity):
                self.entity(one, entity, depth + 1)
        elif kind in _CURVES:
            self._curve(entity, within, layer)
        elif kind in _TEXTS:
            text = str(entity.plain_text() if kind == "MTEXT" else entity.dxf.get("text", ""))
            self.said.append(text[:MOST_LETTERS])
            self.left.append(LeftAlone(what="text", layer=layer, text=text[:200]))
        elif kind not in ("POINT", "VIEWPORT", "SEQEND"):
            self.left.append(LeftAlone(what=f"a {kind}", layer=layer))

    def _contents(self, reference: Any) -> Iterator[Any]:
        """Yield what a block reference shows, each of its copies counted."""
        block = self.document.blocks.get(reference.dxf.name)
        if block is None:
            return
        many = max(1, int(reference.mcount)) * len(block)
        if many > 20_000:
            raise refusal(f"a block shown {many:,} times over", "a cut file holds few blocks")
        if reference.mcount > 1:
            for one in reference.multi_insert():
                yield from one.virtual_entities()
        else:
            yield from reference.virtual_entities()

    def _curve(self, entity: Any, within: Any, layer: str) -> None:
        from ezdxf.path import make_path

        if (
            entity.dxftype() == "POLYLINE"
            and not entity.is_2d_polyline
            and not getattr(entity, "is_3d_polyline", False)
        ):
            self.left.append(LeftAlone(what="a mesh", layer=layer))
            return
        path = make_path(entity)
        points = [] if not path.has_lines and not path.has_curves else self._places(path)
        closed = bool(getattr(entity, "closed", False) or getattr(entity, "is_closed", False))
        shape = smooth(points, closed or entity.dxftype() == "CIRCLE") if points else None
        if shape is None:
            return
        self.budget.line()
        known = self.document.layers
        own = known.get(layer) if layer in known else None
        off = own is not None and (own.is_off() or own.is_frozen())
        linetype = str(entity.dxf.get("linetype", "BYLAYER")).upper()
        if linetype == "BYLAYER" and own is not None:
            linetype = str(own.dxf.get("linetype", "CONTINUOUS")).upper()
        self.lines.append(
            Line(
                path=shape,
                names=(layer,),
                layer=layer,
                colour=self._colour(entity, within, own),
                dashed=linetype not in ("CONTINUOUS", "BYLAYER", "BYBLOCK", ""),
                hidden=bool(off or entity.dxf.get("invisible", 0)),
            )
        )

    def _places(self, path: Any) -> list[tuple[float, float]]:
        points = []
        for place in path.flattening(FLAT / self.to_mm, segments=4):
            x, y = place.x * self.to_mm, place.y * self.to_mm
            check_places([(x, y)])
            points.append((x, y))
            self.budget.more_points(1)
        return points

    def _colour(self, entity: Any, within: Any, layer: Any) -> str:
        """Return an entity's colour: true, by index, its block's or its layer's."""
        from ezdxf.colors import aci2rgb

        if entity.rgb is not None:
            return _hexed(entity.rgb)
        index = int(entity.dxf.get("color", 256))
        if index == 0 and within is not None:
            index = int(within.dxf.get("color", 256))
        if index in (0, 256):
            if layer is None:
                return "#000000"
            if layer.rgb is not None:
                return _hexed(layer.rgb)
            index = abs(int(layer.dxf.get("color", 7)))
        if index == 7:
            return "#000000"
        return _hexed(aci2rgb(index))


def _hexed(levels: Sequence[int]) -> str:
    return "#{:02X}{:02X}{:02X}".format(*levels)
