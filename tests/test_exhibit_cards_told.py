"""What the exhibit's page tells of a support and of a sheet, of results made by hand."""

import re
from dataclasses import replace
from html import unescape

import pytest
from test_exhibit_tables import FACTS, sheet, support, tables

from cutfiles.errors import Fault, Place
from cutfiles.exhibit.page import exhibit_page
from cutfiles.exhibit.stages import Reached

FAULT = Fault(Place(), "a rise of -4 mm", "0 mm or more", "measure again")


def card(supports, sheets, place):
    """Return the words of the card at a place of the page, and its links."""
    page = b"".join(exhibit_page(tables(supports, sheets), ())).decode()
    (found,) = re.findall(rf'<article class="[^"]*" id="{place}".*?</article>', page, re.DOTALL)
    words = re.sub(r"<svg.*?</svg>", "", found, flags=re.DOTALL)
    said = " ".join(unescape(re.sub("<[^>]+>", "\n", words)).split())
    return said, re.findall(r'href="([^"]+)"', found), re.findall(r'data-(\w+)="([^"]*)"', found)


VALUES = {
    "title": "Herbal <1>",
    "case": "2",
    "exhibit": "show",
    "opening": "p. 7",
    "shelf_mark": "GC 1",
    "note": "mind the clasp",
}


def test_the_card_of_a_support_tells_it_side_by_side():
    facts = replace(FACTS, left_rise=61.5, right_rise=62.5, fell="it fell at 20 N")
    one = support("A1", facts, copies=2, values=VALUES, sheets=("sheet-001", "sheet-002"))
    said, links, data = card([replace(one, stage=Reached("cut", "2026-03-02", "AB"))], [], "row-2")
    assert said == (
        "cut, 2026-03-02, AB A1 Herbal <1> p. 7 · GC 1 · case 2 · 2 copies adequate "
        "piece 700.0 × 190.0 mm, opening 120° measures and files "
        "film 0.127 mm (5 mil), one layer slopes left 30°, right 31° rises left 61.5 mm, right "
        "62.5 mm note mind the clasp tested it fell at 20 N worth knowing steep "
        "worth knowing heavy sheets sheet-001 sheet-002 files A1.svg A1.pdf"
    )
    assert links == ["#sheet-001", "#sheet-002", "supports/A1.svg", "supports/A1.pdf"]
    assert dict(data) == {"case": "2", "exhibit": "show", "verdict": "adequate", "stage": "cut"}


def test_the_card_of_a_support_leaves_out_what_is_not_known():
    facts = replace(FACTS, layers=3, teller=replace(FACTS.teller, findings=()))
    said, _, data = card([support("A1", facts, values={}, unplaced="no film is left")], [], "row-2")
    assert said == (
        "planned A1 adequate On no sheet: no film is left piece 700.0 × 190.0 mm, opening 120° "
        "measures and files film 0.127 mm (5 mil), three layers slopes left 30°, right 31° "
        "rises left 61 mm, right 62 mm sheets none files A1.svg A1.pdf"
    )
    assert dict(data)["verdict"] == "on no sheet"


def test_the_card_of_a_row_that_was_refused_says_why():
    said, links, data = card([support("A1", None, values=VALUES, faults=(FAULT,))], [], "row-2")
    assert said.startswith(
        "A1 Herbal <1> p. 7 · GC 1 · case 2 Not made found a rise of -4 mm; 0 mm"
    )
    assert links == []
    assert dict(data) == {"case": "2", "exhibit": "show", "verdict": "refused", "stage": ""}


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({}, ""),
        ({"frozen": True}, " cut, stays as it is"),
        ({"apart": True}, " trials only"),
        ({"findings": ("HP-GL not made",)}, " HP-GL not made"),
        ({"faults": (FAULT,)}, " Not made: found a rise of -4 mm; 0 mm or more; measure again"),
    ],
)
def test_the_card_of_a_sheet_leads_to_its_supports_and_files(more, told):
    lies = sheet("sheet-001", "A1", "A1 · left post", "B7", **more)
    lies = replace(lies, files={"sheet-001.svg": "0"})
    said, links, _ = card([support("A1", FACTS)], [lies], "sheet-001")
    assert said == (
        "sheet-001 roll 1, 0.127 mm (5 mil) 1016 × 800 mm, 2 supports, 1 post, 33% used "
        f"A1 B7 sheet-001.svg{told}"
    )
    assert links == ["#row-2", "sheets/sheet-001.svg"]
