"""The bench card: one tidy page for any book, true to scale, every number of the slip on it."""

import re
import shutil
import subprocess
import unicodedata

import pypdfium2
import pytest
from conftest import BOOK, drawn, in_turn, outside_tool, plain, sample_slips, samples_on_papers
from hypothesis import given, settings
from once import anew
from pages import check_apart, check_tidy, segments, sizes, text_of
from strategies import slips

from cutfiles.bench.book import SIDES
from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.pattern.pattern import Role
from cutfiles.report.printed.bench_card import bench_card
from cutfiles.report.printed.bench_drawings import tape_places
from cutfiles.report.printed.fitting import fit_lines
from cutfiles.report.printed.paper import PAPERS
from cutfiles.support.fit import judge_fit
from cutfiles.support.straps import straps

THREE = {"construction": "plain", "gauge": "5 mil", "layers": 3}


@pytest.mark.parametrize(("path", "paper"), list(samples_on_papers()))
def test_samples(path, paper):
    made = draft_of(read_slip(path))
    data = bench_card(made, paper)
    assert sizes(data) == [pytest.approx(PAPERS[paper], abs=0.01)] * len(sizes(data))
    assert len(sizes(data)) == 3  # what it is, how it is folded, how it is fitted and proved
    check_tidy(data)
    assert anew(bench_card)(made, paper) == data


def test_a_letter_on_another_is_noticed():
    close = [("a", 0.0, 0.0, 2.0, 2.0), ("b", 1.0, 0.5, 3.0, 2.0)]
    with pytest.raises(AssertionError, match="'a' on 'b'"):
        check_apart(close)


@settings(max_examples=drawn(40))
@given(slips())
def test_any_support_is_tidy(slip):
    data = bench_card(draft_of(slip), "Letter")
    assert 3 <= len(sizes(data)) <= 5
    check_tidy(data)


def test_letters_on_a_low_strip_are_still_read():
    """A wide spine and a steep half make the flat drawing small, and the strip on it low."""
    support = {"fore_inset": 0.02, "end_inset": 1.99, "layers": 3, "gauge": 0.0508}
    widths = {"left_width": 82.7, "right_width": 20.71, "spine_width": 90}
    slopes = {"left_slope": 0.68, "right_slope": 75}
    low = {"number": "A1", "units": "mm", "height": 30, **widths, **slopes, "support": support}
    check_tidy(bench_card(draft_of(slip_from(low)), "Letter"))


@pytest.mark.parametrize(
    "title",
    [
        "A very long title " * 16,
        "كتاب الحدائق والبساتين " * 6,
        "ספר הגנים 1650",
        "藏书目录 " * 30,
        "植物図鑑 가나다",
        "Ἱστορία φυτῶν · Лечебник",
        "हिन्दी पुस्तक",
        "<b>&amp; 😀 \\",
    ],
)
def test_any_title(title):
    values = BOOK | {
        "title": title[:300].strip(),
        "opening": title[:100].strip(),
        "shelf_mark": "s" * 120,
        "note": "n o t e " * 120,
        "number": "W" * 40,
    }
    data = bench_card(draft_of(slip_from(values)), "Letter")
    assert 3 <= len(sizes(data)) <= 5
    check_tidy(data)
    assert "\ufffd" not in text_of(data)[0]


SIZES = [(58, 38, 11), (203, 133, 34), (152, 216, 12), (470, 330, 52)]
SLOPES = [(5, 60), (20, 20), (60, 5), (45, 60)]


@pytest.mark.parametrize(("size", "slopes"), list(in_turn(SIZES, SLOPES, 2)))
def test_from_miniature_to_oblong_and_steep(size, slopes):
    (height, width, spine), (left, right) = size, slopes
    slip = slip_from(
        {
            "number": "A1",
            "units": "in",
            "height": f"{height} mm",
            "width": f"{width} mm",
            "spine_width": f"{spine} mm",
            "left_slope": left,
            "right_slope": right,
        }
    )
    paper = list(PAPERS)[(height + left) % 2]
    data = bench_card(draft_of(slip), paper)
    assert 3 <= len(sizes(data)) <= 5
    check_tidy(data)


def extracted(data, tmp_path):
    outside_tool("pdftotext", shutil.which("pdftotext"))
    (tmp_path / "a.pdf").write_bytes(data)
    run = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "a.pdf", "-"], capture_output=True, check=True
    )
    return " ".join(run.stdout.decode().split())


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_every_number_of_the_slip_reads_back(path, tmp_path):
    slip = read_slip(path)
    said = extracted(bench_card(draft_of(slip)), tmp_path)
    numbers = [slip.book.height, slip.opening.spine_width]
    for board in (slip.opening.left, slip.opening.right):
        numbers += [board.width, round(board.rise, 1), round(board.slope, 1)]
        numbers += [board.side] if board.side is not None else []
    for number in numbers:
        assert re.search(rf"(?<![\d.]){number:.2f}".rstrip("0").rstrip("."), said), number
    assert f"weight {slip.book.weight:.0f} g" in said
    assert slip.book.number in said
    assert slip.book.title in said
    assert slip.opening.label in said
    assert slip.book.note in said
    assert "Verdict: " in said


def test_right_to_left_and_wide_titles_read_back(tmp_path):
    for title in ("ספר הגנים", "كتاب النبات", "植物図鑑"):
        made = draft_of(slip_from(BOOK | {"title": title}))
        said = unicodedata.normalize("NFKC", extracted(bench_card(made), tmp_path))
        assert title in said


