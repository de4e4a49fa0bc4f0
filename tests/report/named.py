"""Every surface on which a support's lengths are told, as text, and what each length is called."""

import csv
import html
import io
import re

from pages import text_of
from test_exhibit import listed
from test_living import QUICK

from cutfiles.exhibit.run import make_exhibit
from cutfiles.job.make import make
from cutfiles.machine.plan import plan
from cutfiles.machine.profile.read import cutter_from
from cutfiles.report.pictures.passing import pass_picture
from cutfiles.report.printed.end_view_card import end_view_card
from cutfiles.report.printed.labels import labels_page
from cutfiles.report.printed.pass_card import pass_card
from cutfiles.report.text.check import check_data, check_table
from cutfiles.report.text.made import made_data, made_table

CALLED = {
    "base": ("base",),
    "leg": ("leg", "apex", "post"),
    "board": ("board panel", "left board length", "right board length"),
    "spine": ("spine panel", "spine width", "spine"),
    "tab": ("tab",),
    "riser tab": ("riser tab",),
    "riser": ("riser", "ridge"),
    "ramp": ("ramp",),
    "whole width": ("whole width",),
    "piece": ("piece",),
    "piece, broad": ("piece", "breadth"),
}
"""What a length may be called: an upright leg is as long as its apex and posts are high."""
KNIFE = {
    "name": "bench",
    "kind": "knife",
    "formats": ["svg"],
    "bed": {"width": "3 m", "length": "3 m"},
    "score": {"method": "impress"},
}
BEFORE, AFTER = 48, 16
"""Among so many letters before and after a number its name stands."""


def lengths_of(draft):
    """Every length of a support that has a name: what it is of, and mm."""
    support = draft.support
    xs = [place.x for place in support.places]
    found = {panel.name: (panel.part, panel.length) for panel in support.profile.panels}
    box = draft.pattern.box
    return found | {
        "whole width": ("whole width", max(xs) - min(xs)),
        "piece, long": ("piece", box.width),
        "piece, broad": ("piece, broad", box.height),
    }


def misnamed(text, value, names):
    """What stands around a number that none of its names stands near."""
    near = [
        text[max(0, one.start() - BEFORE) : one.end() + AFTER]
        for one in re.finditer(rf"(?<![\w.]){re.escape(f'{value:.1f}')}\d*(?!\w|°|\.\d)", text)
        if abs(float(one.group()) - value) < 0.06
    ]
    return [told for told in near if not any(name in told for name in names)]


def surfaces(slip, *, passes):
    """Make a slip; return its draft, and by surface what a person or a program reads there.

    Passes are ordered for seconds: only where asked for.
    """
    made = make(slip, formats=["svg"])
    draft, number = made.draft, slip.book.number
    texts = {
        "terminal": made_table(made) + check_table(draft),
        "JSON": "\n".join(_flat(made_data(made)) | _flat(check_data(draft))),
        "labels": "\n".join(text_of(labels_page([draft]))),
        "end view card": "\n".join(text_of(end_view_card(draft))),
    }
    if passes:
        planned = plan(draft.drawing, cutter_from(KNIFE, "knife"))
        texts["pass cards"] = "\n".join(text_of(pass_card(planned, number)))
        texts["pass pictures"] = "\n".join(
            shown(pass_picture(planned, one)) for one in planned.passes
        )
    for file in made.files:
        name = file.name.removeprefix(f"{number}.")
        if name.endswith(("standing.svg", "flat.svg", "folded.svg", "folded.html")):
            texts[name] = shown(file.data)
        elif name == "bench.pdf":
            texts["bench card"] = "\n".join(text_of(file.data))
    return draft, texts


def exhibited(slips, folder):
    """Make an exhibit of slips; return what its page tells."""
    out = io.StringIO()
    writer = csv.DictWriter(out, list(dict.fromkeys(key for slip in slips for key in slip)))
    writer.writeheader()
    writer.writerows(slips)
    made = folder / "out"
    make_exhibit(listed(folder, out.getvalue()), made, QUICK)
    return shown((made / "index.html").read_bytes())


def shown(data):
    """The text of a page or picture, a line for each piece of it."""
    text = re.sub(r"<script>.*?</script>|<style>.*?</style>", "", data.decode(), flags=re.DOTALL)
    return html.unescape(re.sub(r"<[^>]*>", "\n", text))


def _flat(value, path=""):
    """The lengths among data, a line each: keys, and the names that stand beside it, before it."""
    if isinstance(value, dict):
        beside = " ".join(str(value[key]) for key in ("name", "place", "check") if key in value)
        under = " ".join(part for part in (path, beside) if part)
        return {one for key, part in value.items() for one in _flat(part, f"{under} {key}")}
    if isinstance(value, list | tuple):
        return {one for part in value for one in _flat(part, path)}
    if isinstance(value, float) and not re.search(r"_(N|g|deg|mm2)\b|share|limit|seconds", path):
        return {f"{path}: {value:.4f}"}
    return {f"{path}: {value}"} if isinstance(value, str) else set()
