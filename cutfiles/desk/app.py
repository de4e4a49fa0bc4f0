"""All pages put together."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from cutfiles.desk import exhibit, front
from cutfiles.desk import list as lists
from cutfiles.desk.desk import Desk
from cutfiles.desk.guard import Guard
from cutfiles.desk.pages import HERE, missing, refused
from cutfiles.errors import CutfilesError


def app_of(desk: Desk, port: int) -> Guard:
    """Return a desk's pages behind their guard."""

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        yield
        desk.end()

    app = Starlette(
        routes=[
            *front.ROUTES,
            *lists.ROUTES,
            *exhibit.ROUTES,
            Mount("/static", StaticFiles(directory=HERE / "static")),
        ],
        exception_handlers={CutfilesError: refused, HTTPException: missing},
        lifespan=lifespan,
    )
    app.state.desk = desk
    return Guard(app, port)
