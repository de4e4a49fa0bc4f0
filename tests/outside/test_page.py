"""The folded page in a real browser: it loads, folds with the slider, turns, prints."""

from dataclasses import replace

import pypdfium2
import pytest
import tilted
from browser import browse
from conftest import SAMPLES
from pages import check_inside, letters

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.files.fold_check import check_reading
from cutfiles.files.formats import FORMATS, Options
from cutfiles.job.make import make
from cutfiles.pattern.pattern import Role, by_role
from cutfiles.plane.moves import shift
from cutfiles.report.pages.folded_page import folded_page
from cutfiles.report.pictures.block import book_parts

DRAWN = "document.getElementById('view').dataset.drawn"
STAGE = "document.getElementById('stage').textContent"
PIXELS = """(() => { const c = document.getElementById('view');
  const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;
  let n = 0; for (let i = 3; i < d.length; i += 4) n += d[i] > 0; return n / (d.length / 4); })()"""
SUM = """(() => { const c = document.getElementById('view'); return c.toDataURL().length + ':' +
  [...c.toDataURL()].reduce((s, x) => (s * 31 + x.charCodeAt(0)) % 1000003, 7); })()"""


@pytest.fixture
def page(tmp_path):
    def write(slip):
        made = make(slip, formats=["svg"])
        [html] = [f for f in made.files if f.name.endswith(".folded.html")]
        path = tmp_path / html.name
        path.write_bytes(html.data)
        return path, made.draft

    return write


def panels_of(draft):
    """Flat pieces of film: panels in each layer, hems and lips."""
    pattern = draft.pattern
    return (len(pattern.creases) + 1) * len(pattern.bands) + len(pattern.flanges)


def sides_of_book(draft):
    """The sides of all its parts: each an end view drawn out from tail to head."""
    return sum(len(part.corners) + 2 for part in book_parts(draft.support))


SLIPS = {n: tilted.slip_of(n) for n in sorted(tilted.BOOKS) if n != "STEEP"}  # too tall
SLIPS["THREE"] = tilted.slip_of("LEVEL", support={"layers": 3})
SLIPS["A1"] = read_slip(SAMPLES / "A1.toml")  # hems and lips


@pytest.mark.parametrize("number", SLIPS)
def test_it_folds_and_turns(page, tmp_path, number):
    steps = [
        ["read", "first", SUM],
        ["read", "share", PIXELS],
        ["read", "standing", STAGE],
        ["read", "faces", DRAWN],
        ["focus", "#fold"],
        ["key", "Home"],
        ["read", "flat", STAGE],
        ["read", "flatly", SUM],
        *[["key", "PageUp"]] * 7,
        ["read", "between", STAGE],
        ["read", "halfway", SUM],
        ["key", "End"],
        ["read", "again", STAGE],
        ["focus", "#view"],
        ["key", "ArrowLeft"],
        ["read", "turned", DRAWN],
        ["key", "Home"],
        ["drag", "#view", 90, -40],
        ["read", "dragged", DRAWN],
        ["key", "+"],
        ["focus", "#book"],
        ["key", "Space"],
        ["read", "bare", DRAWN],
        ["print", str(tmp_path / "page.pdf")],
    ]
    html, draft = page(SLIPS[number])
    read = browse(html, steps)
    assert read["standing"] == read["again"] == "standing"
    assert read["flat"] == "flat"
    assert read["between"] not in ("flat", "standing")
    assert len({read["first"], read["flatly"], read["halfway"]}) == 3
    assert 0.1 < read["share"] < 0.9
    sheets, _, turn, _ = read["faces"].split()
    assert int(sheets) == panels_of(draft) + sides_of_book(draft)
    assert int(read["bare"].split()[0]) == panels_of(draft)
    assert float(read["turned"].split()[2]) == pytest.approx(float(turn) + 0.1, abs=2e-3)
    assert float(read["dragged"].split()[2]) == pytest.approx(float(turn) - 0.6, abs=2e-3)
    import pypdf

    printed = pypdf.PdfReader(tmp_path / "page.pdf")
    assert len(printed.pages) <= 2
    texts = [p.extract_text() for p in printed.pages]
    assert "folds into its support" in texts[0]
    assert "Drag to turn" not in "".join(texts)
    # no table is torn in two, and nothing comes near an edge that a printer does not reach
    [measures] = [text for text in texts if "What the folds give" in text]
    assert measures.count("above the table") == "".join(texts).count("above the table")
    for sheet in pypdfium2.PdfDocument(tmp_path / "page.pdf"):
        check_inside(sheet, letters(sheet), 13.0)


