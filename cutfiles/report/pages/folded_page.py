"""One self-contained page: the support folding in space, with what the fold check says."""

import html
import json
import math
import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path

from cutfiles.files.fold_check import FoldedFile
from cutfiles.findings import Finding
from cutfiles.lengths import rounded
from cutfiles.plane.shapes import Point
from cutfiles.report.pictures.scene import Face, Scene, scene_of
from cutfiles.report.pictures.view import view_of
from cutfiles.report.text.fold_check import found_text, measured_text, unit_of
from cutfiles.support.steps import letters_of
from cutfiles.words.bench import where_text
from cutfiles.words.marks import mark_svg
from cutfiles.words.steps import step_sentence
from cutfiles.words.verdict import sentence

GENERATOR = '<meta name="generator" content="cutfiles">'
"""What our pages say of themselves."""
_BLANKS = re.compile(
    r"""(?P<kept>"[^"\n]*"|`[^`]*`)|[ ]*/\*.*?\*/|[ ]*//[^\n]*|^[ ]+"""
    r"""|[ ]*(?P<sign>[*/%<>=?:,;{}[\]&|!])[ ]*|(?<=[,;{([])\n""",
    re.DOTALL | re.MULTILINE,
)
"""Texts, comments, indentation, signs with the blanks around them, and ends of lines after a sign
that goes on. Not (, + and -: some of their blanks matter."""
_CAUTION = (
    "Prove each cradle empty, then with a dummy of 1.5 times the book's weight for 24 hours. A "
    "conservator decides whether and how far a book opens."
)


def folded_page(checked: FoldedFile) -> bytes:
    """Return the page as HTML, without anything from a network.

    Raises:
        ValueError: nothing folds.

    """
    draft = checked.draft
    book = draft.slip.book
    heading = draft.drawing.title
    said = "folds into its support" if checked.check.folds else "does not fold into its support"
    text, state = html.escape, "right" if checked.check.folds else "wrong"
    steps, refused = draft.support.steps, draft.verdict.refused
    told = "\n".join(
        f"<li><b>{one.verb}</b> {text(step_sentence(one, draft.support, refused=refused))}</li>"
        for one in steps
    )
    style = _part("folded.css")
    scene = json.dumps(_scene_data(checked), separators=(",", ":")).replace("<", "\\u003c")
    before, after = _around()
    page = f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
{GENERATOR}
<title>{text(heading)}, folded</title>
<style>
{style}</style>
</head>
<body>
<h1>{text(heading)}</h1>
<p dir="auto">{text(where_text(draft.slip))}</p>
<p class="{state}">{text(checked.name)} {said}</p>
<p class="verdict">{mark_svg(draft.verdict.state, 1.4)} {text(draft.verdict.state)}</p>
<p>{text(sentence(draft.verdict, draft.slip))}</p>
<canvas id="view" tabindex="0" role="img"
 aria-label="The support in space, with the book on it; arrow keys turn it"></canvas>
<div class="controls">
<label>flat <input id="fold" type="range" min="0" max="{len(steps)}" value="{len(steps)}"
 step="0.01" aria-label="steps, from flat to standing"> standing</label>
<span>now: <b id="stage">standing</b></span>
<label><input id="book" type="checkbox" checked> show the book</label>
</div>
<p class="keys soft">Drag to turn; pinch, or Ctrl and wheel, to come nearer. The slider's arrow keys
go step by step. With the picture in focus: arrow keys turn, + and − zoom, Home goes back.</p>
<h2>Steps, as on the bench card</h2>
<ol class="steps">
{told}
</ol>
<noscript><p>This picture needs JavaScript; {text(book.number)}.folded.svg shows the support
standing.</p></noscript>
{_measures(checked)}
{_findings(checked.check.findings)}
<p class="care">{_CAUTION}</p>
<script>{before}{scene}{after}</script>
</body>
</html>
"""
    return page.encode()


def is_own_script(script: str) -> bool:
    """Whether a script is the one of these pages: its scene is data, and all else is ours."""
    before, after = _around()
    if not (script.startswith(before) and script.endswith(after)):
        return False
    try:
        json.loads(script[len(before) : -len(after)])
    except (ValueError, RecursionError):
        return False
    return True


def _around() -> tuple[str, str]:
    """Return what stands before and after the scene in the page's script."""
    return "\nconst scene = ", f";\n{_part('folded.js')}"


@lru_cache(maxsize=2)  # the same for every page
def _part(name: str) -> str:
    """Return a part of the page that stands in a file of its own, brief."""
    # not by importlib.resources, which costs a short process 3 ms
    return brief(Path(__file__).with_name(name).read_text(encoding="utf-8"))


