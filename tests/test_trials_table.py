"""The table of trials on the disk: damaged ones are refused in words, none is ever half written."""

import random
import subprocess
import sys

import pytest
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.cli import cli
from cutfiles.disk import files
from cutfiles.errors import FileError
from cutfiles.job.trial import record, trials_at
from cutfiles.support.trial_rows import COLUMNS, TrialsError, read_trials, write_trials
from cutfiles.support.trials import Trial

HOSTILE = [
    '=HYPERLINK("x")',
    "+1",
    "-2",
    "@sum",
    "a,b",
    'said "no"',
    "two\nlines",
    "'quoted",
    "\u202eright to left",
    "x" * 480,
    "\t tabs \x0b and \x1f",
    "None",
    "",
]


def trial(**more):
    values = {
        "date": "2 Mar 2026",
        "support": "A1",
        "lot": "L 7/b",
        "gauge": 0.127,
        "layers": 1,
        "construction": "posts",
        "leg": 65.2,
        "breadth": 201.0,
        "face": 12.0,
        "posts": 2,
        "load": 2.4,
        "minutes": 1440.0,
        "result": "stood",
    }
    return Trial(**(values | more))


TABLE = write_trials(
    [trial(), trial(note='fell, "slowly"', result="collapsed"), trial(note="ünïcode ✓")]
)


def run(*args):
    return CliRunner().invoke(cli, [str(one) for one in args])


def read_or_refused(text):
    """The trials of a text, or the refusal."""
    try:
        return read_trials(text)
    except TrialsError as error:
        return error


def test_a_table_cut_off_anywhere_is_read_so_far_or_refused():
    data, whole = TABLE.encode(), read_trials(TABLE)
    found = [
        read_or_refused(data[:length].decode("utf-8", "ignore")) for length in range(len(data))
    ]
    refused = [one for one in found if isinstance(one, TrialsError)]
    assert len(refused) > 0.9 * len(data)
    assert all(fault.needed and fault.remedy for one in refused for fault in one.faults)
    for length, one in enumerate(found):
        if one and not isinstance(one, TrialsError):  # rows are whole, or none
            assert one == whole[: len(one)]
            assert b"\n" in data[length - 1 : length + 1]


def test_noise_is_refused_in_words():
    dice, signs = random.Random(3), ',";\n\r\0=-. 0159aeé\ufeff'
    for _ in range(1500):
        text = list(TABLE)
        for _ in range(dice.randint(1, 6)):
            at = dice.randrange(len(text))
            text[at : at + dice.randint(0, 3)] = dice.choice(signs) * dice.randint(0, 2)
        found = read_or_refused("".join(text))
        if isinstance(found, TrialsError):
            assert str(found).startswith("trials.csv")
        else:
            assert read_trials(write_trials(found)) == found


HEADER = ",".join(COLUMNS)
ROW = TABLE.splitlines()[1]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no such column"),
        (TABLE.replace(",", ";"), "commas between them"),
        (TABLE.replace("load_n", "load"), 'a column "load"'),
        (TABLE.replace("load_n", "load"), "load_n: found no such column"),
        (TABLE.replace("lot", "date", 1), "date: found this column twice"),
        (f"{HEADER}\n{ROW},\n", "found 19 cells"),
        (f"{HEADER}\n{ROW[: len(ROW) // 2]}", "row 2"),
        (f'{HEADER}\n"{ROW}', "a damaged row"),
        (f"{HEADER}\n{ROW.replace('2.4', 'nan')}", "row 2, load_n"),
        (f"{HEADER}\n{ROW.replace('2.4', '1e999')}", "row 2, load_n"),
        (f"{HEADER}\n{ROW.replace('2.4', '=2+2')}", "row 2, load_n"),
        (f"{HEADER}\n{ROW.replace('1440', '-5')}", "row 2, minutes"),
        (f"{HEADER}\n{ROW.replace('posts', '=posts')}", "row 2, construction"),
        (f"{HEADER}\n{ROW.replace('stood', 'read')}", "row 2, result"),
    ],
)
def test_damage_is_told_with_its_place(text, said, tmp_path):
    with pytest.raises(TrialsError) as refused:
        read_trials(text)
    assert said in str(refused.value)
    path = tmp_path / "trials.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(TrialsError):
        record(path, [trial()])
    assert path.read_text(encoding="utf-8") == text
    assert [one.name for one in tmp_path.iterdir()] == ["trials.csv"]
    for command in (["check"], ["make", "--to", tmp_path / "out"]):
        done = run(command[0], SAMPLES / "A1.toml", *command[1:], "--trials", path)
        assert done.exit_code == 1
        assert done.output.startswith("refused: ")
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("column", "most", "slipped"),
    [
        # the most (least) one writes in earnest, and what a slip of the pen or the unit makes of it
        ("date", "Tuesday 2 March 2026 in the morning", "x" * 41),
        ("support", "x" * 80, "x" * 81),
        ("lot", "x" * 80, "x" * 81),
        ("note", "x" * 500, "x" * 501),
        ("initials", "x" * 20, "x" * 21),
        ("gauge", "0.5", "127"),  # µm for mm
        ("gauge", "0.0508", "0.00508"),
        ("gauge", "0.25", "5"),  # mil for mm
        ("leg", "250", "652"),  # a decimal point lost
        ("leg", "5", "0.65"),
        ("breadth", "280", "2010"),
        ("breadth", "60", "0.201"),  # m for mm
        ("face", "12", "120"),
        ("face", "6", "0.12"),
        ("posts", "4", "21"),
        ("posts", "1", "0"),
        ("load_n", "50", "2400"),  # mN for N
        ("load_n", "0.1", "0"),
        ("minutes", "262800", "1440000000"),  # six months
        ("minutes", "0", "-1"),
    ],
)
def test_what_nobody_can_have_measured_is_refused(column, most, slipped):
    """A row that is read counts for every later support: a leg of 0.65 mm would prove any film."""
    at = COLUMNS.index(column)

    def told(value):
        cells = ROW.split(",")
        cells[at] = value
        return read_or_refused(f"{HEADER}\n{','.join(cells)}\n")

    (read,) = told(most)
    name = "load" if column == "load_n" else column
    kept = getattr(read, name)
    assert kept == most if isinstance(kept, str) else kept == pytest.approx(float(most))
    refused = told(slipped)
    assert isinstance(refused, TrialsError)
    assert [fault.place.field for fault in refused.faults] == [column]
    assert refused.faults[0].place.row == 2


