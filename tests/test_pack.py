"""The installation pack: a PDF a case, bench cards in one, labels, the mountmaker's list."""

import csv
import io
import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from html.parser import HTMLParser
from urllib.parse import unquote

import pypdfium2
import pytest
from conftest import outside_module
from pages import MM, check_off_lines, check_tidy, codes_of, letters, segments, text_of
from test_exhibit import listed
from test_living import QUICK

from cutfiles.bench.films import kinds_on, read_films
from cutfiles.errors import Defect
from cutfiles.exhibit.case_plan import Placed, draw_row, in_places, plan_rows
from cutfiles.exhibit.films import MadeSo, choose_films
from cutfiles.exhibit.install import install_pack
from cutfiles.exhibit.jobs import Print, printed
from cutfiles.exhibit.page import VERDICTS
from cutfiles.exhibit.run import make_exhibit
from cutfiles.exhibit.tables import install_rows
from cutfiles.exhibit.work import view_of
from cutfiles.exhibit.workers import in_order
from cutfiles.job.order import Order
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.joined import joined
from cutfiles.report.printed.labels import LABEL_PAPERS, Label, label_paper
from cutfiles.report.printed.paper import Paper
from cutfiles.support.design import design
from cutfiles.support.states import STATES

LIST = (
    "No,Title,Shelf mark,Show,H,W,Spine,Opens to,Weight,Cover,Case,Lux,Notes,Copies\n"
    "A1,Garden calendar,GC 1,p. 8,140 mm,100 mm,25 mm,120,100 g,,1,50,weak joint,\n"
    "A2,Seeds,GC 2,ff. 3v-4r,150 mm,110 mm,25 mm,115,120 g,,1,100,,2\n"
    "B1,Limp herbal,GC 3,p. 9,240 mm,170 mm,30 mm,120,900 g,limp,2,50,,\n"
    "B2,Unmeasured,GC 4,p. 1,200 mm,130 mm,30 mm,,,,2,50,,\n"
    "B3,Shut,GC 5,closed,200 mm,130 mm,30 mm,,,,2,50,,\n"
)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pack")
    (folder / "film.toml").write_text('[[roll]]\ngauge = "7 mil"\nwidth = "800 mm"\n')
    order = Order(formats=("svg",), paper="A4")
    asked = replace(QUICK, order=order, at_hand=read_films(folder / "film.toml"))
    return folder / "out", make_exhibit(listed(folder, LIST), folder / "out", asked)


def pdf(made, name):
    return (made[0] / name).read_bytes()


def test_a_pdf_for_each_case(made):
    assert {path.name for path in made[0].glob("install-*.pdf")} == {
        "install-1.pdf",
        "install-2.pdf",
    }
    for name in ("install-1.pdf", "install-2.pdf"):
        check_tidy(pdf(made, name))
    first, second = (" ".join(text_of(pdf(made, f"install-{n}.pdf"))) for n in (1, 2))
    for said in (
        "Garden calendar · p. 8 · GC 1",
        "50 lux",
        "Never open it further than 120°",
        "From the slip: weak joint",
        "150 g for 24 h",
        "2 of 7 mil in one layer",
        "support 7 mil in one layer",
        "condition in",
        "condition out",
        "installed by",
        "planned",
        "polyethylene strap",
        "In all: 3 supports · film: ",
        "folding: ",
    ):
        assert said in first, said
    assert "Limp herbal" in second
    assert "no support of film" in second  # B2 could not be made, and stands there all the same
    assert "A1" not in second


def test_the_case_card_says_what_is_not_made(made):
    """Read back: whoever places the books looks for no support of B2 and of a closed book."""
    [card] = text_of(pdf(made, "case-card.pdf"))
    assert re.findall(r"\b([AB]\d) (?:(?!\b[AB]\d).)*\bnot made\b", card) == ["B2", "B3"]


def test_what_must_not_be_used_is_told_so_at_its_place(made):
    """B1 is limp and carried by no film: no dummy, straps nor sign-off, crossed out in the plan."""
    said = " ".join(" ".join(text_of(pdf(made, "install-2.pdf"))).split())
    told = said[said.index("B1 Limp herbal") : said.index("B2 Unmeasured")]
    assert "not to be used: see the mountmaker's card" in told
    assert "no film at hand carries the book" in told
    for word in ("for 24 h", " wide, cut ", "condition", "mm high", "planned"):
        assert word not in told, word
    assert "condition in" in said  # of the others
    assert "1 not to be used (crossed out)" in said
    [card] = text_of(pdf(made, "case-card.pdf"))
    [mind] = re.findall(r"B1 Limp herbal.*?(?=B2 )", " ".join(card.split()))
    assert "not to be used: see the" in mind
    assert "straps" not in mind
    assert "3 supports" not in card
    assert "2 supports, 3 books without a support of film" in card
    rows = csv.DictReader(io.StringIO((made[0] / "install.csv").read_text("utf-8-sig")))
    assert [row["made"] for row in rows] == ["yes", "yes", "not to be used", "no", "no"]


