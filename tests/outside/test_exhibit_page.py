"""The exhibit's page in a real browser: keys go through it, scrolling is left alone, it prints."""

from dataclasses import replace

import pypdfium2
from browser import browse
from test_exhibit import listed
from test_living import HEAD, QUICK, ROWS

from cutfiles.exhibit.run import make_exhibit

SCROLL, HERE = "scrollY", "document.activeElement.id"
SHOWN = "document.querySelectorAll('.support:not(.hidden)').length"


def test_keys_scrolling_filters_and_print(tmp_path):
    asked = replace(QUICK, order=replace(QUICK.order, formats=("hpgl",)))
    out = tmp_path / "out"
    make_exhibit(listed(tmp_path, HEAD + ROWS["A1"] + ROWS["A2"]), out, asked)
    style = "document.body.style.height='4000px'"
    seen = browse(
        out / "index.html",
        [
            ["read", "higher", style],
            ["key", "ArrowDown"],
            ["read", "settled", "new Promise(done => setTimeout(() => done(1), 400))"],
            ["read", "scrolled", SCROLL],
            ["key", "n"],
            ["read", "first", HERE],
            ["key", "ArrowDown"],
            ["read", "second", HERE],
            ["key", "ArrowDown"],
            ["read", "last", HERE],
            ["key", "Enter"],
            ["read", "open", "document.activeElement.querySelector('details').open"],
            ["fill", "input[name=q]", "Book 2"],
            ["read", "shown", SHOWN],
            ["print", str(tmp_path / "page.pdf")],
        ],
    )
    assert seen["scrolled"] > 0  # nothing is chosen: the arrow scrolls
    assert (seen["first"], seen["second"], seen["last"]) == ("row-2", "row-3", "row-3")
    assert seen["open"]
    assert seen["shown"] == 1
    assert len(pypdfium2.PdfDocument(str(tmp_path / "page.pdf"))) >= 1