def test_inches_and_mm_both():
    made = draft_of(plain("F3"))
    said = text_of(bench_card(made))[0]
    assert "196.85 mm (7 3/4 in)" in said
    assert "apex (2 11/32 in)" in said


def test_bar_and_end_view_are_true():
    """The 50 mm bar is 50 mm long, and the end view has the support's proportions."""
    made = draft_of(slip_from(BOOK))
    page = pypdfium2.PdfDocument(bench_card(made))[0]
    lines = list(segments(page))
    level = [abs(b[0] - a[0]) for a, b in lines if abs(a[1] - b[1]) < 0.001]
    assert min(abs(length - 50) for length in level) < 0.001
    out = 2 * made.support.length("base", "left") + made.support.length("spine")
    base = next(
        (a, b)
        for a, b in lines
        if abs(a[1] - b[1]) < 0.001
        and 50 < abs(b[0] - a[0]) < 80
        and a[1] < 170
        and any(
            min(abs(p[0] - a[0]), abs(p[0] - b[0])) < 0.01 and p[1] > a[1] + 1
            for line in lines
            for p in line
        )
    )
    scale = abs(base[1][0] - base[0][0]) / out
    legs = [abs(b[1] - a[1]) for a, b in lines if abs(a[0] - b[0]) < 0.001]
    assert min(abs(leg - scale * made.support.length("leg", "left")) for leg in legs) < 0.01


def test_three_numbers_and_tape():
    # light enough for tape of the usual width
    made = draft_of(slip_from({**BOOK, "weight": "300 g", "support": THREE}))
    said = " ".join(text_of(bench_card(made)))
    for text in (
        "65.5 mm",
        "whole width: 260.2 mm",
        "6.0 mm wide, 194.5 mm long",
        "3.0 mm from its outer end",
        "120.0°",
        "60.0° inside",
        "50 mm",
        made.revision,
        "three layers",
    ):
        assert text in said, text


def test_verdict_and_case_stand_on_it():
    said = text_of(bench_card(draft_of(slip_from(BOOK | {"weight": "100 g"})), case="12"))[0]
    assert "Verdict: adequate" in said
    heavy = text_of(
        bench_card(
            draft_of(slip_from(BOOK | {"weight": "641 g", "support": THREE})), machine="laser"
        )
    )[0]
    assert "Verdict: make a trial: three layers" in heavy
    assert "laser: extraction on" in heavy
    assert "knife" not in heavy
    assert "case 12" in said


def test_dummy_is_half_as_heavy_again():
    """The sum of its bags, on both pages; of a book that nobody weighed too."""
    for weighed in ({"weight": "641 g"}, {}):
        made = draft_of(slip_from(BOOK | weighed))
        pages = " ".join(text_of(bench_card(made)))
        said = re.search(r"dummy of (\d+) g( \(weight estimated\))? for 24 h", pages)
        assert float(said[1]) == made.verdict.dummy >= 1.5 * made.verdict.weight
        assert bool(said[2]) == (not weighed)
        boards = [int(grams) for grams in re.findall(r"(?:left|right) board, (\d+) g", pages)]
        assert sum(boards) == made.verdict.dummy
    assert draft_of(slip_from(BOOK | {"weight": "641 g"})).verdict.dummy == 964


@given(slips())
def test_tape_touches_only_the_face_it_should(slip):
    """On the lowest film of each tab: the outer flap's book face, in one layer the table face."""
    made = draft_of(slip)
    support, pattern = made.support, made.pattern
    lowest = max(pattern.bands, key=lambda band: band.layer)
    places = tape_places(pattern, support)
    standing = [half.side for half in support.halves if half.stands]
    assert sorted(tape.end for tape, *_ in places) == standing  # crossed tabs: the right one first
    faces = {s.name.rpartition("on the ")[2] for s in pattern.strokes if s.use == "tape"}
    assert faces == {"table face" if lowest.layer == 0 else "book face"}
    for tape, box, _ in places:
        side = tape.end
        assert lowest.box.bottom < box.bottom < box.top < lowest.box.top
        tab = support.length("tab", side)
        far = pattern.box.width - box.left if side == "right" else box.right
        # the flap's end is drawn in by its nesting, at most the circumference of the stack
        assert far <= tab + 2 * 3.15 * support.film.gauge + 1e-9
    assert len(pattern.of_role(Role.GUIDE)) == len(places)
    assert all(strap.side in SIDES for strap in straps(support))


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_the_fitting_has_this_books_numbers(path):
    """What the bench may find follows the table of fit: judged there, each limit is its own."""
    made = draft_of(read_slip(path))
    support = made.support
    said = " ".join(text_of(bench_card(made)))
    lines = fit_lines(support)
    assert len(lines) == 7
    for line in lines:
        for pair, inside in ((line.harmless, {"harmless"}), (line.ask, {"harmless", "ask"})):
            assert pair[0] <= line.given <= pair[1]
            for found, outwards in zip(pair, (-0.001, 0.001), strict=True):
                assert judge_fit(line.part, line.given - found + 0.01 * outwards) in inside
                if found:
                    assert judge_fit(line.part, line.given - found - outwards) not in inside
    fitted = not made.verdict.refused  # what is not to be used is fitted to no book
    for told in (
        *("prop, never force", "the book on it", "after the fitting"),
        *(f" {line.name} {line.given:.1f}" for line in lines),
    ):
        assert (told in said) == fitted, told
