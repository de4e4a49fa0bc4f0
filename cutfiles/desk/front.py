"""The front page, and what every page needs: that it is open, or was closed."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutfiles.desk.desk import desk_of
from cutfiles.desk.limits import GONE_SECONDS
from cutfiles.desk.pages import page

_NAME_MOST = 40


async def front(request: Request) -> Response:
    """Return the four ways to begin."""
    desk = desk_of(request)
    return page(
        "front.html",
        folder=str(desk.folder),
        minutes=round(GONE_SECONDS / 60),
        unsaved=await desk.offered(),
    )


async def heard(request: Request) -> Response:
    """Note that a page is open, or was closed."""
    desk, name = desk_of(request), request.path_params["name"][:_NAME_MOST]
    if request.path_params["what"] == "open":
        desk.heard(name)
    else:
        desk.closed(name)
    return Response(status_code=204)


ROUTES = (Route("/", front), Route("/page/{name:str}/{what:str}", heard, methods=["POST"]))
