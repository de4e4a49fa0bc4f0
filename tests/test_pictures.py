"""The pictures: everything on the page, no text on another, readable without colour."""

import itertools
import re
from dataclasses import replace

import pytest
import tilted
from conftest import drawn, outside_module, sample, sample_slips
from hypothesis import given, settings
from pages import lines_of_path, picture_of
from strategies import slips

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.files.fold_check import check_reading
from cutfiles.files.formats import FORMATS, Options
from cutfiles.folding.space import dot
from cutfiles.pattern.pattern import Role
from cutfiles.report.pictures.canvas import HEIGHT, WIDTH
from cutfiles.report.pictures.flat import DASHES, flat_picture
from cutfiles.report.pictures.folded import solid_picture
from cutfiles.report.pictures.paint import normal_of
from cutfiles.report.pictures.spread import spread
from cutfiles.report.pictures.standing import standing_picture
from cutfiles.report.pictures.strip import book_polygons, in_sight, panel_polygons
from cutfiles.report.pictures.view import view_of
from cutfiles.support.constructions.plate import Capacity
from cutfiles.support.design import design
from cutfiles.support.trials import Trial
from cutfiles.support.verdict import Change
from cutfiles.words.verdict import short_sentence

SVG = "{http://www.w3.org/2000/svg}"


def pictures(slip):
    made = draft_of(slip)
    return {
        "standing": standing_picture(made.support),
        "flat": flat_picture(made.pattern, made.support),
    }


def boxes(svg):
    """Text and a box it takes up on the page, by the mean width of sans-serif letters."""
    for text in picture_of(svg).iter(f"{SVG}text"):
        size, said = float(text.get("font-size")), text.text or ""
        x, y = float(text.get("x")), float(text.get("y"))
        width, height = 0.56 * size * len(said), 0.72 * size
        start = {"start": 0.0, "middle": width / 2, "end": width}[text.get("text-anchor", "start")]
        if text.get("transform"):
            turn = re.fullmatch(r"rotate\(-90 ([\d.]+) ([\d.]+)\)", text.get("transform"))
            assert tuple(map(float, turn.groups())) == (x, y)
            yield said, (x - height, y - width + start, x, y + start)
        else:
            yield said, (x - start, y - height, x - start + width, y)


def check(svg):
    found = list(boxes(svg))
    for said, (left, top, right, bottom) in found:
        assert left >= 0, said
        assert top >= 0, said
        assert right <= WIDTH, said
        assert bottom <= HEIGHT, said
    for (a, one), (b, two) in itertools.combinations(found, 2):
        apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
        assert apart, f"{a!r} lies on {b!r}"


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
@pytest.mark.parametrize("kind", ["standing", "flat"])
def test_samples_are_tidy(path, kind):
    check(pictures(read_slip(path))[kind])


@settings(max_examples=drawn(150))
@given(slips())
def test_any_support_is_tidy(slip):
    for svg in pictures(slip).values():
        check(svg)


def test_longest_title_and_foreign_letters():
    slip = slip_from(
        {
            "number": "x" * 40,
            "title": "藏 كتاب <b>&amp;" * 18,
            "units": "mm",
            "shelf_mark": "s" * 120,
            "opening": "p" * 120,
            "height": 203,
            "width": 133,
            "spine_width": 34,
            "opening_angle": 120,
        }
    )
    for svg in pictures(slip).values():
        check(svg)
        assert b"<b>" not in svg


def test_valley_and_mountain_differ_without_colour():
    assert DASHES[Role.VALLEY] != DASHES[Role.MOUNTAIN]
    svg = pictures(read_slip(sample_slips()[0]))["flat"].decode()
    for role in (Role.VALLEY, Role.MOUNTAIN):
        assert f'stroke-dasharray="{DASHES[role]}"' in svg


def test_the_numbers_are_the_supports():
    made = draft_of(read_slip(sample_slips()[0]))
    svg = standing_picture(made.support).decode()
    for said in (
        "rise 66.5",
        "leg 65.3",
        "base 112.6",
        "spine panel 35.0",
        "opening 120.0°",
        "slope 30.0°",
        "whole width 260.2",
    ):
        assert said in svg
    flat = flat_picture(made.pattern, made.support).decode()
    for said in ("left board panel 130.0", "674.7 × 217.0", "201.0", "189.9", "120.0°"):
        assert said in flat


def test_standing_picture_is_to_scale():
    """The support's line on the page, times the scale, is the support."""
    made = draft_of(read_slip(sample_slips()[0]))
    svg = standing_picture(made.support).decode()
    over, under = map(float, re.search(r"scale ([\d.]+):([\d.]+)", svg).groups())
    line = next(e for e in picture_of(svg).iter(f"{SVG}path") if e.get("stroke-width") == "0.6")
    xs = [x for places in lines_of_path(line.get("d")) for x, _ in places]
    assert (max(xs) - min(xs)) * under / over == pytest.approx(260.17, abs=0.05)


