"""Labels: one for each base, inside it, and a code that a general reader reads."""

import math

import pypdfium2
import pytest
from conftest import BOOK, sample_slips
from pages import check_tidy, codes_of, letters, sizes, text_of

from cutfiles.bench.book import SIDES
from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.report.printed.labels import (
    LABEL_PAPERS,
    UNWEIGHED,
    essentials,
    label_paper,
    label_size,
    labels_of,
    labels_page,
)


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_code_and_text(path):
    made = draft_of(read_slip(path))
    data = labels_page([made])
    check_tidy(data)
    standing = [side for side in SIDES if made.support.half(side).stands]
    found = codes_of(data)
    assert len(found) == len(standing)
    assert all(text.startswith(made.slip.book.number) for text in found)
    assert all(f"revision {made.revision}" in text for text in found)
    said = text_of(data)[0]
    for side in standing:
        assert f"{'L' if side == 'left' else 'R'} ↑ head" in said
        width, height = label_size(made, side)
        assert width < made.support.length("base", side)
        assert height < made.support.breadth


def test_essentials_in_full():
    made = draft_of(read_slip(next(p for p in sample_slips() if p.stem == "A1")))
    assert codes_of(labels_page([made])) == [essentials(made)] * 2
    said_all = essentials(made).split("\n")
    for said in (
        "A1",
        "Garden calendar, octavo",
        "p. 84-85 (middle)",
        "height 203.0 mm",
        "spine 34.0 mm",
        "left 133.0 mm 30.0 deg",
        "641 g",
        "film 1 x 0.1778 mm",
    ):
        assert said in said_all


def test_many_fill_pages_in_order():
    drafts = [draft_of(read_slip(path)) for path in sample_slips()] * 2
    data = labels_page(drafts, "Letter")
    bases = sum(bool(draft.support.length("base", side)) for draft in drafts for side in SIDES)
    assert len(sizes(data)) == math.ceil(bases / 21)  # three times seven on a page
    check_tidy(data)
    assert "limit: 641 g, 120°" in text_of(data)[0]
    assert labels_page(drafts, "Letter") == data


def test_any_script():
    book = {
        "number": "W" * 40,
        "units": "mm",
        "height": 203,
        "width": 133,
        "spine_width": 34,
        "opening_angle": 120,
        "title": "藏书目录 " * 12,
        "opening": "كتاب " * 20,
    }
    made = draft_of(slip_from(book))
    data = labels_page([made])
    check_tidy(data)
    assert codes_of(data) == [essentials(made)] * 2


@pytest.mark.parametrize(
    ("weight", "state", "said"),
    [
        ("100 g", "adequate", "limit: 100 g, 120°, this book only"),
        ("641 g", "make a trial", "no book on it before its trial"),
        ("3000 g", "another support", "not to be used"),
    ],
)
def test_a_label_says_that_nothing_is_proved_and_no_limit_where_none_holds(weight, state, said):
    support = {"construction": "plain", "edges": "folded", "layers": 3, "gauge": "5 mil"}
    made = draft_of(slip_from({**BOOK, "weight": weight, "support": support}))
    assert made.verdict.state == state
    told = text_of(labels_page([made]))[0]
    assert f"not proved {state}" in told
    assert said in told
    assert ("limit:" in told) is (state == "adequate")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("size", [(62.0, 30.0), (44.0, 24.0)])
@pytest.mark.parametrize(
    "limit",
    [
        "limit: 641 g, 120°, this book only",
        f"limit: {UNWEIGHED}, 120°, this book only",
        "joints guessed, limit: 12000 g, 170°, this book only",
        f"joints guessed, limit: {UNWEIGHED}, 120°, this book only",
        "joints guessed, no book on it before its trial",
    ],
)
def test_for_what_a_support_holds_stands_whole_on_its_label(limit, size, paper):
    made = draft_of(read_slip(next(p for p in sample_slips() if p.stem == "A1")))
    label = labels_of(made)[0]._replace(width=size[0], height=size[1], limit=limit)
    data = label_paper([label], paper)
    check_tidy(data, margin=3.0)
    [told] = text_of(data)
    assert limit in " ".join(told.split())
    assert "not proved" in told
    [code] = codes_of(data)
    assert code == essentials(made) or code == f"A1\nrevision {made.revision}"
    form, scale = LABEL_PAPERS[paper], min(1.0, (LABEL_PAPERS[paper].width - 2.0) / size[0])
    height = min(size[1] * scale, form.height - 1.0)
    least = pypdfium2.PdfDocument(data)[0].get_height() / 72 * 25.4 - form.top
    least -= form.height / 2 + height / 2
    lowest = min(bottom for _, _, bottom, _, _ in letters(pypdfium2.PdfDocument(data)[0]))
    assert lowest >= least - 0.05
