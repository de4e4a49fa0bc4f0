"""Runs headless Chromium on pages, through npm's playwright-core; one for all tests of a worker."""

import json
import os
import shutil
import subprocess
from functools import cache

from conftest import ENDS, ROOT, outside_tool

OUTSIDE = ROOT / "tests" / "outside"


@cache
def _browser():
    """Start node with a browser; it ends when its input is closed."""
    # the first has no window to draw: all pages together take 23 s of the processor less, of 79
    names = ("chromium-headless-shell", "chromium", "chromium-browser")
    chromium = next((path for name in names if (path := shutil.which(name))), None)
    outside_tool("chromium", chromium)
    outside_tool("npm playwright-core", (OUTSIDE / "node_modules" / "playwright-core").exists())
    process = subprocess.Popen(
        ["node", str(OUTSIDE / "browser.mjs")],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "CHROMIUM": chromium},
    )
    ENDS.append(process.communicate)
    return process


def browse(page, steps, *, tablet=False, screen=None, dark=False, origin="file:/", forgiven=""):
    """Return what was read in a browser; of a page that asks nobody else, and raises no error.

    An error that says what is forgiven is one that the test looks for.
    """
    process = _browser()
    print(
        json.dumps(
            {
                "page": str(page),
                "tablet": tablet,
                "screen": screen or ([768, 1024] if tablet else [1000, 900]),
                "dark": dark,
                "steps": steps,
            }
        ),
        file=process.stdin,
        flush=True,
    )
    answer = process.stdout.readline()
    assert answer, "the browser has ended"
    seen = json.loads(answer)
    assert "failed" not in seen, seen["failed"]
    errors = [error for error in seen["errors"] if not forgiven or forgiven not in error]
    assert errors == [], errors
    assert [url for url in seen["asked"] if not url.startswith((f"{origin}/", "data:"))] == []
    return seen["read"]
