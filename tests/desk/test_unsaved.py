"""Books that are not saved: none is lost with its desk, and the next one offers them."""

import asyncio
import json
import os
import re

import pytest
from desks import A1, begun, form_of, running

from cutfiles.desk.books import Book
from cutfiles.desk.desk import Desk
from cutfiles.errors import FileError

WIDER = A1 | {"width": "140 mm", "heigth": "no such field"}


def kept(folder):
    return sorted(path.name for path in (folder / ".desk").glob("*"))


def changed(desk, values=WIDER, **more):
    """Put a book on a desk whose slip was opened, and changed since."""
    return desk.books.add(Book(steps=[values], kept=A1, **more))


def test_a_book_that_is_not_saved_is_offered_by_the_next_desk_and_gone_on_with(tmp_path):
    with running(tmp_path) as one, one.client() as client:
        book = begun(client, A1)
        begun(client, A1 | {"number": "A2"})  # stands in its slip as it is
        typed = form_of(WIDER, **{"make.folder": "first floor"})
        assert "It is kept all the same" in client.post(book + "/look", data=typed).json()["saved"]
    assert kept(tmp_path) == [f"{book.rpartition('/')[2]}.json"]
    with running(tmp_path) as one, one.client() as client:
        assert "1 book was open, not saved:" in re.sub("<.*?>", "", client.get("/").text)
        assert client.get(book).status_code == 422
        assert client.post(book + "/on").headers["location"] == book
        page = client.get(book).text
        for text in ('value="140 mm"', 'value="no such field"', 'value="first floor"'):
            assert text in page
        assert "open, not saved" not in client.get("/").text
        assert client.post(book, data=typed).status_code == 409  # a page of the desk before
        version = re.search(r'name="base" value="(\d+)"', page)[1]
        client.post(book + "/save", data=form_of(WIDER, version))
        assert "Saved as A1.toml." in client.get(book).text
    assert kept(tmp_path) == []


def test_a_book_put_away_is_offered_until_it_is_forgotten(desk, client):
    book = begun(client, A1)
    client.post(book, data=form_of(WIDER))
    assert client.post(book + "/away").headers["location"] == "/book"
    assert f'action="{book}/on"' in client.get("/book").text
    client.post(book + "/forget")
    assert book not in client.get("/book").text
    assert f"{book.rpartition('/')[2]}.json" not in kept(desk.folder)
    assert client.post(book + "/on").status_code == 422


def test_what_is_saved_or_as_it_was_opened_leaves_nothing_behind(tmp_path):
    desk = Desk(tmp_path)
    one = changed(desk)
    asyncio.run(desk.keep())
    assert kept(tmp_path) == [f"{one.name}.json"]
    before = (tmp_path / ".desk" / f"{one.name}.json").stat().st_mtime_ns
    asyncio.run(desk.keep())
    assert (tmp_path / ".desk" / f"{one.name}.json").stat().st_mtime_ns == before
    (tmp_path / ".desk" / f"{one.name}.json").unlink()  # by another desk of this folder
    asyncio.run(desk.keep())
    assert kept(tmp_path) == [f"{one.name}.json"]
    one.kept = one.values
    asyncio.run(desk.keep())
    assert kept(tmp_path) == []


@pytest.mark.parametrize(
    "said",
    [
        "",
        "[" * 100_000,
        "[]",
        "{}",
        {"version": 1, "slip": {"height": 3}, "taking": {}, "saved": None},
        {"version": 1, "slip": {str(i): "" for i in range(300)}, "taking": {}, "saved": None},
        {"version": "1", "slip": A1, "taking": {}, "saved": None},
        {"version": 1, "slip": A1, "taking": {}, "saved": ["../x"]},
        {"version": 1, "slip": A1, "taking": [], "saved": None},
    ],
    ids=lambda said: str(said)[:30],
)
def test_a_file_that_is_no_book_of_ours_is_passed_over(tmp_path, said):
    (tmp_path / ".desk").mkdir()
    text = said if isinstance(said, str) else json.dumps(said)
    for name in ("ABCDEFGH.json", "..json", "x.json"):
        (tmp_path / ".desk" / name).write_text(text)
    desk = Desk(tmp_path)
    assert asyncio.run(desk.offered()) == []
    for name in ("ABCDEFGH", "../A1", "x"):
        with pytest.raises(FileError, match="no book of that name"):
            desk.unsaved.book(name)
    assert len(kept(tmp_path)) == 3


@pytest.mark.skipif(os.name == "nt", reason="links need a right of their own there")
def test_what_cannot_be_kept_is_said_and_not_put_away(tmp_path):
    inside, outside = (tmp_path / name for name in ("inside", "outside"))
    inside.mkdir()
    outside.mkdir()
    (inside / ".desk").symlink_to(outside)
    (outside / "ABCDEFGH.json").write_text("{}")
    desk = Desk(inside)
    changed(desk)
    asyncio.run(desk.keep())
    assert desk.unsaved.refused == "a link"
    assert [path.name for path in outside.iterdir()] == ["ABCDEFGH.json"]
    assert asyncio.run(desk.offered()) == []
    gone = Desk(tmp_path / "gone")
    changed(gone)
    asyncio.run(gone.keep())
    assert "gone" in gone.unsaved.refused
    assert not (tmp_path / "gone").exists()
