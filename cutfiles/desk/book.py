"""One book: measure it, see it stand, take its files. Every page works without script too."""

import asyncio
import difflib
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from cutfiles.desk.books import Book, Values, slip_text, values_of_form, values_of_slip
from cutfiles.desk.desk import Desk, desk_of
from cutfiles.desk.limits import QUICK_SECONDS
from cutfiles.desk.looks import first_look, second_look
from cutfiles.desk.measures import measures
from cutfiles.desk.orders import order_of
from cutfiles.desk.pages import as_file, drawn, form_of, page, part, uploaded
from cutfiles.desk.sections import sections
from cutfiles.desk.takes import put_files, zip_files
from cutfiles.disk.files import update, write_new
from cutfiles.disk.names import safe_name
from cutfiles.disk.system import sum_of
from cutfiles.errors import ChangedError, FileError
from cutfiles.lengths import Lengths
from cutfiles.machine.profile.read import packaged_cutters
from cutfiles.units import UNITS

_STANDING = (8, 40, 281, 144)
_FOLDED = (15, 38, 267, 150)
_FLAT = (8, 37.9, 281, 150)
"""What of the pictures is shown: the drawing, for heading and notes stand on the page."""
NEW = {"units": "mm"}
_TAKING = "make."
"""What the names of fields begin with that say how files are made, and where they are put."""


def _found(request: Request) -> tuple[Desk, Book]:
    desk = desk_of(request)
    return desk, desk.books.find(request.path_params["name"])


def _to(book: Book, at: str = "") -> Response:
    return RedirectResponse(f"/book/{book.name}{at}", 303)


# -- books -----------------------------------------------------------------------------------------


async def books(request: Request) -> Response:
    """Return what books are open, and ways to begin another."""
    desk = desk_of(request)
    return page("books.html", books=[*desk.books.open.values()], unsaved=await desk.offered())


async def begin(request: Request) -> Response:
    """Open a slip that was sent, or a blank one."""
    desk, form = desk_of(request), await form_of(request, files=True)
    values: Values = NEW
    if form.get("slip"):
        values = await desk.works.do(values_of_slip, *await uploaded(form, "slip"))
    return _to(desk.books.add(Book(steps=[values], kept=values)))


async def copy(request: Request) -> Response:
    """Go on from what a page shows, as another book."""
    form = await form_of(request)
    book = Book(steps=[values_of_form(form)], taking=values_of_form(form, _TAKING))
    return _to(desk_of(request).books.add(book))


async def away(request: Request) -> Response:
    """Put a book away; what is not saved of it is offered again."""
    desk, book = _found(request)
    await desk.keep()
    if not book.is_kept and desk.unsaved.refused:
        raise FileError(
            f"a book that is not saved, and cannot be kept: {desk.unsaved.refused}",
            "what was typed is on a disk before a book is put away",
            "take its slip as a file, and put right what the disk refuses",
        )
    desk.books.open.pop(book.name, None)  # another window may have been the first
    return RedirectResponse("/book", 303)


async def gone_on(request: Request) -> Response:
    """Go on with a book that was not saved."""
    desk, name = desk_of(request), request.path_params["name"]
    if name in desk.books.open:  # by another window
        return _to(desk.books.open[name])
    return _to(desk.books.add(await asyncio.to_thread(desk.unsaved.book, name)))


async def forgotten(request: Request) -> Response:
    """Take away what was kept of a book that is not open."""
    desk, name = desk_of(request), request.path_params["name"]
    await form_of(request)
    if name not in desk.books.open:
        await asyncio.to_thread(desk.unsaved.book, name)
        await asyncio.to_thread(desk.unsaved.forget, name)
    return RedirectResponse("/book", 303)


# -- one book --------------------------------------------------------------------------------------


async def shown(request: Request) -> Response:
    """Return the page of a book as it is now."""
    desk, book = _found(request)
    return await _page(desk, book, book.values, book.taking)


