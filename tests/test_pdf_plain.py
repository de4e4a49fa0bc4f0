"""Our own PDF files are opened without a library, as strictly as can be; others by pypdf."""

import io
import random
import re
import zlib
from itertools import pairwise

import numpy as np
import pytest
from conftest import outside_module, sample

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


def remade(data, change=lambda objects: None, trailer=(b"", b""), numbers=()):
    """Return a file with other objects, its table made anew so that it fits them."""
    objects = re.findall(rb"\d+ 0 obj\n(.*?)\nendobj\n", data, re.DOTALL)
    change(objects)
    told = data[data.index(b"trailer\n") : data.index(b"\nstartxref")]
    told = told.replace(*trailer, 1) if trailer[0] else told
    whole, rows = data[: data.index(b"1 0 obj\n")], b"0000000000 65535 f \n"
    for i, one in enumerate(objects, start=1):
        rows += b"%010d 00000 n \n" % len(whole)
        whole += b"%d 0 obj\n%s\nendobj\n" % (dict(numbers).get(i, i), one)
    told = re.sub(rb"/Size \d+", b"/Size %d" % (len(objects) + 1), told)
    table = b"xref\n0 %d\n" % (len(objects) + 1)
    return whole + table + rows + told + b"\nstartxref\n%d\n%%%%EOF\n" % len(whole)


def stream_of(objects):
    """Return which object is the content, and its bytes as they are packed."""
    (at,) = (i for i, one in enumerate(objects) if b"\nstream\n" in one)
    return at, re.search(rb"\nstream\n(.*)\nendstream", objects[at], re.DOTALL)[1]


def added(*more):
    """Return a change that adds objects which nothing names."""
    return lambda data: remade(data, lambda objects: objects.extend(more))


def streamed(pack, told, length=None):
    """Return a change that packs the content otherwise, and says so or not."""

    def change(objects):
        at, packed = stream_of(objects)
        new = pack(zlib.decompress(packed))
        size = b"%d" % len(new) if length is None else length
        objects[at] = b"<< /Length %s%s >>\nstream\n%s\nendstream" % (size, told, new)
        objects.append(b"%d" % len(new))

    return lambda data: remade(data, change)


def less_the_line_above(data):
    """Return lines of 64 bytes, each less the one above (ISO 32000-1, 7.4.4.4: PNG's Up)."""
    data += b"\n" * (-len(data) % 64)
    lines = [bytes(64), *(data[i : i + 64] for i in range(0, len(data), 64))]
    less = (bytes((b - a) % 256 for a, b in zip(*two, strict=True)) for two in pairwise(lines))
    return zlib.compress(b"".join(b"\x02" + line for line in less))


FLATE = b" /Filter /FlateDecode"
UP = FLATE + b" /DecodeParms << /Predictor 12 /Columns 64 >>"
DEPARTING = {
    "blanks after its end": lambda data: data + b"\n" * 80,
    "a blank before its end": lambda data: data.replace(b"\n%%EOF", b" \n%%EOF"),
    "a table of other rows": lambda data: data.replace(b"65535 f \n", b"65535 f\r\n"),
    "no trailer": lambda data: data.replace(b"trailer\n", b"trailex\n"),
    "encrypted": lambda data: remade(data, trailer=(b"/Size", b"/Encrypt 2 0 R /Size")),
    "a remark after the trailer": lambda data: remade(data, trailer=(b">]", b">] %said\n")),
    "a remark before the end": lambda data: data.replace(b"\nstartxref", b"\n%said\nstartxref"),
    "two objects exchanged": lambda data: remade(data, numbers=((10, 11), (11, 10))),
    "lines told by the one above": streamed(less_the_line_above, UP),
    "a length told elsewhere": streamed(zlib.compress, FLATE, b"22 0 R"),
    "no length": lambda data: data.replace(b"/Length ", b"/Longth "),
    "packed, said otherwise": streamed(zlib.compress, b" /Filter /LZWDecode"),
    "packed twice": streamed(
        lambda data: zlib.compress(zlib.compress(data)), b" /Filter [/FlateDecode /FlateDecode]"
    ),
    "packed and damaged": streamed(lambda data: zlib.compress(data)[:-2] + b"xx", FLATE),
    "an object that ends alone": added(b">>"),
    "an array that ends as a dictionary": added(b"[1 2>>"),
    "a name without a value": added(b"<< /Type /Page /Odd >>"),
    "a name told twice": added(b"<< /Type /Page /Type /Page >>"),
    "a value without a name": added(b"<< 1 2 >>"),
    "half a sign": added(b"<FEFF00>"),
}


@pytest.mark.parametrize("departing", DEPARTING)
def test_what_is_not_plain_is_read_as_the_library_reads_it(written, departing, monkeypatch):
    """It is neither refused, nor read as something else, because the quick way knows it not."""
    open_plain(remade(written))
    data = DEPARTING[departing](written)
    assert data != written
    with pytest.raises(NotPlain):
        open_plain(data)
    assert outcome(data) == by_pypdf(data, monkeypatch)


def test_most_of_what_is_not_plain_is_read(written):
    """So the test above compares readings, not refusals alone."""
    readings = {name: outcome(change(written)) for name, change in DEPARTING.items()}
    refused = {name for name, reading in readings.items() if reading == "refused"}
    assert refused == {"no trailer", "encrypted", "packed, said otherwise"}


@pytest.mark.parametrize("corner", [(0, 0), (7, 5), (-3, -8)])
def test_a_page_is_as_large_wherever_its_corner_lies(written, corner, monkeypatch):
    pikepdf = outside_module("pikepdf")
    left, bottom = corner

    def moved(objects):
        wide, high = re.search(rb"/MediaBox \[0 0 (\S+) (\S+)\]", objects[2]).groups()
        sides = (left, bottom, float(wide) + left, float(high) + bottom)
        box = b"/MediaBox [%d %d %.4f %.4f]" % sides
        objects[2] = re.sub(rb"/MediaBox \[.*?\]", box, objects[2])

    data = remade(written, moved)
    open_plain(data)
    with pikepdf.open(io.BytesIO(data)) as pdf:
        box = pdf.pages[0].mediabox
    size = tuple(float(box[i + 2] - box[i]) * 25.4 / 72 for i in (0, 1))
    assert outcome(data).size == pytest.approx(size, abs=1e-3)
    assert outcome(data).size == pytest.approx(outcome(written).size, abs=1e-3)
    assert by_pypdf(data, monkeypatch).size == pytest.approx(size, abs=1e-3)
    # places count from that corner: a page moved off its drawing is told
    for reading in (outcome(data), by_pypdf(data, monkeypatch)):
        for path, was in zip(reading.paths, outcome(written).paths, strict=True):
            off = np.subtract(was.points, path.points)
            assert np.allclose(off, np.multiply(corner, 25.4 / 72), atol=1e-3)


def test_streams_that_are_not_packed_are_read_too(written):
    """As any program may save them: the table of objects is made anew."""
    loose = streamed(bytes, b"")(written)
    open_plain(loose)
    assert outcome(loose) == outcome(written)
