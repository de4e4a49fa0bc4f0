"""Files taken from the desk: made, read back and delivered as the command line delivers them."""

import io
import zipfile
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from cutfiles.desk.books import slip_text
from cutfiles.desk.looks import Values, asked
from cutfiles.disk.files import folder_at
from cutfiles.job.deliver import deliver
from cutfiles.job.make import make
from cutfiles.job.order import Order
from cutfiles.report.text.made import made_data

_DAY = (1980, 1, 1, 0, 0, 0)
"""What files in a zip are dated: the same book gives the same bytes on any day."""


def put_files(values: Values, order: Order, folder: str, beside: str = "") -> dict[str, Any]:
    """Make a book's files in a folder; return what was made as data, and which files stay.

    Edits that are kept in the folder `beside` are taken up.

    Keys: name, data (see `made_data`), files, removed, left (names).

    Raises:
        CutfilesError: whatever `make` and `deliver` refuse.

    """
    made = make(*asked(values, order, beside))
    done = deliver(made, folder_at(folder))
    return {
        "name": made.name,
        "data": made_data(made),
        "files": [path.name for path in done.files],
        "removed": [path.name for path in done.removed],
        "left": [path.name for path in done.left],
    }


def zip_files(values: Values, order: Order, beside: str = "") -> tuple[str, bytes]:
    """Return a book's name and all its files in a zip: as they would lie in a folder, and its slip.

    Raises:
        CutfilesError: whatever `make` and `deliver` refuse.

    """
    with TemporaryDirectory(prefix="cutfiles-") as folder:
        done = put_files(values, order, folder, beside)
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as whole:
            for name in done["files"]:
                data = (Path(folder) / name).read_bytes()
                whole.writestr(zipfile.ZipInfo(name, _DAY), data, zipfile.ZIP_DEFLATED)
            slip = zipfile.ZipInfo(f"{done['name']}.toml", _DAY)
            whole.writestr(slip, slip_text(values), zipfile.ZIP_DEFLATED)
    return done["name"], out.getvalue()
