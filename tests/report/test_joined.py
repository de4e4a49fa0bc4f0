"""Pages of several files as one: each font once, nothing lost."""

import io

import pytest
from conftest import outside_module
from pages import text_of, type_of

from cutfiles.report.printed.joined import joined
from cutfiles.report.printed.paper import Paper


def page(text, *more, paper="A4", bold=False):
    made = Paper(paper, text)
    for i, one in enumerate((text, *more)):
        if i:
            made.new_page()
        made.text((20, 200), one, 4.0, bold=bold)
        made.ring((50.0, 100.0), 4.0, "B")
    return made.pdf()


def whole(files):
    return b"".join(joined(files, "all"))


@pytest.fixture(scope="module")
def files():
    return (
        page("Height 203 mm · “one”", "second page"),
        page("植物図鑑 and Ω", paper="Letter"),
        page("שלום … ½", bold=True),
    )


def test_all_pages_are_there_and_read_as_before(files):
    both = whole(files)
    assert text_of(both) == [text for file in files for text in text_of(file)]
    assert "203 mm · “one”" in text_of(both)[0]
    assert "植物図鑑 and Ω" in text_of(both)[2]
    assert list(type_of(both)) == [letter for file in files for letter in type_of(file)]
    assert whole(files) == both


def test_pages_look_as_before(files):
    pypdfium2 = outside_module("pypdfium2")

    def seen(data):
        return [page.render(scale=2).to_numpy().tobytes() for page in pypdfium2.PdfDocument(data)]

    assert seen(whole(files)) == [one for file in files for one in seen(file)]


def test_each_font_is_there_once_however_many_cards(files):
    pikepdf = outside_module("pikepdf")
    many = whole([*files, *(page(f"card {i}") for i in range(30))])
    with pikepdf.open(io.BytesIO(many)) as file:
        assert file.check_pdf_syntax() == []
        fonts = [one for one in file.objects if hasattr(one, "keys") and "/Length1" in one]
        assert len(fonts) == len({bytes(one.read_raw_bytes()) for one in fonts}) == 6
        told = [one for one in file.objects if getattr(one, "Type", "") == "/FontDescriptor"]
        assert len(told) == len(fonts)
        named = [one for one in file.objects if getattr(one, "Subtype", "") == "/TrueType"]
        assert len(named) <= 8  # one for each font and its name on a page
        assert file.docinfo["/Title"] == "all"
        assert file.Root.ViewerPreferences.PrintScaling == "/None"
        sizes = [tuple(round(float(v)) for v in one.MediaBox) for one in file.pages]
    assert sizes[:3] == [(0, 0, 595, 842), (0, 0, 595, 842), (0, 0, 612, 792)]
    assert len(many) < sum(map(len, files)) + 30 * 1200


def test_letters_that_share_a_glyph_read_the_same_in_any_order():
    """A hyphen and U+2010 are one glyph of the font: the first of them is read."""
    plain, other = page("a-b"), page("a\u2010b\u00a0c")
    assert text_of(whole([plain, other])) == text_of(whole([other, plain]))[::-1]


def referring(name):
    """Return a file whose drawing refers to an object that says `name`; all else reads alike."""
    bodies = (
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Count 1 /Kids [ 3 0 R ] >>",
        b"<< /Type /Page /Parent 2 0 R /Resources << /XObject << /X 4 0 R >> >> >>",
        b"<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources 5 0 R /Length 1 >>\n"
        b"stream\nq\nendstream",
        b"<< /Properties << /%s << >> >> >>" % name,
    )
    out, begins = b"%PDF-1.4\n", []
    for number, body in enumerate(bodies, 1):
        begins.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    rows = b"".join(b"%010d 00000 n \n" % begin for begin in begins)
    table = b"xref\n0 6\n0000000000 65535 f \n%strailer\n<< /Size 6 /Root 1 0 R >>\n" % rows
    return b"%s%sstartxref\n%d\n%%%%EOF\n" % (out, table, len(out))


def test_streams_that_read_alike_keep_what_they_refer_to():
    pikepdf = outside_module("pikepdf")
    with pikepdf.open(io.BytesIO(whole([referring(b"One"), referring(b"Other")]))) as file:
        drawings = [one.Resources.XObject.X for one in file.pages]
        assert [[*one.Resources.Properties.keys()] for one in drawings] == [["/One"], ["/Other"]]