async def _page(
    desk: Desk,
    book: Book,
    values: Values,
    taking: Values,
    *,
    status: int = 200,
    other: bool = False,
) -> Response:
    look = await _first(desk, values)
    more = await desk.works.do(second_look, values, desk.order, str(desk.folder))
    return page(
        "book.html",
        status,
        book=book,
        values=values,
        taking=taking,
        sections=sections(values),
        measures=measures(),
        look=look,
        standing=_picture(look["standing"], _STANDING),
        more=_more(more, values),
        other=other,
        refused=desk.unsaved.refused,
        cutters=packaged_cutters(),
        order=desk.order,
    )


async def _first(desk: Desk, values: Values) -> dict[str, Any]:
    given = values, desk.order, str(desk.folder)
    found: dict[str, Any] = await desk.quick.do(first_look, *given, seconds=QUICK_SECONDS)
    return found


def _picture(data: bytes | None, window: tuple[float, ...]) -> Any:
    return drawn(data, window) if data else ""


def _more(more: dict[str, Any] | None, values: Values) -> dict[str, Any] | None:
    if more is None:
        return None
    units = next((one for one in UNITS if one == values.get("units")), UNITS[0])
    return {
        **more,
        "folded": drawn(more["folded"], _FOLDED),
        "flat": drawn(more["flat"], _FLAT),
        "says": Lengths(units),
    }


async def changed(request: Request) -> Response:
    """Take up what a page without script says; where another window went on, ask what to do."""
    desk, book = _found(request)
    return await _taken_up(desk, book, await form_of(request)) or _to(book)


async def _taken_up(desk: Desk, book: Book, form: FormData) -> Response | None:
    """Take up what a form says; where another window went on, return the page that asks."""
    values, taking = values_of_form(form), values_of_form(form, _TAKING)
    try:
        book.change(values, "", str(form.get("base", "")))
    except ChangedError:
        return await _page(desk, book, values, taking, status=409, other=True)
    book.taking = taking
    return None


async def look(request: Request) -> Response:
    """Return what changes on the page while somebody types, as parts of it."""
    desk, book = _found(request)
    form = await form_of(request)
    values = values_of_form(form)
    try:
        book.change(values, str(form.get("changed", "")), str(form.get("base", "")))
    except ChangedError as error:
        return JSONResponse({"told": str(error.fault)}, 409)
    book.taking, version = values_of_form(form, _TAKING), book.version
    seen = await _first(desk, values)
    return JSONResponse(
        {
            "version": version,
            "can": book.can,
            "standing": _picture(seen["standing"], _STANDING),
            "verdict": part("verdict.html", look=seen),
            "saved": part("saved.html", book=book, refused=desk.unsaved.refused),
            "fields": {
                path: part("said.html", path=path, look=seen)
                for path in {**seen["read"], **seen["said"]}
            },
            "wrong": [
                path
                for path, said in seen["said"].items()
                if any(one["kind"] == "wrong" for one in said)
            ],
        }
    )


async def more(request: Request) -> Response:
    """Return what takes longer: folded view, numbers, reasons."""
    desk, book = _found(request)
    version, values = book.version, book.values
    seen = await desk.works.do(second_look, values, desk.order, str(desk.folder))
    return JSONResponse({"version": version, "more": part("more.html", more=_more(seen, values))})


async def moved(request: Request) -> Response:
    """Undo a step, or do it again; what was typed since counts as one."""
    desk, book = _found(request)
    if asks := await _taken_up(desk, book, await form_of(request)):
        return asks
    book.move(-1 if request.url.path.endswith("/undo") else 1, str(book.version))
    return _to(book)


# -- files -----------------------------------------------------------------------------------------


async def zipped(request: Request) -> Response:
    """Return the files of what a page shows, in a zip."""
    desk, book = _found(request)
    form = await form_of(request)
    if form.get("base") == str(book.version):  # an older window takes its own, and changes nothing
        book.taking = values_of_form(form, _TAKING)
    values, folder = values_of_form(form), str(desk.folder)
    name, data = await desk.works.do(zip_files, values, order_of(form, desk.order, _TAKING), folder)
    return as_file(data, f"{name}.zip", "application/zip")


