"""A plan at the machine: a question at a time, passes drawn, marks measured, files handed over."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from types import MappingProxyType

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from cutfiles.desk.books import values_of_slip
from cutfiles.desk.desk import Desk, desk_of
from cutfiles.desk.pages import as_file, drawn, form_of, page, status_of, uploaded
from cutfiles.desk.remedies import told
from cutfiles.desk.sheets import Heard, Said, Sheet, begin, file_of, hear, look, make_plan
from cutfiles.desk.shelf import cutter_named, shelf, taken_from
from cutfiles.disk.names import safe_name
from cutfiles.disk.refusals import read
from cutfiles.disk.system import state
from cutfiles.errors import CutfilesError, FileError
from cutfiles.machine.profile.read import packaged_cutters

_PASS = (6, 24, 285, 176)
_LYING = (8, 24, 285, 180)
"""What of the pictures is shown: their headings stand on the page."""
_LONGEST = 40
_NOTHING: Mapping[str, object] = MappingProxyType({})


def _found(request: Request) -> tuple[Desk, Sheet]:
    desk = desk_of(request)
    return desk, desk.sheets.find(request.path_params["name"])


def _to(one: Sheet) -> Response:
    return RedirectResponse(f"/plan/{one.name}", 303)


async def plans(request: Request) -> Response:
    """Return the plans of the folder, and the way to make another."""
    return await _plans_page(desk_of(request))


async def _plans_page(
    desk: Desk, error: CutfilesError | None = None, form: Mapping[str, object] = _NOTHING
) -> Response:
    found = await desk.works.do(shelf, str(desk.folder))
    own = desk.order.cutter
    return page(
        "plans.html",
        422 if error else 200,
        plans=found.plans,
        slips=found.slips,
        cutters=(*packaged_cutters(), *found.cutters),
        own=own.name if own else "",
        open=[*desk.sheets.open.values()],
        form=form,
        folder=str(desk.folder),
        faults=told(error),
    )


async def open_plan(request: Request) -> Response:
    """Take up a plan of the folder."""
    desk = desk_of(request)
    form = await form_of(request)
    try:
        found = await desk.works.do(shelf, str(desk.folder))
        name = str(form.get("plan", ""))
        taken_from(desk.folder, found.plans, name)
        return _to(await _begun(desk, name))
    except CutfilesError as error:
        return await _plans_page(desk, error)


async def made(request: Request) -> Response:
    """Make a slip's files for a cutter, then take up their plan."""
    desk = desk_of(request)
    form = await form_of(request, files=True)
    try:
        found = await desk.works.do(shelf, str(desk.folder))
        cutter = str(form.get("cutter", ""))
        if cutter:
            cutter = cutter_named(desk.folder, found.cutters, cutter)
        chosen = str(form.get("slip_name", ""))
        if chosen:
            path = taken_from(desk.folder, found.slips, chosen)
            sent, beside = (path.name, read(path, "a slip")), path.parent
        else:
            sent, beside = await uploaded(form, "slip"), desk.folder
        values = await desk.works.do(values_of_slip, *sent)
        lot = str(form.get("lot", "")).strip()
        to = str(desk.within(safe_name(values.get("number", ""))))
        plan = await desk.works.do(make_plan, values, str(beside), cutter, lot, desk.order, to)
        return _to(await _begun(desk, Path(plan).relative_to(desk.folder).as_posix()))
    except CutfilesError as error:
        return await _plans_page(desk, error, form)


async def _begun(desk: Desk, path: str) -> Sheet:
    """Return the sheet of a plan: the one that is open, or else a new one."""
    for one in desk.sheets.open.values():
        if one.path == path:
            await _read_anew(desk, one)
            return one
    record = await desk.works.do(begin, str(desk.folder / path))
    seen = await desk.works.do(look, record)
    return desk.sheets.add(Sheet(path=path, record=record, heard=Heard(record), told=seen))


async def _read_anew(desk: Desk, one: Sheet) -> None:
    """Go on from what lies beside the plan, where another run has gone on meanwhile."""
    if _gone_on(one):
        one.record = await desk.works.do(begin, str(desk.folder / one.path))
        one.told = await desk.works.do(look, one.record)
        one.heard, one.files, one.places = Heard(one.record), (), {}
        one.version += 1


