"""An exhibit run again: what is as it was is not drawn or compared anew, all else is."""

import gc
import json
from dataclasses import replace

import pytest
from once import anew
from test_exhibit import BOOKS, HEAD, listed, plan, tree

import cutfiles.exhibit.jobs as jobs
from cutfiles.bench.slip import slip_from
from cutfiles.errors import FileError
from cutfiles.exhibit import compared
from cutfiles.exhibit.run import make_exhibit
from cutfiles.files.readers.reading import ReadPath
from cutfiles.job.make import make
from cutfiles.job.order import Order

PRINTED = plan(order=Order(formats=("svg",)))
PRINTS = {
    *("case-card.pdf", "cut-card.pdf", "strap-card.pdf", "install-A.pdf", "install-B.pdf"),
    *("labels.pdf", "bench-cards.pdf"),
}


@pytest.fixture
def worked(monkeypatch):
    """Names of prints that are drawn, one a part, and ``savings`` where film is compared."""
    done = list[str]()
    draw, compare = jobs.drawn, compared.savings

    def drawn(task):
        done.append(task[0])
        return draw(task)

    def savings(*args):
        done.append("savings")
        return compare(*args)

    monkeypatch.setattr(jobs, "drawn", drawn)
    monkeypatch.setattr(compared, "savings", savings)
    return done


@pytest.fixture
def made(tmp_path, worked):
    """An exhibit made once; the prints of which are all drawn, and its film compared."""
    make_exhibit(listed(tmp_path, HEAD + BOOKS), tmp_path / "out", PRINTED)
    assert {*worked} == PRINTS | {"savings"}
    worked.clear()
    return tmp_path / "out"


def test_an_unchanged_exhibit_is_drawn_and_compared_once(tmp_path, made, worked):
    files = tree(made)
    again = make_exhibit(listed(tmp_path, HEAD + BOOKS), made, PRINTED)
    assert worked == []
    assert tree(made) == files
    assert again.removed == again.left == ()


def test_another_program_draws_and_compares_anew(tmp_path, made, worked, monkeypatch):
    monkeypatch.setattr(jobs, "VERSION", "0.0.9")
    monkeypatch.setattr(compared, "VERSION", "0.0.9")
    before = tree(made)
    make_exhibit(listed(tmp_path, HEAD + BOOKS), made, PRINTED)
    assert {*worked} == PRINTS | {"savings"}
    after = tree(made)
    assert {name for name in after if after[name] != before[name]} == {"exhibit.json"}


def test_a_title_corrected_draws_anew_what_shows_it(tmp_path, made, worked):
    corrected = HEAD + BOOKS.replace("Book A1", "Herbal A1")
    make_exhibit(listed(tmp_path, corrected), made, PRINTED)
    assert {*worked} == PRINTS - {"cut-card.pdf", "install-B.pdf"}  # it is cut as it was
    fresh = tmp_path / "fresh"
    make_exhibit(listed(tmp_path, corrected), fresh, PRINTED)
    now, all_anew = tree(made), tree(fresh)
    assert {name: now[name] for name in PRINTS} == {name: all_anew[name] for name in PRINTS}


def test_other_film_is_compared_anew(tmp_path, made, worked):
    roomy = replace(PRINTED, rules=replace(PRINTED.rules, spacing=8.0))
    make_exhibit(listed(tmp_path, HEAD + BOOKS), made, roomy)
    assert "savings" in worked


def test_a_print_that_is_gone_is_drawn_again(tmp_path, made, worked):
    files = tree(made)
    (made / "labels.pdf").unlink()
    make_exhibit(listed(tmp_path, HEAD + BOOKS), made, PRINTED)
    assert worked == ["labels.pdf"]
    assert tree(made) == files


def test_a_print_that_was_written_on_is_refused(tmp_path, made):
    (made / "labels.pdf").write_bytes(b"notes")
    with pytest.raises(FileError, match="changed since"):
        make_exhibit(listed(tmp_path, HEAD + BOOKS), made, PRINTED)
    assert (made / "labels.pdf").read_bytes() == b"notes"


def test_prints_that_are_not_wanted_any_more_go(tmp_path, made):
    bare = replace(PRINTED, order=replace(PRINTED.order, paper=None))
    again = make_exhibit(listed(tmp_path, HEAD + BOOKS), made, bare)
    assert {name for name in again.removed if "/" not in name} == PRINTS
    assert not PRINTS & tree(made).keys()


def test_a_saving_of_film_that_is_not_at_hand_is_asked_again(tmp_path, made, worked):
    """The record was edited: what it says of other film holds of none."""
    files, record = tree(made), made / "exhibit.json"
    said = json.loads(record.read_text())
    said["saved"]["found"] = [["a roll of gold", "width", 1016.0, 610.0, 0.5]]
    record.write_text(json.dumps(said))
    make_exhibit(listed(tmp_path, HEAD + BOOKS), made, PRINTED)
    assert worked == ["savings"]
    assert tree(made) == files


@pytest.mark.parametrize("files", [{}, "of the cut card"])
def test_a_print_of_which_the_record_knows_no_file_is_drawn_again(tmp_path, made, worked, files):
    """The record was edited: a print that is gone was taken for one that is there."""
    before, record = tree(made), made / "exhibit.json"
    said = json.loads(record.read_text())
    prints = said["made"]["lists"]
    prints["case-card.pdf"]["files"] = files and prints["cut-card.pdf"]["files"]
    record.write_text(json.dumps(said))
    (made / "case-card.pdf").unlink()
    make_exhibit(listed(tmp_path, HEAD + BOOKS), made, PRINTED)
    assert worked == ["case-card.pdf"]
    assert tree(made) == before


def test_a_book_too_large_for_a_format_leaves_nothing_behind():
    """What was read back of it went only when all of a worker's memory was searched."""
    large = {"number": "A1", "units": "mm", "height": 330, "width": 245, "spine_width": 60}
    slip = slip_from(large | {"opening_angle": 110, "weight": "900 g"})
    told = anew(make)(slip, Order(paper=None, anyway=True)).findings
    assert [one.place for one in told if one.rule == "format"] == ["hpgl"]
    gc.collect()
    gc.disable()
    try:
        anew(make)(slip, Order(paper=None, anyway=True))
        left = sum(isinstance(one, ReadPath) for one in gc.get_objects())
        gc.collect()
        assert sum(isinstance(one, ReadPath) for one in gc.get_objects()) == left
    finally:
        gc.enable()
