"""All pages put together."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from cutfiles.desk import book, drawing, exhibit, front, plan
from cutfiles.desk import list as lists
from cutfiles.desk.desk import Desk
from cutfiles.desk.guard import Guard, Refusal
from cutfiles.desk.limits import KEEP_SECONDS
from cutfiles.desk.looks import warm
from cutfiles.desk.pages import HERE, missing, not_taken, refused
from cutfiles.errors import CutfilesError

STATIC = HERE / "static"


def app_of(desk: Desk, port: int) -> Guard:
    """Return a desk's pages behind their guard."""

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        loads = [asyncio.ensure_future(works.warm(warm)) for works in (desk.quick, desk.works)]
        ending = asyncio.Event()
        keeping = asyncio.ensure_future(_keep_until(ending, desk))
        yield
        for load in loads:
            load.cancel()
        ending.set()
        await keeping
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


async def _keep_until(ending: asyncio.Event, desk: Desk) -> None:
    """Keep the books that are not saved, as long as the desk runs and once more at its end."""
    while not ending.is_set():
        with suppress(TimeoutError):
            async with asyncio.timeout(KEEP_SECONDS):
                await ending.wait()
        await desk.keep()
