"""Changes to a module's text, each of one place: what `mutate.py` makes one at a time."""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutation:
    """One change to one module: the text that goes and the text that comes.

    Attributes:
        module: below the package.
        what: in a few words.
        before: of a list: text of the module, blank space told apart no further.
        after: what comes in its place.
        span: of a fresh change: where the text that goes begins and ends in the module.
        line: where it stands.
        owner: of a fresh change outside all functions: the name of what is changed.
        tests: files of tests that notice it, where they are known.

    """

    module: str
    what: str
    before: str
    after: str
    span: tuple[int, int] | None = None
    line: int = 0
    owner: str = ""
    tests: tuple[str, ...] = ()


# -- fresh changes ---------------------------------------------------------------------------------

_SWAPS: dict[type, type] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
    ast.Mod: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Lt: ast.GtE,
    ast.LtE: ast.Gt,
    ast.Gt: ast.LtE,
    ast.GtE: ast.Lt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
_TWINS = {"min": "max", "max": "min", "any": "all", "all": "any", "sin": "cos", "cos": "sin"}
_WORD = re.compile(r"[\w .-]{1,24}")


def fresh(module: str, text: str) -> Iterator[Mutation]:
    """Yield every change to a module's text that we know how to make, each of one place.

    Each leaves the lines after it where they are.
    """
    starts = [0]
    lines = text.splitlines(keepends=True)
    for line in lines:
        starts.append(starts[-1] + len(line))

    def at(number: int, column: int) -> int:  # columns count bytes
        return starts[number - 1] + len(lines[number - 1].encode()[:column].decode())

    tree = ast.parse(text)
    owners = _owners(tree)
    for node, new, what in _changes(tree):
        span = at(node.lineno, node.col_offset), at(node.end_lineno or 0, node.end_col_offset or 0)
        old = text[slice(*span)]
        pad = "\n" * old.count("\n")
        yield Mutation(
            module=module,
            what=what,
            before=old,
            after=f"({new}{pad})" if isinstance(node, ast.expr) else new + pad,
            span=span,
            line=node.lineno,
            owner=owners.get(node, ""),
        )


def _owners(tree: ast.Module) -> dict[ast.AST, str]:
    """Return the name of the constant, field or function to which what an import does belongs."""
    owners: dict[ast.AST, str] = {}
    bodies: list[list[ast.stmt]] = [tree.body]
    while bodies:
        for node in bodies.pop():
            match node:
                case ast.ClassDef(body=body):
                    bodies.append(body)
                case ast.FunctionDef(name=name, args=args):
                    owners |= {part: name for part in ast.walk(args)}
                case ast.Assign(targets=[ast.Name(id=name), *_]):
                    owners |= {part: name for part in ast.walk(node)}
                case ast.AnnAssign(target=ast.Name(id=name)):
                    owners |= {part: name for part in ast.walk(node)}
                case _:
                    pass
    return owners


def _changes(tree: ast.Module) -> Iterator[tuple[ast.expr | ast.stmt, str, str]]:
    """Yield nodes, what comes in their place, and what kind of change it is."""
    skipped = _skipped(tree)
    for node in ast.walk(tree):
        if node in skipped:
            continue
        match node:
            case ast.BinOp(op=op) if type(op) in _SWAPS and not _is_text(node):
                yield node, _with(node, op=_SWAPS[type(op)]()), "operator"
            case ast.Compare(ops=[op]) if type(op) in _SWAPS:
                yield node, _with(node, ops=[_SWAPS[type(op)]()]), "comparison"
            case ast.BoolOp(op=op):
                yield node, _with(node, op=_SWAPS[type(op)]()), "and or"
            case ast.UnaryOp(op=ast.USub()):
                yield node, ast.unparse(node.operand), "sign"
            case ast.Constant(value=bool() as value):
                yield node, repr(not value), "truth"
            case ast.Constant(value=int() | float() as value):
                yield node, repr(value * 10 if value else 1), "number"
            case ast.Constant(value=str() as value) if _WORD.fullmatch(value):
                yield node, repr(value + "x"), "word"
            case ast.Call(func=ast.Name(id=name)) if name in _TWINS:
                yield node, _with(node, func=ast.Name(_TWINS[name])), "function"
            case ast.If(test=test) | ast.IfExp(test=test) | ast.While(test=test):
                yield test, f"not ({ast.unparse(test)})", "condition"
            case ast.Return(value=ast.Tuple(elts=[one, two])):
                swapped = f"return {ast.unparse(two)}, {ast.unparse(one)}"
                yield node, swapped, "returns swapped"
            case ast.Expr(value=ast.Call() | ast.Yield() | ast.YieldFrom()) | ast.AugAssign():
                yield node, "pass", "statement dropped"
            case ast.Raise():
                yield node, "pass", "refusal dropped"
            case _:
                pass


def _with(node: ast.expr, **changes: object) -> str:
    """Return the source of an expression with parts of it exchanged."""
    fields = {name: getattr(node, name) for name in node._fields}
    return ast.unparse(type(node)(**{**fields, **changes}))


def _is_text(node: ast.BinOp) -> bool:
    return any(
        isinstance(part, ast.JoinedStr | ast.List | ast.Tuple)
        or (isinstance(part, ast.Constant) and isinstance(part.value, str))
        for part in (node.left, node.right)
    )


def _skipped(tree: ast.Module) -> set[ast.AST]:
    """Return what is not changed: annotations, docstrings, formatted and told texts, imports."""
    skipped: set[ast.AST] = set()
    for node in ast.walk(tree):
        parts: list[ast.AST | None] = []
        match node:
            case ast.FunctionDef(args=args, returns=returns):
                every = (*args.args, *args.posonlyargs, *args.kwonlyargs, args.vararg, args.kwarg)
                parts += [returns, *(a.annotation for a in every if a), *node.decorator_list]
            case ast.AnnAssign(annotation=annotation):
                parts.append(annotation)
            case ast.Expr(value=ast.Constant(value=str())) | ast.JoinedStr() | ast.Raise():
                parts += [node] if not isinstance(node, ast.Raise) else [node.exc]
            case ast.Call(func=ast.Name(id="Fault" | "Finding" | "Doc" | "cast" | "TypeVar")):
                parts.append(node)
            case ast.If(test=ast.Name(id="TYPE_CHECKING")) | ast.Import() | ast.ImportFrom():
                parts.append(node)
            case ast.ClassDef(decorator_list=decorators):
                parts += decorators
            case ast.Subscript(value=ast.Name(id="Literal")):
                parts.append(node)
            case _:
                pass
        for part in parts:
            if part is not None:
                skipped.update(ast.walk(part))
    return skipped
