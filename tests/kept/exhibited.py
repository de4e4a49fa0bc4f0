"""Lists as they are read, and exhibits made of them."""

from kept import SAMPLES, Group

_LISTS = sorted((SAMPLES / "lists").glob("*.csv"))


def third(folder):
    """Copy every third book of the long list."""
    [_, scenarios] = _LISTS
    head, *rows = scenarios.read_text(encoding="utf-8").splitlines(keepends=True)
    path = folder / scenarios.name
    path.write_text("".join([head, *rows[::3]]), encoding="utf-8")
    return {"third": path}


def groups():
    """Yield the groups."""
    for path in _LISTS:
        kept = ["--clean", "{}/clean.csv", "--save-mapping", "{}/columns.toml"]
        yield Group(f"list-{path.stem}", [["list", str(path), *kept]])
    to = ["--workers", "1", "--to", "{}"]
    yield Group("exhibit", [["exhibit", str(_LISTS[0]), *to]])
    to += ["--effort", "quick"]  # with the usual work the first is laid out
    how = ["--cutter", "wide-roll-knife"]
    yield Group("exhibit-cutter", [["exhibit", str(_LISTS[0]), *to, *how]])
    how = ["--format", "svg,dxf"]
    yield Group("exhibit-scenarios", [["exhibit", "{third}", *to, *how]], third)