def test_what_is_laid_for_a_trial_keeps_its_dummy_and_is_not_placed(tmp_path):
    text = LIST.partition("A2")[0] + "T1,Limp,GC 6,p. 9,160 mm,110 mm,30 mm,120,900 g,limp,1,50,,\n"
    order = Order(formats=("svg",), paper="A4", anyway=True)
    make_exhibit(listed(tmp_path, text), tmp_path / "out", replace(QUICK, order=order))
    both = (tmp_path / "out" / name for name in ("install-1.pdf", "strap-card.pdf"))
    said, straps = (" ".join(" ".join(text_of(path.read_bytes())).split()) for path in both)
    assert "2 supports, 1 of them for a trial only" in said
    told = said[said.index("T1 Limp") :]
    assert "for a trial with its dummy only: not to be used" in told
    assert "1350 g for 24 h" in told
    assert "condition" not in told
    assert "T1" in straps  # it is tried with them


def test_a_case_of_which_nothing_is_used_is_not_signed_for():
    one = replace(standing("A1"), barred=("not to be used", "no film carries it"))
    alone, both = (
        " ".join(text_of(install_pack("show", "1", own, "A4")))
        for own in ([one], [one, standing("A2")])
    )
    assert "installed by" not in alone
    assert "installed by" in both


def test_what_must_not_be_used_keeps_its_room_in_the_plan_and_is_not_drawn():
    """Read off the page: the front is empty, and a cross lies over the view from above."""
    own = standing("A1")
    lines = []
    for one in (own, replace(own, barred=("not to be used",))):
        paper = Paper("A4", "plan")
        [row] = plan_rows([one], 176.0)
        draw_row(paper, Box(17.0, 200.0 - row.tall, 193.0, 200.0), row)
        drawn = {(*map(tuple, line),) for line in segments(pypdfium2.PdfDocument(paper.pdf())[0])}
        slanted = [(a, b) for a, b in drawn if abs(b[0] - a[0]) > 1 and abs(b[1] - a[1]) > 1]
        lines.append((row.length, sorted(round(min(a[1], b[1])) for a, b in slanted)))
    (length, front), (kept, crossed) = lines
    assert kept == length
    assert len(front) == 1
    assert len(crossed) == 2
    assert max(crossed) < min(front)


def test_what_is_wide_and_high_is_what_stands(made):
    one = made[1].supports[0]
    xs = [x for _, line in one.facts.view for x, _ in line]
    again = view_of(design(_settled(made)))
    assert one.facts.view == again
    first = " ".join(text_of(pdf(made, "install-1.pdf")))
    assert f"{max(xs) - min(xs):.0f} mm wide" in first


def _settled(made):
    row, facts = made[1].books.rows[0], made[1].supports[0].facts
    films = read_films(made[0].parent / "film.toml")
    slip = replace(row.slip, films=kinds_on(films.shelf))
    return choose_films({1: slip}, before={1: MadeSo(facts.way, facts.gauge)}).slips[1]


def test_all_bench_cards_in_one_file(made):
    cards = text_of(pdf(made, "bench-cards.pdf"))
    names = [f"supports/{s.number}.bench.pdf" for s in made[1].supports if s.facts]
    own = [page for name in names for page in text_of(pdf(made, name))]
    assert cards == own
    assert len(cards) >= 4
    pikepdf = outside_module("pikepdf")
    with pikepdf.open(io.BytesIO(pdf(made, "bench-cards.pdf"))) as document:
        assert len(document.pages) == len(cards)
        assert document.check_pdf_syntax() == []
        assert document.Root.ViewerPreferences.PrintScaling == "/None"
        assert document.docinfo.Title == f"{made[1].name}, bench cards"


