"""The folded page in a real browser: it loads, folds with the slider, turns, prints."""

import pytest
from browser import browse
from conftest import SAMPLES

from cutfiles.bench.slip import read_slip
from cutfiles.job.make import make

DRAWN = "document.getElementById('view').dataset.drawn"
STAGE = "document.getElementById('stage').textContent"
PIXELS = """(() => { const c = document.getElementById('view');
  const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;
  let n = 0; for (let i = 3; i < d.length; i += 4) n += d[i] > 0; return n / (d.length / 4); })()"""
SUM = """(() => { const c = document.getElementById('view'); return c.toDataURL().length + ':' +
  [...c.toDataURL()].reduce((s, x) => (s * 31 + x.charCodeAt(0)) % 1000003, 7); })()"""


@pytest.fixture
def page(tmp_path):
    def write(stem):
        files = make(read_slip(SAMPLES / f"{stem}.toml")).files
        [html] = [f for f in files if f.name.endswith(".folded.html")]
        path = tmp_path / html.name
        path.write_bytes(html.data)
        return path

    return write


@pytest.mark.parametrize("stem", ["A1", "B2", "G1"])
def test_it_folds_and_turns(page, tmp_path, stem):
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
    read = browse(page(stem), steps, tmp_path)
    assert read["standing"] == read["again"] == "standing"
    assert read["flat"] == "flat"
    assert read["between"] not in ("flat", "standing")
    assert len({read["first"], read["flatly"], read["halfway"]}) == 3
    assert 0.1 < read["share"] < 0.9
    sheets, _, turn, _ = read["faces"].split()
    slip = make(read_slip(SAMPLES / f"{stem}.toml"), formats=["svg"]).draft
    panels = (len(slip.pattern.creases) + 1) * len(slip.pattern.bands)
    assert int(sheets) == panels + 12  # two halves of a book have six sides each
    assert int(read["bare"].split()[0]) == panels
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
    read = browse(page("B2"), steps, tmp_path, tablet=True)
    assert read["wide"]
    assert read["tall"] >= 44  # a finger's width, WCAG 2.2 success criterion 2.5.5
    assert read["bare"].split()[0] == "7"


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
    read = browse(path, [["read", "title", heading]], tmp_path)
    assert read["title"] == f"A1 · {title}"
