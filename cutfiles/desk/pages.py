"""Pages: templates filled on the server, everything in them escaped; and forms as they come in."""

import re
from pathlib import Path
from typing import Any
from urllib.parse import quote

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from cutfiles.desk.guard import BODY, SAFE, Refusal
from cutfiles.desk.limits import FIELDS, FILES, FORM_BYTES, UPLOAD_BYTES
from cutfiles.desk.remedies import in_words, told
from cutfiles.errors import ChangedError, CutfilesError, FileError
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
ENVIRONMENT.filters["in_words"] = in_words


def part(template: str, **given: Any) -> str:
    """Return a template filled; every text given is only ever text in it."""
    return ENVIRONMENT.get_template(template).render(**given)


def page(template: str, status: int = 200, **given: Any) -> Response:
    """Return a page."""
    return HTMLResponse(part(template, **given), status)


def status_of(error: CutfilesError | None) -> int:
    """Return the status of a page that tells a refusal: 409 where another window has gone on."""
    if error is None:
        return 200
    return 409 if isinstance(error, ChangedError) else 422


_ROOT = re.compile(r"<svg[^>]*>")
WHOLE = (0, 0, 297, 210)


def drawn(picture: bytes, window: tuple[float, ...] = WHOLE) -> Markup:
    """Return a picture of our own as it stands in a page, or what of it a window shows.

    Args:
        picture: SVG, in mm.
        window: left, top, width and height, mm.

    """
    root = '<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="{}">'
    _, text = _ROOT.split(picture.decode(), 1)
    return Markup(root.format(" ".join(f"{side:g}" for side in window)) + text)


def as_file(data: bytes, name: str, kind: str) -> Response:
    """Return bytes as a file to be kept, under a name; `kind` is its media type."""
    plain = "".join(
        sign if sign.isascii() and sign.isprintable() and sign not in '"\\' else "_"
        for sign in name
    )
    said = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name)}"
    return Response(data, media_type=kind, headers={"content-disposition": said})


async def form_of(request: Request, *, files: bool = False) -> FormData:
    """Return a form; one with more bytes, fields or files than it may have is refused.

    Raises:
        FileError: it holds too much.

    """
    request.scope[BODY].most = UPLOAD_BYTES if files else FORM_BYTES
    try:
        form = await request.form(
            max_files=FILES if files else 0, max_fields=FIELDS, max_part_size=FORM_BYTES
        )
    except HTTPException as error:
        raise FileError(
            "a form that cannot be read", str(error.detail), "send the page's own form"
        ) from None
    if len(form.multi_items()) > FIELDS + FILES:  # not every version counts those of a plain form
        raise FileError(
            "a form of too many fields", f"at most {FIELDS}", "send the page's own form"
        )
    return form


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
    said = needed.get(status, "the page cannot be shown")
    return _in_words(status, request.url.path, said, "go back to the desk")


def not_taken(request: Request, error: Exception) -> Response:
    """Return that a body is not taken; what is left of it ends with the line."""
    assert isinstance(error, Refusal)
    answer = _in_words(error.status, request.url.path, error.needed, error.remedy)
    answer.headers["connection"] = "close"
    return answer


def _in_words(status: int, found: str, needed: str, remedy: str) -> Response:
    one = {"path": "", "place": "", "found": found, "needed": needed, "remedy": remedy}
    return page("refused.html", status, faults=[one], back="/")
