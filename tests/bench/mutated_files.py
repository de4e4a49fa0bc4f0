"""Files of every kind, held so that shapes are drawn into them and damage is done to them by seed.

Each class holds one file's text and knows how to draw a shape into it (`draw`) and how to do it
damage as a program or a disk would (`hurt`); `data` is the file.
"""

import gzip
import json
import re
from pathlib import Path as File

import save_edits
from mutated_pdf import Pdf, unpacked
from mutations import changed
from save_edits import made

SAVED = File(__file__).parent.parent / "edits"


class Svg:
    """An SVG, its text as it stands."""

    def __init__(self, text, height):
        self.text, self.height = text, height

    @property
    def data(self):
        return self.text.encode("utf-8", "surrogatepass")

    def draw(self, shape, dice):
        x, top, w, h = shape.x, self.height - shape.y, shape.w, shape.h
        bends = f"q {w / 2} {-h} {w} 0 t {w} 0 s 3 4 5 6 a 4 3 20 1 0 5 5"
        body = {
            "rect": f'rect x="{x}" y="{top - h}" width="{w}" height="{h}" rx="{min(w, h) / 4}"',
            "circle": f'circle cx="{x}" cy="{top}" r="{w / 2}"',
            "line": f'path d="M {x} {top} l {w} {-h}"',
            "bow": f'path d="M {x} {top} l {w} {-h} v {h} l {-w} {-h} Z"',
            "curve": f'path d="M {x} {top} {bends}"',
        }[shape.kind]
        group = f'<g id="{shape.layer}" fill="none" stroke="#000000"><{body}/></g></svg>'
        self.text = self.text.replace("</svg>", group)

    def hurt(self, dice):
        dice.pick((self._number, self._drop, self._move))(dice)

    def _number(self, dice):
        found = list(re.finditer(r"-?\d+\.?\d*", self.text))
        self.text = changed(self.text, dice.pick(found), dice.value()) if found else self.text

    def _drop(self, dice):
        what = (r"<path[^>]*/>", r' id="[^"]*"', r' stroke="[^"]*"', r"<g[^>]*>", r".{40}")
        found = list(re.finditer(dice.pick(what), self.text))
        self.text = changed(self.text, dice.pick(found), "") if found else self.text

    def _move(self, dice):
        how = ("translate(3,1)", "rotate(7)", "scale(-1,1)", "scale(0)", "skewX(20)")
        found = list(re.finditer("<path", self.text))
        if found:
            new = f'<path transform="{dice.pick(how)}"'
            self.text = changed(self.text, dice.pick(found), new)


class Dxf:
    """A DXF as its pairs of code and value; an entity begins with each code 0."""

    def __init__(self, text):
        lines = text.splitlines()
        self.pairs = list(zip(map(str.strip, lines[::2]), lines[1::2], strict=False))
        self.newer = ("1", "AC1009") not in self.pairs

    @property
    def data(self):
        lines = "".join(f"{code}\n{value}\n" for code, value in self.pairs)
        return lines.encode("cp1252", "replace")

    def draw(self, shape, dice):
        if ("2", "ENTITIES") in self.pairs:
            begun = self.pairs.index(("2", "ENTITIES"))
            end = self.pairs.index(("0", "ENDSEC"), begun)
            self.pairs[end:end] = [(str(code), str(value)) for code, value in self._entity(shape)]

    def _entity(self, shape):
        if shape.kind == "circle":
            return self._head("CIRCLE", shape, "AcDbCircle", *xy(10, shape), (40, shape.w / 2))
        if shape.kind == "line":
            start, end = shape.places
            return self._head("LINE", shape, "AcDbLine", *pair(10, start), *pair(11, end))
        if shape.kind == "curve":
            return self._curve(shape)
        corners = shape.rounded if shape.kind == "rect" else [(*p, 0.0) for p in shape.places]
        if self.newer:
            places = [one for x, y, b in corners for one in (*pair(10, (x, y)), (42, b))]
            body = [(90, len(corners)), (70, 1), *places]
            return self._head("LWPOLYLINE", shape, "AcDbPolyline", *body)
        head = [(0, "VERTEX"), (8, self._layer(shape))]
        vertices = [one for x, y, b in corners for one in (*head, *pair(10, (x, y)), (42, b))]
        ended = [(0, "SEQEND"), (8, self._layer(shape))]
        return [*self._head("POLYLINE", shape, "", (66, 1), (70, 1)), *vertices, *ended]

    def _curve(self, shape):
        if not self.newer:
            body = (*xy(10, shape), (40, shape.w / 2))
            return self._head("ARC", shape, "AcDbCircle", *body, (50, 20), (51, 250))
        (x, y), (w, h) = (shape.x, shape.y), (shape.w, shape.h)
        controls = [(x, y), (x + w / 2, y + h), (x + w, y - h), (x + 2 * w, y)]
        body = [(70, 8), (71, 3), (72, 8), (73, 4), *[(40, k) for k in (0,) * 4 + (1,) * 4]]
        places = [one for place in controls for one in pair(10, place)]
        return self._head("SPLINE", shape, "AcDbSpline", *body, *places)

    def _layer(self, shape):
        return shape.layer.upper().replace("-", "_")

    def _head(self, kind, shape, subclass, *body):
        layer = (8, self._layer(shape))
        if not self.newer:
            return [(0, kind), layer, *body]
        return [(0, kind), (5, "FE01"), (100, "AcDbEntity"), layer, (100, subclass), *body]

    def hurt(self, dice):
        dice.pick((self._value, self._code, self._drop, self._entities, self._unit))(dice)

    def _value(self, dice):
        at = dice.index(len(self.pairs))
        self.pairs[at] = (self.pairs[at][0], dice.value())

    def _code(self, dice):
        at = dice.index(len(self.pairs))
        new = str(dice.pick((-5, 0, 8, 10, 40, 42, 66, 70, 100, 330, 999, 1001, 1071, 5000)))
        self.pairs[at] = (new, self.pairs[at][1])

    def _drop(self, dice):
        at = dice.index(len(self.pairs))
        del self.pairs[at : at + dice.pick((1, 1, 2, 7, 60))]
        self.pairs = self.pairs or [("0", "EOF")]

    def _entities(self, dice):
        """Leave an entity out, write it twice, or put another in its place."""
        starts = [i for i, one in enumerate(self.pairs) if one[0] == "0"] or [0]
        at = dice.index(len(starts))
        ends = [*starts[1:], len(self.pairs)]
        other = dice.index(len(starts))
        one, two = (slice(starts[i], ends[i]) for i in (at, other))
        new = dice.pick(([], self.pairs[one] * 2, self.pairs[two]))
        self.pairs[one] = new

    def _unit(self, dice):
        if ("9", "$INSUNITS") in self.pairs:
            at = self.pairs.index(("9", "$INSUNITS")) + 1
            self.pairs[at : at + 1] = [("70", dice.pick(("0", "1", "5", "6", "13", "99")))]


