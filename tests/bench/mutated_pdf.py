"""A PDF mutated: its objects as text, streams unpacked."""

import io
import re

import pikepdf
from mutations import changed


def unpacked(data):
    """Return a PDF with its streams unpacked and its objects one after another."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(data)) as document:
        document.save(
            out,
            static_id=True,
            qdf=True,
            compress_streams=False,
            stream_decode_level=pikepdf.StreamDecodeLevel.generalized,
        )
    return out.getvalue()


_STEPS = ("q", "Q", "EMC", "BT", "/OC /L0 BDC", "0 0 0 0 0 0 cm", "h", "W n", "/X Do")


class Pdf:
    """A PDF as its objects, streams unpacked; written again, its table of places is right."""

    def __init__(self, plain):
        text = plain.decode("latin-1")
        found = re.findall(r"^(\d+) 0 obj\n(.*?)\nendobj", text, re.DOTALL | re.MULTILINE)
        self.objects = {int(number): body for number, body in found}
        self.trailer = re.search(r"trailer (<<.*?>>)\s*startxref", text, re.DOTALL)[1]
        self.page = next(n for n, body in self.objects.items() if "/Type /Page\n" in f"{body}\n")
        self.content = max(
            (n for n, body in self.objects.items() if "stream\n" in body),
            key=lambda n: len(self.objects[n]),
        )

    @property
    def data(self):
        out, places = "%PDF-1.7\n", {}
        for number, body in self.objects.items():
            places[number] = len(out)
            head, begun, rest = body.partition("stream\n")
            if begun:
                length = len(rest.removesuffix("endstream"))
                head = re.sub(r"/Length \d+( 0 R)?", f"/Length {length}", head)
            out += f"{number} 0 obj\n{head}{begun}{rest}\nendobj\n"
        table = "".join(f"{n} 1\n{place:010} 00000 n \n" for n, place in places.items())
        ended = f"xref\n{table}trailer {self.trailer}\nstartxref\n{len(out)}\n%%EOF\n"
        return (out + ended).encode("latin-1", "replace")

    def draw(self, shape, dice):
        layers = re.findall(r"/(\S+) (\d+) 0 R", self._properties())
        tag = next(
            (t for t, n in layers if f"/Name ({shape.layer})" in self.objects.get(int(n), "")), ""
        )
        drawn = f"q 2.83464567 0 0 2.83464567 0 0 cm 0 0 0 RG\n{self._path(shape)} S\nQ\n"
        if tag:
            drawn = f"/OC /{tag} BDC\n{drawn}EMC\n"
        self._put(f"{self.objects[self.content].removesuffix('endstream')}\n{drawn}endstream")

    def _properties(self):
        found = re.search(r"/Properties <<(.*?)>>", "".join(self.objects.values()), re.DOTALL)
        return found[1] if found else ""

    def _put(self, body):
        self.objects[self.content] = body

    def _path(self, shape):
        if shape.kind == "circle":
            return bezier_ring(shape.x, shape.y, shape.w / 2)
        if shape.kind == "curve":
            x, y, w, h = shape[2:]
            return f"{x} {y} m {x} {y + h} {x + w} {y + h} {x + w} {y} c {x} {y} {x} {y - h} v"
        if shape.kind == "rect":
            x, y, w, h = shape[2:]
            return f"{x:.4f} {y:.4f} {w:.4f} {h:.4f} re"
        first, *rest = shape.places
        ways = " ".join(f"{x:.4f} {y:.4f} l" for x, y in rest)
        return f"{first[0]:.4f} {first[1]:.4f} m {ways}{'' if shape.kind == 'line' else ' h'}"

    def hurt(self, dice):
        dice.pick((self._number, self._step, self._key, self._object))(dice)

    def _number(self, dice):
        """Change a number of the page's content, or of any object."""
        at = dice.pick((self.content, dice.pick(list(self.objects))))
        found = list(re.finditer(r"-?\d+\.?\d*", self.objects[at]))
        if found:
            self.objects[at] = changed(self.objects[at], dice.pick(found), dice.value())

    def _step(self, dice):
        """Leave a step of drawing out, write it many times, or put another in its place."""
        steps = self.objects[self.content].split("\n")
        at = dice.index(len(steps))
        other = dice.pick(_STEPS)
        steps[at : at + 1] = dice.pick(([], [steps[at]] * 50, [other], [other] * 300))
        self._put("\n".join(steps))

    def _key(self, dice):
        """Leave a dictionary's key out, or give it a value of another kind."""
        at = dice.pick(list(self.objects))
        found = list(re.finditer(r"/[A-Z]\w+ (\d+ 0 R|[^/<>\[\]]+)", self.objects[at]))
        if found:
            name = dice.pick(found)
            new = dice.pick(("null", "-1", "(text)", "[]", "<< >>", f"{at} 0 R", "99 0 R"))
            word = name[0].split()[0]
            new = dice.pick(("", f"{word} {new} "))
            self.objects[at] = changed(self.objects[at], name, new)

    def _object(self, dice):
        """Lose an object, or put it in another's place."""
        at = dice.pick(list(self.objects))
        if at == self.content or len(self.objects) < 3:
            return
        if dice.index(2):
            del self.objects[at]
        else:
            self.objects[at] = self.objects[dice.pick(list(self.objects))]


def bezier_ring(x, y, r):
    """A circle as four curves of a PDF."""
    k = 0.5522847 * r
    bends = [
        (x + r, y + k, x + k, y + r, x, y + r),
        (x - k, y + r, x - r, y + k, x - r, y),
        (x - r, y - k, x - k, y - r, x, y - r),
        (x + k, y - r, x + r, y - k, x + r, y),
    ]
    ways = " ".join(" ".join(f"{n:.4f}" for n in bend) + " c" for bend in bends)
    return f"{x + r:.4f} {y:.4f} m {ways} h"
