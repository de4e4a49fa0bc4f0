"""Broken files: whatever their bytes, they are compared or refused, and the refusal names them."""

import json
import os
import random
import re
import subprocess
import sys

import pytest
from conftest import DEEP, ROOT, SAMPLES

from cutfiles.bench.slip import read_slip
from cutfiles.disk.refusals import read
from cutfiles.draft import draft_of
from cutfiles.errors import FileError
from cutfiles.files.readers import limits
from cutfiles.files.readers.fold import fold_pieces
from cutfiles.files.readers.hpgl import read_hpgl
from cutfiles.files.readers.reading import ReadPath, sound
from cutfiles.files.readers.svg import read_svg
from cutfiles.job import recheck
from cutfiles.job.recheck import fold_data, verify_data
from cutfiles.line.check import check_job
from cutfiles.lists.grid import read_grids
from cutfiles.tables.load import Wanted, read_text

FILES = SAMPLES / "files"
NAMES = ["A1.svg", "A1.r12.dxf", "A1.r2000.dxf", "A1.pdf", "A1.hpgl"]
BITS = [b"nan", b"1e999", b"-", b"", b"9" * 30, b"9" * 5000, b"\x00", b"<use/>", b"0", b"\xff"]


@pytest.fixture
def verify(monkeypatch):
    """Compare bytes with the sample A1, which is designed only once."""
    slip = read_slip(SAMPLES / "A1.toml")
    once = draft_of(slip)
    monkeypatch.setattr(recheck, "drafted", lambda *_: once)
    return lambda data, name: verify_data(data, name, slip)


def broken(data, chance):
    """Return the bytes with a few of them flipped, replaced, cut off, left out or doubled."""
    found = bytearray(data)
    kind = chance.choice(["flip", "digit", "cut", "out", "twice", "bit"])
    for _ in range(chance.choice([1, 1, 3, 20])):
        at = chance.randrange(len(found))
        if kind == "flip":
            found[at] ^= 1 << chance.randrange(8)
        elif kind == "digit":
            found[at] = ord(chance.choice("0123456789-.eE \n,;<>/()[]\"'"))
        elif kind == "cut":
            del found[max(1, at) :]
        elif kind == "out":
            del found[at : at + chance.randrange(1, 30)]
        elif kind == "twice":
            found[at:at] = found[at : at + chance.randrange(1, 60)]
        else:
            found[at : at + chance.randrange(6)] = chance.choice(BITS)
        found = found or bytearray(b" ")
    return bytes(found)


@pytest.mark.parametrize("name", NAMES)
def test_any_bytes_are_compared_or_refused(verify, name):
    data, chance = (FILES / name).read_bytes(), random.Random(7)
    refused = different = 0
    for number in range(250 if DEEP else 50):
        if not DEEP and number >= 25 and min(refused, different) > 2:
            break
        try:
            different += bool(verify(broken(data, chance), name))
        except FileError as error:
            refused += str(error.fault.place) == name
    assert refused > 2
    assert different > 2


def changed(name, old, new):
    data = (FILES / name).read_bytes()
    assert old in data
    return data.replace(old, new, 1)


END = b"</svg>"


@pytest.mark.parametrize(
    "more",
    [
        b'<polyline points=""/>',
        b'<polyline points="1,2,3"/>',
        b'<polygon points="1"/>',
        b'<circle cx="5mm" r="2"/>',
        b'<line x1="a"/>',
        b'<path d="M0 0L1e400 5"/>',
        b'<g transform="rotate()"/>',
        b'<g transform="translate(5"/>',
        b'<g transform="matrix(1 2)"/>',
        b'<g transform="scale(x)"/>',
        b"<g>" * 3000 + b"</g>" * 3000,
        b'<path d="M0 0A1e-200 1e-200 0 0 1 5 5"/>',
        b'<path d="M1e300 0L-1e300 1e300"/>',
        b'<path d="M0 0A1e308 1e308 0 0 1 1e308 -1e308"/>',
    ],
    ids=lambda more: more[:36].decode(),
)
def test_svg_that_means_nothing_is_refused(verify, more):
    with pytest.raises(FileError, match=r"A1\.svg: found "):
        verify(changed("A1.svg", END, more + END), "A1.svg")


@pytest.mark.parametrize("d", [b"M0 0L5 5 6", b"M0 0CL5 5", b"M0 0L5 5 C", b"M0 0L5 5Z 3", b"5 5"])
def test_svg_path_with_a_number_too_many_or_too_few_is_refused(verify, d):
    """A program draws such a path up to the damage only (SVG 1.1, F.2): what is cut?"""
    more = b'<path d="' + d + b'"/>'
    with pytest.raises(FileError, match=r"A1\.svg: found path data"):
        verify(changed("A1.svg", END, more + END), "A1.svg")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'viewBox="0 0', b'viewBox="0 x'),
        (b'viewBox="0 0', b'viewBox="nan 0'),
        (b'encoding="utf-8"', b'encoding="ugf-8"'),
        (b'mm" version', b'.1.1mm" version'),
    ],
)
def test_svg_without_a_readable_size_or_text_is_refused(verify, old, new):
    with pytest.raises(FileError, match=r"A1\.svg: found "):
        verify(changed("A1.svg", old, new), "A1.svg")


