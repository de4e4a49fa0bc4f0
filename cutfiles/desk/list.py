"""A list of books: dropped, read, its questions answered in place, kept, and made."""

import asyncio
import os
from dataclasses import replace
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from cutfiles.bench.at_hand import USUAL_SHELF
from cutfiles.desk.answers import answered
from cutfiles.desk.desk import Desk, desk_of
from cutfiles.desk.exhibits import Wish, make_list, put_round
from cutfiles.desk.folder import file_in, names_in
from cutfiles.desk.limits import FILES_SHOWN, UPLOAD_BYTES
from cutfiles.desk.lists import OpenList, Step
from cutfiles.desk.orders import PAPERS, order_of
from cutfiles.desk.pages import as_file, form_of, page, part, uploaded
from cutfiles.desk.readings import Source, field_word, file_name, kept_of, row_of, told_of
from cutfiles.desk.remedies import words_of
from cutfiles.desk.works import Job
from cutfiles.disk.files import update, write_new
from cutfiles.disk.names import safe_name
from cutfiles.disk.system import sum_of
from cutfiles.errors import FileError
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.job.workshop import MOST_SPARES
from cutfiles.lists.headers import ColumnMapping, known_fields
from cutfiles.lists.mapping import ORDERS
from cutfiles.machine.profile.read import packaged_cutters
from cutfiles.units import UNITS

_NEEDED = "a list is saved into a new file"


def _found(request: Request) -> tuple[Desk, OpenList]:
    desk = desk_of(request)
    return desk, desk.lists.find(request.path_params["name"])


def _source(desk: Desk, one: OpenList, known: ColumnMapping | None = None) -> Source:
    return Source(one.file, one.data, known or one.known, desk.order.films)


def _to(one: OpenList, at: str = "") -> Response:
    return RedirectResponse(f"/list/{one.name}{at}", 303)


def _text(form: FormData, name: str) -> str:
    given = form.get(name, "")
    return given.strip() if isinstance(given, str) else ""


# -- lists -----------------------------------------------------------------------------------------


async def lists(request: Request) -> Response:
    """Return ways to begin: a file, one of the desk's folder, one that is open, an exhibit."""
    desk = desk_of(request)
    names = await asyncio.to_thread(names_in, str(desk.folder), FILES_SHOWN)
    return page(
        "lists.html",
        lists=[*reversed(desk.lists.open.values())],
        names=names,
        folder=str(desk.folder),
    )


async def begin(request: Request) -> Response:
    """Open a list that was sent, or one of the desk's folder."""
    desk = desk_of(request)
    form = await form_of(request, files=True)
    if kept := _text(form, "kept"):
        name = desk.within(kept).name
        data = await asyncio.to_thread(file_in, str(desk.folder), name, UPLOAD_BYTES)
    else:
        name, data = await uploaded(form, "list")
    source = Source(file_name(name), data, ColumnMapping(), desk.order.films)
    told = await desk.works.do(told_of, source)
    return _to(
        desk.lists.add(OpenList(file=source.file, data=data, steps=[Step(source.known, told)]))
    )


# -- one list --------------------------------------------------------------------------------------


async def shown(request: Request) -> Response:
    """Return the page of a list as it is read now."""
    desk, one = _found(request)
    names = await asyncio.to_thread(names_in, str(desk.folder), FILES_SHOWN)
    return page(
        "list.html",
        one=one,
        told=one.told,
        job=_job(desk, one),
        fields=[(path, field_word(path)) for path in known_fields()],
        orders=[*ORDERS],
        units=UNITS,
        cutters=packaged_cutters(),
        tables=names.tables,
        order=desk.order,
        film=_film(desk.plan),
        spares=desk.plan.spares,
        folder=str(desk.folder),
        most_spares=MOST_SPARES,
    )


def _film(plan: ExhibitPlan) -> str:
    """Return what is called the film at hand where no table of the folder is chosen."""
    if plan.table is not None:
        return os.path.basename(plan.table)
    films = ", ".join(dict.fromkeys(one.name for one in plan.at_hand.shelf))
    return f"the usual {films}" if plan.at_hand == USUAL_SHELF else films


async def answer(request: Request) -> Response:
    """Take up answers, read the list with them, and go back to it."""
    desk, one = _found(request)
    form = await form_of(request)
    base = _text(form, "base")
    one.require(base)
    given = {name: text for name, text in form.items() if isinstance(text, str)}
    known = answered(one.known, one.told, given)
    if known != one.known:
        told = await desk.works.do(told_of, _source(desk, one, known))
        one.go_on(Step(known, told), base)
    return _to(one, "#asked")


async def move(request: Request) -> Response:
    """Take an answer back, or give it again."""
    _, one = _found(request)
    form = await form_of(request)
    one.move(-1 if request.url.path.endswith("/undo") else 1, _text(form, "base"))
    return _to(one)


async def row(request: Request) -> Response:
    """Return all cells of one row, to be edited."""
    desk, one = _found(request)
    place = request.path_params
    told = await desk.works.do(row_of, _source(desk, one), place["part"], place["row"])
    return page("row.html", one=one, told=told)


async def close(request: Request) -> Response:
    """Put a list away."""
    desk, one = _found(request)
    one.require(_text(await form_of(request), "base"))
    if job := desk.jobs.pop(_job_name(one), None):
        job.stop()
    desk.lists.open.pop(one.name, None)  # another window may have been the first
    return RedirectResponse("/list", 303)


