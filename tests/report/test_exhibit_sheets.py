"""Sheets of an exhibit: every row on a page, in order, totals that add up."""

import math
import re

import pypdfium2
import pytest
from conftest import sample_slips
from pages import check_tidy, letters, segments, sizes, text_of

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.exhibit.cards import CaseRow, CutRow, StrapRow, case_card, cut_card, strap_card
from cutfiles.support.straps import straps

TITLES = ("Garden calendar", "كتاب النبات " * 9, "植物図鑑" * 40, "w" * 300, "")


def case_rows(count):
    return [
        CaseRow(
            case=str(i // 7),
            place=f"p{i}",
            number=f"N-{i:04}",
            title=TITLES[i % 5],
            opening="ff. 31v-32r",
            note="limp: never without its straps",
        )
        for i in range(count)
    ]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("count", [0, 1, 60])
def test_case_sheet_holds_every_row_in_order(count, paper):
    data = case_card("Gardens on paper " * 12, case_rows(count), paper)
    if count:
        check_tidy(data)
    said = " ".join(text_of(data))
    # a line that holds Arabic is read back from right to left, its digits in order
    assert re.findall(r"(?<!\d)\d{4}(?!\d)", said) == [f"{i:04}" for i in range(count)]
    pages = len(sizes(data))
    assert [f"page {i + 1} of {pages}" in text for i, text in enumerate(text_of(data))] == (
        [True] * pages
    )
    assert data == case_card("Gardens on paper " * 12, case_rows(count), paper)


def test_every_row_has_a_box_to_tick():
    """Four sides of 2.8 mm, all of them drawn, at the left of each row."""
    page = pypdfium2.PdfDocument(case_card("Gardens", case_rows(5)))[0]
    sides = [
        (round(a[0], 1), round(b[0], 1), round(abs(b[1] - a[1]), 1))
        for a, b in segments(page)
        if math.dist(a, b) < 3.0
    ]
    upright = [(10.0, 10.0, 2.8), (12.8, 12.8, 2.8)]
    assert sorted(sides) == sorted(5 * [*upright, (10.0, 12.8, 0.0), (12.8, 10.0, 0.0)])


def test_a_title_too_long_for_its_row_ends_at_the_end_of_its_last_line():
    title = " ".join(f"w{i}" for i in range(300))
    row = CaseRow(case="A", place="1", number="N1", title=title, opening="", note="")
    data = case_card("G", [row])
    shown = re.search(r"w0 .*(?=…)", text_of(data)[0])
    assert title.startswith(shown[0])
    lines = {}
    for char, left, bottom, right, _ in letters(pypdfium2.PdfDocument(data)[0]):
        if char in "w0123456789…" and 60 < left < 150:  # mm: where titles stand
            lines[round(bottom)] = max(right, lines.get(round(bottom), 0.0))
    first, *_, last = (lines[y] for y in sorted(lines, reverse=True))
    assert abs(first - last) < 5, lines


def strap_rows(draft):
    """The straps of one support as rows of the strap card."""
    return [
        StrapRow(
            number=draft.slip.book.number,
            side=strap.side,
            kind=strap.kind,
            width=strap.width,
            cut_length=strap.cut_length,
            from_fore_edge=strap.from_fore_edge,
            title=draft.slip.book.title,
        )
        for strap in straps(draft.support)
    ]


def test_strap_sheet_adds_up():
    drafts = [draft_of(read_slip(path)) for path in sample_slips()]
    rows = [row for made in drafts for row in strap_rows(made)]
    data = strap_card("Gardens", rows)
    check_tidy(data)
    said = " ".join(text_of(data))
    broad = sum(
        row.cut_length for row in rows if (row.width, row.kind[:12]) == (13, "polyethylene")
    )
    assert f"strap 13 mm: {broad / 1000:.2f} m in all" in said
    assert "460 mm" in said
    assert "no straps" in text_of(strap_card("Gardens", []))[0]


def test_strap_sheet_in_inches():
    row = StrapRow(
        number="1",
        side="left",
        kind="polyethylene strap",
        width=6.35,
        cut_length=254.0,
        from_fore_edge=10.0,
    )
    assert "254 mm (10 in)" in text_of(strap_card("", [row], units="in"))[0]


def test_cut_sheet():
    rows = [
        CutRow(
            sheet=f"S{i}",
            film="0.127 mm (5 mil)",
            size="1016 × 600 mm",
            pieces="A1, A2, B4, " * 6,
            files=f"S{i}.face-a.dxf",
            time="4 min",
        )
        for i in range(30)
    ]
    data = cut_card("Gardens", rows, "Letter")
    check_tidy(data)
    assert re.findall(r"\bS\d+(?= )", " ".join(text_of(data))) == [f"S{i}" for i in range(30)]


@pytest.mark.parametrize(
    ("name", "card", "heads"),
    [
        ("Case card", case_card, ["case", "place", "number", "title", "opening", "mind"]),
        (
            "Strap card",
            strap_card,
            ["number", "title", "side", "kind", "width", "cut", "from fore edge"],
        ),
        ("Cut card", cut_card, ["sheet", "film", "size", "pieces", "files", "time"]),
    ],
)
def test_a_card_is_headed_by_its_name_and_its_columns_by_what_stands_in_them(name, card, heads):
    [said] = text_of(card("Gardens", []))
    assert said.startswith(f"{name} Gardens page 1 of 1 ")
    told = " ".join(heads)
    assert re.search(rf"\b{told}\b", said)
