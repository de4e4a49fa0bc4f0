"""One self-contained page: the support folding in space, with what the fold check says."""

import html
import json
from importlib import resources

from cutfiles.files.fold_check import FoldedFile
from cutfiles.findings import Finding
from cutfiles.folding.space import Spot
from cutfiles.report.pictures.scene import scene_of
from cutfiles.report.text.fold_check import found_text, measured_text, unit_of
from cutfiles.words.verdict import sentence

_STYLE = """
body { font: 16px/1.45 sans-serif; color: #111; background: #fff; margin: 0 auto; max-width: 60rem;
  padding: 1rem; }
h1 { font-size: 1.4rem; margin: 0; } h2 { font-size: 1.05rem; margin: 1.2rem 0 .3rem; }
p { margin: .3rem 0; } .soft { color: #555; }
canvas { width: 100%; height: 60vh; min-height: 18rem; border: 1px solid #bbb; display: block;
  margin: .6rem 0; touch-action: none; cursor: grab; }
canvas:focus { outline: 3px solid #0072B2; }
.controls { display: flex; flex-wrap: wrap; gap: .6rem 1.2rem; align-items: center; }
.controls label { display: flex; gap: .5rem; align-items: center; min-height: 44px; }
input[type=range] { width: min(26rem, 60vw); height: 2rem; }
input[type=checkbox] { width: 1.3rem; height: 1.3rem; }
table { border-collapse: collapse; } td, th { padding: .15rem .8rem .15rem 0; text-align: left; }
td.number { text-align: right; font-variant-numeric: tabular-nums; }
.wrong { font-weight: bold; } .wrong::before { content: "\\2717  "; }
.right::before { content: "\\2713  "; }
@media print { .controls, .keys { display: none; } canvas { height: 11cm; border: none; }
  body { padding: 0; font-size: 11pt; } }
"""
GENERATOR = '<meta name="generator" content="cutfiles">'
"""What our pages say of themselves."""
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
    second = ", ".join(p for p in (book.shelf_mark, draft.slip.opening.label) if p)
    said = "folds into its support" if checked.check.folds else "does not fold into its support"
    state = "right" if checked.check.folds else "wrong"
    script = (
        resources.files("cutfiles.report.pages").joinpath("folded.js").read_text(encoding="utf-8")
    )
    scene = json.dumps(_scene_data(checked), separators=(",", ":")).replace("<", "\\u003c")
    text = html.escape
    page = f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
{GENERATOR}
<title>{text(heading)}, folded</title>
<style>{_STYLE}</style>
</head>
<body>
<h1>{text(heading)}</h1>
<p dir="auto">{text(second)}</p>
<p class="{state}">{text(checked.name)} {said}</p>
<p>{text(sentence(draft.verdict, draft.slip))}</p>
<canvas id="view" tabindex="0" role="img"
 aria-label="The support in space, with the book on it; arrow keys turn it"></canvas>
<div class="controls">
<label>flat <input id="fold" type="range" min="0" max="1000" value="1000"
 aria-label="from flat to standing"> standing</label>
<span>now: <b id="stage">standing</b></span>
<label><input id="book" type="checkbox" checked> show the book</label>
</div>
<p class="keys soft">Drag to turn, pinch or wheel to come nearer. With the picture in focus: arrow
keys turn, + and − zoom, Home goes back.</p>
<noscript><p>This picture needs JavaScript; {text(book.number)}.folded.svg shows the support
standing.</p></noscript>
{_measures(checked)}
{_findings(checked.check.findings)}
<p class="soft">{_CAUTION}</p>
<script>
const scene = {scene};
{script}</script>
</body>
</html>
"""
    return page.encode()


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
    scene = scene_of(checked)
    return {
        "stages": list(scene.stages),
        "faces": [
            {
                "corners": [_pair(p) for p in face.corners],
                "layer": face.layer,
                "parent": face.parent,
                "axis": [_pair(p) for p in face.axis],
                "angle": round(face.angle, 9),
                "stage": face.stage,
            }
            for face in scene.faces
        ],
        "place": [*(list(row) for row in scene.place.rows), _triple(scene.place.shift)],
        "blocks": [[[_triple(c) for c in f] for f in block.faces()] for block in scene.blocks],
    }


def _pair(place: tuple[float, float]) -> list[float]:
    return [round(place[0], 4), round(place[1], 4)]


def _triple(spot: Spot) -> list[float]:
    return [round(part, 4) for part in spot]
