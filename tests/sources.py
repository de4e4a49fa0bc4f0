"""The package's own sources: each is parsed and walked once for all that tests ask of it."""

import ast
import functools
from dataclasses import dataclass

from conftest import ROOT

PACKAGE = ROOT / "cutfiles"
MODULES = sorted(PACKAGE.rglob("*.py"))


def name_of(path):
    """Return the name by which a module is imported, without the package's."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts).removesuffix(".__init__").removesuffix("__init__")


@functools.lru_cache(maxsize=1)
def nodes(source):
    """Return all nodes of a source, for all that is asked of it in turn; all would fill memory."""
    return tuple(ast.walk(ast.parse(source)))


def named(found):
    """Return what breaks a law, all of it, each module in a line of its own."""
    return "\n".join(["", *(f"{where}: {what}" for where, what in found.items())])


def imports_of(source):
    """Yield every module a source imports, anywhere in it."""
    for node in nodes(source):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def texts_of(source):
    """Return every text of a source but its docstrings, and these."""
    shown = {id(node.value) for node in nodes(source) if isinstance(node, ast.Expr)}
    texts, docs = [], []
    for node in nodes(source):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            (docs if id(node) in shown else texts).append(node.value)
    return texts, docs


ASKS = {
    *("startswith", "endswith", "partition", "rpartition", "split", "find", "count"),
    *("removeprefix", "removesuffix"),
}
SAID = {"message", "found", "needed", "remedy"}


def is_said(node):
    """Whether an expression is what a message says, or the name of a stroke."""
    if isinstance(node, ast.Attribute):
        of_stroke = isinstance(node.value, ast.Name) and node.value.id in ("stroke", "s")
        return node.attr in SAID or (node.attr == "name" and of_stroke)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "str":
        return any(isinstance(a, ast.Name) and a.id in ("error", "finding") for a in node.args)
    return isinstance(node, ast.Name) and node.id == "message"


def _compared(node):
    """What a comparison asks: either side of an equation, and what a text is looked for in."""
    named = isinstance(node.left, ast.Attribute) and node.left.attr == "name"  # found by its name
    equal = isinstance(node.ops[0], ast.Eq | ast.NotEq) and not named
    return [node.left, *node.comparators] if equal else node.comparators


def parsed(source):
    """Yield the lines at which a message is asked for what it says."""
    for node in nodes(source):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            of_re = isinstance(node.func.value, ast.Name) and node.func.value.id == "re"
            asked = [node.func.value] if node.func.attr in ASKS else []
            if node.args and any(map(is_said, [*asked, *(node.args if of_re else ())])):
                yield node.lineno
        elif (
            isinstance(node, ast.Compare)
            and isinstance(node.ops[0], ast.In | ast.NotIn | ast.Eq | ast.NotEq)
            and any(map(is_said, _compared(node)))
        ):
            yield node.lineno


WRITES = {
    *("write_bytes", "write_text", "mkdir", "makedirs", "unlink", "rmdir", "rename"),
    *("touch", "symlink_to", "hardlink_to", "symlink", "link", "rmtree", "copy2", "copyfile"),
    *("mkstemp", "mkdtemp", "NamedTemporaryFile", "TemporaryDirectory", "truncate", "ftruncate"),
    *("chmod", "renames", "copytree"),
}
DIRECT = {"os.replace", "os.write", "os.open", "os.remove", "shutil.move"}


def writings(source):
    """Yield what in a source writes to a disk."""
    for node in nodes(source):
        if not isinstance(node, ast.Call):
            continue
        last = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if isinstance(node.func, ast.Attribute):
            name = f"{getattr(node.func.value, 'id', '')}.{last}"
            if name in DIRECT or last in WRITES:
                yield name
        if last == "open" and any(
            isinstance(arg, ast.Constant)
            and isinstance(arg.value, str)
            and set(arg.value) & {*"wax+"}
            for arg in [*node.args[:2], *(k.value for k in node.keywords if k.arg == "mode")]
        ):
            yield "open"


def choices_of(source):
    """Yield the texts of each type and each tuple of a module that is a choice among them."""
    for node in nodes(source)[0].body:
        value = getattr(node, "value", None)
        if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(value, ast.Subscript):
            value = value.slice if ast.unparse(value.value) == "Literal" else None
        if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(value, ast.Tuple):
            texts = [one.value for one in value.elts if isinstance(one, ast.Constant)]
            if len(texts) == len(value.elts) and all(isinstance(text, str) for text in texts):
                yield frozenset(texts)


@dataclass(frozen=True)
class Source:
    """What tests ask of a module."""

    where: str
    """As `job/make.py`."""
    name: str
    """As `job.make`."""
    lines: int
    imports: tuple
    texts: tuple
    docs: tuple
    parsed: tuple
    writings: tuple
    choices: tuple


@functools.cache
def sources():
    """Return what is asked of each module, in the order of their names."""
    return tuple(map(_source, MODULES))


def _source(path):
    text = path.read_text(encoding="utf-8")
    texts, docs = texts_of(text)
    return Source(
        where=path.relative_to(PACKAGE).as_posix(),
        name=name_of(path),
        lines=len(text.splitlines()),
        imports=tuple(imports_of(text)),
        texts=tuple(texts),
        docs=tuple(docs),
        parsed=tuple(parsed(text)),
        writings=tuple(writings(text)),
        choices=tuple(choices_of(text)),
    )