@pytest.mark.parametrize(
    "data", [TABLE.encode("utf-16"), b"\xff\xfe\x00", TABLE.encode("latin-1", "replace") + b"\xe9"]
)
def test_other_encodings_are_refused(data, tmp_path):
    path = tmp_path / "trials.csv"
    path.write_bytes(data)
    with pytest.raises(FileError, match="UTF-8"):
        record(path, [trial()])
    assert path.read_bytes() == data


def test_a_table_as_a_spreadsheet_saves_it(tmp_path):
    """A mark of byte order, returns, quotation marks, other order of columns, empty rows: read."""
    rows = [line.split(",") for line in TABLE.splitlines()[:2]]
    turned = "\r\n".join(",".join(f'"{cell}"' for cell in row[::-1]) for row in rows)
    path = tmp_path / "trials.csv"
    path.write_bytes(b"\xef\xbb\xbf" + turned.encode() + b"\r\n" + b"," * 17 + b"\r\n")
    assert trials_at(path) == (trial(),)
    assert record(path, [trial(support="A2")]) == (trial(), trial(support="A2"))
    assert trials_at(path) == (trial(), trial(support="A2"))


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts_stay_texts(text, tmp_path):
    path = tmp_path / "trials.csv"
    rows = record(path, [trial(note=text, lot=text[:70], date=text[:40])])
    again = trials_at(path)
    assert [one.note for one in again] == [" ".join(text.split())]
    assert again[0].support == rows[0].support == "A1"
    line = path.read_text("utf-8").splitlines()
    assert len(line) == 2
    for sign in "=+-@":
        assert f",{sign}" not in line[1]
        assert f',"{sign}' not in line[1]


def test_what_cannot_be_read_again_is_not_recorded(tmp_path):
    path = tmp_path / "trials.csv"
    for bad in ({"note": "x" * 501}, {"load": 0.0}, {"gauge": 5.0}, {"support": " "}):
        with pytest.raises(TrialsError, match="what is to be recorded, row 2"):
            record(path, [trial(**bad)])
    assert not path.exists()


def test_two_runs_at_once_lose_nothing(tmp_path):
    path, each = tmp_path / "trials.csv", 6
    code = (
        "import sys\nfrom cutfiles.job.trial import record\n"
        "from cutfiles.support.trials import Trial\n"
        "for i in range(int(sys.argv[2])):\n"
        "    row = Trial('', f'{sys.argv[3]}{i}', '', 0.127, 1, 'plain', 65.0, 201.0, 0.0, 0, 1.0,"
        " 10.0, 'stood')\n"
        "    record(sys.argv[1], [row])\n"
    )
    runs = [
        subprocess.Popen([sys.executable, "-c", code, str(path), str(each), name]) for name in "ABC"
    ]
    assert [one.wait(timeout=120) for one in runs] == [0, 0, 0]
    found = [one.support for one in trials_at(path)]
    assert sorted(found) == [f"{name}{i}" for name in "ABC" for i in range(each)]
    assert [one.name for one in tmp_path.iterdir()] == ["trials.csv"]


@pytest.mark.parametrize("begun", [False, True])
@pytest.mark.parametrize("theirs", ["B1", "A1"])
def test_a_run_that_comes_between_a_look_and_the_lock_loses_nothing(
    tmp_path, monkeypatch, begun, theirs
):
    """Also where both record the very same row: two trials were made, and both of them stood."""
    path, real, others = tmp_path / "trials.csv", files.held, [trial(support=theirs)]
    before = record(path, [trial(support="A0")]) if begun else ()

    def held(folder, name):
        if others:
            record(path, [others.pop()])
        return real(folder, name)

    monkeypatch.setattr(files, "held", held)
    rows = (*before, trial(support=theirs), trial(support="A1"))
    assert record(path, [trial(support="A1")]) == rows
    assert trials_at(path) == rows


def test_a_damaged_row_is_told_by_its_own_line():
    with pytest.raises(TrialsError) as refusal:
        read_trials(f'{TABLE}{ROW}\n"{ROW}', "trials.csv")
    (fault,) = refusal.value.faults
    assert fault.place.row == len(TABLE.splitlines()) + 2
