"""What is told of supports at length: on disk alone, read from journal and record, and refused."""

import json
from dataclasses import fields

import pytest
from test_exhibit import BOOKS, HEAD, listed, plan, states, tree

from cutfiles.errors import ChangedError
from cutfiles.exhibit import run
from cutfiles.exhibit.entries import JOURNAL, RECORD, support_entry
from cutfiles.exhibit.results import SupportFacts, Told
from cutfiles.exhibit.run import make_exhibit
from cutfiles.exhibit.state import Known, load, note
from cutfiles.exhibit.work import make_support


@pytest.fixture
def made(tmp_path, monkeypatch):
    """An exhibit of four books, and what its workers handed back."""
    handed = {}

    def kept(task):
        done = make_support(task)
        handed[done.name] = done
        return done

    monkeypatch.setattr(run, "make_support", kept)
    books = listed(tmp_path, HEAD + BOOKS)
    return make_exhibit(books, tmp_path / "out", plan()), handed


def test_a_result_tells_what_its_worker_handed_back(tmp_path, made):
    done, handed = made
    assert not (tmp_path / "out" / JOURNAL).exists()
    for support in done.supports:
        facts, before = support.facts, handed[support.number].facts
        assert isinstance(before.teller, Told)
        assert not isinstance(facts.teller, Told)
        assert facts == before
        assert facts.told == before.told
        assert facts.picture == before.picture
        assert facts.files == handed[support.number].files


def test_a_record_holds_all_that_is_known_of_a_support(tmp_path, made):
    """Also what is mostly at its usual value: a field that is not written would come back so."""
    known, handed = load(tmp_path / "out").supports, made[1]
    assert known == {name: done.facts for name, done in handed.items()}
    entry = support_entry(handed["A1"].facts)
    names = {one.name for cls in (SupportFacts, Told) for one in fields(cls)}
    assert {*entry, *entry["facts"]} - {"facts", "seconds"} == names - {"teller"}


def test_an_earlier_result_tells_what_stayed_and_refuses_what_did_not(tmp_path, made):
    first, handed = made
    books = listed(tmp_path, HEAD + BOOKS.replace("Book A2", "Another"))
    again = make_exhibit(books, tmp_path / "out", plan())
    assert states(again) == {"A1": "unchanged", "A2": "made", "B1": "unchanged", "B2": "unchanged"}
    one, other, *_ = (support.facts for support in first.supports)
    assert one.told == handed["A1"].facts.told
    with pytest.raises(ChangedError, match='no entry of "A2" as it was made'):
        other.told  # noqa: B018
    assert "Another" in again.supports[1].facts.labels[0].title


@pytest.mark.parametrize("indent", [None, 1, 2])
def test_a_record_laid_out_otherwise_is_read_and_written_as_ours(tmp_path, made, indent):
    out = tmp_path / "out"
    before = tree(out)
    said = json.loads((out / RECORD).read_text())
    (out / RECORD).write_text(json.dumps(said, indent=indent))
    done = make_exhibit(listed(tmp_path, HEAD + BOOKS), out, plan())
    assert done.counts["unchanged"] == 4
    assert tree(out) == before
    assert done.supports[0].facts.told == made[1]["A1"].facts.told


@pytest.mark.parametrize("edit", [{"way": [1, 2, 3, 4]}, {"straps": [[1, 2]]}, {"state": "fine"}])
def test_an_entry_edited_in_a_record_laid_out_otherwise_is_unknown(tmp_path, made, edit):
    record = tmp_path / "out" / RECORD
    said = json.loads(record.read_text())
    said["made"]["supports"]["B1"]["facts"] |= edit
    record.write_text(json.dumps(said))
    done = make_exhibit(listed(tmp_path, HEAD + BOOKS), tmp_path / "out", plan())
    assert states(done) == {"A1": "unchanged", "A2": "unchanged", "B1": "made", "B2": "unchanged"}


def test_a_folder_named_from_the_working_folder_is_read_from_another_too(
    tmp_path, made, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    done = make_exhibit(listed(tmp_path, HEAD + BOOKS), "out", plan())
    monkeypatch.chdir("out")
    assert done.supports[0].facts.told == made[1]["A1"].facts.told


@pytest.mark.parametrize(
    ("was", "now"),
    [('"layers":1', '"layers":"1"'), ('"picture":"', '"picture":7,"p":"'), ('"view"', '"sight"')],
)
def test_an_entry_edited_in_its_place_is_unknown(tmp_path, made, was, now):
    """The lines are ours, what stands on one of them is not."""
    record = tmp_path / "out" / RECORD
    text = record.read_text()
    at = text.index(was, text.index('\n   "B1":'))
    record.write_text(text[:at] + now + text[at + len(was) :])
    assert {*load(tmp_path / "out").supports} == {"A1", "A2", "B2"}
    done = make_exhibit(listed(tmp_path, HEAD + BOOKS), tmp_path / "out", plan())
    assert states(done) == {"A1": "unchanged", "A2": "unchanged", "B1": "made", "B2": "unchanged"}


def test_what_follows_a_line_that_was_cut_off_is_told_and_known(tmp_path, made, monkeypatch):
    """Killed while it wrote, and again: the first line of the second run is not lost."""
    _, handed = made
    out = tmp_path / "second"
    out.mkdir()
    line = json.dumps(["supports", "A1", support_entry(handed["A1"].facts)])
    (out / JOURNAL).write_text(line[:-20])

    def killed(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(run, "choose_films", killed)
    with pytest.raises(KeyboardInterrupt):
        make_exhibit(listed(tmp_path, HEAD + BOOKS), out, plan())
    known = Known(out)
    kept = [note(known, "supports", handed[name]) for name in ("A2", "B1")]
    assert [one.facts.told for one in kept] == [handed[n].facts.told for n in ("A2", "B1")]
    assert {*load(out).supports} == {"A2", "B1"}
