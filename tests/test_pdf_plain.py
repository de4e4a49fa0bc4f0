"""Our own PDF files are opened without a library, as strictly as can be; others by pypdf."""

import random
import re

import pytest
from conftest import sample

from cutfiles.draft import draft_of
from cutfiles.errors import FileError
from cutfiles.files.readers import pdf
from cutfiles.files.readers.pdf_plain import NotPlain, Ref, open_plain
from cutfiles.files.writers.pdf import write_pdf
from cutfiles.film.drawing import with_notes_drawn
from cutfiles.job.recheck import verify_data


@pytest.fixture(scope="module")
def written():
    return write_pdf(with_notes_drawn(draft_of(sample("A1")).drawing))


def by_pypdf(data, monkeypatch):
    def other(_):
        raise NotPlain

    with monkeypatch.context() as patch:
        patch.setattr(pdf, "_plain_page", other)
        return outcome(data)


def outcome(data):
    try:
        return pdf.read_pdf(data)
    except FileError:
        return "refused"


def test_our_own_are_of_the_plainest_kind(written):
    file = open_plain(written)
    assert file.trailer["/Root"] == Ref(1)
    assert file.resolve(Ref(1))["/Type"] == "/Catalog"
    assert "number: A1" in file.resolve(file.trailer["/Info"])["/Subject"]


def test_both_ways_read_the_same(written, monkeypatch):
    reading = outcome(written)
    assert len(reading.paths) > 50
    assert dict(reading.facts)["number"] == "A1"
    assert reading == by_pypdf(written, monkeypatch)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"%PDF-1.7", b"%PDG-1.7"),
        (b"trailer\n<< /Size", b"trailer\n<< /Prev 9 /Size"),
        (b"endobj\n2 0 obj", b"endobj\n 2 0 obj"),
        (b"/Length ", b"/Length 1"),
        (b"/Type /Pages", b"/Type /Pages /Type /Pages"),
        (b"\nendstream", b"endstream"),
        (b"/BaseState /ON", b"/BaseState /O#4e"),
    ],
)
def test_what_departs_by_a_byte_is_left_to_the_library(written, old, new):
    assert written.count(old) >= 1
    with pytest.raises(NotPlain):
        open_plain(written.replace(old, new, 1))


def test_several_pages_and_other_units_are_refused(written):
    for old, new, found in (
        (b"/Kids [3 0 R] /Count 1", b"/Kids [3 0 R 3 0 R] /Count 2", "2 pages"),
        (b"/Type /Page /Parent", b"/Type /Page /UserUnit 2 /Parent", "UserUnit"),
    ):
        with pytest.raises(FileError, match=found):
            pdf.read_pdf(written.replace(old, new))


def test_our_own_need_no_library_and_other_units_are_refused_where_each_byte_stands(
    written, monkeypatch
):
    box = re.search(rb"/TrimBox \[.*?\]", written)[0]
    doubled = written.replace(box, b"/UserUnit 2".ljust(len(box)))
    open_plain(doubled)
    with pytest.raises(FileError, match="UserUnit"):
        pdf.read_pdf(doubled)
    monkeypatch.setattr(pdf, "_page", None)
    assert pdf.read_pdf(written).paths


def test_a_page_that_is_not_as_large_as_its_sheet_is_told(written):
    right = re.search(rb"/MediaBox \[0 0 ([\d.]+) ", written)[1]
    wider = b"%.4f" % (float(right) + 72 / 25.4)  # by a millimetre
    assert len(wider) == len(right)
    found = verify_data(
        written.replace(b"/MediaBox [0 0 " + right, b"/MediaBox [0 0 " + wider),
        "A1.pdf",
        sample("A1"),
    )
    assert verify_data(written, "A1.pdf", sample("A1")) == ()
    assert [one.place for one in found] == ["drawing"]
    assert f"is {float(wider) * 25.4 / 72:.3f} × " in found[0].message


@pytest.mark.parametrize("seed", range(3))
def test_damaged_files_are_read_alike_both_ways(written, seed, monkeypatch):
    dice = random.Random(seed)
    for _ in range(12):
        damaged = bytearray(written)
        place = dice.randrange(len(damaged))
        match dice.randrange(3):
            case 0:
                damaged[place] = dice.randrange(32, 127)
            case 1:
                del damaged[place : place + dice.randrange(1, 30)]
            case _:
                damaged[place:place] = bytes([dice.randrange(32, 127)])
        assert outcome(bytes(damaged)) == by_pypdf(bytes(damaged), monkeypatch)


def test_streams_that_are_not_packed_are_read_too(written, monkeypatch):
    """As any program may save them: the table of objects is made anew."""
    import zlib

    start = written.index(b"\nstream\n") + 8
    end = written.index(b"\nendstream")
    body = zlib.decompress(written[start:end])
    head = written[: written.index(b"<< /Length")]
    loose = (
        head
        + b"<< /Length %d >>\nstream\n" % len(body)
        + body
        + written[end : written.rindex(b"xref\n0 ")]
    )
    tail = written[written.index(b"trailer\n") : written.index(b"startxref")]
    count = written.count(b" 0 obj\n")
    places = [loose.index(b"\n%d 0 obj\n" % i) + 1 for i in range(1, count + 1)]
    table = b"xref\n0 %d\n0000000000 65535 f \n" % (count + 1)
    table += b"".join(b"%010d 00000 n \n" % place for place in places)
    loose += table + tail + b"startxref\n%d\n%%%%EOF\n" % len(loose)
    open_plain(loose)
    assert outcome(loose) == outcome(written)