# -- what is kept of it ----------------------------------------------------------------------------


def _kept_names(one: OpenList) -> tuple[str, str]:
    return f"{one.stem} cleaned.csv", f"{one.stem} columns.toml"


async def download(request: Request) -> Response:
    """Return the cleaned list, or the mapping of its columns, as a file."""
    desk, one = _found(request)
    which = 0 if request.url.path.endswith(".csv") else 1
    data = (await desk.works.do(kept_of, _source(desk, one)))[which]
    name = _kept_names(one)[which]
    kind = ("text/csv; charset=utf-8", "application/toml")[which]
    return as_file(data, name, kind)


async def keep(request: Request) -> Response:
    """Save the cleaned list and the mapping in the desk's folder."""
    desk, one = _found(request)
    one.require(_text(await form_of(request), "base"))
    files = zip(_kept_names(one), await desk.works.do(kept_of, _source(desk, one)), strict=True)
    for name, data in files:
        path = desk.within(name)
        if name in one.saved and path.exists():
            update(path, data, one.saved[name])
        else:
            write_new(path, data, _NEEDED)
        one.saved[name] = sum_of(data)
    return _to(one, "#kept")


async def round_(request: Request) -> Response:
    """Put what is taken round the books into a folder of the desk's: to print, and to fill in."""
    desk, one = _found(request)
    form = await form_of(request)
    one.require(_text(form, "base"))
    units = next((unit for unit in UNITS if unit == _text(form, "units")), UNITS[0])
    paper = PAPERS.get(_text(form, "paper")) or desk.order.paper or "A4"
    plan = {"units": units, "six": "six" in form, "paper": paper}
    folder = desk.within(f"{one.stem} round")
    one.round = await desk.works.do(put_round, _source(desk, one), plan, str(folder))
    return _to(one, "/round")


async def put_there(request: Request) -> Response:
    """Return what was put there last to take round the books."""
    desk, one = _found(request)
    if not one.round:
        return _to(one)
    return page("round.html", one=one, folder=str(desk.folder / f"{one.stem} round"))


# -- making it -------------------------------------------------------------------------------------


def _job_name(one: OpenList) -> str:
    return f"list {one.name}"


def _job(desk: Desk, one: OpenList) -> dict[str, Any] | None:
    """Return how far the making of a list is, None before it was begun."""
    job = desk.jobs.get(_job_name(one))
    if job is None:
        return None
    what, done, total = job.told or ("starting", 0, 1)
    return {
        "state": job.state,
        "what": what,
        "done": done,
        "total": max(1, total),
        "faults": [words_of(fault) for fault in job.faults],
        "result": job.result if job.state == "done" else None,
        "to": one.to,
    }


async def making(request: Request) -> Response:
    """Return the page of a list that is being made; the part that changes alone for a script."""
    desk, one = _found(request)
    job = _job(desk, one)
    if request.query_params.get("part"):
        told = job["state"] if job else ""
        return JSONResponse({"state": told, "part": part("progress.html", one=one, job=job)})
    return page("making.html", one=one, job=job)


async def make(request: Request) -> Response:
    """Begin to make a list, or go on after a stop."""
    desk, one = _found(request)
    form = await form_of(request)
    one.require(_text(form, "base"))
    running = desk.jobs.get(_job_name(one))
    if running is None or running.state != "running":
        wish, order = _wish(desk, one, form), order_of(form, desk.order)
        plan = replace(desk.plan, order=order)
        one.to = safe_name(wish.name)
        desk.jobs[_job_name(one)] = Job(make_list, _source(desk, one), plan, wish)
    return _to(one, "/making")


def _wish(desk: Desk, one: OpenList, form: FormData) -> Wish:
    name = _text(form, "folder") or one.stem
    shelf, spares = _text(form, "shelf"), _text(form, "spares") or "0"
    if not (spares.isascii() and spares.isdecimal() and len(spares) < 3) or (
        int(spares) > MOST_SPARES
    ):
        raise FileError(f'"{spares[:20]}" spares', f"0 to {MOST_SPARES}", "correct it")
    return Wish(
        folder=str(desk.folder),
        name=desk.within(name).name,
        shelf=desk.within(shelf).name if shelf else "",
        spares=int(spares),
    )


async def stop(request: Request) -> Response:
    """Stop making; what is made already stays, and the next run goes on from it."""
    desk, one = _found(request)
    await form_of(request)
    if job := desk.jobs.get(_job_name(one)):
        job.stop()
    return _to(one, "/making")


ROUTES = (
    Route("/list", lists),
    Route("/list", begin, methods=["POST"]),
    Route("/list/{name:str}", shown),
    Route("/list/{name:str}", answer, methods=["POST"]),
    Route("/list/{name:str}/undo", move, methods=["POST"]),
    Route("/list/{name:str}/redo", move, methods=["POST"]),
    Route("/list/{name:str}/close", close, methods=["POST"]),
    Route("/list/{name:str}/row/{part:int}/{row:int}", row),
    Route("/list/{name:str}/cleaned.csv", download),
    Route("/list/{name:str}/columns.toml", download),
    Route("/list/{name:str}/keep", keep, methods=["POST"]),
    Route("/list/{name:str}/round", round_, methods=["POST"]),
    Route("/list/{name:str}/round", put_there),
    Route("/list/{name:str}/make", make, methods=["POST"]),
    Route("/list/{name:str}/making", making),
    Route("/list/{name:str}/stop", stop, methods=["POST"]),
)
