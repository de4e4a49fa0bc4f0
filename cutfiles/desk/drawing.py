"""A drawing that was edited: what was done to it, accepted, and everything made from it."""

from dataclasses import replace
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from cutfiles.desk.books import values_of_slip
from cutfiles.desk.desk import Desk, desk_of
from cutfiles.desk.edited import Drawing, Given, accept, look_at
from cutfiles.desk.pages import as_file, drawn, form_of, page, status_of, uploaded
from cutfiles.desk.remedies import told
from cutfiles.desk.shelf import shelf, taken_from
from cutfiles.desk.takes import put_files, zip_files
from cutfiles.disk.names import safe_name
from cutfiles.disk.refusals import read
from cutfiles.errors import CutfilesError, FileError
from cutfiles.pattern.pattern import Role

_WINDOW = (10, 27, 277, 108)
"""What of the picture is shown: the film; heading and sentences stand on the page."""
ALL = "all"
MOST_TICKED = 300
"""Of more edits than these not each can be ticked: a form holds so many fields."""


def _found(request: Request) -> tuple[Desk, Drawing]:
    desk = desk_of(request)
    return desk, desk.drawings.find(request.path_params["name"])


def _to(one: Drawing) -> Response:
    return RedirectResponse(f"/drawing/{one.name}", 303)


async def drawings(request: Request) -> Response:
    """Return what drawings are open, and the way to begin with another."""
    desk = desk_of(request)
    return await _begin_page(desk)


async def _begin_page(desk: Desk, error: CutfilesError | None = None) -> Response:
    found = await desk.works.do(shelf, str(desk.folder))
    return page(
        "drawings.html",
        422 if error else 200,
        slips=found.slips,
        open=[*desk.drawings.open.values()],
        folder=str(desk.folder),
        faults=told(error),
    )


async def begin(request: Request) -> Response:
    """Take up a drawing and its slip, and tell what was done to it."""
    desk = desk_of(request)
    form = await form_of(request, files=True)
    try:
        given = await _given(desk, form)
        seen = await desk.works.do(look_at, given, desk.order)
        return _to(desk.drawings.add(Drawing(given=given, seen=seen)))
    except CutfilesError as error:
        return await _begin_page(desk, error)


async def _given(desk: Desk, form: FormData) -> Given:
    """Return a drawing with its slip: one that was sent, or one of the folder."""
    name, data = await uploaded(form, "drawing")
    chosen = str(form.get("slip_name", ""))
    if chosen:
        found = await desk.works.do(shelf, str(desk.folder))
        path = taken_from(desk.folder, found.slips, chosen)
        sent, beside = (path.name, read(path, "a measuring slip")), str(path.parent)
    elif getattr(form.get("slip"), "filename", ""):
        sent, beside = await uploaded(form, "slip"), str(desk.folder)
    else:
        raise FileError(
            "no slip",
            "a drawing is held against the slip it was made from",
            "choose one of the folder, or drop its file",
        )
    values = await desk.works.do(values_of_slip, *sent)
    return Given(
        name=name[:120], data=data, values=values, beside=beside, slip_there=bool(chosen), roles={}
    )


# -- one drawing -----------------------------------------------------------------------------------


async def shown(request: Request) -> Response:
    """Return the page of a drawing as it is now."""
    _, one = _found(request)
    return _page(one)


def _page(one: Drawing, error: CutfilesError | None = None) -> Response:
    seen = one.seen
    return page(
        "drawing.html",
        status_of(error),
        one=one,
        seen=seen,
        picture=drawn(seen["picture"], _WINDOW),
        asked=_asked(one),
        roles=list(Role),
        tick=len(seen["edits"]) <= MOST_TICKED,
        faults=told(error),
        inner=safe_name(seen["number"]),
        folder=one.given.beside,
    )


