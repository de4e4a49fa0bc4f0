"""Lengths, weights and angles as people write them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutfiles.errors import ReadingError
from cutfiles.units import read_angle, read_length, read_number, read_size, read_weight

LENGTHS = [
    ("203 mm", 203),
    ("203mm", 203),
    ("20.3 cm", 203),
    ("20,3 cm", 203),
    ("0.203 m", 203),
    ("8 in", 203.2),
    ('8"', 203.2),
    ("8 inches", 203.2),
    ("8 in.", 203.2),
    ("8''", 203.2),
    ("8″", 203.2),
    ("8”", 203.2),
    ("8 Inch", 203.2),
    ("5 1/4 in", 133.35),
    ('5-1/4"', 133.35),
    ("5¼ in", 133.35),
    ("5 ¼″", 133.35),
    ("5 1⁄4 in", 133.35),
    ("5–1/4 in", 133.35),
    ("5 - 1/4 in", 133.35),
    ("21/4 in", 133.35),
    ("¼ in", 6.35),
    ("1/4 in", 6.35),
    (".25 in", 6.35),
    ("0,25 in", 6.35),
    ('4-13/32"', 111.91875),
    ("9' 1\"", 2768.6),
    ("9'1\"", 2768.6),
    ("9 ft 1 in", 2768.6),
    ("9’ 1”", 2768.6),
    ("9' 1 1/2\"", 2781.3),
    ("1 m 5 cm", 1050),
    ("20 cm 3 mm", 203),
    ("7½ in", 190.5),
    ("8 Zoll", 203.2),
    ("5 1/4 pouces", 133.35),
    ("8 pulgadas", 203.2),
    ("20,3 Zentimeter", 203),
    ("5 mil", 0.127),
    ("5 mils", 0.127),
    ("5 thou", 0.127),
    ("127 µm", 0.127),
    ("127 μm", 0.127),
    ("127 um", 0.127),
    ("127 microns", 0.127),
    ("203\u00a0mm", 203),
    ("  203  mm ", 203),
    ("20.3 centimetres", 203),
    ("-4 mm", -4),
    *((f"{dash}4 mm", -4) for dash in "−–‐‑"),
    *((f"203{blank}mm", 203) for blank in "\u00a0\u2009\u202f\u2007\t\r\n"),
    ('1 5/16"', 33.3375),
]


@pytest.mark.parametrize(("text", "mm"), LENGTHS, ids=[text for text, _ in LENGTHS])
def test_length(text, mm):
    assert read_length(text) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(("units", "mm"), [("mm", 12.5), ("cm", 125), ("in", 317.5)])
def test_bare_number_counts_in_the_slips_units(units, mm):
    assert read_length(12.5, units) == pytest.approx(mm)
    assert read_length("12,5", units) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("203", "units"),
        (203, "units"),
        ("", "needed here"),
        ("tall", "one number"),
        ("203 furlong", "no unit"),
        ("1,234 mm", "comma"),
        ("5 9/4 in", "proper fraction"),
        ("5/0 in", "proper fraction"),
        ("3 in 5 mm", "belong together"),
        ("1 in 9 ft", "belong together"),
        ("9' 14\"", "as large as"),
        ("9' 1", "units"),
        ("~110 mm", "one number"),
        ("<50 mm", "one number"),
        ("110 mm?", "one number"),
        ("129 ± 1 mm", "one number"),
        ("1e3 mm", "no unit"),
        ("nan", "one number"),
        (float("nan"), "finite"),
        (float("inf"), "finite"),
        (True, "number"),
        (None, "number"),
        ([203], "number"),
        ("dto.", "one number"),
        ("9x5 in", "no unit"),
        ("203 mm 4", "units"),
        ("--4 mm", "one number"),
        ("4 4 mm", "units"),
        ("5 lb", "no unit"),
        ("inf mm", "one number"),
    ],
)
def test_length_refused(text, part):
    with pytest.raises(ReadingError) as refusal:
        read_length(text)
    assert f'"{text}"' in str(refusal.value)
    assert part in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("641 g", 641),
        ("641 Gramm", 641),
        ("0.64 kg", 640),
        ("0,64 kg", 640),
        ("1.4 lb", 635.029318),
        ("1 lb 6 oz", 623.689508),
        ("22 oz", 623.689508),
        ("1 lbs", 453.59237),
        ("13.7 oz", 388.3885),
        ("1 kg 200 g", 1200),
    ],
)
def test_weight(text, grams):
    assert read_weight(text) == pytest.approx(grams, rel=1e-6)


def test_bare_weight():
    assert read_weight(641, "mm") == 641
    for units in (None, "in"):
        with pytest.raises(ReadingError, match="bare number"):
            read_weight(641, units)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("120", 120),
        ("120°", 120),
        (120, 120),
        ("120 deg", 120),
        ("35,5 degrees", 35.5),
        ("35° 30'", 35.5),
        ("½°", 0.5),
        ("120 Grad", 120),
        ("120 degrés", 120),
        ("120 grados", 120),
    ],
)
def test_angle(text, degrees):
    assert read_angle(text) == pytest.approx(degrees)


@pytest.mark.parametrize("text", ["2 rad", "120 mm", "about 120", ""])
def test_angle_refused(text):
    with pytest.raises(ReadingError, match=r"angle|deg"):
        read_angle(text)


def test_number():
    assert read_number("0,8") == 0.8
    assert read_number(1) == 1
    assert read_number("-0,8") == read_number("−0.8") == -0.8  # what it may be, its field says
    for text in ("0.8 mm", "x", "--1", "- ", True, None):
        with pytest.raises(ReadingError):
            read_number(text)


@given(st.integers(1, 5000), st.integers(0, 31), st.sampled_from([" ", "-"]))
def test_inch_fractions(whole, top, joint):
    expected = (whole + top / 32) * 25.4
    assert read_length(f'{whole}{joint}{top}/32"') == pytest.approx(expected)


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused(text):
    for read in (read_length, read_weight, read_angle):
        try:
            value, said = read(text, "mm"), ""
        except ReadingError as refusal:
            value, said = 0.0, refusal.fault.found
        assert math.isfinite(value)
        assert said in ("", f'"{text}"')


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("500 x 700 mm", (500, 700)),
        ("500x700mm", (500, 700)),
        ("20 in × 24 in", (508, 609.6)),
        ("20 x 24 in", (508, 609.6)),
        ("1.5 m * 30 cm", (1500, 300)),
        ("3' x 1 m", (914.4, 1000)),
        ("1016 mm", (1016, 0)),
        ("40 in", (1016, 0)),
    ],
)
def test_sizes(text, size):
    assert read_size(text) == pytest.approx(size)


@pytest.mark.parametrize(
    "value",
    ["", "x", "500 x", "x 500 mm", "1 x 2 x 3 mm", "0 mm x 5 mm", "-5 mm x 5 mm", "5 x 5", None, 5],
)
def test_no_sizes(value):
    with pytest.raises(ReadingError):
        read_size(value)
