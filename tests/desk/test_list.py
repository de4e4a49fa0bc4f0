"""A list on the desk: read, answered, kept, made, marked; as the command line does it."""

import io
import json
import re
import time
import zipfile

import pytest
from click.testing import CliRunner

from cutfiles.cli import cli

CASES = 3
MADE = (
    "No.,Title,Height,Width,Spine,Opens to,Weight\n"
    "A1,Garden calendar,203 mm,133 mm,34 mm,110,400 g\n"
    "A2,Songs,180 mm,120 mm,30 mm,100,300 g\n"
    "A3,Plain & <b>bold</b>,190 mm,125 mm,25 mm,,300 g\n"
)


def sent(client, name, data):
    """Send a list; return its address, or what was refused."""
    answer = client.post("/list", files={"list": (name, data)})
    return answer.headers.get("location") or answer.text


def base(client, address):
    return re.search(r'name="base" value="([^"]*)"', client.get(address).text)[1]


def counts(text):
    said = re.search(r"<b>(\d+) books</b>: (\d+) can be made, (\d+) refused", text)
    return tuple(map(int, said.groups()))


def sixty():
    """Return a list of 60 rows with three causes: no unit, no opening, wider than tall."""
    lines = ["Cat. No.;Title;Dimensions;Spine;Opens to;Weight;Case"]
    for i in range(1, 61):
        size = f"{18 + i % 9} x {12 + i % 5} x 3" + ("" if i % 2 else " cm")
        size = f"{12 + i % 5} x {20 + i % 9} x 3 cm" if i % 7 == 0 else size
        lines.append(f"B{i};Book {i};{size};3 cm;{'' if i % 6 == 0 else 110};400 g;{i % CASES}")
    return "\n".join(lines).encode()


def test_sixty_rows_are_answered_in_place_and_kept(desk, client, tmp_path):
    at = sent(client, "objects.csv", sixty())
    page = client.get(at).text
    assert counts(page)[0] == 60
    legends = re.findall(r"<legend>(.*?):", page)
    assert legends == ["Dimensions", "Opens to", "Dimensions"]
    said = {"base": base(client, at), "ask.unit.0.0": "cm"}
    said |= dict.fromkeys(re.findall(r'name="(cell\.0\.\d+\.opening_angle)"', page), "100")
    assert client.post(at, data=said).status_code == 303
    page = client.get(at).text
    assert counts(page) == (60, 52, 8)

    # another window that still shows the older page is refused, and changes nothing
    older = client.post(at, data=said | {"ask.unit.0.0": "in"})
    assert "changed since in another window" in older.text
    assert f'href="{at}"' in older.text
    assert client.get(at).text == page

    wide = re.findall(r'name="(cell\.0\.\d+\.size)" value="(\d+) x (\d+)', page)
    answers = {name: f"H {h} x W {w} x T 3 cm" for name, h, w in wide}
    client.post(at, data={"base": base(client, at), **answers})
    assert counts(client.get(at).text) == (60, 60, 0)
    client.post(f"{at}/undo", data={"base": base(client, at)})
    assert counts(client.get(at).text) == (60, 52, 8)
    client.post(f"{at}/redo", data={"base": base(client, at)})

    client.post(f"{at}/keep", data={"base": base(client, at)})
    cleaned, mapping = desk.folder / "objects cleaned.csv", desk.folder / "objects columns.toml"
    assert cleaned.read_bytes() == client.get(f"{at}/cleaned.csv").content
    assert mapping.read_bytes() == client.get(f"{at}/columns.toml").content
    told = CliRunner().invoke(cli, ["list", str(cleaned)])
    assert told.output.endswith("60 books: 60 can be made, 0 refused\n")
    (tmp_path / "objects.csv").write_bytes(sixty())
    read = CliRunner().invoke(
        cli, ["list", str(tmp_path / "objects.csv"), "--mapping", str(mapping)]
    )
    assert "60 books: 43 can be made, 17 refused" in read.output

    mapping.write_text("mine")  # changed by hand since: never written over
    refused = client.post(f"{at}/keep", data={"base": base(client, at)})
    assert "changed since it was read" in refused.text
    assert mapping.read_text() == "mine"


def waited(client, at, seconds=60):
    """Return the state of a making once it has ended."""
    for _ in range(10 * seconds):
        told = client.get(f"{at}/making?part=1").json()
        if told["state"] != "running":
            return told
        time.sleep(0.1)
    raise AssertionError(told)


