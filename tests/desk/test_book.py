"""One book on the desk, as its pages answer: no script runs here."""

import io
import json
import re
import zipfile
from concurrent.futures import ThreadPoolExecutor

import pytest
from click.testing import CliRunner
from conftest import ROOT
from desks import A1, begun, form_of
from markupsafe import escape

from cutfiles.bench.slip import read_slip
from cutfiles.cli import cli
from cutfiles.desk.books import Book, values_of_slip
from cutfiles.desk.looks import first_look
from cutfiles.desk.remedies import in_words
from cutfiles.errors import ChangedError, CutfilesError, FileError
from cutfiles.job.order import Order


@pytest.fixture(scope="module")
def taken(desk, tmp_path_factory):
    """The files of a book's zip, in a folder."""
    folder = tmp_path_factory.mktemp("zip")
    with desk.client() as client:
        got = client.post(begun(client, A1) + "/zip", data=form_of(A1))
    assert got.headers["content-disposition"].startswith('attachment; filename="A1.zip"')
    zipfile.ZipFile(io.BytesIO(got.content)).extractall(folder)
    return folder


@pytest.mark.parametrize("name", ["A1.svg", "A1.r12.dxf", "A1.pdf"])
def test_files_of_the_zip_verify(taken, name):
    slip = str(taken / "A1.toml")
    run = CliRunner().invoke(cli, ["verify", str(taken / name), "--slip", slip])
    assert run.exit_code == 0, run.output


def test_the_numbers_shown_are_those_of_the_record(client, taken):
    page = client.get(begun(client, A1)).text
    record = json.loads((taken / "A1.json").read_text(encoding="utf-8"))
    panels = re.findall(r'data-panel="([^"]+)" data-mm="([^"]+)"', page)
    assert [{"name": n, "length": float(mm)} for n, mm in panels] == record["panels_mm"]
    creases = re.findall(r'data-crease="([^"]+)" data-mm="([^"]+)" data-deg="([^"]+)"', page)
    assert [(n, float(mm), float(deg)) for n, mm, deg in creases] == [
        (one["name"], one["position_mm"], one["angle_deg"]) for one in record["creases"]
    ]
    for one in record["panels_mm"]:
        assert f"<td>{one['length']:.1f} mm</td>" in page
    assert record["verdict"]["sentence"] in page


def test_a_measure_is_read_back_in_words_and_a_fault_stands_at_its_field(client):
    values = A1 | {"height": "5 1/4 in", "width": "133 mn", "weight": "1 lb 6 oz"}
    answer = client.post(begun(client, A1) + "/look", data=form_of(values)).json()
    assert "5 1/4 in = 133.4 mm" in answer["fields"]["height"]
    assert "1 lb 6 oz = 624 g" in answer["fields"]["weight"]
    assert answer["wrong"] == ["width"]
    assert "133 mn" in answer["fields"]["width"]
    assert answer["standing"] == ""


def test_an_empty_book_asks_for_its_measures_and_calls_nothing_wrong(client):
    """In the words of the page: no name of a field, nothing of how a slip file writes it."""
    address = client.post("/book", files={"none": b""}).headers["location"]
    page = client.get(address).text
    asked = re.findall(r'id="s\.(\w+)"><span class="missing">', re.sub(r">\s+<", "><", page))
    measures = ["height", "width", "spine_width", "left_rise", "right_rise"]
    assert asked == ["number", *measures]
    assert "aria-invalid" not in page
    words = re.sub(r"<[^>]*>", " ", page)
    assert "_" not in words
    assert " = " not in words
    assert "Nothing to save yet" in words


def test_the_zip_holds_the_slip_as_well(taken):
    assert values_of_slip("A1.toml", (taken / "A1.toml").read_bytes()) == A1


def test_a_question_stands_at_its_field(client):
    values, book = A1 | {"left_side": "17", "right_side": "40"}, begun(client, A1)
    answer = client.post(book + "/look", data=form_of(values)).json()
    asked = [path for path, html in answer["fields"].items() if "question" in html]
    assert asked
    assert "measure left joint" in answer["verdict"]  # as the page calls it
    page = re.sub(r"<svg.*?</svg>", "", client.get(book).text, flags=re.DOTALL)
    assert "_" not in re.sub(r"<[^>]*>", " ", answer["verdict"] + page)
    assert answer["standing"].startswith("<svg")
    assert "style=" not in answer["standing"]


BAD = [
    {"height": "203 furlongs"},
    {"height": "-4 mm"},
    {"height": "5 m"},
    {"height": ""},
    {"number": ""},
    {"number": "Ω→"},
    {"units": ""},
    {"width": "NaN"},
    {"width": ""},
    {"width": "133 mm", "left_width": "130 mm"},
    {"spine_width": ""},
    {"spine_width": "0"},
    {"opening_angle": "20"},
    {"opening_angle": ""},
    {"opening_angle": "", "left_rise": "200", "right_rise": "60"},
    {"weight": "-641 g"},
    {"weight": "heavy"},
    {"cover": "soft"},
    {"support.gauge": "5 parsecs"},
    {"support.layers": "2"},
    {"support.film": "gold leaf"},
    {"title": "\x07"},
    {"heigth": "203"},
]