def test_cards_joined_keep_a_font_once_and_look_the_same(made):
    pypdfium2 = outside_module("pypdfium2")
    names = [f"supports/{s.number}.bench.pdf" for s in made[1].supports if s.facts]
    own, whole = [pdf(made, name) for name in names], pdf(made, "bench-cards.pdf")
    assert len(whole) < 0.75 * sum(map(len, own))
    looks = [
        page.render(scale=0.5).to_pil().tobytes()
        for data in own
        for page in pypdfium2.PdfDocument(data)
    ]
    joint = [page.render(scale=0.5).to_pil().tobytes() for page in pypdfium2.PdfDocument(whole)]
    assert joint == looks


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: data[:-40],
        lambda data: data.replace(b"xref\n0 ", b"xref\n1 "),
        lambda data: data.replace(b"1 0 obj", b"9 0 obj", 1),
        lambda data: data.replace(b"/ProcSet [ /PDF", b"/X (1 0 R) [/PDF", 1),
    ],
    ids=["cut off", "another table", "another number", "a text"],
)
def test_a_card_that_is_not_ours_is_not_joined(made, damage):
    data = pdf(made, "supports/A1.bench.pdf")
    assert damage(data) != data
    with pytest.raises(Defect, match="not as we write them"):
        b"".join(joined([data, damage(data)], "both"))


def test_joined_cards_wait_for_no_other(made):
    """Each card is handed on before the next is read: however many, one is in memory."""
    data, read = pdf(made, "supports/A1.bench.pdf"), list[int]()

    def cards():
        for nth in range(3):
            read.append(nth)
            yield data

    for part in joined(cards(), "three"):
        if part.startswith(b"4 0 obj"):
            break
    assert read == [0]