def test_it_is_made_as_the_command_line_makes_it_and_marked(desk, client, tmp_path):
    at = sent(client, "few.csv", MADE.encode())
    said = {"base": base(client, at), "folder": "few", "paper": "none", "spares": "0"}
    client.post(f"{at}/make", data=said)
    assert "Stop</button>" in client.get(f"{at}/making").text
    client.post(f"{at}/stop", data=said)
    assert waited(client, at)["state"] == "stopped"
    client.post(f"{at}/make", data=said)
    done = waited(client, at)
    assert done["state"] == "done", done
    assert "2 made, 0 unchanged, 1 refused; " in done["part"]

    (tmp_path / "few.csv").write_text(MADE)
    way = ["exhibit", str(tmp_path / "few.csv"), "--to", str(tmp_path / "out"), "--no-cards"]
    data = json.loads(CliRunner().invoke(cli, [*way, "--json"]).stdout)
    assert json.loads((desk.folder / "few" / "supports.json").read_text()) == data["supports"]

    page = client.get("/exhibit/few").text
    assert "Plain &amp; &lt;b&gt;bold&lt;/b&gt;" in page
    mark = {
        "base": re.search(r'name="base" value="(\w+)"', page)[1],
        "stage": "folded",
        "name": ["A1"],
        "date": "2026-03-02",
        "initials": "AB",
    }
    assert client.post("/exhibit/few/mark", data=mark).status_code == 303
    page = client.get("/exhibit/few").text
    assert re.search(r'value="A1".*<b>folded</b></td><td>2026-03-02 AB<', page)
    assert re.search(r'value="sheet-001".*<td>cut</td><td>2026-03-02 AB<', page)
    again = client.post("/exhibit/few/mark", data=mark | {"name": ["A2"]})
    assert "marked or made since" in again.text
    now = {"base": re.search(r'name="base" value="(\w+)"', page)[1]}
    for other, why in ((now | {"stage": "proved"}, "no stage"), (now | {"name": []}, "tick at")):
        assert why in client.post("/exhibit/few/mark", data=mark | other).text
    rows = (desk.folder / "few" / "stages.csv").read_text().splitlines()
    assert [row.split(",")[:3] for row in rows[1:]] == [
        ["sheet-001", "", "cut"],
        ["", "A1", "folded"],
    ]
    require_only_its_files_are_served(desk, client)