@pytest.mark.parametrize("changes", BAD, ids=str)
def test_every_fault_of_a_bad_slip_is_shown_at_its_field(client, changes, tmp_path):
    values = {path: text for path, text in (A1 | changes).items() if text}
    path = tmp_path / "bad.toml"
    lines = [f"{name} = {json.dumps(text)}" for name, text in values.items()]
    path.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(CutfilesError) as refused:
        read_slip(path)
    address = client.post("/book", files={"slip": ("bad.toml", path.read_bytes())}).headers
    page = client.get(address["location"]).text
    for fault in refused.value.faults:
        path = re.escape(fault.place.path)
        said = re.search(rf'<p class="said" id="s.{path}">(.*?)</p>', page, re.DOTALL)
        kind = "missing" if fault.key in ("fill-in", "opening") else "wrong"
        assert f'<span class="{kind}">' in said[1]
        assert escape(in_words(fault.needed)) in said[1]


def test_files_go_into_a_folder_in_the_desks_folder_and_nowhere_else(client, desk):
    book = begun(client, A1 | {"number": "A2"})
    values = A1 | {"number": "A2"}
    assert client.get(book + "/made").headers["location"] == book  # nothing yet
    done = client.post(book + "/put", data=form_of(values, **{"make.folder": "first floor"}))
    assert (done.status_code, done.headers["location"]) == (303, book + "/made")
    done = client.get(book + "/made")
    assert "read back, verified" in done.text
    assert (desk.folder / "first floor" / "A2.svg").exists()
    for name in ("..", "../x", "/tmp/x", "a/b", "a\\b", "con", ".x.", "x\0y"):
        got = client.post(book + "/put", data=form_of(values, **{"make.folder": name}))
        assert got.status_code == 422, name
    assert sorted(p.name for p in desk.folder.iterdir() if "first" in p.name) == ["first floor"]
    changed = desk.folder / "first floor" / "A2.svg"
    changed.write_text("mine")
    got = client.post(book + "/put", data=form_of(values, **{"make.folder": "first floor"}))
    assert got.status_code == 422
    assert "A2.svg" in got.text
    assert changed.read_text() == "mine"


def test_what_was_chosen_for_the_files_is_kept_with_the_book(client):
    chosen = {"make.paper": "Letter", "make.anyway": "on", "make.folder": 'first "floor"'}
    cut = chosen | {"make.cutter": "wide-roll-knife"}
    book = begun(client, A1)
    assert client.post(book + "/look", data=form_of(A1, **cut)).is_success

    def shown(address):
        page = re.sub(r"\s+", " ", client.get(address).text)
        assert "<option selected>wide-roll-knife</option>" in page
        assert "<option selected>Letter</option>" in page
        assert 'name="make.anyway" checked>' in page
        return re.search(r'name="make.folder" value="([^"]*)"', page)[1]

    assert shown(book) == "first &#34;floor&#34;"
    assert shown(client.post("/book/copy", data=form_of(A1, **cut)).headers["location"])
    client.post(book + "/look", data=form_of(A1 | {"height": "204"}, **cut))
    late = form_of(A1, **cut | {"make.folder": "elsewhere", "make.paper": "none"})
    assert (
        'value="elsewhere"' in client.post(book, data=late).text
    )  # what that page shows is not lost
    assert client.post(book + "/zip", data=late).is_success
    assert shown(book) == "first &#34;floor&#34;"


def test_a_slip_is_saved_opened_and_compared(client, desk):
    values = A1 | {"number": "S1", "title": 'Of "quotes" & <b>'}
    book = begun(client, values)
    assert "As it was opened." in client.get(book).text
    assert client.post(book + "/save", data=form_of(values)).status_code == 303
    assert "Saved as S1.toml." in client.get(book).text
    saved = desk.folder / "S1.toml"
    assert values_of_slip("S1.toml", saved.read_bytes()) == values
    assert client.get(book + "/slip.toml").content == saved.read_bytes()
    wider = values | {"width": "140 mm"}
    live = client.post(book + "/look", data=form_of(wider)).json()["saved"]
    assert "Changed since it was saved as S1.toml." in live
    sent = {"slip": ("S1.toml", saved.read_bytes())}
    assert client.get(book + "/compare").headers["location"] == book  # nothing yet
    there = client.post(book + "/compare", files=sent)
    assert (there.status_code, there.headers["location"]) == (303, book + "/compare")
    page = client.get(book + "/compare").text
    assert "<td>133 mm</td><td>140 mm</td>" in page
    assert client.post(book + "/save", data=form_of(wider, 2)).status_code == 303
    assert values_of_slip("S1.toml", saved.read_bytes()) == wider
    other = begun(client, values)
    refused = client.post(other + "/save", data=form_of(values))
    assert refused.status_code == 422
    assert "a slip is saved into a new file" in refused.text
    assert "&lt;b&gt;" in client.get(book).text
    assert "<b>" not in re.search(r"<h1>(.*)</h1>", client.get(book).text)[1]