@pytest.mark.parametrize(
    "attribute",
    [
        b'style="transform:translate(5px,0)"',
        b'style="stroke:red; display : none"',
        b'display="none"',
        b'visibility="hidden"',
        b'style="visibility:collapse"',
    ],
)
@pytest.mark.parametrize("old", [b"<g ", b"<path "])
def test_svg_that_hides_or_moves_by_style_is_refused(verify, old, attribute):
    with pytest.raises(FileError, match=r"style|hidden"):
        verify(changed("A1.svg", old, old + attribute + b" "), "A1.svg")


@pytest.mark.parametrize("css", [b"path{transform:scale(2)}", b".a{display:none}"])
def test_svg_with_a_style_sheet_that_hides_or_moves_is_refused(verify, css):
    with pytest.raises(FileError, match="style"):
        verify(
            changed("A1.svg", b"<defs />", b"<defs><style>" + css + b"</style></defs>"), "A1.svg"
        )


def test_svg_styled_by_an_editor_is_still_compared(verify):
    data = changed("A1.svg", b"<path ", b'<path style="stroke:#999999;display:inline" ')
    assert verify(data, "A1.svg") == ()


@pytest.mark.parametrize("name", ["A1.r12.dxf", "A1.r2000.dxf"])
def test_dxf_number_that_is_none_is_named(verify, name):
    data = (FILES / name).read_text("cp1252").splitlines()
    at = data.index("ENTITIES")
    at = next(i for i in range(at + 1, len(data), 2) if data[i].strip() == "10")
    data[at + 1] = "12/34"
    with pytest.raises(FileError, match=r'found "12/34"; .*group code 10'):
        verify("\n".join(data).encode(), name)