def _gone_on(one: Sheet) -> bool:
    """Whether another run has written beside the plan, or the plan is another one."""
    record = one.record
    sums = [(record.plan_path.name, record.plan_sha256), record.sums[0]]
    return any(state(record.folder / name).digest != digest for name, digest in sums)


# -- one sheet -------------------------------------------------------------------------------------


async def shown(request: Request) -> Response:
    """Return the page of a sheet as it stands."""
    _, one = _found(request)
    return _page(one)


def _page(one: Sheet, error: CutfilesError | None = None) -> Response:
    seen, lying = one.told, one.heard.lying
    now = next((each for each in seen["passes"] if each["name"] == seen["now"]), None)
    return page(
        "plan.html",
        status_of(error),
        one=one,
        seen=seen,
        now=now,
        now_picture=drawn(now["picture"], _PASS) if now else "",
        pictures=[(each, drawn(each["picture"], _PASS)) for each in seen["passes"]],
        lying=drawn(lying[0], _LYING) if lying else "",
        residuals=lying[1] if lying else {},
        refused=bool(one.heard.faults),
        faults=told(error) or list(one.heard.faults),
        elsewhere=_gone_on(one),
    )


async def answered(request: Request) -> Response:
    """Take an answer to the question that stands there."""
    desk, one = _found(request)
    form = await form_of(request)
    try:
        one.require(form.get("base"))
        one.version += 1  # before it is waited for: no other window answers meanwhile
        said = _said(one, form)
        one.places = said.places or one.places
        heard = await desk.works.do(hear, one.record, said, _now())
        seen = await desk.works.do(look, heard.record)
    except CutfilesError as error:
        return _page(one, error)
    if heard.record.cutting.step != one.record.cutting.step:
        one.places = {}
    if heard.lying is None and not heard.faults and seen["key"] == "start":
        heard = heard._replace(lying=one.heard.lying)
    one.record, one.heard, one.told = heard.record, heard, seen
    one.files = heard.files or (one.files if seen["key"] == "ended" else ())
    return _to(one)


def _said(one: Sheet, form: FormData) -> Said:
    """Return what a form says: a word, or places of marks."""
    text = str(form.get("said", "")).strip()
    if text != "marks":
        return Said(text)
    numbered = enumerate(one.told["marks"])
    places = {
        mark["name"]: (_cell(form, f"x.{number}"), _cell(form, f"y.{number}"))
        for number, mark in numbered
    }
    return Said("", places)


def _cell(form: FormData, name: str) -> str:
    return str(form.get(name, "")).replace(";", " ").strip()[:_LONGEST]


def _now() -> str:
    return datetime.now().astimezone().isoformat(timespec="minutes")


async def anew(request: Request) -> Response:
    """Go on from what another run has left beside the plan."""
    desk, one = _found(request)
    try:
        await _read_anew(desk, one)
    except CutfilesError as error:
        return _page(one, error)
    return _to(one)


async def file(request: Request) -> Response:
    """Return a file of the pass that was handed over, or the card that belongs to it."""
    desk, one = _found(request)
    name = request.path_params["file"]
    if name in one.told["shows"]:
        data = await desk.works.do(read, one.record.folder / name, "a card that can be read")
        return as_file(data, name, "application/octet-stream")
    sums = dict(one.files)
    if name not in sums:
        raise FileError(
            "a file that was not handed over",
            "a pass is handed over once it is begun, and only that one",
            f"go on with the sheet first: /plan/{one.name}",
        )
    data = await desk.works.do(file_of, one.record, name, sums[name])
    return as_file(data, name, "application/octet-stream")


async def away(request: Request) -> Response:
    """Put a sheet away; what was done with it is kept beside its plan."""
    desk, one = _found(request)
    desk.sheets.open.pop(one.name, None)
    return RedirectResponse("/plan", 303)


ROUTES = (
    Route("/plan", plans),
    Route("/plan", open_plan, methods=["POST"]),
    Route("/plan/make", made, methods=["POST"]),
    Route("/plan/{name:str}", shown),
    Route("/plan/{name:str}/answer", answered, methods=["POST"]),
    Route("/plan/{name:str}/anew", anew, methods=["POST"]),
    Route("/plan/{name:str}/file/{file:str}", file),
    Route("/plan/{name:str}/away", away, methods=["POST"]),
)
