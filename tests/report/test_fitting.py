"""The fitting and the guesses on every kind's prints, read back."""

import math
import re
from itertools import pairwise

import pypdfium2
import pytest
import tilted
from conftest import on_papers
from pages import check_tidy, letters, segments, text_of

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.report.pictures.block import fore_edge
from cutfiles.report.printed.bench_card import bench_card
from cutfiles.report.printed.end_view_card import end_view_card
from cutfiles.report.printed.fitting import tick_sentence
from cutfiles.report.printed.labels import labels_page
from cutfiles.report.printed.template import template
from cutfiles.support.adjusted import foot_ticks
from cutfiles.support.design import design
from cutfiles.words.steps import step_sentence
from cutfiles.words.verdict import short_sentence

BOOKS = sorted(tilted.BOOKS)


@pytest.mark.parametrize(("number", "paper"), list(on_papers(BOOKS)))
def test_bench_card_of_every_kind(number, paper):
    """Creases with direction and angle, panels, and what is stuck to what are the support's."""
    made = draft_of(tilted.slip_of(number))
    data = bench_card(made, paper)
    check_tidy(data)
    said = " ".join(text_of(data))
    for crease in made.pattern.creases:
        degrees = abs(crease.angle) * 57.29577951308232
        text = f"{crease.direction} {degrees:.1f}° {180 - degrees:.1f}°"
        assert text in said, text
    for panel in made.pattern.panels:
        assert f"{panel.length:.1f}" in said
    assert 3 <= len(text_of(data)) <= 5
    assert f"{made.support.kind}; film 0.127 mm (5 mil), one layer" in said
    # a verdict and a step are told to their end
    assert "…" not in said
    assert short_sentence(made.verdict, made.slip) in said
    for i, step in enumerate(made.support.steps, 1):
        told = step_sentence(step, made.support, refused=made.verdict.refused)
        assert f"{i} {step.verb} {told}" in said


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_lines_of_the_fitting_stand_apart_in_inches(paper):
    """Letters without a tail stand on their line: no line begins within the height of another."""
    book = {"number": "T4", "units": "in", "height": "8 1/4", "width": "5 1/4"}
    slip = slip_from({**book, "spine_width": "1 1/8", "opening_angle": 120})
    page = pypdfium2.PdfDocument(bench_card(draft_of(slip), paper))[2]
    lines = sorted(
        {round(bottom, 1) for char, _, bottom, *_ in letters(page) if char in "hiknmrx1"}
    )
    assert len(lines) > 20
    assert min(b - a for a, b in pairwise(lines) if b - a > 0.15) > 2.6


@pytest.mark.parametrize("number", BOOKS)
def test_tape_told_on_the_card_is_where_the_file_has_it(number):
    """Width, length and distances read off the card, against the guides of the written SVG."""
    made = draft_of(tilted.slip_of(number))
    said = text_of(bench_card(made))[0]
    form = FORMATS["svg"]
    drawn = form.read(write_drawing(made.drawing, form, Options()))
    outline = extent([p for p in drawn.paths if p.layer == "cut-outline"])
    guides = [extent([p]) for p in drawn.paths if p.layer == "guide" and p.closed]
    tapes, found = made.support.contacts.tapes, []
    sentence = (
        r"On (.*): ([\d.]+) mm wide, ([\d.]+) mm long; ([\d.]+) mm from its "
        r"(?:left|right|outer) end, ([\d.]+) mm from its edges"
    )
    said = said.partition("not on the table. ")[2]
    parts = [part.strip() for part in said.split(" at head and tail.") if "mm long" in part]
    told = [re.fullmatch(sentence, part).groups() for part in parts]
    for who, *numbers in told:
        wide, long, clear, off = map(float, numbers)
        for name in re.split(" and |, ", who):
            panel = name.removeprefix("the ").removesuffix(" panel")
            [tape] = [tape for tape in tapes if tape.panel == panel]
            start, end = (outline[0] + x for x in made.pattern.span(panel))
            x = start + clear if tape.end == "left" else end - clear - wide
            top = outline[3] - off
            found.append((x, top - long, x + wide, top))
    assert len(found) == len(tapes)
    for meant in found:
        assert any(meant == pytest.approx(guide, abs=0.11) for guide in guides), (meant, guides)


def extent(paths):
    xs, ys = zip(*(point for path in paths for point in path.points), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("number", BOOKS)
def test_the_book_is_fitted_before_the_last_liner_leaves_its_tape(number):
    verbs = [step.verb for step in design(tilted.slip_of(number)).steps]
    assert verbs.count("Fit") == 1
    assert verbs[verbs.index("Fit") + 1 :] == ["Stick", "Check"]


@pytest.mark.parametrize("number", BOOKS)
def test_the_book_lies_on_the_end_view_to_check_by(number):
    """Both fore edges are drawn, as far from the apexes as they are in the support."""
    made = draft_of(tilted.slip_of(number))
    page = pypdfium2.PdfDocument(bench_card(made))[0]
    lines = list(segments(page, 0.5))
    film = max(lines, key=lambda line: math.dist(*line))
    scale = math.dist(*film) / max(panel.length for panel in made.pattern.panels)
    film_left = min(x for line in lines for x, _ in line)
    support_left = min(x for x, _ in made.support.places)
    thin = [end for line in segments(page, 0.1) for end in line]
    ground = min(y for line in lines for _, y in line)
    for half in made.support.halves:
        x, y = fore_edge(made.support, half)
        place = film_left + scale * (x - support_left), ground + scale * y
        assert min(math.dist(place, end) for end in thin) < 0.3, half.side


def test_ticks_stand_on_the_fitting():
    made = draft_of(tilted.slip_of("LOW", support={"layers": 1, "adjust": "4 mm"}))
    data = bench_card(made)
    check_tidy(data)
    said = " ".join(text_of(data))
    feet = foot_ticks(made.support, ())
    assert feet
    for foot in feet:
        for number, (tick, state) in enumerate(zip(foot.ticks, foot.states, strict=True), 1):
            assert f"{foot.side} foot, tick {number}" in said
            assert tick_sentence(tick, state, "mm") in said
    assert "Adjusting" not in " ".join(text_of(bench_card(draft_of(tilted.slip_of("LOW")))))


def guessed():
    values = {k: v for k, v in tilted.BOOKS["RISER"].items() if not k.endswith("joint")}
    return draft_of(tilted.slip_from(values | {"support": {"layers": 1, "joints": "guess"}}))


def test_a_guess_is_told_on_every_print():
    made = guessed()
    assert made.slip.opening.joints == "guessed"
    prints = (bench_card(made), end_view_card(made), labels_page([made]), template(made))
    for data in prints:
        check_tidy(data, margin=5.0)
        assert "guessed" in " ".join(text_of(data))
    known = draft_of(tilted.slip_of("RISER"))
    for data in (bench_card(known), end_view_card(known), labels_page([known]), template(known)):
        assert "guessed" not in " ".join(text_of(data))
