"""A piece that stood is made again as it stood, and only where the slip still allows it."""

import pytest
from test_verdict import BOOK, rows_of

from cutfiles.bench.slip import slip_from
from cutfiles.support.design import design
from cutfiles.support.kept import kept
from cutfiles.support.settle import settled, way_of
from cutfiles.support.verdict import assess

FIELDS = {**BOOK, "weight": "400 g"}


def slip(**support):
    return slip_from({**FIELDS, "support": support})


@pytest.fixture(scope="module")
def stood():
    """A plain leg in one layer that bore its dummy, which no choice would have made."""
    piece = design(slip(construction="plain", gauge="7 mil", layers=1, edges="cut"))
    rows = rows_of(piece, 1.5)
    assert assess(piece, rows).state == "proved"
    return rows


def test_what_stood_is_made_again(stood):
    open_ = slip()
    chosen = settled(open_)
    again = kept(open_, chosen.ways, stood)
    assert way_of(design(again))[:4] != way_of(design(chosen.slip))[:4]
    assert again.choices.construction == "plain"
    assert again.film.layers == 1
    assert again.film.gauge == pytest.approx(0.1778)


@pytest.mark.parametrize("asked", [{"construction": "lips"}, {"gauge": "10 mil"}, {"layers": 3}])
def test_a_slip_that_asks_for_something_else_gets_it(asked, stood):
    open_ = slip(**asked)
    assert kept(open_, settled(open_).ways, stood) is None


def test_what_fell_or_was_another_book_s_is_not_kept(stood):
    open_ = slip()
    ways = settled(open_).ways
    assert kept(open_, ways, [row._replace(support="other") for row in stood]) is None
    assert kept(open_, ways, [row._replace(result="collapsed") for row in stood]) is None