async def put(request: Request) -> Response:
    """Make the files of a book in the desk's folder, or in one in it."""
    desk, book = _found(request)
    form = await form_of(request)
    if asks := await _taken_up(desk, book, form):
        return asks
    inner = str(form.get("make.folder", "")).strip()
    folder = desk.within(inner) if inner else desk.folder
    where = str(folder), str(desk.folder)
    done = await desk.works.do(put_files, book.values, order_of(form, desk.order, _TAKING), *where)
    book.made = {**done, "folder": str(folder)}
    return _to(book, "/made")


async def made(request: Request) -> Response:
    """Return what was made of a book last."""
    _, book = _found(request)
    return _to(book) if book.made is None else page("made.html", book=book, done=book.made)


# -- slips -----------------------------------------------------------------------------------------


async def slip(request: Request) -> Response:
    """Return the slip of a book as a file."""
    _, book = _found(request)
    return as_file(slip_text(book.values).encode(), _slip_name(book), "application/toml")


def _slip_name(book: Book) -> str:
    return f"{safe_name(book.values.get('number', 'slip'))}.toml"


async def save(request: Request) -> Response:
    """Save the slip of a book in the desk's folder: as a new file, or the one it was saved into."""
    desk, book = _found(request)
    if asks := await _taken_up(desk, book, await form_of(request)):
        return asks
    name = _slip_name(book)
    path, data = desk.within(name), slip_text(book.values).encode()
    if book.saved is not None and book.saved[0] == name:
        update(path, data, book.saved[1])
    else:
        write_new(path, data, "a slip is saved into a new file")
    book.saved, book.kept = (name, sum_of(data)), book.values
    return _to(book)


async def compare(request: Request) -> Response:
    """Take a slip to hold the book on the desk against."""
    desk, book = _found(request)
    name, data = await uploaded(await form_of(request, files=True), "slip")
    book.compared = name, await desk.works.do(values_of_slip, name, data)
    return _to(book, "/compare")


async def compared(request: Request) -> Response:
    """Return how the slip that was sent last differs from the book as it is now."""
    _, book = _found(request)
    if book.compared is None:
        return _to(book)
    (name, other), own = book.compared, book.values
    paths = [path for path in {**own, **other} if own.get(path) != other.get(path)]
    lines = difflib.unified_diff(
        slip_text(other).splitlines(), slip_text(own).splitlines(), name, "on the desk", n=0
    )
    rows = [(path, other.get(path, ""), own.get(path, "")) for path in paths]
    return page("compare.html", book=book, name=name, rows=rows, lines="\n".join(lines))


ROUTES = (
    Route("/book", books),
    Route("/book", begin, methods=["POST"]),
    Route("/book/copy", copy, methods=["POST"]),
    Route("/book/{name:str}", shown),
    Route("/book/{name:str}", changed, methods=["POST"]),
    Route("/book/{name:str}/away", away, methods=["POST"]),
    Route("/book/{name:str}/on", gone_on, methods=["POST"]),
    Route("/book/{name:str}/forget", forgotten, methods=["POST"]),
    Route("/book/{name:str}/look", look, methods=["POST"]),
    Route("/book/{name:str}/more", more),
    Route("/book/{name:str}/zip", zipped, methods=["POST"]),
    Route("/book/{name:str}/put", put, methods=["POST"]),
    Route("/book/{name:str}/made", made),
    Route("/book/{name:str}/slip.toml", slip),
    Route("/book/{name:str}/save", save, methods=["POST"]),
    Route("/book/{name:str}/compare", compare, methods=["POST"]),
    Route("/book/{name:str}/compare", compared),
    Route("/book/{name:str}/undo", moved, methods=["POST"]),
    Route("/book/{name:str}/redo", moved, methods=["POST"]),
)
