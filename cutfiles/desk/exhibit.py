"""An exhibit in the desk's folder: its page and files, and how far its supports are."""

from typing import get_args

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from cutfiles.desk.desk import Desk, desk_of
from cutfiles.desk.exhibits import Said, exhibit_file, exhibit_told, mark_so
from cutfiles.desk.pages import form_of, page
from cutfiles.errors import FileError
from cutfiles.exhibit.stages import Marked

_LONGEST = 500


def _found(request: Request) -> tuple[Desk, str]:
    desk = desk_of(request)
    path = desk.within(request.path_params["name"])
    if path.is_symlink() or not path.is_dir():
        raise FileError(
            "no exhibit of that name", "a folder in the desk's own", "choose one of the lists' page"
        )
    return desk, str(path)


async def shown(request: Request) -> Response:
    """Return how an exhibit stands, with what can be marked."""
    desk, folder = _found(request)
    told = await desk.works.do(exhibit_told, folder, desk.order.trials)
    return page(
        "exhibit.html", name=request.path_params["name"], told=told, stages=get_args(Marked)
    )


async def marked(request: Request) -> Response:
    """Mark how far sheets and supports are."""
    desk, folder = _found(request)
    form = await form_of(request)

    def text(name: str) -> str:
        given = form.get(name, "")
        return " ".join(given.split())[:_LONGEST] if isinstance(given, str) else ""

    stage = next((one for one in get_args(Marked) if one == text("stage")), None)
    if stage is None:
        raise FileError(
            "no stage", f"one of {', '.join(get_args(Marked))}", "choose how far they are"
        )
    said = Said(
        stage=stage,
        names=tuple(one for one in form.getlist("name") if isinstance(one, str)),
        date=text("date"),
        initials=text("initials"),
        note=text("note"),
        base=text("base"),
    )
    async with desk.marking:
        await desk.works.do(mark_so, folder, desk.order.trials, said)
    return RedirectResponse(request.url.path.removesuffix("/mark"), 303)


async def file(request: Request) -> Response:
    """Return a file of an exhibit; no other."""
    desk, folder = _found(request)
    path = request.path_params["path"]
    found = await desk.works.do(exhibit_file, folder, path)
    if found is None:
        raise HTTPException(404)
    data, media, policy = found
    headers = {"content-security-policy": policy}
    if not media:
        headers["content-disposition"] = "attachment"
    return Response(data, media_type=media or "application/octet-stream", headers=headers)


ROUTES = (
    Route("/exhibit/{name:str}", shown),
    Route("/exhibit/{name:str}/mark", marked, methods=["POST"]),
    Route("/exhibit/{name:str}/file/{path:path}", file),
)