def test_edits_kept_in_the_folder_are_taken_up_as_those_beside_a_slip(tmp_path):
    beside = tmp_path / "A1.edits.toml"
    told = "the edits of its drawing that were accepted are in it"
    assert told not in str(first_look(A1, Order(), str(tmp_path)))
    beside.write_text('number = "A1"\n')
    assert told in str(first_look(A1, Order(), str(tmp_path)))
    beside.write_text('number = "E8"\n')
    seen = first_look(A1, Order(), str(tmp_path))
    assert "they must be those of A1" in seen["others"][0]["text"]
    assert seen["standing"] is None


def test_a_table_that_is_a_text_is_told(tmp_path):
    seen = first_look(A1 | {"support": "film", "support.gauge": "5 mil"}, Order())
    assert "[support] is a table" in seen["said"]["support"][0]["text"]


def test_an_older_window_is_refused_and_loses_nothing(client):
    book = begun(client, A1)
    assert client.post(book + "/look", data=form_of(A1 | {"height": "204"})).status_code == 200
    late = client.post(book + "/look", data=form_of(A1 | {"height": "777"}))
    assert late.status_code == 409
    assert "another window" in late.json()["told"]
    page = client.post(book, data=form_of(A1 | {"height": "777"}))
    assert page.status_code == 409
    assert 'value="777"' in page.text
    copy = client.post("/book/copy", data=form_of(A1 | {"height": "777"})).headers["location"]
    assert 'value="777"' in client.get(copy).text
    assert 'value="204"' in client.get(book).text


def test_steps_are_undone_and_done_again():
    book = Book(steps=[{}])
    for text in ("2", "20", "203"):
        book.change({"height": text}, "slip.height", str(book.version))
    book.change({"height": "203", "width": "133"}, "slip.width", str(book.version))
    assert [step.get("height") for step in book.steps] == [None, "203", "203"]
    book.move(-1, str(book.version))
    assert book.values == {"height": "203"}
    book.move(1, str(book.version))
    assert book.values == {"height": "203", "width": "133"}
    book.move(-1, str(book.version))
    book.change({"height": "9"}, "slip.height", str(book.version))
    assert book.can == {"undo": True, "redo": False}
    with pytest.raises(ChangedError):
        book.change({}, "", "1")


@pytest.mark.parametrize(
    "data",
    [
        b"\xff\xfe\x00",
        b"height = " + b"[" * 5000,
        b"height = " + b"9" * 9000,
        b"a." * 3000 + b"b = 1",
        b"x = 1\n" * 3,
        b"\n".join(b"f%d = 1" % i for i in range(400)),
        b"#" * 1_000_001,
        b"PK\x03\x04 a zip",
    ],
    ids=lambda data: repr(data[:9]),
)
def test_a_hostile_slip_is_refused_in_words(client, data):
    with pytest.raises(FileError):
        values_of_slip("x.toml", data)
    got = client.post("/book", files={"slip": ("../../x.toml", data)})
    assert got.status_code == 422
    assert "found" in got.text


def test_forms_with_too_much_are_refused_and_the_rest_goes_on(client):
    book = begun(client, A1)
    many = {f"slip.x{i}": "1" for i in range(500)}
    assert client.post(book + "/look", data=many).status_code == 422
    large = {"slip.note": "a" * 300_000}
    assert client.post(book + "/look", data=large).status_code == 413
    chunks = (b"a=" + b"b" * 50_000 for _ in range(8))  # its length is not told before
    headers = {"content-type": "application/x-www-form-urlencoded"}
    assert client.post(book + "/look", content=chunks, headers=headers).status_code == 413
    assert client.get("/").is_success


def test_eight_clients_at_once_each_see_their_own_book(desk):
    def one(i):
        values = A1 | {"number": f"N{i}", "height": str(150 + i)}
        with desk.client() as client:
            page = client.post(begun(client, values) + "/look", data=form_of(values)).json()
        return page["fields"]["height"], page["standing"].count("<title>")

    with ThreadPoolExecutor(8) as pool:
        seen = [*pool.map(one, range(8))]
    assert [(f"{150 + i} mm" in read, titles) for i, (read, titles) in enumerate(seen)] == [
        (True, 1)
    ] * 8


def test_every_measure_of_the_slip_has_a_field_and_every_drawn_one_a_measure(client):
    from cutfiles.bench.fields import FIELDS
    from cutfiles.desk.measures import measures

    page = client.get("/book/" + begun(client, A1).rpartition("/")[2]).text
    names = {one.path for one in FIELDS}
    assert set(re.findall(r'name="slip\.([^"]+)"', page)) == names
    drawn = {
        name for part in re.findall(r'data-fields="([^"]+)"', measures()) for name in part.split()
    }
    assert drawn <= names
    lengths = {one.path for one in FIELDS if one.kind in ("length", "angle") and not one.table}
    assert lengths - drawn == set()


def test_the_readme_tells_of_the_desk():
    assert "cutfiles desk" in (ROOT / "README.md").read_text(encoding="utf-8")
