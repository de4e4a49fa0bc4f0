"""The blank slip to print: one tidy page, its fields those of the slip file."""

import pytest
from pages import check_tidy, sizes, text_of

from cutfiles.bench.fields import MEASURES
from cutfiles.report.printed.measuring_card import _BOOK, _MEASURES, measuring_card
from cutfiles.report.printed.paper import PAPERS


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_one_tidy_page(paper):
    data = measuring_card(paper)
    assert sizes(data) == [pytest.approx(PAPERS[paper], abs=0.01)]
    check_tidy(data)
    assert measuring_card(paper) == data


def test_fields_are_the_slips():
    known = {one.name for one in MEASURES}
    printed = {name for _, name, _ in _MEASURES} | {name for name, _ in _BOOK}
    assert printed <= known
    # what may stand instead of another measure is left to the slip file
    instead = {"width", "thickness", "left_slope", "right_slope", "page_angle", "spine_tilt"}
    assert known - printed - instead == {"units"}
    said = text_of(measuring_card())[0]
    assert all(name in said for name in printed | {"units"})
