"""Runs headless Chromium on a page, through npm's playwright-core."""

import json
import os
import shutil
import subprocess

from conftest import ROOT, outside_tool

OUTSIDE = ROOT / "tests" / "outside"


def browse(page, steps, folder, *, tablet=False):
    """Return what a browser saw: errors, what it asked the network for, and what was read."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    outside_tool("chromium", chromium)
    outside_tool("npm playwright-core", (OUTSIDE / "node_modules" / "playwright-core").exists())
    todo = folder / "steps.json"
    todo.write_text(json.dumps(steps))
    done = subprocess.run(
        ["node", str(OUTSIDE / "browser.mjs"), str(page), str(todo)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**os.environ, "CHROMIUM": chromium, "TABLET": "1" if tablet else "0"},
    )
    assert done.returncode == 0, done.stderr
    seen = json.loads(done.stdout)
    assert seen["errors"] == []
    assert [url for url in seen["asked"] if not url.startswith("file://")] == []
    return seen["read"]
