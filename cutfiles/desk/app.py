"""All pages put together."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from cutfiles.desk import book, drawing, exhibit, front, plan
from cutfiles.desk import list as lists
from cutfiles.desk.desk import Desk
from cutfiles.desk.guard import Guard, Refusal
from cutfiles.desk.looks import warm
from cutfiles.desk.pages import HERE, missing, not_taken, refused
from cutfiles.errors import CutfilesError

STATIC = HERE / "static"


def app_of(desk: Desk, port: int) -> Guard:
    """Return a desk's pages behind their guard."""

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        loads = [asyncio.ensure_future(works.warm(warm)) for works in (desk.quick, desk.works)]
        yield
        for load in loads:
            load.cancel()
        desk.end()

    app = Starlette(
        routes=[
            *front.ROUTES,
            *book.ROUTES,
            *lists.ROUTES,
            *exhibit.ROUTES,
            *drawing.ROUTES,
            *plan.ROUTES,
            Mount("/static", StaticFiles(directory=STATIC)),
        ],
        exception_handlers={
            CutfilesError: refused,
            HTTPException: missing,
            Refusal: not_taken,
            Exception: missing,  # a fault of the program: its trace stands on the terminal
        },
        lifespan=lifespan,
    )
    app.state.desk = desk
    return Guard(app, port)