SCREENS = {"desktop": [1280, 900], "phone": [390, 780], "phone on its side": [740, 360]}
INSIDE = "document.getElementById('view').dataset.inside"
PAGE_FITS = "document.documentElement.scrollWidth <= innerWidth"
CANVAS_FITS = "document.getElementById('view').offsetHeight <= innerHeight"


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("number", ["A1", "THREE", "RISER", "CROSSED"])
def test_nothing_is_clipped_at_any_fold(page, number, screen):
    html, draft = page(SLIPS[number])
    count = len(draft.support.steps)
    steps = [["focus", "#fold"], ["key", "Home"]]
    for done in range(count + 1):
        steps += [["read", f"inside {done}", INSIDE], ["read", f"now {done}", STAGE]]
        steps.append(["key", "ArrowRight"])
    steps += [["read", "wide", PAGE_FITS], ["read", "tall", CANVAS_FITS]]
    read = browse(html, steps, screen=SCREENS[screen], dark=screen == "phone")
    assert {done: read[f"inside {done}"] for done in range(count + 1)} == dict.fromkeys(
        range(count + 1), "true"
    )
    named = [f"{i} {step.verb}" for i, step in enumerate(draft.support.steps, 1)][:-1]
    assert [read[f"now {done}"] for done in range(count + 1)] == ["flat", *named, "standing"]
    assert read["wide"]
    assert read["tall"]


@pytest.mark.parametrize("how", ["left out", "moved", "turned"])
def test_a_fault_is_marked_where_it_is(tmp_path, how):
    """The crease that is wrong stands out by its letter; the others do not."""
    draft, form = draft_of(SLIPS["LEVEL"]), FORMATS["svg"]
    strokes = []
    for stroke in draft.drawing.strokes:
        if stroke.name.endswith("left apex, middle"):
            if how == "left out":
                continue
            if how == "moved":
                stroke = replace(stroke, path=shift(stroke.path, 2.0, 0.0))
            else:
                stroke = replace(stroke, role=Role.VALLEY)
        strokes.append(stroke)
    assert strokes != list(draft.drawing.strokes)
    damaged = replace(draft.drawing, strokes=by_role(strokes))
    data = form.write(form.prepared(damaged), Options())
    checked = check_reading(form.read(data), "x.svg", draft, form, Options())
    assert not checked.check.folds
    path = tmp_path / "x.html"
    path.write_bytes(folded_page(checked))
    read = browse(path, [["read", "wrong", "document.getElementById('view').dataset.wrong"]])
    assert read["wrong"] == "B"


def test_the_page_scrolls_where_the_picture_is(page):
    html, _ = page(SLIPS["A1"])
    steps = [
        ["read", "touch", "getComputedStyle(document.getElementById('view')).touchAction"],
        [
            "read",
            "scrolls",
            "document.getElementById('view').dispatchEvent("
            "new WheelEvent('wheel', {deltaY: 120, cancelable: true}))",
        ],
        [
            "read",
            "zooms",
            "document.getElementById('view').dispatchEvent("
            "new WheelEvent('wheel', {deltaY: 120, ctrlKey: true, cancelable: true}))",
        ],
    ]
    read = browse(html, steps)
    assert read["touch"] == "pan-y"
    assert read["scrolls"], "a wheel over the picture scrolls the page"
    assert not read["zooms"]


def test_on_a_tablet(page, tmp_path):
    steps = [
        ["read", "wide", "document.documentElement.scrollWidth <= innerWidth"],
        ["read", "tall", "document.querySelector('.controls label').offsetHeight"],
        ["tap", "#book"],
        ["read", "bare", DRAWN],
    ]
    html, draft = page(read_slip(SAMPLES / "B2.toml"))
    read = browse(html, steps, tablet=True)
    assert read["wide"]
    assert read["tall"] >= 44  # a finger's width, WCAG 2.2 success criterion 2.5.5
    assert int(read["bare"].split()[0]) == panels_of(draft)


def test_titles_stay_text(tmp_path):
    from cutfiles import slip_from

    title = "</script><script>alert(1)</script><b>"
    slip = slip_from(
        {
            "number": "A1",
            "title": title,
            "units": "mm",
            "height": 140,
            "width": 100,
            "spine_width": 25,
            "opening_angle": 120,
        }
    )
    [html] = [f for f in make(slip, formats=["svg"]).files if f.name.endswith(".html")]
    assert b"<script>alert" not in html.data
    path = tmp_path / "x.html"
    path.write_bytes(html.data)
    heading = "document.querySelector('h1').textContent"
    read = browse(path, [["read", "title", heading]])
    assert read["title"] == f"A1 · {title}"
