"""A length has one name and one number, wherever it is told: pages, pictures, terminal, data."""

import re

import pytest
from named import BEFORE, CALLED, exhibited, lengths_of, misnamed, surfaces
from test_card_folds import LIPS, PLAIN, POSTS, THIRDS

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.report.printed.fitting import fit_lines
from cutfiles.support.standing import board_of

BOOK = {
    "number": "N1",
    "units": "mm",
    "height": 203,
    "left_width": 131.3,
    "right_width": 134.9,
    "spine_width": 34.2,
    "left_slope": 26,
    "right_slope": 37,
    "weight": "300 g",
}
RISER = {name: value for name, value in BOOK.items() if "slope" not in name} | {
    "height": 190,
    "spine_width": 31.6,
    "left_rise": 91.7,
    "right_rise": 52.4,
    "left_joint": 20.6,
    "right_joint": 0,
}
RIGHT_HIGH = RISER | {"left_rise": 52.4, "right_rise": 91.7, "left_joint": 0, "right_joint": 20.6}
HEMMED = LIPS | {"construction": "plain"}
CASES = {
    "side by side, plain": (BOOK, PLAIN),
    "side by side, hemmed": (BOOK, HEMMED),
    "side by side, thirds": (BOOK, THIRDS),
    "side by side, lips": (BOOK, LIPS),
    "side by side, posts": (BOOK, POSTS),
    "lapped, thirds": (BOOK | {"spine_width": 15.3}, THIRDS),
    "crossed": (BOOK | {"spine_width": 8.3}, LIPS),
    "crossed, no spine panel": (BOOK | {"spine_width": 2}, PLAIN),
    "right side flat": (BOOK | {"right_slope": 0}, LIPS),
    "left side flat, thirds": (BOOK | {"left_slope": 0}, THIRDS),
    "riser": (RISER, LIPS),
    "riser, right high, posts": (RIGHT_HIGH, POSTS),
    "riser, low side flat": (RISER | {"right_rise": 0}, PLAIN),
}
PASSED = {"side by side, plain", "side by side, thirds", "side by side, posts", "riser"}
BY_PASS = {"pass cards", "pass pictures"}
EVERYWHERE = {
    *("terminal", "JSON", "labels", "end view card", "bench card"),
    *("standing.svg", "flat.svg", "folded.svg", "folded.html"),
}


@pytest.fixture(scope="module", params=CASES)
def told(request):
    fields, support = CASES[request.param]
    passes = request.param in PASSED
    draft, texts = surfaces(slip_from(fields | {"support": support}), passes=passes)
    assert texts.keys() == EVERYWHERE | (BY_PASS if passes else set())
    return draft, texts


def apart(draft):
    """Lengths whose number nothing else has: no other length, no crease's place, no measure."""
    every = lengths_of(draft)
    others = [crease.position for crease in draft.pattern.creases]
    for line in fit_lines(draft.support):
        others += [line.given, *line.harmless, *line.ask]
    for side in ("left", "right"):
        board = board_of(draft.slip, side)
        others += [board.width, board.rise, board.joint]
    known = [*every.values(), *(("", other) for other in others)]
    return {
        name: one
        for name, one in every.items()
        if all(abs(one[1] - other) > 0.2 or one[0] == part for part, other in known)
    }


def test_a_length_has_one_name_on_every_surface(told):
    draft, texts = told
    lengths = apart(draft)
    assert len(lengths) >= 6
    for name, (part, value) in lengths.items():
        seen = 0
        for where, text in texts.items():
            assert misnamed(text, value, CALLED[part]) == [], (where, name)
            seen += bool(re.search(rf"(?<![\d.]){value:.1f}", text))
        assert seen >= 3, name


def test_a_second_name_is_noticed_on_every_surface(told):
    """The right one taken for another wherever it is told; and one more line where it is not."""
    draft, texts = told
    for name, (part, value) in apart(draft).items():
        for where, text in texts.items():
            second = re.sub("|".join(CALLED[part]), "outside", text)
            if f"{value:.1f}" not in text:
                second += f"{' ' * BEFORE}outside {value:.1f} mm"
            assert misnamed(second, value, CALLED[part]), (where, name)


def test_a_length_has_one_name_on_the_page_of_an_exhibit(tmp_path):
    """Its page tells the piece alone; what else is told there is told in the words of all pages."""
    slips = [BOOK | {"number": "N1"}, RISER | {"number": "N2"}]
    page = exhibited(slips, tmp_path)
    for slip in slips:
        draft = draft_of(slip_from(slip))
        lengths = apart(draft)
        for name, (part, value) in lengths.items():
            assert misnamed(page, value, CALLED[part]) == [], name
            assert misnamed(f"{page}\nfoot to foot {value:.1f}", value, CALLED[part])
        assert f"piece {draft.pattern.box.width:.1f} × {draft.pattern.box.height:.1f} mm" in page
