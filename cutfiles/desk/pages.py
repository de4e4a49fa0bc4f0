"""Pages: templates filled on the server, everything in them escaped; and forms as they come in."""

from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from cutfiles.desk.guard import SAFE
from cutfiles.desk.limits import FIELDS, FILES, FORM_BYTES, UPLOAD_BYTES
from cutfiles.desk.remedies import told
from cutfiles.errors import CutfilesError, FileError
from cutfiles.support.states import State
from cutfiles.version import VERSION
from cutfiles.words.marks import mark_paths

HERE = Path(__file__).parent
ENVIRONMENT = Environment(
    loader=FileSystemLoader(HERE / "templates"),
    autoescape=True,  # whatever a template is called: some libraries ask for its ending
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
ENVIRONMENT.globals["version"] = VERSION


def _mark(state: State) -> Markup:
    """Return the mark of a state; its size is for the style sheet to say."""
    shapes = mark_paths(state)
    return Markup(f'<svg class="mark" viewBox="-1 -1 2 2" aria-hidden="true">{shapes}</svg>')


ENVIRONMENT.filters["mark"] = _mark


def part(template: str, **given: Any) -> str:
    """Return a template filled; every text given is only ever text in it."""
    return ENVIRONMENT.get_template(template).render(**given)


def page(template: str, status: int = 200, **given: Any) -> Response:
    """Return a page."""
    return HTMLResponse(part(template, **given), status)


def drawn(picture: bytes) -> Markup:
    """Return a picture of our own as it stands in a page: the drawing alone, no declaration."""
    text = picture.decode()
    return Markup(text[text.index("<svg") :])


async def form_of(request: Request, *, files: bool = False) -> FormData:
    """Return a form; one with more bytes, fields or files than it may have is refused.

    Raises:
        FileError: it holds too much.

    """
    most = UPLOAD_BYTES if files else FORM_BYTES
    length = int(request.headers.get("content-length", "0"))
    if length > most:
        raise FileError(f"{length} bytes", f"this form holds at most {most}", "send less at once")
    try:
        return await request.form(
            max_files=FILES if files else 0, max_fields=FIELDS, max_part_size=FORM_BYTES
        )
    except HTTPException as error:
        raise FileError(
            "a form that cannot be read", str(error.detail), "send the page's own form"
        ) from None


async def uploaded(form: FormData, name: str) -> tuple[str, bytes]:
    """Return the name and the bytes of a file in a form: of its path the last part alone.

    Raises:
        FileError: there is none.

    """
    given = form.get(name)
    if not isinstance(given, UploadFile) or not given.filename:
        raise FileError("no file", "a file is needed", "choose one, or drop it on the page")
    return given.filename.replace("\\", "/").rpartition("/")[2], await given.read()


def refused(request: Request, error: Exception) -> Response:
    """Return a refusal as a page."""
    assert isinstance(error, CutfilesError)
    parts = request.url.path.split("/")[1:]
    back = "/".join(["", *parts[: 1 if request.method in SAFE else 2]])  # the page it came from
    return page("refused.html", 422, faults=told(error), back=back)


def missing(request: Request, error: Exception) -> Response:
    """Return that there is no such page, or that it is not for this."""
    status = error.status_code if isinstance(error, HTTPException) else 500
    needed = {404: "there is no such page here", 405: "this page is not for that"}
    faults = [
        {
            "path": "",
            "place": "",
            "found": request.url.path,
            "needed": needed.get(status, "the page cannot be shown"),
            "remedy": "go back to the desk",
        }
    ]
    return page("refused.html", status, faults=faults, back="/")