def test_spread_keeps_order_and_gap():
    assert spread([5, 5, 5], 2, 0, 100) == [3, 5, 7]
    assert spread([1, 1, 1], 2, 0, 100) == [0, 2, 4]
    assert spread([99, 99.5], 2, 0, 100) == [98, 100]
    assert spread([], 2, 0, 100) == []


def test_a_title_in_any_script_is_drawn_and_not_boxed():
    """Signs of a script that no font has are all drawn as one box: then both titles look alike."""
    outside_module("resvg_py")
    from cutfiles.report.pictures.canvas import Canvas
    from cutfiles.report.pictures.png import png_from_svg

    def drawn(text):
        page = Canvas("x", "y")
        page.text((20, 20), text, size=6)
        return png_from_svg(page.svg())

    assert drawn("藏书") != drawn("植物")
    assert drawn("가나") != drawn("다라")


@pytest.mark.parametrize("kind", ["standing", "flat"])
def test_a_sentence_of_two_lines_stands_clear_of_what_is_above(kind):
    """From one baseline to the next it is at least the size of the letters below."""
    [path] = [path for path in sample_slips() if path.stem == "D1"]
    texts = [
        (float(text.get("y")), float(text.get("font-size")))
        for text in picture_of(pictures(read_slip(path))[kind]).iter(f"{SVG}text")
        if text.get("x") == "15" and float(text.get("y")) < 40
    ]
    assert len(texts) == 5
    for (above, _), (below, size) in itertools.pairwise(sorted(texts)):
        assert below - above >= size


@pytest.mark.parametrize("number", ["A1", "B2", "D1", "G1", "H2"])
def test_sides_of_the_book_left_out_are_hidden_by_those_before_them(number):
    """What looks away has, in the view, the size of what looks to the eye: the book is closed."""
    support = design(sample(number))
    eye, every = view_of(support).eye, [*book_polygons(support)]
    sides = [dot(normal_of(one.corners), eye) for one in every]
    near = in_sight(every, eye)
    assert 0.3 * len(every) < len(near) < 0.75 * len(every)
    assert sum(dot(normal_of(one.corners), eye) for one in near) == pytest.approx(
        sum(map(abs, sides)) / 2
    )
    film = [*panel_polygons(support.profile, support.breadth)]
    assert in_sight(film, eye) == film


def longest(draft):
    """A verdict of which everything is told that a sentence can tell, a film's name as long."""
    made = draft.verdict.made
    film = made.way.film._replace(name="a studio's own film " * 3)
    post = Capacity("posts", 1.23456, 1.0, ("Euler",), 2)
    way = made.way._replace(film=film, construction="posts", edge="hemmed")
    made = replace(made, way=way, legs=(post, post._replace(posts=3, newtons=1.3)))
    flatter = Change("flatter", made, board=2.5, slope=31.4)
    fell = fields_of(Trial, gauge=0.0889, layers=3, construction="posts", date="2026-11-26")
    check = next(check for check in draft.verdict.checks if check.name == "sag")
    return replace(
        draft.verdict,
        state="another support",
        made=made,
        estimated=True,
        governing=check._replace(measured=9.9, state="another support"),
        fell=fell,
        changes=(flatter,),
    )


def fields_of(kind, **known):
    """A value of a kind, with what is known of it and nothing else."""
    return kind(**{name: known.get(name, 0) for name in kind._fields})


@pytest.mark.parametrize("units", ["mm", "in"])
def test_no_letters_are_under_seven_points_in_the_longest_sentence(units):
    """Every part of the table of words at once, in inches too: it takes more lines, not smaller."""
    slip = tilted.slip_of("LEVEL") if units == "mm" else tilted.in_inches("LEVEL")
    slip = replace(slip, opening=replace(slip.opening, joints="guessed"))
    made = draft_of(slip)
    verdict = longest(made)
    said = short_sentence(verdict, slip)
    assert len(said) > 400
    form = FORMATS["svg"]
    data = form.write(form.prepared(made.drawing), Options())
    told = replace(made, verdict=verdict)
    checked = check_reading(form.read(data), "x.svg", told, form, Options())
    for svg in (
        standing_picture(made.support, verdict),
        flat_picture(made.pattern, made.support, verdict),
        solid_picture(checked),
    ):
        found = [
            (text.text, float(text.get("font-size"))) for text in picture_of(svg).iter(f"{SVG}text")
        ]
        assert min(size for _, size in found) * 72 / 25.4 >= 7.0
        assert said in " ".join(text for text, _ in found)
        check(svg)
