"""Writes PDF 1.7: one optional content group a role, with processing-step metadata.

The page is the drawing, MediaBox = TrimBox. Each step has its own Separation colour, overprinting.
Notes are drawn in our single-stroke letters, so no font is needed.

Source: ISO 32000-1 §8.11 (optional content), §8.6.6.4 (Separation); ISO 19593-1:2018 (processing
steps): the metadata is written per ISO 19593-1, no claim of conformance is made.
"""

import hashlib
import math
import zlib
from collections.abc import Mapping, Sequence
from itertools import pairwise

from cutfiles.dataclass import dataclass
from cutfiles.film.drawing import Drawing
from cutfiles.lengths import trimmed
from cutfiles.machine.score import Method, Side, role_face
from cutfiles.pattern.pattern import COLOURS, Role, Stroke
from cutfiles.plane.measure import point_along, sweep
from cutfiles.plane.shapes import Path, Segment
from cutfiles.support.contacts import Face

STEP = 0.0001
"""Finest step of a coordinate, mm."""
_NAMES = {role: role.value for role in Role}
POINTS_PER_MM = 72 / 25.4
STROKE_WIDTH = 0.1


@dataclass(frozen=True, slots=True)
class StepLayer:
    """One optional content group.

    Attributes:
        name: of the group, and of its colour.
        role: whose strokes it shows.
        group: processing-steps group of ISO 19593-1.
        type: processing-steps type, empty where the group takes none.

    """

    name: str
    role: Role
    group: str
    type: str = ""


PIN_LAYER = StepLayer("pin-holes", Role.HOLES, "Structural", "Punching")
_SCORES: dict[Method, str] = {
    "impress": "Creasing",
    "half-cut": "PartialCutting",
    "channel": "Creasing",
    "perforate": "Perforating",
}
"""What ISO 19593-1 calls the methods; from the face below it is the reverse of the same."""


Drawn = Mapping[str, Sequence[Stroke]]
"""The strokes on each layer, in order."""


def _layers(there: Drawn, method: Method, side: Side, face: Face) -> tuple[StepLayer, ...]:
    """Return the layers of a file whose sheet lies with this face up."""
    scores = []
    for role in (Role.VALLEY, Role.MOUNTAIN):
        below = role_face(role, method, side) not in (face, "either")
        type_ = ("Reverse" if below else "") + _SCORES[method]
        scores.append(StepLayer(role.value, role, "Structural", type_))
    guides = (
        StepLayer("guide", Role.GUIDE, "Dimensions"),
        StepLayer("guide-tape", Role.GUIDE, "Structural", "Gluing"),
    )
    return (
        *(layer for layer in guides if layer.name in there),
        StepLayer("registration", Role.REGISTRATION, "Legend"),
        StepLayer("label", Role.LABEL, "Legend"),
        *scores,
        *((PIN_LAYER,) if PIN_LAYER.name in there else ()),
        StepLayer("cut-holes", Role.HOLES, "Structural", "Cutting"),
        StepLayer("cut-outline", Role.OUTLINE, "Structural", "Cutting"),
    )


def write_pdf(
    drawing: Drawing, method: Method = "impress", side: Side = "by method", face: Face = "book"
) -> bytes:
    """Return the drawing, its notes drawn already, as a PDF of one page.

    Args:
        drawing: what to write.
        method: how the scores are made.
        side: where their groove lies.
        face: which face of the film is up.

    """
    drawn = _by_layer(drawing)
    layers = _layers(drawn, method, side, face)
    count = len(layers)
    groups = range(6, 6 + count)
    colours = range(6 + count, 6 + 2 * count)
    pairs = list(zip(layers, groups, strict=True))
    refs = " ".join(f"{n} 0 R" for n in groups)
    apart = " ".join(f"{n} 0 R" for layer, n in pairs if layer.role is Role.GUIDE)
    left_out = f"/AS [<< /Event /Print /Category [/Print] /OCGs [{apart}] >>] " if apart else ""
    named = " ".join(f"/L{i} {n} 0 R" for i, n in enumerate(groups))
    spaces = " ".join(f"/C{i} {n} 0 R" for i, n in enumerate(colours))
    box = (
        f"[0 0 {_number(drawing.width * POINTS_PER_MM)} {_number(drawing.height * POINTS_PER_MM)}]"
    )
    content = zlib.compress(_content(drawn, layers).encode("ascii"))
    objects: list[bytes] = [
        f"<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [{refs}] "
        f"/D << /Name (layers) /BaseState /ON /ON [{refs}] /Order [{refs}] "
        f"{left_out}>> >> >>".encode(),
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        f"<< /Type /Page /Parent 2 0 R /MediaBox {box} /TrimBox {box} /Contents 4 0 R "
        f"/Resources << /Properties << {named} >> /ColorSpace << {spaces} >> "
        f"/ExtGState << /G0 << /Type /ExtGState /OP true /op true /OPM 1 >> >> >> >>".encode(),
        f"<< /Length {len(content)} /Filter /FlateDecode >>\nstream\n".encode()
        + content
        + b"\nendstream",
        _info(drawing).encode("ascii"),
    ]
    objects += [_group(layer).encode("ascii") for layer, _ in pairs]
    objects += [_separation(layer).encode("ascii") for layer in layers]
    return _file(objects)