def pair(code, place):
    """A place as a DXF's pairs."""
    return [(code, place[0]), (code + 10, place[1])]


def xy(code, shape):
    return pair(code, (shape.x, shape.y))


class Hpgl:
    """An HP-GL file as its commands."""

    def __init__(self, text):
        self.commands = text.split("\n")

    @property
    def data(self):
        return "\n".join(self.commands).encode("utf-8", "surrogatepass")

    def draw(self, shape, dice):
        first, *rest = [(round(40 * x), round(40 * y)) for x, y in shape.places]
        ways = ",".join(f"{x},{y}" for x, y in rest)
        pen = f"SP{1 + dice.index(4)};"
        self.commands[-3:-3] = [pen, f"PU{first[0]},{first[1]};", f"PD{ways};", "PU;"]

    def hurt(self, dice):
        at = dice.index(len(self.commands))
        how = dice.index(4)
        if how == 0:
            found = list(re.finditer(r"-?\d+", self.commands[at]))
            if found:
                value = dice.pick((dice.value(), "9" * 4000, "-32768"))
                self.commands[at] = changed(self.commands[at], dice.pick(found), value)
        elif how == 1:
            del self.commands[at : at + dice.pick((1, 2, 30))]
        elif how == 2:
            other = ('CO "\\ud800: \\udfff";', "SP0;", "PA;", "PU5;", "XX1;", "PD;")
            self.commands[at] = dice.pick(other)
        else:
            self.commands[at:at] = [self.commands[at]] * dice.pick((1, 500))
        self.commands = self.commands or [""]


class Fold:
    """A FOLD file as its document."""

    def __init__(self, text):
        self.document = json.loads(text)

    @property
    def data(self):
        return json.dumps(self.document).encode()

    def draw(self, shape, dice):
        (x, y), (u, v) = shape.places[0], shape.places[-1]
        frame = self.document
        count = len(frame["vertices_coords"])
        frame["vertices_coords"] += [[x, y], [u, v]]
        frame["edges_vertices"].append([count, count + 1])
        frame["edges_assignment"].append(dice.pick("MV"))

    def hurt(self, dice):
        """Leave a value out, or give it another of any kind, anywhere in the document."""
        within, key = self.document, dice.pick(list(self.document))
        while isinstance(within[key], dict | list) and within[key] and dice.index(6):
            within = within[key]
            key = dice.pick(list(within) if isinstance(within, dict) else range(len(within)))
        if not dice.index(3):
            del within[key]
            return
        whole = [0, -1, 10**400, 10**9, 1e308, float("inf"), float("nan"), dice.number(-50, 700)]
        other = [None, True, "x", "\ud800", [], {}, [[]], [1], {"a": 1}]
        within[key] = dice.pick(dice.pick((whole, other)))


def packed(name):
    return gzip.decompress((SAVED / f"{name}.gz").read_bytes())


def bases():
    """Return text of files as they were made or saved, under the kind of file each is."""
    height = save_edits.DRAFT.drawing.height
    edits = ("plain", "hole_round", "renamed", "other_ids", "notch")
    drawn = [save_edits.drawn_with(name).decode() for name in edits]
    svg = [*drawn, packed("several.svg").decode(), packed("optimised.svg").decode()]
    dxf = [made("dxf-r2000"), made("dxf-r12"), save_edits.ezdxf_rich(), packed("gdal.dxf")]
    pdf = [made("pdf"), made("pdf"), packed("several.pdf"), packed("printed.pdf")]
    hpgl, fold = made("hpgl").decode(), save_edits.folded().decode()
    return {
        "svg": [lambda text=text: Svg(text, height) for text in svg],
        "dxf": [lambda data=data: Dxf(data.decode("cp1252")) for data in dxf],
        "pdf": [lambda data=data: Pdf(data) for data in map(unpacked, pdf)],
        "hpgl": [lambda: Hpgl(hpgl)],
        "fold": [lambda: Fold(fold)],
    }
