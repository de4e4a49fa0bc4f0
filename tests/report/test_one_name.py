"""A length has one name and one number, wherever it is told: pages, pictures, terminal, record."""

import html
import re

import pytest
from conftest import BOOK
from pages import text_of

from cutfiles.bench.slip import slip_from
from cutfiles.job.make import make
from cutfiles.report.printed.end_view_card import end_view_card
from cutfiles.report.text.check import check_table
from cutfiles.report.text.made import made_table

SLIP = {name: value for name, value in BOOK.items() if name not in ("opening_angle", "width")} | {
    "left_width": 132,
    "right_width": 134,
    "left_slope": 24,
    "right_slope": 37,
    "weight": "300 g",
}
NAMES = {
    "whole width": ("whole width",),
    "left base": ("base",),
    "right base": ("base",),
    "left leg": ("leg", "apex"),
    "right leg": ("leg", "apex"),
    "left board": ("board panel",),
    "right board": ("board panel",),
    "spine": ("spine panel", "spine width", "spine"),
}
"""Each length, and what it may be called: an upright leg is as long as its apex is high."""


@pytest.fixture(scope="module")
def told():
    made = make(slip_from(SLIP), formats=["svg"])
    texts = {"terminal": made_table(made) + check_table(made.draft)}
    for file in made.files:
        name = file.name.removeprefix("A1.")
        if name.endswith(("standing.svg", "flat.svg", "folded.svg", "folded.html")):
            data = file.data.decode()
            data = re.sub(r"<script>.*?</script>|<style>.*?</style>", "", data, flags=re.DOTALL)
            texts[name] = html.unescape(re.sub(r"<[^>]*>", "\n", data))
        elif name == "bench.pdf":
            texts[name] = "\n".join(text_of(file.data))
    texts["end view"] = "\n".join(text_of(end_view_card(made.draft)))
    return made.draft, texts


def lengths_of(draft):
    support = draft.support
    xs = [place.x for place in support.places]
    found = {"whole width": max(xs) - min(xs), "spine": support.length("spine")}
    for side in ("left", "right"):
        found |= {f"{side} {part}": support.length(part, side) for part in ("base", "leg", "board")}
    return found


def misnamed(text, value, names):
    """Return what stands around a number that none of its names stands near."""
    return [
        text[max(0, one.start() - 32) : one.end() + 16]
        for one in re.finditer(rf"(?<![\d.]){value:.1f}(?![\d°])", text)
        if not any(name in text[max(0, one.start() - 32) : one.end() + 16] for name in names)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_a_length_has_one_name(told, name):
    draft, texts = told
    value = lengths_of(draft)[name]
    others = [length for other, length in lengths_of(draft).items() if other != name]
    assert all(abs(value - other) > 0.2 for other in others), "lengths that are told apart"
    seen = 0
    for where, text in texts.items():
        assert misnamed(text, value, NAMES[name]) == [], where
        seen += bool(re.search(rf"(?<![\d.]){value:.1f}(?!\d)", text))
    assert seen >= 3


def test_a_second_name_is_noticed(told):
    draft, texts = told
    value = lengths_of(draft)["whole width"]
    text = texts["standing.svg"].replace("whole width", "base, outside")
    assert misnamed(text, value, NAMES["whole width"])