def _content(drawn: Drawn, layers: tuple[StepLayer, ...]) -> str:
    scale = f"{POINTS_PER_MM:.8f}"
    lines = ["q", f"{scale} 0 0 {scale} 0 0 cm", "/G0 gs", f"{STROKE_WIDTH} w", "1 J", "1 j"]
    for i, layer in enumerate(layers):
        lines += [f"/OC /L{i} BDC", f"/C{i} CS", "1 SCN"]
        for stroke in drawn.get(layer.name, ()):
            lines += _path(stroke.path)
        lines.append("EMC")
    lines.append("Q")
    return "\n".join(lines)


def _by_layer(drawing: Drawing) -> Drawn:
    drawn: dict[str, list[Stroke]] = {}
    for stroke in drawing.strokes:
        drawn.setdefault(layer_of(stroke), []).append(stroke)
    return drawn


def layer_of(stroke: Stroke) -> str:
    """Return the name of a stroke's layer: its role's, but tape and pin holes have their own."""
    if stroke.use == "tape":
        return "guide-tape"
    if stroke.role is Role.HOLES and stroke.use == "pin":
        return "pin-holes"
    return _NAMES[stroke.role]


def _path(path: Path) -> list[str]:
    places = [f"{trimmed(x, 4)} {trimmed(y, 4)}" for x, y in path.points]
    if path.is_straight:
        lines = [f"{place} l" for place in places[1:]]
    else:
        lines = []
        ends = (*places[1:], "" if path.bulges[-1] == 0 else places[0])
        for segment, end in zip(path.segments(), ends, strict=False):
            if segment.bulge:
                lines += _arc(segment)
            elif end:  # a straight end of what is closed is drawn by closing it
                lines.append(f"{end} l")
    return [f"{places[0]} m", *lines, "s" if path.closed else "S"]


def _arc(segment: Segment) -> list[str]:
    """Return an arc as Bézier curves of at most a quarter turn each."""
    whole = sweep(segment)
    count = max(1, math.ceil(abs(whole) / (math.pi / 2) - 1e-9))
    places = [point_along(segment, i / count) for i in range(count + 1)]
    bulge = math.tan(whole / count / 4)
    turn = 4 * math.atan(bulge) / 2
    cos, sin = math.cos(turn), math.sin(turn)
    lines = []
    for (ax, ay), (bx, by) in pairwise(places):
        # control points: tangents of length 4/3·tan(sweep/4)·radius
        chord = math.hypot(bx - ax, by - ay)
        reach = 4 / 3 * bulge * chord / (2 * math.sin(turn))
        ux, uy = (bx - ax) / chord, (by - ay) / chord
        c1 = (ax + reach * (ux * cos + uy * sin), ay + reach * (uy * cos - ux * sin))
        c2 = (bx - reach * (ux * cos - uy * sin), by - reach * (uy * cos + ux * sin))
        numbers = " ".join(_number(v) for v in (*c1, *c2, bx, by))
        lines.append(f"{numbers} c")
    return lines


def _group(layer: StepLayer) -> str:
    type_ = f" /GTS_ProcStepsType /{layer.type}" if layer.type else ""
    usage = "/Usage << /Print << /PrintState /OFF >> >> " if layer.role is Role.GUIDE else ""
    return (
        f"<< /Type /OCG /Name ({layer.name}) {usage}"
        f"/GTS_Metadata << /GTS_ProcStepsGroup /{layer.group}{type_} >> >>"
    )


def _separation(layer: StepLayer) -> str:
    """Return a colour space of its own for a step, shown in the role's colour."""
    red, green, blue = (int(COLOURS[layer.role][i : i + 2], 16) / 255 for i in (1, 3, 5))
    black = 1 - max(red, green, blue)
    inks = (
        [0.0, 0.0, 0.0]
        if black == 1
        else [(1 - part - black) / (1 - black) for part in (red, green, blue)]
    )
    full = " ".join(_number(ink) for ink in (*inks, black))
    return (
        f"[/Separation /{layer.name} /DeviceCMYK << /FunctionType 2 /Domain [0 1] "
        f"/C0 [0 0 0 0] /C1 [{full}] /N 1 >>]"
    )


def _info(drawing: Drawing) -> str:
    facts = "\n".join(f"{name}: {value}" for name, value in drawing.facts)
    maker = dict(drawing.facts).get("made by", "cutfiles")
    return (
        f"<< /Title {_text(drawing.title)} /Subject {_text(facts)} /Creator {_text(maker)} "
        f"/Producer {_text(maker)} >>"
    )


def _text(text: str) -> str:
    """Return a text string in hexadecimal, so that nothing in it can end or open anything.

    One byte a sign where it is ASCII, as most facts are, else UTF-16 (ISO 32000-1 §7.9.2.2).
    """
    coded = text.encode() if text.isascii() else b"\xfe\xff" + text.encode("utf-16-be")
    return f"<{coded.hex().upper()}>"


def _file(objects: list[bytes]) -> bytes:
    """Return header, objects, cross-reference table and trailer."""
    out = bytearray(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
    places = []
    for i, body in enumerate(objects, start=1):
        places.append(len(out))
        out += f"{i} 0 obj\n".encode() + body + b"\nendobj\n"
    start, size = len(out), len(objects) + 1
    out += f"xref\n0 {size}\n0000000000 65535 f \n".encode()
    out += b"".join(f"{place:010d} 00000 n \n".encode() for place in places)
    mark = hashlib.md5(bytes(out), usedforsecurity=False).hexdigest().upper()
    out += (
        f"trailer\n<< /Size {size} /Root 1 0 R /Info 5 0 R /ID [<{mark}> <{mark}>] >>\n"
        f"startxref\n{start}\n%%EOF\n"
    ).encode()
    return bytes(out)


def _number(value: float) -> str:
    """Return a number with at most four decimals, without idle zeros."""
    return trimmed(value, 4)
