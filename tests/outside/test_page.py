"""The folded page in a real browser: it loads, folds with the slider, turns, prints."""

import pytest
import tilted
from browser import browse
from conftest import SAMPLES

from cutfiles.bench.slip import read_slip
from cutfiles.job.make import make
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
        *[["key", "PageUp"]] * 5,
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
    text = "".join(p.extract_text() for p in printed.pages)
    assert "folds into its support" in text
    assert "Drag to turn" not in text


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