@pytest.mark.parametrize("how", ["cut off", "table misplaced"])
def test_pdf_reader_is_silent(tmp_path, how):
    """Its library mends and mutters; the user hears of the file once, from us."""
    path = tmp_path / "A1.pdf"
    whole = (FILES / "A1.pdf").read_bytes()
    misplaced = re.sub(rb"startxref\n\d+", b"startxref\n77", whole)
    path.write_bytes(whole[: len(whole) // 2] if how == "cut off" else misplaced)
    command = [sys.executable, "-m", "cutfiles", "verify", path, "--slip", SAMPLES / "A1.toml"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == (how == "cut off")
    assert len(done.stderr.splitlines()) == (how == "cut off")


@pytest.mark.parametrize("reader", [verify_data, fold_data], ids=["verify", "fold"])
@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("vertices_coords", [[float("inf"), 0]]),
        ("vertices_coords", [[10**400, 0]]),
        ("vertices_coords", [["1", None]]),
        ("vertices_coords", None),
        ("edges_vertices", [[float("inf"), 1]]),
        ("edges_vertices", [[10**30, 1]]),
        ("edges_vertices", [[0, 1]] * 6_000),
        ("edges_assignment", 5),
        ("frame_classes", None),
        ("frame_classes", 5),
        ("frame_unit", ["mm"]),
        ("file_frames", [{"frame_classes": ["foldedForm"], "frame_parent": [1]}]),
    ],
)
def test_fold_of_wrong_kinds_is_refused(reader, key, value):
    document = json.loads((FILES / "A1.fold").read_text()) | {key: value}
    if key in ("vertices_coords", "edges_vertices") and value and len(value) == 1:
        document[key] = [*value, *json.loads((FILES / "A1.fold").read_text())[key][1:]]
    with pytest.raises(FileError) as refused:
        reader(json.dumps(document).encode(), "A1.fold", slip=read_slip(SAMPLES / "A1.toml"))
    assert str(refused.value.fault.place) == "A1.fold"
    assert refused.value.fault.remedy


def test_hpgl_of_endless_digits_and_one_cut_off_are_refused_by_name(verify):
    for data in (changed("A1.hpgl", b"PD", b"PD" + b"9" * 4_000 + b",1,"), b"IN;SP1;PU1,1;PD2,"):
        with pytest.raises(FileError, match=r"A1\.hpgl: found "):
            verify(data, "A1.hpgl")


def test_half_a_letter_is_told_as_such():
    data = changed("A1.hpgl", b'CO "unit: mm"', b'CO "unit: \\ud800"')
    assert read_hpgl(data).facts["unit"] == "\ufffd"


@pytest.mark.parametrize(
    ("name", "more", "said"),
    [
        ("A1.svg", b'<g transform="' + b"scale(1)" * 25_000 + b'"/>', "letters in a transform"),
        ("A1.svg", b'<path d="M0 0L' + b"9" * 4_000 + b' 1"/>', "digits in a number"),
        ("A1.svg", b"<g/>" * 300_001, "elements"),
    ],
)
def test_more_than_is_read_is_refused_in_words(verify, name, more, said):
    with pytest.raises(FileError, match=rf"A1\.svg: found more than [0-9,]+ {said}"):
        verify(changed(name, END, more + END), name)


def test_a_file_of_thousands_of_lines_more_is_told_at_once(verify, monkeypatch):
    """Its lines are not told singly, and it is not folded."""
    line = b'<g id="label"><path d="M 1 1 L 2 2"/></g>'
    data = changed("A1.svg", END, line * 1_300 + END)
    (told,) = verify(data, "A1.svg")
    assert told.message == "holds 1,367 lines, not 67"
    monkeypatch.setattr("cutfiles.files.fold_check.MOST_FOLDED_LINES", 1_000)
    with pytest.raises(FileError, match=r"A1\.svg: found more than 1,000 lines to fold"):
        fold_data(data, "A1.svg")


@pytest.mark.parametrize(
    ("drawn", "told"),
    [
        (b'<path d="M1 1L2 2"/>' * 5_001, "5,000 lines to fold"),
        (b'<path d="M1 1' + b"L2 2" * 50_000 + b'"/>', "50,000 places on lines to fold"),
    ],
    ids=["lines", "places"],
)
def test_what_no_support_has_is_not_folded(drawn, told):
    data = changed("A1.svg", END, b'<g id="label">' + drawn + b"</g>" + END)
    with pytest.raises(FileError, match=rf"A1\.svg: found more than {told}"):
        fold_data(data, "A1.svg")


@pytest.mark.parametrize("key", ["vertices_coords", "edges_vertices", "faces_vertices"])
@pytest.mark.parametrize("framed", [False, True])
def test_a_fold_file_of_more_than_a_support_has_is_refused(key, framed):
    frame = {key: [[0, 0]] * 5_001}
    document = {"frame_classes": ["creasePattern"], **({} if framed else frame)}
    data = json.dumps({**document, "file_frames": [frame] * framed}).encode()
    with pytest.raises(FileError, match=f"found more than 5,000 {key}"):
        fold_pieces(data)
    assert len(fold_pieces(data.replace(b"[0, 0], ", b"", 1))) == 1


def run_of(places):
    return ReadPath("cut", ((1.0, 1.0),) * places, (), False)


@pytest.mark.parametrize(
    ("most", "told"),
    [
        ([run_of(1)] * 150_000, "150,000 lines"),
        ([run_of(399_999), run_of(1)], "400,000 places on lines"),
    ],
    ids=["lines", "places"],
)
def test_one_more_than_is_read_is_refused(most, told):
    assert len(sound(most, "SVG file")) == len(most)
    with pytest.raises(FileError, match=f"found more than {told};"):
        sound([*most, run_of(1)], "SVG file")


@pytest.mark.parametrize(
    ("most", "one", "told"),
    [
        (b'<path d="M1 1L2 %s"/>' % (b"1." + 38 * b"0"), b"0", "40 digits in a number"),
        (b'<g transform="scale(1)%s"/>' % (3_992 * b" "), b" ", "4,000 letters in a transform"),
    ],
    ids=["digits", "letters"],
)
def test_one_sign_more_than_is_read_is_refused(most, one, told):
    read_svg(changed("A1.svg", END, most + END))
    longer = most.replace(b'"/>', one + b'"/>')
    with pytest.raises(FileError, match=f"found more than {told};"):
        read_svg(changed("A1.svg", END, longer + END))


def test_a_pipe_a_device_and_a_folder_are_no_files(tmp_path):
    pipe = tmp_path / "pipe.svg"
    os.mkfifo(pipe)
    wanted = Wanted("a slip", "a slip", "name it", "")
    for path in (pipe, "/dev/zero"):
        for reading in (
            lambda p: read(p, "a cut file"),
            lambda p: read_text(p, "it", wanted),
            lambda p: check_job(p, None),
            read_grids,
        ):
            with pytest.raises(FileError, match="a pipe or a device"):
                reading(path)
    with pytest.raises(FileError, match="it must be a cut file"):
        read(tmp_path, "a cut file")


def test_a_file_larger_than_is_read_is_refused(tmp_path):
    large = tmp_path / "large.svg"
    with open(large, "wb") as file:
        file.truncate(limits.MOST_BYTES + 1)
    with pytest.raises(FileError, match="found more than 16,000,000 bytes"):
        read(large, "a cut file", limits.MOST_BYTES)
