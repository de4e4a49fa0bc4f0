"""The fitting and the guesses on every kind's prints, read back."""

import pytest
import tilted
from pages import check_tidy, text_of

from cutfiles.draft import draft_of
from cutfiles.report.printed.bench_card import bench_card
from cutfiles.report.printed.end_view_card import end_view_card
from cutfiles.report.printed.fitting import tick_sentence
from cutfiles.report.printed.labels import labels_page
from cutfiles.report.printed.template import template
from cutfiles.support.adjusted import foot_ticks

BOOKS = sorted(tilted.BOOKS)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("number", BOOKS)
def test_bench_card_of_every_kind(number, paper):
    """Creases with direction and angle, panels, and what is stuck to what are the support's."""
    made = draft_of(tilted.slip_of(number))
    data = bench_card(made, paper)
    check_tidy(data)
    said = text_of(data)[0]
    for crease in made.pattern.creases:
        degrees = abs(crease.angle) * 57.29577951308232
        text = f"{crease.direction} {degrees:.1f}° {180 - degrees:.1f}°"
        assert text in said, text
    for panel in made.pattern.panels:
        assert f"{panel.length:.1f}" in said
    assert len(text_of(data)) == 2


def test_ticks_stand_on_the_fitting():
    made = draft_of(tilted.slip_of("LOW", support={"layers": 1, "adjust": "4 mm"}))
    data = bench_card(made)
    check_tidy(data)
    said = text_of(data)[1]
    feet = foot_ticks(made.support)
    assert feet
    for foot in feet:
        for number, (tick, state) in enumerate(zip(foot.ticks, foot.states, strict=True), 1):
            assert f"{foot.side} foot, tick {number}" in said
            assert tick_sentence(number, tick, state, "mm") in said
    assert "Adjusting" not in text_of(bench_card(draft_of(tilted.slip_of("LOW"))))[1]


def guessed():
    values = {k: v for k, v in tilted.BOOKS["RISER"].items() if not k.endswith("joint")}
    return draft_of(tilted.slip_from(values | {"support": {"layers": 1, "joints": "guess"}}))


def test_a_guess_is_told_on_every_print():
    made = guessed()
    assert made.slip.opening.joints == "guessed"
    prints = (
        bench_card(made),
        end_view_card(made),
        labels_page([made], limits=["x"]),
        template(made),
    )
    for data in prints:
        check_tidy(data, margin=5.0)
        assert "guessed" in " ".join(text_of(data))
    known = draft_of(tilted.slip_of("RISER"))
    for data in (bench_card(known), end_view_card(known), labels_page([known]), template(known)):
        assert "guessed" not in " ".join(text_of(data))