def brief(text: str) -> str:
    """Return a script or style without its comments and the blanks that only people need.

    Texts and names stay as they are. A tenth of a page's bytes. Valid for scripts of ours: texts
    in " or ` alone, and no regular expressions.

    >>> brief('let a = [1,  2];  // two\\nif (b - c) {\\n  d("a : b"); /* never */\\n}')
    'let a=[1,2];\\nif (b - c){d("a : b");\\n}\\n'
    """
    lines = _BLANKS.sub(lambda found: found["kept"] or found["sign"] or "", text).splitlines()
    return "".join(f"{line}\n" for line in lines if line)


def _measures(checked: FoldedFile) -> str:
    rows = []
    for m in checked.check.measures:
        rows.append(
            f'<tr><td class="{"right" if m.right else "wrong"}">{html.escape(measured_text(m))}'
            f'</td><td class="number">{found_text(m)}</td>'
            f'<td class="number">{m.meant:.2f}{unit_of(m)}</td></tr>'
        )
    head = "<tr><th>folded</th><th>comes to</th><th>designed</th></tr>"
    return f"<h2>What the folds give</h2>\n<table>\n{head}\n" + "\n".join(rows) + "\n</table>"


def _findings(findings: tuple[Finding, ...]) -> str:
    if not findings:
        return ""
    items = "\n".join(
        f'<li class="{"wrong" if f.severity == "stop" else "note"}">{html.escape(f.message)}</li>'
        for f in findings
    )
    return f"<h2>Findings</h2>\n<ul>\n{items}\n</ul>"


def _scene_data(checked: FoldedFile) -> dict[str, object]:
    """Return the scene as the page's script takes it."""
    scene, support = scene_of(checked), checked.draft.support
    eye, letters = view_of(support).eye, letters_of(support.profile)
    wrong = _wrong(checked)
    return {
        "verbs": [step.verb for step in support.steps],
        "view": [round(math.atan2(eye.x, -eye.y), 4), round(math.asin(eye.z), 4)],
        "faces": [_face(face, letters.get(face.crease), wrong) for face in scene.faces],
        "missing": [
            {"ends": _flat(ends), "face": face, "letter": letters[name]}
            for name, ends, face in _missing(checked, scene, wrong)
        ],
        "place": [
            *([rounded(part, 9) for part in row] for row in scene.place.rows),
            [rounded(part, 2) for part in scene.place.shift],
        ],
        "blocks": [
            {
                "end": _flat(block.end),
                "tail": rounded(block.tail, 2),
                "head": rounded(block.head, 2),
            }
            for block in scene.blocks
        ],
    }


def _face(face: Face, letter: str | None, wrong: frozenset[str]) -> list[object]:
    """Return a face as a row: corners; parent, axis, angle and step where it hangs on another one.

    After these, the letter of its crease, "" for none, and 1 where that is at fault.
    """
    row: list[object] = [_flat(face.corners)]
    if face.parent is not None:
        row += [face.parent, _flat(face.axis), rounded(face.angle, 6), face.step]
        row += [letter or "", 1] if face.crease in wrong else [letter] if letter else []
    return row


def _wrong(checked: FoldedFile) -> frozenset[str]:
    """Return the names of the faulty creases, whatever band of them a finding is of."""
    places = {f.place.partition(",")[0] for f in checked.check.findings if f.severity == "stop"}
    return frozenset(places - {""})  # what hangs on no crease has the name ""


def _missing(
    checked: FoldedFile, scene: Scene, wrong: frozenset[str]
) -> Iterator[tuple[str, tuple[Point, Point], int]]:
    """Yield faulty creases that fold nothing: name, ends where they should lie, the face there."""
    folding = {face.crease for face in scene.faces}
    for crease in checked.draft.pattern.creases:
        if crease.name not in wrong or crease.name in folding:
            continue
        [stroke] = [
            stroke
            for stroke in checked.draft.pattern.strokes
            if stroke.of == crease.name and stroke.band == "middle"
        ]
        ends = stroke.path.points[0], stroke.path.points[-1]
        middle = Point((ends[0].x + ends[1].x) / 2, (ends[0].y + ends[1].y) / 2)
        for i, face in enumerate(scene.faces):
            xs, ys = zip(*face.corners, strict=True)
            if min(xs) < middle.x < max(xs) and min(ys) < middle.y < max(ys):
                yield crease.name, ends, i
                break


def _flat(places: Iterable[tuple[float, float]]) -> list[float]:
    """Return places to 0.01 mm, x and y by turns: no screen shows more."""
    return [rounded(part, 2) for place in places for part in place]