def test_labels_lie_each_on_its_own_label(made):
    codes = codes_of(pdf(made, "labels.pdf"))
    numbers = sorted(code.split("\n")[0] for code in codes)
    assert numbers == ["A1", "A1", "A2", "A2", "A2", "A2"]  # two bases each, two copies of A2


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_letter_leaves_its_label(paper):
    import pypdfium2

    told = ("A1", "p. 8", "A title", "adequate", "limit: 100 g, 120°", "abc", "A1\nA title")
    one = Label(62.0, 30.0, "left", *told)
    count = LABEL_PAPERS[paper].columns * LABEL_PAPERS[paper].rows + 1
    document = pypdfium2.PdfDocument(label_paper([one] * count, paper))
    assert len(document) == 2
    form, page = LABEL_PAPERS[paper], document[0]
    height = page.get_height() * 25.4 / 72
    for _, left, bottom, right, top in letters(page):
        column = int(((left + right) / 2 - form.left) // form.across)
        row = int((height - (top + bottom) / 2 - form.top) // form.down)
        x = form.left + column * form.across
        y = height - form.top - row * form.down
        assert x <= left
        assert right <= x + form.width
        assert y - form.height <= bottom
        assert top <= y


def test_labels_drawn_in_parts_are_the_same_labels(made):
    """Whole pages of them at a time, in the order of the supports, whatever is done first."""
    form = LABEL_PAPERS["A4"]
    one = made[1].supports[0].facts.labels[0]
    labels = [one._replace(number=f"N{i}") for i in range(2 * form.columns * form.rows + 3)]
    whole = text_of(label_paper(labels, "A4"))
    many = form.columns * form.rows
    parts = [labels[i : i + many] for i in range(0, len(labels), many)]
    given = [(part, "A4") for part in parts]
    with ThreadPoolExecutor(2) as pool:
        prints = {
            "a": Print(label_paper, lambda: given, "labels"),
            "b": Print(label_paper, lambda: given[:1]),
        }
        files = printed(prints, pool)
        joint, alone = (b"".join(parts) for parts in files.values())
    assert text_of(joint) == whole
    assert len(whole) == 3
    assert alone == label_paper(labels[:many], "A4")


def test_results_in_order_wait_for_few():
    """What is drawn ahead of what is read stays within bounds, however many there are."""
    begun = list[int]()

    def work(task):
        begun.append(task)
        return task

    with ThreadPoolExecutor(1) as pool:
        results = in_order(pool, work, range(100))
        assert [next(results) for _ in range(10)] == [*range(10)]
        results.close()
    assert 10 <= len(begun) <= 14


def test_the_mountmaker_gets_what_film_does_not_carry(made):
    rows = list(csv.DictReader(io.StringIO((made[0] / "mountmaker.csv").read_text("utf-8-sig"))))
    told = {row["number"]: row for row in rows}
    assert {*told} == {"B1", "B2"}  # a closed book needs no support
    assert told["B1"]["height"] == "240 mm"
    assert "no film at hand carries the book" in told["B1"]["reason"]
    assert told["B1"]["opening_angle"] == "120°"
    assert "opening_angle" in told["B2"]["reason"] or "rise" in told["B2"]["reason"]
    check_tidy(pdf(made, "mountmaker.pdf"))
    [card] = text_of(pdf(made, "mountmaker.pdf"))
    assert "Limp herbal" in card
    assert told["B2"]["reason"].startswith("first measured or corrected: found ")
    assert "first measured" not in told["B1"]["reason"]
    assert "1 book for another support, 1 row to be measured or corrected first" in card


# -- the page -----------------------------------------------------------------------------------


class _Read(HTMLParser):
    def __init__(self):
        super().__init__()
        self.links, self.ids, self.pictures, self.open = [], set(), [], []

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        if tag == "a":
            self.links.append(told["href"])
        if "id" in told:
            assert told["id"] not in self.ids
            self.ids.add(told["id"])
        if tag == "svg" and told.get("aria-hidden") != "true":  # a word stands beside a mark
            self.pictures.append(told)
        if tag not in ("meta", "input"):
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        pass

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def page(made):
    folder, done = made
    text = (folder / "index.html").read_text(encoding="utf-8")
    read = _Read()
    read.feed(text)
    assert read.open == []
    return folder, done, text, read


def test_everything_is_linked_and_every_link_leads_somewhere(page):
    folder, done, _, read = page
    files = [link for link in read.links if not link.startswith("#")]
    for link in files:
        assert (folder / unquote(link)).is_file(), link
    for link in read.links:
        if link.startswith("#"):
            assert unquote(link[1:]) in read.ids, link
    beside = {path.name for path in folder.iterdir() if path.is_file()}
    assert {*map(unquote, files)} >= beside - {"index.html", "exhibit.json"}
    for number in ("A1", "A2"):
        assert f"supports/{number}.svg" in files
        assert f"supports/{number}.bench.pdf" in files
    assert {f"#row-{s.row}" for s in done.supports if s.sheets} <= {*read.links}


def test_every_picture_has_a_name(page):
    *_, text, read = page
    assert read.pictures
    for told in read.pictures:
        assert told["role"] == "img"
        assert told["aria-label"]
    assert len(read.pictures) == len(re.findall(r"<svg [^>]*><title>[^<]+</title>", text))
    assert "A1, opened to 120°" in text


def test_verdicts_differ_by_more_than_colour(page):
    *_, text, _ = page
    assert {*VERDICTS} == {*STATES}
    assert len(set(VERDICTS.values())) == len(VERDICTS)
    for look in filter(None, VERDICTS.values()):
        assert f".v.{look}{{border" in text
    assert re.search(r'<span class="v other"><svg class="mark".*?</svg> another support', text)


def test_dark_print_and_film(page):
    *_, text, _ = page
    assert "prefers-color-scheme:dark" in text
    assert "svg{overflow:visible" in text
    style = text.partition("*{box-sizing")[2].partition("</style>")[0]
    assert not re.findall(r"(?:fill|background|stroke|color):#", style)  # all by names: dark too
    assert "Film, tape and strap" in text
    assert "film, roll 1" in text


# -- the plan of a case ----------------------------------------------------------------------------


def standing(number, place="", wide=200.0):
    view = (("strip", ((0.0, 0.0), (wide, 80.0))),)
    return Placed(number=number, place=place, view=view, depth=150.0)


def test_a_case_is_planned_by_its_places():
    own = (standing("A", "10"), standing("B", "2"), standing("C", "back"), standing("D"))
    rows = [(name, [one.number for one in row]) for name, row in in_places(own)]
    assert rows == [("", ["B", "A", "D"]), ("back", ["C"])]


def test_cases_and_places_are_in_the_order_people_count(made):
    done = made[1]
    rows = [("10", ""), ("2", "back"), ("2", "10"), ("2", "9"), ("", "")]
    own = tuple(
        replace(done.supports[0], number=str(i), values={"case": case, "place": place})
        for i, (case, place) in enumerate(rows)
    )
    head, *told = install_rows(replace(done, supports=own))
    assert head[:3] == ("case", "place", "number")
    assert [row[2] for row in told] == ["3", "2", "1", "0", "4"]


def test_a_row_of_a_plan_is_to_scale_and_broken_where_it_is_too_long():
    rows = [*plan_rows([standing(f"A{n}") for n in range(12)], 176.0)]
    assert [len(row.placed) for row in rows] == [10, 2]
    assert rows[0].length == pytest.approx(10 * 200 + 9 * 20)
    assert all(row.length * row.scale <= 176.0 + 1e-9 for row in rows)


def test_a_plan_of_many_rows_stays_on_its_pages():
    many = [standing(f"A{n}", f"shelf {n}") for n in range(14)]
    pages = text_of(install_pack("show", "Vitrine 3", many, "A4"))
    check_tidy(install_pack("show", "Vitrine 3", many, "A4"))
    assert pages[0].startswith("Vitrine 3")
    assert all(f"shelf {n}: from left to right" in " ".join(pages) for n in range(14))


def test_a_row_of_a_plan_has_room_for_its_fronts_and_as_deep_as_its_books():
    one = standing("A1")  # 80 mm high: of books not so deep the scale is the same
    [flat], [row] = (plan_rows([replace(one, depth=deep)], 176.0) for deep in (0.0, 60.0))
    assert row.tall - flat.tall == pytest.approx(60.0 * row.scale)
    [unmade] = plan_rows([replace(one, view=())], 176.0)
    assert unmade.tall == pytest.approx(flat.tall - flat.high)


def test_a_row_of_a_plan_is_drawn_within_its_box():
    """Fronts, numbers and the view from above, read off the page."""
    paper = Paper("A4", "plan")
    [row] = plan_rows([standing("A1"), standing("A2"), standing("A3")], 176.0)
    draw_row(paper, Box(17.0, 200.0 - row.tall, 193.0, 200.0), row)
    page = pypdfium2.PdfDocument(paper.pdf())[0]
    drawn = [place for line in segments(page) for place in line]
    drawn += [
        (x, y)
        for _, left, low, right, high in letters(page)
        for x in (left, right)
        for y in (low, high)
    ]
    assert len(drawn) > 100
    assert all(16.9 <= x <= 193.1 and 199.9 - row.tall <= y <= 200.1 for x, y in drawn)


@pytest.mark.parametrize("name", ["install-1", "install-2", "case-card", "cut-card", "mountmaker"])
def test_no_word_lies_on_a_line_of_its_card(made, name):
    for page in pypdfium2.PdfDocument(pdf(made, f"{name}.pdf")):
        check_off_lines(page)


@pytest.mark.parametrize("title", ["Sow", "Seeds of the garden " * 9])
@pytest.mark.parametrize(("wide", "high"), [(104.0, 52.0), (300.0, 20.0), (20.0, 90.0)])
def test_no_word_of_a_support_lies_on_another_nor_on_a_picture_nor_on_a_line(title, wide, high):
    """Two supports and their plan, read off the page: the words stay beside the end view."""
    view = (("strip", ((0.0, 0.0), (0.0, high), (wide, high), (wide, 0.0))),)
    one = Placed(
        number="A1",
        title=title,
        opening="p. 8",
        stage="planned",
        view=view,
        depth=150.0,
        supports="2 of 7 mil in one layer; adequate",
        straps=("left: polyethylene strap, 13 mm wide, cut 410 mm, 20 mm from the fore edge",) * 2,
        dummy="150 g for 24 h",
        lux="50",
        do_nots=("Never open it further than 120°",) * 3,
    )
    data = install_pack("show", "1", [one, replace(one, number="A2")], "A4", ["2 supports"])
    check_tidy(data)
    for page in pypdfium2.PdfDocument(data):
        check_off_lines(page)


def test_there_is_room_to_write_the_condition_and_then_the_date(made):
    """Read off the page: 100 mm to write on, and the date within the page."""
    page = pypdfium2.PdfDocument(pdf(made, "install-1.pdf"))[0]
    found = [*letters(page)]
    said = "".join(one[0] for one in found)
    lines = [*re.finditer(r"condition(?:in|out)(?=date_{4,}initials_{4,})", said)]
    assert len(lines) >= 2
    for line in lines:
        assert found[line.end()][1] - found[line.end() - 1][3] > 100.0
        end = re.compile("date_+initials_+").match(said, line.end()).end()
        assert found[end - 1][3] < page.get_width() * MM - 10.0


@pytest.mark.parametrize(
    ("wide", "high", "drawn"), [(40, 30, 20), (104, 20, 52), (208, 20, 52), (60, 104, 15)]
)
def test_an_end_view_is_half_as_large_at_most_and_fits_beside_its_words(wide, high, drawn):
    """A small support does not look as large as the ones beside it; mm of paper, off the page."""
    view = (("strip", ((0.0, 0.0), (float(wide), float(high)))),)
    page = pypdfium2.PdfDocument(install_pack("show", "1", [Placed(number="A1", view=view)], "A4"))
    slanted = [b[0] - a[0] for a, b in segments(page[0]) if a[0] != b[0] and a[1] != b[1]]
    assert max(map(abs, slanted)) == pytest.approx(drawn, abs=0.1)