def _asked(one: Drawing) -> list[dict[str, Any]]:
    """Return the layers whose roles were guessed, or said by somebody: each with what it is."""
    layers: dict[str, list[str]] = {}
    for guess in one.seen["guessed"]:
        known = f"{guess['lines']} as {guess['role']} by {guess['by']}"
        words = known if guess["role"] else f"{guess['lines']} not known: no machine works them"
        layers.setdefault(guess["layer"], []).append(words)
    for layer, role in one.given.roles.items():
        layers.setdefault(layer, []).append(f"as you said, {role.value}")
    roles = one.given.roles
    return [
        {"layer": layer, "words": ", ".join(words), "said": roles.get(layer, "")}
        for layer, words in layers.items()
    ]


async def answered(request: Request) -> Response:
    """Take up what somebody says that the lines of layers are, and look again."""
    desk, one = _found(request)
    form = await form_of(request)
    try:
        one.require(form.get("base"))
        roles = dict(one.given.roles)
        for number, asked in enumerate(_asked(one)):
            said = str(form.get(f"role.{number}", ""))
            role = next((role for role in Role if role.value == said), None)
            roles.pop(asked["layer"], None)
            if role is not None:
                roles[asked["layer"]] = role
        given = replace(one.given, roles=roles)
        one.version += 1  # before it is waited for, as below
        seen = await desk.works.do(look_at, given, desk.order)
    except CutfilesError as error:
        return _page(one, error)
    one.given, one.seen, one.said = given, seen, "Read again with what you said."
    return _to(one)


async def accepted(request: Request) -> Response:
    """Keep the edits that are ticked beside the slip."""
    desk, one = _found(request)
    form = await form_of(request)
    try:
        one.require(form.get("base"))
        numbers = _ticked(one, [str(number) for number in form.getlist("edit")])
        one.version += 1  # before it is waited for: no other window accepts meanwhile
        written, one.seen = await desk.works.do(accept, one.given, desk.order, numbers)
    except CutfilesError as error:
        return _page(one, error)
    one.said = (
        f"Kept in {' and '.join(written)}, in {one.given.beside}."
        if written
        else "Nothing is to be kept: no edit changes what is made."
    )
    return _to(one)


def _ticked(one: Drawing, said: list[str]) -> tuple[int, ...]:
    """Return the numbers of the edits that are ticked; "all" is all that break nothing."""
    if said == [ALL]:
        return tuple(edit["number"] for edit in one.seen["edits"] if not edit["breaks"])
    return tuple(edit["number"] for edit in one.seen["edits"] if str(edit["number"]) in said)


async def made(request: Request) -> Response:
    """Make everything from the slip and the edits that are kept, into a folder of its own."""
    desk, one = _found(request)
    form = await form_of(request)
    try:
        one.require(form.get("base"))
        folder = desk.within(safe_name(one.seen["number"]))
        one.version += 1
        where = str(folder), one.given.beside
        done = await desk.works.do(put_files, one.given.values, desk.order, *where)
    except CutfilesError as error:
        return _page(one, error)
    one.done, one.folder, one.said = done, str(folder), ""
    return _to(one)


async def zipped(request: Request) -> Response:
    """Return everything made from the slip and the edits that are kept, in a zip."""
    desk, one = _found(request)
    given = one.given
    try:
        name, data = await desk.works.do(zip_files, given.values, desk.order, given.beside)
    except CutfilesError as error:
        return _page(one, error)
    return as_file(data, f"{name}.zip", "application/zip")


async def away(request: Request) -> Response:
    """Put a drawing away; what was kept stays in the folder."""
    desk, one = _found(request)
    desk.drawings.open.pop(one.name, None)
    return RedirectResponse("/drawing", 303)


ROUTES = (
    Route("/drawing", drawings),
    Route("/drawing", begin, methods=["POST"]),
    Route("/drawing/{name:str}", shown),
    Route("/drawing/{name:str}/roles", answered, methods=["POST"]),
    Route("/drawing/{name:str}/accept", accepted, methods=["POST"]),
    Route("/drawing/{name:str}/make", made, methods=["POST"]),
    Route("/drawing/{name:str}/zip", zipped, methods=["POST"]),
    Route("/drawing/{name:str}/away", away, methods=["POST"]),
)