def test_the_measuring_round_is_that_of_the_command_line(desk, client, tmp_path):
    at = sent(client, "loans.csv", MADE.encode())
    assert client.get(f"{at}/round").headers["location"] == at  # nothing yet
    said = {"base": base(client, at), "units": "in", "paper": "Letter", "six": "on"}
    done = client.post(f"{at}/round", data=said)
    assert (done.status_code, done.headers["location"]) == (303, f"{at}/round")
    (tmp_path / "loans.csv").write_text(MADE)
    way = ["round", str(tmp_path / "loans.csv"), "--to", str(tmp_path / "out"), "--six"]
    run = CliRunner().invoke(cli, [*way, "--units", "in", "--paper", "Letter"])
    assert run.exit_code == 0, run.output
    put, page = desk.folder / "loans round", client.get(f"{at}/round").text
    made = {path.name: path.read_bytes() for path in put.iterdir()}
    assert made == {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    told = re.findall("<li>(.*?)</li>", page)
    assert told
    assert {*told} == made.keys() - {"round.files.json"}
    assert str(put) in page
    filled = sent(client, "to-measure.csv", made["to-measure.csv"].replace(b"25 mm", b"26 mm"))
    assert counts(client.get(filled).text) == (3, 2, 1)

    (put / "to-measure.csv").write_text("measured")  # filled in since: never written over
    assert "Refused" in client.post(f"{at}/round", data=said).text
    assert (put / "to-measure.csv").read_text() == "measured"


def require_only_its_files_are_served(desk, client):
    folder = desk.folder / "few"
    page = client.get("/exhibit/few/file/index.html")
    policy = page.headers["content-security-policy"]
    assert "script-src 'sha256-" in policy
    assert "unsafe-inline" not in policy.partition("script-src")[2]
    (folder / "index.html").write_bytes(page.content + b"<script>alert(1)</script>")
    changed = client.get("/exhibit/few/file/index.html")
    assert "script-src" not in changed.headers["content-security-policy"]
    drawing = client.get("/exhibit/few/file/supports/A1.svg")
    assert drawing.headers["content-type"] == "image/svg+xml"
    assert drawing.headers["content-security-policy"].startswith("default-src 'none'")
    cut = next(p.name for p in (folder / "supports").glob("*.dxf"))
    assert client.get(f"/exhibit/few/file/supports/{cut}").headers["content-disposition"]
    (folder / "secret.txt").write_text("secret")
    (folder / "report.txt").unlink()
    (folder / "report.txt").symlink_to("secret.txt")
    for path in ("secret.txt", "report.txt", "exhibit.json", "supports", "%2e%2e/few/secret.txt"):
        answer = client.get(f"/exhibit/few/file/{path}")
        assert answer.status_code == 404, path
        assert b"secret" not in answer.content.replace(b"secret.txt", b"")
    for name in ("%2e%2e", "..%2f..%2fetc", "%2fetc", "few%2fsupports", "nothing", "%00"):
        assert client.get(f"/exhibit/{name}").status_code in (404, 422), name


def workbook(cells, place="A1"):
    """Return a workbook with one worksheet of this XML."""
    sheet = (
        '<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/'
        f'2006/main"><sheetData><row r="1"><c r="{place}" t="inlineStr"><is><t>No.</t></is></c>'
        f"</row>{cells}</sheetData></worksheet>"
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as whole:
        whole.writestr("xl/worksheets/sheet1.xml", sheet)
    return out.getvalue()


def bomb():
    """Return a workbook that says that it unpacks to 4 GB."""
    data = workbook("")
    size = zipfile.ZipFile(io.BytesIO(data)).infolist()[0].file_size
    return data.replace(size.to_bytes(4, "little"), (4_000_000_000).to_bytes(4, "little"))


HEAD = b"No.,Title,Height,Width,Spine,Opens to\n"


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("bomb.xlsx", bomb, "unpack"),
        ("far.xlsx", lambda: workbook("", "XFD1048576"), "XFD1048576"),
        ("digits.csv", lambda: HEAD + b"A1,x,20 cm,13 cm,3 cm," + b"9" * 40_000, "at most 4000"),
        ("picture.xlsx", lambda: b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40, "cannot be read"),
        ("list.xlsb", lambda: workbook(""), "binary workbook"),
        ("empty.csv", lambda: b"", "names of columns"),
        ("words.csv", lambda: b"dear sir,\nI send no list", "names of columns"),
    ],
)
def test_hostile_files_are_refused_in_words(client, name, data, said):
    begun = time.monotonic()
    at = sent(client, name, data())
    page = client.get(at).text if at.startswith("/") else at
    assert said in page
    assert 'class="faults"' in page or 'class="cause"' in page
    assert time.monotonic() - begun < 30
    assert client.get("/list").is_success


def test_a_name_that_leads_elsewhere_is_only_a_name(desk, client):
    before = {path.name for path in desk.folder.parent.iterdir()}
    at = sent(client, "..\\..\\../../etc/pass<wd>.csv", MADE.encode())
    assert "<h1>pass_wd_.csv</h1>" in client.get(at).text
    said = {"base": base(client, at), "paper": "none"}
    for field, name in (("folder", "../out"), ("folder", "/tmp/out"), ("shelf", "../x.toml")):
        answer = client.post(f"{at}/make", data=said | {field: name})
        assert "a name in the desk" in answer.text, name
    for kept in ("../few.csv", "/etc/passwd", "few"):
        assert "Refused" in client.post("/list", files={"x": b""}, data={"kept": kept}).text
    forged = {"cell.9.2.height": "1", "cell.0.2.nothing": "1", "field.0": "x", "bare": "mile"}
    for name, text in forged.items():
        answer = client.post(at, data={"base": base(client, at), name: text})
        assert "does not ask for" in answer.text, name
    assert {path.name for path in desk.folder.parent.iterdir()} == before


def test_a_list_nobody_can_read_is_read_by_its_columns(client):
    at = sent(client, "tickets.csv", b"Our list\nTicket,Tall,Across,Back,Angle\nT1,20,13,3,100\n")
    page = client.get(at).text
    assert "names of columns" in page
    fields = {f"field.{i}": path for i, path in enumerate(("number", "height", "width"))}
    said = {"base": base(client, at), "header_row": "2", "bare": "cm", "field.3": "spine_width"}
    client.post(at, data=said | fields)
    assert counts(client.get(at).text) == (1, 1, 0)
    row = client.get(f"{at}/row/0/3").text
    assert 'name="cell.0.3.height" value="20"' in row
    said = {"base": base(client, at), "part": "0", "row": "3", "added": "weight", "add": "641 g"}
    client.post(at, data=said)
    assert "641 g" in client.get(at).text
    assert "Refused" in client.get(f"{at}/row/0/99").text
