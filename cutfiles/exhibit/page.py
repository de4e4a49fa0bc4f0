"""The exhibit's page: one HTML file without any network, to look through, filter and print.

Keys: s searches, n and p go from support to support, and so do the arrows once one is chosen; Enter
opens or closes its details, Esc clears the filters. Without scripts all supports are shown.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from html import escape
from urllib.parse import quote

from cutfiles.bench.film import Film
from cutfiles.exhibit.buying import buying_lines, order_rows
from cutfiles.exhibit.case_plan import case_name
from cutfiles.exhibit.pieces import owners, pieces_told
from cutfiles.exhibit.results import ExhibitResult, SheetResult, SupportFacts, SupportResult, Told
from cutfiles.exhibit.tables import film_lines, used_share
from cutfiles.exhibit.thumbs import sheet_view
from cutfiles.exhibit.totals import totals
from cutfiles.support.states import State
from cutfiles.version import VERSION
from cutfiles.words.counts import counted
from cutfiles.words.marks import mark_svg

PAGE = "index.html"
VERDICTS: dict[State, str] = {
    "proved": "proved",
    "adequate": "",
    "make a trial": "trial",
    "another support": "other",
}
"""States of a verdict, and how the page frames each: never by its colour alone."""
_STYLE = """
:root{--ink:#1b1b1b;--soft:#5c5c5c;--line:#ccc;--pale:#f4f4f2;--film:#0072B2;--no:#B34700
;--ground:#fff;--page:var(--ground);--piece:#dceaf3;--leaf:#f4f0e6;--board:#777;
color-scheme:light dark}
@media (prefers-color-scheme:dark){:root{--ink:#e8e8e6;--soft:#a9a9a6;--line:#4a4a4a
;--pale:#262625;--film:#6db8e8;--no:#f0a060;--ground:#171716;--piece:#1f3848
;--leaf:#33302a;--board:#b5b5b5}}
@media print{:root{--ink:#000;--soft:#444;--line:#888;--pale:#fff;--film:#005a8c;--no:#8a3600
;--ground:#fff;--piece:#eef4f8;--leaf:#f8f5ee;--board:#777;color-scheme:light}}
*{box-sizing:border-box}
body{background:var(--ground);font:15px/1.45 "DejaVu Sans",Verdana,Arial,sans-serif;
color:var(--ink);margin:0 auto;max-width:1200px;padding:1.2rem}
h1{font-size:1.5rem;margin:0 0 .3rem}h2{font-size:1.1rem;margin:1.6rem 0 .6rem}
.soft{color:var(--soft)}nav a{margin-right:1rem}a{color:var(--film)}
form{display:flex;flex-wrap:wrap;gap:.8rem;margin:1rem 0;align-items:end}
label{display:grid;font-size:.85rem;color:var(--soft)}
input,select,button{font:inherit;padding:.3rem .5rem;border:1px solid var(--line);
border-radius:4px;background:var(--ground);color:inherit}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(270px,1fr));gap:.8rem}
.card{border:1px solid var(--line);border-radius:6px;padding:.7rem;overflow-wrap:anywhere;
break-inside:avoid}
.card:focus{outline:3px solid var(--film);outline-offset:1px}
.card.no{border-left:6px solid var(--no);background:var(--pale)}
.card h3{margin:0;font-size:1rem}.card svg{width:100%;height:110px;margin:.4rem 0}
.card p{margin:.15rem 0}.no b{color:var(--no)}svg{overflow:visible;max-width:100%}
.card svg.mark{width:auto;height:1.2em;margin:0;vertical-align:-.25em}.card svg.view{height:auto}
.v{border:2px solid var(--film);border-radius:3px;padding:0 .35rem;font-weight:bold}
.v.trial{border-style:dashed}.v.other{border-style:double;border-width:4px;border-color:var(--no)}
.v.proved{border-width:2px 2px 2px 8px}.stage{float:right;font-size:.85rem;color:var(--soft)}
table{border-collapse:collapse;font-size:.9rem}td,th{padding:.15rem .6rem .15rem 0;text-align:left;
border-bottom:1px solid var(--line)}td.n{text-align:right}.wide{overflow-x:auto}
.f,.b{stroke-width:1;stroke-linejoin:round;vector-effect:non-scaling-stroke}
.f{fill:var(--piece);fill-opacity:.55;stroke:var(--ink)}.b{fill:var(--leaf);stroke:var(--board)}
.s{fill:var(--ground);stroke:var(--ink);stroke-width:2}
.p{fill:var(--piece);stroke:var(--film);stroke-width:2}
.sheet svg{width:100%;height:230px}
.sheet text{text-anchor:middle;font-family:inherit;fill:var(--ink)}
dl{display:grid;grid-template-columns:auto 1fr;gap:.1rem .7rem;margin:.3rem 0;font-size:.85rem}
dt{color:var(--soft)}dd{margin:0}summary{cursor:pointer;font-size:.85rem;color:var(--film)}
.hidden{display:none}
@media print{form,nav,.keys{display:none}body{max-width:none;padding:0;font-size:9.5pt}
.cards{grid-template-columns:repeat(3,minmax(0,1fr));gap:3mm;padding:1mm}
details{display:none}.wide{overflow:visible}table{font-size:8pt}
h2{break-after:avoid}a{color:inherit;text-decoration:none}
.card svg.view{max-height:24mm}.sheet svg{height:60mm}.card{border-radius:0}@page{margin:12mm}}
"""
SCRIPT = """
const cards=[...document.querySelectorAll('.support')],form=document.querySelector('form');
const shown=()=>cards.filter(c=>!c.classList.contains('hidden'));
function filter(){const q=form.q.value.trim().toLowerCase();
for(const c of cards){const ok=[...form.querySelectorAll('select')].every(s=>!s.value||
c.dataset[s.name]===s.value)&&(!q||c.textContent.toLowerCase().includes(q));
c.classList.toggle('hidden',!ok)}
document.getElementById('count').textContent=shown().length+' of '+cards.length+' shown'}
form.addEventListener('input',filter);form.addEventListener('submit',e=>e.preventDefault());
form.addEventListener('reset',()=>setTimeout(filter));
document.addEventListener('keydown',e=>{const typing=/INPUT|SELECT/.test(e.target.tagName);
if(e.key==='Escape'){form.reset();e.target.blur();return}
if(typing||e.ctrlKey||e.metaKey||e.altKey)return;
if(e.key==='s'){e.preventDefault();form.q.focus();return}
const list=shown(),at=list.indexOf(document.activeElement);
const step=(at<0?{n:1,p:1}:{n:1,ArrowRight:1,ArrowDown:1,p:-1,ArrowLeft:-1,ArrowUp:-1})[e.key];
if(step){const next=list[at+step];
if(next){e.preventDefault();next.focus();next.scrollIntoView({block:'nearest'})}}
if(e.key==='Enter'&&at>=0){const d=list[at].querySelector('details');if(d)d.open=!d.open}});
filter();
"""


def exhibit_page(done: ExhibitResult, files: Iterable[str]) -> Iterator[bytes]:
    """Yield the page, part by part; every text of the list is only ever text in it.

    Args:
        done: the exhibit.
        files: names of what lies beside the page: tables, and what is printed.

    """
    for i, part in enumerate(_parts(done, files)):
        yield f"\n{part}".encode() if i else part.encode()


def _parts(done: ExhibitResult, files: Iterable[str]) -> Iterator[str]:
    made = sum(support.facts is not None for support in done.supports)
    refused = len(done.supports) - made
    name = escape(done.name)
    rows = {support.number: support.row for support in done.supports}
    yield from (
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">',
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:\">",
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<title>{name}</title><style>{_STYLE}</style></head><body>",
        f"<h1>{name}</h1><p>{len(done.supports)} rows: {made} made, {refused} refused. "
        f"{counted(len(done.sheets), 'sheet')}, {used_share(done.sheets):.0%} of their film used. "
        f'<span class="soft">From {escape(done.books.name)}, by cutfiles {VERSION}.</span></p>',
        *(f"<p>{escape(line)}</p>" for line in film_lines(done)),
        *_nav(files),
        _filters(done),
        '<h2>Supports <span class="soft" id="count"></span></h2><div class="cards">',
    )
    yield from map(_support, done.supports)
    yield '</div><h2>Sheets, in the order they are cut</h2><div class="cards">'
    yield from (_sheet(sheet, rows) for sheet in done.sheets)
    yield "</div>"
    yield from _film(done)
    yield (
        '<p class="soft">No load test stands behind a cradle: prove each one empty, then '
        "with a dummy of 1.5 times the book's weight for 24 hours. A conservator decides whether "
        "and how far a book opens.</p>"
    )
    yield f"<script>{SCRIPT}</script></body></html>\n"


def _nav(files: Iterable[str]) -> Iterator[str]:
    """Yield links to all that lies beside the page: to read, and to print."""
    names = sorted(files)
    for word, own in (
        ("Tables", [name for name in names if not name.endswith(".pdf")]),
        ("To print", [name for name in names if name.endswith(".pdf")]),
    ):
        if own:
            links = " ".join(_link(name, name) for name in own)
            yield f'<nav aria-label="{word}"><b>{word}</b> {links}</nav>'


def _link(to: str, text: str) -> str:
    return f'<a href="{escape(quote(to, safe="/#"))}">{escape(text)}</a>'


def _film(done: ExhibitResult) -> Iterator[str]:
    """Yield the table of film, and what is worth knowing of it."""
    head, *rows = order_rows(done)
    yield '<h2>Film, tape and strap</h2><div class="wide"><table><tr>'
    yield "".join(f"<th>{escape(str(name).replace('_', ' '))}</th>" for name in head) + "</tr>"
    for row in rows:
        yield "<tr>" + "".join(f"<td>{escape(str(cell))}</td>" for cell in row) + "</tr>"
    yield "</table></div>"
    yield from (f"<p>{escape(line)}</p>" for line in buying_lines(done))
    yield "<h2>In all</h2>"
    yield from (f"<p>{escape(one.told)}</p>" for one in totals(done))


def _filters(done: ExhibitResult) -> str:
    cases = Counter(support.values.get("case", "") for support in done.supports)
    exhibits = Counter(support.values.get("exhibit", "") for support in done.supports)
    verdicts = Counter(_verdict(support) for support in done.supports)
    stages = Counter[str](support.stage.stage for support in done.supports if support.facts)
    out = [
        '<form><label>search (s)<input name="q" type="search"></label>',
        _select("case", "case", cases),
        _select("exhibit", "exhibit", exhibits),
        _select("verdict", "result", verdicts),
        _select("stage", "stage", stages),
        '<button type="reset">all (Esc)</button></form>',
        '<p class="soft keys">Keys: n goes to the next, p to the one before, '
        "Enter opens its details.</p>",
    ]
    return "".join(out)


def _select(name: str, label: str, counts: Counter[str]) -> str:
    if not any(counts):
        return ""
    options = "".join(
        f'<option value="{escape(value)}">{escape(value)} ({count})</option>'
        for value, count in sorted(counts.items())
        if value
    )
    return (
        f'<label>{label}<select name="{name}"><option value="">all</option>{options}</select>'
        "</label>"
    )


def _verdict(support: SupportResult) -> str:
    """Return what the filter calls a support's result: its verdict, where it is to be cut."""
    if support.facts is None:
        return "refused"
    return "on no sheet" if support.unplaced else support.facts.verdict


def _support(support: SupportResult) -> str:
    says, facts = support.values.get, support.facts
    data = " ".join(
        f'data-{key}="{escape(value)}"'
        for key, value in (
            ("case", says("case", "")),
            ("exhibit", says("exhibit", "")),
            ("verdict", _verdict(support)),
            ("stage", support.stage.stage if facts else ""),
        )
    )
    head = f'<span class="stage">{_stage(support)}</span>' if facts else ""
    head += f"<h3>{escape(support.called)} "
    head += f'<span class="soft">{escape(says("title", ""))}</span></h3>'
    where = [text for text in (says("opening", ""), says("shelf_mark", "")) if text]
    if says("case"):
        where.append(case_name(says("case", "")))
    if support.copies > 1:
        where.append(f"{support.copies} copies")
    head += f"<p>{escape(' · '.join(where))}</p>"
    if facts is None:
        why = "".join(f"<p>{escape(str(fault))}</p>" for fault in support.faults)
        return (
            f'<article class="card support no" id="row-{support.row}" tabindex="0" {data}>{head}'
            f"<p><b>Not made</b></p>"
            f"{why}</article>"
        )
    told = facts.told
    framed = f'<span class="v {VERDICTS[facts.state]}">{mark_svg(facts.state, 1)} '
    verdict = f"<p>{framed}{escape(facts.verdict)}</span></p>"
    if support.unplaced:
        verdict += f"<p><b>On no sheet:</b> {escape(support.unplaced)}</p>"
    return (
        f'<article class="card support" id="row-{support.row}" tabindex="0" {data}>{head}'
        f"{told.picture}{verdict}"
        f"<p>piece {facts.width:.1f} × {facts.height:.1f} mm, opening {facts.opening_angle:g}°</p>"
        "<details><summary>measures and files</summary>"
        f"{_details(support, facts, told)}</details></article>"
    )


def _details(support: SupportResult, facts: SupportFacts, told: Told) -> str:
    layers = "one layer" if facts.layers == 1 else "three layers"
    rows = [
        ("film", f"{Film(gauge=facts.gauge).gauge_text}, {layers}"),
        ("slopes", f"left {facts.left_slope:g}°, right {facts.right_slope:g}°"),
        ("rises", f"left {facts.left_rise:g} mm, right {facts.right_rise:g} mm"),
        ("note", support.values.get("note", "")),
        ("tested", facts.fell),
        *(("worth knowing", finding) for finding in told.findings),
    ]
    said = "".join(f"<dt>{name}</dt><dd>{escape(text)}</dd>" for name, text in rows if text)
    sheets = " ".join(_link(f"#{name}", name) for name in support.sheets) or "none"
    said += f"<dt>sheets</dt><dd>{sheets}</dd>"
    links = " ".join(_link(f"supports/{name}", name) for name in told.files)
    return f"<dl>{said}<dt>files</dt><dd>{links}</dd></dl>"


def _stage(support: SupportResult) -> str:
    stage, date, initials = support.stage
    return escape(", ".join(text for text in (stage, date, initials) if text))


def _sheet(sheet: SheetResult, rows: Mapping[str, int]) -> str:
    """Return a sheet's part of the page; rows, by the numbers of their supports, are linked to."""
    links = " ".join(_link(f"sheets/{name}", name) for name in sheet.files)
    told = " ".join(
        _link(f"#row-{rows[number]}", number) if number in rows else escape(number)
        for number in owners(sheet.pieces)
    )
    said = ["cut, stays as it is"] if sheet.frozen else []
    said += ["trials only"] if sheet.apart else []
    notes = "".join(f"<p>{escape(text)}</p>" for text in (*said, *sheet.findings))
    notes += "".join(f"<p><b>Not made:</b> {escape(str(fault))}</p>" for fault in sheet.faults)
    return (
        f'<article class="card sheet" id="{escape(sheet.number)}"><h3>{escape(sheet.number)} '
        f'<span class="soft">{escape(sheet.film.name)}, {Film(gauge=sheet.gauge).gauge_text}</span>'
        f"</h3>{sheet_view(sheet)}<p>{sheet.width:.0f} × {sheet.height:.0f} mm, "
        f"{pieces_told(sheet.pieces)}, {sheet.used:.0%} used</p><p>{told}</p><p>{links}</p>{notes}"
        "</article>"
    )
